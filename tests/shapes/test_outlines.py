"""Work with slopes and arcs: volumes by hand, figures, mirror images, part marks. `board` is 300 x 200 x 18 mm, lying;
its left front bottom corner at (100, 50, 400)."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest
import shapely

from plandoc.build.solids import part_solid
from plandoc.diagnostics.diagnostic import Severity
from plandoc.geometry.bodies import Frustum, body_box
from plandoc.model.entities import Feature, Part
from plandoc.quantity import INCH, Units, bought_number
from plandoc.shapes.angles import angle_text, blade_tilt
from plandoc.sheets.partnotes import feature_notes, heading_lines, note_target
from plandoc.sheets.partviews import plan_part
from plandoc.shopwork.partslist import parts_list
from plandoc.shopwork.procedure import procedure
from tests.shapes.test_work import BOARD, fault, work
from tests.support.resolving import faulty, resolved, sound

WHOLE = 300 * 200 * 18
# A quarter circle leaves this of the square round it.
SPANDREL = 1 - math.pi / 4


def part_of(lines: str, board: str = BOARD) -> Part:
    below = "".join(f"  {line}\n" for line in lines.strip("\n").split("\n"))
    return sound(board + below).model.parts[0]


def taken(lines: str) -> float:
    """Volume that the work takes off the board (mm3)."""
    return WHOLE - part_solid(part_of(lines)).volume


def spans(features: tuple[Feature, ...], role: str) -> list[tuple[int, F, F]]:
    return sorted((f.axis, f.lo, f.hi) for feature in features for f in feature.figures if f.role == role)


def segment(chord: float, rise: float) -> float:
    """Area between an arc and its chord."""
    radius = (chord * chord / 4 + rise * rise) / (2 * rise)
    half = math.asin(chord / 2 / radius)
    return radius * radius * (half - math.sin(half) * math.cos(half))


def aims(feature: Feature) -> list[tuple[float, float, float]]:
    return [(float(x), float(y), float(z)) for (x, y, z), _ in feature.leaders]


def said(feature: Feature) -> list[str]:
    return [words for _, words in feature.leaders]


@pytest.mark.parametrize(
    ("line", "volume"),
    [
        # off the front edge from 0 at 100 mm before the right end to 50 there: half of 100 x 50
        ("taper on front at right to 150 mm long 100 mm", 100 * 50 / 2 * 18),
        ("taper on front, rear at left to 140 mm", 2 * 300 * 30 / 2 * 18),
        ("mitre 45° at right point rear", 200 * 200 / 2 * 18),
        ("bevel 45° at front point bottom", 18 * 18 / 2 * 300),
        ("bevel 45° at left point top", 18 * 18 / 2 * 200),
        ("chamfer 10 mm on top corners", 4 * 10 * 10 / 2 * 18),
        ("chamfer 10 mm x 20 mm on top corner front, left", 10 * 20 / 2 * 18),
        ("chamfer 3 mm on top at front", 3 * 3 / 2 * 300),
        ("chamfer 3 mm x 6 mm on top at front", 3 * 6 / 2 * 300),
        # four edges: each 3 x 3 / 2 along its run, less what two neighbours share in a corner, 3^3 / 3
        ("chamfer 3 mm on top", 4.5 * (2 * 300 + 2 * 200) - 4 * 9),
        ("round 40 mm on top corners", 4 * SPANDREL * 1600 * 18),
        ("round 40 mm on top corner rear, right", SPANDREL * 1600 * 18),
        ("round 6 mm on bottom at left, right", 2 * SPANDREL * 36 * 200),
        # segment of a circle of 125 over 200: the sagitta is 50
        ("arch at front radius 125 mm span 200 mm", (125**2 * math.acos(75 / 125) - 75 * 100) * 18),
        ("arch at front rise 50 mm span 200 mm offset 20 mm", (125**2 * math.acos(75 / 125) - 75 * 100) * 18),
        ("arch at left rise 50 mm bowed", (200 * 50 - (125**2 * math.acos(75 / 125) - 75 * 100)) * 18),
        ("slot 10 mm x 60 mm through on top lies back at centre", (50 * 10 + math.pi * 25) * 18),
        ("slot 10 mm x 60 mm deep 7 mm on bottom lies across at centre", (50 * 10 + math.pi * 25) * 7),
        ("cutout 80 mm x 40 mm on top at centre", 80 * 40 * 18),
        ("cutout 80 mm x 40 mm radius 10 mm on top at centre", (80 * 40 - 4 * SPANDREL * 100) * 18),
        ("cutout 40 mm x 40 mm radius 20 mm on top at centre", math.pi * 400 * 18),
        ("cutout 80 mm x 40 mm on top at centre, 0 mm", 80 * 20 * 18),
        ("cutout round 50 mm on top at centre", math.pi * 625 * 18),
        ("pocket 80 mm x 40 mm radius 10 mm deep 5 mm on top at centre", (80 * 40 - 4 * SPANDREL * 100) * 5),
        ("hole 10 mm through on top at centre counterbored 30 mm x 8 mm", math.pi * (225 * 8 + 25 * 10)),
        # 90 degrees: the head is as deep as it is wider on each side
        ("hole 10 mm through on bottom at centre countersunk 20 mm", math.pi * (5 / 3 * (100 + 50 + 25) + 25 * 13)),
        ("pocket round 60 mm deep 5 mm on top at centre\n  step round 30 mm deep 12 mm", math.pi * (900 * 5 + 225 * 7)),
        ("pocket round 60 mm deep 5 mm on top at centre\n  step round 30 mm core 10 mm deep 12 mm", math.pi * (900 * 5 + (225 - 25) * 7)),
        ("pocket 40 mm x 30 mm deep 8 mm on top at centre\n  step 60 mm x 50 mm deep 3 mm", 40 * 30 * 8 + (60 * 50 - 40 * 30) * 3),
    ],
)
def test_what_is_taken_off(line: str, volume: float) -> None:
    # chords of arcs keep the area; what is left are the corners of chamfers and arcs of a thousandth
    assert taken(line) == pytest.approx(volume, rel=2e-4)


OUTLINE = """outline on top
  start   0, 0
  line to 300 mm, 0
  line to 300 mm, 100 mm
  arc  to 200 mm, 200 mm radius 100 mm turning left
  line to 60 mm, 200 mm
  arc  to 0, 140 mm radius 60 mm turning right"""


def test_free_outline_of_the_whole_part() -> None:
    # a quarter circle of 100 stands at the right rear corner, one of 60 is cut into the left rear corner
    assert taken(OUTLINE) == pytest.approx((SPANDREL * 100**2 + math.pi / 4 * 60**2) * 18, rel=2e-4)
    part = part_of(OUTLINE)
    (outline,) = part.features
    assert outline.through and sorted(said(outline)) == ["R 100 mm", "R 60 mm"]
    assert spans(part.features, "place") == [(0, 100, 160), (0, 100, 300), (1, 50, 150), (1, 50, 190)]


def test_a_free_outline_may_lie_anywhere_and_run_either_way() -> None:
    """A triangle in the middle, once counter-clockwise and once clockwise; what is left against an independent area."""
    corners = [(50, 40), (250, 60), (120, 170)]
    left = shapely.Polygon(corners).area * 18
    for points in (corners, corners[::-1]):
        words = ["start", "line to", "line to"]
        lines = [f"  {word} {x} mm, {y} mm" for word, (x, y) in zip(words, points, strict=True)]
        part = part_of("\n".join(["outline on top", *lines]))
        assert part_solid(part).volume == pytest.approx(left)


def test_bowed_ends_of_a_free_outline() -> None:
    """Arcs beyond their end points, upwards and sideways: a stadium of 100 and 2 x 50."""
    lines = """outline on top
  start   100 mm, 50 mm
  line to 200 mm, 50 mm
  arc  to 200 mm, 150 mm radius 50 mm turning left
  line to 100 mm, 150 mm
  arc  to 100 mm, 50 mm rise 50 mm turning left"""
    assert part_solid(part_of(lines)).volume == pytest.approx((100 * 100 + math.pi * 2500) * 18, rel=2e-4)
    upright = """outline on top
  start   180 mm, 50 mm
  line to 180 mm, 150 mm
  arc  to 100 mm, 150 mm radius 40 mm turning left
  line to 100 mm, 50 mm
  arc  to 180 mm, 50 mm rise 40 mm turning left"""
    assert part_solid(part_of(upright)).volume == pytest.approx((80 * 100 + math.pi * 1600) * 18, rel=2e-4)


@pytest.mark.parametrize(("sides", "across", "back"), [("", 1, 1), ("from right", -1, 1), ("from rear", 1, -1), ("from right, rear", -1, -1)])
def test_a_free_outline_measured_from_other_edges_is_its_mirror_image(sides: str, across: int, back: int) -> None:
    """What is cut lies at the corner that the places are measured from, and its arc bends the same way seen from there."""
    (cutout,) = work(f"cutout on top {sides}\n  start 0, 0\n  line to 120 mm, 0\n  arc to 0, 50 mm rise 20 mm turning left")
    assert taken(f"cutout on top {sides}\n  start 0, 0\n  line to 120 mm, 0\n  arc to 0, 50 mm rise 20 mm turning left") == pytest.approx((3000 + segment(130, 20)) * 18, rel=2e-4)
    room = body_box(cutout.cuts[0])
    assert (room.lo[0] if across > 0 else room.hi[0], room.lo[1] if back > 0 else room.hi[1]) == (100 if across > 0 else 400, 50 if back > 0 else 250)


def test_pocket_and_cutout_of_a_free_outline() -> None:
    below = "\n  start 50 mm, 50 mm\n  line to 150 mm, 50 mm\n  arc to 50 mm, 150 mm radius 100 mm turning left"
    assert taken("pocket deep 6 mm on top" + below) == pytest.approx(math.pi / 4 * 10000 * 6, rel=2e-4)
    assert taken("cutout on top" + below) == pytest.approx(math.pi / 4 * 10000 * 18, rel=2e-4)


@pytest.mark.parametrize("below", ["finger 20 mm to right", "finger 20 mm to front deep 9 mm", "step round 20 mm deep 9 mm", "step 20 mm x 30 mm deep 9 mm"])
def test_a_pocket_of_a_free_outline_has_no_middle(below: str) -> None:
    """The middle of the box round a triangle lies on its slanted side, that of the box's right side outside of it."""
    (found,) = faulty(f"{BOARD}  pocket deep 6 mm on top\n    start 50 mm, 50 mm\n    line to 150 mm, 50 mm\n    line to 50 mm, 150 mm\n    {below}\n")
    assert found.code == "PD336" and f"`{below.split()[0]}`" in found.message
    assert [note.text for note in found.notes] == ["the outline runs from 50 mm to 150 mm from left, and from 50 mm to 150 mm from front"]
    assert found.mend.endswith(" on top at ...") and f"deep {9 if '9 mm' in below else 6} mm" in found.mend


