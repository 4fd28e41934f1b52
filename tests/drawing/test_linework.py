"""Strokes and marks of a view, and the plane geometry under them."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from plandoc.drawing.boxes import item_extent, overlap, segment_meets_box, segments_cross, united
from plandoc.drawing.display import XY, Circle, Fill, Line, Text
from plandoc.drawing.linework import (
    arrow,
    arrowhead,
    centre_line,
    centre_mark,
    cutting_plane,
    detail_circle,
    grain_mark,
    hole_rooms,
    lines_from_strokes,
    reference_mark,
    symmetry_axis,
    without,
)
from plandoc.drawing.style import load_style

STYLE = load_style("shop-inch")


@dataclass(frozen=True)
class Edge:
    points: tuple[XY, ...]
    hidden: bool


def test_strokes_become_lines_on_paper() -> None:
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 0.0))
    strokes = [Edge(((0.0, 0.0), (10.0, 0.0)), False), Edge(((0.0, 0.0), (0.0, 5.0)), True), Edge(square, False)]
    lines = lines_from_strokes(strokes, lambda p: (20 + p[0] / 2, 30 - p[1] / 2))
    assert lines[0] == Line("vis", ((20.0, 30.0), (25.0, 30.0)))
    assert lines[1] == Line("hid", ((20.0, 30.0), (20.0, 27.5)))
    assert lines[2].closed and len(lines[2].points) == 3
    assert [line.role for line in lines_from_strokes(strokes, lambda p: p, "light", show_hidden=False)] == ["light"] * 2


def test_an_arrowhead_is_three_long_and_one_wide_with_its_point_at_the_tip() -> None:
    (tip, left, right), = arrowhead((10.0, 10.0), (0.0, 5.0), STYLE).loops
    assert tip == (10.0, 10.0)
    assert {left, right} == {(9.5, 7.0), (10.5, 7.0)}
    line, head = arrow((10.0, 10.0), (1.0, 0.0), STYLE, 8.0)
    assert isinstance(line, Line) and line.points[0] == (2.0, 10.0) and isinstance(head, Fill)
    with pytest.raises(ValueError, match="direction"):
        arrowhead((0.0, 0.0), (0.0, 0.0), STYLE)


def test_centre_lines_run_past_their_feature_and_less_past_small_or_close_holes() -> None:
    def reach(radius: float, room: float = 1e9) -> float:
        across, _ = centre_mark((0.0, 0.0), radius, STYLE, room)
        return across.points[1][0] - radius

    assert reach(10.0) == STYLE.centre_overshoot and reach(1.5) == 3.0
    assert reach(10.0, 8.0) == 2.0 and reach(0.2) == 1.0
    assert centre_line((0.0, 0.0), (10.0, 0.0), STYLE).points == ((-6.0, 0.0), (16.0, 0.0))
    assert hole_rooms([(0.0, 0.0), (10.0, 0.0)], [2.0, 3.0]) == (5.0, 5.0)
    assert hole_rooms([(0.0, 0.0)], [2.0]) == (1e9,)


def test_a_cutting_plane_shows_thick_ends_and_the_letter_twice_in_the_direction_of_sight() -> None:
    items = cutting_plane((20.0, 40.0), (120.0, 40.0), "A", (0.0, 1.0), STYLE)
    assert [i.role for i in items if isinstance(i, Line)].count("cut") == 2
    letters = [i for i in items if isinstance(i, Text)]
    assert [t.text for t in letters] == ["A", "A"] and all(t.at[1] > 45 and t.rotation == 0 for t in letters)
    tips = [i.loops[0][0] for i in items if isinstance(i, Fill)]
    assert tips == [(20.0, 48.0), (120.0, 48.0)]


def test_marks() -> None:
    grain = grain_mark((50.0, 50.0), 30.0, False, STYLE)
    assert [i.text for i in grain if isinstance(i, Text)] == ["GRAIN"]
    assert sorted(i.loops[0][0] for i in grain if isinstance(i, Fill)) == [(50.0, 35.0), (50.0, 65.0)]
    assert len(reference_mark((0.0, 0.0), (0.0, 1.0), STYLE)) == 1
    for mark in reference_mark((0.0, 0.0), (0.0, 1.0), STYLE, "edge"):
        assert sorted(p[1] for p in mark.loops[0]) == [0.0, 0.0, 2.2]
    (before,) = reference_mark((0.0, 0.0), (0.0, 1.0), STYLE, outside=True)
    assert sorted(p[1] for p in before.loops[0]) == [-2.2, -2.2, 0.0]
    with pytest.raises(ValueError, match="face or an edge"):
        reference_mark((0.0, 0.0), (0.0, 1.0), STYLE, "back")
    circle, letter = detail_circle((50.0, 50.0), 8.0, "B", STYLE)
    assert isinstance(circle, Circle) and isinstance(letter, Text)
    extent = item_extent(letter)
    assert extent is not None and (extent[0] - 50) ** 2 + (extent[3] - 50) ** 2 > 64
    assert len(symmetry_axis((0.0, 0.0), (0.0, 40.0), STYLE)) == 5


numbers = st.integers(0, 12).map(float)
spots = st.tuples(numbers, numbers)


@given(spots, spots, spots, spots)
def test_segments_meet_boxes_and_segments_as_shapely_says(p: XY, q: XY, a: XY, b: XY) -> None:
    area = (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]) + 1, max(a[1], b[1]) + 1)
    inner = box(*area).buffer(-1e-9)
    if p != q:
        assert segment_meets_box(p, q, area) == (LineString([p, q]).intersection(inner).length > 1e-7)
        if a != b:
            assert segments_cross((p, q), (a, b)) == LineString([p, q]).crosses(LineString([a, b]))


def test_boxes() -> None:
    assert overlap((0, 0, 2, 2), (1, 1, 3, 3)) and not overlap((0, 0, 2, 2), (2, 0, 3, 2))
    assert overlap((0, 0, 2, 2), (2.5, 0, 3, 2), 0.7)
    assert united([(0, 0, 1, 1), (4, -2, 5, 0)]) == (0, -2, 5, 1)
    with pytest.raises(ValueError, match="no boxes"):
        united([])


def test_a_centre_line_gives_way_to_an_edge_that_lies_on_it() -> None:
    line = Line("ctr", ((10.0, 5.0), (30.0, 5.0)))
    left = without(line, [((14.0, 5.0), (20.0, 5.0)), ((22.0, 4.0), (22.0, 9.0))])
    assert [piece.points for piece in left] == [((10.0, 5.0), (13.2, 5.0)), ((20.8, 5.0), (30.0, 5.0))]
    upright = Line("ctr", ((5.0, 10.0), (5.0, 30.0)))
    assert without(upright, [((5.02, 31.0), (5.02, 11.0))]) == ()
    assert without(upright, [((5.5, 31.0), (5.5, 11.0))]) == (upright,)
