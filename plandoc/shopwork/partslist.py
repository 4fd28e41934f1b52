"""The parts list: one row for each part mark."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.model.entities import Model, Part
from plandoc.model.roughsizes import RoughPiece, is_rough, part_board_feet, rough_pieces
from plandoc.quantity import shop_text
from plandoc.shopwork.hardwarelist import HardwareRow, hardware_list
from plandoc.shopwork.names import BAND, by_mark, edge_words, joined_names, mark_of, piece_count, sawn_box
from plandoc.shopwork.stocklist import StockRow, stock_list
from plandoc.shopwork.weights import part_weight

__all__ = ["HardwareRow", "PartRow", "StockRow", "hardware_list", "parts_list", "stock_list"]


@dataclass(frozen=True, slots=True)
class PartRow:
    """All pieces of one mark. Finished sizes (mm), length along the grain, tongues included.

    stock: name in the plan. grain: "along length" or "none". edges: banded edges in words, and the
    length and width that are sawn before. sheet: the sheet that
    draws the part, "" until the packet is laid out. weight: of one piece (kg, estimate), None where unknown.
    rough_length, rough_width, rough_thickness (mm): of one piece before trimming, of a glued-up part those of the panel;
    None where the finished size is cut at once. boards: the rough boards of all pieces, where they are glued up.
    board_feet: of all pieces, from their rough sizes; None for other stock than lumber."""

    mark: str
    name: str
    count: int
    length: Fraction
    width: Fraction
    thickness: Fraction
    stock: str
    grain: str
    edges: str
    sheet: str
    paths: tuple[str, ...]
    weight: Fraction | None = None
    rough_length: Fraction | None = None
    rough_width: Fraction | None = None
    rough_thickness: Fraction | None = None
    boards: tuple[RoughPiece, ...] = ()
    board_feet: Fraction | None = None


def parts_list(model: Model, solids: Mapping[str, float] | None = None) -> tuple[PartRow, ...]:
    """One row a mark, in the order of the marks' first parts. solids: volumes by path (mm3) for the weights."""
    return tuple(_row(model, parts, solids) for parts in by_mark(model.parts).values())


def _row(model: Model, parts: tuple[Part, ...], solids: Mapping[str, float] | None) -> PartRow:
    part = parts[0]
    rough, feet, count = is_rough(part), part_board_feet(part), piece_count(parts)
    bands = [f.face for f in part.features if f.kind == BAND and f.face is not None]
    edges = ", ".join(edge_words(part, face) for face in bands)
    if bands:
        sawn, units = sawn_box(part), model.info.units
        edges += f"; saw {shop_text(sawn.size(part.length_axis), units)} × {shop_text(sawn.size(part.width_axis), units)}"
    return PartRow(
        mark_of(part),
        joined_names([p.name for p in parts]),
        count,
        part.length,
        part.width,
        part.thickness,
        part.stock.name,
        "along length" if part.stock.grain else "none",
        edges,
        "",
        tuple(p.path for p in parts),
        part_weight(part, solids),
        part.rough_length if rough else None,
        part.rough_width if rough else None,
        part.rough_thickness if rough else None,
        tuple(replace(piece, count=piece.count * count) for piece in rough_pieces(part) if piece.board),
        None if feet is None else feet * count,
    )
