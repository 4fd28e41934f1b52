"""Which way the parts of a step come in: what the fat arrows of its picture show.

A step that closes joints is taken apart again by these joints alone (`build/order.py`), what was put together before it
as whole pieces; so no arrow shows a way that a joint does not allow. What comes without a joint of the step comes as the
exploded view shows it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plandoc.build.explode import explosion
from plandoc.build.order import Withdrawal, taken_off
from plandoc.build.units import only_parts
from plandoc.geometry.bodies import Face
from plandoc.model.entities import Joint, Model, Step
from plandoc.shopwork.alike import standing_groups
from plandoc.shopwork.claims import claims
from plandoc.shopwork.state import StepState

MOST_ARROWS = 6
Move = tuple[float, float, float]
Way = tuple[tuple[str, ...], Move]
"""Parts that come in together, and the way out that they come by."""


def ways_in(model: Model, steps: Sequence[Step], step: Step, state: StepState) -> list[Way]:
    """What moves in a step, at most MOST_ARROWS; empty where nothing is put to something else."""
    shown = (*state.before, *state.new)
    if len(shown) < 2 or not state.new:
        return []
    earlier, here = _closed(model, steps, step, shown)
    held = {path: None for joint in here for path in (joint.a, joint.b)}
    by_joints = _by_joints(model, shown, state.before, earlier, here) if here else []
    free = [path for path in state.new if path not in held]
    return [*by_joints, *(_by_view(model, shown, free) if free else ())][:MOST_ARROWS]


def _closed(model: Model, steps: Sequence[Step], step: Step, shown: Sequence[str]) -> tuple[list[Joint], list[Joint]]:
    """The joints among the parts shown that earlier steps close, and those that this one does."""
    inside = [joint for joint in model.joints if joint.a in shown and joint.b in shown]
    earlier: dict[str, None] = {}
    here: dict[str, None] = {}
    for other, items in zip(steps, claims(model, steps), strict=True):
        target = here if other.number == step.number else earlier
        target.update((item.operation.removeprefix("join:"), None) for item in items if item.operation.startswith("join:"))
        if other.number == step.number:
            break
    return [j for j in inside if j.id in earlier], [j for j in inside if j.id in here]


def _by_joints(model: Model, shown: Sequence[str], before: Sequence[str], earlier: Sequence[Joint], here: Sequence[Joint]) -> list[Way]:
    held = {path: None for joint in here for path in (joint.a, joint.b)}
    group = standing_groups(earlier)
    pieces: dict[object, list[str]] = {}
    for path in shown:
        pieces.setdefault(group.get(path, path), []).append(path)
    taking = [paths for paths in pieces.values() if any(path in held for path in paths)]
    rows = taken_off(model, taking, here)
    parts = {paths[0]: tuple(paths) for paths in taking}
    stands = [paths[0] for paths in taking if paths[0] in before]
    if len(stands) == 1:
        rows = _from_it(rows, stands[0], tuple(parts))
    ways: dict[tuple[tuple[int, ...], int, Face], list[str]] = {}

    def note(some: Sequence[Withdrawal], block: tuple[int, ...]) -> None:
        for number, row in enumerate(some):
            own = (*block, number) if row.inner else block
            ways.setdefault((own, row.turn, row.face), []).extend(path for unit in row.units for path in parts[unit])
            note(row.inner, own)

    note(rows, ())
    return [(tuple(paths), _move(face)) for (_, _, face), paths in ways.items()]


def _from_it(rows: Sequence[Withdrawal], stands: str, every: Sequence[str]) -> tuple[Withdrawal, ...]:
    """The same with the one piece that stood before the step at rest: what it was to leave leaves it."""
    own = next((row for row in rows if stands in row.units), None)
    if own is None or len(own.units) > 1:
        return tuple(rows)
    gone = {path for row in rows if row.turn <= own.turn for path in row.units}
    rest = tuple(path for path in every if path not in gone)
    turned = Withdrawal(rest, own.face.opposite, own.turn) if rest else None
    return tuple(one for row in rows if (one := turned if row is own else row) is not None)


def _move(face: Face) -> Move:
    x, y, z = face.normal
    return float(x), float(y), float(z)


def _by_view(model: Model, shown: Sequence[str], free: Sequence[str]) -> list[Way]:
    """Parts that no joint of the step holds, by the ways out of the smallest assembly that holds all the parts, among these
    alone: what comes later neither holds them nor is in their way."""
    moves = _moves(model, shown)
    groups: dict[tuple[int, ...], list[str]] = {}
    ways: dict[tuple[int, ...], Move] = {}
    for path in free:
        move = moves.get(path, (0.0, 0.0, 0.0))
        if any(move):
            sense = tuple((v > 0) - (v < 0) for v in move)
            groups.setdefault(sense, []).append(path)
            ways.setdefault(sense, move)
    return [(tuple(paths), ways[sense]) for sense, paths in groups.items()]


def _moves(model: Model, paths: Sequence[str]) -> Mapping[str, Move]:
    """Ways out of the smallest assembly that holds all the parts, among these alone: what comes later neither holds them
    nor is in their way."""
    parents = {child: a.path for a in model.assemblies for child in a.children}

    def line(path: str) -> list[str]:
        rows = [path]
        while rows[-1]:
            rows.append(parents.get(rows[-1], ""))
        return rows

    lines = [line(model.part(p).assembly) for p in paths]
    shared = next(a for a in lines[0] if all(a in other for other in lines))
    return explosion(only_parts(model, paths), shared)
