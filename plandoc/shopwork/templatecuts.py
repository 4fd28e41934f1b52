"""One piece of work by template: its area on the face, the bit that its corners and its narrowest place allow, its passes.

Areas, bits and passes come from the room of tool paths, so that a router in the hand and one led by numbers cut alike; passes in the
hand are no deeper than `practice.HAND_PASS`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import shapely
from shapely.geometry import box

from plandoc.build.faceplane import Ground, box_contour, depth_of, ground, rim
from plandoc.geometry.bodies import Face, body_box
from plandoc.geometry.contours import Contour, Curve, Straight, Stroke, combined
from plandoc.model.entities import Feature, Part
from plandoc.quantity import Units
from plandoc.tables import operation_of_feature
from plandoc.tables.shop import Shop
from plandoc.toolpath import practice
from plandoc.toolpath.areas import Shape, centres, joined, reached
from plandoc.toolpath.passes import levels

AFTER = ("bevel", "edge_easing", "edge_banding")
"""Operations on edges that wait for the outline."""
ROUND = 1e-3  # mm; a bit may be that much wider than a round corner
TURN = 0.15  # radians between two strokes that meet in a corner
ONE = 0.01  # mm2 that an area may stand beyond another that holds it


@dataclass(frozen=True, slots=True)
class Tool:
    """What a piece of work is cut with. kind: bit (of a router), bore (flat-bottomed bit), point (V-bit), saw, hand. diameter: mm, of bits.
    bearing: the bit has one of its own diameter. bush: outside diameter of the guide bush (mm). chop: corners that are drawn sharp are
    chopped square after it. pare: radius (mm) of round corners that are smaller than the bit."""

    kind: str
    diameter: Fraction | None = None
    bearing: bool = False
    bush: Fraction | None = None
    chop: bool = False
    pare: float = 0.0

    @property
    def offset(self) -> Fraction | None:
        """How far the edge of the template lies outside of the cut, for the bush (mm)."""
        return None if self.bush is None or self.diameter is None else (self.bush - self.diameter) / 2


@dataclass(frozen=True, slots=True)
class Spot:
    """A feature on its face. wanted: its area, free: where a bit may be beside it. top: how deep all of it is cut before (mm). deep: mm
    from the face, None through. corner: least radius of its round inside corners (mm), None where it has none; sharp: whether it has
    sharp ones. wide: diameter of the largest circle in it (mm)."""

    wanted: Shape
    free: Shape
    top: Fraction
    deep: Fraction | None
    corner: float | None
    sharp: bool
    wide: float


class Grounds:
    """The faces of a part with all that is cut in them."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._known: dict[Face, tuple[Ground, list[tuple[Feature, Contour, Fraction | None]]]] = {}

    def _face(self, face: Face) -> tuple[Ground, list[tuple[Feature, Contour, Fraction | None]]]:
        if face not in self._known:
            plane = ground(self.part, face)
            now = [f for f in self.part.features if operation_of_feature(f.kind) not in AFTER]
            rows = [(f, shape, depth_of(plane, body)) for f in now for body in f.cuts if (shape := rim(plane, body)) is not None]
            self._known[face] = plane, rows
        return self._known[face]

    def spot(self, feature: Feature) -> Spot | None:
        """The feature on its face; None where it has no area there."""
        if feature.face is None:
            return None
        plane, rows = self._face(feature.face)
        own = [(shape, deep) for f, shape, deep in rows if f is feature]
        if not own:
            return None
        deep = None if any(d is None for _, d in own) else max(d for _, d in own if d is not None)
        wanted, outside = joined([shape for shape, _ in own]), self._outside(plane)
        open_ = [shape for _, shape, d in rows if d is None or (deep is not None and d >= deep)]
        above: dict[Fraction, list[Contour]] = {}
        for _, shape, d in rows:
            if d is not None and (deep is None or d < deep):
                above.setdefault(d, []).append(shape)
        whole = wanted.difference(outside)
        top = max((d for d in above if whole.difference(joined([s for e, shapes in above.items() if e >= d for s in shapes])).area < ONE), default=Fraction(0))
        round_, sharp = corners(combined([shape for shape, _ in own]), outside)
        wide = 2 * shapely.maximum_inscribed_circle(whole, tolerance=0.1).length if not whole.is_empty else 0.0
        return Spot(whole, shapely.union_all([joined(open_), outside]), top, deep, min(round_, default=None), sharp, wide)

    def _outside(self, plane: Ground) -> Shape:
        whole = [box_contour(plane, self.part.shoulder.lo, self.part.shoulder.hi)]
        whole += [box_contour(plane, b.lo, b.hi) for f in self.part.features for b in map(body_box, f.adds)]
        shape = joined(whole)
        x0, y0, x1, y1 = shape.bounds
        return box(x0 - 200, y0 - 200, x1 + 200, y1 + 200).difference(shape)


