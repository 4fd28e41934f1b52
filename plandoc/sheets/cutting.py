"""Cutting layouts of sheet stock: each layout to scale with marks, sizes and numbered cuts, then its cuts in a table.

Like sheets are drawn once. Where lettering finds no clear room on the drawing it stands in the table alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from plandoc.cutting.stock import Cut, Node, Placed, Rest, SheetLayout, walk
from plandoc.drawing.display import Group, Item, Line, Text
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, note_line_width
from plandoc.model.entities import Model
from plandoc.quantity import shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.listsheets import list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row, table_pages
from plandoc.shopwork.layouts import StockLayout, layouts
from plandoc.shopwork.names import stock_words

Room = tuple[float, float, float, float]
COLUMNS = (
    Column("Sheet"), Column("Cut", "middle"), Column("Way"), Column("Of the piece", "end"), Column("Fence at", "end"), Column("Comes off", wrap=True),
    Column("Left", wrap=True),
)  # fmt: skip
CLEAR = 1.2
"""Clear room (mm) around lettering on the drawing."""


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 6.3, 6.3b ...: a drawing of each different layout, then the cuts of all of them in one table."""
    drafts: list[Draft] = []
    cuts: list[Row] = []

    def add(title: str, *items: Item) -> None:
        drafts.append(Draft("cutting", _code(len(drafts)), title, items))

    for found, different in _different(ctx.model):
        for n, alike in enumerate(different, 1):
            title = f"Cutting {found.stock.description or found.stock.name}, layout {n}" + (f" ({len(alike)}X)" if len(alike) > 1 else "")
            heading, deep = list_heading(_note(ctx, found, alike[0], len(alike)), ctx)
            add(title, heading, _drawing(ctx, alike[0], deep, found.stock.grain))
            cuts += _cuts(ctx, alike[0], drafts[-1].code)
    for page in table_pages(COLUMNS, cuts, ctx.style, ctx.space, "cuts"):
        add("Cuts of the layouts", page)
    return tuple(drafts)


def _code(number: int) -> str:
    letter = "" if number == 0 else "abcdefghijklmnopqrstuvwxyz"[number % 26] * (number // 26 + 1)
    return f"6.3{letter}"


def _different(model: Model) -> Iterator[tuple[StockLayout, list[list[SheetLayout]]]]:
    """Each stock that is laid out in sheets, its layouts gathered by likeness."""
    for found in layouts(model):
        if found.sheets is not None:
            times: dict[tuple[Fraction, Fraction, Node], list[SheetLayout]] = {}
            for layout in found.sheets.sheets:
                times.setdefault((layout.sheet.length, layout.sheet.width, layout.tree), []).append(layout)
            yield found, list(times.values())


def layout_codes(model: Model) -> dict[str, tuple[str, ...]]:
    """The sheets on which the layouts of each stock are drawn, by the stock's name."""
    codes: dict[str, tuple[str, ...]] = {}
    number = 0
    for found, different in _different(model):
        codes[found.stock.name] = tuple(_code(number + n) for n in range(len(different)))
        number += len(different)
    return codes


def _note(ctx: SheetContext, found: StockLayout, layout: SheetLayout, count: int) -> str:
    assert found.sheets is not None
    units = ctx.model.info.units

    def say(length: Fraction) -> str:
        return shop_text(length, units, mark=True)

    total, bound = found.sheets.cost, found.sheets.bound
    number = f"{total} full {'sheet' if total == 1 else 'sheets'} in all, " + ("proved the fewest." if found.sheets.proved else f"not proved the fewest: at least {bound}.")
    waste = round(layout.waste * 100 / (layout.sheet.length * layout.sheet.width))
    return (
        f"{stock_words(found.stock, units)}, {layout.sheet.name} {say(layout.sheet.width)} x {say(layout.sheet.length)}, {count}X. {number} Waste {waste} %. "
        f"Kerf {say(found.saw.kerf)} and edge trim {say(found.saw.trim)} are assumed: check your saw. Sizes are length x width as sawn; "
        "distances are set from the lower left corner of the piece in hand. Offcuts worth keeping are marked keep."
    )


def _size(ctx: SheetContext, node: Node) -> str:
    return " x ".join(shop_text(x, ctx.model.info.units, mark=True) for x in (node.length, node.width))


def _drawing(ctx: SheetContext, layout: SheetLayout, deep: float, grain: bool) -> Group:
    x0, y0, x1, y1 = ctx.space
    y0 += deep + 4.0
    sheet = layout.sheet
    scale = min((x1 - x0 - 2) / float(sheet.length), (y1 - y0 - 12) / float(sheet.width))
    bottom = y0 + float(sheet.width) * scale

    def at(x: Fraction, y: Fraction) -> tuple[float, float]:
        return x0 + 1 + float(x) * scale, bottom - float(y) * scale

    items: list[Item] = [Line("vis", (at(Fraction(0), Fraction(0)), at(sheet.length, Fraction(0)), at(sheet.length, sheet.width), at(Fraction(0), sheet.width)), True)]
    lines: list[Room] = []
    for cut in layout.cuts:
        (a, b), (c, d) = _ends(cut)
        p, q = at(a, b), at(c, d)
        items.append(Line("tb", (p, q)))
        lines.append((min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1])))
    taken: list[Room] = []
    body, big = ctx.style.height("body"), ctx.style.height("head")
    for node in walk(layout.tree):
        if isinstance(node, Cut) or (isinstance(node, Rest) and not node.keep):
            continue
        left, top = at(node.x, node.y + node.width)
        right, low = at(node.x + node.length, node.y)
        mark = node.part if isinstance(node, Placed) else "keep"
        size = _size(ctx, node)
        wide, tall = right - left - 2 * CLEAR, low - top - 2 * CLEAR
        mid, half = (left + right) / 2, (top + low) / 2
        if note_line_width(mark, big, True) > wide or big > tall:
            continue
        both = note_line_width(size, body) <= wide and big + 2.2 * body + 2 <= tall
        base = half - 0.5 if both else half + big / 2
        items += note_line_items(mark, (mid, base), big, "head", "middle", bold=True)
        reach = max(note_line_width(mark, big, True), note_line_width(size, body) if both else 0.0) / 2
        taken.append((mid - reach, base - big, mid + reach, base + (body * 2 + 1 if both else 0)))
        if both:
            items += note_line_items(size, (mid, base + body + 2.0), body, "body", "middle")
    for number, cut in enumerate(layout.cuts, 1):
        room = _clear(str(number), cut, at, body, lines, taken)
        if room is not None:
            taken.append(room)
            items.append(Text("body", (room[0], room[3]), str(number), body))
    if grain:
        y = bottom + 6.0
        items += [Line("vis", ((x0 + 1, y), (x0 + 26, y))), Line("vis", ((x0 + 23, y - 1), (x0 + 26, y), (x0 + 23, y + 1))), Line("vis", ((x0 + 4, y - 1), (x0 + 1, y), (x0 + 4, y + 1)))]
        items += note_line_items("grain", (x0 + 29, y + body / 2), body, "body")
    return Group("layout", tuple(items))


