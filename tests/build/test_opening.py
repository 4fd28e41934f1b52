"""What opens: about which edge, how far, into what, and how it is drawn."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin
from textwrap import indent

import pytest

from plandoc.build.opening import opened_bodies
from plandoc.build.solids import solids
from plandoc.checks.opening import run
from plandoc.diagnostics import Sink
from plandoc.geometry.bodies import FACES
from plandoc.model.entities import Model
from plandoc.sheets.opened import view_of
from tests.support.resolving import resolved

CHEST = """
plan "Chest"
  units mm to 0.5
stock pine lumber 25 mm
  boards 450 mm x 2400 mm
  dressed 20 mm
part front_wall from pine
  grain across
  across from 0 to 600 mm
  back from 0
  up from 0 for 300 mm
part rear_wall from pine
  grain across
  across from 0 to 600 mm
  back from 380 mm
  up from 0 for 300 mm
part lid from pine
  grain across
  across from 0 to 600 mm
  back from 0 to 400 mm
  up from 300 mm
part door from pine
  grain up
  across from 700 mm for 300 mm
  back from 0
  up from 0 for 300 mm
"""


def model_of(text: str) -> Model:
    outcome = resolved(text)
    assert outcome.codes == [], outcome.report
    return outcome.model


def codes(text: str) -> list[str]:
    return resolved(text).codes


def test_a_lid_goes_up_about_its_rear_edge() -> None:
    model = model_of(CHEST + "swings lid 90° about rear\n")
    (motion,) = model.motions
    assert motion.face == FACES["top"] and motion.axis == 0
    assert motion.pivot is not None and motion.pivot[1:] == (400, 320)
    ((_, solid),) = opened_bodies(model, motion, solids(model))
    lo, hi = solid.bounds
    # stood up about its upper rear edge: its upper face looks to the rear at 400, its free edge is 400 higher
    assert lo[1:] == pytest.approx((380, 320)) and hi[1:] == pytest.approx((400, 720))


def test_a_lid_low_in_the_piece_goes_up_and_a_hatch_in_its_underside_down() -> None:
    """Beside the chest stands a post of 900, so that the lid lies below the middle of the whole."""
    post = CHEST + "part post from pine\n  grain up\n  across from 700 mm for 60 mm\n  back from 100 mm\n  up from {} mm to 900 mm\n"
    (motion,) = model_of(post.format(0) + "swings lid 90° about rear\n").motions
    assert motion.face == FACES["top"] and motion.pivot is not None and motion.pivot[2] == 320
    low = post.format(0).replace("up from 300 mm", "up to 0")
    (motion,) = model_of(low + "swings lid 90° about rear\n").motions
    assert motion.face == FACES["bottom"] and motion.pivot is not None and motion.pivot[2] == -20


@pytest.mark.parametrize(("hinge", "sign"), [("left", -1), ("right", 1)])
def test_a_door_comes_to_the_front(hinge: str, sign: int) -> None:
    model = model_of(CHEST + f"swings door 110° about {hinge} to front\n")
    (motion,) = model.motions
    ((_, solid),) = opened_bodies(model, motion, solids(model))
    # the far corner of the inner face: 300 from the hinge and 20 behind it, 110 degrees round
    assert solid.bounds[0][1] == pytest.approx(-300 * sin(radians(110)) + 20 * cos(radians(110)), abs=1e-4)
    free = 300 * cos(radians(110))
    at = 700 + free if hinge == "left" else 1000 - free
    assert any(abs(x - at) < 1e-4 and y < -280 for x, y, _ in solid.vertices.tolist())
    assert motion.swing * sign > 0


def test_a_mirrored_assembly_swings_the_other_way() -> None:
    text = """
plan "Pair"
  units mm to 0.5
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
assembly leaf
  part panel from ply
    grain up
    across from 0 for 300 mm
    back from 0
    up from 0 for 600 mm
  swings panel 100° about left to front
place leaf as leaf[1]
place leaf as leaf[2]
  mirrored across
  at across 600 mm
"""
    model = model_of(text)
    first, second = model.motions
    assert first.swing == -second.swing
    assert first.pivot is not None and second.pivot is not None
    assert (first.pivot[0], second.pivot[0]) == (0, 600)


def test_views_that_show_a_motion() -> None:
    model = model_of(CHEST + "swings lid 90° about rear\nswings door 90° about left to front\nopens front_wall to front 50 mm\nopens rear_wall to left 50 mm\n")
    assert [view_of(m) for m in model.motions] == ["right", "top", "right", "front"]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("swings lid 300° about rear", "PD263"),
        ("swings lid 0° about rear", "PD263"),
        ("swings lid 90° about rear to front", "PD263"),
        ("swings lid 90° about back", "PD219"),
        ("swings lid 90 about rear", "PD229"),
        ("swings pine 90° about rear", "PD204"),
    ],
)
def test_swings_that_cannot_be(line: str, code: str) -> None:
    assert codes(CHEST + line + "\n") == [code]


def blocked(text: str) -> list[str]:
    model, sink = model_of(text), Sink()
    run(model, solids(model), sink)
    return [d.message for d in sink.finish()]


def test_a_free_way_is_not_reported() -> None:
    assert blocked(CHEST + "swings lid 95° about rear\nswings door 110° about left to front\n") == []


def test_a_door_runs_into_a_post() -> None:
    post = """part post from pine
  grain up
  across from 780 mm for 60 mm
  back from -220 mm
  up from 0 for 200 mm
