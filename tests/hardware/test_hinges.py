"""Concealed and butt hinges: holes in door and side, worked out by hand; what is said where they do not suit."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import Box, body_box
from plandoc.model.entities import Feature
from plandoc.tables.hinges import hinge_rows, hinges_for
from tests.support.resolving import Outcome, faulty, resolved, sound

# A case 600 wide and 700 high, a door before its left half that covers 16 of the side's 18, 100 to 600 high.
CASE = """
part left_side from ply
  grain  up
  across from 0
  back   from 0 to 300 mm
  up     from 0 to 700 mm
part right_side mirrors left_side about 300 mm
"""
LAP = """
part door from ply
  grain  up
  across from 2 mm to 298 mm
  back   to 0
  up     from 100 mm to 600 mm
"""
INSET = """
part door from ply
  grain  up
  across from 20 mm to 298 mm
  back   from 0
  up     from 100 mm to 600 mm
"""
CUP = 'hardware cup_hinge hinge "Cup hinge" overlay 16 mm screws 4\n'
BUTT = 'hardware butt butt_hinge "Butt hinge" long 50 mm leaf 14 mm x 1.5 mm holes 9 mm, 41 mm pilot 2 mm screws 4\n'


def spots(outcome: Outcome, path: str, kind: str) -> list[tuple[F, ...]]:
    return sorted(f.centre for f in outcome.model.part(path).features if f.kind == kind and f.centre is not None)


def test_cups_and_plates_at_the_same_heights() -> None:
    outcome = sound(CASE + LAP + CUP + "fit cup_hinge on door, left_side at 100 mm, 400 mm\n")
    # Heights 100 and 400 above the door's lower end at 100. Cup: 5 of wood and half of 35 from the edge at 2.
    middle = F(2) + 5 + F(35, 2)
    assert spots(outcome, "door", "cup") == [(middle, 0, 200), (middle, 0, 500)]
    # Its screws: 9.5 further in, 45 apart.
    line = middle + F(19, 2)
    assert spots(outcome, "door", "hole") == [(line, 0, F(355, 2)), (line, 0, F(445, 2)), (line, 0, F(955, 2)), (line, 0, F(1045, 2))]
    # The plate: 37 behind the front edge, two screws 32 apart about the same heights.
    assert spots(outcome, "left_side", "hole") == [(18, 37, 184), (18, 37, 216), (18, 37, 484), (18, 37, 516)]
    cups = [f for f in outcome.model.part("door").features if f.kind == "cup"]
    assert {(f.diameter, f.depth, f.face.name if f.face else "") for f in cups} == {(35, F(25, 2), "rear")}
    (fitting,) = outcome.model.fittings
    assert fitting.quantity == 2 and fitting.parts == ("door", "left_side") and len(fitting.rooms) == 2
    # 25 around the height, 20 on the side, from the door to 25 behind the plate's line.
    assert fitting.rooms[0] == Box((18, 0, 175), (38, 62, 225))


def figures(feature: Feature) -> set[tuple[int, F, F, int]]:
    return {(g.axis, g.lo, g.hi, g.datum) for g in feature.figures}


def test_figures_start_at_reference_edges() -> None:
    outcome = sound(CASE + LAP + CUP + "fit cup_hinge on door, left_side at 100 mm, 400 mm\n")
    cup = next(f for f in outcome.model.part("door").features if f.kind == "cup")
    assert figures(cup) == {(0, 2, F(49, 2), -1), (2, 100, 200, -1)}
    hole = next(f for f in outcome.model.part("left_side").features if f.kind == "hole")
    assert figures(hole) == {(1, 0, 37, -1), (2, 0, 184, -1)}


def test_mirrored_doors_hang_on_mirrored_sides() -> None:
    text = CASE + LAP + "part door_2 mirrors door about 300 mm\n" + CUP
    outcome = sound(text + "fit cup_hinge on door, left_side, door_2, right_side at 100 mm, 400 mm\n")
    for left, right, kind in (("door", "door_2", "cup"), ("door", "door_2", "hole"), ("left_side", "right_side", "hole")):
        assert sorted((600 - x, y, z) for x, y, z in spots(outcome, left, kind)) == spots(outcome, right, kind), kind
    assert outcome.model.fittings[0].quantity == 4
    # The figure of the mirrored cup is the same length, from the mirrored edge.
    cup = next(f for f in outcome.model.part("door_2").features if f.kind == "cup")
    assert (0, 600 - F(49, 2), 598, 1) in figures(cup)


def test_hinges_in_a_turned_assembly() -> None:
    """Turned by a quarter about up, across becomes back; the figures of the holes turn with it."""
    body = "assembly unit\n" + "".join(f"  {x}\n" for x in (CASE + LAP).strip().splitlines()) + "  fit cup_hinge on door, left_side at 100 mm, 400 mm\n"
    outcome = sound(CUP + body + "place unit\n  turned 90° about up\n  at across 1000 mm\n")
    # (x, y) goes to (1000 - y, x).
    assert spots(outcome, "unit.door", "cup") == [(1000, F(49, 2), 200), (1000, F(49, 2), 500)]
    assert spots(outcome, "unit.left_side", "hole") == [(963, 18, 184), (963, 18, 216), (963, 18, 484), (963, 18, 516)]
    assert outcome.model.fittings[0].rooms[0] == Box((938, 18, 175), (1000, 38, 225))


def test_an_inset_door() -> None:
    """2 mm beside the side; the plate's line lies 37 behind the door's inner face at 18."""
    outcome = sound(CASE + INSET + "hardware inset_hinge hinge\nfit inset_hinge on door, left_side at 100 mm, 400 mm\n")
    assert spots(outcome, "door", "cup") == [(20 + 5 + F(35, 2), 18, 200), (20 + 5 + F(35, 2), 18, 500)]
    assert {y for _, y, _ in spots(outcome, "left_side", "hole")} == {18 + 37}


def test_a_flap_hangs_from_the_top() -> None:
    flap = "part board from ply\n  grain across\n  across from 18 mm to 582 mm\n  back from 0 to 300 mm\n  up to 700 mm\n"
    flap += "part flap from ply\n  grain across\n  across from 18 mm to 582 mm\n  back to 0\n  up from 400 mm to 698 mm\n"
    outcome = sound(flap + CUP + "fit cup_hinge on flap, board at 100 mm, 464 mm\n")
    # The top covers 682 to 700; the flap ends at 698, so it covers 16. Cups 22.5 below its edge.
    assert spots(outcome, "flap", "cup") == [(118, 0, 698 - F(45, 2)), (482, 0, 698 - F(45, 2))]
    assert spots(outcome, "board", "hole") == [(102, 37, 682), (134, 37, 682), (466, 37, 682), (498, 37, 682)]


def test_inches() -> None:
    text = 'plan "T"\nstock ply sheet 48" x 96"\n  called 3/4"\n'
    text += 'part side from ply\n  grain up\n  across from 0\n  back from 0 to 12"\n  up from 0 to 30"\n'
    text += 'part door from ply\n  grain up\n  across from 1/8" to 12"\n  back to 0\n  up from 0 to 30"\n'
    text += 'hardware h hinge overlay 5/8" edge 1/4"\nfit h on door, side at 3", 27"\n'
    outcome = resolved(text)
    assert not outcome.diagnostics, outcome.report
    inch = F(254, 10)
    assert spots(outcome, "door", "cup") == [(inch * F(3, 8) + F(35, 2), 0, 3 * inch), (inch * F(3, 8) + F(35, 2), 0, 27 * inch)]
    # Pilot holes are 3/8 in deep in an inch plan.
    assert {f.depth for f in outcome.model.part("side").features} == {inch * F(3, 8)}


def test_places_left_out_are_even_and_from_counts_from_the_other_end() -> None:
    outcome = sound(CASE + LAP + CUP + "fit cup_hinge on door, left_side\n")
    assert [z for _, _, z in spots(outcome, "door", "cup")] == [200, 500]  # 100 from both ends of 500
    outcome = sound(CASE + LAP + CUP + "fit cup_hinge on door, left_side count 3 ends 50 mm\n")
    assert [z for _, _, z in spots(outcome, "door", "cup")] == [150, 350, 550]
    outcome = sound(CASE + LAP + CUP + "fit cup_hinge on door, left_side at 60 mm, 400 mm from top\n")
    assert [z for _, _, z in spots(outcome, "door", "cup")] == [200, 540]


def test_overlay_is_checked_with_both_figures() -> None:
    for door, codes in (("0", []), ("2 mm", []), ("4 mm", []), ("4.1 mm", ["PD450"])):  # covers 18, 16, 14, 13.9
        outcome = resolved('plan "T"\n  units mm to 0.1\nstock ply sheet 48" x 96"\n  called 18 mm\n' + CASE + LAP.replace("2 mm to", f"{door} to") + CUP + "fit cup_hinge on door, left_side at 100 mm, 400 mm\n")
        assert outcome.codes == codes, outcome.report
    assert "`cup_hinge` is made for an overlay of 16 mm: `door` covers 13.9 mm of the edge of `left_side`" in outcome.report
    outcome = sound(CASE + INSET + CUP + "fit cup_hinge on door, left_side at 100 mm, 400 mm\n", warnings=("PD450",))
    assert "stands 2 mm beside" in outcome.report
    sound(CASE + LAP + "hardware inset_hinge hinge\nfit inset_hinge on door, left_side at 100 mm, 400 mm\n", warnings=("PD450",))


def test_high_and_heavy_doors_want_more_hinges() -> None:
    assert [hinges_for("hinge", F(h), None) for h in (900, 901, 1600, 2000, 2400, 2500)] == [2, 3, 3, 4, 5, 6]
    assert hinges_for("hinge", F(500), F(7)) == 3
    assert hinges_for("butt_hinge", F(1500), F(10)) == 2
    assert all("from memory" in r.source or "common practice" in r.source for r in hinge_rows())
    tall = CASE.replace("700 mm", "1200 mm") + LAP.replace("600 mm", "1050 mm") + CUP
    outcome = sound(tall + "fit cup_hinge on door, left_side at 100 mm, 800 mm\n", warnings=("PD451",))
    assert "`door` wants 3 hinges, here are 2" in outcome.report
    sound(tall + "fit cup_hinge on door, left_side at 100 mm, 450 mm, 800 mm\n")


def test_wrong_parts() -> None:
    assert [d.code for d in faulty(CASE + LAP + CUP + "fit cup_hinge on door at 100 mm\n")] == ["PD318"]
    assert [d.code for d in faulty(CASE + LAP + CUP + "fit cup_hinge on left_side, right_side at 100 mm\n")] == ["PD318"]
    (fault,) = faulty(CASE + LAP + 'hardware deep_hinge hinge overlay 16 mm deep 18 mm\nfit deep_hinge on door, left_side at 100 mm\n')
    assert fault.code == "PD331" and "18 mm deep, too deep for `door`" in fault.message


def test_butt_hinges_are_let_into_both_parts() -> None:
    """The door stands 2 beside the side; the pin at the front. Both gains begin at the door's face at 0. Of two leaves of 1.5
    the gap takes 2, so 0.5 goes into either part."""
    outcome = sound(CASE + INSET + BUTT + "fit butt on door, left_side at 100 mm, 400 mm\n")
    for path, plane, inward, face in (("door", F(20), 1, "left"), ("left_side", F(18), -1, "right")):
        gains = [f for f in outcome.model.part(path).features if f.kind == "gain"]
        assert [f.face.name for f in gains if f.face] == [face] * 2
        for gain, height in zip(gains, (200, 500), strict=True):
            (cut,) = gain.cuts
            assert (cut.lo, cut.hi) == tuple(sorted((plane, plane + inward * F(1, 2))))
            assert (cut.outline.lo, cut.outline.hi) == ((0, height - 25), (14, height + 25))  # type: ignore[union-attr]
        # 9 and 41 from the leaf's lower end, in the middle of its width of 14; 10 deep below the gain.
        holes = [f for f in outcome.model.part(path).features if f.kind == "hole"]
        assert [f.centre for f in holes] == [(plane, 7, 184), (plane, 7, 216), (plane, 7, 484), (plane, 7, 516)]
        assert {f.depth for f in holes} == {F(21, 2)}


def test_butt_hinges_on_the_surface_make_no_gains() -> None:
    text = CASE + INSET.replace("20 mm", "21 mm") + BUTT + "fit butt on door, left_side at 100 mm, 400 mm surface\n"
    outcome = sound(text)
    assert {f.kind for f in outcome.model.part("door").features} == {"hole"}
    sound(text.replace("21 mm", "20.9 mm"), warnings=("PD453",))


@pytest.mark.parametrize(("edge", "deep", "codes"), [
    ("18 mm", F(3, 2), ()), ("19 mm", F(1), ()), ("20.8 mm", F(1, 10), ()), ("21 mm", None, ()), ("21.1 mm", None, ("PD453",)),
])  # fmt: skip
def test_gains_and_gap_together_have_room_for_both_leaves(edge: str, deep: F | None, codes: tuple[str, ...]) -> None:
    """Two leaves are 3; the side's face lies at 18."""
    outcome = sound(CASE + INSET.replace("20 mm", edge) + BUTT + "fit butt on door, left_side at 100 mm, 400 mm\n", warnings=codes)
    for path in ("door", "left_side"):
        features = outcome.model.part(path).features
        assert {f.depth for f in features if f.kind == "gain"} == ({deep} if deep else set())
        assert {f.depth for f in features if f.kind == "hole"} == {10 + (deep or 0)}


