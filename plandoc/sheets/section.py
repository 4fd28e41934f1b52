"""Sections through the whole, with the joints that print too small drawn larger beside them.

Cut faces are hatched by material and grain, edges behind the plane are drawn, hidden ones are not. Every kind of joint
is cut by some section.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, sin

from plandoc.drawing.boxes import grown, item_extent, overlap, segment_meets_box
from plandoc.drawing.dimension import place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.hatch import cut_pattern
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.drawing.linework import detail_circle
from plandoc.drawing.scales import listed_scales
from plandoc.geometry.bodies import ACROSS, BACK, UP, Box, Face
from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Region
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import FACE_VIEWS, Projection
from plandoc.model.entities import Joint, Part
from plandoc.quantity import shop_number, shop_text
from plandoc.sheets.clip import clipped_loops, clipped_strokes
from plandoc.sheets.context import SheetContext
from plandoc.sheets.levels import AXIS_WORDS, Edge, Gap, picture_axis, requests
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.section_plan import Cut, Detail, joint_details, section_cuts
from plandoc.sheets.views import TITLE_HEIGHT, Placement, stroke_lines, view_group, view_title

ORDER = 110
LEAST_MEMBER = 1.2
DETAIL_RADIUS = 17.0  # mm on paper
DETAIL_DEPTH = 5.0  # mm on paper that the depth of a joint takes in its detail, at least
DETAIL_COLUMN = 76.0  # mm
DETAIL_ROW = 76.0
CUT_DEPTH = "depth"

Loop2 = tuple[XY, ...]


@dataclass(frozen=True, slots=True)
class _Face:
    """The cut face of one part: loops in picture mm, holes included."""

    part: Part
    loops: tuple[Loop2, ...]
    index: int


@dataclass(frozen=True, slots=True)
class _Section:
    """One section traced: what is cut and what stands behind."""

    cut: Cut
    view: Projection
    faces: tuple[_Face, ...]
    strokes: tuple[Stroke, ...]
    box: Box


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """One sheet a section with its details; more details than fit go on a sheet of their own."""
    cuts = section_cuts(ctx.model)
    sections = [_traced(ctx, cut) for cut in cuts]
    narrow = [_scale(ctx, s, _left(ctx.space)) for s in sections]
    details = joint_details(ctx.model, cuts, narrow)
    drafts: list[Draft] = []
    for section, scale in zip(sections, narrow, strict=True):
        own = [d for d in details if d.cut == section.cut.letter]
        drafts += _sheets(ctx, section, scale if own else _scale(ctx, section, ctx.space), own, len(drafts))
    return tuple(drafts)


def wanted(ctx: SheetContext) -> bool:
    """Whether anything has a place."""
    return bool(ctx.model.placed)


def _left(space: Extent) -> Extent:
    """The room beside a column of details, or above a row of them on upright paper."""
    if space[2] - space[0] < 200:
        return (space[0], space[1], space[2], space[3] - DETAIL_ROW - 4)
    return (space[0], space[1], space[2] - DETAIL_COLUMN - 4, space[3])


def _slots(space: Extent, beside: bool) -> list[Extent]:
    """Cells for details: beside the section, or all over a sheet."""
    left, top, right, bottom = space
    if beside and right - left >= 200:
        left = right - DETAIL_COLUMN
    elif beside:
        top = bottom - DETAIL_ROW
    columns = max(1, int((right - left + 0.1) / DETAIL_COLUMN))
    rows = max(1, int((bottom - top + 0.1) / DETAIL_ROW))
    wide, high = (right - left) / columns, (bottom - top) / rows
    return [
        (left + c * wide, top + r * high, left + (c + 1) * wide, top + (r + 1) * high)
        for r in range(rows)
        for c in range(columns)
    ]


def _sheets(ctx: SheetContext, section: _Section, scale: Fraction, own: Sequence[Detail], before: int) -> list[Draft]:
    title = f"Section {section.cut.letter}-{section.cut.letter}"
    slots = _slots(ctx.space, True)
    here, later = own[: len(slots)], own[len(slots) :]
    room = _left(ctx.space) if own else ctx.space
    items: list[Item] = [_section_view(ctx, section, scale, room, own)]
    scales = [scale]
    for detail, slot in zip(here, slots, strict=False):
        group, used = _detail_view(ctx, section, detail, slot)
        items.append(group)
        scales.append(used)
    drafts = [Draft("section", f"3.{before + 1}", title, tuple(items), _ordered(scales))]
    cells = _slots(ctx.space, False)
    while later:
        some, later = later[: len(cells)], later[len(cells) :]
        items, scales = [], []
        for detail, slot in zip(some, cells, strict=False):
            group, used = _detail_view(ctx, section, detail, slot)
            items.append(group)
            scales.append(used)
        name = f"Details of section {section.cut.letter}-{section.cut.letter}"
        drafts.append(Draft("section", f"3.{before + len(drafts) + 1}", name, tuple(items), _ordered(scales)))
    return drafts


def _ordered(scales: Sequence[Fraction]) -> tuple[Fraction, ...]:
    return tuple(sorted(dict.fromkeys(scales), reverse=True))


def _traced(ctx: SheetContext, cut: Cut) -> _Section:
    at = float(cut.at)
    view = FACE_VIEWS[cut.look.opposite.name]
    halves = []
    faces: list[_Face] = []
    for part in ctx.model.placed:
        solid = ctx.solids[part.path]
        lo, hi = solid.bounds[0][cut.axis], solid.bounds[1][cut.axis]
        if lo < at < hi:
            half = solid.half(cut.axis, at, cut.look.side)
            loops = tuple(_flat(loop, cut, view) for region in solid.section(cut.axis, at) for loop in _loops(region))
            faces.append(_Face(part, loops, 0))
        elif (hi <= at) == (cut.look.side < 0):
            half = solid
        else:
            continue
        if not half.empty:
            halves.append((part.path, half))
    box = ctx.model.box
    assert box is not None
    return _Section(cut, view, _indexed(faces), trace(halves, view, hidden=False), box)


def _loops(region: Region) -> tuple[Loop2, ...]:
    return (region.outer, *region.holes)


def _flat(loop: Loop2, cut: Cut, view: Projection) -> Loop2:
    """A loop in the two other world axes, as picture points."""
    rows = []
    for a, b in loop:
        point = [a, b]
        point.insert(cut.axis, float(cut.at))
        rows.append(view.flat_point((point[0], point[1], point[2])))
    return tuple(rows)


def _indexed(faces: Sequence[_Face]) -> tuple[_Face, ...]:
    """Each cut face with the least number that no touching neighbour has."""
    done: list[_Face] = []
    for face in faces:
        taken = [f.index for f in done if _touch(f.part.box, face.part.box)]
        done.append(_Face(face.part, face.loops, next(i for i in range(len(faces) + 1) if i not in taken)))
    return tuple(done)


def _touch(a: Box, b: Box) -> bool:
    return all(a.lo[i] <= b.hi[i] and b.lo[i] <= a.hi[i] for i in range(3))


def _material(part: Part, cut: Cut, view: Projection) -> tuple[str, float, int]:
    """Pattern of a cut face, its direction on paper (degrees), and the axis across a panel."""
    if part.stock.kind == "sheet":
        if part.thickness_axis == cut.axis:
            return "end grain", 0.0, -1
        plane = next(a for a in range(3) if a not in (cut.axis, part.thickness_axis))
        return "panel", 0.0 if picture_axis(view, plane)[0] == 0 else 90.0, part.thickness_axis
    if part.length_axis == cut.axis:
        return "end grain", 0.0, -1
    return "long grain", 0.0 if picture_axis(view, part.length_axis)[0] == 0 else 90.0, -1


def _hatching(faces: Sequence[_Face], cut: Cut, place: Placement, avoid: Sequence[Extent] = ()) -> list[Group]:
    groups = []
    for face in faces:
        kind, direction, across = _material(face.part, cut, place.view)
        thickness = float(face.part.thickness) * place.ratio if across >= 0 else 0.0
        loops = [[place.paper(p) for p in loop] for loop in face.loops]
        lines = cut_pattern(loops, kind, direction, face.index, avoid, thickness)
        groups.append(Group("cut", lines, attrs=(("part", face.part.path), ("pattern", kind))))
    return groups


def _scale(ctx: SheetContext, section: _Section, room: Extent) -> Fraction:
    """The largest listed scale at which the section with its dimensions and title goes into the room."""
    scales = listed_scales(ctx.model.info.units)
    for scale in scales:
        free = Placement(section.view, float(scale), (0.0, 0.0)).extent(section.box)
        if free[2] - free[0] > room[2] - room[0] or free[3] - free[1] > room[3] - room[1]:
            continue
        if free[3] - free[1] + TITLE_HEIGHT > room[3] - room[1]:
            continue
        x0, y0, x1, y1 = item_extent(_drawn(ctx, section, scale, ())) or free
        if x1 - x0 <= room[2] - room[0] and y1 - y0 <= room[3] - room[1]:
            return scale
    return scales[-1]


def _section_view(
    ctx: SheetContext, section: _Section, scale: Fraction, room: Extent, details: Sequence[Detail]
) -> Group:
    return _centred(_drawn(ctx, section, scale, details), room)


def _centred(group: Group, room: Extent) -> Group:
    """The group moved into the middle of a rectangle."""
    x0, y0, x1, y1 = item_extent(group) or room
    dx = round((room[0] + room[2]) / 2 - (x0 + x1) / 2, 3)
    dy = round((room[1] + room[3]) / 2 - (y0 + y1) / 2, 3)
    return Group(group.kind, tuple(shifted(i, dx, dy) for i in group.items), group.id, group.attrs)


def _drawn(ctx: SheetContext, section: _Section, scale: Fraction, details: Sequence[Detail]) -> Group:
    """The section with the model's origin at the paper's."""
    style, letter = ctx.style, section.cut.letter
    place = Placement(section.view, float(scale), (0.0, 0.0))
    outline = place.extent(section.box)
    asked = _interior(ctx, section, place)
    circles = _circles(ctx, section, details, place, outline, _extensions(asked, outline))
    blocked = [e for e in (item_extent(c) for c in circles) if e is not None]
    placed = place_dimensions(outline, asked, style, blocked, "tick")
    items: list[Item] = [
        *_hatching(section.faces, section.cut, place, blocked), *stroke_lines(section.strokes, place), *circles,
        *placed.groups,
    ]  # fmt: skip
    low = max(e[3] for e in (item_extent(i) for i in items) if e is not None)
    items += view_title(
        f"SECTION {letter}-{letter}", scale, (outline[0] + outline[2]) / 2, low, style, ctx.model.info.units
    )
    return view_group(f"section-{letter}", "", place, scale, items, "section")


def _extensions(asked: Sequence[DimensionRequest], outline: Extent) -> list[tuple[XY, XY]]:
    """Where the extension lines of dimensions cross the view."""
    ends = {"left": outline[0], "above": outline[1], "right": outline[2], "below": outline[3]}
    found: list[tuple[XY, XY]] = []
    for request in asked:
        for x, y in (request.start, request.end):
            far = ends[request.prefer]
            found.append(((x, y), (x, far) if request.axis == "x" else (far, y)))
    return found


def _circles(
    ctx: SheetContext, section: _Section, details: Sequence[Detail], place: Placement, outline: Extent,
    extensions: Sequence[tuple[XY, XY]],
) -> list[Item]:  # fmt: skip
    """Circles round the places drawn larger; letters inwards, else where they cross the fewest lines and letters."""
    lines = [p for line in stroke_lines(section.strokes, place) for p in pairwise(line.points)]
    lines += extensions
    found: list[Item] = []
    letters: list[Extent] = []
    for detail in details:
        ratio = float(_detail_scale(ctx, detail.joint))
        radius = max(DETAIL_RADIUS / ratio * place.ratio, 3.0)
        spot = place.spot(_middle(detail.joint))
        across = -1.0 if spot[0] > (outline[0] + outline[2]) / 2 else 1.0
        down = -1.0 if spot[1] > (outline[1] + outline[3]) / 2 else 1.0
        choices = []
        for part in (1.0, 0.5, 2.0, 0.1, 10.0, 0.25, 4.0):
            for sx, sy in ((across, down), (across, -down), (-across, down), (-across, -down)):
                items = detail_circle(spot, radius, detail.letter, ctx.style, (sx * part, sy))
                box = item_extent(items[1]) or (*spot, *spot)
                wide = grown(box, 0.8)
                crossed = sum(segment_meets_box(p, q, wide) for p, q in lines)
                choices.append((10 * sum(overlap(box, o, 1.0) for o in letters) + crossed, items, box))
        _, items, box = min(choices, key=lambda c: c[0])
        found += items
        letters.append(box)
    return found


def _cut_edges(section: _Section, axis: int, thin: bool) -> list[tuple[Edge, Edge]]:
    """The spans of the cut faces along a world axis; thin: only of parts that are thin along it."""
    number, _ = picture_axis(section.view, axis)
    found = []
    for face in section.faces:
        part = face.part
        if thin and min((ACROSS, UP, BACK), key=part.box.size) != axis:
            continue
        points = [p for loop in face.loops for p in loop]
        if not points:
            continue
        other = [p[1 - number] for p in points]
        reach = (min(other), max(other))
        low = Edge(part.box.lo[axis], f"{part.path}.{Face(axis, -1).name}", *reach)
        high = Edge(part.box.hi[axis], f"{part.path}.{Face(axis, 1).name}", *reach)
        found.append((low, high))
    return sorted(found, key=lambda pair: (pair[0].value, pair[1].value))


def _interior(ctx: SheetContext, section: _Section, place: Placement) -> list[DimensionRequest]:
    """Clear openings between what is cut, and each different thickness once."""
    units = ctx.model.info.units
    least = LEAST_MEMBER / place.ratio
    sides = {0: "below", 1: "right"}
    found: list[DimensionRequest] = []
    thick: list[tuple[str, Fraction]] = []
    for axis in range(3):
        number, _ = picture_axis(place.view, axis)
        if number < 0:
            continue
        spans = _cut_edges(section, axis, thin=True)
        found += requests(_clear(spans, least), axis, place, units, sides[number])
        for low, high in spans:
            part = ctx.model.part(low.name.rsplit(".", 1)[0])
            key = (part.stock.name, high.value - low.value)
            if key not in thick and float(key[1]) >= least:
                thick.append(key)
                found += requests((Gap(low, high),), axis, place, units, sides[number])
        if axis == BACK and section.cut.axis == ACROSS:
            given = [r.value for r in found if r.world_axis == AXIS_WORDS[BACK]]
            found += _set_backs(section, place, ctx, least, given)
    return found


def _clear(spans: Sequence[tuple[Edge, Edge]], least: float) -> tuple[Gap, ...]:
    """Clear distances between neighbours that overlap sideways, each different one of a row once."""
    edges: list[Edge] = []
    gaps: list[Gap] = []
    for low, high in spans:
        below = [e for e in edges if e.value <= low.value and min(e.high, low.high) - max(e.low, low.low) > least]
        if below:
            nearest = max(below, key=lambda e: e.value)
            if float(low.value - nearest.value) >= least:
                gaps.append(Gap(nearest, low))
        edges.append(high)
    return _counted(gaps)


def _counted(gaps: Sequence[Gap]) -> tuple[Gap, ...]:
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


def _set_backs(
    section: _Section, place: Placement, ctx: SheetContext, least: float, given: Sequence[Fraction]
) -> list[DimensionRequest]:
    """Depths of the shelves and bottoms that are cut, each different one once, above the section. given: figures that
    stand there already."""
    found: list[DimensionRequest] = []
    seen: list[Fraction] = list(given)
    for low, high in _cut_edges(section, BACK, thin=False):
        part = ctx.model.part(low.name.rsplit(".", 1)[0])
        size = part.box.size(BACK)
        level = min((ACROSS, UP, BACK), key=part.box.size) == UP
        if level and size not in seen and float(size) >= least and len(found) < 3:
            seen.append(size)
            found += requests((Gap(low, high),), BACK, place, ctx.model.info.units, "above")
    return found


# --- details ---------------------------------------------------------------------------------------------------


def _middle(joint: Joint) -> tuple[float, float, float]:
    lo, hi = joint.channel.lo, joint.channel.hi
    return float(lo[0] + hi[0]) / 2, float(lo[1] + hi[1]) / 2, float(lo[2] + hi[2]) / 2


def _detail_scale(ctx: SheetContext, joint: Joint) -> Fraction:
    """The first listed scale, from the smallest up to full size, at which depth and width print well and the channel
    still lies inside the circle."""
    small, large = sorted((joint.cut_depth, joint.width))
    options = sorted(s for s in listed_scales(ctx.model.info.units) if Fraction(1, 5) <= s <= 1)
    for scale in options:
        if float(small * scale) >= DETAIL_DEPTH:
            return scale
        if float(large * scale * 2) > 1.4 * DETAIL_RADIUS:
            return scale
    return options[-1]


def _detail_view(ctx: SheetContext, section: _Section, detail: Detail, cell: Extent) -> tuple[Group, Fraction]:
    joint = detail.joint
    scale = _detail_scale(ctx, joint)
    free = Placement(section.view, float(scale), (0.0, 0.0))
    return _centred(_detail_drawn(ctx, section, detail, free, scale), cell), scale


def _detail_drawn(ctx: SheetContext, section: _Section, detail: Detail, place: Placement, scale: Fraction) -> Group:
    style, joint = ctx.style, detail.joint
    x, y = section.view.flat_point(_middle(joint))
    radius = DETAIL_RADIUS / place.ratio
    circle = tuple((x + radius * cos(pi * k / 48), y + radius * sin(pi * k / 48)) for k in range(96))
    faces = [_Face(f.part, loops, f.index) for f in section.faces if (loops := clipped_loops(f.loops, circle))]
    strokes = clipped_strokes(section.strokes, circle)
    middle = place.paper((x, y))
    outline = (middle[0] - DETAIL_RADIUS, middle[1] - DETAIL_RADIUS, middle[0] + DETAIL_RADIUS, middle[1] + DETAIL_RADIUS)
    placed = place_dimensions(outline, _joint_figures(ctx, joint, place), style, (), "tick")
    items: list[Item] = [
        *_hatching(faces, section.cut, place), *stroke_lines(strokes, place), Circle("ldr", middle, DETAIL_RADIUS),
        *placed.groups,
    ]  # fmt: skip
    low = max(e[3] for e in (item_extent(i) for i in items) if e is not None)
    items += view_title(f"DETAIL {detail.letter}", scale, middle[0], low, style, ctx.model.info.units)
    size = style.minimum_height
    for number, line in enumerate(wrap(_joint_text(ctx, joint), size, DETAIL_COLUMN - 4), 1):
        drop = low + 15.5 + number * 1.7 * size
        items += note_line_items(line, (middle[0], drop), size, anchor="middle")
    return view_group(f"detail-{detail.letter}", "", place, scale, items, "detail")


def _joint_text(ctx: SheetContext, joint: Joint) -> str:
    a, b = ctx.model.part(joint.a), ctx.model.part(joint.b)
    return f"{joint.kind}: {a.name} ({a.mark}) into {b.name} ({b.mark}), enters {shop_text(joint.depth, ctx.model.info.units)}"


def _joint_figures(ctx: SheetContext, joint: Joint, place: Placement) -> tuple[DimensionRequest, ...]:
    """Width and depth of the channel."""
    found = []
    channel = joint.channel
    corner = place.extent(channel)
    for axis, name in ((joint.thickness_axis, "width"), (joint.entry.axis, CUT_DEPTH)):
        number, _ = picture_axis(place.view, axis)
        if number < 0:
            continue
        lo, hi = channel.span(axis)
        # extension lines take off at the upper and the left border of the channel
        ends = [place.spot([float(v) for v in p]) for p in (channel.lo, channel.hi)]
        starts = [(p[0], corner[1]) if number == 0 else (corner[0], p[1]) for p in ends]
        asked = DimensionRequest(
            "x" if number == 0 else "y", starts[0], starts[1], hi - lo, shop_number(hi - lo, ctx.model.info.units), "size",
            "above" if number == 0 else "left", (f"{joint.id}.{name}.lo", f"{joint.id}.{name}.hi"), AXIS_WORDS[axis],
        )  # fmt: skip
        found.append(asked)
    return tuple(found)


KIND = SheetKind("section", ORDER, compose, wanted)
