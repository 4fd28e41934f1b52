"""Which edges of a triangle mesh a draughtsman would draw."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

FLAT = 1e-3  # radians between faces that count as one plane
TANGENT = 0.26  # radians (15 degrees); chords of an arc turn by at most 12.5 degrees
NO_AREA = 1e-9


@dataclass(frozen=True, slots=True)
class MeshEdges:
    """sharp (k, 2, 3), curved (k,): chord of an arc; smooth (s, 2, 3) and smooth_normals (s, 2, 3): seams between
    the faces of arcs; normals (m, 3) of the triangles."""

    sharp: Floats
    curved: Bools
    smooth: Floats
    smooth_normals: Floats
    normals: Floats


def mesh_edges(vertices: Floats, triangles: Ints, face_ids: Ints) -> MeshEdges:
    """Feature edges of a closed mesh. face_ids: number * 8 + 4 (face of an arc) + axis of its prism."""
    if len(triangles) == 0:
        none = np.zeros((0, 2, 3))
        return MeshEdges(none, np.zeros(0, dtype=bool), none, none, np.zeros((0, 3)))
    corners = vertices[triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(cross, axis=1)
    normals = np.divide(cross, size[:, None], out=np.zeros_like(cross), where=size[:, None] > NO_AREA)

    ends = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    owner = np.tile(np.arange(len(triangles)), 3)
    low, high = ends.min(axis=1), ends.max(axis=1)
    order = np.lexsort((ends[:, 0] > ends[:, 1], high, low))
    low, high, owner = low[order][::2], high[order][::2], owner[order]
    left, right = owner[::2], owner[1::2]

    bent = (face_ids & 4) > 0
    axis = face_ids & 3
    n_left, n_right = normals[left], normals[right]
    sine = np.linalg.norm(np.cross(n_left, n_right), axis=1)
    angle = np.arctan2(sine, (n_left * n_right).sum(axis=1))
    degenerate = (size[left] <= NO_AREA) | (size[right] <= NO_AREA)
    any_bent = bent[left] | bent[right]
    apart = (angle > FLAT) & ~degenerate
    soft = apart & any_bent & (angle < TANGENT)
    hard = apart & ~soft

    start, end = vertices[low[hard]], vertices[high[hard]]
    along = end - start
    length = np.linalg.norm(along, axis=1)
    curved = np.zeros(len(start), dtype=bool)
    for side in (left[hard], right[hard]):
        # an edge that runs with the axis of the arc's prism is a straight edge
        lean = np.abs(along[np.arange(len(along)), axis[side]]) < 0.999 * length
        curved |= bent[side] & lean
    sharp, kinds = _merged(vertices, low[hard], high[hard], curved)
    smooth = np.stack([vertices[low[soft]], vertices[high[soft]]], axis=1)
    smooth_normals = np.stack([n_left[soft], n_right[soft]], axis=1)
    order = np.lexsort(smooth.reshape(-1, 6).T[::-1])
    return MeshEdges(sharp, kinds, smooth[order], smooth_normals[order], normals)


def _merged(vertices: Floats, low: Ints, high: Ints, curved: Bools) -> tuple[Floats, Bools]:
    """Straight edges that continue each other made one, in order of their coordinates."""
    chains: dict[int, list[int]] = {}
    pairs = [[int(a), int(b)] for a, b in zip(low, high, strict=True)]
    alive = [True] * len(pairs)
    for number, pair in enumerate(pairs):
        if not curved[number]:
            for vertex in pair:
                chains.setdefault(vertex, []).append(number)
    for vertex, members in chains.items():
        merged = True
        while merged and len(members) > 1:
            merged = False
            for i, first in enumerate(members):
                for second in members[i + 1 :]:
                    if _continue(vertices, vertex, pairs[first], pairs[second]):
                        far = pairs[second][0] if pairs[second][1] == vertex else pairs[second][1]
                        pair = pairs[first]
                        pair[pair.index(vertex)] = far
                        alive[second] = False
                        there = chains[far]
                        there[there.index(second)] = first
                        members.remove(first)
                        members.remove(second)
                        merged = True
                        break
                if merged:
                    break
    kept = [i for i, ok in enumerate(alive) if ok]
    if not kept:
        return np.zeros((0, 2, 3)), np.zeros(0, dtype=bool)
    points = np.array([[vertices[a], vertices[b]] for a, b in (pairs[i] for i in kept)])
    kinds = curved[kept]
    backward = np.array([tuple(p[0]) > tuple(p[1]) for p in points])
    points[backward] = points[backward][:, ::-1]
    order = np.lexsort(points.reshape(-1, 6).T[::-1])
    return points[order], kinds[order]


def _continue(vertices: Floats, vertex: int, first: list[int], second: list[int]) -> bool:
    a = vertices[first[0] if first[1] == vertex else first[1]] - vertices[vertex]
    b = vertices[second[0] if second[1] == vertex else second[1]] - vertices[vertex]
    cross = np.cross(a, b)
    dot = float(a @ b)
    return dot < 0 and float(cross @ cross) < (1e-7 * dot) ** 2
