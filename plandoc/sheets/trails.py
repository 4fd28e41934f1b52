"""Trail lines of exploded pictures: the ways on which parts left their seats, as far as they can be seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, permutations

import numpy as np

from plandoc.build.units import Unit, joint_room, units
from plandoc.drawing.display import Group, Line
from plandoc.drawing.precedence import Stronger
from plandoc.model.entities import Joint, Model
from plandoc.sheets.traced import traced
from plandoc.sheets.views import Placement, Scene, stroke_lines

TRAIL_STEPS = 40
SHORTEST_TRAIL = 1.5  # mm on paper
ENOUGH = 8.0  # mm on paper; a way that is seen so far needs no better spot
BETTER = 0.5  # mm on paper that a further spot has to show more
ALONG = (0.5, 0.25, 0.75, 0.1, 0.9)  # of the longest edges of a joint, where further spots are tried

Move = tuple[float, float, float]
Way = tuple[Move, ...]
NOWHERE: Move = (0.0, 0.0, 0.0)


def trails(
    model: Model, assembly: str, moves: Mapping[str, Move], scene: Scene, place: Placement
) -> tuple[Group, ...]:
    """For each joint between two units: the way from where the one went to where the other went, where it can be seen, as
    a group "trail" with attribute joint (ids with a blank between where joints share their lines).

    Where both left their place in different directions, the way turns at the place of the joint; where no spot of it shows
    both legs from the turn on, what can be seen of one is drawn. A unit without a joint trails from its middle (attribute
    unit)."""
    sight = _Sight(scene, place)
    members = units(model, assembly)
    home = {path: unit for unit in members for path in unit.parts}
    trailed: list[str] = []
    found: dict[tuple[Line, ...], list[tuple[str, str]]] = {}
    for joint in model.joints:
        a, b = home.get(joint.a), home.get(joint.b)
        if a is None or b is None or a is b or moves[joint.a] == moves[joint.b]:
            continue
        lines = _of_joint(model, joint, moves, sight)
        if lines:
            found.setdefault(lines, []).append(("joint", joint.id))
        trailed += [a.path, b.path]
    for unit in members:
        move = moves[unit.parts[0]]
        if unit.path in trailed or not any(move):
            continue
        lines = sight.best(_unit_spots(unit), NOWHERE, move)
        if lines:
            found.setdefault(lines, []).append(("unit", unit.path))
    drawn: set[Line] = set()
    groups = []
    for lines, of in found.items():
        fresh = tuple(line for line in lines if line not in drawn)
        drawn.update(fresh)
        attrs = tuple((word, " ".join(name for kind, name in of if kind == word)) for word in dict.fromkeys(kind for kind, _ in of))
        groups.append(Group("trail", fresh, attrs=attrs))
    return tuple(groups)


def _of_joint(model: Model, joint: Joint, moves: Mapping[str, Move], sight: _Sight) -> tuple[Line, ...]:
    box = joint_room(model, joint)
    spots = _spots(tuple(float(v) for v in box.lo), tuple(float(v) for v in box.hi))
    if _on_one_line(moves[joint.b], moves[joint.a]):
        return sight.best(spots, moves[joint.b], moves[joint.a])
    legs = sight.bent(spots, moves[joint.b], moves[joint.a])
    if legs:
        return legs
    either = (sight.best(spots, NOWHERE, moves[path]) for path in (joint.a, joint.b))
    return max(either, key=lambda lines: sum(map(_length, lines)))


def _on_one_line(first: Move, second: Move) -> bool:
    """Whether two displacements differ along one axis only."""
    return sum(p != q for p, q in zip(first, second, strict=True)) <= 1


def _ways(start: Move, end: Move) -> Iterator[Way]:
    """The corners of the ways from one point to another along one axis after the other."""
    axes = [axis for axis in range(3) if start[axis] != end[axis]]
    for order in permutations(axes):
        way = [start]
        for axis in order:
            point = list(way[-1])
            point[axis] = end[axis]
            way.append((point[0], point[1], point[2]))
        yield tuple(way)


class _Sight:
    """What a picture shows of ways: not what lies behind a face, nor what lies on an edge."""

    def __init__(self, scene: Scene, place: Placement) -> None:
        self.scene, self.place = scene, place
        self.edges = Stronger(stroke_lines(traced(scene.bodies, place.view), place))

    def best(self, spots: Sequence[Move], seat: Move, moved: Move) -> tuple[Line, ...]:
        """The longest unhidden pieces of the way from where the one went to where the other went, of the first spot from
        which a fair part of it can be seen; none where all are shorter than SHORTEST_TRAIL."""
        most = 0.0
        chosen: tuple[Line, ...] = ()
        for spot in spots:
            for way in _ways(_sum(spot, seat), _sum(spot, moved)):
                lines = [line for leg in pairwise(way) for line in self._seen(leg, from_start=False)]
                length = sum(_length(line) for line in lines)
                if length > most + BETTER:
                    most, chosen = length, tuple(lines)
            if most > 0.25 * self._on_paper(_sum(spot, seat), _sum(spot, moved)):
                break
        return chosen

    def bent(self, spots: Sequence[Move], first: Move, second: Move) -> tuple[Line, ...]:
        """Two legs that meet where the joint was, of the spot from which the most of both can be seen."""
        most = 0.0
        chosen: tuple[Line, ...] = ()
        for spot, covered in zip(spots, self.scene.hides(np.array(spots)), strict=True):
            if covered:
                continue
            legs: list[list[Line]] = []
            size = float("inf")
            for move in (first, second):
                leg = max((self._from_seat(way) for way in _ways(spot, _sum(spot, move))), key=lambda lines: sum(map(_length, lines)), default=[])
                legs.append(leg)
                size = min(size, sum(map(_length, leg)))
                if size < max(SHORTEST_TRAIL, most + BETTER):
                    break
            else:
                most, chosen = size, tuple(line for leg in legs for line in leg)
                if size > ENOUGH:
                    break
        return chosen

    def _from_seat(self, way: Way) -> list[Line]:
        """The way as far as it can be seen from its start on."""
        found: list[Line] = []
        for start, end in pairwise(way):
            lines = self._seen((start, end), from_start=True)
            found += lines
            if not lines or self.place.spot(end) != lines[-1].points[-1]:
                break
        return found

    def _seen(self, leg: tuple[Move, Move], from_start: bool) -> list[Line]:
        """The longest unhidden piece of a straight way, or the one at its start, less what lies on edges."""
        start, end = np.array(leg[0]), np.array(leg[1])
        way = start + (end - start) * np.linspace(0.0, 1.0, TRAIL_STEPS + 1)[:, None]
        hidden = self.scene.hides(way)
        if from_start:
            first, last = 0, int(np.argmax(hidden)) - 1 if hidden.any() else TRAIL_STEPS
        else:
            first, last = _longest_run([not h for h in hidden])
        if last <= first:
            return []
        ends = [leg[1] if n == TRAIL_STEPS else leg[0] if n == 0 else tuple(way[n]) for n in (first, last)]
        return [Line("trail", piece) for piece in self.edges.free(self.place.spot(ends[0]), self.place.spot(ends[1]), SHORTEST_TRAIL)]

    def _on_paper(self, start: Move, end: Move) -> float:
        """Length (mm) of the way along the axes."""
        way = next(_ways(start, end), (start,))
        return sum(_length(Line("trail", (self.place.spot(p), self.place.spot(q)))) for p, q in pairwise(way))


def _sum(p: Move, q: Move) -> Move:
    return p[0] + q[0], p[1] + q[1], p[2] + q[2]


def _length(line: Line) -> float:
    (x0, y0), (x1, y1) = line.points[0], line.points[-1]
    return float(np.hypot(x1 - x0, y1 - y0))


def _spots(lo: tuple[float, ...], hi: tuple[float, ...]) -> list[Move]:
    """The middle of a box, then the middles of its sides that face the viewer, its corners, and places all along its longest
    edges."""
    middle = [(p + q) / 2 for p, q in zip(lo, hi, strict=True)]
    spots: list[Move] = [(middle[0], middle[1], middle[2])]
    for axis, toward in enumerate((1, -1, 1)):
        point = list(middle)
        point[axis] = hi[axis] if toward > 0 else lo[axis]
        spots.append((point[0], point[1], point[2]))
    spots += [(x, y, z) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    long = max(range(3), key=lambda axis: hi[axis] - lo[axis])
    ends = [(lo[axis], hi[axis]) if axis != long else (0.0,) for axis in range(3)]
    for share in ALONG:
        for point in ([x, y, z] for x in ends[0] for y in ends[1] for z in ends[2]):
            point[long] = lo[long] + share * (hi[long] - lo[long])
            spots.append((point[0], point[1], point[2]))
    return spots


def _unit_spots(unit: Unit) -> list[Move]:
    return _spots(tuple(float(v) for v in unit.box.lo), tuple(float(v) for v in unit.box.hi))


def _longest_run(flags: Sequence[bool]) -> tuple[int, int]:
    """First and last place of the longest row of true flags; the same place where there is none."""
    best, start = (0, 0), None
    for number, flag in enumerate([*flags, False]):
        if flag and start is None:
            start = number
        elif not flag and start is not None:
            if number - 1 - start > best[1] - best[0]:
                best = (start, number - 1)
            start = None
    return best
