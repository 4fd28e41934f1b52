"""Where the middle of a bit may go: areas set in by its radius, as rings whose arcs stay arcs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, pi, sqrt
from typing import TypeAlias

import shapely
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from plandoc.geometry.contours import XY, Contour, Curve, area, with_arcs
from plandoc.toolpath.practice import FINER

Shape: TypeAlias = shapely.Geometry
FINE = 0.0004  # mm between a round corner of an offset and its chord
EASE = 0.004  # mm that a bit which just fits is narrower than it is
TOUCH = 0.02  # mm; a bit that enters an area by less leaves it alone
SPECK = 1e-3  # mm2; smaller areas are nothing
SLIVER = 0.02  # mm; what is narrower than twice that is no wood
NECK = 0.05  # mm2; less between two places that are cleared is their cusp
CORNER = 1.0  # of the radius squared; less is left of every corner of 52 degrees and more (elementary geometry)


def joined(shapes: Iterable[Contour]) -> Shape:
    """The area of contours together."""
    return shapely.union_all([area(s).buffer(0) for s in shapes])


def offset(shape: Shape, by: float) -> Shape:
    """The area wider by so much all round, narrower where it is less than nothing."""
    if abs(by) < 1e-9:
        return shape
    return shape.buffer(by, quad_segs=max(4, ceil(pi / 4 / sqrt(2 * FINE / max(abs(by), 2 * FINE)))))


def polygons(shape: Shape) -> list[Polygon]:
    """The pieces of an area from below, then from the left."""
    found = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 1e-9]
    return sorted(found, key=lambda p: (round(p.bounds[1], 3), round(p.bounds[0], 3), round(p.area, 3)))


class Circles:
    """The circles on which the offsets of outlines lie: arcs of them, and rounds about their corners."""

    def __init__(self, shapes: Iterable[Contour], corners: Shape) -> None:
        arcs = {(s.centre, s.radius) for shape in shapes for s in shape if isinstance(s, Curve)}
        self.arcs = sorted(arcs)
        every: set[XY] = set()
        for piece in polygons(corners):
            for ring in (piece.exterior, *piece.interiors):
                every.update(_corners(list(ring.coords[:-1])))
        self.corners = sorted(every)

    def near(self, by: float) -> list[tuple[XY, float]]:
        """The circles of the offset by so much, to either side."""
        by = abs(by)
        found = {(c, r + way * by) for c, r in self.arcs for way in (-1, 1) if abs(r + way * by) > 1e-3}
        return sorted({(c, abs(r)) for c, r in found} | {(c, by) for c in self.corners if by > 1e-3})


def _corners(ring: Sequence[XY]) -> list[XY]:
    """Points where a ring turns by more than the chords of an arc do."""
    found = []
    for i, (x, y) in enumerate(ring):
        (ax, ay), (bx, by) = ring[i - 1], ring[(i + 1) % len(ring)]
        ux, uy, vx, vy = x - ax, y - ay, bx - x, by - y
        cross, dot = ux * vy - uy * vx, ux * vx + uy * vy
        if abs(cross) > 0.15 * abs(dot) or dot < 0:
            found.append((x, y))
    return found


def centres(wanted: Shape, free: Shape, radius: float) -> Shape:
    """Where the middle of a bit may go to cut a wanted area without leaving the free one around it."""
    near = wanted.buffer(radius - TOUCH, quad_segs=4)  # coarse rounds: they lie in the air
    tight = offset(free, -radius).intersection(near)
    loose = offset(free, EASE - radius).intersection(near)
    slim = [p for p in polygons(loose) if not p.intersects(tight) or tight.is_empty]
    if slim:
        tight = shapely.union_all([tight, *slim])
    if not reached(wanted, tight, radius) and reached(wanted, loose, radius):
        return loose
    return tight


def reached(wanted: Shape, middle: Shape, radius: float) -> bool:
    """Whether a bit led over these places leaves nothing of an area but the corners that are sharper than it is."""
    found: Shape = missing(wanted, middle, radius)
    return bool(found.is_empty)


def missing(wanted: Shape, middle: Shape, radius: float) -> Shape:
    """What a bit leaves of an area beside its sharp corners."""
    swept = offset(middle, radius + EASE + FINE)
    left = polygons(offset(wanted.difference(swept), -SLIVER))
    return shapely.union_all([p for p in left if p.area > CORNER * radius * radius or _neck(p, swept)])


def _neck(left: Polygon, swept: Shape) -> bool:
    """Whether what is left lies between two places that the bit clears: no corner, however small it is."""
    if left.area < NECK:
        return False
    return len(polygons(swept.intersection(offset(left, 3 * SLIVER)))) > 1


def corners_left(wanted: Shape, middle: Shape, radius: float) -> bool:
    """Whether a bit leaves wood in corners."""
    return bool(wanted.difference(offset(middle, radius + 0.02)).area > 0.002 * radius * radius)


def rings(middle: Shape, by: float, circles: Circles) -> list[Contour]:
    """The outlines of an area of middles that lies `by` inside of the work's outline: outer ones to the left, inner ones to
    the right, so that the bit cuts with its turn (climb) where it runs clockwise seen from above."""
    near = [*circles.near(by), *circles.near(by - EASE)]
    found: list[Contour] = []
    for piece in polygons(middle):
        piece = orient(piece)
        for ring in (piece.exterior, *piece.interiors):
            made = with_arcs([(x, y) for x, y in ring.coords[:-1]], near)
            if made:
                found.append(made)
    return found


def rounds(middle: Shape, radius: float) -> list[tuple[float, Shape]]:
    """Areas of middles one inside of the other, the innermost first, each with how far it is set in from the first:
    together their outlines clear everything."""
    full = offset(middle, radius)
    made: list[tuple[float, Shape]] = []
    for over in FINER:
        step, by = over * 2 * radius, 0.0
        made = []
        while True:
            inner = offset(middle, -by)
            if inner.is_empty or (by > 0 and inner.area < 1e-6):
                break
            made.append((by, inner))
            by += step
        while len(made) > 1 and made[-1][1].area < (0.2 * radius) ** 2 and _clears(made[:-1], full, radius):
            made.pop()
        if _clears(made, full, radius):
            break
    return list(reversed(made))


def _clears(made: Sequence[tuple[float, Shape]], full: Shape, radius: float) -> bool:
    swept = shapely.union_all([shape.boundary.buffer(radius + FINE, quad_segs=32) for _, shape in made])
    return bool(offset(full.difference(swept), -0.01).area < SPECK)
