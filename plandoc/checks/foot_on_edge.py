"""PD358: a foot that stands on one edge: its end is nearly level, and not quite."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import cos, radians, sqrt

from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import AXES, Chunk, Face
from plandoc.geometry.convex import left_faces, normal_of
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part
from plandoc.quantity import INCH, shop_text

NEARLY = cos(radians(30))
"""An end that is turned further from level is a point or an edge to stand on by intent."""
TOUCH = Fraction(1, 100)  # mm; as good as on the floor
LEAST = Fraction(1, 5)  # mm; less is planed off
UP = 2
FEET = ("caster", "leveller")
COARSE = {"inch": INCH / 64, "mm": Fraction(1, 10)}


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report leaning parts that reach the lowest level of the piece with an end that is not level. What stands on casters or levellers
    stands on them."""
    parts = model.placed
    items = {item.name: item.kind for item in model.hardware}
    if not parts or any(items.get(fitting.item) in FEET for fitting in model.fittings):
        return
    floor = min(part.stands.lo[UP] for part in parts)
    for part in parts:
        if part.lean is None or part.stands.lo[UP] > floor + TOUCH:
            continue
        found = _lowest_end(part, floor)
        if found is None or found[1] < LEAST:
            continue
        face, gap = found
        units = model.info.units
        step = max(COARSE[units.system], Fraction(1, 100))
        told = shop_text(round(gap / step) * step, units.fine, mark=True)
        sawn = _sawn(part, face)
        notes = (Note("the cut is level in its assembly, which leans"),) if sawn is not None and part.assembly else ()
        sink.emit(
            "PD358",
            f"the foot of `{part.path}` stands on one edge: at the other it lies {told} off the floor",
            part.span if sawn is None else sawn.span,
            notes=notes,
            mend=f"trimmed {face.name} to floor" if floor == 0 else f"trim it level: trimmed {face.name} to floor, where the floor is up 0; the piece stands at up {shop_text(floor, units, mark=True)} now",
        )


def _chunks(part: Part) -> Iterator[tuple[Feature, Chunk]]:
    for feature in part.features:
        for cut in feature.cuts:
            if isinstance(cut, Chunk):
                yield feature, cut


def _lowest_end(part: Part, floor: Fraction) -> tuple[Face, Fraction] | None:
    """The end (not the broad face) that comes nearest to level among those that reach the floor, and how far its highest corner lies
    off it."""
    assert part.lean is not None
    best: tuple[float, Face, Fraction] | None = None
    for polygon in left_faces(part.box, tuple(chunk for _, chunk in _chunks(part))):
        corners = [part.lean.point(point)[UP] for point in polygon]
        normal = normal_of(polygon)
        size = sqrt(sum(float(n) ** 2 for n in normal))
        if len(polygon) < 3 or not size or min(corners) > floor + TOUCH:
            continue
        axis = max(AXES, key=lambda a: abs(normal[a]))
        level = abs(float(part.lean.direction(normal)[UP])) / size
        if axis != part.thickness_axis and level >= NEARLY and (best is None or level > best[0]):
            middle = sum((point[axis] for point in polygon), Fraction(0)) / len(polygon)
            side = 1 if 2 * middle > part.box.lo[axis] + part.box.hi[axis] else -1
            best = level, Face(axis, side), max(corners) - floor
    return None if best is None else best[1:]


def _sawn(part: Part, face: Face) -> Feature | None:
    """The trimmed end at that face, where there is one."""
    for feature, chunk in _chunks(part):
        axis = max(AXES, key=lambda a: abs(chunk.normal[a]))
        if axis == face.axis and (chunk.normal[axis] > 0) == (face.side > 0):
            return feature
    return None


CHECK = Check("PD358", run)
