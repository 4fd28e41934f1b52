"""Audit rules for dimensions: one height, rows in order and evenly spaced, no lines crossed, gaps kept.

They read the groups "dimension": the first dim stroke is the dimension line, ext strokes are the extension lines;
the attrs side and row, where present, say where the placer put it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from plandoc.drawing.audit_sheet import Finding, SheetView
from plandoc.drawing.boxes import Segment, segments_cross
from plandoc.drawing.display import XY, Group, Line, Text

SLACK = 0.2
TOUCH = 0.05


@dataclass(frozen=True, slots=True)
class Measured:
    """A dimension group read back. low, high: the measured ends along the axis; v: the line's other coordinate."""

    group: Group
    home: int
    line: Segment
    extensions: tuple[Segment, ...]
    side: str
    row: int

    @property
    def across(self) -> int:
        """Index of the coordinate that is constant along the line."""
        return 1 if abs(self.line[0][1] - self.line[1][1]) < abs(self.line[0][0] - self.line[1][0]) else 0

    @property
    def v(self) -> float:
        """Where the line stands (mm)."""
        return self.line[0][self.across]

    @property
    def ends(self) -> tuple[float, float]:
        """The measured ends (mm), from the extension lines where there are two."""
        source = self.extensions if len(self.extensions) == 2 else (self.line,)
        along = 1 - self.across
        values = [s[0][along] for s in source] if len(source) == 2 else [p[along] for p in self.line]
        return (min(values), max(values))

    @property
    def name(self) -> str:
        """Words for a message."""
        names = dict(self.group.attrs)
        return f"{names.get('mm', '?')} mm ({names.get('from', '')} to {names.get('to', '')})"

    @property
    def kind(self) -> str:
        """overall, size, loc, ref."""
        return dict(self.group.attrs).get("kind", "")


def measured(view: SheetView) -> list[Measured]:
    """All linear dimensions of the sheet; home: the group that a set of dimensions shares."""
    out = []
    for n, group in enumerate(view.groups):
        if group.kind != "dimension":
            continue
        lines = [i for i in group.items if isinstance(i, Line)]
        dims = [line for line in lines if line.role == "dim"]
        if not dims or len(dims[0].points) < 2:
            continue
        exts = tuple((e.points[0], e.points[-1]) for e in lines if e.role == "ext")
        names = dict(group.attrs)
        row = names.get("row", "")
        line = (dims[0].points[0], dims[0].points[-1])
        home = view.parents[n]
        out.append(Measured(group, home, line, exts, names.get("side", ""), int(row) if row.isdigit() else -1))
    return out


def dimension_height(view: SheetView) -> tuple[Finding, ...]:
    """The figures of all dimensions of a sheet have one height; digits of stacked fractions are set smaller."""
    wanted = view.style.height("dimtxt")
    digits = wanted * view.style.fraction_digits
    out = []
    for item, _, box in view.texts:
        if item.role != "dimtxt":
            continue
        fraction = item.text.isdigit() and abs(item.size - digits) < 0.05
        if abs(item.size - wanted) > 0.01 and not fraction:
            message = f"the figure {item.text!r} is {item.size:.2f} mm high, others {wanted:.2f}"
            out.append(Finding("dimension-height", message, box[:2]))
    return tuple(out)


def lines_cross(view: SheetView) -> tuple[Finding, ...]:
    """A dimension line crosses no dimension line and no extension line of another dimension, but where that runs
    along its own."""
    out = []
    for a, b in combinations(measured(view), 2):
        pairs = [(a.line, b.line)]
        for one, other in ((a, b), (b, a)):
            along = 1 - one.across
            pairs += [(one.line, e) for e in other.extensions if all(abs(e[0][along] - u) > 0.01 for u in one.ends)]
        if any(segments_cross(s, t, TOUCH) for s, t in pairs):
            out.append(Finding("dimension-lines-cross", f"{a.name} and {b.name} cross", a.line[0]))
    return tuple(out)


