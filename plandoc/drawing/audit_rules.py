"""Audit rules for lettering, ink and leaders: clear of each other, inside the frame, high enough, read the right way.

Distances: half to three quarters of a millimetre keep letters from running into a line or a letter on an office printer
(common practice); heights after a textbook table of ISO 3098; what a printer can reach after manuals of one laser and one
ink-jet printer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import shapely

from plandoc.drawing.audit_sheet import Finding, Finished, Home, Run, Stroke, points_box
from plandoc.drawing.boxes import crossing, grown, segment_meets_box
from plandoc.drawing.display import XY, Extent

TEXT_ROOM = 0.7  # common practice: about a fifth of the height of a figure
LINE_ROOM = 0.5
ROUNDING = 0.01  # coordinates are written to 0.001 mm
LEAST_FRAME = 8.0  # paper edge to frame
LEAST_INK = 4.0  # what a printer can reach on all edges
CAPITALS = 2.5
FIGURES = 3.5  # Westermann, technical drawing, p. 56
FRACTION_DIGITS = 2.4
FORMS = ("titleblock", "revisions", "table", "index", "barscales", "layout", "partlabel", "legend")
RINGED = ("balloon", "leader", "heading", "step", "cutting", "sight", "picture")
WORDS = {
    "dimension": "a dimension", "running": "a running dimension", "leader": "a note", "balloon": "a balloon", "view": "a view",
    "picture": "the picture", "heading": "a heading", "titleblock": "the title block", "table": "a table", "frame": "the frame",
    "barscales": "the bar scales", "layout": "a cutting layout", "sheet": "the sheet",
}  # fmt: skip
STROKES = {"dim": "the line of", "ext": "an extension line of", "ldr": "the leader of", "vis": "an edge of", "hid": "a hidden edge of"}


def middle(run: Run) -> str:
    """A text with its place and its group."""
    x0, y0, x1, y1 = run.box
    return f"{run.text!r} at {(x0 + x1) / 2:.1f}, {(y0 + y1) / 2:.1f} ({run.group.name})"


def quoted(run: Run) -> str:
    """A text in a reader's words."""
    return f'"{run.text}"'


def called(group: Home, role: str = "") -> str:
    """A group, or a stroke of it, in a reader's words."""
    name = next((word for kind, word in WORDS.items() if group.kind == kind), "")
    name = name or next((word for kind, word in WORDS.items() if group.home(kind) is not None), "the sheet")
    return f"{STROKES.get(role, 'a line of')} {name}" if role else name


def apart(a: Extent, b: Extent) -> float:
    """Room between two boxes, in the direction in which there is more of it; negative where they overlap."""
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])


def _one_text(a: Run, b: Run) -> bool:
    """Whether two runs are one text: words of a mixed number on one base line, a fraction's digits, or lines of one
    paragraph. Those need no room between them, but they must not overlap."""
    return a.group is b.group and a.group.kind != "sheet" and a.turn == b.turn and a.role == b.role


def text_on_text(sheet: Finished) -> Iterator[Finding]:
    """No text comes nearer than 0.7 mm to another; lines of one text do not overlap."""
    if not sheet.runs:
        return
    tree = shapely.STRtree([shapely.box(*r.box) for r in sheet.runs])
    for i, run in enumerate(sheet.runs):
        for j in sorted(int(j) for j in tree.query(shapely.box(*grown(run.box, TEXT_ROOM)))):
            if j <= i:
                continue
            other = sheet.runs[j]
            room = apart(run.box, other.box)
            if room < (0.0 if _one_text(run, other) else TEXT_ROOM) - ROUNDING:
                told = f"{quoted(run)} and {quoted(other)} {'overlap' if room < 0 else 'nearly touch'}"
                yield Finding("text-on-text", f"{middle(run)} and {middle(other)}", f"{room:.2f} mm apart", told)


def own_line(run: Run, stroke: Stroke) -> bool:
    """The line that a text stands on or in: a dimension's own line, a fraction's bar, the ring round a letter."""
    if run.group is not stroke.group:
        return False
    kind = run.group.kind
    bar = stroke.role == "dim" and stroke.length < 12.0
    return (kind in ("dimension", "running") and stroke.role in ("dim", "ldr")) or (kind in RINGED and _ring(run, stroke)) or bar


