"""How a door hangs on the part beside it, how many hinges it wants, and whether hinge and place suit each other."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import AXES, UP, Face
from plandoc.hardware.drilling import towards
from plandoc.model.density import stock_density
from plandoc.model.kinds import FitContext, Frame
from plandoc.tables.hinges import hinges_for


@dataclass(frozen=True, slots=True)
class Hanging:
    """A door and the side that carries it. run: axis of the hinge line; across: axis that the side's thickness lies in;
    through: that of the door's. inner: face of the door towards the case; edge: face of the door at the hinges;
    inside: face of the side towards the opening. overlay: how far the door covers the side's edge, negative the gap of
    a door between the sides (mm). lapped: the door stands before the edge of the side."""

    door: Frame
    side: Frame
    run: int
    across: int
    through: int
    inner: Face
    edge: Face
    inside: Face
    overlay: Fraction
    lapped: bool

    def from_edge(self, distance: Fraction) -> Fraction:
        """Coordinate of what lies so far from the hinge edge of the door (mm)."""
        return self.door.shoulder.at(self.edge) - self.edge.side * distance


def hanging(context: FitContext, door: Frame, side: Frame) -> Hanging | None:
    """How a door hangs; None after PD318 where the two cannot be door and side."""
    through, across = door.thickness_axis, side.thickness_axis
    outer = context.outer(door.path)
    inner = towards(door, side.shoulder, through) if outer is None or outer.axis != through else outer.opposite
    if through == across:
        # in a face frame the stile stands beside the door, in its plane; the pin is at the outer face
        beside = [a for a in AXES if a != through and (door.shoulder.hi[a] <= side.shoulder.lo[a] or side.shoulder.hi[a] <= door.shoulder.lo[a])]
        flush = door.shoulder.span(through) == side.shoulder.span(through)
        if context.item.kind != "butt_hinge" or len(beside) != 1 or not flush:
            context.tell.say("PD318", f"`{door.path}` and `{side.path}` lie in the same direction: a door stands square to the part that carries it", mend=f"name the door first, then the side: fit {context.item.name} on door, left_side; a butt hinge also joins a door to a stile beside it in its plane")
            return None
        across = beside[0]
        if outer is None or outer.axis != through:
            inner = Face(through, -1 if through == UP else 1)
    edge = towards(door, side.shoulder, across)
    inside = edge.opposite
    overlay = (side.shoulder.at(inside) - door.shoulder.at(edge)) * inside.side
    lapped = (side.shoulder.at(inner.opposite) - door.shoulder.at(inner)) * inner.side >= 0
    run = 3 - through - across
    lo, hi = max(door.shoulder.lo[run], side.shoulder.lo[run]), min(door.shoulder.hi[run], side.shoulder.hi[run])
    if lo >= hi:
        context.tell.say("PD318", f"`{door.path}` does not stand beside `{side.path}`", mend="name the door first, then the side that carries it")
        return None
    return Hanging(door, side, run, across, through, inner, edge, inside, overlay, lapped)


def door_size(context: FitContext, hung: Hanging) -> tuple[Fraction, Fraction | None]:
    """The whole door, frame and panels together: its height along the hinges (mm) and its weight (kg, estimate: boxes of its
    parts times the densities of their stocks), None where a material is not known."""
    parts = context.moving(hung.door.path) or (hung.door,)
    high = max(p.box.hi[hung.run] for p in parts) - min(p.box.lo[hung.run] for p in parts)
    weights = [None if (weighs := stock_density(p.stock)) is None else weighs * p.box.volume / 10**9 for p in parts]
    known = [w for w in weights if w is not None]
    return high, sum(known, Fraction(0)) if len(known) == len(weights) else None


def usual_number(context: FitContext, hung: Hanging) -> int:
    """How many hinges the door gets where the plan is silent: by its height and its weight."""
    return hinges_for(context.item.kind, *door_size(context, hung))


def check_number(context: FitContext, hung: Hanging, number: int) -> None:
    """PD451 where the door is too high or too heavy for that many hinges."""
    high, weight = door_size(context, hung)
    wanted = hinges_for(context.item.kind, high, weight)
    if number >= wanted:
        return
    notes = [f"it is {context.tell.figure(high)} along the hinges"]
    if weight is not None:
        notes.append(f"it weighs about {float(weight):.1f} kg ({float(weight) * 2.20462:.0f} lb), estimate without hardware")
    notes.append("common practice table; the data sheet of the hinge goes first")
    context.tell.say("PD451", f"`{hung.door.path}` wants {wanted} hinges, here {'is' if number == 1 else 'are'} {number}", notes=tuple(notes), mend=f"give {wanted} places, or: count {wanted}")
