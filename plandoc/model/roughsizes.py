"""Rough (order) sizes of parts: what is cut first, before trimming and before boards are glued up."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.entities import Part
from plandoc.tables import board_feet


@dataclass(frozen=True, slots=True)
class RoughPiece:
    """Pieces of one rough size (mm). board: one of several that are glued up side by side."""

    count: int
    length: Fraction
    width: Fraction
    thickness: Fraction
    board: bool = False


def is_rough(part: Part) -> bool:
    """Whether anything is cut before the part gets its finished size: an allowance, or boards to glue up."""
    return bool(part.allowance) or part.glue_up is not None


def rough_pieces(part: Part) -> tuple[RoughPiece, ...]:
    """The rough pieces of one finished piece: the piece itself, or the boards of its glue-up, those of one width
    together in the order in which they lie."""
    if part.glue_up is None:
        return (RoughPiece(1, part.rough_length, part.rough_width, part.rough_thickness),)
    widths = part.glue_up.rough
    return tuple(
        RoughPiece(widths.count(width), part.rough_length, width, part.rough_thickness, True) for width in dict.fromkeys(widths)
    )


def part_volume(part: Part) -> Fraction | None:
    """Volume (mm3) of one piece of a lumber part, from its rough size and the rough thickness as it is; None for other stock."""
    if part.stock.kind != "lumber":
        return None
    thick = part.stock.rough if part.stock.rough is not None else part.stock.called
    return sum((thick * piece.width * piece.length * piece.count for piece in rough_pieces(part)), Fraction(0))


def part_board_feet(part: Part) -> Fraction | None:
    """Board feet of one piece of a lumber part, from its rough size; None for other stock."""
    if part.stock.kind != "lumber":
        return None
    thick = part.stock.rough if part.stock.rough is not None else part.stock.called
    return sum((board_feet(thick, piece.width, piece.length) * piece.count for piece in rough_pieces(part)), Fraction(0))
