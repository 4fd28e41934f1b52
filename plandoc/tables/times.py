"""Minutes of the shop's work, as one table of words: `dado`, `dado_setup`, `sanding`, `glue_open`, ... (estimates)."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from plandoc.tables.files import toml_table
from plandoc.tables.gluing import held_minutes, open_minutes


@cache
def times() -> dict[str, Fraction]:
    """Minutes by word, in the order of the table: of a piece of work and of its set-up, of a square foot, of single things."""
    table = toml_table("times")
    found: dict[str, Fraction] = {}
    for key, row in table["work"].items():
        found[key] = Fraction(row["each"])
        found[f"{key}_setup"] = Fraction(row["setup"])
    for part in ("area", "other"):
        found |= {key: Fraction(value) for key, value in table[part].items()}
    return found | {"glue_open": open_minutes(), "glue_held": held_minutes()}


def by_area() -> tuple[str, ...]:
    """The words whose minutes count for a square foot."""
    return tuple(toml_table("times")["area"])
