"""The sheet of work by template: every cut once in its order, the pages of the templates as they are, nothing struck; its steps cite it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plandoc.build.solids import solids
from plandoc.drawing.display import Text, walk
from plandoc.publish.templatelist import templates_csv
from plandoc.sheets import templates
from plandoc.sheets.context import SheetContext
from plandoc.sheets.procedure import KIND as PROCEDURE
from plandoc.sheets.templatework import KIND, work_texts
from plandoc.shopwork.names import mark_of
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.templatework import template_work
from tests.sheets.test_cutting import NAMES, above_the_title_block, example, plain
from tests.support.sheet_ctx import attr, findings, groups

WITH = [name for name in NAMES if name in ("bit-tray", "compass-box", "eyepiece-cabinet", "lookout-table", "reading-stool")]


@pytest.fixture(scope="module", params=WITH)
def ctx(request: pytest.FixtureRequest) -> SheetContext:
    made = example(request.param)
    return replace(made, steps=procedure(made.model))


def words(items: object) -> str:
    return " ".join(item.text for item in walk(items) if isinstance(item, Text))  # type: ignore[arg-type]


def test_every_cut_of_every_part_stands_in_one_row(ctx: SheetContext) -> None:
    drafts = KIND.compose(ctx)
    rows = [group for draft in drafts for group in groups(draft.items, "row")]
    shown = [mark for row in rows for mark in attr(row, "mark").split()]
    wanted = [mark_of(block.part) for block in template_work(ctx.model).blocks for _ in block.cuts]
    assert sorted(shown) == sorted(wanted)
    assert [draft.code for draft in drafts] == ["7.8", *(f"7.8{letter}" for letter in "bcdefgh"[: len(drafts) - 1])]


def test_it_is_one_sheet_on_which_nothing_is_struck(ctx: SheetContext) -> None:
    drafts = KIND.compose(ctx)
    assert len(drafts) == 1
    assert above_the_title_block(drafts, ctx)
    assert not findings(drafts, ctx)


def test_the_pages_are_those_of_the_templates(ctx: SheetContext) -> None:
    """Each run of pages is that on which the mark's tiles are drawn."""
    pages = templates.template_pages(ctx)
    drafts = templates.KIND.compose(ctx) if templates.wanted(ctx) else ()
    text = words([i for d in KIND.compose(ctx) for i in d.items])
    for block in template_work(ctx.model).blocks:
        for cut in block.cuts:
            for feature in cut.features:
                run = pages.get(feature.id)
                if run is None:
                    continue
                own = [d.code for d in drafts if f"{mark_of(block.part)} " in d.title and d.bare]
                first, _, last = run.partition("–")
                assert {first, last or first} <= set(own)
                assert run in text


def test_the_step_that_does_the_work_cites_the_sheet(ctx: SheetContext) -> None:
    texts = work_texts(ctx)
    assert texts
    assert all("on sheet 7.8" in text for text in texts.values())
    said = {mark.strip() for text in texts.values() for mark in text.partition(" on ")[0].split(",")}
    assert said == {mark_of(block.part) for block in template_work(ctx.model).blocks}
    only = replace(ctx, kinds=("procedure",))
    assert not work_texts(only)


def test_steps_print_it() -> None:
    ctx = example("compass-box")
    ctx = replace(ctx, steps=procedure(ctx.model), solids=solids(ctx.model))
    text = " ".join(words(draft.items) for draft in PROCEDURE.compose(ctx))
    assert "TEMPLATE WORK A on sheet 7.8" in text


def test_a_plan_without_such_work_has_no_sheet_and_no_rows() -> None:
    model = example("bench-shelf")
    assert not KIND.wanted(model)
    assert templates_csv(model.model).count("\n") == 1


def test_the_list_has_the_cuts_of_the_sheet() -> None:
    model = example("eyepiece-cabinet").model
    rows = templates_csv(model).splitlines()[1:]
    assert len(rows) == sum(len(block.cuts) for block in template_work(model).blocks)


@pytest.mark.parametrize("name", ["eyepiece-cabinet", "reading-stool"])
def test_large_print_has_cuts_on_every_sheet_but_that_of_the_words(name: str) -> None:
    model = example(name).model
    ctx = plain(replace(model, info=replace(model.info, style="large-print")))
    drafts = KIND.compose(ctx)
    assert above_the_title_block(drafts, ctx)
    assert not findings(drafts, ctx)
    assert all(groups(draft.items, "row") for draft in drafts[:-1])
