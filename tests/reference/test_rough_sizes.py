"""Rough sizes against the stock lists of published pieces that carry trimming allowances.

Source: H. H. Windsor (ed.), Mission Furniture: How to Make It, Popular Mechanics, Chicago: Part 1, 1909 (Project Gutenberg
23770), tabouret pp. 17-22; Part 2, 1910 (Project Gutenberg 23991), cedar chest pp. 79-84, child's dresser pp. 85-90. The
finished sizes are sums of the books' drawings, the rough ones stand in their lists. Width x length, inches.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.quantity import INCH
from plandoc.shopwork.partslist import parts_list, stock_list
from tests.support.resolving import inches, resolved

# Part 2: half an inch in length and width, but for oak surfaced on four sides, whose length alone carries it.
CHEST = '''plan "Cedar chest"
  allowance 1/2"
stock cedar lumber 7/8"
  dressed 7/8"
  boards  20" x 96"
stock oak lumber 4/4
  dressed 1"
stock oak4 lumber 4/4 "Oak, surfaced on four sides"
  dressed   1"
  allowance long 1/2"
part lid from cedar "Top and bottom" count 2
  size 34" x 14 1/4" + 2 * 7/8"
part side from cedar "Side" count 2
  size 34" x 18 3/8"
part end from cedar "End" count 2
  size 14 1/4" x 18 3/8"
part rim from oak4 "Lid rim, long" count 2
  size 34" + 2 * 1" x 1"
part short_rim from oak4 "Lid rim, short" count 2
  size 16" + 2 * 1" x 1"
part rail from oak "Hinge rail" count 2
  size 36" x 2"
part base from oak "Base" count 2
  size 36" x 2 3/4"
'''
CHEST_LIST = {
    "Top and bottom": ("16 1/2", "34 1/2"),
    "Side": ("18 7/8", "34 1/2"),
    "End": ("18 7/8", "14 3/4"),
    "Lid rim, long": ("1", "36 1/2"),
    "Lid rim, short": ("1", "18 1/2"),
    "Hinge rail": ("2 1/2", "36 1/2"),
    "Base": ("3 1/4", "36 1/2"),
}

# Part 1: half an inch in length, a quarter in width; the octagonal top half an inch both ways.
TABOURET = '''plan "Tabouret"
  allowance long 1/2", wide 1/4"
stock oak lumber 4/4
  dressed 7/8"
  boards  18" x 48"
part top from oak "Top"
  size 16 1/2" x 16 1/2"
  allowance 1/2"
part leg from oak "Leg" count 4
  size 4" + 7/8" + 10 5/8" + 2 1/2" x 4 1/2"
part low from oak "Lower stretcher" count 2
  size 2 * (5 1/2" + 7/16") + 2 * (7/8" + 1/2" + 5/16") x 1 1/2" + 2 * 1/2"
'''
TABOURET_LIST = {"Top": ("17", "17"), "Leg": ("4 3/4", "18 1/2"), "Lower stretcher": ("2 3/4", "15 3/4")}

# Part 2: mixed; rough stock a quarter in width and half an inch in length, posts half an inch in length, panels nothing.
DRESSER = '''plan "Child's dresser"
  allowance long 1/2", wide 1/4"
stock oak lumber 4/4
  dressed 7/8"
stock post_oak lumber 8/4
  dressed   1 1/2"
  allowance long 1/2"
stock walnut lumber 4/4
  dressed 3/4"
stock thin lumber 1/2"
  dressed   1/4"
  allowance none
part post from post_oak "Post" count 4
  size 4 * 7/8" + 3 * 4 3/4" + 1 1/4" x 1 1/2"
part front from walnut "Drawer front" count 3
  size 16 1/2" x 4 3/4"
part panel from thin "Side panel" count 2
  size 19" - 1 1/4" - 2 * 2" + 2 * 3/8" x 10 1/4" + 2 * 3/8"
part stretcher from oak "Front stretcher" count 4
  size 16 1/2" + 2 * 1/2" x 1 3/4"
  allowance none
'''
DRESSER_LIST = {
    "Post": ("1 1/2", "19 1/2"),
    "Drawer front": ("5", "17"),
    "Side panel": ("11", "14 1/2"),
    "Front stretcher": ("1 3/4", "17 1/2"),
}


@pytest.mark.parametrize(
    ("text", "listed"), [(CHEST, CHEST_LIST), (TABOURET, TABOURET_LIST), (DRESSER, DRESSER_LIST)], ids=["chest", "tabouret", "dresser"]
)
def test_rough_sizes_are_those_of_the_printed_list(text: str, listed: dict[str, tuple[str, str]]) -> None:
    outcome = resolved(text)
    assert not outcome.diagnostics, outcome.report
    rows = {row.name: row for row in parts_list(outcome.model)}
    assert set(rows) == set(listed)
    for name, (wide, long) in listed.items():
        row = rows[name]
        assert (row.rough_width or row.width, row.rough_length or row.length) == (inches(wide), inches(long)), name


def test_finished_sizes_stay_what_they_are() -> None:
    rows = {row.name: row for row in parts_list(resolved(CHEST).model)}
    assert (rows["Side"].width, rows["Side"].length) == (inches("18 3/8"), inches("34"))


def test_board_feet_count_rough_sizes_and_at_least_an_inch() -> None:
    """Board foot: 144 cubic inches, thinner stock than 1 in counts as 1 in (the last from memory)."""
    cedar = stock_list(resolved(CHEST).model)[0]
    by_hand = 2 * (Fraction(33, 2) * Fraction(69, 2) + Fraction(151, 8) * Fraction(69, 2) + Fraction(151, 8) * Fraction(59, 4)) / 144
    assert cedar.board_feet == by_hand


def test_published_boards_as_parts() -> None:
    """1 x 6 x 96 in is 4 board feet (a lumber yard's page); in 5/4 it counts 1.25 times."""
    text = 'plan "Boards"\nstock one lumber 4/4\nstock five lumber 5/4\n'
    text += 'part a from one\n  size 96" x 6"\npart b from five\n  size 96" x 5 3/4"\n  allowance wide 1/4"\n'
    rows = parts_list(resolved(text).model)
    assert [row.board_feet for row in rows] == [4, 5]
    assert rows[1].rough_width == 6 * INCH and rows[1].rough_thickness == Fraction(5, 4) * INCH
