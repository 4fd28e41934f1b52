"""Corners held by screws and dowels: figures by hand in mm. The parts are those of test_corners: a side 18 x 120 x 300 with its
outer face at 0, a top flush with its upper end; the corner is 18 x 120 x 18.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import Frustum, body_box
from plandoc.model.entities import Feature, Model
from plandoc.shopwork.hardwarelist import hardware_list
from tests.joints.test_corners import FRAME, ROOM
from tests.support.fitting import NOTHING, fit_of, whole
from tests.support.resolving import CORNER, faulty, sound

S8 = "hardware s8 screw No 8 long 50 mm\n"
PIN = "hardware pin dowel 6 mm x 40 mm\n"
ROD = "hardware rod dowel 6 mm x 120 mm\n"


def bores(model: Model, part: str) -> list[Feature]:
    return [f for f in model.part(part).features if "hole" in f.kind]


def spans(features: list[Feature], axis: int) -> list[tuple[F, F]]:
    return [body_box(f.cuts[0]).span(axis) for f in features]


# --- mitres ----------------------------------------------------------------------------------------------------------


def test_screws_through_the_first_part_of_a_mitred_case() -> None:
    model = sound(S8 + CORNER + "joint mitre top into side with s8 every 50 mm ends 10 mm\n").model
    (screws,) = model.joints[0].fasteners
    # Down from the top's outer face, in the middle of the side's 18; 100 in two steps of 50.
    assert screws.centres == ((9, 10, 300), (9, 60, 300), (9, 110, 300))
    assert (screws.axis, screws.length, screws.from_a) == (2, 50, True)
    assert spans(bores(model, "top"), 2) == [(282, 300)] * 3 and spans(bores(model, "side"), 2) == [(250, 300)] * 3
    for hole in bores(model, "top"):
        assert hole.through and isinstance(hole.cuts[1], Frustum) and hole.note == "csk Ø8.5 × 90°"
        assert [(f.axis, f.lo, f.hi) for f in hole.figures if f.axis == 0] == [(0, 0, 9)]
    for hole in bores(model, "side"):
        assert (hole.depth, hole.through, hole.note) == (50, False, "")
    # Clearance of the shank, lead of the thread.
    assert {h.diameter for h in bores(model, "top")} == {F(9, 2)} and {h.diameter for h in bores(model, "side")} == {2}
    assert [(r.item, r.quantity, r.used) for r in hardware_list(model)] == [("s8", 3, "Top into Side")]
    assert whole(model, "top") and whole(model, "side") and fit_of(model, "top", "side", ROOM).shared < NOTHING


def test_dowels_through_the_second_part_of_a_mitred_case() -> None:
    model = sound(PIN + CORNER + "joint mitre top into side with pin count 2 ends 30 mm from left\n").model
    (pins,) = model.joints[0].fasteners
    assert (pins.centres, pins.from_a) == (((0, 30, 291), (0, 90, 291)), False)
    assert spans(bores(model, "side"), 0) == [(0, 18)] * 2 and spans(bores(model, "top"), 0) == [(0, 40)] * 2
    assert hardware_list(model)[0].used == "Side into Top"


def test_mitred_frame_corner_gets_one_in_its_middle() -> None:
    model = sound(S8.replace("50", "60") + FRAME + "joint mitre rail into stile with s8\n").model
    # Up from the lower edge: half of the stile's 50, half of 18; 25 of the rail, the rest in the stile.
    (screw,) = model.joints[0].fasteners
    assert screw.centres == ((25, 9, 0),)
    assert spans(bores(model, "stile"), 2) == [(0, 60)]
    two = sound(S8.replace("50", "60") + FRAME + "joint mitre rail into stile with s8 count 2 ends 15 mm\n").model
    assert two.joints[0].fasteners[0].centres == ((15, 9, 0), (35, 9, 0))


def test_plugs_over_screws_in_a_mitre() -> None:
    model = sound(S8 + FRAME + "joint mitre rail into stile with s8 plugged 10 mm\n").model
    screw, plug = model.joints[0].fasteners
    # The head lies 10 below the edge, so the tip is 60 below it.
    assert (screw.centres, plug.centres, plug.diameter, plug.from_a) == (((25, 9, 10),), ((25, 9, 0),), 10, True)
    assert spans(bores(model, "stile"), 2) == [(0, 60)]


@pytest.mark.parametrize(
    ("lines", "code", "words"),
    [
        # 25 of the rail stand before the stile; a screw of 25 does not pass them.
        (S8.replace("50", "25") + FRAME + "joint mitre rail into stile with s8\n", "PD324", "does not reach `stile`"),
        # In 9 of wood, 4 where the plug of 10 ends.
        (S8 + CORNER + "joint mitre top into side with s8 plugged 5 mm\n", "PD378", "comes out at the mitre of `top`"),
        (S8 + CORNER + "joint mitre top into side with s8 from right\n", "PD371", "they go through one outer face of the corner"),
        (S8 + CORNER + "joint mitre top into side with s8 spline 4 mm x 12 mm\n", "PD371", "a spline, or screws or dowels"),
        (S8 + CORNER + "joint mitre top into side with s8 count 30\n", "PD376", "the screws do not fit"),
    ],
)
def test_what_cannot_hold_a_mitre(lines: str, code: str, words: str) -> None:
    (fault,) = faulty(lines)
    assert fault.code == code and words in fault.message


# --- dovetails -------------------------------------------------------------------------------------------------------


def test_a_dowel_through_every_tail() -> None:
    """Tails 30 at their ends on a pitch of 40, from 5 on: their middles at 20, 60 and 100."""
    model = sound(PIN + CORNER + "joint dovetail top into side tails 3 with pin\n").model
    (pins,) = model.joints[0].fasteners
    assert pins.centres == ((9, 20, 300), (9, 60, 300), (9, 100, 300)) and pins.from_a
    # 18 through the tails, the rest of 40 in the end grain below.
    assert spans(bores(model, "top"), 2) == [(282, 300)] * 3
    assert spans(bores(model, "side"), 2) == [(260, 282)] * 3 and {h.depth for h in bores(model, "side")} == {22}
    assert whole(model, "top") and whole(model, "side") and fit_of(model, "top", "side", ROOM).shared < NOTHING
    two = sound(PIN + CORNER + "joint dovetail top into side tails 3 with pin count 2\n").model
    assert two.joints[0].fasteners[0].centres == ((9, 20, 300), (9, 100, 300))


def test_through_the_pins_into_the_tails_board() -> None:
    """Between the tails 35..45 and 75..85 are pins; square to the side's outer face."""
    model = sound(PIN + CORNER + "joint dovetail top into side tails 3 with pin from left\n").model
    (pins,) = model.joints[0].fasteners
    assert pins.centres == ((0, 40, 291), (0, 80, 291)) and not pins.from_a
    assert spans(bores(model, "side"), 0) == [(0, 18)] * 2 and spans(bores(model, "top"), 0) == [(18, 40)] * 2
    tailed = sound(PIN + CORNER + "joint dovetail top into side tails 3 tailed with pin from top\n").model
    assert tailed.joints[0].fasteners[0].centres == ((9, 40, 300), (9, 80, 300))


