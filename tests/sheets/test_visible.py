"""What is seen of bodies in a picture: all triangles at once see the same as one after the other."""

from __future__ import annotations

import numpy as np
import pytest

from plandoc.sheets import visible


def one_by_one(corners: np.ndarray, levels: np.ndarray, shape: tuple[int, int]) -> np.ndarray:
    """The nearest triangle over the middle of each cell, of equals the first; cell by cell."""
    face, nearest = np.full(shape, -1), np.full(shape, -np.inf)
    for number, (((ax, ay), (bx, by), (cx, cy)), level) in enumerate(zip(corners.tolist(), levels.tolist(), strict=True)):
        area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if abs(area) < 1e-9:
            continue
        for row in range(shape[0]):
            for column in range(shape[1]):
                x, y = column + 0.5 - ax, row + 0.5 - ay
                u, v = (x * (cy - ay) - y * (cx - ax)) / area, ((bx - ax) * y - (by - ay) * x) / area
                high = level[0] + u * (level[1] - level[0]) + v * (level[2] - level[0])
                if min(u, v, 1 - u - v) >= -1e-9 and high > nearest[row, column] + 1e-6:
                    face[row, column], nearest[row, column] = number, high
    return face


@pytest.mark.parametrize("at_once", [1, 40, 1 << 20])
def test_the_nearest_triangle_is_that_of_one_after_the_other(at_once: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(visible, "AT_ONCE", at_once)
    chance = np.random.default_rng(7)
    # on a coarse grid, so that many share edges, levels and whole places
    corners = chance.integers(1, 19, (60, 3, 2)).astype(float)
    levels = chance.integers(0, 4, (60, 3)).astype(float)
    found = visible._nearest(corners, levels, (20, 20))
    assert (found >= 0).any() and (found < 0).any()
    assert np.array_equal(found, one_by_one(corners, levels, (20, 20)))


def test_no_triangle_no_face() -> None:
    assert (visible._nearest(np.zeros((0, 3, 2)), np.zeros((0, 3)), (4, 5)) == -1).all()
