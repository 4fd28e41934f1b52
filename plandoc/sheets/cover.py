"""Cover: what the piece is, how large, which sheets follow, and whether the print came out at 100 %."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from math import inf

from plandoc.build.pieces import drawn_apart
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.display import XY, Extent, Group, Item, Line, Text
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import ELLIPSIS, descent, fitted, note_line_items, text_width, wrap
from plandoc.drawing.style import Style
from plandoc.geometry.view import ISO
from plandoc.model.entities import Model
from plandoc.quantity import Units, dual_text
from plandoc.sheets.context import IndexRow, SheetContext
from plandoc.sheets.registry import SheetKind, sheet_kinds
from plandoc.sheets.truesize import BARS
from plandoc.sheets.views import moved_bodies, picture
from plandoc.shopwork.hardwarelist import height_words
from plandoc.shopwork.names import counted, mass_words
from plandoc.shopwork.weights import part_weight

BAR_TICK = 1.5
BAR_ROOM = 17.0  # mm beside the picture for two bars with their words
COLUMN_GAP = 10.0
PITCHES = (1.9, 1.6, 1.5)  # line pitch over cap height; the narrower ones where the sheet index needs the room
INDEX_PITCHES = (1.75, 1.6, 1.45)  # from row to row of the sheet index, in heights of the lettering
INDEX_HEAD = 16.0  # mm for the heading of the sheet index
NOTES_SHARE = 0.6  # of the column's height; the index has the rest
TITLES = (1.4, 1.0)  # of the height of titles, the lower one where room is short
RULE_GAP = 2.5  # mm from the base line above to a rule
LEAST_FOOT = 2.0  # mm that the lowest letters may hang into the margin of the drawing space
RULE_CLEAR = 0.8  # mm between the lowest letter and the rule
ORDER = 0


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """The one cover sheet."""
    x0, y0, x1, y1 = ctx.space
    wide = x1 - x0
    column = x0 + max(0.56 * wide, 130.0)
    if wide < 200:  # upright paper: words under the picture
        middle = y0 + max(0.56 * (y1 - y0), BARS[1][0] + BAR_ROOM + 8.0 + COLUMN_GAP / 2)
        left: Extent = (x0, y0, x1, middle - COLUMN_GAP / 2)
        right: Extent = (x0, middle + COLUMN_GAP / 2, x1, y1)
    else:
        left, right = (x0, y0, column - COLUMN_GAP / 2, y1), (column + COLUMN_GAP / 2, y0, x1, y1)
    items: list[Item] = [_bars(left, ctx.style)]
    area = (left[0] + BAR_ROOM + 4, left[1] + 6, left[2] - 2, left[3] - BAR_ROOM - 10)
    if wide < 200:
        half = 0.56 * (wide - COLUMN_GAP)
        words, index = (x0, right[1], x0 + half, y1), (x0 + half + COLUMN_GAP, right[1], x1, y1)
    else:
        words, index = right, None
    written = [_words(ctx, words, index, pitch) for pitch in PITCHES]
    chosen = next((found for found in written if _whole(found, y1)), written[-1])
    if not _whole(chosen, y1):  # large letters: the index stands below the picture, the words have the rest
        under, small = _under_picture(ctx, area), ctx.style.minimum_height
        ways = (_words(ctx, right, under, pitch, title, size) for size in (ctx.style.height("body"), small) for title in TITLES for pitch in PITCHES)
        beside = next((found for found in ways if _whole(found, y1)), None)
        if beside is not None:
            chosen, area = beside, (area[0], area[1], area[2], under[1] - 2.0)
    paths = tuple(p.path for p in ctx.model.placed)
    if paths:
        items.append(picture(moved_bodies(ctx.solids, paths), ISO, area, parts=ctx.model.placed))
    items.append(Group("cover", tuple(chosen), id="cover"))
    return (Draft("cover", "0.1", "Cover and sheet index", tuple(items)),)


def _under_picture(ctx: SheetContext, area: Extent) -> Extent:
    """Room for the sheet index in the lower part of the picture's; two thirds of that at the most where there is a picture."""
    body = ctx.style.height("body")
    needed = PITCHES[-1] * ctx.style.height("head") + RULE_GAP + 1.0 + INDEX_PITCHES[0] * body * len(collapsed(_own(ctx.index))) + body
    return area[0], area[3] - min(needed, (area[3] - area[1]) * (2 / 3 if ctx.model.placed else 1.0)), area[2], area[3]


