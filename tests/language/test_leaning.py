"""Parts that lean: where they stand, how their ends are trimmed, how they are joined."""

from __future__ import annotations

from fractions import Fraction
from math import cos, isclose, pi, radians, sin, tan

import pytest

from plandoc.build.solids import solids
from plandoc.diagnostics import Diagnostic
from plandoc.geometry.bodies import Chunk, body_box
from plandoc.model.entities import Model
from plandoc.sheets.parts import KIND
from tests.support.resolving import resolved
from tests.support.sheet_ctx import attr, context, groups, lines

F = Fraction
INCH = F(254, 10)


def model_of(text: str) -> Model:
    outcome = resolved(text)
    assert outcome.codes == [], outcome.report
    return outcome.model


def faults(text: str) -> list[Diagnostic]:
    return list(resolved(text).diagnostics)


STOOL = """
plan "Step stool"
  units inch to 1/64
stock oak lumber 4/4
  dressed 3/4"
hardware screw8 screw No 8 long 2"
part seat from oak
  grain across
  across from -10" to 10"
  back from 0 to 9"
  up from 15 1/4"
part leg from oak
  grain up
  across from -8"
  back from 1" to 8"
  up from 0 to seat.bottom
  leans 10° to right at top
  trimmed top to seat
  trimmed bottom to up 0
part other mirrors leg about 0
part rail from oak
  grain across
  across between leg and other
  back centred on 4 1/2"
  up from 5" for 3"
  trimmed left to leg
  trimmed right to other
joint butt leg, other into seat with screw8 every 3"
joint butt rail into leg, other with screw8 every 2"
"""


def test_the_length_of_a_leaning_leg() -> None:
    """Between two level planes h apart a board that leans by a is h / cos a long, and its end bevels add t tan a."""
    leg = model_of(STOOL).part("leg")
    long_point = 15.25 * 25.4 / cos(radians(10)) + 0.75 * 25.4 * tan(radians(10))
    assert isclose(float(leg.length), long_point, abs_tol=1e-5)
    assert leg.stands.lo[2] == 0 and leg.stands.hi[2] == F(61, 4) * INCH


def test_the_length_of_a_rail_between_leaning_legs() -> None:
    """The inner faces lean by a: a rail whose lower edge lies at height z ends there."""
    model = model_of(STOOL)
    rail = model.part("rail")
    # inner face of the leg: its top middle stays at -8 + 3/8 in, half its thickness is t / (2 cos a) level
    inner = -8 + 0.375 + 0.375 / cos(radians(10)) - tan(radians(10)) * (15.25 - 5)
    assert isclose(float(rail.length) / 25.4, -2 * inner, abs_tol=1e-5)


def test_volumes_touch_and_do_not_overlap() -> None:
    model = model_of(STOOL)
    made = solids(model)
    paths = list(made)
    for i, a in enumerate(paths):
        for b in paths[i + 1 :]:
            assert made[a].common_volume(made[b]) < 0.01
    assert made["leg"].bounds[0][2] == 0.0
    # a sheared board has the volume of its middle length; two screw holes of 11/64 in go through it, each
    # countersunk to 22/64 in (a No 8 head is 0.332 in) at 82 degrees: 11/128 over the tangent of 41 degrees deep
    wide, narrow, deep = 11 / 64, 11 / 128, 11 / 128 / tan(radians(41))
    holes = 2 * (pi * narrow**2 * (0.75 - deep) + pi / 3 * deep * (wide**2 + wide * narrow + narrow**2))
    assert made["leg"].volume == pytest.approx((15.25 / cos(radians(10)) * 7 * 0.75 - holes) * 25.4**3, rel=1e-5)


def test_saw_settings_are_told() -> None:
    model = model_of(STOOL)
    assert [f.note for f in model.part("leg").features if f.kind == "end cut"] == ["blade tilt 10.0°", "blade tilt 10.0°"]
    assert [f.note for f in model.part("rail").features if f.kind == "end cut"] == ["mitre 10.0°", "mitre 10.0°"]


def test_mirrored_legs_are_one_kind_of_part() -> None:
    model = model_of(STOOL)
    assert model.part("leg").mark == model.part("other").mark
    assert model.part("rail").mark != model.part("leg").mark


