"""Which measures of the whole an elevation gives: faces of parts that show as edges, in chains without repetition.

Parts are sorted by their thinnest direction into uprights (sides, dividers, legs), levels (shelves, tops, bottoms)
and facings (fronts, rails, backs): common practice for describing a case.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.geometry.bodies import ACROSS, BACK, UP, Face
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection
from plandoc.model.entities import Model, Part
from plandoc.quantity import Units, shop_number
from plandoc.sheets.views import Placement

AXIS_WORDS = ("x", "y", "z")
MATCH = 0.02  # mm between an exact coordinate and a stroke


@dataclass(frozen=True, slots=True)
class Edge:
    """A coordinate that shows as a straight edge in a view. name: the face it is (`shelf.bottom`); low, high: the
    reach of the edge along the other picture axis (mm of the model)."""

    value: Fraction
    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Gap:
    """From one edge to another along a world axis."""

    start: Edge
    end: Edge
    kind: str = "size"
    count: int = 1


def thin_axis(part: Part) -> int:
    """The thinnest direction of the finished part, -1 of one that leans."""
    return -1 if part.lean is not None else min((ACROSS, UP, BACK), key=part.box.size)


def levels(model: Model) -> tuple[Part, ...]:
    """Parts that lie flat."""
    return tuple(p for p in model.placed if thin_axis(p) == UP)


def uprights(model: Model) -> tuple[Part, ...]:
    """Parts that stand edge to the front."""
    return tuple(p for p in model.placed if thin_axis(p) == ACROSS)


def facings(model: Model) -> tuple[Part, ...]:
    """Parts that show their broad face to the front."""
    return tuple(p for p in model.placed if thin_axis(p) == BACK)


def picture_axis(view: Projection, axis: int) -> tuple[int, float]:
    """Which picture axis (0 x, 1 y) a world axis runs along, and its sign; -1 where it is seen end on."""
    for number, vector in ((0, view.right), (1, view.up)):
        if abs(vector[axis]) > 0.5:
            return number, 1.0 if vector[axis] > 0 else -1.0
    return -1, 1.0


def edge_at(strokes: Iterable[Stroke], view: Projection, axis: int, value: Fraction, name: str) -> Edge | None:
    """The visible edge at a world coordinate, None where no straight edge shows there."""
    number, sign = picture_axis(view, axis)
    at = float(value) * sign
    reach: list[float] = []
    for stroke in strokes:
        if stroke.hidden:
            continue
        for p, q in zip(stroke.points, stroke.points[1:], strict=False):
            if abs(p[number] - at) < MATCH and abs(q[number] - at) < MATCH:
                reach += [p[1 - number], q[1 - number]]
    return Edge(value, name, min(reach), max(reach)) if reach else None


def face_edge(strokes: Sequence[Stroke], view: Projection, part: Part, face: Face) -> Edge | None:
    """The visible edge of a face of a part."""
    return edge_at(strokes, view, face.axis, part.box.at(face), f"{part.path}.{face.name}")


def chain(edges: Iterable[Edge], least: float, close: bool, omit: float = 0.0) -> tuple[Gap, ...]:
    """Gaps from each edge to the next, from the lowest. least: mm of the model; an edge nearer to the one before is
    left out. Equal neighbours (three and more) become one gap with a count. close: the last gap only repeats what the
    overall size and the others say, so it is a reference figure; or, where one gap is under `omit` (mm of the model),
    that one is not printed."""
    rows: list[Edge] = []
    ordered = sorted({e.value: e for e in edges}.values(), key=lambda e: e.value)
    for edge in ordered:
        if rows and float(edge.value - rows[-1].value) < least:
            if edge is ordered[-1] and len(rows) > 1:
                rows[-1] = edge
            continue
        rows.append(edge)
    gaps = [Gap(a, b) for a, b in pairwise(rows)]
    small = [g for g in gaps if float(g.end.value - g.start.value) < omit]
    if close and len(small) == 1 and len(gaps) > 1:
        gaps.remove(small[0])
        close = False
    found: list[Gap] = []
    i = 0
    while i < len(gaps):
        size = gaps[i].end.value - gaps[i].start.value
        same = 1
        while i + same < len(gaps) and gaps[i + same].end.value - gaps[i + same].start.value == size:
            same += 1
        if same >= 3:
            found.append(Gap(gaps[i].start, gaps[i].end, "size", same))
        else:
            found += gaps[i : i + same]
        i += same
    if close and len(found) > 1 and found[-1].count == 1:
        found[-1] = Gap(found[-1].start, found[-1].end, "ref")
    elif close and len(found) == 1 and found[0].count == 1:
        found = []  # the overall size says it
    return tuple(found)


def requests(
    gaps: Iterable[Gap], axis: int, place: Placement, units: Units, prefer: str, kind: str = ""
) -> tuple[DimensionRequest, ...]:
    """The gaps as dimensions of a placed view; extension lines take off at the end of the edge on that side."""
    number, sign = picture_axis(place.view, axis)
    found = []
    for gap in gaps:
        ends = []
        for edge in (gap.start, gap.end):
            along = float(edge.value) * sign
            beside = edge.low if prefer in ("left", "below") else edge.high
            ends.append(place.paper((along, beside) if number == 0 else (beside, along)))
        value = gap.end.value - gap.start.value
        asked = DimensionRequest(
            "x" if number == 0 else "y", ends[0], ends[1], value, shop_number(value, units), kind or gap.kind,
            prefer, (gap.start.name, gap.end.name), AXIS_WORDS[axis], gap.count,
        )  # fmt: skip
        found.append(asked)
    return tuple(found)
