"""Numbers as decimal text: paper coordinates, and exact lengths for lists."""

from __future__ import annotations

from fractions import Fraction

from plandoc.quantity.shoptext import round_to


def coordinate(value: float) -> str:
    """A paper coordinate (mm) to 0.001, without trailing zeros and never as minus zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def decimal_text(value: Fraction, places: int = 4) -> str:
    """Decimal text of an exact number, rounded to `places` with halves away from zero, trailing zeros cut."""
    scaled = round_to(value, Fraction(1, 10**places)) * 10**places
    digits = str(abs(int(scaled))).rjust(places + 1, "0")
    whole, rest = (digits[:-places], digits[-places:].rstrip("0")) if places else (digits, "")
    sign = "-" if scaled < 0 else ""
    return f"{sign}{whole}.{rest}" if rest else f"{sign}{whole}"


def exact_text(value: Fraction) -> str:
    """Exact text of a number: `533.4` where the decimals end, else `1600/3`."""
    rest, places = value.denominator, 0
    for prime in (2, 5):
        count = 0
        while rest % prime == 0:
            rest //= prime
            count += 1
        places = max(places, count)
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    return decimal_text(value, places)
