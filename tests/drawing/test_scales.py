"""Scales: the largest that fits, and the names that the trade gives them."""

from fractions import Fraction

import pytest

from plandoc.drawing.scales import LISTED, choose_scale, listed_scales, scale_name
from plandoc.quantity import Units

INCH, METRIC = Units(), Units("mm", Fraction(1, 2))


def test_lists_are_ordered_and_without_odd_ratios():
    for scales in LISTED.values():
        assert list(scales) == sorted(set(scales), reverse=True)
    assert Fraction(2, 5) not in LISTED["mm"]  # 1:2.5 is not in ISO 5455


@pytest.mark.parametrize(
    ("size", "room", "scale"),
    [
        ((609.6, 762.0), (150.0, 150.0), Fraction(1, 8)),
        ((100.0, 50.0), (150.0, 150.0), Fraction(1, 1)),
        ((20.0, 10.0), (150.0, 150.0), Fraction(4, 1)),
        ((1200.0, 1.0), (150.0, 10.0), Fraction(1, 8)),
        ((90000.0, 1.0), (150.0, 10.0), Fraction(1, 48)),
    ],
)
def test_the_largest_scale_that_fits(size, room, scale):
    assert choose_scale(size, room, listed_scales(INCH)) == scale


@pytest.mark.parametrize(
    ("scale", "units", "name"),
    [
        (Fraction(1), INCH, "FULL SIZE (1:1)"),
        (Fraction(1, 2), INCH, "HALF SIZE (1:2)"),
        (Fraction(1, 2), METRIC, "1:2"),
        (Fraction(1, 8), INCH, "1:8 (1 1/2\" = 1')"),
        (Fraction(1, 16), INCH, "1:16 (3/4\" = 1')"),
        (Fraction(1, 4), INCH, "1:4 (3\" = 1')"),
        (Fraction(1, 10), METRIC, "1:10"),
        (Fraction(2), METRIC, "2:1"),
    ],
)
def test_names(scale, units, name):
    assert scale_name(scale, units) == name
