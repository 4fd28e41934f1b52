"""Mortise and tenon: what both parts become. Figures by hand, in mm; boards are 18 thick, posts 45 square."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import Box, body_box
from plandoc.model.entities import Feature, Model, Part
from plandoc.quantity import INCH
from tests.support.fitting import gap
from tests.support.resolving import faulty, resolved, sizes, sound

# A post 45 square and 400 high; a rail 18 thick and 70 wide at its right face, 10 behind the post's front.
POST = """
stock beam lumber 50 mm
  measured 45 mm
stock oak lumber 25 mm
  measured 18 mm
part post from beam
  grain up
  across from 0 for 45 mm
  back from 0 for 45 mm
  up from 0 to 400 mm
"""
RAIL = """
part rail from oak
  grain across
  across from 45 mm to 345 mm
  back from 10 mm
  up from 100 mm to 170 mm
"""
PEG = "hardware peg dowel 6 mm x 60 mm\n"


def one(part: Part, kind: str) -> Feature:
    """The one feature of that kind."""
    (found,) = (f for f in part.features if f.kind == kind)
    return found


def room(feature: Feature) -> Box:
    """The box of its one cut or addition."""
    (body,) = (*feature.cuts, *feature.adds)
    return body_box(body)


def box(*numbers: int | F) -> Box:
    x0, y0, z0, x1, y1, z1 = (F(n) for n in numbers)
    return Box((x0, y0, z0), (x1, y1, z1))


def figures(feature: Feature) -> list[tuple[int, F, F, str]]:
    return sorted((f.axis, f.lo, f.hi, f.role) for f in feature.figures)


def made(words: str, extra: str = "", warnings: tuple[str, ...] = ()) -> Model:
    return sound(POST + extra + RAIL + f"joint tenon rail into post {words}\n", warnings=warnings).model


def test_a_third_of_the_stock_with_equal_shoulders_all_round() -> None:
    model = made("deep 30 mm")
    rail, post = model.part("rail"), model.part("post")
    # A third of 18 is 6, so 6 of shoulder on both faces, and the same on the edges: 58 wide.
    assert room(one(rail, "tenon")) == box(15, 16, 106, 45, 22, 164)
    assert room(one(post, "mortise")) == box(15, 16, 106, 45, 22, 164)
    assert (rail.length, rail.shoulder.size(0)) == (330, 300)
    assert sizes(post) == (400, 45, 45)
    joint = model.joints[0]
    assert (joint.depth, joint.cut_depth, joint.width, joint.run_axis, joint.thickness_axis) == (30, 30, 6, 2, 1)


def test_the_default_thickness_follows_the_tools() -> None:
    """A third of 25 mm is 8.33: an 8 mm bit. A third of 3/4 in. is a 1/4 in. chisel, of 1 in. the 5/16 in. one."""
    text = (POST + RAIL).replace("measured 18 mm", "measured 25 mm") + "joint tenon rail into post deep 30 mm\n"
    assert room(one(sound(text).model.part("rail"), "tenon")).size(1) == 8
    for thick, tenon in (("3/4", F(1, 4)), ("1", F(5, 16))):
        inch = 'plan "Inches"\n' + (POST + RAIL).replace("measured 18 mm", f'measured {thick}"') + "joint tenon rail into post deep 30 mm\n"
        model = resolved(inch).model
        assert room(one(model.part("rail"), "tenon")).size(1) == tenon * INCH


def test_figures_of_both_halves_start_at_the_reference_faces() -> None:
    model = made("deep 30 mm")
    rail, post = model.part("rail"), model.part("post")
    # Rail: length from its end to the shoulder, thickness and width, and how far they lie from front face and bottom edge.
    assert figures(one(rail, "tenon")) == [(0, 15, 45, "place"), (1, 10, 16, "place"), (1, 16, 22, "size"), (2, 100, 106, "place"), (2, 106, 164, "size")]
    # Post: width and place from its front, length and place from its lower end, depth from the worked face.
    assert figures(one(post, "mortise")) == [(0, 15, 45, "depth"), (1, 0, 16, "place"), (1, 16, 22, "size"), (2, 0, 106, "place"), (2, 106, 164, "size")]


@pytest.mark.parametrize(
    ("words", "tenon", "fit", "clearance"),
    [
        ("deep 30 mm", (6, 58, 30), F(0), 0),
        ("deep 30 mm fit 0.2 mm", (6, 58, 30), F(1, 5), 0),
        ("deep 30 mm clearance 2 mm", (6, 58, 30), F(0), 2),
        ("deep 25 mm sized 8 mm x 40 mm fit 0.5 mm clearance 1.5 mm", (8, 40, 25), F(1, 2), F(3, 2)),
        ("through sized 8 mm fit 0.2 mm", (8, 60, 45), F(1, 5), 0),
        ("through proud 5 mm sized 8 mm fit 0.2 mm", (8, 60, 45), F(1, 5), 0),
        ("deep 30 mm whole shoulders 6 mm fit 0.4 mm", (18, 58, 30), F(2, 5), 0),
    ],
)
def test_air_between_the_halves_is_the_stated_allowance(words: str, tenon: tuple[int, int, int], fit: F, clearance: F) -> None:
    """(t + f)(w + f)(d + c) - t w d, on the solids."""
    model = made(words)
    thick, wide, deep = tenon
    by_hand = (thick + fit) * (wide + fit) * (deep + clearance) - thick * wide * deep
    assert gap(model, model.joints[0]) == pytest.approx(float(by_hand), abs=1e-3)


def test_fit_lies_away_from_the_reference_faces() -> None:
    mortise = room(one(made("deep 30 mm fit 0.4 mm").part("post"), "mortise"))
    assert (mortise.span(1), mortise.span(2)) == ((16, F(224, 10)), (106, F(1644, 10)))


def test_a_tenon_set_back_from_a_face() -> None:
    assert room(one(made("deep 30 mm set 2 mm").part("rail"), "tenon")).span(1) == (12, 18)
    assert room(one(made("deep 30 mm set 2 mm from rear").part("rail"), "tenon")).span(1) == (20, 26)
    # Set back by nothing: a bare-faced tenon, flush with the front; its figures need no place there.
    tenon = one(made("deep 30 mm set 0").part("rail"), "tenon")
    assert room(tenon).span(1) == (10, 16)
    assert (1, 10, 16, "size") in figures(tenon) and not any(axis == 1 and role == "place" for axis, _, _, role in figures(tenon))


def test_unequal_shoulders() -> None:
    assert room(one(made("deep 30 mm shoulders 5 mm, 20 mm").part("rail"), "tenon")).span(2) == (105, 150)


def test_a_through_tenon_stands_proud() -> None:
    model = made("through proud 5 mm sized 8 mm")
    mortise = one(model.part("post"), "mortise")
    assert room(mortise).span(0) == (0, 45) and mortise.through and mortise.depth is None
    assert room(one(model.part("rail"), "tenon")).span(0) == (-5, 45)
    assert model.joints[0].depth == 50 and model.joints[0].cut_depth == 45


HIGH = RAIL.replace("from 100 mm to 170 mm", "from 330 mm to 400 mm")


def haunched(words: str) -> Model:
    return sound(POST + HIGH + f"joint tenon rail into post {words}\n").model


def test_a_haunch_fills_the_groove_at_the_end_of_the_post() -> None:
    model = haunched("deep 30 mm haunched 20 mm x 10 mm")
    rail, post = model.part("rail"), model.part("post")
    # The rail is flush with the top of the post at 400; its lower shoulder is that of the faces, 6.
    assert room(one(rail, "tenon")) == box(15, 16, 336, 45, 22, 380)
    assert room(one(rail, "haunch")) == box(35, 16, 380, 45, 22, 400)
    assert room(one(post, "mortise")) == box(15, 16, 336, 45, 22, 380)
    # Open at the top of the post.
    assert room(one(post, "haunch groove")) == box(35, 16, 380, 45, 22, 400)
    assert gap(model, model.joints[0]) == pytest.approx(0, abs=1e-3)


def test_a_haunch_below_the_end_of_the_post_is_closed() -> None:
    text = POST.replace("to 400 mm", "to 410 mm") + HIGH + "joint tenon rail into post deep 30 mm haunched 20 mm x 10 mm fit 0.4 mm clearance 1 mm\n"
    model = sound(text).model
    # The fit lies at the upper and rear sides, both of the mortise and of the groove beyond it.
    assert room(one(model.part("post"), "mortise")) == box(14, 16, 336, 45, F(224, 10), F(3804, 10))
    assert room(one(model.part("post"), "haunch groove")) == box(34, 16, F(3804, 10), 45, F(224, 10), F(4004, 10))
    by_hand = F(64, 10) * (F(444, 10) * 31 + 20 * 11) - 6 * (44 * 30 + 20 * 10)
    assert gap(model, model.joints[0]) == pytest.approx(float(by_hand), abs=1e-3)


def test_mortise_near_the_end_wants_a_haunch() -> None:
    (warning,) = sound(POST + HIGH + "joint tenon rail into post deep 30 mm\n", warnings=("PD413",)).diagnostics
    assert "only 6 mm of `post` are left at the end" in warning.message
    haunched("deep 30 mm haunched 20 mm x 10 mm")
    haunched("deep 30 mm shoulders 6 mm, 13 mm")


def test_rules_of_proportion_at_their_limits() -> None:
    wide = POST.replace("back from 0 for 45 mm", "back from 0 for 32 mm")
    text = wide + RAIL.replace("back from 10 mm", "back from 7 mm") + "joint tenon rail into post deep 20 mm shoulders 6 mm sized "
    sound(text + "16 mm\n")  # half of 32
    sound(text + "16.1 mm\n", warnings=("PD410",))
    sound(text + "4.5 mm\n")  # a quarter of the rail's 18
    sound(text + "4.4 mm\n", warnings=("PD411",))
    made("deep 41.8 mm")  # 3.2 left, more than 1/8 in.
    made("deep 42 mm", warnings=("PD414",))
    broad = POST + RAIL.replace("to 170 mm", "to 230 mm") + "joint tenon rail into post deep 20 mm sized 6 mm x "
    sound(broad + "101.6 mm\n")  # 4 in.
    sound(broad + "102 mm\n", warnings=("PD412",))


# --- the corner of a table ------------------------------------------------------------------------------------------

SIDE_RAIL = """
part side_rail from oak
  grain back
  back from 45 mm to 300 mm
  across from 10 mm
  up from 100 mm to 170 mm
