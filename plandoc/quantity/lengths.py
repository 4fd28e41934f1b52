"""Reading lengths as the shop writes them, exactly.

The base unit is the millimetre. One inch is 25.4 mm exactly (the international inch of 1959,
NIST SP 811, appendix B), so every length is a rational number of millimetres.
"""

from __future__ import annotations

import re
from fractions import Fraction

MM = Fraction(1)
CM = Fraction(10)
METRE = Fraction(1000)
INCH = Fraction(254, 10)
FOOT = 12 * INCH

UNIT_SIZES: dict[str, Fraction] = {
    '"': INCH,
    "in": INCH,
    "'": FOOT,
    "ft": FOOT,
    "mm": MM,
    "cm": CM,
    "m": METRE,
}

VULGAR: dict[str, Fraction] = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "⅙": Fraction(1, 6),
    "⅚": Fraction(5, 6),
    "⅕": Fraction(1, 5),
    "⅖": Fraction(2, 5),
    "⅗": Fraction(3, 5),
    "⅘": Fraction(4, 5),
}

_VULGAR_CLASS = "".join(VULGAR)
_COUNT = re.compile(
    rf"\s*(?:(?P<whole>\d+)(?:\s+|-))?(?P<num>\d+)/(?P<den>\d+)"
    rf"|\s*(?P<int>\d+)?\s*(?P<vulgar>[{_VULGAR_CLASS}])"
    rf"|\s*(?P<dec>\d+\.\d+|\d+|\.\d+)"
)
_UNIT = re.compile(r"\s*(\"|''|'|mm|cm|m|in|ft)")


def read_number(text: str) -> Fraction:
    """Exact value of `23`, `2.5`, `3/4`, `23 1/2`, `23-1/2` or `2½`. Raises ValueError."""
    match = _COUNT.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"not a number: {text!r}")
    return _count(match)


def _count(match: re.Match[str]) -> Fraction:
    if match["num"] is not None:
        if int(match["den"]) == 0:
            raise ValueError("a fraction with nothing below the line")
        return Fraction(int(match["whole"] or 0)) + Fraction(int(match["num"]), int(match["den"]))
    if match["vulgar"] is not None:
        return Fraction(int(match["int"] or 0)) + VULGAR[match["vulgar"]]
    return Fraction(match["dec"])


def read_length(text: str) -> Fraction:
    """Exact millimetres of one written length.

    Accepts `3/4"`, `23 1/2"`, `23-1/2"`, `6'`, `6' 2 1/2"`, `6'-2"`, `18 mm`, `1.2 m`, `2.5 cm`,
    `2 ft`, `3/4 in`. Raises ValueError where the text is not a length.
    """
    rest = text.strip().replace("″", '"').replace("”", '"').replace("“", '"').replace("′", "'").replace("’", "'")
    total = Fraction(0)
    seen: list[Fraction] = []
    while rest:
        count = _COUNT.match(rest)
        unit = _UNIT.match(rest, count.end()) if count else None
        if count is None or unit is None:
            raise ValueError(f"not a length: {text!r}")
        size = INCH if unit.group(1) == "''" else UNIT_SIZES[unit.group(1)]
        if seen and not (seen == [FOOT] and size == INCH):
            raise ValueError(f"not a length: {text!r}")
        seen.append(size)
        total += _count(count) * size
        rest = rest[unit.end() :].lstrip()
        if rest.startswith("-") and size == FOOT:
            rest = rest[1:]
    if not seen:
        raise ValueError(f"not a length: {text!r}")
    return total
