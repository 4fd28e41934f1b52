"""Bevel: an edge or an end sawn with the blade tilted, sloping through the thickness."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word
from plandoc.shapes.angles import angle_text
from plandoc.shapes.ends import AT, sawn


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The wedge off the edge or end, along the whole of it."""
    degrees, end, point, part = context.args["angle"], context.args["at"], context.args["point"], context.part
    assert isinstance(degrees, Fraction) and isinstance(end, Face) and isinstance(point, Face)
    if end.axis == part.thickness_axis or point.axis != part.thickness_axis:
        broad = Face(part.thickness_axis, 1), Face(part.thickness_axis, -1)
        context.tell.say("PD332", "a bevel slopes through the thickness: its long point lies at a broad face", mend=f"point {broad[0].name} or point {broad[1].name}; an angle on the broad face is a mitre")
        return ()
    return sawn(context, "bevel", f"{face_word(end)} {angle_text(degrees)}, long point {face_word(point)}")


KIND = ShapeKind(
    name="bevel",
    doc="An edge or an end that slopes through the thickness: the tilt of the blade, 0 being square. The part keeps its size at the long point.",
    params=(Param("angle", "angle", "angle from square", required=True, lead=True), AT, Param("point", "face", "the broad face at which the long point stands", required=True)),
    apply=apply,
    example="bevel 15° at front point right",
)
