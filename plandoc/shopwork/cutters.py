"""With what a straight channel is cut: a stack of cutters on the saw, a router, or saw and chisel.

A channel that stops short of an end is routed, since a stack leaves a long curve there; a groove that runs through or
lies in an edge at the router table. A stack cuts no channel narrower than its two outer blades; at an edge it may lie
half buried in a wooden fence. A channel wider than a stack is cut in passes. A lap deeper than a stack stands above the
table is sawn at its sides and chopped out.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.entities import Feature, Part
from plandoc.shopwork.measures import Channel

STACK_NARROW = Fraction(6)
"""The two outer blades of a stack alone (mm): 1/4 in. or 6 mm (common practice)."""
STACK_WIDE = Fraction(206375, 10000)
"""The widest stack (mm): 13/16 in. (common practice)."""
STACK_HIGH = Fraction(508, 10)
"""How far a stack of 8 in. stands above the table of a saw for blades of 10 in. (mm), rounded down: 2 in. (common
practice)."""
ROUTED = ("dado", "groove", "rabbet", "sliding_groove", "lap")
"""Operations of channels."""


@dataclass(frozen=True, slots=True)
class Way:
    """How channels are cut. machine: key of the table, empty for the usual one of the operation. title: what is done to
    them, where: what follows. tools: beside the machine."""

    machine: str = ""
    title: str = "Cut"
    tools: tuple[str, ...] = ()
    where: str = ""


STACK = Way()
ROUTER = Way("router", "Rout", ("straight bit", "straight guide", "chisel"))
ROUTER_TABLE = Way("router_table", "Rout", ("straight bit", "featherboard"), " at the router table")
CHAMFER = Way("router_table", "Cut", ("chamfer bit", "block plane"))
BY_HAND = Way("", "Saw and chop", ("marking knife", "square", "fine saw", "chisel", "mallet"))
WAYS = (STACK, ROUTER_TABLE, ROUTER, BY_HAND, CHAMFER)
"""In the order in which their steps come."""


def way_of(kind: str, part: Part, feature: Feature, found: Channel | None) -> Way:
    """The way for a piece of work of this operation; the usual one for all that is neither channel nor chamfer."""
    if feature.kind == "chamfer" and "45°" in feature.note:
        return CHAMFER
    if found is None or kind not in ROUTED:
        return STACK
    if found.depth > STACK_HIGH and kind == "lap":
        return BY_HAND
    narrow = found.flush is None and found.width < STACK_NARROW
    stopped = kind != "lap" and (found.stop_lo or found.stop_hi)
    if not (narrow or stopped or found.depth > STACK_HIGH):
        return STACK
    on_edge = found.face.axis != part.thickness_axis  # no seat there for a router held in the hands
    return ROUTER_TABLE if kind == "groove" and (on_edge or not stopped) else ROUTER


__all__ = ["BY_HAND", "STACK", "STACK_NARROW", "STACK_WIDE", "WAYS", "Way", "way_of"]
