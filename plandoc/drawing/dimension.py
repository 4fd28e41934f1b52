"""Linear dimensions round a view: sides, rows, figures, and the finished strokes.

Rules after ISO 129-1 and common practice in the trade: figures over unbroken lines, read from the bottom or the
right; visible gap at the outline; equal steps between rows; shorter inside longer; overall sizes outermost.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import inf

from plandoc.drawing.boxes import Segment, item_extent, united
from plandoc.drawing.dimension_request import DimensionRequest, Placed
from plandoc.drawing.dimension_text import (
    BAD,
    LEADER_CROSS,
    LINES_CROSS,
    READ_AS_ONE,
    Figure,
    Memory,
    Option,
    Search,
    Solution,
    extension_lines,
    tick_reach,
)
from plandoc.drawing.display import XY, Extent, Group, Item, Line, walk
from plandoc.drawing.lanes import (
    EMPTY_ROW,
    SIDES,
    Arrangement,
    Span,
    adjoin,
    arrange,
    empty_rows,
    other_side,
    runs_along,
    set_rows,
    spans_of,
    structure_cost,
    ways_of,
)
from plandoc.drawing.lettering import number_extent, number_items
from plandoc.drawing.linework import arrowhead, disc
from plandoc.drawing.style import Style
from plandoc.drawing.takeoff import NO_INK, Ink

ROLE = "dimtxt"
TRIES = 60


def place_dimensions(
    view_extent: Extent,
    requests: Sequence[DimensionRequest],
    style: Style,
    obstacles: Sequence[Extent] = (),
    terminator: str = "arrow",
    ink: Ink = NO_INK,
    closed: frozenset[str] = frozenset(),
) -> Placed:
    """Dimensions outside a view. view_extent: the view's outline box (mm). obstacles: boxes that figures and lines
    keep clear of. terminator: `arrow`, or `tick` for oblique strokes. ink: the view's strokes, off which extension lines keep
    their gap. closed: sides of the view on which no dimension shall stand, for the running dimensions there.

    Every request gives one Group "dimension" with attrs axis, from, to, mm, kind, side, row (equal requests give
    one). Raises ValueError for an unknown axis or terminator, or a dimension of no length.
    """
    if terminator not in ("arrow", "tick"):
        raise ValueError(f"a dimension ends in an arrow or a tick, not {terminator!r}")
    placer = _Placer(view_extent, spans_of(tuple(requests)), style, tuple(obstacles), terminator == "tick", ink)
    return placer.place(closed)


def decimal_text(value: Fraction, places: int = 6) -> str:
    """The value as a plain decimal: exact where it has at most 12 decimal places, else rounded to `places`."""
    for count in range(13):
        if (value * 10**count).denominator == 1:
            places = count
            break
    scaled = abs(value) * 10**places
    digits = str((2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)).rjust(places + 1, "0")
    sign = "-" if value < 0 and digits.strip("0") else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def affixes(request: DimensionRequest) -> tuple[str, str]:
    """What stands before and after the figure: the repeat count, and parentheses round a reference figure."""
    before = f"{request.count}X " if request.count > 1 else ""
    return (before + "(", ")") if request.kind == "ref" else (before, "")


class _Placer:
    def __init__(
        self, view: Extent, spans: tuple[Span, ...], style: Style, obstacles: tuple[Extent, ...], ticks: bool, ink: Ink = NO_INK
    ) -> None:
        self.ink = ink
        self.view, self.spans, self.style, self.obstacles, self.ticks = view, spans, style, obstacles, ticks
        self.ways = tuple(ways_of(span) for span in spans)
        self.sizes = [self._size(span) for span in spans]

    def _size(self, span: Span) -> XY:
        prefix, suffix = affixes(span.request)
        box = number_extent(
            span.request.number, (0.0, 0.0), self.style.height(ROLE), "middle", 0, prefix, suffix
        )
        return (box[2] - box[0], box[3] - box[1])

    # --- search ----------------------------------------------------------------------------------------

    def place(self, closed: frozenset[str] = frozenset()) -> Placed:
        if not self.spans:
            return Placed((), self.view)
        plan = arrange(self.spans, self.view, closed)
        groups: list[tuple[int, Group]] = []
        crowded: list[str] = []
        trouble = 0.0
        taken = list(self.obstacles)
        for axis in ("x", "y"):
            plan, solved = self._settle(plan, axis, tuple(taken))
            for side in SIDES[axis]:
                figures, solution = solved[side]
                crowded += self._remarks(solution)
                trouble += sum(cost for _, _, cost in solution.conflicts)
                trouble += EMPTY_ROW * empty_rows(plan.rows[figure.index] for figure in figures)
                for figure, option in zip(figures, solution.options, strict=True):
                    groups.append((figure.index, self._group(figure, option, side, plan, figures, solution)))
            taken += [box for _, g in groups for leaf in walk((g,)) if (box := item_extent(leaf)) is not None]
        groups.sort(key=lambda pair: pair[0])
        extent = united([self.view, *(box for _, g in groups if (box := item_extent(g)) is not None)])
        return Placed(tuple(g for _, g in groups), extent, tuple(crowded), trouble)

    def _settle(
        self, plan: Arrangement, axis: str, taken: tuple[Extent, ...]
    ) -> tuple[Arrangement, dict[str, tuple[tuple[Figure, ...], Solution]]]:
        """Rows and figures of one axis; where figures conflict, other rows and sides are tried."""
        members = tuple(i for i, span in enumerate(self.spans) if span.request.axis == axis)
        known: dict[tuple[object, ...], tuple[tuple[Figure, ...], Solution]] = {}
        memory = {side: Memory() for side in SIDES[axis]}
        best, solved = self._cost(plan, axis, members, taken, known, memory, inf)
        tries = TRIES
        while tries > 0 and any(s.conflicts for _, s in solved.values()):
            better = None
            for other in self._moves(plan, axis, solved):
                cost, result = self._cost(other, axis, members, taken, known, memory, best)
                if cost < best - 1e-6:
                    best, better = cost, (other, result)
                tries -= bool(result)
                if tries <= 0:
                    break
            if better is None:
                break
            plan, solved = better
        return plan, solved

    def _cost(
        self,
        plan: Arrangement,
        axis: str,
        members: tuple[int, ...],
        taken: tuple[Extent, ...],
        known: dict[tuple[object, ...], tuple[tuple[Figure, ...], Solution]],
        memory: dict[str, Memory],
        limit: float,
    ) -> tuple[float, dict[str, tuple[tuple[Figure, ...], Solution]]]:
        """What the plan costs, with the figures of each side; no figures where sides and rows alone cost the limit."""
        spans = self._under(plan)
        set_rows(spans, plan)
        cost = structure_cost(spans, plan, self.view, members)
        if cost >= limit:
            return cost, {}
        solved = {}
        for side in SIDES[axis]:
            here = tuple(i for i in members if plan.sides[i] == side)
            key = (side, here, tuple(plan.rows[i] for i in here), tuple(plan.places.get(i, 0) for i in here))
            if key not in known:
                figures = tuple(self._figure(i, side, plan) for i in here)
                outward = side in ("above", "left")
                blocked = tuple(self._to_side(box, side) for box in taken)
                known[key] = (figures, Search(figures, self.style, self.ticks, outward, blocked, memory[side]).solve())
            solved[side] = known[key]
        return cost + sum(s.cost for _, s in solved.values()), solved

    def _moves(
        self, plan: Arrangement, axis: str, solved: dict[str, tuple[tuple[Figure, ...], Solution]]
    ) -> list[Arrangement]:
        """Plans that differ in one thing, for the dimensions whose figures conflict."""
        conflicts = [c for _, s in solved.values() for c in s.conflicts]
        figures = {i for c in conflicts if not LINES_CROSS <= c[2] < READ_AS_ONE for i in c[:2]}
        troubled = sorted({i for c in conflicts for i in c[:2] if i >= 0})
        out: list[Arrangement] = []
        for i in troubled:
            # Where only lines cross, a row of its own does not help; room may, for a figure that can go out on a leader then.
            for change in ("loose", "push", "gap", "side") if i in figures else ("push", "gap", "side"):
                other = plan.copy()
                if change == "loose":
                    other.loose = plan.loose | {i}
                elif change == "push":
                    other.loose = plan.loose | {i}
                    other.pushed[i] = plan.rows[i] + 1
                elif change == "gap":
                    other.gaps = plan.gaps | {i}
                else:
                    other.sides[i] = other_side(plan.sides[i])
                out.append(other)
            for place in range(len(self.ways[i])):
                if place != plan.places.get(i, 0):
                    other = plan.copy()
                    other.places[i] = place
                    out.append(other)
        return out

    def _under(self, plan: Arrangement) -> tuple[Span, ...]:
        """The intervals where the plan draws them."""
        return tuple(ways[plan.places.get(i, 0)] for i, ways in enumerate(self.ways))

    def _figure(self, i: int, side: str, plan: Arrangement) -> Figure:
        spans = self._under(plan)
        span = spans[i]
        same = [
            other
            for j, other in enumerate(spans)
            if j != i and plan.sides[j] == side and plan.rows[j] == plan.rows[i] and adjoin(span, other)
        ]
        low = any(abs(other.high - span.low) < 0.01 for other in same)
        high = any(abs(other.low - span.high) < 0.01 for other in same)
        starts = (self._start(span, False, side), self._start(span, True, side))
        v = self.style.first_row + self.style.row_step * plan.rows[i]
        return Figure(i, span, v, self.sizes[i], starts, (low, high))

    def _remarks(self, solution: Solution) -> list[str]:
        out = []
        for i, j, cost in solution.conflicts:
            name = self._name(i)
            if j < 0:
                out.append(f"the dimension {name} touches other work beside it")
            elif cost >= BAD:
                out.append(f"no room to set the dimensions {name} and {self._name(j)} clear of each other")
            elif cost >= LEADER_CROSS:
                out.append(f"the lines of the dimensions {name} and {self._name(j)} cross")
            else:
                out.append(f"the figures of {name} and {self._name(j)} stand over one line")
        return out

    def _name(self, i: int) -> str:
        request = self.spans[i].request
        return request.number.plain() + (f" ({request.ids[0]} to {request.ids[1]})" if any(request.ids) else "")

    # --- coordinates -----------------------------------------------------------------------------------

    def _depth(self, depth: float, side: str) -> float:
        """v of a coordinate across the axis."""
        x0, y0, x1, y1 = self.view
        return {"above": y0 - depth, "below": depth - y1, "left": x0 - depth, "right": depth - x1}[side]

    def _start(self, span: Span, high: bool, side: str) -> float:
        """v where an extension line takes off. From the far side of the view it would run along the outline: it
        starts at the near corner instead, and always off the ink that lies there."""
        x0, y0, x1, y1 = self.view
        along, out, edge = {"above": (0, -1.0, y0), "below": (0, 1.0, y1), "left": (1, -1.0, x0), "right": (1, 1.0, x1)}[side]
        level = edge if runs_along(span, high, side, self.view) else span.depths[high]
        return self._depth(self.ink.level(along, span.high if high else span.low, level, out, edge, self.style.extension_gap), side)

    def _to_side(self, box: Extent, side: str) -> Extent:
        if side in ("above", "below"):
            a, b = sorted((self._depth(box[1], side), self._depth(box[3], side)))
            return (box[0], a, box[2], b)
        a, b = sorted((self._depth(box[0], side), self._depth(box[2], side)))
        return (box[1], a, box[3], b)

    def _paper(self, point: XY, side: str) -> XY:
        u, v = point
        x0, y0, x1, y1 = self.view
        return {"above": (u, y0 - v), "below": (u, y1 + v), "left": (x0 - v, u), "right": (x1 + v, u)}[side]

    # --- strokes ---------------------------------------------------------------------------------------

    def _group(
        self,
        figure: Figure,
        option: Option,
        side: str,
        plan: Arrangement,
        figures: tuple[Figure, ...],
        solution: Solution,
    ) -> Group:
        request = figure.span.request
        items: list[Item] = [self._stroke("dim", option.line, side)]
        items += [self._stroke("ext", s, side) for s in extension_lines(figure, self.style)]
        for high in (False, True):
            items += self._end(figure, option, high, side, figures, solution)
        if option.leader:
            items.append(self._stroke("ldr", option.leader, side))
        items += self._lettering(figure, option, side)
        attrs = (
            ("axis", request.world_axis or request.axis),
            ("from", request.ids[0]),
            ("to", request.ids[1]),
            ("mm", decimal_text(request.value)),
            ("kind", request.kind),
            ("side", side),
            ("row", str(plan.rows[figure.index])),
        )
        return Group("dimension", tuple(items), "", attrs)

    def _stroke(self, role: str, segment: Segment, side: str) -> Line:
        return Line(role, (self._paper(segment[0], side), self._paper(segment[1], side)))

    def _end(
        self,
        figure: Figure,
        option: Option,
        high: bool,
        side: str,
        figures: tuple[Figure, ...],
        solution: Solution,
    ) -> list[Item]:
        """Arrowhead, dot or tick at one end. Where two dimensions of a chain meet with too little room for heads, a
        dot stands between them, drawn by the lower one (textbook rule after ISO 129)."""
        u = figure.span.high if high else figure.span.low
        tip = self._paper((u, figure.v), side)
        neighbour = None
        for other, chosen in zip(figures, solution.options, strict=True):
            end = other.span.low if high else other.span.high
            if other.index != figure.index and abs(other.v - figure.v) < 0.01 and abs(end - u) < 0.01:
                neighbour = chosen
        if self.ticks:
            if neighbour is not None and not high:
                return []
            half = tick_reach(self.style)
            return [Line("dim", ((tip[0] - half, tip[1] + half), (tip[0] + half, tip[1] - half)))]
        if neighbour is not None and not option.inside:
            if neighbour.inside or not high:
                return []
            return [disc(tip, self.style.dot / 2)]
        if option.dots[high]:
            return [disc(tip, self.style.dot / 2)]
        inward = self._paper((u + (-1 if high == option.inside else 1), figure.v), side)
        return [arrowhead(tip, (tip[0] - inward[0], tip[1] - inward[1]), self.style)]

    def _lettering(self, figure: Figure, option: Option, side: str) -> tuple[Item, ...]:
        prefix, suffix = affixes(figure.span.request)
        number, size = figure.span.request.number, self.style.height(ROLE)
        rotation = 0 if side in ("above", "below") else -90
        a, b = self._paper(option.box[:2], side), self._paper(option.box[2:], side)
        want = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        got = number_extent(number, (0.0, 0.0), size, "middle", rotation, prefix, suffix)
        at = (want[0] - (got[0] + got[2]) / 2, want[1] - (got[1] + got[3]) / 2)
        return number_items(number, at, size, ROLE, "middle", rotation, prefix, suffix)
