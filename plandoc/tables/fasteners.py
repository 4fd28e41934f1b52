"""Wood screw sizes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from plandoc.tables.files import csv_rows, inches

LEAD_SOFTWOOD = Fraction(70, 100)
"""Lead hole in softwood as part of the root diameter (Wood Handbook chapter 8, secondary reading)."""
LEAD_HARDWOOD = Fraction(90, 100)
"""Lead hole in hardwood as part of the root diameter (same source)."""


LEAD_MEDIUM = (LEAD_SOFTWOOD + LEAD_HARDWOOD) / 2
"""Lead hole where the wood is not told apart: midway between the two."""
INCH = Fraction(254, 10)


@dataclass(frozen=True, slots=True)
class Screw:
    """A wood screw by gauge number; all lengths in mm.

    root: two thirds of the shank. root_nds: the thicker root of another list, None where that has none. head:
    greatest diameter of a flat head. status: how each figure was come by."""

    gauge: int
    shank: Fraction
    root: Fraction
    root_nds: Fraction | None
    head: Fraction
    threads_per_inch: int
    status: str

    @property
    def lead_softwood(self) -> Fraction:
        """Lead hole for softwood and softwood plywood (mm)."""
        return self.root * LEAD_SOFTWOOD

    @property
    def lead_hardwood(self) -> Fraction:
        """Lead hole for hardwood and hardwood plywood (mm)."""
        return self.root * LEAD_HARDWOOD


@cache
def screws() -> tuple[Screw, ...]:
    """All screws by rising gauge."""
    found = []
    for row in csv_rows("screws"):
        shank, root, head = inches(row["shank_in"]), inches(row["root_in"]), inches(row["head_in"])
        assert shank is not None and root is not None and head is not None
        found.append(
            Screw(
                int(row["gauge"]), shank, root, inches(row["root_nds_in"]), head,
                int(row["threads_per_inch"]), row["status"],
            )
        )  # fmt: skip
    return tuple(found)


def screw(gauge: int) -> Screw | None:
    """The wood screw of that gauge number, None where the table lacks it."""
    return next((s for s in screws() if s.gauge == gauge), None)


def shank_and_lead(gauge: Fraction) -> tuple[Fraction, Fraction]:
    """Shank diameter and lead hole for medium woods (mm). A gauge that the table lacks follows the gauge rule, shank
    0.060 + 0.013 N in, root two thirds of it (from memory; the rule read in the Wood Handbook chapter 8 reprint)."""
    known = screw(int(gauge)) if gauge.denominator == 1 else None
    shank = known.shank if known else (Fraction(60, 1000) + Fraction(13, 1000) * gauge) * INCH
    root = known.root if known else shank * Fraction(2, 3)
    return shank, root * LEAD_MEDIUM


def head_of(gauge: Fraction) -> Fraction:
    """Greatest diameter of a flat head (mm). A gauge that the table lacks follows its neighbours: a little more
    than twice the shank (the heads of the table lie between 2.00 and 2.10 times the shank)."""
    known = screw(int(gauge)) if gauge.denominator == 1 else None
    return known.head if known else shank_and_lead(gauge)[0] * Fraction(21, 10)


def screw_by_shank(diameter: Fraction, within: Fraction = Fraction(1, 10)) -> Screw | None:
    """The screw whose shank comes nearest to a diameter (mm), None where none is within `within` mm."""
    nearest = min(screws(), key=lambda s: abs(s.shank - diameter))
    return nearest if abs(nearest.shank - diameter) <= within else None
