"""Solids: unions and differences of prisms, cones and chunks as closed triangle meshes, with their feature edges.

Lengths are millimetres in the plan's world (across, back, up). The boolean engine works on whole numbers of a grid
of 0.0000001 mm, on which every 1/128 in and every decimal of a millimetre lies. Sums of whole numbers are exact in
floats, so faces that touch in the plan touch in the mesh wherever a solid is moved to; the engine takes equal
coordinates as touching, without volume, and needs no enlarged cutters. Arcs become chords of equal area, see facets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import manifold3d
import numpy as np
import shapely
from manifold3d import Manifold, Mesh64
from numpy.typing import NDArray

from plandoc.geometry.bodies import Body, Chunk, Disc, Frustum, Prism, Rect, other_axes
from plandoc.geometry.convex import chunk_faces
from plandoc.geometry.facets import XY, polygon
from plandoc.geometry.lean import Lean
from plandoc.geometry.mesh_edges import MeshEdges, mesh_edges

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bounds = tuple[tuple[float, float, float], tuple[float, float, float]]

GRID = 1e7  # steps in a mm
ON_PLANE = 1e-6  # mm
TIP = 0.005  # mm, radius at the point of a cone
HALVES = 1 << 14  # number of the prism that halves a solid, above those that build it
MOST_SIDES = 4000


@dataclass(frozen=True, slots=True)
class Region:
    """One connected area of a section: outer loop counter-clockwise, holes clockwise, first point not repeated."""

    outer: tuple[XY, ...]
    holes: tuple[tuple[XY, ...], ...] = ()


def _body_manifold(body: Body, number: int) -> Manifold:
    if isinstance(body, Chunk):
        return _chunk_manifold(body, number)
    if isinstance(body, Frustum):
        return _frustum_manifold(body, number)
    outline, curved = polygon(body.outline)
    return _between_caps(body, np.array(outline), np.array(outline), curved, number)


def _frustum_manifold(body: Frustum, number: int) -> Manifold:
    outline, curved = polygon(Disc(body.centre, max(body.radius_lo, body.radius_hi)))
    centre = np.array([float(v) for v in body.centre])
    widest = float(max(body.radius_lo, body.radius_hi))
    # a cone that ends in a point ends in a very small circle, so that it has two caps like the others
    low, high = (max(float(r), TIP) / widest for r in (body.radius_lo, body.radius_hi))
    flat = np.array(outline) - centre
    return _between_caps(body, centre + flat * low, centre + flat * high, curved, number)


def _between_caps(body: Prism | Frustum, below: Floats, above: Floats, curved: Sequence[bool], number: int) -> Manifold:
    """The body between an outline at lo and one with as many points at hi."""
    n = len(below)
    a, b = other_axes(body.axis)
    vertices = np.empty((2 * n, 3))
    for half, level, flat in ((slice(0, n), body.lo, below), (slice(n, 2 * n), body.hi, above)):
        vertices[half, a] = flat[:, 0]
        vertices[half, b] = flat[:, 1]
        vertices[half, body.axis] = float(level)
    cap = np.asarray(manifold3d.triangulate([below]), dtype=np.int64)
    here = np.arange(n)
    there = (here + 1) % n
    low, high = cap[:, ::-1], cap + n
    wall_a = np.stack([here, there, there + n], axis=1)
    wall_b = np.stack([here, there + n, here + n], axis=1)
    triangles = np.concatenate([low, high, wall_a, wall_b])
    if body.axis == 1:  # (across, up, back) is a left-handed frame
        triangles = triangles[:, ::-1]
    base = _base(n, number)
    bent = np.array(curved, dtype=np.int64)
    side = (base + 2 + here) * 8 + bent * 4 + body.axis
    ids = np.concatenate(
        [np.full(len(low), base * 8), np.full(len(high), (base + 1) * 8), side, side],
    )
    return _closed(vertices, triangles, ids, body)


def _chunk_manifold(chunk: Chunk, number: int) -> Manifold:
    known: dict[tuple[int, ...], int] = {}
    triangles: list[tuple[int, int, int]] = []
    ids: list[int] = []
    faces = chunk_faces(chunk)
    base = _base(len(faces), number)
    for index, face in enumerate(faces):
        # on the grid as all corners are, so that neighbouring faces stay closed
        points = [known.setdefault(tuple(round(v * int(GRID)) for v in p), len(known)) for p in face]
        points = [p for i, p in enumerate(points) if p != points[i - 1]]
        for i in range(1, len(points) - 1):
            triangles.append((points[0], points[i], points[i + 1]))
            ids.append((base + index) * 8)
    if not triangles:
        return Manifold()
    vertices = np.array([[float(v) for v in p] for p in known]) / GRID
    return _closed(vertices, np.array(triangles, dtype=np.int64), np.array(ids), chunk)


def _base(sides: int, number: int) -> int:
    # face id, below 2**31: a number unique in the solid, then whether the face is a chord of an arc, and the axis
    if number >= 4 * HALVES or sides > MOST_SIDES:
        raise ValueError(f"too many faces: {sides} sides, body {number}")
    return number * 4096


def _closed(vertices: Floats, triangles: Ints, ids: Ints, body: Body) -> Manifold:
    mesh = Mesh64(
        vert_properties=np.round(vertices * GRID),
        tri_verts=triangles.astype(np.uint64),
        face_id=ids.astype(np.uint64),
    )
    made = Manifold(mesh)
    if made.status() != manifold3d.Error.NoError:
        raise ValueError(f"an outline that crosses itself: {body}")
    return made


class _Core:
    """The mesh that all copies of one solid share; arrays are computed at first use. vertices: steps of the grid."""

    __slots__ = ("_box", "_edges", "_ids", "_triangles", "_vertices", "manifold")

    def __init__(self, manifold: Manifold) -> None:
        self.manifold = manifold
        self._box: Floats | None = None
        self._vertices: Floats | None = None
        self._triangles: Ints | None = None
        self._ids: Ints | None = None
        self._edges: MeshEdges | None = None

    def _read(self) -> None:
        mesh = self.manifold.to_mesh64()
        self._vertices = np.array(mesh.vert_properties[:, :3], dtype=np.float64)
        self._triangles = np.array(mesh.tri_verts, dtype=np.int64).reshape(-1, 3)
        self._ids = np.array(mesh.face_id, dtype=np.int64)

    @property
    def vertices(self) -> Floats:
        if self._vertices is None:
            self._read()
        assert self._vertices is not None
        return self._vertices

    @property
    def box(self) -> Floats:
        """Smallest and largest coordinates, (2, 3) steps of the grid."""
        if self._box is None:
            self._box = np.array([self.vertices.min(axis=0), self.vertices.max(axis=0)])
        return self._box

    @property
    def triangles(self) -> Ints:
        if self._triangles is None:
            self._read()
        assert self._triangles is not None
        return self._triangles

    @property
    def edges(self) -> MeshEdges:
        if self._edges is None:
            vertices, triangles = self.vertices, self.triangles
            assert self._ids is not None
            self._edges = mesh_edges(vertices / GRID, triangles, self._ids)
        return self._edges


class Solid:
    """A closed body. Copies made by `moved` share their mesh."""

    __slots__ = ("_core", "_offset")

    def __init__(self, manifold: Manifold) -> None:
        self._core = _Core(manifold)
        self._offset: Floats = np.zeros(3)

    @classmethod
    def from_prisms(cls, adds: Sequence[Body], cuts: Sequence[Body] = ()) -> Solid:
        """The union of `adds` less the union of `cuts`."""
        body = _union([_body_manifold(p, i) for i, p in enumerate(adds)])
        if cuts:
            body = body - _union([_body_manifold(p, len(adds) + i) for i, p in enumerate(cuts)])
        return cls(body)

    @classmethod
    def union(cls, solids: Sequence[Solid]) -> Solid:
        """All solids as one."""
        return cls(_union([s.manifold for s in solids]))

    @property
    def manifold(self) -> Manifold:
        """The boolean engine's body, in place, in steps of the grid."""
        if not self._offset.any():
            return self._core.manifold
        return self._core.manifold.translate([float(v) for v in self._offset])

    @property
    def shape(self) -> int:
        """A number that copies made by `moved` have in common, while one of them lives."""
        return id(self._core)

    @property
    def empty(self) -> bool:
        """Whether nothing is left."""
        return bool(self._core.manifold.is_empty())

    @property
    def volume(self) -> float:
        """Volume (mm3)."""
        return float(self._core.manifold.volume()) / GRID**3

    @property
    def vertices(self) -> Floats:
        """Corner points of the mesh, (n, 3) mm."""
        return (self._core.vertices + self._offset) / GRID

    @property
    def triangles(self) -> Ints:
        """Vertex numbers of the triangles, (m, 3), counter-clockwise seen from outside."""
        return self._core.triangles

    @property
    def bounds(self) -> Bounds:
        """Smallest and largest coordinates (mm); zeros where the solid is empty."""
        if self.empty:
            return (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)
        lo, hi = (self._core.box + self._offset) / GRID
        return (float(lo[0]), float(lo[1]), float(lo[2])), (float(hi[0]), float(hi[1]), float(hi[2]))

    @property
    def edges(self) -> Floats:
        """Sharp edges, (k, 2, 3) mm; a straight edge is one row, an arc one row a chord."""
        return self._core.edges.sharp + self._offset / GRID

    @property
    def edge_curved(self) -> NDArray[np.bool_]:
        """For each of `edges`: whether it is a chord of an arc, (k,)."""
        return self._core.edges.curved

    @property
    def smooth_edges(self) -> tuple[Floats, Floats]:
        """Seams between the chord faces of arcs, (s, 2, 3) mm, and the two outward unit normals beside each,
        (s, 2, 3). A seam is a silhouette where one normal looks to the viewer and the other does not."""
        return self._core.edges.smooth + self._offset / GRID, self._core.edges.smooth_normals

    @property
    def normals(self) -> Floats:
        """Outward unit normals of the triangles, (m, 3); zero where a triangle has no area."""
        return self._core.edges.normals

    def moved(self, dx: float, dy: float, dz: float) -> Solid:
        """A copy shifted by mm along across, back, up."""
        copy = Solid.__new__(Solid)
        copy._core = self._core
        copy._offset = self._offset + np.round(np.array([dx, dy, dz], dtype=np.float64) * GRID)
        return copy

    def leaned(self, lean: Lean) -> Solid:
        """A copy carried by a rigid motion. Corners are put on the grid again, so that faces which touch in the plan touch
        in the mesh."""
        rows = np.array([[float(v) for v in row] for row in lean.rows], dtype=np.float64)
        shift = np.array([float(v) for v in lean.shift], dtype=np.float64)
        mesh = self._core.manifold.to_mesh64()
        points = np.array(mesh.vert_properties[:, :3], dtype=np.float64) + self._offset
        moved = points @ rows.T + shift * GRID
        triangles = np.array(mesh.tri_verts, dtype=np.int64).reshape(-1, 3)
        if np.linalg.det(rows) < 0:
            triangles = triangles[:, ::-1]
        made = Manifold(Mesh64(vert_properties=np.round(moved), tri_verts=triangles.astype(np.uint64), face_id=np.array(mesh.face_id)))
        if made.status() != manifold3d.Error.NoError:
            raise ValueError("a turned body that is not closed")
        return Solid(made)

    def common(self, other: Solid) -> Solid:
        """What both share."""
        # a difference leaves no sheet without thickness where faces coincide; the engine's intersection may
        mine = self.manifold
        return Solid(mine - (mine - other.manifold))

    def common_volume(self, other: Solid) -> float:
        """Volume that both share (mm3)."""
        if not self._boxes_meet(other):
            return 0.0
        return float((self.manifold ^ other.manifold).volume()) / GRID**3

    def common_bounds(self, other: Solid) -> Bounds | None:
        """Box around what both share, None where they share nothing."""
        if not self._boxes_meet(other):
            return None
        shared = self.common(other)
        return None if shared.empty else shared.bounds

    def _boxes_meet(self, other: Solid) -> bool:
        (lo, hi), (other_lo, other_hi) = self.bounds, other.bounds
        return all(lo[i] < other_hi[i] and other_lo[i] < hi[i] for i in range(3))

    def minus(self, other: Solid) -> Solid:
        """This solid less the other."""
        return Solid(self.manifold - other.manifold)

    def pieces(self) -> tuple[Solid, ...]:
        """The separate bodies that it consists of, largest first."""
        found = [Solid(m) for m in self.manifold.decompose()]
        return tuple(sorted(found, key=lambda s: (-round(s.volume, 6), s.bounds)))

    def half(self, axis: int, at: float, keep: int) -> Solid:
        """The part below (keep -1) or above (keep +1) the plane `axis` = at. The new face is a flat one."""
        lo, hi = self.bounds
        low, high = [v - 1.0 for v in lo], [v + 1.0 for v in hi]
        # what is taken away lies on the other side
        if keep < 0:
            low[axis] = at
        else:
            high[axis] = at
        if low[axis] >= high[axis]:
            return self
        cut = Prism(axis, Fraction(low[axis]), Fraction(high[axis]), _around(low, high, axis))
        return Solid(self.manifold - _body_manifold(cut, HALVES))

    def section(self, axis: int, at: float) -> tuple[Region, ...]:
        """What the plane `axis` = at cuts, in the other two axes (lower first), mm.

        Material counts where it stands on both sides of the plane: a face that lies in the plane is not cut.
        """
        touching = bool((np.abs(self.vertices[:, axis] - at) < 10 * ON_PLANE).any()) if not self.empty else False
        area = self._slice(axis, at - ON_PLANE if touching else at)
        if touching:
            area = shapely.intersection(area, self._slice(axis, at + ON_PLANE), grid_size=ON_PLANE)
        return regions(area)

    def _slice(self, axis: int, at: float) -> shapely.Geometry:
        a, b = other_axes(axis)
        turn = np.zeros((3, 4))
        turn[0, a] = turn[1, b] = turn[2, axis] = 1 / GRID
        loops = self.manifold.transform(turn).slice(at).to_polygons()
        rings = [shapely.Polygon(loop) for loop in loops if len(loop) >= 3]
        area: shapely.Geometry = shapely.Polygon()
        for ring in sorted(rings, key=lambda r: -r.area):
            area = shapely.symmetric_difference(area, ring)
        return area


