"""Biscuit: a flat piece of pressed beech that swells in its slot, by its number."""

from __future__ import annotations

from fractions import Fraction

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

SLOT = Fraction(4)
"""Width of the slot (mm); common practice."""

SIZES: dict[int, tuple[Fraction, Fraction]] = {
    0: (Fraction(47), Fraction(15)),
    10: (Fraction(53), Fraction(19)),
    20: (Fraction(56), Fraction(23)),
}
"""Number -> length and width (mm). Source: common practice, from memory."""

KIND = HardwareKind(
    name="biscuit",
    doc="A biscuit by its number: No 0, No 10 or No 20.",
    params=(Param("gauge", "text", "number such as No 20", required=True, lead=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware flat20 biscuit No 20 "Biscuit No 20"',
    source="common practice, from memory",
)
