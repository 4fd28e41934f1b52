"""Cutting layouts of rectangular parts on sheets, by edge-to-edge cuts.

The aim comes first: fewest sheets (those from the rack are free) or least money. Then fewest pieces of stock,
fewest different fence settings, and the largest offcut. The work is limited by counted steps, so the same
question always has the same answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import gcd, lcm

from plandoc.cutting.chance import Chance
from plandoc.cutting.dual import Duals, Supply
from plandoc.cutting.envelope import Envelopes
from plandoc.cutting.fill import fill_in_turn
from plandoc.cutting.gather import gathered
from plandoc.cutting.joins import Joined, Namer, Sawing
from plandoc.cutting.packer import Packer
from plandoc.cutting.squeeze import Squeeze, best_fit, load
from plandoc.cutting.stock import (
    Cut,
    Layouts,
    Node,
    Part,
    Placed,
    Rest,
    Saw,
    Sheet,
    SheetLayout,
    StockError,
    walk,
)

WORK = 12000  # counted work per part that the search for a sheet less may take
RESTARTS = 4  # fillings from scratch before that search
TRIES, SPREAD = 40, 20  # tries for each sheet, and by how many per cent they change the order
SHORT = Fraction(300)  # mm; shorter pieces are not ripped along a fence where it can be helped (common practice)
SUMS = 100_000  # sums of prices that are gone through for the bound
MOVES = 60  # moves of a part to another sheet that are compared once the number of sheets stands
WAYS = 8  # ways of cutting one sheet's parts that are compared


@dataclass(frozen=True, slots=True, order=True)
class Taken:
    """A sheet size and the kinds on it."""

    size: int
    kinds: tuple[int, ...]


class Question:
    """Parts, stock and saw in whole numbers."""

    def __init__(self, parts: Sequence[Part], sheets: Sequence[Sheet], saw: Saw, aim: str) -> None:
        if aim not in ("sheets", "money"):
            raise StockError(f"aim must be sheets or money, not {aim}")
        self.saw, self.aim = saw, aim
        usable = [s for s in sheets if s.count != 0 and min(s.length, s.width) > 2 * saw.trim]
        lengths = [saw.kerf, saw.trim, *(x for p in parts for x in (p.length, p.width)), *(x for s in usable for x in (s.length, s.width))]
        self.scale = lcm(*(Fraction(x).denominator for x in lengths))
        self.sheets = usable
        self.inner = [(self.whole(s.length - 2 * saw.trim + saw.kerf), self.whole(s.width - 2 * saw.trim + saw.kerf)) for s in usable]
        self.cost = [s.cost(aim) for s in usable]
        self.ways: list[tuple[tuple[int, int], ...]] = []
        self.owners: list[list[Part]] = []
        self.unplaced: list[tuple[str, int]] = []
        kinds: dict[tuple[int, int, bool], int] = {}
        for p in parts:
            w, h = self.whole(p.length + saw.kerf), self.whole(p.width + saw.kerf)
            turn = p.turn and w != h
            ways = ((w, h), (h, w)) if turn else ((w, h),)
            if not any(w <= W and h <= H for w, h in ways for W, H in self.inner):
                if p.count:
                    self.unplaced.append((p.name, p.count))
                continue
            if p.count == 0:
                continue
            kind = kinds.setdefault((w, h, turn), len(kinds))
            if kind == len(self.ways):
                self.ways.append(ways)
                self.owners.append([])
            self.owners[kind].append(p)
        self.counts = [sum(p.count for p in owners) for owners in self.owners]
        self.items = [k for k, n in enumerate(self.counts) for _ in range(n)]
        self.packers: dict[int, Packer] = {}
        self.by_size: dict[tuple[int, int], Packer] = {}
        if self.items:
            supplies = [Supply(w, h, c, s.count) for (w, h), c, s in zip(self.inner, self.cost, usable, strict=True)]
            self.duals = Duals(self.ways, self.counts, supplies)

    def whole(self, length: Fraction) -> int:
        """A length as a whole number of the common unit."""
        return int(length * self.scale)

    def bound(self) -> Fraction:
        """What the sheets cost at least."""
        if not self.items:
            return Fraction(0)
        costs = [c for c in self.cost if c]
        step = Fraction(gcd(*(c.numerator for c in costs)), lcm(*(c.denominator for c in costs))) if costs else Fraction(0)
        return _payable(self.duals.bound(step), costs, step)

    def packer(self, size: int) -> Packer:
        """Knows what fits on one sheet size; sheets of the same size share it."""
        known = self.by_size.get(self.inner[size])
        if known is None:
            env = Envelopes(*self.inner[size], self.ways, max(self.counts))
            known = self.by_size[self.inner[size]] = Packer(env, self.duals.weights(size, 3))
        return known

    def fits_alone(self, size: int, kind: int) -> bool:
        """Whether a sheet size can hold a kind at all."""
        return bool(self.packer(size).env.sizes[kind])


def _payable(bound: Fraction, costs: Sequence[Fraction], step: Fraction) -> Fraction:
    """The least sum of costs that is not below the bound, all of them multiples of the step; the bound itself where there would be
    too many sums to go through."""
    if not step or bound / step > SUMS:
        return bound
    target = int(bound / step)
    coins = sorted({int(c / step) for c in costs})
    reached = {0}
    for total in range(target + coins[0] + 1):  # one more of the cheapest is always enough
        if total in reached or any(total - c in reached for c in coins):
            if total >= target:
                return total * step
            reached.add(total)
    return bound


def _uniform(q: Question, size: int, items: Sequence[int], bound: int, work: int) -> list[Taken]:
    """All items on sheets of one size, as few as can be found."""
    packer = q.packer(size)
    chance = Chance(1)
    best: list[tuple[int, ...]] = []
    if len(items) < 8 * max(1, bound):
        best = [tuple(s.kinds) for s in best_fit(packer, items)]
    for _ in range(RESTARTS):
        if best and len(best) <= bound:
            break
        filled, rest = fill_in_turn(packer.env, items, chance, TRIES, SPREAD, len(best) - 1 if best else len(items))
        if not rest:
            best = [f.kinds for f in filled]
            for f in filled:
                packer.learn(f)
    stop = packer.env.work + work * len(items)
    loads = [load(packer, kinds) for kinds in best]
    while len(loads) > max(1, bound) and packer.env.work < stop:
        fewer = Squeeze(packer, loads, chance).run(stop - packer.env.work)
        if fewer is None:
            break
        loads = fewer
    return [Taken(size, tuple(sorted(s.kinds))) for s in loads]


def _limited(q: Question, size: int, count: int, items: Sequence[int]) -> tuple[list[Taken], list[int]]:
    """At most `count` sheets of one size as full as can be, and the items left over."""
    packer = q.packer(size)
    fit = [k for k in items if q.fits_alone(size, k)]
    filled, rest = fill_in_turn(packer.env, fit, Chance(2), 3 * TRIES, SPREAD, count)
    for f in filled:
        packer.learn(f)
    left = list(rest) + [k for k in items if not q.fits_alone(size, k)]
    return [Taken(size, f.kinds) for f in filled], left


def _in_order(q: Question, order: Sequence[int], bound: int, work: int) -> tuple[list[Taken], list[int]]:
    """Uses the sheet sizes one after the other, each until it runs out or all is placed."""
    done: list[Taken] = []
    items = list(q.items)
    for size in order:
        count = q.sheets[size].count
        here = [k for k in items if q.fits_alone(size, k)]
        if not here:
            continue
        if count is None or count * 4 >= len(here):
            taken = _uniform(q, size, here, bound if len(here) == len(q.items) else 1, work)
            if count is None or len(taken) <= count:
                done += taken
                items = [k for k in items if not q.fits_alone(size, k)]
                continue
        assert count is not None
        taken, items = _limited(q, size, count, items)
        done += taken
    return done, items


def _cheaper(q: Question, taken: Sequence[Taken]) -> list[Taken]:
    """Puts each sheet's parts onto the cheapest (then smallest) size that is still to be had and can take them."""
    used = [0] * len(q.sheets)
    for t in taken:
        used[t.size] += 1
    out = []
    sizes = sorted(range(len(q.sheets)), key=lambda s: (q.cost[s], q.inner[s][0] * q.inner[s][1], s))
    for t in sorted(taken, key=lambda t: (-q.cost[t.size], sum(q.packer(t.size).env.area[k] for k in t.kinds), t)):
        now = t
        for s in sizes:
            if s == t.size or (q.cost[s], q.inner[s][0] * q.inner[s][1]) >= (q.cost[t.size], q.inner[t.size][0] * q.inner[t.size][1]):
                break
            count = q.sheets[s].count
            packer = q.packer(s)
            if (count is None or used[s] < count) and all(q.fits_alone(s, k) for k in t.kinds) and packer.fits(t.kinds, packer.key(t.kinds)):
                used[s] += 1
                used[t.size] -= 1
                now = Taken(s, t.kinds)
                break
        out.append(now)
    return out


