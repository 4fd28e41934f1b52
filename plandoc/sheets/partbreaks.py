"""Conventional breaks of long parts: which plain stretch may be left out, and how a broken view lies on paper.

A broken view leaves out wood in which nothing begins or ends; figures across the break are true lengths (NAVEDTRA 14069, ch. 3; the
thin ruled line with a zigzag is that for long breaks).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.drawing.dimension import decimal_text
from plandoc.drawing.display import XY, Extent, Line
from plandoc.geometry.bodies import Chunk, Loop, Prism, body_box
from plandoc.geometry.strokes import Stroke
from plandoc.model.entities import Feature, Part
from plandoc.sheets.partfaces import FaceView
from plandoc.sheets.partviews import PartPlan
from plandoc.sheets.views import Placement

LEAST_PLAIN = Fraction(1, 3)  # of the length; a shorter stretch saves little
MARGIN = 9.0  # mm on paper of plain wood that stays at both sides of the break
GAP = 4.0  # mm on paper between the break lines
LEAST_SAVED = 25.0  # mm on paper; less is not worth a break
BEYOND = 2.5  # mm that a break line stands out of the outline
ZIGZAG = 1.6  # mm, half the width and half the height of its zigzag
LETTER = Fraction(9, 10)  # of the height, width of a letter of lettering in the part at most


@dataclass(frozen=True, slots=True)
class Stretch:
    """Plain wood from lo to hi along an axis of the world (mm of the model)."""

    axis: int
    lo: Fraction
    hi: Fraction

    def broken(self, ratio: Fraction) -> Stretch | None:
        """What is left out at a scale (paper over model), None where that is too little."""
        keep = Fraction(MARGIN) / ratio
        left = Stretch(self.axis, self.lo + keep, self.hi - keep)
        return left if left.saved(ratio) >= LEAST_SAVED else None

    def saved(self, ratio: Fraction) -> float:
        """How much shorter (mm on paper) a view becomes."""
        return float((self.hi - self.lo) * ratio) - GAP


def plain_stretch(plan: PartPlan) -> Stretch | None:
    """The longest stretch along the part in which nothing begins, ends or stands, None where it is short. Work that runs through from end
    to end with one profile may be broken with the wood; boards of a glue-up are shown whole."""
    part, axis = plan.part, plan.part.length_axis
    if part.glue_up is not None or plan.tables:
        return None
    low, high = part.box.span(axis)
    taken = [(low, low), (high, high), (part.shoulder.lo[axis],) * 2, (part.shoulder.hi[axis],) * 2]
    taken += [edge for m in plan.measures if m.axis == axis and m.kind != "overall" for edge in m.edges for edge in ((edge[0],) * 2, (edge[1],) * 2)]
    for feature in part.features:
        taken += _taken(part, feature, axis)
    best: tuple[Fraction, Fraction] = (low, low)
    reach = low
    for start, end in sorted(taken):
        if start - reach > best[1] - best[0]:
            best = (reach, start)
        reach = max(reach, end)
    return Stretch(axis, *best) if best[1] - best[0] >= LEAST_PLAIN * part.length else None


def _taken(part: Part, feature: Feature, axis: int) -> list[tuple[Fraction, Fraction]]:
    """The stretches along the part that a feature takes."""
    found: list[tuple[Fraction, Fraction]] = []
    for body in (*feature.cuts, *feature.adds):
        box = body_box(body)
        span = (max(box.lo[axis], part.box.lo[axis]), min(box.hi[axis], part.box.hi[axis]))
        whole = span[0] <= part.shoulder.lo[axis] and span[1] >= part.shoulder.hi[axis]
        even = body.normal[axis] == 0 if isinstance(body, Chunk) else not (isinstance(body, Prism) and isinstance(body.outline, Loop) and body.axis != axis)
        found += [(end, end) for end in span] if whole and even else [span]
    if feature.centre is not None and not feature.cuts:
        half = feature.height * LETTER * len(feature.text) / 2 if feature.height is not None and feature.text else Fraction(0)
        found.append((feature.centre[axis] - half, feature.centre[axis] + half))
    return found


@dataclass(frozen=True, slots=True)
class BrokenPlacement(Placement):
    """A view on paper with a stretch left out. along: 0 where the part runs across the paper, 1 where it runs up. start, end: the
    stretch in the picture (mm of the model, the lower one first)."""

    along: int = 0
    start: float = 0.0
    end: float = 0.0

    def paper(self, point: XY) -> XY:
        """A picture point on paper; what lies beyond the stretch moves up to it, and what lies in it is squeezed into the gap."""
        gap = GAP / self.ratio
        at = point[self.along]
        if at >= self.end:
            at -= self.end - self.start - gap
        elif at > self.start:
            at = self.start + (at - self.start) * gap / (self.end - self.start)
        moved = (at, point[1]) if self.along == 0 else (point[0], at)
        return self.at[0] + moved[0] * self.ratio, self.at[1] - moved[1] * self.ratio


def placed(view: FaceView, ratio: Fraction, corner: XY, left_out: Stretch | None) -> Placement:
    """The view with its picture's upper left corner at the origin. corner: that corner in the picture (mm of the model)."""
    scale = float(ratio)
    at = (-corner[0] * scale, corner[1] * scale)
    paper = view.paper_axis(left_out.axis) if left_out is not None else ""
    if left_out is None or not paper:
        return Placement(view.projection, scale, at)
    side = view.right.side if paper == "x" else view.up.side
    start, end = sorted((float(left_out.lo) * side, float(left_out.hi) * side))
    if paper == "x":
        return BrokenPlacement(view.projection, scale, at, 0, start, end)
    return BrokenPlacement(view.projection, scale, (at[0], at[1] - ((end - start) * scale - GAP)), 1, start, end)


