"""Rules 12 to 16: dimension lines and leaders cross nothing, stand in even rows in order, extension lines keep their ends.

The distances are those of a drafting manual of the US Navy (Engineering Aid, NAVEDTRA 14069, ch. 10) and of German and US
textbooks of technical drawing; where they differ the choice of this project is 10 mm to the first line, 7 mm to the next,
9 mm where figures have stacked fractions.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from math import hypot

import shapely

from tests.acceptance.findings import Finding, rule, sheet_rule
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import (
    XY,
    Dimension,
    Drawn,
    Part,
    Segment,
    Stroke,
    crossing,
    dimensions,
    grown,
    points_box,
)

TOUCH = 0.05
ROUNDING = 0.01
FIRST = 10.0
SLACK = 0.2
STEPS = {False: 7.0, True: 9.0}
GAP = (1.0, 2.0)
OVERSHOOT = (1.5, 3.5)
REACH = 4.0  # mm behind its start in which an extension line must meet what it measures
OBJECT = ("vis", "hid", "ctr", "cut", "phm", "brk", "light")
# Styles with other steps: first row and step as styles/README.md gives them.
LARGE = {"large-print": (13.0, 12.5)}


def _covers(m: Dimension, extension: Segment) -> bool:
    """Whether an extension line stands at an end that is measured, so that the line may meet it."""
    along = 1 - m.across
    return any(abs(extension[0][along] - u) < ROUNDING for u in m.ends)


@sheet_rule(12)
def dimension_lines_cross_nothing(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Dimension lines cross neither dimension lines nor extension lines of others, running dimensions among them."""
    found = dimensions(drawn)
    running = [(g, list(drawn.strokes_in(g, "ext"))) for g in drawn.of("running")]
    for a, b in combinations(found, 2):
        at = crossing(a.line, b.line, TOUCH)
        if at:
            yield f"lines of {a.name} and {b.name}", f"cross at {at[0]:.1f}, {at[1]:.1f}"
        for one, other in ((a, b), (b, a)):
            for extension in other.extensions:
                at = crossing(one.line, extension, TOUCH)
                if at and not _covers(one, extension):
                    yield f"line of {one.name}, extension line of {other.name}", f"cross at {at[0]:.1f}, {at[1]:.1f}"
    for one in found:
        for group, strokes in running:
            for segment in (s for stroke in strokes for s in stroke.segments):
                if not min(segment[0][one.across], segment[1][one.across]) < one.v < max(segment[0][one.across], segment[1][one.across]):
                    continue
                at = crossing(one.line, segment, TOUCH)
                if at and not _covers(one, segment):
                    yield f"line of {one.name}, running dimension {group.data.get('mm')}", f"cross at {at[0]:.1f}, {at[1]:.1f}"


