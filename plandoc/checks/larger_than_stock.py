"""PD364: a part that no sheet, batten or rod of its stock can hold."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
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
        else:
            continue
        sink.emit(
            "PD364",
            f"`{part.path}` is sawn to {size}, its stock `{stock.name}` is {room}",
            part.span,
            notes=(f"{say(saw.trim)} of each edge is lost in trimming",),
            mend=mend,
        )


CHECK = Check("PD364", run)
