"""Exact bodies: boxes, and straight prisms that are added to or taken from a part.

All coordinates are exact millimetres (Fraction) in the plan's world: axis 0 `across` to the right,
axis 1 `back` away from the viewer, axis 2 `up`; the origin is the left front bottom corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

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
    """Closed outline through points, counter-clockwise. bulges[i] is the tangent of a quarter of the arc angle
    from point i to point i+1: 0 a straight line, positive an arc that turns left (mm)."""

    points: tuple[Point2, ...]
    bulges: tuple[Fraction, ...] = ()


Outline = Rect | Disc | Loop


@dataclass(frozen=True, slots=True)
class Prism:
    """Straight body: `outline` in the plane normal to `axis`, from lo to hi along it (mm)."""

    axis: int
    lo: Fraction
    hi: Fraction
    outline: Outline


def other_axes(axis: int) -> tuple[int, int]:
    """The two axes that are not `axis`, lower first."""
    first, second = (a for a in AXES if a != axis)
    return first, second


def box_prism(box: Box, axis: int = UP) -> Prism:
    """The box as a prism along an axis."""
    a, b = other_axes(axis)
    return Prism(axis, box.lo[axis], box.hi[axis], Rect((box.lo[a], box.lo[b]), (box.hi[a], box.hi[b])))


def prism_box(prism: Prism) -> Box:
    """The smallest box around a prism; exact for Rect and Disc, and for Loop where its arcs stay inside its points."""
    outline = prism.outline
    if isinstance(outline, Rect):
        lo2, hi2 = outline.lo, outline.hi
    elif isinstance(outline, Disc):
        (x, y), r = outline.centre, outline.radius
        lo2, hi2 = (x - r, y - r), (x + r, y + r)
    else:
        xs = [p[0] for p in outline.points]
        ys = [p[1] for p in outline.points]
        lo2, hi2 = (min(xs), min(ys)), (max(xs), max(ys))
    a, b = other_axes(prism.axis)
    lo, hi = [prism.lo] * 3, [prism.hi] * 3
    lo[a], lo[b], hi[a], hi[b] = lo2[0], lo2[1], hi2[0], hi2[1]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