def overall_text(model: Model) -> str:
    """`24 wide × 12 23/32 deep × 30 high` of the placed parts, and the height with casters or feet below them; "" where
    there are none, or several pieces that stand apart."""
    box = model.box
    if box is None or drawn_apart(model):
        return ""
    sizes = (dual_text(box.size(axis), model.info.units) for axis in range(3))
    said = " × ".join(f"{size} {word}" for size, word in zip(sizes, ("wide", "deep", "high"), strict=True))
    return ", ".join(words for words in (said, height_words(model)) if words)


def weight_text(ctx: SheetContext) -> str:
    """`about 36 kg (80 lb), estimate, no hardware` from the volumes of the solids and the densities of the
    materials; "" where a density is not known."""
    if not ctx.model.parts:
        return ""
    total = Fraction(0)
    volumes = {path: solid.volume for path, solid in ctx.solids.items()}
    for part in ctx.model.parts:
        weight = part_weight(part, volumes)
        if weight is None:
            return ""
        total += weight * part.count
    return f"about {mass_words(total)}, estimate, no hardware"


def written_files(index: Sequence[IndexRow]) -> str:
    """The files of the packet in words, documents beside it with their pages; "" in the first pass, when the sheets are
    not known yet."""
    pages: dict[str, int] = {}
    for row in index:
        pages[row.file] = pages.get(row.file, 0) + 1
    if not pages:
        return ""
    made = {kind.file: kind.pages for kind in sheet_kinds()}
    names = [f"{name}.pdf" + (f" ({counted(n, 'page')} {made[name]})" if made.get(name) else "") for name, n in pages.items()]
    return ", ".join(names) + "; lists and data beside them"


def units_text(units: Units) -> str:
    """The unit and the rounding in words; the second unit in square brackets, as it is printed."""
    if units.second is not None:
        return f"{_rounding(units, ' to ')} [{_rounding(units.second, ' to ')}]; ≈ is rounded"
    return f"{_rounding(units, ', printed to ')}; ≈ is rounded"


def _rounding(units: Units, joined: str) -> str:
    if units.system == "inch":
        return f"inches{joined}{units.step}"
    return f"{'mm' if joined == ' to ' else 'millimetres'}{joined}{float(units.step):g}"


class _Column:
    """Writes lines downwards."""

    def __init__(self, space: Extent, style: Style, pitch: float) -> None:
        self.left, self.y, self.right, self.bottom = space
        self.style, self.pitch = style, pitch
        self.items: list[Item] = []

    @property
    def width(self) -> float:
        return self.right - self.left

    def words(self, text: str, role: str, bold: bool = False, size: float | None = None, indent: float = 0.0) -> None:
        """Wrapped text."""
        high = size or self.style.height(role)
        for line in wrap(text, high, self.width - indent, bold):
            self.y += self.pitch * high
            self.items += note_line_items(line, (self.left + indent, self.y), high, role, bold=bold)

    def pair(self, label: str, text: str, tab: float) -> None:
        """A label with its text beside it."""
        high = self.style.height("body")
        for number, line in enumerate(wrap(text, high, self.width - tab)):
            self.y += self.pitch * high
            if number == 0:
                self.items.append(Text("body", (self.left, self.y), label, high, bold=True))
            self.items += note_line_items(line, (self.left + tab, self.y), high, "body")

    def gap(self, mm: float) -> None:
        self.y += mm

    def rule(self) -> None:
        self.y += RULE_GAP
        self.items.append(Line("tb", ((self.left, self.y), (self.right, self.y))))


