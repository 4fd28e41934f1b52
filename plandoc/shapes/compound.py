"""Compound cut: an end at an angle on the broad face and through the thickness at once."""

from __future__ import annotations

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word
from plandoc.shapes.angles import angle_text, blade_tilt
from plandoc.shapes.ends import AT, compound, off_end


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """One plane that slants both ways, and how the saw is set for it."""
    angles, end, points, part = context.args["angles"], context.args["at"], context.args["point"], context.part
    assert isinstance(angles, tuple) and isinstance(end, Face) and isinstance(points, tuple)
    third = part.thickness_axis
    if end.axis == third:
        context.tell.say("PD332", f"`{part.path}` has a face at its {end.name}, a compound cut goes off an end or edge")
        return ()
    across = 3 - end.axis - third
    if len(points) != 2 or {p.axis for p in points} != {across, third}:
        context.tell.say("PD298", "the long point of a compound cut lies at an edge and at a broad face", mend=f"point {Face(across, 1).name}, {Face(third, 1).name}")
        return ()
    edge, broad = sorted(points, key=lambda p: p.axis == third)
    if min(angles) <= 0:
        context.tell.say("PD298", "a compound cut has two angles greater than nothing", mend="with one angle alone it is a mitre or a bevel")
        return ()
    chunk = compound(context, end, (edge, broad), (angles[0], angles[1]))
    if chunk is None:
        return ()
    tilt = blade_tilt(angles[0], angles[1])
    words = f"gauge {angle_text(angles[0])}, tilt {angle_text(tilt)}, long point {face_word(edge)} {face_word(broad)}"
    note = f"{face_word(end)} end, {angle_text(angles[0])} on the face, {angle_text(angles[1])} on the edge"
    return (off_end(context, "compound cut", chunk, broad, end, part.box.span(across), angles[0], words, note),)


KIND = ShapeKind(
    name="compound",
    doc="An end sawn at two angles at once: first the angle from square on the broad face (the setting of the mitre gauge), then the one on the edge. The drawing gives the tilt of the blade, tan tilt = tan edge angle x cos face angle. The part keeps its length at the long point.",
    params=(
        Param("angles", "angles", "angle on the face x angle on the edge", required=True, lead=True),
        AT,
        Param("point", "faces", "the edge and the broad face at which the long point stands", required=True),
    ),
    apply=apply,
    example="compound 30° x 10° at top point front, right",
    source="elementary geometry",
)
