"""Tongue and groove, rabbet-dado, edge joints. Figures by hand, in mm; boards are 18 thick."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import body_box
from plandoc.model.entities import Figure
from tests.joints.test_channels import SIDES, shelf
from tests.joints.test_tenons import box, figures, one, room
from tests.support.fitting import gap
from tests.support.resolving import HEAD, faulty, resolved, sizes, sound

BOARDS = """
part board[1] from ply
  grain up
  across from 0 to 100 mm
  back from 0
  up from 0 to 500 mm
part board[2] from ply
  grain up
  across from 100 mm to 200 mm
  back from 0
  up from 0 to 500 mm
"""


def test_a_tongue_of_a_third_in_the_middle() -> None:
    model = sound(BOARDS + "joint tongue board[1] into board[2] deep 8 mm\n").model
    first, second = model.part("board[1]"), model.part("board[2]")
    assert room(one(first, "tongue")) == room(one(second, "groove")) == box(100, 6, 0, 108, 12, 500)
    assert sizes(first) == (500, 108, 18) and sizes(second) == (500, 100, 18)
    # Thickness and place from the front face on both, the tongue's length, the groove's depth.
    assert figures(one(first, "tongue")) == [(0, 100, 108, "size"), (1, 0, 6, "place"), (1, 6, 12, "size")]
    assert figures(one(second, "groove")) == [(0, 100, 108, "depth"), (1, 0, 6, "place"), (1, 6, 12, "size")]


@pytest.mark.parametrize(
    ("words", "tongue", "fit", "clearance"),
    [
        ("deep 8 mm", (6, 8), F(0), 0),
        ("deep 8 mm fit 0.2 mm", (6, 8), F(1, 5), 0),
        ("deep 8 mm clearance 1 mm", (6, 8), F(0), 1),
        ("deep 10 mm sized 5 mm set 4 mm fit 0.3 mm clearance 1.5 mm", (5, 10), F(3, 10), F(3, 2)),
    ],
)
def test_air_between_tongue_and_groove(words: str, tongue: tuple[int, int], fit: F, clearance: F) -> None:
    model = sound(BOARDS + f"joint tongue board[1] into board[2] {words}\n").model
    thick, long = tongue
    by_hand = ((thick + fit) * (long + clearance) - thick * long) * 500
    assert gap(model, model.joints[0]) == pytest.approx(float(by_hand), abs=1e-3)
    joint = model.joints[0]
    assert (joint.depth, joint.cut_depth, joint.width, joint.fit, joint.clearance) == (long, long + clearance, thick + fit, fit, clearance)


def test_the_near_cheeks_keep_one_figure_on_both_boards() -> None:
    model = sound(BOARDS + "joint tongue board[1] into board[2] deep 8 mm fit 0.2 mm\n").model
    assert room(one(model.part("board[1]"), "tongue")).span(1) == (6, 12)
    assert room(one(model.part("board[2]"), "groove")).span(1) == (6, F(122, 10))


def test_a_stopped_tongue() -> None:
    model = sound(BOARDS + "joint tongue board[1] into board[2] deep 8 mm stopped 40 mm from bottom\n").model
    assert room(one(model.part("board[1]"), "tongue")).span(2) == room(one(model.part("board[2]"), "groove")).span(2) == (40, 500)
    assert model.joints[0].stop_lo == 40


def test_boards_in_a_frame_share_one_groove() -> None:
    text = BOARDS + "part rail from ply\n  grain across\n  across from 0 to 200 mm\n  back from -5 mm to 23 mm\n  up from 500 mm\n"
    text += "joint tongue board[1] into board[2] deep 8 mm\njoint groove board into rail deep 6 mm\n"
    model = sound(text).model
    groove = one(model.part("rail"), "groove")  # one, although two boards enter it
    assert room(groove) == box(0, 0, 500, 200, 18, 506)
    assert len(model.joints) == 3
    # The tongue of the first board reaches into the rail's groove with it.
    adds = [body_box(a) for f in model.part("board[1]").features for a in f.adds]
    assert box(100, 6, 500, 108, 12, 506) in adds


def test_tongues_out_of_proportion() -> None:
    joint = BOARDS + "joint tongue board[1] into board[2] deep 8 mm sized "
    sound(joint + "12 mm\n")  # two thirds of 18
    sound(joint + "12.1 mm\n", warnings=("PD417",))
    sound(joint + "3.6 mm\n")  # a fifth
    sound(joint + "3.5 mm\n", warnings=("PD417",))


# --- rabbet-dado ----------------------------------------------------------------------------------------------------

BOX = SIDES + """
part front_end from ply
  grain across
  across between left_side and right_side
  back from 0
  up from 0 to 500 mm
