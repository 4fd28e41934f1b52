"""Hidden dowels; screws with their countersinks and plugs. Figures by hand, in mm; boards are 18 thick."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import Disc, Frustum, Prism, body_box
from plandoc.model.entities import Feature, Part
from plandoc.quantity import INCH
from plandoc.tables import head_of, screw
from tests.joints.test_channels import SIDES, shelf
from tests.support.resolving import HEAD, faulty, resolved, sound

FRAME = """
hardware pin dowel 8 mm x 50 mm
part stile from ply
  grain up
  across from 0 to 60 mm
  back from 0
  up from 0 to 500 mm
part rail from ply
  grain across
  across from 60 mm to 300 mm
  back from 0
  up from 100 mm to 180 mm
"""


def holes(part: Part) -> list[Feature]:
    return [f for f in part.features if "hole" in f.kind]


def test_half_of_each_dowel_in_either_part() -> None:
    model = sound(FRAME + "joint dowel rail into stile with pin count 2\n").model
    # 80 wide: at a quarter and three quarters, in the middle of 18.
    (fastening,) = model.joints[0].fasteners
    assert fastening.centres == ((60, 9, 120), (60, 9, 160)) and fastening.blind
    assert [body_box(h.cuts[0]).span(0) for h in holes(model.part("stile"))] == [(35, 60)] * 2
    assert [body_box(h.cuts[0]).span(0) for h in holes(model.part("rail"))] == [(60, 85)] * 2
    for part, side in (("stile", "right"), ("rail", "left")):
        for hole in holes(model.part(part)):
            assert hole.face is not None and hole.face.name == side and hole.depth == 25 and not hole.through


def test_holes_of_both_parts_are_figured_from_shared_faces() -> None:
    model = sound(FRAME + "joint dowel rail into stile with pin count 2\n").model
    for part, low in (("stile", 0), ("rail", 100)):
        spans = [(f.axis, f.lo, f.hi) for h in holes(model.part(part)) for f in h.figures]
        assert spans == [(1, 0, 9), (2, low, 120), (1, 0, 9), (2, low, 160)]


@pytest.mark.parametrize(
    ("words", "places"),
    [
        ("count 3", (F(1133, 10), 140, F(1667, 10))),  # a sixth of 80, to the plan's step of 0.1
        ("count 2 ends 10 mm", (110, 170)),
        ("every 30 mm ends 10 mm", (110, 140, 170)),
        ("at 15 mm, 60 mm", (115, 160)),
        ("count 1", (140,)),
        ("", (120, 160)),
    ],
)
def test_places(words: str, places: tuple[F, ...]) -> None:
    model = sound(FRAME + f"joint dowel rail into stile with pin {words}\n").model
    assert tuple(c[2] for c in model.joints[0].fasteners[0].centres) == places


def test_deep_and_clearance() -> None:
    model = sound(FRAME + "joint dowel rail into stile with pin deep 20 mm clearance 1.5 mm\n").model
    assert holes(model.part("stile"))[0].depth == F(215, 10) and holes(model.part("rail"))[0].depth == F(315, 10)


def test_a_row_along_a_corner() -> None:
    """The end of a shelf on the face of a side: 12 of a dowel 30 long go into the side."""
    text = "hardware pin dowel 8 mm x 30 mm\n" + SIDES + shelf("from 100 mm") + "joint dowel shelf into left_side, right_side with pin every 64 mm ends 36 mm deep 12 mm\n"
    outcome = resolved(HEAD + text)
    assert outcome.codes == ["PD416"] * len(outcome.codes) and outcome.codes  # 12 is less than twice 8
    model = outcome.model
    assert [c[1] for c in model.joints[0].fasteners[0].centres] == [36, 100, 164]
    assert body_box(holes(model.part("left_side"))[0].cuts[0]).span(0) == (6, 18)
    assert [h.centre[1] for h in holes(model.part("right_side")) if h.centre] == [36, 100, 164]


@pytest.mark.parametrize(
    ("diameter", "codes"), [("6 mm", ()), ("5.9 mm", ("PD415",)), ("9.9 mm", ()), ("10 mm", ("PD415",))]
)
def test_a_dowel_suits_the_stock(diameter: str, codes: tuple[str, ...]) -> None:
    """A third of 18 is 6, the upper limit 0.55 x 18 = 9.9."""
    sound(FRAME.replace("dowel 8 mm", f"dowel {diameter}") + "joint dowel rail into stile with pin count 2\n", warnings=codes)


def test_a_hole_deeper_than_the_part() -> None:
    (fault,) = faulty(FRAME + "joint dowel rail into stile with pin deep 49 mm clearance 12 mm\n")
    assert fault.code == "PD372" and "a hole 61 mm deep does not fit into `stile`" in fault.message


# --- screws ---------------------------------------------------------------------------------------------------------

S8 = 'hardware s8 screw No 8 "{}" long 40 mm\n'


def screwed(words: str, what: str = "Flat-head screw") -> tuple[Part, Part, tuple[object, ...]]:
    text = S8.format(what) + SIDES + shelf("from 100 mm") + f"joint screw shelf into left_side with s8 {words}\n"
    model = sound(text).model
    return model.part("shelf"), model.part("left_side"), model.joints[0].fasteners


def test_a_butt_joint_takes_a_number_of_screws() -> None:
    text = S8.format("Flat-head screw") + SIDES + shelf("from 100 mm") + "joint {} shelf into left_side with s8 count 3\n"
    butt, screwed_ = (sound(text.format(kind)).model.joints[0].fasteners for kind in ("butt", "screw"))
    assert len(butt[0].centres) == 3 and butt[0].centres == screwed_[0].centres


def test_a_flat_head_is_countersunk() -> None:
    one, other, _ = screwed("count 2")
    hole = holes(other)[0]
    shank, cone = hole.cuts
    # Clearance for 4.17 is a 4.5 mm bit; the head of a No 8 is 0.332 in. = 8.43 at most: 8.5. 90 degrees, as flat heads
    # have in metric plans: (8.5 - 4.5) / 2 = 2 deep, widest on the outer (left) face.
    assert isinstance(shank, Prism) and isinstance(shank.outline, Disc) and shank.outline.radius == F(9, 4)
    assert isinstance(cone, Frustum) and (cone.lo, cone.radius_lo, cone.radius_hi) == (0, F(17, 4), F(9, 4))
    assert cone.hi == 2
    assert hole.note == "csk Ø8.5 × 90°" and hole.through
    # 40 long, 18 of it in the side.
    assert holes(one)[0].depth == 22 and holes(one)[0].note == ""
    table = screw(8)
    assert table is not None and table.head == F(332, 1000) * INCH


def test_the_cone_is_cut_from_the_outer_face() -> None:
    _, other, _ = screwed("count 1")
    solid = part_solid(other)
    for depth, radius in ((0.001, 4.25), (1, 3.25), (10, 2.25)):
        (hole,) = [ring for region in solid.section(0, depth) for ring in region.holes]
        width = max(x for x, _ in hole) - min(x for x, _ in hole)
        assert width / 2 == pytest.approx(radius, abs=0.03)


@pytest.mark.parametrize("what", ["Round-head screw", "Pan head, zinc", "Washer-head screw"])
def test_other_heads_stay_on_the_face(what: str) -> None:
    _, other, _ = screwed("count 2", what)
    assert len(holes(other)[0].cuts) == 1 and holes(other)[0].note == ""


def test_a_plug_over_the_head() -> None:
    one, other, fasteners = screwed("count 2 plugged 6 mm")
    bore = holes(other)[0].cuts[1]
    # The narrowest plug that a head of 8.43 goes under is 10; the screw starts 6 deeper, so 28 of it are in the shelf.
    assert body_box(bore).span(0) == (0, 6) and body_box(bore).size(1) == 10
    assert holes(other)[0].note == "cbore Ø10 ↧6" and holes(one)[0].depth == 28
    driven, plug = fasteners
    assert (driven.kind, plug.kind, plug.diameter, plug.length) == ("screw", "plug", 10, 6)  # type: ignore[attr-defined]
    assert len(plug.centres) == 2  # type: ignore[attr-defined]


def test_screws_of_butts_and_dadoes_are_sunk_too() -> None:
    for joint in ("butt shelf into left_side with s8", "dado shelf into left_side deep 6 mm with s8"):
        model = sound(S8.format("Flat-head screw") + SIDES + shelf("from 100 mm") + f"joint {joint} every 100 mm\n").model
        assert all(isinstance(h.cuts[1], Frustum) for h in holes(model.part("left_side")))


def test_gauges_beside_the_table_follow_its_rule() -> None:
    assert head_of(F(8)) == F(332, 1000) * INCH
    # No 16: shank 0.060 + 16 x 0.013 = 0.268 in., head 2.1 times that.
    assert head_of(F(16)) == F(268, 1000) * INCH * F(21, 10)


@pytest.mark.parametrize(("what", "sunk"), [("Panel screw", True), ("Groundwork screw", True), ("Pan-head screw", False), ("Roundhead screw", False), ("Hex-head", False)])
def test_heads_are_known_by_whole_words(what: str, sunk: bool) -> None:
    _, other, _ = screwed("count 2", what)
    assert bool(holes(other)[0].note) is sunk


def test_a_plug_is_as_wide_as_the_head() -> None:
    """The shank of a No 20 is 0.060 + 0.013 x 20 = 0.32 in., its head about twice that: 16 mm; the widest plug has 15."""
    text = "hardware s20 screw No 20 long 60 mm\n" + SIDES + shelf("from 100 mm") + "joint screw shelf into left_side with s20 count 2 plugged 6 mm\n"
    (fault,) = faulty(text)
    assert fault.code == "PD378" and "no plug is as wide as the head of `s20`" in fault.message


def test_dowels_that_enter_by_nothing_are_told() -> None:
    (fault,) = faulty(FRAME + "joint dowel rail into stile with pin deep 0\n")
    assert fault.code == "PD372"