@pytest.mark.parametrize(("size", "side"), [("80 mm x 60 mm radius 10 mm", 40), ("80 mm x 60 mm radius 30 mm", 40), ("60 mm x 80 mm radius 30 mm", 30), ("60 mm x 60 mm radius 30 mm", 30)])
def test_a_pocket_with_round_corners_has_a_middle(size: str, side: int) -> None:
    pocket, finger, step = work(f"pocket {size} deep 6 mm on top at 100 mm, 100 mm\n  finger 20 mm to right\n  step round 20 mm deep 9 mm")
    assert pocket.centre == step.centre == (200, 150, 418)
    assert finger.centre == (200 + side, 150, 418)


def test_compound_cut_to_the_long_point() -> None:
    """The plane meets the four edges at 0, 200 tan 30, 18 tan 10 and their sum before the end: a mean of half the sum."""
    across, through = 200 * math.tan(math.radians(30)), 18 * math.tan(math.radians(10))
    assert taken("compound 30° x 10° at right point rear, top") == pytest.approx((across + through) / 2 * 200 * 18, rel=1e-6)
    (cut,) = work("compound 30° x 10° at right point rear, top")
    # tan tilt = tan 10 cos 30 = 0.15270, 8.682 degrees
    assert said(cut) == ["gauge 30°, tilt ≈8.7°, long point rear top"]


