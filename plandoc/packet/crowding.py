"""Sheets with too little room, told to the user: where lettering, lines and leaders run into each other.

The same rules judge the written files in the acceptance tests (plandoc/drawing/audit.py).
"""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.diagnostics import Diagnostic, Note, Span
from plandoc.diagnostics.codes import CODES
from plandoc.drawing.audit import crowded
from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style
from plandoc.model.entities import Model, PlanInfo
from plandoc.sheets.context import IndexRow
from plandoc.shopwork.names import mark_of

CODE = "PD380"
LARGER = {"letter": "tabloid", "A4": "A3"}
MOST_TOLD = 4


def crowding(model: Model, sheets: Sequence[Sheet], index: Sequence[IndexRow], style: Style) -> tuple[Diagnostic, ...]:
    """One warning for each sheet on which things run into each other, in the order of the sheets: at the first part that
    the sheet draws, else at the `plan` line."""
    marks = {(row.file, row.number): row.marks for row in index}
    spans = {mark_of(part): part.span for part in reversed(model.parts)}
    found = []
    for sheet in sheets:
        told = list(dict.fromkeys(f.told for f in crowded(sheet, style)))
        if not told:
            continue
        span: Span = next((spans[m] for m in marks.get((sheet.file, sheet.number), ()) if m in spans), model.info.span)
        name = f"sheet {sheet.code}" if sheet.file == "packet" else f"{sheet.file}.pdf, page {sheet.number},"
        notes = [Note(text) for text in told[:MOST_TOLD]]
        if len(told) > MOST_TOLD:
            notes.append(Note(f"and {len(told) - MOST_TOLD} more of this sheet"))
        message = f"{name} is crowded ({sheet.title}): {len(told)} {'thing runs' if len(told) == 1 else 'things run'} into others"
        found.append(Diagnostic(CODE, CODES[CODE].severity, message, span, tuple(notes), mend(model.info)))
    return tuple(found)


def mend(info: PlanInfo) -> str:
    """What gives the sheets more room."""
    ways = []
    if info.paper in LARGER:
        ways.append(f"sheets {LARGER[info.paper]} {info.orientation}")
    if info.units.second is not None:
        ways.append("one unit only")
    if info.style == "large-print":
        ways.append('style "shop-inch"' if info.units.system == "inch" else 'style "shop-metric"')
    ways.append("the work divided between two parts")
    return ", or ".join(ways)
