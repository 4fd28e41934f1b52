"""The numbers of one piece of work: what the machine is set to and where the cut stands on its part."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from plandoc.geometry.bodies import Box, Face, Point3, body_box, other_axes
from plandoc.model.entities import Feature, Joint, Part
from plandoc.model.sawn import BAND


@dataclass(frozen=True, slots=True)
class Channel:
    """A straight cut in a face. All lengths mm.

    run: axis it runs along, across: axis its width lies in. near: distance of its nearer edge from `reference`,
    the part's reference face on the across axis. flush: the face along which the channel is open, None where it
    has wood on both sides. stop_lo, stop_hi: wood left standing at the low and high end of the run."""

    face: Face
    run: int
    across: int
    width: Fraction
    depth: Fraction
    length: Fraction
    near: Fraction
    reference: Face
    flush: Face | None
    stop_lo: Fraction
    stop_hi: Fraction


def cut_box(part: Part, feature: Feature) -> Box | None:
    """The room that the feature takes from the part's finished box, None where it takes nothing."""
    box: Box | None = None
    for prism in feature.cuts:
        clipped = body_box(prism).common(part.box)
        if clipped is not None:
            box = clipped if box is None else box.union(clipped)
    return box


def before_outer_bands(part: Part) -> Box:
    """The finished box without banding outside of the part's sizes: channels are cut before it goes on."""
    box = part.box
    for feature in part.features:
        if feature.kind == BAND and feature.face is not None and feature.adds:
            strip = body_box(feature.adds[0])
            box = box.with_face(feature.face, strip.at(feature.face.opposite))
    return box


def reference_face(part: Part, axis: int) -> Face:
    """The part's reference face on a world axis."""
    return Face(axis, part.datum[axis])


def distance(part: Part, axis: int, lo: Fraction, hi: Fraction) -> Fraction:
    """How far the span lo..hi stands from the reference face on that axis (mm, to its nearer edge)."""
    face = reference_face(part, axis)
    return lo - part.box.at(face) if face.side < 0 else part.box.at(face) - hi


def channel(part: Part, feature: Feature, joint: Joint | None = None) -> Channel | None:
    """The feature as a straight channel, None where it cuts nothing or has no face."""
    box = cut_box(part, feature)
    if box is None or feature.face is None:
        return None
    face = feature.face
    first, second = other_axes(face.axis)
    bare = before_outer_bands(part)
    through = [axis for axis in (first, second) if box.span(axis) == bare.span(axis)]
    if joint is not None and joint.run_axis in (first, second) and joint.b == part.path:
        run = joint.run_axis
    elif len(through) == 1:
        run = through[0]
    else:
        run = first if box.size(first) >= box.size(second) else second
    across = second if run == first else first
    lo, hi = box.span(across)
    flush = None
    for side in (-1, 1):
        if part.box.at(Face(across, side)) == (lo if side < 0 else hi):
            flush = Face(across, side)
    return Channel(
        face,
        run,
        across,
        hi - lo,
        box.size(face.axis),
        box.size(run),
        distance(part, across, lo, hi),
        reference_face(part, across),
        flush,
        box.lo[run] - bare.lo[run],
        bare.hi[run] - box.hi[run],
    )


def from_edges(part: Part, face: Face, point: Point3) -> tuple[tuple[Face, Fraction], ...]:
    """Distances of a point on `face` from the reference faces of the two axes in it (width axis first, mm)."""
    axes = sorted(other_axes(face.axis), key=lambda axis: (axis == part.length_axis, axis))
    return tuple((reference_face(part, a), distance(part, a, point[a], point[a])) for a in axes)


def face_at(part: Part, point: Point3) -> Face | None:
    """The face of the part that the point lies on, its broad faces first; None for a point that lies on none."""
    if any(not lo <= at <= hi for lo, at, hi in zip(part.box.lo, point, part.box.hi, strict=True)):
        return None
    for axis in sorted((0, 1, 2), key=lambda axis: axis != part.thickness_axis):
        for side in (-1, 1):
            if part.box.at(Face(axis, side)) == point[axis]:
                return Face(axis, side)
    return None


def square_root(value: Fraction) -> Fraction:
    """Square root, exact for squares of rational numbers, else within 1/1,000,000."""
    num, den = isqrt(value.numerator), isqrt(value.denominator)
    if num * num == value.numerator and den * den == value.denominator:
        return Fraction(num, den)
    scale = 10**6
    return Fraction(isqrt(value.numerator * scale * scale // value.denominator), scale)