def test_the_long_point_of_a_compound_cut_is_named_in_either_order() -> None:
    line = "compound 30° x 10° at right point"
    (one,), (other,) = work(f"{line} rear, top"), work(f"{line} top, rear")
    assert one.cuts == other.cuts and one.leaders == other.leaders


def test_a_slot_lies_in_its_direction() -> None:
    for line, lo, hi in (("back", (150, 80), (160, 140)), ("across", (125, 105), (185, 115))):
        (slot,) = work(f"slot 10 mm x 60 mm deep 5 mm on top lies {line} at 55 mm, 60 mm")
        room = body_box(slot.cuts[0])
        assert (room.lo[:2], room.hi[:2]) == (lo, hi)
        assert spans((slot,), "size") == [(0, lo[0], hi[0]), (1, lo[1], hi[1])]


def test_tilt_of_the_blade() -> None:
    """A frame whose sides lean: both angles 45 degrees give atan(cos 45) = 35.264 degrees."""
    assert float(blade_tilt(F(45), F(45))) == pytest.approx(math.degrees(math.atan(math.sqrt(0.5))), abs=1e-5)
    assert blade_tilt(F(0), F(12)) == 12
    assert [angle_text(F(v)) for v in ("30", "22.5", "7.06")] == ["30°", "22.5°", "≈7.1°"]


def test_figures_of_an_arch() -> None:
    (arch,) = work("arch at front rise 20 mm span 200 mm")
    assert spans((arch,), "size") == [(0, 150, 350), (1, 50, 70)] and spans((arch,), "place") == []
    assert said(arch) == ["R 260 mm"]
    (arch,) = work("arch at front radius 260 mm span 200 mm offset 20 mm")
    assert spans((arch,), "size") == [(0, 120, 320)] and spans((arch,), "place") == [(0, 100, 120)]
    assert said(arch) == ["R 260 mm, rise 20 mm"]


def test_leaders_end_on_the_line_of_the_cut() -> None:
    """In the middle of a slanted end on the reference face, of a corner that is cut or rounded on the face that was named."""
    for line, wanted in (
        ("mitre 45° at right point rear", (300, 150, 400)),
        ("mitre 30° at front point left", (250, 50 + 150 * math.tan(math.radians(30)), 400)),
        ("bevel 45° at front point bottom", (100, 59, 409)),
        ("bevel 45° at left point top", (109, 50, 409)),
        ("compound 30° x 10° at right point rear, top", (400 - 100 * math.tan(math.radians(30)), 150, 418)),
        ("compound 30° x 10° at front point left, bottom", (250, 50 + 150 * math.tan(math.radians(30)), 400)),
        ("chamfer 10 mm x 20 mm on top corner front, left", (105, 60, 418)),
        ("chamfer 10 mm x 20 mm on bottom corner left, front", (110, 55, 400)),
        ("round 40 mm on top corner rear, right", (400 - 40 * (1 - math.sqrt(0.5)), 250 - 40 * (1 - math.sqrt(0.5)), 418)),
        ("chamfer 3 mm on top at front", (200, 50, 418)),
        ("round 3 mm on right at rear", (400, 250, 406)),
    ):
        (feature,) = work(line)
        assert aims(feature) == [pytest.approx(wanted, abs=1e-4)], line


