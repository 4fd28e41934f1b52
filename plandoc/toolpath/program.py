"""A board -> the paths of its tools, in the order in which they run: drills, the V-bit, then bits from the widest to the narrowest; with
each bit what has a bottom, level by level; with the last one what goes through, the outline at the very end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import hypot, radians, tan
from typing import TypeVar

import shapely
from shapely.geometry import Polygon, box

from plandoc.geometry.contours import XY, Curve, circle
from plandoc.toolpath import practice as p
from plandoc.toolpath.areas import (
    SPECK,
    Circles,
    Shape,
    centres,
    corners_left,
    joined,
    missing,
    offset,
    polygons,
    reached,
    rings,
)
from plandoc.toolpath.passes import clear, engrave, levels, peck, profile, tab_places
from plandoc.toolpath.track import Move, Pen, Track, reversed_strokes, stroke_length
from plandoc.toolpath.work import Board, Bore, Cut, Program, Result, Stage
from plandoc.toolpath.zones import run_of, sought, strip

T = TypeVar("T")
SMALL = 2.0  # what is cut free and nowhere wider than so many bits is milled away


@dataclass(frozen=True, slots=True)
class _Task:
    """Something for one bit to do. what, depth: as of a stage. middle: where its middle goes."""

    what: str
    bit: float
    middle: Polygon
    top: float
    depth: float | None
    circles: Circles
    free: bool = False
    name: str = ""


def plan(board: Board) -> Result:
    """The paths of all tools for one face."""
    return _Planner(board).result()


class _Planner:
    def __init__(self, board: Board) -> None:
        self.board = board
        self.left: list[tuple[str, str]] = []
        self.drilled: dict[float, list[Bore]] = {}
        cuts = list(board.cuts)
        for bore in board.bores:
            drill = next((d for d in board.drills if abs(d - bore.diameter) < 1e-6), None)
            if drill is not None:
                self.drilled.setdefault(drill, []).append(bore)
            elif bore.diameter >= min(board.bits, default=1e9) - 1e-6:
                cuts.append(Cut(bore.name, circle(bore.centre, bore.diameter / 2), bore.depth))
            else:
                self.left.append((bore.name, "no bit goes in, and no drill of its size is named"))
        self.cuts = cuts
        self.whole = joined(board.whole)
        reach = 4 * max(board.bits, default=0.0) + 10
        x0, y0, x1, y1 = self.whole.bounds
        self.outside = box(x0 - reach, y0 - reach, x1 + reach, y1 + reach).difference(self.whole)
        self.through = joined([c.shape for c in cuts if c.depth is None]).intersection(self.whole)
        self.corners, self.tasks = 0.0, list[_Task]()
        self.swept: list[tuple[str, Shape]] = []
        self.tabs: list[XY] = []
        self.high = min(p.TAB_HIGH, board.thick / 3)

    def result(self) -> Result:
        """Everything about this face."""
        self.blind()
        last = min((t.bit for t in self.tasks), default=max(self.board.bits, default=0.0))
        late = [b for b in self.board.bits if b <= last]
        for piece in polygons(self.through):
            if not (self.board.out and piece.intersects(self.outside.buffer(1e-6))):
                self.opening(piece, late)
        programs = [self.drilling(drill) for drill in sorted(self.drilled, reverse=True)]
        programs += [self.lettering()] if self.board.letters else []
        final = min((t.bit for t in self.tasks), default=late[0] if late else 0.0)
        used = sorted({t.bit for t in self.tasks} | ({final} if self.board.out and final else set()), reverse=True)
        programs += [self.milling(bit, bit == final) for bit in used]
        margin = max(self.board.bits, default=0.0) + p.OUTSIDE if self.board.out else 0.0
        zones, clash = self.clamps(margin)
        blank = margin + max((z for _, z in self.board.clamps), default=p.CLAMP_REACH) if self.board.out else 0.0
        return Result(tuple(programs), tuple(dict.fromkeys(self.left)), self.corners, zones, clash, blank, (self.high, p.TAB_LONG) if self.tabs else (0.0, 0.0), tuple(self.tabs))

    # Areas ------------------------------------------------------------------------------------------------------

    def blind(self) -> None:
        """What has a bottom: each group of areas that join, level by level."""
        cuts = [c for c in self.cuts if c.depth is not None]
        areas = [joined([c.shape]) for c in cuts]
        for group in polygons(shapely.union_all(areas)):
            self.levels([c for c, area in zip(cuts, areas, strict=True) if area.intersects(group)])

    def levels(self, cuts: Sequence[Cut]) -> None:
        """Areas that join; a deeper one gets no wider bit than the one that it lies in."""
        top, above = 0.0, list[tuple[Shape, float]]()
        for depth in sorted({c.depth for c in cuts if c.depth is not None}):
            here = [c for c in cuts if c.depth is not None and c.depth >= depth - 1e-9]
            area = joined([c.shape for c in here]).intersection(self.whole)
            free = shapely.union_all([area, self.through, self.outside])
            circles = Circles([c.shape for c in (*self.cuts, *here)], free)
            fresh: list[tuple[Shape, float]] = []
            for piece in polygons(area):
                name = self.name(here, piece)
                limit = min((b for shape, b in above if shape.intersects(piece.representative_point())), default=1e9)
                bit = self.fitting(piece, free, [b for b in self.board.bits if b <= limit], name)
                fresh.append((piece, bit))
                if bit:
                    self.add(piece, free, _Task("hole" if self.round(here, piece) else "pocket", bit, piece, top, depth, circles, name=name))
            above, top = fresh, -depth

    def opening(self, piece: Polygon, bits: Sequence[float]) -> None:
        """What goes through the board."""
        cuts = [c for c in self.cuts if c.depth is None]
        name = self.name(cuts, piece)
        free = shapely.union_all([self.through, self.outside])
        bit = self.fitting(piece, free, bits, name)
        if bit:
            large = not offset(piece, -bit - SMALL * bit / 2).is_empty
            what = "edge" if piece.intersects(self.outside.buffer(1e-6)) else "hole" if self.round(cuts, piece) else "opening"
            self.add(piece, free, _Task(what, bit, piece, 0.0, None, Circles([c.shape for c in self.cuts], free), large, name))

    def add(self, piece: Polygon, free: Shape, task: _Task) -> None:
        """Tasks for all that the bit reaches of an area."""
        middle = centres(piece, free, task.bit / 2)
        if corners_left(piece, middle, task.bit / 2):
            self.corners = max(self.corners, task.bit / 2)
        for part in polygons(middle):
            self.tasks.append(replace(task, middle=part))
        self.swept.append((task.name, offset(middle, task.bit / 2)))

    def fitting(self, piece: Polygon, free: Shape, bits: Sequence[float], name: str) -> float:
        """The widest bit that reaches all of an area but its corners; 0 after a note."""
        for bit in bits:
            middle = centres(piece, free, bit / 2)
            if not middle.is_empty and reached(piece, middle, bit / 2):
                return bit
        self.left.append((name, "too narrow for the bits"))
        return 0.0

    def name(self, cuts: Sequence[Cut], piece: Shape) -> str:
        """What an area is called: the first of the work in it."""
        spot = piece.representative_point()
        found = [c.name for c in cuts if joined([c.shape]).intersects(spot)] or [c.name for c in cuts if joined([c.shape]).intersects(piece)]
        return found[0] if found else ""

    def round(self, cuts: Sequence[Cut], piece: Shape) -> bool:
        """Whether an area is a drilled hole."""
        bores = {b.name for b in self.board.bores}
        return self.name(cuts, piece) in bores

    # Tools ------------------------------------------------------------------------------------------------------

    def drilling(self, drill: float) -> Program:
        """All holes of one drill."""
        pen, stages = Pen(p.SAFE, p.CLEAR), list[Stage]()
        bores = self.drilled[drill]
        self.swept += [(b.name, box(*(v + s * drill / 2 for s in (-1, 1) for v in b.centre))) for b in bores]
        for bore in _nearest(bores, lambda b: b.centre):
            depth = self.board.thick + p.BREAKTHROUGH if bore.depth is None else bore.depth
            passes = peck(pen, bore.centre, 0.0, levels(0.0, -depth, 2 * drill))
            _count(stages, Stage("hole", bore.depth, passes, 1))
        feeds = (("down", p.DRILL_FEED), ("air", p.FASTEST / 2), ("cut", p.DRILL_FEED))
        return _program("drill", drill, pen, stages, feeds, p.DRILL_SPEED)

    def lettering(self) -> Program:
        """All letters, text by text, the nearest stroke next."""
        pen, stages, angle = Pen(p.SAFE, p.CLEAR), list[Stage](), self.board.v_bit
        for text in self.board.letters:
            wide = text.depth * tan(radians(angle / 2))
            self.swept.append((text.name, shapely.MultiLineString([s if len(s) > 1 else (*s, *s) for s in text.strokes]).buffer(wide)))
            passes = max(engrave(pen, stroke, text.depth) for stroke in _nearest(text.strokes, lambda s: s[0]))
            _count(stages, Stage("lettering", text.depth, passes, 1))
        feeds = (("down", p.V_FEED * p.SINKING), ("air", p.V_FEED), ("cut", p.V_FEED))
        return _program("v-bit", angle, pen, stages, feeds, p.SPEED)

    def milling(self, bit: float, last: bool) -> Program:
        """All that one bit does."""
        pen, stages = Pen(p.SAFE, p.CLEAR), list[Stage]()
        through = self.board.thick + p.BREAKTHROUGH
        mine = [t for t in self.tasks if t.bit == bit]
        depths = sorted({t.depth for t in mine if t.depth is not None})
        for depth in (*depths, None):
            for task in _nearest([t for t in mine if t.depth == depth], lambda t: t.middle.exterior.coords[0]):
                if task.free:
                    self.hollow(pen, task, through, stages)
                else:
                    passes, finish = clear(pen, task.middle, bit, task.top, -through if depth is None else -depth, task.circles)
                    _count(stages, Stage(task.what, depth, passes, 1, 0, finish))
        if last and self.board.out:
            self.outline(pen, bit, through, stages)
        feed = p.cutting_feed(bit)
        return _program("bit", bit, pen, stages, (("down", feed * p.SINKING), ("air", feed), ("cut", feed)), p.SPEED)

    def hollow(self, pen: Pen, task: _Task, through: float, stages: list[Stage]) -> None:
        """An opening: round its outline, over tabs that hold what falls out."""
        held = self.whole.difference(self.through)
        for loop in rings(task.middle, task.bit / 2, task.circles):
            track = Track(loop)
            tabs = tab_places(track, task.bit, held)
            self.tabs += [track.point(t) for t in tabs]
            passes = profile(pen, track, task.bit, self.board.thick, through, tabs, self.high)
            _count(stages, Stage(task.what, None, passes, 1, len(tabs)))

    def outline(self, pen: Pen, bit: float, through: float, stages: list[Stage]) -> None:
        """The board out of its blank, against the clock round it: the bit turns with the cut."""
        apart = [piece for piece in polygons(self.through) if piece.intersects(self.outside.buffer(1e-6))]
        board = self.whole.difference(shapely.union_all(apart)) if apart else self.whole
        board = max(polygons(board), key=lambda b: b.area)
        board = Polygon(board.exterior)
        middle = offset(board, bit / 2)
        narrow = missing(offset(board, bit).difference(board), middle.boundary, bit / 2)
        if not narrow.is_empty:
            self.left.append(("outline", "narrow places in it are too narrow for the bits"))
        around = Circles([*self.board.whole, *(c.shape for c in self.cuts)], board)
        for loop in rings(Polygon(polygons(middle)[0].exterior), bit / 2, around):
            track = Track(tuple(reversed_strokes(loop)))
            tabs = tab_places(track, bit, board)
            self.tabs += [track.point(t) for t in tabs]
            passes = profile(pen, track, bit, self.board.thick, through, tabs, self.high)
            _count(stages, Stage("outline", None, passes, 1, len(tabs)))
        self.swept.append(("outline", offset(middle, bit / 2).difference(board)))

    def clamps(self, margin: float) -> tuple[tuple[tuple[float, float, float, float], ...], tuple[str, ...]]:
        """Zones, and the names of work that those of the plan would stand in."""
        board = self.board
        if board.out:
            named = board.clamps or tuple((side, p.CLAMP_REACH) for side in ("left", "right", "low", "high"))
            return tuple(strip(board, side, reach, -margin, run_of(board, side) + margin, margin + reach) for side, reach in named), ()
        if not board.clamps:
            return sought(board, shapely.union_all([shape for _, shape in self.swept]) if self.swept else Polygon()), ()
        zones = tuple(strip(board, side, reach, 0.0, run_of(board, side)) for side, reach in board.clamps)
        bad = [name for name, shape in self.swept if any(shape.intersection(box(*zone)).area > SPECK for zone in zones)]
        return zones, tuple(dict.fromkeys(bad))


def _nearest(things: Sequence[T], place: Callable[[T], Sequence[float]]) -> list[T]:
    """Each time the next one from where the last was, from the origin on."""
    left, at = list(things), (0.0, 0.0)
    found: list[T] = []
    while left:
        best = min(range(len(left)), key=lambda n: (round(hypot(place(left[n])[0] - at[0], place(left[n])[1] - at[1]), 6), n))
        thing = left.pop(best)
        at = (place(thing)[0], place(thing)[1])
        found.append(thing)
    return found


def _count(stages: list[Stage], stage: Stage) -> None:
    """Add a stage, or one more place and its tabs to one that is alike."""
    for number, other in enumerate(stages):
        if (other.what, other.depth, other.passes, other.finish) == (stage.what, stage.depth, stage.passes, stage.finish):
            stages[number] = replace(other, count=other.count + 1, tabs=other.tabs + stage.tabs)
            return
    stages.append(stage)


def _program(kind: str, diameter: float, pen: Pen, stages: Sequence[Stage], feeds: tuple[tuple[str, float], ...], speed: int) -> Program:
    rate = {**dict(feeds), "travel": p.TRAVEL}
    minutes, at = 0.0, (0.0, 0.0, p.SAFE)
    for move in pen.moves:
        minutes += _length(at, move) / rate[move.how]
        at = move.end
    deepest = -min((m.end[2] for m in pen.moves), default=0.0)
    return Program(kind, diameter, tuple(pen.moves), tuple(stages), deepest, minutes * p.SLACK, feeds, speed)


def _length(at: tuple[float, float, float], move: Move) -> float:
    rise = move.end[2] - at[2]
    if move.centre is None:
        return hypot(move.end[0] - at[0], move.end[1] - at[1], rise)
    radius = hypot(at[0] - move.centre[0], at[1] - move.centre[1])
    return hypot(stroke_length(Curve(at[:2], move.end[:2], move.centre, radius, move.left)), rise)

