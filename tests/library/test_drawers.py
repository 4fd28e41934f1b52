"""Drawer boxes, drawers and trays: every size worked out by hand, in inches and millimetres, turned and mirrored."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.build.solids import part_solid
from plandoc.pipeline import check
from plandoc.world import MemoryWorld
from tests.support.library_plans import INCH_HEAD, MM_HEAD, WAYS, cased, compiled, inch, inch_size, part, size
from tests.support.resolving import resolved

BOX = """include "library/drawer_box.plan"
place drawer_box
  stock        = ply
  bottom_stock = thin
  wide         = {wide}
  deep         = {deep}
  high         = {high}
  corners      = {corners}
"""
BUTTED_INCH = "butted\n  fastener = screw_no6_1_1_4_in\n  bottom_screw = screw_no6_1_in"
BUTTED_MM = "butted\n  fastener = dowel_6_30\n  bottom_screw = screw_no6_25"


def inch_box(corners: str, more: str = "") -> str:
    return INCH_HEAD + BOX.format(wide='14"', deep='16"', high='4"', corners=corners) + more


def mm_box(corners: str, more: str = "") -> str:
    return MM_HEAD + BOX.format(wide="400 mm", deep="450 mm", high="120 mm", corners=corners) + more


@pytest.mark.parametrize("corners", ["rabbeted", "dovetailed", "half_blind", BUTTED_INCH])
def test_the_bottom_is_as_wide_as_the_inside_and_two_grooves_less_its_play(corners: str) -> None:
    # 14 - 2 x 15/32 = 13 1/16 inside; grooves 5/32 (a third of 15/32): + 2 x 5/32 = 13 3/8; less 1/16.
    assert inch_size(compiled(inch_box(corners)), "box_bottom")[0] == inch("13 5/16")
    # 400 - 24 = 376; + 2 x 4 = 384; play 1/32 in = 0.79 at each side, in half millimetres 1.
    metric = MM_HEAD + BOX.format(wide="400 mm", deep="450 mm", high="120 mm", corners=BUTTED_MM if "butted" in corners else corners)
    assert size(compiled(metric), "box_bottom")[0] == 382


def test_rabbeted_box() -> None:
    box = compiled(inch_box("rabbeted"))
    # 13 1/16 between the sides, tongues of 5/32 at both ends.
    assert inch_size(box, "box_front") == (inch("13 3/8"), 4)
    # The back stands on the bottom: 4 - 3/8 - 7/32.
    assert inch_size(box, "box_back") == (inch("13 3/8"), inch("3 13/32"))
    assert inch_size(box, "box_left") == inch_size(box, "box_right") == (16, 4)
    # From the groove in the front to the rear ends of the sides: 16 - 15/32 + 5/32 - 1/32.
    assert inch_size(box, "box_bottom")[1] == inch("15 21/32")
    kinds = {(j.kind, j.a.rpartition(".")[2], j.b.rpartition(".")[2]) for j in box.model.joints}
    assert {("rabbet-dado", "box_front", "box_left"), ("dado", "box_back", "box_right"), ("groove", "box_bottom", "box_front"), ("butt", "box_back", "box_bottom")} <= kinds


def test_dovetailed_boxes() -> None:
    through, blind = compiled(mm_box("dovetailed")), compiled(mm_box("half_blind"))
    for box in (through, blind):
        assert size(box, "box_front") == size(box, "box_back") == (400, 120)
        # 450 - 24 between front and back, grooves of 4 in both, 1 play at both.
        assert size(box, "box_bottom") == (382, 432)
        assert {j.kind for j in box.model.joints} == {"groove", "dovetail"}
    assert size(through, "box_left") == (450, 120)
    # The lap before the tails is at least 1/8 in, rounded up to 3.5.
    assert size(blind, "box_left") == (Fraction("446.5"), 120)


def test_butted_box() -> None:
    box = compiled(inch_box(BUTTED_INCH))
    assert inch_size(box, "box_front") == (inch("13 1/16"), 4)
    assert inch_size(box, "box_left") == (16, 4)
    screws = {name: sum(len(f.centres) for j in box.model.joints for f in j.fasteners if f.item == name) for name in ("screw_no6_1_1_4_in", "screw_no6_1_in")}
    # 4 in high, 29/32 in from both edges (5/16 clear of the groove, 3/8 + 7/32 up): 2 3/16 in apart, so 2 at each end of the
    # front; the back 3 13/32 high: 2 too.
    # Through the bottom into the back, 13 1/16 long less 1 in at both ends: 11 1/16 / 6 gives 3.
    assert screws == {"screw_no6_1_1_4_in": 8, "screw_no6_1_in": 3}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("corners", ["rabbeted", "dovetailed", "half_blind", BUTTED_INCH])
def test_a_box_in_every_way(corners: str, way: str) -> None:
    turned = compiled(inch_box(corners, f"  {way}\n" if way else ""))
    still = compiled(inch_box(corners))
    assert [(p.mark, p.length, p.width) for p in turned.model.parts] == [(p.mark, p.length, p.width) for p in still.model.parts]
    for one, other in zip(turned.model.parts, still.model.parts, strict=True):
        assert part_solid(one).volume == pytest.approx(part_solid(other).volume)


def test_a_misspelt_way_of_joining_is_told_with_the_right_one() -> None:
    (fault,) = resolved(inch_box("dovetaild")).diagnostics
    assert fault.code == "PD201" and "dovetailed" in fault.mend


def test_a_misspelt_word_in_quotes_is_told_with_all_words() -> None:
    assert "`corners_is_rabbeted_dovetailed_half_blind_or_butted`" in resolved(inch_box('"dovetaild"')).report
    assert "`front_lies_is_overlay_front_or_inset_front`" in resolved(inch_drawer('  front_lies = "inset"\n')).report


def test_butted_corners_without_a_fastener_are_told() -> None:
    faults = resolved(inch_box("butted")).diagnostics
    assert faults and all("fastener" in d.message or "hardware" in d.message for d in faults)


DRAWER = """place drawer
  left_case    = left_side
  right_case   = right_side
  runner       = {runner}
  stock        = ply
  bottom_stock = thin
  front_stock  = birch
  front_screw  = {screw}
  opening_high = {high}
  at up floor.top
