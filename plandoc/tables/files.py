"""Reading the data files of this package, each once, at first use."""

from __future__ import annotations

import csv
import io
import tomllib
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

INCH_MM = Fraction(254, 10)
"""Millimetres in one inch (international inch, NIST SP 811, appendix B)."""


def _text(name: str) -> str:
    return (files("plandoc.tables") / "data" / name).read_text(encoding="utf-8")


@cache
def toml_table(name: str) -> dict[str, Any]:
    """The content of data/NAME.toml."""
    return tomllib.loads(_text(f"{name}.toml"))


@cache
def csv_rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of data/NAME.csv, each by column name."""
    return tuple(csv.DictReader(io.StringIO(_text(f"{name}.csv"))))


def count_of(text: str) -> Fraction | None:
    """Exact value of a table cell: `3/4`, `1-13/16`, `0.164`; None for an empty cell."""
    text = text.strip()
    if not text:
        return None
    whole, dash, rest = text.partition("-")
    return Fraction(whole) + Fraction(rest) if dash else Fraction(text)


def inches(text: str) -> Fraction | None:
    """A table cell in inches as exact millimetres; None for an empty cell."""
    count = count_of(text)
    return None if count is None else count * INCH_MM
