"""What cutting layouts are made of: parts, stock, the saw, trees of cuts. All lengths are exact millimetres.

A sheet lies with its length to the right (x) and its width upward (y), the corner that touches both fences
at the origin. Grain runs along the length.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction


class StockError(ValueError):
    """Figures that no stock or part can have; the message names the thing and the figure."""


def _positive(owner: str, what: str, value: Fraction) -> None:
    if value <= 0:
        raise StockError(f"{owner}: {what} must be more than 0, not {value}")


@dataclass(frozen=True, slots=True)
class Part:
    """A rectangular part (mm): its length lies along the stock's length unless it may turn."""

    name: str
    length: Fraction
    width: Fraction
    count: int = 1
    turn: bool = False  # True where grain does not matter

    def __post_init__(self) -> None:
        _positive(self.name, "length", self.length)
        _positive(self.name, "width", self.width)
        if self.count < 0:
            raise StockError(f"{self.name}: count must not be negative")


Box = tuple[Fraction, Fraction, Fraction, Fraction]
"""x, y, length, width (mm)."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A rectangle (mm, from the corner of the untrimmed board at both fences) that no part may touch: a knot, a split end.

    It may lie within a kerf or in what is left over."""

    name: str
    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction

    def meets(self, x: Fraction, y: Fraction, length: Fraction, width: Fraction) -> bool:
        """Whether it reaches into a rectangle; touching edges do not count."""
        return self.x < x + length and x < self.x + self.length and self.y < y + width and y < self.y + self.width

    def __post_init__(self) -> None:
        _positive(self.name, "length", self.length)
        _positive(self.name, "width", self.width)


