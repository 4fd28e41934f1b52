"""Dowel: a round pin, by diameter and length."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="dowel",
    doc="A round wooden pin by diameter and length.",
    params=(Param("size", "sizes", "diameter x length", required=True, lead=True, above=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware pin dowel 3/8" x 1 1/2" "Beech dowel"',
)