def corners(shapes: Iterable[Contour], outside: Shape) -> tuple[list[float], bool]:
    """Radii (mm) of the inside corners of an area, as a bit in it meets them, and whether some are sharp; those in the air beside the
    part do not count."""
    radii: list[float] = []
    sharp = False
    air = outside.buffer(0.01)
    for shape in shapes:
        for stroke in shape:
            if isinstance(stroke, Curve) and stroke.left and not air.covers(shapely.LineString(stroke.points(0.05))):
                radii.append(stroke.radius)
        for one, two in pairwise((*shape, shape[0])):
            if len(shape) > 1 and _turn(one, two) > TURN and not air.covers(shapely.Point(one.end)):
                sharp = True
    return radii, sharp


def _turn(one: Stroke, two: Stroke) -> float:
    """How far the way turns to the left between two strokes (sine of the angle)."""
    (ax, ay), (bx, by) = _way(one, True), _way(two, False)
    return ax * by - ay * bx


def _way(stroke: Stroke, at_end: bool) -> tuple[float, float]:
    if isinstance(stroke, Straight):
        x, y = stroke.end[0] - stroke.start[0], stroke.end[1] - stroke.start[1]
    else:
        px, py = stroke.end if at_end else stroke.start
        side = 1 if stroke.left else -1
        x, y = -side * (py - stroke.centre[1]), side * (px - stroke.centre[0])
    long = (x * x + y * y) ** 0.5 or 1.0
    return x / long, y / long


def fits(spot: Spot, bit: Fraction) -> bool:
    """Whether a bit reaches all of an area but its sharp corners."""
    middle = centres(spot.wanted, spot.free, float(bit) / 2)
    return not middle.is_empty and reached(spot.wanted, middle, float(bit) / 2)


def router_tool(spot: Spot, thick: Fraction, shop: Shop) -> Tool | None:
    """The largest bit of the shop's routers that the corners and the narrowest place allow, one that is guided before one that is not; where
    all are larger than a round corner, the smallest that fits. None where no bit goes in or reaches the bottom."""
    best: tuple[tuple[object, ...], Tool] | None = None
    for one in shop.machines:
        reach = one.one("deep")
        if one.key != "router" or (reach is not None and reach < (thick if spot.deep is None else spot.deep)):
            continue
        bearings, bushes = one.all("bearings"), sorted(one.all("bushes"))
        for bit in dict.fromkeys((*bearings, *one.all("bits"))):
            if not fits(spot, bit):
                continue
            bush = next((b for b in bushes if b - bit >= practice.BUSH_CLEAR), None) if bit not in bearings else None
            inside = spot.corner is None or float(bit) <= 2 * spot.corner + ROUND
            tool = Tool("bit", bit, bit in bearings, bush, spot.sharp, 0.0 if inside or spot.corner is None else spot.corner)
            rank = (inside, tool.bearing or bush is not None, bit if inside else -bit)
            if best is None or rank > best[0]:
                best = rank, tool
    return None if best is None else best[1]


def hand_limit(diameter: Fraction, units: Units) -> Fraction:
    """Most depth of one pass in the hand (mm)."""
    return min(Fraction(practice.PASS) * diameter, practice.HAND_PASS[units.system])


def stops(top: Fraction, bottom: Fraction, diameter: Fraction, units: Units) -> tuple[Fraction, ...]:
    """Depths from the face (mm) to which the passes go, from `top` down to exactly `bottom`: as many as a router led by numbers makes,
    set to the step of the plan where no pass becomes too deep by that."""
    limit = hand_limit(diameter, units)
    count = len(levels(-float(top), -float(bottom), float(diameter), float(limit)))
    equal = [top + (bottom - top) * n / count for n in range(1, count + 1)]
    for grid in (units.step_mm, units.fine.step_mm):
        found = [*(round(depth / grid) * grid for depth in equal[:-1]), bottom]
        if all(0 < b - a <= limit for a, b in pairwise((top, *found))):
            return tuple(found)
    return tuple(equal)


def point_stops(depth: Fraction) -> tuple[Fraction, ...]:
    """Depths (mm) of a V-bit, as those of one led by numbers."""
    count = max(1, -(-depth // Fraction(practice.V_PASS)))
    return tuple(depth * n / count for n in range(1, int(count) + 1))


__all__ = ["AFTER", "Grounds", "Spot", "Tool", "corners", "fits", "hand_limit", "point_stops", "router_tool", "stops"]
