"""Dowels and screws through a joint: evenly spaced along its run, through B into A."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import AXES, Body, Box, Disc, Face, Frustum, Point3, Prism, other_axes
from plandoc.joints import arguments as a
from plandoc.model.entities import Fastening, Feature, HardwareItem, Joint
from plandoc.model.kinds import Frame, JointContext, JointEffect
from plandoc.quantity import INCH, diameter_text, dual_diameter, dual_text
from plandoc.quantity.shoptext import round_to
from plandoc.tables import HEAD_ANGLE, head_of, is_raised_head, plugs, shank_and_lead

USUAL = Fraction(100)  # mm between fasteners at most, where the plan is silent (common practice)
FAR = 3 * INCH  # more wood than a fastener goes through
HALF_HEAD = {"inch": Fraction(8693, 10000), "mm": Fraction(1)}  # tangents of half of HEAD_ANGLE, to four figures

Fastened = tuple[tuple[Fastening, ...], tuple[Feature, ...], tuple[Feature, ...]]
"""Fasteners, the holes in A and the holes in B."""
NONE: Fastened = ((), (), ())


@dataclass(frozen=True, slots=True)
class Sunk:
    """How a head is let in below the face: a cone as wide as the head, or a counterbore `deep` for a plug (mm)."""

    wide: Fraction = Fraction(0)
    deep: Fraction = Fraction(0)
    note: str = ""
    plug: bool = False


FLUSH = Sunk()  # nothing is let in


@dataclass(frozen=True, slots=True)
class Driven:
    """A dowel or a screw on its way through B into A (mm). bore: its hole in B; lead: that in A; start: how far below B's
    face it begins."""

    item: HardwareItem
    bore: Fraction
    lead: Fraction
    long: Fraction
    sunk: Sunk

    @property
    def start(self) -> Fraction:
        """A head below a plug begins at the bottom of the counterbore."""
        return self.sunk.deep if self.sunk.plug else Fraction(0)

    @property
    def wide(self) -> Fraction:
        """The room that it takes in B, its head included."""
        return max(self.bore, self.sunk.wide)


def drill(diameter: Fraction, inches: bool, clear: bool = False) -> Fraction:
    """The nearest drill that a shop has: steps of 1/64 in, or of 0.5 mm (mm). clear: the shank must pass, so never a
    smaller one."""
    step = INCH / 64 if inches else Fraction(1, 2)
    if clear:
        return -(-diameter // step) * step
    return max(step, round_to(diameter, step))


def long_axis(area: Box, entry_axis: int) -> tuple[int, int]:
    """The longer and the shorter side of where two parts meet."""
    first, second = (x for x in AXES if x != entry_axis)
    return (first, second) if area.size(first) >= area.size(second) else (second, first)


# --- rows ----------------------------------------------------------------------------------------------------------


def spaced(lo: Fraction, hi: Fraction, every: Fraction, ends: Fraction) -> tuple[Fraction, ...]:
    """Places from lo + ends to hi - ends, equal steps of at most `every` (mm); one in the middle where there is no
    room for two."""
    first, last = lo + ends, hi - ends
    if last <= first:
        return ((lo + hi) / 2,)
    count = -((first - last) // every)
    return tuple(first + (last - first) * i / count for i in range(count + 1))


def row(context: a.Told, word: str, wide: Fraction, span: tuple[Fraction, Fraction], datum: int = -1, usual: int = 0) -> tuple[Fraction, ...] | None:
    """Where fasteners stand along a span (mm); None (after a report) where they would stand in each other. wide: what each takes.

    `at` these places from the end of the span at A's reference face (datum: its side), `count` of them evenly, or at most
    `every` apart. Where the plan is silent there are `usual`, or as many as are 100 mm apart at most."""
    lo, hi = span
    asked, every, ends, number = a.lengths(context, "at"), a.given(context, "every"), a.given(context, "ends"), a.count(context, "count", usual)
    if asked:
        made = tuple(lo + x for x in asked) if datum < 0 else tuple(hi - x for x in asked)
    elif every is not None or not number:
        step = USUAL if every is None else every
        margin = min(step / 2, (hi - lo) / 4) if ends is None else ends
        if step < wide and hi - lo > 2 * margin:
            no_room(context, word, f"they stand at most {context.tell.figure(step)} apart, each takes {context.tell.figure(wide)}")
            return None
        made = spaced(lo, hi, step, margin)
    elif number == 1:
        made = ((lo + hi) / 2,)
    else:
        margin = round_to((hi - lo) / (2 * number), context.tell.units.step_mm) if ends is None else ends
        made = tuple(lo + margin + (hi - lo - 2 * margin) * i / (number - 1) for i in range(number))
    close = min((q - p for p, q in pairwise(sorted(made))), default=wide)
    if close < wide:
        no_room(context, word, f"{len(made)} of them stand {context.tell.figure(close)} apart, each takes {context.tell.figure(wide)}")
        return None
    return made


def no_room(context: a.Told, word: str, note: str) -> None:
    """Report fasteners that stand in each other or beside the parts."""
    context.tell.say("PD376", f"the {word}s do not fit between the two parts", notes=(note,), mend=f"fewer or thinner {word}s, or other places")


# --- what goes through B into A ------------------------------------------------------------------------------------


def fasten(context: JointContext, tongue: Box, run: int, across: int) -> Fastened:
    """The fastening, the holes in A and the holes in B. Flat heads are countersunk; `plugged` heads lie below a plug."""
    item, one, other, entry = a.item(context, "with"), context.a, context.b, context.contact.entry
    if item is None:
        return NONE
    outside, bottom = other.box.at(entry), tongue.at(entry)
    pin = driven(context, item, abs(outside - bottom))
    places = None if pin is None else row(context, item.kind, pin.wide, tongue.span(run), one.datum[run])
    if pin is None or places is None:
        return NONE
    middle = (tongue.lo[across] + tongue.hi[across]) / 2
    centres: list[Point3] = []
    for place in places:
        point = [outside] * 3
        point[run], point[across] = place, middle
        centres.append((point[0], point[1], point[2]))
    return drive(context, pin, other, one, entry, centres, bottom, bottom)


def drive(context: JointContext, pin: Driven, first: Frame, second: Frame, out: Face, centres: Sequence[Point3], bottom: Fraction, begin: Fraction) -> Fastened:
    """Fasteners square to the face `out` of the part that they enter first, from there into the second. centres: on that face;
    bottom: where the holes of the first part end; begin: where those of the second begin (coordinates, mm)."""
    tip = centres[0][out.axis] - out.side * (pin.long + pin.start)
    word, of_a = pin.item.kind, first.path == context.a.path
    upper, lower = ("a", "b") if of_a else ("b", "a")
    into = holes(context, second, first.path, word, out, centres, pin.lead, begin, tip, f"{context.id}.{lower}")
    passed = holes(context, first, second.path, word, out, centres, pin.bore, centres[0][out.axis], bottom, f"{context.id}.{upper}", through=True, sunk=pin.sunk)
    heads = tuple(moved(c, out.axis, -out.side * pin.start) for c in centres)
    made = [Fastening(word, pin.item.name, pin.bore, pin.long, heads, out.axis, context.tell.span, from_a=of_a)]
    if pin.sunk.plug:
        made.append(Fastening("plug", "", pin.sunk.wide, pin.sunk.deep, tuple(centres), out.axis, context.tell.span, from_a=of_a))
    return (tuple(made), passed, into) if of_a else (tuple(made), into, passed)


def driven(context: a.Told, item: HardwareItem, wood: Fraction, first: Frame | None = None) -> Driven | None:
    """The dowel or screw that goes through so much (mm) of the part that it enters first, B unless it is named; None after a
    report."""
    tell, other = context.tell, first or context.b
    one = context.a if other.path == context.b.path else context.b
    if item.kind not in ("dowel", "screw"):
        tell.say("PD323", f"`{item.name}` is neither a dowel nor a screw", notes=(f"it is a {item.kind}",), mend='hardware pin dowel 3/8" x 1 1/2", and here: with pin')
        return None
    if item.kind == "dowel" and context.args.get("plugged") is not None:
        tell.say("PD371", f"`{item.name}` has no head to lie below a plug", notes=("it is a dowel",), mend="leave `plugged` out")
        return None
    gauge, long = item.size("gauge"), item.size("long") or Fraction(0)
    if item.kind == "screw" and gauge is not None:
        inches = tell.units.system == "inch"
        shank, lead = shank_and_lead(gauge)
        bore, lead = drill(shank, inches, clear=True), drill(lead, inches)
    else:
        bore = lead = item.size("diameter") or Fraction(0)
    sunk = _sunk(context, item, gauge, bore)
    if sunk is None:
        return None
    pin = Driven(item, bore, lead, long, sunk)
    if pin.sunk.deep >= wood > 0:
        tell.say("PD378", f"the head of `{item.name}` goes through `{other.path}`", notes=(f"it is sunk {tell.figure(pin.sunk.deep)} into {tell.figure(wood)} of wood",), mend="take a thinner screw, or a plug less deep" if pin.sunk.plug else "take a thinner screw, or one with a round head")
        return None
    remaining = wood - pin.start
    if long - remaining <= 0:
        tell.say("PD324", f"`{item.name}` does not reach `{one.path}`", notes=(f"it is {tell.figure(long)} long, {tell.figure(remaining)} of `{other.path}` stand in its way",), mend=f"take one of {tell.below(remaining * 3)} or more" if remaining <= FAR else "name the parts the other way round: it goes through the second part into the first" if first is None else "drive it through the other part: with ... from FACE")
        return None
    return pin


def _sunk(context: a.Told, item: HardwareItem, gauge: Fraction | None, shank: Fraction) -> Sunk | None:
    """The countersink of a flat head, at the plan's angle and as wide as the screw table says, or the counterbore of a plug, the
    narrowest that the head goes into; None after a report."""
    if item.kind != "screw" or gauge is None:
        return FLUSH
    units = context.tell.units
    inches = units.system == "inch"
    head, deep = head_of(gauge), a.length(context, "plugged")
    if deep > 0:
        bits = plugs(inches)
        wide = next((bit for bit in bits if bit >= head), None)
        if wide is None:
            context.tell.say("PD378", f"no plug is as wide as the head of `{item.name}`", notes=(f"it is {diameter_text(head, units, mark=True)} wide, the widest plug {diameter_text(bits[-1], units, mark=True)}",), mend="take a thinner screw, or leave `plugged` out")
            return None
        return Sunk(wide, deep, f"cbore Ø{dual_diameter(wide, units)} ↧{dual_text(deep, units)}", True)
    if is_raised_head(item.description):
        return FLUSH
    wide = drill(head, inches, clear=True)
    return Sunk(wide, (wide - shank) / 2 / HALF_HEAD[units.system], f"csk Ø{dual_diameter(wide, units)} × {HEAD_ANGLE[units.system]}°")


# --- holes ---------------------------------------------------------------------------------------------------------


def holes(
    context: a.Told, part: Frame, mate: str, word: str, face: Face, centres: Sequence[Point3], diameter: Fraction, start: Fraction, end: Fraction, row: str,
    through: bool = False, sunk: Sunk = FLUSH, kind: str = "",
) -> tuple[Feature, ...]:  # fmt: skip
    """A row of round holes, worked from `face` of the part from start to end (coordinates, mm), figured from its reference faces.
    word: begins their ids, and their kind where none is given."""
    first, second = other_axes(face.axis)
    made = []
    for number, centre in enumerate(centres, 1):
        middle = (centre[first], centre[second])
        cuts: list[Body] = [Prism(face.axis, min(start, end), max(start, end), Disc(middle, diameter / 2))]
        if sunk.wide:
            cuts.append(_head_room(sunk, face, start, middle, diameter / 2))
        point = list(centre)
        point[face.axis] = start
        figures = tuple(f for axis in (first, second) if (f := part.to_datum(axis, centre[axis], centre[axis])) is not None)
        made.append(
            Feature(
                f"{part.path}.{word}{number}[{mate}]", kind or f"{word} hole", face, cuts=tuple(cuts), figures=figures, joint=context.id, mate=mate, row=row, diameter=diameter,
                depth=None if through else abs(end - start), through=through, centre=(point[0], point[1], point[2]), note=sunk.note, span=context.tell.span,
            )
        )  # fmt: skip
    return tuple(made)


def _head_room(sunk: Sunk, entry: Face, start: Fraction, centre: tuple[Fraction, Fraction], narrow: Fraction) -> Body:
    """What the head or its plug takes from the outer face on."""
    lo, hi = sorted((start, start - entry.side * sunk.deep))
    if sunk.plug:
        return Prism(entry.axis, lo, hi, Disc(centre, sunk.wide / 2))
    low, high = (narrow, sunk.wide / 2) if entry.side > 0 else (sunk.wide / 2, narrow)
    return Frustum(entry.axis, lo, hi, centre, low, high)


def moved(point: Point3, axis: int, by: Fraction) -> Point3:
    """The point so far along an axis (mm)."""
    there = list(point)
    there[axis] += by
    return there[0], there[1], there[2]


# --- joints whose parts only lie against each other ----------------------------------------------------------------


def unchanged(context: JointContext) -> tuple[Box, ...]:
    """Nothing is added to a part that only lies against the other."""
    return ()


def plain(context: JointContext, run: int, across: int, fastened: Fastened) -> JointEffect:
    """A joint in which the parts only lie against each other, with what holds it."""
    fasteners, holes_a, holes_b = fastened
    contact, zero = context.contact, Fraction(0)
    joint = Joint(context.id, context.kind, context.a.path, context.b.path, contact.entry, contact.entry.opposite, zero, zero, zero, zero, zero, run, across, contact.area, fasteners=fasteners, span=context.tell.span)
    return JointEffect(joint, holes_a, holes_b)
