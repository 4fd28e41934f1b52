"""What a machine is set to, and one cut that is made at that setting. All lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.shopwork.stack import Stack

BLADE, STACK, BIT, DRILL = "blade", "stack", "bit", "drill"
NEAR, FAR, CENTRE, POINT = "near", "far", "centre", "long point"
NO_ANGLE = ""


@dataclass(frozen=True, slots=True)
class Cutter:
    """kind: blade, stack, bit (straight bit of a router) or drill. width: of the cut, diameter of a bit. stack: its pieces. name: of
    the blade for the task, with its teeth, where the shop lists one."""

    kind: str
    width: Fraction
    stack: Stack | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class Setting:
    """All that is set before the first cut.

    machine: key of the table of machines. guide: what the work is measured by, fence or stop. side: the side of the cutter to
    which `fence` goes, seen from the face that rides the guide: near, far, centre of a drill, or the long point of a cut at an angle. fence: its distances, several
    where a wide channel takes several passes. height: of the cutter over the table, depth of a bit; None right through. angle:
    words for a tilted blade or a turned gauge. thick: of what a blade cuts right through, since it sets how far the blade stands out."""

    machine: str
    cutter: Cutter
    guide: str
    side: str
    fence: tuple[Fraction, ...]
    height: Fraction | None = None
    angle: str = NO_ANGLE
    thick: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece of work at a setting. feature: its id; `length` or `width` of a cut to size. worked: the face that is cut into; down:
    the face on the table or bench, None where it does not matter; rides: the face at fence or stop. places: of holes, from `end`, the face at the stop; run: from there to where a mortise begins and ends (mm). kind: the
    trade's operation. wide: the width of the channel that comes out; stops: wood left standing before those faces at the ends of its run. up: the
    long point of a cut at an angle. before: work that takes away the faces from which this cut is measured, "" of most. count: pieces of a cut
    to size, 0 of other work: all."""

    path: str
    feature: str
    kind: str
    rides: Face
    down: Face | None = None
    wide: Fraction = Fraction(0)
    stops: tuple[tuple[Face, Fraction], ...] = ()
    places: tuple[Fraction, ...] = ()
    end: Face | None = None
    up: Face | None = None
    worked: Face | None = None
    run: tuple[Fraction, Fraction] | None = None
    before: str = ""
    count: int = 0


Way = tuple[Setting, Cut]
