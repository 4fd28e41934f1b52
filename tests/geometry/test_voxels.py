"""Random bodies of whole-number boxes against counting unit cubes: many coinciding faces, exact answers."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.geometry.bodies import Box, box_prism
from plandoc.geometry.solid import Solid

F = Fraction
SIZE = 8
# 23/32 in: its multiples have no exact float
STEP = F(23, 32) * F(254, 10)

Span = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]


def spans() -> st.SearchStrategy[Span]:
    side = st.tuples(st.integers(0, SIZE - 1), st.integers(1, 6)).map(lambda p: (p[0], min(SIZE, p[0] + p[1])))
    return st.tuples(side, side, side)


def bodies() -> st.SearchStrategy[tuple[list[Span], list[Span]]]:
    return st.tuples(st.lists(spans(), min_size=1, max_size=3), st.lists(spans(), max_size=3))


def made(body: tuple[list[Span], list[Span]], axis: int) -> Solid:
    def prisms(rows: list[Span]) -> list:  # type: ignore[type-arg]
        boxes = [Box(tuple(lo * STEP for lo, _ in row), tuple(hi * STEP for _, hi in row)) for row in rows]  # type: ignore[arg-type]
        return [box_prism(box, axis) for box in boxes]

    return Solid.from_prisms(prisms(body[0]), prisms(body[1]))


def cubes(body: tuple[list[Span], list[Span]]) -> np.ndarray:
    grid = np.zeros((SIZE,) * 3, dtype=bool)
    for rows, value in ((body[0], True), (body[1], False)):
        for (x0, x1), (y0, y1), (z0, z1) in rows:
            grid[x0:x1, y0:y1, z0:z1] = value
    return grid


def bounds(grid: np.ndarray) -> tuple[tuple[float, ...], tuple[float, ...]]:
    where = np.argwhere(grid)
    lo, hi = where.min(axis=0).tolist(), (where.max(axis=0) + 1).tolist()
    return tuple(float(v * STEP) for v in lo), tuple(float(v * STEP) for v in hi)


UNIT = float(STEP)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(bodies(), st.integers(0, 2))
def test_volume_bounds_and_sections(body: tuple[list[Span], list[Span]], axis: int) -> None:
    solid, grid = made(body, axis), cubes(body)
    assert solid.volume == pytest.approx(int(grid.sum()) * UNIT**3, abs=1e-6)
    if not grid.any():
        return
    assert solid.bounds == bounds(grid)
    for level in range(SIZE):
        layer = np.moveaxis(grid, axis, 0)[level]
        regions = solid.section(axis, (level + 0.5) * UNIT)
        area = sum(shapely.Polygon(r.outer, r.holes).area for r in regions)
        assert area == pytest.approx(int(layer.sum()) * UNIT**2, abs=1e-3)
        if level:
            both = layer & np.moveaxis(grid, axis, 0)[level - 1]
            touching = solid.section(axis, float(level * STEP))
            assert sum(shapely.Polygon(r.outer, r.holes).area for r in touching) == pytest.approx(
                int(both.sum()) * UNIT**2, abs=1e-2
            )
        for keep in (-1, 1):
            half = solid.half(axis, float(level * STEP), keep)
            stack = np.moveaxis(grid, axis, 0)
            part = stack[:level] if keep < 0 else stack[level:]
            assert half.volume == pytest.approx(int(part.sum()) * UNIT**3, abs=1e-6)


@settings(max_examples=80, deadline=None, derandomize=True, database=None)
@given(bodies(), bodies(), st.tuples(*[st.integers(-2, 2)] * 3))
def test_common_room(
    one: tuple[list[Span], list[Span]], two: tuple[list[Span], list[Span]], shift: tuple[int, int, int]
) -> None:
    first, second = made(one, 2), made(two, 0).moved(*(float(v * STEP) for v in shift))
    wide = np.zeros((2, *(SIZE + 4,) * 3), dtype=bool)
    wide[0, 2:-2, 2:-2, 2:-2] = cubes(one)
    dx, dy, dz = (v + 2 for v in shift)
    wide[1, dx : dx + SIZE, dy : dy + SIZE, dz : dz + SIZE] = cubes(two)
    common = wide[0] & wide[1]
    assert first.common_volume(second) == pytest.approx(int(common.sum()) * UNIT**3, abs=1e-6)
    found = first.common_bounds(second)
    if not common.any():
        assert found is None
        return
    lo, hi = bounds(common)
    away = 2 * UNIT
    assert found is not None
    assert np.allclose(found[0], np.array(lo) - away, atol=1e-9)
    assert np.allclose(found[1], np.array(hi) - away, atol=1e-9)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(bodies(), st.integers(0, 2))
def test_sharp_edges_are_where_cubes_turn(body: tuple[list[Span], list[Span]], axis: int) -> None:
    """The length of all edges along one direction: a grid line is an edge where the four cubes round it are neither
    all alike nor half and half side by side."""
    solid, grid = made(body, 2), np.pad(cubes(body), 1)
    turned = np.moveaxis(grid, axis, 0).astype(int)
    four = np.stack([turned[:, :-1, :-1], turned[:, 1:, :-1], turned[:, 1:, 1:], turned[:, :-1, 1:]])
    count = four.sum(axis=0)
    crossed = (count == 2) & (four[0] == four[2])
    expected = ((count == 1) | (count == 3)).sum() + 2 * crossed.sum()
    along = solid.edges[:, 1] - solid.edges[:, 0]
    straight = np.abs(along[:, axis]) > 1e-6
    length = float(np.abs(along[straight][:, axis]).sum())
    # where two bodies touch along a line only, the line may count for each of them
    low = (expected - crossed.sum()) * UNIT
    assert low - 1e-6 <= length <= expected * UNIT + 1e-6
    assert np.allclose(np.delete(along[straight], axis, axis=1), 0)
