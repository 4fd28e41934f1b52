"""Hole: a drilled hole, through or to a depth; one, several, or a row."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import placing as p
from plandoc.shapes.round_work import cylinders


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Cylinders at every place."""
    deep, diameter = context.args.get("deep"), context.args["diameter"]
    through = context.args.get("through") is True
    assert isinstance(diameter, Fraction)
    if through == isinstance(deep, Fraction):
        context.tell.say("PD334", "a hole is either `through` or `deep`", mend="hole 5 mm deep 12 mm on ..., or hole 5 mm through on ...")
        return ()
    places = p.spots(context)
    if places is None:
        return ()
    return cylinders(context, "hole", places, diameter, deep if isinstance(deep, Fraction) else None)


KIND = ShapeKind(
    name="hole",
    doc="A drilled hole; with `row` a line of them.",
    params=(Param("diameter", "length", "diameter", required=True, lead=True), p.DEEP, Param("through", "flag", "goes through the part"), p.ON, p.AT, p.FROM, p.ROW, p.EVERY, p.ALONG),
    apply=apply,
    example='hole 5 mm deep 12 mm on right at 2", 4" row 8 every 32 mm along up',
)
