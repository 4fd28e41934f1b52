"""Dowel: two parts meet, held by a row of hidden dowels."""

from __future__ import annotations

from fractions import Fraction

from plandoc.joints import arguments as a
from plandoc.joints import channel as c
from plandoc.joints.blind import blind_dowels
from plandoc.joints.fastening import long_axis, plain, unchanged
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param

COUNT = Param("count", "count", "how many, evenly", owners=("with",))
AT = Param("at", "lengths", "their places, from the left, front or lower end of where the parts meet (of a mirror image the mirrored one)", default=())


def cut(context: JointContext) -> JointEffect | None:
    """Blind holes in both parts, opposite each other."""
    pin = a.item(context, "with")
    made = None if pin is None else blind_dowels(context, pin, context.contact.area)
    if made is None:
        return None
    run, across = long_axis(context.contact.area, context.contact.entry.axis)
    return plain(context, run, across, made)


KIND = JointKind(
    name="dowel",
    doc="The first part lies against the second; dowels in blind holes of both hold it.",
    params=(
        Param("with", "item", "the dowels", required=True),
        COUNT,
        c.EVERY,
        c.ENDS,
        AT,
        Param("deep", "length", "how far they enter the second part; left out, by half of their length"),
        Param("clearance", "length", "what every hole is deeper than the dowel reaches", default=Fraction(0)),
        c.DRY,
    ),
    extend=unchanged,
    cut=cut,
    example='joint dowel rail into left_side, right_side with pin count 2 deep 1/2"',
)
