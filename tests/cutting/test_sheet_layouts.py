"""Layouts on sheets: checked by the independent checker, by hand arithmetic and by exhaustive search."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction as F
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Cut, Layouts, Part, Placed, Saw, Sheet, StockError
from plandoc.cutting.verify import faults_of

PLAIN = Saw()


def checked(parts: list[Part], sheets: list[Sheet], saw: Saw = PLAIN, aim: str = "sheets", work: int = 500) -> Layouts:
    made = lay_out(parts, sheets, saw, aim, work)
    assert faults_of(made, parts, sheets, saw) == []
    return made


def test_kerf_takes_the_last_millimetre() -> None:
    """Two parts of 500 need 1003.2 mm with a kerf of 3.2."""
    two = [Part("shelf", F(500), F(300), 2)]
    saw = Saw(kerf=F(16, 5))
    assert len(checked(two, [Sheet("s", F(5016, 5), F(300))], saw).sheets) == 1
    assert len(checked(two, [Sheet("s", F(5016, 5) - F(1, 1000), F(300))], saw).sheets) == 2


def test_trim_is_lost_at_both_edges() -> None:
    one = [Part("top", F(980), F(580))]
    saw = Saw(kerf=F(3), trim=F(10))
    made = checked(one, [Sheet("s", F(1000), F(600))], saw)
    assert made.sheets[0].placed == (Placed("top", F(10), F(10), F(980), F(580)),)
    assert made.sheets[0].waste == 1000 * 600 - 980 * 580
    assert checked(one, [Sheet("s", F(999), F(600))], saw).unplaced == (("top", 1),)


def test_a_rest_narrower_than_the_kerf_needs_no_room_for_it() -> None:
    made = checked([Part("a", F(99), F(50))], [Sheet("s", F(100), F(50))], Saw(kerf=F(3)))
    tree = made.sheets[0].tree
    assert isinstance(tree, Cut)
    assert (tree.at, tree.second) == (F(99), None)


def test_grain_forbids_turning() -> None:
    sheet = [Sheet("s", F(100), F(50))]
    assert checked([Part("a", F(50), F(100))], sheet).unplaced == (("a", 1),)
    made = checked([Part("a", F(50), F(100), turn=True)], sheet)
    assert made.sheets[0].placed[0].turned
    assert (made.bound, made.proved) == (1, True)


def test_offcut_goes_to_the_rack_when_it_is_large_enough() -> None:
    part, sheet = [Part("a", F(60), F(100))], [Sheet("s", F(100), F(100))]
    assert [(r.length, r.width) for r in checked(part, sheet, Saw(keep_length=F(100), keep_width=F(40))).sheets[0].offcuts] == [(40, 100)]
    made = checked(part, sheet, Saw(keep_width=F(41)))
    assert (made.sheets[0].offcuts, made.sheets[0].waste) == ((), 4000)


def test_rack_comes_before_a_new_sheet() -> None:
    sheets = [Sheet("new", F(200), F(100)), Sheet("offcut", F(60), F(60), F(0), 1, rack=True)]
    made = checked([Part("a", F(50), F(50))], sheets)
    assert [s.sheet.name for s in made.sheets] == ["offcut"]
    assert (made.cost, made.proved) == (0, True)


def test_money_chooses_the_sheet_size() -> None:
    sheets = [Sheet("large", F(200), F(100), F(50)), Sheet("small", F(100), F(100), F(20))]
    made = checked([Part("a", F(100), F(100), 2)], sheets, aim="money")
    assert (made.cost, made.proved) == (40, True)
    made = checked([Part("a", F(100), F(100), 2)], sheets)
    assert [s.sheet.name for s in made.sheets] == ["large"]


def test_the_bound_on_money_is_a_sum_of_prices() -> None:
    """0.55 of the large sheet's area would cost 55, but no sheets do: two small ones cost 100."""
    sheets = [Sheet("large", F(200), F(100), F(110)), Sheet("small", F(100), F(100), F(50))]
    made = checked([Part("a", F(60), F(90), 2)], sheets, aim="money")
    assert (made.cost, made.bound, made.proved) == (100, 100, True)