def is_ring(stroke: Stroke) -> bool:
    """Whether the stroke is a circle."""
    return len(stroke.points) > 20 and stroke.points[0] == stroke.points[-1]


def _ring(run: Run, stroke: Stroke) -> bool:
    """Whether the stroke is a circle round the text."""
    if len(stroke.points) < 20 or stroke.points[0] != stroke.points[-1]:
        return False
    x0, y0, x1, y1 = points_box(stroke.points)
    a, b, c, d = run.box
    return x0 < a and y0 < b and c < x1 and d < y1


def line_through_text(sheet: Finished) -> Iterator[Finding]:
    """No stroke comes nearer than 0.5 mm to a text but the text's own line."""
    yield from _struck("line-through-text", sheet, [r for r in sheet.runs if not any(r.group.home(f) for f in FORMS)])


def line_through_form(sheet: Finished) -> Iterator[Finding]:
    """The same in title blocks, revision blocks, tables and lists."""
    yield from _struck("line-through-form", sheet, [r for r in sheet.runs if any(r.group.home(f) for f in FORMS)])


def _struck(rule: str, sheet: Finished, runs: Sequence[Run]) -> Iterator[Finding]:
    for run in runs:
        box = grown(run.box, LINE_ROOM - ROUNDING)
        for segment, stroke in sheet.near(box):
            if segment_meets_box(*segment, box) and not own_line(run, stroke):
                inside = segment_meets_box(*segment, grown(run.box, -ROUNDING))
                told = f"{called(stroke.group, stroke.role)} {'runs through' if inside else 'nearly touches'} {quoted(run)}"
                yield Finding(rule, f"{middle(run)}, {stroke.role} stroke of {stroke.group.name}", "through the letters" if inside else f"within {LINE_ROOM} mm", told)
                break


def ink_in_text(sheet: Finished) -> Iterator[Finding]:
    """No arrowhead, dot or other ink lies in a text box."""
    areas = [(a, loop) for a in sheet.areas if a.role == "ink" for loop in a.loops if len(loop) > 3]
    if not areas:
        return
    tree = shapely.STRtree([shapely.Polygon(loop) for _, loop in areas])
    for run in sheet.runs:
        for i in sorted(int(i) for i in tree.query(shapely.box(*grown(run.box, -ROUNDING)), predicate="intersects")):
            group = areas[i][0].group
            yield Finding("ink-in-text", f"{middle(run)}, ink of {group.name}", "in the letters", f"an arrowhead or dot of {called(group)} lies in {quoted(run)}")
            break


def ink_outside_frame(sheet: Finished) -> Iterator[Finding]:
    """All ink lies inside the frame but the frame's own marks; the frame stays 8 mm from the paper's edge. A sheet without
    a frame keeps all its ink where a printer reaches."""
    width, height = sheet.size
    paper = (0.0, 0.0, width, height)
    frame = sheet.frame()
    if frame is not None:
        least = min(frame[0], frame[1], width - frame[2], height - frame[3])
        if least < LEAST_FRAME:
            yield Finding("ink-outside-frame", "frame", f"{least:.2f} mm from the paper's edge", "the frame stands where printers do not reach")
    for what, box, group, half in _inked(sheet):
        outer = grown(paper, -LEAST_INK) if frame is None or group.home("frame") or group.home("zones") else grown(frame, 0.05)
        over = max(outer[0] - box[0], outer[1] - box[1], box[2] - outer[2], box[3] - outer[3]) + (half if frame is None else 0.0)
        if over > ROUNDING:
            where = "the frame" if frame is not None else "what printers reach"
            yield Finding("ink-outside-frame", f"{what} of {group.name}", f"{over:.2f} mm outside", f"{called(group)} reaches out of {where}")


def _inked(sheet: Finished) -> Iterator[tuple[str, Extent, Home, float]]:
    for run in sheet.runs:
        yield repr(run.text), run.box, run.group, 0.0
    for stroke in sheet.strokes:
        yield f"{stroke.role} stroke", points_box(stroke.points), stroke.group, stroke.width / 2
    for area in sheet.areas:
        if area.role != "mask":
            yield f"{area.role} area", points_box([p for loop in area.loops for p in loop]), area.group, 0.0


