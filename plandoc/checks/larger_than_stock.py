"""PD364: a part that no sheet, board, batten or rod of its stock can hold."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Stock
from plandoc.model.roughsizes import RoughPiece, rough_pieces
from plandoc.model.sawn import saw_of, sawn_size, sheets_of
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report each part that is larger than the largest piece of its stock, the edge trim taken off."""
    saw, units = saw_of(model), model.info.units
    lost = 2 * saw.trim

    def say(length: Fraction) -> str:
        return shop_text(length, units, mark=True)

    for part in model.parts:
        stock = part.stock
        if stock.kind == "sheet" and stock.width is not None and stock.length is not None:
            long, wide = sawn_size(part)
            ways = ((long, wide),) if stock.grain else ((long, wide), (wide, long))
            if any(a + lost <= s.length and b + lost <= s.width for a, b in ways for s in sheets_of(stock)):
                continue
            size, room = f"{say(wide)} x {say(long)}", f"{say(stock.width)} x {say(stock.length)}"
            mend = "make it in two pieces, or name a larger sheet" + (", or let its grain run the other way" if stock.grain and (wide + lost <= stock.length and long + lost <= stock.width) else "")
        elif stock.kind in ("batten", "dowel") and stock.boards:
            longest = max(length for _, length in stock.rack + stock.boards)
            if part.rough_length + lost <= longest:
                continue
            size, room, mend = say(part.rough_length), say(longest), "make it in two pieces, or name a longer piece to hand"
        elif stock.kind == "lumber" and stock.boards:
            # what is larger than every board before it is trimmed is told as a warning of practice
            piece = next((p for p in rough_pieces(part) if _holds(stock, p, Fraction(0)) and not _holds(stock, p, lost)), None)
            if piece is None:
                continue
            width, length = max(stock.boards + stock.rack)
            size, room = f"{say(piece.width)} x {say(piece.length)}", f"{say(width)} x {say(length)}"
            mend = f"name a board {say(piece.width + lost)} wide, glue the part from {'more' if piece.board else '2'} boards, or trim less: trim ... in the heading"
            if piece.width + lost <= width:
                mend = f"name a board {say(piece.length + lost)} long, or trim less: trim ... in the heading"
        else:
            continue
        sink.emit(
            "PD364",
            f"`{part.path}` is sawn to {size}, its stock `{stock.name}` is {room}",
            part.span,
            notes=(f"{say(saw.trim)} of each edge is lost in trimming",),
            mend=mend,
        )


def _holds(stock: Stock, piece: RoughPiece, lost: Fraction) -> bool:
    """Whether a board to hand is as large as the piece and what is trimmed off (mm)."""
    return any(piece.length + lost <= length and piece.width + lost <= width for width, length in stock.boards + stock.rack)


CHECK = Check("PD364", run)
