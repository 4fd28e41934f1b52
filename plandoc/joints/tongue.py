"""Tongue: a tongue along the edge of one board enters a groove in the next."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box
from plandoc.joints import channel as c
from plandoc.joints import tongued as t
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param

THIRD = Fraction(1, 3)  # of the board (common practice)


def extend(context: JointContext) -> tuple[Box, ...]:
    """The board grows by its tongue."""
    return t.extend(context, THIRD, t.middle)


def cut(context: JointContext) -> JointEffect | None:
    """The groove in the second board and the tongue on the first."""
    return t.cut(context, THIRD, t.middle)


KIND = JointKind(
    name="tongue",
    doc="A tongue along an edge or an end of the first part enters a groove in the second.",
    params=(Param("deep", "length", "length of the tongue", required=True), t.SIZED, t.SET, t.FIT, t.CLEARANCE, t.SHARED, c.STOPPED, c.STOP_FROM, c.DRY),
    extend=extend,
    cut=cut,
    example='joint tongue panel into left_side, right_side deep 1/4" clearance 1/32"',
)