"""


def corner(front: str, side: str) -> Model:
    return sound(POST + RAIL + SIDE_RAIL + f"joint tenon rail into post {front}\njoint tenon side_rail into post {side}\n").model


def shared(model: Model) -> float:
    return part_solid(model.part("rail")).common_volume(part_solid(model.part("side_rail")))


def test_two_tenons_meet_at_45_degrees_in_a_post() -> None:
    """Both lie 16 to 22 behind the outer faces and reach to 16 themselves, so their tips would share 6 x 6 x 58."""
    assert shared(corner("deep 29 mm", "deep 29 mm")) == pytest.approx(6 * 6 * 58, abs=1e-3)
    mitred = corner("deep 29 mm mitred rear", "deep 29 mm mitred right")
    assert shared(mitred) == pytest.approx(0, abs=1e-3)
    # Each loses a triangle of 6 x 6 over its width, and nothing is left between them.
    volume = part_solid(mitred.part("rail")).volume
    assert volume == pytest.approx(300 * 18 * 70 + 29 * 6 * 58 - 6 * 6 / 2 * 58, abs=1e-2)
    mitre = one(mitred.part("rail"), "mitre")
    assert figures(mitre) == [(0, 16, 22, "size")]
    # Shorter ones need no mitre.
    assert shared(corner("deep 23 mm", "deep 23 mm")) == 0


def test_the_short_cheek_is_the_named_one() -> None:
    solid = part_solid(corner("deep 29 mm mitred rear", "deep 23 mm").part("rail"))
    long_cheek, short_cheek = solid.section(1, 16.001), solid.section(1, 21.999)
    assert min(x for r in long_cheek for x, _ in r.outer) == pytest.approx(16, abs=0.01)
    assert min(x for r in short_cheek for x, _ in r.outer) == pytest.approx(22, abs=0.01)


# --- pegs, keys, loose tenons ---------------------------------------------------------------------------------------


def test_pegs_go_through_both_cheeks_and_the_tenon() -> None:
    model = made("deep 30 mm pegged peg count 2 at 12 mm draw 1 mm", PEG)
    (fastening,) = model.joints[0].fasteners
    assert (fastening.kind, fastening.axis, fastening.diameter, fastening.blind) == ("peg", 1, 6, False)
    # In at the front of the post, 12 from the shoulder at 45; a quarter and three quarters of 106 to 164.
    assert fastening.centres == ((33, 0, F(1205, 10)), (33, 0, F(1495, 10)))
    holes = [f for f in model.part("post").features if f.kind == "peg hole"]
    assert [body_box(f.cuts[0]).span(1) for f in holes] == [(0, 45)] * 2 and all(f.through for f in holes)
    # In the tenon they lie 1 nearer to the shoulder, and go through its 6.
    drawn = [f for f in model.part("rail").features if f.kind == "peg hole"]
    assert [body_box(f.cuts[0]).span(1) for f in drawn] == [(16, 22)] * 2
    assert [f.centre[0] for f in drawn if f.centre] == [34, 34]


def test_a_peg_that_does_not_go_through_the_tenon() -> None:
    (fault,) = faulty(POST + RAIL + "hardware stub dowel 6 mm x 20 mm\njoint tenon rail into post deep 30 mm pegged stub\n")
    assert fault.code == "PD324" and "the far cheek of the tenon lies 22 mm deep" in fault.notes[0].text


def test_a_blind_peg_stops_in_the_far_cheek() -> None:
    model = made("deep 30 mm pegged peg", PEG.replace("60 mm", "30 mm"))
    hole = one(model.part("post"), "peg hole")
    assert body_box(hole.cuts[0]).span(1) == (0, 30) and hole.depth == 30 and not hole.through


def test_a_keyed_tenon_has_its_mortise_just_inside_the_face() -> None:
    model = made("through proud 40 mm sized 8 mm keyed 12 mm x 15 mm")
    key = one(model.part("rail"), "key mortise")
    # The post's far face is at 0: 1/16 in. inside it, 15 outside; 12 wide in the middle of 105 to 165. With the shoulders closed 15
    # are open for the key.
    assert room(key) == Box((F(-15), F(15), F(129)), (INCH / 16, F(23), F(141)))
    (wedge,) = model.joints[0].fasteners
    assert key.through and (wedge.kind, wedge.diameter, wedge.length) == ("key", 12, 15)


def test_a_loose_tenon_lies_in_two_mortises() -> None:
    strip = "hardware strip slip 6 mm x 40 mm x 50 mm\n"
    model = made("loose strip deep 20 mm clearance 1 mm", strip)
    rail, post = model.part("rail"), model.part("post")
    assert rail.length == 300
    # 20 of it in the post, 30 in the rail, every mortise 1 deeper; 40 wide in the middle of 100 to 170.
    assert room(one(post, "mortise")) == box(24, 16, 115, 45, 22, 155)
    assert room(one(rail, "mortise")) == box(45, 16, 115, 76, 22, 155)
    (fastening,) = model.joints[0].fasteners
    assert (fastening.kind, fastening.item, fastening.blind, fastening.centres) == ("loose tenon", "strip", True, ((45, 19, 135),))
    half = made("loose strip", strip)
    assert room(one(half.part("rail"), "mortise")).size(0) == room(one(half.part("post"), "mortise")).size(0) == 25


# --- grain, ends and edges, assemblies ------------------------------------------------------------------------------


def test_a_tenon_on_an_edge() -> None:
    """A breadboard end: a tenon along the end of a board, in the edge of a cross piece."""
    text = """