def _orders(q: Question) -> list[list[int]]:
    """Orders in which the sheet sizes are used up: by price for the area, with each size once in front and once alone."""
    n = len(q.sheets)
    if n == 1:
        return [[0]]
    area = [w * h for w, h in q.inner]
    thrifty = sorted(range(n), key=lambda s: (q.cost[s] / area[s], not q.sheets[s].rack, area[s], s))
    out = [thrifty]
    for s in thrifty:
        out.append([s, *[t for t in thrifty if t != s]])
        free = [t for t in thrifty if q.cost[t] == 0 and t != s]
        out.append([*free, s, *[t for t in thrifty if t != s and t not in free]])
    unique = []
    for o in out:
        if o not in unique:
            unique.append(o)
    return unique[:12]


def _choose(q: Question, bound: Fraction, work: int) -> tuple[list[Taken], list[int]]:
    """The best set of sheets over all orders of the sheet sizes."""
    best: tuple[tuple[int, Fraction, int, int], list[Taken], list[int]] | None = None
    area = [w[0][0] * w[0][1] for w in q.ways]
    orders = _orders(q)
    share = work if len(orders) == 1 else work // (2 * len(orders))  # several orders together take half of the work
    for order in orders:
        least = int(bound / q.cost[order[0]]) if q.cost[order[0]] else 1
        taken, left = _in_order(q, order, least, share)
        for tried in ([taken, _cheaper(q, taken)] if len(q.sheets) > 1 else [taken]):
            cost = sum((q.cost[t.size] for t in tried), Fraction(0))
            stock = sum(q.inner[t.size][0] * q.inner[t.size][1] for t in tried)
            mark = (sum(area[k] for k in left), cost, len(tried), stock)
            if best is None or mark < best[0]:
                best = (mark, tried, left)
        if best is not None and not best[2] and best[0][1] == bound:
            break
    assert best is not None
    return best[1], best[2]


