"""Which places of a part can be seen in a picture, the deepest inside what is seen first.

The picture is looked at through a fine grid: each cell knows the nearest face behind it. How deep a cell lies is the
number of rings of cells round it that show the same face, or the same part.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plandoc.drawing.display import XY
from plandoc.geometry.solid import Solid
from plandoc.sheets.views import Placement

CELL = 0.4  # mm on paper; half of a leader's dot is 0.75
DEEP = 12  # cells; deeper inside is no better for a leader
FAIR = 0.6  # of the greatest depth that a place has to have
APART = 3.0  # mm between two places of one part
MOST = 12  # places, but for those far out
AT_ONCE = 1 << 20  # cells that are looked at together
Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


class Seen:
    """The visible places of all bodies of a picture."""

    def __init__(self, bodies: Sequence[tuple[str, Solid]], place: Placement) -> None:
        self.names = tuple(name for name, _ in bodies)
        faces = [_facing(solid, place) for _, solid in bodies]
        flat = np.concatenate([np.zeros((0, 3, 2)), *(flat for flat, _, _ in faces)])
        levels = np.concatenate([np.zeros((0, 3)), *(depths for _, depths, _ in faces)])
        keys = np.concatenate([np.zeros((0, 5), dtype=int), *(np.insert(k, 0, n, axis=1) for n, (_, _, k) in enumerate(faces))])
        every = flat.reshape(-1, 2)
        self.corner = np.floor(every.min(axis=0) / CELL) - 1 if len(every) else np.zeros(2)
        size = np.ceil(every.max(axis=0) / CELL) + 2 - self.corner if len(every) else np.ones(2)
        shape = (int(size[1]), int(size[0]))
        face = _nearest(flat / CELL - self.corner, levels, shape)
        self.part: Ints = np.append(keys[:, 0], -1)[face].astype(np.int32)  # what shows nothing is face -1
        self._keys, self._face = keys, face

    @cached_property
    def depth(self) -> Ints:
        """How deep each cell lies inside what it shows."""
        _, planes = np.unique(self._keys, axis=0, return_inverse=True)
        plane: Ints = np.append(planes.reshape(-1), -1)[self._face].astype(np.int32)
        return _rings(plane) * 2 + _rings(self.part)

    def area(self, name: str) -> int:
        """How many cells show the body."""
        return int(np.count_nonzero(self.part == self.names.index(name)))

    def places(self, name: str) -> tuple[XY, ...]:
        """Places on paper where a leader to that body may end, the best first; the last ones lie as far out on each side as
        is good enough. None where the body is hidden."""
        own = self.part == self.names.index(name)
        if not own.any():
            return ()
        rows, columns = np.nonzero(own)
        depth = self.depth[rows, columns]
        best = depth >= FAIR * depth.max()
        rows, columns, depth = rows[best], columns[best], depth[best]
        middle = np.array([columns.mean(), rows.mean()])
        away = np.hypot(columns - middle[0], rows - middle[1])
        order = np.lexsort((columns, rows, np.round(away, 3), -depth))
        found: list[XY] = []

        def take(k: int) -> None:
            x, y = ((np.array([columns[k], rows[k]]) + self.corner + 0.5) * CELL).tolist()
            if all(abs(x - p) + abs(y - q) >= APART for p, q in found):
                found.append((round(x, 4), round(y, 4)))

        for k in order.tolist():
            take(k)
            if len(found) == MOST:
                break
        for level in (columns, -columns, rows, -rows):
            take(int(order[np.argmin(level[order])]))
        return tuple(found)


def _facing(solid: Solid, place: Placement) -> tuple[Floats, Floats, NDArray[np.int_]]:
    """The faces that look at the viewer: their corners on paper, how near these are, and in which plane each lies."""
    if solid.empty:
        return np.zeros((0, 3, 2)), np.zeros((0, 3)), np.zeros((0, 4), dtype=int)
    view = place.view
    facing = solid.normals @ np.array(view.toward) > 1e-6
    corners, normals = solid.vertices[solid.triangles[facing]], solid.normals[facing]
    flat = view.flat(corners) * (place.ratio, -place.ratio) + place.at
    offset = np.einsum("kc,kc->k", corners[:, 0], normals)
    keys = np.concatenate([np.round(normals * 1000), np.round(offset * 10)[:, None]], axis=1).astype(int)
    return flat, view.depth(corners), keys


def _nearest(corners: Floats, levels: Floats, shape: tuple[int, int]) -> NDArray[np.intp]:
    """For each cell the triangle that is nearest to the viewer over its middle, of equals the first; -1 for none."""
    nearest: Floats = np.full(shape[0] * shape[1], -np.inf)
    face = np.full(shape[0] * shape[1], -1, dtype=np.intp)
    for triangle, cell, level in _under(corners, levels, shape[1]):
        order = np.argsort(cell, kind="stable")
        fresh = np.diff(cell[order], prepend=-1) != 0
        first = np.maximum.accumulate(np.where(fresh, np.arange(len(cell)), 0))
        turn = np.arange(len(cell)) - first  # of the triangle among those over its cell
        by_turn = np.argsort(turn, kind="stable")
        for rows in np.split(order[by_turn], np.cumsum(np.bincount(turn))[:-1]):
            nearer = rows[level[rows] > nearest[cell[rows]] + 1e-6]
            nearest[cell[nearer]], face[cell[nearer]] = level[nearer], triangle[nearer]
    return face.reshape(shape)


def _under(corners: Floats, levels: Floats, wide: int) -> Iterator[tuple[NDArray[np.intp], NDArray[np.intp], Floats]]:
    """The cells (row * wide + column) whose middles each triangle covers, and how near it is there: all triangles in order,
    some at a time."""
    low, high = np.ceil(corners.min(axis=1) - 0.5), np.floor(corners.max(axis=1) - 0.5)
    (ax, ay), (bx, by), (cx, cy) = (corners[:, k].T for k in range(3))
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    some = np.flatnonzero((low <= high).all(axis=1) & (np.abs(area) >= 1e-9))
    size = (high - low + 1)[some].astype(np.intp)
    count = size[:, 0] * size[:, 1]
    cuts = np.flatnonzero(np.diff(np.cumsum(count) // AT_ONCE)) + 1
    for part in np.split(np.arange(len(some)), cuts):
        if not len(part):
            continue
        own = np.repeat(part, count[part])
        at = np.arange(len(own)) - np.repeat(np.cumsum(count[part]) - count[part], count[part])
        t = some[own]
        column, row = low[t, 0] + at % size[own, 0], low[t, 1] + at // size[own, 0]
        x, y = column + 0.5 - ax[t], row + 0.5 - ay[t]
        u = (x * (cy - ay)[t] - y * (cx - ax)[t]) / area[t]
        v = ((bx - ax)[t] * y - (by - ay)[t] * x) / area[t]
        inside = (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1 + 1e-9)
        t, u, v = t[inside], u[inside], v[inside]
        level = levels[t, 0] + u * (levels[t, 1] - levels[t, 0]) + v * (levels[t, 2] - levels[t, 0])
        yield t, (row[inside] * wide + column[inside]).astype(np.intp), level


def _rings(labels: Ints) -> Ints:
    """For each cell how many rings round it have its own label, up to DEEP."""
    count: Ints = np.zeros(labels.shape, dtype=np.int32)
    alive = labels >= 0
    for ring in range(DEEP):
        shrunk = alive.copy()
        steps = [(0, 1), (0, -1), (1, 0), (-1, 0)] + ([(1, 1), (1, -1), (-1, 1), (-1, -1)] if ring % 2 else [])
        for dy, dx in steps:
            shrunk &= np.roll(alive, (dy, dx), (0, 1)) & (np.roll(labels, (dy, dx), (0, 1)) == labels)
        alive = shrunk
        if not alive.any():
            break
        count += alive
    return count
