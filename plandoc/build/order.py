"""In which order, and in which direction, the units of an assembly come apart.

The direction belongs to the joints, not to a picture:

* A unit that opens (a drawer, a tray, a door) comes out along its motion, before all others.
* A joint lets A back out the way it went in. A rabbet is open to one more side, so A may also leave there (a back
  panel to the rear, a top upwards); in a sliding joint A may also leave along the channel. B may leave in the
  opposite directions.
* A unit may be taken away in a direction that all its joints with the remaining units allow. What can be taken
  away goes in one turn, then the rest is looked at again: the reverse of gluing up from the inside out.
* Where nothing can be taken away alone, units joined across the other axes leave as one block (the two end frames
  of a table), and the block is taken apart afterwards.
* A unit without a joint leaves on the side on which it lies outermost, else to the front or another free side.
* What is left at the end stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.build.units import Unit, union_of, units
from plandoc.geometry.bodies import AXES, FACES, Box, Face
from plandoc.model.entities import Joint, Model

# where two directions serve equally well: out of the open front, then up, then to the sides
LIKED = tuple(FACES[name] for name in ("front", "top", "left", "right", "rear", "bottom"))


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """units (paths) leave together towards `face` in turn `turn` (from 1). inner: how a block of several units
    comes apart afterwards."""

    units: tuple[str, ...]
    face: Face
    turn: int
    inner: tuple[Withdrawal, ...] = ()


@dataclass(frozen=True, slots=True)
class _Bond:
    """A joint between two units: the directions in which unit a may leave unit b."""

    a: str
    b: str
    ways: frozenset[Face]

    def for_unit(self, path: str) -> frozenset[Face]:
        return self.ways if path == self.a else frozenset(w.opposite for w in self.ways)


def withdrawals(model: Model, assembly: str = "", joints: Sequence[Joint] | None = None) -> tuple[Withdrawal, ...]:
    """How the assembly comes apart, first things first. Units that stay are not in it.

    joints: only what these hold together, and by them alone; left out, all that stands in it, and what opens first."""
    members = units(model, assembly)
    if joints is not None:
        ends = {path: None for joint in joints for path in (joint.a, joint.b)}
        members = tuple(u for u in members if any(path in ends for path in u.parts))
        return tuple(_peel(members, _bonds(model, members, joints), members, 1))
    moving = {m.target: m.face for m in model.motions}
    opened = [u for u in members if u.path in moving]
    if len(opened) == len(members):
        opened = []
    found = [Withdrawal((u.path,), moving[u.path], 1) for u in opened]
    rest = [u for u in members if u not in opened]
    turn = 2 if found else 1
    found += _peel(rest, _bonds(model, members, model.joints), members, turn)
    return tuple(found)


def taken_off(model: Model, pieces: Sequence[Sequence[str]], joints: Sequence[Joint]) -> tuple[Withdrawal, ...]:
    """How pieces that are whole already (paths of the parts of each; a part alone is one) come apart where these joints, and
    nothing else, hold them together: the reverse of what one step puts together. The first path stands for its piece in
    `Withdrawal.units`; pieces that stay are not in it."""
    members = tuple(union_of(model, paths) for paths in pieces)
    return tuple(_peel(members, _bonds(model, members, joints), members, 1))


def removal_directions(model: Model, assembly: str = "") -> dict[str, Face]:
    """Unit path (own part or nested assembly) -> the side to which it comes off what it is joined to; units that
    stay are left out. In the order of the plan."""
    taken: dict[str, Face] = {}

    def note(rows: Sequence[Withdrawal]) -> None:
        for row in rows:
            for path in row.units:
                taken[path] = row.face
            note(row.inner)

    note(withdrawals(model, assembly))
    return {u.path: taken[u.path] for u in units(model, assembly) if u.path in taken}


def ways_out(joint: Joint, b_box: Box) -> frozenset[Face]:
    """The directions in which A may leave B, whose box is given."""
    if joint.ways:
        return frozenset(joint.ways)
    found = [joint.entry.opposite]
    if joint.edge:
        across = next(a for a in AXES if a not in (joint.entry.axis, joint.run_axis))
        for side in (-1, 1):
            face = Face(across, side)
            if (joint.channel.at(face) - b_box.at(face)) * side >= 0:
                found.append(face)
    if not joint.glued:
        if joint.stop_lo == 0:
            found.append(Face(joint.run_axis, -1))
        if joint.stop_hi == 0:
            found.append(Face(joint.run_axis, 1))
    return frozenset(found)


def _bonds(model: Model, members: Sequence[Unit], joints: Sequence[Joint]) -> list[_Bond]:
    home = {part: unit.path for unit in members for part in unit.parts}
    boxes = {part.path: part.box for part in model.placed}
    bonds = []
    for joint in joints:
        a, b = home.get(joint.a), home.get(joint.b)
        if a is not None and b is not None and a != b:
            bonds.append(_Bond(a, b, ways_out(joint, boxes[joint.b])))
    return bonds


def _peel(
    rest: Sequence[Unit], bonds: Sequence[_Bond], whole: Sequence[Unit], turn: int
) -> list[Withdrawal]:
    left = list(rest)
    bonded = {path for bond in bonds for path in (bond.a, bond.b)}
    found: list[Withdrawal] = []
    while len(left) > 1:
        ready: dict[str, Face] = {}
        for unit in left:
            face = _way(unit, left, bonds, whole, unit.path in bonded)
            if face is not None:
                ready[unit.path] = face
        _hold_back(ready, left, bonds)
        if not ready:
            blocks = _blocks(left, bonds, whole)
            if not blocks:
                break
            for members, face in blocks:
                inner = _peel(members, _within(bonds, members), members, 1)
                found.append(Withdrawal(tuple(u.path for u in members), face, turn, tuple(inner)))
                left = [u for u in left if u not in members]
        else:
            found += [Withdrawal((u.path,), ready[u.path], turn) for u in left if u.path in ready]
            left = [u for u in left if u.path not in ready]
        turn += 1
    return found


def _hold_back(ready: dict[str, Face], left: Sequence[Unit], bonds: Sequence[_Bond]) -> None:
    """Drop units that had better wait: those in whose way another unit stands, while others are free; and of two
    that would leave each other in opposite directions the larger one, so that a core stays."""
    here = {u.path: u for u in left}
    joined: dict[str, list[str]] = {}
    for bond in bonds:
        joined.setdefault(bond.a, []).append(bond.b)
        joined.setdefault(bond.b, []).append(bond.a)
    free = [p for p, face in ready.items() if _clear([here[p]], face, left, joined.get(p, []))]
    for path in list(ready):
        if free and path not in free:
            del ready[path]
    for bond in bonds:
        if bond.a in ready and bond.b in ready and ready[bond.a] == ready[bond.b].opposite:
            del ready[max(bond.a, bond.b, key=lambda p: here[p].box.volume)]
    if len(ready) == len(left):
        del ready[max(left, key=lambda u: u.box.volume).path]


def _within(bonds: Sequence[_Bond], members: Sequence[Unit]) -> list[_Bond]:
    paths = [u.path for u in members]
    return [b for b in bonds if b.a in paths and b.b in paths]


def _way(
    unit: Unit, left: Sequence[Unit], bonds: Sequence[_Bond], whole: Sequence[Unit], bonded: bool
) -> Face | None:
    present = [u.path for u in left]
    mine = [b for b in bonds if unit.path in (b.a, b.b) and b.a in present and b.b in present]
    if mine:
        allowed = frozenset(LIKED)
        for bond in mine:
            allowed &= bond.for_unit(unit.path)
        return _best([f for f in LIKED if f in allowed], [unit], left, whole, mine)
    if bonded:
        return None  # its neighbours went; it may stand where it is
    outer = [f for f in (Face(unit.thickness_axis, -1), Face(unit.thickness_axis, 1)) if _outermost(unit, f, whole)]
    if len(outer) == 1 and _clear([unit], outer[0], left, []):
        return outer[0]
    return next((f for f in LIKED if f.axis != 2 and _clear([unit], f, left, [])), None)


def _best(
    ways: Sequence[Face],
    leaving: Sequence[Unit],
    left: Sequence[Unit],
    whole: Sequence[Unit],
    bonds: Sequence[_Bond],
) -> Face | None:
    """Of the ways that the joints allow: a free one before one past other units, an outer side before an inner."""
    if not ways:
        return None
    joined = [p for b in bonds for p in (b.a, b.b)]

    def rank(face: Face) -> tuple[bool, bool, int]:
        free = _clear(leaving, face, left, joined)
        outer = any(_outermost(u, face, whole) for u in leaving)
        return not free, not outer, LIKED.index(face)

    return min(ways, key=rank)


def _outermost(unit: Unit, face: Face, whole: Sequence[Unit]) -> bool:
    return all((unit.box.at(face) - u.box.at(face)) * face.side >= 0 for u in whole)


def _clear(leaving: Sequence[Unit], face: Face, left: Sequence[Unit], joined: Sequence[str]) -> bool:
    """Whether nothing but the units it is joined to stands in the way."""
    for unit in leaving:
        for other in left:
            if other in leaving or other.path in joined:
                continue
            beside = any(
                unit.box.hi[a] <= other.box.lo[a] or other.box.hi[a] <= unit.box.lo[a] for a in AXES if a != face.axis
            )
            behind = (other.box.at(face) - unit.box.at(face.opposite)) * face.side <= 0
            if not beside and not behind:
                return False
    return True


def _blocks(
    left: Sequence[Unit], bonds: Sequence[_Bond], whole: Sequence[Unit]
) -> list[tuple[list[Unit], Face]]:
    """Groups of units that can leave as wholes along one axis: the axis on which the smallest such group is found."""
    inside = _within(bonds, left)
    best: list[tuple[list[Unit], Face]] = []
    for axis in AXES:
        groups = _tied(left, [b for b in inside if not any(w.axis == axis for w in b.ways)])
        ready = []
        for group in groups:
            paths = [u.path for u in group]
            crossing = [b for b in inside if (b.a in paths) != (b.b in paths)]
            allowed = frozenset(f for f in LIKED if crossing)
            for bond in crossing:
                allowed &= bond.for_unit(bond.a if bond.a in paths else bond.b)
            face = _best([f for f in LIKED if f in allowed], group, left, whole, crossing)
            if face is not None:
                ready.append((group, face))
        if len(ready) == len(groups):
            ready.remove(max(ready, key=lambda row: len(row[0])))
        if ready and (not best or min(len(g) for g, _ in ready) < min(len(g) for g, _ in best)):
            best = ready
    return best


def _tied(left: Sequence[Unit], bonds: Sequence[_Bond]) -> list[list[Unit]]:
    """Groups of units connected by the bonds, in plan order."""
    root: dict[str, str] = {u.path: u.path for u in left}

    def find(path: str) -> str:
        while root[path] != path:
            path = root[path]
        return path

    for bond in bonds:
        root[find(bond.b)] = find(bond.a)
    groups: dict[str, list[Unit]] = {}
    for unit in left:
        groups.setdefault(find(unit.path), []).append(unit)
    return list(groups.values())


__all__ = ["Withdrawal", "removal_directions", "taken_off", "ways_out", "withdrawals"]
