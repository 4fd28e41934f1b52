"""Exploded pictures: balloons are the parts list, trails run along the axes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees, hypot
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from plandoc.drawing.boxes import grown, item_extent, line_segments, segment_meets_box
from plandoc.drawing.display import XY, Line, Text, walk
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import PICTURES
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.sheets import exploded
from plandoc.sheets.exploded import _cells, compose, pictures
from plandoc.sheets.views import Placement
from plandoc.world import DiskWorld
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts, trays


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_balloons_are_the_marks_of_all_parts(model: Model) -> None:
    drafts = compose(context(model))
    drawn = [attr(g, "item") for d in drafts for g in groups(d.items, "balloon")]
    assert sorted(drawn) == sorted({p.mark for p in model.parts})
    assert len(drawn) == len(set(drawn))
    assert all(len(list(groups(d.items, "balloon"))) <= 12 for d in drafts)


def test_identical_parts_have_one_balloon_with_their_count() -> None:
    (draft,) = compose(context(sample_case()))
    balloons = {attr(g, "item"): texts(g.items) for g in groups(draft.items, "balloon")}
    assert balloons["C"] == ["C", "2X"]
    assert balloons["A"] == ["A"]


def test_each_different_subassembly_has_its_picture() -> None:
    assert [(p.assembly, p.loose) for p in pictures(trays())] == [("", False), ("tray[1]", False), ("", True)]
    assert pictures(trays())[1].marks == ("D", "E")
    drafts = compose(context(trays()))
    assert [d.title for d in drafts] == ["Exploded view", "Exploded views: tray, Loose parts"]
    assert "TRAY 1, 2: 9.2" in texts(drafts[0].items)


def test_an_assembly_of_one_part_is_shown_as_that_part() -> None:
    model = trays()
    kept = {"tray[1].bottom", "tray[2].bottom"} & {p.path for p in model.placed} or {
        next(p.path for p in model.placed if p.assembly == f"tray[{n}]") for n in (1, 2)
    }
    parts = tuple(p for p in model.parts if not p.path.startswith("tray[") or p.path in kept)
    joints = tuple(j for j in model.joints if all(any(q.path == e for q in parts) for e in (j.a, j.b)))
    lone = replace(model, parts=parts, joints=joints)
    whole, _ = pictures(lone)  # the other one has the loose part
    assert {p.mark for p in parts if p.path in kept} <= set(whole.marks)


def test_up_to_four_subassemblies_share_a_sheet() -> None:
    wide = _cells((0.0, 0.0, 200.0, 100.0), 2)
    high = _cells((0.0, 0.0, 100.0, 200.0), 2)
    four = _cells((0.0, 0.0, 200.0, 100.0), 4)
    assert wide[0][2] < wide[1][0] and high[0][3] < high[1][1] and len(four) == 4
    assert four[3][2:] == (200.0, 100.0)


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_trails_run_along_the_axes(model: Model) -> None:
    _trails_run_along_the_axes(model)


def test_what_moves_two_ways_trails_round_a_corner() -> None:
    """The rails and the stretcher of the table leave with one side frame, and then apart."""
    _trails_run_along_the_axes(example("lookout-table"))


def _trails_run_along_the_axes(model: Model) -> None:
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


def example(name: str) -> Model:
    return check(f"{name}.plan", DiskWorld(Path(__file__).parents[2] / "examples" / name)).model


def hit(bodies: list[tuple[str, Solid]], place: Placement, spot: tuple[float, float]) -> str:
    """The body whose face is nearest to the viewer at a place on paper."""
    best, found = -np.inf, ""
    for path, solid in bodies:
        corners = solid.vertices[solid.triangles]
        flat, depth = place.view.flat(corners) * (place.ratio, -place.ratio) + place.at, place.view.depth(corners)
        for (a, b, c), (da, db, dc) in zip(flat, depth, strict=True):
            turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
            if abs(turn) < 1e-9:
                continue
            u = ((spot[0] - a[0]) * (c[1] - a[1]) - (spot[1] - a[1]) * (c[0] - a[0])) / turn
            v = ((b[0] - a[0]) * (spot[1] - a[1]) - (b[1] - a[1]) * (spot[0] - a[0])) / turn
            level = da + u * (db - da) + v * (dc - da)
            if u >= 0 and v >= 0 and u + v <= 1 and level > best:
                best, found = level, path
    return found


@pytest.mark.parametrize("name", ["shop-cart", "tide-board"])
def test_leaders_end_on_their_own_part_clear_of_its_edges(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """In these pieces parts lie behind others: the rail under the top of the cart, the cleat on the wall."""
    model = example(name)
    drawn: list[tuple[list[tuple[str, Solid]], Placement]] = []

    def noted(*args: Any) -> Any:
        found = showing(*args)
        drawn.append((list(args[2]), found[0]))
        return found

    showing = exploded._showing
    monkeypatch.setattr(exploded, "_showing", noted)
    drafts = compose(context(model))
    assert len(drafts) == len(drawn)
    for draft, (bodies, place) in zip(drafts, drawn, strict=True):
        for balloon in groups(draft.items, "balloon"):
            (leader,) = (leaf for leaf in walk((balloon,)) if isinstance(leaf, Line))
            x, y = leader.points[-1]
            for dx, dy in ((0.0, 0.0), (0.5, 0.0), (-0.5, 0.0), (0.0, 0.5), (0.0, -0.5)):
                path = hit(bodies, place, (x + dx, y + dy))
                assert path and model.part(path).mark == attr(balloon, "item"), (attr(balloon, "item"), path)


def test_a_piece_with_many_marks_comes_apart_in_pictures_of_its_own() -> None:
    """Thirteen marks: seven that leave first, then the rest without them."""
    first, second = pictures(example("tide-board"))
    assert (len(first.marks), len(second.marks)) == (7, 6)
    assert not first.gone and second.gone == first.marks


def test_an_assembly_round_another_one_is_named_and_gives_its_name() -> None:
    """In the plan stands `drawer`; the library wraps a body into it, and a box into that."""
    model = example("darkroom-cabinet")
    titles = {p.assembly: p.title.partition(": ")[2] for p in pictures(model)}
    assert titles["drawer.body"] == "drawer" and titles["panel_door.leaf"] == "panel door"
    assert titles["drawer.body.box"] == "drawer box"
    whole = compose(context(model))[0]
    assert {"DRAWER: 9.2", "PANEL DOOR: 9.2", "TOE BASE: 9.2"} <= set(texts(whole.items))


def test_mirrored_instances_have_pictures_of_their_own() -> None:
    """The doors of the cupboard: their stiles are mirror images with marks of their own, rails and panels are alike."""
    model = example("map-cupboard")
    first, second = pictures(model)[1:]
    assert (first.title, second.title) == ("Exploded view: left door", "Exploded view: right door")
    assert first.marks == ("K", "L", "M", "N", "P") and second.marks == ("R", "S", "M", "N", "P")
    drafts = compose(context(model))
    assert {attr(g, "item") for d in drafts for g in groups(d.items, "balloon")} == {p.mark for p in model.parts}
    assert {"LEFT DOOR: 9.2", "RIGHT DOOR: 9.2"} <= set(texts(drafts[0].items))


def test_loose_parts_lie_side_by_side_in_a_picture_of_their_own() -> None:
    model = example("lookout-table")
    assert pictures(model)[-1].marks == ("K",)
    drafts = compose(context(model))
    (balloon,) = (g for d in drafts for g in groups(d.items, "balloon") if attr(g, "item") == "K")
    assert texts(balloon.items) == ["K", "8X"] and "LOOSE PARTS" in texts(drafts[-1].items)


@pytest.mark.parametrize("name, sheets", [("eyepiece-cabinet", 1), ("carving-bench", 1), ("compass-box", 1), ("lookout-table", 1), ("tide-board", 2)])
def test_the_whole_and_one_other_picture_stand_side_by_side(name: str, sheets: int) -> None:
    """Each at least half as large as by itself; a piece with many marks comes apart in two pictures on two sheets."""
    ctx = context(example(name))
    drafts = compose(ctx)
    assert len(drafts) == sheets and len(pictures(ctx.model)) == 2
    if sheets == 1:
        boxes = [box for g in groups(drafts[0].items, "picture") if (box := item_extent(g)) is not None]
        assert len(boxes) == 2 and boxes[0][2] < boxes[1][0]
        assert max(boxes[0][2] - boxes[0][0], boxes[0][3] - boxes[0][1]) >= 70.0
        assert ": 9.2" not in " ".join(texts(drafts[0].items))


@pytest.mark.parametrize("name", ["lookout-table", "seed-rack", "tide-board"])
def test_trails_name_their_joints_and_keep_off_edges(name: str) -> None:
    """In the rack and the board corners of joints lie on the way of an edge that is seen."""
    model = example(name)
    named: list[str] = []
    for draft in compose(context(model)):
        for picture in groups(draft.items, "picture"):
            edges = [pair for line in lines(picture.items, "vis") for pair in pairwise((*line.points, line.points[0]) if line.closed else line.points)]
            for group in groups(picture.items, "trail"):
                named += dict(group.attrs).get("joint", "").split()
                for line in lines(group.items, "trail"):
                    assert not any(lies_on(line.points, edge) for edge in edges), (group.attrs, line.points)
    assert named and set(named) <= {j.id for j in model.joints}


def lies_on(line: tuple[XY, ...], edge: tuple[XY, XY]) -> bool:
    """Whether a line shares more than 0.3 mm with an edge of its direction."""
    p, q = (np.array(v) for v in (line[0], line[-1]))
    way = (q - p) / np.hypot(*(q - p))
    along, off = [float((np.array(v) - p) @ way) for v in edge], [float((np.array(v) - p) @ (way[1], -way[0])) for v in edge]
    return max(abs(v) for v in off) < 0.05 and min(max(along), np.hypot(*(q - p))) - max(min(along), 0.0) > 0.3


def test_names_of_subassemblies_stand_beside_their_picture() -> None:
    """The drawer of the cabinet is as wide as its cell lets it be; the name of its box has room beside it."""
    sheet = compose(context(example("darkroom-cabinet")))[1]
    names = [i for g in groups(sheet.items, "leader") for i in walk((g,)) if isinstance(i, Text)]
    assert [n.text for n in names] == ["DRAWER BOX: 9.2"]
    box = item_extent(names[0])
    assert box is not None
    edges = [s for g in groups(sheet.items, "picture") for line in lines(g.items, "vis") for s in line_segments(line)]
    assert edges and not any(segment_meets_box(*edge, grown(box, 0.5)) for edge in edges)


def test_a_leader_to_a_large_part_ends_near_its_rim() -> None:
    """From the middle of the tray to the nearest balloon it would be 88 mm."""
    (draft,) = compose(context(example("bit-tray"), paper="A3", style="shop-metric"))
    for balloon in groups(draft.items, "balloon"):
        (leader,) = (leaf for leaf in walk((balloon,)) if isinstance(leaf, Line))
        (x0, y0), (x1, y1) = leader.points
        assert hypot(x1 - x0, y1 - y0) < 60.0, attr(balloon, "item")


def test_pictures_that_share_a_sheet_use_its_height() -> None:
    """Balloons stand beside the pictures of a sheet of four, so that these may be as high as their cells."""
    _, sheet = compose(context(example("darkroom-cabinet")))
    high = [box[3] - box[1] for g in groups(sheet.items, "picture") if (box := item_extent(g)) is not None]
    assert max(high) > 40.0


def test_every_picture_has_a_place_from_which_it_may_be_seen() -> None:
    assert {view.name for view in exploded.VIEWS} == set(PICTURES)
