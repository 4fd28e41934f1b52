"""Cuts of bars and boards: each board to scale with its numbered cuts, each bar as a strip with its pieces in the order of the
cuts, and banding by its strips. Like ones once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.lengths import BarLayout
from plandoc.drawing.boxes import overlap
from plandoc.drawing.display import Extent, Fill, Group, Item, Line
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_extent, note_line_items, reach, wrap
from plandoc.sheets.context import SheetContext
from plandoc.sheets.cuttingdraw import Drawn, draw_layout, measure
from plandoc.sheets.cuttingwords import (
    ABOVE,
    COLUMNS,
    Panel,
    caption,
    cut_pages,
    cut_rows,
    note,
    number_words,
    panels,
    percent,
)
from plandoc.sheets.listsheets import letter, list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Row, Table
from plandoc.shopwork.layouts import StockLayout, keeps, layouts
from plandoc.shopwork.names import exact_text, stock_words
from plandoc.shopwork.shopwords import saw_note
from plandoc.shopwork.stocklist import Strip, band_pieces, band_spare, banding
from plandoc.shopwork.strips import layout_note

BAR = 6.0
"""Height (mm) of a bar as drawn."""
DEEPEST, DEEPER = 42.0, 64.0
"""Greatest height (mm) of a board as drawn; and where some of its pieces have no room for their size."""
STRETCHES = (1.0, 1.5, 2.0)
STRETCH_WORDS = ("", "half again", "twice")
"""How much larger the widths of a board may be drawn than its lengths, so that its pieces can be named."""
BETWEEN = 5.0
PITCH = 1.75
TITLE = "Cuts of bars and boards"


@dataclass(frozen=True, slots=True)
class Block:
    """Something that stays together. draw: its items with the upper left corner at a height."""

    height: float
    draw: Callable[[float], Sequence[Item]]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.4, 6.4b ...: boards, then bars and banding; the cuts of the boards below them, or on further pages."""
    pages, rows, y, _ = _laid(ctx)
    further = list(_tables(ctx, rows, pages, y))
    drafts = [*pages, *further]
    return tuple(Draft("bars", f"6.4{letter(n)}", TITLE if n == 0 else f"{TITLE}, continued", tuple(items)) for n, items in enumerate(drafts))


def board_codes(ctx: SheetContext) -> dict[str, tuple[str, ...]]:
    """The sheets on which boards of each stock are drawn, by the stock's name."""
    pages = _laid(ctx)[3]
    return {name: tuple(f"6.4{letter(n)}" for n in numbers) for name, numbers in pages.items()}


def _laid(ctx: SheetContext) -> tuple[list[list[Item]], list[Row], float, dict[str, dict[int, None]]]:
    """The pages without the cuts, the rows of the cuts, where they begin on the last page, and the pages of each stock's boards."""
    found = [one for one in layouts(ctx.model) if one.stock.kind != "sheet"]
    boards = panels([one for one in found if one.sheets is not None], "Board ")
    blocks = [_board(ctx, panel) for panel in boards]
    for one in found:
        if one.bars is not None:
            blocks += _bars(ctx, one)
    for stock in banding(ctx.model):
        blocks.append(_lines(ctx, f"{stock_words(stock, ctx.model.info.units)}:", _strips(ctx, band_pieces(ctx.model, stock), band_spare(ctx.model, stock))))
    heading, deep = list_heading(_note(ctx, boards), ctx) if found else (Group("list-note", ()), 0.0)
    pages: list[list[Item]] = []
    y0, y1 = ctx.space[1], ctx.space[3]
    y = y1
    drawn_on: dict[str, dict[int, None]] = {}
    for number, block in enumerate(blocks):
        if not pages or y + block.height > y1 + 1e-6:
            pages.append([heading])
            y = y0 + deep + 1.0
        pages[-1] += block.draw(y)
        y += block.height + BETWEEN
        if number < len(boards):
            drawn_on.setdefault(boards[number].found.stock.name, {})[len(pages) - 1] = None
    rows = [row for panel in boards for row in cut_rows(panel, ctx.model.info.units)]
    return pages, rows, y, drawn_on


def _tables(ctx: SheetContext, rows: Sequence[Row], pages: list[list[Item]], y: float) -> list[list[Item]]:
    """The cuts of the boards under the last page where they all fit, else pages of their own."""
    if not rows:
        return []
    x0, _, x1, y1 = ctx.space
    table = Table(COLUMNS, rows, ctx.style, x1 - x0, "board-cuts", above=ABOVE)
    if y + table.height <= y1 + 1e-6:
        pages[-1].append(table.draw(x0, y))
        return []
    return [[page] for page in cut_pages(rows, ctx.style, ctx.space, "board-cuts")]


