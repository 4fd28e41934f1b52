"""Rules of proportion of joints, as warnings. Each has its source beside it; none changes what is made."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.joints.tenoning import Tenon
from plandoc.model.kinds import JointContext
from plandoc.quantity import INCH

# tenon about a third of the stock (read: a magazine and two pages); half and a quarter are its limits (common practice)
THICKEST, THINNEST = Fraction(1, 2), Fraction(1, 4)
TIMES, WIDEST = 5, 4 * INCH  # a tenon wider than 5 times its thickness and about 4 in. is split in two (read: one page)
END_WOOD = INCH / 2  # wood between a mortise and the end of its part (common practice, from memory)
WALL = INCH / 8  # wood behind a blind mortise (common practice, from memory)
# dowel diameter of the stock: a third (from memory) to half (read: one page), a little more where stock is under its called size
DOWEL_THIN, DOWEL_THICK = Fraction(1, 3), Fraction(11, 20)
TONGUE_THIN, TONGUE_THICK = Fraction(1, 5), Fraction(2, 3)  # of the board: a third is usual, half at a rabbeted end (common practice)
DOWEL_DEEP = 2  # diameters that a dowel enters each part at least (common practice; three read: one page)


def tenon_rules(context: JointContext, found: Tenon) -> None:
    """Warn about a tenon too thick, too thin or too wide, and about too little wood round its mortise."""
    tell, other, part = context.tell, context.b, context.a
    each = found.bodies[0]
    size, wide = each.size(found.thick), each.size(found.run)
    abreast = found.gap is not None and found.gap[0] == found.thick
    room = other.shoulder.size(found.thick)
    least = min(room, part.shoulder.size(found.thick))
    taken = 2 * size if abreast else size
    if taken > room * THICKEST:
        notes = (f"{tell.figure(taken)} of {tell.figure(room)}; common practice: a third of the mortised part",)
        tell.say("PD410", f"the {'tenons are' if abreast else 'tenon is'} thicker than half of `{other.path}`", notes=notes, mend=f"sized {tell.below(room / (6 if abreast else 3))}")
    if taken < least * THINNEST:
        notes = (f"{tell.figure(size)} of {tell.figure(least)}; common practice: a third of the stock",)
        tell.say("PD411", "the tenon is thinner than a quarter of the stock", notes=notes, mend=f"sized {tell.below(least / 3)}")
    if wide > max(TIMES * size, WIDEST):
        notes = (f"{tell.figure(wide)} wide, {tell.figure(size)} thick; practice read: at most 5 times the thickness and about 4 in. (100 mm)",)
        tell.say("PD412", "the tenon is so wide that its mortise weakens the wood", notes=notes, mend=f"{_divided(context, found, wide)}sized {tell.figure(size)} x {tell.below(max(TIMES * size, WIDEST))}, or a haunch")
    _end_wood(context, found)
    behind = other.shoulder.size(found.entry.axis) - found.mortise.size(found.entry.axis)
    if not found.through and behind < WALL:
        notes = (f"the mortise is {tell.figure(found.mortise.size(found.entry.axis))} deep; common practice: 1/8 in. (3 mm) at least",)
        tell.say("PD414", f"only {tell.figure(behind)} of `{other.path}` are left behind the mortise", notes=notes, mend="make it shallower, or `through`")


def _divided(context: JointContext, found: Tenon, wide: Fraction) -> str:
    """A third of the width between two tenons, where that is enough to say."""
    return "" if found.loose or found.gap is not None else f"two tenons: twin {context.tell.below(wide / 3)}; or "


def _end_wood(context: JointContext, found: Tenon) -> None:
    """A mortise near the end grain of B splits out; a haunch leaves wood there."""
    tell, other = context.tell, context.b
    if found.run != other.length_axis:
        return
    for side in (-1, 1):
        end = Face(found.run, side)
        wood = (other.shoulder.at(end) - found.mortise.at(end)) * side
        if wood >= END_WOOD or (found.haunch is not None and end == found.end):
            continue
        notes = (f"between mortise and {tell.face(end)} end; common practice: 1/2 in. (12 mm), else a haunch",)
        size = found.body.size(found.run) / 4
        mend = f"haunched {tell.below(max(size, END_WOOD))} x {tell.below(found.body.size(found.entry.axis) / 3)}" if not found.loose else f"sized {tell.figure(found.body.size(found.thick))} x {tell.below(found.body.size(found.run) - 2 * (END_WOOD - wood))}"
        tell.say("PD413", f"only {tell.figure(wood)} of `{other.path}` are left at the end", notes=notes, mend=mend)


def dowel_rules(context: JointContext, diameter: Fraction, in_a: Fraction, in_b: Fraction, axis: int) -> None:
    """Warn about a dowel too thick or too thin for the stock, or that enters too little. axis: that of the thickness."""
    tell = context.tell
    least = min(context.a.shoulder.size(axis), context.b.shoulder.size(axis))
    if not least * DOWEL_THIN <= diameter <= least * DOWEL_THICK:
        word = "thinner than a third" if diameter < least * DOWEL_THIN else "thicker than half"
        notes = (f"{tell.figure(diameter)} in {tell.figure(least)} ({tell.way(axis)}); common practice: a third to half",)
        tell.say("PD415", f"the dowel is {word} of the stock", notes=notes, mend="take another dowel")
    short = min(in_a, in_b)
    if short < DOWEL_DEEP * diameter:
        where = context.a.path if in_a <= in_b else context.b.path
        tell.say("PD416", f"the dowel enters `{where}` by less than twice its diameter", notes=(f"{tell.figure(short)} of {tell.figure(diameter)} diameter; practice: two to three diameters in each part",), mend="take a longer dowel, or another depth")


def tongue_rules(context: JointContext, thick: Fraction, axis: int) -> None:
    """Warn about a tongue out of proportion to its board. axis: that of the thickness."""
    tell, board = context.tell, context.a.shoulder.size(axis)
    if not board * TONGUE_THIN <= thick <= board * TONGUE_THICK:
        notes = (f"{tell.figure(thick)} of {tell.figure(board)}; common practice: a third, half at a rabbeted end",)
        tell.say("PD417", f"the tongue is too {'thin' if thick < board * TONGUE_THIN else 'thick'} for `{context.a.path}`", notes=notes, mend=f"sized {tell.below(board / 3)}")


__all__ = ["dowel_rules", "tenon_rules", "tongue_rules"]
