"""Exact arithmetic of plans, and what is said where amounts of different kinds meet."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.support.resolving import HEAD, faulty, resolved, sound


def worked_out(expression: str, units: str = "inch to 1/32") -> str:
    outcome = resolved(f'plan "T"\n  units {units}\nstock s sheet 48" x 96"\n  called 1"\nset v = {expression}\npart p from s\n  size 1" x 1"\n')
    assert not outcome.diagnostics, outcome.report
    return outcome.value("v")


@pytest.mark.parametrize(
    ("expression", "text"),
    [
        ('1" / 3 * 3', '1"'),
        ('7" / 9 * 9 = 7"', "yes"),
        ("(1/3) * 3", "1"),
        ('1" + 1" / 3 + 1" / 3 + 1" / 3', '2"'),
        ("25.4 mm = 1\"", "yes"),
        ("18 mm + 3/4\"", '≈1 15/32"'),
        ("18 mm + 7.4 mm", '1"'),
        ("2 + 3 * 4", "14"),
        ("(2 + 3) * 4", "20"),
        ("-3 + 5", "2"),
        ("2 - -3", "5"),
        ("10 - 3 - 2", "5"),
        ("24 / 4 / 2", "3"),
        ('24" / 8"', "3"),
        ('2" * 3"', "6 square inches"),
        ('2" * 3" / 4"', '1 1/2"'),
        ('-(3/4")', '-3/4"'),
        ("1 1/2 * 2", "3"),
        ("1 / 3", "1/3"),
        ("90° * 2", "180°"),
        ("1 lb + 8 oz", "1.5 lb"),
        ('min(3", 2 1/2", 1 m)', '2 1/2"'),
        ('max(0, 3" - 5")', '0"'),
        ('max([1", 3", 2"])', '3"'),
        ('round(23.3", 1/4")', '23 1/4"'),
        ('round_up(23.3", 1/4")', '23 1/2"'),
        ('round_down(23.3", 1/4")', '23 1/4"'),
        ('round_up(23 1/2", 1/4")', '23 1/2"'),
        ('round(1/64")', '1/32"'),
        ("round(2.5)", "3"),
        ("round_down(2.9)", "2"),
        ('abs(3" - 5")', '2"'),
        ("count([1, 2, 3])", "3"),
        ("count([])", "0"),
        ('if 3" > 2" then 1 else 2', "1"),
        ("3 <= 3 and 2 > 1", "yes"),
        ("not 3 < 2", "yes"),
        ("1 > 2 or 2 > 1", "yes"),
        ("1 != 2", "yes"),
        ('"a" + "b" = "ab"', "yes"),
        ('0 + 3"', '3"'),
        ('3" > 0', "yes"),
    ],
)
def test_value(expression: str, text: str) -> None:
    assert worked_out(expression) == text


def test_millimetres() -> None:
    assert worked_out("1 m / 3", "mm") == "≈333.5 mm"
    assert worked_out("1 m / 4", "mm") == "250 mm"
    assert worked_out("1 kg + 1 lb", "mm") == "≈1.45 kg"
    assert worked_out("20 mm * 30 mm", "mm") == "600 square mm"


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(1, 97), st.integers(1, 64), st.integers(2, 40))
def test_nothing_is_lost_in_between(whole: int, sixty_fourths: int, parts: int) -> None:
    """A length divided and multiplied again is that length, and mixed units change nothing."""
    outcome = sound(f'set a = {whole} {sixty_fourths}/64" + 18 mm\nset b = a / {parts}\npart p from ply\n  size b * {parts} x 1"\n')
    assert outcome.model.parts[0].length == (whole + F(sixty_fourths, 64)) * F(254, 10) + 18


@pytest.mark.parametrize(
    ("expression", "message", "notes", "mend"),
    [
        ('24" + 2', "a plain number cannot be added to a length", ("is a length", "2 is a plain number"), '2 mm or 2"'),
        ("2 + 24 mm", "a length cannot be added to a plain number", ("2 is a plain number", "24 mm is a length"), '2 mm or 2"'),
        ("24 mm - 90°", "an angle cannot be taken from a length", ("24 mm is a length", "90° is an angle"), ""),
        ("24 mm < 3", "a length cannot be compared with a plain number", ("24 mm is a length", "3 is a plain number"), '3 mm or 3"'),
        ("2 mm * 3 mm + 1 mm", "a length cannot be added to an area", ("6 square mm is an area", "1 mm is a length"), ""),
        ('23 - 1/2"', "a length cannot be taken from a plain number", ("23 is a plain number", "12.7 mm is a length"), '23-1/2" without blanks'),
        ('3 / 4"', "a plain number cannot be divided by a length", ("with blanks",), '3/4"'),
    ],
)
def test_kinds_that_do_not_go_together(expression: str, message: str, notes: tuple[str, ...], mend: str) -> None:
    (fault,) = faulty(f"set v = {expression}\npart p from ply\n  size 1\" x 1\"\n")
    assert fault.code == "PD202"
    assert fault.message == message
    assert len(fault.notes) == len(notes)
    for note, piece in zip(fault.notes, notes, strict=True):
        assert piece in note.text
    assert mend in fault.mend and bool(mend) == bool(fault.mend)


def test_the_places_of_both_amounts_are_told() -> None:
    """The notes point at where each amount was written, not at the sum."""
    text = 'set a = 24"\nset b = 2\nset c = a + b\npart p from ply\n  size 1" x 1"\n'
    (fault,) = faulty(text)
    whole = HEAD + text
    places = [whole[n.span.start : n.span.end] for n in fault.notes if n.span is not None]
    assert places == ['24"', "2"]


def test_an_area_is_no_length() -> None:
    (fault,) = faulty('set a = 2 mm * 3 mm\npart p from ply\n  size a x 1"\n')
    assert (fault.code, fault.message) == ("PD204", "a length is wanted here, this is an area")
