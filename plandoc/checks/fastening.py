"""What the checks of pins and screws share: the way of each fastener through B into A."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Point3, other_axes
from plandoc.model.entities import Fastening, Joint, Model, Part

OWN_RULES = ("pocket screw", "biscuit", "spline")
"""What goes another way than through B into A; their joints see to it that they fit."""


@dataclass(frozen=True, slots=True)
class Way:
    """One fastener: from `start` on B in direction `side` (-1 or +1) of its axis, through `b` into `a`. number: from
    1 within its fastening."""

    joint: Joint
    fastening: Fastening
    number: int
    start: Point3
    side: int
    a: Part
    b: Part

    @property
    def name(self) -> str:
        """`dowel 2 of the rabbet left_side/top`."""
        return f"{self.fastening.kind} {self.number} of the {self.joint.kind} {self.a.path} into {self.b.path}"

    def ahead(self, coordinate: Fraction) -> Fraction:
        """How far (mm) a coordinate on the fastener's axis lies ahead of its start."""
        return (coordinate - self.start[self.fastening.axis]) * self.side

    def entering(self, part: Part) -> Fraction:
        """Where it enters a part's box, mm from its start."""
        return min(self.ahead(v) for v in part.box.span(self.fastening.axis))

    def leaving(self, part: Part) -> Fraction:
        """Where it would leave a part's box, mm from its start."""
        return max(self.ahead(v) for v in part.box.span(self.fastening.axis))

    def cover(self, part: Part) -> Fraction:
        """Wood between the fastener's axis and the nearest side face of a part (mm), negative where the axis passes
        beside the part."""
        sides = []
        for axis in other_axes(self.fastening.axis):
            lo, hi = part.box.span(axis)
            sides += [self.start[axis] - lo, hi - self.start[axis]]
        return min(sides)


def ways(model: Model) -> Iterator[Way]:
    """Every pin, peg and screw that goes through B into A, of every joint between placed parts, in plan order."""
    placed = {part.path: part for part in model.placed}
    for joint in model.joints:
        a, b = placed.get(joint.a), placed.get(joint.b)
        if a is None or b is None or a.lean != b.lean:
            continue
        for fastening in joint.fasteners:
            # their kinds of joint see to the room that they need
            if fastening.blind or fastening.kind in ("plug", "key") or fastening.kind in OWN_RULES:
                continue
            for number, centre in enumerate(fastening.centres, 1):
                yield Way(joint, fastening, number, centre, _side(fastening, centre, b), a, b)


def _side(fastening: Fastening, centre: Point3, b: Part) -> int:
    """Into B from the outer face on which the centre lies."""
    lo, hi = b.box.span(fastening.axis)
    return 1 if abs(centre[fastening.axis] - lo) <= abs(hi - centre[fastening.axis]) else -1
