"""Where drawers, trays, doors and lids stand when they are open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin

from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Motion


def moving_parts(model: Model, motion: Motion) -> tuple[str, ...]:
    """Paths of the placed parts that move: the part itself, or all of an assembly."""
    target = motion.target
    return tuple(p.path for p in model.placed if p.path == target or p.assembly == target or p.assembly.startswith(f"{target}."))


def opened(motion: Motion, solid: Solid, share: float = 1.0) -> Solid:
    """A solid of what moves, carried by a share (0 to 1) of its way."""
    if not motion.swing or motion.pivot is None:
        step = [0.0, 0.0, 0.0]
        step[motion.face.axis] = float(motion.travel) * motion.face.side * share
        return solid.moved(*step)
    return solid.turned(*swung(motion, share))


def swung(motion: Motion, share: float = 1.0) -> tuple[Sequence[Sequence[float]], Sequence[float]]:
    """Rows and shift (mm) of the turn about the hinge."""
    assert motion.pivot is not None
    angle = radians(float(motion.swing)) * share
    first, second = [(1, 2), (2, 0), (0, 1)][motion.axis]
    rows = [[1.0 if i == j else 0.0 for j in range(3)] for i in range(3)]
    rows[first][first] = rows[second][second] = cos(angle)
    rows[first][second], rows[second][first] = -sin(angle), sin(angle)
    pivot = [float(v) for v in motion.pivot]
    shift = [pivot[i] - sum(rows[i][j] * pivot[j] for j in range(3)) for i in range(3)]
    return rows, shift


def opened_bodies(model: Model, motion: Motion, solids: Mapping[str, Solid], share: float = 1.0) -> tuple[tuple[str, Solid], ...]:
    """Path and solid of all that moves, where it stands after a share of its way."""
    return tuple((path, opened(motion, solids[path], share)) for path in moving_parts(model, motion))
