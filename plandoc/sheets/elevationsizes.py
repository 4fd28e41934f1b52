"""Which measures of the whole an elevation gives: heights and widths in the front view, depths in the side view.

Each figure stands once. Rails and other parts that hang between uprights get the height of their lower edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.geometry.bodies import ACROSS, BACK, UP, Box, Face
from plandoc.geometry.strokes import Stroke
from plandoc.model.entities import Model, Part
from plandoc.sheets.levels import (
    MATCH,
    Edge,
    Gap,
    chain,
    edge_at,
    face_edge,
    facings,
    levels,
    picture_axis,
    requests,
    thin_axis,
    uprights,
)
from plandoc.sheets.views import Placement

SMALL_MEMBER = 4.0  # mm on paper; the one member of a chain under this is the one that is left out
LEAST_MEMBER = 1.2  # mm on paper between the edges of a chain
MOST_OFF = 0.3  # mm on paper from the outermost coordinate to the strokes that touch it
STACKED = 12  # mm of the model; what stands no further above another part is placed by the gap between them


def elevation_sizes(model: Model, name: str, strokes: Sequence[Stroke], place: Placement, alone: bool) -> list[DimensionRequest]:
    """The dimensions of the `front`, `right` or `top` view. strokes: of the view, mm of the model. alone: the plan stands on
    a sheet of its own, so it gives widths and depths too."""
    box = model.box
    if box is None:
        return []
    view = _View(model, strokes, place, box)
    return {"front": view.front, "right": view.right, "top": view.top if alone else list}[name]()


class _View:
    """One view: what its edges measure."""

    def __init__(self, model: Model, strokes: Sequence[Stroke], place: Placement, box: Box) -> None:
        self.model, self.strokes, self.place, self.box = model, strokes, place, box
        self.units = model.info.units
        self.least, self.omit = LEAST_MEMBER / place.ratio, SMALL_MEMBER / place.ratio

    def front(self) -> list[DimensionRequest]:
        rows = chain(self._heights(), self.least, True, self.omit)
        found = list(requests(rows, UP, self.place, self.units, "left"))
        found += self._overall(UP, "left")
        found += self._openings()
        found += self._front_sizes(rows)
        found += self._overall(ACROSS, "below")
        return found

    def right(self) -> list[DimensionRequest]:
        depths = [*self._ends(BACK), *self._depth_edges()]
        found = list(requests(chain(depths, self.least, True, self.omit), BACK, self.place, self.units, "below"))
        found += self._overall(BACK, "below")
        told = [_low(p) for p in (*levels(self.model), *_hung(self.model, facings(self.model)))]
        rails = [p for p in _hung(self.model, uprights(self.model)) if p.box.size(BACK) > p.box.size(UP) and _low(p) not in told]
        heights = [*self._ends(UP)[:1], *self._edges(UP, [(p, -1) for p in rails])]
        if len(heights) > 1:
            found += requests(chain(heights, self.least, False), UP, self.place, self.units, "right")
        return found

    def top(self) -> list[DimensionRequest]:
        found: list[DimensionRequest] = []
        for axis, side in ((ACROSS, "below"), (BACK, "right")):
            shown = [*self._ends(axis), *self._edges(axis, [(p, s) for p in levels(self.model) for s in (-1, 1)])]
            gaps = [g for g in chain(shown, self.least, False) if float(g.end.value - g.start.value) >= self.omit]
            if len(gaps) > 1 or (gaps and gaps[0].end.value - gaps[0].start.value < self.box.size(axis)):
                found += requests(gaps, axis, self.place, self.units, side)
        return found

    def _heights(self) -> list[Edge]:
        flat = [(p, -1) for p in levels(self.model)]
        return [*self._ends(UP), *self._edges(UP, [*flat, *((p, -1) for p in _hung(self.model, facings(self.model)))])]

    def _edges(self, axis: int, sides: Sequence[tuple[Part, int]]) -> list[Edge]:
        """The edges of faces (part, side) that show."""
        rows = (face_edge(self.strokes, self.place.view, part, Face(axis, side)) for part, side in sides)
        return [e for e in rows if e is not None]

    def _ends(self, axis: int) -> list[Edge]:
        """The outermost coordinates of the whole."""
        limits = ((self.box.lo[axis], -1), (self.box.hi[axis], 1))
        rows = [edge_at(self.strokes, self.place.view, axis, v, f"whole.{Face(axis, s).name}") for v, s in limits]
        return [e for e in rows if e is not None]

    def _overall(self, axis: int, prefer: str) -> tuple[DimensionRequest, ...]:
        straight = {edge.value: edge for edge in self._ends(axis)}
        limits = ((self.box.lo[axis], -1), (self.box.hi[axis], 1))
        ends = [straight.get(v) or self._tip(axis, v, s) for v, s in limits]
        return requests(_pairs(ends), axis, self.place, self.units, prefer, "overall")

    def _tip(self, axis: int, value: Fraction, side: int) -> Edge:
        """The outermost coordinate where no straight edge lies in it: as far as strokes touch it, as rounded outlines and
        corners of what leans do."""
        number, sign = picture_axis(self.place.view, axis)
        points = [(abs(p[number] - float(value) * sign), p[1 - number]) for stroke in self.strokes if not stroke.hidden for p in stroke.points]
        nearest = min((off for off, _ in points), default=0.0)  # a curve has points on both sides of where it touches
        there = [along for off, along in points if off < nearest + MATCH] if nearest < MOST_OFF / self.place.ratio else []
        other = next(a for a in range(3) if a != axis and picture_axis(self.place.view, a)[0] >= 0)
        reach = (min(there), max(there)) if there else (float(self.box.lo[other]), float(self.box.hi[other]))
        return Edge(value, f"whole.{Face(axis, side).name}", *reach)

    def _openings(self) -> list[DimensionRequest]:
        """Clear widths between uprights whose edges show, and how far the outermost ones stand in."""
        rows = []
        for part in uprights(self.model):
            both = self._edges(ACROSS, [(part, -1), (part, 1)])
            if len(both) == 2:
                rows.append((both[0], both[1]))
        rows.sort(key=lambda r: r[0].value)
        gaps: list[tuple[Edge, Edge]] = []
        for (_, right), (left, _) in pairwise(rows):
            if float(left.value - right.value) >= max(self.least, 1.0):
                gaps.append((right, left))
        ends = self._ends(ACROSS)
        if rows and len(ends) == 2 and float(rows[0][0].value - ends[0].value) >= self.least:
            gaps.insert(0, (ends[0], rows[0][0]))
        found: list[DimensionRequest] = []
        seen: list[Fraction] = []
        for a, b in gaps:
            size = b.value - a.value
            if size not in seen:
                seen.append(size)
                found += requests(_pairs([a, b]), ACROSS, self.place, self.units, "below")
        return found

    def _front_sizes(self, known: Sequence[Gap]) -> list[DimensionRequest]:
        """Heights and widths of the fronts and rails that show, each different size once with its count. known: what
        the chain of levels says already."""
        found: list[DimensionRequest] = []
        for axis, prefer, said in ((UP, "right", known), (ACROSS, "below", ())):
            given = [(g.start.value, g.end.value) for g in said]
            sizes: dict[Fraction, list[tuple[Edge, Edge]]] = {}
            for part in facings(self.model):
                size = part.box.size(axis)
                both = self._edges(axis, [(part, -1), (part, 1)])
                if len(both) < 2 or size >= self.box.size(axis) or part.box.span(axis) in given:
                    continue
                if axis == ACROSS and part.box.lo[BACK] != self.box.lo[BACK]:
                    continue
                rows = sizes.setdefault(size, [])
                if all(row[0].value != both[0].value for row in rows):
                    rows.append((both[0], both[1]))
            for rows in sizes.values():
                gap = Gap(rows[0][0], rows[0][1], "size", len(rows))
                found += requests((gap,), axis, self.place, self.units, prefer)
        return found

    def _depth_edges(self) -> list[Edge]:
        """Faces to the front and rear that show from the side, and notches through the sides."""
        found = self._edges(BACK, [(p, side) for p in self.model.placed for side in (-1, 1) if thin_axis(p) != UP])
        for part in uprights(self.model):
            for feature in part.features:
                if feature.kind in ("notch", "rabbet", "taper") and feature.through:
                    rows = (edge_at(self.strokes, self.place.view, BACK, f.hi, feature.id) for f in feature.figures if f.axis == BACK)
                    found += [e for e in rows if e is not None]
        return found


def _hung(model: Model, parts: Sequence[Part]) -> list[Part]:
    """Those that stand neither on the floor nor close above another part: only a height can place them."""
    box = model.box
    if box is None:
        return []

    def carried(part: Part) -> bool:
        low = part.box.lo[UP]
        if low - box.lo[UP] < STACKED:
            return True
        below = (p.stands for p in model.placed if p.path != part.path and p.stands.lo[UP] < low)
        return any(abs(low - b.hi[UP]) < STACKED and _over(part.box, b) for b in below)

    return [p for p in parts if not carried(p)]


def _over(above: Box, below: Box) -> bool:
    """Whether both share ground."""
    return all(above.lo[a] < below.hi[a] and below.lo[a] < above.hi[a] for a in (ACROSS, BACK))


def _low(part: Part) -> Fraction:
    return part.box.lo[UP]


def _pairs(edges: Sequence[Edge]) -> tuple[Gap, ...]:
    return tuple(Gap(a, b) for a, b in pairwise(edges))