def _ends(cut: Cut) -> tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]:
    if cut.across:
        return (cut.x + cut.at, cut.y), (cut.x + cut.at, cut.y + cut.width)
    return (cut.x, cut.y + cut.at), (cut.x + cut.length, cut.y + cut.at)


def _clear(text: str, cut: Cut, at: Callable[[Fraction, Fraction], tuple[float, float]], size: float, lines: list[Room], taken: list[Room]) -> Room | None:
    """A place beside the cut's line that touches no line and no lettering, None where there is none."""
    (a, b), (c, d) = _ends(cut)
    (px, py), (qx, qy) = at(a, b), at(c, d)
    wide = note_line_width(text, size)
    for step in (1, 3, 5, 7, 9, 11, 13, 15, 17, 19):
        x, y = px + (qx - px) * step / 20, py + (qy - py) * step / 20
        room = (x - 1.0 - wide, y - size / 2, x - 1.0, y + size / 2) if cut.across else (x - wide / 2, y + 1.0, x + wide / 2, y + 1.0 + size)
        if not any(room[0] - 0.6 < r[2] and r[0] < room[2] + 0.6 and room[1] - 0.6 < r[3] and r[1] < room[3] + 0.6 for r in (*lines, *taken)):
            return room
    return None


def _cuts(ctx: SheetContext, layout: SheetLayout, sheet: str) -> list[Row]:
    """The cuts in the order of the work: which way, from which piece, where the fence stands, what comes off."""
    rows = []
    for number, cut in enumerate(layout.cuts, 1):
        cells = (sheet, str(number), "crosscut" if cut.across else "rip", _size(ctx, cut), shop_text(cut.at, ctx.model.info.units, mark=True), _what(ctx, cut.first), _what(ctx, cut.second))
        rows.append(Row(cells, (("cut", f"{sheet}.{number}"),)))
    return rows


def _what(ctx: SheetContext, node: Node | None) -> str:
    if node is None:
        return "nothing"
    if isinstance(node, Placed):
        return f"part {node.part}, {_size(ctx, node)}"
    if isinstance(node, Rest):
        return f"keep, {_size(ctx, node)}" if node.keep else "scrap"
    return "piece to cut on"


def wanted(ctx: SheetContext) -> bool:
    """Whether sheet stock is laid out."""
    return any(found.sheets is not None and found.sheets.sheets for found in layouts(ctx.model))


KIND = SheetKind("cutting", 50, compose, wanted, together="Cutting layouts")