def _words(ctx: SheetContext, space: Extent, index: Extent | None, pitch: float, title: float = TITLES[0], size: float | None = None) -> list[Item]:
    """What the piece is, and the sheet index below it or in a column of its own. title: its height over that of other titles; size: cap
    height (mm) of the index, that of tables where it is not given."""
    info, style = ctx.model.info, ctx.style
    column = _Column(space, style, pitch)
    tab = max(22.0, text_width("DRAWN BY", style.height("body"), True) + 2.0)  # the longest label but that of the notes
    high = title * style.height("title")
    column.words(info.title, "title", bold=True, size=high)
    column.gap(max(0.0, descent(high) + RULE_CLEAR - RULE_GAP))
    column.rule()
    column.gap(1.0)
    if info.client:
        column.pair("FOR", info.client, tab)
    if info.author:
        column.pair("DRAWN BY", info.author, tab)
    if info.date:
        column.pair("DATE", info.date, tab)
    overall = overall_text(ctx.model)
    if overall:
        column.pair("OVERALL", overall, tab)
    pieces = sum(p.count for p in ctx.model.parts)
    column.pair("PARTS", f"{pieces} pieces, {len({p.mark for p in ctx.model.parts})} different", tab)
    weight = weight_text(ctx)
    if weight:
        column.pair("WEIGHT", weight, tab)
    column.pair("UNITS", units_text(info.units), tab)
    column.pair("VIEWS", f"{info.projection}-angle projection", tab)
    floor = column.bottom
    if index is None:
        needed = INDEX_HEAD + INDEX_PITCHES[0] * style.height("body") * len(collapsed(_own(ctx.index)))
        floor = max(space[1] + NOTES_SHARE * (space[3] - space[1]), space[3] - needed)
    files = written_files(ctx.index)
    if files:
        column.pair("FILES", files, tab)
    _notes(column, info.notes, tab, floor)
    written = column.items
    if index is None:
        column.gap(3.0 if pitch == PITCHES[0] else 1.0)
    else:
        column = _Column(index, style, pitch)
        column.items = written
    column.words("SHEETS", "head", bold=True)
    column.rule()
    column.items.append(_index(_own(ctx.index), (column.left, column.y + 1.0, column.right, column.bottom), style, size or style.height("body")))
    return column.items


def _whole(items: Sequence[Item], bottom: float = inf) -> bool:
    """Whether the sheet index among the items says every title without cutting it, and nothing hangs below `bottom` (mm)."""
    extent = item_extent(Group("cover", tuple(items)))
    if extent is not None and extent[3] > bottom + LEAST_FOOT:
        return False
    indexes = [item for item in items if isinstance(item, Group) and item.id == "sheet-index"]
    return not any(isinstance(t, Text) and t.text.endswith(ELLIPSIS) for group in indexes for t in group.items)


def _own(index: Sequence[IndexRow]) -> tuple[IndexRow, ...]:
    """The sheets of the packet itself; documents beside it are named among the files."""
    return tuple(row for row in index if row.file == "packet")


def _notes(column: _Column, notes: Sequence[str], tab: float, floor: float) -> None:
    """The plan's notes as far as they fit above `floor`; the general notes give all of them."""
    high = column.style.height("body")
    for number, note in enumerate(notes):
        label = "NOTES" if number == 0 else ""
        depth = column.pitch * high * len(wrap(note, high, column.width - tab))
        after = column.pitch * high if number + 1 < len(notes) else 0.0
        if column.y + depth + after > floor:
            if column.pitch == PITCHES[0]:  # the index names the sheet of general notes
                column.pair(label, "see the general notes", tab)
            return
        column.pair(label, note, tab)


def collapsed(rows: Sequence[IndexRow]) -> tuple[tuple[str, str, str], ...]:
    """Code, title and page of each sheet, runs of one kind made one row: `4.1 - 4.6`, its titles' range, `9 - 14`."""
    found = []
    together = {kind.name: kind.together for kind in sheet_kinds()}
    for _, run in groupby(rows, key=lambda row: row.kind or row.code):
        group = tuple(run)
        first, last = group[0], group[-1]
        if len(group) == 1:
            found.append((first.code, first.title, str(first.number)))
        else:
            title = together.get(first.kind) or (first.title if first.title == last.title else f"{first.title} … {last.title}")
            found.append((f"{first.code} – {last.code}", title, f"{first.number} – {last.number}"))
    return tuple(found)


