"""Dovetail: sloping tails on the end of one part stand between the pins of the other, through or half-blind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Prism
from plandoc.joints import corner as k
from plandoc.joints import reinforcing
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param
from plandoc.quantity import INCH
from plandoc.tables import is_softwood

# Slopes of common practice: 1 in 6 for softwood, 1 in 8 for hardwood; from 1 in 5 to 1 in 9 tails neither break nor slip.
SOFT, HARD = Fraction(1, 6), Fraction(1, 8)
STEEPEST, FLATTEST = Fraction(1, 5), Fraction(1, 9)
LEAST_PIN = INCH / 8  # the narrow side of a pin: a saw and a chisel must pass (common practice)
LEAST_LAP = INCH / 8

TAILS = Param("tails", "count", "number of tails")
WIDE = Param("wide", "length", "greatest width of a tail; left out, twice the thickness of its board")
PINS = Param("pins", "length", "narrow side of a pin; left out, a quarter of the distance from tail to tail")
SLOPE = Param("slope", "number", "slope of the tails, such as 8 or 1/8 for 1 in 8; left out, 1 in 6 for softwood and 1 in 8 for other wood")
SECOND = Param("tailed", "flag", "the second part has the tails, the first the pins", default=False)
HALF_BLIND = Param("half_blind", "flag", "the tails do not show at the outer face of the second part", default=False)
LAP = Param("lap", "length", "wood of the second part before half-blind tails; left out, a quarter of its thickness")
FIT = Param("fit", "length", "what a socket for a tail is wider than its tail; the part with the pins gives it", default=Fraction(0))


@dataclass(frozen=True, slots=True)
class Row:
    """The row of tails (mm). lo..hi: the corner along the row; count tails at equal pitch; pin: narrow side of a pin,
    at the ends of the tails; rise: how much a side slopes over the length of a tail."""

    lo: Fraction
    hi: Fraction
    count: int
    pitch: Fraction
    pin: Fraction
    slope: Fraction
    rise: Fraction

    @property
    def wide(self) -> Fraction:
        """A tail at its end."""
        return self.pitch - self.pin

    @property
    def half(self) -> Fraction:
        """Narrow side of the half pins at both edges: what the row leaves."""
        return (self.hi - self.lo - self.count * self.pitch + self.pin) / 2

    def tails(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Each tail at its end, low to high."""
        first = self.lo + self.half
        return tuple((first + i * self.pitch, first + i * self.pitch + self.wide) for i in range(self.count))

    def narrow_tails(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Each tail at its baseline, low to high."""
        return tuple((lo + self.rise, hi - self.rise) for lo, hi in self.tails())

    def narrow_pins(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Each pin at its narrow side, low to high; without the half pins, unless there are no others."""
        tails = self.tails()
        between = tuple((tails[i][1], tails[i + 1][0]) for i in range(len(tails) - 1))
        return between or ((self.lo, tails[0][0]), (tails[-1][1], self.hi))


def found_corner(context: JointContext) -> k.Corner | None:
    """The corner, less the lap of a half-blind joint; None after a report."""
    args, tell, b = context.args, context.tell, context.b
    if not args.get("half_blind"):
        if k.measure(args, "lap") is not None:
            tell.say("PD473", "a lap without `half_blind`", mend="half_blind lap " + tell.figure(k.measure(args, "lap") or k.ZERO))
            return None
        return k.corner(context)
    if args.get("tailed"):
        tell.say("PD473", "half-blind tails enter the second part, they stand on the first", mend=f"name the parts the other way round: joint dovetail {b.path} into {context.a.path}")
        return None
    thick = b.shoulder.size(context.contact.entry.axis)
    lap = k.measure(args, "lap")
    lap = thick / 4 if lap is None else lap
    if not 0 < lap < thick:
        tell.say("PD473", f"a lap of {tell.figure(lap)} does not fit into `{b.path}`", notes=(f"it is {tell.figure(thick)} thick there",), mend=f"lap {tell.below(thick / 4)}")
        return None
    return k.corner(context, lap=lap)


def row_of(context: JointContext, found: k.Corner) -> Row | None:
    """The row of tails; None after a report."""
    args, tell = context.args, context.tell
    lo, hi = found.room.span(found.row)
    flare, thick = _axes(context, found)
    long = found.room.size(flare.axis)
    room = hi - lo
    slope = _slope(context)
    if slope is None:
        return None
    pin, wide, count = k.measure(args, "pins"), k.measure(args, "wide"), args.get("tails")
    wide = 2 * thick if wide is None else wide
    if isinstance(count, int):
        number = count
    else:
        step = wide + pin if pin is not None else wide * Fraction(4, 3)
        number = int(-(-room // step)) if step > 0 else 0
    if number < 1:
        tell.say("PD473", "tails without a width", mend=f"wide {tell.below(2 * thick)}")
        return None
    if number > k.MOST:
        tell.say("PD473", f"{number} tails are too many for one corner", notes=(f"the limit is {k.MOST}",), mend=f"wide {tell.below(2 * thick)}")
        return None
    # to the step of the plan, so that no figure is rounded; the half pins at the edges take what is left
    step = tell.units.step_mm
    pitch = max(room / number // step * step, step)
    if pin is None:
        pin = max(pitch / 4 // step * step, step)
        if (room - number * pitch + pin) / 2 % step and pin > step:
            pin -= step
    row = Row(lo, hi, number, pitch, pin, slope, slope * long)
    base = row.wide - 2 * row.rise
    if pin <= 0 or base <= 0:
        tell.say(
            "PD473",
            f"{number} {'tail' if number == 1 else 'tails'} with pins {tell.figure(pin)} wide do not fit on {tell.figure(room)}",
            notes=(f"from tail to tail it is {tell.figure(pitch)}, each side slopes by {tell.figure(row.rise)}",),
            mend="fewer tails, narrower pins or a flatter slope",
        )
        return None
    _warn(context, found, row)
    return row


def _slope(context: JointContext) -> Fraction | None:
    given, tell = context.args.get("slope"), context.tell
    if not isinstance(given, Fraction):
        tailed = context.b if context.args.get("tailed") else context.a
        return SOFT if is_softwood(f"{tailed.stock.material} {tailed.stock.description} {tailed.stock.name}") else HARD
    slope = 1 / given if given > 1 else given
    if slope <= 0:
        tell.say("PD473", "a dovetail needs a slope", mend="slope 8")
        return None
    if not FLATTEST <= slope <= STEEPEST:
        what = "short grain at the corners of the tails breaks off" if slope > STEEPEST else "the tails hold little"
        tell.say("PD478", f"a slope of {_ratio(slope)} is {'steep' if slope > STEEPEST else 'flat'} for a dovetail", notes=(f"{what}; common practice: 1 in 6 for softwood, 1 in 8 for hardwood",), mend="slope 8")
    return slope


def _axes(context: JointContext, found: k.Corner) -> tuple[Face, Fraction]:
    """The direction in which the tails widen, and the thickness of their board."""
    if context.args.get("tailed"):
        return found.out, found.room.size(found.into.axis)
    return found.into, found.room.size(found.out.axis)


def _ratio(slope: Fraction) -> str:
    one = 1 / slope
    return f"1:{one.numerator}" if one.denominator == 1 else f"1:{float(one):.1f}"


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by the thickness of B, less the lap of a half-blind joint."""
    found = found_corner(context)
    return () if found is None else (found.room,)


def cut(context: JointContext) -> JointEffect | None:
    """Sockets for pins between the tails, sockets for tails between the pins."""
    found = found_corner(context)
    if found is None:
        return None
    row = row_of(context, found)
    if row is None:
        return None
    fit = k.measure(context.args, "fit") or k.ZERO
    if fit >= row.pin:
        context.tell.say("PD473", f"a fit of {context.tell.figure(fit)} leaves nothing of pins {context.tell.figure(row.pin)} wide", mend=f"fit {context.tell.below(row.pin / 100)}")
        return None
    between = tuple(_pin_sockets(context, found, row))
    around = tuple(_tail_sockets(context, found, row, fit))
    tailed = bool(context.args.get("tailed"))
    entry = found.into if tailed else found.out.opposite
    held = reinforcing.through_dovetail(context, found, row.narrow_tails(), row.narrow_pins())
    if held is None:
        return None
    fasteners, holes_a, holes_b = held
    joint = k.fastened(k.record(context, found, (entry.opposite,), entry, fit), fasteners)
    on_a, on_b = (around, between) if tailed else (between, around)
    return JointEffect(joint, (k.tongue(context, found), *on_a, *holes_a), (*on_b, *holes_b))


def _piece(context: JointContext, found: k.Corner, base: tuple[Fraction, Fraction], tip: tuple[Fraction, Fraction]) -> Prism:
    """The wood between two spans along the row: at the baseline and at the end of the tails."""
    flare, _ = _axes(context, found)
    through = 3 - flare.axis - found.row
    near, far = found.room.at(flare.opposite), found.room.at(flare)
    points = [{found.row: base[0], flare.axis: near}, {found.row: base[1], flare.axis: near}, {found.row: tip[1], flare.axis: far}, {found.row: tip[0], flare.axis: far}]
    return k.loop(through, *found.room.span(through), points)


def _pin_sockets(context: JointContext, found: k.Corner, row: Row) -> Iterator[Feature]:
    """In the board with the tails: the room of the pins, half ones at both edges."""
    tailed = bool(context.args.get("tailed"))
    part, mate, end = (context.b, context.a.path, found.out) if tailed else (context.a, context.b.path, found.into)
    tails, rise = row.tails(), row.rise
    edges = [row.lo, *(v for t in tails for v in t), row.hi]
    gaps = [(edges[i], edges[i + 1]) for i in range(0, len(edges), 2)]
    tell = context.tell
    for number, tip in enumerate(gaps, 1):
        low, high = tip[0] == row.lo, tip[1] == row.hi
        base = (tip[0] if low else tip[0] - rise, tip[1] if high else tip[1] + rise)
        half = low or high
        note = f"slope {_ratio(row.slope)}, narrow side {tell.figure(row.half if half else row.pin)}"
        yield _socket(context, found, part, "half-pin socket" if half else "pin socket", number, base, _piece(context, found, base, tip), end, mate, note, not half)


def _tail_sockets(context: JointContext, found: k.Corner, row: Row, fit: Fraction) -> Iterator[Feature]:
    """In the board with the pins: the room of the tails, wider by the fit. Half-blind ones are figured as they open in the
    face that they are cut from, which is their narrow side; through ones at their wide side."""
    tailed = bool(context.args.get("tailed"))
    part, mate, end = (context.a, context.b.path, found.into) if tailed else (context.b, context.a.path, found.out)
    blind, tell = bool(context.args.get("half_blind")), context.tell
    face = found.into.opposite if blind else end
    for number, (lo, hi) in enumerate(row.tails(), 1):
        tip = (lo - fit / 2, hi + fit / 2)
        base = (tip[0] + row.rise, tip[1] - row.rise)
        other = f"{tell.figure(tip[1] - tip[0])} wide at the lap" if blind else f"narrow side {tell.figure(base[1] - base[0])}"
        note = f"slope {_ratio(row.slope)}, {other}"
        yield _socket(context, found, part, "tail socket", number, base if blind else tip, _piece(context, found, base, tip), face, mate, note, True)


def _socket(
    context: JointContext, found: k.Corner, part: Frame, kind: str, number: int, wide: tuple[Fraction, Fraction], piece: Prism, face: Face, mate: str, note: str, in_row: bool
) -> Feature:  # fmt: skip
    """One socket, figured across `wide`: corner from the reference edge, width, length, and the slope in words."""
    axis = found.row
    inside = part.shoulder.lo[axis] < wide[0] and wide[1] < part.shoulder.hi[axis]
    place = part.to_datum(axis, *wide) if inside else None
    figures = [place] if place is not None else []
    figures.append(Figure(axis, *wide, "size"))
    for other in (found.into.axis, found.out.axis):
        through = part.shoulder.union(found.room).span(other) == found.room.span(other)
        if not through or other == face.axis:
            figures.append(Figure(other, *found.room.span(other), "depth" if other == face.axis else "size"))
    blind = face == found.into.opposite
    return Feature(
        f"{part.path}.{kind.replace(' ', '_')}{number}[{mate}]", kind, face, cuts=(piece,), figures=tuple(figures), joint=context.id, mate=mate,
        row=f"{context.id}.{kind}" if in_row and inside else "", depth=found.room.size(face.axis) if blind else None, note=note, span=context.tell.span,
    )  # fmt: skip


def _warn(context: JointContext, found: k.Corner, row: Row) -> None:
    tell = context.tell
    if row.pin < LEAST_PIN:
        tell.say("PD479", f"the pins are {tell.figure(row.pin)} wide at their narrow side", notes=(f"common practice: not under {tell.figure(LEAST_PIN)}, so that saw and chisel pass between the tails",), mend=f"pins {tell.figure(LEAST_PIN)}, or fewer tails")
    elif row.pin > row.wide:
        tell.say("PD479", f"the pins are wider than the tails: {tell.figure(row.pin)} and {tell.figure(row.wide)}", notes=("common practice: tails one to three times as wide as the pins",), mend=f"pins {tell.below(row.pitch / 4)}")
    if context.args.get("half_blind"):
        lap = abs(context.b.shoulder.at(found.into) - found.far)
        if lap < LEAST_LAP:
            tell.say("PD480", f"only {tell.figure(lap)} of `{context.b.path}` stand before the tails", notes=(f"common practice: a quarter of the thickness, not under {tell.figure(LEAST_LAP)}",), mend=f"lap {tell.figure(LEAST_LAP)}")


KIND = JointKind(
    name="dovetail",
    doc="Tails on the end of the first part stand between pins of the second, through or half-blind; screws or dowels may hold them.",
    params=(TAILS, WIDE, PINS, SLOPE, SECOND, HALF_BLIND, LAP, FIT, *reinforcing.TAILED),
    extend=extend,
    cut=cut,
    example="joint dovetail top into left_side tails 5 slope 8\njoint dovetail top into right_side tails 5 with pin from right",
)
