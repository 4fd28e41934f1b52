"""Figures of part drawings: complete, and nothing twice (drafting rule D25 as a spanning tree)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest

from plandoc.geometry.bodies import ACROSS, AXES, BACK, UP, Box, Disc, Face, Prism, box_prism
from plandoc.model.entities import Feature, Figure, Part
from plandoc.sheets.partfaces import ABOVE, BELOW, FAR, MAIN, REAR, part_views
from plandoc.sheets.partviews import PartPlan, Ties, feature_planes, plan_part
from tests.support.sample_model import BACKING, PANEL, PINS_UP, T, inch, sample_case

ZERO = Fraction(0)
PARTS = {part.path: part for part in sample_case().parts}


def tray_bottom(scattered: bool = False) -> Part:
    """Twenty-four round pockets of three diameters in uneven rows; scattered: no two at the same place along it."""
    box = Box((ZERO, ZERO, ZERO), (inch(20), inch(12), T))
    pockets = []
    for i in range(6):
        for j in range(4):
            x, y = inch(2) + i * inch(3) + (i % 2) * inch("1/4"), inch(2) + j * inch("21/8") + (j % 3) * inch("1/8")
            x += j * inch("1/16") if scattered else ZERO
            wide, deep = inch((2, "3/2", 1)[(i + j) % 3]), inch("3/8")
            pockets.append(
                Feature(
                    f"tray.{i}.{j}", "pocket", Face(UP, 1), cuts=(Prism(UP, T - deep, T, Disc((x, y), wide / 2)),),
                    figures=(Figure(ACROSS, ZERO, x, "place", -1), Figure(BACK, ZERO, y, "place", -1)),
                    diameter=wide, depth=deep, centre=(x, y, T),
                )
            )
    return Part("tray", "tray bottom", PANEL, box, box, ACROSS, BACK, UP, tuple(pockets), datum=(-1, -1, 1), mark="T")


def divider() -> Part:
    """Dadoes from both faces, a groove in the rear edge, a stopped dado without any figures."""
    box = Box((ZERO, ZERO, ZERO), (T, inch(10), inch(20)))
    third = inch("1/4")

    def dado(name: str, side: int, up: Fraction, front: Fraction = ZERO) -> Feature:
        lo, hi = (T - third, T) if side > 0 else (ZERO, third)
        cut = box_prism(Box((lo, front, up), (hi, inch(10), up + T)))
        figures = (Figure(UP, ZERO, up, "place", -1), Figure(UP, up, up + T, "size"), Figure(ACROSS, lo, hi, "depth"))
        return Feature(f"divider.{name}", "dado", Face(ACROSS, side), cuts=(cut,), figures=() if front else figures, depth=third)

    mid = (T - third) / 2
    groove = Feature(
        "divider.groove", "groove", Face(BACK, 1),
        cuts=(box_prism(Box((mid, inch("39/4"), ZERO), (mid + third, inch(10), inch(20)))),),
        figures=(
            Figure(ACROSS, ZERO, mid, "place", -1), Figure(ACROSS, mid, mid + third, "size"),
            Figure(BACK, inch("39/4"), inch(10), "depth"),
        ),
        depth=third,
    )  # fmt: skip
    features = (dado("a", 1, inch(5)), dado("b", 1, inch(12)), dado("c", -1, inch(8)), dado("d", 1, inch(16), inch(2)), groove)
    return Part("divider", "divider", PANEL, box, box, UP, BACK, ACROSS, features, mark="V")


def finger_side() -> Part:
    """Box fingers at one end: equal notches in a row."""
    box = Box((ZERO, ZERO, ZERO), (inch(8), inch("7/32"), inch(4)))
    fingers = []
    for n in range(4):
        low = inch(n) + inch("1/2")
        fingers.append(
            Feature(
                f"side.finger.{n}", "finger", Face(ACROSS, 1),
                cuts=(box_prism(Box((inch(8) - T, ZERO, low), (inch(8), inch("7/32"), low + inch("1/2")))),),
                figures=(
                    Figure(UP, ZERO, low, "place", -1), Figure(UP, low, low + inch("1/2"), "size"),
                    Figure(ACROSS, inch(8) - T, inch(8), "size"),
                ),
                row="side.finger",
            )
        )
    return Part("side", "tray side", BACKING, box, box, ACROSS, UP, BACK, tuple(fingers), mark="S")


EVERY = {**PARTS, "tray": tray_bottom(), "scattered": tray_bottom(scattered=True), "divider": divider(), "side": finger_side()}


def printed(plan: PartPlan, axis: int) -> Iterator[tuple[Fraction, Fraction]]:
    for measure in plan.measures:
        if measure.axis == axis:
            yield from measure.edges


@pytest.mark.parametrize("path", sorted(EVERY))
def test_figures_are_a_forest_so_nothing_is_printed_twice(path: str) -> None:
    plan = plan_part(EVERY[path])
    for axis in AXES:
        ties = Ties()
        for lo, hi in printed(plan, axis):
            assert not ties.tied(lo, hi), f"{path}: {lo} to {hi} along {axis} follows from other figures"
            ties.tie(lo, hi)


@pytest.mark.parametrize("path", sorted(EVERY))
def test_every_feature_is_tied_to_the_reference_faces(path: str) -> None:
    part = EVERY[path]
    plan = plan_part(part)
    ties = {axis: Ties() for axis in AXES}
    for axis in AXES:
        for lo, hi in printed(plan, axis):
            ties[axis].tie(lo, hi)
    for axis in AXES:
        assert ties[axis].tied(*part.box.span(axis)), "overall size"
    for shape in plan.shapes:
        if shape.wide is not None:
            # the note gives the width, so one side fixes the other
            ties[shape.wide.axis].tie(shape.wide.lo, shape.wide.hi)
    for shape in plan.shapes:
        for axis, planes in feature_planes(part, plan.view(shape.place), shape):
            datum = part.box.lo[axis] if part.datum[axis] < 0 else part.box.hi[axis]
            for plane in planes:
                assert ties[axis].tied(datum, plane), f"{shape.feature.id} at {plane} along {axis}"


def test_overall_sizes_of_every_part_are_there_once() -> None:
    for part in EVERY.values():
        overall = [m for m in plan_part(part).measures if m.kind == "overall"]
        assert [m.axis for m in overall] == [0, 1, 2]
        assert [(m.lo, m.hi) for m in overall] == [part.box.span(axis) for axis in AXES]


def test_a_row_of_pins_is_the_first_place_and_one_pitch() -> None:
    plan = plan_part(PARTS["left_side"])
    rows = [m for m in plan.measures if "left_side.pins.1" in m.features and m.axis == UP]
    assert [(m.lo, m.hi, m.printed_count) for m in rows] == [(ZERO, PINS_UP[0], 1), (PINS_UP[0], PINS_UP[1], 3)]
    across = [m for m in plan.measures if "left_side.pins.1" in m.features and m.axis == BACK]
    assert [(m.lo, m.hi) for m in across] == [(ZERO, inch(2))]


def test_fingers_are_one_size_with_a_count() -> None:
    plan = plan_part(finger_side())
    sizes = [m for m in plan.measures if m.axis == UP and m.kind == "size"]
    assert [(m.hi - m.lo, m.printed_count) for m in sizes] == [(inch(1), 3), (inch("1/2"), 3)]


def test_equal_work_of_two_joints_is_sized_once() -> None:
    """Two mortises for the keys of two through tenons: places of both, one size with the count that their note has."""
    def key(name: str, at: Fraction, long: Fraction) -> Feature:
        cut = box_prism(Box((at, ZERO, inch(1)), (at + long, inch(2), inch(2))))
        figures = (
            Figure(ACROSS, ZERO, at, "place", -1), Figure(ACROSS, at, at + long, "size"),
            Figure(UP, ZERO, inch(1), "place", -1), Figure(UP, inch(1), inch(2), "size"),
        )  # fmt: skip
        return Feature(f"rail.{name}", "key mortise", Face(BACK, -1), cuts=(cut,), figures=figures, joint=f"tenon:rail>{name}")

    half, box = inch("1/2"), Box((ZERO, ZERO, ZERO), (inch(40), inch(2), inch(4)))
    part = Part("rail", "rail", PANEL, box, box, ACROSS, UP, BACK, (key("left", inch(1), half), key("right", inch(38), half)), datum=(-1, -1, -1), mark="R")
    sizes = [m for m in plan_part(part).measures if m.axis == ACROSS and m.kind == "size"]
    assert [(m.hi - m.lo, m.printed_count) for m in sizes] == [(inch("1/2"), 2)]
    other = replace(part, features=(key("left", inch(1), half), key("right", inch(37), inch(1))))
    sizes = [m for m in plan_part(other).measures if m.axis == ACROSS and m.kind == "size"]
    assert [(m.hi - m.lo, m.printed_count) for m in sizes] == [(inch("1/2"), 1), (inch(1), 1)]


def test_many_single_holes_go_into_a_table() -> None:
    assert plan_part(tray_bottom()).tables == ()
    plan = plan_part(tray_bottom(scattered=True))
    (place, holes), = plan.tables
    assert place == MAIN
    assert len(holes) == 24
    assert len({hole.letter for hole in holes}) == 24
    known = {f.id: f for f in plan.part.features}
    for hole in holes:
        assert (hole.x, hole.y) == known[hole.feature.id].centre[:2]  # type: ignore[index]
    assert not [m for m in plan.measures if m.features and m.kind != "table"]


def test_the_main_view_shows_the_face_with_most_work() -> None:
    assert part_views(PARTS["left_side"])[0].face == Face(ACROSS, 1)
    assert part_views(PARTS["right_side"])[0].face == Face(ACROSS, -1)
    assert part_views(PARTS["drawer_front"])[0].face == Face(BACK, -1)


def test_the_mirrored_side_is_drawn_mirrored() -> None:
    left, right = (part_views(PARTS[path]) for path in ("left_side", "right_side"))
    assert left[0].right == right[0].right == Face(UP, 1)
    assert (left[0].up, right[0].up) == (Face(BACK, -1), Face(BACK, 1))
    assert (left[1].place, right[1].place) == (ABOVE, BELOW)
    assert left[1].face == right[1].face == Face(BACK, -1)


def test_work_on_other_faces_gets_its_own_view() -> None:
    faces = [view.face for view in part_views(divider())]
    assert faces[0] == Face(ACROSS, 1)
    assert Face(ACROSS, -1) in faces and Face(BACK, 1) in faces
    grooves = [m for m in plan_part(divider()).measures if "divider.groove" in m.features]
    assert grooves and all(m.axis == ACROSS and m.place != MAIN for m in grooves)


def test_plain_parts_need_one_view() -> None:
    assert len(part_views(PARTS["shelf"])) == 1
    assert len(part_views(PARTS["back"])) == 1


def test_views_are_right_handed() -> None:
    for part in EVERY.values():
        for view in part_views(part):
            r, u, n = (view.projection.right, view.projection.up, view.projection.toward)
            cross = (r[1] * u[2] - r[2] * u[1], r[2] * u[0] - r[0] * u[2], r[0] * u[1] - r[1] * u[0])
            assert cross == n


def test_words_on_the_opposite_face_are_upright() -> None:
    """A face with words is not turned over below the main view, on its head: it stands at the far right, up as the piece is."""
    part = replace(divider(), features=(*divider().features, *(replace(divider().features[0], id=f"divider.more{n}") for n in range(3))))
    main = part_views(part)[0]
    away = Face(main.face.axis, -main.face.side)
    word = Feature("divider.word", "lettering", away, centre=(ZERO, inch(5), inch(10)), text="LEFT", height=inch(1), reading=Face(main.right.axis, -main.right.side))
    for features, upright in (((*part.features, word), False), (part.features, True)):
        (view,) = (v for v in part_views(replace(part, features=features), upright=upright) if v.face == away)
        assert (view.place, view.up, view.right) == (FAR, main.up, Face(main.right.axis, -main.right.side))
    assert {v.place for v in part_views(part) if v.face == away} == {REAR}


def test_a_figure_that_another_figure_gives_already_is_left_out() -> None:
    side = PARTS["left_side"]
    toe = side.features[0]
    again = replace(toe, id="left_side.again")
    plan = plan_part(replace(side, features=(*side.features, again)))
    assert not [m for m in plan.measures if "left_side.again" in m.features]
