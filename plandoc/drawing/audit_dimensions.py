"""Audit rules for dimensions: rows in order and evenly spaced, no lines crossed, extension lines as they should be.

A dimension is read from its strokes: in the groups "dimension" the first dim stroke is the dimension line, the ext strokes
are the extension lines. The distances are those of a drafting manual of the US Navy (Engineering Aid, NAVEDTRA 14069, ch.
10) and of textbooks of technical drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from plandoc.drawing.audit_rules import ROUNDING, called, is_ring, leaders
from plandoc.drawing.audit_sheet import Finding, Finished, Home, Run, Stroke, points_box
from plandoc.drawing.boxes import Segment, crossing
from plandoc.drawing.display import XY

SLACK = 0.2
TOUCH = 0.05
OVERSHOOT = (1.5, 3.5)


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A dimension as a print shows it: its own line, its extension lines (mm on paper), its figure."""

    group: Home
    view: Home | None
    line: Segment
    extensions: tuple[Segment, ...]
    figure: str

    @property
    def across(self) -> int:
        """Index of the coordinate that is the same all along the line."""
        (x0, y0), (x1, y1) = self.line
        return 1 if abs(y1 - y0) < abs(x1 - x0) else 0

    @property
    def v(self) -> float:
        """Where the line stands."""
        return self.line[0][self.across]

    @property
    def ends(self) -> XY:
        """The two measured places along the line."""
        along = 1 - self.across
        places = [e[0][along] for e in self.extensions] if len(self.extensions) == 2 else [p[along] for p in self.line]
        return min(places), max(places)

    @property
    def kind(self) -> str:
        """overall, size, loc, ref."""
        return self.group.data.get("kind", "")

    @property
    def side(self) -> str:
        """Side of the view."""
        return self.group.data.get("side", "")

    @property
    def name(self) -> str:
        """Words for a message."""
        d = self.group.data
        return f"{d.get('mm', '?')} mm ({d.get('from', '')} to {d.get('to', '')})"


def measured(sheet: Finished) -> list[Measured]:
    """Dimensions with a dimension line, in drawing order."""
    strokes: dict[int, list[Stroke]] = {}
    for stroke in sheet.strokes:
        strokes.setdefault(stroke.group.number, []).append(stroke)
    figures: dict[int, list[Run]] = {}
    for run in sheet.runs:
        if run.role == "dimtxt":
            figures.setdefault(run.group.number, []).append(run)
    found = []
    for group in sheet.of("dimension"):
        own = strokes.get(group.number, [])
        lines = [s for s in own if s.role == "dim"]
        if lines:
            extensions = tuple((s.points[0], s.points[-1]) for s in own if s.role == "ext")
            found.append(Measured(group, group.home("view"), (lines[0].points[0], lines[0].points[-1]), extensions, figure_words(figures.get(group.number, []))))
    return found


def figure_words(runs: Sequence[Run]) -> str:
    """A figure as it is read: `18 3/4` of its runs, the digits over and under a bar smaller than the others."""
    most = max((run.height for run in runs), default=0.0)
    words: list[str] = []
    over = ""
    for run in runs:
        small = run.text.isdigit() and (run.height < 0.9 * most or (len(runs) == 2 and runs[0].height == runs[1].height))
        if small and over:
            words[-1], over = f"{over}/{run.text}", ""
        else:
            words.append(run.text)
            over = run.text if small else ""
    return " ".join(words)


def _told(m: Measured) -> str:
    return f"the dimension {m.figure or 'without a figure'}"


def _covers(m: Measured, extension: Segment) -> bool:
    """Whether an extension line stands at an end that is measured, so that the line may meet it."""
    return any(abs(extension[0][1 - m.across] - u) < ROUNDING for u in m.ends)


