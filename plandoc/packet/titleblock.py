"""The title block and the revision block (fields after ISO 7200, from memory, and NAVEDTRA 14069, ch. 3)."""

from __future__ import annotations

from fractions import Fraction

from plandoc.drawing.display import XY, Extent, Group, Item, Line, Text
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import fitted, middle_base, printable, reach, text_width, wrap
from plandoc.drawing.scales import ratio, scale_name
from plandoc.drawing.style import Style
from plandoc.model.entities import Model, PlanInfo
from plandoc.packet.layout import (
    PAD_BOTTOM,
    PAD_TOP,
    REVISION_WIDTH,
    revision_row,
    revision_rows_height,
    row_height,
    value_height,
)
from plandoc.packet.symbol import projection_symbol, symbol_size
from plandoc.quantity import Units, shop_text
from plandoc.shopwork.names import tolerance

# Widths in parts of the block: plan and sheet title, persons, figures, revision and projection, sheet number.
COLUMNS = (60, 45, 31, 25, 19)
SIDE = 1.5
CLEAR = 0.55  # mm between lettering and a line, at least
NONE = "-"
WARNING = "DO NOT SCALE – USE THE FIGURES"
DIGEST_LENGTH = 8


def scale_entry(scales: tuple[Fraction, ...], units: Units, room: float, size: float) -> str:
    """The one entry for the sheet's scales: its name, AS SHOWN for several, NONE for none. room: mm."""
    if not scales:
        return "NONE"
    if len(set(scales)) > 1:
        return "AS SHOWN"
    name = scale_name(scales[0], units)
    return name if text_width(name, size, True) <= room else ratio(scales[0])


def title_block(draft: Draft, model: Model, area: Extent, number: int, count: int, style: Style) -> Group:
    """The title block of one sheet, filling an area at the lower right of the frame."""
    info = model.info
    edges = column_edges(model, area, style)
    row = row_height(style)
    rows = [area[1] + i * row for i in range(4)]
    cell = _Cells(style)
    units = {"inch": "INCHES", "mm": "MILLIMETRES"}[info.units.system]
    if info.units.second is not None:
        units = "INCHES [MM]" if info.units.system == "inch" else "MM [INCHES]"
    room = edges[3] - edges[2] - 2 * SIDE
    cell.entry((edges[0], rows[0], edges[1], rows[1]), "Plan", info.title)
    cell.alone((edges[0], rows[1], edges[1], rows[2]), draft.title, style.height("title"), role="title")
    cell.alone((edges[0], rows[2], edges[1], rows[3]), WARNING, style.height("note"))
    cell.entry((edges[1], rows[0], edges[2], rows[1]), "For", info.client)
    cell.entry((edges[1], rows[1], edges[2], rows[2]), "Drawn by", info.author)
    cell.entry(
        (edges[1], rows[2], edges[2], rows[3]), "Tolerance", f"±{shop_text(tolerance(info.units), info.units)} unless noted"
    )
    cell.entry((edges[2], rows[0], edges[3], rows[1]), "Date", info.date)
    scale = scale_entry(draft.scales, info.units, room, style.minimum_height)
    cell.entry((edges[2], rows[1], edges[3], rows[2]), "Scale", scale)
    cell.entry((edges[2], rows[2], edges[3], rows[3]), "All sizes in", units)
    cell.entry((edges[3], rows[0], edges[4], rows[1]), "Revision", current_revision(info))
    cell.projection((edges[3], rows[1], edges[4], rows[3]), info.projection)
    cell.sheet_number((edges[4], rows[0], edges[5], rows[2]), draft.code, number, count)
    cell.entry((edges[4], rows[2], edges[5], rows[3]), "Source", model.source_digest[:DIGEST_LENGTH], bold=False)
    grid: list[Item] = [Line("tb", ((x, area[1]), (x, area[3]))) for x in edges[:-1]]
    grid.append(Line("tb", ((area[0], area[1]), (area[2], area[1]))))
    grid.append(Line("tb", ((edges[0], rows[1]), (edges[4], rows[1]))))
    grid.append(Line("tb", ((edges[0], rows[2]), (edges[3], rows[2]))))
    grid.append(Line("tb", ((edges[4], rows[2]), (edges[5], rows[2]))))
    attrs = (("code", draft.code), ("sheet", str(number)), ("sheets", str(count)))
    return Group("titleblock", (*grid, *cell.items), id="titleblock", attrs=attrs)


def column_edges(model: Model, area: Extent, style: Style) -> list[float]:
    """The upright lines of the title block (mm). The column of the sheet's number is wide enough for the source, at the expense
    of the first."""
    part = (area[2] - area[0]) / sum(COLUMNS)
    wide = [part * share for share in COLUMNS]
    more = max(0.0, text_width(model.source_digest[:DIGEST_LENGTH], style.minimum_height) + 2 * SIDE + 0.01 - wide[-1])
    wide[0], wide[-1] = wide[0] - more, wide[-1] + more
    return [area[0] + sum(wide[:count]) for count in range(len(wide) + 1)]


def current_revision(info: PlanInfo) -> str:
    """The index of the last revision, "" where there is none."""
    return info.revisions[-1].index if info.revisions else ""


def revision_extent(info: PlanInfo, frame: Extent, style: Style) -> Extent:
    """Where the revision block lies: the upper right corner of the frame."""
    return (frame[2] - REVISION_WIDTH, frame[1], frame[2], frame[1] + revision_rows_height(info, style))


