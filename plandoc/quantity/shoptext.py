"""Printing lengths as the shop reads them: rounded to the plan's fraction or decimal, inexactness shown."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.quantity.lengths import INCH, read_number

APPROXIMATE = "≈"


@dataclass(frozen=True, slots=True)
class Units:
    """How a plan prints lengths.

    system: "inch" or "mm". step: the rounding step as a count of the unit, e.g. Fraction(1, 32)
    of an inch or Fraction(1, 2) of a millimetre. second: the other system, whose figure follows in square brackets on
    drawings and in lists of sizes; None for a plan with one.
    """

    system: str = "inch"
    step: Fraction = Fraction(1, 32)
    second: Units | None = None

    @property
    def unit_mm(self) -> Fraction:
        """Millimetres in one printed unit."""
        return INCH if self.system == "inch" else Fraction(1)

    @property
    def step_mm(self) -> Fraction:
        """The rounding step in millimetres."""
        return self.step * self.unit_mm

    @property
    def fine(self) -> Units:
        """For sizes that must fit each other, thicknesses and widths of channels: at least sixty-fourths of an inch
        or tenths of a millimetre, however coarse the plan prints its lengths (common practice)."""
        least = Fraction(1, 64) if self.system == "inch" else Fraction(1, 10)
        return Units(self.system, min(self.step, least), None if self.second is None else self.second.fine)


@dataclass(frozen=True, slots=True)
class ShopNumber:
    """A printed length: sign, whole part, proper fraction in lowest terms (inch) or decimal text (mm).

    exact is False where rounding changed the value; `value` is the printed value in millimetres. second: the same length
    in the second unit of the plan, printed in square brackets.
    """

    negative: bool
    whole: int
    numerator: int
    denominator: int
    decimals: str
    exact: bool
    value: Fraction
    second: ShopNumber | None = None

    def plain(self) -> str:
        """On one line: `23 1/2`, `3/4`, `0`, `18.5`; `≈` in front where rounded."""
        sign = "-" if self.negative else ""
        prefix = "" if self.exact else APPROXIMATE
        if self.numerator:
            whole = f"{self.whole} " if self.whole else ""
            return f"{prefix}{sign}{whole}{self.numerator}/{self.denominator}"
        return f"{prefix}{sign}{self.whole}{self.decimals}"


def round_to(value: Fraction, step: Fraction) -> Fraction:
    """Nearest multiple of step, halves away from zero (the usual rounding of a ruler reading)."""
    count = abs(value) / step
    whole = (2 * count.numerator + count.denominator) // (2 * count.denominator)
    return (whole * step) * (-1 if value < 0 else 1)


def shop_number(length: Fraction, units: Units) -> ShopNumber:
    """The length (mm) as it is printed in these units; the second figure is worked out from the length itself."""
    second = None if units.second is None else shop_number(length, units.second)
    count = length / units.unit_mm
    rounded = round_to(count, units.step)
    negative = rounded < 0
    size = abs(rounded)
    whole = size.numerator // size.denominator
    rest = size - whole
    exact = rounded == count
    value = rounded * units.unit_mm
    if units.system == "inch" and units.step.numerator == 1 and units.step.denominator & (units.step.denominator - 1) == 0:
        return ShopNumber(negative, whole, rest.numerator if rest else 0, rest.denominator, "", exact, value, second)
    decimals = ""
    if rest:
        places = 0
        step = units.step
        while (step * 10**places).denominator != 1 and places < 4:
            places += 1
        scaled = round_to(rest, Fraction(1, 10**places)) * 10**places
        digits = str(int(scaled)).rjust(places, "0").rstrip("0")
        decimals = "." + digits if digits else ""
    return ShopNumber(negative, whole, 0, 1, decimals, exact, value, second)


def shop_text(length: Fraction, units: Units, mark: bool = False) -> str:
    """One-line text of a length (mm); with `mark`, the unit follows: `23 1/2"`, `18 mm`."""
    text = shop_number(length, units).plain()
    if not mark:
        return text
    return text + ('"' if units.system == "inch" else " mm")


def bracketed(number: ShopNumber) -> str:
    """`[596.9]`: the figure of the second unit. It has no sign for a rounded one: a note says that all are rounded, and
    that the first figure is the one to work to (square brackets for the second system: AWI 100, 3.1)."""
    return f"[{replace(number, exact=True).plain()}]"


def dual_text(length: Fraction, units: Units, mark: bool = False) -> str:
    """One-line text of a length (mm) for a drawing or a list of sizes: `23 1/2 [596.9]` where the plan has two units."""
    number = shop_number(length, units)
    first = shop_text(length, units, mark)
    return first if number.second is None else f"{first} {bracketed(number.second)}"


_MARKED = {
    "inch": re.compile(r'(?<![\d./≈])(?P<size>\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"'),
    "mm": re.compile(r"(?<![\d./≈])(?P<size>\d+(?:\.\d+)?) mm\b"),
}
_MARK = {"inch": re.compile(r'(?<=\d)"'), "mm": re.compile(r"(?<=\d) mm\b")}


def unmarked(words: str, units: Units) -> str:
    """Words for a drawing: figures in the plan's own unit stand without it, as the sheet says what all sizes are in. Of a
    plan with two units exact figures have the second one behind them; of a rounded figure the length itself is not in the
    words, so it has none."""
    second = units.second
    if second is not None:
        words = _MARKED[units.system].sub(lambda m: f"{m['size']} {bracketed(shop_number(read_number(m['size']) * units.unit_mm, second))}", words)
    return _MARK[units.system].sub("", words)


SIXTY_FOURTH = Units("inch", Fraction(1, 64))
HALF_MILLIMETRE = Units("mm", Fraction(1, 2))


def bought_number(length: Fraction, units: Units) -> ShopNumber | None:
    """A spacing (mm) as it is printed without rounding: in the plan's units, or with its unit in the other system, such
    as `32 mm` on an inch plan; None where neither is exact."""
    own = shop_number(length, units)
    if own.exact:
        return own
    other = HALF_MILLIMETRE if units.system == "inch" else SIXTY_FOURTH
    number = shop_number(length, other)
    if not number.exact:
        return None
    mark = " mm" if units.system == "inch" else '"'
    return replace(number, decimals=number.decimals + mark) if not number.numerator else None


def diameter_text(length: Fraction, units: Units, mark: bool = False) -> str:
    """One-line text of a bought size (mm): a bit, a bore, a spacing of holes.

    Such sizes come in sixty-fourths of an inch or in half millimetres (common practice) and are not rounded to the
    plan's step: `1/4`, `5 mm` on an inch plan. A size that is neither is rounded, with the sign for it. With `mark`,
    the plan's own unit follows too; a size in the other system always names its unit."""
    own, other = (SIXTY_FOURTH, HALF_MILLIMETRE) if units.system == "inch" else (HALF_MILLIMETRE, SIXTY_FOURTH)
    for known in (own, units):
        if shop_number(length, known).exact:
            return shop_text(length, known, mark)
    if shop_number(length, other).exact:
        return shop_text(length, other, mark=True)
    return shop_text(length, units, mark)


def dual_diameter(length: Fraction, units: Units) -> str:
    """The text of a bought size (mm) on a drawing. One that names its unit (`5 mm` on an inch plan) is what to buy, and
    has no second figure."""
    text = diameter_text(length, units)
    if units.second is None or text.endswith((" mm", '"')):
        return text
    return f"{text} {bracketed(shop_number(length, units.second.fine))}"
