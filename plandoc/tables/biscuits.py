"""Sizes of biscuits and of their slots, by number."""

from __future__ import annotations

from fractions import Fraction

SLOT = Fraction(4)
"""Width of the slot (mm); common practice."""

SIZES: dict[int, tuple[Fraction, Fraction]] = {
    0: (Fraction(47), Fraction(15)),
    10: (Fraction(53), Fraction(19)),
    20: (Fraction(56), Fraction(23)),
}
"""Number -> length and width (mm). Source: common practice, from memory."""
