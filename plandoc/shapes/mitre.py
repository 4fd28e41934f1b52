"""Mitre: an end sawn at an angle as seen on the broad face, the blade upright."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word
from plandoc.shapes.angles import angle_text
from plandoc.shapes.ends import AT, sawn


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The wedge off the end, through the thickness."""
    degrees, end, point, part = context.args["angle"], context.args["at"], context.args["point"], context.part
    assert isinstance(degrees, Fraction) and isinstance(end, Face) and isinstance(point, Face)
    if part.thickness_axis in (end.axis, point.axis):
        context.tell.say("PD332", "a mitre is seen on the broad face: its end and its long point lie at edges", mend=f"a slope through the thickness is a bevel: bevel {angle_text(degrees)} at {end.name} point {point.name}")
        return ()
    return sawn(context, "mitre", f"{face_word(end)} end {angle_text(degrees)}")


KIND = ShapeKind(
    name="mitre",
    doc="An end sawn at an angle on the broad face: the angle that the mitre gauge is set to, 0 being square. The part keeps its length at the long point.",
    params=(Param("angle", "angle", "angle from square", required=True, lead=True), AT, Param("point", "face", "the edge at which the long point stands", required=True)),
    apply=apply,
    example="mitre 30° at top point front",
)