def test_half_blind_tails_are_pinned_in_the_middle_of_their_length() -> None:
    model = sound(PIN + CORNER + "joint dovetail top into side tails 3 half_blind lap 6 mm with pin count 1\n").model
    assert model.joints[0].fasteners[0].centres == ((12, 60, 300),)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ("with s8 from left", "PD376", "8.5 mm"),  # what a head takes, of pins 8 wide
        ("with pin count 4", "PD376", "4 tails"),
    ],
)
def test_what_finds_no_room_in_a_dovetail(words: str, code: str, told: str) -> None:
    (fault,) = faulty(S8 + PIN + CORNER + f"joint dovetail top into side tails 3 pins 8 mm {words}\n")
    assert fault.code == code and told in fault.message + "".join(n.text for n in fault.notes)


# --- box joints ------------------------------------------------------------------------------------------------------


def test_a_dowel_down_through_all_fingers() -> None:
    model = sound(ROD + CORNER + "joint box top into side pins 20 mm with rod\n").model
    (rod,) = model.joints[0].fasteners
    assert (rod.centres, rod.axis, rod.length) == (((9, 0, 291),), 1, 120)
    for part in ("top", "side"):
        (hole,) = bores(model, part)
        assert hole.kind == "dowel hole" and hole.through and spans([hole], 1) == [(0, 120)]
        assert hole.face is not None and hole.face.name == "front"
        assert sorted(f.axis for f in hole.figures) == [0, 2]
    fit = fit_of(model, "top", "side", ROOM)
    # The room of the dowel is the only one: 3 x 3 x pi x 120, as a polygon a little less.
    assert fit.shared < NOTHING and fit.gap == pytest.approx(3.14159 * 9 * 120, rel=2e-2)
    assert [(r.item, r.quantity) for r in hardware_list(model)] == [("rod", 1)]