def test_a_leaf_that_goes_through_the_side_is_told() -> None:
    """The gap of 2 leaves half of 2 x 19 - 2 to either part: 18, as thick as the side is."""
    (fault,) = faulty(CASE + INSET + "hardware slab_butt butt_hinge long 50 mm leaf 14 mm x 19 mm\nfit slab_butt on door, left_side at 100 mm\n")
    assert fault.code == "PD331" and "`slab_butt` goes through `left_side`" in fault.message and "thinner leaves" in fault.mend


def test_butt_hinges_of_a_door_before_the_side() -> None:
    """The leaves lie between the door's rear face and the side's front edge, the pin at the outside."""
    outcome = sound(CASE + LAP.replace("from 2 mm", "from 0") + BUTT + "fit butt on door, left_side at 100 mm, 400 mm\n")
    for path, face in (("door", "rear"), ("left_side", "front")):
        gain = next(f for f in outcome.model.part(path).features if f.kind == "gain")
        assert gain.face is not None and gain.face.name == face
        assert (gain.cuts[0].outline.lo, gain.cuts[0].outline.hi) == ((0, 175), (14, 225))  # type: ignore[union-attr]


def test_a_leaf_wider_than_the_edge_is_a_fault() -> None:
    (fault,) = faulty(CASE + INSET + "hardware wide_butt butt_hinge long 50 mm leaf 20 mm x 2 mm\nfit wide_butt on door, left_side at 100 mm\n")
    assert fault.code == "PD330" and "reaches 2 mm over an edge of `door`" in fault.message


