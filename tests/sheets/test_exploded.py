"""Exploded pictures: balloons are the parts list, trails run along the axes."""

from __future__ import annotations

from math import atan2, degrees

import pytest

from plandoc.model.entities import Model
from plandoc.sheets.exploded import compose, pictures
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts, trays


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_balloons_are_the_marks_of_the_placed_parts(model: Model) -> None:
    drafts = compose(context(model))
    drawn = [attr(g, "item") for d in drafts for g in groups(d.items, "balloon")]
    also = [m for p in pictures(model) for _, others in p.others for m in others]
    assert sorted([*drawn, *also]) == sorted({p.mark for p in model.placed})
    assert len(drawn) == len(set(drawn))
    assert all(len(list(groups(d.items, "balloon"))) <= 12 for d in drafts)


def test_identical_parts_have_one_balloon_with_their_count() -> None:
    (draft,) = compose(context(sample_case()))
    balloons = {attr(g, "item"): texts(g.items) for g in groups(draft.items, "balloon")}
    assert balloons["C"] == ["C", "2X"]
    assert balloons["A"] == ["A"]


def test_each_different_subassembly_has_its_picture() -> None:
    assert [p.assembly for p in pictures(trays())] == ["", "tray[1]"]
    assert pictures(trays())[1].marks == ("D", "E")
    drafts = compose(context(trays()))
    assert [d.title for d in drafts] == ["Exploded view", "Exploded view: tray"]
    assert "2X TRAY" in texts(drafts[0].items)


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_trails_run_along_the_axes(model: Model) -> None:
    trails = [line for d in compose(context(model)) for line in lines(d.items, "trail")]
    assert trails
    for line in trails:
        (ax, ay), (bx, by) = line.points
        angle = degrees(atan2(-(by - ay), bx - ax)) % 180
        assert min(abs(angle - axis) for axis in (30, 90, 150)) < 0.5


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_sheets_are_clean(model: Model) -> None:
    ctx = context(model)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)
