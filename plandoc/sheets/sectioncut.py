"""One section: what is cut, what stands behind, and its hatching. Picture mm of the model, y upwards; paper mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.build.pieces import piece_model
from plandoc.drawing.display import XY, Extent, Group
from plandoc.drawing.hatch import cut_pattern
from plandoc.geometry.bodies import Box
from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Region
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import FACE_VIEWS, Projection
from plandoc.model.entities import Model, Part
from plandoc.sheets.context import SheetContext
from plandoc.sheets.levels import picture_axis
from plandoc.sheets.section_plan import Cut
from plandoc.sheets.views import Placement

Loop2 = tuple[XY, ...]


@dataclass(frozen=True, slots=True)
class CutFace:
    """The cut face of one part: loops in picture mm, holes included."""

    part: Part
    loops: tuple[Loop2, ...]
    index: int


@dataclass(frozen=True, slots=True)
class Section:
    """One section traced: what is cut and what stands behind. model: the plan, or the piece that is cut."""

    model: Model
    cut: Cut
    view: Projection
    faces: tuple[CutFace, ...]
    strokes: tuple[Stroke, ...]
    box: Box


def cut_through(ctx: SheetContext, cut: Cut) -> Section:
    """The section: the faces in its plane and the edges behind it."""
    at = float(cut.at)
    view = FACE_VIEWS[cut.look.opposite.name]
    halves = []
    faces: list[CutFace] = []
    model = piece_model(ctx.model, cut.piece) if cut.piece else ctx.model
    for part in model.placed:
        solid = ctx.solids[part.path]
        lo, hi = solid.bounds[0][cut.axis], solid.bounds[1][cut.axis]
        if lo < at < hi:
            half = solid.half(cut.axis, at, cut.look.side)
            loops = tuple(_flat(loop, cut, view) for region in solid.section(cut.axis, at) for loop in _loops(region))
            faces.append(CutFace(part, loops, 0))
        elif (hi <= at) == (cut.look.side < 0):
            half = solid
        else:
            continue
        if not half.empty:
            halves.append((part.path, half))
    box = model.box
    assert box is not None
    return Section(model, cut, view, _indexed(faces), trace(halves, view, hidden=False), box)


def _loops(region: Region) -> tuple[Loop2, ...]:
    return (region.outer, *region.holes)


def _flat(loop: Loop2, cut: Cut, view: Projection) -> Loop2:
    """A loop in the two other world axes, as picture points."""
    rows = []
    for a, b in loop:
        point = [a, b]
        point.insert(cut.axis, float(cut.at))
        rows.append(view.flat_point((point[0], point[1], point[2])))
    return tuple(rows)


def _indexed(faces: Sequence[CutFace]) -> tuple[CutFace, ...]:
    """Each cut face with the least number that no touching neighbour has."""
    done: list[CutFace] = []
    for face in faces:
        taken = [f.index for f in done if _touch(f.part.stands, face.part.stands)]
        done.append(CutFace(face.part, face.loops, next(i for i in range(len(faces) + 1) if i not in taken)))
    return tuple(done)


def _touch(a: Box, b: Box) -> bool:
    return all(a.lo[i] <= b.hi[i] and b.lo[i] <= a.hi[i] for i in range(3))


def _material(part: Part, cut: Cut, view: Projection) -> tuple[str, float, int]:
    """Pattern of a cut face, its direction on paper (degrees), and the axis across a panel."""
    if part.stock.kind == "sheet":
        if part.thickness_axis == cut.axis:
            return "end grain", 0.0, -1
        plane = next(a for a in range(3) if a not in (cut.axis, part.thickness_axis))
        return "panel", 0.0 if picture_axis(view, plane)[0] == 0 else 90.0, part.thickness_axis
    if part.length_axis == cut.axis:
        return "end grain", 0.0, -1
    return "long grain", 0.0 if picture_axis(view, part.length_axis)[0] == 0 else 90.0, -1


def hatching(faces: Sequence[CutFace], cut: Cut, place: Placement, avoid: Sequence[Extent] = ()) -> list[Group]:
    """The pattern of each cut face at its place; none inside the boxes to avoid."""
    groups = []
    for face in faces:
        kind, direction, across = _material(face.part, cut, place.view)
        thickness = float(face.part.thickness) * place.ratio if across >= 0 else 0.0
        loops = [[place.paper(p) for p in loop] for loop in face.loops]
        lines = cut_pattern(loops, kind, direction, face.index, avoid, thickness)
        groups.append(Group("cut", lines, attrs=(("part", face.part.path), ("pattern", kind))))
    return groups
