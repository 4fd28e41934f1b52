"""To buy: stock, hardware with spare, glue, abrasives and finish with their prices; weights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.drawing.display import Item, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.sheets.context import SheetContext
from plandoc.sheets.listsheets import letter, list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.stockbuy import stock_note, stock_table
from plandoc.sheets.tables import Column, Row, Table
from plandoc.shopwork.making_steps import TWO_PEOPLE_KG
from plandoc.shopwork.names import listed, mass_words
from plandoc.shopwork.shopping import Bought, costs, heaviest, shopping, weight

TITLE = "To buy"
BETWEEN = (7.0, 4.5)  # mm between two lists
HEADING = (2.0, 1.65)  # of the height of the title of a list, for it with the room under it
ABOVE = (1.6, 1.15)  # mm over and under the lettering of a cell: the first with which all stands on one sheet
SPARE = "Fasteners with a tenth to spare, at least two; glue with half as much again; abrasives by the surface (common practice). What the hardware is for and in which step it is wanted: hardware list."


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheet 6.0, and 6.0b ... where all does not fit."""
    pages: list[list[Item]] = []
    for above in ABOVE:
        pages = _pages(ctx, above)
        if len(pages) == 1:
            break
    return tuple(Draft("to-buy", f"6.0{letter(n)}", TITLE + (", continued" if n else ""), tuple(page)) for n, page in enumerate(pages))


@dataclass(frozen=True, slots=True)
class _List:
    """A titled list with its note. table: None for words alone."""

    title: str
    note: str
    table: Table | None


def _lists(ctx: SheetContext, above: float) -> list[_List]:
    stock = stock_table(ctx)
    found = [_List("Stock", stock_note(ctx.model), Table(stock.columns, stock.rows, ctx.style, ctx.space[2] - ctx.space[0], "stock", above=above))]
    things = shopping(ctx.model)
    if things:
        found.append(_List("Hardware, glue, abrasives, finish", SPARE, _table(ctx, *_things(things), "to-buy", above)))
    words = closing_words(ctx)
    return [*found, _List("", words, None)] if words else found


def _table(ctx: SheetContext, columns: Sequence[Column], rows: Sequence[Row], name: str, above: float) -> Table:
    return Table(columns, rows, ctx.style, ctx.space[2] - ctx.space[0], name, above=above)


def _pages(ctx: SheetContext, above: float) -> list[list[Item]]:
    """The lists downwards; one that does not fit goes on over the next sheets, row by row."""
    x0, y0, _, y1 = ctx.space
    tight = above != ABOVE[0]
    size = 0.8 * ctx.style.height("title")
    pages: list[list[Item]] = [[]]
    y = y0
    for found in _lists(ctx, above):
        note, deep = list_heading(found.note, ctx)
        head = HEADING[tight] * size if found.title else 0.0
        least = head + deep + (found.table.run_height(0, min(2, len(found.table.rows))) if found.table else 0.0)
        y += BETWEEN[tight] if y > y0 else 0.0
        if y + least > y1 + 1e-6 and pages[-1]:
            pages.append([])
            y = y0
        if found.title:
            pages[-1].append(Text("head", (x0, y + size), found.title, size, bold=True))
        pages[-1].append(shifted(note, 0.0, y + head - y0))
        y += head + deep
        start = 0
        while found.table is not None and start < len(found.table.rows):
            count = found.table.fitting(start, y1 - y)
            pages[-1].append(found.table.draw(x0, y, start, count))
            y += found.table.run_height(start, count)
            start += count
            if start < len(found.table.rows):
                pages.append([])
                y = y0
    return pages


def _things(things: Sequence[Bought]) -> tuple[list[Column], list[Row]]:
    priced = any(row.price is not None for row in things)
    columns = [Column("Thing", wrap=True), Column("The plan takes", wrap=True), Column("Spare", "end"), Column("Buy", wrap=True)]
    if priced:
        columns += [Column("Price", "end"), Column("Cost", "end")]
    lines = []
    for words, row in _joined(things):
        cells = [words, row.needed, str(row.spare) if row.spare else "", row.buy + (" of each" if words != row.words else "")]
        if priced:
            cells += ["" if money is None else f"{float(money):.2f}" for money in (row.price, row.cost)]
        lines.append(Row(tuple(cells), (("item", row.item), ("count", "" if row.count is None else str(row.count)))))
    known = [row.cost for row in things if row.cost is not None]
    if len(known) > 1:
        lines.append(Row((*("Total, as far as priced", *[""] * (len(columns) - 2)), f"{float(sum(known)):.2f}"), (("item", "total"), ("count", ""))))
    return columns, lines


def _joined(things: Sequence[Bought]) -> list[tuple[str, Bought]]:
    """The rows with their words, abrasives of which as many are bought in one row."""
    found: list[tuple[str, Bought]] = []
    for row in things:
        last = found[-1] if found else None
        if row.kind == "abrasive" and last is not None and last[1].kind == "abrasive" and (last[1].needed, last[1].count) == (row.needed, row.count):
            number = last[1].item.split()[-1]
            grit = f"{last[0].partition('grit')[2].lstrip('s ').partition(', ')[0]} and {row.item.split()[-1]}"
            found[-1] = (last[1].words.replace(f"grit {number}", f"grits {grit.replace(' and ', ', ', grit.count(' and ') - 1)}"), last[1])
        else:
            found.append((row.words, row))
    return found


def closing_words(ctx: SheetContext) -> str:
    """The sum of all prices and what has none; the weight of the piece and the heaviest thing to lift."""
    model = ctx.model
    money = costs(model)
    volumes = {path: solid.volume for path, solid in ctx.solids.items()}
    said = []
    if money.known:
        currency = f" {model.info.currency}" if model.info.currency else ""
        shown = [*money.open[:6], *([f"{len(money.open) - 6} more"] if len(money.open) > 6 else [])]
        said.append(f"All that has a price: {float(money.known):.2f}{currency}." + (f" No price in the plan: {listed(shown)}." if shown else ""))
    mass = weight(model, volumes)
    if mass is not None:
        said.append(f"The piece weighs about {mass_words(mass)} without hardware (estimate).")
    lift = heaviest(model, ctx.steps, volumes)
    if lift is not None and round(lift.mass) > 0:
        step = f", step {lift.step}" if lift.step else ""
        two = ": lift with two" if lift.mass > TWO_PEOPLE_KG else ""
        said.append(f"Heaviest to lift: {lift.words}, about {mass_words(lift.mass)}{step}{two}.")
    return " ".join(said)


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("to-buy", 25, compose, wanted, together=TITLE)
