"""A face of a part as a plane, measured from the part's reference corner, and how cuts lie on it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Body, Chunk, Disc, Face, Frustum, Point3, body_box, other_axes
from plandoc.geometry.contours import XY, Contour, circle, contour, moved, polyline
from plandoc.model.entities import Part


@dataclass(frozen=True, slots=True)
class Ground:
    """A face of a part as a plane: right and up are directions of the world along x and y; the origin is the corner of
    the two reference edges, or of the opposite edge where `right` or `up` points at the reference face."""

    part: Part
    face: Face
    right: Face
    up: Face

    def place(self, point: Point3) -> tuple[Fraction, Fraction]:
        """A point of the world as x and y (mm)."""
        return self._along(point, self.right), self._along(point, self.up)

    def _along(self, point: Point3, way: Face) -> Fraction:
        return (point[way.axis] - self.part.box.at(way.opposite)) * way.side

    @property
    def size(self) -> tuple[Fraction, Fraction]:
        """The face along x and y (mm)."""
        return self.part.box.size(self.right.axis), self.part.box.size(self.up.axis)

    def flat(self, shape: Contour, axis: int) -> Contour:
        """A contour in the plane across an axis of the world, its axes in the world's order, as it lies on the face."""
        first, _ = other_axes(axis)
        at = (float(self.part.box.at(self.right.opposite)), float(self.part.box.at(self.up.opposite)))

        def place(p: XY) -> XY:
            u, v = p if self.right.axis == first else (p[1], p[0])
            return ((u - at[0]) * self.right.side, (v - at[1]) * self.up.side)

        return moved(shape, place)


def ground(part: Part, face: Face) -> Ground:
    """The face with x and y along its two reference edges, right-handed as one looks at it."""
    a, b = (Face(axis, -part.datum[axis]) for axis in other_axes(face.axis))
    even = (a.axis + 1) % 3 == b.axis
    side = a.side * b.side * (1 if even else -1)
    return Ground(part, face, a, b) if side == face.side else Ground(part, face, b, a)


def box_contour(plane: Ground, lo: Point3, hi: Point3) -> Contour:
    """A box as it lies on the face."""
    p, q = plane.place(lo), plane.place(hi)
    (x0, x1), (y0, y1) = sorted((float(p[0]), float(q[0]))), sorted((float(p[1]), float(q[1])))
    return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def depth_of(plane: Ground, body: Body) -> Fraction | None:
    """How deep a cut goes from the face (mm); None through the part."""
    lo, hi = body_box(body).span(plane.face.axis)
    low, high = plane.part.box.span(plane.face.axis)
    if lo <= low and hi >= high:
        return None
    return high - lo if plane.face.side > 0 else hi - low


def rim(plane: Ground, body: Body) -> Contour | None:
    """Where a cut breaks the face, None where it does not reach it."""
    axis, level = plane.face.axis, plane.part.box.at(plane.face)
    box = body_box(body)
    lo, hi = box.span(axis)
    if not (lo < level <= hi if plane.face.side > 0 else lo <= level < hi):
        return None
    if isinstance(body, Chunk):
        return _chunk_rim(plane, body, level)
    if body.axis != axis:
        return None if isinstance(body, Frustum) or isinstance(body.outline, Disc) else box_contour(plane, box.lo, box.hi)
    if isinstance(body, Frustum):
        return plane.flat(circle((float(body.centre[0]), float(body.centre[1])), float(max(body.radius_lo, body.radius_hi))), axis)
    return plane.flat(contour(body.outline), axis)


def _chunk_rim(plane: Ground, body: Chunk, level: Fraction) -> Contour | None:
    """The polygon of the face that a straight saw cut takes off."""
    first, second = other_axes(plane.face.axis)
    (u0, u1), (v0, v1) = body.box.span(first), body.box.span(second)
    corners = [(u0, v0), (u1, v0), (u1, v1), (u0, v1)]
    rest = body.offset - body.normal[plane.face.axis] * level

    def over(p: tuple[Fraction, Fraction]) -> Fraction:
        return body.normal[first] * p[0] + body.normal[second] * p[1] - rest

    kept: list[tuple[Fraction, Fraction]] = []
    for p, q in zip(corners, (*corners[1:], corners[0]), strict=True):
        h, k = over(p), over(q)
        if h >= 0:
            kept.append(p)
        if h * k < 0:
            t = h / (h - k)
            kept.append((p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t))
    if len(kept) < 3:
        return None
    return plane.flat(polyline([(float(u), float(v)) for u, v in kept]), plane.face.axis)
