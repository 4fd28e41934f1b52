"""Notch: a rectangular piece taken out of a corner, through the part."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, Face, box_prism
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext, ShapeKind


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The corner between the two named faces, the first side measured from the first face."""
    size, faces, part = context.args["size"], context.args["at"], context.part
    assert isinstance(size, tuple) and isinstance(faces, tuple)
    if len(faces) != 2 or faces[0].axis == faces[1].axis:
        context.tell.say("PD337", "a notch lies in the corner of two faces", mend='notch 3" x 3 1/2" at front, bottom')
        return ()
    box = part.box
    figures = []
    for length, face in zip(size, faces, strict=True):
        room = part.shoulder.size(face.axis)
        if not Fraction(0) < length < room:
            context.tell.say("PD337", f"a notch of {context.tell.figure(length)} from {face.name} does not fit into `{part.path}`", notes=(f"it measures {context.tell.figure(room)} in that direction",))
            return ()
        line = part.shoulder.at(face) - face.side * length
        edge = part.box.at(face)
        box = box.with_span(face.axis, *sorted((line, edge)))
        figures.append(Figure(face.axis, min(line, edge), max(line, edge), "size", face.side if part.datum[face.axis] == face.side else 0))
    third = next(a for a in AXES if a not in (faces[0].axis, faces[1].axis))
    return (Feature(context.id, "notch", Face(third, 1), cuts=(box_prism(box, third),), figures=tuple(figures), through=True, span=context.tell.span),)


KIND = ShapeKind(
    name="notch",
    doc="A corner taken out through the part; the first side is measured from the first face.",
    params=(Param("size", "size", "two sides", required=True, lead=True), Param("at", "faces", "the two faces of the corner", required=True)),
    apply=apply,
    example='notch 3" x 3 1/2" at front, bottom',
)
