"""Trail lines of exploded pictures: the ways on which parts left their seats, as far as they can be seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from plandoc.build.units import Unit, joint_room, units
from plandoc.drawing.display import XY, Line
from plandoc.model.entities import Model
from plandoc.sheets.views import Placement, Scene

TRAIL_STEPS = 40
SHORTEST_TRAIL = 1.5  # mm on paper
ENOUGH = 8.0  # mm on paper; a way that is seen so far needs no better spot

Move = tuple[float, float, float]


def trails(
    model: Model, assembly: str, moves: Mapping[str, Move], scene: Scene, place: Placement
) -> tuple[Line, ...]:
    """For each joint between two units: the way from where the one went to where the other went, where it can be seen.

    Where both left their place in different directions, the way turns at the place of the joint, and it is drawn only
    where both legs can be seen from the turn on. A unit without a joint trails from its middle."""
    members = units(model, assembly)
    home = {path: unit for unit in members for path in unit.parts}
    trailed: list[str] = []
    lines: list[Line] = []
    for joint in model.joints:
        a, b = home.get(joint.a), home.get(joint.b)
        if a is None or b is None or a is b or moves[joint.a] == moves[joint.b]:
            continue
        box = joint_room(model, joint)
        spots = _spots(tuple(float(v) for v in box.lo), tuple(float(v) for v in box.hi))
        if _on_one_line(moves[joint.b], moves[joint.a]):
            line = _best_trail(spots, moves[joint.b], moves[joint.a], scene, place)
            lines += [line] if line is not None else []
        else:
            lines += _bent_trail(spots, moves[joint.b], moves[joint.a], scene, place)
        trailed += [a.path, b.path]
    for unit in members:
        move = moves[unit.parts[0]]
        if unit.path in trailed or not any(move):
            continue
        line = _best_trail(_unit_spots(unit), (0.0, 0.0, 0.0), move, scene, place)
        if line is not None:
            lines.append(line)
    return tuple(dict.fromkeys(lines))


def _on_one_line(first: Move, second: Move) -> bool:
    """Whether two displacements differ along one axis only."""
    return sum(p != q for p, q in zip(first, second, strict=True)) <= 1


def _bent_trail(
    spots: Sequence[Move], first: Move, second: Move, scene: Scene, place: Placement
) -> list[Line]:
    """Two legs that meet where the joint was, of the spot from which the most of both can be seen."""
    best: tuple[float, list[Line]] = (0.0, [])
    for spot, covered in zip(spots, scene.hides(np.array(spots)), strict=True):
        if covered:
            continue
        legs: list[tuple[float, Line | None]] = []
        for move in (first, second):
            legs.append(_seen_from_seat(spot, move, scene, place))
            if legs[-1][0] < max(SHORTEST_TRAIL, best[0]):
                break
        size = min(length for length, _ in legs)
        if len(legs) == 2 and size >= SHORTEST_TRAIL and size > best[0] + 0.5:
            best = (size, [line for _, line in legs if line is not None])
            if size > ENOUGH:
                break
    return best[1]


def _seen_from_seat(spot: Move, move: Move, scene: Scene, place: Placement) -> tuple[float, Line | None]:
    """Length on paper and line of the way out as far as it can be seen from the seat on."""
    way = np.array(spot) + np.array(move) * np.linspace(0.0, 1.0, TRAIL_STEPS + 1)[:, None]
    hidden = scene.hides(way)
    seen = int(np.argmax(hidden)) - 1 if hidden.any() else TRAIL_STEPS
    if seen < 1:
        return 0.0, None
    p, q = place.spot(tuple(way[0])), place.spot(tuple(way[seen]))
    return float(np.hypot(q[0] - p[0], q[1] - p[1])), Line("trail", (p, q))


def _spots(lo: tuple[float, ...], hi: tuple[float, ...]) -> list[Move]:
    """The middle of a box, then the middles of its sides that face the viewer, then its corners."""
    middle = [(p + q) / 2 for p, q in zip(lo, hi, strict=True)]
    spots: list[Move] = [(middle[0], middle[1], middle[2])]
    for axis, toward in enumerate((1, -1, 1)):
        point = list(middle)
        point[axis] = hi[axis] if toward > 0 else lo[axis]
        spots.append((point[0], point[1], point[2]))
    spots += [(x, y, z) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    return spots


def _unit_spots(unit: Unit) -> list[Move]:
    return _spots(tuple(float(v) for v in unit.box.lo), tuple(float(v) for v in unit.box.hi))


def _best_trail(
    spots: Sequence[Move], seat: Move, moved: Move, scene: Scene, place: Placement
) -> Line | None:
    """The longest unhidden piece of the way, of the first spot from which a fair part of it can be seen."""
    best: tuple[float, XY, XY] | None = None
    for spot in spots:
        start = np.array(spot) + np.array(seat)
        end = np.array(spot) + np.array(moved)
        steps = np.linspace(0.0, 1.0, TRAIL_STEPS + 1)[:, None]
        way = start + (end - start) * steps
        hidden = scene.hides(way)
        first, last = _longest_run([not h for h in hidden])
        if last <= first:
            continue
        p, q = place.spot(tuple(way[first])), place.spot(tuple(way[last]))
        length = float(np.hypot(q[0] - p[0], q[1] - p[1]))
        if best is None or length > best[0] + 0.5:
            best = (length, p, q)
        if last - first > TRAIL_STEPS / 4:
            break
    if best is None or best[0] < SHORTEST_TRAIL:
        return None
    return Line("trail", (best[1], best[2]))


def _longest_run(flags: Sequence[bool]) -> tuple[int, int]:
    best, start = (0, 0), None
    for number, flag in enumerate([*flags, False]):
        if flag and start is None:
            start = number
        elif not flag and start is not None:
            if number - 1 - start > best[1] - best[0]:
                best = (start, number - 1)
            start = None
    return best
