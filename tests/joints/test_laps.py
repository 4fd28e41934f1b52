"""Laps: what both parts lose, by hand in mm; and that the halves fill the common room, measured on the solids."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import FACES, Box, body_box
from plandoc.model.entities import Feature, Model
from tests.support.fitting import NOTHING, fit_of, whole
from tests.support.resolving import inches, sizes, sound


def stick(name: str, grain: str, across: str, back: str, up: str, stock: str = "ply") -> str:
    return f"part {name} from {stock}\n  grain {grain}\n  across {across}\n  back {back}\n  up {up}\n"


def box(*numbers: int | F) -> Box:
    x0, y0, z0, x1, y1, z1 = (F(n) for n in numbers)
    return Box((x0, y0, z0), (x1, y1, z1))


def lap_of(model: Model, part: str) -> Feature:
    (found,) = (f for f in model.part(part).features if f.cuts)
    return found


def cut_of(model: Model, part: str) -> Box:
    (cut,) = lap_of(model, part).cuts
    return body_box(cut)


# Two flat sticks 18 thick that run through each other: 40 wide and 50 wide.
CROSS = stick("a", "across", "from 0 to 300 mm", "from 100 mm to 150 mm", "from 0") + stick("b", "back", "from 80 mm to 120 mm", "from 0 to 300 mm", "from 0")
# A ends at B's edge, in its middle.
TEE = stick("a", "across", "from 40 mm to 300 mm", "from 100 mm to 150 mm", "from 0") + stick("b", "back", "from 0 to 40 mm", "from 0 to 300 mm", "from 0")
# A ends at B's edge, at B's end.
CORNER = TEE.replace("from 100 mm to 150 mm", "from 250 mm to 300 mm")
# Two in one line that share 60.
LINE = stick("a", "across", "from 0 to 200 mm", "from 0 to 50 mm", "from 0") + stick("b", "across", "from 140 mm to 400 mm", "from 0 to 50 mm", "from 0")
# Panels 6 thick on edge, 80 high.
CRATE = stick("a", "across", "from 0 to 300 mm", "from 100 mm", "from 0 to 80 mm", "thin") + stick("b", "back", "from 120 mm", "from 0 to 200 mm", "from 0 to 80 mm", "thin")


@pytest.mark.parametrize(
    ("text", "form", "room", "lost_a", "lost_b"),
    [
        (CROSS, "cross lap", box(80, 100, 0, 120, 150, 18), box(80, 100, 0, 120, 150, 9), box(80, 100, 9, 120, 150, 18)),
        (TEE, "T lap", box(0, 100, 0, 40, 150, 18), box(0, 100, 0, 40, 150, 9), box(0, 100, 9, 40, 150, 18)),
        (CORNER, "end lap", box(0, 250, 0, 40, 300, 18), box(0, 250, 0, 40, 300, 9), box(0, 250, 9, 40, 300, 18)),
        (LINE, "half lap", box(140, 0, 0, 200, 50, 18), box(140, 0, 0, 200, 50, 9), box(140, 0, 9, 200, 50, 18)),
        (CRATE, "edge lap", box(120, 100, 0, 126, 106, 80), box(120, 100, 0, 126, 106, 40), box(120, 100, 40, 126, 106, 80)),
    ],
    ids=["cross", "tee", "corner", "line", "crate"],
)
def test_both_lose_half_of_the_room(text: str, form: str, room: Box, lost_a: Box, lost_b: Box) -> None:
    model = sound(text + "joint lap a onto b\n").model
    assert lap_of(model, "a").kind == lap_of(model, "b").kind == form
    assert (cut_of(model, "a"), cut_of(model, "b")) == (lost_a, lost_b)
    fit = fit_of(model, "a", "b", room)
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    assert abs(fit.of_a - fit.of_b) < NOTHING
    assert whole(model, "a") and whole(model, "b")


def test_parts_that_touch_grow_to_the_far_side() -> None:
    model = sound(TEE + "joint lap a onto b\n").model
    assert sizes(model.part("a")) == (300, 50, 18)
    assert sizes(model.part("b")) == (300, 40, 18)
    assert sizes(sound(CROSS + "joint lap a onto b\n").model.part("a")) == (300, 50, 18)


def test_another_share_and_the_other_face() -> None:
    model = sound(CROSS + "joint lap a onto b under deep 6 mm\n").model
    # a lies under b: 6 come off its top, 12 off b's bottom.
    assert cut_of(model, "a") == box(80, 100, 12, 120, 150, 18)
    assert cut_of(model, "b") == box(80, 100, 0, 120, 150, 12)
    assert lap_of(model, "a").face == FACES["top"]
    assert model.joints[0].ways == (FACES["bottom"],)
    fit = fit_of(model, "a", "b", box(80, 100, 0, 120, 150, 18))
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    # a keeps 12 of 18 over 40 x 50.
    assert abs(fit.of_a - 12 * 40 * 50) < NOTHING


def test_fit_is_left_beside_each_part() -> None:
    model = sound(CROSS + "joint lap a onto b fit 1 mm\n").model
    # b's notch takes a, 50 wide; a's notch takes b, 40 wide.
    assert cut_of(model, "b") == box(80, F(199, 2), 9, 120, F(301, 2), 18)
    assert cut_of(model, "a") == box(F(159, 2), 100, 0, F(241, 2), 150, 9)
    # Air beside a in b's notch: 1 wide, 40 long, 9 high; beside b in a's notch 1 x 50 x 9.
    around = fit_of(model, "a", "b", box(70, 90, 0, 130, 160, 18))
    beside = 4 * 10 * 10 * 18  # the four corners of that room belong to neither
    assert around.shared < NOTHING
    assert around.gap == pytest.approx(beside + 40 * 9 + 50 * 9)


def test_figures_are_those_of_the_shared_edges() -> None:
    model = sound(CROSS + "joint lap a onto b\n").model
    a, b = lap_of(model, "a"), lap_of(model, "b")
    assert [(f.axis, f.lo, f.hi, f.role, f.datum) for f in a.figures] == [(0, 0, 80, "place", -1), (0, 80, 120, "size", 0), (2, 0, 9, "depth", 0)]
    assert [(f.axis, f.lo, f.hi, f.role, f.datum) for f in b.figures] == [(1, 0, 100, "place", -1), (1, 100, 150, "size", 0), (2, 9, 18, "depth", 0)]
    # Where a lap runs out at the end, its length is all that must be known.
    end = lap_of(sound(TEE + "joint lap a onto b\n").model, "a")
    assert [(f.axis, f.lo, f.hi, f.role) for f in end.figures] == [(0, 0, 40, "size"), (2, 0, 9, "depth")]


@pytest.mark.parametrize(
    ("text", "ways"),
    [(CROSS, {"top"}), (TEE, {"top", "right"}), (CORNER, {"top", "right", "rear"}), (LINE, {"top", "left", "front", "rear"}), (CRATE, {"top"})],
)
def test_the_ways_out(text: str, ways: set[str]) -> None:
    assert {w.name for w in sound(text + "joint lap a onto b\n").model.joints[0].ways} == ways


def test_upright_frame_laps_from_front_to_rear() -> None:
    text = stick("post", "up", "from 0 to 40 mm", "from 0", "from 0 to 300 mm") + stick("rail", "across", "from -20 mm to 200 mm", "from 0", "from 100 mm to 150 mm")
    model = sound(text + "joint lap rail onto post from rear\n").model
    assert cut_of(model, "rail") == box(0, 9, 100, 40, 18, 150)
    assert cut_of(model, "post") == box(0, 0, 100, 40, 9, 150)


def test_sticks_of_unlike_thickness_lap_over_what_they_share() -> None:
    """A is 6 thick, B 18, flush below: A is let into B's under side, each gives 3. From above B would lose all over it."""
    text = CROSS.replace("part a from ply", "part a from thin")
    model = sound(text + "joint lap a onto b\n").model
    assert cut_of(model, "a") == box(80, 100, 3, 120, 150, 6)
    assert cut_of(model, "b") == box(80, 100, 0, 120, 150, 3)
    assert fit_of(model, "a", "b", box(80, 100, 0, 120, 150, 6)).gap == pytest.approx(0, abs=NOTHING)
    over = sound(text + "joint lap a onto b over deep 4 mm\n", warnings=("PD475",)).model
    assert cut_of(over, "a") == box(80, 100, 0, 120, 150, 4)
    assert cut_of(over, "b") == box(80, 100, 4, 120, 150, 18)


