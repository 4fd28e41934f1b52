"""Lengths from bars, against a published optimum, hand arithmetic and exhaustive search."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.cutting.lengths import Bar, BarLayouts, Piece, cut_lengths
from plandoc.cutting.stock import StockError


def checked(pieces: list[Piece], bars: list[Bar], kerf: F = F(0), trim: F = F(0), aim: str = "bars", steps: int = 20000) -> BarLayouts:
    made = cut_lengths(pieces, bars, kerf, trim, aim, steps)
    got = Counter(dict(made.unplaced))
    for b in made.bars:
        got.update(name for name, _ in b.pieces)
        assert b.pieces
        assert sum((length for _, length in b.pieces), F(0)) + kerf * (len(b.pieces) - 1) <= b.bar.length - 2 * trim
    assert got == Counter({p.name: p.count for p in pieces if p.count})
    for bar in bars:
        assert bar.count is None or sum(b.bar == bar for b in made.bars) <= bar.count
    if not made.unplaced:
        assert made.bound <= made.cost
        assert made.proved == (made.bound == made.cost)
    return made


def test_textbook_example() -> None:
    """Rolls of 5600 mm, 13 widths: the least is 73 rolls (a much printed example of the cutting stock problem; from memory)."""
    wanted = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20}
    made = checked([Piece(f"w{w}", F(w), n) for w, n in wanted.items()], [Bar("roll", F(5600))], steps=60000)
    assert (len(made.bars), made.proved) == (73, True)


def test_kerf_and_trim_by_hand() -> None:
    """Three of 300 with two kerfs of 3 and two ends of 10 need 926."""
    three = [Piece("a", F(300), 3)]
    assert len(checked(three, [Bar("b", F(926))], F(3), F(10)).bars) == 1
    assert len(checked(three, [Bar("b", F(925))], F(3), F(10)).bars) == 2
    assert checked(three, [Bar("b", F(950))], F(3), F(10)).bars[0].rest == 21


def test_money_and_limited_bars() -> None:
    bars = [Bar("long", F(1000), F(10)), Bar("short", F(500), F(4), 1)]
    made = checked([Piece("a", F(500), 3)], bars, aim="money")
    assert (made.cost, made.proved) == (14, True)
    assert checked([Piece("a", F(500), 3)], [Bar("short", F(500), F(4), 1)]).unplaced == (("a", 3),)
    assert checked([Piece("a", F(1001)), Piece("b", F(10))], bars).unplaced == (("a", 1),)


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(StockError, match="a: length"):
        cut_lengths([Piece("a", F(0))], [Bar("b", F(1))])
    with pytest.raises(StockError, match="kerf"):
        cut_lengths([], [], F(-1))
    with pytest.raises(StockError, match="aim must be bars or money, not weight"):
        cut_lengths([Piece("a", F(1))], [Bar("b", F(2))], aim="weight")


def test_bars_that_are_few_are_all_taken() -> None:
    """27 of 31: 7 + 5 of 12, 7 of 11, 5 + 3 of 8; on the way are fillings that leave too little for the rest."""
    bars = [Bar("b0", F(12), F(3), 1), Bar("b1", F(11), F(2), 1), Bar("b2", F(8), F(4), 1)]
    made = checked([Piece("p0", F(3)), Piece("p1", F(7), 2), Piece("p2", F(5), 2)], bars, aim="money")
    assert (made.cost, made.proved) == (9, True)


def test_a_search_that_is_cut_short_says_so() -> None:
    """The first layout stands, and nothing is said to be proved that was not."""
    pieces = [Piece("p0", F(3)), Piece("p1", F(7), 2), Piece("p2", F(5), 2)]
    bars = [Bar("b0", F(12), F(3)), Bar("b1", F(11), F(2)), Bar("b2", F(8), F(4))]
    best = checked(pieces, bars, aim="money")
    assert best.proved
    for steps in (0, 1, 2, 3):
        made = checked(pieces, bars, aim="money", steps=steps)
        assert made.cost >= best.cost and made.bound <= best.cost
    many = checked([Piece("a", F(600), 401), Piece("b", F(401), 3)], [Bar("b", F(1000))])
    assert len(many.bars) == 403


def numbers(seed: int) -> Iterator[int]:
    """A linear congruential generator, so that the questions need no file."""
    x = seed
    while True:
        x = (1103515245 * x + 12345) % 2**31
        yield x >> 16


SOLVED = {2: (50, 4), 3: (110, 10), 4: (86, 8), 5: (90, 8), 6: (43, 4), 7: (40, 4), 9: (96, 8), 10: (44, 4), 11: (84, 7), 12: (142, 12)}
"""Least money and fewest bars by seed: recorded once with the mixed integer solver HiGHS (of scipy 1.17.1), over all
patterns of both bars that leave no room for a piece; solved to the end."""


@pytest.mark.parametrize("seed", SOLVED)
def test_a_general_solver_finds_nothing_better(seed: int) -> None:
    number = numbers(seed)
    pieces: dict[int, int] = {}
    for _ in range(4 + next(number) % 4):
        pieces[120 + next(number) % 900] = 1 + next(number) % 12
    bars = [Bar("short", F(2400), F(10)), Bar("long", F(3000), F(11 + next(number) % 4))]
    wanted = [Piece(f"p{length}", F(length), count) for length, count in pieces.items()]
    money, fewest = SOLVED[seed]
    made = checked(wanted, bars, F(3), F(6), "bars", 60000)
    assert (len(made.bars), made.proved) == (fewest, True)
    made = checked(wanted, bars, F(3), F(6), "money", 60000)
    assert made.bound <= money <= made.cost and (not made.proved or made.cost == money)


def least(sizes: tuple[int, ...], bars: list[tuple[int, int, int]]) -> int | None:
    """The least money by trying every bar for every piece; bars are (length, price, count)."""
    single = [(length, price) for length, price, count in bars for _ in range(count)]
    best: list[int] = []

    def put(i: int, room: list[int], used: frozenset[int]) -> None:
        cost = sum(single[j][1] for j in used)
        if best and cost >= best[0]:
            return
        if i == len(sizes):
            best[:] = [cost]
            return
        tried = set()
        for j in range(len(single)):
            mark = (room[j], single[j], j in used)
            if room[j] >= sizes[i] and mark not in tried:
                tried.add(mark)
                put(i + 1, [*room[:j], room[j] - sizes[i], *room[j + 1 :]], used | {j})

    put(0, [length for length, _ in single], frozenset())
    return best[0] if best else None


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.lists(st.integers(2, 12), min_size=1, max_size=7),
    st.lists(st.tuples(st.integers(6, 20), st.integers(1, 9), st.integers(1, 3)), min_size=1, max_size=3),
    st.integers(0, 2),
)
def test_small_cases_against_exhaustive_search(sizes: list[int], bars: list[tuple[int, int, int]], kerf: int) -> None:
    pieces = [Piece(f"p{i}", F(s)) for i, s in enumerate(sizes)]
    stock = [Bar(f"b{i}", F(length), F(price), count) for i, (length, price, count) in enumerate(bars)]
    made = checked(pieces, stock, F(kerf), aim="money")
    if max(sizes) > max(length for length, _, _ in bars):
        assert made.unplaced
        return
    wanted = least(tuple(sorted((s + kerf for s in sizes), reverse=True)), [(length + kerf, price, count) for length, price, count in bars])
    if wanted is None:
        assert made.unplaced
    else:
        assert (made.cost, made.proved, made.bound) == (wanted, True, wanted)
