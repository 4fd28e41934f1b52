"""Where the figure of each dimension stands, and how its ends are drawn.

One side of a view at a time, in coordinates u (along the dimension lines) and v (outwards from the outline, mm). A
figure stands over its unbroken line; where the space is too small it goes beside, over the line run on past an
arrowhead, or out on a short leader (common practice for small spaces, ISO 129-1). Every dimension has a few candidate
positions; a search over all of them minimises a cost in which text on text and lines through text weigh most.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

from plandoc.drawing.boxes import Segment, overlap, segment_meets_box, segments_cross
from plandoc.drawing.display import XY, Extent
from plandoc.drawing.lanes import TOUCH, Span
from plandoc.drawing.style import Style

TEXT_ROOM = 1.2  # between two figures
LINE_ROOM = 0.6  # between a figure and a stroke that is not its own line
APART = 6.0  # figures further apart along the line do not matter to each other
SMALL = 10.0  # below this arrowheads stand outside: textbook rule after ISO 129
SQRT_HALF = 0.7071067811865476
BAD = 1000.0
LINES_CROSS = 385.0
LEADER_CROSS = 260.0
OWN_CROSS = 80.0  # a leader over an extension line of its own dimension
AMBIGUOUS = 120.0  # a figure over the line of a neighbour
READ_AS_ONE = 420.0  # and close to the neighbour's own figure
NOT_STAGGERED = 4.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A dimension on its side: index of the span, v of its line, size of its figure (width, height), depths of its
    extension lines' starts (v), and whether a neighbour in the same row touches its low and high end."""

    index: int
    span: Span
    v: float
    size: XY
    starts: tuple[float, float]
    touching: tuple[bool, bool]


@dataclass(frozen=True, slots=True)
class Option:
    """One way to letter a dimension. box: of the figure in u, v. line: the whole dimension line. inside: arrowheads
    between the extension lines. dots: a dot instead of an outer arrowhead, at the low and the high end. leader: from
    the dimension line to the figure."""

    cost: float
    box: Extent
    line: Segment
    inside: bool
    dots: tuple[bool, bool]
    leader: Segment | None = None


@dataclass(frozen=True, slots=True)
class Solution:
    """The chosen option of each figure, the total cost, and pairs of span indices that still conflict, with what
    that costs; the second is -1 where an obstacle is hit."""

    options: tuple[Option, ...]
    cost: float
    conflicts: tuple[tuple[int, int, float], ...]


def extension_lines(figure: Figure, style: Style) -> tuple[Segment, Segment]:
    """The two extension lines in u, v."""
    span, top = figure.span, figure.v + style.extension_overshoot
    low, high = (
        ((u, start + style.extension_gap), (u, top))
        for u, start in zip((span.low, span.high), figure.starts, strict=True)
    )
    return low, high


def heads_inside(span: Span, style: Style, ticks: bool) -> bool:
    """Whether arrowheads stand between the extension lines."""
    return ticks or span.length >= max(SMALL, 2 * style.arrow_length + 2)


def end_rooms(style: Style, ticks: bool) -> XY:
    """Clear room (mm) between a figure and the low and the high end of its space. The half of an oblique stroke on
    the figure's side of the line leans into the space at the low end and out of it at the high end."""
    plain = LINE_ROOM + 0.15
    return (plain + tick_reach(style), plain) if ticks else (plain, plain)


def tick_reach(style: Style) -> float:
    """How far (mm) half an oblique stroke reaches along the dimension line."""
    return style.tick / 2 * SQRT_HALF


def cramped_ends(n: int, figures: tuple[Figure, ...], style: Style, ticks: bool) -> tuple[bool, bool]:
    """For each end whether the tail of an outer arrowhead would run into another dimension: a dot stands there."""
    figure = figures[n]
    span = figure.span
    if heads_inside(span, style, ticks):
        return (False, False)
    out = []
    for high, u in ((False, span.low), (True, span.high)):
        tail = sorted((u, u + (2 if high else -2) * style.arrow_length))
        hit = False
        for other in figures:
            if other.index == figure.index or figure.touching[high]:
                continue
            if abs(other.v - figure.v) < TOUCH:
                gap = other.span.low - tail[1] if high else tail[0] - other.span.high
                hit = hit or -4 * style.arrow_length < gap < 2.0
            elif other.v > figure.v:
                ends = ((other.span.low, other.starts[0]), (other.span.high, other.starts[1]))
                hit = hit or any(tail[0] - 0.5 < e < tail[1] + 0.5 and abs(e - u) > TOUCH for e, _ in ends)
        out.append(hit)
    return (out[0], out[1])


