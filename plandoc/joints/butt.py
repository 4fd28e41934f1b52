"""Butt: a face lies on a face; neither part changes its size."""

from __future__ import annotations

from plandoc.joints import channel as c
from plandoc.joints.askew import lying
from plandoc.joints.dowel import COUNT
from plandoc.joints.fastening import fasten, long_axis, plain, unchanged
from plandoc.model.kinds import JointContext, JointEffect, JointKind


def cut(context: JointContext) -> JointEffect | None:
    """Only fasteners leave their holes; they follow the longer side of the contact."""
    contact = context.contact
    run, across = long_axis(contact.area, contact.entry.axis)
    return plain(context, run, across, fasten(context, contact.area, run, across))


KIND = JointKind(
    name="butt",
    doc="The first part lies against the second; glue, screws or dowels hold it.",
    params=(c.WITH, COUNT, c.EVERY, c.ENDS, c.DRY),
    extend=unchanged,
    cut=cut,
    leaning=lying,
    example="joint butt rail into left_side, right_side with screw8 every 3\"",
)
