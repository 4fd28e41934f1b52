"""What a saw takes where the plan says nothing: kerf, what is lost at each edge of a sheet; lengths of bars, sizes of boards (mm).

Source: common practice. A circular saw blade of usual thickness cuts 1/8 in or 3 mm; factory edges are trimmed by 1/4 in or 6 mm.
"""

from __future__ import annotations

from fractions import Fraction

KERF = {"inch": Fraction(127, 40), "mm": Fraction(3)}
TRIM = {"inch": Fraction(127, 20), "mm": Fraction(6)}
KEEP = {"inch": (Fraction(1524, 5), Fraction(508, 5)), "mm": (Fraction(300), Fraction(100))}
"""Least length and width of an offcut that goes back into the rack: 12 in by 4 in, 300 mm by 100 mm. Common practice."""
BARS: dict[str, dict[str, tuple[Fraction, ...]]] = {
    "batten": {"inch": (Fraction(96) * 127 / 5, Fraction(120) * 127 / 5, Fraction(144) * 127 / 5), "mm": (Fraction(2400), Fraction(3000), Fraction(3600))},
    "dowel": {"inch": (Fraction(36) * 127 / 5, Fraction(48) * 127 / 5), "mm": (Fraction(1000), Fraction(2000))},
}
"""Lengths in which battens and rod are sold, where the plan names no pieces to hand: 8, 10 and 12 ft, rod 3 and 4 ft; 2.4, 3 and 3.6 m, rod
1 and 2 m. From memory; every yard has its own, so the sheets say that they are assumed."""
BOARD_WIDTHS = {
    "inch": (Fraction(6) * 127 / 5, Fraction(8) * 127 / 5, Fraction(10) * 127 / 5, Fraction(12) * 127 / 5),
    "mm": (Fraction(150), Fraction(200), Fraction(250), Fraction(300)),
}
BOARD_LENGTHS = {
    "inch": (Fraction(96) * 127 / 5, Fraction(120) * 127 / 5, Fraction(144) * 127 / 5),
    "mm": (Fraction(2400), Fraction(3000), Fraction(3600)),
}
"""Widths and lengths of boards of hardwood where the plan names none to hand: 6 to 12 in, 8 to 12 ft; 150 to 300 mm, 2.4 to 3.6 m.
Common practice; boards come in random sizes, so the sheets say that these are assumed."""
