"""Bits, bores and spacings are printed as they are bought."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.quantity import Units, diameter_text

INCH, METRIC = Units(), Units("mm", F(1))


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (F(5), INCH, "5 mm"),
        (F(96), INCH, "96 mm"),
        (F(254, 40), INCH, "1/4"),
        (F(254, 640), INCH, "1/64"),
        (F(254, 10) * 3 / 32, INCH, "3/32"),
        (F(1, 7), INCH, "≈0"),
        (F(5), METRIC, "5"),
        (F(9, 2), METRIC, "4.5"),
        (F(254, 40), METRIC, '1/4"'),
        (F(71, 10), METRIC, "≈7"),
    ],
)
def test_sizes_keep_the_system_in_which_they_are_exact(length: F, units: Units, text: str) -> None:
    assert diameter_text(length, units) == text


def test_with_the_unit() -> None:
    assert diameter_text(F(254, 40), INCH, mark=True) == '1/4"'
    assert diameter_text(F(5), INCH, mark=True) == "5 mm"
    assert diameter_text(F(5), METRIC, mark=True) == "5 mm"
