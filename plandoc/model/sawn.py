"""Parts and sheets as the saw meets them: before banding, with allowances; the kerf and trim that layouts count on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from plandoc.cutting.lengths import Bar, Piece
from plandoc.cutting.stock import Part as Cutout
from plandoc.cutting.stock import Saw, Sheet
from plandoc.geometry.bodies import Box
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.roughsizes import rough_pieces
from plandoc.tables.sawing import KEEP, KERF, TRIM

WORK = 1500
"""Counted search work for each part of a layout; keeps the pass short."""
BAND = "edge band"
"""The kind of the feature that a banded edge is."""


def sawn_box(part: Part) -> Box:
    """The part as it is sawn, before its edges are banded (mm)."""
    box = part.box
    for feature in part.features:
        if feature.kind == BAND and feature.face is not None:
            strip = next((f for f in feature.figures if f.role == "band"), None)
            if strip is not None:
                box = box.with_face(feature.face, box.at(feature.face) - feature.face.side * (strip.hi - strip.lo))
    return box


SAWS = ("table_saw", "track_saw", "mitre_saw", "saw_blade")
"""Machines of a shop whose kerf a layout must leave room for; the widest one counts, so that no piece comes out short."""


def saw_of(model: Model) -> Saw:
    """The saw that the layouts count on (mm): kerf and trim of the plan, else of the shop, else of the table."""
    system = "inch" if model.info.units.system == "inch" else "mm"
    kerf, trim = model.info.kerf, model.info.trim
    if kerf is None:
        kerf = max(_figures(model, "kerf"), default=KERF[system])
    if trim is None:
        trim = max(_figures(model, "trim"), default=TRIM[system])
    return Saw(kerf, trim, *KEEP[system])


def saw_words(model: Model) -> tuple[str, str]:
    """Whose the kerf and the trim are: `plan`, `shop` or `assumed`."""

    def whose(word: str, own: Fraction | None) -> str:
        return "plan" if own is not None else "shop" if not model.shop.assumed and _figures(model, word) else "assumed"

    return whose("kerf", model.info.kerf), whose("trim", model.info.trim)


def _figures(model: Model, word: str) -> list[Fraction]:
    return [value for machine in model.shop.machines if machine.key in SAWS for value in machine.all(word)]


def sawn_size(part: Part) -> tuple[Fraction, Fraction]:
    """Length and width of a sheet part at the saw (mm): before banding, with its allowance."""
    box = sawn_box(part)
    return box.size(part.length_axis) + part.allowance.long, box.size(part.width_axis) + part.allowance.wide


def sheets_of(stock: Stock) -> list[Sheet]:
    """The offcuts in the rack, the full sheet, as many as wanted, and the further sizes. A price of 1 stands for one that the plan
    does not give. Needs width and length of the stock."""
    assert stock.width is not None and stock.length is not None
    price = stock.price if stock.price is not None and stock.price_unit == "sheet" else Fraction(1)
    further = [
        Sheet(f"sheet {n}", length, width, Fraction(1) if own is None else own, count)
        for n, (width, length, own, count) in enumerate(stock.also, 2)
    ]
    rack = [
        Sheet(f"offcut {n + 1}", length, width, Fraction(0), stock.rack.count((width, length)), True)
        for n, (width, length) in enumerate(dict.fromkeys(stock.rack))
    ]
    return [*rack, Sheet("sheet", stock.length, stock.width, price), *further]


def aim_of(stock: Stock) -> str:
    """What the layout of sheets makes small: `money` where there are several sizes and each has its price, else `sheets`."""
    priced = stock.price is not None and stock.price_unit == "sheet" and all(price is not None for _, _, price, _ in stock.also)
    return "money" if stock.also and priced else "sheets"


def bars_to_hand(stock: Stock) -> list[Bar]:
    """Battens or rod to hand, each by its number in the plan; those from the rack come first and cost nothing."""
    return [Bar(f"{n + 1}", length, Fraction(n >= len(stock.rack)), 1) for n, (_, length) in enumerate(stock.rack + stock.boards)]


def boards_to_hand(stock: Stock) -> list[Sheet]:
    """Boards to hand and offcuts in the rack, each named by the number of the first of its kind; those of one size together, boards
    with zones that are not used each by itself."""
    made = []
    for pieces, word, racked in ((stock.rack, "offcut", True), (stock.boards, "board", False)):
        zones = {n: tuple(z for number, z in stock.defects if number == n and not racked) for n in range(1, len(pieces) + 1)}
        clear = [(n, size) for n, size in enumerate(pieces, 1) if not zones[n]]
        for n, (width, length) in enumerate(pieces, 1):
            alike = [m for m, size in clear if size == (width, length)]
            if zones[n]:
                made.append(Sheet(f"{word} {n}", length, width, Fraction(1), 1, zones=zones[n]))
            elif n == alike[0]:
                made.append(Sheet(f"{word} {n}", length, width, Fraction(not racked), len(alike), racked))
    return made


def lengths(parts: Sequence[Part]) -> list[Piece]:
    """Lengths that parts take from bars, those of one mark and length together."""
    counts: dict[tuple[str, Fraction], int] = {}
    for part in parts:
        key = (part.mark or part.path, part.rough_length)
        counts[key] = counts.get(key, 0) + part.count
    return [Piece(mark, length, count) for (mark, length), count in counts.items()]


def blanks(parts: Sequence[Part]) -> list[Cutout]:
    """Rough pieces that parts take from boards, those of one mark and size together; none is turned."""
    counts: dict[tuple[str, Fraction, Fraction], int] = {}
    for part in parts:
        for piece in rough_pieces(part):
            key = (part.mark or part.path, piece.length, piece.width)
            counts[key] = counts.get(key, 0) + piece.count * part.count
    return named_cutouts(counts, False)


def mark_of_cutout(name: str) -> str:
    """The mark in the name of a rectangle to cut, its number left out."""
    return name.partition(" (")[0]


def named_cutouts(counts: Mapping[tuple[str, Fraction, Fraction], int], turn: bool) -> list[Cutout]:
    """Rectangles to cut by mark, length and width; where one mark has several sizes they are numbered."""
    marks = [mark for mark, _, _ in counts]
    return [
        Cutout(mark if marks.count(mark) == 1 else f"{mark} ({marks[: n + 1].count(mark)})", length, width, count, turn)
        for n, ((mark, length, width), count) in enumerate(counts.items())
    ]
