"""The job at a glance: one sheet for a job of usual length, every step and every glue-up once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plandoc.drawing.display import Text, walk
from plandoc.sheets.context import SheetContext
from plandoc.sheets.overview import KIND
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
