"""Box joint: straight pins on the end of each part stand in the sockets of the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Box
from plandoc.joints import corner as k
from plandoc.joints import reinforcing
from plandoc.joints.channel import DRY
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param

PINS = Param("pins", "length", "width of a pin", required=True)
EVEN = Param("even", "flag", "the width of the pins is changed so that all are alike over the width of the board", default=False)
SOCKET = Param("socket", "flag", "the first part begins with a socket at the reference edge, not with a pin", default=False)
FIT = Param("fit", "length", "what a socket is wider than its pin; the second part gives it", default=Fraction(0))


@dataclass(frozen=True, slots=True)
class Pins:
    """The row along its axis, low to high (mm), and whether the first of them, from the reference edge, belongs to A."""

    edges: tuple[Fraction, ...]
    starts: bool
    upward: bool
    wide: Fraction

    def of_a(self, number: int) -> bool:
        """Whether the piece between edges number and number + 1 belongs to A."""
        count = len(self.edges) - 1
        place = number if self.upward else count - 1 - number
        return (place % 2 == 0) == self.starts


def pins(context: JointContext, found: k.Corner) -> Pins | None:
    """The row of pins; None after a report."""
    lo, hi = found.room.span(found.row)
    wide, tell = k.measure(context.args, "pins") or k.ZERO, context.tell
    room = hi - lo
    if wide <= 0 or 2 * wide > room:
        tell.say("PD473", f"pins {tell.figure(wide)} wide do not make a row", notes=(f"the corner is {tell.figure(room)} wide, it must hold two at least",), mend=f"pins {tell.below(room / 5)}")
        return None
    if context.args.get("even"):
        count = max(2, round(room / wide))
        wide = room / count
    count = -(-room // wide)
    if count > k.MOST:
        tell.say("PD473", f"{count} pins are too many for one corner", notes=(f"the limit is {k.MOST}",), mend=f"pins {tell.below(room / 5)}")
        return None
    upward = k.from_datum(context.a, found.row) > 0
    steps = [min(i * wide, room) for i in range(count + 1)]
    edges = tuple(lo + s for s in steps) if upward else tuple(hi - s for s in reversed(steps))
    return Pins(edges, not context.args.get("socket"), upward, wide)


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by the thickness of B."""
    found = k.corner(context)
    return () if found is None else (found.room,)


def cut(context: JointContext) -> JointEffect | None:
    """Sockets in both ends."""
    found = k.corner(context)
    if found is None:
        return None
    row = pins(context, found)
    if row is None:
        return None
    _warn(context, found, row)
    fit = k.measure(context.args, "fit") or k.ZERO
    if fit >= row.wide:
        context.tell.say("PD473", f"a fit of {context.tell.figure(fit)} leaves nothing of pins {context.tell.figure(row.wide)} wide", mend=f"fit {context.tell.below(row.wide / 100)}")
        return None
    on_a = tuple(_sockets(context, context.a, found, row, False, k.ZERO))
    on_b = tuple(_sockets(context, context.b, found, row, True, fit))
    pinned = reinforcing.along_fingers(context, found, row.edges)
    if pinned is None:
        return None
    fasteners, holes_a, holes_b = pinned
    joint = k.fastened(k.record(context, found, (found.into.opposite, found.out), found.into, fit), fasteners)
    return JointEffect(joint, (k.tongue(context, found), *on_a, *holes_a), (*on_b, *holes_b))


def _sockets(context: JointContext, part: Frame, found: k.Corner, row: Pins, second: bool, fit: Fraction) -> Iterator[Feature]:
    """The sockets of one part. second: it is B, which gives the fit."""
    end, axis = (found.out, found.row) if second else (found.into, found.row)
    mate = context.a.path if second else context.b.path
    pieces = [(lo, hi) for i, (lo, hi) in enumerate(zip(row.edges, row.edges[1:], strict=False)) if row.of_a(i) == second]
    for number, (lo, hi) in enumerate(pieces if row.upward else reversed(pieces), 1):
        lo, hi = (lo if lo == row.edges[0] else lo - fit / 2), (hi if hi == row.edges[-1] else hi + fit / 2)
        box = found.room.with_span(axis, lo, hi)
        inside = part.shoulder.lo[axis] < lo and hi < part.shoulder.hi[axis]
        place = part.to_datum(axis, lo, hi) if inside else None
        figures = [Figure(axis, lo, hi, "size"), Figure(end.axis, *box.span(end.axis), "size")]
        group = f"{context.id}.{'b' if second else 'a'}" if inside else ""
        yield Feature(
            f"{part.path}.socket{number}[{mate}]", "socket", end, cuts=(k.block(found.room, axis, lo, hi),), figures=(*([place] if place is not None else []), *figures),
            joint=context.id, mate=mate, row=group, span=context.tell.span,
        )  # fmt: skip


def _warn(context: JointContext, found: k.Corner, row: Pins) -> None:
    """The last pin is told where it is not as wide as the others; pins much wider than the board is thick hold little."""
    tell, room = context.tell, found.room.size(found.row)
    last = row.edges[-1] - row.edges[-2] if row.upward else row.edges[1] - row.edges[0]
    if last != row.wide:
        count = max(2, round(room / row.wide))
        tell.say(
            "PD476",
            f"the last pin is {tell.figure(last)} wide, the others {tell.figure(row.wide)}",
            notes=(f"the corner is {tell.figure(room)} wide: {count} pins of {tell.figure(room / count)} fill it",),
            mend="add `even`, or change the width of the boards",
        )
    thick = max(found.room.size(found.into.axis), found.room.size(found.out.axis))
    if row.wide > 2 * thick:
        tell.say("PD477", f"pins {tell.figure(row.wide)} wide are coarse in wood {tell.figure(thick)} thick", notes=("common practice: from half to once the thickness; many glue faces make the joint strong",), mend=f"pins {tell.below(thick)}")


KIND = JointKind(
    name="box",
    doc="A box joint: straight pins on the end of each part stand in sockets of the other; a dowel may pin them all.",
    params=(PINS, EVEN, SOCKET, FIT, *reinforcing.FINGERED, DRY),
    extend=extend,
    cut=cut,
    example='hardware rod dowel 1/4" x 10"\njoint box top into left_side pins 3/8" even\njoint box top into right_side pins 3/8" even with rod',
)
