"""Parts list: one row for each part mark, finished sizes, length along the grain; hardware under it
where that fits."""

from __future__ import annotations

from plandoc.drawing.draft import Draft
from plandoc.sheets.context import SheetContext
from plandoc.sheets.hardware import list_sheets
from plandoc.sheets.registry import SheetKind


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.1, 6.1b ... with the parts list, the last one perhaps with the hardware."""
    return list_sheets(ctx)[0]


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("parts-list", 30, compose, wanted, refers=True, together="Parts list")