def test_stock_that_does_not_suffice_is_told() -> None:
    made = checked([Part("a", F(100), F(100), 3)], [Sheet("s", F(100), F(100), count=2)])
    assert (len(made.sheets), made.unplaced, made.proved) == (2, (("a", 1),), False)


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("rack", [False, True])
def test_the_bound_holds_for_lengths_with_large_denominators(turn: bool, rack: bool) -> None:
    """What leans measures millionths of a millimetre, what is divided by 7 and 11 has sevenths and elevenths: in their
    common unit a sheet is some 10^10 long."""
    parts = [
        Part("a", F(508), F(285305569, 500000), 3, turn),
        Part("b", F(1651, 15), F(285305569, 1000000), 7, turn),
        Part("c", F(10922, 35), F(1651, 5), 5, turn),
        Part("d", F(12573, 35), F(1524, 5), 7, turn),
    ]
    sheets = [Sheet("sheet", F(12192, 5), F(6096, 5))] + [Sheet("rest", F(762), F(508), count=1, rack=True)] * rack
    made = checked(parts, sheets, Saw(F(16, 5), F(127, 20)))
    # The parts have 2 m², a sheet has 2.97 m².
    assert (made.bound, made.cost, made.proved) == (1, 1, True)


def test_coarse_units_keep_a_bound_that_is_strong() -> None:
    """Three parts a little wider than half a sheet need three, in any unit."""
    parts = [Part("a", F(1, 2) + F(1, 1000), F(1), 3), Part("b", F(1, 10**9 + 7), F(1, 10**9 + 9))]
    made = checked(parts, [Sheet("s", F(1), F(1))])
    assert (made.bound, len(made.sheets)) == (3, 3)


def test_sheets_of_one_size_may_be_told_one_by_one() -> None:
    """Boards of one size each under its own name: those with the same area of parts on them have an order too."""
    parts = [Part("a", F(5), F(5)), Part("b", F(5), F(5)), Part("c", F(15), F(5), 4)]
    made = checked(parts, [Sheet("first", F(40), F(10), count=1), Sheet("second", F(40), F(10), count=1)], Saw(F(0), F(1)))
    assert (made.unplaced, [s.sheet.name for s in made.sheets]) == ((), ["first", "second"])


def test_equal_strips_share_a_setting() -> None:
    made = checked([Part("a", F(40), F(25), 4), Part("b", F(60), F(25), 4)], [Sheet("s", F(100), F(100))])
    assert len(made.sheets) == 1
    assert set(made.settings) in ({F(25), F(60)}, {F(25), F(40)})


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(StockError, match="a: length must be more than 0"):
        Part("a", F(0), F(1))
    with pytest.raises(StockError, match="two of one name: part a"):
        lay_out([Part("a", F(1), F(1)), Part("a", F(2), F(1))], [Sheet("s", F(9), F(9))], PLAIN)
    with pytest.raises(StockError, match="aim"):
        lay_out([], [], PLAIN, "luck")


def test_the_checker_finds_faults() -> None:
    """Each change of a good layout is found."""
    parts, sheets = [Part("a", F(60), F(40), 2), Part("b", F(30), F(50))], [Sheet("s", F(100), F(100))]
    saw = Saw(kerf=F(2))
    made = checked(parts, sheets, saw)
    sheet = made.sheets[0]
    tree = sheet.tree
    assert isinstance(tree, Cut)

    def with_tree(new: Cut) -> list[str]:
        return faults_of(replace(made, sheets=(replace(sheet, tree=new),)), parts, sheets, saw)

    assert with_tree(replace(tree, at=tree.at - 1)) != []
    assert with_tree(replace(tree, second=None)) != []
    assert with_tree(replace(tree, across=not tree.across)) != []
    assert faults_of(made, parts, sheets, Saw(kerf=F(5))) != []
    assert faults_of(made, [*parts, Part("c", F(1), F(1))], sheets, saw) != []
    assert faults_of(replace(made, bound=F(2)), parts, sheets, saw) != []
    assert faults_of(replace(made, proved=not made.proved), parts, sheets, saw) != []
    assert faults_of(made, [Part("a", F(60), F(41), 2), parts[1]], sheets, saw) != []


DIMS = st.integers(4, 60)
EIGHTHS = st.sampled_from([F(0), F(1, 8), F(3), F(16, 5)])


@st.composite
def questions(draw: st.DrawFn) -> tuple[list[Part], list[Sheet], Saw]:
    parts = [
        Part(f"p{i}", F(draw(DIMS)) + draw(EIGHTHS), F(draw(DIMS)), draw(st.integers(1, 4)), draw(st.booleans()))
        for i in range(draw(st.integers(1, 6)))
    ]
    sheets = [Sheet("s0", F(draw(st.integers(40, 120))), F(draw(st.integers(40, 90))), F(10))]
    for i in range(draw(st.integers(0, 2))):
        price, count = F(draw(st.integers(0, 12))), draw(st.integers(0, 3))
        sheets.append(Sheet(f"s{i + 1}", F(draw(DIMS)), F(draw(DIMS)), price, count, draw(st.booleans())))
    return parts, sheets, Saw(draw(EIGHTHS), F(draw(st.integers(0, 5))), F(20), F(10))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(questions(), st.sampled_from(["sheets", "money"]))
