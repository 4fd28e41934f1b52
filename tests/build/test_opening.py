"""What opens: about which edge, how far, into what, and how it is drawn."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

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