def test_rail_let_into_the_front_edge_of_a_side() -> None:
    """The side is 200 deep, the rail 18 thick at its front: half of the rail goes, and a notch of 9 in the side's edge."""
    text = "part side from ply\n  grain up\n  across from 0\n  back from 0 to 200 mm\n  up from 0 to 300 mm\n" + stick("rail", "across", "from 18 mm to 300 mm", "from 0", "from 50 mm to 110 mm")
    model = sound(text + "joint lap rail onto side\n").model
    assert cut_of(model, "side") == box(0, 0, 50, 18, 9, 110)
    assert cut_of(model, "rail") == box(0, 9, 50, 18, 18, 110)
    assert sizes(model.part("rail")) == (300, 60, 18)


def test_turned_and_mirrored_assemblies_keep_their_laps() -> None:
    inside = "".join(f"  {line}\n" for line in (CROSS + "joint lap a onto b\n").splitlines())
    text = f"assembly cross\n{inside}place cross\nplace cross as turned_one\n  turned 90° about back\n  mirrored across\n  at across 500 mm\n"
    model = sound(text).model
    for name in ("cross", "turned_one"):
        first, second = model.part(f"{name}.a"), model.part(f"{name}.b")
        room = first.shoulder.common(second.shoulder)
        assert room is not None and room.volume == 40 * 50 * 18
        fit = fit_of(model, first.path, second.path, room)
        assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    assert model.part("cross.a").mark == model.part("turned_one.a").mark


