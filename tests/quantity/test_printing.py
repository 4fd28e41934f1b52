"""Printing lengths: rounding, the sign of rounding, inches and millimetres."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.quantity import (
    AREA,
    INCH,
    LENGTH,
    PLAIN,
    Dimension,
    Units,
    dimension_name,
    dual_diameter,
    dual_text,
    read_length,
    shop_number,
    shop_text,
    unmarked,
)

INCH_32 = Units("inch", F(1, 32))
MM_HALF = Units("mm", F(1, 2))


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (F(47, 2) * INCH, INCH_32, "23 1/2"),
        (F(3, 4) * INCH, INCH_32, "3/4"),
        (F(24, 32) * INCH, INCH_32, "3/4"),
        (F(0), INCH_32, "0"),
        (F(5) * INCH, INCH_32, "5"),
        (F(1, 3) * INCH, INCH_32, "≈11/32"),
        (F(1, 64) * INCH, INCH_32, "≈1/32"),
        (F(1, 65) * INCH, INCH_32, "≈0"),
        (F(63, 64) * INCH, INCH_32, "≈1"),
        (F(-3, 2) * INCH, INCH_32, "-1 1/2"),
        (F(-1, 3) * INCH, INCH_32, "≈-11/32"),
        (F(18), INCH_32, "≈23/32"),
        (F(1, 64) * INCH, Units("inch", F(1, 64)), "1/64"),
        (F(1, 3) * INCH, Units("inch", F(1, 16)), "≈5/16"),
        (F(13, 8) * INCH, Units("inch", F(1, 100)), "≈1.63"),
        (F(5, 4) * INCH, Units("inch", F(1, 100)), "1.25"),
        (F(18), MM_HALF, "18"),
        (F(37, 2), MM_HALF, "18.5"),
        (F(1821, 100), MM_HALF, "≈18"),
        (F(1825, 100), MM_HALF, "≈18.5"),
        (F(254, 10), Units("mm", F(1, 10)), "25.4"),
        (F(254, 10), Units("mm", F(1)), "≈25"),
        (F(-255, 10), Units("mm", F(1)), "≈-26"),
        (F(1805, 100), Units("mm", F(1, 20)), "18.05"),
    ],
)
def test_one_line(length: F, units: Units, text: str) -> None:
    assert shop_number(length, units).plain() == text


def test_the_unit_follows_where_it_is_asked_for() -> None:
    assert shop_text(F(47, 2) * INCH, INCH_32, mark=True) == '23 1/2"'
    assert shop_text(F(18), MM_HALF, mark=True) == "18 mm"
    assert shop_text(F(0), INCH_32, mark=True) == '0"'


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.fractions(min_value=-3000, max_value=3000, max_denominator=5000), st.sampled_from([F(1, 16), F(1, 32), F(1, 64)]))
def test_printed_value_is_the_nearest(length: F, step: F) -> None:
    """What is printed differs by half a step at most, is exact where it says so, and can be typed in again."""
    units = Units("inch", step)
    number = shop_number(length, units)
    assert abs(number.value - length) <= units.step_mm / 2
    assert number.exact == (number.value == length)
    assert number.plain().startswith("≈") != number.exact
    back = read_length(number.plain().lstrip("≈").lstrip("-") + '"')
    assert back == abs(number.value)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.integers(-40000, 40000), st.sampled_from([F(1), F(1, 2), F(1, 10)]))
def test_millimetres_round_trip(count: int, step: F) -> None:
    length = count * step
    number = shop_number(length, Units("mm", step))
    assert number.exact
    assert F(number.plain()) == length


def test_names_of_dimensions() -> None:
    assert dimension_name(PLAIN) == "a plain number"
    assert dimension_name(LENGTH) == "a length"
    assert dimension_name(AREA) == "an area"
    assert dimension_name(Dimension(-1, 0, 0)) == "a number divided by a length"
    assert dimension_name(Dimension(1, 0, -1)) == "a length divided by a weight"
    assert LENGTH.times(LENGTH) == AREA and AREA.over(LENGTH) == LENGTH and LENGTH.over(LENGTH) == PLAIN


INCH_AND_MM = Units("inch", F(1, 32), MM_HALF)
MM_AND_INCH = Units("mm", F(1, 2), Units("inch", F(1, 64)))


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (F(47, 2) * INCH, INCH_AND_MM, "23 1/2 [597]"),
        (F(17, 10), INCH_AND_MM, "≈1/16 [1.5]"),  # 1/16 in is 1.5875 mm: from the printed figure it would be 1.5 too,
        (F(9), INCH_AND_MM, "≈11/32 [9]"),  # but 11/32 in is 8.73 mm, which is 8.5
        (F(450), MM_AND_INCH, "450 [17 23/32]"),
        (F(3, 4) * INCH, MM_AND_INCH, "≈19 [3/4]"),
        (F(0), MM_AND_INCH, "0 [0]"),
    ],
)
def test_the_second_figure_is_of_the_length_itself(length: F, units: Units, text: str) -> None:
    assert dual_text(length, units) == text
    assert dual_text(length, Units(units.system, units.step)) == text.partition(" [")[0]
    assert shop_text(length, units) == text.partition(" [")[0]


def test_what_must_fit_is_finer_in_both_units() -> None:
    assert dual_text(F(176, 10), INCH_AND_MM.fine) == "≈11/16 [17.6]"
    assert INCH_AND_MM.fine.second == Units("mm", F(1, 10))


def test_a_size_that_names_its_unit_has_no_second_figure() -> None:
    assert dual_diameter(F(5), INCH_AND_MM) == "5 mm"
    assert dual_diameter(F(1, 4) * INCH, INCH_AND_MM) == "1/4 [6.4]"
    assert dual_diameter(F(1, 4) * INCH, MM_AND_INCH) == '1/4"'
    assert dual_diameter(F(1, 4) * INCH, INCH_32) == "1/4"


def test_words_of_a_drawing_lose_the_mark_and_have_both_figures() -> None:
    assert unmarked('spline 1/4" × 2 1/2", ≈1/3"', INCH_32) == "spline 1/4 × 2 1/2, ≈1/3"
    assert unmarked('spline 1/4" × 2 1/2", ≈11/32"', INCH_AND_MM) == "spline 1/4 [6.5] × 2 1/2 [63.5], ≈11/32"
    assert unmarked("core Ø19.5 mm, 10 mm deep", MM_AND_INCH) == "core Ø19.5 [49/64], 10 [25/64] deep"
