"""Rabbet: a channel that is open along an edge of the second part."""

from __future__ import annotations

from plandoc.joints import channel as c
from plandoc.model.kinds import JointKind

KIND = JointKind(
    name="rabbet",
    doc="A step along an edge of the second part takes the end or edge of the first.",
    params=(c.DEEP, c.FIT, c.STOPPED, c.STOP_FROM, *c.FASTENED, c.DRY),
    extend=c.extend,
    cut=c.cut,
    example='joint rabbet top into left_side, right_side deep 5/16"',
)
