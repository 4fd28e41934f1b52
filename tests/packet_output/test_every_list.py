"""Every list in CSV and in JSON, in the packet as on the command's output, and with the figures that are printed."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.drawing.display import Group, Item, Text, walk
from plandoc.drawing.style import load_style
from plandoc.packet.compose import compose
from plandoc.pipeline import Checked, check
from plandoc.publish.everylist import LISTS, Told, list_files
from plandoc.publish.folder import OWN_FILES
from plandoc.sheets.overview import _time
from plandoc.shopwork.estimates import duration, whole_minutes
from plandoc.shopwork.gluewords import liquid_words, surface_words
from plandoc.shopwork.procedure import procedure
from plandoc.world import DiskWorld

SHELF = Path(__file__).parents[2] / "examples" / "bench-shelf" / "bench-shelf.plan"


@pytest.fixture(scope="module")
def shelf() -> Checked:
    return check(SHELF.name, DiskWorld(SHELF.parent))


@pytest.fixture(scope="module")
def told(shelf: Checked) -> Told:
    return Told(shelf.model, {path: solid.volume for path, solid in shelf.solids.items()}, procedure(shelf.model))


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def groups(items: tuple[Item, ...]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from groups(item.items)


def printed(shelf: Checked, told: Told, table: str) -> list[tuple[str, list[str]]]:
    """Step and words of each row of a table of the overview."""
    sheets, _ = compose(shelf.model, shelf.solids, load_style(shelf.model.info.style), told.steps, ("overview",))
    found = []
    for group in groups(tuple(i for sheet in sheets for i in sheet.items)):
        if group.id.startswith(table):
            for row in groups(group.items):
                step = dict(row.attrs).get("step")
                if step:
                    found.append((step, [leaf.text for leaf in walk(row.items) if isinstance(leaf, Text)]))
    return found


def test_a_list_without_a_row_is_not_in_the_packet(told: Told) -> None:
    assert not rows(LISTS["templates"](told))
    assert list(list_files(told)) == [f"lists/{name}.{form}" for name in LISTS if name != "templates" for form in ("csv", "json")]


def test_every_list_is_in_the_packet_in_both_forms() -> None:
    """Of a plan that has something for each."""
    plan = SHELF.parents[1] / "compass-box" / "compass-box.plan"
    box = check(plan.name, DiskWorld(plan.parent))
    told = Told(box.model, {path: solid.volume for path, solid in box.solids.items()}, procedure(box.model))
    files = list_files(told)
    assert list(files) == [f"lists/{name}.{form}" for name in LISTS for form in ("csv", "json")]
    for name, make in LISTS.items():
        text = files[f"lists/{name}.csv"].decode("utf-8")
        assert text == make(told) and rows(text)
        assert json.loads(files[f"lists/{name}.json"]) == rows(text)
        assert OWN_FILES.fullmatch(f"lists/{name}.csv") and OWN_FILES.fullmatch(f"lists/{name}.json")


def test_times_are_those_of_the_printed_overview(shelf: Checked, told: Told) -> None:
    found = {step: words for step, words in printed(shelf, told, "overview") if step != "total"}
    listed = rows(LISTS["times"](told))
    assert [r["step"] for r in listed] == [str(s.number) for s in told.steps] == list(found)
    for row in listed:
        for name in ("work_minutes", "wait_minutes"):
            if Fraction(row[name]):
                assert _time(Fraction(row[name])) in " ".join(found[row["step"]])


def test_gluing_is_that_of_the_printed_overview(shelf: Checked, told: Told) -> None:
    found = printed(shelf, told, "gluing")
    listed = rows(LISTS["gluing"](told))
    assert listed and [r["step"] for r in listed] == [step for step, _ in found]
    units = shelf.model.info.units
    for row, (_, words) in zip(listed, found, strict=True):
        line = " ".join(words)
        assert row["joints"] in line
        assert surface_words(Fraction(row["area_mm2"]), units) in line
        assert liquid_words(Fraction(row["glue_ml"]) * 1000, units) in line
        assert duration(whole_minutes(Fraction(row["minutes"]))) in line
        for axis in ("across", "back", "up"):
            if row[f"{axis}_clamps"]:
                assert f"{row[f'{axis}_clamps']} × " in line
