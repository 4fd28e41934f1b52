"""Reading the arguments of a joint, and the tools that a shop has, for all kinds of joint."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import HardwareItem
from plandoc.model.kinds import JointContext, LeaningContext
from plandoc.quantity import INCH
from plandoc.quantity.shoptext import round_to

ZERO = Fraction(0)
Told = JointContext | LeaningContext


def length(context: Told, name: str) -> Fraction:
    """The length of that word (mm), 0 where the plan is silent."""
    value = context.args.get(name)
    return value if isinstance(value, Fraction) else ZERO


def given(context: Told, name: str) -> Fraction | None:
    """The length of that word (mm), None where the plan is silent."""
    value = context.args.get(name)
    return value if isinstance(value, Fraction) else None


def lengths(context: Told, name: str) -> tuple[Fraction, ...]:
    """The lengths of that word (mm)."""
    value = context.args.get(name)
    return tuple(v for v in value if isinstance(v, Fraction)) if isinstance(value, tuple) else ()


def face(context: Told, name: str) -> Face | None:
    """The face of that word."""
    value = context.args.get(name)
    if isinstance(value, tuple):
        value = value[0] if value else None
    return value if isinstance(value, Face) else None


def item(context: Told, name: str) -> HardwareItem | None:
    """The hardware of that word."""
    value = context.args.get(name)
    return value if isinstance(value, HardwareItem) else None


def count(context: Told, name: str, usual: int = 1) -> int:
    """The whole number of that word."""
    value = context.args.get(name)
    return value if isinstance(value, int) and not isinstance(value, bool) else usual


def tool(size: Fraction, inches: bool) -> Fraction:
    """The nearest chisel, bit or dado width: steps of 1/16 in or 1 mm (common practice), never nothing."""
    step = INCH / 16 if inches else Fraction(1)
    return max(step, round_to(size, step))


def loose_span(lo: Fraction, hi: Fraction, fit: Fraction, datum: int) -> tuple[Fraction, Fraction]:
    """lo..hi wider by the fit on the side away from the reference face: what lies nearer to that face keeps one figure
    on both parts (mm)."""
    return (lo, hi + fit) if datum < 0 else (lo - fit, hi)
