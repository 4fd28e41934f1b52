"""Cutting loops and strokes to a window, for details. All points in picture mm."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import LineString, Polygon

from plandoc.drawing.display import XY
from plandoc.drawing.hatch import region
from plandoc.geometry.strokes import Stroke

LEAST = 0.05


def clipped_loops(loops: Sequence[Sequence[XY]], window: Sequence[XY]) -> tuple[tuple[XY, ...], ...]:
    """The part of an area (even-odd loops) inside a convex window."""
    area = region(loops).intersection(Polygon(window))
    found = []
    for piece in shapely.get_parts(shapely.normalize(area)):
        if piece.geom_type == "Polygon" and piece.area > LEAST:
            found += [tuple(ring.coords[:-1]) for ring in (piece.exterior, *piece.interiors)]
    return tuple(tuple((float(x), float(y)) for x, y in ring) for ring in found)


def clipped_strokes(strokes: Sequence[Stroke], window: Sequence[XY]) -> tuple[Stroke, ...]:
    """The pieces of strokes inside a window."""
    area = Polygon(window)
    found = []
    for stroke in strokes:
        inside = LineString(stroke.points).intersection(area)
        for piece in shapely.get_parts(inside):
            if piece.geom_type == "LineString" and piece.length > LEAST:
                points = tuple((float(x), float(y)) for x, y in piece.coords)
                found.append(Stroke(stroke.body, points, stroke.hidden, stroke.kind))
    return tuple(found)
