"""The finished bodies of all parts: shoulder box, tongues added, work cut away."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Disc, Loop, Outline, Point2, Point3, Prism, Rect, box_prism, other_axes
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Part


def solids(model: Model) -> dict[str, Solid]:
    """Path -> finished solid of every part, placed and loose, in the order of the plan. Parts whose geometry is
    equal but for its place share one mesh."""
    known: dict[tuple[tuple[Prism, ...], tuple[Prism, ...]], Solid] = {}
    result: dict[str, Solid] = {}
    for part in model.parts:
        origin = part.shoulder.lo
        adds, cuts = _prisms(part, origin)
        solid = known.get((adds, cuts))
        if solid is None:
            solid = Solid.from_prisms(adds, cuts)
            known[adds, cuts] = solid
        result[part.path] = solid.moved(float(origin[0]), float(origin[1]), float(origin[2]))
    return result


def part_solid(part: Part) -> Solid:
    """The finished solid of one part, in place."""
    adds, cuts = _prisms(part, (Fraction(0), Fraction(0), Fraction(0)))
    return Solid.from_prisms(adds, cuts)


def blank_solid(part: Part) -> Solid:
    """Shoulder box and tongues of a part, nothing cut away yet, in place."""
    adds, _ = _prisms(part, (Fraction(0), Fraction(0), Fraction(0)))
    return Solid.from_prisms(adds)


def _prisms(part: Part, origin: Point3) -> tuple[tuple[Prism, ...], tuple[Prism, ...]]:
    adds = [box_prism(part.shoulder)] + [p for f in part.features for p in f.adds]
    cuts = [p for f in part.features for p in f.cuts]
    return tuple(_shifted(p, origin) for p in adds), tuple(_shifted(p, origin) for p in cuts)


def _shifted(prism: Prism, origin: Point3) -> Prism:
    """The prism as seen from another origin, still exact."""
    a, b = other_axes(prism.axis)
    along = origin[prism.axis]
    outline = _shifted_outline(prism.outline, origin[a], origin[b])
    return Prism(prism.axis, prism.lo - along, prism.hi - along, outline)


def _shifted_outline(outline: Outline, dx: Fraction, dy: Fraction) -> Outline:
    def point(p: Point2) -> Point2:
        return p[0] - dx, p[1] - dy

    if isinstance(outline, Rect):
        return Rect(point(outline.lo), point(outline.hi))
    if isinstance(outline, Disc):
        return Disc(point(outline.centre), outline.radius)
    return Loop(tuple(point(p) for p in outline.points), outline.bulges)
