"""Biscuit: a flat piece of pressed beech that swells in its slot, by its number."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="biscuit",
    doc="A biscuit by its number: No 0, No 10 or No 20.",
    params=(Param("gauge", "text", "number such as No 20", required=True, lead=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware flat20 biscuit No 20 "Biscuit No 20"',
    source="common practice, from memory",
)
