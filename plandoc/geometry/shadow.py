"""What bodies cover in a picture: the union of their shadows on the paper, by the boolean engine, without triangles."""

from __future__ import annotations

from collections.abc import Iterable

import manifold3d
import numpy as np
import shapely
from manifold3d import CrossSection

from plandoc.geometry.solid import GRID, Solid
from plandoc.geometry.view import Projection


def shadow(solids: Iterable[Solid], view: Projection) -> shapely.Geometry:
    """The area that solids cover together in a parallel projection (picture mm, y upwards)."""
    frame = np.zeros((3, 4))
    frame[:, :3] = np.array([view.right, view.up, view.toward]) / GRID
    cast = [s.manifold.transform(frame).project() for s in solids if not s.empty]
    if not cast:
        return shapely.Polygon()
    area: shapely.Geometry = shapely.Polygon()
    loops = CrossSection.batch_boolean(cast, manifold3d.OpType.Add).to_polygons()
    rings = [shapely.Polygon(loop) for loop in loops if len(loop) >= 3]
    for ring in sorted(rings, key=lambda r: (-r.area, r.bounds)):
        # a loop within another one is a hole in it
        area = shapely.symmetric_difference(area, ring)
    return area
