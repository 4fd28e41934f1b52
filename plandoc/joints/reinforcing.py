"""What holds a corner beside its glue: screws or dowels through one part of a mitre or of a dovetail into the other, and a dowel
along the fingers of a box joint.

All square to a face, so that a drill stands square on it. A mitre is fastened through the outer face of one part into
the other lengthwise, a dovetail through its tails or its pins into the end grain below them, a box joint down through all
fingers (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Face, Point3
from plandoc.joints import arguments as a
from plandoc.joints import channel as c
from plandoc.joints.corner import Corner
from plandoc.joints.dowel import COUNT
from plandoc.joints.fastening import NONE, Driven, Fastened, drive, driven, holes, no_room, row
from plandoc.model.entities import Fastening, Feature, HardwareItem
from plandoc.model.kinds import Frame, JointContext, Param

THROUGH = Param("from", "faces", "the outer face that they go through; left out, that of the first part", default=(), owners=("with",))
MITRED = (c.WITH, COUNT, c.EVERY, c.ENDS, THROUGH, c.PLUGGED)
TAILED = (
    c.WITH, Param("count", "count", "how many of the tails or pins get one, evenly; left out, every one", owners=("with",)), THROUGH, c.PLUGGED,
)  # fmt: skip
FINGERED = (
    Param("with", "item", "a dowel along the corner, through all its fingers"),
    Param("from", "faces", "the edge, or both edges, at which a dowel goes in; left out, the reference edge", default=(), owners=("with",)),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Entered:
    """A screw or dowel, the outer face of the corner that it goes through, the part with that face and the other part."""

    item: HardwareItem
    out: Face
    first: Frame
    second: Frame


def through_mitre(context: JointContext, found: Corner) -> Fastened | None:
    """Through the outer face of one part, in the middle of the other's thickness, into the other; None after a report.
    A row along a case; in a frame one in the middle, or a row over the width."""
    entered = _entered(context, found)
    if not isinstance(entered, Entered):
        return entered
    item, out, first, second = entered.item, entered.out, entered.first, entered.second
    beside = found.into if out == found.out else found.out  # towards the outer face of the second part
    run, across = (beside.axis, found.row) if found.flat else (found.row, beside.axis)
    rise = found.room.size(out.axis) / found.room.size(beside.axis)
    middle = (found.room.lo[across] + found.room.hi[across]) / 2
    pin = driven(context, item, Fraction(0), first)  # how much wood stands in its way depends on its place
    if pin is None:
        return None
    places = row(context, item.kind, pin.wide, found.room.span(run), first.datum[run], 1 if found.flat else 0)
    if places is None:
        return None
    centres = [_point(out.axis, first.box.at(out), run, place, across, middle) for place in places]
    for centre in centres:
        away = abs(found.room.at(beside) - centre[beside.axis])
        if not _stands(context, pin, first, second, away, rise):
            return None
    # Both are cut aslant: the one hole ends, the other begins in the air beyond the mitre, and is as deep as the fastener is long.
    return drive(context, pin, first, second, out, centres, found.room.at(out.opposite), first.box.at(out))


def _stands(context: JointContext, pin: Driven, first: Frame, second: Frame, away: Fraction, rise: Fraction) -> bool:
    """Whether a fastener so far from the outer corner (mm) comes through the first part, and its head does not; reported."""
    tell, wood = context.tell, away * rise
    narrow = wood - rise * (pin.wide if pin.sunk.plug else pin.bore) / 2  # where the mitre is nearest
    if pin.sunk.wide and (away <= pin.wide / 2 or narrow <= pin.sunk.deep):
        tell.say(
            "PD378", f"the head of `{pin.item.name}` comes out at the mitre of `{first.path}`",
            notes=(f"it is {tell.figure(pin.wide)} wide and sunk {tell.figure(pin.sunk.deep)}, there the wood is {tell.figure(max(narrow, Fraction(0)))} thick",),
            mend="take a thinner screw, or one further from the outer corner",
        )  # fmt: skip
        return False
    if pin.long + pin.start <= wood + rise * pin.bore / 2:
        tell.say(
            "PD324", f"`{pin.item.name}` does not reach `{second.path}`",
            notes=(f"it is {tell.figure(pin.long)} long, {tell.figure(wood - pin.start)} of `{first.path}` stand in its way",), mend=f"take one of {tell.below(wood * 2)} or more",
        )  # fmt: skip
        return False
    return True


def through_dovetail(context: JointContext, found: Corner, tails: Sequence[tuple[Fraction, Fraction]], pins: Sequence[tuple[Fraction, Fraction]]) -> Fastened | None:
    """Through the middle of each tail (or pin) into the end grain below it; None after a report. tails and pins: their spans
    along the row, at their narrow side."""
    entered = _entered(context, found)
    if not isinstance(entered, Entered):
        return entered
    item, out, first, second = entered.item, entered.out, entered.first, entered.second
    tell, bottom = context.tell, found.room.at(out.opposite)
    tailed = (out == found.out) != bool(context.args.get("tailed"))
    word, pieces = ("tail", tails) if tailed else ("pin", pins)
    pin = driven(context, item, abs(first.box.at(out) - bottom), first)
    if pin is None:
        return None
    number = a.count(context, "count", len(pieces))
    if number > len(pieces):
        tell.say("PD376", f"there are no {number} {word}s for a {item.kind} each", notes=(f"`{first.path}` has {len(pieces)}",), mend="leave `count` out: every one gets one")
        return None
    last = len(pieces) - 1
    chosen = [pieces[round(Fraction(last * i, number - 1))] for i in range(number)] if number > 1 else [pieces[last // 2]]
    narrow = min(hi - lo for lo, hi in chosen)
    if pin.wide >= narrow:
        no_room(context, item.kind, f"a {word} of `{first.path}` is {tell.figure(narrow)} wide at its narrow side, each takes {tell.figure(pin.wide)}")
        return None
    across = 3 - out.axis - found.row
    middle = (found.room.lo[across] + found.room.hi[across]) / 2
    centres = [_point(out.axis, first.box.at(out), found.row, (lo + hi) / 2, across, middle) for lo, hi in chosen]
    return drive(context, pin, first, second, out, centres, bottom, bottom)


def along_fingers(context: JointContext, found: Corner, edges: Sequence[Fraction]) -> Fastened | None:
    """A dowel down the middle of the corner, from one edge or from both; None after a report. edges: where the fingers begin
    and end along the row."""
    item = a.item(context, "with")
    if item is None:
        return NONE
    tell, long, diameter = context.tell, item.size("long") or Fraction(0), item.size("diameter")
    if item.kind != "dowel" or diameter is None:
        tell.say("PD323", f"`{item.name}` is no dowel", notes=(f"it is a {item.kind}; a box joint is pinned along its fingers",), mend='hardware rod dowel 1/4" x 4", and here: with rod')
        return None
    low, high = Face(found.row, -1), Face(found.row, 1)
    asked = _faces(context) or (Face(found.row, context.a.datum[found.row]),)
    if any(face.axis != found.row for face in asked) or len(set(asked)) != len(asked):
        tell.say("PD371", "a dowel goes into a box joint at an edge, along the fingers", notes=(f"that is at {tell.face(low)} or at {tell.face(high)}",), mend=f"from {tell.face(low)}, or from {tell.face(low)}, {tell.face(high)}")
        return None
    thin = min(found.room.size(axis) for axis in AXES if axis != found.row)
    outside = {face: max((p.shoulder.at(face) for p in (context.a, context.b)), key=lambda v: v * face.side) for face in asked}
    if diameter >= thin:
        no_room(context, "dowel", f"the fingers are {tell.figure(thin)} thick, the dowel is {tell.figure(diameter)}")
        return None
    if len(asked) > 1 and 2 * long > abs(outside[low] - outside[high]):
        no_room(context, "dowel", f"two of {tell.figure(long)} from both edges, the corner is {tell.figure(abs(outside[low] - outside[high]))} wide")
        return None
    centre = [(found.room.lo[axis] + found.room.hi[axis]) / 2 for axis in AXES]
    made: list[Fastening] = []
    on_a: list[Feature] = []
    on_b: list[Feature] = []
    for face in asked:
        inner = edges[1] if face.side < 0 else edges[-2]
        tip = outside[face] - face.side * long
        if (inner - tip) * face.side <= 0:
            tell.say("PD324", f"`{item.name}` ends in the first finger", notes=(f"it is {tell.figure(long)} long, the second finger begins {tell.figure(abs(outside[face] - inner))} deep",), mend=f"take one of {tell.figure(abs(outside[face] - edges[-1 if face.side < 0 else 0]))}")
            return None
        point = list(centre)
        point[face.axis] = outside[face]
        where: Point3 = (point[0], point[1], point[2])
        made.append(Fastening("dowel", item.name, diameter, long, (where,), face.axis, tell.span))
        for part, mate, side in ((context.a, context.b, on_a), (context.b, context.a, on_b)):
            start, far = part.shoulder.at(face), part.shoulder.at(face.opposite)
            through = (far - tip) * face.side >= 0
            word = "dowel" if len(asked) == 1 else f"dowel_{face.name}_"
            side += holes(context, part, mate.path, word, face, [where], diameter, start, far if through else tip, "", through, kind="dowel hole")
    return tuple(made), tuple(on_a), tuple(on_b)


def _entered(context: JointContext, found: Corner) -> Entered | Fastened | None:
    """What the plan holds the corner with; nothing where it names none, None after a report."""
    item = a.item(context, "with")
    if item is None:
        return NONE
    asked = _faces(context)
    if len(asked) > 1 or (asked and asked[0] not in (found.out, found.into)):
        names = f"the {context.tell.face(found.out)} of `{context.a.path}`, or the {context.tell.face(found.into)} of `{context.b.path}`"
        context.tell.say("PD371", "they go through one outer face of the corner", notes=(f"that is {names}",), mend=f"from {context.tell.face(found.out)}, or from {context.tell.face(found.into)}")
        return None
    out = asked[0] if asked else found.out
    first, second = (context.a, context.b) if out == found.out else (context.b, context.a)
    return Entered(item, out, first, second)


def _faces(context: JointContext) -> tuple[Face, ...]:
    value = context.args.get("from")
    return tuple(v for v in value if isinstance(v, Face)) if isinstance(value, tuple) else ()


def _point(axis: int, outside: Fraction, run: int, place: Fraction, across: int, middle: Fraction) -> Point3:
    point = {axis: outside, run: place, across: middle}
    return point[0], point[1], point[2]
