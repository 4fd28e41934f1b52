"""General notes: what lines, patterns and signs mean, how figures are rounded, what the stock is taken to measure;
then hazards and safety, tied to the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plandoc.drawing.display import XY, Circle, Group, Item, Line
from plandoc.drawing.draft import Draft
from plandoc.drawing.hatch import cut_pattern
from plandoc.drawing.lettering import note_line_items
from plandoc.drawing.linework import MOTION, grain_mark, motion_arrow, reference_mark
from plandoc.model.entities import Model
from plandoc.quantity import Units, dual_text, shop_number, shop_text
from plandoc.sheets.boardlines import ROLE as BOARD_LINES
from plandoc.sheets.context import SheetContext
from plandoc.sheets.flow import Draw, Flow, column_count
from plandoc.sheets.listsheets import letter
from plandoc.sheets.partbreaks import zigzag
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row
from plandoc.shopwork.names import counted, stock_words, tolerance
from plandoc.shopwork.safety import safety_notes
from plandoc.shopwork.shopwords import machine_rows, saw_note
from plandoc.tables import Caution

LINES = (
    ("vis", "visible edge"),
    ("hid", "hidden edge"),
    ("ctr", "centre line, axis"),
    ("phm", "other position, neighbour"),
    ("cut", "end of a cutting plane"),
    ("dim", "dimension, extension, leader"),
    ("light", "already in place (step pictures)"),
    ("trail", "way that a part goes in"),
)
PATTERNS = (
    ("end grain", "solid wood, across the grain"),
    ("long grain", "solid wood, along the grain"),
    ("panel", "panel; lines square to its faces"),
)
SAMPLE = 18.0  # mm
GRAIN_SAMPLE = 22.0  # mm; the word stands in the arrow
DEEP = 6.0  # mm, a sample of a cut surface
COMMON = "common practice"
SIGN = 5.0  # of the height of a sign, for it
GENERAL, SAFETY = "General notes", "Hazards and safety"


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 0.2 (notes) and 0.3 (hazards and safety), each with as many pages as it needs; safety follows the notes on their last
    sheet where that saves one."""
    apart: list[Draft] = []
    joined = Flow(ctx.space, ctx.style, column_count(ctx.space, ctx.style))
    for code, title, writers in (("0.2", GENERAL, (_legend, _conventions)), ("0.3", SAFETY, (_safety,))):
        flow = Flow(ctx.space, ctx.style, column_count(ctx.space, ctx.style))
        if apart:
            joined.section(title)
        for write in writers:
            write(flow, ctx)
            write(joined, ctx)
        apart += _drafts(code, title, flow.pages())
    pages = joined.pages()
    if len(pages) >= len(apart):
        return tuple(apart)
    first = next(n for n, items in enumerate(pages) if any(isinstance(i, Group) and i.kind == "section" for i in items))
    both = pages[: first + 1]
    drafts = _drafts("0.2", GENERAL, both)
    drafts[-1] = replace(drafts[-1], title=f"{GENERAL}; {SAFETY[:1].lower()}{SAFETY[1:]}")
    return (*drafts, *_drafts("0.3", SAFETY, pages[first + 1 :], True))


def _drafts(code: str, title: str, pages: Sequence[tuple[Item, ...]], continued: bool = False) -> list[Draft]:
    """One draft a page. continued: the first one goes on from a sheet before."""
    return [Draft("notes", code + letter(number), title + (", continued" if number or continued else ""), items) for number, items in enumerate(pages)]


def signs_in_use(model: Model) -> tuple[tuple[str, str], ...]:
    """Signs and abbreviations that the drawings of this plan print, with their meaning."""
    round_work = [f for p in model.parts for f in p.features if f.diameter is not None]
    sizes = [v for p in model.parts for v in (p.length, p.width, p.thickness)]
    sizes += [v for p in model.parts for f in p.features for g in f.figures for v in (g.lo, g.hi)]
    rounded = any(not shop_number(v, model.info.units).exact for v in sizes)
    found = []
    if round_work:
        found.append(("Ø", "diameter"))
    if any(p.features for p in model.parts):
        found.append(("↧", "depth from the face that is worked"))
    found.append(("4X", "four times; the figure stands once"))
    if any(f.through or f.depth is None for f in round_work):
        found.append(("THRU", "right through the part"))
    said = " ".join(f.note.upper() for p in model.parts for f in p.features)
    if "CSK" in said:
        found.append(("CSK", "countersunk: largest diameter × included angle"))
    if "CBORE" in said:
        found.append(("CBORE", "flat-bottomed room for a head or a plug"))
    found.append(("( )", "for information; follows from others"))
    if rounded:
        found.append(("≈", "rounded to the step of the plan"))
    found.append(("T, W, L", "thickness, width, length along the grain"))
    return tuple(found)


