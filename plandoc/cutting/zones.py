"""Boards with zones that are not used: knots, split ends, sapwood. Every part lies beside them, and they are cut around from
edge to edge.

A board is filled part by part. A free piece is split by the part that is put into its low corner, or along an edge of a zone, so
that the kerf falls into the zone. Many fillings are tried; the fullest counts. Boards with zones are filled one after the other,
what is then left goes onto the clear boards, and that is tried for every number of boards with zones.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from plandoc.cutting.chance import Chance
from plandoc.cutting.sheets import SHORT, WORK, fewest, lay_out
from plandoc.cutting.stock import Cut, Layouts, Node, Part, Placed, Rest, Saw, Sheet, SheetLayout, walk

TRIES = 80
"""Fillings of a board that are compared."""
SPREAD = 30
"""By how many per cent the order of the parts is changed in a filling."""

Area = tuple[int, int, int, int]
"""x, y, x end, y end in whole numbers, one kerf behind each part counted to it."""


class _Piece:
    """A piece of the board, whole (`first` is None) or cut. across, at: the cut, from the low end; kind: the part that it became."""

    __slots__ = ("across", "at", "box", "first", "kind", "second", "turned", "zones")

    def __init__(self, box: Area, zones: Sequence[Area]) -> None:
        self.box = box
        self.zones = [z for z in zones if z[0] < box[2] and box[0] < z[2] and z[1] < box[3] and box[1] < z[3]]
        self.first: _Piece | None = None
        self.second: _Piece | None = None
        self.across, self.at, self.kind, self.turned = False, 0, -1, False

    def cut(self, across: bool, at: int) -> tuple[_Piece, _Piece]:
        """Cuts the piece at a distance from its low end."""
        x, y, right, top = self.box
        self.across, self.at = across, at
        self.first = _Piece((x, y, x + at, top) if across else (x, y, right, y + at), self.zones)
        self.second = _Piece((x + at, y, right, top) if across else (x, y + at, right, top), self.zones)
        return self.first, self.second

    def splits(self, kerf: int) -> Iterator[tuple[bool, int]]:
        """Cuts along the edges of the zones: (across, at)."""
        x, y, right, top = self.box
        for z in self.zones:
            for across, low, end, lo, hi in ((True, x, right, z[0], z[2]), (False, y, top, z[1], z[3])):
                if kerf < lo - low < end - low:
                    yield across, lo - low
                if low < hi:
                    at = max(hi - low, 2 * kerf)  # a strip of a kerf at least comes off
                    if at < end - low:
                        yield across, at

    def takes(self, w: int, h: int) -> bool:
        """Whether a part of that size fits clear into the low corner."""
        x, y, right, top = self.box
        return x + w <= right and y + h <= top and not any(z[0] < x + w and z[1] < y + h for z in self.zones)


@dataclass(frozen=True, slots=True)
class _Want:
    """A part with its size in whole numbers, kerf in it."""

    part: Part
    w: int
    h: int

    @property
    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        upright = (self.w, self.h, False)
        return (upright, (self.h, self.w, True)) if self.part.turn and self.w != self.h else (upright,)


class _Filling:
    """One way of filling one board. wants: the parts in the order in which they are tried."""

    def __init__(self, board: Sheet, saw: Saw, scale: int, chance: Chance) -> None:
        self.board, self.saw, self.scale, self.chance = board, saw, scale, chance
        self.kerf = self.whole(saw.kerf)
        low = self.whole(saw.trim)
        zones: list[Area] = []
        for z in board.zones:  # a part may end where a zone begins: the kerf behind it falls into the zone
            x, y = self.whole(z.x) + self.kerf, self.whole(z.y) + self.kerf
            zones.append((x, y, max(self.whole(z.x + z.length), x + 1), max(self.whole(z.y + z.width), y + 1)))
        self.root = _Piece((low, low, self.whole(board.length - saw.trim) + self.kerf, self.whole(board.width - saw.trim) + self.kerf), zones)
        self.free = [self.root]
        self.names: list[str] = []

    def whole(self, length: Fraction) -> int:
        """A length as a whole number of the common unit."""
        return int(length * self.scale)

    def run(self, wants: Sequence[_Want], split: int, upward: int) -> list[int]:
        """Places of what was put in. split: so many pieces are split along zones before anything is put in; upward: 0 the first cut
        beside a part runs across, 1 along, 2 so that the larger rest stays large."""
        for _ in range(split):
            zoned = [p for p in self.free if p.zones and any(True for _ in p.splits(self.kerf))]
            if not zoned:
                break
            piece = zoned[self.chance.below(len(zoned))]
            ways = list(piece.splits(self.kerf))
            self.split(piece, *ways[self.chance.below(len(ways))])
        placed = []
        for number, want in enumerate(wants):
            if self.put(want, upward):
                placed.append(number)
        return placed

    def split(self, piece: _Piece, across: bool, at: int) -> tuple[_Piece, _Piece]:
        self.free.remove(piece)
        made = piece.cut(across, at)
        self.free += made
        return made

    def put(self, want: _Want, upward: int) -> bool:
        """Puts a part into the smallest free piece that takes it, else into one that takes it after one split."""
        found: tuple[int, int, _Piece, int, int, bool, tuple[bool, int] | None] | None = None
        for n, piece in enumerate(self.free):
            for w, h, turned in want.ways:
                for way, after in [(None, piece)] if piece.takes(w, h) else self.beside(piece, w, h):
                    area = (after.box[2] - after.box[0]) * (after.box[3] - after.box[1])
                    mark = (area + (way is not None), n)
                    if found is None or mark < found[:2]:
                        found = (*mark, piece, w, h, turned, way)
        if found is None:
            return False
        _, _, piece, w, h, turned, way = found
        if way is not None:
            piece = next(p for p in self.split(piece, *way) if p.takes(w, h))
        self.free.remove(piece)
        self.names.append(want.part.name)
        self.shape(piece, w, h, upward, len(self.names) - 1, turned)
        return True

    def beside(self, piece: _Piece, w: int, h: int) -> Iterator[tuple[tuple[bool, int] | None, _Piece]]:
        """Splits of a piece after which one of its two takes the part, with that one."""
        for way in piece.splits(self.kerf):
            trial = _Piece(piece.box, piece.zones)
            for one in trial.cut(*way):
                if one.takes(w, h):
                    yield way, one
                    break

    def shape(self, piece: _Piece, w: int, h: int, upward: int, kind: int, turned: bool) -> None:
        """Cuts a part out of the low corner of a piece; what is left is free."""
        x, y, right, top = piece.box
        over, above = right - x - w, top - y - h
        across = upward == 0 or (upward == 2 and over * (top - y) >= above * (right - x))
        for way in (across, not across):
            size, whole = (w, piece.box[2] - piece.box[0]) if way else (h, piece.box[3] - piece.box[1])
            if size < whole:
                piece, rest = piece.cut(way, size)
                self.free.append(rest)
        piece.kind, piece.turned = kind, turned

    def tree(self, piece: _Piece) -> Node | None:
        """The cuts in millimetres; None where the kerf takes all. A cut between two rests is left out."""
        x, y, right, top = (Fraction(v, self.scale) for v in piece.box)
        length, width = right - x - self.saw.kerf, top - y - self.saw.kerf
        if length <= 0 or width <= 0:
            return None
        if piece.kind >= 0:
            return Placed(self.names[piece.kind], x, y, length, width, piece.turned)
        if piece.first is not None and piece.second is not None:
            first, second = self.tree(piece.first), self.tree(piece.second)
            if first is not None and not (isinstance(first, Rest) and (second is None or isinstance(second, Rest))):
                return Cut(x, y, length, width, piece.across, Fraction(piece.at, self.scale) - self.saw.kerf, first, second)
        return Rest(x, y, length, width, self.saw.worth_beside((x, y, length, width), self.board.zones) > 0)


def _orders(wants: Sequence[_Want]) -> list[list[int]]:
    """Weights of the parts: area, length, width, and length before width."""
    longest = max((max(w.w, w.h) for w in wants), default=0) + 1
    return [[w.w * w.h for w in wants], [w.w * longest + w.h for w in wants], [w.h * longest + w.w for w in wants], [w.w + w.h for w in wants]]


def _fullest(board: Sheet, wants: Sequence[_Want], saw: Saw, scale: int) -> tuple[Node, list[int]] | None:
    """The tree of the fullest filling found, then the one with the fewest short pieces along the fence, settings and cuts, and
    the places of its parts; None where no part fits."""
    chance = Chance(3)
    keys = _orders(wants)
    best: tuple[tuple[int, int, int, int, int], Node, list[int]] | None = None
    for number in range(TRIES):
        key = keys[number % len(keys)]
        spread = 0 if number < 8 * len(keys) else SPREAD
        order = [i for _, i in sorted((-key[i] * (100 - spread + (chance.below(2 * spread) if spread else 0)), i) for i in range(len(wants)))]
        filling = _Filling(board, saw, scale, chance)
        placed = [order[i] for i in filling.run([wants[i] for i in order], number // len(keys) % 4, number % 3)]
        if not placed:
            continue
        tree = filling.tree(filling.root)
        assert tree is not None
        cuts = [n for n in walk(tree) if isinstance(n, Cut)]
        mark = (-sum(wants[i].w * wants[i].h for i in placed), sum(not c.across and c.length < SHORT for c in cuts), len({c.at for c in cuts}), len(cuts), number)
        if best is None or mark < best[0]:
            best = mark, tree, placed
    return None if best is None else (best[1], best[2])


def cut_boards(parts: Sequence[Part], boards: Sequence[Sheet], saw: Saw, work: int = WORK) -> Layouts:
    """The fewest boards found for all parts; those with zones are there once each. Offcuts of the rack do not count. `work` limits the
    search on clear boards. The bound takes all boards for clear ones, so it holds for these too."""
    zoned = [b for b in boards if b.zones]
    clear = [b for b in boards if not b.zones]
    if not zoned:
        return lay_out(parts, boards, saw, work=work)
    bound = fewest(parts, [replace(b, zones=()) for b in boards], saw)
    figures = [saw.kerf, saw.trim, *(x for p in parts for x in (p.length, p.width)), *(x for b in zoned for x in (b.length, b.width)), *(x for b in zoned for z in b.zones for x in (z.x, z.y, z.length, z.width))]
    scale = lcm(*(Fraction(x).denominator for x in figures))
    wants = [_Want(p, int((p.length + saw.kerf) * scale), int((p.width + saw.kerf) * scale)) for p in parts for _ in range(p.count)]
    best: tuple[tuple[Fraction, Fraction, int, Fraction], Layouts] | None = None
    by_size = sorted(zoned, key=lambda b: (-b.length * b.width, b.name))
    for order in (by_size, by_size[::-1]) if len(zoned) > 1 else (by_size,):
        left, filled = list(wants), list[SheetLayout]()
        for used in range(len(order) + 1):
            if used:
                found = _fullest(order[used - 1], left, saw, scale)
                if found is None:
                    continue
                filled.append(SheetLayout(order[used - 1], found[0]))
                left = [w for i, w in enumerate(left) if i not in found[1]]
            rest = lay_out(_counted(left), clear, saw, work=work)
            made = Layouts((*rest.sheets, *filled), "sheets", bound, False, rest.unplaced)
            made = replace(made, proved=not made.unplaced and made.cost == bound)
            size = {p.name: p.length * p.width for p in parts}
            mark = (sum((size[name] * n for name, n in made.unplaced), Fraction(0)), made.cost, len(made.sheets), sum((s.sheet.length * s.sheet.width for s in made.sheets), Fraction(0)))
            if best is None or mark < best[0]:
                best = mark, made
    assert best is not None
    return best[1]


def _counted(wants: Sequence[_Want]) -> list[Part]:
    """The parts that are left, like ones together."""
    counts: dict[str, int] = {}
    for w in wants:
        counts[w.part.name] = counts.get(w.part.name, 0) + 1
    parts = {w.part.name: w.part for w in wants}
    return [replace(parts[name], count=n) for name, n in counts.items()]
