"""Hidden lines: against sampling along the line of sight, and the rules of precedence."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.geometry.bodies import Box, Disc, Prism, box_prism
from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import BOTTOM, FRONT, ISO, ISO_LEFT, LEFT, REAR, RIGHT, TOP, Projection

F = Fraction
Ints3 = tuple[int, int, int]
Span = tuple[Ints3, Ints3]
Body = tuple[Span, Span | None]  # a box, and a box cut from it

EPS = 1e-6


def solid(body: Body) -> Solid:
    def prism(span: Span) -> Prism:
        lo, hi = span
        return box_prism(Box((F(lo[0]), F(lo[1]), F(lo[2])), (F(hi[0]), F(hi[1]), F(hi[2]))))

    return Solid.from_prisms([prism(body[0])], [prism(body[1])] if body[1] else [])


def stretch(point: np.ndarray, toward: np.ndarray, span: Span, grow: float) -> tuple[float, float]:
    """From..to of the ray point + t * toward within a box grown by `grow`, t >= 0."""
    low, high = 0.0, math.inf
    for axis in range(3):
        lo, hi = span[0][axis] - grow, span[1][axis] + grow
        if abs(toward[axis]) < 1e-12:
            if not lo < point[axis] < hi:
                return 0.0, 0.0
            continue
        a, b = (lo - point[axis]) / toward[axis], (hi - point[axis]) / toward[axis]
        low, high = max(low, min(a, b)), min(high, max(a, b))
    return low, max(low, high)


def covered(point: np.ndarray, view: Projection, bodies: list[Body]) -> bool:
    """Whether the line of sight from a point runs inside the wood of some body."""
    toward = np.array(view.toward)
    for outer, inner in bodies:
        low, high = stretch(point, toward, outer, -EPS)
        if high - low <= 10 * EPS:
            continue
        if inner is None:
            return True
        a, b = stretch(point, toward, inner, EPS)
        gone = max(0.0, min(b, high) - max(a, low))
        if high - low - gone > 100 * EPS:
            return True
    return False


def on(stroke: Stroke, x: float, y: float) -> bool:
    (x0, y0), (x1, y1) = stroke.points
    length = math.hypot(x1 - x0, y1 - y0)
    along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length
    away = ((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length
    return -1e-4 < along < length + 1e-4 and abs(away) < 1e-4


def spans() -> st.SearchStrategy[Span]:
    def ends(pairs: tuple[tuple[int, int], ...]) -> Span:
        (a, b, c), (d, e, f) = zip(*((p, p + size) for p, size in pairs), strict=True)
        return (a, b, c), (d, e, f)

    side = st.tuples(st.integers(0, 6), st.integers(1, 5))
    return st.tuples(side, side, side).map(ends)


VIEWS = (FRONT, TOP, RIGHT, ISO, ISO_LEFT)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(
    st.lists(st.tuples(spans(), st.none() | spans()), min_size=1, max_size=4),
    st.sampled_from(VIEWS),
)
def test_every_point_of_a_stroke_is_what_the_line_of_sight_says(bodies: list[Body], view: Projection) -> None:
    solids = [solid(b) for b in bodies]
    strokes = trace([(str(i), s) for i, s in enumerate(solids)], view)
    assert all(s.kind == "edge" and len(s.points) == 2 for s in strokes)

    # every point of every edge is drawn once, and visibly where some edge through it can be seen
    edges = [e for s in solids for e in s.edges]
    flat = [view.flat(e) for e in edges]
    for index in range(len(edges)):
        if np.linalg.norm(flat[index][1] - flat[index][0]) < 1e-3:
            continue
        for t in (0.137, 0.3183, 0.5772, 0.8414):
            x, y = (flat[index][0] + t * (flat[index][1] - flat[index][0])).tolist()
            drawn = [s for s in strokes if on(s, x, y)]
            seen = False
            for other, there in zip(edges, flat, strict=True):
                d = there[1] - there[0]
                size = float(d @ d)
                if size < 1e-6:
                    continue
                u = float((np.array([x, y]) - there[0]) @ d) / size
                away = np.linalg.norm(there[0] + u * d - (x, y))
                if -1e-7 <= u <= 1 + 1e-7 and away < 1e-6:
                    seen = seen or not covered(other[0] + u * (other[1] - other[0]), view, bodies)
            assert drawn, (x, y)
            assert any(not s.hidden for s in drawn) == seen, (x, y, index)

    # nothing is drawn twice
    for s in strokes:
        (x0, y0), (x1, y1) = s.points
        for t in (0.271, 0.618):
            x, y = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
            same = [o for o in strokes if on(o, x, y) and _parallel(o, s)]
            assert same == [s]


def _parallel(a: Stroke, b: Stroke) -> bool:
    (ax, ay), (bx, by) = ((s.points[1][0] - s.points[0][0], s.points[1][1] - s.points[0][1]) for s in (a, b))
    return abs(ax * by - ay * bx) < 1e-6 * math.hypot(ax, ay) * math.hypot(bx, by)


@settings(max_examples=20, deadline=None, derandomize=True, database=None)
@given(st.lists(st.tuples(spans(), st.none() | spans()), min_size=1, max_size=4))
def test_a_mirrored_piece_gives_the_mirrored_picture(bodies: list[Body]) -> None:
    def mirrored(span: Span) -> Span:
        (x0, y0, z0), (x1, y1, z1) = span
        return (-x1, y0, z0), (-x0, y1, z1)

    twins: list[Body] = [(mirrored(a), mirrored(b) if b else None) for a, b in bodies]
    for view, other in ((FRONT, FRONT), (ISO, ISO_LEFT), (LEFT, RIGHT)):
        first = trace([(str(i), solid(b)) for i, b in enumerate(bodies)], view)
        second = trace([(str(i), solid(b)) for i, b in enumerate(twins)], other)
        turned = [
            (s.body, s.hidden, s.kind, tuple(sorted((round(-x, 3) + 0.0, round(y, 3) + 0.0) for x, y in s.points)))
            for s in second
        ]
        plain = [
            (s.body, s.hidden, s.kind, tuple(sorted((round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in s.points)))
            for s in first
        ]
        assert sorted(plain) == sorted(turned)


def straight(strokes: tuple[Stroke, ...], hidden: bool) -> set[tuple[tuple[float, float], ...]]:
    return {s.points for s in strokes if s.hidden == hidden}


def test_a_box_seen_from_the_front_is_its_outline() -> None:
    strokes = trace([("box", solid((((0, 0, 0), (30, 20, 10)), None)))], FRONT)
    assert straight(strokes, False) == {
        ((0, 0), (30, 0)), ((0, 10), (30, 10)), ((0, 0), (0, 10)), ((30, 0), (30, 10)),
    }  # fmt: skip
    assert not straight(strokes, True)


def test_a_shelf_in_a_dado_is_hidden_behind_the_side_and_seen_from_the_front() -> None:
    side: Body = ((0, 0, 0), (18, 100, 200)), ((12, 0, 60), (18, 100, 78))
    shelf: Body = ((12, 0, 60), (90, 100, 78)), None
    bodies = [("side", solid(side)), ("shelf", solid(shelf))]
    front = trace(bodies, FRONT)
    assert not straight(front, True)
    # the end of the shelf and the floor of the dado are one line, drawn once
    assert sum(s.points == ((12, 60), (12, 78)) for s in front) == 1
    from_left = trace(bodies, LEFT)
    assert straight(from_left, True) == {((-100, 60), (0, 60)), ((-100, 78), (0, 78))}
    assert all(not s.hidden for s in trace(bodies, LEFT, hidden=False))
    assert {s.points for s in trace(bodies, LEFT, hidden=False)} == straight(from_left, False)


def test_a_hidden_line_resumes_where_the_visible_one_over_it_ends() -> None:
    # behind a screen 50 high: a long bar whose upper edge runs on at the level of a step before the screen
    screen: Body = ((0, 10, 0), (100, 12, 50)), None
    bar: Body = ((10, 20, 0), (90, 30, 30)), None
    ledge: Body = ((0, 0, 0), (40, 5, 30)), None
    strokes = trace([("screen", solid(screen)), ("bar", solid(bar)), ("ledge", solid(ledge))], FRONT)
    level = [s for s in strokes if all(y == 30 for _, y in s.points)]
    assert [(s.body, s.hidden, s.points) for s in level] == [
        ("bar", True, ((40, 30), (90, 30))),
        ("ledge", False, ((0, 30), (40, 30))),
    ]


def test_of_two_visible_edges_on_one_line_the_nearer_one_is_drawn() -> None:
    near: Body = ((0, 0, 0), (20, 10, 10)), None
    far: Body = ((0, 30, 0), (40, 40, 10)), None
    strokes = trace([("far", solid(far)), ("near", solid(near))], FRONT)
    top = [(s.body, s.points) for s in strokes if all(y == 10 for _, y in s.points)]
    assert top == [("far", ((20, 10), (40, 10))), ("near", ((0, 10), (20, 10)))]


def test_a_pocket_is_one_closed_curve_and_a_straight_line_from_the_side() -> None:
    pocket = Solid.from_prisms(
        [box_prism(Box((F(0),) * 3, (F(100), F(80), F(18))))],
        [Prism(2, F(10), F(18), Disc((F(40), F(40)), F(20)))],
    )
    top = trace([("tray", pocket)], TOP)
    (circle,) = [s for s in top if s.kind == "curve"]
    assert circle.closed and not circle.hidden
    assert all(math.hypot(x - 40, y - 40) == pytest.approx(20, abs=0.03) for x, y in circle.points)
    front = trace([("tray", pocket)], FRONT)
    assert [s.points for s in front if s.hidden and s.kind == "edge"] == [((20, 10), (60, 10))]
    assert [s.points for s in front if s.kind == "silhouette"] == [((20, 10), (20, 18)), ((60, 10), (60, 18))]
    assert all(s.hidden for s in front if s.kind == "silhouette")
    # the rim is whole in the picture, of the floor only the far part shows
    curves = [s for s in trace([("tray", pocket)], ISO, hidden=False) if s.kind == "curve"]
    assert sum(s.closed for s in curves) == 1
    assert len(curves) == 2


def test_a_through_hole_hides_its_own_rear_rim() -> None:
    board = Solid.from_prisms(
        [box_prism(Box((F(0),) * 3, (F(60), F(18), F(60))))], [Prism(1, F(0), F(18), Disc((F(30), F(30)), F(4)))]
    )
    for view in (FRONT, REAR):
        assert [(s.closed, s.hidden) for s in trace([("a", board)], view) if s.kind == "curve"] == [(True, False)]
    assert all(s.hidden for s in trace([("a", board)], BOTTOM) if s.kind == "silhouette")


def test_order_and_numbers_repeat() -> None:
    bodies = [("a", solid((((0, 0, 0), (3, 3, 3)), ((1, 0, 1), (2, 3, 2))))), ("b", solid((((1, 1, 3), (4, 2, 5)), None)))]
    assert trace(bodies, ISO) == trace(bodies, ISO)
    names = [s.body for s in trace(bodies, ISO)]
    assert names == sorted(names)
    assert "-0.0" not in repr(trace(bodies, FRONT))


def test_nothing_gives_nothing() -> None:
    assert trace([], FRONT) == ()


def _distance(points: tuple[tuple[float, float], ...], x: float, y: float) -> float:
    best = math.inf
    for (x0, y0), (x1, y1) in pairwise(points):
        dx, dy = x1 - x0, y1 - y0
        t = min(1.0, max(0.0, ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy)))
        best = min(best, math.hypot(x0 + t * dx - x, y0 + t * dy - y))
    return best


def _before(point: np.ndarray, corners: np.ndarray, view: Projection) -> tuple[bool, bool]:
    """Whether some triangle stands clearly before a point, and whether one may (its border counts)."""
    direction = np.array(view.toward)
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    p = np.cross(direction, two)
    scale = (one * p).sum(axis=1)
    usable = np.abs(scale) > 1e-9
    scale = np.where(usable, scale, 1.0)
    s = point - corners[:, 0]
    u = (s * p).sum(axis=1) / scale
    q = np.cross(s, one)
    v = (q @ direction) / scale
    t = (two * q).sum(axis=1) / scale
    inside = np.minimum(np.minimum(u, v), 1 - u - v)
    clearly = usable & (inside > 1e-3) & (t > 1e-2)
    maybe = usable & (inside > -1e-3) & (t > -1e-2) & ~((inside > 1e-3) & (np.abs(t) <= 1e-2))
    return bool(clearly.any()), bool((maybe & (t > 1e-2)).any())


@pytest.mark.parametrize("view", (ISO, ISO_LEFT, TOP, FRONT), ids=lambda v: v.name)
def test_round_work_agrees_with_every_triangle_tried(view: Projection) -> None:
    tray = Solid.from_prisms(
        [box_prism(Box((F(0),) * 3, (F(120), F(80), F(18))))],
        [
            Prism(2, F(8), F(18), Disc((F(35), F(40)), F(22))),
            Prism(2, F(0), F(18), Disc((F(90), F(40)), F(9))),
            Prism(2, F(0), F(18), Disc((F(60), F(0)), F(14))),
            Prism(0, F(90), F(120), Disc((F(60), F(9)), F(4))),
        ],
    )
    rod = Solid.from_prisms([Prism(2, F(18), F(60), Disc((F(75), F(60)), F(6)))])
    bodies = [("tray", tray), ("rod", rod)]
    strokes = trace(bodies, view)
    corners = np.concatenate([s.vertices[s.triangles] for _, s in bodies])
    checked = 0
    for name, solid_ in bodies:
        for edge in solid_.edges[::3]:
            for t in (0.21, 0.73):
                point = edge[0] + t * (edge[1] - edge[0])
                if np.linalg.norm(np.diff(view.flat(edge), axis=0)) < 1e-3:
                    continue
                x, y = view.flat(point).tolist()
                clearly, maybe = _before(point, corners, view)
                near = [s for s in strokes if _distance(s.points, x, y) < 2e-3]
                assert near, (name, point)
                if not clearly and not maybe:
                    assert any(not s.hidden for s in near), (name, point)
                    checked += 1
                elif clearly and len(near) == 1 and near[0].body == name:
                    # nothing else is drawn there, so this edge itself is
                    other = [
                        e for _, s in bodies for e in s.edges if not np.array_equal(e, edge)
                        and np.linalg.norm(np.diff(view.flat(e), axis=0)) > 1e-3
                        and _distance(tuple(map(tuple, view.flat(e))), x, y) < 2e-3
                    ]  # fmt: skip
                    if not other:
                        assert near[0].hidden, (name, point)
                        checked += 1
    assert checked > 25
