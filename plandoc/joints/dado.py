"""Dado: a channel across the grain that takes the end of a shelf or a divider."""

from __future__ import annotations

from plandoc.joints import channel as c
from plandoc.model.kinds import JointKind

KIND = JointKind(
    name="dado",
    doc="A channel across the grain of the second part takes the end or edge of the first.",
    params=(c.DEEP, c.FIT, c.STOPPED, c.STOP_FROM, *c.FASTENED, c.DRY),
    extend=c.extend,
    cut=c.cut,
    example="joint dado shelf into left_side, right_side deep 1/4\"",
)
