"""Lower bounds on the number of sheets, from dual feasible functions.

A dual feasible function f maps lengths up to C to numbers so that pieces which fit side by side into C
never add up to more than f(C). For two of them, f along and g across, the sum of f(w) g(h) over the parts
on one sheet is at most f(W) g(H), however the sheet is cut; so the sum over all parts, divided by that,
is a bound. The three families here are superadditive, so the same holds for each smaller sheet.

Sources: Fekete and Schepers, "New classes of fast lower bounds for bin packing problems" (2001), for u(k);
Carlier, Clautiaux and Moukrim, "New reduction procedures and lower bounds for the two-dimensional bin
packing problem with fixed orientation" (2007), for the threshold and the rounding function.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, isqrt

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
MOST = 160  # parameters tried for each family


def _thin(values: Ints) -> Ints:
    """At most MOST of the values, evenly taken."""
    if len(values) <= MOST:
        return values
    thinned: Ints = values[np.unique(np.linspace(0, len(values) - 1, MOST).astype(int))]
    return thinned


def functions(capacity: int, sizes: Sequence[int]) -> Ints:
    """Rows of values of dual feasible functions for [capacity, *sizes]; a row's first number is f(capacity)."""
    x = np.array([capacity, *sizes], dtype=np.int64)
    c = capacity
    near = np.unique(np.concatenate([x[1:], c - x[1:], x[1:] + 1, c - x[1:] + 1]))
    rows = [x]
    for k in _thin(near[(near >= 1) & (2 * near <= c)]).tolist():  # threshold: what leaves less than k counts as all
        rows.append(np.where(x > c - k, c, np.where(x >= k, x, 0)))
    halves = np.arange(1, c + 1) if c <= 100 else near[(near >= 1) & (near <= c)]
    for k in _thin(halves).tolist():  # rounding to multiples of k
        t = c // k
        row = np.where(2 * x > c, 2 * (t - (c - x) // k), np.where(2 * x == c, t, 2 * (x // k)))
        rows.append(np.where(x == 0, 0, row))
    for k in range(1, 31):  # u(k)
        rows.append(np.where(((k + 1) * x) % c == 0, k * x, c * ((k + 1) * x // c)))
    table = np.array(rows, dtype=np.int64)
    table = table[table[:, 0] > 0]
    common = np.gcd.reduce(table, axis=1)
    table //= common[:, None]
    return np.unique(table, axis=0)


@dataclass(frozen=True, slots=True)
class Supply:
    """A size of sheet for the bound: usable size in whole numbers, cost, how many (None: any number)."""

    width: int
    height: int
    cost: Fraction
    count: int | None


Ways = tuple[tuple[int, int], ...]


def _coarse(ways: Sequence[Ways], parts: int, supplies: Sequence[Supply]) -> tuple[Sequence[Ways], Sequence[Supply]]:
    """The question in units so large that no sum of products leaves 64 bits. Parts are rounded down and sheets up, so
    what is a bound there is one here. A function's values reach 31 times the capacity."""
    limit = isqrt(2**62 // (31**2 * max(1, parts)))
    cw, ch = (-(-max(sizes) // limit) for sizes in ([s.width for s in supplies], [s.height for s in supplies]))
    if cw == ch == 1:
        return ways, supplies
    return [tuple((w // cw, h // ch) for w, h in one) for one in ways], [replace(s, width=-(-s.width // cw), height=-(-s.height // ch)) for s in supplies]


class Duals:
    """The families on both axes for all kinds and sheet sizes, and the bounds that they give."""

    def __init__(self, ways: Sequence[Ways], counts: Sequence[int], supplies: Sequence[Supply]) -> None:
        """`ways[kind]` are the one or two ways (w, h) in which a kind may lie; each kind fits one sheet size at least."""
        ways, supplies = _coarse(ways, sum(counts), supplies)
        self.supplies = supplies
        top_w, top_h = max(s.width for s in supplies), max(s.height for s in supplies)
        tables: list[tuple[Ints, Ints]] = []
        n = len(ways)
        for turn in (0, 1):  # where a kind cannot turn, its second way is its first
            tables.append((np.array([w[min(turn, len(w) - 1)][0] for w in ways]), np.array([w[min(turn, len(w) - 1)][1] for w in ways])))
        # A way that is longer than the longest sheet is not to be had; the other way stands in for it.
        (w1, h1), (w2, h2) = tables
        bad1, bad2 = (w1 > top_w) | (h1 > top_h), (w2 > top_w) | (h2 > top_h)
        w1, h1, w2, h2 = np.where(bad1, w2, w1), np.where(bad1, h2, h1), np.where(bad2, w1, w2), np.where(bad2, h1, h2)
        along = functions(top_w, [*w1.tolist(), *w2.tolist(), *[s.width for s in supplies]])
        up = functions(top_h, [*h1.tolist(), *h2.tolist(), *[s.height for s in supplies]])
        turns = bool((w1 != w2).any() or (h1 != h2).any())
        if turns:
            along, up = _few(along), _few(up)
        self.f1, self.f2, self.fs = along[:, 1 : n + 1], along[:, n + 1 : 2 * n + 1], along[:, 2 * n + 1 :]
        self.g1, self.g2, self.gs = up[:, 1 : n + 1], up[:, n + 1 : 2 * n + 1], up[:, 2 * n + 1 :]
        number = np.array(counts, dtype=np.int64)
        self.square = 0
        if turns and top_w == top_h and len(supplies) == 1:  # the same function both ways does not see a turn
            both = functions(top_w, [*w1.tolist(), *h1.tolist()])
            need, hold = (both[:, 1 : n + 1] * both[:, n + 1 :]) @ number, both[:, 0] ** 2
            self.square = int((-(-need // hold)).max())
        if turns:
            self.demand = np.zeros((len(along), len(up)), dtype=np.int64)
            for k in range(n):
                one = np.outer(self.f1[:, k], self.g1[:, k])
                self.demand += number[k] * np.minimum(one, np.outer(self.f2[:, k], self.g2[:, k]))
        else:
            self.demand = (self.f1 * number) @ self.g1.T

    def _best(self, ratio: Floats, most: int) -> list[tuple[int, int]]:
        """Rows and columns of the largest ratios."""
        flat = np.argsort(-ratio, axis=None, kind="stable")[:most]
        return [(int(i) // ratio.shape[1], int(i) % ratio.shape[1]) for i in flat]

    def bound(self, step: Fraction) -> Fraction:
        """What all sheets cost at least, rounded up to a multiple of `step`; 0 when the stock does not suffice."""
        top = self.supplies[0]
        if len(self.supplies) == 1:
            hold = np.outer(self.fs[:, 0], self.gs[:, 0])
            least = max(self.square, int((-(-self.demand // hold)).max()))
            if top.count is not None and least > top.count:
                return Fraction(0)
            return _up(least * top.cost, step)
        spend = np.zeros(self.demand.shape)
        for s in range(len(self.supplies)):
            hold = np.outer(self.fs[:, s], self.gs[:, s])
            spend += hold / max(1, int(hold.max()))
        ratio = self.demand / np.maximum(spend, 1e-9)
        pairs = self._best(ratio, 200) + [(i, j) for i in range(0, len(self.f1), 7) for j in range(0, len(self.g1), 7)]
        return _up(max(self._cover(i, j) for i, j in pairs), step)

    def _cover(self, i: int, j: int) -> Fraction:
        """The least cost by which (fractions of) sheets cover the demand of one pair of functions."""
        holds = [int(self.fs[i, s] * self.gs[j, s]) for s in range(len(self.supplies))]
        left = Fraction(int(self.demand[i, j]))
        total = Fraction(0)
        order = sorted((s for s in range(len(holds)) if holds[s]), key=lambda s: (self.supplies[s].cost / holds[s], s))
        for s in order:
            count = self.supplies[s].count
            part = left if count is None else min(left, Fraction(count * holds[s]))
            total += part / holds[s] * self.supplies[s].cost
            left -= part
            if left <= 0:
                return total
        return Fraction(0)

    def weights(self, s: int, most: int) -> list[tuple[list[int], int]]:
        """For one sheet size the strongest weights: numbers for all kinds, and the sum that a sheet can hold."""
        hold = np.outer(self.fs[:, s], self.gs[:, s])
        out: list[tuple[list[int], int]] = []
        seen: set[tuple[float, ...]] = set()
        for i, j in self._best(self.demand / np.maximum(hold, 1), 400):
            row = np.minimum(self.f1[i] * self.g1[j], self.f2[i] * self.g2[j])
            cap = int(hold[i, j])
            if cap == 0:
                continue
            mark = tuple((row / cap).round(6).tolist())
            if mark not in seen:
                seen.add(mark)
                out.append((row.tolist(), cap))
                if len(out) == most:
                    break
        return out


def _up(value: Fraction, step: Fraction) -> Fraction:
    """The next multiple of step, the value itself for step 0."""
    return step * ceil(value / step) if step else value


def _few(table: Ints) -> Ints:
    """At most 80 rows, evenly taken: parts that may turn need work with every pair."""
    if len(table) <= 80:
        return table
    thinned: Ints = table[np.unique(np.linspace(0, len(table) - 1, 80).astype(int))]
    return thinned