def _offcut(node: Node) -> Fraction:
    """Area of the largest rest worth keeping."""
    return max((n.length * n.width for n in walk(node) if isinstance(n, Rest) and n.keep), default=Fraction(0))


def _short(node: Node) -> int:
    """How many pieces shorter than is safe along a fence are ripped."""
    return sum(isinstance(n, Cut) and not n.across and n.length < SHORT for n in walk(node))


def _settings(node: Node) -> frozenset[Fraction]:
    return frozenset(n.at for n in walk(node) if isinstance(n, Cut))


@dataclass(frozen=True, slots=True)
class _Way:
    """One way of cutting a sheet's parts, with its settings, the area of its largest offcut, its cuts and its short rips."""

    node: Node
    settings: frozenset[Fraction]
    offcut: Fraction
    cuts: int
    short: int


class _Sawyer:
    """Finds the cuts of sheets: together few short pieces along the fence, few fence settings, a large offcut, then few cuts."""

    def __init__(self, q: Question) -> None:
        self.q = q
        namer = Namer(tuple(o[0].name for o in q.owners), tuple(w[0] for w in q.ways))
        self.long = any(max(p.length, p.width) > SHORT for o in q.owners for p in o)  # else all rips are short
        self.sawings = [Sawing(q.saw, q.scale, namer, spread, rips) for rips in (Fraction(0), SHORT)[: 1 + self.long] for spread in (False, True)]
        self.known: dict[Taken, list[_Way]] = {}

    def ways(self, t: Taken) -> list[_Way]:
        """The ways of cutting one sheet that are compared."""
        found = self.known.get(t)
        if found is None:
            sheet, trim = self.q.sheets[t.size], self.q.saw.trim
            length, width = sheet.length - 2 * trim, sheet.width - 2 * trim
            made: list[Joined] = list(self.q.packer(t.size).joins(t.kinds, WAYS))
            assert made, "a set that fits has a join"
            trees = [(sawing, sawing.tree(j, trim, trim, length, width)) for sawing in self.sawings for j in made]
            nodes = dict.fromkeys([*(tree for _, tree in trees), *(gathered(tree, sawing) for sawing, tree in trees)])
            found = self.known[t] = [_Way(n, _settings(n), _offcut(n), sum(isinstance(k, Cut) for k in walk(n)), _short(n)) for n in nodes]
        return found

    def pick(self, taken: Sequence[Taken]) -> list[_Way]:
        """One way for each sheet, so that they share settings."""
        choices = [self.ways(t) for t in taken]
        picks = [0] * len(choices)
        uses: dict[Fraction, int] = {}
        for c in choices:
            for at in c[0].settings:
                uses[at] = uses.get(at, 0) + 1
        for _ in range(2):
            for i, c in enumerate(choices):
                for at in c[picks[i]].settings:
                    uses[at] -= 1
                marks = [(way.short, sum(not uses.get(at) for at in way.settings), -way.offcut, way.cuts, j) for j, way in enumerate(c)]
                picks[i] = min(marks)[4]
                for at in c[picks[i]].settings:
                    uses[at] = uses.get(at, 0) + 1
        return [c[picks[i]] for i, c in enumerate(choices)]

    def calm(self, taken: Sequence[Taken]) -> list[Taken]:
        """The sheets after single parts have gone to others with room, as long as that saves short rips or settings, or makes the
        largest offcut larger. Nothing is moved where all parts are short."""
        sheets = list(taken)
        ways = self.pick(sheets)
        if not self.long:
            return sheets
        left = MOVES
        moved = True
        while moved and left > 0:
            moved = False
            for trial in self._moves(sheets):
                left -= 1
                tried = self.pick(trial)
                if _mark(tried) < _mark(ways):
                    sheets, ways, moved = trial, tried, True
                    break
                if left <= 0:
                    break
        return sheets

    def _moves(self, sheets: Sequence[Taken]) -> Iterator[list[Taken]]:
        """The sheets with one part on another sheet, the smallest parts first."""
        area = [w[0][0] * w[0][1] for w in self.q.ways]
        places = sorted({(area[k], k, i) for i, t in enumerate(sheets) for k in t.kinds if len(t.kinds) > 1})
        for _, k, i in places:
            rest = list(sheets[i].kinds)
            rest.remove(k)
            for j, to in enumerate(sheets):
                packer = self.q.packer(to.size)
                grown = tuple(sorted((*to.kinds, k)))
                if j != i and self.q.fits_alone(to.size, k) and packer.fits(grown, packer.key(grown)):
                    if not self.q.packer(sheets[i].size).fits(rest, self.q.packer(sheets[i].size).key(rest)):
                        continue  # a search by tries found the whole, but does not find what is left
                    trial = list(sheets)
                    trial[i], trial[j] = Taken(sheets[i].size, tuple(rest)), Taken(to.size, grown)
                    yield trial


