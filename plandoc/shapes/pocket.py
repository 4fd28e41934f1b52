"""Pocket: a flat-bottomed recess, round, rectangular or of a free outline, cut with a router or a flat-bottomed bit."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import areas
from plandoc.shapes import placing as p


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Round pockets, rectangular ones with their sides along the axes of the face, or one of a free outline."""
    deep = context.args["deep"]
    assert isinstance(deep, Fraction)
    return areas.area(context, "pocket", deep)


KIND = ShapeKind(
    name="pocket",
    doc="A flat-bottomed recess. The two sides follow the order across, back, up. A free outline is written in lines below, as for `outline`.",
    params=(areas.SIZE, areas.ROUND, areas.RADIUS, Param("deep", "length", "depth from the face", required=True), p.ON, areas.AT, *p.REPEATED),
    apply=apply,
    example='pocket round 2" deep 3/8" on top at (3", 4"), (7", 4")',
    drawn=True,
)
