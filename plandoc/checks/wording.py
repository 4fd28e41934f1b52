"""Places and amounts in words, in the plan's units."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, AXIS_NAMES, Box
from plandoc.geometry.solid import Bounds
from plandoc.quantity import Units, shop_text

SNAP = Fraction(1, 100_000)


def box_text(box: Box, units: Units) -> str:
    """`across 1/2" to 23/32", back 0" to 12", up 4" to 4 3/4"`."""
    spans = []
    for axis in AXES:
        lo, hi = (shop_text(v, units, mark=True) for v in box.span(axis))
        spans.append(f"{AXIS_NAMES[axis]} {lo} to {hi}")
    return ", ".join(spans)


def volume_text(volume: float, units: Units) -> str:
    """A volume given in mm3, as cubic inches or cubic centimetres."""
    if units.system == "inch":
        return f"{_digits(volume / 25.4**3)} cubic inches"
    return f"{_digits(volume / 1000)} cm³"


def _digits(value: float) -> str:
    return f"{value:.2f}" if value >= 0.1 else f"{value:.2g}" if value >= 0.001 else "less than 0.001"


def exact_box(bounds: Bounds, *near: Box) -> Box:
    """The box of a solid with the exact coordinates of the given boxes where they agree within 0.00001 mm, so that
    a place is printed as the plan has it."""
    lo = [_snapped(bounds[0][a], a, near) for a in AXES]
    hi = [_snapped(bounds[1][a], a, near) for a in AXES]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _snapped(value: float, axis: int, near: tuple[Box, ...]) -> Fraction:
    exact = Fraction(value)
    for box in near:
        for candidate in box.span(axis):
            if abs(candidate - exact) < SNAP:
                return candidate
    # 1/12800 in: every fraction down to 1/128 in and every 0.01 mm lies on this grid
    grid = Fraction(254, 10) / 12800
    on_grid = round(exact / grid) * grid
    return on_grid if abs(on_grid - exact) < SNAP else round(exact * 1000) / Fraction(1000)
