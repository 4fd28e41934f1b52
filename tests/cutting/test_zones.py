"""Boards with zones that are not used, by hand, at random and against the independent checker."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Layouts, Part, Rest, Saw, Sheet, StockError, Zone, clear_boxes, walk
from plandoc.cutting.verify import faults_of
from plandoc.cutting.zones import cut_boards

PLAIN = Saw()


def checked(parts: list[Part], boards: list[Sheet], saw: Saw = PLAIN) -> Layouts:
    made = cut_boards(parts, boards, saw, 300)
    assert faults_of(made, parts, boards, saw) == []
    return made


def board(length: int, width: int, *zones: Zone, name: str = "b") -> Sheet:
    return Sheet(name, F(length), F(width), count=1, zones=zones)


KNOT = Zone("knot", F(450), F(20), F(30), F(20))


@pytest.mark.parametrize(("part", "left"), [
    (Part("a", F(450), F(100), 2), 0),  # one on each side of the knot
    (Part("a", F(451), F(100), 2), 1),
    (Part("a", F(521), F(100)), 1),
    (Part("a", F(520), F(100)), 0),
    (Part("a", F(1000), F(60)), 0),  # over the knot
    (Part("a", F(1000), F(61)), 1),
    (Part("a", F(1000), F(20), 4), 0),  # one below, three over it
])  # fmt: skip
def test_a_knot_is_cut_around(part: Part, left: int) -> None:
    made = checked([part], [board(1000, 100, KNOT)])
    assert sum(n for _, n in made.unplaced) == left


def test_the_kerf_falls_into_the_zone() -> None:
    """A part may end where the knot begins; beyond it the next begins at its end."""
    saw = Saw(kerf=F(3))
    made = checked([Part("a", F(450), F(100)), Part("b", F(520), F(100))], [board(1000, 100, KNOT)], saw)
    assert {(p.part, p.x) for p in made.sheets[0].placed} == {("a", 0), ("b", 480)}
    assert made.proved


def test_a_split_end_takes_its_length_off_the_board() -> None:
    split = Zone("split end", F(0), F(0), F(80), F(100))
    saw = Saw(kerf=F(3), trim=F(5))
    assert checked([Part("a", F(915), F(90))], [board(1000, 100, split)], saw).unplaced == ()
    assert checked([Part("a", F(916), F(90))], [board(1000, 100, split)], saw).unplaced == (("a", 1),)


def test_a_clear_board_is_taken_where_a_zone_leaves_no_room() -> None:
    long = [Part("a", F(900), F(100))]
    made = checked(long, [board(1000, 100, KNOT), board(1000, 100, name="c")])
    assert [s.sheet.name for s in made.sheets] == ["c"]
    both = checked([*long, Part("b", F(400), F(100), 2)], [board(1000, 100, KNOT), board(1000, 100, name="c")])
    assert {s.sheet.name: sorted(p.part for p in s.placed) for s in both.sheets} == {"b": ["b", "b"], "c": ["a"]}
    assert both.proved


def test_without_zones_nothing_is_different() -> None:
    parts, boards = [Part("a", F(300), F(40), 5)], [board(1000, 100), board(700, 60, name="c")]
    assert cut_boards(parts, boards, PLAIN, 300) == lay_out(parts, boards, PLAIN, work=300)


def test_an_offcut_with_a_zone_counts_by_its_clear_part() -> None:
    """500 of 1000 are left with the knot in it: 420 behind it are clear, 420 x 100 count as kept."""
    knot = Zone("knot", F(550), F(20), F(30), F(20))
    saw = Saw(keep_length=F(300), keep_width=F(80))
    made = checked([Part("a", F(500), F(100))], [board(1000, 100, knot)], saw)
    (rest,) = [n for n in walk(made.sheets[0].tree) if isinstance(n, Rest)]
    assert rest.keep and made.sheets[0].waste == 1000 * 100 - 500 * 100 - 420 * 100
    assert not checked([Part("a", F(500), F(100))], [board(1000, 100, knot)], replace(saw, keep_length=F(421))).sheets[0].offcuts


def test_clear_rectangles() -> None:
    box = (F(0), F(0), F(1000), F(100))
    assert clear_boxes(box, ()) == [box]
    assert clear_boxes(box, (KNOT,)) == [(0, 0, 450, 100), (480, 0, 520, 100), (0, 0, 1000, 20), (0, 40, 1000, 60)]
    assert clear_boxes(box, (Zone("all", F(-1), F(-1), F(2000), F(200)),)) == []


def test_a_zone_has_a_size() -> None:
    with pytest.raises(StockError, match="knot: width must be more than 0"):
        Zone("knot", F(1), F(1), F(1), F(0))


def test_the_checker_finds_a_part_over_a_zone() -> None:
    parts, plain = [Part("a", F(900), F(100))], [board(1000, 100)]
    made = cut_boards(parts, plain, PLAIN)
    knotty = board(1000, 100, KNOT)
    moved = replace(made, sheets=(replace(made.sheets[0], sheet=knotty),))
    assert any("lies over knot" in fault for fault in faults_of(moved, parts, [knotty], PLAIN))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.integers(5, 60), st.sampled_from([5, 8, 12]), st.integers(1, 4), st.booleans()), min_size=1, max_size=5),
    st.lists(st.tuples(st.integers(40, 100), st.integers(10, 30), st.lists(st.tuples(st.integers(0, 90), st.integers(0, 20), st.integers(1, 9), st.integers(1, 9)), max_size=3)), min_size=1, max_size=4),
    st.integers(0, 3),
)
def test_random_boards(parts: list[tuple[int, int, int, bool]], boards: list[tuple[int, int, list[tuple[int, int, int, int]]]], kerf: int) -> None:
    wanted = [Part(f"p{i}", F(a), F(b), n, turn) for i, (a, b, n, turn) in enumerate(parts)]
    stock = [board(a, b, *(Zone(f"z{n}", F(x), F(y), F(w), F(h)) for n, (x, y, w, h) in enumerate(zones)), name=f"b{i}") for i, (a, b, zones) in enumerate(boards)]
    saw = Saw(F(kerf), F(1), F(20), F(4))
    made = checked(wanted, stock, saw)
    assert made == cut_boards(wanted, stock, saw, 300)