def _note(ctx: SheetContext, boards: Sequence[Panel]) -> str:
    if boards:
        return note(ctx.model, any(panel.layout.sheet.zones for panel in boards)) + layout_note(ctx.model)
    return f"{saw_note(ctx.model).replace('edge trim', 'end trim')} Pieces stand in the order of the cuts, lengths as sawn. Grey is scrap."


def _words(ctx: SheetContext, lines: Sequence[tuple[str, bool]], top: float) -> list[Item]:
    size = ctx.style.height("body")
    return [i for n, (line, bold) in enumerate(lines) for i in note_line_items(line, (ctx.space[0], top + size * (1 + PITCH * n)), size, "body", bold=bold)]


def _wrapped(ctx: SheetContext, text: str, bold: bool = False) -> list[tuple[str, bool]]:
    return [(line, bold) for line in wrap(text, ctx.style.height("body"), ctx.space[2] - ctx.space[0], bold)]


def _deep(ctx: SheetContext, lines: Sequence[object]) -> float:
    return ctx.style.height("body") * (1 + PITCH * (len(lines) - 1)) if lines else 0.0


def _lines(ctx: SheetContext, head: str, text: str) -> Block:
    lines = [*_wrapped(ctx, head, True), *_wrapped(ctx, text)]
    return Block(_deep(ctx, lines) + 1.0, lambda y: _words(ctx, lines, y))


def _board(ctx: SheetContext, panel: Panel) -> Block:
    units = ctx.model.info.units
    x0, _, x1, _ = ctx.space
    tree = panel.layout.tree
    flat = (x1 - x0 - 1) * float(tree.width / tree.length)

    def made(y: float, way: tuple[float, float], trial: bool = False, more: float = 0.0) -> Drawn:
        stretch, deepest = way
        return draw_layout(panel.layout, (x0 + 0.5, y, x1 - 0.5, y + min(deepest, flat * stretch) + more), ctx.style, units, False, trial, stretch)

    ways = [(stretch, DEEPEST) for stretch in STRETCHES]
    tries = [made(0.0, way, True) for way in ways]
    if min(tries, key=lambda tried: (tried.led, -tried.sized)).bare:
        deeper = [(stretch, DEEPER) for stretch in STRETCHES if flat * stretch > DEEPEST]
        ways, tries = ways + deeper, tries + [made(0.0, way, True) for way in deeper]
    best = min(range(len(tries)), key=lambda n: (tries[n].led, -tries[n].sized, n))
    words = STRETCH_WORDS[STRETCHES.index(ways[best][0])]
    said = caption(panel, units) + (f" Widths are drawn {words} as large as lengths." if words else "")
    lines = [*_wrapped(ctx, f"{panel.number}: {stock_words(panel.found.stock, units)}", True), *_wrapped(ctx, said)]
    top = _deep(ctx, lines) + 2.5

    def drawn(y: float) -> tuple[tuple[Item, ...], Extent]:
        done = made(y + top, ways[best], more=18.0 if tries[best].led else 0.0)
        return done.items, done.extent

    return Block(drawn(0.0)[1][3], lambda y: [*_words(ctx, lines, y), *drawn(y)[0]])


def _bars(ctx: SheetContext, found: StockLayout) -> list[Block]:
    """A caption and a row for each different bar."""
    assert found.bars is not None
    units = ctx.model.info.units
    alike: dict[tuple[Fraction, tuple[tuple[str, Fraction], ...]], list[BarLayout]] = {}
    for bar in found.bars.bars:
        alike.setdefault((bar.bar.length, bar.pieces), []).append(bar)
    longest = max((bar.bar.length for bar in found.bars.bars), default=Fraction(1))
    said = number_words(found)
    if found.waste is not None:
        said += f" Waste {percent(found.waste)}, ends to keep not counted."
    if found.assumed:
        said += " The plan names no lengths to hand: the length of the bars is assumed."
    head = [*_wrapped(ctx, f"{stock_words(found.stock, units)}:", True), *_wrapped(ctx, said)]
    blocks = []
    for n, same in enumerate(alike.values()):
        blocks.append(_bar(ctx, found, same[0], len(same), longest, head if n == 0 else []))
    return blocks


