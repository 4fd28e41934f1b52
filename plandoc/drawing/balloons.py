"""Balloons: part marks in equal circles, in columns and rows beside a picture, leaders that never cross.

Circles 10 mm across with 5 mm letters are the packet's choice; alignment, equal steps, leaders that aim at the
circle's centre and end in a dot on the part are common practice (ISO 6433 as taught).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise, product
from math import hypot

from plandoc.drawing.boxes import (
    Segment,
    grown,
    item_extent,
    overlap,
    segment_meets_box,
    segments_cross,
    united,
)
from plandoc.drawing.dimension_request import BalloonRequest, Placed
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line, Text
from plandoc.drawing.lettering import fitted
from plandoc.drawing.linework import disc
from plandoc.drawing.style import Style

SIDES = ("left", "above", "right", "below")
OFF = 8.0  # picture to the circles
CLEAR = 1.5  # least room between two circles
PITCHES = (2.6, 3.6, 5.2)  # centre to centre, in radii
LONG = 60.0
CROSS = 400.0
BLOCKED = 1000.0
OPEN_SIDE = 6.0
MOST_IN_ORDER = 6  # balloons whose every order round the picture is tried


@dataclass(frozen=True, slots=True)
class _Layout:
    """cost, and per balloon the circle's centre and the target."""

    cost: float
    places: tuple[tuple[XY, XY], ...]


def place_balloons(
    view_extent: Extent,
    balloons: Sequence[BalloonRequest],
    style: Style,
    space: Extent,
    blocked: Sequence[Extent] = (),
    sides: tuple[str, ...] = SIDES,
) -> Placed:
    """Balloons round a picture. view_extent: the picture's box; space: the paper that may be used; blocked: boxes to
    keep clear of (mm); sides: where they may stand, left and right at least.

    Every balloon gives one Group "balloon" with attrs item and part. Few balloons follow the clock by their marks where
    no leader crosses and none is longer than LONG so. Else the sides, the order and the targets with the least total
    length of leaders are searched for; a crossing that remains is told in `crowded`. Raises ValueError for a balloon
    without a target.
    """
    if any(not b.targets for b in balloons):
        raise ValueError("a balloon needs at least one target on its part")
    if not balloons:
        return Placed((), view_extent)
    search = _Search(view_extent, tuple(balloons), style, space, tuple(blocked))
    layout = search.clockwise(sides) or search.solve(sides)
    groups = tuple(
        _group(balloon, centre, target, style)
        for balloon, (centre, target) in zip(balloons, layout.places, strict=True)
    )
    boxes = [box for group in groups if (box := item_extent(group)) is not None]
    return Placed(groups, united([view_extent, *boxes]), search.remarks(layout))


