"""Round holes and pockets: the same cylinder under two names."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Disc, Face, Point3, Prism, other_axes
from plandoc.model.entities import Feature
from plandoc.model.kinds import ShapeContext
from plandoc.shapes.placing import Spot, depth_range, on_face, place_figures


def point_on(part_face: Fraction, face: Face, spot: Spot) -> Point3:
    """The spot as a point on the face."""
    point = [part_face] * 3
    first, second = other_axes(face.axis)
    point[first], point[second] = spot.u, spot.v
    return (point[0], point[1], point[2])


def cylinders(context: ShapeContext, kind: str, places: tuple[Spot, ...], diameter: Fraction, deep: Fraction | None, open_edges: bool = False) -> tuple[Feature, ...]:
    """One feature for each place; those of one statement share a row."""
    face = context.args["on"]
    assert isinstance(face, Face)
    limits = depth_range(context, face, deep)
    if limits is None:
        return ()
    if diameter <= 0:
        context.tell.say("PD331", f"a {kind} needs a diameter greater than nothing")
        return ()
    found = []
    for number, spot in enumerate(places, 1):
        if not on_face(context, face, spot, diameter / 2, diameter / 2, open_edges, number, len(places)):
            return ()
        ident = context.id if len(places) == 1 else f"{context.id}.{number}"
        found.append(
            Feature(
                ident,
                kind,
                face,
                cuts=(Prism(face.axis, limits[0], limits[1], Disc((spot.u, spot.v), diameter / 2)),),
                figures=place_figures(context.part, face, spot),
                row=context.id if len(places) > 1 else "",
                diameter=diameter,
                depth=deep,
                through=deep is None,
                centre=point_on(context.part.shoulder.at(face), face, spot),
                span=context.tell.span,
            )
        )
    return tuple(found)
