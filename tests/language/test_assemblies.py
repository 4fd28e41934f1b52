"""Assemblies: values and defaults, places, turns, mirror images, nesting. Figures worked out by hand."""

from __future__ import annotations

import pytest

from tests.support.resolving import faulty, sizes, sound

# A base 300 x 200 x 18 with a wall 50 high at its left end.
CRATE = """
assembly crate(wide = 300 mm, deep = wide * 2 / 3) "Crate"
  part base from ply
    grain  across
    across from 0 to wide
    back   from 0 to deep
    up     from 0
    hole   5 mm through on top at 20 mm, 30 mm
  part wall from ply
    grain  back
    across from 0
    back   from 0 to deep
    up     from base.top for 50 mm
"""


def test_defaults_may_use_the_values_before_them() -> None:
    outcome = sound(CRATE + "place crate as a\nplace crate as b\n  wide = 600 mm\nplace crate as c\n  deep = 90 mm\n")
    boxes = {p.path: (p.box.size(0), p.box.size(1)) for p in outcome.model.parts if p.path.endswith("base")}
    assert boxes == {"a.base": (300, 200), "b.base": (600, 400), "c.base": (300, 90)}


def test_place_moves_everything() -> None:
    outcome = sound(CRATE + "place crate\n  at across 10 mm, back 20 mm, up 30 mm\nset top_of_it = crate.top\nset inner = crate.wall.right\n")
    part = outcome.model.part("crate.base")
    assert part.box.lo == (10, 20, 30)
    assert part.features[0].centre == (30, 50, 48)
    assert outcome.value("top_of_it") == "98 mm"  # 30 + 18 + 50
    assert outcome.value("inner") == "28 mm"


def test_quarter_turn_about_up() -> None:
    """Counter-clockwise, seen from above: what lay across now lies back, and to the left of the corner."""
    outcome = sound(CRATE + "place crate\n  turned 90° about up\n")
    part = outcome.model.part("crate.base")
    assert (part.box.lo, part.box.hi) == ((-200, 0, 0), (0, 300, 18))
    assert part.length_axis == 1
    assert sizes(part) == (300, 200, 18)
    assert part.features[0].centre == (-30, 20, 18)
    wall = outcome.model.part("crate.wall")
    assert (wall.box.lo, wall.box.hi) == ((-200, 0, 18), (0, 18, 68))


def test_half_turns_and_turns_about_the_other_directions() -> None:
    base = sound(CRATE + "place crate\n  turned 180° about up\n").model.part("crate.base")
    assert (base.box.lo, base.box.hi) == ((-300, -200, 0), (0, 0, 18))
    base = sound(CRATE + "place crate\n  turned 90° about across\n").model.part("crate.base")
    # About `across`, back turns to up.
    assert (base.box.lo, base.box.hi) == ((0, -18, 0), (300, 0, 200))
    base = sound(CRATE + "place crate\n  turned 90° about back\n").model.part("crate.base")
    # About `back`, up turns to across.
    assert (base.box.lo, base.box.hi) == ((0, 0, -300), (18, 200, 0))


def test_four_quarter_turns_are_none() -> None:
    still = sound(CRATE + "place crate\n").model
    turned = sound(CRATE + "place crate\n" + "  turned 90° about back\n" * 4).model
    assert [(p.box, [f.centre for f in p.features]) for p in still.parts] == [(p.box, [f.centre for f in p.features]) for p in turned.parts]


def test_mirrored_assembly() -> None:
    outcome = sound(CRATE + "place crate as plain\nplace crate as image\n  mirrored across\n  at across 700 mm\n")
    base, image = outcome.model.part("plain.base"), outcome.model.part("image.base")
    assert image.box.span(0) == (400, 700)
    assert image.features[0].centre == (680, 30, 18)
    # Its reference edge changes sides with it.
    assert (base.datum[0], image.datum[0]) == (-1, 1)
    # Turned over in the hand the drilled board is its own mirror image: the same part.
    assert base.mark == image.mark
    assert outcome.model.part("plain.wall").mark == outcome.model.part("image.wall").mark


