"""Work on parts: holes, rows, pockets, finger notches, notches, tabs, lettering. All figures by hand, in mm.

`board` lies flat: 300 across, 200 back, 18 thick, its left front bottom corner at (100, 50, 400).
`side` stands upright: 18 across, 200 back, 500 up, at (0, 0, 0).
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import Disc, body_box
from plandoc.model.entities import Feature
from tests.support.resolving import faulty, sizes, sound

BOARD = """
part board from ply
  grain  across
  across from 100 mm for 300 mm
  back   from 50 mm for 200 mm
  up     from 400 mm
"""
SIDE = """
part side from ply
  grain  up
  across from 0
  back   from 0 to 200 mm
  up     from 0 to 500 mm
"""


def work(lines: str, part: str = BOARD) -> tuple[Feature, ...]:
    """Features that the lines below a part come to."""
    below = "".join(f"  {line}\n" for line in lines.strip("\n").split("\n"))
    return sound(part + below).model.parts[0].features


def fault(lines: str, part: str = BOARD) -> str:
    below = "".join(f"  {line}\n" for line in lines.strip("\n").split("\n"))
    (found,) = faulty(part + below)
    return found.code


def spot(feature: Feature) -> tuple[F, F, F]:
    assert feature.centre is not None
    return feature.centre


def test_hole_to_a_depth() -> None:
    (hole,) = work("hole 5 mm deep 12 mm on top at 20 mm, 30 mm")
    assert spot(hole) == (120, 80, 418)
    assert (hole.kind, hole.diameter, hole.depth, hole.through) == ("hole", 5, 12, False)
    (cut,) = hole.cuts
    assert (cut.axis, cut.lo, cut.hi, cut.outline) == (2, 406, 418, Disc((F(120), F(80)), F(5, 2)))
    # From the left and from the front edge.
    assert sorted((f.axis, f.lo, f.hi, f.role) for f in hole.figures) == [(0, 100, 120, "place"), (1, 50, 80, "place")]


def test_through_hole_and_the_other_faces() -> None:
    (hole,) = work("hole 5 mm through on bottom at 20 mm, 30 mm")
    assert hole.through and (hole.cuts[0].lo, hole.cuts[0].hi) == (400, 418)
    (hole,) = work("hole 5 mm deep 40 mm on left at 30 mm, 9 mm")
    assert spot(hole) == (100, 80, 409)
    assert (hole.cuts[0].lo, hole.cuts[0].hi) == (100, 140)
    (hole,) = work("hole 5 mm deep 40 mm on right at 30 mm, 9 mm")
    assert (hole.cuts[0].lo, hole.cuts[0].hi) == (360, 400)
    (hole,) = work("hole 5 mm deep 40 mm on rear at 30 mm, 9 mm")
    assert (spot(hole), hole.cuts[0].lo) == ((130, 250, 409), 210)


def test_measured_from_the_other_edges_and_from_the_middle() -> None:
    (hole,) = work("hole 5 mm through on top at 20 mm, 30 mm from right, rear")
    assert spot(hole)[:2] == (380, 220)
    (hole,) = work("hole 5 mm through on top at centre")
    assert spot(hole)[:2] == (250, 150)
    (hole,) = work("hole 5 mm through on top at centre, 30 mm")
    assert spot(hole)[:2] == (250, 80)


def test_several_places_share_a_row() -> None:
    holes = work("hole 5 mm through on top at (20 mm, 30 mm), (60 mm, 30 mm)")
    assert [spot(h)[:2] for h in holes] == [(120, 80), (160, 80)]
    assert len({h.row for h in holes}) == 1 and holes[0].row
    assert len({h.id for h in holes}) == 2


def test_places_from_a_list() -> None:
    text = "set spots = [(20 mm, 30 mm), (60 mm, 30 mm), (100 mm, 30 mm)]\n" + BOARD + "  hole 5 mm through on top at spots\n"
    assert [spot(h)[0] for h in sound(text).model.parts[0].features] == [120, 160, 200]


def test_shelf_pin_holes_are_counted_and_spaced() -> None:
    """Two lines of 8 holes at 32 mm, the first 100 up and 37 from either edge."""
    features = work("hole 5 mm deep 12 mm on right at 37 mm, 100 mm row 8 every 32 mm along up\nhole 5 mm deep 12 mm on right at 37 mm, 100 mm from rear row 8 every 32 mm along up", SIDE)
    assert len(features) == 16
    assert [spot(f)[1] for f in features] == [37] * 8 + [163] * 8
    assert [spot(f)[2] for f in features[:8]] == [100, 132, 164, 196, 228, 260, 292, 324]
    assert len({f.row for f in features}) == 2


def test_a_row_measured_from_the_top_goes_down() -> None:
    features = work("hole 5 mm deep 12 mm on right at 37 mm, 100 mm from top row 3 every 32 mm along up", SIDE)
    assert [spot(f)[2] for f in features] == [400, 368, 336]


def test_a_mirrored_side_gets_the_mirrored_row() -> None:
    text = SIDE + "  hole 5 mm deep 12 mm on right at 37 mm, 100 mm row 3 every 32 mm along up\npart other mirrors side about 200 mm\n"
    model = sound(text).model
    ours, theirs = model.part("side").features, model.part("other").features
    assert [spot(f) for f in theirs] == [(382, 37, 100), (382, 37, 132), (382, 37, 164)]
    assert [spot(f)[1:] for f in ours] == [spot(f)[1:] for f in theirs]
    assert {f.face.name for f in theirs if f.face} == {"left"}
    assert [(f.cuts[0].lo, f.cuts[0].hi) for f in theirs] == [(382, 394)] * 3
    assert all(f.id.startswith("other.") and f.row.startswith("other.") for f in theirs)


def test_round_pocket_with_finger() -> None:
    pocket, finger = work("pocket round 50 mm deep 9 mm on top at 60 mm, 60 mm\n  finger 25 mm to front")
    assert (pocket.kind, pocket.diameter, pocket.depth) == ("pocket", 50, 9)
    assert spot(pocket) == (160, 110, 418)
    # The finger notch is a disc on the pocket's rim, as deep as the pocket.
    assert spot(finger) == (160, 85, 418)
    assert (finger.kind, finger.diameter, finger.depth) == ("finger", 25, 9)


def test_a_finger_notch_may_run_out_over_the_edge() -> None:
    """Its middle, on the rim, lies on the board."""
    _, finger = work("pocket round 50 mm deep 9 mm on top at 30 mm, 60 mm\n  finger 25 mm to left")
    assert spot(finger) == (105, 110, 418)


def test_every_pocket_gets_its_finger() -> None:
    features = work("pocket round 50 mm deep 9 mm on top at (60 mm, 60 mm), (160 mm, 60 mm)\n  finger 25 mm to right deep 5 mm")
    fingers = [f for f in features if f.kind == "finger"]
    assert [spot(f)[0] for f in fingers] == [185, 285]
    assert {f.depth for f in fingers} == {5}


def test_rectangular_pocket_follows_the_order_of_directions() -> None:
    (pocket,) = work("pocket 80 mm x 30 mm deep 9 mm on top at 60 mm, 60 mm")
    room = body_box(pocket.cuts[0])
    assert (room.lo, room.hi) == ((120, 95, 409), (200, 125, 418))
    figures = sorted((f.role, f.axis, f.lo, f.hi) for f in pocket.figures)
    assert figures == [("depth", 2, 409, 418), ("place", 0, 100, 120), ("place", 1, 50, 95), ("size", 0, 120, 200), ("size", 1, 95, 125)]


def test_notch_is_measured_from_its_first_face() -> None:
    (notch,) = work("notch 75 mm x 90 mm at front, bottom", SIDE)
    room = body_box(notch.cuts[0])
    assert (room.lo, room.hi) == ((0, 0, 0), (18, 75, 90))
    (notch,) = work("notch 75 mm x 90 mm at top, rear", SIDE)
    room = body_box(notch.cuts[0])
    assert (room.lo, room.hi) == ((0, 110, 425), (18, 200, 500))
    assert notch.through


def test_tab_leaves_a_tongue_standing() -> None:
    (tab,) = work("tab 80 mm x 25 mm at front offset 60 mm")
    assert [(body_box(c).lo[0], body_box(c).hi[0]) for c in tab.cuts] == [(100, 160), (240, 400)]
    assert {(body_box(c).lo[1], body_box(c).hi[1]) for c in tab.cuts} == {(50, 75)}
    # At the very end of the edge only one piece is cut away.
    assert len(work("tab 80 mm x 25 mm at front")[0].cuts) == 1
    assert len(work("tab 80 mm x 25 mm at front offset 220 mm")[0].cuts) == 1


def test_figures_of_tabs_and_notches() -> None:
    """A size that ends on the reference edge, left or front, says so; a tab is placed from there."""
    (tab,) = work("tab 80 mm x 25 mm at front offset 60 mm")
    assert {(f.axis, f.lo, f.hi, f.role, f.datum) for f in tab.figures} == {(1, 50, 75, "size", 0), (0, 160, 240, "size", 0), (0, 100, 160, "place", -1)}
    (notch,) = work("notch 75 mm x 90 mm at front, left")
    assert {(f.axis, f.lo, f.hi, f.role, f.datum) for f in notch.figures} == {(1, 50, 125, "size", -1), (0, 100, 190, "size", -1)}
    (notch,) = work("notch 75 mm x 90 mm at right, rear")
    assert {(f.axis, f.lo, f.hi, f.role, f.datum) for f in notch.figures} == {(0, 325, 400, "size", 0), (1, 160, 250, "size", 0)}


def test_a_step_has_its_sizes_and_its_depth_and_no_place() -> None:
    """It stands in the middle of the pocket, which is placed."""
    pocket, step = work("pocket 80 mm x 60 mm deep 6 mm on top at centre\n  step 40 mm x 30 mm deep 9 mm")
    assert sorted((f.role, f.axis, f.lo, f.hi) for f in step.figures) == [("depth", 2, 409, 418), ("size", 0, 230, 270), ("size", 1, 135, 165)]
    assert {f.role for f in pocket.figures} == {"depth", "size", "place"}


def test_lettering() -> None:
    (letter,) = work('letter "SET 1" high 10 mm deep 1 mm on front')
    assert (letter.text, letter.height, letter.depth) == ("SET 1", 10, 1)
    assert spot(letter) == (250, 50, 409)
    assert letter.reading is not None and letter.reading.name == "right"
    assert letter.cuts == ()
    (letter,) = work('letter 5 high 10 mm on top at 20 mm, 30 mm')
    assert (letter.text, spot(letter)) == ("5", (120, 80, 418))


def test_lettering_at_several_places() -> None:
    letters = work('letter "SET 1" high 10 mm deep 1 mm on top at (60 mm, 40 mm), (180 mm, 40 mm), (60 mm, 120 mm)')
    assert [f.id for f in letters] == ["board.letter1.1", "board.letter1.2", "board.letter1.3"]
    assert [spot(f) for f in letters] == [(160, 90, 418), (280, 90, 418), (160, 170, 418)]
    assert len({f.row for f in letters}) == 1 and letters[0].row
    assert {(f.text, f.height, f.depth) for f in letters} == {("SET 1", 10, 1)}
    # From the left and from the front edge, each its own.
    assert [sorted((f.axis, f.hi - f.lo) for f in letter.figures) for letter in letters] == [[(0, 60), (1, 40)], [(0, 180), (1, 40)], [(0, 60), (1, 120)]]
    (found,) = faulty(BOARD + '  letter "A" high 10 mm on top at (60 mm, 40 mm), (400 mm, 40 mm)\n')
    assert found.code == "PD330" and found.message.startswith("number 2 of 2 ")


def test_work_is_measured_between_shoulders() -> None:
    """A tongue that a joint adds does not move the holes."""
    text = SIDE + "part shelf from ply\n  grain across\n  across from side.right for 300 mm\n  back from 0 to 200 mm\n  up from 100 mm\n  hole 5 mm through on top at 20 mm, 30 mm\njoint dado shelf into side deep 6 mm\n"
    model = sound(text).model
    hole = next(f for f in model.part("shelf").features if f.kind == "hole")
    assert spot(hole)[0] == 38
    assert sizes(model.part("shelf"))[0] == 306
    # On paper it is figured from the end that the saw cuts: 20 and 6 of the tongue.
    assert next((f.lo, f.hi) for f in hole.figures if f.axis == 0) == (12, 38)


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("hole 5 mm deep 18 mm on top at 20 mm, 30 mm", "PD331"),
        ("hole 5 mm through on top at 2 mm, 30 mm", "PD330"),
        ("hole 5 mm through on top at 20 mm, 30 mm row 3 every 200 mm along across", "PD330"),
        ("hole 0 mm through on top at 20 mm, 30 mm", "PD331"),
        ("hole 5 mm deep 0 mm on top at 20 mm, 30 mm", "PD331"),
        ("pocket 500 mm x 30 mm deep 9 mm on top at centre", "PD330"),
        ("pocket 50 mm x 0 mm deep 9 mm on top at centre", "PD331"),
        ("notch 300 mm x 20 mm at left, front", "PD337"),
        ("notch 30 mm x 20 mm at left, right", "PD337"),
        ("tab 80 mm x 200 mm at front", "PD337"),
        ("tab 80 mm x 20 mm at front offset 221 mm", "PD337"),
        ('letter "" high 10 mm on front', "PD338"),
        ('letter "A" high 10 mm on front at 400 mm, 9 mm', "PD330"),
        ('letter "A" high 0 mm on top', "PD331"),
        ('letter "A" high 10 mm deep 0 mm on top', "PD331"),
        ('letter "A" high 10 mm deep 18 mm on top', "PD331"),
        ('letter "A" high 10 mm deep 50 mm on top', "PD331"),
    ],
)
def test_work_that_does_not_fit(line: str, code: str) -> None:
    assert fault(line) == code


@pytest.mark.parametrize(
    ("fits", "misses", "code"),
    [
        ("hole 5 mm through on top at 2.5 mm, 2.5 mm", "hole 5 mm through on top at 2.4 mm, 2.5 mm", "PD330"),
        ("hole 5 mm deep 17.9 mm on top at centre", "hole 5 mm deep 18 mm on top at centre", "PD331"),
        ("notch 299 mm x 199 mm at left, front", "notch 300 mm x 199 mm at left, front", "PD337"),
        ("notch 299 mm x 199 mm at left, front", "notch 299 mm x 200 mm at left, front", "PD337"),
        ("pocket 300 mm x 200 mm deep 9 mm on top at centre", "pocket 300.1 mm x 200 mm deep 9 mm on top at centre", "PD330"),
    ],
)
def test_the_least_that_fits(fits: str, misses: str, code: str) -> None:
    """A hole may come right to the edge, not over it."""
    (made,) = work(fits)
    room = body_box(made.cuts[0])
    assert all(room.lo[a] >= (100, 50, 400)[a] for a in range(3))
    assert all(room.hi[a] <= (400, 250, 418)[a] for a in range(3))
    assert fault(misses) == code


@pytest.mark.parametrize(("face", "reading"), [("front", "right"), ("rear", "left"), ("left", "front"), ("right", "rear"), ("top", "right"), ("bottom", "right")])
def test_lettering_reads_as_one_stands_before_the_face(face: str, reading: str) -> None:
    (letter,) = work(f'letter "A" high 10 mm on {face}')
    assert letter.reading is not None and letter.reading.name == reading


@pytest.mark.parametrize(("face", "long"), [("top", "0 mm, 100 mm"), ("front", "0 mm, 9 mm"), ("left", "0 mm, 9 mm"), ("right", "0 mm, 9 mm")])
def test_lettering_that_does_not_fit_is_told_along_and_across_its_line(face: str, long: str) -> None:
    assert fault(f'letter "AB" high 10 mm on {face} at {long}') == "PD330"
    assert fault(f'letter "AB" high 10 mm on {face} at {long.split(",")[0].replace("0", "100")}, 4 mm') == "PD330"
    assert fault(f'letter "{"LONG WORDS " * 5}" high 12 mm on {face}') == "PD330"
    assert fault(f'letter "A" high 201 mm on {face}') == "PD330"
