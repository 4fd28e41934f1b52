"""Plane geometry of paper: boxes, segments, and whether they meet. All lengths in mm, y downwards."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from math import cos, hypot, radians, sin

from plandoc.drawing.display import XY, Arc, Circle, Extent, Fill, Item, Line, Text, walk
from plandoc.drawing.lettering import text_extent

Segment = tuple[XY, XY]


def overlap(a: Extent, b: Extent, clear: float = 0.0) -> bool:
    """Whether two boxes share area, or are nearer to each other than `clear` in both directions."""
    return a[0] < b[2] + clear and b[0] < a[2] + clear and a[1] < b[3] + clear and b[1] < a[3] + clear


def grown(box: Extent, by: float) -> Extent:
    """The box with every side moved outwards."""
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def united(boxes: Iterable[Extent]) -> Extent:
    """The smallest box round all; raises ValueError for none."""
    rows = list(boxes)
    if not rows:
        raise ValueError("no boxes to unite")
    return (min(b[0] for b in rows), min(b[1] for b in rows), max(b[2] for b in rows), max(b[3] for b in rows))


def segment_meets_box(p: XY, q: XY, box: Extent) -> bool:
    """Whether the segment has a point inside the open box (clipping by parameter)."""
    (px, py), (qx, qy), (x0, y0, x1, y1) = p, q, box
    if (px <= x0 and qx <= x0) or (px >= x1 and qx >= x1) or (py <= y0 and qy <= y0) or (py >= y1 and qy >= y1):
        return False  # beside it: by far the most
    low, high = 0.0, 1.0
    for start, end, lo, hi in ((px, qx, x0, x1), (py, qy, y0, y1)):
        step = end - start
        if step == 0:
            if not lo < start < hi:
                return False
            continue
        t0, t1 = (lo - start) / step, (hi - start) / step
        low, high = max(low, min(t0, t1)), min(high, max(t0, t1))
    return low < high if p != q else low <= high


def segments_cross(a: Segment, b: Segment, slack: float = 1e-6) -> bool:
    """Whether two segments cross in a point that is inside both (touching ends do not count)."""
    (x1, y1), (x2, y2) = a
    (x3, y3), (x4, y4) = b
    turn = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    if turn == 0:
        return False
    t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / turn
    u = ((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) / turn
    ta = slack / (hypot(x2 - x1, y2 - y1) or 1.0)
    tb = slack / (hypot(x4 - x3, y4 - y3) or 1.0)
    return ta < t < 1 - ta and tb < u < 1 - tb


def segments_apart(a: Segment, b: Segment) -> float:
    """The least distance (mm) between two segments; 0 where they cross."""
    if segments_cross(a, b):
        return 0.0
    ends = ((a[0], b), (a[1], b), (b[0], a), (b[1], a))
    return min(_from_segment(point, segment) for point, segment in ends)


def remaining(span: Sequence[float], gaps: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What gaps leave of a span, in order."""
    low, end = span
    found = []
    for lo, hi in sorted(gaps):
        if lo > low:
            found.append((low, min(lo, end)))
        low = max(low, hi)
    if low < end:
        found.append((low, end))
    return [(a, b) for a, b in found if a < b]


def _from_segment(point: XY, segment: Segment) -> float:
    (x0, y0), (x1, y1) = segment
    dx, dy = x1 - x0, y1 - y0
    square = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((point[0] - x0) * dx + (point[1] - y0) * dy) / square)) if square else 0.0
    return hypot(x0 + t * dx - point[0], y0 + t * dy - point[1])


def crossing(a: Segment, b: Segment, slack: float) -> XY | None:
    """The point where two segments cross, more than `slack` mm from every end (less than nothing: so far beyond an end
    still counts); None where they do not."""
    (x1, y1), (x2, y2) = a
    (x3, y3), (x4, y4) = b
    turn = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    la, lb = hypot(x2 - x1, y2 - y1), hypot(x4 - x3, y4 - y3)
    if la < 1e-9 or lb < 1e-9 or abs(turn) < 1e-6 * la * lb:
        return None
    t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / turn
    u = ((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) / turn
    inside = slack < t * la < la - slack and slack < u * lb < lb - slack
    return (x1 + t * (x2 - x1), y1 + t * (y2 - y1)) if inside else None


def line_segments(line: Line) -> tuple[Segment, ...]:
    """The straight pieces of a polyline."""
    points = line.points + line.points[:1] if line.closed else line.points
    return tuple(itertools.pairwise(points))


def arc_points(centre: XY, radius: float, start: float, end: float, steps: int = 24) -> tuple[XY, ...]:
    """Points on an arc, angles in degrees counter-clockwise as seen on paper."""
    turn = [radians(start + (end - start) * i / steps) for i in range(steps + 1)]
    return tuple((centre[0] + radius * cos(t), centre[1] - radius * sin(t)) for t in turn)


def item_segments(item: Line | Circle | Arc | Fill | Text) -> tuple[Segment, ...]:
    """The strokes of a leaf item as segments; curves as chords, fills by their outline, text none."""
    if isinstance(item, Line):
        return line_segments(item)
    if isinstance(item, Circle):
        points = arc_points(item.centre, item.radius, 0.0, 360.0)
    elif isinstance(item, Arc):
        points = arc_points(item.centre, item.radius, item.start, item.end)
    elif isinstance(item, Fill):
        return tuple(s for loop in item.loops for s in zip(loop, loop[1:] + loop[:1], strict=True))
    else:
        return ()
    return tuple(itertools.pairwise(points))


def _points(item: Line | Arc | Fill) -> Sequence[XY]:
    """The points between which its strokes run."""
    if isinstance(item, Line):
        return item.points if len(item.points) > 1 or item.closed else ()
    if isinstance(item, Arc):
        return arc_points(item.centre, item.radius, item.start, item.end)
    return [p for loop in item.loops for p in loop]


def item_extent(item: Item) -> Extent | None:
    """The box that an item covers, without the width of its pen; None for an empty group."""
    boxes: list[Extent] = []
    for leaf in walk((item,)):
        if isinstance(leaf, Text):
            boxes.append(text_extent(leaf))
        elif isinstance(leaf, Circle):
            (x, y), r = leaf.centre, leaf.radius
            boxes.append((x - r, y - r, x + r, y + r))
        else:
            points = _points(leaf)
            if points:
                xs, ys = [p[0] for p in points], [p[1] for p in points]
                boxes.append((min(xs), min(ys), max(xs), max(ys)))
    return united(boxes) if boxes else None
