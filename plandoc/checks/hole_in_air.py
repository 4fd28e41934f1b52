"""PD360: a hole for hardware of which other work has taken half or more: its screw finds no wood."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.holes import TOUCH, Hole, Neighbour, holes
from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Rect, body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report holes of hardware with less than half of their depth in wood, once a row. One that lies wholly in one
    straight cut is a cut made twice (PD345)."""
    told: set[tuple[str, str]] = set()
    for hole in holes(model):
        if not hole.fitting or (hole.part.path, hole.row) in told:
            continue
        takers = [n for n in hole.neighbours if n.feature.id.rpartition(".")[0] != hole.feature.id.rpartition(".")[0] and hole.covered(n)]
        deep = float(hole.prism.hi - hole.prism.lo)
        if not takers or _taken(takers) < deep / 2 + TOUCH or any(_whole(hole, n) for n in takers):
            continue
        told.add((hole.part.path, hole.row))
        taker = takers[0].feature
        sink.emit(
            "PD360",
            f"{hole.name} lies in air: the {taker.kind} has taken {'all' if _taken(takers) >= deep - TOUCH else 'most'} of its wood",
            hole.feature.span,
            notes=(Note(f"the {taker.kind} stands here", taker.span),),
            mend="move the hardware to where the part is whole, or leave wood there",
        )


def _taken(takers: list[Neighbour]) -> float:
    """Depth that several cuts take together (mm)."""
    total, reached = 0.0, float("-inf")
    for lo, hi in sorted((n.lo, n.hi) for n in takers):
        total += max(0.0, hi - max(lo, reached))
        reached = max(reached, hi)
    return total


def _whole(hole: Hole, other: Neighbour) -> bool:
    """What PD345 tells of."""
    if not isinstance(other.prism.outline, Rect):
        return False
    wood = body_box(hole.prism).common(hole.part.box)
    return wood is not None and body_box(other.prism).common(wood) == wood


CHECK = Check("PD360", run)
