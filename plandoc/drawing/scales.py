"""The scales that a drawing may have, and how they are named.

Metric: ISO 5455 (1:1, 1:2, 1:5, 1:10 and decimal multiples, 2:1, 5:1). Inch: the shop's scales from full size to
1/4 inch to the foot, common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.quantity import Units

LISTED: dict[str, tuple[Fraction, ...]] = {
    "mm": tuple(Fraction(*s) for s in ((5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10), (1, 20), (1, 50))),
    "inch": tuple(
        Fraction(*s)
        for s in ((4, 1), (2, 1), (1, 1), (1, 2), (1, 4), (1, 8), (1, 12), (1, 16), (1, 24), (1, 32), (1, 48))
    ),
}


def listed_scales(units: Units) -> tuple[Fraction, ...]:
    """The scales of a unit system, paper over model, largest first."""
    return LISTED[units.system]


def choose_scale(
    model_size_mm: tuple[float, float], room_mm: tuple[float, float], listed: Sequence[Fraction]
) -> Fraction:
    """The largest listed scale at which the size fits into the room; the smallest listed one where none does."""
    ordered = sorted(listed, reverse=True)
    for scale in ordered:
        if all(side * scale <= room + 1e-6 for side, room in zip(model_size_mm, room_mm, strict=True)):
            return scale
    return ordered[-1]


def ratio(scale: Fraction) -> str:
    """`1:8`, `2:1`."""
    return f"{scale.numerator}:{scale.denominator}"


def scale_name(scale: Fraction, units: Units) -> str:
    """`FULL SIZE (1:1)`, `1:5`; in inch plans also `HALF SIZE (1:2)` and `1:8 (1 1/2" = 1')`."""
    if scale == 1:
        return "FULL SIZE (1:1)"
    if units.system != "inch" or scale > 1:
        return ratio(scale)
    if scale == Fraction(1, 2):
        return "HALF SIZE (1:2)"
    inches = 12 * scale
    whole, rest = divmod(inches, 1)
    figure = " ".join(([str(whole)] if whole else []) + ([f"{rest.numerator}/{rest.denominator}"] if rest else []))
    return f"{ratio(scale)} ({figure}\" = 1')" if inches.denominator <= 32 else ratio(scale)
