"""Toe base, shelves on pins and French cleat: sizes worked out by hand, in inches and millimetres, turned and mirrored."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.build.solids import part_solid
from tests.support.library_plans import INCH_HEAD, MM_HEAD, WAYS, cased, compiled, inch, inch_size, part, size
from tests.support.resolving import resolved

BASE = 'include "library/toe_base.plan"\nplace toe_base\n  stock = birch\n  wide = {wide}\n  deep = {deep}\n  fastener = {screw}\n'


def lines(way: str) -> str:
    return f"  {way}\n" if way else ""


@pytest.mark.parametrize("way", WAYS)
def test_toe_base(way: str) -> None:
    base = compiled(INCH_HEAD + BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in") + lines(way))
    assert inch_size(base, "front_rail") == inch_size(base, "rear_rail") == (30, inch("3 1/2"))
    # 16 - 3 - 2 x 23/32; 30 in takes three cross pieces, none more than 24 in apart.
    assert [inch_size(base, f"cross[{i}]") for i in (1, 2, 3)] == [(inch("11 9/16"), inch("3 1/2"))] * 3
    assert not [p for p in base.model.parts if p.path.endswith("cross[4]")]
    metric = compiled(MM_HEAD + BASE.format(wide="600 mm", deep="560 mm", screw="screw_no8_50") + "  high = 100 mm\n  toe = 50 mm\n  inset = 20 mm\n  gap = 10 mm\n" + lines(way))
    # 600 - 2 x 20; 560 - 50 - 10 - 36. 560 mm are less than 24 in: two cross pieces.
    assert size(metric, "front_rail") == (560, 100)
    assert [size(metric, f"cross[{i}]") for i in (1, 2)] == [(464, 100)] * 2
    assert not [p for p in metric.model.parts if p.path.endswith("cross[3]")]


def test_the_front_of_the_base_stands_back() -> None:
    base = compiled(INCH_HEAD + BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in"))
    assert part(base, "front_rail").box.lo[1] == 3 * Fraction(254, 10)
    assert part(base, "rear_rail").box.hi[1] == 16 * Fraction(254, 10)
    left, right = part(base, "cross[1]"), part(base, "cross[3]")
    assert left.box.lo[0] == 0 and right.box.hi[0] == 30 * Fraction(254, 10)


SHELVES = "place adjustable_shelves\n  left_case = left_side\n  right_case = right_side\n  stock = birch\n  pin = {pin}\n  deep = {deep}\n{more}"
SHELVES_INCLUDE = 'include "library/adjustable_shelves.plan"\n'


@pytest.mark.parametrize("way", WAYS)
def test_shelves_on_pins(way: str) -> None:
    shelves = compiled(INCH_HEAD + SHELVES_INCLUDE + cased(SHELVES.format(pin="shelf_pin_1_4_in", deep='12"', more=""), '24"', '14"', '30"', way))
    # 24 - 2 x 23/32 - 2 x 1/16.
    assert inch_size(shelves, "shelf[1]") == (inch("22 7/16"), 12)
    metric = compiled(MM_HEAD + SHELVES_INCLUDE + cased(SHELVES.format(pin="shelf_pin_5", deep="290 mm", more="  on = [3, 10]\n  first = 130 mm\n  step = 32 mm\n  row_in = 37 mm\n"), "500 mm", "320 mm", "700 mm", way))
    # 464 - 2 x 1.5.
    assert size(metric, "shelf[1]") == size(metric, "shelf[2]") == (461, 290)
    (pins,) = metric.model.fittings
    assert pins.quantity == 8  # four a shelf
    for side in ("left_side", "right_side"):
        assert len([f for f in part(metric, side).features if "hole" in f.kind and f.diameter == 5]) == 24  # two rows of 12


def test_shelf_and_rows_stand_where_they_are_said_to() -> None:
    shelves = compiled(MM_HEAD + SHELVES_INCLUDE + cased(SHELVES.format(pin="shelf_pin_5", deep="290 mm", more="  on = [3, 10]\n  first = 130 mm\n  step = 32 mm\n  row_in = 37 mm\n  front_in = 5 mm\n"), "500 mm", "320 mm", "700 mm"))
    # On the third hole: 130 + 2 x 32, and half of the pin's 5 mm.
    assert part(shelves, "shelf[1]").box.lo == (Fraction("19.5"), 5, Fraction("196.5"))
    assert part(shelves, "shelf[2]").box.lo[2] == Fraction("420.5")
    left, right = ([f.centre for f in part(shelves, side).features if f.diameter == 5] for side in ("left_side", "right_side"))
    assert {c[1] for c in left if c} == {c[1] for c in right if c} == {5 + 37, 5 + 290 - 37}  # from the edges of the shelf, which begins 5 mm behind the front
    assert {c[2] for c in left if c} == {c[2] for c in right if c} == {130 + 32 * i for i in range(12)}


CLEAT = "place french_cleat\n  case_back = back_board\n  stock = birch\n  case_screw = {case}\n  wall_screw = {wall}\n"
CLEAT_INCLUDE = 'include "library/french_cleat.plan"\n'
INCH_CLEAT = CLEAT.format(case="screw_no8_1_1_4_in", wall="screw_no10_3_in")


@pytest.mark.parametrize("way", WAYS)
def test_french_cleat(way: str) -> None:
    cleat = compiled(INCH_HEAD + CLEAT_INCLUDE + cased(INCH_CLEAT, '24"', '12"', '30"', way))
    # The back board is 24 - 2 x 23/32 = 22 9/16 wide, the strips 1 in less at each end.
    for name in ("case_strip", "wall_strip"):
        assert inch_size(cleat, name) == (inch("20 9/16"), 3)
    assert inch_size(cleat, "stand_off") == (inch("20 9/16"), inch("1 1/2"))
    # The slopes meet: no wood in common, and together as much as one strip twice less its wedge of thickness squared / 2.
    upper, lower = part(cleat, "case_strip"), part(cleat, "wall_strip")
    first, second = part_solid(upper), part_solid(lower)
    assert first.common_volume(second) < 1e-3
    thick, long = float(upper.thickness), float(upper.length)
    wedge = thick * thick / 2 * long
    holes = sum(3.14159265 / 4 * float(f.diameter) ** 2 * float(upper.thickness) for f in lower.features if f.kind == "hole" and f.diameter)
    assert len([f for f in lower.features if f.kind == "hole"]) == 2  # 16 in apart in 20 9/16 in
    assert second.volume == pytest.approx(3 * 25.4 * thick * long - wedge - holes, rel=1e-3)
    whole = upper.box.union(lower.box)
    metric = compiled(MM_HEAD + CLEAT_INCLUDE + cased(CLEAT.format(case="screw_no8_30", wall="screw_no10_80") + "  high = 80 mm\n  stud_step = 400 mm\n", "600 mm", "320 mm", "700 mm", way))
    # 564 - 2 x 25.5: 1 in is 25.5 in steps of half a millimetre.
    assert size(metric, "case_strip") == (513, 80)
    axis = upper.thickness_axis
    assert whole.size(axis) == upper.thickness  # both lie in one layer, between case and wall


def test_the_cleat_hooks_behind_the_wall_strip() -> None:
    """The wall strip is higher at the case, so the case strip drops behind it and cannot come forward."""
    cleat = compiled(INCH_HEAD + CLEAT_INCLUDE + cased(INCH_CLEAT, '24"', '12"', '30"'))
    upper, lower, board = part(cleat, "case_strip"), part(cleat, "wall_strip"), part(cleat, "back_board")
    assert upper.box.lo[1] == lower.box.lo[1] == board.box.hi[1]
    # The boxes overlap by one thickness in height, since the slope is 45 degrees.
    assert lower.box.hi[2] - upper.box.lo[2] == upper.thickness
    moved = part_solid(upper).moved(0.0, -1.0, 0.0)
    assert moved.common_volume(part_solid(lower)) > 1  # to the front it meets wood
    lifted = part_solid(upper).moved(0.0, 0.0, 40.0)
    assert lifted.common_volume(part_solid(lower)) < 1e-3  # it comes off upwards


def test_a_base_that_is_not_as_deep_as_its_toe_room_is_told() -> None:
    text = INCH_HEAD + BASE.format(wide='30"', deep='4"', screw="screw_no8_2_in")
    faults = resolved(text).diagnostics
    assert {f.code for f in faults} == {"PD306"} and "toe_base.cross[1]" in faults[0].message


LIMITS = [
    (BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in"), "crosses = 1", "crosses_is_a_whole_number_from_2"),
    (BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in"), "crosses = 2.5", "crosses_is_a_whole_number_from_2"),
    (BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in"), 'toe = -1"', "toe_inset_and_gap_are_not_less_than_nothing"),
    (BASE.format(wide='30"', deep='16"', screw="screw_no8_2_in"), 'inset = -1"', "toe_inset_and_gap_are_not_less_than_nothing"),
    (INCH_CLEAT, 'high = 1 1/2"', "high_is_at_least_twice_the_stock_and_a_hole"),
    (INCH_CLEAT, 'wide = 23"', "wide_is_not_more_than_case_back_across"),
    (INCH_CLEAT, 'stud_step = 0"', "stud_step_is_at_least_1_in"),
]


@pytest.mark.parametrize(("text", "value", "said"), LIMITS)
def test_values_that_cannot_be_are_told(text: str, value: str, said: str) -> None:
    lines = text + f"  {value}\n"
    plan = INCH_HEAD + lines if text.startswith("include") else INCH_HEAD + CLEAT_INCLUDE + cased(lines, '24"', '12"', '30"')
    outcome = resolved(plan)
    assert outcome.codes == ["PD201"] and f"`{said}`" in outcome.report, outcome.report


def test_a_cleat_on_one_stud_has_one_hole_in_its_middle() -> None:
    """22 9/16 - 2 are less than 30 in: one stud."""
    cleat = compiled(INCH_HEAD + CLEAT_INCLUDE + cased(INCH_CLEAT + '  stud_step = 30"\n', '24"', '12"', '30"'))
    (hole,) = [f for f in part(cleat, "wall_strip").features if f.kind == "hole"]
    assert hole.centre is not None and hole.centre[0] == 12 * Fraction(254, 10)
