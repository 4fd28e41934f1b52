"""Slip: a loose tenon, a strip of wood that lies in two mortises."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="slip",
    doc="A loose tenon (slip tenon), bought or ripped from a strip.",
    params=(Param("thick", "length", "thickness", required=True), Param("wide", "length", "width", required=True), Param("long", "length", "length", required=True), c.PRICE),
    fit_params=(c.FIT_COUNT,),
    fit=c.counted,
    example='hardware strip slip "Loose tenon, beech" thick 1/4" wide 1 1/2" long 2"',
)
