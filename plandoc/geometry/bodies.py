"""Exact bodies: boxes, and straight prisms that are added to or taken from a part.

All coordinates are exact millimetres (Fraction) in the plan's world: axis 0 `across` to the right,
axis 1 `back` away from the viewer, axis 2 `up`; the origin is the left front bottom corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

ACROSS, BACK, UP = 0, 1, 2
AXES = (ACROSS, BACK, UP)
AXIS_NAMES = ("across", "back", "up")
FACE_NAMES = ("left", "right", "front", "rear", "bottom", "top")

Point3 = tuple[Fraction, Fraction, Fraction]
Point2 = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, order=True)
class Face:
    """One of the six faces of a box: the axis it is normal to, and -1 (low side) or +1 (high side)."""

    axis: int
    side: int

    @property
    def name(self) -> str:
        """`left`, `right`, `front`, `rear`, `bottom` or `top`."""
        return FACE_NAMES[2 * self.axis + (self.side > 0)]

    @property
    def opposite(self) -> Face:
        """The face on the other side."""
        return Face(self.axis, -self.side)

    @property
    def normal(self) -> Point3:
        """The direction that it looks to, of unit length."""
        vector = [Fraction(0)] * 3
        vector[self.axis] = Fraction(self.side)
        return vector[0], vector[1], vector[2]


FACES: dict[str, Face] = {name: Face(i // 2, 1 if i % 2 else -1) for i, name in enumerate(FACE_NAMES)}


@dataclass(frozen=True, slots=True)
class Box:
    """Axis-aligned box from lo to hi (mm)."""

    lo: Point3
    hi: Point3

    def size(self, axis: int) -> Fraction:
        """Extent along an axis (mm)."""
        return self.hi[axis] - self.lo[axis]

    def at(self, face: Face) -> Fraction:
        """Coordinate of a face (mm)."""
        return self.hi[face.axis] if face.side > 0 else self.lo[face.axis]

    def span(self, axis: int) -> tuple[Fraction, Fraction]:
        """lo and hi along an axis (mm)."""
        return self.lo[axis], self.hi[axis]

    def with_span(self, axis: int, lo: Fraction, hi: Fraction) -> Box:
        """A copy with other limits along one axis."""
        new_lo, new_hi = list(self.lo), list(self.hi)
        new_lo[axis], new_hi[axis] = lo, hi
        return Box((new_lo[0], new_lo[1], new_lo[2]), (new_hi[0], new_hi[1], new_hi[2]))

    def with_face(self, face: Face, value: Fraction) -> Box:
        """A copy with one face moved to a coordinate."""
        lo, hi = self.span(face.axis)
        return self.with_span(face.axis, lo if face.side > 0 else value, value if face.side > 0 else hi)

    def union(self, other: Box) -> Box:
        """The smallest box around both."""
        lo = tuple(min(a, b) for a, b in zip(self.lo, other.lo, strict=True))
        hi = tuple(max(a, b) for a, b in zip(self.hi, other.hi, strict=True))
        return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))

    def common(self, other: Box) -> Box | None:
        """The overlap, None where they share no volume."""
        lo = tuple(max(a, b) for a, b in zip(self.lo, other.lo, strict=True))
        hi = tuple(min(a, b) for a, b in zip(self.hi, other.hi, strict=True))
        if any(a >= b for a, b in zip(lo, hi, strict=True)):
            return None
        return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))

    @property
    def volume(self) -> Fraction:
        """Volume (mm3)."""
        return self.size(0) * self.size(1) * self.size(2)


@dataclass(frozen=True, slots=True)
class Rect:
    """Rectangle in the plane normal to a prism's axis; corners in the two other axes, lower axis first (mm)."""

    lo: Point2
    hi: Point2


@dataclass(frozen=True, slots=True)
class Disc:
    """Circle in the plane normal to a prism's axis (mm)."""

    centre: Point2
    radius: Fraction


@dataclass(frozen=True, slots=True)
class Loop:
    """Closed outline through points, counter-clockwise. bows[i] is the tangent of a quarter of the arc angle
    from point i to point i+1: 0 a straight line, positive an arc that turns left (mm)."""

    points: tuple[Point2, ...]
    bows: tuple[Fraction, ...] = ()


Outline = Rect | Disc | Loop
NEAR = Fraction(1, 10**6)  # mm; the end of an arc is no quadrant point beside it


@dataclass(frozen=True, slots=True)
class Prism:
    """Straight body: `outline` in the plane normal to `axis`, from lo to hi along it (mm)."""

    axis: int
    lo: Fraction
    hi: Fraction
    outline: Outline


@dataclass(frozen=True, slots=True)
class Frustum:
    """Cone cut off at both ends, along `axis` from lo to hi; its radius at lo and at hi (mm). A countersink."""

    axis: int
    lo: Fraction
    hi: Fraction
    centre: Point2
    radius_lo: Fraction
    radius_hi: Fraction


@dataclass(frozen=True, slots=True)
class Chunk:
    """The part of a box that lies where normal . p >= offset: what one straight saw cut at any angle takes off. The
    normal need not have unit length; p in mm."""

    box: Box
    normal: Point3
    offset: Fraction


