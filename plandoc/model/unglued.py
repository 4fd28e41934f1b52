"""Joints without glue: those that the plan calls dry, sliding ones, panels that float, keys, panes."""

from __future__ import annotations

from plandoc.model.entities import Joint, Model
from plandoc.model.ordered import holds_pane


def floats(model: Model, joint: Joint) -> bool:
    """Whether a panel of solid wood lies in a groove with room at the bottom: it must be free to move, so it gets no glue
    (common practice). Sheet stock does not move."""
    return joint.kind == "groove" and joint.clearance > 0 and model.part(joint.a).stock.kind != "sheet" and not holds_pane(model, joint)


def keyed(joint: Joint) -> bool:
    """Whether keys hold it, so that it can be taken apart: no glue."""
    return any(f.kind == "key" for f in joint.fasteners)


def dry(model: Model, joint: Joint) -> bool:
    """Whether no glue goes into the joint."""
    return joint.dry or not joint.glued or floats(model, joint) or keyed(joint) or holds_pane(model, joint)
