"""Traced pictures of bodies, kept while sheets are drawn: covers, step pictures and elevations show the same bodies."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely

from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection

MOST_KEPT = 64  # pictures; more would only hold memory
MOST_SCREENS = 6  # bodies that may hide others, the largest
TOUCHING = 1e-5  # mm
MOST_FACES = 400  # triangles of a body that may hide others


class _Bodies:
    """Bodies that are the same where their names and the very solids are."""

    __slots__ = ("rows",)

    def __init__(self, rows: Sequence[tuple[str, Solid]]) -> None:
        self.rows = tuple(rows)

    def __hash__(self) -> int:
        return hash(tuple(name for name, _ in self.rows))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Bodies) or len(self.rows) != len(other.rows):
            return False
        return all(a == b and s is t for (a, s), (b, t) in zip(self.rows, other.rows, strict=True))


@lru_cache(maxsize=MOST_KEPT)
def _kept(bodies: _Bodies, view: Projection, hidden: bool) -> tuple[Stroke, ...]:
    return trace(bodies.rows, view, hidden)


def traced(bodies: Sequence[tuple[str, Solid]], view: Projection, hidden: bool = False) -> tuple[Stroke, ...]:
    """What `trace` gives, worked out once for the same solids in the same view."""
    return _kept(_Bodies(bodies), view, hidden)


def in_sight(bodies: Sequence[tuple[str, Solid]], view: Projection) -> tuple[tuple[str, Solid], ...]:
    """The bodies less those that lie wholly behind the faces of a single other one. view: along an axis of the world."""
    axis = max(range(3), key=lambda a: abs(view.toward[a]))
    side = 1 if view.toward[axis] > 0 else -1

    def front(solid: Solid) -> float:
        return max(b[axis] * side for b in solid.bounds)

    def rear(solid: Solid) -> float:
        return min(b[axis] * side for b in solid.bounds)

    whole = {name: _rectangle(solid, view, TOUCHING) for name, solid in bodies}
    large = sorted(bodies, key=lambda row: -whole[row[0]].area)[:MOST_SCREENS]
    screens = [(name, rear(solid), _face_area(solid, view)) for name, solid in large]
    return tuple(
        (name, solid)
        for name, solid in bodies
        if not any(
            other != name and front(solid) <= back + TOUCHING and area.covers(whole[name]) for other, back, area in screens
        )
    )


def _rectangle(solid: Solid, view: Projection, inset: float = 0.0) -> shapely.Polygon:
    """The box round a body in the picture."""
    flat = view.flat(solid.vertices)
    (x0, y0), (x1, y1) = flat.min(axis=0), flat.max(axis=0)
    return shapely.box(x0 + inset, y0 + inset, x1 - inset, y1 - inset)


def _face_area(solid: Solid, view: Projection) -> shapely.Geometry:
    """What a body covers in the picture: its whole box where its faces fill that, else their union."""
    corners = view.flat(solid.vertices)[solid.triangles[solid.normals @ np.array(view.toward) > 0.5]]
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    filled = float(np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]).sum()) / 2
    box = _rectangle(solid, view)
    if filled >= box.area * (1 - 1e-9):
        return box
    if len(corners) > MOST_FACES:
        return shapely.Polygon()
    area: shapely.Geometry = shapely.union_all(shapely.polygons(corners))
    return area