Body = Prism | Frustum | Chunk


def other_axes(axis: int) -> tuple[int, int]:
    """The two axes that are not `axis`, lower first."""
    first, second = (a for a in AXES if a != axis)
    return first, second


def point_on(face: Face, level: Fraction, place: Point2) -> Point3:
    """The point at a place in the plane of a face, which lies at that level."""
    first, second = other_axes(face.axis)
    point = [level] * 3
    point[first], point[second] = place
    return (point[0], point[1], point[2])


def box_prism(box: Box, axis: int = UP) -> Prism:
    """The box as a prism along an axis."""
    a, b = other_axes(axis)
    return Prism(axis, box.lo[axis], box.hi[axis], Rect((box.lo[a], box.lo[b]), (box.hi[a], box.hi[b])))


def body_box(body: Body) -> Box:
    """The smallest box around a body; exact, arcs included."""
    if isinstance(body, Chunk):
        return _chunk_box(body)
    if isinstance(body, Frustum):
        (x, y), r = body.centre, max(body.radius_lo, body.radius_hi)
        lo2, hi2 = (x - r, y - r), (x + r, y + r)
    elif isinstance(body.outline, Rect):
        lo2, hi2 = body.outline.lo, body.outline.hi
    elif isinstance(body.outline, Disc):
        (x, y), r = body.outline.centre, body.outline.radius
        lo2, hi2 = (x - r, y - r), (x + r, y + r)
    else:
        lo2, hi2 = loop_limits(body.outline)
    a, b = other_axes(body.axis)
    lo, hi = [body.lo] * 3, [body.hi] * 3
    lo[a], lo[b], hi[a], hi[b] = lo2[0], lo2[1], hi2[0], hi2[1]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def loop_limits(loop: Loop) -> tuple[Point2, Point2]:
    """Least and greatest coordinates of an outline; where an arc passes a quadrant point, that of its circle, to a
    billionth of a mm."""
    xs = [p[0] for p in loop.points]
    ys = [p[1] for p in loop.points]
    for index, bow in enumerate(loop.bows):
        if bow:
            start, end = loop.points[index], loop.points[(index + 1) % len(loop.points)]
            for x, y in _quadrants(start, end, bow):
                xs.append(x)
                ys.append(y)
    return (min(xs), min(ys)), (max(xs), max(ys))


def arc_of(start: Point2, end: Point2, bow: Fraction) -> tuple[Point2, Fraction]:
    """Centre and square of the radius of the arc with that bow: the tangent b of a quarter of its angle gives the
    centre at (1 - b^2) / (4 b) of the chord beside its middle (elementary geometry), so both are exact."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    off = (1 - bow * bow) / (4 * bow)
    centre = ((start[0] + end[0]) / 2 - dy * off, (start[1] + end[1]) / 2 + dx * off)
    return centre, (start[0] - centre[0]) ** 2 + (start[1] - centre[1]) ** 2


def root(square: Fraction) -> Fraction:
    """Square root, exact where it is rational, else to a billionth."""
    top, bottom = isqrt(square.numerator), isqrt(square.denominator)
    if top * top == square.numerator and bottom * bottom == square.denominator:
        return Fraction(top, bottom)
    return Fraction(isqrt(square.numerator * 10**18 // square.denominator), 10**9)


def _quadrants(start: Point2, end: Point2, bow: Fraction) -> list[Point2]:
    """The points at the left, right, low and high end of the circle that lie on the arc."""
    centre, square = arc_of(start, end, bow)
    radius = root(square)
    found = []
    for x, y in ((radius, 0), (-radius, 0), (0, radius), (0, -radius)):
        point = (centre[0] + x, centre[1] + y)
        # on which side of the chord: an arc that turns left lies at its right
        side = (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])
        if side * bow < 0 and min(_far(point, start), _far(point, end)) > NEAR:
            found.append(point)
    return found


def _far(a: Point2, b: Point2) -> Fraction:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1]))


def _chunk_box(chunk: Chunk) -> Box:
    """Around the corners of the box beyond the plane and the places where its edges pass the plane."""
    box, n = chunk.box, chunk.normal
    ends = (box.lo, box.hi)
    corners = [(ends[i][0], ends[j][1], ends[k][2]) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    points = [p for p in corners if _beyond(chunk, p) >= 0]
    for p in corners:
        for axis in AXES:
            if p[axis] != box.lo[axis] or not n[axis]:
                continue
            q = list(p)
            q[axis] = box.hi[axis]
            h, k = _beyond(chunk, p), _beyond(chunk, (q[0], q[1], q[2]))
            if h * k < 0:
                q[axis] = p[axis] + (q[axis] - p[axis]) * h / (h - k)
                points.append((q[0], q[1], q[2]))
    if not points:
        return Box(box.lo, box.lo)
    lo = [min(p[a] for p in points) for a in AXES]
    hi = [max(p[a] for p in points) for a in AXES]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _beyond(chunk: Chunk, point: Point3) -> Fraction:
    n = chunk.normal
    return n[0] * point[0] + n[1] * point[1] + n[2] * point[2] - chunk.offset
