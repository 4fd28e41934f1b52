"""Leveller: an adjustable foot in a blind bore from below."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import FACES, Face, other_axes
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param


def fit(context: FitContext) -> FitEffect | None:
    """One bore at each place of every named part."""
    face = context.args["facing"]
    assert isinstance(face, Face)
    work, total = d.Work(context), 0
    bore, deep, high, foot = (context.item.size(n) or Fraction(0) for n in ("bore", "deep", "high", "foot"))
    axes = other_axes(face.axis)
    for part in context.parts:
        spots = d.places(part, face, context.args)
        if not spots:
            context.tell.say("PD319", f"`{context.item.name}` needs its places", mend='inset 2", or at 2", 2"')
            return None
        work.bores(part, face, spots, bore, deep, d.words(context.item))
        work.points.extend(spots)
        total += len(spots)
        plane = part.shoulder.at(face)
        for spot in spots:
            work.room((face.axis, plane, plane + face.side * high), *((a, spot[a] - foot / 2, spot[a] + foot / 2) for a in axes))
    return work.effect(total)


KIND = HardwareKind(
    name="leveller",
    doc="An adjustable foot: a bore from below, and so much height as it stands out.",
    params=(
        Param("bore", "length", "diameter of the bore for its sleeve or thread", required=True, above=True),
        Param("deep", "length", "depth of the bore", required=True, above=True),
        Param("high", "length", "height that it stands out below, in the middle of its travel", required=True, above=True),
        Param("foot", "length", "diameter of its foot", default=Fraction(30), above=True),
        c.LOAD,
        c.PRICE,
    ),
    fit_params=(d.AT, d.FROM, d.CORNERS, Param("facing", "face", "the face that it stands out of", default=FACES["bottom"])),
    fit=fit,
    example='hardware level_foot leveller "Levelling foot" bore 3/8" deep 1/2" high 3/4"',
    source="foot 30 mm: common practice; bore, depth and height are the maker's",
)
