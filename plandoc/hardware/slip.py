"""Slip: a loose tenon, a strip of wood that lies in two mortises."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="slip",
    doc="A loose tenon (slip tenon), bought or ripped from a strip.",
    params=(Param("size", "sizes", "thickness x width x length", required=True, lead=True, above=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware strip slip 1/4" x 1 1/2" x 2" "Loose tenon, beech"',
)