FRAME_DOOR = """
assembly leaf
  part stile[1] from oak
    grain  up
    across from 20 mm for 60 mm
    back   from 0
    up     from 100 mm to 600 mm
  part stile[2] from oak
    grain  up
    across from 520 mm for 60 mm
    back   from 0
    up     from 100 mm to 600 mm
  part panel from oak
    grain  up
    across between stile[1] and stile[2]
    back   from 0
    up     from 100 mm to 600 mm
  {joint}
stock oak sheet 48" x 96"
  called 18 mm
  density {density}
place leaf
{more}
"""


def frame_door(joint: str, density: int, more: str) -> Outcome:
    lines = [line for line in FRAME_DOOR.format(joint=joint, density=density, more=more).splitlines() if line.strip()]
    return resolved('plan "T"\n  units mm to 0.1\nstock ply sheet 48" x 96"\n  called 18 mm\n' + CASE + "\n".join(lines) + "\n")


def test_the_number_left_out_goes_by_height_and_weight_of_the_whole_door() -> None:
    """560 x 500 x 18 mm are 0.00504 m3: 3.5 kg at 700 kg/m3, 6.05 kg at 1200; two cup hinges carry 6 kg, a stile alone
    weighs 0.65 kg."""
    fit = "hardware h hinge\nfit h on leaf.stile[1], left_side"
    glued, swings = "joint butt panel into stile", "swings leaf 95° about left to front\n"
    for joint, more in ((glued, ""), (glued, swings), ("", swings)):
        for density, number in ((700, 2), (1200, 3)):
            outcome = frame_door(joint, density, more + fit)
            assert not outcome.diagnostics, outcome.report
            assert outcome.model.fittings[0].quantity == number
    outcome = frame_door(glued, 1200, fit + " count 2")
    assert outcome.codes == ["PD451"] and "weighs about 6.0 kg (13 lb)" in outcome.report