ABOVE_HEADS = 0.4  # mm past an arrowhead


def options_for(
    figure: Figure, style: Style, ticks: bool, text_outward: bool, dots: tuple[bool, bool]
) -> tuple[Option, ...]:
    """All candidates, best first. text_outward: the side of the line away from the view is above it in reading.
    dots: ends that have no room for an outer arrowhead."""
    span, (width, height) = figure.span, figure.size
    middle, length = (span.low + span.high) / 2, span.length
    if text_outward:
        low_v, high_v = figure.v + style.text_gap, figure.v + style.text_gap + height
    else:
        low_v, high_v = figure.v - style.text_gap - height, figure.v - style.text_gap
    inside = heads_inside(span, style, ticks)
    run = 0.0 if inside else 2 * style.arrow_length
    tail_low, tail_high = (
        0.0 if touching or dot else run for touching, dot in zip(figure.touching, dots, strict=True)
    )
    line = ((span.low - tail_low, figure.v), (span.high + tail_high, figure.v))
    out: list[Option] = []

    def over(centre: float, cost: float) -> None:
        left, right = centre - width / 2, centre + width / 2
        heads = 0.0 if ticks or not inside else style.arrow_length + ABOVE_HEADS
        # Over an arrowhead the figure keeps clear of the head, not only of the line.
        lift = style.arrow_width / 2 if heads and (left < span.low + heads or right > span.high - heads) else 0.0
        lift = lift if text_outward else -lift
        out.append(Option(cost, (left, low_v + lift, right, high_v + lift), line, inside, dots))

    low_room, high_room = end_rooms(style, ticks)
    least, most = span.low + low_room + width / 2, span.high - high_room - width / 2
    if least <= most:
        centre = min(max(middle, least), most)
        over(centre, 0.2 * (centre != middle))
        for shift in _shifts(width, max(centre - least, most - centre)):
            if least <= centre + shift <= most:
                over(centre + shift, 0.6 + 0.06 * abs(shift))
    else:
        out.extend(_beside(figure, style, ticks, (low_v, high_v), dots))
    if least > most or length < 4 * width:
        out.extend(_led(figure, style, line, inside, dots, 18.0 if least > most else 40.0))
    return tuple(sorted(out, key=lambda o: (round(o.cost, 6), o.box)))


def _shifts(width: float, play: float) -> tuple[float, ...]:
    """Moves along the line, both ways, as far as there is play."""
    sizes: list[float] = []
    for size in (0.5 * width, 0.5 * width + 2.0, width + 1.0, 1.6 * width + 2.0, 2.5 * width + 2.0, play):
        if size <= play and all(abs(size - other) > 0.5 for other in sizes):
            sizes.append(size)
    return tuple(sign * size for size in sizes for sign in (1.0, -1.0))


def _beside(
    figure: Figure, style: Style, ticks: bool, band: XY, dots: tuple[bool, bool]
) -> list[Option]:
    """The figure past one end, over the line run on."""
    span, width = figure.span, figure.size[0]
    plain = 1.2 if ticks else style.arrow_length + 0.8
    run = 0.0 if ticks else 2 * style.arrow_length
    out: list[Option] = []
    for high in (True, False):
        clear = plain + (tick_reach(style) if ticks and high else 0.0)
        for extra in (0.0, 3.0, 7.0):
            reach = clear + extra + width
            tails = [0.0 if t or d else run for t, d in zip(figure.touching, dots, strict=True)]
            tails[high] = max(tails[high], reach)
            start = span.high + clear + extra if high else span.low - reach
            box = (start, band[0], start + width, band[1])
            cost = 5.0 + extra + (0.0 if high else 0.5)
            line = ((span.low - tails[0], figure.v), (span.high + tails[1], figure.v))
            out.append(Option(cost, box, line, ticks, dots))
    return out


