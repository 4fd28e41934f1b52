"""Sections through the whole, with the joints that print too small drawn larger beside them.

Cut faces are hatched by material and grain, edges behind the plane are drawn, hidden ones are not. Every kind of joint
is cut by some section. Details that have no room beside their own section stand beside another one, the others
together on sheets of their own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.build.pieces import piece_name
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.dimension import place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY, Extent, Group, Item, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.scales import listed_scales
from plandoc.drawing.takeoff import Ink
from plandoc.sheets.context import SheetContext
from plandoc.sheets.details import detail_scale, detail_view, extensions, rings
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.section_plan import Cut, Detail, joint_details, section_cuts
from plandoc.sheets.sectioncut import Section, cut_through, hatching
from plandoc.sheets.sectionfigures import section_figures
from plandoc.sheets.views import Placement, stroke_lines, title_height, view_group, view_title

ORDER = 110
DETAIL_WIDE = 67.0  # mm, a column of details
DETAIL_HIGH = 78.0  # mm, a row of details
BRACKETS_HIGH = 20.0  # mm more where figures have a second one behind them: upright ones reach as much further down
GAP = 4.0
APART = 1.0  # mm between details over each other, at least
UPRIGHT = 200.0  # mm; narrower sheets have the details under the section
MOST_DROP = Fraction(3, 2)  # of the scale of a section, for a second lane of details
FEW = 3  # details on a sheet of their own, at least
BESIDE = 12.0  # mm between sections on one sheet, their letters and rings included
FIRST_BAND = 20.0  # mm that one row of dimensions takes


@dataclass(frozen=True, slots=True)
class _Plan:
    """Which details stand on which sheet. scales: of the sections; sheets: the details of each sheet, those of the
    sections first."""

    scales: tuple[Fraction, ...]
    details: tuple[Detail, ...]
    sheets: tuple[tuple[Detail, ...], ...]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sections with their details, several on a sheet where they go side by side; more details than fit go on sheets of
    their own."""
    return _composed(ctx, [cut_through(ctx, cut) for cut in section_cuts(ctx.model)], {})


def _composed(ctx: SheetContext, sections: Sequence[Section], most: Mapping[str, Fraction]) -> tuple[Draft, ...]:
    """The sheets, with scales of sections up to these, by letter. Where one has to be drawn smaller than it was planned, so
    that a joint in it wants a detail, all is planned again."""
    plan = _planned(ctx, sections, most)
    groups = _grouped(ctx, sections, plan)
    # the sections of each sheet, and its details
    sheets = [([sections[n] for n in group], [d for n in group for d in plan.sheets[n]]) for group in groups]
    sheets += [([], list(own)) for own in plan.sheets[len(sections) :]]
    codes = {d.letter: f"3.{n}" for n, (_, own) in enumerate(sheets, 1) for d in own}
    by_letter = {s.cut.letter: s for s in sections}
    scale_of = {s.cut.letter: scale for s, scale in zip(sections, plan.scales, strict=True)}
    drafts: list[Draft] = []
    for number, (shown, own) in enumerate(sheets, 1):
        code = f"3.{number}"
        scales = [detail_scale(ctx, d) for d in own]
        views = [detail_view(ctx, by_letter[d.cut], d, "" if by_letter[d.cut] in shown else f"{d.cut}-{d.cut}") for d in own]
        lanes = _lanes(ctx, len(own))
        if len(shown) == 1 and _too_high(ctx, views, lanes):
            lanes += 1
        room = _room(ctx, lanes)
        rings_of = {
            s.cut.letter: [
                (d, d.letter if codes[d.letter] == code else f"{d.letter}/{codes[d.letter]}") for d in plan.details if d.cut == s.cut.letter
            ]
            for s in shown
        }
        items: list[Item] = []
        if len(shown) == 1:
            only = shown[0].cut.letter
            view, scale_of[only] = _fitted(ctx, shown[0], scale_of[only], room, rings_of[only])
            items.append(view)
            scales.append(scale_of[only])
        else:
            row = [_drawn(ctx, s, scale_of[s.cut.letter], rings_of[s.cut.letter]) for s in shown]
            items += _in_row(row, room)
            scales += [scale_of[s.cut.letter] for s in shown]
        items += _stacked(views, _cells(ctx, lanes if shown else 0, len(own)))
        title = _title(ctx, [s.cut for s in shown], own)
        drafts.append(Draft("section", code, title, tuple(items), tuple(sorted(dict.fromkeys(scales), reverse=True))))
    needed = joint_details(ctx.model, [s.cut for s in sections], [scale_of[s.cut.letter] for s in sections])
    if not {d.joint.id for d in needed} <= {d.joint.id for d in plan.details}:
        return _composed(ctx, sections, scale_of)
    return tuple(drafts)


