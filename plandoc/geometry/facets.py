"""Outlines as polygons: arcs become chords whose area equals the area under the true arc."""

from __future__ import annotations

import itertools
import math

from plandoc.geometry.bodies import Disc, Loop, Outline, Rect

XY = tuple[float, float]

SAGITTA = 0.04  # mm; below what a 0.35 mm pen shows at full size
FEWEST = 32  # two walls of a cylinder then meet so flatly that their seam is told from an edge


def segments_of_circle(radius: float) -> int:
    """How many chords a full circle gets: the least multiple of four whose chords stay within SAGITTA of the arc
    (sagitta of a chord over the angle 2 pi / n, to the second order: r pi^2 / (2 n^2))."""
    needed = math.ceil(math.pi * math.sqrt(radius / (2 * SAGITTA)))
    return max(FEWEST, -(-needed // 4) * 4)


def arc_points(centre: XY, radius: float, start: float, sweep: float) -> list[XY]:
    """Points strictly between the two ends of an arc (radians, sweep signed), in order.

    The quadrant points of the circle lie exactly at the radius, so silhouettes and tangent faces are true. The
    points between them stand slightly outside the circle, so far that the polygon has the area of the sector:
    with m chords of angle d between two true points, r2 solves (m - 2) r2^2 + 2 r r2 = m r^2 d / sin d.
    """
    quarter = math.pi / 2
    turn = 1.0 if sweep > 0 else -1.0
    stop = start + sweep
    cuts = [start]
    step = math.floor(start * turn / quarter + 1e-9) + 1
    while step * quarter < stop * turn - 1e-9:
        cuts.append(turn * step * quarter)
        step += 1
    cuts.append(stop)
    points: list[XY] = []
    for index, (a, b) in enumerate(itertools.pairwise(cuts)):
        if index:
            points.append(_quadrant_point(centre, radius, a))
        count = max(2, math.ceil(abs(b - a) / (2 * math.pi) * segments_of_circle(radius) - 1e-9))
        delta = abs(b - a) / count
        target = count * radius * radius * delta / math.sin(delta)
        if count == 2:
            outer = target / (2 * radius)
        else:
            outer = (math.sqrt(radius * radius + (count - 2) * target) - radius) / (count - 2)
        for i in range(1, count):
            angle = a + (b - a) * i / count
            points.append((centre[0] + outer * math.cos(angle), centre[1] + outer * math.sin(angle)))
    return points


def _quadrant_point(centre: XY, radius: float, angle: float) -> XY:
    which = round(angle / (math.pi / 2)) % 4
    dx, dy = ((1, 0), (0, 1), (-1, 0), (0, -1))[which]
    return centre[0] + dx * radius, centre[1] + dy * radius


def polygon(outline: Outline) -> tuple[list[XY], list[bool]]:
    """Counter-clockwise points (mm) of an outline and, for each side from point i to i+1, whether it is a chord
    of an arc."""
    if isinstance(outline, Rect):
        (x0, y0), (x1, y1) = outline.lo, outline.hi
        a, b, c, d = float(x0), float(y0), float(x1), float(y1)
        return [(a, b), (c, b), (c, d), (a, d)], [False] * 4
    if isinstance(outline, Disc):
        (cx, cy), r = outline.centre, outline.radius
        centre, radius = (float(cx), float(cy)), float(r)
        # exact sums, so that a circle that touches a face ends on the very coordinate of the face
        true = [
            (float(cx + r), float(cy)),
            (float(cx), float(cy + r)),
            (float(cx - r), float(cy)),
            (float(cx), float(cy - r)),
        ]
        points: list[XY] = []
        for which, corner in enumerate(true):
            points.append(corner)
            points += arc_points(centre, radius, which * math.pi / 2, math.pi / 2)
        return points, [True] * len(points)
    return _loop_polygon(outline)


def _loop_polygon(loop: Loop) -> tuple[list[XY], list[bool]]:
    corners = [(float(x), float(y)) for x, y in loop.points]
    points: list[XY] = []
    curved: list[bool] = []
    for index, start in enumerate(corners):
        end = corners[(index + 1) % len(corners)]
        bow = float(loop.bows[index]) if index < len(loop.bows) else 0.0
        points.append(start)
        if bow == 0.0:
            curved.append(False)
            continue
        between = bow_points(start, end, bow)
        points += between
        curved += [True] * (len(between) + 1)
    area = sum(
        points[i][0] * points[(i + 1) % len(points)][1] - points[(i + 1) % len(points)][0] * points[i][1]
        for i in range(len(points))
    )
    if area < 0:
        points.reverse()
        curved = list(reversed(curved[:-1])) + curved[-1:]
    return points, curved


def bow_points(start: XY, end: XY, bow: float) -> list[XY]:
    """Points between start and end on the arc whose bow (tangent of a quarter of its angle, positive: turning
    left) is given."""
    sweep = 4 * math.atan(bow)
    dx, dy = end[0] - start[0], end[1] - start[1]
    # the centre lies on the chord's normal, at (1 - b^2) / 4b chord lengths from its middle
    offset = (1 - bow * bow) / (4 * bow)
    centre = ((start[0] + end[0]) / 2 - dy * offset, (start[1] + end[1]) / 2 + dx * offset)
    radius = math.hypot(start[0] - centre[0], start[1] - centre[1])
    begin = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return arc_points(centre, radius, begin, sweep)
