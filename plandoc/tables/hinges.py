"""How many hinges a door wants by its height and weight."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from plandoc.tables.files import csv_rows


@dataclass(frozen=True, slots=True)
class HingeRow:
    """So many hinges carry a door of that height (mm) and weight (kg) at most."""

    kind: str
    height: Fraction
    weight: Fraction
    count: int
    source: str


@cache
def hinge_rows() -> tuple[HingeRow, ...]:
    """All rows in the order of the table: by kind, then by height."""
    return tuple(HingeRow(r["kind"], Fraction(r["height_mm"]), Fraction(r["weight_kg"]), int(r["count"]), r["source"]) for r in csv_rows("hinges"))


def hinges_for(kind: str, height: Fraction, weight: Fraction | None) -> int:
    """Number of hinges for a door (mm; kg, None where it is not known). Beyond the table one more than its last row.
    Raises KeyError for a kind that the table lacks."""
    rows = [r for r in hinge_rows() if r.kind == kind]
    if not rows:
        raise KeyError(kind)
    for row in rows:
        if height <= row.height and (weight is None or weight <= row.weight):
            return row.count
    return rows[-1].count + 1
