"""Rough lumber without an allowance: its layout has the finished parts, so the wood is worked in longer strips before they are cut."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.blanks import least_long
from plandoc.model.entities import Model, Part, Stock
from plandoc.quantity import shop_text
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.names import layout_words, mark_of


def laid_out(model: Model, stock: Stock) -> bool:
    """Whether boards of the stock have a layout."""
    return any(found.stock.name == stock.name and found.sheets is not None and found.sheets.sheets for found in layouts(model))


def unspared(model: Model, stock: Stock) -> tuple[Part, ...]:
    """Parts of rough lumber of which nothing is over for jointing and trimming where they are laid out."""
    if stock.kind != "lumber" or stock.rough is None or not laid_out(model, stock):
        return ()
    return tuple(part for part in model.parts if part.stock.name == stock.name and not part.allowance and part.glue_up is None)


def _short(model: Model, parts: tuple[Part, ...]) -> str:
    least = least_long(model.shop, model.info.units)
    if all(part.length >= least for part in parts):
        return ""
    return shop_text(Fraction(least), model.info.units, mark=True)


def layout_step_words(model: Model, stock: Stock) -> tuple[str, ...]:
    """What the step that cuts parts of a stock says of their layout."""
    if stock.kind != "lumber" or not laid_out(model, stock):
        return ()
    words = layout_words(stock, model.info.units)
    parts = unspared(model, stock)
    if not parts:
        return (f"The boards are laid out: see {words}.",)
    short = _short(model, parts)
    strips = f"Crosscut strips of at least {short}, short parts behind one another in one strip" if short else "Crosscut strips that are longer than their parts"
    return (f"The parts are laid out at finished size, nothing over: see {words}. Mark them out with room for jointing and saw. {strips}; joint and plane them, and only then cut the parts out.",)


def layout_note(model: Model) -> str:
    """The line over layouts of boards whose parts have no allowance; "" where all have one."""
    parts = tuple(part for stock in model.stocks for part in unspared(model, stock))
    if not parts:
        return ""
    short = _short(model, parts)
    marks = ", ".join(dict.fromkeys(mark_of(part) for part in parts))
    strips = f", in strips of at least {short}" if short else ""
    return f" The plan names no allowance for {marks}: they are laid out at finished size. Mark out with room for jointing and trimming; joint and plane before you cut them{strips}."
