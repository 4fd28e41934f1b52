"""Densities for weight estimates, looked up by what a stock is made of."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from plandoc.tables.files import toml_table

_AT_12_PERCENT = Fraction(112, 100)


@dataclass(frozen=True, slots=True)
class Material:
    """Words that name a material, its density (kg/m3, at 12 % moisture content for solid wood) and the source. ordered: a wood shop
    does not work it, it is bought cut to size. but: words beside which the entry does not hold."""

    words: tuple[str, ...]
    density: Fraction
    source: str
    ordered: bool = False
    but: tuple[str, ...] = ()


@cache
def materials() -> tuple[Material, ...]:
    """All materials in the order of the table."""
    found = []
    for row in toml_table("materials")["material"]:
        if "gravity" in row:
            density = 1000 * Fraction(row["gravity"]) * _AT_12_PERCENT
        else:
            density = Fraction(row["density"])
        found.append(Material(tuple(row["words"].split()), density, row["source"], row.get("worked") == "ordered", tuple(row.get("but", "").split())))
    return tuple(found)


@lru_cache(maxsize=256)
def material(text: str) -> Material | None:
    """The material that a text such as `birch plywood` or `White oak, quartersawn` names.

    All words of an entry must stand in the text; a sheet material wins over the wood it is faced with, then the
    entry with most words wins, then the first. None where nothing fits."""
    said = re.findall(r"[a-z]+", text.casefold())
    fitting = [m for m in materials() if all(word in said for word in m.words) and not any(word in said for word in m.but)]
    panels = [m for m in fitting if m.words[-1] in _PANELS]
    return max(panels or fitting, key=lambda m: len(m.words), default=None)


_PANELS = ("plywood", "mdf", "fibreboard", "fiberboard", "particleboard", "chipboard", "hardboard", "osb")


def density(text: str) -> Fraction | None:
    """Density (kg/m3) of the material that the text names, None where it is not in the table."""
    found = material(text)
    return None if found is None else found.density