def test_one_leader_for_corners_that_are_alike() -> None:
    """It ends on an arc that lies on the part."""
    off = 10 * (1 - math.sqrt(0.5))
    for line, wanted in (("centre", (290 - off, 170 - off, 418)), ("centre, 0", (210 + off, 70 - off, 418))):
        (cutout,) = work(f"cutout 80 mm x 40 mm radius 10 mm on top at {line}")
        assert said(cutout) == ["R 10 mm corners"] and aims(cutout) == [pytest.approx(wanted, abs=1e-4)]


def test_a_cutout_that_is_open_at_the_far_edge_is_placed_by_its_size() -> None:
    (cutout,) = work("cutout 80 mm x 40 mm on top at centre, 200 mm")
    assert spans((cutout,), "size") == [(0, 210, 290), (1, 230, 250)] and spans((cutout,), "place") == [(0, 100, 210)]
    (cutout,) = work("cutout 80 mm x 40 mm on top at centre, 0")
    assert spans((cutout,), "size") == [(0, 210, 290), (1, 50, 70)] and spans((cutout,), "place") == [(0, 100, 210)]


@pytest.mark.parametrize(("face", "plane", "wide"), [("top", 418, "hi"), ("bottom", 400, "lo")])
def test_a_countersink_is_widest_at_its_face(face: str, plane: int, wide: str) -> None:
    (hole,) = work(f"hole 5 mm through on {face} at centre countersunk 10 mm")
    cone = hole.cuts[1]
    assert isinstance(cone, Frustum)
    assert {"lo": cone.radius_lo, "hi": cone.radius_hi} == {wide: 5, "hi" if wide == "lo" else "lo": F(5, 2)}
    assert getattr(cone, wide) == plane


def test_figures_of_a_taper() -> None:
    (taper,) = work("taper on front at right to 150 mm long 100 mm")
    assert spans((taper,), "size") == [(0, 300, 400), (1, 100, 250)]
    assert said(taper) == ["taper ≈26.6°"]
    two = work("taper on front, top at right to 9 mm")
    assert [f.id.rpartition(".")[2] for f in two] == ["front", "top"]
    both = work("taper on front, rear at right to 100 mm")
    assert spans(both, "size") == [(0, 100, 400), (1, 100, 200)] and spans(both, "place") == [(1, 50, 100)]


def test_heads_of_screws() -> None:
    (hole,) = work("hole 5 mm through on top at centre countersunk 10 mm")
    assert hole.note == "countersunk Ø10 mm × 90°" and hole.through
    (inch,) = resolved('plan "T"\nstock ply sheet 48" x 96"\n  called 3/4"\n' + BOARD + '  hole 3/16" through on top at centre countersunk 3/8"\n').model.parts[0].features
    assert inch.note == 'countersunk Ø3/8" × 82°'
    cone = body_box(inch.cuts[1])
    # (3/8 - 3/16) / 2 / tan 41 degrees = 0.10785 in.
    assert float(cone.size(2)) / 25.4 == pytest.approx(0.107847, abs=1e-5)
    (bored,) = work("hole 5 mm through on top at centre counterbored 15 mm x 6 mm")
    assert bored.note == "counterbored Ø15 mm ↧6 mm"


@pytest.mark.parametrize("angle", ["82", "90", "100", "120.5"])
@pytest.mark.parametrize(("unit", "mm", "bore", "head"), [("mm", 1.0, "5", "10"), ('"', 25.4, "3/16", "3/8")])
def test_countersinks_of_any_angle(angle: str, unit: str, mm: float, bore: str, head: str) -> None:
    """The frustum between both circles, pi h (R R + R r + r r) / 3, its height (R - r) / tan(angle / 2)."""
    line = f"hole {bore}{' ' * (unit == 'mm')}{unit} through on top at centre countersunk {head}{' ' * (unit == 'mm')}{unit} angle {angle}°"
    (hole,) = work(line)
    small, large = float(F(bore)) * mm / 2, float(F(head)) * mm / 2
    high = (large - small) / math.tan(math.radians(float(angle) / 2))
    assert float(body_box(hole.cuts[1]).size(2)) == pytest.approx(high, rel=1e-9)
    assert hole.note.endswith(f"× {angle}°")
    cone = math.pi * high * (large**2 + large * small + small**2) / 3
    assert taken(line) == pytest.approx(cone + math.pi * small**2 * (18 - high), rel=2e-4)


def test_a_countersink_of_hardly_any_angle_is_told() -> None:
    assert fault("hole 5 mm through on top at centre countersunk 10 mm angle 0.0000000000000001°") == "PD331"


def test_rows_side_by_side() -> None:
    holes = work("hole 5 mm through on top at 20 mm, 30 mm row 4 every 32 mm along across rows 3 apart 50 mm")
    spots = {(h.centre[0], h.centre[1]) for h in holes if h.centre}
    assert spots == {(120 + 32 * i, 80 + 50 * j) for i in range(4) for j in range(3)} and len(holes) == 12
    holes = work("hole 5 mm through on top at 20 mm, 30 mm from right, rear row 2 every 32 mm along back rows 2 apart 50 mm")
    assert {(h.centre[0], h.centre[1]) for h in holes if h.centre} == {(380, 220), (330, 220), (380, 188), (330, 188)}


