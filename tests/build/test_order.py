"""Which way the units of an assembly come apart, and how far in an exploded view."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from plandoc.build.explode import SPREAD, explosion
from plandoc.build.order import removal_directions, ways_out, withdrawals
from plandoc.build.units import units
from plandoc.geometry.bodies import AXES, FACES, Face
from plandoc.model.entities import Model, Motion
from tests.support.sample_model import sample_case
from tests.support.small_models import box, joint, model, part
from tests.support.tray_model import tray_case

F = Fraction
LEFT, RIGHT, FRONT, REAR, BOTTOM, TOP = (FACES[n] for n in ("left", "right", "front", "rear", "bottom", "top"))


def names(directions: dict[str, Face]) -> dict[str, str]:
    return {path: face.name for path, face in directions.items()}


def table() -> Model:
    """Four legs, four aprons in their mortises, a top on the legs."""
    legs = {"fl": (0, 0), "fr": (560, 0), "bl": (0, 360), "br": (560, 360)}
    parts = [part(f"leg_{n}", box(x, y, 0, x + 40, y + 40, 400)) for n, (x, y) in legs.items()]
    joints = []
    for name, y, (one, two) in (("front", 10, ("fl", "fr")), ("rear", 370, ("bl", "br"))):
        parts.append(part(f"apron_{name}", box(40, y, 320, 560, y + 18, 400), finished=box(20, y, 320, 580, y + 18, 400)))
        joints += [joint(f"apron_{name}", f"leg_{one}", LEFT, run=2), joint(f"apron_{name}", f"leg_{two}", RIGHT, run=2)]
    for name, x, (one, two) in (("left", 10, ("fl", "bl")), ("right", 570, ("fr", "br"))):
        parts.append(part(f"apron_{name}", box(x, 40, 320, x + 18, 360, 400), finished=box(x, 20, 320, x + 18, 380, 400)))
        joints += [joint(f"apron_{name}", f"leg_{one}", FRONT, run=2), joint(f"apron_{name}", f"leg_{two}", REAR, run=2)]
    parts.append(part("top", box(-20, -20, 400, 620, 420, 420)))
    joints += [joint("top", f"leg_{n}", BOTTOM, kind="butt") for n in legs]
    return model(parts, joints)


def test_the_cabinet_opens_on_all_sides() -> None:
    assert names(removal_directions(sample_case())) == {
        "left_side": "left",
        "right_side": "right",
        "top": "top",
        "back": "rear",
        "drawer_front": "front",
    }


def test_trays_move_as_wholes_along_their_slides_without_a_stated_motion() -> None:
    case = tray_case()
    assert [u.path for u in units(case)] == ["left_side", "right_side", "bottom", "top", "tray[1]", "tray[2]"]
    found = names(removal_directions(case))
    assert found["tray[1]"] == found["tray[2]"] == "front"
    assert names(removal_directions(case, "tray[1]")) == {"tray[1].lip": "front"}


def test_a_table_comes_apart_in_frames_first() -> None:
    first, second, third = withdrawals(table())
    assert (first.units, first.face) == (("top",), TOP)
    assert second.units == ("leg_fl", "leg_bl", "apron_left")
    assert second.face == LEFT
    assert {(w.units, w.face.name) for w in second.inner} == {(("leg_fl",), "front"), (("leg_bl",), "rear")}
    assert (third.units, third.face, third.turn) == (("leg_fr", "leg_br", "apron_right"), RIGHT, second.turn)
    found = names(removal_directions(table()))
    assert found["leg_fr"] == "front" and found["leg_br"] == "rear"
    assert "apron_front" not in found


def test_ways_out_of_the_kinds_of_channel() -> None:
    side = box(0, 0, 0, 18, 300, 500)
    dado = joint("a", "b", LEFT, box(12, 0, 100, 18, 300, 118))
    assert ways_out(dado, side) == {RIGHT}
    rabbet = joint("a", "b", LEFT, box(12, 0, 482, 18, 300, 500), edge=True)
    assert ways_out(rabbet, side) == {RIGHT, TOP}
    slide = joint("a", "b", LEFT, box(12, 0, 100, 18, 280, 118), glued=False)
    assert ways_out(slide, side) == {RIGHT, FRONT, REAR}


def test_a_stated_motion_goes_before_the_joints() -> None:
    case = model(
        [part("case", box(0, 0, 0, 100, 100, 100)), part("door", box(0, -18, 0, 100, 0, 100))],
        [joint("door", "case", TOP)],
        [Motion("door", FRONT, F(50))],
    )
    assert names(removal_directions(case)) == {"door": "front"}


def test_without_joints_outer_panels_leave_outwards() -> None:
    case = model(
        [
            part("left", box(0, 0, 0, 18, 300, 400)),
            part("right", box(482, 0, 0, 500, 300, 400)),
            part("shelf", box(18, 0, 200, 482, 280, 218)),
            part("back", box(18, 290, 0, 482, 300, 400)),
        ]
    )
    # the shelf is the largest piece: all others leave it
    assert names(removal_directions(case)) == {"left": "left", "right": "right", "back": "rear"}


def exploded_boxes(case: Model, assembly: str = "") -> dict[str, list[tuple[float, float]]]:
    """Boxes of the units after the explosion."""
    moved = explosion(case, assembly)
    found = {}
    for unit in units(case, assembly):
        steps = {moved[p] for p in unit.parts}
        assert len(steps) == 1, "a nested assembly must move as a whole"
        step = steps.pop()
        found[unit.path] = [
            (float(unit.box.lo[a]) + step[a], float(unit.box.hi[a]) + step[a]) for a in AXES
        ]
    return found


@pytest.mark.parametrize("case", (sample_case(), tray_case(), table()), ids=("cabinet", "trays", "table"))
def test_no_boxes_overlap_after_the_explosion(case: Model) -> None:
    whole = case.box
    assert whole is not None
    gap = float(SPREAD * max(whole.size(a) for a in AXES))
    stay = [p for p, d in explosion(case).items() if d == (0, 0, 0)]
    for (one, first), (two, second) in combinations(exploded_boxes(case).items(), 2):
        clear = max(max(a[0] - b[1], b[0] - a[1]) for a, b in zip(first, second, strict=True))
        assert clear >= 0, (one, two)
        joined = any({j.a, j.b} == {one, two} for j in case.joints)
        assert clear > gap / 2 or not joined or (one in stay and two in stay), (one, two)


@pytest.mark.parametrize("case", (sample_case(), tray_case()), ids=("cabinet", "trays"))
def test_every_unit_moves_along_its_direction_only(case: Model) -> None:
    directions = removal_directions(case)
    moved = explosion(case)
    for unit in units(case):
        step = moved[unit.parts[0]]
        face = directions.get(unit.path)
        if face is None:
            assert step == (0, 0, 0)
        else:
            assert step[face.axis] * face.side > 0
            assert [v for a, v in enumerate(step) if a != face.axis] == [0, 0]


def test_a_sub_assembly_explodes_by_itself() -> None:
    moved = explosion(tray_case(), "tray[1]")
    assert list(moved) == ["tray[1].blank", "tray[1].lip"]
    assert moved["tray[1].blank"] == (0, 0, 0)
    assert moved["tray[1].lip"][1] < 0


def test_mirror_halves_explode_alike() -> None:
    moved = explosion(sample_case())
    assert moved["left_side"][0] == -moved["right_side"][0] < 0


def test_an_empty_plan_explodes_to_nothing() -> None:
    assert explosion(model([])) == {}
    assert withdrawals(model([])) == ()


def test_of_two_that_push_each_other_apart_the_smaller_one_leaves() -> None:
    case = model(
        [
            part("floor", box(0, 0, 80, 500, 300, 98)),
            part("plinth", box(0, 40, 0, 500, 58, 80)),
            part("shelf", box(0, 0, 250, 500, 300, 268)),
        ],
        [joint("plinth", "floor", TOP, kind="butt")],
    )
    found = names(removal_directions(case))
    assert found["plinth"] == "bottom"
    assert "floor" not in found


def test_what_stands_in_the_way_of_another_leaves_first() -> None:
    # a tray on a runner behind a front that only closes the opening
    case = model(
        [
            part("case", box(0, 0, 0, 400, 300, 18)),
            part("tray", box(20, 20, 18, 380, 280, 30)),
            part("front", box(0, -18, 0, 400, 0, 60)),
        ],
        [
            joint("tray", "case", BOTTOM, box(20, 0, 12, 380, 300, 18), glued=False),
            joint("front", "case", REAR, kind="butt"),
        ],
    )
    turns = {w.units[0]: w.turn for w in withdrawals(case)}
    assert names(removal_directions(case))["front"] == "front"
    assert turns["front"] <= turns["tray"]
