"""Parts, hardware and stock lists, and their CSV."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest

from plandoc.publish.packetlists import decimal, hardware_csv, money, parts_csv, stock_csv
from plandoc.quantity import INCH
from plandoc.shopwork.names import joined_names
from plandoc.shopwork.partslist import hardware_list, parts_list, stock_list
from tests.support.sample_model import sample_case
from tests.support.tray_model import tray_case


def test_one_row_a_mark_and_all_pieces_counted() -> None:
    for model in (sample_case(), tray_case()):
        rows = parts_list(model)
        assert len({row.mark for row in rows}) == len(rows)
        assert sum(row.count for row in rows) == sum(p.count for p in model.parts)
        assert sorted(path for row in rows for path in row.paths) == sorted(p.path for p in model.parts)
    (shelves,) = [row for row in parts_list(sample_case()) if row.mark == "C"]
    assert (shelves.name, shelves.count, shelves.sheet) == ("bottom, fixed shelf", 2, "")
    assert shelves.length == Fraction("23.0625") * INCH  # 24 - 2 x 23/32 + 2 x 1/4 in


def test_weight_is_box_volume_times_density_or_the_given_volume() -> None:
    (side,) = [row for row in parts_list(tray_case()) if row.mark == "A"]
    assert side.weight == Fraction(500 * 300 * 20 * 670, 10**9)
    (side,) = [row for row in parts_list(tray_case(), {"left_side": 1_000_000.0}) if row.mark == "A"]
    assert side.weight == Fraction(670, 1000)


@pytest.mark.parametrize(
    ("names", "joined"),
    [
        (["shelf", "shelf"], "shelf"),
        (["tray 1 rim", "tray 2 rim", "tray 3 rim"], "tray 1–3 rim"),
        (["rail 1", "rail 3"], "rail 1, 3"),
        (["left", "right"], "left, right"),
        (["a", "b", "c", "d", "e"], "a, b and 3 more"),
        (["shelf 1 of 2", "shelf 2 of 3"], "shelf 1 of 2, shelf 2 of 3"),
    ],
)
def test_names_of_alike_parts(names: list[str], joined: str) -> None:
    assert joined_names(names) == joined


def test_fasteners_of_joints_are_counted_and_priced() -> None:
    rows = {row.item: row for row in hardware_list(tray_case())}
    assert rows["pin"].quantity == 6 and rows["pin"].total == Fraction("0.90")
    assert rows["runner"].unit == "pair" and rows["runner"].quantity == 1
    screws = rows["screw No 8 × 30 mm"]
    assert screws.quantity == 2 and screws.price is None and screws.total is None


def test_stock_areas_board_feet_and_cost() -> None:
    ply, oak = stock_list(tray_case())
    # two sides 500 x 300, bottom and two blanks 372 x 300, top 360 x 300
    assert ply.area == 2 * 500 * 300 + 3 * 372 * 300 + 360 * 300
    assert ply.least_sheets == 1 and ply.cost == 60
    lips, feet = 2 * 360 * 30, 4 * 60 * 40
    assert oak.board_feet == Fraction(lips + feet) * INCH / (144 * INCH**3)
    assert oak.board_feet is not None and oak.cost == 8 * oak.board_feet
    assert ply.area_m2 == Fraction(ply.area, 10**6)
    assert ply.area_ft2 == ply.area / (12 * INCH) ** 2


def test_parts_csv_reads_back() -> None:
    model = sample_case()
    text = parts_csv(parts_list(model), model.info.units)
    assert "\r" not in text and text.endswith("\n")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert list(rows[0])[:13] == [
        "mark", "name", "count", "length_mm", "width_mm", "thickness_mm", "length", "width", "thickness", "stock",
        "grain", "edges", "sheet",
    ]  # fmt: skip
    assert rows[0]["length_mm"] == "762" and rows[0]["length"] == '30"'
    assert rows[2]["thickness_mm"] == "18.256"  # 23/32 in = 18.25625 mm


def test_other_lists_read_back() -> None:
    model = tray_case()
    hardware = list(csv.DictReader(io.StringIO(hardware_csv(hardware_list(model)))))
    assert [row["quantity"] for row in hardware] == ["6", "1", "2"]
    assert hardware[0]["total"] == "0.90" and hardware[2]["price"] == ""
    stock = list(csv.DictReader(io.StringIO(stock_csv(stock_list(model)))))
    assert stock[0]["least_sheets_before_layout"] == "1" and stock[0]["board_feet"] == ""
    assert stock[1]["area_m2"] == ""


def test_decimals_round_half_away_and_never_print_minus_zero() -> None:
    assert decimal(Fraction(1, 3)) == "0.333"
    assert decimal(Fraction("0.0005")) == "0.001"
    assert decimal(Fraction("-0.0001")) == "0"
    assert decimal(Fraction("-2.5")) == "-2.5"
    assert decimal(None) == ""
    assert money(Fraction("2.675")) == "2.68" and money(Fraction(3)) == "3.00"
