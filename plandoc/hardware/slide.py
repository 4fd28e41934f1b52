"""Slide: side-mounted drawer slides, a pair a drawer; the gap beside the drawer is theirs."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Face
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param

PLAY = Fraction(254, 10) / 32
"""How much wider than the slide the gap may be, never less (mm; common practice for side-mount ball-bearing slides)."""
HIGH = Fraction(45)
"""Height of the room of a slide (mm; common practice for ball-bearing slides)."""


def fit(context: FitContext) -> FitEffect | None:
    """Pilot holes on the line of the slide, in the drawer side and in the case side of each pair."""
    item, parts, tell = context.item, context.parts, context.tell
    if len(parts) % 2:
        tell.say("PD339", "slides are fitted on pairs of parts: a drawer side and the case side beside it", mend=f"fit {item.name} on box_left, left_side, box_right, right_side at ...")
        return None
    high, back = context.args["at"], context.args.get("set")
    assert isinstance(high, Fraction)
    side, long = item.size("side") or Fraction(0), item.size("long") or Fraction(0)
    play = item.size("play")
    play = PLAY if play is None else play
    places = [value for name, value in item.sizes if name.startswith("holes_")]
    pairs = list(zip(parts[::2], parts[1::2], strict=True))
    if not all(d.lean_alike(context, pair) for pair in pairs):
        return None
    work, told = d.Work(context), _check_width(context, side, play)
    for drawer, case in pairs:
        towards = _towards(drawer.box, case.box)
        if towards is None:
            tell.say("PD339", f"`{drawer.path}` and `{case.path}` do not stand side by side", mend="name the drawer side first, then the case side")
            return None
        gap = abs(case.box.at(towards.opposite) - drawer.box.at(towards))
        if not side <= gap <= side + play and drawer.path not in told:
            tell.say("PD405", f"the gap for `{item.name}` is {tell.figure(gap)} between `{drawer.path}` and `{case.path}`", notes=(f"the slide takes {tell.figure(side)}, at most {tell.figure(play)} more",), mend=f"make the drawer {tell.figure(abs(gap - side))} {'wider' if gap > side else 'narrower'} on this side")
        front = drawer.box.lo[1] + (back if isinstance(back, Fraction) else Fraction(0))
        # The end of a drawer side may stand in the front of its box: that much of the box is not its own.
        for part, beyond in ((case, Fraction(0)), (drawer, drawer.box.size(drawer.thickness_axis))):
            over = front + long - part.box.hi[1]
            if over > beyond:
                tell.say("PD406", f"the slide is longer than `{part.path}` is deep", notes=(f"it reaches {tell.figure(over)} too far back",), mend=f"take a slide of {tell.below(max(long - over, Fraction(0)))} or less")
                break
        line = drawer.box.lo[2] + high
        if not drawer.box.lo[2] < line < drawer.box.hi[2] or not case.box.lo[2] < line < case.box.hi[2]:
            tell.say("PD330", f"the line of the slide misses `{drawer.path}` or `{case.path}`", notes=(f"it would lie {tell.figure(high)} above the lower edge of `{drawer.path}`",))
            return None
        work.room((0, drawer.box.at(towards), case.box.at(towards.opposite)), (1, front, front + long), (2, line - HIGH / 2, line + HIGH / 2))
        for part, face in ((drawer, towards), (case, towards.opposite)):
            work.pilots(part, face, [d.point(0, part.box.at(face), [(1, front + place), (2, line)]) for place in places])
    return work.effect((len(pairs) + 1) // 2)


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


KIND = HardwareKind(
    name="slide",
    doc="A pair of side-mounted drawer slides. `side` is the room that one slide takes beside the drawer.",
    params=(
        Param("long", "length", "length of the closed slide", required=True, above=True),
        Param("side", "length", "room beside the drawer that one slide takes", required=True, above=True),
        Param("holes", "lengths", "screw holes, measured from the front end", above=True),
        Param("pilot", "length", "diameter of the pilot holes", default=d.USUAL_PILOT, above=True),
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
    source="side-mounted slides: room beside the drawer up to 1/32 in more than the slide, 45 mm high, pilot holes 2 mm: common practice",
)
