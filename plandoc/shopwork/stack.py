"""The stack of cutters for a width: two outer blades, chippers between them, shims for the rest. Exact, mm.

The two outer blades always run together, so they are the least width (read in a review of such blades). Chippers fill
as much as they can, shims what is left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from plandoc.quantity import Units
from plandoc.quantity.shoptext import round_to
from plandoc.tables.shop import Shop

CLOSE = Fraction(1, 20)
"""How far a set-up may be off the drawn width (mm)."""
SAW = "table_saw"


@dataclass(frozen=True, slots=True)
class Stack:
    """Two blades of thickness `outer`, chippers and shims (mm each, thickest first)."""

    outer: Fraction
    chippers: tuple[Fraction, ...] = ()
    shims: tuple[Fraction, ...] = ()

    @property
    def width(self) -> Fraction:
        """The width that it cuts (mm)."""
        return 2 * self.outer + sum(self.chippers, Fraction(0)) + sum(self.shims, Fraction(0))

    @property
    def pieces(self) -> tuple[tuple[int, Fraction], ...]:
        """Count and thickness of the chippers, thickest first."""
        return tuple((count, thick) for thick, count in Counter(self.chippers).items())


MOST_PIECES = 14
"""More chippers, or more shims, than this are not tried."""


@lru_cache(maxsize=64)
def _sums(pieces: tuple[Fraction, ...]) -> tuple[tuple[Fraction, tuple[Fraction, ...]], ...]:
    """Every sum that some of the pieces have, with the fewest of them, thickest first."""
    found: dict[Fraction, tuple[Fraction, ...]] = {Fraction(0): ()}
    for piece in sorted(pieces[:MOST_PIECES], reverse=True):
        for total, some in tuple(found.items()):
            more = (*some, piece)
            if total + piece not in found or len(more) < len(found[total + piece]):
                found[total + piece] = more
    return tuple(sorted(found.items()))


def plain_stacks(shop: Shop) -> tuple[Stack, ...]:
    """All stacks without shims, the narrowest first; none where the shop's saw takes no stack."""
    saw = shop.machine(SAW)
    outer, most = (None, None) if saw is None else (saw.one("outer"), saw.one("stack"))
    if saw is None or outer is None or most is None:
        return ()
    found = [Stack(outer, chippers) for _, chippers in _sums(saw.all("cutters"))]
    return tuple(stack for stack in found if stack.width <= most)


def stack_for(width: Fraction, shop: Shop) -> Stack | None:
    """The stack nearest to a width, wider than it by no more than the finest shim; None where the two outer blades
    alone are wider, or there is no stack. Whether it is near enough, `close` says; else a
    narrower cutter makes the width in passes."""
    plain = [stack for stack in plain_stacks(shop) if stack.width <= width]
    if not plain:
        return None
    base = plain[-1]
    saw = shop.machine(SAW)
    assert saw is not None
    shims, most = saw.all("shims"), saw.one("stack")
    assert most is not None
    room, over = width - base.width, min(shims, default=Fraction(0))
    able = [(total, some) for total, some in _sums(shims) if total <= room + over and base.width + total <= most]
    _, some = min(able, key=lambda row: (abs(row[0] - room), len(row[1]), -row[0]))
    return Stack(base.outer, base.chippers, some)


def close(stack: Stack, width: Fraction) -> bool:
    """Whether the stack cuts this width within what a set-up may be off."""
    return abs(stack.width - width) <= CLOSE


def buried(width: Fraction, shop: Shop, mounted: Sequence[Stack], spare: Fraction) -> Stack | None:
    """A stack that lies partly in a wooden fence and cuts `width` beside it: the narrowest that is mounted anyhow, else the
    narrowest without shims; None where none is wider than the width by `spare`."""
    for stacks in (mounted, plain_stacks(shop)):
        able = [stack for stack in stacks if stack.width >= width + spare]
        if able:
            return min(able, key=lambda stack: (stack.width, len(stack.shims)))
    return None


def passes(width: Fraction, cutter: Fraction) -> tuple[Fraction, ...]:
    """How far the near side of a narrower cutter stands from the near side of the channel, pass by pass (mm): at both sides of
    it, and evenly between them so that nothing stays standing."""
    count = -(-width // cutter)
    if count <= 1:
        return (Fraction(0),)
    return tuple((width - cutter) * n / (count - 1) for n in range(count))


def edge_passes(width: Fraction, cutter: Fraction, units: Units) -> tuple[Fraction, ...]:
    """How far the far side of a cutter stands from the edge, pass by pass (mm): the first at the whole width, the others in even steps,
    at figures of the plan where the cutter still takes all that is left."""
    count = int(-(-width // cutter))
    even = [width - width * n / count for n in range(max(count, 1))]
    found = [width]
    for at in even[1:]:
        plain = units.unit_mm * round_to(at / units.unit_mm, units.step)
        last = at is even[-1]
        found.append(plain if found[-1] - cutter <= plain < found[-1] and plain > 0 and not (last and plain > cutter) else at)
    good = found[-1] <= cutter and all(one - two <= cutter for one, two in pairwise(found))
    return tuple(found if good else even)


__all__ = ["CLOSE", "Stack", "buried", "close", "edge_passes", "passes", "plain_stacks", "stack_for"]
