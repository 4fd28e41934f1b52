"""PD342: work that leaves a part in several pieces."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.build.solids import blank_solid
from plandoc.checks.cutting import named, room
from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text, exact_box
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part

CHIP = 0.5  # mm3; smaller pieces are slivers between the chords of arcs


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every part whose finished solid hangs together no more, at the feature that severs it."""
    known: dict[int, int] = {}
    for part in model.parts:
        solid = solids[part.path]
        if solid.shape not in known:
            known[solid.shape] = len(_pieces(solid))
        if known[solid.shape] < 2:
            continue
        feature = _severing(part)
        units = model.info.units
        notes = [f"piece: {box_text(exact_box(p.bounds, part.box), units)}" for p in _pieces(solid)[:3]]
        if feature is None:
            sink.emit("PD342", f"{part.path} does not hang together", part.span, notes=notes)
            continue
        sink.emit(
            "PD342",
            f"{named(part, feature)} leaves it in {known[solid.shape]} pieces",
            feature.span if feature.span.file else part.span,
            notes=[f"cut: {box_text(room(feature), units)}", *notes],
            mend="stop the cut before it reaches the edge, or make it shallower",
        )


def _pieces(solid: Solid) -> list[Solid]:
    return [p for p in solid.pieces() if p.volume > CHIP]


def _severing(part: Part) -> Feature | None:
    """The first feature after which there is more than one piece, cuts taken in plan order."""
    body = blank_solid(part)
    for feature in part.features:
        if feature.cuts:
            body = body.minus(Solid.from_prisms(feature.cuts))
            if len(_pieces(body)) > 1:
                return feature
    return None


CHECK = Check("PD342", run)
