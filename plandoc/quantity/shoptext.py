"""Printing lengths as the shop reads them: rounded to the plan's fraction or decimal, inexactness shown."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.quantity.lengths import INCH

APPROXIMATE = "≈"


@dataclass(frozen=True, slots=True)
class Units:
    """How a plan prints lengths.

    system: "inch" or "mm". step: the rounding step as a count of the unit, e.g. Fraction(1, 32)
    of an inch or Fraction(1, 2) of a millimetre.
    """

    system: str = "inch"
    step: Fraction = Fraction(1, 32)

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
        return Units(self.system, min(self.step, least))


@dataclass(frozen=True, slots=True)
class ShopNumber:
    """A printed length: sign, whole part, proper fraction in lowest terms (inch) or decimal text (mm).

    exact is False where rounding changed the value; `value` is the printed value in millimetres.
    """

    negative: bool
    whole: int
    numerator: int
    denominator: int
    decimals: str
    exact: bool
    value: Fraction

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
    """The length (mm) as it is printed in these units."""
    count = length / units.unit_mm
    rounded = round_to(count, units.step)
    negative = rounded < 0
    size = abs(rounded)
    whole = size.numerator // size.denominator
    rest = size - whole
    exact = rounded == count
    value = rounded * units.unit_mm
    if units.system == "inch" and units.step.numerator == 1 and units.step.denominator & (units.step.denominator - 1) == 0:
        return ShopNumber(negative, whole, rest.numerator if rest else 0, rest.denominator, "", exact, value)
    decimals = ""
    if rest:
        places = 0
        step = units.step
        while (step * 10**places).denominator != 1 and places < 4:
            places += 1
        scaled = round_to(rest, Fraction(1, 10**places)) * 10**places
        digits = str(int(scaled)).rjust(places, "0").rstrip("0")
        decimals = "." + digits if digits else ""
    return ShopNumber(negative, whole, 0, 1, decimals, exact, value)


def shop_text(length: Fraction, units: Units, mark: bool = False) -> str:
    """One-line text of a length (mm); with `mark`, the unit follows: `23 1/2"`, `18 mm`."""
    text = shop_number(length, units).plain()
    if not mark:
        return text
    return text + ('"' if units.system == "inch" else " mm")


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