def test_a_round_pocket_on_a_line_of_its_own() -> None:
    """`round` below a pocket is its diameter, no work of its own."""
    (pocket,) = work("pocket deep 9 mm on top at 60 mm, 60 mm\n  round 50 mm")
    assert pocket.diameter == 50


# Work through the thickness has a mirror plane in the middle of the board, so its mirror image is the board turned over.
ALL_WORK = [
    "taper on front at right to 150 mm long 100 mm",
    "mitre 30° at right point rear",
    "bevel 30° at right point top",
    "compound 30° x 10° at right point rear, top",
    "chamfer 10 mm x 20 mm on top corner front, left",
    "round 6 mm on top at left",
    "arch at front rise 20 mm span 100 mm offset 30 mm",
    "slot 10 mm x 60 mm deep 5 mm on top lies across at 60 mm, 30 mm",
    "cutout 80 mm x 40 mm radius 10 mm on top at 60 mm, 60 mm",
    "hole 10 mm through on top at 60 mm, 60 mm countersunk 20 mm",
    OUTLINE.replace("\n  ", "\n    "),
    "banded left thick 1 mm\nhole 5 mm through on top at 20 mm, 30 mm",
    "banded left thick 1 mm\nhole 5 mm deep 9 mm on top at 20 mm, 30 mm",
    "bevel 30° at right point top\nhole 5 mm through on top at 20 mm, 30 mm",
    "round 6 mm on top at left, front",
    "taper on front at right to 150 mm\ntaper on top at right to 9 mm",
]
HANDED = ("compound", "slot", "countersunk", "deep 9", "bevel 30° at right point top\n", "left, front", "taper on top")


@pytest.mark.parametrize("line", ALL_WORK)
def test_mirror_images_and_turned_parts(line: str) -> None:
    """A mirror image has another mark, unless the part can be turned over into it; a turned part has the same mark."""
    below = "".join(f"    {row}\n" for row in line.split("\n"))
    board = "  part board from ply\n    grain across\n    across from 0 to 300 mm\n    back from 0 to 200 mm\n    up from 0\n"
    text = "assembly one\n" + board + below + "place one as one[1]\n"
    text += "place one as one[2]\n  at across 1000 mm\n  turned 180° about up\n"
    text += "place one as one[3]\n  at across 2000 mm\n  turned 90° about back\n"
    text += "place one as one[4]\n  at across 3000 mm\n  mirrored across\n"
    first, half, quarter, image = sound(text).model.parts
    assert first.mark == half.mark == quarter.mark == "A"
    assert image.mark == ("B" if any(word in line for word in HANDED) else "A")
    volumes = [part_solid(p).volume for p in (first, half, quarter, image)]
    assert volumes == [pytest.approx(volumes[0])] * 4


def test_words_for_faces_turn_with_the_part() -> None:
    text = BOARD + "  bevel 30° at right point top\npart other mirrors board about 500 mm\n"
    board, other = sound(text).model.parts
    assert (board.features[0].note, other.features[0].note) == ("right 30°, long point top", "left 30°, long point top")


def test_outline_marks_tell_which_piece_is_the_arc() -> None:
    """The same places, the arc at another side."""
    text = BOARD + "  outline on top\n    start 0, 0\n    line to 300 mm, 0\n    line to 300 mm, 100 mm\n    arc to 200 mm, 200 mm radius 100 mm turning left\n    line to 120 mm, 200 mm\n    line to 0, 100 mm\n"
    other = text.replace("part board", "part second").replace("across from 100 mm", "across from 900 mm")
    other = other.replace("arc to 200 mm, 200 mm radius 100 mm turning left", "line to 200 mm, 200 mm")
    other = other.replace("line to 0, 100 mm", "arc to 0, 100 mm radius 200 mm turning left")
    marks = [p.mark for p in sound(text + other).model.parts]
    assert marks == ["A", "B"]


def test_banding_within_the_size() -> None:
    part = part_of("banded front, left thick 1 mm")
    assert (part.length, part.width) == (300, 200)
    assert [f.face.name for f in part.features if f.face] == ["front", "left"]
    assert spans(part.features, "band") == [(0, 100, 101), (1, 50, 51)]
    assert part_solid(part).volume == pytest.approx(WHOLE)


def test_banding_outside() -> None:
    part = part_of("hole 5 mm through on top at 20 mm, 30 mm\nbanded front, left, right thick 2 mm outside")
    assert (part.length, part.width) == (304, 202)
    assert part_solid(part).volume == pytest.approx(304 * 202 * 18 - math.pi * 6.25 * 18, rel=1e-6)
    hole = next(f for f in part.features if f.kind == "hole")
    # placed 20 and 30 from the sawn panel, figured from the finished edges
    assert hole.centre is not None and hole.centre[:2] == (120, 80)
    assert spans((hole,), "place") == [(0, 98, 120), (1, 48, 80)]