part rear_end from ply
  grain across
  across between left_side and right_side
  back to 200 mm
  up from 0 to 500 mm
"""


def test_the_tongue_lies_at_the_inner_face() -> None:
    """Half of 18, at the faces that look into the box, so that 9 of the sides stay outside of the dadoes."""
    model = sound(BOX + "joint rabbet-dado front_end, rear_end into left_side, right_side deep 6 mm\n").model
    dadoes = [room(f) for f in model.part("left_side").features if f.kind in ("dado", "groove")]
    assert dadoes == [box(12, 9, 0, 18, 18, 500), box(12, 182, 0, 18, 191, 500)]
    assert model.part("front_end").length == 364 + 12
    for joint in model.joints:
        assert (joint.kind, joint.depth, joint.width) == ("rabbet-dado", 6, 9)
        assert gap(model, joint) == pytest.approx(0, abs=1e-3)
    assert model.part("front_end").mark == model.part("rear_end").mark  # one turned round is the other


def test_air_in_a_rabbet_dado() -> None:
    model = sound(BOX + "joint rabbet-dado front_end into left_side deep 6 mm sized 8 mm fit 0.25 mm clearance 0.5 mm\n").model
    by_hand = (F(825, 100) * F(65, 10) - 8 * 6) * 500
    assert gap(model, model.joints[0]) == pytest.approx(float(by_hand), abs=1e-3)


def test_a_tongue_at_the_end_of_the_side_is_refused() -> None:
    (fault,) = faulty(BOX + "joint rabbet-dado front_end into left_side deep 6 mm set 0\n")
    assert fault.code == "PD373" and "open at the front face of `left_side`" in fault.message


def test_the_plan_may_ask_for_it_in_the_middle() -> None:
    model = sound(SIDES + shelf("from 100 mm") + "joint rabbet-dado shelf into left_side deep 6 mm sized 6 mm set 6 mm\n").model
    assert room(one(model.part("left_side"), "dado")).span(2) == (106, 112)


# --- edge to edge ---------------------------------------------------------------------------------------------------


def test_glue_alone_changes_nothing() -> None:
    model = sound(BOARDS + "joint edge board[1] into board[2]\n").model
    assert all(not p.features for p in model.parts)
    assert model.joints[0].glued and model.joints[0].depth == 0


def test_a_spline_half_in_each_edge() -> None:
    model = sound(BOARDS + "joint edge board[1] into board[2] spline 6 mm x 24 mm fit 0.2 mm clearance 1 mm\n").model
    first, second = (room(one(model.part(f"board[{i}]"), "spline groove")) for i in (1, 2))
    # 12 and the clearance into each, 6.2 wide in the middle of 18.
    assert first == box(87, F(59, 10), 0, 100, F(121, 10), 500) and second == box(100, F(59, 10), 0, 113, F(121, 10), 500)
    assert Figure(1, F(0), F(59, 10), "place", -1) in one(model.part("board[1]"), "spline groove").figures
    (strip,) = model.joints[0].fasteners
    assert (strip.kind, strip.diameter, strip.length, strip.blind) == ("spline", 6, 24, True)
    assert gap(model, model.joints[0]) == pytest.approx(13 * 6.2 * 500, abs=1e-3)  # B's half; the strip is no part


def test_end_grain_is_refused() -> None:
    fault = next(d for d in resolved(HEAD + SIDES + shelf("from 100 mm") + "joint edge shelf into left_side\n").diagnostics)
    assert fault.code == "PD377" and "an end of `shelf`" in fault.notes[0].text


def test_a_tongue_of_nothing_is_told() -> None:
    (fault,) = faulty(BOARDS + "joint tongue board[1] into board[2] deep 8 mm sized 0\n")
    assert (fault.code, fault.message) == ("PD370", "a tongue has a thickness")
