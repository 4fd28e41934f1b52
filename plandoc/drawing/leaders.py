"""Leader notes: lettering beside a view, a straight inclined line to the feature that it speaks of.

The line leans 15 to 75 degrees, ends on the rim and aims at the centre, and meets a short horizontal shoulder at the
mid height of the first line of lettering (ASME Y14.2; length of the shoulder common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import cos, hypot, radians, sin

import numpy as np
import numpy.typing as npt

from plandoc.drawing.boxes import Segment, grown, item_extent, line_segments, overlap, segments_apart, united
from plandoc.drawing.boxes import segment_meets_box as meets
from plandoc.drawing.dimension_request import NoteRequest, Placed
from plandoc.drawing.display import XY, Extent, Group, Item, Line
from plandoc.drawing.lettering import note_line_extent, note_line_items
from plandoc.drawing.linework import arrowhead, disc
from plandoc.drawing.strokes_in_boxes import Floats, strokes_in_boxes
from plandoc.drawing.style import Style

SHOULDER = 6.0
SHOULDER_ROOM = 1.0
LINE_ROOM = 1.2  # between two lines of one note
ROLE = "note"
ANGLES = (45.0, 60.0, 30.0, 52.0, 38.0, 68.0, 22.0, 75.0, 15.0)
REACHES = (4.5, 7.0, 10.0, 14.0, 18.0, 23.0, 30.0, 38.0, 50.0, 64.0)
PAST = 2.0  # mm from the outermost dimension line to the shoulder of a leader beyond it
KEEP = 60
GAIN = 50.0  # for which another note is moved out of the way
TRIED = 24  # places of a note for which others move up
MOVED = 6  # notes that move up in turn
IN_TURN = 0.1  # of what it costs to meet a note that can still be moved
OTHERS = 2  # of the other targets of a note are tried
ANOTHER = 2.0
BAD = 1000.0
CROSSED = 900.0
OVER_VIEW = 18.0
MEETS = 300.0
CROSSED_LINES = {"dim": MEETS, "ext": 12.0}  # a leader may cross other strokes, at 5.0 each
NO_RIM = 150.0  # the arrow ends on a part of the rim that is not drawn
HALF_RIM = 0.2  # cosine from the middle of the drawn part of a rim to its end
ALONG = 300.0  # on a stroke, or close beside it
ALIKE = 0.035  # sine of the angle up to which two strokes run alike
BESIDE = 0.4  # mm between two leaders, or a leader and a stroke that runs alike
SHOULDER_ON_LINE = 60.0
ELBOW_ON_LINE = 15.0
CORNER = 8.0
CORNER_ROOM = 0.8
COARSE_FROM = 12
CHUNK = 72
READ_AS_ONE = 60.0
FURTHEST = 5.1  # mm; notes further apart do not matter to each other
Rows = npt.NDArray[np.intp]
Pairs = dict[tuple[int, tuple[int, int], int, tuple[int, int]], float]


@dataclass(frozen=True, slots=True)
class _Option:
    """row: the number of its target and its place among all that were tried there, which name it."""

    row: tuple[int, int]
    cost: float
    tip: XY
    elbow: XY
    end: XY  # of the shoulder, at the lettering
    right: bool
    boxes: tuple[Extent, ...]
    room: Extent  # round all of it

    @property
    def strokes(self) -> tuple[Segment, Segment]:
        return ((self.tip, self.elbow), (self.elbow, self.end))


@dataclass(frozen=True, slots=True)
class _Block:
    """Lettering of a note relative to its shoulder's end: base line offsets and boxes for text at its right."""

    lines: tuple[str, ...]
    drops: tuple[float, ...]
    boxes: tuple[Extent, ...]


def place_notes(
    view_extent: Extent,
    notes: Sequence[NoteRequest],
    style: Style,
    obstacles: Sequence[Extent] = (),
    lines_to_avoid: Sequence[Line] = (),
    space: Extent | None = None,
) -> Placed:
    """Notes round or in a view. view_extent: the outline's box. obstacles: boxes of other lettering. lines_to_avoid:
    strokes that no lettering may touch and that leaders cross only where they must. space: the paper that may be
    used (mm).

    Every note gives one Group "leader" with attr note. Leaders cross no leader, lettering covers no lettering;
    where that fails, `crowded` says so.
    """
    return Notes(view_extent, notes, style, obstacles, lines_to_avoid).place(space)


