"""Edges, sections, halves and common room of solids."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
import shapely

from plandoc.geometry.bodies import Box, Disc, Loop, Prism, box_prism
from plandoc.geometry.facets import polygon
from plandoc.geometry.solid import Solid

F = Fraction


def box(x0: int, y0: int, z0: int, x1: int, y1: int, z1: int) -> Prism:
    return box_prism(Box((F(x0), F(y0), F(z0)), (F(x1), F(y1), F(z1))))


def test_a_box_has_twelve_edges() -> None:
    edges = Solid.from_prisms([box(0, 0, 0, 30, 20, 10)]).edges
    assert len(edges) == 12
    lengths = sorted(float(v) for v in np.linalg.norm(edges[:, 1] - edges[:, 0], axis=1))
    assert lengths == [10] * 4 + [20] * 4 + [30] * 4


def test_seams_of_flush_pieces_are_no_edges() -> None:
    # a tongue as thick as the board continues its faces: the whole is one longer box
    solid = Solid.from_prisms([box(0, 0, 0, 30, 20, 10), box(30, 0, 0, 36, 20, 10)])
    assert len(solid.edges) == 12
    assert solid.bounds == ((0, 0, 0), (36, 20, 10))


def test_an_edge_crossed_by_a_dado_stays_two_pieces_and_the_floor_gets_its_edges() -> None:
    solid = Solid.from_prisms([box(0, 0, 0, 30, 20, 10)], [box(10, 0, 7, 14, 20, 10)])
    # 8 corners + 8 ends of the dado give 16 corner points, three edges each
    assert len(solid.edges) == 16 * 3 // 2
    top_front = [e for e in solid.edges.tolist() if all(p[1] == 0 and p[2] == 10 for p in e)]
    assert top_front == [[[0, 0, 10], [10, 0, 10]], [[14, 0, 10], [30, 0, 10]]]


@pytest.mark.parametrize(("radius", "chords"), ((2, 32), (10, 36), (80, 100)))
def test_walls_of_a_hole_have_seams_but_no_edges(radius: int, chords: int) -> None:
    hole = Prism(2, F(0), F(10), Disc((F(100), F(100)), F(radius)))
    solid = Solid.from_prisms([box(0, 0, 0, 200, 200, 10)], [hole])
    assert (~solid.edge_curved).sum() == 12
    assert solid.edge_curved.sum() == 2 * chords
    seams, normals = solid.smooth_edges
    assert len(seams) == chords
    assert np.allclose(seams[:, 0, :2], seams[:, 1, :2])
    assert np.allclose(np.linalg.norm(normals, axis=2), 1)


def test_quadrant_points_lie_on_the_axes_and_the_area_is_true() -> None:
    points, curved = polygon(Disc((F(7), F(-3)), F(5, 2)))
    for true in ((9.5, -3.0), (7.0, -0.5), (4.5, -3.0), (7.0, -5.5)):
        assert true in points
    assert all(curved)
    ring = shapely.Polygon(points)
    assert ring.area == pytest.approx(math.pi * 6.25, rel=1e-12)
    assert ring.bounds == (4.5, -5.5, 9.5, -0.5)
    assert ring.convex_hull.area == pytest.approx(ring.area, rel=1e-12)


@pytest.mark.parametrize("bow", (Fraction(1, 3), Fraction(-1, 4), Fraction(1)))
def test_arcs_of_loops_have_the_area_of_their_segment(bow: Fraction) -> None:
    side = 60.0
    outline = Loop(((F(0), F(0)), (F(60), F(0)), (F(60), F(60)), (F(0), F(60))), (F(0), bow))
    angle = 4 * math.atan(float(bow))
    radius = side / 2 / math.sin(abs(angle) / 2)
    segment = radius**2 / 2 * (abs(angle) - math.sin(abs(angle)))
    points, _ = polygon(outline)
    assert shapely.Polygon(points).area == pytest.approx(side**2 + math.copysign(segment, angle), rel=1e-9)


def test_a_clockwise_loop_is_the_same_body() -> None:
    corners = ((F(0), F(0)), (F(10), F(0)), (F(10), F(10)))
    forward = Solid.from_prisms([Prism(0, F(0), F(2), Loop(corners))])
    backward = Solid.from_prisms([Prism(0, F(0), F(2), Loop(corners[::-1]))])
    assert forward.volume == backward.volume == pytest.approx(100)


def test_section_shows_wood_and_holes() -> None:
    solid = Solid.from_prisms(
        [box(0, 0, 0, 100, 50, 20)],
        [box(30, 0, 12, 40, 50, 20), Prism(1, F(0), F(50), Disc((F(70), F(10)), F(4)))],
    )
    (region,) = solid.section(1, 25.0)
    assert set(region.outer) == {(0, 0), (100, 0), (100, 20), (40, 20), (40, 12), (30, 12), (30, 20), (0, 20)}
    (hole,) = region.holes
    assert shapely.Polygon(hole).area == pytest.approx(16 * math.pi, rel=1e-6)
    assert [r.outer for r in solid.section(0, 35.0)] == [((0, 0), (50, 0), (50, 12), (0, 12))]


def test_a_face_in_the_section_plane_is_not_cut() -> None:
    solid = Solid.from_prisms([box(0, 0, 0, 100, 50, 20)], [box(30, 0, 12, 40, 50, 20)])
    assert solid.section(2, 20.0) == ()
    assert solid.section(2, 0.0) == ()
    # at the level of the dado's floor only what stands on both sides of the plane is cut
    at_floor = [r.outer for r in solid.section(2, 12.0)]
    assert at_floor == [
        ((0, 0), (30, 0), (30, 50), (0, 50)),
        ((40, 0), (100, 0), (100, 50), (40, 50)),
    ]


def test_halves_add_up() -> None:
    solid = Solid.from_prisms(
        [box(0, 0, 0, 100, 50, 20)], [Prism(2, F(10), F(20), Disc((F(50), F(25)), F(15)))]
    )
    low, high = solid.half(0, 50.0, -1), solid.half(0, 50.0, 1)
    assert low.volume == pytest.approx(high.volume)
    assert low.volume + high.volume == pytest.approx(solid.volume)
    assert low.bounds == ((0, 0, 0), (50, 50, 20))
    assert solid.half(0, 100.0, 1).empty
    assert solid.half(0, 0.0, 1).volume == pytest.approx(solid.volume)
    assert solid.half(0, 100.0, -1).volume == pytest.approx(solid.volume)
    # the cut face has straight edges all round: 8 corners of the box, 4 of the half pocket at the plane
    assert (~low.edge_curved).sum() == 12 + 4


def test_common_room_is_measured_where_faces_coincide() -> None:
    side = Solid.from_prisms([box(0, 0, 0, 18, 100, 100)], [box(11, 0, 40, 18, 100, 58)])
    shelf = Solid.from_prisms([box(0, 0, 0, 200, 80, 18)]).moved(0, 0, 40)
    # the dado is 7 deep, the shelf goes through the side: 11 * 80 * 18 are left in common
    assert side.common_volume(shelf) == pytest.approx(11 * 80 * 18)
    assert side.common_bounds(shelf) == ((0, 0, 40), (11, 80, 58))
    seated = shelf.moved(11, 0, 0)
    assert side.common_volume(seated) == pytest.approx(0, abs=1e-6)
    assert side.common_bounds(seated) is None
    assert side.common_bounds(shelf.moved(500, 0, 0)) is None


@pytest.mark.parametrize("third", range(1, 40, 7))
def test_moved_copies_touch_exactly(third: int) -> None:
    # 25.4 / 32 has no exact float; sums of such numbers still meet
    step = F(254, 320)
    lower = Solid.from_prisms([box_prism(Box((F(0),) * 3, (F(50), F(50), step * third)))])
    upper = Solid.from_prisms([box_prism(Box((F(0),) * 3, (F(50), F(50), step)))]).moved(0, 0, float(step * third))
    assert lower.common(upper).empty
    whole = Solid.union([lower, upper])
    assert len(whole.edges) == 12
    assert whole.volume == pytest.approx(lower.volume + upper.volume)


def test_moving_keeps_the_mesh() -> None:
    solid = Solid.from_prisms([box(0, 0, 0, 30, 20, 10)], [Prism(2, F(2), F(10), Disc((F(9), F(9)), F(4)))])
    copy = solid.moved(5, -6, 7.5)
    assert copy.shape == solid.shape
    assert copy.bounds == ((5, -6, 7.5), (35, 14, 17.5))
    assert np.allclose(copy.edges - solid.edges, (5, -6, 7.5))
    assert copy.volume == solid.volume


def test_pieces_come_largest_first() -> None:
    cut = Solid.from_prisms([box(0, 0, 0, 30, 20, 10)], [box(20, 0, 0, 22, 20, 10)])
    assert [round(p.volume, 6) for p in cut.pieces()] == [4000, 1600]


@pytest.mark.parametrize("radius", (1, 2, 5, 40, 90))
def test_rounded_corners_run_into_their_straight_sides(radius: int) -> None:
    # quarter arcs (bow tan 22.5 degrees, given to six places) on the corners of a 400 x 300 panel
    quarter, r = F(414214, 1_000_000), F(radius)
    corners = ((r, F(0)), (400 - r, F(0)), (F(400), r), (F(400), 300 - r), (400 - r, F(300)), (r, F(300)), (F(0), 300 - r), (F(0), r))
    solid = Solid.from_prisms([Prism(2, F(0), F(18), Loop(corners, (F(0), quarter) * 4))])
    # four straight sides above and below; no edge stands upright where an arc begins
    assert (~solid.edge_curved).sum() == 8
    area = 400 * 300 - (4 - math.pi) * radius**2
    assert solid.volume == pytest.approx(area * 18, rel=1e-6)