"""
    found = blocked(CHEST + post + "swings door 110° about left to front\n")
    assert len(found) == 1 and "door runs into post" in found[0]
    # hinged at the other side it goes free of it for as far as 45 degrees: sin 45 x 300 = 212 mm, so not to 90
    assert blocked(CHEST + post + "swings door 30° about right to front\n") == []


def test_a_drawer_that_comes_too_far() -> None:
    wall = """part stop from pine
  grain up
  across from 0 for 100 mm
  back from -200 mm
  up from 0 for 100 mm
"""
    assert blocked(CHEST + wall + "opens front_wall to front 150 mm\n") == []
    found = blocked(CHEST + wall + "opens front_wall to front 200 mm\n")
    assert len(found) == 1 and "front_wall runs into stop" in found[0]


def test_the_span_of_a_swing_is_exact() -> None:
    (motion,) = model_of(CHEST + "swings lid 82.5° about rear\n").motions
    assert abs(motion.swing) == Fraction(165, 2) and motion.travel == 400


LEANING = """
plan "Leaning"
  units mm to 0.5
stock pine lumber 25 mm
  dressed 20 mm
part back from pine
  grain up
  across from 0 to 300 mm
  back from 0
  up from 0 to 500 mm
  leans 30° to rear at bottom, front
part post from pine
  grain up
  across from 900 mm for 40 mm
  back from 0
  up from 0 for 500 mm
"""


def test_what_leans_slides_along_its_own_direction() -> None:
    model = model_of(LEANING + "opens back to front 100 mm\n")
    shut = solids(model)
    ((_, solid),) = opened_bodies(model, model.motions[0], shut)
    # its front looks to the front and up: 100 mm along that are 100 cos 30 forward and 100 sin 30 up
    for i, way in enumerate((0.0, -100 * cos(radians(30)), 100 * sin(radians(30)))):
        assert solid.bounds[0][i] - shut["back"].bounds[0][i] == pytest.approx(way, abs=1e-4)
        assert solid.bounds[1][i] - shut["back"].bounds[1][i] == pytest.approx(way, abs=1e-4)
    assert solid.volume == pytest.approx(shut["back"].volume)


def test_what_leans_turns_about_its_own_edge() -> None:
    model = model_of(LEANING + "swings back 60° about bottom to front\n")
    ((_, solid),) = opened_bodies(model, model.motions[0], solids(model))
    # 30 degrees to the rear and 60 to the front: its front edge at the bottom stays at 0, its top comes to 500 sin 30
    lo, hi = solid.bounds
    assert lo[1] == pytest.approx(-500 * sin(radians(30)), abs=1e-4)
    assert hi[2] == pytest.approx(500 * cos(radians(30)) + 20 * sin(radians(30)), abs=1e-4)
    assert lo[2] == pytest.approx(0, abs=1e-4) and hi[1] == pytest.approx(20 * cos(radians(30)), abs=1e-4)


def test_a_part_that_leans_within_an_assembly_that_swings() -> None:
    head, part, tail = LEANING.partition("part back from pine\n")
    own, post, rest = tail.partition("part post from pine\n")
    text = head + "assembly seat\n" + indent(part + own, "  ") + "place seat\n" + post + rest
    model = model_of(text + "swings seat 90° about left to front\n")
    (motion,) = model.motions
    # the assembly itself stands straight: it turns about the edge of the room that its leaning part takes
    assert motion.lean is None and motion.pivot is not None
    assert motion.pivot[0] == 0 and float(motion.pivot[1]) == pytest.approx(0, abs=1e-5)
    assert float(motion.travel) == 300
    ((_, solid),) = opened_bodies(model, motion, solids(model))
    deep = 500 * sin(radians(30)) + 20 * cos(radians(30))
    assert solid.bounds[0][1] == pytest.approx(-300, abs=1e-4) and solid.bounds[1][0] == pytest.approx(deep, abs=1e-4)


def test_the_view_of_what_leans_is_the_one_in_which_its_way_is_seen_best() -> None:
    slides = model_of(LEANING + "opens back to front 100 mm\n").motions[0]
    steep = model_of(LEANING.replace("30° to rear", "70° to right") + "opens back to left 100 mm\n").motions[0]
    turns = model_of(LEANING.replace("30° to rear", "60° to rear") + "swings back 60° about left to front\n").motions[0]
    # a left side that looks up by 70 degrees still goes in the plane of the front view; a hinge that lies nearly flat,
    # 60 degrees to the rear, is seen best along the depth
    assert [view_of(m) for m in (slides, steep, turns)] == ["right", "front", "front"]