def _led(
    figure: Figure, style: Style, line: Segment, inside: bool, dots: tuple[bool, bool], cost: float
) -> list[Option]:
    """The figure outside the row on a leader that ends bare on the dimension line."""
    span, (width, height) = figure.span, figure.size
    foot = ((span.low + span.high) / 2, figure.v)
    out: list[Option] = []
    lifts = [style.extension_overshoot + LINE_ROOM + 0.2]
    lifts += [lifts[0] + height + TEXT_ROOM + 0.2, style.row_step + style.text_gap]
    for lift in lifts:
        base = figure.v + lift
        for side in (1.0, -1.0):
            for slope in (3.6, 1.8, 0.9):
                aside = (lift + height / 2) / slope
                near = foot[0] + side * (aside + 0.8)
                box = (min(near, near + side * width), base, max(near, near + side * width), base + height)
                leader = (foot, (foot[0] + side * aside, base + height / 2))
                out.append(Option(cost + 0.4 * lift + 0.3 * aside, box, line, inside, dots, leader))
                aside = (lift - 0.6) / slope
                middle = foot[0] + side * aside
                box = (middle - width / 2, base, middle + width / 2, base + height)
                leader = (foot, (middle, base - 0.6))
                out.append(Option(cost + 1.0 + 0.4 * lift + 0.3 * aside, box, line, inside, dots, leader))
    return out


@dataclass(slots=True)
class Memory:
    """What searches of one side under other plans have worked out already. Valid for one style, one kind of ends and
    one set of blocked boxes. numbers: figures by where they stand; pairs: costs by figure and option."""

    numbers: dict[tuple[object, ...], int] = field(default_factory=dict)
    options: dict[int, tuple[Option, ...]] = field(default_factory=dict)
    alone: dict[int, list[float]] = field(default_factory=dict)
    pairs: dict[tuple[int, int, int, int], float] = field(default_factory=dict)

    def number(self, figure: Figure, dots: tuple[bool, bool]) -> int:
        """A number that is the same for the same figure in the same place."""
        key = (figure.index, round(figure.span.low, 3), round(figure.v, 3), figure.touching, dots)
        return self.numbers.setdefault(key, len(self.numbers))


