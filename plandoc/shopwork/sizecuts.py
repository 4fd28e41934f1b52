"""The cuts that give parts their sizes, with the machine of each: one decision for steps and set-ups.

What comes out of a sheet is cut from the piece in hand, as its layout orders the cuts; a size that the layout leaves behind a cut, or
that is the whole of the trimmed sheet, is not cut at all. Boards, and what is cut again after a rough cut, are cut from a piece not
much larger than the part.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from plandoc.cutting.stock import Cut, Node, Placed, SheetLayout
from plandoc.model.blanks import blank_paths
from plandoc.model.density import stock_density
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.sawn import sawn_box, sawn_size
from plandoc.shopwork.capacity import Choice, Sawn, hold, narrow, saw_for
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.layouts import cutouts, layouts
from plandoc.shopwork.names import mark_of


def mass_of(stock: Stock, long: Fraction, wide: Fraction, thick: Fraction) -> Fraction | None:
    """Weight (kg) of a piece; None where the material is not known."""
    weighs = stock_density(stock)
    return None if weighs is None else long * wide * thick * weighs / 10**9


def layout_cuts(model: Model, stock: Stock) -> tuple[Sawn, ...]:
    """The cuts of all sheets of a stock as its layouts order them, with the piece that each parts."""
    return tuple(_sawn(stock, cut) for sheet in _sheets(model, stock) for cut in sheet.cuts)


def _sheets(model: Model, stock: Stock) -> tuple[SheetLayout, ...]:
    return tuple(sheet for found in layouts(model) if found.stock.name == stock.name and found.sheets is not None for sheet in found.sheets.sheets)


def _sawn(stock: Stock, cut: Cut) -> Sawn:
    return Sawn(
        cut.width if cut.across else cut.length, cut.length if cut.across else cut.width, cut.at, stock.measured,
        mass_of(stock, cut.length, cut.width, stock.measured), stock.kind == "sheet", cut.across,
    )  # fmt: skip


def size_choices(model: Model, part: Part, crosscut: bool) -> tuple[tuple[Choice, int], ...]:
    """The machines that cut a part to its length or to its width, and how many of its pieces each; of sheets fewer than there are
    where the layout leaves that size without a cut."""
    laid = _laid(model).get(part.path)
    if laid is None or part.allowance:
        return ((size_choice(model, part, crosscut), part.count),)
    made = [pair[0 if crosscut else 1] for pair in laid]
    choices = [saw_for(model.shop, _sawn(part.stock, cut), model.info.units) for cut in made if cut is not None]
    choices += [size_choice(model, part, crosscut)] * (part.count - len(made))  # for what the layout has no room
    keys = [(choice.key, guide_of(choice)) for choice in choices]
    first = dict(reversed(list(zip(keys, choices, strict=True))))
    return tuple((first[key], count) for key, count in Counter(keys).items())


def guide_of(choice: Choice) -> str:
    """By what the work is measured at a saw: `fence`, `stop` or a `line`."""
    if choice.key == "track_saw":
        return "line"
    return "fence" if choice.key == "table_saw" and "fence" in choice.reason else "stop"


def size_choice(model: Model, part: Part, crosscut: bool) -> Choice:
    """The machine that cuts a part to its length or to its width, out of a piece not much larger than it is."""
    units, kind = model.info.units, part.stock.kind
    box = sawn_box(part)
    long, wide, thick = (box.size(axis) for axis in (part.length_axis, part.width_axis, part.thickness_axis))
    if part.path in blank_paths(model):
        long, wide = part.rough_length, part.rough_width
    mass = mass_of(part.stock, long, wide, thick)
    if crosscut:
        return saw_for(model.shop, Sawn(wide, long, long, thick, mass, kind == "sheet", True), units)
    bears = long if kind == "sheet" or part.glue_up is not None else max(long, wide, hold(units))  # boards are ripped from a longer blank
    return saw_for(model.shop, Sawn(bears, max(wide, narrow(units)), wide, thick, mass, kind == "sheet"), units)


@of_last_model
def _laid(model: Model) -> dict[str, tuple[tuple[Cut | None, Cut | None], ...]]:
    """The cuts that set length and width of the pieces of each part of a sheet, None of what no cut sets."""
    found: dict[str, list[tuple[Cut | None, Cut | None]]] = {}
    for stock in model.stocks:
        parts = [part for part in model.parts if part.stock.name == stock.name]
        sheets = _sheets(model, stock)
        if stock.kind != "sheet" or not sheets:
            continue
        keys = dict.fromkeys((mark_of(part), *sawn_size(part)) for part in parts)
        names = {one.name: key for one, key in zip(cutouts(stock, parts), keys, strict=True)}
        wanted = {key: [part.path for part in parts if (mark_of(part), *sawn_size(part)) == key for _ in range(part.count)] for key in keys}
        for part in parts:
            found[part.path] = []
        for placed, across, along in (row for sheet in sheets for row in _setters(sheet.tree, None, None)):
            path = wanted[names[placed.part]].pop(0)
            found[path].append((along, across) if placed.turned else (across, along))
    return {path: tuple(own) for path, own in found.items()}


def _setters(node: Node | None, across: Cut | None, along: Cut | None) -> Iterator[tuple[Placed, Cut | None, Cut | None]]:
    """Each piece with the last cuts, across and along the sheet, between whose fence or stop and blade it lay."""
    if isinstance(node, Placed):
        yield node, across, along
    elif isinstance(node, Cut):
        yield from _setters(node.first, node if node.across else across, along if node.across else node)
        yield from _setters(node.second, None if node.across else across, along if node.across else None)


__all__ = ["guide_of", "layout_cuts", "mass_of", "size_choice", "size_choices"]
