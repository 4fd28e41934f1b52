"""Hardware list: what is bought and counted, where it is used, in which step, and what it needs drilled."""

from __future__ import annotations

from plandoc.drawing.draft import Draft
from plandoc.model.entities import Model
from plandoc.quantity import Units, shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partslist import list_drafts, list_heading, unit_note
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row, table_pages
from plandoc.shopwork.hardwarelist import hardware_list

NOTE = "Check holes and clearances against the hardware in hand before anything is drilled."


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.2, 6.2b ... with the hardware list."""
    rows = hardware_list(ctx.model)
    priced = any(row.price is not None for row in rows)
    columns = [
        Column("Item", wrap=True), Column("Description", wrap=True), Column("Count", "middle"), Column("Unit"),
        Column("Used on", wrap=True), Column("Steps", "middle", wrap=True), Column("Sizes", wrap=True),
    ]  # fmt: skip
    if priced:
        columns += [Column("Price", "end"), Column("Total", "end")]
    lines = []
    for row in rows:
        cells = [
            row.item.replace("_", " "), row.description, str(row.quantity), row.unit, row.used,
            ", ".join(str(n) for n in steps_of(ctx, row.item)), sizes_of(ctx.model, row.item, ctx.model.info.units),
        ]  # fmt: skip
        if priced:
            cells += ["" if money is None else f"{float(money):.2f}" for money in (row.price, row.total)]
        lines.append(Row(tuple(cells), (("item", row.item), ("count", str(row.quantity)))))
    note = unit_note(ctx.model, NOTE)
    if priced and ctx.model.info.currency:
        note += f" Prices in {ctx.model.info.currency}."
    heading = list_heading(note, ctx)
    tables = table_pages(columns, lines, ctx.style, ctx.space, "hardware", heading[1])
    return list_drafts("hardware", "6.2", "Hardware", tables, heading[0])


def steps_of(ctx: SheetContext, item: str) -> tuple[int, ...]:
    """Numbers of the steps that fit the item, or that close a joint with it."""
    fittings = {f.id for f in ctx.model.fittings if f.item == item}
    joints = {j.id for j in ctx.model.joints if any(f.item == item for f in j.fasteners)}
    return tuple(
        step.number
        for step in ctx.steps
        if fittings.intersection(step.fits) or joints.intersection(step.joins)
    )


def sizes_of(model: Model, item: str, units: Units) -> str:
    """Named sizes of the item: `bore 3/16, spaced 4`."""
    for known in model.hardware:
        if known.name == item:
            return ", ".join(f"{name.replace('_', ' ')} {shop_text(value, units)}" for name, value in known.sizes)
    return ""


def wanted(ctx: SheetContext) -> bool:
    """Whether there is anything to buy."""
    return bool(hardware_list(ctx.model))


KIND = SheetKind("hardware", 40, compose, wanted)
