"""Every notation of a length, read exactly. Expected values are written as fractions of a millimetre by hand."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.quantity import INCH, read_length
from plandoc.quantity.lengths import read_number
from tests.support.resolving import resolved

IN = F(254, 10)
NOTATIONS = {
    '3/4"': F(3, 4) * IN,
    '.75"': F(3, 4) * IN,
    '0.75"': F(3, 4) * IN,
    '¾"': F(3, 4) * IN,
    "3/4 in": F(3, 4) * IN,
    "3/4''": F(3, 4) * IN,
    '23 1/2"': F(47, 2) * IN,
    '23-1/2"': F(47, 2) * IN,
    '23½"': F(47, 2) * IN,
    '23 ½"': F(47, 2) * IN,
    '23.5"': F(47, 2) * IN,
    "6'": 72 * IN,
    "6 ft": 72 * IN,
    "6' 2 1/2\"": F(149, 2) * IN,
    "6'-2 1/2\"": F(149, 2) * IN,
    "6'2-1/2\"": F(149, 2) * IN,
    "6' 2½\"": F(149, 2) * IN,
    "1/2'": 6 * IN,
    "18 mm": F(18),
    "18mm": F(18),
    "18.5 mm": F(37, 2),
    "1/2 mm": F(1, 2),
    "2.5 cm": F(25),
    "1.2 m": F(1200),
    "0 mm": F(0),
}
# As a word processor writes them.
TYPOGRAPHIC = {
    "3/4″": F(3, 4) * IN,
    "3/4”": F(3, 4) * IN,
    "6′ 2″": 74 * IN,
    "6’ 2”": 74 * IN,
    "23‑1/2″": F(47, 2) * IN,
    "23–1/2”": F(47, 2) * IN,
    "18 mm": F(18),
}


@pytest.mark.parametrize("text", NOTATIONS)
def test_reader(text: str) -> None:
    assert read_length(text) == NOTATIONS[text]


@pytest.mark.parametrize("text", [*NOTATIONS, *TYPOGRAPHIC])
def test_in_a_plan(text: str) -> None:
    """The same in a plan, as the size of a loose part: the grammar and the reader agree."""
    outcome = resolved(f'plan "T"\nstock s sheet 48" x 96"\n  called 1"\npart p from s\n  size {text} + 1" x 1"\n')
    assert not outcome.diagnostics, outcome.report
    assert outcome.model.parts[0].length == {**NOTATIONS, **TYPOGRAPHIC}[text] + IN


@pytest.mark.parametrize("text", ["", '"', "3", '3/0"', '3 4"', "6' 2'", '2" 6\'', "18 mm 3 mm", "3 yd", '3//4"', '1.2.3"'])
def test_what_is_no_length(text: str) -> None:
    with pytest.raises(ValueError):
        read_length(text)


def test_numbers() -> None:
    assert [read_number(t) for t in ("23", "2.5", "3/4", "23 1/2", "23-1/2", "2½", "⅔", ".5")] == [23, F(5, 2), F(3, 4), F(47, 2), F(47, 2), F(5, 2), F(2, 3), F(1, 2)]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.integers(0, 400), st.integers(0, 63), st.integers(1, 64))
def test_inches_are_read_back(whole: int, numerator: int, denominator: int) -> None:
    """Any whole number and fraction of inches, in both notations."""
    want = (whole + F(numerator, denominator)) * INCH
    assert read_length(f'{whole} {numerator}/{denominator}"') == want
    assert read_length(f'{whole}-{numerator}/{denominator}"') == want
    assert read_length(f"{whole // 12}' {whole % 12}-{numerator}/{denominator}\"") == want


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.integers(0, 5000), st.integers(0, 99))
def test_millimetres_are_read_back(whole: int, hundredths: int) -> None:
    assert read_length(f"{whole}.{hundredths:02} mm") == whole + F(hundredths, 100)
