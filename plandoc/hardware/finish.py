"""Finish: counted by the surface of the named parts and the number of coats."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, Face, other_axes
from plandoc.hardware import common as c
from plandoc.model.entities import Fitting
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param


def fit(context: FitContext) -> FitEffect:
    """The faces of the finished boxes; what lies in joints is not taken off (estimate, on the safe side)."""
    given = context.args.get("facing")
    faces = given if isinstance(given, tuple) and given else tuple(Face(a, s) for a in AXES for s in (-1, 1))
    area = sum((_surface(part, face) for part in context.parts for face in dict.fromkeys(faces)), Fraction(0))
    return FitEffect(Fitting(context.id, context.item.name, tuple(dict.fromkeys(p.path for p in context.parts)), 1, span=context.tell.span, area=area))


def _surface(part: Frame, face: Face) -> Fraction:
    first, second = other_axes(face.axis)
    return part.box.size(first) * part.box.size(second)


KIND = HardwareKind(
    name="finish",
    doc="Oil, varnish, paint: counted by the surface of the parts. `covers` is a surface that one can covers once.",
    params=(Param("covers", "size", "two sides of the surface that one can covers once", above=True), Param("coats", "count", "number of coats", default=2), c.PRICE),
    fit_params=(Param("facing", "faces", "faces that are finished; left out, all of them"),),
    fit=fit,
    example="hardware hard_oil finish \"Hard oil, 1 pint\" covers 8' x 8' coats 3",
    spread=True,
)
