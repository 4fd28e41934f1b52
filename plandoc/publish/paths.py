"""Strokes of one role gathered into one SVG path."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import cos, radians, sin

from plandoc.drawing.dashes import dashed_arc, dashed_segment
from plandoc.drawing.display import XY, Arc, Circle, Line
from plandoc.drawing.style import Pen
from plandoc.publish.numbers import coordinate

Polyline = tuple[list[str], bool]


def stroke_path(items: Iterable[Line | Circle | Arc], pen: Pen) -> str:
    """Path data of all strokes, in order; dashed pens give real dashes. Empty where there is nothing to draw."""
    lines: list[Polyline] = []
    curves: list[str] = []
    for item in items:
        if isinstance(item, Line):
            lines.extend(_line(item, pen))
        elif pen.dash:
            curves.extend(_arc(arc) for arc in dashed_arc(item, pen.dash))
        else:
            curves.append(_circle(item) if isinstance(item, Circle) else _arc(item))
    if not pen.dash:
        lines = chained(lines)
    return "".join([*(_polyline(*line) for line in lines), *curves])


def fill_path(loops: Iterable[tuple[XY, ...]]) -> str:
    """Path data of closed loops in the given direction."""
    return "".join(_polyline([_point(p) for p in loop], True) for loop in loops if len(loop) > 2)


def counterclockwise(loop: tuple[XY, ...]) -> tuple[XY, ...]:
    """The loop, turned round where needed, so that overlapping loops of one path add up."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, (*loop[1:], loop[0]), strict=True))
    return loop if area >= 0 else tuple(reversed(loop))


def chained(lines: list[Polyline]) -> list[Polyline]:
    """Open strokes joined end to end where they meet, so that corners are mitred and not notched."""
    ends: dict[str, list[int]] = {}
    for i, (points, closed) in enumerate(lines):
        if not closed:
            ends.setdefault(points[0], []).append(i)
            ends.setdefault(points[-1], []).append(i)
    used = [False] * len(lines)
    result: list[Polyline] = []
    for i, (points, closed) in enumerate(lines):
        if used[i]:
            continue
        used[i] = True
        chain = list(points)
        if not closed:
            _extend(chain, lines, ends, used)
            if chain[0] != chain[-1]:
                chain.reverse()
                _extend(chain, lines, ends, used)
                chain.reverse()
            if chain[0] == chain[-1] and len(chain) > 3:
                chain.pop()
                closed = True
        result.append((chain, closed))
    return result


def _extend(chain: list[str], lines: list[Polyline], ends: dict[str, list[int]], used: list[bool]) -> None:
    while chain[0] != chain[-1]:
        follower = next((i for i in ends[chain[-1]] if not used[i]), None)
        if follower is None:
            return
        used[follower] = True
        points = lines[follower][0]
        chain.extend(points[1:] if points[0] == chain[-1] else points[-2::-1])


def _line(item: Line, pen: Pen) -> list[Polyline]:
    points = (*item.points, item.points[0]) if item.closed and item.points else item.points
    if pen.dash:
        pairs = pairwise(points)
        return [([_point(s), _point(e)], False) for a, b in pairs for s, e in dashed_segment(a, b, pen.dash)]
    texts = [_point(p) for p in item.points]
    texts = [p for i, p in enumerate(texts) if not i or p != texts[i - 1]]
    return [(texts, item.closed and len(texts) > 2)] if len(texts) > 1 else []


def _polyline(points: list[str], closed: bool) -> str:
    return f"M{points[0]}L{' '.join(points[1:])}{'Z' if closed else ''}"


def _point(point: XY) -> str:
    return f"{coordinate(point[0])},{coordinate(point[1])}"


def _circle(circle: Circle) -> str:
    (x, y), r = circle.centre, circle.radius
    return _arc_text((x + r, y), (x - r, y), r, 0) + _arc_text(None, (x + r, y), r, 0) + "Z"


def _arc(arc: Arc) -> str:
    if arc.end - arc.start >= 360:
        return _circle(Circle(arc.role, arc.centre, arc.radius))
    start, end = _on(arc, arc.start), _on(arc, arc.end)
    return _arc_text(start, end, arc.radius, int((arc.end - arc.start) % 360 > 180))


def _on(arc: Arc, angle: float) -> XY:
    x, y = arc.centre
    return (x + arc.radius * cos(radians(angle)), y - arc.radius * sin(radians(angle)))


def _arc_text(start: XY | None, end: XY, radius: float, large: int) -> str:
    r = coordinate(radius)
    move = f"M{_point(start)}" if start else ""
    return f"{move}A{r},{r} 0 {large},0 {_point(end)}"
