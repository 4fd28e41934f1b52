"""What a saw takes where the plan says nothing: kerf, and what is lost at each edge of a sheet (mm).

Source: common practice. A circular saw blade of usual thickness cuts 1/8 in or 3 mm; factory edges are trimmed by 1/4 in or 6 mm.
"""

from __future__ import annotations

from fractions import Fraction

KERF = {"inch": Fraction(127, 40), "mm": Fraction(3)}
TRIM = {"inch": Fraction(127, 20), "mm": Fraction(6)}
KEEP = {"inch": (Fraction(1524, 5), Fraction(508, 5)), "mm": (Fraction(300), Fraction(100))}
"""Least length and width of an offcut that goes back into the rack: 12 in by 4 in, 300 mm by 100 mm. Common practice."""
