"""Words that most hardware lines share."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Fitting
from plandoc.model.kinds import FitContext, FitEffect, Param

PRICE = Param("price", "money", "price of one, or of a pair where it comes in pairs")
LOAD = Param("load", "weight", "load that its maker allows")
FIT_COUNT = Param("count", "count", "how many", default=1)
SCREWS = Param("screws", "count", "screws for one, or for a pair where it comes in pairs")
WITH = Param("with", "item", "the screw, declared above, that these are; left out, they come with it")
# 2.5 mm suits No 6 and 3.5 mm screws: shank 3.5 mm, root about two thirds of it (fasteners: tables/data/screws.csv).
PILOT = Param("pilot", "length", "diameter of the pilot holes", default=Fraction(5, 2), above=True)
SCREWED = (SCREWS, WITH, PILOT)


def counted(context: FitContext) -> FitEffect:
    """Fitted without holes: only counted on its parts."""
    count = context.args.get("count")
    number = count if isinstance(count, int) else 1
    fitting = Fitting(context.id, context.item.name, tuple(dict.fromkeys(p.path for p in context.parts)), number, span=context.tell.span)
    return FitEffect(fitting)
