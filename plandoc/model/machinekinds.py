"""The kinds of machine that a shop file can list, read from their table."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from plandoc.model.kinds import MachineKind, Param
from plandoc.tables import machines
from plandoc.tables.files import toml_table


@lru_cache(maxsize=1)
def machine_kinds() -> Mapping[str, MachineKind]:
    """Every kind by name, in the order of the table."""
    found = {}
    for name, row in toml_table("shop").items():
        words = row.get("words", {})
        params = tuple(
            Param(word, entry["takes"], entry["meaning"], entry.get("needed", False), above=entry["takes"] in ("length", "lengths") and word != "trim")
            for word, entry in words.items()
        )
        found[name] = MachineKind(
            name, row["doc"], params, row["example"],
            tuple((word, entry["less"]) for word, entry in words.items() if "less" in entry),
            tuple((word, Fraction(entry["most"])) for word, entry in words.items() if "most" in entry),
            tuple((word, entry["alike"]) for word, entry in words.items() if "alike" in entry),
        )  # fmt: skip
    return found


def machine_title(key: str) -> str:
    """What a machine is called where the shop gives it no name."""
    known = machines().get(key)
    return known.name if known is not None else key.replace("_", " ").capitalize()
