"""Of two lines that coincide the stronger is drawn: what is left of weaker ones."""

from __future__ import annotations

import pytest

from plandoc.drawing.display import Arc, Line
from plandoc.drawing.precedence import Stronger

EDGE = Line("vis", ((10.0, 0.0), (20.0, 0.0)))


def test_what_lies_on_an_edge_is_left_out() -> None:
    strong = Stronger([EDGE])
    (first, last) = strong.free((0.0, 0.05), (30.0, 0.05), 1.0)
    assert first == ((0.0, 0.05), pytest.approx((10.0, 0.05))) and last == (pytest.approx((20.0, 0.05)), (30.0, 0.05))
    assert strong.free((12.0, 0.0), (18.0, 0.0), 0.0) == []
    assert strong.free((9.5, 0.0), (18.0, 0.0), 1.0) == []  # what is left is too short
    assert strong.free((30.0, 0.0), (0.0, 0.0), 1.0)[0] == ((30.0, 0.0), pytest.approx((20.0, 0.0)))  # either way


@pytest.mark.parametrize("line", [((0.0, 0.2), (30.0, 0.2)), ((15.0, -5.0), (15.0, 5.0)), ((10.0, -5.0), (20.0, 5.0)), ((20.0, 0.0), (30.0, 0.0))])
def test_what_runs_beside_or_across_an_edge_stays_whole(line: tuple[tuple[float, float], tuple[float, float]]) -> None:
    weak = Line("hat", line)
    left = Stronger([EDGE]).less([weak], 0.3)
    assert sum(abs(p.points[0][0] - p.points[1][0]) + abs(p.points[0][1] - p.points[1][1]) for p in left) == pytest.approx(
        abs(line[0][0] - line[1][0]) + abs(line[0][1] - line[1][1]), abs=0.4
    )


def test_closed_lines_count_on_all_their_sides() -> None:
    square = Line("vis", ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), closed=True)
    assert Stronger([square]).free((0.0, 10.0), (0.0, 0.0), 0.1) == []
    assert Stronger([]).free((0.0, 0.0), (1.0, 0.0), 0.1) == [((0.0, 0.0), (1.0, 0.0))]


def test_an_arc_starts_where_it_has_left_the_edge_that_it_touches() -> None:
    """A circle of 24 leaves its tangent by 0.1 mm after 24 * acos(1 - 0.1 / 24) = 2.2 mm, 5.2 degrees."""
    upright = Stronger([Line("vis", ((24.0, 0.0), (24.0, -10.0)))])
    arc = upright.less_arc(Arc("phm", (0.0, 0.0), 24.0, 0.0, 90.0))
    assert arc is not None and 4.0 <= arc.start <= 7.0 and arc.end == 90.0
    whole = Arc("phm", (0.0, 0.0), 20.0, 0.0, 90.0)
    assert upright.less_arc(whole) == whole
