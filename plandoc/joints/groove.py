"""Groove: a channel along the grain that takes the edge of a panel."""

from __future__ import annotations

from plandoc.joints import channel as c
from plandoc.model.kinds import JointContext, JointEffect, JointKind


def cut(context: JointContext) -> JointEffect | None:
    """The channel in B, as wide as A is thick plus the fit."""
    found = c.channel(context)
    if found is None:
        return None
    c.check_word(context, found)
    return c.effect(context, found)


KIND = JointKind(
    name="groove",
    doc="A channel along the grain of the second part takes the edge of the first.",
    params=(c.DEEP, c.FIT, c.STOPPED, c.STOP_FROM, *c.FASTENED),
    extend=c.extend,
    cut=cut,
    example="joint groove panel into left_side, right_side deep 1/4\"",
)