def test_work_of_its_own_on_a_mirrored_banded_part() -> None:
    """The board lies from 100 to 400 and from 50 to 250; its image about 500 from 600 to 900. Both grow by 2 at the front
    and, at the left of the one and the right of the other, by 2."""
    text = BOARD + "  hole 5 mm through on top at 20 mm, 30 mm\n  banded front, left thick 2 mm outside\n"
    text += "part other mirrors board about 500 mm\n  hole 6 mm through on top at 40 mm, 60 mm\n"
    text += "part third mirrors other about 1000 mm\n  hole 7 mm through on top at 80 mm, 90 mm\n"
    board, other, third = sound(text).model.parts
    assert (other.box.lo[0], other.box.hi[0], other.box.lo[1]) == (600, 902, 48)
    assert [f.centre[:2] for f in other.features if f.centre] == [(880, 80), (640, 110)]
    # from the reference edge at the right, banded: 902 - 880; from the front: 80 - 48; the plan's own hole lies 40 and
    # 60 from the left and front of the sawn panel, 902 - 640 and 110 - 48 from the same finished edges
    assert [spans((f,), "place") for f in other.features if f.kind == "hole"] == [[(0, 880, 902), (1, 48, 80)], [(0, 640, 902), (1, 48, 110)]]
    # the image of the image lies from 1100 to 1400, banded at its left
    assert (third.box.lo[0], third.box.hi[0]) == (1098, 1400)
    assert [spans((f,), "place")[0] for f in third.features if f.kind == "hole"] == [(0, 1098, 1120), (0, 1098, 1360), (0, 1098, 1180)]
    for part in (board, other, third):
        ids = [f.id for f in part.features]
        assert len(set(ids)) == len(ids)


def test_banding_that_makes_a_mirrored_part_larger_belongs_to_the_other() -> None:
    text = BOARD + "part other mirrors board about 500 mm\n  banded front thick 2 mm"
    assert sound(text + "\n")
    (message,) = faulty(text + " outside\n")
    assert message.code == "PD225" and message.mend == "write it below `board`"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("taper on front at rear to 50 mm", "PD332"),
        ("taper on front at right to 200 mm", "PD337"),
        ("taper on front at right to 50 mm long 301 mm", "PD337"),
        ("round 101 mm on top corners", "PD337"),
        ("round 18 mm on top at front", "PD337"),
        ("round 18 mm on bottom at front", "PD337"),
        ("chamfer 3 mm x 18 mm on top at front", "PD337"),
        ("chamfer 3 mm x 18 mm on bottom at front", "PD337"),
        ("chamfer 200 mm x 3 mm on bottom at front", "PD337"),
        ("chamfer 200 mm x 3 mm on bottom at rear", "PD337"),
        ("chamfer 300 mm x 20 mm on top corner front, left", "PD337"),
        ("chamfer 300 mm x 20 mm on top corner front, right", "PD337"),
        ("chamfer 20 mm x 200 mm on top corner front, left", "PD337"),
        ("chamfer 20 mm x 200 mm on top corner rear, left", "PD337"),
        ("round 0 mm on top", "PD331"),
        ("round 5 mm on top at top", "PD332"),
        ("round 5 mm on top corner left", "PD337"),
        ("round 5 mm on top at left corners", "PD337"),
        ("chamfer 3 mm x 3 mm x 3 mm on top", "PD217"),
        ("arch at top rise 5 mm", "PD332"),
        ("arch at front", "PD297"),
        ("arch at front rise 5 mm radius 50 mm", "PD297"),
        ("arch at front radius 50 mm span 101 mm", "PD297"),
        ("arch at front rise 5 mm span 301 mm", "PD337"),
        ("arch at front rise 5 mm span 200 mm bowed", "PD297"),
        ("arch at front rise 60 mm span 100 mm", "PD337"),
        ("arch at front rise 5 mm span 100 mm offset 201 mm", "PD337"),
        ("mitre 45° at right point left", "PD298"),
        ("mitre 0° at right point rear", "PD298"),
        ("mitre 60° at right point rear", "PD337"),
        ("mitre 45° at right point top", "PD332"),
        ("mitre 90° at right point rear", "PD218"),
        ("mitre 5 mm at right point rear", "PD204"),
        ("bevel 45° at right point rear", "PD332"),
        ("compound 45° at right point rear, top", "PD217"),
        ("compound 45° x 0° at right point rear, top", "PD298"),
        ("compound 45° x 5° at right point rear, left", "PD298"),
        ("compound 60° x 5° at right point rear, top", "PD337"),
        ("slot 10 mm x 10 mm through on top lies back at centre", "PD331"),
        ("slot 10 mm x 60 mm on top lies back at centre", "PD334"),
        ("slot 10 mm x 60 mm through on top lies up at centre", "PD333"),
        ("slot 10 mm x 60 mm through on top lies back at 20 mm, 20 mm", "PD330"),
        ("cutout 80 mm x 40 mm radius 21 mm on top at centre", "PD335"),
        ("cutout round 40 mm radius 2 mm on top at centre", "PD335"),
        ("cutout 80 mm x 40 mm on top", "PD216"),
        ("cutout 80 mm x 40 mm on top at 320 mm, 20 mm", "PD330"),
        ("hole 5 mm through on top at centre countersunk 5 mm", "PD334"),
        ("hole 5 mm through on top at centre countersunk 50 mm", "PD331"),
        ("hole 5 mm through on top at centre angle 82°", "PD334"),
        ("hole 5 mm through on top at centre countersunk 8 mm counterbored 9 mm x 2 mm", "PD334"),
        ("hole 5 mm through on top at 20 mm, 20 mm rows 2 apart 9 mm", "PD333"),
        ("hole 5 mm through on top at 20 mm, 20 mm row 2 every 9 mm along back rows 2", "PD333"),
        ("hole 5 mm through on top at 20 mm, 20 mm row 2 every 9 mm along back apart 9 mm", "PD333"),
        ("pocket round 60 mm deep 5 mm on top at centre\n  step round 30 mm deep 5 mm", "PD331"),
        ("pocket round 60 mm deep 5 mm on top at centre\n  step deep 5 mm", "PD335"),
        ("pocket round 60 mm deep 5 mm on top at centre\n  step round 30 mm core 30 mm deep 8 mm", "PD335"),
        ("outline on top", "PD296"),
        ("outline on top\n  start 0, 0\n  line to 50 mm, 0\n  line to 50 mm, 0", "PD296"),
        ("outline on top\n  start 0, 0\n  line to 50 mm, 50 mm\n  line to 50 mm, 0\n  line to 0, 50 mm", "PD296"),
        ("outline on top\n  start 0, 0\n  line to 301 mm, 0\n  line to 0, 50 mm", "PD330"),
        ("outline on top\n  start 0, 0\n  line to 300 mm, 0\n  line to 300 mm, 200 mm\n  line to 0, 200 mm", "PD296"),
        ("outline on top\n  start 0, 0\n  line to 100 mm, 0\n  arc to 0, 50 mm radius 50 mm", "PD296"),
        ("outline on top\n  start 0, 0\n  line to 100 mm, 0\n  arc to 0, 50 mm", "PD217"),
        ("outline on top\n  start 0, 0\n  line to 100 mm, 0\n  arc to 0, 50 mm rise 5 mm turning up", "PD219"),
        ("outline on top\n  start 0, 0\n  line to (100 mm, 0), (100 mm, 50 mm)\n  line to 0, 50 mm", "PD217"),
        ("hole 5 mm through on top at centre\n  start 0, 0", "PD296"),
        ("banded front", "PD299"),
        ("banded front with ply", "PD299"),
        ("banded front with ply thick 1 mm", "PD299"),
        ("banded top thick 1 mm", "PD332"),
        ("banded front thick 100 mm", "PD299"),
        ("banded front thick 0 mm", "PD299"),
        ('letter "Ä" high 10 mm on top', "PD338"),
        ('letter "LONG WORDS" high 50 mm on top', "PD330"),
    ],
)
def test_work_that_cannot_be(line: str, code: str) -> None:
    assert fault(line) == code


