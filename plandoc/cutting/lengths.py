"""Lengths from bars: boards cut to length, battens, dowels. Exact lengths, kerf, end trim, bars of several lengths.

Patterns (what one bar gives) are made by an exact search depth first over whole bars, the longest piece first, with
the bound of the total length and of dual feasible functions; equal states are not tried twice. The work is limited
by counted steps. When the bound is reached, or all was tried, the result is proved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from plandoc.cutting.dual import Duals, Supply
from plandoc.cutting.stock import StockError

STEPS = 60000  # patterns looked at in the search
DEEPEST = 400  # with more bars than this the first layouts stand


@dataclass(frozen=True, slots=True)
class Piece:
    """A length that is wanted (mm), so many times."""

    name: str
    length: Fraction
    count: int = 1


@dataclass(frozen=True, slots=True)
class Bar:
    """A length in stock (mm): price, how many (None: as many as wanted). Bars of random lengths are one entry each."""

    name: str
    length: Fraction
    price: Fraction = Fraction(1)
    count: int | None = None


@dataclass(frozen=True, slots=True)
class BarLayout:
    """One bar: the pieces in the order of the cuts, and what is left behind the last kerf (mm)."""

    bar: Bar
    pieces: tuple[tuple[str, Fraction], ...]
    rest: Fraction


@dataclass(frozen=True, slots=True)
class BarLayouts:
    """All bars; `bound` is the least money (or number of bars, for aim "bars") that any way of cutting takes."""

    bars: tuple[BarLayout, ...]
    aim: str
    bound: Fraction
    proved: bool
    unplaced: tuple[tuple[str, int], ...] = ()

    @property
    def cost(self) -> Fraction:
        """The figure that `bound` bounds."""
        return sum((b.bar.price if self.aim == "money" else Fraction(1) for b in self.bars), Fraction(0))


class _Search:
    """Depth first: the longest piece left goes onto some bar, together with what fills that bar best."""

    def __init__(self, sizes: list[int], counts: list[int], bars: list[tuple[int, Fraction, int | None]], step: Fraction, steps: int) -> None:
        self.sizes, self.bars, self.steps, self.step = sizes, bars, steps, step
        self.counts = counts
        self.best: list[tuple[int, tuple[int, ...]]] | None = None
        self.best_cost: Fraction | None = None
        self.seen: dict[tuple[tuple[int, ...], tuple[int | None, ...]], Fraction] = {}
        self.goal = Fraction(0)
        self.finished = True  # all was tried

    def least(self, left: Sequence[int], stock: Sequence[int | None]) -> Fraction:
        """Cost of fractions of bars that hold the length left; rounded up."""
        need = Fraction(sum(s * n for s, n in zip(self.sizes, left, strict=True)))
        total = Fraction(0)
        for i in self.thrifty:
            length, cost, _ = self.bars[i]
            have = stock[i]
            part = need if have is None else min(need, Fraction(have * length))
            total += part / length * cost
            need -= part
            if need <= 0:
                break
        else:
            if need > 0:
                return Fraction(1 << 60)
        return -(-total // self.step) * self.step if self.step else total

    def patterns(self, left: Sequence[int], length: int) -> list[tuple[int, tuple[int, ...]]]:
        """Fillings of a bar that take the longest piece left and leave no room for a piece that is left; least waste first."""
        first = next(i for i, n in enumerate(left) if n)
        out: list[tuple[int, tuple[int, ...]]] = []
        if self.sizes[first] > length:
            return out
        take = [0] * len(left)

        def go(i: int, room: int) -> None:
            if self.steps <= 0:
                self.finished = False
                return
            while i < len(left) and not (left[i] > take[i] and self.sizes[i] <= room):
                i += 1
            if i == len(left):
                self.steps -= 1
                if not any(left[j] > take[j] and self.sizes[j] <= room for j in range(len(left))):
                    out.append((room, tuple(take)))
                return
            most = min(left[i] - take[i], room // self.sizes[i])
            for n in range(most, -1, -1):
                take[i] += n
                go(i + 1, room - n * self.sizes[i])
                take[i] -= n

        take[first] = 1
        go(first, length - self.sizes[first])
        out.sort(key=lambda p: (p[0], tuple(-n for n in p[1])))
        return out

    def run(self, goal: Fraction) -> None:
        """Searches until the goal is reached, all is tried or the steps are used up."""
        self.goal = goal
        self.thrifty = sorted(range(len(self.bars)), key=lambda i: (self.bars[i][1] / self.bars[i][0], -self.bars[i][0], i))
        self.greedy()
        if self.best is not None and len(self.best) > DEEPEST:
            self.finished = False
            return
        self.descend(tuple(self.counts), tuple(b[2] for b in self.bars), Fraction(0), [])

    def greedy(self) -> None:
        """First layouts: the longest piece onto the first bar with room, for each bar length that might be preferred."""
        for order in [self.thrifty, *[[i, *[j for j in self.thrifty if j != i]] for i in range(len(self.bars))]]:
            left = list(self.counts)
            stock = [b[2] for b in self.bars]
            made: list[tuple[int, tuple[int, ...]]] = []
            cost = Fraction(0)
            while any(left):
                first = next(i for i, n in enumerate(left) if n)
                bar = next((i for i in order if stock[i] != 0 and self.bars[i][0] >= self.sizes[first]), None)
                if bar is None:
                    break
                room, take = self.bars[bar][0], [0] * len(left)
                for i, n in enumerate(left):
                    take[i] = min(n, room // self.sizes[i])
                    room -= take[i] * self.sizes[i]
                left = [n - t for n, t in zip(left, take, strict=True)]
                have = stock[bar]
                stock[bar] = have if have is None else have - 1
                cost += self.bars[bar][1]
                made.append((bar, tuple(take)))
            if not any(left) and (self.best_cost is None or cost < self.best_cost):
                self.best, self.best_cost = made, cost

    def descend(self, left: tuple[int, ...], stock: tuple[int | None, ...], cost: Fraction, made: list[tuple[int, tuple[int, ...]]]) -> None:
        if not any(left):
            if self.best_cost is None or cost < self.best_cost:
                self.best, self.best_cost = list(made), cost
            return
        if self.best_cost is not None and (self.best_cost <= self.goal or cost + self.least(left, stock) >= self.best_cost):
            return
        known = self.seen.get((left, stock))
        if known is not None and known <= cost:
            return
        self.seen[left, stock] = cost
        tried: list[tuple[int, int, tuple[int, ...]]] = []
        for i in self.thrifty:
            if stock[i] != 0:
                tried += [(room, i, take) for room, take in self.patterns(left, self.bars[i][0])]
        tried.sort(key=lambda t: (t[0] * self.bars[t[1]][1] / self.bars[t[1]][0], self.thrifty.index(t[1])))
        for _, i, take in tried:
            if self.steps <= 0:
                self.finished = False
                return
            have = stock[i]
            after = stock if have is None else (*stock[:i], have - 1, *stock[i + 1 :])
            made.append((i, take))
            self.descend(tuple(n - t for n, t in zip(left, take, strict=True)), after, cost + self.bars[i][1], made)
            made.pop()
            if self.best_cost is not None and self.best_cost <= self.goal:
                return


def cut_lengths(
    pieces: Sequence[Piece], bars: Sequence[Bar], kerf: Fraction = Fraction(0), trim: Fraction = Fraction(0), aim: str = "bars", steps: int = STEPS
) -> BarLayouts:
    """The fewest bars, or the least money, for all pieces; `trim` is lost at each end of a bar, its cut included (mm).

    Raises StockError for figures that cannot be. Pieces that no bar can hold are unplaced; when the stock does not
    suffice, all are.
    """
    if aim not in ("bars", "money"):
        raise StockError(f"aim must be bars or money, not {aim}")
    if kerf < 0 or trim < 0:
        raise StockError("kerf and trim must not be negative")
    for name, length in [(p.name, p.length) for p in pieces] + [(b.name, b.length) for b in bars]:
        if length <= 0:
            raise StockError(f"{name}: length must be more than 0, not {length}")
    usable = [b for b in bars if b.count != 0 and b.length > 2 * trim]
    scale = lcm(*(Fraction(x).denominator for x in (kerf, trim, *(p.length for p in pieces), *(b.length for b in usable))))
    inner = [int((b.length - 2 * trim + kerf) * scale) for b in usable]
    longest = max(inner, default=0)
    wanted = [p for p in pieces if p.count and int((p.length + kerf) * scale) <= longest]
    unplaced = [(p.name, p.count) for p in pieces if p.count and p not in wanted]
    if not wanted:
        return BarLayouts((), aim, Fraction(0), not unplaced, tuple(unplaced))
    sizes = sorted({int((p.length + kerf) * scale) for p in wanted}, reverse=True)
    names: list[list[Piece]] = [[p for p in wanted if int((p.length + kerf) * scale) == s for _ in range(p.count)] for s in sizes]
    counts = [len(n) for n in names]
    costs = [b.price if aim == "money" else Fraction(1) for b in usable]
    paid = [c for c in costs if c]
    step = Fraction(gcd(*(c.numerator for c in paid)), lcm(*(c.denominator for c in paid))) if paid else Fraction(0)
    bound = Duals([((s, 1),) for s in sizes], counts, [Supply(w, 1, c, b.count) for w, c, b in zip(inner, costs, usable, strict=True)]).bound(step)
    search = _Search(sizes, counts, [(w, c, b.count) for w, c, b in zip(inner, costs, usable, strict=True)], step, steps)
    search.run(bound)
    if search.best is None or search.best_cost is None:
        return BarLayouts((), aim, bound, False, tuple((p.name, p.count) for p in pieces if p.count))
    if search.finished:
        bound = search.best_cost
    layouts = []
    for i, take in search.best:
        got = tuple((p.name, p.length) for k, n in enumerate(take) for p in [names[k].pop(0) for _ in range(n)])
        rest = usable[i].length - 2 * trim - sum((length + kerf for _, length in got), Fraction(0))
        layouts.append(BarLayout(usable[i], got, max(rest, Fraction(0))))
    return BarLayouts(tuple(layouts), aim, bound, search.best_cost == bound and not unplaced, tuple(unplaced))
