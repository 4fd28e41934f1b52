"""Rules 12 to 16: dimension lines and leaders cross nothing, stand in even rows in order, extension lines keep their ends.

The distances are those of a drafting manual of the US Navy (Engineering Aid, NAVEDTRA 14069, ch. 10) and of German and US
textbooks of technical drawing; where they differ the choice of this project is 10 mm to the first line, 7 mm to the next,
9 mm where figures have stacked fractions.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import shapely

from plandoc.drawing import audit_dimensions, audit_rules
from tests.acceptance.findings import Finding, rule, shared, sheet_rule
from tests.acceptance.packets import Packet
from tests.acceptance.rules_linework import ASIDE
from tests.support.finished_sheets import XY, Drawn, Part, Segment, dimensions, grown, points_box

ROUNDING = 0.01
FIRST = 10.0
STEPS = {False: 7.0, True: 9.0}
GAP = (1.0, 2.0)
REACH = 4.0  # mm behind its start in which an extension line must meet what it measures
OBJECT = ("vis", "hid", "ctr", "cut", "phm", "brk", "light")
# Styles with other steps: first row and step as styles/README.md gives them.
LARGE = {"large-print": (13.0, 12.5)}

shared(12, "", "dimension_lines_cross_nothing", audit_dimensions.lines_cross)
shared(12, "b", "running_lines_cross_nothing", audit_dimensions.running_cross)
shared(13, "", "leaders_cross_no_leaders", audit_rules.leaders_cross)
shared(13, "b", "leaders_cross_no_dimension_line", audit_dimensions.leaders_cross_dimensions)
shared(15, "", "shorter_inside_longer", audit_dimensions.rows_in_order)
shared(16, "", "extension_lines_pass_the_dimension_line", audit_dimensions.extension_ends)


def _steps(packet: Packet) -> tuple[float, float]:
    return LARGE.get(packet.model["plan"]["style"], (FIRST, STEPS[packet.inches or packet.second is not None]))


@rule(14)
def first_row_off_the_outline(packet: Packet) -> list[Finding]:
    """Dimension lines stand at least 10 mm off outline that runs along them."""
    first, _ = _steps(packet)
    return [Finding(drawn.name, f.what, f.measured) for drawn in packet.every for f in audit_dimensions.first_row(drawn, first)]


@rule(14, "b")
def rows_evenly_spaced(packet: Packet) -> list[Finding]:
    """Of dimension lines on one side of a view the next is one step further off: 7 mm, 9 mm with fractions."""
    _, step = _steps(packet)
    return [Finding(drawn.name, f.what, f.measured) for drawn in packet.every for f in audit_dimensions.even_rows(drawn, step, 1)]


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
    """How far behind its start, seen from its end, the line meets a stroke; None where it meets none near by. A chord lies on
    the line where rule 19 says so (an arc that it touches); of others that run nearly along it only their ends on it count."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    if length < 1e-6:
        return None
    ux, uy = (start[0] - end[0]) / length, (start[1] - end[1]) / length
    places: list[float] = []
    for segment in strokes:
        (a, off_a), (b, off_b) = ((((x - start[0]) * ux + (y - start[1]) * uy), ((y - start[1]) * ux - (x - start[0]) * uy)) for x, y in segment)
        if abs(off_a) < ASIDE and abs(off_b) < ASIDE and abs(off_b - off_a) < 0.17 * abs(b - a):
            places.append(0.0 if min(a, b) <= 0.0 <= max(a, b) else min(a, b))
        elif abs(off_b - off_a) < 0.17 * abs(b - a):
            places += [t for t, off in ((a, off_a), (b, off_b)) if abs(off) < ROUNDING]
        elif min(off_a, off_b) <= ROUNDING and max(off_a, off_b) >= -ROUNDING:
            places.append(a + (b - a) * max(0.0, min(1.0, -off_a / (off_b - off_a))))
    ahead = [t for t in places if t >= -ROUNDING]
    return min(ahead) if ahead and min(ahead) <= REACH else None