"""
INCH_DRAWER = DRAWER.format(runner="slide_16_in", screw="screw_no6_1_in", high='5"')
MM_DRAWER = DRAWER.format(runner="slide_450", screw="screw_no6_25", high="130 mm")


def inch_drawer(more: str = "", way: str = "") -> str:
    return INCH_HEAD + 'include "library/drawer.plan"\n' + cased(INCH_DRAWER + more, '20"', '18"', '7"', way)


def mm_drawer(more: str = "", way: str = "") -> str:
    return MM_HEAD + 'include "library/drawer.plan"\n' + cased(MM_DRAWER + more, "500 mm", "500 mm", "180 mm", way)


def test_the_box_is_as_wide_as_the_opening_less_two_slides() -> None:
    drawer = compiled(inch_drawer())
    # 20 - 2 x 23/32 = 18 9/16; less 2 x 1/2 = 17 9/16.
    left, right = part(drawer, "box_left"), part(drawer, "box_right")
    assert (right.box.hi[0] - left.box.lo[0]) / Fraction(254, 10) == inch("17 9/16")
    # 5 - 1/2 below - 1/2 above; as deep as the slides are long.
    assert inch_size(drawer, "box_left") == (16, 4)
    # The front covers 1/2 in of the sides, and above and below.
    assert inch_size(drawer, "body.front") == (inch("19 9/16"), 6)
    metric = compiled(mm_drawer())
    left, right = part(metric, "box_left"), part(metric, "box_right")
    # 500 - 36 = 464; less 2 x 12.7 = 438.6, down to half a millimetre; in the middle.
    assert right.box.hi[0] - left.box.lo[0] == Fraction("438.5")
    assert left.box.lo[0] - 18 == 482 - right.box.hi[0] == Fraction("12.75")
    # 1/2 in is 12.5 in steps of half a millimetre below; above it at least 12.7: 130 - 12.5 - 12.7 = 104.8, down to 104.5.
    assert size(metric, "box_left") == (450, Fraction("104.5"))


def test_an_inset_front_is_flush_and_has_its_gaps() -> None:
    drawer = compiled(mm_drawer("  front_lies = inset_front\n  handle = pull_96\n"))
    # 464 - 2 x 2.5 and 130 - 2 x 2.5: 3/32 in is 2.5 in steps of half a millimetre.
    assert size(drawer, "body.front") == (459, 125)
    front, side = part(drawer, "body.front"), part(drawer, "left_side")
    assert front.box.lo[1] == side.box.lo[1] == 0
    assert part(drawer, "box_front").box.lo[1] == 18
    assert [f.quantity for f in drawer.model.fittings if f.item == "pull_96"] == [1]


def test_without_a_handle_nothing_is_fitted_but_the_slides() -> None:
    assert [f.item for f in compiled(inch_drawer()).model.fittings] == ["slide_16_in"]


def test_the_drawer_opens_by_the_length_of_its_slides() -> None:
    (motion,) = compiled(inch_drawer()).model.motions
    assert motion.travel == 16 * Fraction(254, 10) and motion.face.name == "front"
    # Box and front go together.
    assert motion.target == "cabinet.drawer.body"
    (motion,) = compiled(inch_drawer('  travel = 12"\n')).model.motions
    assert motion.travel == 12 * Fraction(254, 10)


@pytest.mark.parametrize(("wide", "screws"), [('20"', 2), ('40"', 4)])
def test_the_screws_of_a_front_leave_its_middle_to_the_knob(wide: str, screws: int) -> None:
    text = INCH_HEAD + 'include "library/drawer.plan"\n' + cased(INCH_DRAWER + "  handle = knob_in\n", wide, '18"', '7"')
    model = compiled(text).model
    (places,) = ([c[0] for f in j.fasteners for c in f.centres] for j in model.joints if j.b.endswith("box_front") and j.kind == "butt")
    middle = (min(places) + max(places)) / 2
    assert len(places) == screws and min(abs(p - middle) for p in places) > Fraction(254, 10)


def test_screws_of_butted_corners_stay_clear_of_a_thick_bottom() -> None:
    """A bottom of 15/32 in from 3/8 up: its groove ends at 27/32, where screws 3/4 in from the edge would go through it."""
    text = inch_box(BUTTED_INCH).replace("bottom_stock = thin", "bottom_stock = ply")
    model = compiled(text).model
    heights = [c[2] for j in model.joints if j.kind == "butt" and j.b.endswith(("left", "right")) for f in j.fasteners for c in f.centres]
    assert min(heights) == inch("27/32") * Fraction(254, 10) + Fraction(5, 16) * Fraction(254, 10)


@pytest.mark.parametrize("way", WAYS)
def test_a_drawer_in_every_way(way: str) -> None:
    for text in (inch_drawer("  handle = pull_3_in\n", way), mm_drawer("  front_lies = inset_front\n  handle = knob_m4\n", way)):
        drawer = compiled(text)
        still = compiled(text.replace(f"  {way}\n", "") if way else text)
        assert [(p.length, p.width) for p in drawer.model.parts] == [(p.length, p.width) for p in still.model.parts]
        # Slides drill drawer and case sides, wherever they stand.
        assert [len(p.features) for p in drawer.model.parts] == [len(p.features) for p in still.model.parts]


def test_a_drawer_in_a_case_that_leans() -> None:
    """The room of its slides leans with it: no part of the case stands in it."""
    checked = check("trial.plan", MemoryWorld({"trial.plan": inch_drawer("  handle = pull_3_in\n", "leans 10° to right")}))
    assert [d.code for d in checked.diagnostics] == ["PD358"]  # the leaning case stands on an edge, nothing else is wrong


def test_a_block_in_the_room_of_a_leaning_slide_is_found() -> None:
    block = '  part block from birch\n    grain  across\n    across from left_side.right for 1/4"\n    back   from 2" for 3"\n    up     from floor.top + 2 1/4"\n'
    checked = check("trial.plan", MemoryWorld({"trial.plan": inch_drawer("", "leans 10° to right").replace("place cabinet", block + "place cabinet")}))
    assert [d.code for d in checked.diagnostics] == ["PD358", "PD363"] and "cabinet.block" in checked.diagnostics[1].message


TRAY = "place sliding_tray\n  left_case = left_side\n  right_case = right_side\n  stock = birch\n  deep = {deep}\n  lip_high = {lip}\n  at up floor.top + {up}\n"
SLIDES = "place sliding_tray_on_slides\n  left_case = left_side\n  right_case = right_side\n  runner = {runner}\n  stock = ply\n  bottom_stock = thin\n  at up floor.top + {up}\n"
INCLUDE = 'include "library/sliding_tray.plan"\n'


@pytest.mark.parametrize("way", WAYS)
def test_tray_in_channels(way: str) -> None:
    tray = compiled(INCH_HEAD + INCLUDE + cased(TRAY.format(deep='14"', lip='2"', up='3"'), '24"', '16"', '12"', way))
    # Opening 24 - 2 x 23/32 = 22 9/16; channels 7/32 (a third of 23/32, in steps of 1/32); play 1/32 each side.
    assert inch_size(tray, "body.board") == (inch("22 15/16"), 14)
    # The lip 1/16 clear of each side.
    assert inch_size(tray, "body.lip") == (inch("22 7/16"), 2)
    metric = compiled(MM_HEAD + INCLUDE + cased(TRAY.format(deep="350 mm", lip="0 mm", up="80 mm"), "500 mm", "380 mm", "300 mm", way))
    # 464 + 2 x (6 - 1).
    assert size(metric, "body.board") == (474, 350)
    assert not [p for p in metric.model.parts if p.path.endswith("lip")]
    channel = next(f for f in part(metric, "left_side").features if f.kind == "slide")
    assert channel.depth == 6
    (motion,) = metric.model.motions
    assert motion.travel == 233  # two thirds of 350, down to half a millimetre


@pytest.mark.parametrize("way", WAYS)
def test_tray_on_slides(way: str) -> None:
    tray = compiled(INCH_HEAD + INCLUDE + cased(SLIDES.format(runner="slide_14_in", up='3"'), '24"', '16"', '12"', way))
    # 22 9/16 - 1 = 21 9/16 wide; front between the sides with tongues of 5/32: - 15/16 + 5/16.
    assert inch_size(tray, "box_front") == (inch("20 15/16"), inch("2 1/2"))
    assert inch_size(tray, "box_left") == (14, inch("2 1/2"))
    metric = compiled(MM_HEAD + INCLUDE + cased(SLIDES.format(runner="slide_350", up="80 mm"), "500 mm", "380 mm", "300 mm", way))
    # 464 - 25.4 = 438.6, down to 438.5; - 24 + 8; 2 1/2 in = 63.5.
    assert size(metric, "box_front") == (Fraction("422.5"), Fraction("63.5"))