def _legend(flow: Flow, ctx: SheetContext) -> None:
    flow.heading("Lines")
    for role, meaning in LINES:
        flow.sample(_line(role), SAMPLE, 2.6, meaning)
    flow.sample(_break, SAMPLE, 5.0, "plain wood left out; figures across are true")
    if any(part.glue_up is not None for part in ctx.model.parts):
        flow.sample(_line(BOARD_LINES), SAMPLE, 2.6, "boards of a glued-up part meet (part drawings)")
    flow.heading("Cut surfaces")
    for kind, meaning in PATTERNS:
        flow.sample(_pattern(kind), SAMPLE, DEEP, meaning)
    flow.words("Parts that touch differ in direction or spacing. Hardware, dowels and screws cut lengthwise stay white.")
    flow.heading("Signs")
    style = ctx.style
    flow.sample(
        lambda x, y: grain_mark((x + GRAIN_SAMPLE / 2, y + 4.5), GRAIN_SAMPLE - 2, True, style), GRAIN_SAMPLE, 5.5, "direction of the grain"
    )
    flow.sample(_reference(ctx, "face"), SAMPLE, 4.0, "reference face, seen as an edge: depths start here")
    flow.sample(_reference(ctx, "edge"), SAMPLE, 4.0, "reference edge: distances across start here")
    flow.words("Where a view has no room for these two, they stand before it and touch the edge with their points.")
    flow.sample(_balloon(ctx), SAMPLE, 2 * style.balloon_radius, "part mark, alike in lists and drawings")
    if ctx.model.joints:
        flow.sample(lambda x, y: (motion_arrow((x + 4.0 + MOTION, y + 2.0), (1.0, 0.0)),), SAMPLE, 4.0, "way that a part goes in (step pictures), no clamp")
    size = style.height("note")
    for sign, meaning in signs_in_use(ctx.model):
        flow.sample(_sign(sign, size), SIGN * size, size + 0.5, meaning)


def _line(role: str) -> Draw:
    return lambda x, y: (Line(role, ((x, y + 1.5), (x + SAMPLE, y + 1.5))),)


def _break(x: float, y: float) -> Sequence[Item]:
    middle = x + SAMPLE / 2
    outline = (Line("vis", ((start, y + edge), (end, y + edge))) for start, end in ((x, middle - 2.0), (middle + 2.0, x + SAMPLE)) for edge in (1.0, 4.0))
    return (*outline, *(zigzag(at, y - 0.5, y + 5.5) for at in (middle - 2.0, middle + 2.0)))


def _pattern(kind: str) -> Draw:
    def draw(x: float, y: float) -> Sequence[Item]:
        loop: tuple[XY, ...] = ((x, y), (x + SAMPLE, y), (x + SAMPLE, y + DEEP), (x, y + DEEP))
        return (Line("vis", loop, closed=True), *cut_pattern((loop,), kind, 0.0, 0, (), DEEP if kind == "panel" else 0.0))

    return draw


def _reference(ctx: SheetContext, kind: str) -> Draw:
    def draw(x: float, y: float) -> Sequence[Item]:
        line = Line("vis", ((x, y + 0.6), (x + SAMPLE, y + 0.6)))
        return (line, *reference_mark((x + SAMPLE / 2, y + 0.6), (0.0, 1.0), ctx.style, kind))

    return draw


def _balloon(ctx: SheetContext) -> Draw:
    def draw(x: float, y: float) -> Sequence[Item]:
        radius, size = ctx.style.balloon_radius, ctx.style.height("label")
        middle = (x + SAMPLE / 2, y + radius)
        letter = note_line_items("A", (middle[0], middle[1] + size / 2), size, "label", "middle", bold=True)
        return (Circle("vis", middle, radius), *letter)

    return draw


def _sign(sign: str, size: float) -> Draw:
    return lambda x, y: note_line_items(sign, (x + SIGN * size / 2, y + size), size, "note", "middle")


def _conventions(flow: Flow, ctx: SheetContext) -> None:
    model, units = ctx.model, ctx.model.info.units
    flow.heading("Figures")
    for text in _figure_notes(units):
        flow.words(text, "–")
    flow.heading("Reference faces")
    for text in (
        "Every distance on a part starts at its reference face, reference edge or reference end, named on its drawing.",
        "Mark them on the blank before the first cut and keep the same ones against fence and stop.",
        "Parts that mirror each other have mirrored reference faces. One drawing serves both: the first as drawn; the opposite hand has the same figures from its own reference faces, left for right.",
    ):
        flow.words(text, "–")
    flow.heading("Tolerance")
    flow.words(f"± {shop_text(tolerance(units), units, mark=True)} unless noted. Joints are fitted to the mating part, not to the figure.")
    flow.heading("Stock")
    flow.words("Joints are drawn for the measured thickness below. Measure the stock in hand; if it differs, the plan must be "
               "worked out again with its true thickness.")  # fmt: skip
    flow.table(*_stock_table(model), "stock")
    _shop(flow, model)
    if model.info.notes:
        flow.heading("Notes of the plan")
        for text in model.info.notes:
            flow.words(text, "–")