def _bar(ctx: SheetContext, found: StockLayout, bar: BarLayout, count: int, longest: Fraction, head: Sequence[tuple[str, bool]]) -> Block:
    """The bar as a strip with the marks, and its cuts in words under it."""
    units, size = ctx.model.info.units, ctx.style.height("body")
    x0, _, x1, _ = ctx.space
    kept = keeps(found.saw, bar.rest)
    text = f"{'Offcut of the rack, ' if not bar.bar.price else ''}{measure(bar.bar.length, units)}, {count}X: trim {measure(found.saw.trim, units)}; {'; '.join(_cuts(ctx, bar))}"
    text += f"; left {measure(bar.rest, units)}, {'keep' if kept else 'scrap'}." if bar.rest else "; nothing left."
    words = _wrapped(ctx, text)
    under = reach(size)[1]
    top = _deep(ctx, head) + max(2.0, under + 1.0) if head else 0.0
    thick = max(BAR, size + 2 * (under + 0.6))
    scale = (x1 - x0 - 1) / float(longest)

    def draw(y: float) -> list[Item]:
        items = _words(ctx, head, y)
        high, low = y + top, y + top + thick
        end = x0 + 0.5 + float(bar.bar.length) * scale
        start = x0 + 0.5 + float(found.saw.trim) * scale
        grey: list[tuple[float, float]] = [(x0 + 0.5, start)]
        at, lines, marks = start, [], []
        for mark, length in bar.pieces:
            stop = at + float(length) * scale
            marks.append((mark, at, stop))
            after = min(stop + float(found.saw.kerf) * scale, end)
            grey.append((stop, after))
            lines.append(stop)
            at = after
        rest = min(at + float(bar.rest) * scale, end)
        if bar.rest and kept:
            marks.append(("keep", at, rest))
            grey.append((rest, end))
        else:
            grey.append((at, end))
        items += [Fill("tone", (((a, high), (b, high), (b, low), (a, low)),)) for a, b in grey if b - a > 1e-6]
        items.append(Line("vis", ((x0 + 0.5, low), (end, low), (end, high), (x0 + 0.5, high)), True))
        items += [Line("tb", ((x, high), (x, low))) for x in lines]
        for mark, left, right in marks:
            box = note_line_extent(mark, ((left + right) / 2, (high + low + size) / 2), size, "middle", 0, True)
            if overlap(box, (left, high, left, low), 0.6) or overlap(box, (right, high, right, low), 0.6):
                continue  # the words under the bar name it
            items += note_line_items(mark, ((left + right) / 2, (high + low + size) / 2), size, "head", "middle", bold=True)
        return [*items, *_words(ctx, words, low + 1.8)]

    return Block(top + thick + 1.8 + _deep(ctx, words) + 1.0, draw)


def _cuts(ctx: SheetContext, bar: BarLayout) -> list[str]:
    """`A 32" 2X`: the pieces in the order of the cuts, equal ones together."""
    said: list[tuple[str, Fraction, int]] = []
    for mark, length in bar.pieces:
        if said and said[-1][:2] == (mark, length):
            said[-1] = (mark, length, said[-1][2] + 1)
        else:
            said.append((mark, length, 1))
    units = ctx.model.info.units
    return [f"{mark} at stop {exact_text(length, units, units.system == 'inch')}" + (f" {count}X" if count > 1 else "") for mark, length, count in said]


def _strips(ctx: SheetContext, strips: Sequence[Strip], spare: Fraction) -> str:
    """The strips of a banding by length, the longest first. spare: what each is cut longer by (mm)."""
    units = ctx.model.info.units
    said = ", ".join(f"{strip.count} of {measure(strip.length, units)} for {strip.mark}" for strip in strips)
    run = sum((strip.length * strip.count for strip in strips), Fraction(0))
    if not spare:
        return f"{said}; {measure(run, units)} in all. The plan names no spare: these are the lengths of the edges; cut each a little longer to trim its ends flush."
    return f"Cut with their spare: {said}; {measure(run, units)} in all."


def wanted(ctx: SheetContext) -> bool:
    """Whether there are bars or boards with a layout; banding alone is told where it is bought."""
    return any(found.stock.kind != "sheet" and (found.sheets is None or found.sheets.sheets) for found in layouts(ctx.model))


KIND = SheetKind("bars", 55, compose, wanted, together=TITLE)
