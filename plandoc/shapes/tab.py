"""Tab: a tongue left standing at an edge; the rest of the edge is cut back, through the part."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, box_prism
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext, ShapeKind


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Cut the strip along the edge away on both sides of the tab."""
    size, face, offset, part = context.args["size"], context.args["at"], context.args["offset"], context.part
    assert isinstance(size, tuple) and isinstance(face, Face) and isinstance(offset, Fraction)
    if face.axis == part.thickness_axis:
        context.tell.say("PD332", f"`{part.path}` has a face at its {face.name}, a tab stands at an edge")
        return ()
    run = 3 - face.axis - part.thickness_axis
    wide, deep = size
    room, reach = part.shoulder.size(run), part.shoulder.size(face.axis)
    if not (wide > 0 and 0 < deep < reach and offset + wide <= room):
        context.tell.say("PD337", f"a tab of {context.tell.figure(wide)} by {context.tell.figure(deep)} does not fit on `{part.path}`", notes=(f"the edge is {context.tell.figure(room)} long, the part reaches {context.tell.figure(reach)} from it",))
        return ()
    start = part.shoulder.lo[run] + offset
    line, edge = part.shoulder.at(face) - face.side * deep, part.box.at(face)
    strip = part.box.with_span(face.axis, *sorted((line, edge)))
    cuts = []
    if start > part.shoulder.lo[run]:
        cuts.append(box_prism(strip.with_span(run, part.box.lo[run], start), part.thickness_axis))
    if start + wide < part.shoulder.hi[run]:
        cuts.append(box_prism(strip.with_span(run, start + wide, part.box.hi[run]), part.thickness_axis))
    figures = [Figure(face.axis, min(line, edge), max(line, edge), "size"), Figure(run, start, start + wide, "size")]
    place = part.to_datum(run, start, start + wide)
    if place is not None and offset > 0:
        figures.append(place)
    return (Feature(context.id, "tab", Face(part.thickness_axis, 1), cuts=tuple(cuts), figures=tuple(figures), through=True, span=context.tell.span),)


KIND = ShapeKind(
    name="tab",
    doc="A tab left standing at an edge while the rest of the edge is cut back: its width along the edge, and how far it stands out.",
    params=(
        Param("size", "size", "width x depth", required=True, lead=True),
        Param("at", "face", "the edge", required=True),
        Param("offset", "length", "where it begins, from the left, front or bottom end of the edge", default=Fraction(0)),
    ),
    apply=apply,
    example='tab 3" x 1" at front offset 2 1/4"',
)
