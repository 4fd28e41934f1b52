"""Pieces from boards of given or random sizes: rip to strips over the whole length, then crosscut the strips.

A strip is as wide as its pieces. Defects are rectangles that no piece may touch: a strip that meets one is clear on
both sides of it only. Boards are used in several orders, the cheapest result counts. Pieces that are wider than
any board are glued up from staves (`staves`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from plandoc.cutting.stock import StockError

Interval = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Defect:
    """A rectangle of a board that is not used (mm)."""

    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction


@dataclass(frozen=True, slots=True)
class Board:
    """One board (mm), its price and its defects; both edges are straight."""

    name: str
    length: Fraction
    width: Fraction
    price: Fraction = Fraction(1)
    defects: tuple[Defect, ...] = ()


@dataclass(frozen=True, slots=True)
class Blank:
    """Pieces that are wanted (mm); the grain runs along the length."""

    name: str
    length: Fraction
    width: Fraction
    count: int = 1


@dataclass(frozen=True, slots=True)
class Strip:
    """A ripping from y up to y + width, and its pieces as (name, x, length)."""

    y: Fraction
    width: Fraction
    pieces: tuple[tuple[str, Fraction, Fraction], ...]


@dataclass(frozen=True, slots=True)
class BoardLayout:
    """The strips of one board, from its low edge."""

    board: Board
    strips: tuple[Strip, ...]

    @property
    def waste(self) -> Fraction:
        """Area of the board that becomes no piece (mm²)."""
        used = sum((s.width * length for s in self.strips for _, _, length in s.pieces), Fraction(0))
        return self.board.length * self.board.width - used


@dataclass(frozen=True, slots=True)
class BoardLayouts:
    """All boards; `bound` is the least money that any way of cutting takes (from the area)."""

    boards: tuple[BoardLayout, ...]
    bound: Fraction
    proved: bool
    unplaced: tuple[tuple[str, int], ...] = ()

    @property
    def cost(self) -> Fraction:
        """Price of the boards that are used."""
        return sum((b.board.price for b in self.boards), Fraction(0))


def staves(blank: Blank, widest: Fraction, allowance: Fraction) -> list[Blank]:
    """Equal staves for a piece that is glued up: none wider than `widest`, `allowance` more in all for jointing each (mm).

    One stave, unchanged, when the piece needs no glue line. Raises StockError when no number of staves will do.
    """
    if blank.width <= widest:
        return [blank]
    if widest <= allowance:
        raise StockError(f"{blank.name}: staves of {widest} leave nothing beside an allowance of {allowance}")
    number = ceil(blank.width / (widest - allowance))
    return [Blank(f"{blank.name} stave", blank.length, blank.width / number + allowance, number * blank.count)]


def clear(board: Board, y: Fraction, width: Fraction, trim: Fraction) -> list[Interval]:
    """Lengths of a strip that no defect touches, ends trimmed."""
    spans: list[Interval] = [(trim, board.length - trim)]
    for d in board.defects:
        if d.y < y + width and y < d.y + d.width:
            spans = [
                part
                for low, high in spans
                for part in ((low, min(high, d.x)), (max(low, d.x + d.length), high))
                if part[0] < part[1]
            ]
    return sorted(set(spans))


def _crosscut(spans: Sequence[Interval], lengths: Sequence[tuple[Fraction, int]], kerf: Fraction) -> list[tuple[Fraction, Fraction]]:
    """Places (x, length) of pieces in clear spans; in each span the lengths that leave least, by their sums."""
    left = dict(lengths)
    out: list[tuple[Fraction, Fraction]] = []
    for low, high in spans:
        room = high - low + kerf
        sums: dict[Fraction, tuple[Fraction, ...]] = {Fraction(0): ()}
        for length in sorted(left, reverse=True):
            for _ in range(min(left[length], int(room // (length + kerf)))):
                for total, chosen in list(sums.items()):
                    more = total + length + kerf
                    if more <= room and more not in sums and len(sums) < 4000:
                        sums[more] = (*chosen, length)
        # A sum counts without its kerfs: the wood that becomes pieces.
        best = max(sums.values(), key=lambda c: (sum(c, Fraction(0)), -len(c)))
        x = low
        for length in best:
            out.append((x, length))
            left[length] -= 1
            x += length + kerf
    return out


def _fill(board: Board, wanted: dict[tuple[Fraction, Fraction], int], kerf: Fraction, trim: Fraction) -> list[tuple[Fraction, Fraction, list[tuple[Fraction, Fraction]]]]:
    """Strips of one board from its low edge up, found by the best sum of strips at each height."""
    widths = sorted({w for (_, w), n in wanted.items() if n}, reverse=True)
    top = board.width - trim
    starts = {trim}
    for d in board.defects:
        if trim <= d.y + d.width < top:
            starts.add(d.y + d.width)
    best: dict[Fraction, tuple[Fraction, tuple[tuple[Fraction, Fraction], ...]]] = {trim: (Fraction(0), ())}
    todo = [trim]
    done = set()
    while todo:
        y = min(todo)
        todo.remove(y)
        if y in done:
            continue
        done.add(y)
        value, rips = best[y]
        steps: list[tuple[Fraction, Fraction, tuple[tuple[Fraction, Fraction], ...]]] = []
        used: dict[Fraction, int] = {}
        for _, w in rips:
            used[w] = used.get(w, 0) + 1
        for w in widths:
            if y + w > top:
                continue
            lengths = [(length, n) for (length, x), n in wanted.items() if x == w and n]
            got = _crosscut(clear(board, y, w, trim), lengths, kerf)
            total = sum((n * length for length, n in lengths), Fraction(0))
            # The same width cannot bring more than all pieces of that width.
            gain = w * min(sum((length for _, length in got), Fraction(0)), max(Fraction(0), total - used.get(w, 0) * (board.length - 2 * trim)))
            if gain > 0:
                steps.append((y + w + kerf, value + gain, (*rips, (y, w))))
        later = min((s for s in starts if s > y), default=None)
        if later is not None:
            steps.append((later, value, rips))
        for end, gained, made in steps:
            if (end not in best or best[end][0] < gained) and len(best) < 3000:
                best[end] = (gained, made)
                if end < top:
                    todo.append(end)
    _, rips = max(best.values(), key=lambda b: (b[0], -len(b[1])))
    left = dict(wanted)
    strips = []
    for y, w in rips:
        got = _crosscut(clear(board, y, w, trim), [(length, n) for (length, x), n in left.items() if x == w and n], kerf)
        for _, length in got:
            left[length, w] -= 1
        if got:
            strips.append((y, w, got))
    return strips


def _bound(boards: Sequence[Board], area: Fraction) -> Fraction:
    """The least money for boards whose areas (defects not taken off) add up to the pieces' area."""
    total = Fraction(0)
    for b in sorted(boards, key=lambda b: (b.price / (b.length * b.width), b.name)):
        part = min(area, b.length * b.width)
        total += b.price * part / (b.length * b.width)
        area -= part
        if area <= 0:
            break
    return total


