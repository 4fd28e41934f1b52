"""Screw: screws through the second part into the first."""

from __future__ import annotations

from plandoc.joints import arguments as a
from plandoc.joints import channel as c
from plandoc.joints.dowel import COUNT
from plandoc.joints.fastening import fasten, long_axis, plain, unchanged
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param


def cut(context: JointContext) -> JointEffect | None:
    """Lead holes in A, clearance holes in B, with a countersink, or a counterbore for a plug."""
    item = a.item(context, "with")
    if item is not None and item.kind != "screw":
        context.tell.say("PD323", f"`{item.name}` is no screw", notes=(f"it is a {item.kind}",), mend='hardware s8 screw No 8 long 1 1/4", and here: with s8')
        return None
    run, across = long_axis(context.contact.area, context.contact.entry.axis)
    return plain(context, run, across, fasten(context, context.contact.area, run, across))


KIND = JointKind(
    name="screw",
    doc="Screws go through the second part into the first: lead hole in the first, clearance hole and countersink in the second.",
    params=(
        Param("with", "item", "the screws", required=True),
        COUNT,
        c.EVERY,
        c.ENDS,
        c.PLUGGED,
        c.DRY,
    ),
    extend=unchanged,
    cut=cut,
    example='joint screw rail into left_side, right_side with screw8 count 2',
)