def test_hinges_of_a_short_door_keep_a_quarter_of_its_length_from_the_ends() -> None:
    short = LAP.replace("to 600 mm", "to 340 mm") + CUP
    outcome = sound(CASE + short + "fit cup_hinge on door, left_side\n")
    assert [z for _, _, z in spots(outcome, "door", "cup")] == [160, 280]
    (fault,) = faulty(CASE + short + "fit cup_hinge on door, left_side ends 120 mm\n")
    assert fault.code == "PD333" and fault.mend == "ends 60 mm, or count 1"
    outcome = sound(CASE + short + "fit cup_hinge on door, left_side count 1 ends 120 mm\n", warnings=("PD451",))
    assert [z for _, _, z in spots(outcome, "door", "cup")] == [220]
    # Plates 45 mm apart and less would stand in each other's way.
    assert [d.code for d in faulty(CASE + short + "fit cup_hinge on door, left_side at 60 mm, 100 mm\n")] == ["PD333"]


def test_a_butt_hinge_joins_a_door_to_a_stile_in_its_plane() -> None:
    """Door and stile of a face frame: the pin at the front, one leaf on the edge of each."""
    stile = "part stile from ply\n  grain up\n  across from 0 for 40 mm\n  back to 0\n  up from 0 to 700 mm\n"
    door = "part door from ply\n  grain up\n  across from 42 mm to 298 mm\n  back to 0\n  up from 100 mm to 600 mm\n"
    outcome = sound(stile + door + BUTT + "fit butt on door, stile at 100 mm, 400 mm\n")
    for path, face in (("door", "left"), ("stile", "right")):
        gains = [f for f in outcome.model.part(path).features if f.kind == "gain"]
        assert [f.face.name for f in gains if f.face] == [face] * 2
        assert (gains[0].cuts[0].outline.lo, gains[0].cuts[0].outline.hi) == ((-18, 175), (-4, 225))  # type: ignore[union-attr]


