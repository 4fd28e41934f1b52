"""Round holes and pockets: the same cylinder under two names."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Disc, Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import ShapeContext
from plandoc.shapes import placing as p


def cylinders(context: ShapeContext, kind: str, places: tuple[p.Spot, ...], diameter: Fraction, deep: Fraction | None, open_edges: bool = False) -> tuple[Feature, ...]:
    """One feature for each place; those of one statement share a row."""
    face = context.args["on"]
    assert isinstance(face, Face)
    depth = p.depth_of(context, face, deep)
    if depth is None:
        return ()
    if diameter <= 0:
        context.tell.say("PD331", f"a {kind} needs a diameter greater than nothing")
        return ()
    found = []
    for spot in places:
        if not p.on_face(context, face, spot, diameter / 2, diameter / 2, open_edges):
            return ()
        made = p.feature(context, kind, face, spot, depth, Disc(spot.place, diameter / 2), p.place_figures(context.part, face, spot))
        found.append(replace(made, diameter=diameter))
    return tuple(found)