def clear_boxes(box: Box, zones: Sequence[Zone]) -> list[Box]:
    """The rectangles of a box (mm) that no zone reaches into and that are not part of a larger one found; the box itself where it
    is clear."""
    x, y, length, width = box
    met = next((z for z in zones if z.meets(*box)), None)
    if met is None:
        return [box]
    right, top, end, high = met.x + met.length, met.y + met.width, x + length, y + width
    sides = [(x, y, met.x - x, width), (right, y, end - right, width), (x, y, length, met.y - y), (x, top, length, high - top)]
    return [clear for side in sides if side[2] > 0 and side[3] > 0 for clear in clear_boxes(side, zones)]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One size of sheet (mm): its price, how many there are (None: as many as wanted), whether it lies in the rack; the zones
    of a board that are not used.

    An offcut from the rack does not count as a sheet where sheets are counted; its price counts where money is.
    """

    name: str
    length: Fraction
    width: Fraction
    price: Fraction = Fraction(1)
    count: int | None = None
    rack: bool = False
    zones: tuple[Zone, ...] = ()

    def cost(self, aim: str) -> Fraction:
        """What one sheet adds to the figure that is to be small: 1 or 0 for aim "sheets", the price for "money"."""
        return self.price if aim == "money" else Fraction(0 if self.rack else 1)

    def __post_init__(self) -> None:
        _positive(self.name, "length", self.length)
        _positive(self.name, "width", self.width)
        if self.price < 0:
            raise StockError(f"{self.name}: price must not be negative")
        if self.count is not None and self.count < 0:
            raise StockError(f"{self.name}: count must not be negative")


@dataclass(frozen=True, slots=True)
class Saw:
    """Kerf, what is lost at each edge of the stock before its edges count as good, and the least offcut worth keeping (mm)."""

    kerf: Fraction = Fraction(0)
    trim: Fraction = Fraction(0)  # at each edge, kerf of the trimming cut included
    keep_length: Fraction = Fraction(0)  # an offcut is kept when its longer side has this
    keep_width: Fraction = Fraction(0)  # ... and its shorter side this

    def __post_init__(self) -> None:
        if min(self.kerf, self.trim, self.keep_length, self.keep_width) < 0:
            raise StockError("kerf, trim and the least offcut must not be negative")

    def worth_keeping(self, length: Fraction, width: Fraction) -> bool:
        """Whether a rest of that size goes into the rack rather than the bin."""
        return max(length, width) >= self.keep_length and min(length, width) >= self.keep_width

    def worth_beside(self, box: Box, zones: Sequence[Zone]) -> Fraction:
        """Area (mm²) of the largest clear rectangle of a rest that is worth keeping, 0 where there is none."""
        return max((c[2] * c[3] for c in clear_boxes(box, zones) if self.worth_keeping(c[2], c[3])), default=Fraction(0))


@dataclass(frozen=True, slots=True)
class Placed:
    """A part cut to size; length and width as it lies, turned or not."""

    part: str
    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Rest:
    """A rectangle that holds no part; kept as an offcut or thrown away. A zone may lie in it."""

    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction
    keep: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """A piece and the edge-to-edge cut that parts it.

    across: the cut runs across the length, `at` is measured along the length from the piece's low end; else it
    runs along the length and `at` is measured along the width. `first` is the piece between fence and blade,
    `second` what is left beyond the kerf (None when the kerf takes all).
    """

    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction
    across: bool
    at: Fraction
    first: Node
    second: Node | None


Node = Placed | Rest | Cut


def walk(node: Node | None) -> Iterator[Node]:
    """All nodes of a tree in the order of the work: a piece, then what was cut off, then the rest."""
    stack = [node]
    while stack:
        top = stack.pop()
        if top is None:
            continue
        yield top
        if isinstance(top, Cut):
            stack.append(top.second)
            stack.append(top.first)


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """One sheet: the tree of cuts for what lies within the trimmed edges."""

    sheet: Sheet
    tree: Node

    @property
    def placed(self) -> tuple[Placed, ...]:
        return tuple(n for n in walk(self.tree) if isinstance(n, Placed))

    @property
    def offcuts(self) -> tuple[Rest, ...]:
        """Rests worth keeping, the largest first."""
        kept = [n for n in walk(self.tree) if isinstance(n, Rest) and n.keep]
        return tuple(sorted(kept, key=lambda r: (-r.length * r.width, r.x, r.y)))

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """The cuts in the order of the work, trimming left out."""
        return tuple(n for n in walk(self.tree) if isinstance(n, Cut))

    @property
    def settings(self) -> frozenset[Fraction]:
        """Distances at which the fence or the stop stands (mm)."""
        return frozenset(c.at for c in self.cuts)

    @property
    def waste(self) -> Fraction:
        """Area that is neither part nor kept offcut: kerf, trim and scrap (mm²). Of an offcut with a zone in it the largest clear
        rectangle counts as kept."""
        used = sum((p.length * p.width for p in self.placed), Fraction(0))
        kept = sum((max(c[2] * c[3] for c in clear_boxes((r.x, r.y, r.length, r.width), self.sheet.zones)) for r in self.offcuts), Fraction(0))
        return self.sheet.length * self.sheet.width - used - kept


@dataclass(frozen=True, slots=True)
class Layouts:
    """The sheets of one stock.

    `bound` holds for every way of cutting: no layout takes fewer sheets (aim "sheets") or less money (aim "money").
    `proved` says that the result reaches it. `unplaced` names parts that found no stock, with their numbers.
    """

    sheets: tuple[SheetLayout, ...]
    aim: str
    bound: Fraction
    proved: bool
    unplaced: tuple[tuple[str, int], ...] = field(default=())

    @property
    def cost(self) -> Fraction:
        """The figure that `bound` bounds: sheets taken, those from the rack left out, or money."""
        return sum((s.sheet.cost(self.aim) for s in self.sheets), Fraction(0))

    @property
    def settings(self) -> tuple[Fraction, ...]:
        """All different fence settings, the largest first (mm)."""
        return tuple(sorted(frozenset().union(*(s.settings for s in self.sheets)), reverse=True))