def test_nested_assemblies_and_names_through_them() -> None:
    text = """
assembly leg(high)
  part post from ply
    grain  up
    across from 0 for 60 mm
    back   from 0
    up     from 0 to high
assembly frame(high, apart)
  for i from 1 to 2
    place leg as leg_at[i]
      high = high
      at across (i - 1) * apart
  part rail from ply
    across between leg_at[1] and leg_at[2]
    back   from 0
    up     from high - 80 mm to high - 20 mm
  joint butt rail into leg_at[1].post, leg_at[2].post
place frame as front
  high  = 400 mm
  apart = 300 mm
  at back 100 mm
set inside = front.leg_at[2].post.left - front.leg_at[1].post.right
set high_end = front.top
"""
    outcome = sound(text)
    assert [p.path for p in outcome.model.parts] == ["front.leg_at[1].post", "front.leg_at[2].post", "front.rail"]
    assert outcome.value("inside") == "240 mm"
    assert outcome.value("high_end") == "400 mm"
    rail = outcome.model.part("front.rail")
    assert rail.box.span(0) == (60, 300) and rail.box.span(1) == (100, 118)
    assert [(j.a, j.b) for j in outcome.model.joints] == [("front.rail", "front.leg_at[1].post"), ("front.rail", "front.leg_at[2].post")]
    assert [a.path for a in outcome.model.assemblies] == ["", "front", "front.leg_at[1]", "front.leg_at[2]"]


def test_a_joint_inside_a_turned_assembly_is_turned_with_it() -> None:
    text = CRATE.rstrip() + "\n  joint butt wall into base\n"
    plain = sound(text + "place crate\n").model.joints[0]
    turned = sound(text + "place crate\n  turned 90° about across\n").model.joints[0]
    assert plain.entry.name == "bottom"
    assert turned.entry.name == "rear"  # up now points to the viewer, so down points away


def test_parts_of_the_plan_are_not_seen_from_inside() -> None:
    text = 'part shelf from ply\n  across from 0 to 90 mm\n  back from 0 to 90 mm\n  up from 0\nset free = 5 mm\nassembly a\n  part p from ply\n    across from 0 to 90 mm\n    back from 0 to 90 mm\n    up from shelf.top + free\nplace a\n'
    (fault,) = faulty(text)
    assert fault.code == "PD201" and "cannot be seen from within" in fault.message


def test_names_with_values_put_in() -> None:
    text = 'assembly tray(n) "Tray {n}"\n  part blank from ply "Blank of tray {n}"\n    across from 0 to 90 mm\n    back from 0 to 40 mm\n    up from 0\nfor i from 1 to 2\n  place tray as tray[i]\n    n = i\n    at up i * 50 mm\n'
    outcome = sound(text)
    assert [p.name for p in outcome.model.parts] == ["Blank of tray 1", "Blank of tray 2"]
    assert [a.name for a in outcome.model.assemblies][1:] == ["Tray 1", "Tray 2"]
    assert outcome.model.parts[0].mark == outcome.model.parts[1].mark


def test_a_wrong_value_in_one_place_is_told_once_for_all_its_lines() -> None:
    text = CRATE + "".join(f"place crate as c{i}\n  wide = 30\n  deep = 20 mm\n" for i in range(3))
    (fault,) = faulty(text)
    assert fault.code == "PD204"
    assert [n.text for n in fault.notes] == ["30 is a plain number", "and 2 more like this from the same line"]


# Two posts 18 thick and a bar between them, all handed over or inside of an assembly that is placed in some way.
SPAN = """
assembly bar(west, east, board, gap = 1 mm) "Bar"
  part strip from board
    grain  across
    across from west.right + gap to east.left - gap
    back   from west.front to west.rear
    up     from west.bottom + 40 mm
assembly frame
  part post_1 from ply
    grain  up
    across from 10 mm
    back   from 20 mm to 70 mm
    up     from 30 mm to 330 mm
  part post_2 mirrors post_1 about 160 mm
  place bar
    west  = post_1
    east  = post_2
    board = thin
    {at}
place frame
  {way}
"""


