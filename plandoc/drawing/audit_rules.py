"""Audit rules for lettering, ink and leaders. Each takes the prepared sheet and gives its findings."""

from __future__ import annotations

from plandoc.drawing.audit_sheet import Finding, SheetView
from plandoc.drawing.boxes import grown, item_extent, overlap, segment_meets_box, segments_cross
from plandoc.drawing.display import XY, Extent, Group, Line, Text, walk

TEXT_ROOM = 0.7  # two boxes grown by 0.35 each
LINE_ROOM = 0.5
SLACK = 0.02
OWN_LINES = ("balloon", "leader", "table", "titleblock", "symbol", "barscale")
LINES_OF_GROUPS = ("frame", "tb", "zone")


def _middle(box: Extent) -> XY:
    return (round((box[0] + box[2]) / 2, 2), round((box[1] + box[3]) / 2, 2))


def text_on_text(view: SheetView) -> tuple[Finding, ...]:
    """No two texts of different groups come nearer than 0.7 mm; within a group they do not overlap."""
    out = []
    for i, (text, owner, box) in enumerate(view.texts):
        for j in view.near_texts(grown(box, TEXT_ROOM)):
            other, other_owner, other_box = view.texts[j]
            if j <= i:
                continue
            room = -0.1 if owner == other_owner and owner >= 0 else TEXT_ROOM - SLACK
            if overlap(box, other_box, room):
                out.append(Finding("text-on-text", f"{text.text!r} and {other.text!r} touch", _middle(box)))
    return tuple(out)


def line_through_text(view: SheetView) -> tuple[Finding, ...]:
    """No stroke comes nearer than 0.5 mm to a text, the own line and leader of a dimension and the rules of tables
    excepted."""
    out = []
    for text, owner, box in view.texts:
        if text.role == "tbtxt":
            continue
        wide = grown(box, LINE_ROOM - SLACK)
        for i in view.near_segments(wide):
            segment, role, line_owner = view.segments[i]
            if role in LINES_OF_GROUPS or _exempt(view, owner, line_owner, role):
                continue
            if segment_meets_box(*segment, wide):
                message = f"a {role} stroke runs through {text.text!r}"
                out.append(Finding("line-through-text", message, _middle(box)))
                break
    return tuple(out)


def _exempt(view: SheetView, owner: int, line_owner: int, role: str) -> bool:
    """Whether the stroke belongs to the same thing as the text and is meant to be near it."""
    for kind in OWN_LINES:
        home = view.within(owner, kind)
        if home >= 0 and home == view.within(line_owner, kind):
            return True
    return owner >= 0 and owner == line_owner and view.kind(owner) == "dimension" and role in ("dim", "ldr")


def ink_outside_frame(view: SheetView) -> tuple[Finding, ...]:
    """Nothing but the frame's own marks lies outside the frame."""
    frame = grown(view.frame(), 0.05)
    out = []
    for owned in view.leaves:
        if owned.item.role in ("frame", "zone") or view.within(owned.owner, "frame") >= 0:
            continue
        box = item_extent(owned.item)
        if box and (box[0] < frame[0] or box[1] < frame[1] or box[2] > frame[2] or box[3] > frame[3]):
            what = repr(owned.item.text) if isinstance(owned.item, Text) else f"a {owned.item.role} stroke"
            out.append(Finding("ink-outside-frame", f"{what} lies outside the frame", _middle(box)))
    return tuple(out)


def small_lettering(view: SheetView) -> tuple[Finding, ...]:
    """Capitals are at least as high as the style's minimum, and 2.5 mm; fraction digits at least 2.4 mm."""
    out = []
    least = max(2.5, view.style.minimum_height)
    for text, owner, box in view.texts:
        fraction = view.kind(owner) in ("dimension", "leader", "table") and text.text.isdigit()
        if text.size < (2.4 if fraction else least) - 1e-6:
            message = f"{text.text!r} is {text.size:.2f} mm high"
            out.append(Finding("small-lettering", message, _middle(box)))
    return tuple(out)


def reading_direction(view: SheetView) -> tuple[Finding, ...]:
    """Lettering reads from the bottom or from the right."""
    return tuple(
        Finding("reading-direction", f"{text.text!r} is turned by {text.rotation:g} degrees", _middle(box))
        for text, _, box in view.texts
        if text.rotation not in (0, -90)
    )


def leaders_cross(view: SheetView) -> tuple[Finding, ...]:
    """Leaders of notes and balloons cross no other leader."""
    out = []
    rows = [n for n, (_, role, _) in enumerate(view.segments) if role == "ldr"]
    for i in rows:
        segment, _, owner = view.segments[i]
        (ax, ay), (bx, by) = segment
        for j in view.near_segments((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))):
            other, role, other_owner = view.segments[j]
            if j > i and role == "ldr" and owner != other_owner and segments_cross(segment, other):
                names = " and ".join(_name(view, o) for o in (owner, other_owner))
                out.append(Finding("leaders-cross", f"leaders cross: {names}", segment[1]))
    return tuple(out)


def leader_angle(view: SheetView) -> tuple[Finding, ...]:
    """The leader of a note leans between 15 and 75 degrees."""
    out = []
    for group in view.groups:
        if group.kind != "leader":
            continue
        lines = [i for i in walk(group.items) if isinstance(i, Line) and i.role == "ldr"]
        if not lines:
            continue
        (x0, y0), (x1, y1) = lines[0].points[:2]
        dx, dy = abs(x1 - x0), abs(y1 - y0)
        if dy < 0.267 * dx or dx < 0.267 * dy:
            out.append(Finding("leader-angle", f"the leader of {_label(group)} is not inclined", (x0, y0)))
    return tuple(out)


def _label(group: Group) -> str:
    names = dict(group.attrs)
    return names.get("note") or names.get("item") or names.get("mm") or group.kind


def _name(view: SheetView, owner: int) -> str:
    return _label(view.groups[owner]) if owner >= 0 else "a line"


RULES = (
    ("ink-outside-frame", ink_outside_frame),
    ("leader-angle", leader_angle),
    ("leaders-cross", leaders_cross),
    ("line-through-text", line_through_text),
    ("reading-direction", reading_direction),
    ("small-lettering", small_lettering),
    ("text-on-text", text_on_text),
)
