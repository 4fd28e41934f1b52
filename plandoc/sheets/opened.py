"""What opens, drawn open in phantom lines: the outline outside of the closed piece, and the way of a swinging edge.

Each motion stands in the one view in which its whole way is seen: a drawer that comes to the front in the side view, a
door on upright hinges in the plan, a lid in the side view. Where a hinge leans out of the picture, no arc is drawn. All doors
and lids are drawn; of drawers that are alike the first one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot

import shapely

from plandoc.build.opening import moving_parts, opened_bodies
from plandoc.drawing.display import XY
from plandoc.geometry.bodies import ACROSS, AXES, BACK, UP, Face, Point3
from plandoc.geometry.shadow import shadow
from plandoc.geometry.view import Projection
from plandoc.model.entities import Model, Motion
from plandoc.quantity import dual_text
from plandoc.sheets.context import SheetContext

_SIGHT = {"right": ACROSS, "front": BACK, "top": UP}
# The elevations that show what slides along an axis, the usual one first.
_SEEN = {ACROSS: ("front", "top", "right"), BACK: ("right", "top", "front"), UP: ("right", "front", "top")}
ASKEW = 1e-9  # of the cosine of the angle between a hinge and the line of sight
CLEAR = 0.05  # mm of the model; an outline on the closed piece's own edge is not drawn again


@dataclass(frozen=True, slots=True)
class Opened:
    """Lines and arcs (centre, radius, start and end in degrees, counter-clockwise) in picture mm (y upwards), and what is
    written below the view."""

    lines: tuple[tuple[XY, ...], ...] = ()
    arcs: tuple[tuple[XY, float, float, float], ...] = ()
    notes: tuple[str, ...] = ()


def view_of(motion: Motion) -> str:
    """The elevation in which the whole way is seen; of what leans the one in which it is seen best."""
    if motion.swing:
        axis = _direction(motion, Face(motion.axis, 1))
        return ("right", "front", "top")[max(AXES, key=lambda a: abs(axis[a]))]
    way = _direction(motion, motion.face)
    return min(_SEEN[motion.face.axis], key=lambda name: abs(way[_SIGHT[name]]))


def _direction(motion: Motion, face: Face) -> Point3:
    """Where a face of what opens looks to."""
    return face.normal if motion.lean is None else motion.lean.direction(face.normal)


def opened_lines(ctx: SheetContext, name: str, view: Projection) -> Opened:
    """All that is drawn open in one of the elevations."""
    model = ctx.model
    shown = [m for m in model.motions if view_of(m) == name]
    if not shown:
        return Opened()
    shut = shadow([ctx.solids[p.path] for p in model.placed], view).buffer(CLEAR)
    lines: list[tuple[XY, ...]] = []
    arcs: list[tuple[XY, float, float, float]] = []
    notes: list[str] = []
    done: list[object] = []
    for motion in shown:
        like = _likeness(ctx, motion)
        # every door is drawn; of drawers above each other the first one shows the way of all
        if like in done and not motion.swing:
            continue
        done.append(like)
        area = shadow((solid for _, solid in opened_bodies(model, motion, ctx.solids)), view)
        lines += _outside(area, shut)
        arc = _way(motion, view, ctx)
        if arc is not None:
            arcs.append(arc)
    for motion in shown:
        words = _words(model, motion)
        alike = [m for m in shown if _words(model, m) == words]
        more = f", {len(alike) - 1} MORE ALIKE" if len(alike) > 1 else ""
        if motion is alike[0]:
            notes.append(words + more)
    return Opened(tuple(lines), tuple(arcs), tuple(notes))


def _likeness(ctx: SheetContext, motion: Motion) -> object:
    """What two motions have in common whose pictures tell the same: direction, way and size of what moves."""
    boxes = [ctx.model.part(path).stands for path in moving_parts(ctx.model, motion)]
    size = tuple(max(b.hi[a] for b in boxes) - min(b.lo[a] for b in boxes) for a in AXES)
    return motion.travel, motion.swing, _direction(motion, motion.face), size


def _words(model: Model, motion: Motion) -> str:
    names = {a.path: a.name for a in model.assemblies} | {p.path: p.name for p in model.parts}
    name = names.get(motion.target, motion.target).rstrip("0123456789 ").upper()
    if motion.swing:
        return f"{name} OPENS {abs(float(motion.swing)):g}°"
    return f"{name} OPENS {dual_text(motion.travel, model.info.units)} TO THE {motion.face.name.upper()}"


def _outside(shape: shapely.Geometry, shut: shapely.Geometry) -> list[tuple[XY, ...]]:
    left = shapely.line_merge(shape.boundary.difference(shut))
    rows = [tuple((round(x, 4), round(y, 4)) for x, y in part.coords) for part in shapely.get_parts(left) if part.length > 1.0]
    return sorted(rows)


def _way(motion: Motion, view: Projection, ctx: SheetContext) -> tuple[XY, float, float, float] | None:
    """The arc of the free edge about the hinge; None where nothing turns, or where the hinge is seen askew, so that the
    way is no arc of a circle."""
    if not motion.swing or motion.pivot is None:
        return None
    # the axis points at the viewer or away from him
    towards = sum(float(a) * b for a, b in zip(_direction(motion, Face(motion.axis, 1)), view.toward, strict=True))
    if abs(towards) < 1 - ASKEW:
        return None
    x, y, z = (float(v) for v in (motion.pivot if motion.lean is None else motion.lean.point(motion.pivot)))
    cx, cy = view.flat_point((x, y, z))
    points: list[XY] = []
    for path in moving_parts(ctx.model, motion):
        points += [(float(p[0]), float(p[1])) for p in view.flat(ctx.solids[path].vertices)]
    far = max(points, key=lambda p: (round(hypot(p[0] - cx, p[1] - cy), 6), p))
    radius, start = hypot(far[0] - cx, far[1] - cy), atan2(far[1] - cy, far[0] - cx)
    begin, sweep = degrees(start), float(motion.swing) * (1.0 if towards > 0 else -1.0)
    ends = sorted((round(begin, 6), round(begin + sweep, 6)))
    return (round(cx, 4), round(cy, 4)), round(radius, 4), ends[0], ends[1]
