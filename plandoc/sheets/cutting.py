"""Cutting layouts of sheet stock: each layout to scale with marks, sizes and numbered cuts, and its cuts in a table.

Like sheets are drawn once. Two layouts share a page where both stay readable; the cuts stand below their layouts where there
is room, else in tables at the end.
"""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.drawing.display import Extent, Item
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.sheets.context import SheetContext
from plandoc.sheets.cuttingdraw import Drawn, draw_layout
from plandoc.sheets.cuttingwords import (
    ABOVE,
    COLUMNS,
    Panel,
    caption,
    cut_pages,
    cut_rows,
    head,
    note,
    panels,
)
from plandoc.sheets.listsheets import letter, list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Row, Table
from plandoc.shopwork.layouts import StockLayout, layouts
from plandoc.shopwork.names import listed, stock_words

BETWEEN = 8.0
"""Room (mm) between two layouts beside each other, and over a table."""
LONGEST = 54
"""Letters of a title that the title block holds beside the word Cutting."""
SMALLER = 0.5
CROWDED = 0.85
"""How much smaller a layout may get so that its cuts stand below it; one that needs leaders."""


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.3, 6.3b ...: drawings of the different layouts, then the cuts that found no room below them."""
    drafts: list[Draft] = []
    later: list[Row] = []
    numbers: list[str] = []
    for taken in _shared(ctx):
        items, rows = _page(ctx, taken)
        drafts.append(Draft("cutting", f"6.3{letter(len(drafts))}", _title(ctx, taken), items))
        later += rows
        numbers += [panel.number for panel in taken] if rows else []
    if later:
        for table in cut_pages(later, ctx.style, ctx.space, "cuts"):
            drafts.append(Draft("cutting", f"6.3{letter(len(drafts))}", f"Cuts of layout{'s' if len(numbers) > 1 else ''} {listed(numbers)}", (table,)))
    return tuple(drafts)


def layout_codes(ctx: SheetContext) -> dict[str, tuple[str, ...]]:
    """The sheets on which the layouts of each sheet stock are drawn, by the stock's name."""
    codes: dict[str, tuple[str, ...]] = {}
    for number, taken in enumerate(_shared(ctx)):
        for name in dict.fromkeys(panel.found.stock.name for panel in taken):
            codes[name] = (*codes.get(name, ()), f"6.3{letter(number)}")
    return codes


def _shared(ctx: SheetContext) -> list[Sequence[Panel]]:
    """The layouts page by page, in their order: two on one where both stay readable."""
    found = panels(sheet_layouts(ctx))
    pages: list[Sequence[Panel]] = []
    while found:
        count = 2 if len(found) > 1 and _readable(ctx, found[:2]) else 1
        pages.append(found[:count])
        found = found[count:]
    return pages


def sheet_layouts(ctx: SheetContext) -> tuple[StockLayout, ...]:
    """The layouts of sheet stock."""
    return tuple(found for found in layouts(ctx.model) if found.stock.kind == "sheet")


def _title(ctx: SheetContext, page: Sequence[Panel]) -> str:
    stocks = dict.fromkeys(stock_words(p.found.stock, ctx.model.info.units) for p in page)
    numbers = " and ".join(p.number for p in page)
    title = f"ayout{'s' if len(page) > 1 else ''} {numbers}: {'; '.join(stocks)}"
    return f"Cutting l{title}" if len(title) < LONGEST else f"L{title}"


def _columns(ctx: SheetContext, count: int, top: float, bottom: float) -> list[Extent]:
    x0, _, x1, _ = ctx.space
    wide = (x1 - x0 - BETWEEN * (count - 1)) / count
    return [(x0 + n * (wide + BETWEEN), top, x0 + n * (wide + BETWEEN) + wide, bottom) for n in range(count)]


