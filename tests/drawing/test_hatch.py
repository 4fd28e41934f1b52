"""Hatching: inside the outline, out of holes and lettering, different for neighbours."""

from __future__ import annotations

import itertools
from math import atan2, cos, degrees, hypot, radians, sin

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from plandoc.drawing.display import Fill, Line
from plandoc.drawing.hatch import cut_pattern, hatch


def rect(x: float, y: float, w: float, h: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + w, y), (x + w, y + h), (x, y + h))


def angle_of(line: Line) -> float:
    (x0, y0), (x1, y1) = line.points
    return degrees(atan2(y0 - y1, x1 - x0)) % 180


def offsets(lines: tuple[Line, ...], angle: float) -> list[float]:
    """Distances of the lines from the origin, sorted, each once."""
    nx, ny = sin(radians(angle)), cos(radians(angle))
    return sorted({round(line.points[0][0] * nx + line.points[0][1] * ny, 4) for line in lines})


def test_lines_are_equally_spaced_and_turned_as_asked() -> None:
    lines = hatch([rect(10, 10, 40, 30)], 45, 2.4)
    assert all(line.role == "hat" and angle_of(line) == pytest.approx(45) for line in lines)
    rows = offsets(lines, 45)
    assert all(b - a == pytest.approx(2.4, abs=1e-3) for a, b in itertools.pairwise(rows))
    assert len(rows) == pytest.approx(hypot(70, 0) * sin(radians(45)) / 2.4, abs=2)


def test_holes_and_lettering_stay_free() -> None:
    hole, text = rect(20, 18, 8, 8), (34.0, 20.0, 44.0, 24.0)
    lines = hatch([rect(10, 10, 40, 30), hole], 45, 2.0, [text])
    for line in lines:
        stroke = LineString(line.points)
        assert stroke.intersection(Polygon(hole)).length < 1e-6
        assert stroke.intersection(shapely.box(33.51, 19.51, 44.49, 24.49)).length < 1e-6


def test_two_regions_of_one_part_share_their_lines() -> None:
    one = offsets(hatch([rect(10, 10, 20, 20)], 45, 2.4), 45)
    other = offsets(hatch([rect(50, 10, 20, 20)], 45, 2.4), 45)
    assert (other[0] - one[0]) / 2.4 == pytest.approx(round((other[0] - one[0]) / 2.4), abs=1e-3)


def test_a_panel_is_hatched_across_its_plane() -> None:
    lines = cut_pattern([rect(0, 0, 60, 6)], "panel", 0)
    assert all(isinstance(line, Line) and angle_of(line) == pytest.approx(90) for line in lines)
    xs = sorted(line.points[0][0] for line in lines if isinstance(line, Line))
    steps = [b - a for a, b in itertools.pairwise(xs)]
    assert all(step == pytest.approx(steps[0]) for step in steps)


def spacing(thickness: float, index: int) -> float:
    """Of the lines in a panel so thick on paper."""
    lines = cut_pattern([rect(0, 0, 90, thickness)], "panel", 0, index)
    xs = sorted(line.points[0][0] for line in lines if isinstance(line, Line))
    return (xs[-1] - xs[0]) / (len(xs) - 1)


@pytest.mark.parametrize("thickness", [3.4, 4.5, 6.0, 7.9, 9.0, 12.0])
def test_lines_of_a_panel_are_about_half_its_thickness_apart(thickness: float) -> None:
    # DIN 919 as taught (hobaag.de); half the ladder's three rungs either way for the first neighbour, two rungs for others
    assert thickness / 2 / 1.5 <= spacing(thickness, 0) <= thickness / 2 * 1.5
    assert all(thickness / 2 / 1.7 <= spacing(thickness, index) <= thickness / 2 * 1.7 for index in (1, 2))


def test_neighbouring_panels_of_any_thickness_differ() -> None:
    for a, b in itertools.product((2.0, 3.4, 4.6, 4.8, 6.0, 7.1, 9.0, 18.0), repeat=2):
        one, two = spacing(a, 0), spacing(b, 1)
        assert max(one, two) / min(one, two) >= 1.29, (a, b, one, two)


@pytest.mark.parametrize("kind", ["panel", "end grain", "long grain"])
def test_neighbours_differ_by_angle_or_spacing(kind: str) -> None:
    seen = []
    for index in range(3):
        lines = tuple(i for i in cut_pattern([rect(0, 0, 60, 14)], kind, 0, index) if isinstance(i, Line))
        angle = round(angle_of(lines[0]))
        rows = offsets(lines, angle)
        seen.append((angle, (rows[-1] - rows[0]) / (len(rows) - 1)))
    for (angle_a, space_a), (angle_b, space_b) in ((seen[0], seen[1]), (seen[1], seen[2])):
        assert abs(angle_a - angle_b) >= 30 or max(space_a, space_b) / min(space_a, space_b) >= 1.3


def test_end_grain_turns_away_from_an_oblique_outline() -> None:
    tilted = ((0.0, 0.0), (20.0, -20.0), (34.0, -6.0), (14.0, 14.0))
    lines = [i for i in cut_pattern([tilted], "end grain") if isinstance(i, Line)]
    assert min(abs(angle_of(lines[0]) - a) for a in (45, 135)) >= 15


def test_thin_pieces_are_solid() -> None:
    (fill,) = cut_pattern([rect(0, 0, 40, 1.0)], "panel")
    assert isinstance(fill, Fill) and fill.role == "ink" and len(fill.loops[0]) == 4


def test_unknown_patterns_and_spacings_are_refused() -> None:
    with pytest.raises(ValueError, match="no cut pattern"):
        cut_pattern([rect(0, 0, 9, 9)], "stone")
    with pytest.raises(ValueError, match="spacing"):
        hatch([rect(0, 0, 9, 9)], 45, 0)
    assert hatch([], 45, 2) == ()


@settings(max_examples=20, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=3, max_size=7, unique=True),
    st.sampled_from(["panel", "end grain", "long grain"]),
    st.integers(0, 3),
)
def test_no_line_leaves_the_outline(corners: list[tuple[int, int]], kind: str, index: int) -> None:
    hull = shapely.convex_hull(shapely.MultiPoint(corners))
    if not isinstance(hull, Polygon):
        return
    loop = tuple((float(x), float(y)) for x, y in hull.exterior.coords[:-1])
    wide = hull.buffer(1e-6)
    for item in cut_pattern([loop], kind, 0, index):
        if isinstance(item, Line):
            assert wide.covers(LineString(item.points))
