"""The parts list as tables, and what list sheets share: the note over a list, pages with letters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from plandoc.drawing.display import Group
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.drawing.style import Style
from plandoc.model.entities import Model
from plandoc.model.values import plain_number
from plandoc.quantity import Units, dual_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.tables import ABOVE, Column, Row, table_pages, unbroken_width
from plandoc.shopwork.names import mark_of, stock_words
from plandoc.shopwork.partslist import parts_list

NOTE = "Finished sizes, tongues included. Length runs along the grain."
ROUGH_NOTE = "Finished sizes, tongues included. Length runs along the grain. Rough sizes, where there are any, are cut first and trimmed later; rough T is that of the stock."
DENSE = 1.15  # mm over and under the lettering of a cell where that saves a sheet
SHEET_ROOM = 9.0  # mm for the longest sheet code, so the layout is the same before the codes are known


def parts_tables(ctx: SheetContext, dense: bool = False) -> tuple[Group, ...]:
    """The parts list, one table a page, under its note. Columns of rough sizes, of board feet and of banded edges stand
    only where a part has something in them; boards that are glued up follow their part in rows of their own. On paper too
    narrow for the columns, rough sizes follow in rows as well; where figures of a second unit have no room even then, they
    are left out. dense: rows close together, fractions in the line."""
    room = ctx.space[2] - ctx.space[0]
    units = ctx.model.info.units
    for shown in (units, replace(units, second=None)) if units.second is not None else (units,):
        for beside in (True, False):
            columns, lines = parts_rows(ctx, beside, shown)
            fits = unbroken_width(columns, lines, ctx.style) <= room + 0.01
            if fits or (shown.second is None and not beside):
                columns = [replace(column, stacked=column.stacked and not dense) for column in columns]
                return table_pages(columns, lines, ctx.style, ctx.space, "parts-list", parts_heading(ctx)[1], DENSE if dense else ABOVE)
    raise AssertionError("a unit of its own is always tried last")


def parts_rows(ctx: SheetContext, beside: bool, units: Units) -> tuple[list[Column], list[Row]]:
    """Columns and rows of the parts list; `beside`: rough sizes in columns of their own, else in rows below the part."""
    rows = parts_list(ctx.model)
    stocks = {stock.name: stock_words(stock, units) for stock in ctx.model.stocks}
    rough, banded = beside and any(row.rough_length is not None for row in rows), any(row.edges for row in rows)
    feet = units.system == "inch" and any(row.board_feet is not None for row in rows)
    three_heads = [Column(head, "end", stacked=True) for head in ("L", "W", "T", "Rough L", "Rough W", "Rough T")[: 6 if rough else 3]]
    columns = [
        Column("Mark", "middle"), Column("Count", "middle"), Column("Name", wrap=True),
        *three_heads,
        *((Column("Bd ft", "end"),) if feet else ()),
        Column("Stock", wrap=True), Column("Grain", wrap=not beside),
        *((Column("Edges banded", wrap=True),) if banded else ()),
        Column("Sheet", "middle", least=SHEET_ROOM),
    ]  # fmt: skip

    def three(sizes: Sequence[Fraction | None]) -> tuple[str, ...]:
        return tuple("" if size is None else dual_text(size, units.fine if index == 2 else units) for index, size in enumerate(sizes))

    def below(mark: str, count: int, name: str, sizes: Sequence[Fraction | None]) -> Row:
        cells = ["", str(count), name, *(("", "", "") if rough else ()), *three(sizes)]
        return Row((*cells, *[""] * (len(columns) - len(cells))), (("below", mark), ("count", str(count))))

    lines = []
    for row in rows:
        cells = [row.mark, str(row.count), row.name, *three((row.length, row.width, row.thickness))]
        panel = (row.rough_length, row.rough_width, row.rough_thickness)
        if rough:
            cells += three((None, None, None) if row.boards else panel)
        if feet:
            cells.append("" if row.board_feet is None else board_feet_text(row.board_feet))
        cells += [stocks.get(row.stock, row.stock), row.grain]
        if banded:
            cells.append(row.edges)
        cells.append(ctx.sheet_of(row.mark))
        lines.append(Row(tuple(cells), (("mark", row.mark), ("count", str(row.count)))))
        if not beside and row.rough_length is not None and not row.boards:
            lines.append(below(row.mark, row.count, f"rough, for {row.mark}", panel))
        lines += [below(row.mark, piece.count, f"boards for {row.mark}", (piece.length, piece.width, piece.thickness)) for piece in row.boards]
    return columns, lines


def board_feet_text(feet: Fraction) -> str:
    """Board feet to the hundredth, `≈` where that is not exact."""
    rounded = round(feet * 100) / Fraction(100)
    return f"{'' if rounded == feet else '≈'}{plain_number(rounded)}"


def parts_heading(ctx: SheetContext) -> tuple[Group, float]:
    """The note over the parts list, and its height (mm)."""
    return list_heading(parts_note(ctx.model), ctx)


def parts_note(model: Model) -> str:
    """What the sizes mean, and the sum of the board feet of each stock."""
    rows = parts_list(model)
    text = unit_note(model, f"{ROUGH_NOTE}{no_spare(model)}" if any(row.rough_length is not None for row in rows) else f"{NOTE} {blank_note(model)}")
    feet: dict[str, Fraction] = {}
    for row in rows:
        if row.board_feet is not None:
            feet[row.stock] = feet.get(row.stock, Fraction(0)) + row.board_feet
    if not feet or model.info.units.system != "inch":
        return text
    stocks = {stock.name: stock_words(stock, model.info.units) for stock in model.stocks}
    sums = "; ".join(f"{stocks[name]} {board_feet_text(total)}" for name, total in feet.items())
    return f"{text} Board feet of the rough sizes, without waste: {sums}."


def no_spare(model: Model) -> str:
    """Which parts of solid wood have no spare, where others have a rough size."""
    marks = dict.fromkeys(mark_of(part) for part in model.parts if part.stock.kind in ("lumber", "batten", "dowel") and not part.allowance)
    return f" No spare is named for {', '.join(marks)}: leave what trimming takes." if marks else ""


def blank_note(model: Model) -> str:
    """To what size blanks are cut where the plan names no rough sizes: sheet parts to the finished one, before banding."""
    sheets = [part.stock.kind == "sheet" for part in model.parts]
    banded = ", banded ones to the size behind \"saw\"" if any(row.edges for row in parts_list(model)) else ""
    if all(sheets):
        return f"Cut every blank to the size of its finished part{banded}."
    spare = "no spare is named for the others: leave what trimming takes."
    return f"Cut blanks of sheet stock to the size of the finished part{banded}; {spare}" if any(sheets) else "No spare is named: leave what trimming takes."


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


def letter(number: int) -> str:
    """What the code of a further sheet ends with: "", `b`, ... `z`, `aa`, `bb`."""
    return "" if number == 0 else "abcdefghijklmnopqrstuvwxyz"[number % 26] * (number // 26 + 1)


def list_drafts(kind: str, code: str, title: str, tables: tuple[Group, ...], heading: Group) -> tuple[Draft, ...]:
    """One draft a page; further pages carry a letter behind the code."""
    drafts = []
    for number, table in enumerate(tables):
        more = "" if number == 0 else ", continued"
        drafts.append(Draft(kind, code + letter(number), title + more, (heading, table)))
    return tuple(drafts)
