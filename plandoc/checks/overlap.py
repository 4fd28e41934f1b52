"""PD340: two parts in the same room. Every part is finished first, so what a joint cut out is free."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text, exact_box, volume_text
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import AXES, AXIS_NAMES, Box, Prism, Rect, body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Part
from plandoc.quantity import shop_text

# mm3. Flat faces are exact, but the chords of two arcs that touch may stand in each other by up to 0.04 mm over
# a width of some mm; the wood of a real overlap (a paper's thickness on a square inch is 60 mm3) is far above.
SHAVING = 0.5
SHOWN = 3


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every pair of placed parts that share volume."""
    for first, second in combinations(model.placed, 2):
        together = first.lean == second.lean
        room = first.box.common(second.box) if together else first.stands.common(second.stands)
        if room is None or (together and (_freed(first, room) or _freed(second, room))):
            continue
        if solids[first.path].common_volume(solids[second.path]) <= SHAVING:
            continue
        shared = solids[first.path].common(solids[second.path])
        _report(model, first, second, shared, sink)


def _freed(part: Part, room: Box) -> bool:
    """Whether one straight cut of the part empties the whole room: the case of a tongue in its channel, exactly."""
    for feature in part.features:
        for prism in feature.cuts:
            if isinstance(prism, Prism) and isinstance(prism.outline, Rect) and body_box(prism).common(room) == room:
                return True
    return False


def _report(model: Model, first: Part, second: Part, shared: Solid, sink: Sink) -> None:
    units = model.info.units
    near = [part.stands for part in (first, second)]
    near += [body_box(p) for part in (first, second) if part.lean is None for f in part.features for p in (*f.cuts, *f.adds)]
    places = [exact_box(piece.bounds, *near) for piece in shared.pieces() if piece.volume > SHAVING]
    notes: list[Note | str] = [f"shared room: {box_text(box, units)}" for box in places[:SHOWN]]
    if len(places) > SHOWN:
        notes.append(f"and {len(places) - SHOWN} more places")
    if first.span != second.span:
        notes.append(Note(f"{first.path} stands here", first.span))
    box = places[0] if places else exact_box(shared.bounds, *near)
    axis = _thinnest(box)
    way = shop_text(box.size(axis), units, mark=True)
    mend = (
        f"place them {way} further apart {AXIS_NAMES[axis]}, let one of them end {way} sooner, or write a joint "
        f"between {first.path} and {second.path}"
    )
    met = _meeting_tenons(model, first, second)
    if met:
        mend = f"their tenons meet inside {met}: make both shorter, mitre both tips (`mitred`, with the side of the other rail), or set one higher than the other"
    sink.emit(
        "PD340",
        f"{first.path} and {second.path} stand in the same room: they share {volume_text(shared.volume, units)}, "
        f"{way} deep {AXIS_NAMES[axis]}",
        second.span,
        notes=notes,
        mend=mend,
    )


def _meeting_tenons(model: Model, first: Part, second: Part) -> str:
    """The part that both enter with a tenon, "" where there is none."""
    entered = [{j.b: None for j in model.joints if j.a == part.path and j.kind == "tenon"} for part in (first, second)]
    return next((path for path in entered[0] if path in entered[1]), "")


def _thinnest(box: Box) -> int:
    return min(AXES, key=lambda axis: (box.size(axis), axis))


CHECK = Check("PD340", run)