def _shop(flow: Flow, model: Model) -> None:
    """What the packet counts on; the shop is marked where it is only assumed."""
    shop = model.shop
    flow.heading("Shop: ASSUMED" if shop.assumed else f"Shop: {shop.name}")
    if shop.assumed:
        flow.words("The plan names no shop: machines, layouts and set-ups count on the figures below. Check them against your machines.")
    flow.words(saw_note(model))
    for name, figures in machine_rows(model):
        flow.words(f"{name}: {figures}" if figures else name, "–")


def _figure_notes(units: Units) -> tuple[str, ...]:
    if units.system == "inch":
        unit = f"All sizes are inches, printed to the nearest {shop_text(units.step_mm, units)}; a figure without a sign is exact."
    else:
        unit = f"All sizes are millimetres, printed to the nearest {shop_text(units.step_mm, units)}; a figure without a sign is exact."
    second = () if units.second is None else (second_note(units.second),)
    return (
        unit,
        *second,
        "Sizes are those of the finished part. Use the figures; do not measure the paper.",
        "Each figure is printed once on a part's drawing. Dimensions to a hole go to its centre.",
        "Check the bar scales before use: a print must be made at 100 %.",
    )


def second_note(units: Units) -> str:
    """Which figures stand in square brackets, and that the others count."""
    name = "inches" if units.system == "inch" else "millimetres"
    return f"Figures in square brackets are {name}, each worked out from the exact size and rounded to {shop_text(units.step_mm, units)}, what must fit more finely: work to the figures without brackets."


def _thickness_heads(model: Model) -> tuple[str, str]:
    """Stock is called by one thickness and measures another; rough lumber is bought in one and planed to the other."""
    rough = [stock.rough is not None for stock in model.stocks]
    if all(rough):
        return "Rough", "Planed to"
    return ("Called, rough", "Measured, planed to") if any(rough) else ("Called", "Measured")


def _stock_table(model: Model) -> tuple[tuple[Column, ...], tuple[Row, ...]]:
    units = model.info.units
    called, measured = _thickness_heads(model)
    columns = (
        Column("Stock", wrap=True), Column(called, "end", stacked=True), Column(measured, "end", stacked=True),
        Column("Size W × L", "end"),
    )  # fmt: skip
    rows = []
    for stock in model.stocks:
        size = ""
        if stock.width is not None and stock.length is not None:
            size = f"{dual_text(stock.width, units)} × {dual_text(stock.length, units)}"
        elif stock.width is not None:
            size = f"{dual_text(stock.width, units.fine)} wide"
        figures = (dual_text(value, units.fine) for value in (stock.rough or stock.called, stock.measured))
        rows.append(Row((stock_words(stock, units), *figures, size), (("stock", stock.name),)))
    if not any(row.cells[-1] for row in rows):
        return columns[:-1], tuple(replace(row, cells=row.cells[:-1]) for row in rows)
    return columns, tuple(rows)


def _safety(flow: Flow, ctx: SheetContext) -> None:
    notes = safety_notes(ctx.model, ctx.steps)
    every = [*notes.general, *(c for m in notes.machines for c in m.cautions)]
    sources = tuple(dict.fromkeys(c.source for c in every if c.source != COMMON))

    def listed(cautions: Sequence[Caution]) -> None:
        for caution in cautions:
            number = f" [{sources.index(caution.source) + 1}]" if caution.source in sources else ""
            flow.words(caution.text + number, "–")

    flow.heading("Read first")
    for text in notes.deferral:
        flow.words(text, "–")
    if notes.general:
        flow.heading("Always")
        listed(notes.general)
    if notes.protective:
        flow.heading("Wear and use")
        for words, steps in notes.protective:
            flow.words(f"{words[:1].upper()}{words[1:]}: {_steps(steps)}.", "–")
    for text in notes.heavy:
        flow.words(text, "–")
    for machine in notes.machines:
        flow.heading(f"{machine.machine.name} ({_steps(machine.steps)})")
        listed(machine.cautions)
    if sources:
        flow.heading("Sources of the numbered lines")
        flow.words("; ".join(f"[{number}] {source}" for number, source in enumerate(sources, 1)))


def _steps(numbers: Sequence[int]) -> str:
    """`step 3`, `steps 1 to 4, 7`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    words = [str(a) if a == b else f"{a} to {b}" if b > a + 1 else f"{a}, {b}" for a, b in runs]
    return counted(len(numbers), "step").split(" ")[1] + " " + ", ".join(words)


KIND = SheetKind("notes", 20, compose, together="General notes; hazards and safety")
