"""Which places of a part can be seen in a picture, the deepest inside what is seen first.

The picture is looked at through a fine grid: each cell knows the nearest face behind it. How deep a cell lies is the
number of rings of cells round it that show the same face, or the same part.
"""

from __future__ import annotations

from collections.abc import Sequence

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
Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


class Seen:
    """The visible places of all bodies of a picture."""

    def __init__(self, bodies: Sequence[tuple[str, Solid]], place: Placement) -> None:
        self.names = tuple(name for name, _ in bodies)
        faces = [_facing(solid, place) for _, solid in bodies]
        every = np.concatenate([np.zeros((0, 2)), *(flat.reshape(-1, 2) for flat, _, _ in faces)])
        self.corner = np.floor(every.min(axis=0) / CELL) - 1 if len(every) else np.zeros(2)
        size = np.ceil(every.max(axis=0) / CELL) + 2 - self.corner if len(every) else np.ones(2)
        shape = (int(size[1]), int(size[0]))
        self.part: Ints = np.full(shape, -1, dtype=np.int32)
        plane: Ints = np.full(shape, -1, dtype=np.int32)
        depth: Floats = np.full(shape, -np.inf)
        planes: dict[tuple[int, ...], int] = {}
        for number, (flat, depths, keys) in enumerate(faces):
            grid = flat / CELL - self.corner
            for corners, levels, key in zip(grid, depths, keys, strict=True):
                at = _under(corners, levels, shape)
                if at is None:
                    continue
                rows, columns, level = at
                nearer = level > depth[rows, columns] + 1e-6
                rows, columns = rows[nearer], columns[nearer]
                depth[rows, columns] = level[nearer]
                self.part[rows, columns] = number
                plane[rows, columns] = planes.setdefault((number, *key), len(planes))
        self.depth = _rings(plane).astype(np.int32) * 2 + _rings(self.part)

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


def _facing(solid: Solid, place: Placement) -> tuple[Floats, Floats, list[tuple[int, ...]]]:
    """The faces that look at the viewer: their corners on paper, how near these are, and in which plane each lies."""
    if solid.empty:
        return np.zeros((0, 3, 2)), np.zeros((0, 3)), []
    view = place.view
    facing = solid.normals @ np.array(view.toward) > 1e-6
    corners, normals = solid.vertices[solid.triangles[facing]], solid.normals[facing]
    flat = view.flat(corners) * (place.ratio, -place.ratio) + place.at
    offset = np.einsum("kc,kc->k", corners[:, 0], normals)
    keys = np.concatenate([np.round(normals * 1000), np.round(offset * 10)[:, None]], axis=1).astype(int)
    return flat, view.depth(corners), [tuple(row) for row in keys.tolist()]


def _under(corners: Floats, levels: Floats, shape: tuple[int, int]) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats] | None:
    """Rows and columns of the cells whose middles a triangle covers, and how near it is there."""
    low, high = np.ceil(corners.min(axis=0) - 0.5), np.floor(corners.max(axis=0) - 0.5)
    if (low > high).any():
        return None
    columns, rows = np.meshgrid(np.arange(int(low[0]), int(high[0]) + 1), np.arange(int(low[1]), int(high[1]) + 1))
    (ax, ay), (bx, by), (cx, cy) = corners.tolist()
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    if abs(area) < 1e-9:
        return None
    x, y = columns + 0.5 - ax, rows + 0.5 - ay
    u = (x * (cy - ay) - y * (cx - ax)) / area
    v = ((bx - ax) * y - (by - ay) * x) / area
    inside = (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1 + 1e-9)
    if not inside.any():
        return None
    level: Floats = levels[0] + u * (levels[1] - levels[0]) + v * (levels[2] - levels[0])
    return rows[inside], columns[inside], level[inside]


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
