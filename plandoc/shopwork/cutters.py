"""With what a straight channel is cut: a stack of cutters on the saw, a router, or saw and chisel; and why.

A channel that stops short of an end is routed, since a stack leaves a long curve there; a groove that runs through or
lies in an edge at the router table. A stack cuts no channel narrower than its two outer blades; at an edge it may lie
half buried in a wooden fence. A channel wider than a stack is cut in passes. A lap deeper than a stack stands above the
table is sawn at its sides and chopped out. A part that neither fence nor mitre gauge of the saw can guide is routed along a
straight guide; so is every channel where the shop has no stack.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.density import stock_density
from plandoc.model.entities import Feature, Part
from plandoc.quantity import Units, shop_text
from plandoc.shopwork.capacity import HEAVY_KG, Choice, hold
from plandoc.shopwork.measures import Channel
from plandoc.shopwork.names import mass_words
from plandoc.tables.shop import Shop, ShopMachine

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


def stack_saw(shop: Shop) -> ShopMachine | None:
    """The first saw of the shop that takes a stack of cutters."""
    return next((m for m in shop.machines if m.key == "table_saw" and m.one("stack") is not None), None)


def stack_narrow(shop: Shop) -> Fraction:
    """The two outer blades of the stack alone (mm); 1/4 in where the shop does not say (common practice)."""
    saw = stack_saw(shop)
    outer = saw.one("outer") if saw is not None else None
    return 2 * outer if outer is not None else Fraction(635, 100)


def stack_wide(shop: Shop) -> Fraction:
    """The widest stack of cutters, or the widest straight bit where there is no stack (mm)."""
    saw = stack_saw(shop)
    if saw is not None:
        return saw.one("stack") or Fraction(0)
    bits = [bit for m in shop.machines if m.key in ("router", "router_table") for bit in m.all("bits")]
    return max(bits, default=Fraction(190, 10))


def way_of(shop: Shop, kind: str, part: Part, feature: Feature, found: Channel | None, units: Units) -> Way:
    """The way for a piece of work of this operation; the usual one for all that is neither channel nor chamfer."""
    if feature.kind == "chamfer" and "45°" in feature.note:
        return CHAMFER
    if found is None or kind not in ROUTED:
        return STACK
    return way_and_reason(shop, units, kind, part, feature, found)[0]


def way_and_reason(shop: Shop, units: Units, kind: str, part: Part, feature: Feature, found: Channel) -> tuple[Way, Choice]:
    """The way in which a channel is cut, and its machine with the reason."""
    refused: list[tuple[str, str]] = []

    def say(length: Fraction) -> str:
        return shop_text(length, units.fine, mark=True)

    saw = stack_saw(shop)
    why = _stack_bars(saw, shop, kind, part, found, say, hold(units))
    if saw is not None and not why:
        passes = "; in passes" if found.width > stack_wide(shop) else ""
        return STACK, Choice("table_saw", saw, f"stack of cutters, {_guided(saw, part, found, hold(units))}{passes}")
    if found.depth > STACK_HIGH and kind == "lap":
        return BY_HAND, Choice("hand_tools", None, f"saw and chisel: {say(found.depth)} deep, a stack stands {say(STACK_HIGH)} above the table")
    refused.append(("Stack of cutters", why))
    on_edge = found.face.axis != part.thickness_axis  # no seat there for a router held in the hands
    stopped = kind != "lap" and bool(found.stop_lo or found.stop_hi)
    small = _mass(part) <= HEAVY_KG and found.length >= found.near  # it can be carried over a table and bears on its fence
    table_first = kind in ("groove", "rabbet") and (on_edge or (not stopped and small))
    for way in (ROUTER_TABLE, ROUTER) if table_first else (ROUTER, ROUTER_TABLE):
        for one in (m for m in shop.machines if m.key == way.machine):
            bars = _router_bars(one, found, on_edge and way is ROUTER, say)
            if not bars:
                guide = "along a straight guide" if way is ROUTER else "along its fence"
                return way, Choice(way.machine, one, f"{guide}, not with a stack of cutters: {why}", tuple(refused))
            refused.append((one.name, bars))
    if kind == "lap":
        return BY_HAND, Choice("hand_tools", None, f"saw and chisel: {why}", tuple(refused))
    return ROUTER_TABLE if table_first else ROUTER, Choice("", None, "", tuple(refused))


def fence_guides(shop: Shop, units: Units, length: Fraction, near: Fraction) -> bool:
    """Whether a face of `length` bears on the fence of the saw with the stack, the channel beginning `near` from it (mm)."""
    saw = stack_saw(shop)
    rip = saw.one("rip") if saw is not None else None
    return length >= max(near, hold(units)) and (rip is None or near <= rip)


def _nears(part: Part, found: Channel) -> tuple[Fraction, ...]:
    """From the faces that may ride the fence to the channel (mm): nothing where it is open there, else the reference face and the one
    opposite."""
    if found.flush is not None:
        return (Fraction(0),)
    return found.near, part.box.size(found.across) - found.near - found.width


def _stack_bars(saw: ShopMachine | None, shop: Shop, kind: str, part: Part, found: Channel, say: Callable[[Fraction], str], least: Fraction) -> str:
    """Why a stack on the saw cannot cut the channel, "" where it can."""
    narrow = stack_narrow(shop)
    if kind != "lap" and (found.stop_lo or found.stop_hi):
        return "the channel stops short of an end, where a stack leaves a long curve"
    if saw is None:
        return "not in this shop"
    if found.flush is None and found.width < narrow:
        return f"{say(found.width)} wide, its two outer blades alone cut {say(narrow)}"
    if found.depth > STACK_HIGH:
        return f"{say(found.depth)} deep, it stands {say(STACK_HIGH)} above the table"
    if _mass(part) > (saw.one("heavy") or HEAVY_KG):
        return f"the part weighs about {mass_words(_mass(part))}, too much to guide over it"
    if not _guided(saw, part, found, least):
        rip, near = saw.one("rip"), min(_nears(part, found))
        if rip is not None and near > rip:
            return f"{say(near)} from the nearer end, its fence opens {say(rip)}"
        return f"the end of {say(found.length)} on the fence is shorter than the {say(near)} to the channel, and too wide for the mitre gauge"
    return ""


def _guided(saw: ShopMachine, part: Part, found: Channel, least: Fraction) -> str:
    """What guides the part over the stack: the fence, along either of the faces beside the channel, else the mitre gauge; "" where
    neither can."""
    rip, gauge, nears = saw.one("rip"), saw.one("crosscut"), _nears(part, found)
    if any(found.length >= max(near, least) and (rip is None or near <= rip) for near in nears):
        return "along the fence"
    if gauge is not None and found.length <= gauge:
        return "on the mitre gauge"
    if any(found.length >= near and (rip is None or near <= rip) for near in nears):
        return "along the fence with a push block"
    return ""


def _router_bars(one: ShopMachine, found: Channel, on_edge: bool, say: Callable[[Fraction], str]) -> str:
    if on_edge:
        return "it has no seat on an edge"
    deep, bits = one.one("deep"), one.all("bits")
    if deep is not None and found.depth > deep:
        return f"{say(found.depth)} deep, it reaches {say(deep)}"
    if bits and min(bits) > found.width:
        return f"{say(found.width)} wide, its narrowest bit is {say(min(bits))}"
    return ""


def _mass(part: Part) -> Fraction:
    weighs = stock_density(part.stock)
    return Fraction(0) if weighs is None else part.box.volume * weighs / 10**9


__all__ = ["BY_HAND", "ROUTED", "STACK", "WAYS", "Way", "fence_guides", "stack_narrow", "stack_wide", "way_and_reason", "way_of"]