part board from ply
  grain back
  across from 0 to 200 mm
  back from 0 to 300 mm
  up from 0
part bread from ply
  grain across
  across from 0 to 200 mm
  back from 300 mm to 370 mm
  up from 0
joint tenon board into bread deep 25 mm sized 6 mm x 100 mm
"""
    model = sound(text).model
    assert room(one(model.part("board"), "tenon")) == box(50, 300, 6, 150, 325, 12)
    assert model.joints[0].run_axis == 0


FRAME = """
assembly frame
  part post from ply
    grain up
    across from 0 to 60 mm
    back from 0
    up from 0 to 400 mm
  part rail from ply
    grain across
    across from 60 mm to 300 mm
    back from 0
    up from 100 mm to 170 mm
  joint tenon rail into post deep 40 mm set 4 mm shoulders 5 mm, 15 mm fit 0.2 mm
"""


def test_faces_named_in_an_assembly_are_its_own() -> None:
    """Set back from the front of the assembly's rail, wherever the assembly is turned: its front looks left here."""
    text = FRAME.replace("set 4 mm", "set 4 mm from front") + "place frame as first\nplace frame as second\n  at across 2000 mm\n  turned 90° about up\n"
    model = sound(text).model
    assert model.part("first.rail").mark == model.part("second.rail").mark
    text = FRAME.replace("deep 40 mm", "deep 23 mm sized 6 mm mitred rear") + "place frame as first\nplace frame as second\n  at across 2000 mm\n  turned 180° about up\n"
    model = sound(text).model
    assert model.part("first.rail").mark == model.part("second.rail").mark


