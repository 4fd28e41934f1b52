"""Butt: a face lies on a face; neither part changes its size."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box
from plandoc.joints import channel as c
from plandoc.joints.askew import lying
from plandoc.joints.fastening import fasten
from plandoc.model.entities import Joint
from plandoc.model.kinds import JointContext, JointEffect, JointKind


def extend(context: JointContext) -> tuple[Box, ...]:
    """Nothing is added."""
    return ()


def cut(context: JointContext) -> JointEffect | None:
    """Only fasteners leave their holes; they follow the longer side of the contact."""
    contact = context.contact
    first, second = (x for x in AXES if x != contact.entry.axis)
    run, across = (first, second) if contact.area.size(first) >= contact.area.size(second) else (second, first)
    fasteners, holes_a, holes_b = fasten(context, contact.area, run, across)
    zero = Fraction(0)
    joint = Joint(context.id, context.kind, context.a.path, context.b.path, contact.entry, contact.entry.opposite, zero, zero, zero, zero, zero, run, across, contact.area, fasteners=fasteners, span=context.tell.span)
    return JointEffect(joint, holes_a, holes_b)


KIND = JointKind(
    name="butt",
    doc="The first part lies against the second; glue, screws or dowels hold it.",
    params=c.FASTENED,
    extend=extend,
    cut=cut,
    leaning=lying,
    example="joint butt rail into left_side, right_side with screw8 every 3\"",
)
