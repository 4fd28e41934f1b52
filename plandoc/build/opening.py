"""Where drawers, trays, doors and lids stand when they are open."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.geometry.lean import STILL, Lean, turn
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Motion

ONE = Fraction(1)


def moving_parts(model: Model, motion: Motion) -> tuple[str, ...]:
    """Paths of the placed parts that move: the part itself, or all of an assembly."""
    target = motion.target
    return tuple(p.path for p in model.placed if p.path == target or p.assembly == target or p.assembly.startswith(f"{target}."))


def opened(motion: Motion, solid: Solid, share: Fraction = ONE) -> Solid:
    """A solid of what moves, carried by a share (0 to 1) of its way."""
    way = _way(motion, share)
    if motion.lean is not None:
        way = motion.lean.after(way).after(motion.lean.inverse())
    return solid.leaned(way)


def _way(motion: Motion, share: Fraction) -> Lean:
    """The motion of what stands straight."""
    if motion.swing and motion.pivot is not None:
        return turn(motion.axis, motion.swing * share).about(motion.pivot)
    way = motion.travel * share
    x, y, z = motion.face.normal
    return Lean(STILL.rows, (x * way, y * way, z * way))


def opened_bodies(model: Model, motion: Motion, solids: Mapping[str, Solid], share: Fraction = ONE) -> tuple[tuple[str, Solid], ...]:
    """Path and solid of all that moves, where it stands after a share of its way."""
    return tuple((path, opened(motion, solids[path], share)) for path in moving_parts(model, motion))