def _around(low: Sequence[float], high: Sequence[float], axis: int) -> Rect:
    a, b = other_axes(axis)
    return Rect((Fraction(low[a]), Fraction(low[b])), (Fraction(high[a]), Fraction(high[b])))


def regions(area: shapely.Geometry) -> tuple[Region, ...]:
    """The polygons of an area in reading order (by least x, then least y)."""
    found: list[Region] = []
    for piece in shapely.get_parts(shapely.normalize(area)):
        if piece.geom_type != "Polygon" or piece.area < 1e-6:
            continue
        piece = shapely.geometry.polygon.orient(piece.simplify(10 * ON_PLANE))
        holes = sorted(_ring(r) for r in piece.interiors)
        found.append(Region(_ring(piece.exterior), tuple(holes)))
    return tuple(sorted(found, key=lambda r: (min(r.outer), r.outer)))


def _ring(ring: shapely.LinearRing) -> tuple[XY, ...]:
    points = [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in ring.coords[:-1]]
    first = points.index(min(points))
    return tuple(points[first:] + points[:first])


def _union(bodies: Sequence[Manifold]) -> Manifold:
    if not bodies:
        return Manifold()
    if len(bodies) == 1:
        return bodies[0]
    return Manifold.batch_boolean(list(bodies), manifold3d.OpType.Add)
