"""The job at a glance: one sheet for a job of usual length, every step and every glue-up once."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from plandoc.drawing.display import Text, walk
from plandoc.sheets.context import SheetContext
from plandoc.sheets.overview import KIND, NOTE
from plandoc.shopwork.procedure import procedure
from tests.sheets.test_cutting import NAMES, above_the_title_block, example
from tests.support.sheet_ctx import attr, findings, groups

LONG = ("reading-corner",)
"""37 steps and seven glue-ups: the gluing has a second sheet."""


def _with_steps(name: str) -> SheetContext:
    ctx = example(name)
    return replace(ctx, steps=procedure(ctx.model))


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_job_stands_on_one_sheet(name: str) -> None:
    ctx = _with_steps(name)
    drafts = KIND.compose(ctx)
    assert len(drafts) == (2 if name in LONG else 1)
    assert above_the_title_block(drafts, ctx) and not findings(drafts, ctx)
    rows = [attr(group, "step") for draft in drafts for table in groups(draft.items, "table") if table.id.startswith("overview") for group in groups(table.items, "row")]
    assert rows == [*(str(step.number) for step in ctx.steps), "total"]


def test_two_columns_share_the_steps() -> None:
    """The first column is not filled to the foot of the sheet before the second begins."""
    ctx = _with_steps("eyepiece-cabinet")
    (draft,) = KIND.compose(ctx)
    deep = max(leaf.at[1] for leaf in walk(draft.items) if isinstance(leaf, Text))
    assert any(leaf.text == "Gluing" for leaf in walk(draft.items) if isinstance(leaf, Text)) and deep <= ctx.space[3]


def _minutes(text: str) -> int:
    hours, rest = (re.search(rf"(\d+) {word}", text) for word in ("h", "min"))
    return 60 * int(hours[1] if hours else 0) + int(rest[1] if rest else 0)


@pytest.mark.parametrize("name", ["eyepiece-cabinet", "bit-tray"])
def test_the_columns_of_time_add_up(name: str) -> None:
    ctx = _with_steps(name)
    rows = [group for draft in KIND.compose(ctx) for table in groups(draft.items, "table") if table.id.startswith("overview") for group in groups(table.items, "row")]
    cells = [[leaf.text for leaf in walk(row.items) if isinstance(leaf, Text) and re.fullmatch(r"(\d+ h)? ?(\d+ min)?", leaf.text)] for row in rows]
    assert [attr(row, "step") for row in rows][-1] == "total"
    work = [_minutes(row[0]) for row in cells]
    assert all(work) and sum(work[:-1]) == work[-1]
    assert sum(_minutes(row[1]) for row in cells[:-1] if len(row) > 1) == _minutes(cells[-1][1])


def test_the_sheet_does_not_say_that_the_plan_sets_times_that_it_does_not_set() -> None:
    assert NOTE.endswith("A plan can set its own: time dado 4.")
