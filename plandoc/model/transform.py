"""Exact moves of an assembly: quarter turns, mirror images and shifts, applied to everything that has a place."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import (
    AXES,
    FACES,
    Body,
    Box,
    Chunk,
    Disc,
    Face,
    Frustum,
    Loop,
    Point2,
    Point3,
    Prism,
    Rect,
    other_axes,
)
from plandoc.model.entities import Feature, Figure

ZERO = Fraction(0)
FACE_WORD = re.compile("⟨([a-z]+)⟩")


def face_word(face: Face) -> str:
    """The name of a face inside of words, marked so that it turns with the part."""
    return f"⟨{face.name}⟩"


def unmarked(feature: Feature) -> Feature:
    """The feature in its last place: face names in its words without their marks."""
    if "⟨" not in feature.note and not any("⟨" in words for _, words in feature.leaders):
        return feature
    leaders = tuple((point, FACE_WORD.sub(r"\1", words)) for point, words in feature.leaders)
    return replace(feature, note=FACE_WORD.sub(r"\1", feature.note), leaders=leaders)


@dataclass(frozen=True, slots=True)
class Transform:
    """Local axis i becomes axis perm[i] with sign[i]; then the shift is added (mm)."""

    perm: tuple[int, int, int] = (0, 1, 2)
    sign: tuple[int, int, int] = (1, 1, 1)
    shift: Point3 = (ZERO, ZERO, ZERO)

    @property
    def mirrors(self) -> bool:
        """Whether it turns a left hand into a right hand."""
        parity = 1 if self.perm in ((0, 1, 2), (1, 2, 0), (2, 0, 1)) else -1
        return parity * self.sign[0] * self.sign[1] * self.sign[2] < 0

    def axis(self, axis: int) -> int:
        """Where a local axis points."""
        return self.perm[axis]

    def face(self, face: Face) -> Face:
        """The outer name of a local face."""
        return Face(self.perm[face.axis], face.side * self.sign[face.axis])

    def coordinate(self, axis: int, value: Fraction) -> Fraction:
        """Outer coordinate of a local coordinate; it lies on axis perm[axis]."""
        return self.sign[axis] * value + self.shift[self.perm[axis]]

    def span(self, axis: int, lo: Fraction, hi: Fraction) -> tuple[Fraction, Fraction]:
        """Outer limits of local limits."""
        a, b = self.coordinate(axis, lo), self.coordinate(axis, hi)
        return (a, b) if a <= b else (b, a)

    def point(self, point: Point3) -> Point3:
        """A point."""
        out = [ZERO, ZERO, ZERO]
        for axis in AXES:
            out[self.perm[axis]] = self.coordinate(axis, point[axis])
        return (out[0], out[1], out[2])

    def box(self, box: Box) -> Box:
        """A box."""
        lo, hi = [ZERO] * 3, [ZERO] * 3
        for axis in AXES:
            lo[self.perm[axis]], hi[self.perm[axis]] = self.span(axis, box.lo[axis], box.hi[axis])
        return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))

    def prism(self, prism: Prism) -> Prism:
        """A prism with its outline."""
        lo, hi = self.span(prism.axis, prism.lo, prism.hi)
        axis = self.perm[prism.axis]
        first, second = other_axes(prism.axis)
        swapped = self.perm[first] > self.perm[second]

        def flat(p: Point2) -> Point2:
            a, b = self.coordinate(first, p[0]), self.coordinate(second, p[1])
            return (b, a) if swapped else (a, b)

        outline = prism.outline
        if isinstance(outline, Rect):
            p, q = flat(outline.lo), flat(outline.hi)
            return Prism(axis, lo, hi, Rect((min(p[0], q[0]), min(p[1], q[1])), (max(p[0], q[0]), max(p[1], q[1]))))
        if isinstance(outline, Disc):
            return Prism(axis, lo, hi, Disc(flat(outline.centre), outline.radius))
        points = tuple(flat(p) for p in outline.points)
        bows = outline.bows or tuple(ZERO for _ in points)
        flipped = (self.sign[first] * self.sign[second] < 0) != swapped
        if flipped:
            # Read backwards the loop runs counter-clockwise again; each arc then bends the other way round twice.
            points = tuple(reversed(points))
            bows = (*reversed(bows[:-1]), bows[-1])
        return Prism(axis, lo, hi, Loop(points, bows if any(bows) else ()))

    def body(self, body: Body) -> Body:
        """A body of any form."""
        if isinstance(body, Prism):
            return self.prism(body)
        if isinstance(body, Frustum):
            flat = self.prism(Prism(body.axis, body.lo, body.hi, Disc(body.centre, body.radius_lo)))
            assert isinstance(flat.outline, Disc)
            radii = (body.radius_lo, body.radius_hi) if self.sign[body.axis] > 0 else (body.radius_hi, body.radius_lo)
            return Frustum(flat.axis, flat.lo, flat.hi, flat.outline.centre, *radii)
        normal = [ZERO, ZERO, ZERO]
        for axis in AXES:
            normal[self.perm[axis]] = self.sign[axis] * body.normal[axis]
        moved = sum((normal[axis] * self.shift[axis] for axis in AXES), ZERO)
        return Chunk(self.box(body.box), (normal[0], normal[1], normal[2]), body.offset + moved)

    def figure(self, figure: Figure) -> Figure:
        """A measure."""
        lo, hi = self.span(figure.axis, figure.lo, figure.hi)
        return replace(figure, axis=self.perm[figure.axis], lo=lo, hi=hi, datum=figure.datum * self.sign[figure.axis])

    def feature(self, feature: Feature) -> Feature:
        """A feature with all that it holds."""
        return replace(
            feature,
            face=None if feature.face is None else self.face(feature.face),
            cuts=tuple(self.body(p) for p in feature.cuts),
            adds=tuple(self.prism(p) for p in feature.adds),
            figures=tuple(self.figure(f) for f in feature.figures),
            centre=None if feature.centre is None else self.point(feature.centre),
            reading=None if feature.reading is None else self.face(feature.reading),
            note=self.words(feature.note),
            leaders=tuple((self.point(point), self.words(words)) for point, words in feature.leaders),
        )

    def words(self, text: str) -> str:
        """Words in which faces are named by `face_word`."""
        return FACE_WORD.sub(lambda found: face_word(self.face(FACES[found[1]])), text)

    def after(self, inner: Transform) -> Transform:
        """First the inner transform, then this one."""
        perm = (self.perm[inner.perm[0]], self.perm[inner.perm[1]], self.perm[inner.perm[2]])
        sign = (
            inner.sign[0] * self.sign[inner.perm[0]],
            inner.sign[1] * self.sign[inner.perm[1]],
            inner.sign[2] * self.sign[inner.perm[2]],
        )
        return Transform(perm, sign, self.point(inner.shift))

    def inverse(self) -> Transform:
        """The transform that undoes this one."""
        perm = [0, 0, 0]
        sign = [1, 1, 1]
        for axis in AXES:
            perm[self.perm[axis]] = axis
            sign[self.perm[axis]] = self.sign[axis]
        back = Transform((perm[0], perm[1], perm[2]), (sign[0], sign[1], sign[2]))
        x, y, z = back.point(self.shift)
        return replace(back, shift=(-x, -y, -z))


IDENTITY = Transform()


def mirror(axis: int, about: Fraction) -> Transform:
    """The mirror image about the plane normal to an axis at a coordinate (mm)."""
    sign = [1, 1, 1]
    sign[axis] = -1
    shift = [ZERO, ZERO, ZERO]
    shift[axis] = 2 * about
    return Transform((0, 1, 2), (sign[0], sign[1], sign[2]), (shift[0], shift[1], shift[2]))


def quarter_turns(axis: int, count: int) -> Transform:
    """Counter-clockwise quarter turns about an axis through the origin, seen against the axis."""
    result = IDENTITY
    first, second = [(1, 2), (2, 0), (0, 1)][axis]
    perm = [0, 1, 2]
    perm[first], perm[second] = second, first
    sign = [1, 1, 1]
    sign[second] = -1
    once = Transform((perm[0], perm[1], perm[2]), (sign[0], sign[1], sign[2]))
    for _ in range(count % 4):
        result = once.after(result)
    return result
