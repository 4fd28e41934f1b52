"""Rabbet-dado: the end of the first part is rabbeted to a tongue that enters a narrow dado in the second."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box
from plandoc.joints import tongued as t
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param

HALF = Fraction(1, 2)  # of the board (common practice)


def inner(context: JointContext, size: Fraction) -> Fraction:
    """At the face of A that looks away from the nearer end of B, so that the dado keeps wood at that end."""
    axis, part, other = context.a.thickness_axis, context.a.shoulder, context.b.shoulder
    low_end_nearer = part.lo[axis] - other.lo[axis] < other.hi[axis] - part.hi[axis]
    return part.hi[axis] - size if low_end_nearer else part.lo[axis]


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by its tongue."""
    return t.extend(context, HALF, inner)


def cut(context: JointContext) -> JointEffect | None:
    """The dado in B and the rabbeted end of A."""
    return t.cut(context, HALF, inner)


KIND = JointKind(
    name="rabbet-dado",
    doc="The rabbeted end of the first part enters a dado in the second that is narrower than the part: corners of drawers and boxes.",
    params=(
        Param("deep", "length", "length of the tongue, depth of the dado", required=True),
        Param("sized", "length", "thickness of the tongue; left out, half of the board in steps of 1/16 in. or 1 mm"),
        Param("set", "length", "how far the tongue lies behind the reference face; left out, it is at the inner face"),
        t.FIT,
        t.CLEARANCE,
    ),
    extend=extend,
    cut=cut,
    example='joint rabbet-dado top into left_side, right_side deep 1/4"',
)
