"""How a bit clears one area, or goes round one outline with tabs left standing, pass by pass. Levels are heights below the
face (less than 0)."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, hypot

import shapely
from shapely.geometry import LineString, Point, Polygon

from plandoc.geometry.contours import XY, Straight
from plandoc.toolpath.areas import Circles, Shape, offset, polygons, rings, rounds
from plandoc.toolpath.practice import DOWN, FINISH, PASS, TAB_EVERY, TAB_LONG, V_PASS
from plandoc.toolpath.track import SHORT, Pen, Track, reversed_strokes

POINT = 0.3  # mm; a shorter way round is a plunge
GAP = 60.0  # mm between tabs, least
WEDGE = 0.6  # of a gap, most that an entry takes


def levels(top: float, bottom: float, diameter: float, most: float | None = None) -> list[float]:
    """Heights of equal passes from a level down to another."""
    step = PASS * diameter if most is None else min(most, PASS * diameter)
    count = max(1, ceil((top - bottom) / step - 1e-9))
    return [top + (bottom - top) * (n + 1) / count for n in range(count)]


def clear(pen: Pen, middle: Polygon, diameter: float, top: float, bottom: float, circles: Circles) -> tuple[int, bool]:
    """Clear the area that a bit reaches with its middle in `middle`. Passes, and whether the walls got a pass of their own."""
    radius = diameter / 2
    if middle.exterior.length < POINT:
        return peck(pen, middle.centroid.coords[0], top, levels(top, bottom, diameter)), False
    rough = offset(middle, -FINISH)
    narrow = rough.is_empty or not offset(middle.difference(offset(rough, FINISH)), -FINISH / 3).is_empty
    start, inset = (middle, 0.0) if narrow else (rough, FINISH)
    ways = [[Track(loop) for loop in rings(shape, radius + inset + by, circles)] for by, shape in rounds(start, radius)]
    ways = [[t for t in level if t.length > POINT / 3] for level in ways]
    within = offset(middle, 0.01)
    shapely.prepare(within)
    before = top
    depths = levels(top, bottom, diameter)
    for level in depths:
        fresh = True
        for loops in ways:
            for track in _nearest_first(loops, pen.at[:2]):
                _round(pen, track, before, level, within, fresh)
                fresh = False
        before = level
    if not narrow:
        for loop in rings(middle, radius, circles):
            track = Track(loop)
            if track.length > POINT / 3:
                _finish(pen, track, rough, bottom, within)
    pen.lift()
    return len(depths), not narrow


def peck(pen: Pen, place: XY, top: float, depths: Sequence[float]) -> int:
    """Straight down in steps, lifted out of the wood after each."""
    pen.dive((place[0], place[1]), top)
    before = top
    for number, level in enumerate(depths):
        if number:
            pen.sink(before, "down")
        pen.sink(level, "down")
        if number + 1 < len(depths):
            pen.sink(pen.clear, "air")
        before = level
    pen.lift()
    return len(depths)


def _nearest_first(loops: Sequence[Track], at: tuple[float, ...]) -> list[Track]:
    left, found = list(loops), []
    here = (at[0], at[1])
    while left:
        best = min(range(len(left)), key=lambda n: (round(_far(here, left[n].point(left[n].nearest(here))), 6), n))
        track = left.pop(best)
        here = track.point(track.nearest(here))
        found.append(track)
    return found


def _far(a: XY, b: XY) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def _linked(pen: Pen, place: XY, within: Shape) -> bool:
    return not pen.up and bool(within.covers(LineString([pen.at[:2], place])))


def _round(pen: Pen, track: Track, before: float, level: float, within: Shape, fresh: bool) -> None:
    """Once round at a level; entered down a ramp along the way itself where nothing leads there through the area."""
    start = track.nearest((pen.at[0], pen.at[1]))
    place = track.point(start)
    linked = _linked(pen, place, within)
    if linked:
        pen.straight(place)
    if fresh or not linked:
        if not linked:
            pen.dive(place, before)
        run = (before - level) / DOWN
        pen.follow(track.piece(start, start + run), level, "down")
        start += run
    pen.follow(track.piece(start, start + track.length))


def _finish(pen: Pen, track: Track, rough: Shape, bottom: float, within: Shape) -> None:
    start = track.nearest((pen.at[0], pen.at[1]))
    place = track.point(start)
    if not _linked(pen, place, within):
        ring = min((r for p in polygons(rough) for r in (p.exterior, *p.interiors)), key=lambda r: round(r.distance(Point(place)), 6))
        near = ring.interpolate(ring.project(Point(place)))
        pen.dive((near.x, near.y), bottom)
    pen.straight(place)
    pen.follow(track.piece(start, start + track.length + min(2.0, track.length)))


def engrave(pen: Pen, stroke: Sequence[XY], depth: float) -> int:
    """The point of a V-bit along an open stroke: there and back down a ramp, then there and back once at each level. A dot
    is a plunge. Passes."""
    depths = [-depth * (n + 1) / ceil(depth / V_PASS - 1e-9) for n in range(ceil(depth / V_PASS - 1e-9))]
    ways = [Straight(p, q) for p, q in pairwise(stroke) if _far(p, q) > SHORT]
    if sum(_far(w.start, w.end) for w in ways) < POINT:
        return peck(pen, stroke[0], 0.0, depths)
    track, at, before = Track((*ways, *(Straight(w.end, w.start) for w in reversed(ways)))), 0.0, 0.0
    pen.dive(stroke[0], 0.0)
    for level in depths:
        run = (before - level) / DOWN
        pen.follow(track.piece(at, at + run), level, "down")
        pen.follow(track.piece(at + run, at + run + track.length))
        at, before = at + run, level
    pen.lift()
    return len(depths)


def tab_places(track: Track, diameter: float, held: Shape) -> list[float]:
    """Distances along a way of the middles of tabs: evenly, on straight stretches where there are enough of them, and only
    where the bit passes the wood that the tabs hold on to."""
    wide = TAB_LONG + diameter
    count = max(8, int(track.length / 2))
    step = track.length / count
    near = offset(held, diameter / 2 + 0.1)
    shapely.prepare(near)
    samples = [n * step for n in range(count)]
    good = [s for s in samples if all(near.covers(Point(track.point(s + d))) for d in (-wide / 2, 0.0, wide / 2))]
    even = [s for s in good if _far(track.point(s - wide / 2), track.point(s + wide / 2)) > 0.999 * wide]
    every = track.length
    number = max(2, ceil(every / TAB_EVERY)) if every > 2 * (wide + GAP) else 1
    chosen = even if len(even) * step > number * wide else good
    found: list[float] = []
    for n in range(number):
        if not chosen:
            break
        ideal = (n + 0.5) * track.length / number
        best = min(chosen, key=lambda s: (round(abs(s - ideal), 6), s))
        if all(min(abs(best - f), track.length - abs(best - f)) > wide + GAP / 2 for f in found):
            found.append(best)
    return sorted(found)


def profile(pen: Pen, track: Track, diameter: float, thick: float, through: float, tabs: Sequence[float], high: float) -> int:
    """Round an outline down to `through` below the face, over tabs that stand `high` on the table. Passes."""
    upper = levels(0.0, -(thick - high) if tabs else -through, diameter)
    wide = TAB_LONG + diameter
    start = (tabs[-1] + wide / 2) % track.length if tabs else 0.0
    pen.dive(track.point(start), 0.0)
    before, at = 0.0, start
    for level in upper:
        run = (before - level) / DOWN
        pen.follow(track.piece(at, at + run), level, "down")
        pen.follow(track.piece(at + run, at + run + track.length))
        at, before = at + run, level
    lower: list[float] = []
    if tabs:
        ends = [t % track.length for t in tabs]
        gaps = _gaps(track, ends, wide, start)
        lower = levels(before, -through, diameter, WEDGE * min(b - a for a, b in gaps) * DOWN)
        turn = (start - at) % track.length
        pen.follow(track.piece(at, at + turn))
        for level in lower:
            _over_tabs(pen, track, gaps, before, level, -(thick - high))
            before = level
    pen.lift()
    return len(upper) + len(lower)


def _gaps(track: Track, tabs: Sequence[float], wide: float, start: float) -> list[tuple[float, float]]:
    """Stretches between tabs as distances from the start on, the first beginning there."""
    after = sorted((t - start) % track.length for t in tabs)
    found, at = [], 0.0
    for t in after:
        found.append((start + at, start + t - wide / 2))
        at = t + wide / 2
    return found


def _over_tabs(pen: Pen, track: Track, gaps: Sequence[tuple[float, float]], before: float, level: float, crest: float) -> None:
    """One pass there with a ramp behind every tab, and back at the full depth, which takes the ramps away: the bit enters wood
    nowhere straight down."""
    for number, (low, high) in enumerate(gaps):
        pen.sink(before, "down")
        run = (before - level) / DOWN
        pen.follow(track.piece(low, low + run), level, "down")
        pen.follow(track.piece(low + run, high))
        if number + 1 < len(gaps):
            pen.sink(crest, "cut")
            pen.follow(track.piece(high, gaps[number + 1][0]))
    for number in range(len(gaps) - 1, -1, -1):
        low, high = gaps[number]
        pen.sink(level, "down")
        pen.follow(reversed_strokes(track.piece(low, high)))
        if number:
            pen.sink(crest, "cut")
            pen.follow(reversed_strokes(track.piece(gaps[number - 1][1], low)))



