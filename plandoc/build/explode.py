"""How far every part moves in an exploded view. The directions come from plandoc.build.order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from plandoc.build.order import Withdrawal, withdrawals
from plandoc.build.units import units
from plandoc.geometry.bodies import AXES, Box, Face
from plandoc.model.entities import Model

Offset = tuple[Fraction, Fraction, Fraction]
NOWHERE: Offset = (Fraction(0), Fraction(0), Fraction(0))

SPREAD = Fraction(1, 10)  # clear air between units, of the largest size of the assembly


def explosion(model: Model, assembly: str = "") -> dict[str, tuple[float, float, float]]:
    """Part path -> (across, back, up) in mm for every placed part of the assembly, in plan order.

    Nested assemblies move as wholes. Every unit goes so far along its way that its box is clear, by a tenth of the
    assembly's largest size, of the boxes of all units that leave after it: where they end, and where they stood, so
    that a tray comes out of its case although the sides of the case go apart.
    """
    members = units(model, assembly)
    if not members:
        return {}
    whole = members[0].box
    for unit in members[1:]:
        whole = whole.union(unit.box)
    gap = SPREAD * max(whole.size(a) for a in AXES)
    boxes = {u.path: u.box for u in members}
    offsets = _spread(boxes, withdrawals(model, assembly), gap)
    found = {part: offsets[u.path] for u in members for part in u.parts}
    return {
        p.path: (float(o[0]), float(o[1]), float(o[2])) for p in model.placed if (o := found.get(p.path)) is not None
    }


def _spread(boxes: Mapping[str, Box], rows: Sequence[Withdrawal], gap: Fraction) -> dict[str, Offset]:
    """Offsets of all units in `boxes`; those that leave first end farthest out."""
    leaving = [path for row in rows for path in row.units]
    offsets = {path: NOWHERE for path in boxes if path not in leaving}
    placed = [boxes[path] for path in offsets]
    turns = {path: row.turn for row in rows for path in row.units}
    for row in sorted(rows, key=lambda r: (-r.turn, *_inner_first(r, boxes))):
        own = {path: boxes[path] for path in row.units}
        within = _spread(own, row.inner, gap) if row.inner else dict.fromkeys(own, NOWHERE)
        spread = {path: shifted_box(own[path], within[path]) for path in own}
        stood = [boxes[path] for path in boxes if path not in own and turns.get(path, row.turn + 1) > row.turn]
        beside = [boxes[path] for path in boxes if path not in own and turns.get(path) == row.turn]
        stood += [box for box in beside if not _ahead(box, list(own.values()), row.face)]
        way = _distance(list(spread.values()), row.face, [*placed, *stood], gap)
        for path, box in spread.items():
            step = _along(row.face, way)
            offsets[path] = _sum(within[path], step)
            placed.append(shifted_box(box, step))
    return offsets


def _inner_first(row: Withdrawal, boxes: Mapping[str, Box]) -> tuple[Fraction]:
    face = row.face
    return (min(boxes[path].at(face.opposite) * face.side for path in row.units),)


def _distance(moving: Sequence[Box], face: Face, placed: Sequence[Box], gap: Fraction) -> Fraction:
    way = gap
    for box in moving:
        for other in placed:
            beside = any(
                box.hi[a] <= other.lo[a] or other.hi[a] <= box.lo[a] for a in AXES if a != face.axis
            )
            if not beside:
                way = max(way, (other.at(face) - box.at(face.opposite)) * face.side + gap)
    return way


def _ahead(box: Box, own: Sequence[Box], face: Face) -> bool:
    """Whether a box stands wholly before the others on their way out."""
    return all((box.at(face.opposite) - b.at(face)) * face.side >= 0 for b in own)


def _along(face: Face, way: Fraction) -> Offset:
    x, y, z = face.normal
    return x * way, y * way, z * way


def _sum(a: Offset, b: Offset) -> Offset:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def shifted_box(box: Box, by: Offset) -> Box:
    """The box moved by mm."""
    return Box(_sum(box.lo, by), _sum(box.hi, by))
