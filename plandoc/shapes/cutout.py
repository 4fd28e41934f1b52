"""Cutout: an opening through the part, inside of it or open at an edge."""

from __future__ import annotations

from plandoc.model.entities import Feature
from plandoc.model.kinds import ShapeContext, ShapeKind
from plandoc.shapes import areas
from plandoc.shapes import placing as p


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The area through the part; it may hang over an edge as long as its middle lies on the part."""
    return areas.area(context, "cut-out", None, open_edges=True)


KIND = ShapeKind(
    name="cutout",
    doc="An opening through the part: two sides, with `radius` for round corners, a round one, or a free outline in lines below, as for `outline`. It may be open at an edge: its middle then lies on the edge or beside it on the part.",
    params=(areas.SIZE, areas.ROUND, areas.RADIUS, p.ON, areas.AT, *p.REPEATED),
    apply=apply,
    example='cutout 3" x 1 1/4" radius 1/2" on right at 4", 5"',
    drawn=True,
)