def test_bookrack_rail_in_inches() -> None:
    """Windsor, Mission Furniture part 3 (1912), p. 74: a bookrack of sticks 1 in. square, lapped by half an inch."""
    text = "stock stick lumber 5/4\n  measured 1\"\n"
    text += stick("post", "up", 'from 0 for 1"', 'from 1/2" for 1"', "from 0 to 7\"", "stick").replace("across from 0 for 1\"", "across from 0")
    text += stick("rail", "back", 'from 0 for 1"', 'from 0 to 7"', 'from 2"', "stick")
    model = sound(text + "joint lap post onto rail from left\n").model
    half = inches("1/2")
    assert cut_of(model, "post").size(0) == cut_of(model, "rail").size(0) == half
    room = model.part("post").shoulder.common(model.part("rail").shoulder)
    assert room is not None
    assert room.volume == inches("1") ** 3
    fit = fit_of(model, "post", "rail", room)
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING


def test_halved_stretchers_of_a_tabouret() -> None:
    """Windsor, Mission Furniture part 1 (1909), p. 18: two top stretchers on edge, 7/8 thick and 2 deep, 13-5/8 long by the
    drawing, cross in a half lap at mid-length: 7/8 wide, half the depth."""
    text = "stock board lumber 5/4\n  measured 7/8\"\n"
    text += stick("first", "across", 'from 0 to 13 5/8"', 'centred on 6 13/16"', 'from 0 to 2"', "board") + stick("second", "back", 'centred on 6 13/16"', 'from 0 to 13 5/8"', 'from 0 to 2"', "board")
    model = sound(text + "joint lap first onto second\n").model
    for path, run in (("first", 0), ("second", 1)):
        cut = cut_of(model, path)
        assert lap_of(model, path).kind == "edge lap"
        assert cut.size(run) == inches("7/8") and cut.size(2) == inches("1")
        # 13-5/8 less 7/8, halved.
        assert cut.lo[run] == inches("6 3/8")
    room = model.part("first").shoulder.common(model.part("second").shoulder)
    assert room is not None
    fit = fit_of(model, "first", "second", room)
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING


@pytest.mark.parametrize("way", ["across", "back", "up"])
@pytest.mark.parametrize("text", [CROSS, CORNER, LINE, CRATE], ids=["cross", "corner", "line", "crate"])
def test_a_mirrored_lap_is_the_mirror_image(text: str, way: str) -> None:
    """Each half is cut from its own reference face, so that both images are one kind of part, or each other's mirror image."""
    inside = "".join(f"  {line}\n" for line in (text + "joint lap a onto b\n").splitlines())
    model = sound(f"assembly grid\n{inside}place grid\nplace grid as twin\n  mirrored {way}\n  at across 900 mm, back 900 mm, up 900 mm\n").model
    axis = ("across", "back", "up").index(way)
    for name in ("a", "b"):
        one, other = model.part(f"grid.{name}"), model.part(f"twin.{name}")
        first, second = cut_of(model, one.path), cut_of(model, other.path)
        ahead, back = first.lo[axis] - one.box.lo[axis], first.hi[axis] - one.box.lo[axis]
        assert (other.box.hi[axis] - second.hi[axis], other.box.hi[axis] - second.lo[axis]) == (ahead, back)
