"""What the words of a plan say about wood and screws, and the plug cutters that a shop has."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from plandoc.tables.files import INCH_MM, toml_table


def is_softwood(text: str) -> bool:
    """Whether a text such as `Eastern white pine` names a softwood."""
    return not _words("softwood").isdisjoint(_said(text))


def is_raised_head(text: str) -> bool:
    """Whether a text such as `Round-head screw` names a head that is not sunk."""
    return not {w.removesuffix("head") for w in _said(text)}.isdisjoint(_words("raised_head"))


# Included angle of the heads of flat-head screws by the plan's system: 82 degrees for inch screws (ASME B18.6.1, from
# memory), 90 degrees for metric ones (ISO 7721, from memory).
HEAD_ANGLE = {"inch": Fraction(82), "mm": Fraction(90)}


@cache
def plugs(inches: bool) -> tuple[Fraction, ...]:
    """Diameters of plug cutters, narrow to wide (mm)."""
    row = toml_table("words")["plug"]
    return tuple(Fraction(v) * INCH_MM for v in row["inches"]) if inches else tuple(Fraction(v) for v in row["mm"])


@cache
def _words(name: str) -> frozenset[str]:
    return frozenset(toml_table("words")[name]["words"].split())


def _said(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.casefold())