@pytest.mark.parametrize("side", ["top", "bottom"])
def test_work_on_an_edge_leaves_wood_on_both_faces(side: str) -> None:
    (found,) = faulty(f"{BOARD}  round 18 mm on {side} at front\n")
    assert (found.code, found.message) == ("PD337", "18 mm is all that `board` has there")
    assert [note.text for note in found.notes] == ["it measures 18 mm from bottom to top"]
    (found,) = faulty(f"{BOARD}  round 18.1 mm on {side} at front\n")
    assert (found.code, found.message) == ("PD337", "18.1 mm is more than `board` has there")
    assert taken(f"round 17.9 mm on {side} at front") == pytest.approx(SPANDREL * 17.9**2 * 300, rel=2e-4)


def test_corners_may_meet_in_the_middle_of_an_end() -> None:
    assert taken("round 100 mm on top corners") == pytest.approx(4 * SPANDREL * 100**2 * 18, rel=2e-4)
    assert taken("chamfer 100 mm on top corners") == pytest.approx(4 * 100 * 100 / 2 * 18, rel=2e-4)


def test_a_banded_edge_enters_no_joint() -> None:
    text = "part side from ply\n  grain up\n  across from 0\n  back from 0 to 200 mm\n  up from 0 to 500 mm\npart shelf from ply\n  grain across\n  across from side.right for 300 mm\n  back from 0 to 200 mm\n  up from 100 mm\n  banded left thick 1 mm\njoint dado shelf into side deep 6 mm\n"
    (found,) = faulty(text)
    assert found.code == "PD299" and "enters a joint" in found.message and found.severity is Severity.ERROR


def test_lists_and_steps_name_the_size_before_banding() -> None:
    text = BOARD + "  banded front, left thick 1 mm\n" + BOARD.replace("part board", "part second").replace("back   from 50 mm", "back   from 950 mm") + "  banded right thick 2 mm outside\n"
    model = sound(text).model
    first, second = parts_list(model)
    assert (first.length, first.width, first.edges) == (300, 200, "front edge, left end; saw 299 × 199")
    assert (second.length, second.width, second.edges) == (302, 200, "right end; saw 300 × 200")
    words = " ".join(t for step in procedure(model) for t in step.texts)
    assert "299 mm long, 199 mm wide (before banding)" in words and "300 mm long, 200 mm wide (before banding)" in words
    band = next(step for step in procedure(model) if step.title == "Band the edges")
    assert band.texts[0] == "Set-up: 1 mm banding." and "Board (A), front edge and left end: from end to end." in band.texts
    heading = [" ".join(row) for row in heading_lines(model, plan_part(model.parts[0]), model.parts[:1])]
    assert "1 BANDING ON FRONT EDGE AND LEFT END SAW W × L 199 × 299 BEFORE BANDING" in heading