RISER = """part riser from ply
  grain across
  across from 0 to 500 mm
  back from 165 mm
  up from {low} mm to {high} mm
part lid from ply
  grain across
  across from 0 to 500 mm
  back from 0 to 164 mm
  up from 178 mm
"""


@pytest.mark.parametrize(("swing", "low", "high", "leaf"), [
    ("", 178, 378, (178, 192)), ("swings lid 90° about rear to top\n", 178, 378, (182, 196)), ("swings lid 90° about rear\n", 100, 378, (182, 196)),
    ("swings lid 90° about rear to bottom\n", 0, 378, (178, 192)),
])  # fmt: skip
def test_the_pin_stands_on_the_side_to_which_the_lid_swings(swing: str, low: int, high: int, leaf: tuple[int, int]) -> None:
    """A lid 18 thick before a riser that goes on above it: leaves 14 wide, on both from the face at which the lid opens."""
    text = RISER.format(low=low, high=high) + BUTT + swing + "fit butt on lid, riser at 100 mm, 400 mm\n"
    model = sound(text).model
    for path in ("lid", "riser"):
        gains = [body_box(f.cuts[0]).span(2) for f in model.part(path).features if f.kind == "gain"]
        assert gains == [leaf] * 2, path


def test_a_door_set_back_between_the_sides_has_both_leaves_at_its_own_face() -> None:
    model = sound(CASE + INSET.replace("back   from 0", "back   from 10 mm") + BUTT + "fit butt on door, left_side at 100 mm, 400 mm\n").model
    for path in ("door", "left_side"):
        assert {body_box(f.cuts[0]).span(1) for f in model.part(path).features if f.kind == "gain"} == {(10, 24)}, path
