"""Turns by any angle: exact squares, and the angles as seen."""

from __future__ import annotations

from fractions import Fraction
from math import atan2, cos, degrees, hypot, isclose, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plandoc.geometry.bodies import Box, Chunk, body_box, box_prism
from plandoc.geometry.convex import dot, left_faces
from plandoc.geometry.lean import STILL, lean_to, saw_angles, turn
from plandoc.geometry.solid import Solid

F = Fraction
angles = st.fractions(min_value=-180, max_value=180, max_denominator=64)


@given(st.integers(0, 2), angles)
def test_a_turn_keeps_lengths_exactly(axis: int, angle: Fraction) -> None:
    made = turn(axis, angle)
    for i in range(3):
        for j in range(3):
            assert dot(made.rows[i], made.rows[j]) == (1 if i == j else 0)


@given(st.integers(0, 2), angles)
def test_a_turn_has_its_angle(axis: int, angle: Fraction) -> None:
    first, second = [(1, 2), (2, 0), (0, 1)][axis]
    made = turn(axis, angle)
    assert isclose(float(made.rows[first][first]), cos(radians(float(angle))), abs_tol=1e-14)
    assert isclose(float(made.rows[second][first]), sin(radians(float(angle))), abs_tol=1e-14)


@pytest.mark.parametrize(("angle", "to"), [(90, (0, 1, 0)), (180, (-1, 0, 0)), (270, (0, -1, 0)), (-90, (0, -1, 0)), (360, (1, 0, 0))])
def test_quarter_turns_are_exact(angle: int, to: tuple[int, int, int]) -> None:
    assert turn(2, F(angle)).direction((F(1), F(0), F(0))) == to


def test_a_motion_and_its_inverse() -> None:
    made = turn(0, F(10)).about((F(3), F(4), F(5))).after(turn(2, F(33)).about((F(1), F(1), F(1))))
    point = (F(7), F(-2), F(19, 3))
    assert made.inverse().point(made.point(point)) == point
    assert made.after(made.inverse()) == STILL


def test_a_plane_goes_with_its_points() -> None:
    made = turn(1, F(25)).about((F(3), F(0), F(9)))
    normal, offset = (F(1), F(2), F(3)), F(10)
    on = (F(10), F(0), F(0))
    after, there = made.plane_after(normal, offset)
    assert dot(after, made.point(on)) == there
    assert made.plane_before(after, there) == (normal, offset)


@given(st.integers(-40, 40), st.integers(-40, 40))
def test_a_leg_is_seen_at_its_two_angles(right: int, rear: int) -> None:
    up = lean_to(F(right), F(rear)).direction((F(0), F(0), F(1)))
    assert isclose(degrees(atan2(float(up[0]), float(up[2]))), right, abs_tol=1e-9)
    assert isclose(degrees(atan2(float(up[1]), float(up[2]))), rear, abs_tol=1e-9)


def test_the_resultant_of_rake_and_splay() -> None:
    # Resultant angle of legs: tan(resultant)^2 = tan(splay)^2 + tan(rake)^2 (common practice of chair makers).
    up = lean_to(F(14), F(9)).direction((F(0), F(0), F(1)))
    tilt = degrees(atan2(hypot(float(up[0]), float(up[1])), float(up[2])))
    assert isclose(tan(radians(tilt)) ** 2, tan(radians(14)) ** 2 + tan(radians(9)) ** 2, rel_tol=1e-12)


def test_a_leg_is_not_twisted() -> None:
    """Half-way between twist to the left and to the right: the turn has no part about its own upright axis."""
    made = lean_to(F(14), F(9))
    # the axis of a turn without twist lies level: the matrix is symmetric in its level part
    assert made.rows[0][1] == made.rows[1][0]


def test_saw_angles_of_a_plain_bevel_and_a_plain_mitre() -> None:
    leaned = turn(1, F(10)).inverse().direction((F(0), F(0), F(1)))
    assert saw_angles(leaned, 2, 0) == pytest.approx((0.0, 10.0))
    assert saw_angles(leaned, 2, 1) == pytest.approx((10.0, 0.0))


def test_what_a_plane_leaves_of_a_box() -> None:
    box = Box((F(0), F(0), F(0)), (F(10), F(20), F(30)))
    # plane z = 30 - x: a wedge of 10 x 20 x 10 / 2 goes
    chunk = Chunk(box, (F(1), F(0), F(1)), F(30))
    assert body_box(chunk) == Box((F(0), F(0), F(20)), (F(10), F(20), F(30)))
    solid = Solid.from_prisms([box_prism(box)], [chunk])
    assert solid.volume == pytest.approx(10 * 20 * 30 - 1000)
    corners = {point for face in left_faces(box, [chunk]) for point in face}
    assert corners == {(x, y, z) for x, top in ((F(0), F(30)), (F(10), F(20))) for y in (F(0), F(20)) for z in (F(0), top)}


@given(st.tuples(*[st.integers(-5, 5)] * 3), st.integers(-60, 60))
def test_both_sides_of_a_plane_make_the_box(normal: tuple[int, int, int], offset: int) -> None:
    if not any(normal):
        return
    box = Box((F(0), F(0), F(0)), (F(10), F(7), F(5)))
    n = (F(normal[0]), F(normal[1]), F(normal[2]))
    beyond = Solid.from_prisms([Chunk(box, n, F(offset))])
    before = Solid.from_prisms([Chunk(box, (-n[0], -n[1], -n[2]), F(-offset))])
    assert beyond.volume + before.volume == pytest.approx(350)
    if not beyond.empty:
        room = body_box(Chunk(box, n, F(offset)))
        assert tuple(float(v) for v in room.lo) == pytest.approx(beyond.bounds[0])
        assert tuple(float(v) for v in room.hi) == pytest.approx(beyond.bounds[1])


def test_a_turned_solid_keeps_its_volume_and_lies_on_the_grid() -> None:
    box = Box((F(0), F(0), F(0)), (F(40), F(20), F(300)))
    lean = turn(1, F(10))
    down = lean.inverse().direction((F(0), F(0), F(-1)))
    chunk = Chunk(box, down, F(-50))
    solid = Solid.from_prisms([box_prism(box)], [chunk])
    stood = solid.leaned(lean)
    assert stood.volume == pytest.approx(solid.volume)
    # the sawn foot stands on the floor at exactly 50 mm
    assert stood.bounds[0][2] == 50.0
