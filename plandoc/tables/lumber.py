"""Lumber sizes: rough and nominal to dressed, and the board foot."""

from __future__ import annotations

from fractions import Fraction

from plandoc.tables.files import INCH_MM, count_of, csv_rows

_BOARD_FOOT_MM3 = 144 * INCH_MM**3
"""One board foot is 12 x 12 x 1 in = 144 in3."""


def nominal_inches(text: str) -> Fraction:
    """Count of inches of a nominal size: `4/4` and `5/4` are quarters, `1-1/4`, `1 1/4`, `2`. Raises ValueError."""
    cleaned = text.strip().rstrip('"').strip().replace(" ", "-")
    if cleaned.endswith("/4") and cleaned[:-2].isdigit():
        return Fraction(int(cleaned[:-2]), 4)
    count = count_of(cleaned)
    if count is None:
        raise ValueError("an empty size")
    return count


def rough_thickness(text: str) -> Fraction:
    """Rough thickness (mm) of `4/4`, `5/4`, ... Raises ValueError."""
    return nominal_inches(text) * INCH_MM


def _look_up(kind: str, nominal: Fraction, column: str) -> Fraction | None:
    for row in csv_rows("lumber"):
        if row["kind"] == kind and count_of(row["nominal_in"]) == nominal:
            count = count_of(row[column])
            return None if count is None else count * INCH_MM
    return None


def dressed_thickness(nominal: str, wood: str, surfaced: str = "s2s") -> Fraction | None:
    """Thickness after dressing (mm), None where the table lacks the size.

    wood: "hardwood" (surfaced "s1s" or "s2s") or "softwood" (dry, PS 20; boards below 2 in nominal, dimension
    lumber from 2 in on)."""
    count = nominal_inches(nominal)
    if wood == "hardwood":
        return _look_up("hardwood thickness", count, f"{surfaced}_in")
    kind = "softwood board thickness" if count < 2 else "softwood dimension thickness"
    return _look_up(kind, count, "dressed_dry_in")


def dressed_width(nominal: str, board: bool = True) -> Fraction | None:
    """Dry dressed width (mm) of softwood, boards or dimension lumber (PS 20); None where the table lacks it."""
    kind = "softwood board width" if board else "softwood dimension width"
    return _look_up(kind, nominal_inches(nominal), "dressed_dry_in")


def dressed_section(name: str) -> tuple[Fraction, Fraction] | None:
    """Dry dressed thickness and width (mm) of softwood called `1x6` or `2x4`, None where the table lacks it."""
    thin, cross, wide = name.casefold().replace("×", "x").partition("x")
    if not cross:
        return None
    try:
        thickness = dressed_thickness(thin, "softwood")
        width = dressed_width(wide, board=nominal_inches(thin) < 2)
    except ValueError:
        return None
    return (thickness, width) if thickness is not None and width is not None else None


def board_feet(rough: Fraction, width: Fraction, length: Fraction) -> Fraction:
    """Board measure of a piece, sizes in mm: T x W x L / 144 in inches, T the rough thickness, at least 1 in.

    Common practice; the least of 1 in is from memory."""
    return max(rough, INCH_MM) * width * length / _BOARD_FOOT_MM3
