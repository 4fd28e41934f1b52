"""Dowels and screws through joints: how many, where, how deep. Figures by hand, in mm."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import body_box
from plandoc.joints.fastening import spaced
from plandoc.tables import shank_and_lead
from tests.joints.test_channels import SIDES, shelf
from tests.support.resolving import faulty, sound

PIN = "hardware pin dowel 8 mm x 40 mm\n"


@pytest.mark.parametrize(
    ("lo", "hi", "every", "ends", "places"),
    [
        (0, 200, 100, 20, (20, 100, 180)),  # 160 in two steps of 80
        (0, 200, 160, 20, (20, 180)),
        (0, 200, 159, 20, (20, 100, 180)),
        (0, 200, 50, 25, (25, 75, 125, 175)),
        (0, 30, 50, 20, (15,)),  # no room for two: one in the middle
        (10, 110, 60, 0, (10, 60, 110)),
    ],
)
def test_even_steps_of_at_most_the_given_one(lo: int, hi: int, every: int, ends: int, places: tuple[F, ...]) -> None:
    assert spaced(F(lo), F(hi), F(every), F(ends)) == places


def test_dowels_through_a_rabbet() -> None:
    text = PIN + SIDES + shelf("to 500 mm", "lid") + "joint rabbet lid into left_side deep 6 mm with pin every 100 mm ends 20 mm\n"
    model = sound(text).model
    (fastening,) = model.joints[0].fasteners
    # In the middle of the tongue's thickness (482 to 500), on the outer face of the side.
    assert fastening.centres == ((0, 20, 491), (0, 100, 491), (0, 180, 491))
    assert (fastening.kind, fastening.diameter, fastening.length, fastening.axis) == ("dowel", 8, 40, 0)
    holes_side = [f for f in model.part("left_side").features if f.kind == "dowel hole"]
    holes_lid = [f for f in model.part("lid").features if f.kind == "dowel hole"]
    assert len(holes_side) == len(holes_lid) == 3
    # The side is 18 thick, 6 of it are rabbet: the hole goes through 12, then 28 into the lid.
    assert body_box(holes_side[0].cuts[0]).span(0) == (0, 12)
    assert body_box(holes_lid[0].cuts[0]).span(0) == (12, 40)
    assert holes_side[0].through and holes_lid[0].depth == 28
    assert len({f.row for f in holes_side}) == 1


def test_screws_have_a_clearance_hole_and_a_lead_hole() -> None:
    text = "hardware s8 screw No 8 long 50 mm\n" + SIDES + shelf("from 100 mm") + "joint butt shelf into left_side with s8 every 200 mm ends 30 mm\n"
    model = sound(text).model
    shank = F(164, 1000) * F(254, 10)  # No. 8: 0.060 + 8 x 0.013 = 0.164 in
    # Root 0.109 in (two thirds of the shank, Wood Handbook chapter 8 rule); 80 % of it for medium woods.
    assert shank_and_lead(F(8)) == (shank, F(109, 1000) * F(254, 10) * F(8, 10))
    hole_side = next(f for f in model.part("left_side").features if f.kind == "screw hole")
    hole_shelf = next(f for f in model.part("shelf").features if f.kind == "screw hole")
    # Drills come in half millimetres: a hole for a shank of 4.17 is never tighter than the shank, the lead hole of
    # 2.21 is the nearest.
    assert hole_side.diameter == F(9, 2) > shank
    assert hole_shelf.diameter == 2
    assert hole_shelf.depth == 50 - 18


def test_a_fastener_too_short_says_by_how_much() -> None:
    text = "hardware stub dowel 8 mm x 10 mm\n" + SIDES + shelf("from 100 mm") + "joint dado shelf into left_side deep 6 mm with stub every 100 mm\n"
    (fault,) = faulty(text)
    assert fault.code == "PD324"
    assert "it is 10 mm long, 12 mm of `left_side` stand in its way" in fault.notes[0].text


def test_butt_changes_no_size() -> None:
    model = sound(SIDES + shelf("from 100 mm") + "joint butt shelf into left_side, right_side\n").model
    assert model.part("shelf").length == 364
    assert all(not f.cuts and not f.adds for p in model.parts for f in p.features)


# --- rows in which there is no room ----------------------------------------------------------------------------------

S8 = "hardware s8 screw No 8 long 40 mm\n"


@pytest.mark.parametrize(
    ("line", "apart", "wide"),
    [
        # 40 on 200 are 5 apart; a head of No 8 takes 8.5.
        ("screw shelf into left_side with s8 count 40", "5 mm apart", "8.5 mm"),
        ("dado shelf into left_side deep 6 mm with s8 every 6 mm", "6 mm apart", "8.5 mm"),
        ("butt shelf into left_side with s8 every 0", "0 mm apart", "8.5 mm"),
        ("butt shelf into left_side with pin every 7 mm", "7 mm apart", "8 mm"),
        ("dowel shelf into left_side with pin count 30 deep 12 mm", "6.7 mm apart", "8 mm"),
        ("dowel shelf into left_side with pin at 50 mm, 90 mm, 57 mm deep 12 mm", "7 mm apart", "8 mm"),
        # A plug of 10 takes more than the head below it: 20 on 200 have room for heads, not for plugs.
        ("screw shelf into left_side with s8 count 21 plugged 6 mm", "9.5 mm apart", "10 mm"),
    ],
)
def test_fasteners_that_stand_in_each_other(line: str, apart: str, wide: str) -> None:
    (fault,) = faulty(S8 + PIN + SIDES + shelf("from 100 mm") + f"joint {line}\n")
    word = "dowel" if "pin" in line else "screw"
    assert (fault.code, fault.message) == ("PD376", f"the {word}s do not fit between the two parts")
    assert apart in fault.notes[0].text and f"each takes {wide}" in fault.notes[0].text


def test_fasteners_may_touch() -> None:
    text = S8 + SIDES + shelf("from 100 mm") + "joint screw shelf into left_side with s8 every 8.5 mm ends 10 mm\n"
    (fault,) = faulty(text)  # 180 in 22 steps of 8.18
    assert "23 of them stand" in fault.notes[0].text
    (screws,) = sound(text.replace("ends 10 mm", "ends 15 mm")).model.joints[0].fasteners  # 170 in 20 steps
    assert len(screws.centres) == 21


def test_a_distance_of_almost_nothing_takes_no_time() -> None:
    (fault,) = faulty(S8 + SIDES + shelf("from 100 mm") + "joint screw shelf into left_side with s8 every 0.000001 mm\n")
    assert fault.code == "PD376"
