"""One section: what is cut, what stands behind, and its hatching. Picture mm of the model, y upwards; paper mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.build.pieces import piece_model
from plandoc.drawing.display import XY, Extent, Fill, Group, Line
from plandoc.drawing.hatch import RUNG, SHORT, cut_pattern, spacing
from plandoc.drawing.precedence import Stronger
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


_Look = tuple[str, float, float]  # pattern, angle (degrees) and spacing (mm); of end grain its number among the patterns of it


def _look(kind: str, direction: float, index: int, thickness: float) -> _Look:
    if kind == "end grain":
        return kind, 0.0, float(index)
    return kind, (direction + (90.0 if kind == "panel" else 0.0)) % 180.0, spacing(kind, index, thickness)


def _alike(one: _Look, other: _Look) -> bool:
    """Whether two patterns beside each other could be taken for one."""
    if "end grain" in (one[0], other[0]):
        return one == other
    return one[1] == other[1] and max(one[2], other[2]) / min(one[2], other[2]) < RUNG - 1e-6


def hatching(faces: Sequence[CutFace], cut: Cut, place: Placement, over: Sequence[Line], avoid: Sequence[Extent] = ()) -> list[Group]:
    """The pattern of each cut face at its place; none on the lines drawn over it, nor inside the boxes to avoid."""
    groups = []
    stronger = Stronger(over)
    looks: list[tuple[Part, _Look]] = []
    for face in faces:
        kind, direction, across = _material(face.part, cut, place.view)
        thickness = float(face.part.thickness) * place.ratio if across >= 0 else 0.0
        beside = [look for part, look in looks if _touch(part.stands, face.part.stands)]
        options = [i for i in (face.index, *range(len(faces))) if not any(_alike(_look(kind, direction, i, thickness), o) for o in beside)]
        index = options[0] if options else face.index
        looks.append((face.part, _look(kind, direction, index, thickness)))
        loops = [[place.paper(p) for p in loop] for loop in face.loops]
        pattern = cut_pattern(loops, kind, direction, index, avoid, thickness)
        lines = stronger.less([i for i in pattern if isinstance(i, Line)], SHORT)
        groups.append(Group("cut", (*(i for i in pattern if isinstance(i, Fill)), *lines), attrs=(("part", face.part.path), ("pattern", kind))))
    return groups
