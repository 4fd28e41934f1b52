"""Rough sizes, glue-ups, battens and banding in the lists and in the procedure, checked by hand arithmetic."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from fractions import Fraction

import pytest

from plandoc.geometry.bodies import FACES
from plandoc.model.entities import Feature, Step
from plandoc.publish.packetlists import parts_csv, stock_csv
from plandoc.quantity import FOOT, INCH
from plandoc.sheets.listsheets import parts_note
from plandoc.shopwork.buying import to_buy
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.partslist import parts_list, stock_list
from plandoc.shopwork.procedure import procedure, uncovered
from plandoc.shopwork.setups import setups
from plandoc.shopwork.strips import layout_note
from tests.support.bench_model import bench
from tests.support.resolving import resolved


def test_parts_list_with_a_second_set_of_sizes() -> None:
    rows = {row.name: row for row in parts_list(bench())}
    seat, leg, apron, shelf = rows["Seat"], rows["Leg 1–2"], rows["Apron"], rows["Shelf"]
    assert (seat.length, seat.width, seat.thickness) == (48 * INCH, 15 * INCH, INCH)
    assert (seat.rough_length, seat.rough_width, seat.rough_thickness) == (Fraction("48.5") * INCH, Fraction("15.25") * INCH, Fraction("1.25") * INCH)
    # three boards of 5: the outer ones and 1/16 + 1/8, the inner one and 2/16
    assert [(b.count, b.width / INCH, b.length / INCH) for b in seat.boards] == [(2, Fraction("5.1875"), Fraction("48.5")), (1, Fraction("5.125"), Fraction("48.5"))]
    assert seat.board_feet == Fraction("1.25") * Fraction("15.5") * Fraction("48.5") / 144
    assert (leg.count, leg.rough_length, leg.rough_width) == (2, Fraction("17.5") * INCH, Fraction("3.5") * INCH)
    assert leg.board_feet is None and leg.boards == ()
    assert apron.length == (48 - 2 - 2 * Fraction("1.5")) * INCH
    assert apron.board_feet == Fraction("43.5") * Fraction("4.25") / 144
    assert shelf.rough_length is None and shelf.board_feet is None


def test_stock_list_orders_rough_quantities() -> None:
    ash, oak, stud, ply = stock_list(bench())
    assert ash.board_feet == Fraction("1.25") * Fraction("15.5") * Fraction("48.5") / 144
    assert ash.board_feet is not None and ash.cost == 6 * ash.board_feet
    assert (ash.pieces, ash.rough_pieces, ash.run, ash.rough_run) == (1, 3, 48 * INCH, 3 * Fraction("48.5") * INCH)
    assert (stud.kind, stud.run, stud.rough_run) == ("batten", 34 * INCH, 35 * INCH)
    assert stud.cost == Fraction("0.80") * 35 * INCH / FOOT
    assert (ply.area, ply.rough_area, ply.rough_pieces) == (43 * 12 * INCH**2, None, None)
    assert (oak.rough_pieces, oak.board_feet) == (1, Fraction("43.5") * Fraction("4.25") / 144)


def test_csv_has_the_rough_columns_only_where_there_is_something_in_them() -> None:
    model = bench()
    rows = list(csv.DictReader(io.StringIO(parts_csv(parts_list(model), model.info.units))))
    assert rows[0]["rough_length"] == '48 1/2"' and rows[0]["rough_thickness"] == '1 1/4"'
    assert rows[0]["boards"] == '2 of 5 3/16" x 48 1/2"; 1 of 5 1/8" x 48 1/2"'
    assert rows[0]["board_feet"] == "6.526" and rows[3]["board_feet"] == rows[3]["rough_length_mm"] == ""
    stock = list(csv.DictReader(io.StringIO(stock_csv(stock_list(model), model.info.units))))
    assert stock[0]["boards_to_hand"] == 'random 4" to 6" x 72" to 96"' and stock[0]["rack"] == '2 of 5" x 30"'
    assert stock[3]["faces"] == "good one side" and stock[0]["rough_pieces"] == "3" and "rough_area_m2" not in stock[0]
    plain = resolved('plan "Plain"\nstock ply sheet 48" x 96"\n  called 1/2"\npart a from ply\n  size 10" x 3"\n').model
    assert parts_csv(parts_list(plain), plain.info.units).split("\n")[0].endswith("weight_kg,paths")
    assert stock_csv(stock_list(plain), plain.info.units).split("\n")[0].endswith("price_unit,cost")


def test_banding_is_listed_by_the_edges_that_take_it() -> None:
    model = bench()
    bands = (Feature("b1", "edge band", FACES["front"], mate="tape"), Feature("b2", "edge band", FACES["left"], mate="tape"))
    parts = tuple(replace(p, features=bands) if p.path == "shelf" else p for p in model.parts)
    tape = stock_list(replace(model, parts=parts))[-1]
    # the front edge of 43 and the left one of 12 in, each 1/2 in longer for trimming
    assert (tape.stock, tape.pieces, tape.run, tape.rough_run) == ("tape", 2, 55 * INCH, 56 * INCH)
    assert tape.cost == Fraction("0.50") * 56 / 12
    assert [row.stock for row in stock_list(model)] == ["ash", "oak", "stud", "ply"]


# The procedure ----------------------------------------------------------------------------------------------------------


def titles(steps: tuple[Step, ...]) -> list[str]:
    return [step.title for step in steps]


def test_boards_are_glued_up_before_the_panel_is_cut() -> None:
    model = bench()
    steps = procedure(model)
    assert titles(steps)[:2] == ["Glue up the panels of 5/4 White ash", "Cut the panels of 5/4 White ash to size"]
    glue, cut = steps[0], steps[1]
    assert {"jointing", "planing", "gluing_up_panel"} <= set(glue.kinds) and "gluing_up_panel" not in cut.kinds
    assert 'Seat (A): 3 boards, 48 1/2" long; 2 of 5 3/16", 1 of 5 1/8" wide.' in glue.texts
    assert any("rings up and down in turn" in text for text in glue.texts) and any('1/8"' in text for text in glue.texts)
    assert glue.waits and any("clamps" in caution.casefold() for caution in glue.cautions)
    assert cut.cuts == ("seat",) and any('48" long, 15" wide' in text for text in cut.texts)
    assert not uncovered(model, steps)


def test_rough_cut_then_finish_cut() -> None:
    (apron,) = [s for s in procedure(bench()) if s.title == "Cut the parts of 4/4 White oak"]
    rough = apron.texts.index('Apron (C), 1 piece: 43 1/2" long, 4 1/4" wide.')
    finish = apron.texts.index('Apron (C): 1 piece, 43" long, 4" wide.')
    assert rough < apron.texts.index("Then the finish cut:") < finish
    (legs,) = [s for s in procedure(bench()) if s.title == "Cut the parts of 2 × 4 Spruce"]
    assert 'Leg 1–2 (B): 2 pieces, 17" long.' in legs.texts and legs.kinds == ("crosscut",)
    (shelf,) = [s for s in procedure(bench()) if "plywood" in s.title]
    assert not any("ough cut" in text for text in shelf.texts) and any(check.startswith("Faces: good one side") for check in shelf.checks)


@pytest.mark.parametrize(
    ("step", "first"),
    [
        ('step "Cut the seat"\n  cuts seat\n  do Cut it square.\n', ["Glue up the panels of 5/4 White ash", "Cut the seat"]),
        ('step "Make the seat"\n  cuts seat\n  do Glue the boards, then cut it square.\n', ["Make the seat"]),
    ],
)
def test_an_author_may_cut_the_panel_or_glue_it_himself(step: str, first: list[str]) -> None:
    found = titles(procedure(bench(step)))
    places = [found.index(title) for title in first]
    assert places == sorted(places)
    assert ("Glue up the panels of 5/4 White ash" in found) == (len(first) == 2)


SEAT = 'plan "Seat"\n  units mm\nstock beech lumber 25 mm "Beech, rough sawn"\n  dressed 20 mm\n  boards 250 mm x 2000 mm\npart seat from beech "Seat"\n  grain across\n  across from 0 to 300 mm\n  back from 0 to 150 mm\n  up from 0\n  pocket round 44 mm deep 8 mm on top at 60 mm, 60 mm\n'


def test_a_part_that_is_cut_out_of_a_larger_blank_has_it_as_rough_size_everywhere() -> None:
    """A bit of 6, 4 more and 25 for the clamps: 35 on every side."""
    model = resolved(SEAT + "routed seat with bit 6 mm on top\n  larger blank\n").model
    (row,) = parts_list(model)
    assert (row.length, row.width, row.rough_length, row.rough_width) == (300, 150, 370, 220)
    (laid,) = layouts(model)
    assert laid.sheets is not None and [(p.length, p.width) for s in laid.sheets.sheets for p in s.placed] == [(370, 220)]
    (step,) = [s for s in procedure(model) if s.cuts]
    assert "Seat (A): 1 blank, 370 mm long, 220 mm wide. It stays so large for the clamps, until the router cuts the part out: see its routing set-up." in step.texts
    assert not any("300 mm" in text for text in step.texts)
    assert {s.setting.fence for s in setups(model).setups if all(c.feature in ("length", "width") for c in s.cuts)} == {(Fraction(370),), (Fraction(220),)}
    (stock,) = stock_list(model)
    assert stock.rough_run == 370


def test_a_blank_wider_than_the_boards_to_hand_is_told() -> None:
    outcome = resolved(SEAT.replace("250 mm x", "200 mm x") + "routed seat with bit 6 mm on top\n  larger blank\n")
    assert [d.code for d in outcome.diagnostics] == ["PD420"] and "out of a blank that clamps hold" in outcome.report
    assert not resolved(SEAT.replace("250 mm x", "200 mm x") + "routed seat with bit 6 mm on top\n").diagnostics


def test_more_allowance_than_the_blank_takes_stays_and_clamps_of_the_plan_count() -> None:
    (part,) = resolved(SEAT.replace("  pocket", "  allowance long 100 mm, wide 10 mm\n  pocket") + "routed seat with bits 6 mm, 8 mm on top\n  larger blank\n  clamps 20 mm at left, right\n").model.parts
    assert (part.allowance.long, part.allowance.wide) == (100, 2 * (8 + 4 + 20))


def test_the_volume_to_buy_counts_thin_wood_as_thick_as_it_is() -> None:
    """600 x 80 mm of wood 20 mm rough: 0.00096 m3; as if it were an inch thick it would be more than 0.001."""
    text = 'plan "Slip"\n  units mm to 0.5\nstock lime lumber 20 mm "Lime"\n  dressed 16 mm\npart slip from lime\n  size 600 mm x 80 mm\n'
    outcome = resolved(text)
    assert [row.takes for row in to_buy(outcome.model)] == ["0.001 m³ of 20 rough"]


PANEL = SEAT.replace("up from 0\n", "up from 0\n  glued from 2 boards jointing 3 mm\n").replace("300 mm", "320 mm")


def test_boards_of_a_short_panel_are_as_long_as_the_planer_takes() -> None:
    """The assumed planer takes 350: so long stay the boards until the panel is planed."""
    model = resolved(PANEL).model
    (row,) = parts_list(model)
    assert row.length == 320 and [(b.count, b.length, b.width) for b in row.boards] == [(2, 350, Fraction("76.5"))]
    glue, cut = [s for s in procedure(model) if s.cuts or "Glue up" in s.title]
    assert any("2 boards, 350 mm long" in t and "no less than 350 mm: the panel is cut to 320 mm" in t for t in glue.texts)
    assert not any("longer blank" in line for line in (*glue.choices, *cut.choices))
    (long,) = resolved(PANEL.replace("320 mm", "360 mm")).model.parts
    assert long.rough_length == 360
    hand = {"trial.plan": PANEL.replace("units mm", 'units mm\n  shop "hand.shop"'), "hand.shop": 'shop "Hand"\n  sander "Sander"\n'}
    assert resolved(hand).model.parts[0].rough_length == 320


def test_machine_lines_of_boards_stand_where_the_boards_are_made_those_of_the_panel_at_the_panel() -> None:
    glue, cut = [s for s in procedure(resolved(PANEL.replace("150 mm\n", "200 mm\n")).model) if s.cuts or "Glue up" in s.title]
    assert any(line.startswith("Crosscut: ") and "mitre saw" in line for line in glue.choices) and "mitre saw" in glue.tools
    assert any(line.startswith("Rip: ") and "101.5 mm" in line for line in glue.choices)
    assert any(line.startswith("Joint: jointer, a face of 101.5 mm") for line in glue.choices)
    assert not any("101.5" in line for line in cut.choices)
    assert any(line.startswith("Flatten the panels: planer") and "a face of 200 mm is more than its 150 mm" in line for line in cut.choices)
    assert any(line.startswith("Rip: ") and "200 mm" in line for line in cut.choices)
    assert glue.texts[0] == "Cut the boards out in the order of the cutting layout of 25 mm Beech, rough sawn."


def test_lumber_without_an_allowance_is_worked_in_strips_and_says_so() -> None:
    """The assumed planer takes 350, the part is 90 long; what has an allowance is cut as it is laid out."""
    bare = resolved(SEAT.replace("300 mm", "90 mm")).model
    (step,) = [s for s in procedure(bare) if s.cuts]
    said = next(t for t in step.texts if "laid out at finished size" in t)
    assert "strips of at least 350 mm" in said and "the cutting layout of 25 mm Beech, rough sawn" in said
    assert layout_note(bare).startswith(" The plan names no allowance for A: they are laid out at finished size.") and "350 mm" in layout_note(bare)
    spared = resolved(SEAT.replace("  pocket", "  allowance long 10 mm, wide 5 mm\n  pocket")).model
    (step,) = [s for s in procedure(spared) if s.cuts]
    assert step.texts[:2] == ("The boards are laid out: see the cutting layout of 25 mm Beech, rough sawn.", "Rough cut, with the trimming allowance:") and layout_note(spared) == ""


def test_what_has_no_spare_is_named_beside_parts_that_have_a_rough_size() -> None:
    two = PANEL.replace("320 mm", "360 mm") + SEAT[SEAT.index("part seat") :].replace("seat", "rail").replace("0 to 150", "200 mm to 250")
    assert parts_note(resolved(two).model).count("No spare is named for A, B: leave what trimming takes.") == 1
    assert "No spare" not in parts_note(resolved(SEAT.replace("  pocket", "  allowance long 10 mm, wide 5 mm\n  pocket")).model)