def revision_block(info: PlanInfo, frame: Extent, style: Style) -> Group:
    """Heading and one row for each revision, oldest first, index, date and what changed."""
    x0, y0, x1, y1 = revision_extent(info, frame, style)
    size, row = style.height("tbtxt"), revision_row(style)
    columns = (x0 + SIDE, x0 + SIDE + 12.0, x0 + SIDE + 36.0)
    items: list[Item] = [Line("tb", ((x0, y0), (x0, y1))), Line("tb", ((x0, y1), (x1, y1)))]
    rows = [("Rev.", "Date", "Change"), *((r.index, r.date or NONE, r.text) for r in info.revisions)]
    for number, texts in enumerate(rows):
        base = y0 + number * row + (row + size) / 2
        if number:
            items.append(Line("tb", ((x0, y0 + number * row), (x1, y0 + number * row))))
        for x, end, text in zip(columns, (*columns[1:], x1 + SIDE), texts, strict=True):
            words, high = fitted(printable(text), size, end - x - 2 * SIDE, style.minimum_height, bold=not number)
            items.append(Text("tbtxt", (x, base), words, high, bold=not number))
    return Group("revisions", tuple(items), id="revisions")


class _Cells:
    """Sets the entries of the title block."""

    def __init__(self, style: Style) -> None:
        self.style = style
        self.top, self.bottom = PAD_TOP * style.height("tbtxt"), PAD_BOTTOM * style.height("tbtxt")
        self.items: list[Item] = []

    def entry(self, cell: Extent, label: str, value: str, bold: bool = True) -> None:
        """A small word above its entry; a dash where there is none."""
        small = self.style.height("tbtxt")
        room = cell[2] - cell[0] - 2 * SIDE
        words, high = fitted(label, small, room, self.style.minimum_height)
        self.text((cell[0] + SIDE, cell[1] + self.top + small), words, high)
        value = printable(value) or NONE
        least = self.style.minimum_height
        words, high = fitted(value, value_height(self.style), room, least, bold)
        if words != value:
            # what is too long begins beside the small word and goes on below it, in thin letters
            beside = text_width(label, small) + SIDE
            first = wrap(value, least, room - beside)[0]
            if value.startswith(first) and text_width(first, least) <= room - beside:
                bold = False
                self.text((cell[0] + SIDE + beside, cell[1] + self.top + small), first, least)
                words, high = fitted(value[len(first) :].strip(), least, room, least)
        self.text((cell[0] + SIDE, cell[3] - self.bottom), words, high, bold=bold)

    def alone(self, cell: Extent, value: str, size: float, role: str = "tbtxt") -> None:
        """An entry without a word, at mid height and no higher than keeps it clear of the lines; a long one in two lines."""
        size = min(size, (cell[3] - cell[1] - 2 * CLEAR) / (1 + sum(reach(1.0))))
        room, least = cell[2] - cell[0] - 2 * SIDE, self.style.minimum_height
        value = printable(value)
        words, high = fitted(value, size, room, least, bold=True)
        lines: tuple[str, ...] = (words,)
        if high < least + 0.5:
            pair = wrap(value, least, room, bold=True)
            if len(pair) > 1:
                high = least
                lines = (pair[0], fitted(" ".join(pair[1:]), least, room, least, bold=True)[0])
        pitch = 1.6 * high
        base = middle_base(cell[1], cell[3] - pitch * (len(lines) - 1), high)
        for number, line in enumerate(lines):
            self.text((cell[0] + SIDE, base + number * pitch), line, high, bold=True, role=role)

    def projection(self, cell: Extent, projection: str) -> None:
        """The projection symbol over its name."""
        x = (cell[0] + cell[2]) / 2
        small = self.style.height("tbtxt")
        words, high = fitted(
            f"{projection} angle".capitalize(), small, cell[2] - cell[0] - 2 * SIDE, self.style.minimum_height
        )
        self.text((x, cell[3] - self.bottom), words, high, anchor="middle")
        room = (cell[2] - cell[0] - 2 * SIDE, cell[3] - cell[1] - small - self.bottom - 2 * self.top)
        unit, rest = symbol_size(1.0), symbol_size(0.0)
        diameter = min((r - o) / (u - o) for r, u, o in zip(room, unit, rest, strict=True))
        self.items.append(projection_symbol((x, cell[1] + self.top + room[1] / 2), diameter, projection))

    def sheet_number(self, cell: Extent, code: str, number: int, count: int) -> None:
        """The sheet's code, large, over `sheet n of m`."""
        x, small = (cell[0] + cell[2]) / 2, self.style.height("tbtxt")
        room = cell[2] - cell[0] - 2 * SIDE
        self.text((x, cell[1] + self.top + small), "Sheet", small, anchor="middle")
        words, high = fitted(code, 1.3 * self.style.height("title"), room, self.style.minimum_height, bold=True)
        middle = (cell[1] + self.top + small + cell[3] - self.bottom - value_height(self.style)) / 2
        self.text((x, middle + high / 2), words, high, bold=True, anchor="middle")
        words, high = fitted(f"{number} of {count}", value_height(self.style), room, self.style.minimum_height)
        self.text((x, cell[3] - self.bottom), words, high, anchor="middle")

    def text(
        self, at: XY, text: str, size: float, bold: bool = False, anchor: str = "start", role: str = "tbtxt"
    ) -> None:
        self.items.append(Text(role, at, text, size, anchor, bold=bold))
