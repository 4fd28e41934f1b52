"""Biscuits and pocket screws: places by hand, in mm."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import FACES, body_box
from plandoc.shopwork.hardwarelist import hardware_list
from plandoc.shopwork.operations import operations
from plandoc.tables.biscuits import SIZES, SLOT
from tests.support.fitting import whole
from tests.support.resolving import faulty, sizes, sound

FLAT = "hardware flat20 biscuit No 20\n"
CASE = """part side from ply
  grain up
  across from 0
  back from 0 to 400 mm
  up from 0 to 300 mm
part shelf from ply
  grain across
  across from 18 mm to 300 mm
  back from 0 to 400 mm
  up from 100 mm
"""
SCREW = "hardware ps screw No 8 long 32 mm\n"
FACE = """part stile from ply
  grain up
  across from 0 to 40 mm
  back from 0
  up from 0 to 300 mm
part rail from ply
  grain across
  across from 40 mm to 300 mm
  back from 0
  up from 100 mm to 180 mm
"""


def test_sizes_of_the_trade() -> None:
    """47 x 15, 53 x 19, 56 x 23 in slots of 4 mm (common practice, from memory)."""
    assert SIZES == {0: (47, 15), 10: (53, 19), 20: (56, 23)} and SLOT == 4


def test_slots_lie_opposite_each_other() -> None:
    model = sound(FLAT + CASE + "joint biscuit shelf into side with flat20 every 150 mm ends 60 mm\n").model
    # 280 between the first and the last in two steps of 140; the middle of 18 is 109 from the floor.
    (biscuits,) = model.joints[0].fasteners
    assert biscuits.centres == ((18, 60, 109), (18, 200, 109), (18, 340, 109))
    assert biscuits.kind == "biscuit" and biscuits.axis == 0
    for part, deep in (("side", (6, 18)), ("shelf", (18, 30))):
        slots = [f for f in model.part(part).features if f.kind == "biscuit slot"]
        assert [f.centre for f in slots] == list(biscuits.centres)
        # Half of 23 and 0.5 of play: 12 deep.
        box = body_box(slots[0].cuts[0])
        assert box.span(2) == (107, 111)
        assert box.lo[0] == pytest.approx(deep[0]) and box.hi[0] == pytest.approx(deep[1])
        # The chord of a saw of 100 at 12: 2 x sqrt(12 x 88) = 64.99.
        assert float(box.size(1)) == pytest.approx(64.992, abs=1e-3)
        assert whole(model, part)
    assert sizes(model.part("shelf")) == (282, 400, 18)
    # A segment of the circle, not a box: area r2 (t - sin t cos t) with cos t = 38 / 50.
    taken = 18 * 400 * 300 - part_solid(model.part("side")).volume
    assert taken == pytest.approx(3 * 4 * 2500 * (0.707483 - 0.649923 * 0.76), rel=2e-3)


def test_biscuits_are_bought_and_go_in_with_the_glue() -> None:
    model = sound(FLAT + CASE + "joint biscuit shelf into side with flat20 every 150 mm ends 60 mm\n").model
    (row,) = hardware_list(model)
    assert (row.item, row.quantity) == ("flat20", 3)
    kinds = [op.kind for op in operations(model)]
    assert kinds.count("biscuit_slot") == 2 and "screwing" not in kinds


def test_one_biscuit_where_there_is_no_room_for_two() -> None:
    text = (FLAT + CASE).replace("to 400 mm", "to 120 mm")
    (biscuits,) = sound(text + "joint biscuit shelf into side with flat20\n").model.joints[0].fasteners
    assert biscuits.centres == ((18, 60, 109),)


def test_pockets_and_their_screws() -> None:
    model = sound(SCREW + FACE + "joint pocket rail into stile with ps ends 20 mm\n").model
    (screws,) = model.joints[0].fasteners
    assert (screws.kind, screws.item) == ("pocket screw", "ps")
    assert screws.centres == ((40, 9, 120), (40, 9, 160))
    pockets = [f for f in model.part("rail").features if f.kind == "screw pocket"]
    assert [f.face for f in pockets] == [FACES["rear"]] * 2
    places = [(f.lo, f.hi) for one in pockets for f in one.figures if f.role == "place"]
    assert places == [(100, 120), (100, 160)]
    # Half an inch along the slope is left before the end, and the front face stays whole.
    box = body_box(pockets[0].cuts[0])
    assert float(box.lo[0]) > 40 + 9 and box.lo[1] > 0
    assert box.size(2) == F(9525, 1000)
    assert whole(model, "rail") and sizes(model.part("rail")) == (260, 80, 18)
    assert [op.kind for op in operations(model) if op.id.startswith("fasten")] == ["screwing"]


def test_pockets_on_the_other_face() -> None:
    model = sound(SCREW + FACE + "joint pocket rail into stile with ps on front\n").model
    box = body_box(next(f for f in model.part("rail").features if f.cuts).cuts[0])
    assert box.hi[1] < 18


def moved(back: str) -> str:
    """FACE with the rail further back: its middle lies 9 behind its front face."""
    return FACE.replace("  across from 40 mm to 300 mm\n  back from 0\n", f"  across from 40 mm to 300 mm\n  back from {back}\n")


def test_pocket_screws_that_miss_the_second_part() -> None:
    """The rail lies from 10 to 28, so the screws come out at 19; the stile ends at 18. A No 8 is 4.17 thick, half of it 2.08:
    they are right where the rail is moved 3.09 forward, 3.1 by the steps of the plan."""
    (fault,) = faulty(SCREW + moved("10 mm") + "joint pocket rail into stile with ps\n")
    assert (fault.code, fault.message) == ("PD474", "the pocket screws miss `stile`")
    words = [n.text for n in fault.notes]
    assert "9 mm from its front face" in words[0] and "from 0 mm to 8 mm, and each takes ≈4.2 mm" in words[1]
    assert fault.mend.startswith("move `rail` 3.1 mm to the front")


@pytest.mark.parametrize(("back", "good"), [("6.9 mm", True), ("7 mm", False), ("-6.9 mm", True), ("-7 mm", False)])
def test_half_a_shank_stands_in_the_second_part(back: str, good: bool) -> None:
    """18 - 2.083 - 9 = 6.917. The pockets are on the face from which the screws slant back into the stile."""
    text = SCREW + moved(back) + f"joint pocket rail into stile with ps on {'rear' if back[0] != '-' else 'front'}\n"
    if good:
        sound(text)
    else:
        assert [d.code for d in faulty(text)] == ["PD474"]


def test_tips_of_pocket_screws_stay_in_the_second_part() -> None:
    """On the front face the screws slant to the rear: 32 - 12.7 = 19.3, times the sine of 15 degrees 5.0. From 13.1 on (rail
    at 4.1) their tips would stand 0.1 behind the stile."""
    sound(SCREW + moved("4 mm") + "joint pocket rail into stile with ps on front\n")
    (fault,) = faulty(SCREW + moved("4.1 mm") + "joint pocket rail into stile with ps on front\n")
    assert fault.code == "PD474" and "the tips of the pocket screws come out of the rear face of `stile`" in fault.message


def test_pocket_screws_are_as_thick_as_their_shank() -> None:
    (screws,) = sound(SCREW + FACE + "joint pocket rail into stile with ps\n").model.joints[0].fasteners
    # No 8: 0.060 + 8 x 0.013 = 0.164 in.
    assert screws.diameter == F(164, 1000) * F(254, 10)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (FLAT + CASE + "joint biscuit shelf into side with flat20 every 0\n", "the slots for `flat20` run into each other"),
        (SCREW + FACE + "joint pocket rail into stile with ps every 0\n", "the pockets run into each other"),
        (SCREW + FACE + "joint pocket rail into stile with ps every 5 mm\n", "the pockets run into each other"),
    ],
)
def test_slots_and_pockets_apart_by_nothing_are_told(line: str, told: str) -> None:
    (fault,) = faulty(line)
    assert (fault.code, fault.message) == ("PD474", told)
