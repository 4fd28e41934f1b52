"""What to buy beside stock, weights, and times of steps, by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.publish.buyinglist import buying_rows
from plandoc.quantity import INCH
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.shopping import costs, glue_of, heaviest, shopping, surface, weight
from plandoc.shopwork.state import states
from plandoc.shopwork.worktimes import step_times
from plandoc.tables.consumables import abrasive_sheets, glue_with_loss, spare
from tests.shopwork.test_gluing import CASE, model, shelves
from tests.support.tray_model import tray_case


@pytest.mark.parametrize(("count", "more"), [(1, 2), (20, 2), (21, 3), (100, 10), (0, 0)])
def test_a_tenth_of_the_screws_is_spare_but_at_least_two(count: int, more: int) -> None:
    assert spare("screw", count) == more
    assert spare("hinge", count) == 0


def test_hardware_has_no_spare_and_its_price_counts_what_is_bought() -> None:
    rows = {row.item: row for row in shopping(tray_case())}
    assert (rows["runner"].buy, rows["runner"].spare) == ("1 pair", 0)
    assert (rows["pin"].needed, rows["pin"].spare, rows["pin"].buy, rows["pin"].cost) == ("6", 2, "8", Fraction("1.20"))
    assert (rows["screw No 8 × 30 mm"].buy, rows["screw No 8 × 30 mm"].cost) == ("4", None)


def test_glue_abrasives_and_finish_of_a_case_by_hand() -> None:
    made = model(shelves("4", "20"))
    # 72 in2 of joints x 0.006 in = 0.432 in3 = 0.24 fl oz (1.805 in3 each); half as much again: 0.36
    assert glue_of(made) == Fraction("0.432") * INCH**3
    assert glue_with_loss(glue_of(made)) == Fraction("0.648") * INCH**3
    rows = {row.item: row for row in shopping(made)}
    assert rows["glue"].needed == "0.3 fl oz in the joints; have 0.4 fl oz"
    # sides 2 x (30 x 12 + 30 x 3/4 + 12 x 3/4) each; shelves 19 1/4 long with their tongues
    side = 2 * (360 + Fraction(45, 2) + 9)
    shelf = 2 * (Fraction(77, 4) * 12 + Fraction(77, 4) * Fraction(3, 4) + 9)
    assert surface(made.parts) == 2 * (side + shelf) * INCH**2
    assert abrasive_sheets(surface(made.parts)) == 2 == rows["grit 150"].count  # 17.9 sq ft, 12 a sheet
    assert "grit 100" not in rows and "a coat" in rows["finish"].needed


def test_known_prices_are_summed_and_the_others_named() -> None:
    made = model(shelves("4").replace('  called 3/4"\n', '  called 3/4"\n  price 90 a sheet\n', 1))
    found = costs(made)
    assert found.known == 90
    assert found.open == ("Wood glue (the plan names none)", "abrasives", "Finish (the plan names none)")
    assert [row["kind"] for row in buying_rows(made)] == ["stock", "glue", "abrasive", "abrasive", "finish"]


def test_the_full_sheet_is_the_heaviest_to_lift() -> None:
    made = model(shelves("4"))
    steps = procedure(made)
    lift = heaviest(made, steps)
    # 48 x 96 x 3/4 in. of birch plywood at 670 kg/m3
    assert lift is not None and lift.step == 1 and lift.mass == 48 * 96 * Fraction(3, 4) * INCH**3 * 670 / 10**9
    mass = weight(made)
    assert mass is not None and mass < lift.mass


def test_times_of_steps_and_what_the_plan_sets() -> None:
    made = model(shelves("4", "20"))
    rows = {row.step.title: row for row in step_times(made, procedure(made))}
    dadoes = next(row for title, row in rows.items() if "dado" in title)
    assert dadoes.work == 4 * 3 + 12  # four dadoes and one set-up
    glue = next(row for title, row in rows.items() if title.startswith("Glue up"))
    assert glue.work == 4 * 1 + 10 + Fraction(4 * 25 + 72, 60) and glue.wait == 60
    own = model(shelves("4", "20").replace("units inch to 1/32\n", "units inch to 1/32\n  time dado 5\n  time dado_setup 30\n  time glue_held 45\n"))
    rows = {row.step.title: row for row in step_times(own, procedure(own))}
    assert next(row for title, row in rows.items() if "dado" in title).work == 50
    assert next(row for title, row in rows.items() if title.startswith("Glue up")).wait == 45
    assert CASE


def test_a_finish_that_is_put_on_nothing_has_no_coats() -> None:
    """The library names finishes of three coats; the plan puts none on."""
    bare, with_library = (model(text) for text in (shelves("4", "20"), shelves("4", "20").replace("part left", 'include "library/hardware.plan"\npart left', 1)))
    assert any(item.kind == "finish" and item.number("coats") for item in with_library.hardware)
    waits = [[(row.work, row.wait) for row in step_times(made, procedure(made))][-1] for made in (bare, with_library)]
    assert waits[0] == waits[1] and waits[0][1] == 8 * 60


def test_the_count_of_parts_is_that_of_the_parts_that_the_step_names() -> None:
    """Screws driven into parts that stand already bring none."""
    butt = 'part shelf from ply\n  across between left and right\n  back from 0 to 12"\n  up from 26"\njoint butt shelf into left, right with screw_no8_1_1_2_in every 4"\n'
    made = model(shelves("4", "20").replace("part left", 'include "library/hardware.plan"\npart left', 1) + butt)
    steps = procedure(made)
    for row, state in zip(step_times(made, steps), states(made, steps), strict=True):
        assert row.pieces == sum(made.part(path).count for path in state.new)
    assert {row.step.title: row.pieces for row in step_times(made, steps)}["Drive the screws"] == 0
