"""Pull: one or two bores through the front, at the maker's spacing."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, FACES, Face, other_axes
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param
from plandoc.model.read_args import MIDDLE


def fit(context: FitContext) -> FitEffect | None:
    """Bores through every named part, in one line; places are measured on the first part."""
    item, args, first = context.item, context.args, context.parts[0]
    face = args["facing"]
    assert isinstance(face, Face)
    axes = other_axes(face.axis)
    along = args.get("along")
    along = along if isinstance(along, int) else axes[0]
    bore, spaced = item.size("bore") or Fraction(0), item.size("spaced") or Fraction(0)
    if along not in axes:
        context.tell.say("PD333", f"a pull on the face {face.name} cannot lie {AXIS_NAMES[along]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in axes))
        return None
    if not d.lean_alike(context, context.parts):
        return None
    middles = d.places(first, face, args) or d.places(first, face, {"at": ((MIDDLE, MIDDLE),)})
    offsets = [Fraction(0)] if spaced == 0 else [-spaced / 2, spaced / 2]
    points = [d.point(face.axis, first.box.at(face), [(a, middle[a] + (offset if a == along else 0)) for a in axes]) for middle in middles for offset in offsets]
    work = d.Work(context)
    work.points.extend(points)
    for part in context.parts:
        work.bores(part, face, points, bore, None, d.words(item))
    return work.effect(len(middles))


KIND = HardwareKind(
    name="pull",
    doc="A pull or a knob: `spaced` 0 or left out means one bore.",
    params=(Param("bore", "length", "diameter of the bores", required=True, above=True), Param("spaced", "length", "distance between the two bores"), c.PRICE),
    fit_params=(
        Param("at", "positions", "middle of the pull, or of several, measured from left, front or bottom edges"),
        Param("from", "faces", "edges to measure from instead", default=()),
        Param("facing", "face", "the face that it stands on", default=FACES["front"]),
        Param("along", "axis", "direction of the line of its bores"),
    ),
    fit=fit,
    example='hardware handle pull "Wire pull, 96 mm" bore 5 mm spaced 96 mm',
)
