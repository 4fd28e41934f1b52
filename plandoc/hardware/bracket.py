"""Corner bracket: two legs in the inner corner of two parts that meet."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Face
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param

THICK = Fraction(2)
"""Thickness of the legs (mm; from memory)."""


def fit(context: FitContext) -> FitEffect | None:
    """One leg on the `facing` face of the first part, the other on the part that it meets, screws in both."""
    pairs = d.in_pairs(context, "the part that `facing` speaks of, then the one that it meets")
    if pairs is None:
        return None
    work, total = d.Work(context), 0
    face, item = context.args["facing"], context.item
    assert isinstance(face, Face)
    legs = (item.size("legs_1") or Fraction(0), item.size("legs_2") or Fraction(0))
    broad, thick = item.size("broad") or Fraction(0), THICK
    for first, second in pairs:
        meeting = _meeting(context, first, second, face)
        if meeting is None:
            return None
        run = 3 - face.axis - meeting.axis
        corner, plane = second.shoulder.at(meeting), first.shoulder.at(face)
        at = d.stations(context, first, run, 1, broad)
        if at is None or not _on_both(context, first, second, run, at):
            return None
        for part, side, start, way in ((first, face, corner, meeting), (second, meeting, plane, face)):
            holes = [value for name, value in item.sizes if name.startswith("holes_")]
            spots = [d.point(side.axis, part.shoulder.at(side), [(way.axis, start + way.side * hole), (run, one)]) for one in at for hole in holes]
            if spots:
                work.pilots(part, side, spots)
        for one in at:
            work.room((face.axis, plane, plane + face.side * thick), (meeting.axis, corner, corner + meeting.side * legs[0]), (run, one - broad / 2, one + broad / 2))
            work.room((meeting.axis, corner, corner + meeting.side * thick), (face.axis, plane, plane + face.side * legs[1]), (run, one - broad / 2, one + broad / 2))
        total += len(at)
    return work.effect(total)


def _meeting(context: FitContext, first: Frame, second: Frame, face: Face) -> Face | None:
    """The face of the second part on which the first ends, square to `facing`, where both make an inner corner: they lie
    beside each other along it, and the second stands out over that face of the first. None after PD318."""
    plane = first.shoulder.at(face)
    beyond = (second.shoulder.at(face) - plane) * face.side > 0 and (plane - second.shoulder.at(face.opposite)) * face.side >= 0
    for axis in AXES if beyond else ():
        run = 3 - face.axis - axis
        if axis == face.axis or max(first.shoulder.lo[run], second.shoulder.lo[run]) >= min(first.shoulder.hi[run], second.shoulder.hi[run]):
            continue
        for side in (-1, 1):
            if second.shoulder.at(Face(axis, side)) == first.shoulder.at(Face(axis, -side)):
                return Face(axis, side)
    context.tell.say("PD318", f"`{first.path}` does not end on `{second.path}` beside its {face.name} face: there is no inner corner for `{context.item.name}`", mend="name the part that `facing` speaks of first, then the one that it meets, which stands out over that face")
    return None


def _on_both(context: FitContext, first: Frame, second: Frame, run: int, at: Sequence[Fraction]) -> bool:
    """Whether every bracket lies on the second part too; False after PD330."""
    lo, hi = second.shoulder.span(run)
    beside = next((one for one in at if not lo <= one <= hi), None)
    if beside is None:
        return True
    tell, over = context.tell, max(lo - (beside or 0), (beside or 0) - hi)
    tell.say("PD330", f"a place of `{context.item.name}` lies beside `{second.path}`", notes=(f"it lies {tell.figure(over)} beyond its end",), mend=f"place it where `{first.path}` meets `{second.path}`")
    return False


KIND = HardwareKind(
    name="bracket",
    doc="A corner bracket with two legs. The `facing` face of the first part and the face that it meets form the corner.",
    params=(
        Param("legs", "size", "length of both legs", required=True, above=True),
        Param("broad", "length", "width of the legs", required=True, above=True),
        Param("holes", "lengths", "screw holes of each leg, measured from the corner", above=True),
        *c.SCREWED,
        c.LOAD,
        c.PRICE,
    ),
    fit_params=(
        Param("facing", "face", "face of the first part on which one leg lies", required=True),
        Param("at", "lengths", "places along the corner, measured from the left, front or bottom end of the first part"),
        d.FROM,
        d.NUMBER,
        d.ENDS,
    ),
    fit=fit,
    example='hardware angle bracket "Corner bracket, 2 in" legs 2" x 2" broad 5/8" holes 5/8", 1 5/8" screws 4',
    source="legs 2 mm thick: from memory; other sizes are the maker's",
)