def lines_cross(sheet: Finished) -> Iterator[Finding]:
    """Dimension lines cross neither dimension lines nor extension lines of others, running dimensions among them."""
    found = measured(sheet)
    running = [(g, [s for stroke in sheet.strokes_in(g, "ext") for s in stroke.segments]) for g in sheet.of("running")]
    for a, b in combinations(found, 2):
        at = crossing(a.line, b.line, TOUCH)
        if at:
            yield Finding("dimension-lines-cross", f"lines of {a.name} and {b.name}", _at(at), f"the lines of {_told(a)} and {_told(b)} cross")
        for one, other in ((a, b), (b, a)):
            for extension in other.extensions:
                at = crossing(one.line, extension, TOUCH)
                if at and not _covers(one, extension):
                    yield Finding("dimension-lines-cross", f"line of {one.name}, extension line of {other.name}", _at(at), f"the line of {_told(one)} crosses an extension line of {_told(other)}")
    for one in found:
        for group, segments in running:
            for segment in segments:
                if not min(segment[0][one.across], segment[1][one.across]) < one.v < max(segment[0][one.across], segment[1][one.across]):
                    continue
                at = crossing(one.line, segment, TOUCH)
                if at and not _covers(one, segment):
                    mm = group.data.get("mm")
                    yield Finding("dimension-lines-cross", f"line of {one.name}, running dimension {mm}", _at(at), f"the line of {_told(one)} crosses that of a running dimension")


def _at(point: XY) -> str:
    return f"cross at {point[0]:.1f}, {point[1]:.1f}"


def running_cross(sheet: Finished) -> Iterator[Finding]:
    """Lines of running dimensions do not cross those of their own row."""
    rows = [(g, sheet.strokes_in(g, "ext")) for g in sheet.of("running")]
    for (a, own), (b, other) in combinations(rows, 2):
        if a.home("view") is not b.home("view") or not own or not other:
            continue
        if _upright(own[0].segments[0]) != _upright(other[0].segments[0]):
            continue  # extension lines of the two directions may cross
        for s in own[0].segments:
            for t in other[0].segments:
                at = crossing(s, t, TOUCH)
                if at:
                    yield Finding("running-cross", f"{a.name} and {b.name}", _at(at), "the lines of two running dimensions cross")


def _upright(s: Segment) -> bool:
    return abs(s[1][0] - s[0][0]) < abs(s[1][1] - s[0][1])


def leaders_cross_dimensions(sheet: Finished) -> Iterator[Finding]:
    """Leaders do not cross dimension lines (37 CFR 1.84 q keeps lead lines short and from crossing each other; NAVEDTRA
    14276 keeps everything off dimension lines)."""
    lines = leaders(sheet)
    for m in measured(sheet):
        for stroke in lines:
            if stroke.group is m.group:
                continue
            for s in stroke.segments:
                at = crossing(s, m.line, TOUCH)
                if at:
                    yield Finding("leaders-cross-dimensions", f"leader of {stroke.group.name}, line of {m.name}", _at(at), f"the leader of {called(stroke.group)} crosses the line of {_told(m)}")


def rows_of(found: list[Measured]) -> dict[tuple[int, str], list[Measured]]:
    """Dimensions by view and side."""
    rows: dict[tuple[int, str], list[Measured]] = {}
    for m in found:
        if m.side:
            rows.setdefault((m.view.number if m.view else -1, m.side), []).append(m)
    return rows


def first_row(sheet: Finished, least: float) -> Iterator[Finding]:
    """Dimension lines stand at least so far (mm) off outline that runs along them."""
    outlines: dict[int, list[Segment]] = {}
    for stroke in sheet.strokes:
        if stroke.role == "vis":
            outlines.setdefault(stroke.group.number, []).extend(stroke.segments)
    for m in measured(sheet):
        low, high = m.ends
        along, near = 1 - m.across, 999.0
        for p, q in outlines.get(m.view.number if m.view else 0, ()):
            if abs(p[m.across] - q[m.across]) > 0.01:
                continue
            if min(high, max(p[along], q[along])) - max(low, min(p[along], q[along])) > 1.0:
                near = min(near, abs(p[m.across] - m.v))
        if near < least - SLACK:
            yield Finding("first-row", m.group.name, f"{near:.2f} mm off the outline", f"{_told(m)} stands {near:.1f} mm off the outline")


