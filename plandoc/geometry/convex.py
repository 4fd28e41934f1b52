"""Convex bodies with flat faces, cut by planes in exact arithmetic: what a saw leaves or takes at a leaning end."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box, Chunk, Point3

Polygon = tuple[Point3, ...]

# Corners of the six faces of a box as low (0) or high (1) along each axis, counter-clockwise seen from outside.
_CORNERS = (
    ((0, 0, 0), (0, 0, 1), (0, 1, 1), (0, 1, 0)),
    ((1, 0, 0), (1, 1, 0), (1, 1, 1), (1, 0, 1)),
    ((0, 0, 0), (1, 0, 0), (1, 0, 1), (0, 0, 1)),
    ((0, 1, 0), (0, 1, 1), (1, 1, 1), (1, 1, 0)),
    ((0, 0, 0), (0, 1, 0), (1, 1, 0), (1, 0, 0)),
    ((0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1)),
)


def box_faces(box: Box) -> tuple[Polygon, ...]:
    """The six faces of a box, counter-clockwise seen from outside."""
    ends = (box.lo, box.hi)
    return tuple(tuple((ends[i][0], ends[j][1], ends[k][2]) for i, j, k in face) for face in _CORNERS)


def dot(a: Point3, b: Point3) -> Fraction:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def normal_of(polygon: Sequence[Point3]) -> Point3:
    """Square to a flat polygon, by the sum over its corners; its length is twice the area (mm2), and it looks to where the polygon
    runs counter-clockwise."""
    total = [Fraction(0)] * 3
    for p, q in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        for a in AXES:
            b, c = (a + 1) % 3, (a + 2) % 3
            total[a] += p[b] * q[c] - p[c] * q[b]
    return total[0], total[1], total[2]


def cut_faces(faces: Sequence[Polygon], normal: Point3, offset: Fraction) -> tuple[Polygon, ...]:
    """The faces of what is left where normal . p >= offset; none where nothing is. Neighbouring faces share corners
    exactly."""
    kept: list[Polygon] = []
    rim: dict[Point3, Point3] = {}
    for face in faces:
        heights = [dot(normal, p) - offset for p in face]
        if all(h <= 0 for h in heights):
            continue
        polygon: list[Point3] = []
        for index, point in enumerate(face):
            following = (index + 1) % len(face)
            h, k = heights[index], heights[following]
            if h >= 0:
                polygon.append(point)
            if (h > 0 > k) or (h < 0 < k):
                polygon.append(_between(point, face[following], h / (h - k)))
        low = [index for index, p in enumerate(polygon) if dot(normal, p) == offset]
        for index in low:
            following = (index + 1) % len(polygon)
            if following in low and len(low) > 1:
                # the new face runs the other way round along this edge
                rim[polygon[following]] = polygon[index]
        kept.append(tuple(polygon))
    if not kept:
        return ()
    if len(rim) >= 3:
        start = min(rim)
        loop = [start]
        while rim[loop[-1]] != start and len(loop) <= len(rim):
            loop.append(rim[loop[-1]])
        kept.append(tuple(loop))
    return tuple(kept)


def _between(a: Point3, b: Point3, share: Fraction) -> Point3:
    # always from the lesser end, so that both faces at the edge get the same corner
    if b < a:
        a, b, share = b, a, 1 - share
    x, y, z = (a[i] + (b[i] - a[i]) * share for i in AXES)
    return x, y, z


def chunk_faces(chunk: Chunk) -> tuple[Polygon, ...]:
    """The faces of a chunk, counter-clockwise seen from outside."""
    return cut_faces(box_faces(chunk.box), chunk.normal, chunk.offset)


def left_faces(box: Box, chunks: Sequence[Chunk]) -> tuple[Polygon, ...]:
    """The faces of a box after chunks were sawn off; every chunk's plane is taken to go right through."""
    faces = box_faces(box)
    for chunk in chunks:
        x, y, z = chunk.normal
        faces = cut_faces(faces, (-x, -y, -z), -chunk.offset)
    return faces
