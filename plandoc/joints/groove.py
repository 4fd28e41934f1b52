"""Groove: a channel along the grain that takes the edge of a panel."""

from __future__ import annotations

from fractions import Fraction

from plandoc.joints import channel as c
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param

CLEARANCE = Param("clearance", "length", "what the groove is deeper than the panel reaches, so that a panel has room in it", default=Fraction(0))


def cut(context: JointContext) -> JointEffect | None:
    """The groove in B, as wide as A is thick plus the fit; A stops short of its bottom by the clearance."""
    clearance = context.args.get("clearance")
    room = clearance if isinstance(clearance, Fraction) else Fraction(0)
    found = c.channel(context, room, sideways=False)
    if found is None:
        return None
    c.check_word(context, found)
    return c.effect(context, found, clearance=room)


KIND = JointKind(
    name="groove",
    doc="A channel along the grain of the second part takes the edge of the first.",
    params=(c.DEEP, c.FIT, CLEARANCE, c.STOPPED, c.STOP_FROM, *c.FASTENED, c.DRY),
    extend=c.extend_loose,
    cut=cut,
    example="joint groove panel into left_side, right_side deep 1/4\"",
)
