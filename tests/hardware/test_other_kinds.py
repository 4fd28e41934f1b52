"""Shelf pins, feet, casters, brackets, catches, hooks, knobs: holes worked out by hand (mm)."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import Box
from tests.support.resolving import Outcome, faulty, inches, sound

CASE = """
part left_side from ply
  grain  up
  across from 0
  back   from 0 to 300 mm
  up     from 100 mm to 700 mm
part right_side mirrors left_side about 300 mm
part shelf from ply
  grain  across
  across between left_side and right_side
  back   from 0 to 300 mm
  up     from 100 mm
part door from ply
  grain  up
  across from 2 mm to 298 mm
  back   to 0
  up     from 100 mm to 700 mm
"""


def spots(outcome: Outcome, path: str, kind: str = "hole") -> list[tuple[F, ...]]:
    return sorted(f.centre for f in outcome.model.part(path).features if f.kind == kind and f.centre is not None)


def test_rows_for_shelf_pins_are_level_in_both_sides() -> None:
    outcome = sound(CASE + "hardware pin5 shelf_pin bore 5 mm deep 10 mm\nfit pin5 on left_side, right_side at (37 mm, 100 mm), (250 mm, 100 mm) row 3\n")
    for path, plane, face in (("left_side", 18, "right"), ("right_side", 582, "left")):
        assert spots(outcome, path, "pin hole") == [(plane, y, z) for y in (37, 250) for z in (200, 232, 264)]
        holes = outcome.model.part(path).features
        assert {(f.diameter, f.depth, f.face.name if f.face else "") for f in holes} == {(5, 10, face)}
        assert len({f.row for f in holes}) == 1
    assert outcome.model.fittings[0].quantity == 4


def test_rows_may_step_otherwise_and_run_down() -> None:
    text = CASE + 'hardware pin_in shelf_pin bore 1/4" deep 3/8"\nfit pin_in on left_side, right_side at 2", 4" from top row 2 every 1 1/2" count 8\n'
    outcome = sound(text, warnings=("PD454",))
    top = 700 - inches("4")
    assert spots(outcome, "left_side", "pin hole") == [(18, inches("2"), top - inches("1 1/2")), (18, inches("2"), top)]
    assert outcome.model.fittings[0].quantity == 8
    # On one part alone the face must be said.
    assert [d.code for d in faulty(CASE + "hardware pin5 shelf_pin bore 5 mm deep 10 mm\nfit pin5 on left_side at 37 mm, 100 mm\n")] == ["PD319"]
    outcome = sound(CASE + "hardware pin5 shelf_pin bore 5 mm deep 10 mm\nfit pin5 on left_side at 37 mm, 100 mm facing left\n")
    assert spots(outcome, "left_side", "pin hole") == [(0, 37, 200)]
    # One hole takes one pin.
    assert outcome.model.fittings[0].quantity == 1


@pytest.mark.parametrize(("line", "code"), [
    ("at 37 mm, 500 mm row 10", "PD330"),
    ("at 37 mm, 100 mm row 2 along across", "PD333"),
])  # fmt: skip
def test_rows_that_cannot_be(line: str, code: str) -> None:
    assert [d.code for d in faulty(CASE + f"hardware pin5 shelf_pin bore 5 mm deep 10 mm\nfit pin5 on left_side, right_side {line}\n")] == [code]


def test_levellers_at_the_corners() -> None:
    outcome = sound(CASE + "hardware foot leveller bore 11 mm deep 13 mm high 20 mm foot 30 mm\nfit foot on shelf inset 40 mm\n")
    # Between its shoulders the shelf reaches from 18 to 582 and from 0 to 300.
    assert spots(outcome, "shelf") == [(58, 40, 100), (58, 260, 100), (542, 40, 100), (542, 260, 100)]
    (fitting,) = outcome.model.fittings
    assert fitting.quantity == 4 and fitting.rooms[0] == Box((43, 25, 80), (73, 55, 100))
    assert [d.code for d in faulty(CASE + "hardware foot leveller bore 11 mm deep 13 mm high 20 mm\nfit foot on shelf\n")] == ["PD319"]


def test_casters() -> None:
    wheel = "hardware wheel caster high 70 mm plate 60 mm x 50 mm spaced 45 mm x 35 mm swing 52 mm pilot 3 mm screws 4\n"
    outcome = sound(CASE + wheel + "fit wheel on shelf at (62 mm, 60 mm)\n")
    # Middle at 18 + 62 and 60; screws 22.5 and 17.5 to each side.
    assert spots(outcome, "shelf") == [(F(115, 2), F(85, 2), 100), (F(115, 2), F(155, 2), 100), (F(205, 2), F(85, 2), 100), (F(205, 2), F(155, 2), 100)]
    assert {(f.depth, f.diameter, f.face.name if f.face else "") for f in outcome.model.part("shelf").features} == {(10, 3, "bottom")}
    assert outcome.model.fittings[0].box == Box((28, 8, 30), (132, 112, 100))
    outcome = sound(CASE + wheel + "fit wheel on shelf at (62 mm, 60 mm) along back\n")
    assert spots(outcome, "shelf")[0] == (80 - F(35, 2), 60 - F(45, 2), 100)
    (fault,) = faulty(CASE + wheel + "fit wheel on shelf inset 20 mm\n")
    assert fault.code == "PD330" and "reaches 10 mm over an edge of `shelf`" in fault.message
    # Its total height is a value, to stand the piece on.
    assert sound(wheel + CASE + "set floor = shelf.bottom - wheel.high\nset each = wheel.screws\n").value("floor") == "30 mm"


def test_corner_brackets_drill_both_parts() -> None:
    angle = "hardware angle bracket legs 40 mm x 40 mm broad 15 mm holes 12 mm, 30 mm pilot 2 mm screws 4\n"
    outcome = sound(CASE + angle + "fit angle on shelf, left_side, shelf, right_side facing top at 50 mm, 250 mm\n")
    # On the shelf's top at 118, 12 and 30 from the side; on the side 12 and 30 above the shelf.
    assert spots(outcome, "shelf") == [(x, y, 118) for x in (30, 48, 552, 570) for y in (50, 250)]
    assert spots(outcome, "left_side") == [(18, y, z) for y in (50, 250) for z in (130, 148)]
    assert spots(outcome, "right_side") == [(582, y, z) for y in (50, 250) for z in (130, 148)]
    assert outcome.model.fittings[0].quantity == 4
    assert outcome.model.fittings[0].rooms[0] == Box((18, F(85, 2), 118), (58, F(115, 2), 120))
    assert [d.code for d in faulty(CASE + angle + "fit angle on left_side, right_side facing top at 50 mm\n")] == ["PD318"]
    # Beside the shelf's end, but behind it: there is no corner.
    far = "part far_side from ply\n  grain up\n  across from shelf.right\n  back from 400 mm to 500 mm\n  up from 100 mm to 700 mm\n"
    assert [d.code for d in faulty(CASE + far + angle + "fit angle on shelf, far_side facing top at 50 mm\n")] == ["PD318"]


def test_a_catch_drills_door_and_case() -> None:
    magnet = "hardware magnet catch spaced 32 mm set 12 mm high 7 mm pilot 2 mm screws 3\n"
    outcome = sound(CASE + magnet + "fit magnet on door, shelf at 60 mm\n")
    # 60 from the door's left edge at 2; the shelf lies below the door's middle, so its top face carries the catch.
    assert spots(outcome, "shelf") == [(46, 12, 118), (78, 12, 118)]
    assert spots(outcome, "door") == [(62, 0, 125)]
    outcome = sound(CASE + magnet + "fit magnet on door, left_side at 60 mm from top\n")
    assert spots(outcome, "left_side") == [(18, 12, 624), (18, 12, 656)]
    assert spots(outcome, "door") == [(25, 0, 640)]
    assert [d.code for d in faulty(CASE + magnet + "fit magnet on door, shelf at 60 mm facing front\n")] == ["PD332"]
    assert [d.code for d in faulty(CASE + magnet + "fit magnet on left_side, right_side at 60 mm\n")] == ["PD318"]


def test_hooks_hangers_and_knobs() -> None:
    text = CASE + "hardware peg hook spaced 32 mm screws 2\nhardware plate_1 hanger spaced 40 mm\nhardware cup_peg hook\nhardware ball knob\n"
    outcome = sound(text + "fit peg on left_side at (150 mm, 500 mm) facing left\n")
    assert spots(outcome, "left_side") == [(0, 150, 584), (0, 150, 616)]
    outcome = sound(text + "fit plate_1 on shelf at (100 mm, 9 mm) facing rear\n")
    assert spots(outcome, "shelf") == [(98, 300, 109), (138, 300, 109)]
    outcome = sound(text + "fit cup_peg on shelf at (100 mm, 50 mm), (200 mm, 50 mm) facing bottom\n")
    assert spots(outcome, "shelf") == [(118, 50, 100), (218, 50, 100)] and outcome.model.fittings[0].quantity == 2
    outcome = sound(text + "fit ball on door at 30 mm, 300 mm from right\n")
    assert spots(outcome, "door") == [(268, -18, 400)]
    assert all(f.through for f in outcome.model.part("door").features)


def test_a_pull_at_several_places() -> None:
    outcome = sound(CASE + "hardware grip pull bore 5 mm spaced 96 mm\nfit grip on door at (148 mm, 100 mm), (148 mm, 300 mm)\n")
    assert spots(outcome, "door") == [(102, -18, 200), (102, -18, 400), (198, -18, 200), (198, -18, 400)]
    assert outcome.model.fittings[0].quantity == 2


def test_mirrored_parts_get_mirrored_holes() -> None:
    """Holes are drilled where the line says; the figures of a mirror image start at its mirrored edge."""
    outcome = sound(CASE + "part door_2 mirrors door about 300 mm\nhardware ball knob\nfit ball on door at 30 mm, 300 mm from right\nfit ball on door_2 at 30 mm, 300 mm\n")
    (left,), (right,) = outcome.model.part("door").features, outcome.model.part("door_2").features
    assert left.centre is not None and right.centre is not None and left.centre[0] + right.centre[0] == 600
    assert sorted(g.hi - g.lo for g in left.figures) == sorted(g.hi - g.lo for g in right.figures)


def test_hole_words_say_what_the_hardware_is() -> None:
    """Its description up to the first comma, never the name that the plan gives it."""
    angle = 'hardware bracket_1_1_2_in bracket "Corner bracket, 1 1/2 in" legs 40 mm x 40 mm broad 15 mm holes 12 mm\n'
    outcome = sound(CASE + angle + "fit bracket_1_1_2_in on shelf, left_side facing top at 50 mm\n")
    assert {f.note for f in outcome.model.part("shelf").features} == {"pilot, corner bracket"}
    for head, said in (('"M8 foot, round"', "M8 foot"), ('"LED holder"', "LED holder"), ("", "leveller")):
        outcome = sound(CASE + f"hardware f_1 leveller {head} bore 11 mm deep 13 mm high 20 mm\nfit f_1 on shelf at 50 mm, 50 mm\n")
        assert {f.note for f in outcome.model.part("shelf").features} == {said}
