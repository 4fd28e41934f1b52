"""Running dimensions: every place measured from one reference face, figures at the ends of their extension lines.

One band of figures takes the room that baseline dimensions would need one row each for. Practice: ISO 129-1, running
dimensioning from a marked origin; ASME Y14.5, rectangular coordinate dimensioning without dimension lines.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from plandoc.drawing.boxes import item_extent, united
from plandoc.drawing.dimension import decimal_text
from plandoc.drawing.dimension_request import DimensionRequest, Placed
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line
from plandoc.drawing.lettering import number_extent, number_items
from plandoc.drawing.style import Style
from plandoc.drawing.takeoff import NO_INK, Ink
from plandoc.quantity import ShopNumber

STRAIGHT = 3.0  # mm of extension line outside the view before it may bend aside
BEND = 5.0  # mm in which it bends
CLEAR = 1.1  # mm between two figures
TAIL = 1.0  # mm from the end of a line to its figure
ORIGIN = 1.0  # radius (mm) of the circle that marks the origin
ROLE = "dimtxt"


def spread(wanted: Sequence[float], needed: Sequence[float], fixed: int = -1) -> tuple[float, ...]:
    """Places in the given order, as near to the wanted ones as they can stand when place i and i + 1 need `needed[i]`
    between them: least squares, by pooling neighbours that press on each other. fixed: the one that stays."""
    offsets = [0.0]
    for step in needed:
        offsets.append(offsets[-1] + step)
    pools: list[tuple[float, float, int]] = []
    for index, (value, offset) in enumerate(zip(wanted, offsets, strict=True)):
        mean, weight, count = value - offset, (1e9 if index == fixed else 1.0), 1
        while pools and pools[-1][0] > mean:
            other, load, number = pools.pop()
            mean, weight, count = (mean * weight + other * load) / (weight + load), weight + load, count + number
        pools.append((mean, weight, count))
    means = [mean for mean, _, count in pools for _ in range(count)]
    return tuple(mean + offset for mean, offset in zip(means, offsets, strict=True))


def place_running(view: Extent, requests: Sequence[DimensionRequest], origin: XY, side: str, style: Style, bound: Extent | None = None, ink: Ink = NO_INK) -> Placed:
    """Requests that share the origin, on one side of the view.

    view: the outline's box; bound: what else stands beside it and must be passed (the view where None). origin: a
    point of the outline on the reference face. ink: the view's strokes, off which the lines keep their gap. side: above, below, left or right. Every figure is a Group "running"
    with the attributes of a dimension (kind "run").
    """
    if not requests:
        return Placed((), view)
    vertical = side in ("above", "below")  # figures over or under the view measure along x
    along = 0 if vertical else 1
    out = 1.0 if side in ("below", "right") else -1.0
    box = bound or view
    edge = {"above": box[1], "below": box[3], "left": box[0], "right": box[2]}[side]
    size = style.height(ROLE)
    rows: list[tuple[float, float, ShopNumber, DimensionRequest | None]] = []
    for request in requests:
        point = request.end if abs(request.start[along] - origin[along]) < abs(request.end[along] - origin[along]) else request.start
        rows.append((point[along], point[1 - along], request.number, request))
    zero = ShopNumber(False, 0, 0, 1, "", True, requests[0].value * 0)
    rows.append((origin[along], origin[1 - along], zero, None))
    rows.sort(key=lambda row: row[0])
    halves = [_breadth(row[2], size, vertical) / 2 for row in rows]
    needed = [a + b + CLEAR for a, b in itertools.pairwise(halves)]
    places = spread([row[0] for row in rows], needed, next(i for i, row in enumerate(rows) if row[3] is None))
    first, last = edge + out * STRAIGHT, edge + out * (STRAIGHT + BEND)
    groups: list[Group] = []
    for (at, level, number, asked), place in zip(rows, places, strict=True):
        start = ink.level(along, at, level, out, edge, style.extension_gap) + out * style.extension_gap
        path = [(at, start), (at, first), (place, last)] if abs(place - at) > 0.02 else [(at, start), (at, last)]
        if (first - start) * out <= 0:
            path = [(at, start), (place, last)]
        points = tuple(p if vertical else (p[1], p[0]) for p in path)
        items: list[Item] = [Line("ext", points)]
        if asked is None:
            spot = (at, edge + out * ORIGIN) if vertical else (edge + out * ORIGIN, at)
            items.append(Circle("dim", spot, ORIGIN))
        items += _figure(number, place, last + out * TAIL, vertical, out, size)
        attrs = (("axis", ""), ("from", ""), ("to", ""), ("mm", "0"), ("kind", "origin"))
        if asked is not None:
            attrs = (("axis", asked.world_axis or asked.axis), ("from", asked.ids[0]), ("to", asked.ids[1]), ("mm", decimal_text(asked.value)), ("kind", "run"))
        groups.append(Group("running", tuple(items), "", attrs))
    extent = united([view, *(e for g in groups if (e := item_extent(g)) is not None)])
    return Placed(tuple(groups), extent)


def _breadth(number: ShopNumber, size: float, vertical: bool) -> float:
    """Room along the view that a figure takes (mm): its height, since it stands across the lines' direction."""
    box = number_extent(number, (0.0, 0.0), size, "start", -90 if vertical else 0)
    return box[2] - box[0] if vertical else box[3] - box[1]


def _figure(number: ShopNumber, place: float, end: float, vertical: bool, out: float, size: float) -> tuple[Item, ...]:
    """The figure behind the end of its line, read from the right over and under a view, from below beside it."""
    if vertical:
        # Turned text runs upwards: over the view it begins at the line, under it it ends there.
        return number_items(number, (place + size / 2, end), size, ROLE, "end" if out > 0 else "start", -90)
    return number_items(number, (end, place + size / 2), size, ROLE, "start" if out > 0 else "end", 0)
