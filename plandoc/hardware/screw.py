"""Screw: by number and length; used with joints, or counted on its own."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="screw",
    doc="A wood screw by its number and length.",
    params=(Param("gauge", "text", "number such as No 8", required=True, lead=True), Param("long", "length", "length", required=True, above=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware screw8 screw No 8 "Flat-head screw" long 1 1/4"',
)
