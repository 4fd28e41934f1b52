"""What is said of cutting layouts: captions, the note over them, the rows of their cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.stock import Cut, Layouts, Node, Placed, Rest, SheetLayout, Zone
from plandoc.drawing.display import Extent, Group
from plandoc.drawing.style import Style
from plandoc.model.entities import Model
from plandoc.quantity import Units
from plandoc.sheets.cuttingdraw import measure, size_words
from plandoc.sheets.tables import Column, Row, Table
from plandoc.shopwork.layouts import StockLayout
from plandoc.shopwork.names import counted, exact_text, stock_words
from plandoc.shopwork.shopwords import saw_note

COLUMNS = (
    Column("Layout", "middle"), Column("Cut", "middle"), Column("Way"), Column("Of the piece", "end"), Column("Set at", "end"), Column("Comes off", wrap=True),
    Column("Left", wrap=True),
)  # fmt: skip
ABOVE = 1.4
"""Clear room (mm) over and under a row of the cuts."""
ORPHANS = 3
"""Rows of a layout that do not stand alone at the foot of a page are fewer than this."""


@dataclass(frozen=True, slots=True)
class Panel:
    """One layout with its number in the document. count: so many sheets or boards are cut alike."""

    number: str
    found: StockLayout
    layout: SheetLayout
    count: int


def panels(found: Sequence[StockLayout], word: str = "") -> tuple[Panel, ...]:
    """The layouts of some stocks, those that are alike once, numbered through."""
    made: list[Panel] = []
    for one in found:
        if one.sheets is None:
            continue
        alike: dict[tuple[object, ...], list[SheetLayout]] = {}
        for layout in one.sheets.sheets:
            sheet = layout.sheet
            alike.setdefault((sheet.length, sheet.width, sheet.rack, sheet.zones and sheet.name, layout.tree), []).append(layout)
        for same in alike.values():
            made.append(Panel(f"{word}{len(made) + 1}", one, same[0], len(same)))
    return tuple(made)


def number_words(found: StockLayout) -> str:
    """`2 sheets in all, proved the fewest.`, `3 full sheets in all for 215.00, proved the least money.`"""
    laid = found.laid
    word = "sheet" if found.stock.kind == "sheet" else "board" if found.stock.kind == "lumber" else "bar"
    total = found.bought
    if laid.unplaced:
        return f"{counted(total, word)} and no room for {', '.join(dict.fromkeys(name for name, _ in laid.unplaced))}."
    if isinstance(laid, Layouts) and laid.aim == "money":
        said, what = f" for {float(laid.cost):.2f}", "the least money"
        least = f"{float(laid.bound):.2f}"
    else:
        said, what, least = "", "the fewest", str(laid.bound)
    sure = f"proved {what}" if laid.proved else f"not proved {what}: at least {least}"
    racked = (len(found.sheets.sheets) if found.sheets is not None else len(found.bars.bars) if found.bars is not None else 0) - total
    offcuts = f" and {counted(racked, 'offcut')} of the rack" if racked else ""
    return f"{counted(total, 'full ' + word) if word == 'sheet' else counted(total, word)}{offcuts} in all{said}, {sure}."


def percent(share: Fraction) -> str:
    """`12 %`, `under 1 %`."""
    rounded = round(share * 100)
    return f"{rounded} %" if rounded or not share else "under 1 %"


def caption(panel: Panel, units: Units) -> str:
    """What is cut, how often, how much is lost."""
    sheet, found = panel.layout.sheet, panel.found
    what = "Offcut of the rack" if sheet.rack else "Sheet" if found.stock.kind == "sheet" else "Board"
    size = f"{measure(sheet.width, units)} × {measure(sheet.length, units)}"
    waste = percent(panel.layout.waste / (sheet.length * sheet.width))
    turned = "" if found.stock.grain else " No grain: parts may lie either way."
    number = f"{sheet.name.capitalize()} to hand," if sheet.zones else what
    assumed = "" if not found.assumed else " The plan names no boards to hand: their size is assumed." if found.stock.random is None else " Assumed is the least of the random boards that will do."
    return f"{number} {size}, {panel.count}X. {number_words(found)} Waste {waste}, offcuts to keep not counted.{turned}{assumed}{zone_words(sheet.zones, units)}"


def zone_words(zones: Sequence[Zone], units: Units) -> str:
    """` Not used: knot, 40" to 43" along and 2" to 3 1/2" across, from the end and the edge at the lower left corner of the board.`"""
    if not zones:
        return ""
    said = [
        f"{z.name}, {measure(z.x, units)} to {measure(z.x + z.length, units)} along and {measure(z.y, units)} to {measure(z.y + z.width, units)} across"
        for z in zones
    ]
    return f" Not used, from the lower left corner of the untrimmed board: {'; '.join(said)}."


def head(panel: Panel, units: Units) -> str:
    """`Layout 2: 3/4 birch plywood`."""
    name = f"Layout {panel.number}" if panel.number.isdigit() else panel.number
    return f"{name}: {stock_words(panel.found.stock, units)}"


def note(model: Model, zones: bool = False) -> str:
    """How to read the layouts; whose saw they count on. zones: some boards have zones that are not used."""
    return (
        f"{saw_note(model)} The trimmed piece is drawn; sizes are length × width as sawn. Fence (rip) and stop "
        "(crosscut) are set from the lower left corner of the piece in hand. A cut's number stands on the piece that comes off. Grey is scrap."
        + (" Hatched is not used: lay each of these boards as it is drawn." if zones else "")
    )


def cut_rows(panel: Panel, units: Units) -> list[Row]:
    """The trim, then the cuts in the order of the work: which way, from which piece, how fence or stop is set, what comes
    off and what is left; one row for cuts at one setting."""
    tree, sheet = panel.layout.tree, panel.layout.sheet
    whole = " × ".join(measure(x, units) for x in (sheet.length, sheet.width))
    rows = []
    trim = (sheet.length - tree.length) / 2
    if trim:
        cells = (panel.number, "trim", "all edges", whole, f"{measure(trim, units)} off", "scrap", size_words(tree, units))
        rows.append(Row(cells, (("cut", f"{panel.number}.trim"),)))
    for run in _runs(panel.layout.cuts):
        (first, cut), (last, end) = run[0], run[-1]
        at = exact_text(cut.at, units, units.system == "inch")  # as fine as at the machine
        numbers = str(first) if first == last else f"{first}–{last}"
        cells = (
            panel.number, numbers, "crosscut" if cut.across else "rip", size_words(cut, units), f"stop {at}" if cut.across else f"fence {at}",
            _off([c.first for _, c in run], units), _what(end.second, units),
        )  # fmt: skip
        rows.append(Row(cells, (("cut", f"{panel.number}.{numbers}"),)))
    return rows


def cut_pages(rows: Sequence[Row], style: Style, space: Extent, id: str) -> list[Group]:
    """The rows of cuts over as many pages as they need; what begins a layout does not stand alone at the foot of a page."""
    x0, y0, x1, y1 = space
    table = Table(COLUMNS, rows, style, x1 - x0, id, above=ABOVE)
    pages, start = [], 0
    while start < len(rows):
        count = table.fitting(start, y1 - y0)
        end = start + count
        if end < len(rows):
            begins = next(n for n in range(end - 1, -1, -1) if n == 0 or rows[n - 1].cells[0] != rows[n].cells[0])
            if start < begins and end - begins < ORPHANS and rows[end].cells[0] == rows[begins].cells[0]:
                count = begins - start
        pages.append(table.draw(x0, y0, start, count))
        start += count
    return pages


def _runs(cuts: Sequence[Cut]) -> list[list[tuple[int, Cut]]]:
    """The cuts with their numbers; those that go on along what the one before left, at the same setting, together."""
    runs: list[list[tuple[int, Cut]]] = []
    for number, cut in enumerate(cuts, 1):
        before = runs[-1][-1][1] if runs else None
        if before is not None and before.second is cut and (before.across, before.at) == (cut.across, cut.at):
            runs[-1].append((number, cut))
        else:
            runs.append([(number, cut)])
    return runs


def _off(pieces: Sequence[Node], units: Units) -> str:
    """What comes off in a run of cuts at one setting: the parts first, so that none is taken for a piece that is cut on."""
    marks = [piece.part for piece in pieces if isinstance(piece, Placed)]
    if len(pieces) == 1:
        return _what(pieces[0], units)
    on = len(pieces) - len(marks)
    if not marks:
        return f"{on} pieces to cut on"
    said = ", ".join(mark if marks.count(mark) == 1 else f"{mark} {marks.count(mark)}X" for mark in dict.fromkeys(marks))
    size = size_words(next(piece for piece in pieces if isinstance(piece, Placed)), units)
    return f"part{'s' if len(set(marks)) > 1 else ''} {said}, {size}" + (f"; {counted(on, 'piece')} to cut on" if on else "")


def _what(node: Node | None, units: Units) -> str:
    if node is None:
        return "nothing"
    if isinstance(node, Placed):
        return f"part {node.part}, {size_words(node, units)}"
    if isinstance(node, Rest):
        return f"keep, {size_words(node, units)}" if node.keep else "scrap"
    return "piece to cut on"