def _mark(ways: Sequence[_Way]) -> tuple[int, int, Fraction, int]:
    """What is to be small, the most important first."""
    settings: frozenset[Fraction] = frozenset().union(*(w.settings for w in ways))
    return sum(w.short for w in ways), len(settings), -max((w.offcut for w in ways), default=Fraction(0)), sum(w.cuts for w in ways)


def _rename(node: Node | None, names: dict[str, list[str]]) -> Node | None:
    """Gives equal parts that have different names their own names, in the order of the work."""
    if isinstance(node, Placed):
        return replace(node, part=names[node.part].pop(0))
    if node is None or isinstance(node, Rest):
        return node
    first = _rename(node.first, names)
    assert first is not None
    return replace(node, first=first, second=_rename(node.second, names))


def fewest(parts: Sequence[Part], sheets: Sequence[Sheet], saw: Saw, aim: str = "sheets") -> Fraction:
    """What the sheets for all parts that fit any cost at least, however they are cut."""
    return Question(parts, sheets, saw, aim).bound()


def lay_out(parts: Sequence[Part], sheets: Sequence[Sheet], saw: Saw, aim: str = "sheets", work: int = WORK) -> Layouts:
    """Layouts for all parts of one stock. Names of parts must differ, names of sheets too.

    `work` limits the search: counted steps for each part. Raises StockError for figures that cannot be. Parts that
    find no stock are listed as unplaced.
    """
    for things, what in (([p.name for p in parts], "part"), ([s.name for s in sheets], "sheet")):
        twice = sorted({n for n in things if things.count(n) > 1})
        if twice:
            raise StockError(f"two of one name: {what} {twice[0]}")
    q = Question(parts, sheets, saw, aim)
    bound = q.bound()
    if not q.items:
        return Layouts((), aim, bound, not q.unplaced, tuple(q.unplaced))
    taken, left = _choose(q, bound, work)
    sawyer = _Sawyer(q)
    taken = sorted(sawyer.calm(taken), key=lambda t: (t.size, -sum(q.ways[k][0][0] * q.ways[k][0][1] for k in t.kinds), t.kinds))
    names = {o[0].name: [p.name for p in o for _ in range(p.count)] for o in q.owners}
    layouts = []
    for t, way in zip(taken, sawyer.pick(taken), strict=True):
        named = _rename(way.node, names)
        assert named is not None
        layouts.append(SheetLayout(q.sheets[t.size], named))
    unplaced = list(q.unplaced)
    for k in left:
        unplaced.append((names[q.owners[k][0].name].pop(0), 1))
    total = sum((s.sheet.cost(aim) for s in layouts), Fraction(0))
    merged: dict[str, int] = {}
    for name, n in unplaced:
        merged[name] = merged.get(name, 0) + n
    return Layouts(tuple(layouts), aim, bound, not merged and total == bound, tuple(merged.items()))


