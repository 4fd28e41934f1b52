"""Density of a stock: as the plan gives it, or from the table."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Stock
from plandoc.tables import density


def stock_density(stock: Stock) -> Fraction | None:
    """Density (kg/m3): as the plan gives it, else of the species, else of what the stock is called; None where the table
    has none."""
    if stock.density is not None:
        return stock.density
    found = density(stock.species) if stock.species else None
    return found if found is not None else density(f"{stock.material} {stock.description}")
