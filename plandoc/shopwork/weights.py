"""Weights of parts, estimated from volume and density."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.model.density import stock_density
from plandoc.model.entities import Part


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