@sheet_rule(12, "b")
def running_lines_cross_nothing(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Lines of running dimensions do not cross those of their own row."""
    for a, b in combinations([(g, drawn.strokes_in(g, "ext")) for g in drawn.of("running")], 2):
        if a[0].home("view") is not b[0].home("view") or not a[1] or not b[1]:
            continue
        if _upright(a[1][0].segments[0]) != _upright(b[1][0].segments[0]):
            continue  # extension lines of the two directions may cross
        for s in a[1][0].segments:
            for t in b[1][0].segments:
                at = crossing(s, t, TOUCH)
                if at:
                    yield f"{a[0].name} and {b[0].name}", f"cross at {at[0]:.1f}, {at[1]:.1f}"


def _upright(s: Segment) -> bool:
    return abs(s[1][0] - s[0][0]) < abs(s[1][1] - s[0][1])


@sheet_rule(13)
def leaders_cross_no_leaders(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Leaders of notes, balloons and figures do not cross or run into each other."""
    leaders = [s for s in drawn.strokes if s.role == "ldr" and not (len(s.points) > 20 and s.points[0] == s.points[-1])]
    for a, b in combinations(leaders, 2):
        if a.group is b.group:
            continue
        for s in a.segments:
            for t in b.segments:
                at = crossing(s, t, -0.1)
                if at:
                    yield f"leaders of {a.group.name} and {b.group.name}", f"meet at {at[0]:.1f}, {at[1]:.1f}"


@sheet_rule(13, "b")
def leaders_cross_no_dimension_line(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Leaders do not cross dimension lines (37 CFR 1.84 q keeps lead lines short and from crossing each other; NAVEDTRA
    14276 keeps everything off dimension lines)."""
    leaders = [s for s in drawn.strokes if s.role == "ldr" and not (len(s.points) > 20 and s.points[0] == s.points[-1])]
    for m in dimensions(drawn):
        for stroke in leaders:
            if stroke.group is m.group:
                continue
            for s in stroke.segments:
                at = crossing(s, m.line, TOUCH)
                if at:
                    yield f"leader of {stroke.group.name}, line of {m.name}", f"cross at {at[0]:.1f}, {at[1]:.1f}"


def _steps(packet: Packet) -> tuple[float, float]:
    return LARGE.get(packet.model["plan"]["style"], (FIRST, STEPS[packet.inches or packet.second is not None]))


def _rows(drawn: Drawn) -> dict[tuple[int, str], list[Dimension]]:
    """Dimensions by view and side."""
    found: dict[tuple[int, str], list[Dimension]] = {}
    for m in dimensions(drawn):
        if m.side:
            found.setdefault((m.view.number if m.view else -1, m.side), []).append(m)
    return found


def _outline(drawn: Drawn, m: Dimension) -> list[Stroke]:
    """Visible strokes of the dimension's own view."""
    return [s for s in drawn.strokes if s.role == "vis" and m.view is not None and s.group is m.view]


@rule(14)
def first_row_off_the_outline(packet: Packet) -> list[Finding]:
    """Dimension lines stand at least 10 mm off outline that runs along them."""
    first, _ = _steps(packet)
    found = []
    for drawn in packet.every:
        for m in dimensions(drawn):
            low, high = m.ends
            along, least = 1 - m.across, 999.0
            for p, q in (s for stroke in _outline(drawn, m) for s in stroke.segments):
                if abs(p[m.across] - q[m.across]) > 0.01:
                    continue
                if min(high, max(p[along], q[along])) - max(low, min(p[along], q[along])) > 1.0:
                    least = min(least, abs(p[m.across] - m.v))
            if least < first - SLACK:
                found.append(Finding(drawn.name, f"{m.group.name}", f"{least:.2f} mm off the outline"))
    return found


@rule(14, "b")
def rows_evenly_spaced(packet: Packet) -> list[Finding]:
    """Of dimension lines over a common stretch the next is one step further off (7 mm, 9 mm with fractions), or a whole
    number of steps where lines of other stretches stand between."""
    _, step = _steps(packet)
    found = []
    for drawn in packet.every:
        for members in _rows(drawn).values():
            levels = sorted({round(m.v, 2) for m in members})
            for a, b in pairwise(levels):
                if b - a < ROUNDING:
                    continue
                if abs((b - a) - step) > SLACK:
                    names = next(m.name for m in members if abs(m.v - b) < 0.02), next(m.name for m in members if abs(m.v - a) < 0.02)
                    found.append(Finding(drawn.name, f"{members[0].view.id if members[0].view else ''} {members[0].side}: {names[0]} and {names[1]}", f"{b - a:.2f} mm apart"))
    return found


@sheet_rule(15)
def shorter_inside_longer(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Of two dimensions over a common stretch on one side the shorter stands nearer the outline; overall is outermost."""
    for (_, side), members in _rows(drawn).items():
        out = 1 if side in ("below", "right") else -1
        for a, b in combinations(members, 2):
            if abs(a.v - b.v) < ROUNDING:
                continue
            inner, outer = (a, b) if (b.v - a.v) * out > 0 else (b, a)
            (i0, i1), (o0, o1) = inner.ends, outer.ends
            if min(i1, o1) - max(i0, o0) <= TOUCH:
                continue
            if i1 - i0 > o1 - o0 + TOUCH:
                yield f"{inner.name} inside {outer.name}, {side}", f"{i1 - i0:.1f} inside {o1 - o0:.1f} mm"
            elif inner.kind == "overall" and outer.kind != "overall":
                yield f"overall {inner.name} inside {outer.name}, {side}", "not outermost"


@sheet_rule(16)
def extension_lines_pass_the_dimension_line(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Extension lines run 1.5 to 3.5 mm past their dimension line, square to it."""
    for m in dimensions(drawn):
        if len(m.extensions) != 2:
            yield m.group.name, f"{len(m.extensions)} extension lines"
        for start, end in m.extensions:
            past = (end[m.across] - m.v) * (1 if end[m.across] > start[m.across] else -1)
            aslant = abs(end[1 - m.across] - start[1 - m.across])
            if not OVERSHOOT[0] - ROUNDING <= past <= OVERSHOOT[1] + ROUNDING:
                yield m.group.name, f"{past:.2f} mm past the line"
            if aslant > 0.05:
                yield m.group.name, f"aslant by {aslant:.2f} mm"


@sheet_rule(16, "b")
def extension_lines_keep_a_gap(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Extension lines begin 1 to 2 mm off the outline: looking back along the line, the next stroke of the view."""
    for group, start, gap in _gaps(drawn):
        if gap is not None and not GAP[0] - ROUNDING <= gap <= GAP[1] + ROUNDING:
            yield f"{group.name}, at {start[0]:.1f}, {start[1]:.1f}", f"gap {gap:.2f} mm"


@sheet_rule(16, "c")
def extension_lines_begin_at_something(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Behind the beginning of an extension line there is a stroke of the view."""
    for group, start, gap in _gaps(drawn):
        if gap is None:
            yield f"{group.name}, at {start[0]:.1f}, {start[1]:.1f}", f"no stroke within {REACH:g} mm"


def _gaps(drawn: Drawn) -> list[tuple[Part, XY, float | None]]:
    """Every extension line with its beginning and its gap."""
    found: list[tuple[Part, XY, float | None]] = []
    for view in drawn.of("view"):
        ink = [s for stroke in drawn.strokes_in(view, *OBJECT) for s in stroke.segments]
        centres = [s for stroke in drawn.strokes_in(view, "ctr") for s in stroke.segments]
        if not ink:
            continue
        tree = shapely.STRtree([shapely.LineString(s) for s in ink])
        lines = [(m.group, e) for m in dimensions(drawn) if m.view is view for e in m.extensions]
        lines += [(g, s.segments[0]) for g in drawn.of("running") if g.home("view") is view for s in drawn.strokes_in(g, "ext")]
        for group, (start, end) in lines:
            if any(_goes_on(start, end, c) for c in centres):
                continue
            near = [ink[int(i)] for i in tree.query(shapely.box(*grown(points_box([start]), REACH)))]
            found.append((group, start, _gap(start, end, near)))
    return found


def _goes_on(start: XY, end: XY, centre: Segment) -> bool:
    """Whether the line carries on a dash of a centre line, which may serve as extension line (NARA, p. 29)."""
    along = 0 if abs(end[0] - start[0]) > abs(end[1] - start[1]) else 1
    if any(abs(p[1 - along] - start[1 - along]) > ROUNDING for p in centre):
        return False
    back = -1 if end[along] > start[along] else 1
    ends = sorted((p[along] - start[along]) * back for p in centre)
    return ends[0] <= GAP[1] and ends[1] >= -GAP[1]


def _gap(start: XY, end: XY, strokes: list[Segment]) -> float | None:
    """How far behind its start, seen from its end, the line meets a stroke; None where it meets none near by. Of chords
    that run nearly along it (an arc that it touches) only their ends on the line count."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    if length < 1e-6:
        return None
    ux, uy = (start[0] - end[0]) / length, (start[1] - end[1]) / length
    places: list[float] = []
    for segment in strokes:
        (a, off_a), (b, off_b) = ((((x - start[0]) * ux + (y - start[1]) * uy), ((y - start[1]) * ux - (x - start[0]) * uy)) for x, y in segment)
        if abs(off_a) < ROUNDING and abs(off_b) < ROUNDING:
            places.append(0.0 if min(a, b) <= 0.0 <= max(a, b) else min(a, b))
        elif abs(off_b - off_a) < 0.17 * abs(b - a):
            places += [t for t, off in ((a, off_a), (b, off_b)) if abs(off) < ROUNDING]
        elif min(off_a, off_b) <= ROUNDING and max(off_a, off_b) >= -ROUNDING:
            places.append(a + (b - a) * max(0.0, min(1.0, -off_a / (off_b - off_a))))
    ahead = [t for t in places if t >= -ROUNDING]
    return min(ahead) if ahead and min(ahead) <= REACH else None
