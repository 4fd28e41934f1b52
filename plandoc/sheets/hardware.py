"""Hardware list: what is bought and counted, where it is used, in which step, and what it needs drilled; and how parts and hardware share
their sheets."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.drawing.boxes import item_extent
from plandoc.drawing.display import Item, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.model.entities import Model
from plandoc.model.unglued import dry
from plandoc.quantity import Units
from plandoc.sheets.context import SheetContext
from plandoc.sheets.listsheets import (
    DENSE,
    list_drafts,
    list_heading,
    parts_heading,
    parts_tables,
    unit_note,
)
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import ABOVE, Column, Row, Table, lowest_table, table_pages
from plandoc.shopwork.claims import claims
from plandoc.shopwork.hardwarelist import amount_words, fastening_words, hardware_list
from plandoc.shopwork.hardwaresizes import sizes_words
from plandoc.shopwork.operations import INLAID

NOTE = "Check holes and clearances against the hardware in hand before anything is drilled."
BETWEEN = (7.0, 4.5)  # mm from the parts list to the hardware under it; where lists are close together
HEADING = (9.0, 6.0)  # mm for its title


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.2, 6.2b ... with the hardware list; none where it stands under the parts list."""
    return list_sheets(ctx)[1]


def list_sheets(ctx: SheetContext) -> tuple[tuple[Draft, ...], tuple[Draft, ...]]:
    """The sheets 6.1 of parts and 6.2 of hardware. Hardware stands under the parts list where it fits, if need be with
    rows closer together, at last without the prices, which stand on the sheet to buy from."""
    with_parts, with_hardware = ("parts-list" in ctx.kinds or not ctx.kinds) and bool(ctx.model.parts), ("hardware" in ctx.kinds or not ctx.kinds) and wanted(ctx)
    heading = parts_heading(ctx)[0]

    def listed(dense: bool) -> list[Draft]:
        return list(list_drafts("parts-list", "6.1", "Parts list", parts_tables(ctx, dense), heading))

    parts = listed(False) if with_parts else []
    hardware: list[Draft] = []
    bought = not ctx.kinds or "to-buy" in ctx.kinds
    ways = ((False, True), (True, True), *(((True, False),) if bought else ()))
    for dense, priced in ways if parts and with_hardware else ():
        rows = listed(dense)
        if block := _fitting(ctx, rows[-1], _hardware_block(ctx, dense, priced), not priced):
            rows[-1] = _joined(rows[-1], block, rows[-1].title.replace("Parts list", "Parts and hardware"))
            return tuple(rows), ()
    if with_hardware:
        columns, lines = _rows(ctx)
        note, room = list_heading(_note(ctx), ctx)
        hardware = list(list_drafts("hardware", "6.2", "Hardware", table_pages(columns, lines, ctx.style, ctx.space, "hardware", room), note))
    return tuple(parts), tuple(hardware)


@dataclass(frozen=True, slots=True)
class _Block:
    """A titled list that may stand under another."""

    title: str
    note: str
    table: Table


def _hardware_block(ctx: SheetContext, dense: bool, priced: bool = True) -> _Block:
    columns, lines = _rows(ctx, priced)
    room, above = ctx.space[2] - ctx.space[0], DENSE if dense else ABOVE
    made = Table(columns, lines, ctx.style, room, "hardware", above=above) if priced else lowest_table(columns, lines, ctx.style, room, "hardware", above)
    return _Block("Hardware", _note(ctx, priced), made)


def _fitting(ctx: SheetContext, draft: Draft, block: _Block, tight: bool = False) -> tuple[Item, ...]:
    """Title, note and table under what the sheet has, () where they do not fit."""
    between, heading = BETWEEN[tight], HEADING[tight]
    x0, y0, _, y1 = ctx.space
    top = max(box[3] for item in draft.items if (box := item_extent(item)) is not None) + between
    note, deep = list_heading(block.note, ctx)
    if top + heading + deep + block.table.height > y1 + 1e-6:
        return ()
    size = 0.8 * ctx.style.height("title")
    title = Text("head", (x0, top + size), block.title, size, bold=True)
    return title, shifted(note, 0.0, top + heading - y0), block.table.draw(x0, top + heading + deep)


def _joined(draft: Draft, items: tuple[Item, ...], title: str) -> Draft:
    return Draft(draft.kind, draft.code, title, (*draft.items, *items))


def _note(ctx: SheetContext, priced: bool = True) -> str:
    note = unit_note(ctx.model, NOTE)
    priced = priced and any(row.price is not None for row in hardware_list(ctx.model))
    return note + (f" Prices in {ctx.model.info.currency}." if priced and ctx.model.info.currency else "")


def _rows(ctx: SheetContext, priced: bool = True) -> tuple[tuple[Column, ...], tuple[Row, ...]]:
    rows = hardware_list(ctx.model)
    priced = priced and any(row.price is not None for row in rows)
    columns = [
        Column("Item", wrap=True), Column("Size", wrap=True), Column("Count", "end"), Column("Used on", wrap=True),
        Column("Steps", "middle", wrap=True),
    ]  # fmt: skip
    if priced:
        columns += [Column("Price", "end"), Column("Total", "end")]
    lines = []
    for row in rows:
        count = f"{row.quantity}" if row.unit == "each" else f"{row.quantity} {row.unit}{'s' if row.quantity > 1 else ''}"
        item = next((known for known in ctx.model.hardware if known.name == row.item), None)
        units = ctx.model.info.units
        said = [words for words in (sizes_of(ctx.model, row.item, units), amount_words(row, item, units)) if words]
        cells = [
            row.description, "; ".join(said), count, row.used,
            ", ".join(str(n) for n in steps_of(ctx, row.item)),
        ]  # fmt: skip
        if priced:
            cells += ["" if money is None else f"{float(money):.2f}" for money in (row.price, row.total)]
        lines.append(Row(tuple(cells), (("item", row.item), ("count", str(row.quantity)))))
    return tuple(columns), tuple(lines)


def steps_of(ctx: SheetContext, item: str) -> tuple[int, ...]:
    """Numbers of the steps that fit the item, or that fasten a joint with it."""
    fittings = [f for f in ctx.model.fittings if f.item == item]
    wanted_ids = {f"fit:{f.id}" for f in fittings}
    if any(known.name == item and known.kind == "glue" for known in ctx.model.hardware):
        wanted_ids = {f"join:{j.id}" for j in ctx.model.joints if not dry(ctx.model, j) and any(j.a in f.parts and j.b in f.parts for f in fittings)}
    carriers = [known.name for known in ctx.model.hardware if known.screw == item]
    wanted_ids |= {f"fit:{f.id}" for f in ctx.model.fittings if f.item in carriers}
    for joint in ctx.model.joints:
        for number, fastening in enumerate(joint.fasteners, 1):
            if (fastening.item or fastening_words(ctx.model, fastening)) == item:
                wanted_ids.add(f"join:{joint.id}" if fastening.kind in INLAID and not fastening.blind else f"fasten:{joint.id}:{number}")
    taken = claims(ctx.model, ctx.steps)
    return tuple(s.number for s, row in zip(ctx.steps, taken, strict=True) if any(i.operation in wanted_ids for i in row))


def sizes_of(model: Model, item: str, units: Units) -> str:
    """The sizes of the item as the trade says them."""
    return next((sizes_words(known, units) for known in model.hardware if known.name == item), "")


def wanted(ctx: SheetContext) -> bool:
    """Whether there is anything to buy."""
    return bool(hardware_list(ctx.model))


KIND = SheetKind("hardware", 40, compose, wanted, together="Hardware list")
