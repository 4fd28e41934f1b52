"""Contours of straight strokes and true arcs: united, cut, moved, clipped, against hand arithmetic."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import acos, hypot, pi, sqrt

import pytest

from plandoc.geometry.bodies import Disc, Loop, Rect
from plandoc.geometry.contours import (
    Curve,
    Straight,
    area,
    box_of,
    circle,
    clipped,
    combined,
    contour,
    moved,
    points,
    polyline,
)

F = Fraction
SQUARE = polyline(((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)))


def test_a_rectangle_and_a_circle() -> None:
    assert contour(Rect((F(0), F(0)), (F(100), F(50)))) == SQUARE
    (ring,) = contour(Disc((F(30), F(25)), F(10)))
    assert isinstance(ring, Curve) and ring.centre == (30.0, 25.0) and ring.radius == 10.0 and ring.turn == pytest.approx(2 * pi)


def test_a_slot_has_two_half_circles() -> None:
    """A loop with the bow 1 (half a circle) at both ends: 12 wide, centres 40 apart."""
    loop = Loop(((F(0), F(0)), (F(12), F(0)), (F(12), F(40)), (F(0), F(40))), (F(1), F(0), F(1), F(0)))
    shape = contour(loop)
    arcs = [s for s in shape if isinstance(s, Curve)]
    assert [(a.centre, a.radius, a.turn) for a in arcs] == [((6.0, 0.0), 6.0, pytest.approx(pi)), ((6.0, 40.0), 6.0, pytest.approx(pi))]
    assert box_of([shape]) == pytest.approx((0.0, -6.0, 12.0, 46.0), abs=1e-3)
    assert area(shape).area == pytest.approx(12 * 40 + pi * 36, abs=0.02)


def test_two_circles_become_two_arcs_that_meet_where_they_cross() -> None:
    """Radius 10 round (0, 0) and radius 4 round (10, 0): they cross at x = (100 - 16 + 100) / 20 = 9.2."""
    (shape,) = combined([circle((0.0, 0.0), 10.0), circle((10.0, 0.0), 4.0)])
    assert len(shape) == 2 and all(isinstance(s, Curve) for s in shape)
    assert {s.radius for s in shape if isinstance(s, Curve)} == {10.0, 4.0}
    cross = (9.2, sqrt(100 - 9.2**2))
    for stroke in shape:
        assert hypot(stroke.start[0] - cross[0], abs(stroke.start[1]) - cross[1]) < 0.002
    large = next(s for s in shape if isinstance(s, Curve) and s.radius == 10.0)
    assert abs(large.turn) == pytest.approx(2 * pi - 2 * acos(0.92), abs=1e-3)


def test_a_bite_out_of_an_edge_keeps_its_arc() -> None:
    (shape,) = combined([SQUARE], [circle((50.0, 50.0), 20.0)])
    arcs = [s for s in shape if isinstance(s, Curve)]
    assert len(arcs) == 1 and not arcs[0].left and abs(arcs[0].turn) == pytest.approx(pi, abs=1e-3)
    assert sorted(round(p[0], 3) for p in (arcs[0].start, arcs[0].end)) == [30.0, 70.0]
    assert sum(isinstance(s, Straight) for s in shape) == 5
    assert area(shape).area == pytest.approx(5000 - pi * 200, abs=0.05)


def test_a_hole_is_a_contour_of_its_own() -> None:
    outer, hole = combined([SQUARE], [circle((50.0, 25.0), 10.0)])
    assert len(outer) == 4 and len(hole) == 1
    assert isinstance(hole[0], Curve) and not hole[0].left and hole[0].radius == 10.0


def test_only_what_lies_within() -> None:
    (shape,) = combined([circle((0.0, 25.0), 10.0)], within=SQUARE)
    assert box_of([shape]) == pytest.approx((0.0, 15.0, 10.0, 35.0), abs=1e-3)


def test_a_mirror_turns_arcs_round() -> None:
    loop = Loop(((F(0), F(0)), (F(10), F(0)), (F(10), F(10))), (F(0), F(1, 2), F(0)))
    shape = contour(loop)
    image = moved(shape, lambda p: (-p[0], p[1]))
    for (x, y), (u, v) in zip(points(image), points(shape), strict=True):
        assert (-x, y) == pytest.approx((u, v))
    assert [s.left for s in image if isinstance(s, Curve)] == [False]


def test_chords_lie_within_their_arc() -> None:
    (ring,) = circle((0.0, 0.0), 80.0)
    assert isinstance(ring, Curve)
    chain = ring.points(0.01)
    for p, q in pairwise(chain):
        assert 80 - hypot((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) <= 0.0101


def test_a_chain_is_cut_at_the_window() -> None:
    pieces = clipped(((-5.0, 5.0), (15.0, 5.0), (15.0, 8.0), (5.0, 8.0)), (0.0, 0.0, 10.0, 10.0))
    assert pieces == (((0.0, 5.0), (10.0, 5.0)), ((10.0, 8.0), (5.0, 8.0)))
    assert clipped(((1.0, 1.0), (2.0, 1.0), (2.0, 3.0)), (0.0, 0.0, 10.0, 10.0)) == (((1.0, 1.0), (2.0, 1.0), (2.0, 3.0)),)
