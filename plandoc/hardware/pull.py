"""Pull: one or two bores through the front, at the maker's spacing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import FACES, Disc, Face, Point3, Prism, other_axes
from plandoc.hardware import common as c
from plandoc.hardware.drilling import places, words
from plandoc.model.entities import Feature, Figure, Fitting
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param
from plandoc.model.read_args import MIDDLE


def fit(context: FitContext) -> FitEffect | None:
    """Bores through every named part, in one line; places are measured on the first part."""
    item, args, first = context.item, context.args, context.parts[0]
    face = args["facing"]
    assert isinstance(face, Face)
    axes = other_axes(face.axis)
    along = args.get("along")
    along = along if isinstance(along, int) else axes[0]
    bore, spaced = item.size("bore") or Fraction(5), item.size("spaced") or Fraction(0)
    if along not in axes:
        context.tell.say("PD333", f"a pull on the face {face.name} cannot lie in that direction")
        return None
    middles = places(first, face, args) or places(first, face, {"at": ((MIDDLE, MIDDLE),)})
    offsets = [Fraction(0)] if spaced == 0 else [-spaced / 2, spaced / 2]
    points: list[Point3] = []
    for middle in middles:
        for offset in offsets:
            point = list(middle)
            point[face.axis] = first.box.at(face)
            point[along] += offset
            points.append((point[0], point[1], point[2]))
    features: list[tuple[str, Feature]] = []
    for part in context.parts:
        for number, point3 in enumerate(points, 1):
            feature = _bore(context, part, face, axes, point3, bore, number, len(points))
            if feature is None:
                return None
            features.append((part.path, feature))
    fitting = Fitting(context.id, item.name, tuple(p.path for p in context.parts), len(middles), points=tuple(points), span=context.tell.span)
    return FitEffect(fitting, tuple(features))


def _bore(context: FitContext, part: Frame, face: Face, axes: tuple[int, int], point: Point3, bore: Fraction, number: int, count: int) -> Feature | None:
    for axis in axes:
        lo, hi = part.box.span(axis)
        if not lo + bore / 2 <= point[axis] <= hi - bore / 2:
            context.tell.say("PD330", f"a bore of `{context.item.name}` misses `{part.path}`", notes=(f"it lies at {context.tell.figure(point[axis])}, the part from {context.tell.figure(lo)} to {context.tell.figure(hi)}",))
            return None
    centre = list(point)
    centre[face.axis] = part.box.at(face)
    figures: list[Figure] = []
    for axis in axes:
        figure = part.to_datum(axis, point[axis], point[axis])
        figures.extend([figure] if figure is not None else [])
    hole = Prism(face.axis, *part.box.span(face.axis), Disc((point[axes[0]], point[axes[1]]), bore / 2))
    feature = Feature(f"{part.path}.{context.id}.{number}", "hole", face, cuts=(hole,), figures=tuple(figures), row=f"{part.path}.{context.id}" if count > 1 else "", diameter=bore, through=True, centre=(centre[0], centre[1], centre[2]), span=context.tell.span)
    return replace(feature, note=words(context.item))


KIND = HardwareKind(
    name="pull",
    doc="A pull or a knob: `spaced` 0 or left out means one bore.",
    params=(Param("bore", "length", "diameter of the bores", required=True), Param("spaced", "length", "distance between the two bores"), c.PRICE),
    fit_params=(
        Param("at", "positions", "middle of the pull, or of several, measured from left, front or bottom edges"),
        Param("from", "faces", "edges to measure from instead", default=()),
        Param("facing", "face", "the face that it stands on", default=FACES["front"]),
        Param("along", "axis", "direction of the line of its bores"),
    ),
    fit=fit,
    example='hardware handle pull "Wire pull, 96 mm" bore 5 mm spaced 96 mm',
)
