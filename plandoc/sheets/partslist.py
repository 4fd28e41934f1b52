"""Parts list: one row for each part mark, finished sizes, length along the grain; the hardware under it where it fits."""

from __future__ import annotations

from plandoc.drawing.draft import Draft
from plandoc.sheets.context import SheetContext
from plandoc.sheets.hardware import under_parts
from plandoc.sheets.listsheets import list_drafts, parts_heading, parts_tables
from plandoc.sheets.registry import SheetKind


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.1, 6.1b ... with the parts list."""
    below = None if ctx.kinds and "hardware" not in ctx.kinds else under_parts(ctx)
    title = "Parts and hardware" if below else "Parts list"
    (first, *more) = list_drafts("parts-list", "6.1", title, parts_tables(ctx), parts_heading(ctx)[0])
    return (Draft(first.kind, first.code, first.title, (*first.items, *(below or ()))), *more)


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("parts-list", 30, compose, wanted, refers=True, together="Parts list")