def test_random_questions_are_valid(question: tuple[list[Part], list[Sheet], Saw], aim: str) -> None:
    parts, sheets, saw = question
    made = checked(parts, sheets, saw, aim, 200)
    for name, _ in made.unplaced:
        part = next(p for p in parts if p.name == name)
        for sheet in sheets:
            if sheet.count is None:  # what fits an unlimited sheet is never left over
                inner = (sheet.length - 2 * saw.trim, sheet.width - 2 * saw.trim)
                ways = [(part.length, part.width)] + ([(part.width, part.length)] if part.turn else [])
                assert not any(a <= inner[0] and b <= inner[1] for a, b in ways)


def fits_by_hand(boxes: tuple[tuple[int, int], ...], length: int, width: int, turn: bool) -> bool:
    """Exhaustive: every part in the low corner of the first piece, every cut position that sums of sizes allow."""

    @cache
    def most(left: tuple[tuple[int, int], ...], w: int, h: int) -> frozenset[tuple[tuple[int, int], ...]]:
        """All subsets (sorted tuples) of `left` that a w x h piece can give."""
        out = {()}
        for b in set(left):
            for bw, bh in {b, b[::-1]} if turn else {b}:
                if bw <= w and bh <= h:
                    out.add((b,))
        for cut in range(1, w // 2 + 1):
            out |= pairs(left, most(left, cut, h), most(left, w - cut, h))
        for cut in range(1, h // 2 + 1):
            out |= pairs(left, most(left, w, cut), most(left, w, h - cut))
        return frozenset(out)

    def pairs(left: tuple[tuple[int, int], ...], one: frozenset, other: frozenset) -> set[tuple[tuple[int, int], ...]]:  # type: ignore[type-arg]
        made = {tuple(sorted((*a, *b))) for a in one for b in other}
        return {m for m in made if all(m.count(x) <= left.count(x) for x in set(m))}

    return tuple(sorted(boxes)) in most(tuple(sorted(boxes)), length, width)


def fewest_by_hand(boxes: tuple[tuple[int, int], ...], length: int, width: int, turn: bool) -> int:
    """The least number of sheets over all partitions."""

    def place(i: int, groups: list[tuple[tuple[int, int], ...]], best: int) -> int:
        if len(groups) >= best:
            return best
        if i == len(boxes):
            return len(groups)
        for g in range(len(groups)):
            grown = (*groups[g], boxes[i])
            if fits_by_hand(grown, length, width, turn):
                best = place(i + 1, [*groups[:g], grown, *groups[g + 1 :]], best)
        return place(i + 1, [*groups, (boxes[i],)], best)

    return place(0, [], len(boxes) + 1)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(1, 6), st.integers(1, 6)), min_size=1, max_size=5), st.booleans())
def test_tiny_cases_against_exhaustive_search(boxes: list[tuple[int, int]], turn: bool) -> None:
    parts = [Part(f"p{i}", F(w), F(h), turn=turn) for i, (w, h) in enumerate(boxes)]
    made = checked(parts, [Sheet("s", F(7), F(6))])
    if made.unplaced:
        return
    least = fewest_by_hand(tuple(boxes), 7, 6, turn)
    assert made.bound <= least <= len(made.sheets)
    if made.proved:
        assert len(made.sheets) == least


SCRIPT = """
from fractions import Fraction as F
from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Part, Saw, Sheet
parts = [Part(f"p{i}", F(100 + 37 * i % 400), F(80 + 53 * i % 300), 1 + i % 3, i % 2 == 0) for i in range(14)]
sheets = [Sheet("full", F(1220), F(610)), Sheet("rest", F(500), F(300), F(0), 2, rack=True)]
print(lay_out(parts, sheets, Saw(F(3), F(5), F(200), F(80)), work=500))
"""


