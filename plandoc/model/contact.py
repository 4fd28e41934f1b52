"""Which face of A meets B, and by how much two boxes miss each other."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, AXIS_NAMES, UP, Box, Face
from plandoc.model.kinds import Contact, Frame, Teller


def contacts(a: Box, b: Box) -> tuple[Contact, ...]:
    """All faces of A that touch the opposite face of B over some area, largest area first."""
    found: list[tuple[Fraction, Contact]] = []
    for axis in AXES:
        others = [x for x in AXES if x != axis]
        common = [(max(a.lo[x], b.lo[x]), min(a.hi[x], b.hi[x])) for x in others]
        if any(lo >= hi for lo, hi in common):
            continue
        size = (common[0][1] - common[0][0]) * (common[1][1] - common[1][0])
        for side in (-1, 1):
            face = Face(axis, side)
            plane = a.at(face)
            if plane != b.at(face.opposite):
                continue
            area = a
            for x, (lo, hi) in zip(others, common, strict=True):
                area = area.with_span(x, lo, hi)
            found.append((size, Contact(face, plane, area.with_span(axis, plane, plane))))
    found.sort(key=lambda item: (-item[0], item[1].entry))
    return tuple(contact for _, contact in found)


def find_contact(a: Frame, b: Frame, tell: Teller) -> Contact | None:
    """The contact of two shoulder boxes; where there is none, says how far they are from one."""
    found = contacts(a.shoulder, b.shoulder)
    if found:
        return found[0]
    overlap = a.shoulder.common(b.shoulder)
    if overlap is not None:
        axis = min(AXES, key=lambda x: (overlap.size(x), x))
        tell.say(
            "PD311",
            f"`{a.path}` stands {tell.figure(overlap.size(axis))} inside `{b.path}`, so no face meets a face",
            notes=(f"they share {_box(overlap, tell)}",),
            mend=f"give the extent of `{a.path}` between shoulders; the joint adds what goes into `{b.path}`",
        )
        return None
    gaps = [max(a.shoulder.lo[x] - b.shoulder.hi[x], b.shoulder.lo[x] - a.shoulder.hi[x]) for x in AXES]
    open_axes = [x for x in AXES if gaps[x] > 0]
    if open_axes:
        axis = max(open_axes, key=lambda x: (gaps[x], -x))
        near = Face(axis, 1 if a.shoulder.lo[axis] >= b.shoulder.hi[axis] else -1)
        words = ", ".join(f"{tell.figure(gaps[x])} in the direction {tell.way(x)}" for x in open_axes)
        tell.say("PD310", f"`{a.path}` does not touch `{b.path}`", notes=(f"between them lie {words}",), mend=f"let a face of `{a.path}` lie on a face of `{b.path}`: {tell.way(axis)} between ... and ..., or an end at {b.path}.{tell.face(near)}")
    else:
        tell.say("PD310", f"`{a.path}` and `{b.path}` meet only at an edge or a corner", notes=("no face lies on a face",))
    return None


def find_crossing(a: Frame, b: Frame, tell: Teller) -> Contact | None:
    """The room that two crossing parts share; where they share none, says how far they are from it."""
    room = a.shoulder.common(b.shoulder)
    if room is None:
        gaps = [max(a.shoulder.lo[x] - b.shoulder.hi[x], b.shoulder.lo[x] - a.shoulder.hi[x]) for x in AXES]
        axis = max(AXES, key=lambda x: (gaps[x], -x))
        notes = (f"between them lie {tell.figure(gaps[axis])} in the direction {tell.way(axis)}",) if gaps[axis] > 0 else ("they only touch",)
        tell.say("PD310", f"`{a.path}` and `{b.path}` do not cross", notes=notes, mend="let both run through the place where they cross; the joint takes half from each")
        return None
    beyond = [_runs_on(a, room, x) + _runs_on(b, room, x) for x in AXES]
    entry = Face(min(AXES, key=lambda x: (beyond[x] > 0, x != UP, -beyond[x], x)), -1)
    return Contact(entry, room.at(entry.opposite), room)


def _runs_on(part: Frame, room: Box, axis: int) -> Fraction:
    """How far (mm) a part runs on beyond the room along an axis."""
    return part.shoulder.size(axis) - room.size(axis)


def _box(box: Box, tell: Teller) -> str:
    return ", ".join(f"{AXIS_NAMES[x]} {tell.figure(box.lo[x])} to {tell.figure(box.hi[x])}" for x in AXES)