class Notes:
    """The notes of one view, which may be placed several times, each time in other room on the same paper."""

    def __init__(
        self, view_extent: Extent, notes: Sequence[NoteRequest], style: Style, obstacles: Sequence[Extent] = (),
        lines_to_avoid: Sequence[Line] = (),
    ) -> None:  # fmt: skip
        """As in place_notes."""
        self.view, self.notes, self.style = view_extent, tuple(notes), style
        self._ground = _Ground(view_extent, tuple(obstacles), tuple(lines_to_avoid))
        self._blocks = [_block(note.lines, style) for note in self.notes]
        self._tries: dict[tuple[int, int], _Tries] = {}
        self._pairs: Pairs = {}

    def place(self, space: Extent | None = None) -> Placed:
        """As place_notes says."""
        if not self.notes:
            return Placed((), self.view)
        options = [self._options(n, 0, note.target, space) for n, note in enumerate(self.notes)]
        chosen = _solve(options, self._pairs)
        if any(note.others for note in self.notes) and _trouble(options, chosen) >= MEETS:
            worst = _troubled(options, chosen)
            more = [self._more(n, own, space) if n in worst else own for n, own in enumerate(options)]
            again = _solve(more, self._pairs)
            if _trouble(more, again) < _trouble(options, chosen):
                options, chosen = more, again
        found = [own[k] for own, k in zip(options, chosen, strict=True)]
        groups = tuple(
            _group(note, block, option, self.style)
            for note, block, option in zip(self.notes, self._blocks, found, strict=True)
        )
        crowded = []
        for n, note in enumerate(self.notes):
            pairs = [_pair(found[n], found[m]) for m in range(len(found)) if m != n]
            if found[n].cost >= CROSSED or any(p >= CROSSED for p in pairs):
                crowded.append(f"no clear place for the note {' '.join(note.lines)!r}")
            elif found[n].cost >= MEETS:
                crowded.append(f"the leader of {' '.join(note.lines)!r} and a dimension line cross")
        boxes = [box for group in groups if (box := item_extent(group)) is not None]
        return Placed(groups, united([self.view, *boxes]), tuple(crowded))

    def _options(self, n: int, number: int, target: XY, space: Extent | None) -> list[_Option]:
        """Those of a note at one of its targets, named by the number of that."""
        key = (n, number)
        if key not in self._tries:
            self._tries[key] = _Tries(replace(self.notes[n], target=target), self._blocks[n], self._ground, number)
        return _options(self._tries[key], space)

    def _more(self, n: int, options: list[_Option], space: Extent | None) -> list[_Option]:
        """The options, and those at the other targets, spread over all of them; best first."""
        others = self.notes[n].others
        others = others[:: -(-len(others) // OTHERS)] if others else ()
        more = [replace(o, cost=o.cost + ANOTHER) for k, at in enumerate(others, 1) for o in self._options(n, k, at, space)]
        return sorted([*options, *more], key=lambda o: round(o.cost, 6))[:KEEP]


def _trouble(options: list[list[_Option]], chosen: list[int]) -> float:
    """The sum of the options' own costs, and of what they cost each other where that is more than closeness."""
    own = [options[n][k] for n, k in enumerate(chosen)]
    return max((o.cost for o in own), default=0.0) + sum(p for a, b in combinations(own, 2) if (p := _pair(a, b)) > READ_AS_ONE)


def _troubled(options: list[list[_Option]], chosen: list[int]) -> set[int]:
    """The notes that meet a dimension line, lettering or each other."""
    own = [options[n][k] for n, k in enumerate(chosen)]
    found = {n for n, option in enumerate(own) if option.cost >= MEETS}
    for n, m in combinations(range(len(own)), 2):
        if _pair(own[n], own[m]) >= CROSSED:
            found |= {n, m}
    return found


def _coarse(line: Line) -> Line:
    """A curve with about eight of its points: near enough to keep clear of it."""
    if len(line.points) <= COARSE_FROM:
        return line
    return Line(line.role, (*line.points[: -1 : len(line.points) // 8], line.points[-1]), line.closed)


class _Ground:
    """What is on the paper already."""

    def __init__(self, view: Extent, obstacles: tuple[Extent, ...], lines: tuple[Line, ...]) -> None:
        self.view = view
        pieces = [(s, line.role) for line in lines for s in line_segments(_coarse(line))]
        segments = [s for s, _ in pieces]
        roles = [role for _, role in pieces]
        ends = np.array(segments, dtype=float).reshape(-1, 4)
        self.start, self.end = ends[:, :2], ends[:, 2:]
        self.step = self.end - self.start
        self.length = np.hypot(self.step[:, 0], self.step[:, 1])
        self.role_cost = np.array([CROSSED_LINES.get(role, 5.0) for role in roles], dtype=float)
        self.boxes = np.array(obstacles, dtype=float).reshape(-1, 4)
        across = [x for (p, q), role in pieces if role == "dim" for x in (p[0], q[0])]
        self.past = (min(across, default=view[0]) - PAST, max(across, default=view[2]) + PAST)  # left and right of all dimension lines

    def touched(self, boxes: Floats) -> Floats:
        """How many avoided strokes pass each open box; boxes: (n, 4) mm."""
        counts: Floats = np.count_nonzero(strokes_in_boxes(self.start, self.step, boxes), axis=1).astype(np.float64)
        return counts

    def lettering_crossed(self, strokes: Floats) -> Floats:
        """How many obstacles each stroke passes; strokes: (n, 4) mm."""
        grown_boxes = self.boxes + np.array([-0.5, -0.5, 0.5, 0.5])
        passed = strokes_in_boxes(strokes[:, :2], strokes[:, 2:] - strokes[:, :2], grown_boxes)
        counts: Floats = np.count_nonzero(passed, axis=0).astype(np.float64)
        return counts

    def crossing_cost(self, strokes: Floats) -> Floats:
        """What it costs that leaders cross the avoided strokes, or pass close to a corner; strokes: (n, 4) mm."""
        a, d = strokes[:, None, :2], strokes[:, None, 2:] - strokes[:, None, :2]
        length = np.maximum(np.hypot(d[..., 0], d[..., 1]), 1e-9)
        step = self.step[None]
        turn = d[..., 0] * step[..., 1] - d[..., 1] * step[..., 0]
        safe = np.where(turn == 0, 1.0, turn)
        to = self.start[None] - a
        t = (to[..., 0] * step[..., 1] - to[..., 1] * step[..., 0]) / safe
        u = (to[..., 0] * d[..., 1] - to[..., 1] * d[..., 0]) / safe
        ta, tb = 1e-6 / length, 1e-6 / np.maximum(self.length, 1e-9)[None]
        crossed = (turn != 0) & (ta < t) & (t < 1 - ta) & (tb < u) & (u < 1 - tb)
        cost: Floats = np.where(crossed, self.role_cost[None], 0.0).sum(axis=1)
        share = np.clip((to[..., 0] * d[..., 0] + to[..., 1] * d[..., 1]) / (length * length), 0.0, 1.0)
        past, beside = share * d[..., 0] - to[..., 0], share * d[..., 1] - to[..., 1]
        close = past * past + beside * beside < CORNER_ROOM * CORNER_ROOM
        cost += CORNER * np.count_nonzero(close, axis=1)
        scale = length * np.maximum(self.length, 1e-9)[None]
        off = np.abs(to[..., 0] * d[..., 1] - to[..., 1] * d[..., 0]) / length
        ends = to[..., 0] * d[..., 0] + to[..., 1] * d[..., 1], (to + step)[..., 0] * d[..., 0] + (to + step)[..., 1] * d[..., 1]
        shared = np.minimum(np.maximum(*ends), length * length) - np.maximum(np.minimum(*ends), 0.0)
        along = (np.abs(turn) < ALIKE * scale) & (off < BESIDE) & (shared > BESIDE * length)
        cost += ALONG * np.count_nonzero(along, axis=1)
        return cost


def _block(lines: tuple[str, ...], style: Style) -> _Block:
    size = style.height(ROLE)
    drops: list[float] = []
    boxes: list[Extent] = []
    for line in lines:
        x0, y0, x1, y1 = note_line_extent(line, (0.0, 0.0), size, "start", 0, False, True)
        drop = size / 2 if not drops else boxes[-1][3] + LINE_ROOM - y0
        drops.append(drop)
        boxes.append((x0, y0 + drop, x1, y1 + drop))
    return _Block(lines, tuple(drops), tuple(boxes))


def _options(tries: _Tries, space: Extent | None) -> list[_Option]:
    """The cheapest options, all costs worked out in arrays: what an option costs by itself, then, as long as it can
    still be among the best, what it meets on the paper."""
    alone = tries.cost_in(space)
    order = np.lexsort((tries.elbow[:, 1], tries.elbow[:, 0], np.round(alone, 6)))
    total = alone.copy()
    done: list[int] = []
    for at in range(0, len(order), CHUNK):
        chunk = order[at : at + CHUNK]
        if len(done) >= KEEP and alone[chunk[0]] > np.partition(total[done], KEEP - 1)[KEEP - 1]:
            break
        total[chunk] += tries.met(chunk)
        done += chunk.tolist()
    kept = np.array(done)
    best = kept[np.lexsort((tries.elbow[kept, 1], tries.elbow[kept, 0], np.round(total[kept], 6)))][:KEEP]
    return [tries.option(int(i), float(total[i])) for i in best]


class _Tries:
    """Every direction and reach of one leader, one row each (mm)."""

    def __init__(self, note: NoteRequest, block: _Block, ground: _Ground, number: int) -> None:
        """number: of the target."""
        self.ground, self.number = ground, number
        view, (x, y) = ground.view, note.target
        rows: list[tuple[float, float, float, float]] = []
        for rank, angle in enumerate(ANGLES):
            for right in (True, False):
                for up in (True, False):
                    dx = cos(radians(angle)) * (1 if right else -1)
                    dy = sin(radians(angle)) * (-1 if up else 1)
                    clear = ((view[1] - 8.0 if up else view[3] + 8.0) - y) / dy
                    beside = ((view[2] + 6.0 if right else view[0] - 6.0) - x) / dx
                    past = (ground.past[right] - x) / dx
                    reaches = sorted({*REACHES, *(round(r, 6) for r in (clear, clear + 7, beside, past) if 6 < r < 120)})
                    rows += [(dx, dy, reach, 0.25 * rank) for reach in reaches]
        table = np.array(rows)
        way, reach = table[:, :2], table[:, 2:3]
        target = np.array([x, y])
        self.tip = np.broadcast_to(target + way * note.radius, way.shape)
        self.elbow = target + way * (reach + note.radius)
        self.right = way[:, 0] > 0
        turn = np.where(self.right, 1.0, -1.0)
        self.end = self.elbow + np.stack([turn * SHOULDER, np.zeros(len(turn))], axis=1)
        start = self.end[:, 0] + turn * SHOULDER_ROOM
        level = self.end[:, 1]
        self.boxes = [
            np.stack([
                np.where(self.right, start + b[0], start - b[2]), level + b[1],
                np.where(self.right, start + b[2], start - b[0]), level + b[3],
            ], axis=1)
            for b in block.boxes
        ]  # fmt: skip
        whole = np.concatenate([
            np.min([b[:, :2] for b in self.boxes], axis=0), np.max([b[:, 2:] for b in self.boxes], axis=0)
        ], axis=1)  # fmt: skip
        cost: Floats = table[:, 3] + 0.35 * reach[:, 0]
        if note.toward is not None:
            cost += NO_RIM * (way @ np.array(note.toward) < HALF_RIM)
        cost += OVER_VIEW * _overlapping(whole, np.array([view]), 1.5)[:, 0]
        for boxes in self.boxes:
            cost += BAD * np.count_nonzero(_overlapping(boxes, ground.boxes, 0.8), axis=1)
        self.cost, self.whole = cost, whole
        self._met: Floats = np.full(len(cost), np.nan)

    def cost_in(self, space: Extent | None) -> Floats:
        """What the rows cost by themselves where only this room may be used."""
        if space is None:
            return self.cost
        low, high = np.array(space[:2]), np.array(space[2:])
        return self.cost + BAD * ((self.whole[:, :2] < low).any(axis=1) | (self.whole[:, 2:] > high).any(axis=1))

    def met(self, rows: Rows) -> Floats:
        """What these rows cost for the strokes and the lettering that they meet; worked out once."""
        fresh = rows[np.isnan(self._met[rows])]
        if len(fresh):
            self._met[fresh] = self._meeting(fresh)
        return self._met[rows]

    def _meeting(self, rows: Rows) -> Floats:
        ground = self.ground
        cost = np.zeros(len(rows))
        for boxes in self.boxes:
            cost += BAD * (ground.touched(boxes[rows] + np.array([-0.9, -0.9, 0.9, 0.9])) > 0)
        tip, elbow, end = self.tip[rows], self.elbow[rows], self.end[rows]
        for start, stop in ((tip, elbow), (elbow, end)):
            strokes = np.concatenate([start, stop], axis=1)
            cost += CROSSED * ground.lettering_crossed(strokes) + ground.crossing_cost(strokes)
        cost += ELBOW_ON_LINE * (ground.touched(np.concatenate([elbow - 0.8, elbow + 0.8], axis=1)) > 0)
        side = np.array([0.0, 0.7])
        low, high = np.minimum(elbow, end) - side, np.maximum(elbow, end) + side
        return cost + SHOULDER_ON_LINE * ground.touched(np.concatenate([low, high], axis=1))

    def option(self, row: int, cost: float) -> _Option:
        """One row as an option."""
        def point(of: Floats) -> XY:
            return float(of[row, 0]), float(of[row, 1])

        boxes = tuple((float(b[row, 0]), float(b[row, 1]), float(b[row, 2]), float(b[row, 3])) for b in self.boxes)
        tip, elbow, end = point(self.tip), point(self.elbow), point(self.end)
        room = united([*boxes, (*tip, *tip), (*elbow, *elbow), (*end, *end)])
        return _Option((self.number, row), cost, tip, elbow, end, bool(self.right[row]), boxes, room)


def _overlapping(boxes: Floats, others: Floats, clear: float) -> npt.NDArray[np.bool_]:
    """(boxes, others): whether two boxes share area or are nearer than `clear` in both directions."""
    a, b = boxes[:, None, :], others[None, :, :]
    return (
        (a[..., 0] < b[..., 2] + clear) & (b[..., 0] < a[..., 2] + clear)
        & (a[..., 1] < b[..., 3] + clear) & (b[..., 1] < a[..., 3] + clear)
    )  # fmt: skip


def _pair(a: _Option, b: _Option) -> float:
    if not overlap(a.room, b.room, FURTHEST):
        return 0.0
    cost = BAD * any(overlap(p, q, 1.0) for p in a.boxes for q in b.boxes)
    wide = [(x0 - 5.0, y0 - 1.5, x1 + 5.0, y1 + 1.5) for x0, y0, x1, y1 in b.boxes]
    cost += READ_AS_ONE * any(overlap(p, q) for p in a.boxes for q in wide)
    cost += BAD * sum(_meet(s, t) for s in a.strokes for t in b.strokes)
    for strokes, boxes in ((a.strokes, b.boxes), (b.strokes, a.boxes)):
        cost += BAD * any(meets(*s, grown(box, 0.7)) for s in strokes for box in boxes)
    if hypot(a.elbow[0] - b.elbow[0], a.elbow[1] - b.elbow[1]) < 2.0:
        cost += CROSSED
    return cost


def _meet(a: Segment, b: Segment) -> bool:
    """Whether two strokes cross, touch or run into one."""
    for i in (0, 1):
        if max(a[0][i], a[1][i]) + BESIDE < min(b[0][i], b[1][i]) or max(b[0][i], b[1][i]) + BESIDE < min(a[0][i], a[1][i]):
            return False
    return segments_apart(a, b) < BESIDE


def _solve(options: list[list[_Option]], known: Pairs) -> list[int]:
    """Sweeps, pairs changed together, and notes that make way for one that meets a dimension line, until nothing improves. known: costs of two options together, by note and row."""
    count = len(options)
    chosen = [0] * count
    rooms = [united(option.room for option in own) for own in options]
    near = [[m for m in range(count) if m != n and overlap(rooms[n], rooms[m], FURTHEST)] for n in range(count)]

    def pair(n: int, a: int, m: int, b: int) -> float:
        if n > m:
            n, a, m, b = m, b, n, a
        one, other = options[n][a], options[m][b]
        key = (n, one.row, m, other.row)
        cost = known.get(key)
        if cost is None:
            cost = known[key] = _pair(one, other)
        return cost

    def local(n: int, k: int, skip: int = -1) -> float:
        return options[n][k].cost + sum(pair(n, k, m, chosen[m]) for m in near[n] if m != skip)

    def best_of(n: int) -> tuple[int, float]:
        """Company only adds to what an option costs by itself, and the options stand in that order."""
        best, least = 0, local(n, 0)
        for k, option in enumerate(options[n]):
            if option.cost > least + 1e-5:
                break
            cost = local(n, k)
            if round(cost, 6) < round(least, 6):
                best, least = k, cost
        return best, least

    def make_way(n: int) -> bool:
        """Puts the note where only one other stands in the way, and that one elsewhere; False where nothing is gained."""
        lone: dict[int, list[float]] = {}
        now = local(n, chosen[n])
        for k, option in enumerate(options[n]):
            if option.cost >= now - GAIN:
                return False
            rivals = [m for m in range(count) if m != n and pair(n, k, m, chosen[m]) >= CROSSED]
            if len(rivals) != 1:
                continue
            m = rivals[0]
            if m not in lone:
                lone[m] = [local(m, b, n) for b in range(len(options[m]))]
            before = local(n, chosen[n], m) + lone[m][chosen[m]] + pair(n, chosen[n], m, chosen[m])
            alone = local(n, k, m)
            totals = [(alone + other + pair(n, k, m, b) if alone + other < before else before, b) for b, other in enumerate(lone[m])]
            least, b = min(totals)
            if least < before - GAIN:
                chosen[n], chosen[m] = k, b
                return True
        return False

    def move_up(n: int) -> bool:
        """Puts the note elsewhere, those that stand there clear of it, those in their way clear of them, and so on; False where
        nothing is gained."""
        def whole(state: list[int]) -> float:
            return sum(own[k].cost for own, k in zip(options, state, strict=True)) + sum(pair(a, state[a], b, state[b]) for a in range(count) for b in near[a] if a < b)

        before, troubled = whole(chosen), sum(own[b].cost >= MEETS for own, b in zip(options, chosen, strict=True))
        for k, option in enumerate(options[n][:TRIED]):
            if option.cost >= options[n][chosen[n]].cost - GAIN:
                return False
            state, settled, moved = list(chosen), {n}, [n]
            state[n] = k
            while moved and len(settled) <= MOVED:
                m = moved.pop(0)
                for r in near[m]:
                    if r in settled or pair(m, state[m], r, state[r]) < CROSSED:
                        continue
                    costs = [
                        own.cost + sum(pair(r, b, o, state[o]) * (1.0 if o in settled else IN_TURN) for o in near[r])
                        for b, own in enumerate(options[r])
                    ]  # fmt: skip
                    state[r] = costs.index(min(costs))
                    settled.add(r)
                    moved.append(r)
            if sum(own[b].cost >= MEETS for own, b in zip(options, state, strict=True)) < troubled and whole(state) < before - GAIN:
                chosen[:] = state
                return True
        return False

    tried: set[tuple[int, ...]] = set()
    for _ in range(8):
        changed = False
        for n in range(count):
            best, least = best_of(n)
            if least < local(n, chosen[n]) - 1e-6:
                chosen[n], changed = best, True
        for n in range(count):
            for m in near[n]:
                if m < n or pair(n, chosen[n], m, chosen[m]) < CROSSED:
                    continue
                now = local(n, chosen[n], m) + local(m, chosen[m], n) + pair(n, chosen[n], m, chosen[m])
                lone_n = [(a, local(n, a, m)) for a, option in enumerate(options[n]) if option.cost < now]
                lone_m = [(b, local(m, b, n)) for b, option in enumerate(options[m]) if option.cost < now]
                for a, alone_a in lone_n:
                    for b, alone_b in lone_m:
                        if alone_a + alone_b < now - 1e-6 and alone_a + alone_b + pair(n, a, m, b) < now - 1e-6:
                            now = alone_a + alone_b + pair(n, a, m, b)
                            chosen[n], chosen[m], changed = a, b, True
        for n in range(count):
            if options[n][chosen[n]].cost >= MEETS:
                if make_way(n) or ((n, *chosen) not in tried and move_up(n)):
                    changed = True
                else:
                    tried.add((n, *chosen))
        if not changed:
            break
    return chosen


def _group(note: NoteRequest, block: _Block, option: _Option, style: Style) -> Group:
    items: list[Item] = [Line("ldr", (option.tip, option.elbow, option.end))]
    direction = (note.target[0] - option.elbow[0], note.target[1] - option.elbow[1])
    if note.end == "arrow":
        items.append(arrowhead(option.tip, direction, style))
    elif note.end == "dot":
        items.append(disc(option.tip, style.dot / 2))
    size = style.height(ROLE)
    anchor = "start" if option.right else "end"
    x = option.end[0] + (SHOULDER_ROOM if option.right else -SHOULDER_ROOM)
    for line, drop in zip(block.lines, block.drops, strict=True):
        items += note_line_items(line, (x, option.end[1] + drop), size, ROLE, anchor, 0, False, True)
    return Group("leader", tuple(items), "", (("note", note.id or " ".join(note.lines)),))
