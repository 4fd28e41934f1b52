"""Pocket: a flat-bottomed recess, round or rectangular, cut with a router or a flat-bottomed bit."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, Prism, Rect, other_axes
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import placing as p
from plandoc.shapes.round_work import cylinders, point_on


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Round pockets, or rectangular ones with their long sides along the axes of the face."""
    args = context.args
    size, diameter, deep = args.get("size"), args.get("round"), args["deep"]
    assert isinstance(deep, Fraction)
    if isinstance(size, tuple) == isinstance(diameter, Fraction):
        context.tell.say("PD335", "a pocket has either two sides or a diameter", mend='pocket 3" x 5" deep ..., or pocket round 2" deep ...')
        return ()
    places = p.spots(context)
    if places is None:
        return ()
    if isinstance(diameter, Fraction):
        return cylinders(context, "pocket", places, diameter, deep)
    assert isinstance(size, tuple)
    return _rectangles(context, places, size, deep)


def _rectangles(context: ShapeContext, places: tuple[p.Spot, ...], size: tuple[Fraction, ...], deep: Fraction) -> tuple[Feature, ...]:
    face, part = context.args["on"], context.part
    assert isinstance(face, Face)
    limits = p.depth_range(context, face, deep)
    if limits is None:
        return ()
    if min(size) <= 0:
        context.tell.say("PD331", "a pocket needs sides greater than nothing")
        return ()
    first, second = other_axes(face.axis)
    found = []
    for number, spot in enumerate(places, 1):
        half_u, half_v = size[0] / 2, size[1] / 2
        if not p.on_face(context, face, spot, half_u, half_v):
            return ()
        lo, hi = (spot.u - half_u, spot.v - half_v), (spot.u + half_u, spot.v + half_v)
        figures = [Figure(first, lo[0], hi[0], "size"), Figure(second, lo[1], hi[1], "size"), Figure(face.axis, limits[0], limits[1], "depth")]
        for axis, low, high in ((first, lo[0], hi[0]), (second, lo[1], hi[1])):
            figure = part.to_datum(axis, low, high)
            if figure is not None:
                figures.append(figure)
        ident = context.id if len(places) == 1 else f"{context.id}.{number}"
        found.append(Feature(ident, "pocket", face, cuts=(Prism(face.axis, limits[0], limits[1], Rect(lo, hi)),), figures=tuple(figures), row=context.id if len(places) > 1 else "", depth=deep, centre=point_on(part.shoulder.at(face), face, spot), span=context.tell.span))
    return tuple(found)


KIND = ShapeKind(
    name="pocket",
    doc="A flat-bottomed recess. The two sides follow the order across, back, up.",
    params=(Param("size", "size", "two sides", lead=True), Param("round", "length", "diameter of a round pocket"), Param("deep", "length", "depth from the face", required=True), p.ON, p.AT, p.FROM, p.ROW, p.EVERY, p.ALONG),
    apply=apply,
    example='pocket round 2" deep 3/8" on top at (3", 4"), (7", 4")',
)