def rows_in_order(view: SheetView) -> tuple[Finding, ...]:
    """Of two dimensions over the same stretch the shorter stands nearer the outline; overall sizes stand outermost."""
    out = []
    for a, b in combinations(measured(view), 2):
        if a.home != b.home or a.side != b.side or not a.side or a.row < 0 or b.row < 0:
            continue
        inner, outer = (a, b) if a.row < b.row else (b, a)
        if inner.row == outer.row or not _over_one_view(a, b):
            continue
        (i0, i1), (o0, o1) = inner.ends, outer.ends
        shared = min(i1, o1) - max(i0, o0) > TOUCH
        if shared and i1 - i0 > o1 - o0 + TOUCH and outer.kind != "overall":
            out.append(Finding("rows-in-order", f"{inner.name} stands inside the shorter {outer.name}", outer.line[0]))
        elif inner.kind == "overall" and outer.kind != "overall" and shared:
            out.append(Finding("rows-in-order", f"the overall {inner.name} is not outermost", inner.line[0]))
    return tuple(out)


def _over_one_view(a: Measured, b: Measured) -> bool:
    """Whether the rows of the two are steps of one stack, not of two views on the sheet."""
    return a.across == b.across and abs(a.v - b.v) < 12.0 * (abs(a.row - b.row) + 1)


def even_rows(view: SheetView) -> tuple[Finding, ...]:
    """Rows stand at whole steps from each other, the style's step wide."""
    step = view.style.row_step
    out = []
    for a, b in combinations(measured(view), 2):
        if a.home != b.home or a.side != b.side or a.row < 0 or b.row < 0 or not a.side or not _over_one_view(a, b):
            continue
        if abs(abs(a.v - b.v) - step * abs(a.row - b.row)) > SLACK and _joined(a, b):
            out.append(Finding("even-rows", f"{a.name} and {b.name} stand {abs(a.v - b.v):.2f} mm apart", a.line[0]))
    return tuple(out)


def _joined(a: Measured, b: Measured) -> bool:
    (a0, a1), (b0, b1) = a.ends, b.ends
    return min(a1, b1) - max(a0, b0) > TOUCH and abs(a.v - b.v) < 40.0


def extension_ends(view: SheetView) -> tuple[Finding, ...]:
    """Extension lines run 1.5 to 3.5 mm past their dimension line and stand square to it."""
    out = []
    for m in measured(view):
        for start, end in m.extensions:
            past = abs(end[m.across] - m.v)
            square = abs(end[1 - m.across] - start[1 - m.across]) < 0.05
            if not 1.5 - 1e-6 <= past <= 3.5 + 1e-6 or not square:
                out.append(Finding("extension-ends", f"an extension line of {m.name} ends {past:.2f} mm past", end))
    return tuple(out)


def first_row_distance(view: SheetView) -> tuple[Finding, ...]:
    """No dimension line comes nearer than 10 mm to visible outline that runs along it over a common stretch."""
    out = []
    edges: list[tuple[XY, XY]] = [s for s, role, _ in view.segments if role == "vis"]
    for m in measured(view):
        low, high = m.ends
        along = 1 - m.across
        for p, q in edges:
            if abs(p[m.across] - q[m.across]) > 0.01:
                continue
            shared = min(high, max(p[along], q[along])) - max(low, min(p[along], q[along]))
            distance = abs(p[m.across] - m.v)
            if shared > 1.0 and distance < 10.0 - SLACK:
                out.append(Finding("first-row", f"{m.name} stands {distance:.2f} mm off the outline", m.line[0]))
                break
    return tuple(out)


def figure_present(view: SheetView) -> tuple[Finding, ...]:
    """Every dimension has a figure."""
    return tuple(
        Finding("figure-present", f"the dimension {m.name} has no figure", m.line[0])
        for m in measured(view)
        if not any(isinstance(i, Text) and i.role == "dimtxt" for i in m.group.items)
    )


RULES = (
    ("dimension-height", dimension_height),
    ("dimension-lines-cross", lines_cross),
    ("even-rows", even_rows),
    ("extension-ends", extension_ends),
    ("figure-present", figure_present),
    ("first-row", first_row_distance),
    ("rows-in-order", rows_in_order),
)
