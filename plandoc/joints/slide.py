"""Slide: the edge of a tray or a drawer runs in a channel, without glue and with play."""

from __future__ import annotations

from fractions import Fraction

from plandoc.joints import channel as c
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param

CLEARANCE = Param("clearance", "length", "play of the running edge: taken once from the width, and left at the bottom of the channel", default=Fraction(0))


def cut(context: JointContext) -> JointEffect | None:
    """The channel in B, wider than A by the clearance; A stops short of its bottom by the same."""
    clearance = context.args.get("clearance")
    play = clearance if isinstance(clearance, Fraction) else Fraction(0)
    found = c.channel(context, play)
    if found is None:
        return None
    if play == 0:
        context.tell.say("PD403", "a sliding edge without clearance will stick", notes=("common practice: 1/32 to 1/16 in, about 1 mm",), mend='clearance 1/32"')
    return c.effect(context, found, glued=False, clearance=play)


KIND = JointKind(
    name="slide",
    doc="A channel in the second part in which the edge of the first runs, without glue.",
    params=(c.DEEP, CLEARANCE, c.STOPPED, c.STOP_FROM),
    extend=c.extend_loose,
    cut=cut,
    example='joint slide tray into left_side, right_side deep 3/8" clearance 1/32"',
)
