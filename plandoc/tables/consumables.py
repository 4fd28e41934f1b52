"""What is bought beside stock and hardware: spare fasteners, glue that is lost, abrasives (common practice)."""

from __future__ import annotations

from fractions import Fraction

from plandoc.tables.files import INCH_MM, toml_table


def spare(word: str, count: int) -> int:
    """How many more fasteners of a kind are bought than are counted; 0 for hardware that has no spare."""
    row = toml_table("consumables")["spare"]
    if word not in row["words"].split() or not count:
        return 0
    return max(int(row["least"]), int(-(-count * Fraction(row["share"]) // 1)))


def glue_with_loss(volume: Fraction) -> Fraction:
    """Glue to buy for a volume in the joints."""
    return volume * (1 + Fraction(toml_table("consumables")["glue"]["share"]))


def grits(sheet_stock: bool) -> tuple[str, ...]:
    """The grits in which a surface is sanded, coarse to fine."""
    return tuple(toml_table("consumables")["abrasives"]["sheet" if sheet_stock else "solid"])


def abrasive_sheets(area: Fraction) -> int:
    """Sheets of one grit for a surface (mm2), at least one."""
    each = Fraction(toml_table("consumables")["abrasives"]["square_feet"]) * 144 * INCH_MM**2
    return max(1, int(-(-area // each)))