class Search:
    """Finds the cheapest set of options for the figures of one side."""

    def __init__(
        self,
        figures: tuple[Figure, ...],
        style: Style,
        ticks: bool,
        text_outward: bool,
        blocked: tuple[Extent, ...],
        memory: Memory | None = None,
    ) -> None:
        self.figures = figures
        memory = memory or Memory()
        self.extensions = [extension_lines(f, style) for f in figures]
        reach = tick_reach(style) if ticks else 0.0
        lean = reach if text_outward else -reach
        self.ticks = [
            tuple(((u - reach, f.v - lean), (u + reach, f.v + lean)) for u in (f.span.low, f.span.high)) if ticks else ()
            for f in figures
        ]
        self.options: list[tuple[Option, ...]] = []
        self.alone: list[list[float]] = []
        self.numbers: list[int] = []
        for n, figure in enumerate(figures):
            dots = cramped_ends(n, figures, style, ticks)
            number = memory.number(figure, dots)
            if number not in memory.options:
                memory.options[number] = options_for(figure, style, ticks, text_outward, dots)
                memory.alone[number] = [o.cost + self._blocked_cost(n, o, blocked) for o in memory.options[number]]
            self.numbers.append(number)
            self.options.append(memory.options[number])
            self.alone.append(memory.alone[number])
        self.ranked = [sorted(range(len(own)), key=lambda k, a=own: (round(a[k], 6), k)) for own in self.alone]  # type: ignore[misc]
        self.pairs = memory.pairs
        self.reaches = [[(min(o.box[0], o.line[0][0]), max(o.box[2], o.line[1][0])) for o in own] for own in self.options]
        self.ranges = [self._range(n) for n in range(len(figures))]
        self.near = [
            [m for m in range(len(figures)) if m != n and self._may_meet(n, m)] for n in range(len(figures))
        ]

    def _range(self, n: int) -> XY:
        return (min(low for low, _ in self.reaches[n]), max(high for _, high in self.reaches[n]))

    def _may_meet(self, n: int, m: int) -> bool:
        a, b = self.ranges[n], self.ranges[m]
        return a[0] < b[1] + APART and b[0] < a[1] + APART

    def _blocked_cost(self, n: int, option: Option, blocked: tuple[Extent, ...]) -> float:
        cost = 0.0
        strokes = [option.line] + ([option.leader] if option.leader else [])
        room = TEXT_ROOM + 1e-6
        every = [option.box, *((*p, *q) for p, q in (*strokes, *self.extensions[n]))]
        left, right = min(min(e[0], e[2]) for e in every) - room, max(max(e[0], e[2]) for e in every) + room
        low, high = min(min(e[1], e[3]) for e in every) - room, max(max(e[1], e[3]) for e in every) + room
        for box in blocked:
            if box[0] >= right or box[2] <= left or box[1] >= high or box[3] <= low:
                continue
            cost += BAD * overlap(option.box, box, TEXT_ROOM)
            cost += BAD * any(segment_meets_box(p, q, box) for p, q in strokes)
            cost += LINES_CROSS / 5 * any(segment_meets_box(p, q, box) for p, q in self.extensions[n])
        own = [*self.extensions[n]]
        cost += BAD * any(_through(s, option.box) for s in own)
        if option.leader:
            cost += OWN_CROSS * sum(segments_cross(option.leader, s) for s in own)
        return cost

    def pair(self, n: int, a: int, m: int, b: int) -> float:
        """Cost of two options standing together."""
        if n > m:
            n, a, m, b = m, b, n, a
        (low_a, high_a), (low_b, high_b) = self.reaches[n][a], self.reaches[m][b]
        if low_a > high_b + APART or low_b > high_a + APART:
            return 0.0
        i, j = self.numbers[n], self.numbers[m]
        key = (i, a, j, b) if i < j else (j, b, i, a)
        known = self.pairs.get(key)
        if known is None:
            known = self.pairs[key] = self._pair(n, self.options[n][a], m, self.options[m][b])
        return known

    def _pair(self, n: int, a: Option, m: int, b: Option) -> float:
        fa, fb = self.figures[n], self.figures[m]
        cost = BAD * overlap(a.box, b.box, TEXT_ROOM)
        cost += self._through_cost(a, m, b) + self._through_cost(b, n, a)
        cost += self._line_cost(fa, a, fb, b, m) + self._line_cost(fb, b, fa, a, n)
        if a.leader and b.leader:
            cost += BAD * segments_cross(a.leader, b.leader)
        same_row = abs(fa.v - fb.v) < TOUCH
        if same_row:
            shared = min(a.line[1][0], b.line[1][0]) - max(a.line[0][0], b.line[0][0])
            cost += BAD * (shared > -0.8 and not _adjoining(fa, fb))
        elif not a.leader and not b.leader and abs(fa.v - fb.v) < 12.0:
            aligned = abs(a.box[0] + a.box[2] - b.box[0] - b.box[2]) < 4.0
            cost += NOT_STAGGERED * aligned
        return cost

    def _through_cost(self, a: Option, m: int, b: Option) -> float:
        """Strokes of figure m, lettered as b, through the text of a."""
        strokes = [*self.extensions[m], *self.ticks[m], b.line] + ([b.leader] if b.leader else [])
        return BAD * sum(_through(s, a.box) for s in strokes)

    def _line_cost(self, fa: Figure, a: Option, fb: Figure, b: Option, m: int) -> float:
        ends = (fa.span.low, fa.span.high)
        others = [s for s in self.extensions[m] if all(abs(s[0][0] - end) > TOUCH for end in ends)]
        cost = LINES_CROSS * sum(segments_cross(a.line, s) for s in others)
        if a.leader:
            others.append(b.line)
            cost += LEADER_CROSS * sum(segments_cross(a.leader, s) for s in others)
        if abs(fa.v - fb.v) < TOUCH and not a.leader:
            shared = min(a.box[2], fb.span.high) - max(a.box[0], fb.span.low)
            cost += AMBIGUOUS * (shared > TOUCH)
            cost += READ_AS_ONE * (shared > TOUCH and overlap(a.box, b.box, APART))
        return cost

    def solve(self) -> Solution:
        """The best of two starts, each improved by sweeps and by pairs of figures changed together: every figure
        at its own best place, and, where that leaves conflicts, figures fanned out from the middle."""
        best = self._improved(self._starts(fanned=False))
        if best.conflicts:
            other = self._improved(self._starts(fanned=True))
            best = other if other.cost < best.cost - 1e-6 else best
        return best

    def _starts(self, fanned: bool) -> list[int]:
        middle = sum(f.span.low + f.span.high for f in self.figures) / (2 * len(self.figures) or 1)
        chosen = []
        for n, figure in enumerate(self.figures):
            own = (figure.span.low + figure.span.high) / 2
            costs = []
            for k, option in enumerate(self.options[n]):
                outward = (option.box[0] + option.box[2] - 2 * own) * (own - middle) >= -1e-9
                costs.append(self.alone[n][k] + (0.0 if outward or not fanned else AMBIGUOUS))
            chosen.append(min(range(len(costs)), key=lambda k, c=costs: c[k]))  # type: ignore[misc]
        return chosen

    def _improved(self, chosen: list[int]) -> Solution:
        for _ in range(6):
            changed = self._sweep(chosen)
            changed = self._sweep_pairs(chosen) or changed
            if not changed:
                break
        return self._solution(chosen)

    def _local(self, chosen: list[int], n: int, k: int, skip: int = -1) -> float:
        return self.alone[n][k] + sum(self.pair(n, k, m, chosen[m]) for m in self.near[n] if m != skip)

    def _sweep(self, chosen: list[int]) -> bool:
        changed = False
        for _ in range(10):
            moved = False
            for n in range(len(chosen)):
                best, least = chosen[n], self._local(chosen, n, chosen[n])
                for k in self.ranked[n]:
                    if self.alone[n][k] >= least - 1e-6:
                        break  # company only adds to what an option costs alone
                    cost = self._local(chosen, n, k)
                    if cost < least - 1e-6:
                        best, least = k, cost
                if best != chosen[n]:
                    chosen[n] = best
                    moved = changed = True
            if not moved:
                break
        return changed

    def _sweep_pairs(self, chosen: list[int]) -> bool:
        changed = False
        for n in range(len(chosen)):
            for m in self.near[n]:
                if m < n or self.pair(n, chosen[n], m, chosen[m]) < AMBIGUOUS:
                    continue
                lone_n = [self._local(chosen, n, k, m) for k in range(len(self.options[n]))]
                lone_m = [self._local(chosen, m, k, n) for k in range(len(self.options[m]))]
                now = lone_n[chosen[n]] + lone_m[chosen[m]] + self.pair(n, chosen[n], m, chosen[m])
                for a, b in product(range(len(lone_n)), range(len(lone_m))):
                    if lone_n[a] + lone_m[b] >= now - 1e-6:
                        continue
                    cost = lone_n[a] + lone_m[b] + self.pair(n, a, m, b)
                    if cost < now - 1e-6:
                        now, chosen[n], chosen[m] = cost, a, b
                        changed = True
        return changed

    def _solution(self, chosen: list[int]) -> Solution:
        cost = sum(self.alone[n][k] for n, k in enumerate(chosen))
        conflicts: list[tuple[int, int, float]] = []
        for n, k in enumerate(chosen):
            if self.alone[n][k] >= BAD:
                conflicts.append((self.figures[n].index, -1, self.alone[n][k]))
            for m in self.near[n]:
                if m > n:
                    pair = self.pair(n, k, m, chosen[m])
                    cost += pair
                    if pair >= AMBIGUOUS:
                        conflicts.append((self.figures[n].index, self.figures[m].index, pair))
        return Solution(tuple(self.options[n][k] for n, k in enumerate(chosen)), cost, tuple(conflicts))


def _through(stroke: Segment, box: Extent) -> bool:
    room = LINE_ROOM
    return segment_meets_box(*stroke, (box[0] - room, box[1] - room, box[2] + room, box[3] + room))


def _adjoining(a: Figure, b: Figure) -> bool:
    return abs(a.span.high - b.span.low) < TOUCH or abs(b.span.high - a.span.low) < TOUCH
