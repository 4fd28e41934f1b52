"""Other: anything bought that needs no work of its own: feet, pins, glides, glass."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="other",
    doc="Anything bought that is only put on and counted.",
    params=(Param("long", "length", "length", above=True), c.LOAD, c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware glide other "Felt glide" price 0.40',
)