@pytest.mark.parametrize(
    ("stock", "words", "printed"),
    [
        ('lipping banding 1 mm x 22 mm "Birch edge banding"', "1 mm Birch edge banding", "1 BIRCH EDGE BANDING"),
        ('lipping banding 1 mm x 22 mm "1 mm birch, preglued"', "1 mm birch, preglued", "1 BIRCH, PREGLUED"),
        ("lipping banding 1 mm x 22 mm\n  material beech", "1 mm beech banding", "1 BEECH BANDING"),
        ("oak_lipping banding 1 mm x 22 mm", "1 mm oak lipping banding", "1 OAK LIPPING BANDING"),
    ],
)
def test_banding_is_called_by_what_the_stock_is(stock: str, words: str, printed: str) -> None:
    model = sound(f"stock {stock}\n{BOARD}  banded front with {stock.split()[0]}\n").model
    (band,) = model.parts[0].features
    assert said(band) == [words]
    heading = [" ".join(row) for row in heading_lines(model, plan_part(model.parts[0]), model.parts[:1])]
    assert f"{printed} ON FRONT EDGE SAW W × L 199 × 300 BEFORE BANDING" in heading
    step = next(step for step in procedure(model) if step.title == "Band the edges")
    assert step.texts[0] == f"Set-up: {words}."


@pytest.mark.parametrize(("step", "wide"), [("step 40 mm x 20 mm deep 9 mm", 40), ("step round 20 mm deep 9 mm", 20)])
def test_the_words_of_a_pocket_do_not_aim_at_the_step_in_its_middle(step: str, wide: int) -> None:
    plan = plan_part(part_of(f"pocket 80 mm x 60 mm deep 6 mm on top at centre\n  {step}"))
    pocket, deeper = plan.part.features
    (place,) = {shape.place for shape in plan.shapes if shape.feature is pocket}
    view = plan.view(place)
    beside = list(note_target(plan, view, pocket))
    off = abs(beside[view.right.axis] - (250, 150, 418)[view.right.axis])
    assert off == ((80, 60)[view.right.axis] / F(2) + (wide if view.right.axis == 0 else 20) / F(2)) / 2
    assert note_target(plan, view, deeper) == deeper.centre


ROD = "stock rod dowel 20 mm\npart pin from rod\n  grain up\n  across from 0\n  back from 0\n  up from 0 to 200 mm\n"


@pytest.mark.parametrize(("line", "words"), [("round 5 mm on top", "R 5 mm"), ("chamfer 2 mm on top at front", "2 mm × 45°"), ("round 5 mm on front corners", "R 5 mm")])
def test_a_rod_has_no_straight_edges(line: str, words: str) -> None:
    (found,) = faulty(f"{ROD}  {line}\n")
    assert (found.code, found.message) == ("PD332", "`pin` is a round rod, it has no straight edges")
    assert found.mend.endswith(f"note {words} all round the end")


def test_leader_notes_of_a_drawing() -> None:
    part = part_of("round 40 mm on top corners\narch at front rise 20 mm span 100 mm\nhole 5 mm through on top at centre countersunk 9.5 mm")
    notes = {note.lines: len(note.targets) for note in feature_notes(plan_part(part), Units("mm", F(1, 10)))}
    assert notes == {("4X R 40",): 4, ("R 72.5",): 1, ("Ø5 THRU", "COUNTERSUNK Ø9.5 × 90°"): 0}


def test_every_corner_of_an_outline_is_figured_from_the_reference_edges() -> None:
    """Each tie of a measure leads to a plane; from the reference face every corner is reached."""
    plan = plan_part(part_of(OUTLINE))
    for axis, wanted in ((0, {160, 300, 400}), (1, {150, 190, 250})):
        reached = {plan.part.box.lo[axis]}
        for _ in plan.measures:
            for m in plan.measures:
                for a, b in m.edges if m.axis == axis else ():
                    if reached & {a, b}:
                        reached |= {a, b}
        assert wanted <= reached


def test_a_pitch_in_millimetres_on_an_inch_plan() -> None:
    text = 'plan "T"\nstock ply sheet 48" x 96"\n  called 3/4"\n' + BOARD + "  hole 5 mm deep 9 mm on top at 37 mm, 2\" row 5 every 32 mm along across rows 3 apart 31.7 mm\n"
    model = resolved(text).model
    steps = [(m.axis, m.hi - m.lo, m.count) for m in plan_part(model.parts[0], units=model.info.units).measures if m.count > 1]
    assert steps == [(0, 32, 4)]  # 31.7 mm is no size of a rule of either kind
    assert bought_number(F(32), Units()).plain() == "32 mm"  # type: ignore[union-attr]
    assert bought_number(F(317, 10), Units()) is None
    assert bought_number(INCH, Units("mm", F(1, 2))).plain() == '1"'  # type: ignore[union-attr]


def test_a_value_may_be_named_like_an_option() -> None:
    text = "set thick = 30 mm\nset radius = 4 mm\n" + BOARD + "  pocket thick x thick radius radius deep 5 mm on top at thick, radius + 60 mm\n  round radius + 1 mm on top corners\n"
    pocket, corners = sound(text).model.parts[0].features
    assert pocket.centre is not None and pocket.centre[:2] == (130, 114) and body_box(pocket.cuts[0]).size(0) == 30
    assert corners.note == "R 5 mm"