def test_screws_of_a_leaning_joint() -> None:
    model = model_of(STOOL)
    joint = next(j for j in model.joints if j.a == "leg" and j.b == "seat")
    assert joint.askew
    assert len(joint.fasteners[0].centres) == 3
    holes = [f for f in model.part("seat").features if f.mate == "leg"]
    step = model.info.units.step_mm
    for hole in holes:
        assert hole.through and hole.note == "csk Ø11/32 × 82°" and len(hole.cuts) == 2
        for figure in hole.figures:
            assert (figure.hi - figure.lo) % step == 0
        # within the end of the leg: its top lies between -8 1/64 and -7 1/4 in or so
        assert hole.centre is not None and F(-817, 100) < hole.centre[0] / INCH < F(-7)


def test_ends_of_screws_count_from_the_edge_of_a_slanted_contact() -> None:
    """The leg is 60 wide and leans 12 degrees over a bearer 70 high: the box round their contact is 15 longer than the leg is
    wide at any height, 61.3."""
    model = model_of("""
plan "Trestle"
  units mm to 0.1
stock larch lumber 32 mm
  dressed 27 mm
hardware s5 screw No 10 long 45 mm
part bearer from larch
  grain  back
  across from 0
  back   from 0 to 320 mm
  up     from 380 mm to 450 mm
part leg from larch
  grain  up
  across to bearer.left
  back   from 30 mm for 60 mm
  up     from 0 to bearer.top
  leans  12° to rear at top
  trimmed bottom to up 0
  trimmed top to up 450 mm
joint butt leg into bearer with s5 every 40 mm ends 15 mm
""")
    lean = model.part("leg").lean
    assert lean is not None
    screws = [lean.inverse().point(c) for c in model.joints[0].fasteners[0].centres]
    wide = [float(value) / cos(radians(12)) for back in (p[1] for p in screws) for value in (back - 30, 90 - back)]
    assert len(screws) == 2 and sorted(wide)[:2] == pytest.approx([15, 15], abs=0.1)


def test_plugs_and_crowded_screws_of_a_leaning_joint() -> None:
    plan = STOOL.replace("into seat with screw8 every 3\"", "into seat with screw8 every 1/4\"")
    assert {d.code for d in faults(plan)} == {"PD376"}
    # of 2 in. not enough is left for the leg
    short = STOOL.replace("No 8 long 2\"", "No 8 long 3/4\"")
    assert {d.code for d in faults(short)} == {"PD324"}


def test_rake_and_splay_of_a_square_leg() -> None:
    plan = """
plan "Leg"
  units mm to 0.1
stock ash lumber 60 mm
  dressed 40 mm
part leg from ash
  across from 0 for 40 mm
  back from 0 for 40 mm
  up from 0 for 500 mm
  leans 12° to right, 7° to front at top
  trimmed top to up 500 mm
  trimmed bottom to up 0
"""
    leg = model_of(plan).part("leg")
    assert leg.stands.lo[2] == 0 and leg.stands.hi[2] == 500
    lean = leg.lean
    assert lean is not None
    x, y, z = (float(row[2]) for row in lean.rows)
    assert isclose(x / z, tan(radians(12)), rel_tol=1e-12) and isclose(-y / z, tan(radians(7)), rel_tol=1e-12)
    assert all(isinstance(c, Chunk) for f in leg.features for c in f.cuts)


def test_an_assembly_leans_as_a_whole_and_its_joints_stay_square() -> None:
    plan = """
plan "Rack"
  units mm to 0.5
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
assembly frame
  part side from ply
    grain up
    across from 0
    back from 0 for 200 mm
    up from 0 for 400 mm
  part shelf from ply
    grain across
    across from side.right for 300 mm
    back from 0 for 200 mm
    up from 100 mm
  joint dado shelf into side deep 6 mm
place frame
  leans 15° to rear
  at across 50 mm
"""
    model = model_of(plan)
    side, shelf = model.part("frame.side"), model.part("frame.shelf")
    assert side.lean == shelf.lean and side.lean is not None
    assert shelf.length == 306
    # the upper rear corner of the side: 400 up and 200 back, leaned about the front edge
    a = radians(15)
    assert isclose(float(side.stands.hi[1]), 400 * sin(a) + 200 * cos(a), abs_tol=1e-5)
    assert isclose(float(side.stands.hi[2]), 400 * cos(a), abs_tol=1e-5)
    assert side.stands.lo[0] == 50
    made = solids(model)
    assert made["frame.side"].common_volume(made["frame.shelf"]) < 0.01
    assert made["frame.side"].volume == pytest.approx(18 * 200 * 400 - 6 * 18 * 200)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 8])
