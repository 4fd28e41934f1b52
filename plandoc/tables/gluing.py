"""Gluing: spread of the glue, its open time, pressure by the density of the wood, spacing of clamps."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from plandoc.tables.files import INCH_MM, toml_table

POUND = Fraction("4.4482216152605")
"""Newtons of one pound-force (exact)."""
GALLON = 231 * INCH_MM**3
"""One US gallon (mm3, exact)."""


@dataclass(frozen=True, slots=True)
class Pressure:
    """Pressure of one class of woods (lb/in2). below: its limit of density (kg/m3), None for the last."""

    name: str
    below: Fraction | None
    low: Fraction
    high: Fraction
    used: Fraction
    source: str


@cache
def pressures() -> tuple[Pressure, ...]:
    """All classes, the lightest first."""
    return tuple(
        Pressure(
            row["name"], Fraction(row["below"]) if "below" in row else None, Fraction(row["low"]), Fraction(row["high"]), Fraction(row["used"]), row["source"]
        )
        for row in toml_table("gluing")["pressure"]
    )  # fmt: skip


def pressure_for(density: Fraction) -> Pressure:
    """The class of a wood of that density (kg/m3)."""
    return next(p for p in pressures() if p.below is None or density < p.below)


def glue_volume(area: Fraction) -> Fraction:
    """Glue (mm3) for a glued area (mm2), spread on one of its two surfaces."""
    return area * _figure("spread", "film_inches") * INCH_MM


def force(area: Fraction, pressure: Fraction) -> Fraction:
    """Force (N) that a pressure (lb/in2) puts on an area (mm2)."""
    return area / INCH_MM**2 * pressure * POUND


def open_minutes() -> Fraction:
    """From spreading until the parts are put together (minutes)."""
    return _figure("open", "minutes")


def held_minutes() -> Fraction:
    """How long the clamps stay on (minutes)."""
    return _figure("held", "minutes")


def most_apart() -> Fraction:
    """The widest spacing of clamps along a joint (mm), however wide the wood is."""
    return _figure("clamp", "most_apart_inches") * INCH_MM


def widths_apart() -> Fraction:
    """The widest spacing of clamps, in widths of the wood between jaw and glue line."""
    return _figure("clamp", "widths_apart")


def _figure(table: str, key: str) -> Fraction:
    return Fraction(toml_table("gluing")[table][key])
