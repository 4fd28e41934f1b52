"""Concealed cup hinge: a cup and two screws in the door, two screws of its plate in the side."""

from __future__ import annotations

from fractions import Fraction

from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.hardware.doors import Hanging, check_number, hanging, usual_number
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param

INSET_GAP = Fraction(4)
"""Greatest gap beside an inset door that the hinge's side screw can close in on (mm; from memory: 2 mm, set by 2 mm)."""
BODY = Fraction(25)
"""Room of plate and arm: behind the line of the plate's screws, and above and below their middle (mm; from memory)."""
ARM = Fraction(20)
"""Room of plate and arm on the side (mm; from memory)."""


def fit(context: FitContext) -> FitEffect | None:
    """Cups in the door and plates on the side, at the same heights."""
    pairs = d.in_pairs(context, "the door, then the side that carries it")
    if pairs is None:
        return None
    work, total = d.Work(context), 0
    for door, side in pairs:
        hung = hanging(context, door, side)
        if hung is None:
            return None
        heights = d.stations(context, door, hung.run, usual_number(context, hung), max(_size(context, n) for n in ("cup", "spaced", "holes")))
        if heights is None:
            return None
        check_number(context, hung, len(heights))
        _check_overlay(context, hung)
        _door(context, work, hung, heights)
        _plates(context, work, hung, heights)
        total += len(heights)
    return work.effect(total)


def _size(context: FitContext, name: str) -> Fraction:
    return context.item.size(name) or Fraction(0)


def _check_overlay(context: FitContext, hung: Hanging) -> None:
    """PD450 where the place of the door is not the one that the hinge is made for."""
    tell, overlay, play = context.tell, _size(context, "overlay"), _size(context, "play")
    here = f"`{hung.door.path}` covers {tell.figure(hung.overlay)} of the edge of `{hung.side.path}`" if hung.overlay >= 0 else f"`{hung.door.path}` stands {tell.figure(-hung.overlay)} beside `{hung.side.path}`"
    if overlay == 0:
        if hung.lapped or not 0 < -hung.overlay <= INSET_GAP:
            tell.say("PD450", f"`{context.item.name}` is an inset hinge: {here}", notes=(f"an inset door stands between the sides, up to {tell.figure(INSET_GAP)} beside them",), mend=f"take a hinge with overlay {tell.figure(hung.overlay)}" if hung.overlay > 0 else "set the door between the sides, 2 mm beside each")
    elif not hung.lapped or abs(hung.overlay - overlay) > play:
        tell.say("PD450", f"`{context.item.name}` is made for an overlay of {tell.figure(overlay)}: {here}", notes=(f"its side screw sets it by {tell.figure(play)} either way",), mend=f"let the door cover {tell.figure(overlay)}, or take another hinge")


def _door(context: FitContext, work: d.Work, hung: Hanging, heights: list[Fraction]) -> None:
    item, plane = context.item, hung.door.shoulder.at(hung.inner)
    cup, spaced, behind = _size(context, "cup"), _size(context, "spaced"), _size(context, "behind")
    middle = hung.from_edge(_size(context, "edge") + cup / 2)
    line = hung.from_edge(_size(context, "edge") + cup / 2 + behind)
    cups = [d.point(hung.through, plane, [(hung.across, middle), (hung.run, at)]) for at in heights]
    work.bores(hung.door, hung.inner, cups, cup, item.size("deep"), f"cup, {d.words(item)}", kind="cup")
    work.points.extend(cups)
    if spaced:
        screws = [d.point(hung.through, plane, [(hung.across, line), (hung.run, at + turn * spaced / 2)]) for at in heights for turn in (-1, 1)]
        work.pilots(hung.door, hung.inner, screws)


def _plates(context: FitContext, work: d.Work, hung: Hanging, heights: list[Fraction]) -> None:
    front = hung.side.shoulder.at(hung.inner.opposite) if hung.lapped else hung.door.shoulder.at(hung.inner)
    line = front + hung.inner.side * _size(context, "plate")
    plane, holes = hung.side.shoulder.at(hung.inside), _size(context, "holes")
    screws = [d.point(hung.across, plane, [(hung.through, line), (hung.run, at + turn * holes / 2)]) for at in heights for turn in (-1, 1)]
    work.pilots(hung.side, hung.inside, screws)
    start = hung.door.shoulder.at(hung.inner)
    for at in heights:
        work.room((hung.across, plane, plane + hung.inside.side * ARM), (hung.through, start, line + hung.inner.side * BODY), (hung.run, at - BODY, at + BODY))


KIND = HardwareKind(
    name="hinge",
    doc="A concealed hinge with a cup in the door. `overlay` is how far its door covers the edge of the side; left out, it is for an inset door.",
    params=(
        Param("overlay", "length", "how far the door covers the edge of the side; 0 for an inset door", default=Fraction(0)),
        Param("cup", "length", "diameter of the cup", default=Fraction(35), above=True),
        Param("deep", "length", "depth of the bore for the cup", default=Fraction(25, 2), above=True),
        Param("edge", "length", "wood between the bore and the edge of the door", default=Fraction(5)),
        Param("spaced", "length", "distance between the two screws beside the cup, 0 for a cup without screws", default=Fraction(45)),
        Param("behind", "length", "how far these screws lie behind the middle of the cup", default=Fraction(19, 2)),
        Param("plate", "length", "line of the plate's screws behind the front edge of the side, or behind an inset door", default=Fraction(37), above=True),
        Param("holes", "length", "distance between the two screws of the plate", default=Fraction(32), above=True),
        Param("play", "length", "how far its side screw sets it either way", default=Fraction(2)),
        *c.SCREWED,
        c.LOAD,
        c.PRICE,
    ),
    fit_params=(d.STATIONS, d.FROM, d.NUMBER, d.ENDS),
    fit=fit,
    example='hardware cup_hinge hinge "Concealed hinge, full overlay" overlay 16 mm screws 4',
    source="cup 35 mm, 37 mm line and 32 mm spacing: common practice; depth 12.5 mm, 5 mm to the edge, 45 mm and 9.5 mm of the cup screws, play 2 mm: from memory, the data sheet goes first",
)
