"""PD361: a hole that breaks out through an edge of its part, or into other work beside it."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.holes import Hole, holes
from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Disc, Face, body_box, other_axes
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model
from plandoc.model.rods import ROD
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report holes of hardware over an edge, and holes whose wall a notch, a channel or a pocket opens; of pins and screws
    also those that go through the channel of another joint; once a row. Plain holes that run into each other are a slot,
    and pins and screws that meet are told elsewhere."""
    units = model.info.units
    told: set[tuple[str, str]] = set()
    for hole in holes(model):
        if (hole.part.path, hole.row) in told:
            continue
        edge = _edge(hole) if hole.fitting else None
        opener = _opener(hole)
        if edge is None and opener is None:
            continue
        told.add((hole.part.path, hole.row))
        notes: list[Note | str] = [f"its diameter is {shop_text(2 * hole.prism.outline.radius, units, mark=True)}"] if isinstance(hole.prism.outline, Disc) else []
        if edge is not None:
            where = f"the {edge.name} edge"
        else:
            assert opener is not None
            where = f"the {opener.kind}"
            notes.append(Note(f"the {opener.kind} stands here", opener.span))
        sink.emit("PD361", f"{hole.name} breaks out at {where}", hole.feature.span, notes=notes, mend="move it into whole wood, or take a smaller one")


def _edge(hole: Hole) -> Face | None:
    box = body_box(hole.prism)
    for axis in other_axes(hole.prism.axis):
        for side in (-1, 1):
            face = Face(axis, side)
            if (box.at(face) - hole.part.box.at(face)) * side > 0:
                return face
    return None


def _opener(hole: Hole) -> Feature | None:
    for other in hole.neighbours:
        if not hole.fitting and isinstance(other.prism.outline, Disc):
            continue
        if other.feature.kind == "finger" or not hole.apart(other.feature):
            continue
        if other.feature.kind == ROD and other.prism.axis != hole.prism.axis:
            continue  # across a rod; its sides are those of its box
        if (hole.opened(other) or (hole.fastened and hole.covered(other))) and not hole.gone(other):
            return other.feature
    return None


CHECK = Check("PD361", run)
