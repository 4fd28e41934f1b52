"""The whole job at a glance: every step with its machines, pieces, working and waiting time (estimates), and what is glued."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.drawing.display import Group, Item, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.sheets.context import SheetContext
from plandoc.sheets.listsheets import letter, list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row, Table
from plandoc.shopwork.estimates import duration, fives, hours, whole_minutes
from plandoc.shopwork.gluewords import liquid_words, surface_words, wide_words
from plandoc.shopwork.gluing import Clamping
from plandoc.shopwork.shopping import all_glue_ups
from plandoc.shopwork.trade import machines_in, plain_tool
from plandoc.shopwork.worktimes import StepTime, step_times
from plandoc.tables.gluing import POUND

TITLE = "The job at a glance"
NOTE = "Times are estimates (common practice): one worker, set-up included; drying as the label says. A plan can set its own: time dado 4."
GLUE = "Estimates: force by published pressures (100 to 250 lb/sq in., 0.7 to 1.7 MPa), clamps × opening. Glue 0.006 in. thick (from memory)."
FORMS = ((1.6, 1, True), (1.6, 2, True), (1.15, 1, True), (1.15, 2, True), (1.15, 2, False), (0.9, 2, False))
"""Mm over and under the lettering of a cell, columns of steps (the machines stand in a single one only), whether with the count
of parts: the first form with which all stands on one sheet is taken."""
NO_PLACE = ("measuring", "lifting", "glue", "abrasives")
"""What is used wherever one works."""
BETWEEN, LEAST, GAP = 6.0, 3.5, 5.0  # mm; between the steps and what is glued, and so little where it makes one sheet of two
HEADING = 1.75  # of the height of a title, for the title with the room under it


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheet 8.0; 8.0b ... where the steps do not fit on one."""
    found: list[list[Item]] = []
    for above, columns, parts in FORMS:
        if len(found) != 1:
            pages = _pages(ctx, above, columns, parts)
            found = pages if not found or len(pages) < len(found) else found
    titles = [TITLE if n == 0 else f"{TITLE}, continued" if any(isinstance(i, Group) and i.id.startswith("overview") for i in page) else "Gluing" for n, page in enumerate(found)]
    return tuple(Draft("overview", f"8.0{letter(n)}", title, tuple(page)) for n, (title, page) in enumerate(zip(titles, found, strict=True)))


def _pages(ctx: SheetContext, above: float, columns: int, parts: bool) -> list[list[Item]]:
    """The steps in so many columns, then what is glued."""
    x0, y0, x1, y1 = ctx.space
    note, deep = list_heading(NOTE, ctx)
    wide = (x1 - x0 - GAP * (columns - 1)) / columns
    steps = Table(*_steps(step_times(ctx.model, ctx.steps), columns == 1, parts), ctx.style, wide, "overview", above=above)
    pages: list[list[Item]] = [[note]]
    y, start, column, low = y0 + deep, 0, 0, y0
    while start < len(steps.rows):
        if column == columns:
            pages.append([])
            y, column, low = y0, 0, y0
        count = min(steps.fitting(start, y1 - y), _share(steps, start, columns - column))
        pages[-1].append(steps.draw(x0 + column * (wide + GAP), y, start, count))
        low = max(low, y + steps.run_height(start, count))
        start, column = start + count, column + 1
    rows = _glue_rows(ctx)
    if rows is None:
        return pages
    table = Table(*rows, ctx.style, x1 - x0, "gluing", above=above)
    words, room = list_heading(GLUE, ctx)
    size = 0.8 * ctx.style.height("title")
    heading = HEADING * size
    y = low + min(BETWEEN, max(LEAST, y1 - low - heading - room - table.height))
    if y + heading + room + table.height > y1 + 1e-6:
        pages.append([])
        y = y0
    pages[-1] += [Text("head", (x0, y + size), "Gluing", size, bold=True), shifted(words, 0.0, y + heading - y0)]
    y += heading + room
    start = 0
    while start < len(table.rows):
        count = table.fitting(start, y1 - y)
        pages[-1].append(table.draw(x0, y, start, count))
        start += count
        if start < len(table.rows):
            pages.append([])
            y = y0
    return pages


