"""Rules 8 to 11 and 17: lettering clear of lettering and of strokes, inside the frame, high enough, read from the
bottom or the right."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from tests.acceptance.findings import sheet_rule
from tests.support.finished_sheets import Drawn, Part, Run, Stroke, apart, enters, grown, points_box

TEXT_ROOM = 0.7  # common practice: about a fifth of the height of a figure
LINE_ROOM = 0.5
ROUNDING = 0.01  # coordinates are written to 0.001 mm
LEAST_FRAME = 8.0  # paper edge to frame; printers keep 4 to 6.7 mm free (manuals of one laser and one ink-jet printer)
LEAST_INK = 4.0  # what a printer can reach on all edges (manual of a laser printer)
CAPITALS = 2.5  # textbook table after ISO 3098
FIGURES = 3.5  # Westermann, technical drawing, p. 56
FRACTION_DIGITS = 2.4
FORMS = ("titleblock", "revisions", "table", "index", "barscales", "layout", "partlabel", "legend")


def middle(run: Run) -> str:
    x0, y0, x1, y1 = run.box
    return f"{run.text!r} at {(x0 + x1) / 2:.1f}, {(y0 + y1) / 2:.1f} ({run.group.name})"


def one_text(a: Run, b: Run) -> bool:
    """Whether two runs are one text: words of a mixed number on one base line, a fraction's digits, or lines of one
    paragraph. Those need no room between them, but they must not overlap."""
    return a.group is b.group and a.turn == b.turn and a.role == b.role


@sheet_rule(8)
def text_clear_of_text(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No text box overlaps another text box, grown by 0.7 mm."""
    tree = shapely.STRtree([shapely.box(*r.box) for r in drawn.runs])
    for i, run in enumerate(drawn.runs):
        for j in sorted(int(j) for j in tree.query(shapely.box(*grown(run.box, TEXT_ROOM)))):
            if j <= i:
                continue
            other = drawn.runs[j]
            room = apart(run.box, other.box)
            if room < (0.0 if one_text(run, other) else TEXT_ROOM) - ROUNDING:
                yield f"{middle(run)} and {middle(other)}", f"{room:.2f} mm apart"


def own_line(run: Run, stroke: Stroke) -> bool:
    """The line that a text stands on or in: a dimension's own line, a fraction's bar, the ring round a letter."""
    if run.group is not stroke.group:
        return False
    kind = run.group.kind
    bar = stroke.role == "dim" and stroke.length < 12.0
    return (kind in ("dimension", "running") and stroke.role in ("dim", "ldr")) or (kind in ("balloon", "leader", "heading", "step", "cutting", "sight", "picture") and _ring(run, stroke)) or bar


def _ring(run: Run, stroke: Stroke) -> bool:
    """Whether the stroke is a circle round the text."""
    if len(stroke.points) < 20 or stroke.points[0] != stroke.points[-1]:
        return False
    x0, y0, x1, y1 = points_box(stroke.points)
    a, b, c, d = run.box
    return x0 < a and y0 < b and c < x1 and d < y1


