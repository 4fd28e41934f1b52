"""Values of expressions while a plan is resolved."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.diagnostics import Span
from plandoc.quantity import ANGLE, AREA, LENGTH, MASS, PLAIN, Dimension, Units, dimension_name, shop_text
from plandoc.quantity.shoptext import APPROXIMATE, round_to


@dataclass(frozen=True, slots=True)
class Unknown:
    """A value that could not be had; whoever meets it stays silent, the fault is already reported."""


UNKNOWN = Unknown()


@dataclass(frozen=True, slots=True)
class Amount:
    """An exact amount in base units. because: the place that the value came from."""

    value: Fraction
    dimension: Dimension
    because: Span


@dataclass(frozen=True, slots=True)
class Text:
    text: str


@dataclass(frozen=True, slots=True)
class Truth:
    truth: bool


@dataclass(frozen=True, slots=True)
class Many:
    """A list, a pair or a size. form as in the syntax tree."""

    form: str
    items: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Family:
    """All members of an indexed name, such as `tray` of `tray[1]`, `tray[2]`."""

    name: str
    members: tuple[tuple[int, Value], ...]


# Besides the classes below: Stock, HardwareItem, and the cells of parts and assemblies.
Value = object


STOCK_WORDS = {"sheet": "a sheet", "lumber": "lumber", "batten": "a batten", "dowel": "a dowel", "banding": "edge banding"}
"""Kinds of stock as a message says them."""


def shown(value: object, units: Units) -> str:
    """A value in words, for messages and for texts."""
    if isinstance(value, Amount):
        if value.dimension == LENGTH:
            return shop_text(value.value, units, mark=True)
        number = plain_number(value.value)
        if value.dimension == PLAIN:
            return number
        if value.dimension == ANGLE:
            return f"{number}°"
        if value.dimension == MASS:
            return weight_text(value.value, units)
        if value.dimension == AREA:
            unit = units.unit_mm**2
            return f"{plain_number(value.value / unit)} square {'inches' if units.system == 'inch' else 'mm'}"
        return number
    if isinstance(value, Text):
        return value.text
    if isinstance(value, Truth):
        return "yes" if value.truth else "no"
    if isinstance(value, Many):
        return (" x " if value.form == "size" else ", ").join(shown(v, units) for v in value.items)
    return str(getattr(value, "path", getattr(value, "name", value)))


def weight_text(kilograms: Fraction, units: Units) -> str:
    """`1.5 lb` or `≈1.45 kg`: to the hundredth, `≈` where that is not exact."""
    unit, size = ("kg", Fraction(1)) if units.system == "mm" else ("lb", Fraction(45359237, 10**8))
    count = kilograms / size
    rounded = round_to(count, Fraction(1, 100))
    return f"{'' if rounded == count else APPROXIMATE}{plain_number(rounded)} {unit}"


def unit_mend(value: object, units: Units) -> str:
    """What to do where a plain number stands for a length, "" for other values; the plan's own unit comes first."""
    if not isinstance(value, Amount) or value.dimension != PLAIN:
        return ""
    number = plain_number(value.value)
    inch, metric = f'{number}"', f"{number} mm"
    return "put a unit behind it: " + (f"{metric} or {inch}" if units.system == "mm" else f"{inch} or {metric}")


def plain_number(value: Fraction) -> str:
    """`12`, `0.5`, `1/3`, `≈` never: a fraction that has no finite decimal stays a fraction."""
    if value.denominator == 1:
        return str(value.numerator)
    denominator = value.denominator
    for factor in (2, 5):
        while denominator % factor == 0:
            denominator //= factor
    if denominator == 1 and value.denominator <= 10**6:
        digits = f"{float(value):.8f}".rstrip("0").rstrip(".")
        return digits
    return f"{value.numerator}/{value.denominator}"


def kind_of(value: object) -> str:
    """What a value is, in words: `a length`, `a text`, `a part`."""
    if isinstance(value, Amount):
        return dimension_name(value.dimension)
    names = {
        "Text": "a text",
        "Truth": "a yes or no",
        "Many": "several values",
        "Family": "a row of several",
        "Stock": "a stock",
        "HardwareItem": "hardware",
        "PartCell": "a part",
        "Instance": "an assembly",
    }
    return names.get(type(value).__name__, "something else")
