"""From sets of parts that fit to the order of cuts.

A join says which parts lie beside or above each other; sizes come from the parts, so it holds on any sheet
that is large enough. A tree of cuts is made from it with exact lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.stock import Cut, Node, Placed, Rest, Saw


@dataclass(frozen=True, slots=True)
class Leaf:
    """One part of a kind as it lies, in whole numbers with the kerf in them."""

    kind: int
    w: int
    h: int


@dataclass(frozen=True, slots=True)
class Join:
    """Things beside each other (across cuts part them) or above each other."""

    beside: bool
    things: tuple[Joined, ...]
    w: int
    h: int


Joined = Leaf | Join


def join(beside: bool, things: Sequence[Joined | None]) -> Joined | None:
    """Joins things; joins of the same direction become one, the largest things first, so that equal cuts follow each other."""
    flat: list[Joined] = []
    for t in things:
        if t is None:
            continue
        flat += t.things if isinstance(t, Join) and t.beside == beside else (t,)
    if not flat:
        return None
    if len(flat) == 1:
        return flat[0]
    flat.sort(key=(lambda t: (-t.w, -t.h)) if beside else (lambda t: (-t.h, -t.w)))
    if beside:
        return Join(True, tuple(flat), sum(t.w for t in flat), max(t.h for t in flat))
    return Join(False, tuple(flat), max(t.w for t in flat), sum(t.h for t in flat))


def even(row: Join) -> bool:
    """Whether a row is of parts alone that are equal beside its direction."""
    return all(isinstance(t, Leaf) for t in row.things) and len({t.h if row.beside else t.w for t in row.things}) == 1


@dataclass(frozen=True, slots=True)
class Namer:
    """What a leaf is called and whether it lies turned."""

    names: tuple[str, ...]
    upright: tuple[tuple[int, int], ...]  # size of each kind when it is not turned

    def placed(self, leaf: Leaf, x: Fraction, y: Fraction, length: Fraction, width: Fraction) -> Placed:
        return Placed(self.names[leaf.kind], x, y, length, width, (leaf.w, leaf.h) != self.upright[leaf.kind])


@dataclass(frozen=True, slots=True)
class Sawing:
    """Makes trees of cuts; `scale` whole numbers are one millimetre. `spread`: scrap beside a row of things is not taken off the
    whole row, which needs a setting of its own, but left to the cuts of each thing. rips: where both ways are to be cut and the piece
    that comes off is shorter than this (mm), it is ripped first, from the longer piece."""

    saw: Saw
    scale: int
    namer: Namer
    spread: bool = False
    rips: Fraction = Fraction(0)

    def tree(self, thing: Joined, x: Fraction, y: Fraction, length: Fraction, width: Fraction) -> Node:
        """The cuts that take a thing out of a piece of that size (mm)."""
        kerf = self.saw.kerf
        w, h = Fraction(thing.w, self.scale) - kerf, Fraction(thing.h, self.scale) - kerf
        spare_l, spare_w = length - w, width - h
        if isinstance(thing, Leaf):
            along, up = spare_l > 0, spare_w > 0
        else:  # what is spare in a join's own direction is left over by its last cut
            along, up = spare_l > 0 and (not thing.beside or spare_w > 0), spare_w > 0 and (thing.beside or spare_l > 0)
            if self.spread and self.scrap(thing, length, width, spare_l, spare_w):
                if not even(thing):
                    return self.series(thing.beside, thing.things, x, y, length, width)
                along, up = not thing.beside, thing.beside  # one cut for all, at a setting that each would need
        if along and up:  # the first of the two cuts leaves the larger rest
            along = spare_l * width >= spare_w * length
            if along and w < self.rips:  # but an offcut worth keeping is not given up for that
                along = self.saw.worth_keeping(spare_l - kerf, width) and not self.saw.worth_keeping(length, spare_w - kerf)
            up = not along
        if along:
            first = self.tree(thing, x, y, w, width)
            return Cut(x, y, length, width, True, w, first, self.rest(x + w + kerf, y, spare_l - kerf, width))
        if up:
            first = self.tree(thing, x, y, length, h)
            return Cut(x, y, length, width, False, h, first, self.rest(x, y + h + kerf, length, spare_w - kerf))
        if isinstance(thing, Leaf):
            return self.namer.placed(thing, x, y, length, width)
        return self.series(thing.beside, thing.things, x, y, length, width)

    def scrap(self, thing: Join, length: Fraction, width: Fraction, spare_l: Fraction, spare_w: Fraction) -> bool:
        """Whether something is spare beside a row that is not worth keeping."""
        if thing.beside:
            return spare_w > 0 and not self.saw.worth_keeping(length, spare_w - self.saw.kerf)
        return spare_l > 0 and not self.saw.worth_keeping(spare_l - self.saw.kerf, width)

    def series(self, beside: bool, things: Sequence[Joined], x: Fraction, y: Fraction, length: Fraction, width: Fraction) -> Node:
        """Takes things off a piece one after the other."""
        if len(things) == 1:
            return self.tree(things[0], x, y, length, width)
        kerf = self.saw.kerf
        if beside:
            at = Fraction(things[0].w, self.scale) - kerf
            first = self.tree(things[0], x, y, at, width)
            return Cut(x, y, length, width, True, at, first, self.series(True, things[1:], x + at + kerf, y, length - at - kerf, width))
        at = Fraction(things[0].h, self.scale) - kerf
        first = self.tree(things[0], x, y, length, at)
        return Cut(x, y, length, width, False, at, first, self.series(False, things[1:], x, y + at + kerf, length, width - at - kerf))

    def rest(self, x: Fraction, y: Fraction, length: Fraction, width: Fraction) -> Rest | None:
        """What is left, None where the kerf took it all."""
        if length <= 0 or width <= 0:
            return None
        return Rest(x, y, length, width, self.saw.worth_keeping(length, width))