@pytest.mark.parametrize("way", ["at across 0", "turned 90° about up", "mirrored across", "turned 90° about across\n  mirrored up\n  at back 70 mm"])
@pytest.mark.parametrize("at", ["gap = 2 mm", "at across 5 mm, back 6 mm, up 7 mm", "turned 180° about back"])
def test_a_part_that_is_handed_over_is_seen_in_the_coordinates_of_the_assembly(at: str, way: str) -> None:
    """Posts from 10 to 28 and from 292 to 310: the strip lies between 28 and 292, however bar and frame are placed."""
    if "turned 180" in at:
        # Turned over, left and right change; so do the values that the bar is given.
        text = SPAN.replace("west  = post_1", "west = post_2").replace("east  = post_2", "east = post_1")
    else:
        text = SPAN
    parts = {p.path: p for p in sound(text.format(at=at, way=way)).model.parts}
    first, last, strip = parts["frame.post_1"], parts["frame.post_2"], parts["frame.bar.strip"]
    gap = 2 if "gap" in at else 1
    axis = next(a for a in range(3) if first.box.hi[a] < last.box.lo[a] or last.box.hi[a] < first.box.lo[a])
    lo, hi = (first, last) if first.box.hi[axis] < last.box.lo[axis] else (last, first)
    assert strip.box.span(axis) == (lo.box.hi[axis] + gap, hi.box.lo[axis] - gap)
    assert strip.length == 264 - 2 * gap and strip.width == 50 and strip.stock.name == "thin"


def test_joints_and_fits_with_parts_that_are_handed_over() -> None:
    text = """
hardware pin5 shelf_pin bore 5 mm deep 10 mm
assembly board(west, east, pin)
  part shelf from ply
    grain  across
    across from west.right to east.left
    back   from 0 to 100 mm
    up     from 150 mm
  joint dado shelf into west, east deep 5 mm
  fit pin on west, east at 20 mm, 40 mm
assembly frame
  part side_1 from ply
    grain  up
    across from 0
    back   from 0 to 100 mm
    up     from 0 to 300 mm
  part side_2 mirrors side_1 about 200 mm
  place board
    west = side_1
    east = side_2
    pin   = pin5
place frame
  turned 90° about up
"""
    model = sound(text).model
    assert [(j.a, j.b) for j in model.joints] == [("frame.board.shelf", "frame.side_1"), ("frame.board.shelf", "frame.side_2")]
    assert model.part("frame.board.shelf").length == 400 - 36 + 10
    # About up, across becomes back and back becomes minus across.
    (hole,) = [f for f in model.part("frame.side_1").features if f.diameter == 5]
    assert hole.centre == (-20, 18, 40)


def test_an_assembly_may_ask_what_it_was_handed() -> None:
    text = """
hardware knob_1 knob bore 5 mm
assembly door(board, handle = "none")
  part panel from board
    grain  up
    across from 0 for 100 mm
    back   from 0
    up     from 0 for 200 mm
  set kind = if board == thin then "thin" else "thick"
  if handle != "none"
    fit handle on panel at centre
place door as plain
  board = ply
place door as fitted
  board  = thin
  handle = knob_1
set a = plain.kind
set b = fitted.kind
"""
    outcome = sound(text)
    assert [f.parts for f in outcome.model.fittings] == [("fitted.panel",)]
    assert (outcome.value("a"), outcome.value("b")) == ("thick", "thin")


def test_other_unlike_things_cannot_be_compared() -> None:
    (fault,) = faulty('set wrong = if ply == 3 mm then "a" else "b"\n')
    assert fault.code == "PD204"


MIRRORED = """
part {name} from ply {comment}
  grain up
  across from 0 for 18 mm
  back from 0 for 300 mm
  up from 0 to 600 mm
part other mirrors {name} about {axis} 400 mm
"""


@pytest.mark.parametrize(("comment", "axis", "expected"), [
    ('"Case side, left"', "across", "Case side, right"), ('"Left front leg"', "across", "Right front leg"),
    ('"Left front leg"', "back", "Left rear leg"), ('"Upper rail"', "up", "Lower rail"), ('"Leg"', "across", "Leg"), ("", "across", "Other"),
])  # fmt: skip
def test_a_mirrored_part_without_a_name_is_called_after_the_other(comment: str, axis: str, expected: str) -> None:
    model = sound(MIRRORED.format(name="lside", comment=comment, axis=axis)).model
    assert model.part("other").name == expected
