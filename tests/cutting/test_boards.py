"""Boards ripped to strips and crosscut, with defects, by hand and at random."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.cutting.boards import Blank, Board, BoardLayouts, Defect, cut_boards, staves
from plandoc.cutting.stock import StockError


def checked(blanks: list[Blank], boards: list[Board], kerf: F = F(0), trim: F = F(0)) -> BoardLayouts:
    made = cut_boards(blanks, boards, kerf, trim)
    by_name = {b.name: b for b in blanks}
    got = Counter(dict(made.unplaced))
    assert len({m.board.name for m in made.boards}) == len(made.boards)
    for m in made.boards:
        y = trim
        for s in m.strips:
            assert s.y >= y
            y = s.y + s.width + kerf
            assert s.y + s.width <= m.board.width - trim
            x = trim
            for name, low, length in s.pieces:
                got[name] += 1
                assert (length, s.width) == (by_name[name].length, by_name[name].width)
                assert low >= x
                x = low + length + kerf
                assert low + length <= m.board.length - trim
                for d in m.board.defects:
                    clear = low + length <= d.x or d.x + d.length <= low or s.y + s.width <= d.y or d.y + d.width <= s.y
                    assert clear, (name, d)
    assert got == Counter({b.name: b.count for b in blanks if b.count})
    if not made.unplaced:
        assert made.bound <= made.cost
        assert made.proved == (made.bound == made.cost)
    return made


def test_a_full_board() -> None:
    """Two strips of 50 and a kerf of 3; two of 400 in each with a kerf: 803 by 103."""
    made = checked([Blank("rail", F(400), F(50), 4)], [Board("b", F(803), F(103))], F(3))
    assert (len(made.boards), made.proved, made.boards[0].waste) == (1, True, 803 * 103 - 4 * 400 * 50)
    assert checked([Blank("rail", F(400), F(50), 4)], [Board("b", F(802), F(103))], F(3)).unplaced == (("rail", 2),)


def test_a_knot_is_cut_around() -> None:
    knot = Defect(F(450), F(20), F(30), F(20))
    board = Board("b", F(1000), F(100), defects=(knot,))
    assert checked([Blank("a", F(450), F(100), 2)], [board]).unplaced == ()
    assert checked([Blank("a", F(451), F(100), 2)], [board]).unplaced == (("a", 1),)
    assert checked([Blank("a", F(521), F(100), 1)], [board]).unplaced == (("a", 1),)
    assert checked([Blank("a", F(1000), F(60), 1)], [board]).unplaced == ()  # above the knot


def test_glue_up() -> None:
    """450 from boards that give 140, 3 mm for jointing: four staves of 112.5 + 3."""
    assert staves(Blank("top", F(900), F(450)), F(140), F(3)) == [Blank("top stave", F(900), F(231, 2), 4)]
    assert staves(Blank("top", F(900), F(140)), F(140), F(3)) == [Blank("top", F(900), F(140))]
    with pytest.raises(StockError, match="top"):
        staves(Blank("top", F(900), F(450)), F(3), F(3))


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(StockError, match="a: length and width"):
        cut_boards([Blank("a", F(0), F(5))], [Board("b", F(10), F(10))])
    with pytest.raises(StockError, match="b: length and width"):
        cut_boards([Blank("a", F(5), F(5))], [Board("b", F(10), F(0))])
    with pytest.raises(StockError, match="kerf and trim"):
        cut_boards([], [], F(0), F(-1))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.integers(5, 60), st.sampled_from([5, 8, 12]), st.integers(1, 4)), min_size=1, max_size=5),
    st.lists(st.tuples(st.integers(40, 100), st.integers(10, 30), st.integers(0, 40), st.integers(0, 20)), min_size=1, max_size=4),
    st.integers(0, 3),
)
def test_random_boards(blanks: list[tuple[int, int, int]], boards: list[tuple[int, int, int, int]], kerf: int) -> None:
    wanted = [Blank(f"p{i}", F(a), F(b), n) for i, (a, b, n) in enumerate(blanks)]
    stock = [Board(f"b{i}", F(a), F(b), F(1), (Defect(F(x), F(y), F(6), F(4)),)) for i, (a, b, x, y) in enumerate(boards)]
    made = checked(wanted, stock, F(kerf), F(1))
    assert made == cut_boards(wanted, stock, F(kerf), F(1))