def test_same_result_in_another_process() -> None:
    outs = []
    for seed in ("0", "0", "4711"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        outs.append(subprocess.run([sys.executable, "-c", SCRIPT], env=env, capture_output=True, text=True, check=True).stdout)
    assert outs[0].startswith("Layouts(")
    assert outs[0] == outs[1] == outs[2]


def test_scrap_beside_a_row_takes_no_setting_of_its_own() -> None:
    # two columns of 2 x 24 stand in 50: the 2 that are over are left by the cuts at 24, no fence is set to 48
    parts = [Part("A", F(50), F(24), 2), Part("B", F(40), F(24), 2)]
    saw = Saw(keep_length=F(20), keep_width=F(5))
    made = lay_out(parts, [Sheet("sheet", F(100), F(50))], saw)
    assert faults_of(made, parts, [Sheet("sheet", F(100), F(50))], saw) == []
    assert set(made.settings) == {24, 40, 50}


def test_an_offcut_worth_keeping_stays_in_one_piece() -> None:
    parts = [Part("A", F(50), F(20), 2), Part("B", F(50), F(20), 2)]
    saw = Saw(keep_length=F(20), keep_width=F(5))
    (sheet,) = lay_out(parts, [Sheet("sheet", F(100), F(50))], saw).sheets
    assert [(r.length, r.width) for r in sheet.offcuts] == [(100, 10)]


def test_parts_of_one_width_are_ripped_in_one_cut() -> None:
    # 136 of 138 wide: one rip for all, then the stop at 560, and nothing is set for what is over at the end
    made = checked([Part("E", F(560), F(136), 4)], [Sheet("board", F(2388), F(138))], Saw(keep_length=F(300), keep_width=F(100)))
    (sheet,) = made.sheets
    assert set(made.settings) == {136, 560} and len(sheet.cuts) == 5


def test_short_pieces_are_crosscut_from_strips_rather_than_ripped() -> None:
    made = checked([Part("label", F(150), F(50), 24)], [Sheet("sheet", F(1200), F(600))], Saw(kerf=F(3), keep_length=F(300), keep_width=F(100)))
    (sheet,) = made.sheets
    assert not any(not cut.across and cut.length < 300 for cut in sheet.cuts)


def test_the_fence_settings_are_the_second_thing_that_counts() -> None:
    """Two sheets are needed whatever is done; what is 30 wide goes together, so does what is 45 wide."""
    parts = [Part("a", F(800), F(300), 3), Part("b", F(800), F(450), 2)]
    made = checked(parts, [Sheet("s", F(800), F(910))], Saw(kerf=F(3)))
    assert (len(made.sheets), made.proved) == (2, True)
    assert {frozenset(p.part for p in s.placed) for s in made.sheets} == {frozenset("a"), frozenset("b")}
    assert set(made.settings) <= {F(300), F(450)}


def test_the_largest_offcut_is_the_third_thing_that_counts() -> None:
    """Two sheets, 1000 x 1000: each has 400 over, whichever way the small part goes; with it on the fuller one the other keeps its
    whole rest."""
    saw = Saw(keep_length=F(100), keep_width=F(100))
    made = checked([Part("a", F(1000), F(700)), Part("b", F(1000), F(500)), Part("c", F(1000), F(300))], [Sheet("s", F(1000), F(1000))], saw)
    assert [(r.length, r.width) for s in made.sheets for r in s.offcuts] == [(1000, 500)]


def test_a_part_moves_to_another_sheet_where_that_saves_short_rips() -> None:
    """Four small parts fill the end of the first sheet, where they would be ripped from a piece 40 long; on the second there is room
    for a strip of them."""
    parts = [Part("long", F(700), F(100), 2), Part("small", F(32), F(24), 4), Part("other", F(400), F(100))]
    made = checked(parts, [Sheet("s", F(740), F(209))], Saw(kerf=F(3), keep_length=F(600), keep_width=F(300)))
    assert len(made.sheets) == 2
    assert not any(not cut.across and cut.length < 300 for s in made.sheets for cut in s.cuts)


def test_a_part_goes_into_scrap_beside_the_others_rather_than_break_into_a_piece_worth_keeping() -> None:
    """Six pieces on a board of 1488 x 108: both short ones come off one strip, and the rest of the board stays as wide as it is."""
    parts = [Part("G", F(206), F(20), 2, turn=False), Part("H", F(150), F(40), 2, turn=False), Part("J", F(326), F(40), 2, turn=False)]
    saw = Saw(kerf=F(3), keep_length=F(300), keep_width=F(100))
    made = checked(parts, [Sheet("board", F(1488), F(108))], saw)
    (sheet,) = made.sheets
    assert [(r.length, r.width) for r in sheet.offcuts] == [(1006, 108)]
    assert len(sheet.cuts) == 8
