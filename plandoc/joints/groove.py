"""Groove: a channel along the grain that takes the edge of a panel."""

from __future__ import annotations

from plandoc.joints import channel as c
from plandoc.model.kinds import JointKind

KIND = JointKind(
    name="groove",
    doc="A channel along the grain of the second part takes the edge of the first.",
    params=(c.DEEP, c.FIT, c.STOPPED, c.STOP_FROM, *c.FASTENED),
    extend=c.extend,
    cut=c.cut,
    example="joint groove panel into left_side, right_side deep 1/4\"",
)