def test_turned_assemblies_stand_round_a_ring(n: int) -> None:
    plan = f"""
plan "Ring"
  units mm to 0.1
stock ply sheet 1220 mm x 2440 mm
  called 12 mm
assembly wall
  part board from ply
    grain across
    across from -50 mm to 50 mm
    back from -200 mm
    up from 0 for 80 mm
for i from 0 to {n - 1}
  place wall as wall[i]
    turned i * 360° / {n} about up
"""
    model = model_of(plan)
    for i in range(n):
        board = model.part(f"wall[{i}].board")
        angle = 2 * i * 180 / n
        x = 50 * abs(cos(radians(angle))) + 200 * max(0.0, sin(radians(angle))) - 188 * max(0.0, -sin(radians(angle)))
        assert isclose(float(board.stands.hi[0]), x, abs_tol=1e-6)


def test_the_cut_box_of_an_end_lies_at_the_end() -> None:
    leg = model_of(STOOL).part("leg")
    for feature in (f for f in leg.features if f.kind == "end cut"):
        for cut in feature.cuts:
            box = body_box(cut)
            assert box.size(2) < 4 * INCH / 20
            assert box.lo[2] == leg.box.lo[2] or box.hi[2] == leg.box.hi[2]


FAULTS = [
    ("leans 10° to top", "PD260"),
    ("leans 80° to right", "PD260"),
    ("leans 10° to right, 5° to left", "PD260"),
    ("leans 10 mm to right", "PD229"),
    ("turned 10 about up", "PD229"),
    ("leans 10° to right at middle", "PD219"),
    ("trimmed top to up -40 mm", "PD261"),
    ("trimmed upper to up 40 mm", "PD219"),
    ("trimmed top to stick", "PD204"),
    ("trimmed left to up 5 mm", "PD261"),
]


@pytest.mark.parametrize(("line", "code"), FAULTS)
def test_what_cannot_be(line: str, code: str) -> None:
    plan = f"""
plan "Stick"
  units mm to 0.5
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
part stick from ply
  grain up
  across from 0
  back from 0 for 60 mm
  up from 0 for 300 mm
  {line}
"""
    assert code in [d.code for d in faults(plan)]


def test_a_tenon_cannot_enter_what_leans_otherwise() -> None:
    plan = STOOL.replace("joint butt rail into leg, other with screw8 every 2\"", "joint dado rail into leg, other deep 1/4\"")
    assert [d.code for d in faults(plan)] == ["PD262"]


def test_a_rail_that_does_not_reach_the_leg() -> None:
    plan = STOOL.replace("  trimmed left to leg\n", "")
    found = faults(plan)
    assert [d.code for d in found] == ["PD310"]
    assert "lean differently" in found[0].message


def test_a_leaning_part_is_drawn_straight_on_its_own_sheet() -> None:
    """All views of its drawing show it as it lies on the bench: every view is as wide and high as its sizes say."""
    model = model_of(STOOL)
    ctx = context(model)
    drafts = KIND.compose(ctx)
    views = [g for d in drafts for g in groups(d.items, "view") if attr(g, "part") == "leg"]
    assert len(views) == 2  # the face, and an edge that shows the bevels
    leg = model.part("leg")
    for view in views:
        xs = [x for line in lines((view,), "vis") for x, _ in line.points]
        ys = [y for line in lines((view,), "vis") for _, y in line.points]
        ratio = Fraction(*map(int, attr(view, "scale").split(":")))
        sizes = sorted((max(xs) - min(xs), max(ys) - min(ys)))
        assert isclose(sizes[1], float(leg.length * ratio), abs_tol=0.05)
        assert any(isclose(sizes[0], float(s * ratio), abs_tol=0.05) for s in (leg.width, leg.thickness))
