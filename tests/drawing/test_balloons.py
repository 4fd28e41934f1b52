"""Balloons: equal circles in line, equal steps, no leader across another."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import atan2, degrees, hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.drawing.audit import audit
from plandoc.drawing.balloons import place_balloons
from plandoc.drawing.boxes import overlap, segments_cross
from plandoc.drawing.dimension_request import BalloonRequest, Placed
from plandoc.drawing.display import XY, Circle, Fill, Line, Sheet, Text
from plandoc.drawing.style import load_style

STYLE = load_style("shop-inch")
VIEW = (100.0, 60.0, 200.0, 150.0)
SPACE = (20.0, 20.0, 280.0, 195.0)
MARKS = "ABCDEFGHJKLMNP"


def requests(points: list[XY]) -> list[BalloonRequest]:
    return [BalloonRequest(mark, (p,), f"part {mark}") for mark, p in zip(MARKS, points, strict=False)]


def circles(placed: Placed) -> list[Circle]:
    return [i for g in placed.groups for i in g.items if isinstance(i, Circle)]


def leaders(placed: Placed) -> list[tuple[XY, XY]]:
    return [(i.points[0], i.points[1]) for g in placed.groups for i in g.items if isinstance(i, Line)]


def test_one_balloon_has_circle_leader_dot_and_letter() -> None:
    (group,) = place_balloons(VIEW, requests([(110.0, 100.0)]), STYLE, SPACE).groups
    assert (group.kind, group.attrs) == ("balloon", (("item", "A"), ("part", "part A")))
    circle = next(i for i in group.items if isinstance(i, Circle))
    line = next(i for i in group.items if isinstance(i, Line))
    dot = next(i for i in group.items if isinstance(i, Fill))
    text = next(i for i in group.items if isinstance(i, Text))
    assert circle.radius == 5.0 and text.size == 5.0 and text.anchor == "middle"
    assert text.at == pytest.approx((circle.centre[0], circle.centre[1] + 2.5))
    assert line.points[1] == (110.0, 100.0)
    assert hypot(line.points[0][0] - circle.centre[0], line.points[0][1] - circle.centre[1]) == pytest.approx(5.0)
    xs = [p[0] for p in dot.loops[0]]
    assert sum(xs) / len(xs) == pytest.approx(110.0)
    turn = (line.points[1][0] - circle.centre[0]) * (line.points[0][1] - circle.centre[1]) - (
        line.points[1][1] - circle.centre[1]
    ) * (line.points[0][0] - circle.centre[0])
    assert turn == pytest.approx(0.0, abs=1e-6)


def test_the_better_of_several_targets_is_taken() -> None:
    request = BalloonRequest("A", ((150.0, 105.0), (104.0, 105.0)), "a")
    placed = place_balloons(VIEW, [request], STYLE, SPACE)
    assert leaders(placed)[0][1] == (104.0, 105.0)


def test_balloons_keep_off_blocked_paper() -> None:
    blocked = (60.0, 40.0, 99.0, 160.0)
    placed = place_balloons(VIEW, requests([(105.0, 80.0), (106.0, 100.0), (107.0, 120.0)]), STYLE, SPACE, [blocked])
    assert placed.crowded == ()
    for circle in circles(placed):
        (x, y), r = circle.centre, circle.radius
        assert not overlap((x - r, y - r, x + r, y + r), blocked)


def test_a_balloon_without_target_is_refused() -> None:
    with pytest.raises(ValueError, match="target"):
        place_balloons(VIEW, [BalloonRequest("A", ())], STYLE, SPACE)


points = st.tuples(st.integers(3, 97), st.integers(3, 87)).map(lambda p: (100.0 + p[0], 60.0 + p[1]))


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.lists(points, min_size=1, max_size=10, unique=True))
def test_any_picture_gets_aligned_balloons_without_crossings(where: list[XY]) -> None:
    placed = place_balloons(VIEW, requests(where), STYLE, SPACE)
    assert placed.crowded == ()
    assert [leader[1] for leader in leaders(placed)] == where
    for a, b in combinations(leaders(placed), 2):
        assert not segments_cross(a, b)
    centres = [c.centre for c in circles(placed)]
    for a, b in combinations(centres, 2):
        assert hypot(a[0] - b[0], a[1] - b[1]) >= 10.4
    for x, y in centres:
        assert SPACE[0] + 5 <= x <= SPACE[2] - 5 and SPACE[1] + 5 <= y <= SPACE[3] - 5
        assert not (VIEW[0] - 5 < x < VIEW[2] + 5 and VIEW[1] - 5 < y < VIEW[3] + 5)
    for line in ({x for x, y in centres if not VIEW[0] < x < VIEW[2]}, {y for x, y in centres if VIEW[0] < x < VIEW[2]}):
        assert len(line) <= 2
    for side in {x for x, _ in centres if not VIEW[0] < x < VIEW[2]}:
        column = sorted(y for x, y in centres if x == side)
        steps = [b - a for a, b in pairwise(column)]
        assert not steps or max(steps) - min(steps) < 0.5
    sheet = Sheet(1, "test", "1", "T", (300.0, 215.0), placed.groups)
    assert audit(sheet, STYLE) == ()


def backward(placed: Placed) -> int:
    """How often the marks, in their order, step back against the clock, seen from the middle of the circles."""
    xs, ys = [c.centre[0] for c in circles(placed)], [c.centre[1] for c in circles(placed)]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    turns = [degrees(atan2(y - middle[1], x - middle[0])) % 360.0 for x, y in zip(xs, ys, strict=True)]
    return sum(b < a for a, b in pairwise(turns))


def test_few_balloons_follow_the_clock_where_no_leader_crosses() -> None:
    """The shortest leaders would have A over B at the left and C over D at the right."""
    placed = place_balloons((100.0, 60.0, 200.0, 120.0), requests([(110.0, 75.0), (110.0, 100.0), (190.0, 75.0), (190.0, 105.0)]), STYLE, SPACE)
    assert backward(placed) <= 1 and not placed.crowded
    assert all(hypot(q[0] - p[0], q[1] - p[1]) <= 60.0 for p, q in leaders(placed))
    assert not any(segments_cross(a, b) for a, b in combinations(leaders(placed), 2))


def test_leaders_that_would_cross_go_before_the_clock() -> None:
    """Six in two columns, named in rows from the left to the right: no order round them is free of crossings."""
    spots = [(x, y) for y in (80.0, 105.0, 130.0) for x in (120.0, 180.0)]
    placed = place_balloons(VIEW, requests(spots), STYLE, SPACE)
    assert not any(segments_cross(a, b) for a, b in combinations(leaders(placed), 2))
