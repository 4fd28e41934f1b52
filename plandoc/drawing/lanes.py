"""Which side of a view a dimension stands on, and in which row.

Rows follow ISO 129-1 practice: the shortest dimension nearest the outline, each longer one outside it, overall sizes
outermost; adjoining sizes form one chain in one row. Sides and rows are found by local search over a small cost, so
that a dimension line crosses an extension line only where no arrangement avoids it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import combinations

from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY, Extent

SIDES = {"x": ("above", "below"), "y": ("left", "right")}
TOUCH = 0.01

CROSSING = 385.0
NOT_PREFERRED = 120.0
CLOSED = 5000.0  # on a side that shall stay free
BROKEN_CHAIN = 8.0
PER_ROW = 4.0
EMPTY_ROW = 300.0  # an empty row between others: more than the other side of the view
ELSEWHERE = 30.0  # drawn at another of several equal places than the first
EMPTY_FIRST = 40.0  # an empty row before the first: steps stay even
PER_MM = 0.3
BORDER_SHARE = 0.1  # of the reach counts where the line starts at the near corner


@dataclass(frozen=True, slots=True)
class Span:
    """One dimension as an interval. low, high: along its axis (mm). depths: the other coordinate of the measured
    points, at low and at high."""

    low: float
    high: float
    depths: tuple[float, float]
    request: DimensionRequest

    @property
    def length(self) -> float:
        """Length on paper (mm)."""
        return self.high - self.low

    @property
    def rank(self) -> tuple[bool, float]:
        """What stands further out sorts higher."""
        return (self.request.kind == "overall", round(self.length, 2))

    @property
    def preferred(self) -> str:
        """The wanted side, "" where none or where it does not suit the axis."""
        return self.request.prefer if self.request.prefer in SIDES[self.request.axis] else ""


@dataclass(slots=True)
class Arrangement:
    """side and row (from 0) of each span. pushed: rows below which a span shall not stand. gaps: spans whose row
    shall be followed by an empty one, for figures. loose: spans that stand in no chain. places: of those that are drawn
    elsewhere, which of their other places (from 1). closed: sides on which no span should stand."""

    sides: list[str]
    rows: list[int] = field(default_factory=list)
    pushed: dict[int, int] = field(default_factory=dict)
    gaps: frozenset[int] = frozenset()
    loose: frozenset[int] = frozenset()
    places: dict[int, int] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()

    def copy(self) -> Arrangement:
        """An independent copy."""
        return Arrangement(list(self.sides), list(self.rows), dict(self.pushed), self.gaps, self.loose, dict(self.places), self.closed)


def spans_of(requests: tuple[DimensionRequest, ...]) -> tuple[Span, ...]:
    """The requests as intervals, equal ones once, in the order given. Raises ValueError for an unknown axis or a
    dimension of no length."""
    out: list[Span] = []
    for request in requests:
        if request.axis not in SIDES:
            raise ValueError(f"a linear dimension runs along x or y, not {request.axis!r}")
        span = _span(request, request.start, request.end)
        if span.length < TOUCH:
            raise ValueError(f"a dimension needs a length on paper: {request.number.plain()} at {request.start}")
        if not any(_same(span, other) for other in out):
            out.append(span)
    return tuple(out)


def ways_of(span: Span) -> tuple[Span, ...]:
    """The interval itself, then the other places where the same measure may be drawn."""
    return (span, *(_span(span.request, *ends) for ends in span.request.elsewhere))


def _span(request: DimensionRequest, start: XY, end: XY) -> Span:
    i = 0 if request.axis == "x" else 1
    ends = sorted(((start[i], start[1 - i]), (end[i], end[1 - i])))
    return Span(ends[0][0], ends[1][0], (ends[0][1], ends[1][1]), request)


def _same(a: Span, b: Span) -> bool:
    return (
        a.request.axis == b.request.axis
        and abs(a.low - b.low) < TOUCH
        and abs(a.high - b.high) < TOUCH
        and (a.request.number, a.request.count) == (b.request.number, b.request.count)
        and (a.request.kind == "ref") == (b.request.kind == "ref")
        and (not a.preferred or not b.preferred or a.preferred == b.preferred)
    )


def shares_room(a: Span, b: Span) -> bool:
    """Whether the two intervals have length in common."""
    return min(a.high, b.high) - max(a.low, b.low) > TOUCH


def adjoin(a: Span, b: Span) -> bool:
    """Whether one interval ends where the other begins."""
    return abs(a.high - b.low) < TOUCH or abs(b.high - a.low) < TOUCH


def crosses(inner: Span, outer: Span) -> bool:
    """Whether an extension line of the outer one crosses the dimension line of the inner one."""
    return any(inner.low + TOUCH < end < inner.high - TOUCH for end in (outer.low, outer.high))


def chains(spans: tuple[Span, ...], members: tuple[int, ...], loose: frozenset[int]) -> list[list[int]]:
    """The members in groups that can stand in one row: adjoining sizes without overlap; the others alone."""
    groups = [[i] for i in members]
    free = [i for i in members if i not in loose and spans[i].request.kind != "overall"]
    pairs = [(i, j) for i, j in combinations(free, 2) if adjoin(spans[i], spans[j])]
    pairs.sort(key=lambda p: (round(spans[p[0]].length + spans[p[1]].length, 2), p))
    for i, j in pairs:
        a = next(g for g in groups if i in g)
        b = next(g for g in groups if j in g)
        if a is b or any(shares_room(spans[m], spans[n]) for m in a for n in b):
            continue
        a.extend(b)
        groups.remove(b)
    return [sorted(g) for g in groups]


def rows_on_side(spans: tuple[Span, ...], members: tuple[int, ...], plan: Arrangement) -> tuple[dict[int, int], int]:
    """Row of each member of one side, and how many chains had to be broken up."""
    loose = plan.loose
    broken = 0
    while True:
        groups = chains(spans, members, loose)
        rows = _layers(spans, groups, plan)
        if isinstance(rows, dict):
            return rows, broken
        broken += 1
        loose = loose | frozenset(rows)


def _layers(spans: tuple[Span, ...], groups: list[list[int]], plan: Arrangement) -> dict[int, int] | list[int]:
    """Rows by longest path; where chains lie inside each other in a ring, the longest chain of the ring."""
    home = {i: n for n, group in enumerate(groups) for i in group}
    members = sorted(home)
    inside: list[set[int]] = [set() for _ in groups]
    tops = [i for i in members if spans[i].request.kind == "overall"]
    for i, j in combinations(members, 2):
        if home[i] == home[j]:
            continue
        if shares_room(spans[i], spans[j]) or (i in tops) != (j in tops):
            inner, outer = sorted((i, j), key=lambda m: (spans[m].rank, m))
            inside[home[outer]].add(home[inner])
    level: dict[int, int] = {}
    rest = list(range(len(groups)))
    while rest:
        ready = [n for n in rest if all(m in level for m in inside[n])]
        if not ready:
            ring = max((groups[n] for n in rest if len(groups[n]) > 1), key=len)
            return ring
        for n in ready:
            floor = max((plan.pushed.get(i, 0) for i in groups[n]), default=0)
            below = [level[m] + 1 + any(i in plan.gaps for i in groups[m]) for m in inside[n]]
            level[n] = max([floor, *below])
        rest = [n for n in rest if n not in level]
    return {i: level[home[i]] for i in members}


def arrange(spans: tuple[Span, ...], view: Extent, closed: frozenset[str] = frozenset()) -> Arrangement:
    """Sides and rows for all dimensions of one view whose outline has this extent (mm). closed: sides that stay free."""
    plan = Arrangement([_nearer_side(span, view) for span in spans], closed=closed)
    whole = tuple(range(len(spans)))
    for axis in ("x", "y"):
        members = tuple(i for i in whole if spans[i].request.axis == axis)
        for chain in chains(spans, members, frozenset()):
            if not any(spans[i].preferred for i in chain) and len(chain) > 1:
                first = SIDES[axis][0]
                count = sum(plan.sides[i] == first for i in chain)
                for i in chain:
                    plan.sides[i] = first if 2 * count >= len(chain) else SIDES[axis][1]
        _improve_sides(spans, members, axis, plan, view)
    set_rows(spans, plan)
    return plan


def set_rows(spans: tuple[Span, ...], plan: Arrangement) -> int:
    """Fill in the rows of a plan; the count of broken chains."""
    plan.rows = [0] * len(spans)
    broken = 0
    for axis in ("x", "y"):
        for side in SIDES[axis]:
            members = tuple(
                i for i in range(len(spans)) if spans[i].request.axis == axis and plan.sides[i] == side
            )
            rows, more = rows_on_side(spans, members, plan)
            broken += more
            for i, row in rows.items():
                plan.rows[i] = row
    return broken


def other_side(side: str) -> str:
    """The opposite side of the view."""
    return {"above": "below", "below": "above", "left": "right", "right": "left"}[side]


def runs_along(span: Span, high: bool, side: str, view: Extent) -> bool:
    """Whether an extension line would run along the outline's box over more than half the depth of the view."""
    u, depth = (span.high if high else span.low), span.depths[high]
    first = 0 if side in ("above", "below") else 1
    at_border = min(abs(u - view[first]), abs(u - view[first + 2])) < TOUCH
    edge, far = (view[1 - first], view[3 - first]) if side in ("above", "left") else (view[3 - first], view[1 - first])
    return at_border and abs(depth - edge) > abs(depth - far)


