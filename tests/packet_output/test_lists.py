"""Lists and model.json of a packet against the model and the sheets."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema

import plandoc.publish
from plandoc.quantity import read_length, shop_number

COLUMNS = (
    "mark", "name", "count", "length_mm", "width_mm", "thickness_mm", "length", "width", "thickness", "stock", "grain",
    "edges", "sheet",
)  # fmt: skip


def rows_of(made: Any, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(made.files[name].decode("utf-8"))))


def test_the_packet_holds_its_files(made: Any) -> None:
    assert {"packet.pdf", "model.json", "lists/parts.csv", "lists/hardware.csv", "lists/stock.csv"} <= set(made.files)


def test_the_model_follows_its_schema(made: Any) -> None:
    schema = json.loads((Path(plandoc.publish.__file__).parent / "model.schema.json").read_text(encoding="utf-8"))
    jsonschema.validators.validator_for(schema).check_schema(schema)
    jsonschema.validate(json.loads(made.files["model.json"]), schema)


def test_columns_of_the_parts_list(made: Any) -> None:
    assert tuple(rows_of(made, "lists/parts.csv")[0])[: len(COLUMNS)] == COLUMNS


def test_the_parts_list_counts_every_part_once(made: Any) -> None:
    model, rows = made.checked.model, rows_of(made, "lists/parts.csv")
    assert sum(int(r["count"]) for r in rows) == sum(p.count for p in model.parts)
    assert [r["mark"] for r in rows] == list(dict.fromkeys(p.mark for p in model.parts))
    assert sorted(path for r in rows for path in r["paths"].split(" ")) == sorted(p.path for p in model.parts)


def test_sizes_of_the_parts_list(made: Any) -> None:
    """Millimetres to the thousandth; the other columns as the drawings print them."""
    model, units = made.checked.model, made.checked.model.info.units
    for row in rows_of(made, "lists/parts.csv"):
        part = next(p for p in model.parts if p.mark == row["mark"])
        assert (row["stock"], row["grain"]) == (part.stock.name, "along length" if part.stock.grain else "none")
        for column in ("length", "width", "thickness"):
            size = getattr(part, column)
            assert abs(Fraction(row[f"{column}_mm"]) - size) <= Fraction(1, 2000)
            printed = row[column]
            own = units.fine if column == "thickness" else units
            assert printed.startswith("≈") != shop_number(size, own).exact
            assert read_length(printed.removeprefix("≈")) == shop_number(size, own).value


def test_the_sheet_column_leads_to_a_sheet_of_the_part(made: Any) -> None:
    by_code = {groups[0].data["code"]: groups for groups in made.drawn.values()}
    for row in rows_of(made, "lists/parts.csv"):
        groups = by_code[row["sheet"]]
        assert groups[0].data["kind"] == "part"
        assert row["mark"] in {e.data[key] for e in groups if e.kind == "part" for key in ("mark", "opposite") if key in e.data}


def test_the_printed_parts_list_has_the_same_rows(made: Any) -> None:
    printed = [(e.data["mark"], e.data["count"]) for groups in made.drawn.values() for e in groups if e.kind == "row" and e.parent("table").id == "parts-list"]
    assert printed == [(r["mark"], r["count"]) for r in rows_of(made, "lists/parts.csv")]


def test_balloons_of_the_exploded_views_name_every_mark(made: Any) -> None:
    model = made.checked.model
    marks: set[str] = set()
    for groups in made.drawn.values():
        if groups[0].data["kind"] != "exploded":
            continue
        for e in groups:
            if e.kind == "balloon":
                part = e.data["part"]
                owners = {p.mark for p in model.parts if p.path == part or p.assembly == part}
                assert next(w.text for w in e.texts) == e.data["item"]
                assert e.data["item"] in owners, e.data
                marks.add(e.data["item"])
    assert {p.mark for p in model.parts} <= marks


def test_hardware_is_counted_from_fittings_and_joints(made: Any) -> None:
    model = made.checked.model
    wanted: dict[str, int] = {}
    for f in model.fittings:
        wanted[f.item] = wanted.get(f.item, 0) + f.quantity
    for joint in model.joints:
        for fastening in joint.fasteners:
            wanted[fastening.item] = wanted.get(fastening.item, 0) + len(fastening.centres)
    rows = {r["item"]: r for r in rows_of(made, "lists/hardware.csv")}
    assert {item: int(r["quantity"]) for item, r in rows.items()} == wanted
    for row in rows.values():
        if row["price"]:
            assert Fraction(row["total"]) == Fraction(row["price"]) * int(row["quantity"])


def test_the_models_parts_are_those_of_the_lists(made: Any) -> None:
    data = json.loads(made.files["model.json"])
    assert [p["path"] for p in data["parts"]] == [p.path for p in made.checked.model.parts]
    assert [s["number"] for s in data["steps"]] == list(range(1, len(data["steps"]) + 1))