def stacked(run: Run, sheet: Finished) -> bool:
    """Whether the run is the digits over or under a fraction's bar: figures with another run of their group right above
    or below them."""
    if not run.text.isdigit():
        return False
    for other in sheet.runs:
        if other is run or other.group is not run.group or other.turn != run.turn or not other.text.isdigit() or abs(other.height - run.height) > 0.01:
            continue
        dx, dy = other.base[0] - run.base[0], other.base[1] - run.base[1]
        along, across = (dy, dx) if run.turn else (dx, dy)
        if abs(along) < 2.5 * run.height and run.height < abs(across) < 2.2 * run.height:
            return True
    return False


def small_lettering(sheet: Finished) -> Iterator[Finding]:
    """Capitals are at least 2.5 mm high, digits of fractions 2.4 mm."""
    for run in sheet.runs:
        least = CAPITALS
        if run.height < CAPITALS - ROUNDING and stacked(run, sheet):
            least = FRACTION_DIGITS
        if run.height < least - ROUNDING:
            yield Finding("small-lettering", middle(run), f"{run.height:.2f} mm high", f"{quoted(run)} is {run.height:.1f} mm high, less than {least:.1f} mm")


def dimension_height(sheet: Finished, wanted: float = 0.0) -> Iterator[Finding]:
    """The figures of dimensions have one height on a sheet, at least 3.5 mm; digits of fractions have one too. wanted: the
    height (mm) that the style says, 0 where it is not known."""
    figures = [(r, stacked(r, sheet)) for r in sheet.runs if r.role == "dimtxt"]
    whole, small = [r for r, over in figures if not over], [r for r, over in figures if over]
    for run in whole:
        if run.height < FIGURES - ROUNDING or (wanted and abs(run.height - wanted) > ROUNDING):
            yield Finding("dimension-height", middle(run), f"{run.height:.2f} mm high", f"the figure {quoted(run)} is {run.height:.1f} mm high")
    for kind, runs, least in (("figures", whole, FIGURES), ("fraction digits", small, FRACTION_DIGITS)):
        heights = sorted({round(r.height, 2) for r in runs})
        if len(heights) > 1 or any(h < least - ROUNDING for h in heights):
            told = ", ".join(f"{h:.2f}" for h in heights)
            yield Finding("dimension-height", kind, told, f"the {kind} are {told} mm high")


def reading_direction(sheet: Finished) -> Iterator[Finding]:
    """Lettering is level, or turned a quarter counter-clockwise."""
    for run in sheet.runs:
        if run.turn not in (0.0, -90.0):
            yield Finding("reading-direction", middle(run), f"turned by {run.turn:g} degrees", f"{quoted(run)} is turned by {run.turn:g}°")


def leaders(sheet: Finished) -> list[Stroke]:
    """Leaders of notes, balloons and figures; rings are not."""
    return [s for s in sheet.strokes if s.role == "ldr" and not is_ring(s)]


def leaders_cross(sheet: Finished) -> Iterator[Finding]:
    """Leaders of notes, balloons and figures do not cross or run into each other."""
    rows = [(s, points_box(s.points)) for s in leaders(sheet)]
    for n, (a, box) in enumerate(rows):
        for b, other in rows[n + 1 :]:
            if a.group is b.group or apart(box, other) > 0.2:
                continue
            for at in _crossings(a, b, -0.1):
                yield Finding("leaders-cross", f"leaders of {a.group.name} and {b.group.name}", f"meet at {at[0]:.1f}, {at[1]:.1f}", f"the leaders of {called(a.group)} and {called(b.group)} cross")


def _crossings(a: Stroke, b: Stroke, slack: float) -> Iterator[XY]:
    for s in a.segments:
        for t in b.segments:
            at = crossing(s, t, slack)
            if at:
                yield at


Rule = Callable[[Finished], Iterator[Finding]]
RULES: tuple[tuple[str, Rule], ...] = (
    ("dimension-height", dimension_height),
    ("ink-in-text", ink_in_text),
    ("ink-outside-frame", ink_outside_frame),
    ("leaders-cross", leaders_cross),
    ("line-through-form", line_through_form),
    ("line-through-text", line_through_text),
    ("reading-direction", reading_direction),
    ("small-lettering", small_lettering),
    ("text-on-text", text_on_text),
)
