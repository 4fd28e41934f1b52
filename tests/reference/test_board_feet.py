"""Board measure against published examples.

A 1 x 6 x 96 in board is 4 board feet (a lumber yard's page); a 5/4 board of that width and length counts 1.25 times.
"""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from plandoc.quantity import INCH
from plandoc.tables import board_feet, rough_thickness


def test_published_board_is_four_board_feet() -> None:
    assert board_feet(1 * INCH, 6 * INCH, 96 * INCH) == 4


def test_five_quarter_board_counts_one_and_a_quarter_times() -> None:
    assert board_feet(rough_thickness("5/4"), 6 * INCH, 96 * INCH) == 5


def test_definition_twelve_by_twelve_by_one() -> None:
    assert board_feet(INCH, 12 * INCH, 12 * INCH) == 1


def test_stock_thinner_than_an_inch_counts_as_an_inch() -> None:
    assert board_feet(rough_thickness("3/4"), 6 * INCH, 96 * INCH) == 4


@given(st.integers(4, 16), st.integers(1, 20), st.integers(1, 16))
def test_inches_and_feet_form_agree(quarters: int, wide: int, feet: int) -> None:
    thick = Fraction(quarters, 4)
    assert board_feet(thick * INCH, wide * INCH, feet * 12 * INCH) == thick * wide * feet / 12