def _title(ctx: SheetContext, cuts: Sequence[Cut], details: Sequence[Detail]) -> str:
    if not cuts:
        return f"Details {details[0].letter} to {details[-1].letter}" if len(details) > 1 else f"Detail {details[0].letter}"
    names = [f"{c.letter}-{c.letter}" for c in cuts]
    words = f"Section {names[0]}" if len(names) == 1 else "Sections " + ", ".join(names[:-1]) + f" and {names[-1]}"
    pieces = list(dict.fromkeys(piece_name(ctx.model, c.piece) for c in cuts if c.piece))
    return words + (": " + ", ".join(pieces) if pieces else "")


def wanted(ctx: SheetContext) -> bool:
    """Whether anything has a place."""
    return bool(ctx.model.placed)


# --- which detail stands where -----------------------------------------------------------------------------------


def _planned(ctx: SheetContext, sections: Sequence[Section], most: Mapping[str, Fraction]) -> _Plan:
    """Details beside their own section first, then beside others that have room, then by themselves.

    Every section has one lane of details; a second one opens, where it costs the least scale, before a further sheet
    is taken. A further sheet holds some details at least, so it takes those of the last sections too."""
    lanes = [1] * len(sections)
    while True:
        scales = [min(_scale(ctx, s, _room(ctx, n)), most.get(s.cut.letter, Fraction(100))) for s, n in zip(sections, lanes, strict=True)]
        details = joint_details(ctx.model, [s.cut for s in sections], scales)
        sheets, left = _spread(ctx, details, sections, lanes)
        options = []
        for n, section in enumerate(sections):
            if left and lanes[n] == 1:
                drop = scales[n] / _scale(ctx, section, _room(ctx, 2))
                options.append((drop, -len([d for d in details if d.cut == section.cut.letter]), n))
        if not options or min(options)[0] > MOST_DROP:
            break
        lanes[min(options)[2]] = 2
    per_sheet = _places(ctx, 0)
    if left:
        for sheet in reversed(sheets):
            if len(left) >= FEW:
                break
            left += sheet
            sheet.clear()
        left.sort(key=details.index)
    more = [tuple(left[i : i + per_sheet]) for i in range(0, len(left), per_sheet)]
    final = [
        scale if _lanes(ctx, len(sheet)) == n else min(_scale(ctx, section, _room(ctx, _lanes(ctx, len(sheet)))), most.get(section.cut.letter, Fraction(100)))
        for section, sheet, scale, n in zip(sections, sheets, scales, lanes, strict=True)
    ]
    return _Plan(tuple(final), details, (*(tuple(sheet) for sheet in sheets), *more))


def _spread(
    ctx: SheetContext, details: Sequence[Detail], sections: Sequence[Section], lanes: Sequence[int]
) -> tuple[list[list[Detail]], list[Detail]]:
    """The details beside each section, and those that are left."""
    sheets = [
        [d for d in details if d.cut == s.cut.letter][: _places(ctx, n)] for s, n in zip(sections, lanes, strict=True)
    ]
    left = [d for d in details if all(d not in sheet for sheet in sheets)]
    for sheet, n in zip(sheets, lanes, strict=True):
        while left and len(sheet) < _places(ctx, n):
            sheet.append(left.pop(0))
    return sheets, left


def _high(ctx: SheetContext) -> float:
    """The height of a row of details (mm)."""
    return DETAIL_HIGH + (BRACKETS_HIGH if ctx.model.info.units.second is not None else 0.0)


