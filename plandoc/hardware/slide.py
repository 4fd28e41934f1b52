"""Slide: side-mounted drawer slides, a pair a drawer; the gap beside the drawer is theirs."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Disc, Face, Point3, Prism
from plandoc.hardware import common as c
from plandoc.hardware.drilling import lead_deep, words
from plandoc.model.entities import Feature, Figure, Fitting
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param

# Common practice (side-mount ball-bearing slides): the gap may be up to 1/32 in wider than the slide, never less.
PLAY = Fraction(254, 10) / 32
HIGH = Fraction(45)
"""Height of the room of a slide (mm; common practice for ball-bearing slides)."""


def fit(context: FitContext) -> FitEffect | None:
    """Pilot holes on the line of the slide, in the drawer side and in the case side of each pair."""
    item, parts = context.item, context.parts
    if len(parts) % 2:
        context.tell.say("PD339", "slides are fitted on pairs of parts: a drawer side and the case side beside it", mend=f"fit {item.name} on box_left, left_side, box_right, right_side at ...")
        return None
    high = context.args["at"]
    assert isinstance(high, Fraction)
    side, long = item.size("side") or Fraction(0), item.size("long") or Fraction(0)
    back = context.args.get("set")
    back = back if isinstance(back, Fraction) else Fraction(0)
    play = item.size("play")
    play = PLAY if play is None else play
    features: list[tuple[str, Feature]] = []
    points: list[Point3] = []
    rooms: list[Box] = []
    told = _check_width(context, side, play)
    for drawer, case in zip(parts[::2], parts[1::2], strict=True):
        towards = _towards(drawer.box, case.box)
        if towards is None:
            context.tell.say("PD339", f"`{drawer.path}` and `{case.path}` do not stand side by side", mend="name the drawer side first, then the case side")
            return None
        gap = abs(case.box.at(towards.opposite) - drawer.box.at(towards))
        if not side <= gap <= side + play and drawer.path not in told:
            context.tell.say("PD405", f"the gap for `{item.name}` is {context.tell.figure(gap)} between `{drawer.path}` and `{case.path}`", notes=(f"the slide takes {context.tell.figure(side)}, at most {context.tell.figure(play)} more",), mend=f"make the drawer {context.tell.figure(abs(gap - side))} {'wider' if gap > side else 'narrower'} on this side")
        front = drawer.box.lo[1] + back
        # The end of a drawer side may stand in the front of its box: that much of the box is not its own.
        for part, beyond in ((case, Fraction(0)), (drawer, drawer.box.size(drawer.thickness_axis))):
            over = front + long - part.box.hi[1]
            if over > beyond:
                context.tell.say("PD406", f"the slide is longer than `{part.path}` is deep", notes=(f"it reaches {context.tell.figure(over)} too far back",), mend=f"take a slide of {context.tell.below(max(long - over, Fraction(0)))} or less")
                break
        line = drawer.box.lo[2] + high
        if not drawer.box.lo[2] < line < drawer.box.hi[2] or not case.box.lo[2] < line < case.box.hi[2]:
            context.tell.say("PD330", f"the line of the slide misses `{drawer.path}` or `{case.path}`", notes=(f"it would lie {context.tell.figure(high)} above the lower edge of `{drawer.path}`",))
            return None
        x0, x1 = sorted((drawer.box.at(towards), case.box.at(towards.opposite)))
        rooms.append(Box((x0, front, line - HIGH / 2), (x1, front + long, line + HIGH / 2)))
        for part, face in ((drawer, towards), (case, towards.opposite)):
            made = _pilots(context, part, face, front, line)
            features.extend((part.path, f) for f in made)
            points.extend(f.centre for f in made if f.centre is not None)
    box = rooms[0]
    for room in rooms[1:]:
        box = box.union(room)
    solid = tuple(room for room in rooms if room.volume > 0)
    fitting = Fitting(context.id, item.name, tuple(p.path for p in parts), len(parts) // 4 or 1, box, tuple(points), span=context.tell.span, rooms=solid)
    return FitEffect(fitting, tuple(features))


def _check_width(context: FitContext, side: Fraction, play: Fraction) -> tuple[str, ...]:
    """PD452 for every drawer that is not as wide as its opening less two slides; gives the paths of its sides."""
    told: list[str] = []
    tell, parts = context.tell, context.parts
    for left, first, right, last in zip(parts[::4], parts[1::4], parts[2::4], parts[3::4], strict=False):
        outer = sorted((first, last), key=lambda p: p.box.lo[0])
        inner = sorted((left, right), key=lambda p: p.box.lo[0])
        opening, wide = outer[1].box.lo[0] - outer[0].box.hi[0], inner[1].box.hi[0] - inner[0].box.lo[0]
        if opening <= 0 or 2 * side <= opening - wide <= 2 * (side + play):
            continue
        told += [left.path, right.path]
        tell.say(
            "PD452",
            f"the drawer of `{left.path}` is {tell.figure(wide)} wide, its opening {tell.figure(opening)}",
            notes=(f"`{context.item.name}` takes {tell.figure(side)} on each side, at most {tell.figure(play)} more",),
            mend=f"make the drawer {tell.figure(opening - 2 * side)} wide",
        )
    return tuple(told)


def _towards(drawer: Box, case: Box) -> Face | None:
    """The side of the drawer on which the case side stands."""
    if drawer.hi[0] <= case.lo[0]:
        return Face(0, 1)
    if case.hi[0] <= drawer.lo[0]:
        return Face(0, -1)
    return None


def _pilots(context: FitContext, part: Frame, face: Face, front: Fraction, line: Fraction) -> list[Feature]:
    item = context.item
    places = [value for name, value in item.sizes if name.startswith("holes_")]
    pilot = item.size("pilot") or Fraction(2)
    deep = lead_deep(context, part, 0)
    plane = part.box.at(face)
    made = []
    for number, place in enumerate(places, 1):
        y = front + place
        lo, hi = sorted((plane, plane - face.side * deep))
        figures: list[Figure] = []
        for axis, at in ((1, y), (2, line)):
            figure = part.to_datum(axis, at, at)
            figures.extend([figure] if figure is not None else [])
        made.append(Feature(f"{part.path}.{context.id}.{number}", "hole", face, cuts=(Prism(0, lo, hi, Disc((y, line), pilot / 2)),), figures=tuple(figures), row=f"{part.path}.{context.id}", diameter=pilot, depth=deep, centre=(plane, y, line), note=f"pilot, {words(item)}", span=context.tell.span))
    return made


KIND = HardwareKind(
    name="slide",
    doc="A pair of side-mounted drawer slides. `side` is the room that one slide takes beside the drawer.",
    params=(
        Param("long", "length", "length of the closed slide", required=True),
        Param("side", "length", "room beside the drawer that one slide takes", required=True),
        Param("holes", "lengths", "screw holes, measured from the front end"),
        Param("pilot", "length", "diameter of the pilot holes", default=Fraction(2)),
        Param("play", "length", "how much wider than the slide the room may be", default=PLAY),
        c.SCREWS,
        c.WITH,
        c.LOAD,
        c.PRICE,
    ),
    fit_params=(Param("at", "length", "height of its line above the lower edge of the drawer side", required=True), Param("set", "length", "how far its front end lies behind the front end of the drawer side")),
    fit=fit,
    example='hardware runner slide "Full-extension slide, 14 in" long 14" side 1/2" holes 1 1/2", 8" load 75 lb',
    unit="pair",
)
