"""The parts list as tables, and what list sheets share: the note over a list, pages with letters."""

from __future__ import annotations

from plandoc.drawing.display import Group
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.drawing.style import Style
from plandoc.model.entities import Model
from plandoc.quantity import shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.tables import Column, Row, table_pages
from plandoc.shopwork.names import stock_words
from plandoc.shopwork.partslist import parts_list

NOTE = "Finished sizes, tongues included. Length runs along the grain. Cut every blank to the size of its finished part."
SHEET_ROOM = 9.0  # mm for the longest sheet code, so the layout is the same before the codes are known


def parts_tables(ctx: SheetContext) -> tuple[Group, ...]:
    """The parts list, one table a page, under its note."""
    rows = parts_list(ctx.model)
    units = ctx.model.info.units
    stocks = {stock.name: stock_words(stock, units) for stock in ctx.model.stocks}
    columns = [
        Column("Mark", "middle"), Column("Count", "middle"), Column("Name", wrap=True),
        Column("L", "end", stacked=True), Column("W", "end", stacked=True), Column("T", "end", stacked=True),
        Column("Stock", wrap=True), Column("Grain"),
    ]  # fmt: skip
    banded = any(row.edges for row in rows)
    if banded:
        columns.append(Column("Edges banded", wrap=True))
    columns.append(Column("Sheet", "middle", least=SHEET_ROOM))
    lines = []
    for row in rows:
        sizes = (shop_text(row.length, units), shop_text(row.width, units), shop_text(row.thickness, units.fine))
        cells = [row.mark, str(row.count), row.name, *sizes, stocks.get(row.stock, row.stock), row.grain]
        if banded:
            cells.append(row.edges)
        cells.append(ctx.sheet_of(row.mark))
        lines.append(Row(tuple(cells), (("mark", row.mark), ("count", str(row.count)))))
    return table_pages(columns, lines, ctx.style, ctx.space, "parts-list", parts_heading(ctx)[1])


def parts_heading(ctx: SheetContext) -> tuple[Group, float]:
    """The note over the parts list, and its height (mm)."""
    return list_heading(unit_note(ctx.model, NOTE), ctx)


def unit_note(model: Model, text: str) -> str:
    """The note over a list, with the unit."""
    return f"{text} All sizes in {'inches' if model.info.units.system == 'inch' else 'millimetres'}."


def list_heading(text: str, ctx: SheetContext) -> tuple[Group, float]:
    """A note at the top of a list's sheet, and the height (mm) that it takes."""
    style: Style = ctx.style
    size = style.height("body")
    x, y = ctx.space[0], ctx.space[1]
    lines = wrap(text, size, ctx.space[2] - x)
    items = [i for n, line in enumerate(lines) for i in note_line_items(line, (x, y + size * (1 + 1.75 * n)), size, "body")]
    return Group("list-note", tuple(items)), size * (1 + 1.75 * (len(lines) - 1)) + 3.0


def list_drafts(kind: str, code: str, title: str, tables: tuple[Group, ...], heading: Group) -> tuple[Draft, ...]:
    """One draft a page; further pages carry a letter behind the code."""
    drafts = []
    for number, table in enumerate(tables):
        letter = "" if number == 0 else "abcdefghijklmnopqrstuvwxyz"[number % 26]
        more = "" if number == 0 else ", continued"
        drafts.append(Draft(kind, code + letter, title + more, (heading, table)))
    return tuple(drafts)