@sheet_rule(9)
def text_clear_of_strokes(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No stroke crosses a text box, grown by 0.5 mm, but the text's own line."""
    yield from _struck(drawn, [r for r in drawn.runs if not any(r.group.home(f) for f in FORMS)])


@sheet_rule(9, "c")
def text_of_forms_clear_of_strokes(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The same in title blocks, revision blocks, tables and lists."""
    yield from _struck(drawn, [r for r in drawn.runs if any(r.group.home(f) for f in FORMS)])


def _struck(drawn: Drawn, runs: list[Run]) -> Iterator[tuple[str, str]]:
    for run in runs:
        box = grown(run.box, LINE_ROOM - ROUNDING)
        for segment, stroke in drawn.near(box):
            if enters(segment, box) and not own_line(run, stroke):
                inside = enters(segment, grown(run.box, -ROUNDING))
                yield f"{middle(run)}, {stroke.role} stroke of {stroke.group.name}", "through the letters" if inside else f"within {LINE_ROOM} mm"
                break


@sheet_rule(9, "b")
def text_clear_of_ink(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No arrowhead, dot or other ink lies in a text box."""
    areas = [(a, loop) for a in drawn.areas if a.role == "ink" for loop in a.loops if len(loop) > 3]
    tree = shapely.STRtree([shapely.Polygon(loop) for _, loop in areas])
    for run in drawn.runs:
        box = shapely.box(*grown(run.box, -ROUNDING))
        for i in sorted(int(i) for i in tree.query(box, predicate="intersects")):
            yield f"{middle(run)}, ink of {areas[i][0].group.name}", "in the letters"
            break


@sheet_rule(10)
def ink_inside_the_frame(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """All ink lies inside the frame but the frame's own marks; the frame stays 8 mm from the paper's edge. A sheet without
    a frame keeps all its ink where a printer reaches."""
    width, height = drawn.size
    paper = (0.0, 0.0, width, height)
    frame = drawn.frame()
    if frame is not None:
        least = min(frame[0], frame[1], width - frame[2], height - frame[3])
        if least < LEAST_FRAME:
            yield "frame", f"{least:.2f} mm from the paper's edge"
    for what, box, group, half in _inked(drawn):
        outer = grown(paper, -LEAST_INK) if frame is None or group.home("frame") or group.home("zones") else grown(frame, 0.05)
        over = max(outer[0] - box[0], outer[1] - box[1], box[2] - outer[2], box[3] - outer[3]) + (half if frame is None else 0.0)
        if over > ROUNDING:
            yield f"{what} of {group.name}", f"{over:.2f} mm outside"


def _inked(drawn: Drawn) -> Iterator[tuple[str, tuple[float, float, float, float], Part, float]]:
    for run in drawn.runs:
        yield repr(run.text), run.box, run.group, 0.0
    for stroke in drawn.strokes:
        yield f"{stroke.role} stroke", points_box(stroke.points), stroke.group, stroke.width / 2
    for area in drawn.areas:
        if area.colour.lower() != "#ffffff":
            yield f"{area.role} area", points_box([p for loop in area.loops for p in loop]), area.group, 0.0


def stacked(run: Run, drawn: Drawn) -> bool:
    """Whether the run is the digits over or under a fraction's bar: figures with another run of their group right above
    or below them, and a short stroke between."""
    if not run.text.isdigit():
        return False
    turned = run.turn != 0
    for other in drawn.runs:
        if other is run or other.group is not run.group or other.turn != run.turn or not other.text.isdigit() or abs(other.height - run.height) > 0.01:
            continue
        dx, dy = other.base[0] - run.base[0], other.base[1] - run.base[1]
        along, across = (dy, dx) if turned else (dx, dy)
        if abs(along) < 2.5 * run.height and run.height < abs(across) < 2.2 * run.height:
            return True
    return False


@sheet_rule(11)
def capitals_high_enough(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Capitals are at least 2.5 mm high, digits of fractions 2.4 mm."""
    for run in drawn.runs:
        least = CAPITALS
        if run.height < CAPITALS - ROUNDING and stacked(run, drawn):
            least = FRACTION_DIGITS
        if run.height < least - ROUNDING:
            yield middle(run), f"{run.height:.2f} mm high"


@sheet_rule(11, "b")
def figures_of_one_height(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The figures of dimensions have one height on a sheet, at least 3.5 mm; digits of fractions have one too."""
    whole = [r for r in drawn.texts("dimtxt") if not stacked(r, drawn)]
    small = [r for r in drawn.texts("dimtxt") if stacked(r, drawn)]
    for run in whole:
        if run.height < FIGURES - ROUNDING:
            yield middle(run), f"{run.height:.2f} mm high"
    for kind, runs, least in (("figures", whole, FIGURES), ("fraction digits", small, FRACTION_DIGITS)):
        heights = sorted({round(r.height, 2) for r in runs})
        if len(heights) > 1 or any(h < least - ROUNDING for h in heights):
            yield kind, ", ".join(f"{h:.2f}" for h in heights)


@sheet_rule(17)
def read_from_bottom_or_right(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Lettering is level, or turned a quarter counter-clockwise."""
    for run in drawn.runs:
        if run.turn not in (0.0, -90.0):
            yield middle(run), f"turned by {run.turn:g} degrees"