def even_rows(sheet: Finished, step: float, most: int) -> Iterator[Finding]:
    """On one side of a view dimension lines stand whole steps (mm) apart, neighbours at most so many."""
    for members in rows_of(measured(sheet)).values():
        levels = sorted({round(m.v, 2) for m in members})
        for a, b in pairwise(levels):
            if b - a < ROUNDING or any(abs((b - a) - step * n) <= SLACK for n in range(1, most + 1)):
                continue
            over = next(m for m in members if abs(m.v - b) < 0.02), next(m for m in members if abs(m.v - a) < 0.02)
            view = members[0].view.id if members[0].view else ""
            yield Finding("even-rows", f"{view} {members[0].side}: {over[0].name} and {over[1].name}", f"{b - a:.2f} mm apart", f"{_told(over[0])} and {_told(over[1])} stand {b - a:.1f} mm apart")


def rows_in_order(sheet: Finished) -> Iterator[Finding]:
    """Of two dimensions over a common stretch on one side the shorter stands nearer the outline; overall is outermost."""
    for (_, side), members in rows_of(measured(sheet)).items():
        out = 1 if side in ("below", "right") else -1
        for a, b in combinations(members, 2):
            if abs(a.v - b.v) < ROUNDING:
                continue
            inner, outer = (a, b) if (b.v - a.v) * out > 0 else (b, a)
            (i0, i1), (o0, o1) = inner.ends, outer.ends
            if min(i1, o1) - max(i0, o0) <= TOUCH:
                continue
            if i1 - i0 > o1 - o0 + TOUCH:
                yield Finding("rows-in-order", f"{inner.name} inside {outer.name}, {side}", f"{i1 - i0:.1f} inside {o1 - o0:.1f} mm", f"{_told(inner)} stands inside {_told(outer)}, which is shorter")
            elif inner.kind == "overall" and outer.kind != "overall":
                yield Finding("rows-in-order", f"overall {inner.name} inside {outer.name}, {side}", "not outermost", f"{_told(inner)} is not outermost")


def extension_ends(sheet: Finished) -> Iterator[Finding]:
    """Extension lines run 1.5 to 3.5 mm past their dimension line, square to it; a dimension has two."""
    for m in measured(sheet):
        if len(m.extensions) != 2:
            yield Finding("extension-ends", m.group.name, f"{len(m.extensions)} extension lines", f"{_told(m)} has {len(m.extensions)} extension lines")
        for start, end in m.extensions:
            past = (end[m.across] - m.v) * (1 if end[m.across] > start[m.across] else -1)
            aslant = abs(end[1 - m.across] - start[1 - m.across])
            if not OVERSHOOT[0] - ROUNDING <= past <= OVERSHOOT[1] + ROUNDING:
                yield Finding("extension-ends", m.group.name, f"{past:.2f} mm past the line", f"an extension line of {_told(m)} ends {past:.1f} mm past its line")
            if aslant > 0.05:
                yield Finding("extension-ends", m.group.name, f"aslant by {aslant:.2f} mm", f"an extension line of {_told(m)} is aslant")


def figure_present(sheet: Finished) -> Iterator[Finding]:
    """Every dimension has a figure."""
    for m in measured(sheet):
        if not m.figure:
            yield Finding("figure-present", m.group.name, "no figure", "a dimension has no figure")


def leader_angle(sheet: Finished) -> Iterator[Finding]:
    """The leader of a note leans between 15 and 75 degrees."""
    done: set[int] = set()
    for stroke in sheet.strokes:
        group = stroke.group
        if group.kind != "leader" or stroke.role != "ldr" or group.number in done or is_ring(stroke):
            continue
        done.add(group.number)
        (x0, y0), (x1, y1) = stroke.points[:2]
        dx, dy = abs(x1 - x0), abs(y1 - y0)
        if dy < 0.267 * dx or dx < 0.267 * dy:
            box = points_box(stroke.points)
            yield Finding("leader-angle", group.name, f"not inclined, at {box[0]:.1f}, {box[1]:.1f}", f"the leader of {called(group)} is not inclined")


Rule = Callable[[Finished], Iterator[Finding]]
RULES: tuple[tuple[str, Rule], ...] = (
    ("dimension-lines-cross", lines_cross),
    ("extension-ends", extension_ends),
    ("figure-present", figure_present),
    ("leader-angle", leader_angle),
    ("leaders-cross-dimensions", leaders_cross_dimensions),
    ("rows-in-order", rows_in_order),
    ("running-cross", running_cross),
)