def _lanes(ctx: SheetContext, count: int) -> int:
    """How many lanes so many details need."""
    return -(-count // _places(ctx, 1))


def _room(ctx: SheetContext, lanes: int) -> Extent:
    """The room for a section beside its lanes of details, or above them on upright paper."""
    x0, y0, x1, y1 = ctx.space
    if x1 - x0 < UPRIGHT:
        return (x0, y0, x1, y1 - (_high(ctx) + GAP) * lanes)
    return (x0, y0, x1 - (DETAIL_WIDE + GAP) * lanes, y1)


def _places(ctx: SheetContext, lanes: int) -> int:
    """How many details go into the lanes, or on a whole sheet where there are none."""
    wide, high = ctx.space[2] - ctx.space[0], ctx.space[3] - ctx.space[1]
    columns, rows = max(1, int(wide / DETAIL_WIDE)), max(1, int(high / _high(ctx)))
    if not lanes:
        return columns * rows
    return columns * lanes if wide < UPRIGHT else rows * lanes


def _cells(ctx: SheetContext, lanes: int, count: int) -> list[Extent]:
    """A cell for each of so many details."""
    x0, y0, x1, y1 = ctx.space
    columns, rows = max(1, int((x1 - x0) / DETAIL_WIDE)), max(1, int((y1 - y0) / _high(ctx)))
    if lanes and x1 - x0 < UPRIGHT:
        rows, y0 = lanes, y1 - _high(ctx) * lanes
        columns = min(columns, -(-count // lanes) or 1)
    elif lanes:
        lanes = min(lanes, count or 1)
        columns, x0 = lanes, x1 - DETAIL_WIDE * lanes
        rows = min(rows, -(-count // columns) or 1)
    wide, high = (x1 - x0) / columns, (y1 - y0) / rows
    every = [
        (x0 + c * wide, y0 + r * high, x0 + (c + 1) * wide, y0 + (r + 1) * high) for r in range(rows) for c in range(columns)
    ]
    return every[:count]


def _too_high(ctx: SheetContext, views: Sequence[Group], lanes: int) -> bool:
    """Whether details over each other in so many lanes beside a section are higher together than the sheet, and one lane more
    would part them."""
    x0, y0, x1, y1 = ctx.space
    if x1 - x0 < UPRIGHT or len(views) <= lanes:
        return False
    high: dict[float, float] = {}
    for view, cell in zip(views, _cells(ctx, lanes, len(views)), strict=True):
        box = item_extent(view) or cell
        high[cell[0]] = high.get(cell[0], 0.0) + box[3] - box[1]
    return max(high.values()) + APART * (-(-len(views) // lanes) - 1) > y1 - y0


def _grouped(ctx: SheetContext, sections: Sequence[Section], plan: _Plan) -> list[list[int]]:
    """The numbers of the sections of each sheet: neighbours that go side by side at their scales, with their details."""
    groups: list[list[int]] = []
    sizes = []
    for section, scale in zip(sections, plan.scales, strict=True):
        x0, y0, x1, y1 = item_extent(_drawn(ctx, section, scale, ())) or ctx.space
        sizes.append((x1 - x0 + BESIDE, y1 - y0 + BESIDE))
    for n in range(len(sections)):
        if groups:
            group = [*groups[-1], n]
            room = _room(ctx, _lanes(ctx, sum(len(plan.sheets[i]) for i in group)))
            wide, high = sum(sizes[i][0] for i in group), max(sizes[i][1] for i in group)
            if wide <= room[2] - room[0] and high <= room[3] - room[1]:
                groups[-1] = group
                continue
        groups.append([n])
    return groups


# --- the section on paper ----------------------------------------------------------------------------------------


def _scale(ctx: SheetContext, section: Section, room: Extent) -> Fraction:
    """The largest listed scale at which the section with its dimensions and title goes into the room, by the number
    of rows that its figures need."""
    scales = listed_scales(ctx.model.info.units)
    wide, high = room[2] - room[0], room[3] - room[1]
    for scale in scales:
        place = Placement(section.view, float(scale), (0.0, 0.0))
        free = place.extent(section.box)
        across, down = free[2] - free[0], free[3] - free[1] + title_height(ctx.style)
        if across > wide or down > high:
            continue
        asked = section_figures(section, place)
        beside = FIRST_BAND + ctx.style.row_step if any(r.prefer == "right" for r in asked) else 0.0
        below = FIRST_BAND if any(r.prefer == "below" for r in asked) else 0.0
        if across + beside <= wide and down + below <= high:
            return scale
    return scales[-1]


def _fitted(
    ctx: SheetContext, section: Section, scale: Fraction, room: Extent, details: Sequence[tuple[Detail, str]]
) -> tuple[Group, Fraction]:
    """The section in the middle of its room, at the scale or the first smaller one that fits with all its figures."""
    scales = [s for s in listed_scales(ctx.model.info.units) if s <= scale]
    for option in scales:
        drawn = _drawn(ctx, section, option, details)
        box = item_extent(drawn) or room
        if option is scales[-1] or (box[2] - box[0] <= room[2] - room[0] and box[3] - box[1] <= room[3] - room[1]):
            return _centred(drawn, room), option
    raise AssertionError("there is always a smallest scale")


def _centred(group: Group, room: Extent) -> Group:
    """The group moved into the middle of a rectangle."""
    x0, y0, x1, y1 = item_extent(group) or room
    dx = round((room[0] + room[2]) / 2 - (x0 + x1) / 2, 3)
    dy = round((room[1] + room[3]) / 2 - (y0 + y1) / 2, 3)
    return Group(group.kind, tuple(shifted(i, dx, dy) for i in group.items), group.id, group.attrs)


def _stacked(views: Sequence[Group], cells: Sequence[Extent]) -> list[Group]:
    """Each view in the middle of its cell; of cells over each other, each as high as its view needs."""
    found = []
    for view, cell in zip(views, cells, strict=True):
        column = [(v, c) for v, c in zip(views, cells, strict=True) if (c[0], c[2]) == (cell[0], cell[2])]
        boxes = [item_extent(v) or c for v, c in column]
        low, high = column[0][1][1], column[-1][1][3]
        spare = (high - low - sum(b[3] - b[1] for b in boxes)) / len(column)
        number = next(n for n, (v, _) in enumerate(column) if v is view)
        start = low + sum(b[3] - b[1] + spare for b in boxes[:number])
        found.append(_centred(view, (cell[0], start, cell[2], start + boxes[number][3] - boxes[number][1] + spare)))
    return found


def _in_row(views: Sequence[Group], room: Extent) -> list[Group]:
    """Views side by side, the spare room shared out evenly."""
    boxes = [item_extent(v) or room for v in views]
    spare = (room[2] - room[0] - sum(b[2] - b[0] for b in boxes)) / (len(views) + 1)
    found, x = [], room[0] + spare
    for view, box in zip(views, boxes, strict=True):
        wide = box[2] - box[0]
        found.append(_centred(view, (x, room[1], x + wide, room[3])))
        x += wide + spare
    return found


def _drawn(ctx: SheetContext, section: Section, scale: Fraction, details: Sequence[tuple[Detail, str]]) -> Group:
    """The section with the model's origin at the paper's."""
    style, letter = ctx.style, section.cut.letter
    place = Placement(section.view, float(scale), (0.0, 0.0))
    outline = place.extent(section.box)
    asked = section_figures(section, place)
    marks = rings(ctx, section, details, place, outline, _extensions(asked, outline))
    blocked = [e for e in (item_extent(m) for m in marks) if e is not None]
    letters = [e for m in marks for i in m.items[2:] if (e := item_extent(i)) is not None]
    edges = stroke_lines(section.strokes, place)
    placed = place_dimensions(outline, asked, style, blocked, "tick", Ink(edges))
    items: list[Item] = [
        *hatching(section.faces, section.cut, place, (*edges, *extensions(placed.groups)), letters), *edges, *marks,
        *placed.groups,
    ]  # fmt: skip
    low = max(e[3] for e in (item_extent(i) for i in items) if e is not None)
    items += view_title(
        f"SECTION {letter}-{letter}", scale, (outline[0] + outline[2]) / 2, low, style, ctx.model.info.units
    )
    return view_group(f"section-{letter}", "", place, scale, items, "section")


def _extensions(asked: Sequence[DimensionRequest], outline: Extent) -> list[tuple[XY, XY]]:
    """Where the extension lines of dimensions cross the view and the band beside it."""
    ends: Mapping[str, float] = {
        "left": outline[0] - FIRST_BAND, "above": outline[1] - FIRST_BAND, "right": outline[2] + FIRST_BAND,
        "below": outline[3] + FIRST_BAND,
    }  # fmt: skip
    found: list[tuple[XY, XY]] = []
    for request in asked:
        for x, y in (request.start, request.end):
            far = ends[request.prefer]
            found.append(((x, y), (x, far) if request.axis == "x" else (far, y)))
    return found


KIND = SheetKind("section", ORDER, compose, wanted, together="Sections and details")