@pytest.mark.parametrize("clause", ["", "turned 90° about up", "turned 90° about back", "turned 180° about across", "mirrored across", "mirrored back"])
def test_turned_and_mirrored_it_is_the_same_piece(clause: str) -> None:
    """The tenon has its place from the reference faces of its part, so a copy in any place is the same piece of wood."""
    model = sound(FRAME + "place frame as first\nplace frame as second\n  at across 2000 mm\n" + (f"  {clause}\n" if clause else "")).model
    one_, two = model.part("first.rail"), model.part("second.rail")
    assert sizes(one_) == sizes(two) == (280, 70, 18)
    assert (one_.mark == two.mark) == ("mirrored" not in clause)
    by_hand = (6 + F(1, 5)) * (50 + F(1, 5)) * 40 - 6 * 50 * 40
    for joint in model.joints:
        assert gap(model, joint) == pytest.approx(float(by_hand), abs=1e-3)


def test_a_mirrored_leg_has_its_mortises_at_the_same_distance_from_the_outer_faces() -> None:
    text = POST + "part other mirrors post about across 200 mm\npart rail from oak\n  grain across\n  across between post and other\n  back from 10 mm\n  up from 100 mm to 170 mm\njoint tenon rail into post, other deep 30 mm fit 0.2 mm\n"
    model = sound(text).model
    left, right = (room(one(model.part(name), "mortise")) for name in ("post", "other"))
    assert left.span(1) == right.span(1) and left.span(2) == right.span(2)
    assert (left.span(0), right.span(0)) == ((15, 45), (355, 385))
    assert model.part("rail").length == 310 + 60


def test_a_tenon_of_nothing_is_told() -> None:
    (fault,) = faulty(POST + RAIL + "joint tenon rail into post deep 30 mm sized 0\n")
    assert fault.code == "PD370"