def reach(span: Span, side: str, view: Extent) -> float:
    """How far (mm) the two extension lines run before they leave the outline's extent."""
    edge = view[{"above": 1, "below": 3, "left": 0, "right": 2}[side]]
    return sum(
        BORDER_SHARE * abs(depth - edge) if runs_along(span, high, side, view) else abs(depth - edge)
        for high, depth in zip((False, True), span.depths, strict=True)
    )


def _nearer_side(span: Span, view: Extent) -> str:
    if span.preferred:
        return span.preferred
    first, second = SIDES[span.request.axis]
    return first if reach(span, first, view) <= reach(span, second, view) + 1.0 else second


def empty_rows(rows: Iterable[int]) -> int:
    """How many rows between the first and the last of these hold nothing."""
    used = set(rows)
    return max(used) - min(used) + 1 - len(used) if used else 0


def structure_cost(spans: tuple[Span, ...], plan: Arrangement, view: Extent, members: tuple[int, ...]) -> float:
    """Cost of sides and rows without figures, over the members of one axis."""
    cost = 0.0
    for side in SIDES[spans[members[0]].request.axis] if members else ():
        here = tuple(i for i in members if plan.sides[i] == side)
        rows, broken = rows_on_side(spans, here, plan)
        used = set(rows.values())
        cost += BROKEN_CHAIN * broken + CLOSED * len(here) * (side in plan.closed)
        if used:
            cost += PER_ROW * (1 + max(used)) + EMPTY_FIRST * min(used) + EMPTY_ROW * empty_rows(used)
        for i in here:
            cost += ELSEWHERE * (plan.places.get(i, 0) > 0)
            cost += PER_MM * reach(spans[i], side, view)
            cost += NOT_PREFERRED * (spans[i].preferred not in ("", side))
        for i, j in combinations(here, 2):
            if rows[i] == rows[j]:
                continue
            inner, outer = (i, j) if rows[i] < rows[j] else (j, i)
            cost += CROSSING * crosses(spans[inner], spans[outer])
    return cost


def _improve_sides(
    spans: tuple[Span, ...], members: tuple[int, ...], axis: str, plan: Arrangement, view: Extent
) -> None:
    best = structure_cost(spans, plan, view, members)
    blocks = [c for c in chains(spans, members, frozenset()) if len(c) > 1] + [[i] for i in members]
    for _ in range(4):
        changed = False
        for block in blocks:
            for side in SIDES[axis]:
                before = list(plan.sides)
                for i in block:
                    plan.sides[i] = side
                cost = structure_cost(spans, plan, view, members)
                if cost < best - 1e-9:
                    best, changed = cost, True
                else:
                    plan.sides[:] = before
        if not changed:
            return