def test_dowels_from_both_edges_end_in_the_wood() -> None:
    model = sound(PIN + CORNER + "joint box top into side pins 20 mm with pin from front, rear\n").model
    assert [f.centres for f in model.joints[0].fasteners] == [((9, 0, 291),), ((9, 120, 291),)]
    assert spans(bores(model, "top"), 1) == [(0, 40), (80, 120)] and {h.depth for h in bores(model, "side")} == {40}
    assert len({h.id for h in bores(model, "side")}) == 2


@pytest.mark.parametrize(
    ("lines", "words", "code", "told"),
    [
        (S8, "with s8", "PD323", "`s8` is no dowel"),
        ("hardware rod dowel 6 mm x 20 mm\n", "with rod", "PD324", "ends in the first finger"),
        ("hardware rod dowel 18 mm x 120 mm\n", "with rod", "PD376", "the dowels do not fit"),
        (ROD, "with rod from top", "PD371", "at an edge"),
        (ROD, "with rod from front, rear", "PD376", "the dowels do not fit"),
    ],
)
def test_what_cannot_pin_a_box_joint(lines: str, words: str, code: str, told: str) -> None:
    (fault,) = faulty(lines + CORNER + f"joint box top into side pins 20 mm {words}\n")
    assert fault.code == code and told in fault.message


# --- the work --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["mitre {} with s8", "dovetail {} tails 3 with pin", "dovetail {} tails 3 with pin from left", "box {} pins 20 mm with rod"])
def test_turned_and_mirrored_corners_are_held_alike(words: str) -> None:
    inside = "".join(f"  {line}\n" for line in (CORNER + "joint " + words.format("top into side")).splitlines())
    model = sound(S8 + PIN + ROD + f"assembly case\n{inside}place case\nplace case as twin\n  mirrored across\n  at across 900 mm\n").model
    first, second = model.joints
    ends = max(p.box.hi[0] for p in model.parts if p.path.startswith("twin"))
    for one, other in zip(first.fasteners, second.fasteners, strict=True):
        assert sorted((ends - x, y, z) for x, y, z in other.centres) == sorted(one.centres)


# --- words that say nothing by themselves ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("joint", "word", "owner"),
    [
        ("mitre top into side count 3", "count", "with"),
        ("mitre top into side plugged 3 mm", "plugged", "with"),
        ("dovetail top into side tails 3 from left", "from", "with"),
        ("box top into side pins 20 mm from front", "from", "with"),
    ],
)
def test_words_without_the_one_that_owns_them_are_told(joint: str, word: str, owner: str) -> None:
    (told,) = sound(CORNER + f"joint {joint}\n", warnings=("PD264",)).diagnostics
    assert told.message == f"`{word}` says nothing without `{owner}`"


def test_a_dowel_has_no_head_for_a_plug() -> None:
    (fault,) = faulty(PIN + CORNER + "joint dovetail top into side tails 3 with pin plugged 3 mm\n")
    assert fault.code == "PD371" and "`pin` has no head" in fault.message
