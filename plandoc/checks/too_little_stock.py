"""PD365: the boards, battens or rods to hand do not hold all parts."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.checks.registry import Check
from plandoc.cutting.lengths import cut_lengths
from plandoc.cutting.zones import cut_boards
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.model.sawn import WORK, bars_to_hand, blanks, boards_to_hand, lengths, saw_of
from plandoc.quantity import FOOT, METRE, shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report each stock of which the pieces to hand are named and do not suffice. A part that is larger than every piece, or than
    what trimming leaves of it, is told by other checks, so it is left out here."""
    saw, units = saw_of(model), model.info.units
    lost = 2 * saw.trim
    for stock in model.stocks:
        parts = [p for p in model.parts if p.stock.name == stock.name]
        if not parts or not stock.boards:
            continue
        if stock.kind in ("batten", "dowel"):
            bars = bars_to_hand(stock)
            pieces = [p for p in lengths(parts) if any(p.length + lost <= b.length for b in bars)]
            left = cut_lengths(pieces, bars, saw.kerf, saw.trim).unplaced
            wanted, there = sum(p.length * p.count for p in pieces), sum(b.length for b in bars)
            one, unit = (FOOT, "ft") if units.system == "inch" else (METRE, "m")
        elif stock.kind == "lumber":
            boards = boards_to_hand(stock)
            needed = [b for b in blanks(parts) if any(b.length + lost <= o.length and b.width + lost <= o.width for o in boards)]
            left = cut_boards(needed, boards, saw, WORK).unplaced
            wanted, there = sum(b.length * b.width * b.count for b in needed), sum(b.length * b.width * (b.count or 0) for b in boards)
            one, unit = (FOOT**2, "sq ft") if units.system == "inch" else (METRE**2, "m²")
        else:
            continue
        if not left:
            continue
        # Where bars do not suffice none is filled, so the lengths alone say what is short.
        over = sum(count for _, count in left)
        names = ", ".join(name if count == 1 else f"{name} ({count} times)" for name, count in left) if stock.kind == "lumber" else ""
        hand = len(stock.boards) + len(stock.rack)

        def say(length: Fraction) -> str:
            return shop_text(length, units, mark=True)

        width, length = stock.boards[0]
        size = f"{say(width)} x {say(length)}" if stock.kind == "lumber" else say(length)
        sink.emit(
            "PD365",
            f"no way was found to cut all parts of `{stock.name}` from the {'piece' if hand == 1 else f'{hand} pieces'} to hand"
            + (f": {names} {'is' if over == 1 else 'are'} left over" if names else ""),
            stock.span,
            notes=(
                f"the parts take {float(Fraction(wanted) / one):.2f} {unit} as cut, to hand are {float(Fraction(there) / one):.2f} {unit}; "
                f"each cut takes {say(saw.kerf)}, and {say(saw.trim)} of each edge is lost in trimming",
            ),
            mend=f"name more: boards {size} count {stock.boards.count(stock.boards[0]) + 1}",
        )


CHECK = Check("PD365", run)
