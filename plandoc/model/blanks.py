"""Rough sizes beside those of `allowance` lines: blanks of parts that a router cuts out (`larger blank`), short panels."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from math import ceil

from plandoc.model.entities import NO_ALLOWANCE, Allowance, Model, Part, RoutingWish
from plandoc.model.ordered import ordered
from plandoc.quantity import INCH, Units
from plandoc.tables.shop import Shop
from plandoc.toolpath.practice import CLAMP_REACH, OUTSIDE

STEP = {"inch": INCH / 8, "mm": Fraction(1)}
"""What a blank is rounded up to on every side (mm)."""


def blank_margin(wish: RoutingWish, units: Units) -> Fraction:
    """How far a blank is larger than its part on every side (mm): the way of the widest bit around it, and what clamps reach in."""
    reach = max((reach for _, reach in wish.clamps), default=Fraction(CLAMP_REACH))
    step = STEP["inch" if units.system == "inch" else "mm"]
    return ceil((max(wish.bits) + Fraction(OUTSIDE) + reach) / step) * step


def out_of_blanks(parts: Iterable[Part], wishes: Iterable[RoutingWish], units: Units) -> list[Part]:
    """The parts, those that are cut out of a blank with its spare as their allowance where their own is less."""
    margins = {wish.part: blank_margin(wish, units) for wish in wishes if wish.out}
    return [replace(part, allowance=_spare(part, 2 * margins[part.path])) if part.path in margins else part for part in parts]


def _spare(part: Part, spare: Fraction) -> Allowance:
    if ordered(part.stock):
        return NO_ALLOWANCE
    wide = max(part.allowance.wide, spare) if part.stock.kind in ("sheet", "lumber") else Fraction(0)
    return Allowance(max(part.allowance.long, spare), wide)


def least_long(shop: Shop, units: Units) -> Fraction:
    """The shortest piece (mm) that jointer and planer of the shop both take, one that names none 12 in or 300 mm (common practice); 0
    where the shop has neither."""
    usual = 12 * INCH if units.system == "inch" else Fraction(300)
    return max((machine.one("short") or usual for machine in shop.machines if machine.key in ("jointer", "planer")), default=Fraction(0))


def long_enough(part: Part, shop: Shop, units: Units) -> Part:
    """A panel that is glued up with its boards as long as the planer takes at least: it is planed before its ends are trimmed."""
    short = least_long(shop, units) - part.length
    return part if short <= part.allowance.long else replace(part, allowance=Allowance(short, part.allowance.wide))


def blank_paths(model: Model) -> frozenset[str]:
    """Paths of the parts that stay blanks until the router cuts them out."""
    return frozenset(wish.part for wish in model.routings if wish.out)
