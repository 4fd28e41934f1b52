"""Dressed sizes: softwood after PS 20 as an engineering reference tabulates it, hardwood S2S (three pages agree)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.quantity import INCH
from plandoc.tables import dressed_section, dressed_thickness, dressed_width, nominal_inches, rough_thickness
from plandoc.tables.files import count_of, csv_rows


@pytest.mark.parametrize(
    ("nominal", "dressed"),
    [
        ("4/4", "13/16"),
        ("5/4", "17/16"),
        ("6/4", "21/16"),
        ("8/4", "7/4"),
        ("12/4", "11/4"),
        ("16/4", "15/4"),
    ],
)
def test_hardwood_surfaced_two_sides(nominal: str, dressed: str) -> None:
    assert dressed_thickness(nominal, "hardwood") == Fraction(dressed) * INCH


def test_hardwood_surfaced_one_side_is_thicker() -> None:
    assert dressed_thickness("4/4", "hardwood", "s1s") == Fraction(7, 8) * INCH


@pytest.mark.parametrize(
    ("name", "thick", "wide"),
    [
        ("1x4", "3/4", "7/2"),
        ("1x6", "3/4", "11/2"),
        ("1x8", "3/4", "29/4"),
        ("2x4", "3/2", "7/2"),
        ("2×10", "3/2", "37/4"),
    ],
)
def test_softwood_sections(name: str, thick: str, wide: str) -> None:
    assert dressed_section(name) == (Fraction(thick) * INCH, Fraction(wide) * INCH)


def test_unknown_sizes_have_no_answer() -> None:
    assert dressed_section("3x") is None
    assert dressed_section("plank") is None
    assert dressed_thickness("9/4", "hardwood") is None
    assert dressed_width("13") is None


def test_nominal_sizes_as_written() -> None:
    assert nominal_inches("5/4") == nominal_inches("1-1/4") == nominal_inches('1 1/4"') == Fraction(5, 4)
    assert rough_thickness("8/4") == 2 * INCH


def test_dressed_is_thinner_than_rough_in_every_row() -> None:
    rows = csv_rows("lumber")
    assert len(rows) > 40
    for row in rows:
        rough = count_of(row["nominal_in"])
        assert rough is not None and row["status"]
        sizes = [count_of(row[c]) for c in ("dressed_dry_in", "dressed_green_in", "s1s_in", "s2s_in")]
        assert any(size is not None for size in sizes)
        assert all(size is None or size < rough for size in sizes)
