"""Strokes of a picture: straight pieces, and the chords of an arc joined into one curve."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.geometry.precedence import Fragment

XY = tuple[float, float]

EDGE, SILHOUETTE, CURVE = "edge", "silhouette", "curve"
KINDS = (EDGE, SILHOUETTE, CURVE)
NEAR = 1e-3  # mm between ends that meet
BEND = math.cos(math.radians(35))  # chords of one curve turn by less, seen at an angle too


@dataclass(frozen=True, slots=True)
class Stroke:
    """points: two or more, mm of the model, y upwards; a closed curve repeats its first point at the end.
    kind: edge, silhouette (rim of a round wall), curve. body: name of the body whose line it is."""

    body: str
    points: tuple[XY, ...]
    hidden: bool
    kind: str

    @property
    def closed(self) -> bool:
        """Whether the curve returns to its start."""
        return len(self.points) > 3 and self.points[0] == self.points[-1]


def joined(fragments: Sequence[Fragment], names: Sequence[str]) -> tuple[Stroke, ...]:
    """Strokes in order of body, visible before hidden, then coordinates."""
    rows: list[tuple[int, bool, tuple[XY, ...], int]] = []
    groups: dict[tuple[int, bool], list[Fragment]] = {}
    for f in fragments:
        if f.kind == 2:
            groups.setdefault((f.body, f.hidden), []).append(f)
        else:
            rows.append((f.body, f.hidden, (_point(f.x0, f.y0), _point(f.x1, f.y1)), f.kind))
    for (body, hidden), chords in groups.items():
        for points in _chains(chords):
            straight = len(points) == 2 and points[0] != points[-1]
            rows.append((body, hidden, points, 0 if straight else 2))
    rows.sort()
    return tuple(Stroke(names[b], points, hidden, KINDS[kind]) for b, hidden, points, kind in rows)


def _point(x: float, y: float) -> XY:
    return round(x, 6) + 0.0, round(y, 6) + 0.0


End = tuple[int, int]


def _chains(chords: list[Fragment]) -> list[tuple[XY, ...]]:
    """Chords whose ends meet without a corner, as polylines."""
    chords = sorted(chords)
    points = [(_point(c.x0, c.y0), _point(c.x1, c.y1)) for c in chords]
    follows: dict[End, End] = {}
    for node in _nodes(points):
        options = []
        for i, first in enumerate(node):
            for second in node[i + 1 :]:
                straight = _straightness(points, first, second)
                if first[0] != second[0] and straight > BEND:
                    options.append((-straight, first, second))
        for _, first, second in sorted(options):
            if first not in follows and second not in follows:
                follows[first], follows[second] = second, first
    done = [False] * len(chords)
    result = []
    # open chains start at an end that nothing follows; what is left are closed ones
    starts = [(i, e) for i in range(len(chords)) for e in (0, 1) if (i, e) not in follows]
    for start in starts + [(i, 0) for i in range(len(chords))]:
        if done[start[0]]:
            continue
        line = [points[start[0]][start[1]]]
        at = start
        while True:
            done[at[0]] = True
            far = (at[0], 1 - at[1])
            line.append(points[far[0]][far[1]])
            following = follows.get(far)
            if following is None:
                break
            if done[following[0]]:
                line[-1] = line[0]
                break
            at = following
        result.append(_forward(line))
    return result


def _forward(line: list[XY]) -> tuple[XY, ...]:
    """The same polyline, whichever end the chords were met from; closed ones counter-clockwise from the least
    point."""
    if line[0] == line[-1]:
        ring = line[:-1]
        area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
        if area < 0:
            ring.reverse()
        first = ring.index(min(ring))
        ring = ring[first:] + ring[:first]
        return (*ring, ring[0])
    return tuple(line if line[0] <= line[-1] else line[::-1])


def _straightness(points: list[tuple[XY, XY]], first: End, second: End) -> float:
    (ax, ay), (bx, by) = _away(points, first), _away(points, second)
    return -(ax * bx + ay * by)


def _away(points: list[tuple[XY, XY]], end: End) -> XY:
    """Unit vector from an end into its chord."""
    here, there = points[end[0]][end[1]], points[end[0]][1 - end[1]]
    dx, dy = there[0] - here[0], there[1] - here[1]
    size = math.hypot(dx, dy) or 1.0
    return dx / size, dy / size


def _nodes(points: list[tuple[XY, XY]]) -> list[list[End]]:
    """Ends that meet, found through a grid of cells of the size NEAR."""
    cells: dict[tuple[int, int], int] = {}
    nodes: list[list[End]] = []
    for i, pair in enumerate(points):
        for e, (x, y) in enumerate(pair):
            cx, cy = math.floor(x / NEAR), math.floor(y / NEAR)
            node = None
            for nx in (cx, cx - 1, cx + 1):
                for ny in (cy, cy - 1, cy + 1):
                    node = cells.get((nx, ny)) if node is None else node
            if node is None:
                node = len(nodes)
                nodes.append([])
                cells[cx, cy] = node
            nodes[node].append((i, e))
    return nodes
