"""The finished bodies of all parts: shoulder box, tongues added, work cut away."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import (
    Body,
    Box,
    Chunk,
    Disc,
    Frustum,
    Loop,
    Outline,
    Point2,
    Point3,
    Prism,
    Rect,
    box_prism,
    other_axes,
)
from plandoc.geometry.solid import GRID, Solid
from plandoc.model.entities import Model, Part

STEPS = int(GRID)


def solids(model: Model) -> dict[str, Solid]:
    """Path -> finished solid of every part, placed and loose, in the order of the plan. Parts whose geometry is
    equal but for its place share one mesh.

    Coordinates are rounded to the solids' grid in the world, before the part's place is taken off, so that a face
    which two parts have in common is one face for both."""
    known: dict[tuple[tuple[Body, ...], tuple[Body, ...]], Solid] = {}
    result: dict[str, Solid] = {}
    for part in model.parts:
        origin = part.shoulder.lo
        adds, cuts = _prisms(part, origin)
        solid = known.get((adds, cuts))
        if solid is None:
            solid = Solid.from_prisms(adds, cuts)
            known[adds, cuts] = solid
        x, y, z = (float(on_grid(v)) for v in origin)
        moved = solid.moved(x, y, z)
        result[part.path] = moved if part.lean is None else moved.leaned(part.lean)
    return result


def part_solid(part: Part) -> Solid:
    """The finished solid of one part, in place; of a leaning part as if it stood straight."""
    adds, cuts = _prisms(part, (Fraction(0), Fraction(0), Fraction(0)))
    return Solid.from_prisms(adds, cuts)


def blank_solid(part: Part) -> Solid:
    """Shoulder box and tongues of a part, nothing cut away yet, in place."""
    adds, _ = _prisms(part, (Fraction(0), Fraction(0), Fraction(0)))
    return Solid.from_prisms(adds)


def _prisms(part: Part, origin: Point3) -> tuple[tuple[Body, ...], tuple[Body, ...]]:
    adds = [box_prism(part.shoulder)] + [p for f in part.features for p in f.adds]
    cuts = [p for f in part.features for p in f.cuts]
    return tuple(_shifted(p, origin) for p in adds), tuple(_shifted(p, origin) for p in cuts)


def _shifted(prism: Body, origin: Point3) -> Body:
    """The body on the grid, as seen from another origin. The plane of a chunk stays as it is; its corners are put on
    the grid when it is built."""
    if isinstance(prism, Chunk):
        lo = tuple(on_grid(v) - on_grid(o) for v, o in zip(prism.box.lo, origin, strict=True))
        hi = tuple(on_grid(v) - on_grid(o) for v, o in zip(prism.box.hi, origin, strict=True))
        moved = sum((n * on_grid(o) for n, o in zip(prism.normal, origin, strict=True)), Fraction(0))
        return Chunk(Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])), prism.normal, prism.offset - moved)
    a, b = other_axes(prism.axis)
    if isinstance(prism, Frustum):
        along = on_grid(origin[prism.axis])
        u, v = on_grid(prism.centre[0]) - on_grid(origin[a]), on_grid(prism.centre[1]) - on_grid(origin[b])
        return Frustum(prism.axis, on_grid(prism.lo) - along, on_grid(prism.hi) - along, (u, v), prism.radius_lo, prism.radius_hi)
    along = on_grid(origin[prism.axis])
    outline = _shifted_outline(prism.outline, on_grid(origin[a]), on_grid(origin[b]))
    return Prism(prism.axis, on_grid(prism.lo) - along, on_grid(prism.hi) - along, outline)


def on_grid(value: Fraction) -> Fraction:
    """The nearest multiple of the solids' grid."""
    return Fraction(round(value * STEPS), STEPS)


def _shifted_outline(outline: Outline, dx: Fraction, dy: Fraction) -> Outline:
    def point(p: Point2) -> Point2:
        return on_grid(p[0]) - dx, on_grid(p[1]) - dy

    if isinstance(outline, Rect):
        return Rect(point(outline.lo), point(outline.hi))
    if isinstance(outline, Disc):
        # so that the rim, not only the centre, is on the grid
        radius = on_grid(outline.centre[0] + outline.radius) - on_grid(outline.centre[0])
        return Disc(point(outline.centre), radius)
    return Loop(tuple(point(p) for p in outline.points), outline.bows)
