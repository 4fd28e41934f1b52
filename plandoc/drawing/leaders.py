"""Leader notes: lettering beside a view, a straight inclined line to the feature that it speaks of.

The line leans 15 to 75 degrees, ends on the rim and aims at the centre, and meets a short horizontal shoulder at the
mid height of the first line of lettering (ASME Y14.2; length of the shoulder common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin

import numpy as np

from plandoc.drawing.boxes import Segment, grown, item_extent, line_segments, overlap, segments_cross, united
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
KEEP = 60
BAD = 1000.0
CROSSED = 400.0
OVER_VIEW = 18.0
CROSSED_LINES = {"dim": 80.0, "ext": 12.0}  # a leader may cross other strokes, at 5.0 each
SHOULDER_ON_LINE = 60.0
ELBOW_ON_LINE = 15.0
CORNER = 8.0
CORNER_ROOM = 0.8
COARSE_FROM = 12
CHUNK = 128
READ_AS_ONE = 60.0


@dataclass(frozen=True, slots=True)
class _Option:
    cost: float
    tip: XY
    elbow: XY
    end: XY  # of the shoulder, at the lettering
    right: bool
    boxes: tuple[Extent, ...]

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
    if not notes:
        return Placed((), view_extent)
    ground = _Ground(view_extent, tuple(obstacles), tuple(lines_to_avoid), space)
    blocks = [_block(note.lines, style) for note in notes]
    options = [_options(note, block, ground) for note, block in zip(notes, blocks, strict=True)]
    chosen = _solve(options)
    groups = tuple(
        _group(note, block, options[n][chosen[n]], style)
        for n, (note, block) in enumerate(zip(notes, blocks, strict=True))
    )
    crowded = []
    for n, note in enumerate(notes):
        own = options[n][chosen[n]]
        pairs = [_pair(own, options[m][chosen[m]]) for m in range(len(notes)) if m != n]
        if own.cost >= CROSSED or any(p >= CROSSED for p in pairs):
            crowded.append(f"no clear place for the note {' '.join(note.lines)!r}")
    boxes = [box for group in groups if (box := item_extent(group)) is not None]
    return Placed(groups, united([view_extent, *boxes]), tuple(crowded))


def _coarse(line: Line) -> Line:
    """A curve with about eight of its points: near enough to keep clear of it."""
    if len(line.points) <= COARSE_FROM:
        return line
    return Line(line.role, (*line.points[: -1 : len(line.points) // 8], line.points[-1]), line.closed)


class _Ground:
    """What is on the paper already."""

    def __init__(
        self, view: Extent, obstacles: tuple[Extent, ...], lines: tuple[Line, ...], space: Extent | None
    ) -> None:
        self.view, self.obstacles, self.space = view, obstacles, space
        pieces = [(s, line.role) for line in lines for s in line_segments(_coarse(line))]
        segments = [s for s, _ in pieces]
        roles = [role for _, role in pieces]
        ends = np.array(segments, dtype=float).reshape(-1, 4)
        self.start, self.end = ends[:, :2], ends[:, 2:]
        self.step = self.end - self.start
        self.length = np.hypot(self.step[:, 0], self.step[:, 1])
        self.role_cost = np.array([CROSSED_LINES.get(role, 5.0) for role in roles], dtype=float)
        self.boxes = np.array(obstacles, dtype=float).reshape(-1, 4)

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
        """What it costs that leaders cross the avoided strokes, or pass close to their ends; strokes: (n, 4) mm."""
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
        cost: Floats = crossed @ self.role_cost
        close = np.zeros(crossed.shape, dtype=bool)
        for ends in (self.start, self.end):
            to = ends[None] - a
            share = np.clip((to[..., 0] * d[..., 0] + to[..., 1] * d[..., 1]) / (length * length), 0.0, 1.0)
            close |= np.hypot(share * d[..., 0] - to[..., 0], share * d[..., 1] - to[..., 1]) < CORNER_ROOM
        total: Floats = cost + CORNER * np.count_nonzero(close, axis=1)
        return total

    def outside(self, box: Extent) -> bool:
        """Whether the box leaves the paper that may be used."""
        space = self.space
        return space is not None and (
            box[0] < space[0] or box[1] < space[1] or box[2] > space[2] or box[3] > space[3]
        )


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


def _options(note: NoteRequest, block: _Block, ground: _Ground) -> list[_Option]:
    """The cheapest options."""
    rough: list[_Option] = []
    view = ground.view
    edges = {True: view[2] + 6.0, False: view[0] - 6.0}
    for rank, angle in enumerate(ANGLES):
        for right in (True, False):
            for up in (True, False):
                dx = cos(radians(angle)) * (1 if right else -1)
                dy = sin(radians(angle)) * (-1 if up else 1)
                clear = ((view[1] - 8.0 if up else view[3] + 8.0) - note.target[1]) / dy
                beside = (edges[right] - note.target[0]) / dx
                reaches = sorted({*REACHES, *(round(r, 6) for r in (clear, clear + 7, beside) if 6 < r < 120)})
                for reach in reaches:
                    rough.append(_option(note, block, ground, (dx, dy), reach + note.radius, 0.25 * rank))
    rough.sort(key=lambda o: (round(o.cost, 6), o.elbow))
    out: list[_Option] = []
    for at in range(0, len(rough), CHUNK):
        chunk = rough[at : at + CHUNK]
        if len(out) >= KEEP and chunk[0].cost > out[KEEP - 1].cost:
            break
        met = _met(chunk, ground)
        out += [replace(option, cost=option.cost + float(more)) for option, more in zip(chunk, met, strict=True)]
        out.sort(key=lambda o: (round(o.cost, 6), o.elbow))
    return out[:KEEP]


def _option(
    note: NoteRequest, block: _Block, ground: _Ground, direction: XY, reach: float, cost: float
) -> _Option:
    (x, y), (dx, dy) = note.target, direction
    tip = (x + dx * note.radius, y + dy * note.radius)
    elbow = (x + dx * reach, y + dy * reach)
    right = dx > 0
    end = (elbow[0] + (SHOULDER if right else -SHOULDER), elbow[1])
    start = end[0] + (SHOULDER_ROOM if right else -SHOULDER_ROOM)
    boxes = tuple(
        (start + b[0], end[1] + b[1], start + b[2], end[1] + b[3])
        if right
        else (start - b[2], end[1] + b[1], start - b[0], end[1] + b[3])
        for b in block.boxes
    )
    whole = united(boxes)
    cost += 0.35 * (reach - note.radius)
    cost += OVER_VIEW * overlap(whole, ground.view, 1.5)
    for box in boxes:
        cost += BAD * sum(overlap(box, other, 0.8) for other in ground.obstacles)
    cost += BAD * ground.outside(whole)
    return _Option(cost, tip, elbow, end, right, boxes)


def _met(options: Sequence[_Option], ground: _Ground) -> Floats:
    """What each option costs for the strokes and the lettering that it meets, all at once."""
    cost = np.zeros(len(options))
    for line in range(len(options[0].boxes)):
        boxes = np.array([grown(option.boxes[line], 0.9) for option in options])
        cost += BAD * (ground.touched(boxes) > 0)
    for part in (0, 1):
        strokes = np.array([(*option.strokes[part][0], *option.strokes[part][1]) for option in options])
        cost += CROSSED * ground.lettering_crossed(strokes) + ground.crossing_cost(strokes)
    elbows = np.array([grown((*option.elbow, *option.elbow), 0.8) for option in options])
    cost += ELBOW_ON_LINE * (ground.touched(elbows) > 0)
    shoulders = np.array([
        (min(o.elbow[0], o.end[0]), o.end[1] - 0.7, max(o.elbow[0], o.end[0]), o.end[1] + 0.7) for o in options
    ])  # fmt: skip
    return cost + SHOULDER_ON_LINE * ground.touched(shoulders)


def _pair(a: _Option, b: _Option) -> float:
    cost = BAD * any(overlap(p, q, 1.0) for p in a.boxes for q in b.boxes)
    wide = [(x0 - 5.0, y0 - 1.5, x1 + 5.0, y1 + 1.5) for x0, y0, x1, y1 in b.boxes]
    cost += READ_AS_ONE * any(overlap(p, q) for p in a.boxes for q in wide)
    cost += BAD * sum(segments_cross(s, t) for s in a.strokes for t in b.strokes)
    for strokes, boxes in ((a.strokes, b.boxes), (b.strokes, a.boxes)):
        cost += BAD * any(meets(*s, grown(box, 0.7)) for s in strokes for box in boxes)
    if hypot(a.elbow[0] - b.elbow[0], a.elbow[1] - b.elbow[1]) < 2.0:
        cost += CROSSED
    return cost


def _solve(options: list[list[_Option]]) -> list[int]:
    """Sweeps, and pairs changed together, until nothing improves."""
    known: dict[tuple[int, int, int, int], float] = {}

    def pair(n: int, a: int, m: int, b: int) -> float:
        if n > m:
            n, a, m, b = m, b, n, a
        key = (n, a, m, b)
        if key not in known:
            known[key] = _pair(options[n][a], options[m][b])
        return known[key]

    count = len(options)
    chosen = [0] * count

    def local(n: int, k: int, skip: int = -1) -> float:
        return options[n][k].cost + sum(pair(n, k, m, chosen[m]) for m in range(count) if m not in (n, skip))

    for _ in range(8):
        changed = False
        for n in range(count):
            costs = [local(n, k) for k in range(len(options[n]))]
            best = min(range(len(costs)), key=lambda k, c=costs: (round(c[k], 6), k))  # type: ignore[misc]
            if costs[best] < costs[chosen[n]] - 1e-6:
                chosen[n], changed = best, True
        for n in range(count):
            for m in range(n + 1, count):
                if pair(n, chosen[n], m, chosen[m]) < CROSSED:
                    continue
                now = local(n, chosen[n], m) + local(m, chosen[m], n) + pair(n, chosen[n], m, chosen[m])
                lone_n = [local(n, k, m) for k in range(len(options[n]))]
                lone_m = [local(m, k, n) for k in range(len(options[m]))]
                for a, alone_a in enumerate(lone_n):
                    for b, alone_b in enumerate(lone_m):
                        if alone_a + alone_b < now - 1e-6 and alone_a + alone_b + pair(n, a, m, b) < now - 1e-6:
                            now = alone_a + alone_b + pair(n, a, m, b)
                            chosen[n], chosen[m], changed = a, b, True
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