class _Search:
    def __init__(
        self,
        view: Extent,
        balloons: tuple[BalloonRequest, ...],
        style: Style,
        space: Extent,
        blocked: tuple[Extent, ...],
    ) -> None:
        self.view, self.balloons, self.space, self.blocked = view, balloons, space, blocked
        self.radius = style.balloon_radius
        self.centre = ((view[0] + view[2]) / 2, (view[1] + view[3]) / 2)
        r = self.radius
        self.lines = {
            "left": max(view[0] - OFF - r, space[0] + r),
            "right": min(view[2] + OFF + r, space[2] - r),
            "above": max(view[1] - OFF - r, space[1] + r),
            "below": min(view[3] + OFF + r, space[3] - r),
        }
        self.pitch = 3 * r

    def solve(self, sides: tuple[str, ...] = SIDES) -> _Layout:
        """The best layout over a few pitches and starting sides."""
        best: _Layout | None = None
        for factor in PITCHES:
            self.pitch = max(factor * self.radius, 2 * self.radius + CLEAR)
            for allowed in (("left", "right"), sides):
                layout = self._improved([self._start(b, allowed) for b in self.balloons], allowed)
                if best is None or layout.cost < best.cost - 1e-6:
                    best = layout
            if best is not None and best.cost < CROSS:
                break  # nothing crosses, so wider steps would only make it larger
        assert best is not None
        return best

    def clockwise(self, sides: tuple[str, ...] = SIDES) -> _Layout | None:
        """The best layout in which the marks, given in their order, run clockwise round the picture from any place on; None
        where there is one with crossings or long leaders only, and for many balloons, whose marks seldom lie so."""
        count = len(self.balloons)
        if count > MOST_IN_ORDER:
            return None
        order = sorted(range(count), key=lambda i: (len(self.balloons[i].mark), self.balloons[i].mark))
        ring = [side for side in SIDES if side in sides]
        self.pitch = max(PITCHES[0] * self.radius, 2 * self.radius + CLEAR)
        best: _Layout | None = None
        for turn, cuts in product(range(count), combinations_with_replacement(range(count + 1), len(ring) - 1)):
            row = order[turn:] + order[:turn]
            ends = (0, *cuts, count)
            centres: dict[int, XY] = {}
            for side, first, last in zip(ring, ends, ends[1:], strict=False):
                here = row[first:last] if side in ("above", "right") else row[first:last][::-1]
                line = self.lines[side]
                for i, at in zip(here, self._spread(side, here) if here else (), strict=True):
                    centres[i] = (line, at) if side in ("left", "right") else (at, line)
            layout = self._aimed(centres, OPEN_SIDE * sum(a < b for a, b in pairwise(ends)))
            short = all(hypot(c[0] - t[0], c[1] - t[1]) - self.radius <= LONG for c, t in layout.places)
            if short and layout.cost < CROSS and (best is None or layout.cost < best.cost - 1e-6):
                best = layout
        return best

    def _start(self, balloon: BalloonRequest, allowed: tuple[str, ...]) -> str:
        x, y = balloon.targets[0]
        reach = {
            "left": x - self.view[0],
            "right": self.view[2] - x,
            "above": y - self.view[1],
            "below": self.view[3] - y,
        }
        return min(allowed, key=lambda side: (round(reach[side], 3), SIDES.index(side)))

    def _improved(self, sides: list[str], allowed: tuple[str, ...]) -> _Layout:
        count = len(sides)
        orders = [0.0] * count  # small nudges of the order along a side
        best = self._layout(sides, orders)
        for _ in range(12):
            changed = False
            for i in range(count):
                for side in allowed:
                    if side != sides[i]:
                        before, sides[i] = sides[i], side
                        trial = self._layout(sides, orders)
                        if trial.cost < best.cost - 1e-6:
                            best, changed = trial, True
                        else:
                            sides[i] = before
            for i in range(count):
                for j in range(i + 1, count):
                    before_i, before_j = sides[i], sides[j]
                    old_i, old_j = orders[i], orders[j]
                    if before_i != before_j:
                        sides[i], sides[j] = before_j, before_i
                    else:
                        key_i, key_j = self._key(i, sides[i]) + old_i, self._key(j, sides[j]) + old_j
                        orders[i], orders[j] = old_i + key_j - key_i, old_j + key_i - key_j
                    trial = self._layout(sides, orders)
                    if trial.cost < best.cost - 1e-6:
                        best, changed = trial, True
                    else:
                        sides[i], sides[j] = before_i, before_j
                        orders[i], orders[j] = old_i, old_j
            if not changed:
                break
        return best

    def _key(self, i: int, side: str) -> float:
        """Place along a side: where the ray from the picture's middle through the target meets it."""
        x, y = self.balloons[i].targets[0]
        if side in ("left", "right"):
            return y + 0.05 * (x - self.centre[0]) * (1 if (side == "left") == (y > self.centre[1]) else -1)
        return x + 0.05 * (y - self.centre[1]) * (1 if (side == "above") == (x > self.centre[0]) else -1)

    def _layout(self, sides: list[str], orders: list[float]) -> _Layout:
        centres: dict[int, XY] = {}
        cost = 0.0
        for side in SIDES:
            here = [i for i in range(len(sides)) if sides[i] == side]
            if not here:
                continue
            cost += OPEN_SIDE
            here.sort(key=lambda i: (round(self._key(i, side) + orders[i], 6), i))
            for i, at in zip(here, self._spread(side, here), strict=True):
                line = self.lines[side]
                centres[i] = (line, at) if side in ("left", "right") else (at, line)
        return self._aimed(centres, cost)

    def _aimed(self, centres: Mapping[int, XY], cost: float) -> _Layout:
        """Each leader to the target that suits its circle. cost: of the sides."""
        places = []
        for i in range(len(self.balloons)):
            centre = centres[i]
            target = min(
                enumerate(self.balloons[i].targets),
                key=lambda t: (round(1.5 * t[0] + hypot(t[1][0] - centre[0], t[1][1] - centre[1]), 6), t[0]),
            )
            cost += 1.5 * target[0]
            places.append((centre, target[1]))
        return _Layout(cost + self._cost(places), tuple(places))

    def _spread(self, side: str, here: list[int]) -> list[float]:
        """Equally spaced places along a side, as near the targets as the paper allows."""
        axis = 1 if side in ("left", "right") else 0
        low, high = self.space[axis] + self.radius, self.space[axis + 2] - self.radius
        if axis == 0:
            low, high = max(low, self.view[0] + self.radius), min(high, self.view[2] - self.radius)
        count = len(here)
        pitch = self.pitch
        if count > 1 and (count - 1) * pitch > high - low:
            pitch = max((high - low) / (count - 1), 2 * self.radius + 0.5)
        middle = sum(self.balloons[i].targets[0][axis] for i in here) / count
        first = middle - pitch * (count - 1) / 2
        first = max(low, min(first, high - pitch * (count - 1)))
        return [first + pitch * n for n in range(count)]

    def _leader(self, centre: XY, target: XY) -> Segment:
        size = hypot(target[0] - centre[0], target[1] - centre[1]) or 1.0
        share = self.radius / size
        start = (centre[0] + (target[0] - centre[0]) * share, centre[1] + (target[1] - centre[1]) * share)
        return (start, target)

    def _cost(self, places: list[tuple[XY, XY]]) -> float:
        cost = 0.0
        r = self.radius
        leaders = [self._leader(*place) for place in places]
        circles = [(c[0] - r, c[1] - r, c[0] + r, c[1] + r) for c, _ in places]
        for i, (p, q) in enumerate(leaders):
            size = hypot(q[0] - p[0], q[1] - p[1])
            cost += size + 3.0 * max(0.0, size - LONG)
            x0, y0, x1, y1 = circles[i]
            outside = x0 < self.space[0] - 0.01 or y0 < self.space[1] - 0.01
            outside = outside or x1 > self.space[2] + 0.01 or y1 > self.space[3] + 0.01
            cost += BLOCKED * outside
            cost += BLOCKED * sum(overlap(circles[i], box, 0.7) for box in self.blocked)
            cost += CROSS * sum(segment_meets_box(p, q, grown(box, 0.5)) for box in self.blocked)
            for j in range(len(leaders)):
                if j == i:
                    continue
                if j > i:
                    cost += CROSS * segments_cross(leaders[i], leaders[j])
                    cost += BLOCKED * overlap(circles[i], circles[j], 0.4)
                cost += CROSS * segment_meets_box(p, q, grown(circles[j], 0.4))
        return cost

    def remarks(self, layout: _Layout) -> tuple[str, ...]:
        """What the layout could not keep."""
        out = []
        leaders = [self._leader(*place) for place in layout.places]
        for i in range(len(leaders)):
            (x, y), r = layout.places[i][0], self.radius
            circle = (x - r, y - r, x + r, y + r)
            if any(overlap(circle, box, 0.7) for box in self.blocked):
                out.append(f"the balloon {self.balloons[i].mark} touches other work")
            for j in range(i + 1, len(leaders)):
                if segments_cross(leaders[i], leaders[j]):
                    out.append(f"the leaders of {self.balloons[i].mark} and {self.balloons[j].mark} cross")
        return tuple(out)


def _group(balloon: BalloonRequest, centre: XY, target: XY, style: Style) -> Group:
    radius, size = style.balloon_radius, style.height("label")
    reach = hypot(target[0] - centre[0], target[1] - centre[1])
    items: list[Item] = [Circle("ldr", centre, radius)]
    if reach > radius:
        share = radius / reach
        start = (centre[0] + (target[0] - centre[0]) * share, centre[1] + (target[1] - centre[1]) * share)
        items.append(Line("ldr", (start, target)))
        items.append(disc(target, style.dot / 2))
    word, height = fitted(balloon.mark, size, 1.7 * radius, style.minimum_height)
    items.append(Text("label", (centre[0], centre[1] + height / 2), word, height, "middle"))
    return Group("balloon", tuple(items), "", (("item", balloon.mark), ("part", balloon.part)))
