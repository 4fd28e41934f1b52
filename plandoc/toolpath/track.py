"""A way along strokes and arcs that knows its length: pieces of it by distance, and moves in space made of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

from plandoc.geometry.contours import XY, Contour, Curve, Straight, Stroke

SHORT = 1e-4  # mm; shorter pieces are dropped


@dataclass(frozen=True, slots=True)
class Move:
    """One move to `end` (mm; z 0 is the face, upwards). how: travel (a rapid move), air (fast, above the wood), cut, down
    (entry). centre: of an arc in the plane of the face, None for a straight move; left: it turns left."""

    how: str
    end: tuple[float, float, float]
    centre: XY | None = None
    left: bool = False


class Track:
    """A closed way; distances beyond its length go round again."""

    def __init__(self, shape: Contour) -> None:
        self.strokes = tuple(s for s in shape if stroke_length(s) > SHORT)
        self.lengths = tuple(stroke_length(s) for s in self.strokes)
        self.length = sum(self.lengths)

    def point(self, at: float) -> XY:
        """The point at a distance from the start."""
        number, rest = self._find(at % self.length)
        return stroke_point(self.strokes[number], rest / self.lengths[number])

    def piece(self, start: float, end: float) -> list[Stroke]:
        """The strokes from one distance to a greater one, rounds included."""
        found: list[Stroke] = []
        at = start
        while at < end - SHORT:
            turn = at // self.length * self.length
            number, rest = self._find(at - turn)
            upto = min(end - at + rest, self.lengths[number])
            if upto - rest > SHORT:
                found.append(stroke_piece(self.strokes[number], rest / self.lengths[number], upto / self.lengths[number]))
            at += max(upto - rest, SHORT)
        return found

    def _find(self, at: float) -> tuple[int, float]:
        for number, length in enumerate(self.lengths):
            if at < length - SHORT / 2 or number == len(self.lengths) - 1:
                return number, min(max(at, 0.0), length)
            at -= length
        raise ValueError("a way without strokes")

    def nearest(self, point: XY) -> float:
        """The distance along the way of the end of a stroke next to a point."""
        best, at, total = hypot(self.strokes[0].start[0] - point[0], self.strokes[0].start[1] - point[1]), 0.0, 0.0
        for stroke, length in zip(self.strokes, self.lengths, strict=True):
            middle = stroke_point(stroke, 0.5)
            for place, where in ((middle, total + length / 2), (stroke.end, total + length)):
                far = hypot(place[0] - point[0], place[1] - point[1])
                if far < best - 1e-6:
                    best, at = far, where
            total += length
        return at % self.length


def stroke_length(stroke: Stroke) -> float:
    """Length of a stroke (mm)."""
    if isinstance(stroke, Straight):
        return hypot(stroke.end[0] - stroke.start[0], stroke.end[1] - stroke.start[1])
    return abs(stroke.turn) * stroke.radius


def stroke_point(stroke: Stroke, share: float) -> XY:
    """The point at a share of a stroke."""
    if share <= 0:
        return stroke.start
    if share >= 1:
        return stroke.end
    if isinstance(stroke, Straight):
        (ax, ay), (bx, by) = stroke.start, stroke.end
        return (ax + (bx - ax) * share, ay + (by - ay) * share)
    angle = atan2(stroke.start[1] - stroke.centre[1], stroke.start[0] - stroke.centre[0]) + stroke.turn * share
    return (stroke.centre[0] + stroke.radius * cos(angle), stroke.centre[1] + stroke.radius * sin(angle))


def stroke_piece(stroke: Stroke, low: float, high: float) -> Stroke:
    """A stroke between two shares of it."""
    if low <= 0 and high >= 1:
        return stroke
    start, end = stroke_point(stroke, low), stroke_point(stroke, high)
    if isinstance(stroke, Straight):
        return Straight(start, end)
    return Curve(start, end, stroke.centre, stroke.radius, stroke.left)


def reversed_strokes(strokes: Sequence[Stroke]) -> list[Stroke]:
    """The same way backwards."""
    return [
        Straight(s.end, s.start) if isinstance(s, Straight) else Curve(s.end, s.start, s.centre, s.radius, not s.left)
        for s in reversed(strokes)
    ]


class Pen:
    """Gathers the moves of one tool. It starts over the origin at the height of travelling."""

    def __init__(self, safe: float, clear: float) -> None:
        self.safe, self.clear = safe, clear
        self.moves: list[Move] = []
        self.at: tuple[float, float, float] = (0.0, 0.0, safe)
        self.up = True

    def move(self, how: str, end: tuple[float, float, float], centre: XY | None = None, left: bool = False) -> None:
        """Add a move unless it leads nowhere."""
        if centre is None and max(abs(a - b) for a, b in zip(end, self.at, strict=True)) < SHORT:
            return
        self.moves.append(Move(how, end, centre, left))
        self.at = end

    def lift(self) -> None:
        """Straight up to the height of travelling."""
        if not self.up:
            self.move("travel", (self.at[0], self.at[1], self.safe))
            self.up = True

    def dive(self, place: XY, level: float) -> None:
        """Travel over a place, then go down to a level to where the wood is cut already."""
        self.lift()
        self.move("travel", (place[0], place[1], self.safe))
        self.move("air", (place[0], place[1], level + self.clear))
        self.move("down", (place[0], place[1], level))
        self.up = False

    def straight(self, place: XY, how: str = "cut") -> None:
        """Along a straight line at the same level."""
        self.move(how, (place[0], place[1], self.at[2]))

    def sink(self, level: float, how: str = "down") -> None:
        """Straight up or down."""
        self.move(how, (self.at[0], self.at[1], level))

    def follow(self, strokes: Sequence[Stroke], level: float | None = None, how: str = "cut") -> None:
        """Along strokes, from the present level to another one evenly over their length."""
        first = self.at[2]
        last = first if level is None else level
        total = sum(stroke_length(s) for s in strokes)
        done = 0.0
        for stroke in strokes:
            done += stroke_length(stroke)
            z = first + (last - first) * (done / total if total else 1.0)
            if isinstance(stroke, Straight):
                self.move(how, (*stroke.end, z))
            elif stroke.start == stroke.end or abs(stroke.turn) > 3.2:
                middle = stroke_point(stroke, 0.5)
                half = first + (last - first) * ((done - stroke_length(stroke) / 2) / total)
                self.move(how, (*middle, half), stroke.centre, stroke.left)
                self.move(how, (*stroke.end, z), stroke.centre, stroke.left)
            else:
                self.move(how, (*stroke.end, z), stroke.centre, stroke.left)
