"""Exploded pictures: balloons are the parts list, trails run along the axes."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import pytest

from plandoc.model.entities import Model
from plandoc.sheets.exploded import _cells, compose, pictures
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
    assert "TRAY 1, 2: 9.2" in texts(drafts[0].items)


def test_an_assembly_of_one_part_is_shown_as_that_part() -> None:
    model = trays()
    kept = {"tray[1].bottom", "tray[2].bottom"} & {p.path for p in model.placed} or {
        next(p.path for p in model.placed if p.assembly == f"tray[{n}]") for n in (1, 2)
    }
    parts = tuple(p for p in model.parts if not p.path.startswith("tray[") or p.path in kept)
    joints = tuple(j for j in model.joints if all(any(q.path == e for q in parts) for e in (j.a, j.b)))
    lone = replace(model, parts=parts, joints=joints)
    (whole,) = pictures(lone)
    assert {p.mark for p in parts if p.path in kept} <= set(whole.marks)


def test_up_to_four_subassemblies_share_a_sheet() -> None:
    wide = _cells((0.0, 0.0, 200.0, 100.0), 2)
    high = _cells((0.0, 0.0, 100.0, 200.0), 2)
    four = _cells((0.0, 0.0, 200.0, 100.0), 4)
    assert wide[0][2] < wide[1][0] and high[0][3] < high[1][1] and len(four) == 4
    assert four[3][2:] == (200.0, 100.0)


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
