"""PD363: a part, or other hardware, in the room that hardware needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text, exact_box
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import AXES, Box, box_prism
from plandoc.geometry.lean import Lean
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Fitting, Model

SHAVING = 0.5  # mm3, as for parts


def rooms(fitting: Fitting) -> tuple[Box, ...]:
    """The pieces of room that a fitting needs."""
    if fitting.rooms:
        return fitting.rooms
    return (fitting.box,) if fitting.box is not None and fitting.box.volume > 0 else ()


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report each part once for each fitting, and each pair of fittings once."""
    for fitting in model.fittings:
        for path, shared in _parts_in(model, solids, fitting):
            sink.emit(
                "PD363",
                f"{path} stands in the room that {fitting.item} needs on {fitting.parts[0]}",
                fitting.span,
                notes=(f"they share {box_text(shared, model.info.units)}", Note(f"{path} stands here", model.part(path).span)),
                mend="move the hardware or the part; the room is an outline, check it against the hardware in hand",
            )
    for first, second in combinations(model.fittings, 2):
        if _lean(model, first) != _lean(model, second):
            continue  # their rooms stand askew to each other; parts in them are found above
        both = next((c for a in rooms(first) for b in rooms(second) if (c := a.common(b)) is not None), None)
        if both is not None:
            sink.emit(
                "PD363",
                f"{second.item} on {second.parts[0]} needs room that {first.item} takes",
                second.span,
                notes=(f"they share {box_text(both, model.info.units)}", Note(f"{first.item} is fitted here", first.span)),
                mend="move one of the two",
            )


def _lean(model: Model, fitting: Fitting) -> Lean | None:
    """How the parts lean that the hardware sits on; its room leans with them."""
    return model.part(fitting.parts[0]).lean


def _parts_in(model: Model, solids: Mapping[str, Solid], fitting: Fitting) -> Iterator[tuple[str, Box]]:
    lean = _lean(model, fitting)
    needed = []
    for room in rooms(fitting):
        body = Solid.from_prisms([box_prism(room)])
        if lean is not None:
            body = body.leaned(lean)
        needed.append((room, body, body.bounds))
    for part in model.placed:
        if part.path in fitting.parts:
            continue
        lo, hi = solids[part.path].bounds
        for room, body, (low, high) in needed:
            if any(lo[a] >= high[a] or hi[a] <= low[a] for a in AXES):
                continue
            common = solids[part.path].common(body)
            if common.volume > SHAVING:
                yield part.path, exact_box(common.bounds, room, part.box)
                break


CHECK = Check("PD363", run)