def _share(steps: Table, start: int, columns: int) -> int:
    """The fewest rows from `start` on that make a column no lower than the other ones will be."""
    rest = len(steps.rows) - start
    for count in range(-(-rest // columns) if columns > 1 else rest, rest):
        if steps.run_height(start, count) >= steps.run_height(start + count, rest - count) / max(columns - 1, 1):
            return count
    return rest


def _steps(found: Sequence[StepTime], machines: bool, parts: bool) -> tuple[list[Column], list[Row]]:
    """One row a step and the sums, with the machines and the count of parts or without."""
    columns = [Column("Step", "middle"), Column("What", wrap=True), *([Column("On", wrap=True)] if machines else []), *([Column("Parts", "end")] if parts else []), Column("Work", "end"), Column("Wait", "end")]
    rows = []
    for row in found:
        on = ", ".join(dict.fromkeys(plain_tool(m.name) for m in machines_in(row.step) if m.key not in NO_PLACE))
        cells = (str(row.step.number), row.step.title, *([on[:1].upper() + on[1:]] if machines else []), *([str(row.pieces or "")] if parts else []), _time(row.work), _time(row.wait))
        rows.append(Row(cells, (("step", str(row.step.number)),)))
    sums = [hours(sum(fives(getattr(row, name)) for row in found)) for name in ("work", "wait")]
    rows.append(Row(("", "All steps (estimate)", *([""] if machines else []), *([""] if parts else []), *sums), (("step", "total"),)))
    return columns, rows


def _time(time: Fraction) -> str:
    """In steps of five minutes, rounded up; "" for none."""
    return hours(fives(time))


def _glue_rows(ctx: SheetContext) -> tuple[list[Column], list[Row]] | None:
    """One row a glue-up of the steps, None where nothing is glued."""
    units = ctx.model.info.units
    ups = all_glue_ups(ctx.model, ctx.steps)
    if not ups:
        return None
    heads = ("Left to right", "Front to back", "Bottom to top")
    columns = [Column("Step", "middle"), Column("Joints", "end"), Column("Area", "end"), Column("Glue", "end"), Column("Spread, close", wrap=True), *(Column(head, wrap=True) for head in heads)]
    lines = []
    for up in ups:
        found = up.found
        along = {c.axis: _clamps(c, ctx) + (", across the panel" if up.boards else "") for c in found.clamped}
        late = ", too long" if found.late(ctx.model) else ""
        count = f"{up.alike} × {up.joints}" if up.alike > 1 else str(up.joints)
        cells = (
            str(up.step), count, surface_words(found.area, units), liquid_words(found.glue, units), duration(whole_minutes(found.minutes)) + late,
            *(along.get(axis, "") for axis in range(3)),
        )  # fmt: skip
        lines.append(Row(cells, (("step", str(up.step)),)))
    return columns, lines


def _clamps(clamping: Clamping, ctx: SheetContext) -> str:
    """`3,600 lb: 4 × 20"`, with how many there are where those are too few."""
    inch = ctx.model.info.units.system == "inch"
    pounds = clamping.force / POUND
    force = f"{int(round(pounds, -2 if pounds >= 1000 else -1)):,} lb" if inch else f"{float(clamping.force) / 1000:.1f} kN"
    short = f" (there are {clamping.there})" if clamping.short else ""
    return f"{force}: {clamping.count} × {wide_words(clamping.wide, ctx.model.info.units)}{short}"


def wanted(ctx: SheetContext) -> bool:
    """Whether there are steps."""
    return bool(ctx.steps)


KIND = SheetKind("overview", 178, compose, wanted, together=TITLE)
