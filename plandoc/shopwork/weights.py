"""Weights of parts, estimated from volume and density."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.model.entities import Part, Stock
from plandoc.tables import density


def stock_density(stock: Stock) -> Fraction | None:
    """Density (kg/m3): as the plan gives it, else of the species, else of what the stock is called; None where the table
    has none."""
    if stock.density is not None:
        return stock.density
    found = density(stock.species) if stock.species else None
    return found if found is not None else density(f"{stock.material} {stock.description}")


def part_weight(part: Part, solids: Mapping[str, float] | None = None) -> Fraction | None:
    """Weight of one piece (kg), None where the material is not in the table.

    solids: volumes of finished parts by path (mm3); without one the finished box counts, which is too heavy by
    what the cuts take away."""
    weighs = stock_density(part.stock)
    if weighs is None:
        return None
    known = (solids or {}).get(part.path)
    volume = part.box.volume if known is None else Fraction(known)
    return weighs * volume / 10**9
