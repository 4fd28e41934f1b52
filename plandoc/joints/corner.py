"""What mitre, box joint and dovetail share: the corner at which the end of A meets the inner face of B.

Three world axes: `into` B, the direction in which A grows; `out`, across A, at whose one side B's end is flush with A;
`row`, along which both are wide. The room of the corner is as long as B is thick, as high as A is thick, as wide as the
narrower of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Loop, Point2, Prism, box_prism, other_axes
from plandoc.model.entities import Fastening, Feature, Joint
from plandoc.model.kinds import Frame, JointContext

ZERO = Fraction(0)
MOST = 100
"""More pins or tails at one corner are a slip."""


@dataclass(frozen=True, slots=True)
class Corner:
    """into: the face of A that leads into B; out: the outer side of A, at which B's end is flush; row: the axis along the
    joint; room: the common corner. Lies in the plane of the broad faces (a frame) where `flat`."""

    into: Face
    out: Face
    row: int
    room: Box
    flat: bool

    @property
    def far(self) -> Fraction:
        """Coordinate of B's outer face (mm)."""
        return self.room.at(self.into)

    @property
    def near(self) -> Fraction:
        """Coordinate of B's inner face, A's shoulder (mm)."""
        return self.room.at(self.into.opposite)

    @property
    def rim(self) -> Fraction:
        """Coordinate of A's outer face, B's end (mm)."""
        return self.room.at(self.out)

    @property
    def inner(self) -> Fraction:
        """Coordinate of A's inner face, B's shoulder (mm)."""
        return self.room.at(self.out.opposite)


def corner(context: JointContext, flat_too: bool = False, lap: Fraction = ZERO) -> Corner | None:
    """The corner of two parts; None after a report. flat_too: it may lie in the plane of a frame. lap: wood of B that A
    does not reach (mm)."""
    a, b, contact, tell = context.a, context.b, context.contact, context.tell
    into = contact.entry
    flat = flat_too and a.thickness_axis == b.thickness_axis != into.axis
    axis = 3 - into.axis - a.thickness_axis if flat else a.thickness_axis
    if axis == into.axis or (not flat and b.thickness_axis == axis):
        tell.say(
            "PD472",
            f"`{a.path}` and `{b.path}` make no corner of this kind",
            notes=(f"`{a.path}` is {tell.figure(a.shoulder.size(a.thickness_axis))} thick {tell.way(a.thickness_axis)}, `{b.path}` {tell.figure(b.shoulder.size(b.thickness_axis))} {tell.way(b.thickness_axis)}; they meet {tell.way(into.axis)}",),
            mend="let the end of the first lie against the inner face of the second, at its end" + (", or both lie flat in one frame" if flat_too else ""),
        )
        return None
    sides = [Face(axis, s) for s in (-1, 1) if a.shoulder.at(Face(axis, s)) == b.shoulder.at(Face(axis, s))]
    if len(sides) != 1:
        near = min((Face(axis, s) for s in (-1, 1)), key=lambda f: (abs(a.shoulder.at(f) - b.shoulder.at(f)), f))
        off = abs(a.shoulder.at(near) - b.shoulder.at(near))
        note = f"`{b.path}` is no longer than `{a.path}` is thick" if sides else f"they miss each other by {tell.figure(off)} at the {tell.face(near)}"
        tell.say("PD472", f"no end of `{b.path}` is flush with a face of `{a.path}`", notes=(note,), mend=f"{tell.way(axis)} {'from' if tell.seen(near).side < 0 else 'to'} {b.path}.{tell.face(near)} for `{a.path}`")
        return None
    row = 3 - into.axis - axis
    end = b.shoulder.at(into) - into.side * lap
    lo, hi = max(a.shoulder.lo[row], b.shoulder.lo[row]), min(a.shoulder.hi[row], b.shoulder.hi[row])
    room = a.shoulder.with_span(into.axis, *sorted((contact.plane, end))).with_span(row, lo, hi)
    return Corner(into, sides[0], row, room, flat)


def tongue(context: JointContext, found: Corner) -> Feature:
    """A's growth, as long as B is thick."""
    a, b = context.a, context.b
    return Feature(f"{a.path}.tongue[{b.path}]", "tongue", None, adds=(box_prism(found.room),), joint=context.id, mate=b.path, span=context.tell.span)


def record(context: JointContext, found: Corner, ways: Sequence[Face], entry: Face, fit: Fraction = ZERO) -> Joint:
    """The joint; without a straight channel, so no section figures one."""
    zero = ZERO
    across = 3 - entry.axis - found.row
    return Joint(context.id, context.kind, context.a.path, context.b.path, entry, entry.opposite, zero, zero, zero, fit, zero, found.row, across, found.room, span=context.tell.span, ways=tuple(ways))


def fastened(joint: Joint, fasteners: tuple[Fastening, ...]) -> Joint:
    """The joint with what holds it."""
    return replace(joint, fasteners=fasteners)


def loop(axis: int, lo: Fraction, hi: Fraction, points: Sequence[dict[int, Fraction]]) -> Prism:
    """The prism along `axis` over corners given by world axis, turned counter-clockwise."""
    first, second = other_axes(axis)
    flat: list[Point2] = [(p[first], p[second]) for p in points]
    area = sum((p[0] * q[1] - q[0] * p[1] for p, q in zip(flat, [*flat[1:], flat[0]], strict=True)), ZERO)
    return Prism(axis, lo, hi, Loop(tuple(flat if area > 0 else flat[::-1])))


def block(room: Box, row: int, lo: Fraction, hi: Fraction) -> Prism:
    """The piece of the room from lo to hi along the row."""
    return box_prism(room.with_span(row, lo, hi))


def measure(args: object, name: str) -> Fraction | None:
    """A length that the plan gives, None where it does not."""
    value = args.get(name) if hasattr(args, "get") else None
    return value if isinstance(value, Fraction) else None


def from_datum(frame: Frame, row: int) -> int:
    """+1 where distances along the row count upwards from the reference face, else -1."""
    return -frame.datum[row]


__all__ = ["Corner", "block", "corner", "fastened", "from_datum", "loop", "measure", "record", "tongue"]
