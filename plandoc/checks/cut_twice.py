"""PD345: a cut in wood that another cut of the same part has taken already."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plandoc.build.solids import blank_solid
from plandoc.checks.cutting import named, room
from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Body, Disc, Prism, Rect, body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part

CHIP = 0.5  # mm3; less is what lies between the chords of two arcs


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every feature all of whose cuts, or one of whose rounded edges, lie within a cut of one other feature."""
    for part in model.parts:
        cutting = [f for f in part.features if f.cuts]
        for index, feature in enumerate(cutting):
            taker = _taker(part, index, cutting)
            if taker is None:
                continue
            notes: list[Note | str] = [f"cut: {box_text(room(feature), model.info.units)}"]
            notes.append(Note(f"{named(part, taker)} takes that wood", taker.span))
            sink.emit(
                "PD345",
                f"{named(part, feature)} takes nothing away: the {taker.kind} has taken that wood already",
                feature.span,
                notes=notes,
                mend="move one of the two, or leave one out",
            )


def _taker(part: Part, index: int, cutting: Sequence[Feature]) -> Feature | None:
    feature = cutting[index]
    # of rounded and chamfered edges each one counts: an edge that is gone already was not meant
    enough = any if feature.kind in ("round-over", "chamfer") else all
    for number, other in enumerate(cutting):
        if number == index or not enough(any(holds(o, p, part) for o in other.cuts) for p in feature.cuts):
            continue
        # of two that hold each other the first one stays
        mutual = all(any(holds(p, o, part) for p in feature.cuts) for o in other.cuts)
        if not mutual or number < index:
            return other
    return None


def holds(outer: Body, inner: Body, part: Part) -> bool:
    """Whether outer takes all wood of the part that inner takes; exact for boxes and for concentric circles, of other
    outlines by their solids."""
    if isinstance(outer, Prism) and isinstance(outer.outline, Rect):
        wood = body_box(inner).common(part.box)
        return wood is not None and body_box(outer).common(wood) == wood
    if not isinstance(outer, Prism) or not isinstance(outer.outline, Disc):
        return _solid_holds(outer, inner, part)
    if not isinstance(inner, Prism) or not isinstance(inner.outline, Disc):
        return _solid_holds(outer, inner, part)
    if outer.axis != inner.axis or outer.lo > inner.lo or outer.hi < inner.hi:
        return False
    return outer.outline.centre == inner.outline.centre and outer.outline.radius >= inner.outline.radius


def _solid_holds(outer: Body, inner: Body, part: Part) -> bool:
    wood = body_box(inner).common(part.box)
    if wood is None or body_box(outer).common(wood) != wood:
        return False
    taken = blank_solid(part).common(Solid.from_prisms([inner]))
    return not taken.empty and taken.minus(Solid.from_prisms([outer])).volume < CHIP


CHECK = Check("PD345", run)