def _index(rows: Sequence[IndexRow], space: Extent, style: Style, size: float) -> Group:
    """The sheet index: a row a sheet in one column or in two, else a row for the sheets of one kind; the first of these that says
    every title whole, rows closer together before two columns."""
    single, runs = tuple((row.code, row.title, str(row.number)) for row in rows), collapsed(rows)
    kinds = {kind.name: kind.together for kind in sheet_kinds()}
    plainer = {row.code: kinds.get(row.kind, "") for row in rows}
    deep = space[3] - space[1]
    last: Group | None = None
    for entries in (single, runs):
        for columns, share in [(1, p) for p in INDEX_PITCHES] + [(2, INDEX_PITCHES[0])]:
            if -(-len(entries) // columns) * share * size > deep:
                continue
            last = _index_rows(entries, plainer, space, style, columns, share * size, size)
            if _whole((last,)):
                return last
    return last or _index_rows(runs, plainer, space, style, 2, INDEX_PITCHES[-1] * size, size)


def _index_rows(entries: Sequence[tuple[str, str, str]], plainer: dict[str, str], space: Extent, style: Style, columns: int, pitch: float, size: float) -> Group:
    """Rows of code, title and page in columns, `pitch` mm apart. plainer: a shorter title by code."""
    gap = 6.0
    wide = (space[2] - space[0] - gap * (columns - 1)) / columns
    deep = -(-len(entries) // columns)
    code_room = max((text_width(code, size) for code, _, _ in entries), default=0.0) + 4.0
    page_room = max((text_width(page, size) for _, _, page in entries), default=0.0) + 4.0
    items: list[Item] = []
    for number, (code, title, page) in enumerate(entries):
        left = space[0] + (number // deep) * (wide + gap)
        y = space[1] + (number % deep + 1) * pitch
        text, high = fitted(title, size, wide - code_room - page_room, style.minimum_height)
        if text != title and plainer.get(code):  # said whole rather than cut short
            text, high = fitted(plainer[code], size, wide - code_room - page_room, style.minimum_height)
        items.append(Text("body", (left, y), code, size))
        items.append(Text("body", (left + code_room, y), text, high))
        items.append(Text("body", (left + wide, y), page, size, "end"))
    return Group("index", tuple(items), id="sheet-index")


def _bars(space: Extent, style: Style) -> Group:
    """Check bars of known length, both ways."""
    size = style.minimum_height + 0.3
    x, y = space[0] + 3.0, space[3] - 4.0
    items: list[Item] = []
    for number, (length, label) in enumerate(BARS):
        off = number * 7.5
        items += _bar((x + BAR_ROOM + 1, y - off), (1, 0), length, label, size)
        items += _bar((x + 2 + off, y - BAR_ROOM), (0, -1), length, label, size)
    warning = "PRINT AT 100 %: measure these bars before you use the drawings"
    head = fitted(warning, size, space[2] - x - BAR_ROOM - 1, style.minimum_height, bold=True)
    items.append(Text("note", (x + BAR_ROOM + 1, y - 15.0), head[0], head[1], bold=True))
    return Group("checkbars", tuple(items), id="check-bars")


def _bar(start: XY, way: tuple[int, int], length: float, label: str, size: float) -> list[Item]:
    (x, y), (dx, dy) = start, way
    end = (x + dx * length, y + dy * length)
    marks: list[Item] = [Line("tb", (start, end))]
    for fraction in (0.0, 0.25, 0.5, 0.75, 1.0):
        px, py = x + dx * length * fraction, y + dy * length * fraction
        tick = BAR_TICK if fraction in (0.0, 1.0) else BAR_TICK / 2
        marks.append(Line("tb", ((px - dy * tick, py - dx * tick), (px + dy * tick, py + dx * tick))))
    if dx:
        marks.append(Text("note", (x + length / 8, y - 1.2), label, size, "middle"))
    else:
        marks.append(Text("note", (x - 1.2, y - length / 8), label, size, "middle", -90))
    return marks


KIND = SheetKind("cover", ORDER, compose, refers=True)
