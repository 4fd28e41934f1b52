"""Glue: counted by the area of the glued joints between the named parts."""

from __future__ import annotations

from plandoc.hardware import common as c
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="glue",
    doc="Glue for the joints between the named parts. `covers` is a surface that one pack is good for.",
    params=(Param("covers", "size", "two sides of the surface that one pack covers", above=True), c.PRICE),
    fit_params=(),
    fit=c.counted,
    example="hardware white_glue glue \"Wood glue, 8 oz\" covers 5' x 7'",
    spread=True,
)
