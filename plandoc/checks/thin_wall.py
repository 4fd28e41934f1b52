"""PD362: a hole that leaves next to no wood to an edge, to the far face, or to other work."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.checks.cutting import goes_through
from plandoc.checks.holes import TOUCH, Hole, holes
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.bodies import Disc, Face, body_box, other_axes
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import INCH, shop_text

LEAST = INCH / 16
"""Wood that stands beside a bit (mm; common practice)."""


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report holes with less than LEAST beside or below them, once a row."""
    units = model.info.units
    told: set[tuple[str, str]] = set()
    for hole in holes(model):
        if (hole.part.path, hole.row) in told:
            continue
        thin = _thin(hole)
        if thin is None:
            continue
        told.add((hole.part.path, hole.row))
        left, where = thin
        sink.emit(
            "PD362",
            f"{hole.name} leaves {shop_text(left, units.fine, mark=True)} of wood to {where}",
            hole.feature.span,
            notes=(f"less than {shop_text(LEAST, units.fine, mark=True)} breaks away at the bit (common practice)",),
            mend="move it, or make it smaller or shallower",
        )


def _thin(hole: Hole) -> tuple[Fraction, str] | None:
    box, part = body_box(hole.prism), hole.part
    for axis in other_axes(hole.prism.axis):
        for side in (-1, 1):
            face = Face(axis, side)
            left = (part.box.at(face) - box.at(face)) * side
            if 0 <= left < LEAST:
                return left, f"the {face.name} edge"
    far = hole.face.opposite
    below = (part.box.at(far) - box.at(far)) * far.side
    if not goes_through(hole.feature) and 0 < below < LEAST:
        return below, f"the {far.name} face"
    for other in hole.neighbours:
        if other.section is None or isinstance(other.prism.outline, Disc) or not hole.apart(other.feature):
            continue
        if hole.covered(other):
            continue
        apart = other.section.distance(hole.centre) - hole.radius
        if -TOUCH <= apart < float(LEAST) - TOUCH:
            return Fraction(max(0, round(apart * 1000)), 1000), f"the {other.feature.kind}"
    return None


CHECK = Check("PD362", run)