def cut_boards(blanks: Sequence[Blank], boards: Sequence[Board], kerf: Fraction = Fraction(0), trim: Fraction = Fraction(0)) -> BoardLayouts:
    """Least money for boards that give all blanks, as far as found; `trim` is lost at each end and each edge (mm)."""
    for name, least in [(b.name, min(b.length, b.width)) for b in blanks] + [(b.name, min(b.length, b.width)) for b in boards]:
        if least <= 0:
            raise StockError(f"{name}: length and width must be more than 0")
    if kerf < 0 or trim < 0:
        raise StockError("kerf and trim must not be negative")
    area = sum((b.length * b.width * b.count for b in blanks), Fraction(0))
    prices = [b.price for b in boards]
    bound = _bound(boards, area)
    if boards and len(set(prices)) == 1 and prices[0] > 0:
        bound = prices[0] * ceil(bound / prices[0])
    by_yield = sorted(boards, key=lambda b: (b.price / (b.length * b.width), b.name))
    by_size = sorted(boards, key=lambda b: (-b.length * b.width, b.name))
    best: tuple[tuple[Fraction, Fraction, int], list[BoardLayout], dict[tuple[Fraction, Fraction], int]] | None = None
    for order in (by_yield, by_size, by_size[::-1], sorted(boards, key=lambda b: (-b.length, b.name)), sorted(boards, key=lambda b: (-b.width, b.name))):
        wanted: dict[tuple[Fraction, Fraction], int] = {}
        for b in blanks:
            wanted[b.length, b.width] = wanted.get((b.length, b.width), 0) + b.count
        names = {size: [b.name for b in blanks if (b.length, b.width) == size for _ in range(b.count)] for size in wanted}
        made = []
        for board in order:
            strips = _fill(board, wanted, kerf, trim)
            if not strips:
                continue
            out = []
            for y, w, got in strips:
                out.append(Strip(y, w, tuple((names[length, w].pop(0), x, length) for x, length in got)))
                for _, length in got:
                    wanted[length, w] -= 1
            made.append(BoardLayout(board, tuple(out)))
        missing = sum((length * w * n for (length, w), n in wanted.items()), Fraction(0))
        mark = (missing, sum((m.board.price for m in made), Fraction(0)), len(made))
        if best is None or mark < best[0]:
            best = (mark, made, wanted)
            rest = {size: list(n) for size, n in names.items()}
    assert best is not None
    unplaced: dict[str, int] = {}
    for left in rest.values():
        for name in left:
            unplaced[name] = unplaced.get(name, 0) + 1
    return BoardLayouts(tuple(best[1]), bound, not unplaced and best[0][1] == bound, tuple(unplaced.items()))