def _drawings(ctx: SheetContext, page: Sequence[Panel], bottom: float, right_end: float | None = None, trial: bool = False) -> tuple[list[Item], list[Drawn]]:
    """Note, captions and drawings of one page down to `bottom`, the drawing of a single one not beyond `right_end`. trial: to
    see whether it is readable."""
    units, style = ctx.model.info.units, ctx.style
    size = style.height("body")
    heading, deep = list_heading(note(ctx.model), ctx)
    items: list[Item] = [heading]
    columns = _columns(ctx, len(page), ctx.space[1] + deep + 2.0, bottom)
    words = [(wrap(head(p, units), size, c[2] - c[0], True), wrap(caption(p, units), size, c[2] - c[0])) for p, c in zip(page, columns, strict=True)]
    most = max(len(a) + len(b) for a, b in words)
    drawings = []
    for panel, (left, top, right, low), (bold, plain) in zip(page, columns, words, strict=True):
        for n, line in enumerate((*bold, *plain)):
            items += note_line_items(line, (left, top + size * (1 + 1.75 * n)), size, "body", bold=n < len(bold))
        area = (left + 0.5, top + size * (1 + 1.75 * (most - 1)) + 3.5, (right if right_end is None else right_end) - 0.5, low)
        drawings.append(draw_layout(panel.layout, area, style, units, panel.found.stock.grain, trial))
    return items, drawings


def _readable(ctx: SheetContext, page: Sequence[Panel]) -> bool:
    """Whether these, on one page, name every piece and every cut without a leader, and as many sizes as each alone."""
    alone = [_drawings(ctx, [panel], ctx.space[3], trial=True)[1][0].sized for panel in page]
    return all(not d.led and d.sized >= n for d, n in zip(_drawings(ctx, page, ctx.space[3], trial=True)[1], alone, strict=True))


def _page(ctx: SheetContext, page: Sequence[Panel]) -> tuple[tuple[Item, ...], list[Row]]:
    """The layouts of a page with their cuts below, or beside a single one, where they stay as readable; else the cuts are
    handed back."""
    x0, y0, x1, y1 = ctx.space
    rows = [row for panel in page for row in cut_rows(panel, ctx.model.info.units)]
    table = Table(COLUMNS, rows, ctx.style, x1 - x0, f"cuts-{page[0].number}", above=ABOVE)
    _, full = _drawings(ctx, page, y1, trial=True)
    if y1 - table.height > y0 + 50.0:
        _, small = _drawings(ctx, page, y1 - table.height - BETWEEN, trial=True)
        if all(_as_good(d, f) for d, f in zip(small, full, strict=True)):
            tried, small = _drawings(ctx, page, y1 - table.height - BETWEEN)
            low = max(d.extent[3] for d in small)
            return (*tried, *(i for d in small for i in d.items), table.draw(x0, low + BETWEEN)), []
    if len(page) == 1:
        (whole,), rows_alone = full, [Row(row.cells[1:], row.attrs) for row in rows]
        for share in (1.0, 0.9, 0.8, 0.7, 0.6, SMALLER):
            left = whole.extent[0] + share * (whole.extent[2] - whole.extent[0])
            beside = Table(COLUMNS[1:], rows_alone, ctx.style, x1 - left - BETWEEN, f"cuts-{page[0].number}", above=ABOVE)
            top = whole.extent[1]
            if beside.width > x1 - left - BETWEEN + 0.01 or top + beside.height > y1:
                continue
            _, (small_one,) = _drawings(ctx, page, y1, left, True)
            if _as_good(small_one, whole):
                tried, (small_one,) = _drawings(ctx, page, y1, left)
                return (*tried, *small_one.items, beside.draw(left + BETWEEN, top)), []
    items, full = _drawings(ctx, page, y1)
    return (*items, *(i for d in full for i in d.items)), rows


def _as_good(small: Drawn, full: Drawn) -> bool:
    """Whether a smaller drawing may stand for the full one."""
    share = SMALLER if not full.led else CROWDED
    return small.led <= full.led and small.sized >= full.sized and small.extent[3] - small.extent[1] >= share * (full.extent[3] - full.extent[1])


def wanted(ctx: SheetContext) -> bool:
    """Whether sheet stock is laid out."""
    return any(found.sheets is not None and found.sheets.sheets for found in sheet_layouts(ctx))


KIND = SheetKind("cutting", 50, compose, wanted, together="Cutting layouts")
