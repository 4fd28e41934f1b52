"""PD341: a cut that lies beside its part and takes nothing away."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.build.solids import blank_solid
from plandoc.checks.cutting import inside, named, room, worked
from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text
from plandoc.diagnostics import Sink
from plandoc.geometry.bodies import Prism, Rect, body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part

NOTHING = 1e-3  # mm3


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every feature with a cut that meets no wood of its part's blank."""
    for part, feature in worked(model):
        if not any(_misses(part, feature, i) for i in range(len(feature.cuts))):
            continue
        units = model.info.units
        sink.emit(
            "PD341",
            f"{named(part, feature)} takes nothing away: it lies beside the part",
            feature.span,
            notes=(f"cut: {box_text(room(feature), units)}", f"{part.path}: {box_text(part.box, units)}"),
            mend="measure its place from the part's own faces",
        )


def _misses(part: Part, feature: Feature, number: int) -> bool:
    prism = feature.cuts[number]
    if body_box(prism).common(part.box) is None:
        return True
    if inside(prism, part.shoulder):
        return False
    # the corners of the box may be empty beside tongues, and a round cut may pass a corner of the box
    adds = [p for f in part.features for p in f.adds]
    if all(isinstance(p, Prism) and isinstance(p.outline, Rect) for p in (prism, *adds)):
        return all(body_box(prism).common(wood) is None for wood in (part.shoulder, *map(body_box, adds)))
    return blank_solid(part).common_volume(Solid.from_prisms([prism])) < NOTHING


CHECK = Check("PD341", run)
