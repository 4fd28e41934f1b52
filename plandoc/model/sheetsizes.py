"""`also` lines of a stock: further sizes in which its sheets are sold."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.stockextras import Extras
from plandoc.model.values import Amount, Many, Unknown, kind_of
from plandoc.quantity import LENGTH, PLAIN
from plandoc.syntax import tree as t

EXAMPLE = 'also 60" x 60" at 75, 24" x 48" at 28 count 3'

Size = tuple[Fraction, Fraction, Fraction | None, int | None]


def further_sizes(read: Extras) -> tuple[Size, ...]:
    """Width, length along the grain (mm), price of a sheet and how many there are, None where the line does not say."""
    clause = read.clause("stock_also")
    if clause is None:
        return ()
    if read.statement.kind != "sheet" or read.statement.size is None:
        kind = read.statement.kind
        says = f"{kind} is not sold in sheets" if kind != "sheet" else "the first line names no sheet that these could stand beside"
        mend = "write them in the `boards` line" if kind != "sheet" else f'stock {read.statement.name} sheet 48" x 96"'
        read.sink.emit("PD291", says, clause.span, mend=mend)
        read.good = False
        return ()
    made = []
    for size, price, count in zip(*(clause.items[n::3] for n in range(3)), strict=True):
        one = _size(read, size, price, count)
        if one is None:
            read.good = False
        else:
            made.append(one)
    return tuple(made)


def _size(read: Extras, size: t.Expr | str | None, price: t.Expr | str | None, count: t.Expr | str | None) -> Size | None:
    assert size is not None and not isinstance(size, str)
    value = read.evaluate.value(size, read.scope)
    sides = [v.value for v in value.items if isinstance(v, Amount) and v.dimension == LENGTH and v.value > 0] if isinstance(value, Many) else []
    if len(sides) != 2 or not isinstance(value, Many) or len(value.items) != 2:
        if not isinstance(value, Unknown):
            read.sink.emit("PD291", "a size of a sheet is its width and its length along the grain", size.span, mend=EXAMPLE)
        return None
    numbers: list[Fraction | None] = []
    for expr, says in ((price, "a price is a plain number"), (count, "a count is a whole number from 1 to 1000")):
        if expr is None or isinstance(expr, str):
            numbers.append(None)
            continue
        found = read.evaluate.value(expr, read.scope)
        good = isinstance(found, Amount) and found.dimension == PLAIN and (found.value >= 0 if expr is price else found.value.denominator == 1 and 1 <= found.value <= 1000)
        if not good or not isinstance(found, Amount):
            if not isinstance(found, Unknown):
                told = "" if isinstance(found, Amount) and found.dimension == PLAIN else f", this is {kind_of(found)}"
                read.sink.emit("PD291", says + told, expr.span, mend=EXAMPLE)
            return None
        numbers.append(found.value)
    return sides[0], sides[1], numbers[0], None if numbers[1] is None else int(numbers[1])
