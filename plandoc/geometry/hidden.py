"""Hidden lines: which pieces of the edges of several solids a viewer sees.

An edge is cut at the borders of every triangle that stands strictly before it. A face that an edge lies on or
touches does not hide it. Where an edge comes to lie exactly under the border of a nearer face, that border is an
edge of the picture itself and wins by the precedence of lines, so borders count as covering.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from plandoc.geometry.precedence import Fragment, resolve
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke, joined
from plandoc.geometry.view import Projection

__all__ = ["Stroke", "trace"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FACING = 1e-6  # sine of the least angle between a face and the line of sight
BEHIND = 1e-4  # mm that a point must lie behind a face to be hidden by it
BORDER = 1e-5  # mm that a face reaches beyond its border, so that its triangles leave no seam
SHORT = 1e-3  # mm; shorter pieces are not drawn
LARGE = 25.0  # mm, greatest extent of a face in the picture
CHUNK = 400_000  # edge-triangle pairs worked on at once


@dataclass(slots=True)
class _Lines:
    """Edges to draw: points (k, 2, 3), body (k,), kind (k,) of 0 edge, 1 silhouette, 2 curve."""

    points: Floats
    body: Ints
    kind: Ints


def trace(
    bodies: Sequence[tuple[str, Solid]], view: Projection, hidden: bool = True
) -> tuple[Stroke, ...]:
    """The picture of the bodies as strokes in model mm, y upwards: each piece of line once, visible before hidden.

    hidden: whether hidden pieces are wanted. Order: bodies as given, visible first, then by coordinates.
    """
    lines = _lines(bodies, view)
    if not len(lines.points):
        return ()
    flat = view.flat(lines.points)
    depth = view.depth(lines.points)
    corners, normals = _faces(bodies, view)
    covered = _covered(lines, flat, depth, corners, normals, view)
    fragments = _fragments(lines, flat, depth, covered, hidden)
    names = [name for name, _ in bodies]
    return joined(resolve(fragments, hidden), names)


def _lines(bodies: Sequence[tuple[str, Solid]], view: Projection) -> _Lines:
    toward = np.array(view.toward)
    points: list[Floats] = []
    body: list[Ints] = []
    kind: list[Ints] = []
    for index, (_, solid) in enumerate(bodies):
        sharp = solid.edges
        smooth, normals = solid.smooth_edges
        facing = normals @ toward > FACING
        contour = smooth[facing[:, 0] != facing[:, 1]] if len(smooth) else smooth
        points += [sharp, contour]
        kind += [np.where(solid.edge_curved, 2, 0), np.full(len(contour), 1)]
        body.append(np.full(len(sharp) + len(contour), index))
    if not points:
        return _Lines(np.zeros((0, 2, 3)), np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64))
    every = np.concatenate(points)
    flat = view.flat(every)
    drawn = np.linalg.norm(flat[:, 1] - flat[:, 0], axis=1) > SHORT
    return _Lines(every[drawn], np.concatenate(body)[drawn], np.concatenate(kind)[drawn])


def _faces(bodies: Sequence[tuple[str, Solid]], view: Projection) -> tuple[Floats, Floats]:
    """Corners (m, 3, 3) and unit normals (m, 3) of the triangles that face the viewer. The back ones of a closed
    body hide nothing that its front ones do not hide."""
    toward = np.array(view.toward)
    corners, normals = [np.zeros((0, 3, 3))], [np.zeros((0, 3))]
    for _, solid in bodies:
        facing = solid.normals @ toward > FACING
        corners.append(solid.vertices[solid.triangles[facing]])
        normals.append(solid.normals[facing])
    return np.concatenate(corners), np.concatenate(normals)


Spans = tuple[Ints, Floats, Floats]


def _covered(
    lines: _Lines, flat: Floats, depth: Floats, corners: Floats, normals: Floats, view: Projection
) -> Spans:
    """Line numbers and parameters from..to (0..1) of the pieces that lie behind a triangle."""
    shape = view.flat(corners)
    width = (shape.max(axis=1) - shape.min(axis=1)).max(axis=1) if len(shape) else np.zeros(0)
    left = np.arange(len(flat))
    found: list[Spans] = []
    # the few large faces hide most short lines altogether; only what they leave is held against the many small ones
    for chosen in (width >= LARGE, width < LARGE):
        w, low, high = _covered_by(
            lines.points[left], flat[left], depth[left], corners[chosen], normals[chosen], shape[chosen], view
        )
        found.append((left[w], low, high))
        whole = np.zeros(len(left), dtype=bool)
        whole[w[(low <= 0.0) & (high >= 1.0)]] = True
        left = left[~whole]
    which = np.concatenate([f[0] for f in found])
    return which, np.concatenate([f[1] for f in found]), np.concatenate([f[2] for f in found])


def _covered_by(
    points: Floats, flat: Floats, depth: Floats, corners: Floats, normals: Floats, shape: Floats, view: Projection
) -> Spans:
    none = (np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0))
    if not len(corners) or not len(points):
        return none
    nearest = view.depth(corners).max(axis=1)
    tree = shapely.STRtree(_boxes(shape))
    which, face = tree.query(_boxes(flat))
    before = nearest[face] > depth.min(axis=1)[which] + BEHIND
    which, face = which[before], face[before]

    # borders: inward unit normal and offset of the three sides of every triangle
    side = np.roll(shape, -1, axis=1) - shape
    length = np.maximum(np.linalg.norm(side, axis=2), 1e-12)
    nx, ny = -side[..., 1] / length, side[..., 0] / length
    offset = nx * shape[..., 0] + ny * shape[..., 1] - BORDER
    # gap towards the viewer between a point and the plane of the triangle: level - point . lean
    lean = normals / (normals @ np.array(view.toward))[:, None]
    level = (lean * corners[:, 0]).sum(axis=1) - BEHIND
    x, y = flat[..., 0].T, flat[..., 1].T

    found = [none]
    for begin in range(0, len(which), CHUNK):
        w, f = which[begin : begin + CHUNK], face[begin : begin + CHUNK]
        # most pairs fall at the first tests, so the later ones see few
        for number in range(3):
            n, m, c = nx[f, number], ny[f, number], offset[f, number]
            alive = np.maximum(x[0][w] * n + y[0][w] * m, x[1][w] * n + y[1][w] * m) > c
            w, f = w[alive], f[alive]
        gaps = [level[f] - np.einsum("ij,ij->i", points[w, end], lean[f]) for end in (0, 1)]
        alive = np.maximum(*gaps) > 0
        w, f = w[alive], f[alive]
        low, high = _clipped(np.zeros(len(w)), np.ones(len(w)), gaps[0][alive], gaps[1][alive])
        for number in range(3):
            n, m, c = nx[f, number], ny[f, number], offset[f, number]
            low, high = _clipped(low, high, x[0][w] * n + y[0][w] * m - c, x[1][w] * n + y[1][w] * m - c)
        alive = high > low
        found.append((w[alive], low[alive], high[alive]))
    which = np.concatenate([f[0] for f in found])
    return which, np.concatenate([f[1] for f in found]), np.concatenate([f[2] for f in found])


def _boxes(points: Floats) -> NDArray[np.object_]:
    lo, hi = points.min(axis=1) - BORDER, points.max(axis=1) + BORDER
    boxes: NDArray[np.object_] = shapely.box(lo[:, 0], lo[:, 1], hi[:, 0], hi[:, 1])
    return boxes


def _clipped(low: Floats, high: Floats, a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """The part of low..high in which a value that runs from a (at 0) to b (at 1) is positive."""
    rise = b - a
    level = np.abs(rise) < 1e-12
    at = np.where(level, 0.0, -a / np.where(level, 1.0, rise))
    low = np.where(~level & (rise > 0), np.maximum(low, at), low)
    high = np.where(~level & (rise < 0), np.minimum(high, at), high)
    return low, np.where(level & (a <= 0), -1.0, high)


def _fragments(lines: _Lines, flat: Floats, depth: Floats, covered: Spans, hidden: bool) -> list[Fragment]:
    """Every line cut into visible pieces and, where those are wanted, hidden ones."""
    which, low, high = covered
    order = np.lexsort((high, low, which))
    which, low, high = which[order], low[order], high[order]
    first = np.searchsorted(which, np.arange(len(flat) + 1))
    lows, highs, starts = low.tolist(), high.tolist(), first.tolist()
    lengths = np.linalg.norm(flat[:, 1] - flat[:, 0], axis=1).tolist()
    ends, depths = flat.tolist(), depth.tolist()
    body, kind = lines.body.tolist(), lines.kind.tolist()
    gone = np.zeros(len(flat), dtype=bool)
    if not hidden:
        gone[which[(low <= 0.0) & (high >= 1.0)]] = True
    made: list[Fragment] = []
    for i in np.flatnonzero(~gone).tolist():
        length = lengths[i]
        least = SHORT / length
        pieces: list[tuple[float, float, bool]] = []
        at = 0.0
        for k in range(starts[i], starts[i + 1]):
            if lows[k] > at + least:
                pieces.append((at, lows[k], False))
                at = lows[k]
            if highs[k] > at:
                if pieces and pieces[-1][2]:
                    pieces[-1] = (pieces[-1][0], highs[k], True)
                elif highs[k] - at > least:
                    pieces.append((at, highs[k], True))
                else:
                    continue
                at = highs[k]
        if at < 1.0 - least or not pieces:
            pieces.append((at, 1.0, False))
        elif at < 1.0:
            pieces[-1] = (pieces[-1][0], 1.0, pieces[-1][2])
        (x0, y0), (x1, y1) = ends[i]
        z0, z1 = depths[i]
        for a, b, behind in pieces:
            if behind and not hidden:
                continue
            made.append(
                Fragment(
                    x0 + (x1 - x0) * a,
                    y0 + (y1 - y0) * a,
                    x0 + (x1 - x0) * b,
                    y0 + (y1 - y0) * b,
                    z0 + (z1 - z0) * a,
                    z0 + (z1 - z0) * b,
                    body[i],
                    kind[i],
                    behind,
                )
            )
    return made
