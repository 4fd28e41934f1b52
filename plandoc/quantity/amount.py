"""The physical dimension of a value: how many times length, angle and mass enter it."""

from __future__ import annotations

from typing import NamedTuple


class Dimension(NamedTuple):
    """Exponents of length (base unit 1 mm), angle (1 degree) and mass (1 kg)."""

    length: int = 0
    angle: int = 0
    mass: int = 0

    def times(self, other: Dimension) -> Dimension:
        """The dimension of a product."""
        return Dimension(self.length + other.length, self.angle + other.angle, self.mass + other.mass)

    def over(self, other: Dimension) -> Dimension:
        """The dimension of a quotient."""
        return Dimension(self.length - other.length, self.angle - other.angle, self.mass - other.mass)


PLAIN = Dimension()
LENGTH = Dimension(length=1)
AREA = Dimension(length=2)
ANGLE = Dimension(angle=1)
MASS = Dimension(mass=1)

_NAMES = {
    PLAIN: "a plain number",
    LENGTH: "a length",
    AREA: "an area",
    Dimension(length=3): "a volume",
    ANGLE: "an angle",
    MASS: "a weight",
}


def dimension_name(dimension: Dimension) -> str:
    """The dimension in words, with its article: "a length", "an area"."""
    known = _NAMES.get(dimension)
    if known is not None:
        return known
    above: list[str] = []
    below: list[str] = []
    for word, power in zip(("length", "angle", "weight"), dimension, strict=True):
        if power:
            size = abs(power)
            (above if power > 0 else below).append(word if size == 1 else f"{word} to the power {size}")
    first = "a " + " times ".join(above) if above else "a number"
    return first + (" divided by a " + " times a ".join(below) if below else "")
