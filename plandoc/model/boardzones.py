"""`defect` lines of a stock: zones of the boards to hand that are not used."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.cutting.stock import Zone
from plandoc.model.stockextras import Extras
from plandoc.model.values import Amount, Unknown, kind_of, plain_number
from plandoc.quantity import PLAIN, shop_text
from plandoc.syntax import tree as t

EXAMPLE = 'defect "knot" in board 1, along from 40" to 43", across from 2" to 3 1/2"'
WAYS = ("along", "across")


def board_defects(read: Extras, boards: Sequence[tuple[Fraction, Fraction]]) -> tuple[tuple[int, Zone], ...]:
    """The zones with the numbers of their boards, in the order of the lines. boards: (width, length) of each board to hand (mm)."""
    found = []
    for clause in read.statement.clauses:
        if clause.kind == "stock_defect":
            made = _defect(read, clause, boards)
            if made is None:
                read.good = False
            else:
                found.append(made)
    return tuple(found)


def _defect(read: Extras, clause: t.Clause, boards: Sequence[tuple[Fraction, Fraction]]) -> tuple[int, Zone] | None:
    kind = read.statement.kind
    if kind != "lumber":
        mend = "leave this line out, and name the clear pieces in the rack" if kind == "sheet" else 'name the lengths that are clear: boards 40", 52"'
        read.sink.emit("PD290", "only boards of lumber have zones that are cut around", clause.span, mend=mend)
        return None
    name = read.evaluate.text(clause.items[0], read.scope).strip() if isinstance(clause.items[0], t.Str) else ""
    number = _number(read, clause, boards)
    if number is None:
        return None
    width, length = boards[number - 1]
    reach: dict[str, tuple[Fraction, Fraction]] = {}
    for way, low, high in zip(*(clause.items[n::3] for n in (2, 3, 4)), strict=True):
        word = str(way)
        if word not in WAYS or word in reach:
            read.sink.emit("PD290", f"`{word}` is said twice" if word in reach else f"a zone reaches along and across its board, not `{word}`", clause.span, mend=EXAMPLE)
            return None
        ends = _ends(read, clause, word, number, length if word == "along" else width, low, high)
        if ends is None:
            return None
        reach[word] = ends
    x0, x1 = reach.get("along", (Fraction(0), length))
    y0, y1 = reach.get("across", (Fraction(0), width))
    if x1 - x0 == length and y1 - y0 == width:
        read.sink.emit("PD290", f"nothing is left of board {number}", clause.span, mend="leave the board out of the `boards` line")
        return None
    return number, Zone(name or "defect", x0, y0, x1 - x0, y1 - y0)


def _number(read: Extras, clause: t.Clause, boards: Sequence[object]) -> int | None:
    """The number of the board, None after a report."""
    expr = clause.items[1]
    assert expr is not None and not isinstance(expr, str)
    value = read.evaluate.value(expr, read.scope)
    if isinstance(value, Amount) and value.dimension == PLAIN and value.value.denominator == 1 and 1 <= value.value <= len(boards):
        return int(value.value)
    if not isinstance(value, Unknown):
        there = f"board {plain_number(value.value)}" if isinstance(value, Amount) and value.dimension == PLAIN else kind_of(value)
        notes = [f"the boards count from 1 to {len(boards)} in the order of the `boards` line, each of several alike by itself"] if boards else []
        mend = "name the boards to hand: boards 6\" x 96\"" if not boards else f"the last one is board {len(boards)}"
        read.sink.emit("PD290", f"the number of a board to hand is wanted here, this is {there}", expr.span, notes=notes, mend=mend)
    return None


def _ends(read: Extras, clause: t.Clause, word: str, number: int, whole: Fraction, low: object, high: object) -> tuple[Fraction, Fraction] | None:
    """From where to where (mm) a zone reaches; None after a report."""
    ends = [Fraction(0), whole]
    for n, expr in enumerate((low, high)):
        if expr is None:
            continue
        value = read.evaluate.length(expr, read.scope)  # type: ignore[arg-type]
        if isinstance(value, Unknown):
            return None
        ends[n] = value
    if not 0 <= ends[0] < ends[1] <= whole:
        a, b, size = (shop_text(v, read.evaluate.units, mark=True) for v in (*ends, whole))
        what = "ends before it begins" if ends[0] >= ends[1] else f"lies outside board {number}"
        notes = [f"it reaches from {a} to {b} {word} a board that is {size} {'long' if word == 'along' else 'wide'}"]
        low_in, high_in = sorted(min(max(v, Fraction(0)), whole) for v in ends)
        least, most = (shop_text(v, read.evaluate.units, mark=True) for v in (low_in, high_in))
        read.sink.emit("PD290", f"the zone {what}", clause.span, notes=notes, mend=f"{word} from {least} to {most}" if low_in < high_in else EXAMPLE)
        return None
    return ends[0], ends[1]
