"""All lists by name, as CSV and as JSON: those of `plandoc list` are those of the packet."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from plandoc.model.entities import Model, Step
from plandoc.publish.buyinglist import buying_csv
from plandoc.publish.cuttinglist import cutting_csv
from plandoc.publish.gluinglist import gluing_csv, times_csv
from plandoc.publish.packetlists import hardware_csv, parts_csv, stock_csv
from plandoc.publish.setuplist import setups_csv
from plandoc.publish.steplist import steps_csv
from plandoc.publish.templatelist import templates_csv
from plandoc.sheets.context import IndexRow
from plandoc.shopwork.hardwarelist import hardware_list
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.partslist import PartRow, parts_list
from plandoc.shopwork.stocklist import stock_list


@dataclass(frozen=True, slots=True)
class Told:
    """What lists are made from. volumes: of the solids (mm3) by path; index: of the sheets, empty where there are none."""

    model: Model
    volumes: Mapping[str, float]
    steps: tuple[Step, ...]
    index: Sequence[IndexRow] = ()


LISTS: dict[str, Callable[[Told], str]] = {
    "parts": lambda t: parts_csv(part_rows(t), t.model.info.units),
    "hardware": lambda t: hardware_csv(hardware_list(t.model)),
    "stock": lambda t: stock_csv(stock_list(t.model, t.volumes), t.model.info.units),
    "buying": lambda t: buying_csv(t.model),
    "cutting": lambda t: cutting_csv(layouts(t.model)),
    "setups": lambda t: setups_csv(t.model),
    "templates": lambda t: templates_csv(t.model),
    "steps": lambda t: steps_csv(t.steps),
    "gluing": lambda t: gluing_csv(t.model, t.steps),
    "times": lambda t: times_csv(t.model, t.steps),
}
"""The CSV text of each list."""
ALWAYS = ("parts", "hardware", "stock")
"""In every packet, also without a row."""


def part_rows(told: Told) -> tuple[PartRow, ...]:
    """Rows of the parts list with the sheet that shows each part."""
    sheets = {mark: row.code for row in reversed(told.index) for mark in row.marks}
    return tuple(replace(row, sheet=sheets.get(row.mark, "")) for row in parts_list(told.model, told.volumes))


def json_text(text: str) -> str:
    """A list as JSON: one object a row, every figure as the text that stands in the CSV."""
    head, *rows = csv.reader(io.StringIO(text))
    return json.dumps([dict(zip(head, row, strict=True)) for row in rows], indent=1, ensure_ascii=False) + "\n"


def list_files(told: Told) -> dict[str, bytes]:
    """`lists/NAME.csv` and `lists/NAME.json` of all that have a row."""
    files = {}
    for name, make in LISTS.items():
        text = make(told)
        if name in ALWAYS or text.count("\n") > 1:
            files[f"lists/{name}.csv"] = text.encode("utf-8")
            files[f"lists/{name}.json"] = json_text(text).encode("utf-8")
    return files


__all__ = ["ALWAYS", "LISTS", "Told", "json_text", "list_files", "part_rows"]
