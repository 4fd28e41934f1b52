"""Which figures a section gives: clear openings, the play beside what slides, set-backs of shelves.

Sizes of single parts stand on their own drawings and heights from the floor in the front view, so neither is repeated.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.build.units import units as units_of
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY
from plandoc.geometry.bodies import ACROSS, AXES, BACK, UP, Face
from plandoc.model.entities import Model, Part
from plandoc.sheets.levels import Edge, Gap, picture_axis, requests, thin_axis
from plandoc.sheets.sectioncut import Section
from plandoc.sheets.views import Placement

ON_RIM = 0.01  # mm of the model
LEAST_MEMBER = 1.2  # mm on paper
MOST_PLAY = 60.0  # mm of the model; wider clear room beside a drawer is not play
MOST_SET_BACKS = 3
SIDES = {0: "below", 1: "right"}


def section_figures(section: Section, place: Placement) -> list[DimensionRequest]:
    """The dimensions of a section at its place."""
    model = section.model
    least = LEAST_MEMBER / place.ratio
    found: list[DimensionRequest] = []
    for axis in range(3):
        number, _ = picture_axis(place.view, axis)
        if number < 0:
            continue
        spans = _spans(model, section, axis)
        gaps = [g for group in dict.fromkeys(k for k, _, _ in spans) for g in _openings(spans, group, least)]
        if axis == ACROSS:
            gaps += _plays(spans, least)
        if axis == BACK:
            gaps += _set_backs(model, section, least)
        found += requests(_once(gaps), axis, place, model.info.units, SIDES[number])
    return found


def _home(model: Model, part: Part) -> str:
    """The assembly that a part counts to; a part that is an assembly by itself counts to the one round it."""
    home = part.assembly
    while home and len(units_of(model, home)) < 2:
        home = next((a.path for a in model.assemblies if home in a.children), "")
    return home


Span = tuple[str, Edge, Edge]


def _spans(model: Model, section: Section, axis: int) -> list[Span]:
    """The cut faces of parts that are thin along a world axis: assembly, low and high edge, from the lowest."""
    number, _ = picture_axis(section.view, axis)
    found: list[Span] = []
    for face in section.faces:
        part = face.part
        points = [p for loop in face.loops for p in loop]
        if thin_axis(part) != axis or not points:
            continue
        reach = _reach(section, part, number, [p[1 - number] for p in points])
        low, high = (
            Edge(part.box.at(Face(axis, s)), f"{part.path}.{Face(axis, s).name}", *_rim(section, axis, part.box.at(Face(axis, s)), points, reach))
            for s in (-1, 1)
        )
        found.append((_home(model, part), low, high))
    return sorted(found, key=lambda row: (row[1].value, row[2].value))


def _reach(section: Section, part: Part, number: int, shown: Sequence[float]) -> tuple[float, float]:
    """How far a cut face runs along the other picture axis, without the wood that goes into other parts."""
    for axis in AXES:
        along, sign = picture_axis(section.view, axis)
        if along == 1 - number:
            low, high = sorted(float(v) * sign for v in part.shoulder.span(axis))
            return max(low, min(shown)), min(high, max(shown))
    return min(shown), max(shown)


def _rim(section: Section, axis: int, at: Fraction, points: Sequence[XY], reach: tuple[float, float]) -> tuple[float, float]:
    """How far a cut face runs along the other picture axis at one of its ends along a world axis: what is round touches it
    in a point. reach: of the whole face, which bounds it."""
    number, sign = picture_axis(section.view, axis)
    there = [p[1 - number] for p in points if abs(p[number] - float(at) * sign) < ON_RIM]
    low, high = max(reach[0], min(there, default=reach[0])), min(reach[1], max(there, default=reach[1]))
    return (low, high) if low <= high else reach


def _nearest(edges: Sequence[Edge], low: Edge, least: float) -> Edge | None:
    """The highest edge under `low` that lies beside it."""
    below = [e for e in edges if e.value <= low.value and min(e.high, low.high) - max(e.low, low.low) > least]
    return max(below, key=lambda e: e.value, default=None)


def _openings(spans: Sequence[Span], group: str, least: float) -> tuple[Gap, ...]:
    """Clear distances between neighbours of one assembly, runs of three and more equal ones with a count."""
    edges: list[Edge] = []
    gaps: list[Gap] = []
    for home, low, high in spans:
        if home != group:
            continue
        nearest = _nearest(edges, low, least)
        if nearest is not None and float(low.value - nearest.value) >= least:
            gaps.append(Gap(nearest, low))
        edges.append(high)
    return counted(gaps)


def _plays(spans: Sequence[Span], least: float) -> list[Gap]:
    """Clear room between a nested assembly and what stands beside it."""
    gaps: list[Gap] = []
    edges: list[tuple[str, Edge]] = []
    for home, low, high in spans:
        nearest = _nearest([e for _, e in edges], low, least)
        if nearest is not None:
            other = next(h for h, e in edges if e is nearest)
            if other != home and "" in (other, home) and least <= float(low.value - nearest.value) <= MOST_PLAY:
                gaps.append(Gap(nearest, low))
        edges.append((home, high))
    return gaps


def _set_backs(model: Model, section: Section, least: float) -> list[Gap]:
    """How far shelves stand back from the front and the rear of the uprights."""
    standing = [p.stands for p in model.placed if thin_axis(p) == ACROSS and not _home(model, p)]
    if not standing:
        return []
    front, rear = min(b.lo[BACK] for b in standing), max(b.hi[BACK] for b in standing)
    number, _ = picture_axis(section.view, BACK)
    found: list[Gap] = []
    for face in section.faces:
        part, points = face.part, [p for loop in face.loops for p in loop]
        if thin_axis(part) != UP or _home(model, part) or not points or _held(model, part):
            continue
        other = [p[1 - number] for p in points]
        whole = (min(other), max(other))
        for side, end in ((-1, front), (1, rear)):
            at = part.box.at(Face(BACK, side))
            back = (at - end) * -side
            if float(back) >= least and len(found) < MOST_SET_BACKS:
                reach = _rim(section, BACK, at, points, whole)
                edges = (Edge(at, f"{part.path}.{Face(BACK, side).name}", *reach), Edge(end, f"whole.{Face(BACK, side).name}", *whole))
                found.append(Gap(*(edges if side > 0 else edges[::-1])))
    return found


def _held(model: Model, part: Part) -> bool:
    """Whether a channel before or behind it holds the part, as a bottom is held: its joints say where it ends."""
    return any(j.a == part.path and j.cut_depth > 0 and j.run_axis == ACROSS for j in model.joints)


def _once(gaps: Sequence[Gap]) -> list[Gap]:
    """Each size once; one with a count stands for the single ones of its size."""
    seen: list[Fraction] = []
    found = []
    for gap in sorted(gaps, key=lambda g: -g.count):
        size = gap.end.value - gap.start.value
        if size not in seen:
            seen.append(size)
            found.append(gap)
    return sorted(found, key=lambda g: (g.start.value, g.end.value))


def counted(gaps: Sequence[Gap]) -> tuple[Gap, ...]:
    """Runs of three and more equal gaps as one with a count."""
    found: list[Gap] = []
    sizes = [g.end.value - g.start.value for g in gaps]
    i = 0
    while i < len(gaps):
        same = 1
        while i + same < len(gaps) and sizes[i + same] == sizes[i]:
            same += 1
        if same >= 3:
            found.append(Gap(gaps[i].start, gaps[i].end, "size", same))
        else:
            found += gaps[i : i + same]
        i += same
    return tuple(found)
