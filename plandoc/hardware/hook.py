"""Hook: screwed on a face with one or two screws in line."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, FACES, Face, other_axes
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param


def fit(context: FitContext) -> FitEffect | None:
    """One or two pilot holes at each place of every named part."""
    item, face, tell = context.item, context.args["facing"], context.tell
    assert isinstance(face, Face)
    axes = other_axes(face.axis)
    along, spaced = context.args.get("along"), item.size("spaced") or Fraction(0)
    line = along if isinstance(along, int) else axes[1] if item.kind == "hook" else axes[0]
    if line not in axes:
        tell.say("PD333", f"the screws of `{item.name}` on the face {face.name} cannot stand {AXIS_NAMES[line]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in axes))
        return None
    work, total = d.Work(context), 0
    for part in context.parts:
        screws = []
        spots = d.places(part, face, context.args)
        for spot in spots:
            for turn in (-1, 1) if spaced else (0,):
                one = list(spot)
                one[line] += turn * spaced / 2
                screws.append((one[0], one[1], one[2]))
        work.pilots(part, face, screws)
        total += len(spots)
    return work.effect(total)


FIT_PARAMS = (
    Param("at", "positions", "places of its middle, measured from the left, front or bottom edges", required=True),
    d.FROM,
    Param("along", "axis", "direction of the line of its two screws"),
)
KIND = HardwareKind(
    name="hook",
    doc="A hook with one screw, or with two at a distance.",
    params=(Param("spaced", "length", "distance between its two screws; left out, it has one"), *c.SCREWED, c.LOAD, c.PRICE),
    fit_params=(*FIT_PARAMS, Param("facing", "face", "the face that it is screwed on", default=FACES["front"])),
    fit=fit,
    example='hardware coat_hook hook "Coat hook" spaced 1 1/4" screws 2',
    source="the screws of an upright hook stand one above the other: common practice; sizes are the maker's",
)