def broken_strokes(strokes: Iterable[Stroke], place: Placement) -> list[Stroke]:
    """The strokes without what lies in the stretch that is left out."""
    if not isinstance(place, BrokenPlacement):
        return list(strokes)
    found = []
    for stroke in strokes:
        inside = [place.start < p[place.along] < place.end for p in stroke.points]
        crosses = any(_cuts(a, b, place) for a, b in pairwise(stroke.points))
        if not any(inside) and not crosses:
            found.append(stroke)
            continue
        for points in _outside(stroke.points, place):
            found.append(Stroke(stroke.body, points, stroke.hidden, stroke.kind))
    return found


def _cuts(a: XY, b: XY, place: BrokenPlacement) -> bool:
    low, high = sorted((a[place.along], b[place.along]))
    return low < place.end and high > place.start


def _outside(points: Sequence[XY], place: BrokenPlacement) -> list[tuple[XY, ...]]:
    """The runs of a line before and behind the stretch."""
    runs: list[list[XY]] = []
    for a, b in pairwise(points):
        for low, high in ((float("-inf"), place.start), (place.end, float("inf"))):
            u, v = a[place.along], b[place.along]
            ends = []
            for t in (0.0, 1.0) if u == v else sorted({0.0, 1.0, *(min(1.0, max(0.0, (edge - u) / (v - u))) for edge in (low, high) if abs(edge) != float("inf"))}):
                at = u + (v - u) * t
                if low - 1e-9 <= at <= high + 1e-9:
                    ends.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t))
            if len(ends) < 2:
                continue
            if runs and runs[-1][-1] == ends[0]:
                runs[-1].append(ends[-1])
            else:
                runs.append([ends[0], ends[-1]])
    return [tuple(run) for run in runs if len(run) > 1 and run[0] != run[-1]]


def clear_of_break(place: Placement, spot: XY) -> XY:
    """A place on paper for the end of a leader: where it falls into the gap, beside that."""
    if not isinstance(place, BrokenPlacement):
        return spot
    edges = sorted(place.paper((v, 0.0) if place.along == 0 else (0.0, v))[place.along] for v in (place.start, place.end))
    at = spot[place.along]
    if not edges[0] - ZIGZAG < at < edges[1] + ZIGZAG:
        return spot
    at = edges[1] + 2 * ZIGZAG
    return (at, spot[1]) if place.along == 0 else (spot[0], at)


def break_lines(place: Placement, outline: Extent) -> tuple[Line, ...]:
    """The two thin ruled lines with a zigzag at the sides of the gap; none in a view that is whole."""
    if not isinstance(place, BrokenPlacement):
        return ()
    across = 1 - place.along
    lines = []
    for edge in (place.start, place.end):
        at = place.paper((edge, 0.0) if place.along == 0 else (0.0, edge))[place.along]
        line = zigzag(at, outline[across] - BEYOND, outline[across + 2] + BEYOND)
        lines.append(line if place.along == 0 else Line(line.role, tuple(point[::-1] for point in line.points)))
    return tuple(lines)


def zigzag(at: float, low: float, high: float) -> Line:
    """An upright break line with its zigzag in the middle."""
    middle, half = (low + high) / 2, ZIGZAG / 2
    return Line("brk", ((at, low), (at, middle - ZIGZAG), (at + half, middle - half), (at - half, middle + half), (at, middle + ZIGZAG), (at, high)))


def break_attrs(left_out: Stretch | None, view: FaceView) -> tuple[tuple[str, str], ...]:
    """What a broken view says of itself: axis, and from where to where (mm of the model) nothing is drawn."""
    if left_out is None or not view.paper_axis(left_out.axis):
        return ()
    return (("break", f"{'xyz'[left_out.axis]} {decimal_text(left_out.lo)} {decimal_text(left_out.hi)}"),)
