"""Butt: a face lies on a face; neither part changes its size."""

from __future__ import annotations

from plandoc.geometry.bodies import AXES, Box
from plandoc.joints import channel as c
from plandoc.joints.askew import lying
from plandoc.joints.fastening import fasten, plain
from plandoc.model.kinds import JointContext, JointEffect, JointKind


def extend(context: JointContext) -> tuple[Box, ...]:
    """Nothing is added."""
    return ()


def cut(context: JointContext) -> JointEffect | None:
    """Only fasteners leave their holes; they follow the longer side of the contact."""
    contact = context.contact
    first, second = (x for x in AXES if x != contact.entry.axis)
    run, across = (first, second) if contact.area.size(first) >= contact.area.size(second) else (second, first)
    return plain(context, run, across, fasten(context, contact.area, run, across))


KIND = JointKind(
    name="butt",
    doc="The first part lies against the second; glue, screws or dowels hold it.",
    params=c.FASTENED,
    extend=extend,
    cut=cut,
    leaning=lying,
    example="joint butt rail into left_side, right_side with screw8 every 3\"",
)
