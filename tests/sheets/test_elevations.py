"""Elevations: projection, alignment, sizes of the whole."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.drawing.boxes import item_extent, line_segments, segment_meets_box, united
from plandoc.drawing.display import Circle, Extent, Group, walk
from plandoc.geometry.bodies import ACROSS, BACK, UP
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.sheets.elevations import compose
from plandoc.sheets.section_plan import section_cuts
from plandoc.world import DiskWorld, MemoryWorld
from tests.support.sample_model import inch, sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts, trays


def _views(model: Model, **info: str) -> dict[str, Group]:
    drafts = compose(context(model, **info))
    return {attr(g, "proj"): g for d in drafts for g in groups(d.items, "view")}


def _outline(view: Group) -> Extent:
    return united(e for line in lines(view.items, "vis") if (e := item_extent(line)) is not None)


def test_views_share_a_sheet_while_they_print_large_enough() -> None:
    box = sample_case().box
    assert box is not None
    for paper in ("letter", "tabloid"):
        (draft,) = compose(context(sample_case(), paper=paper))
        views = {attr(g, "proj"): g for g in groups(draft.items, "view")}
        assert sorted(views) == ["front", "right", "top"]
        outline = _outline(views["front"])
        assert outline[2] - outline[0] >= 44.0


def test_a_plan_out_of_its_place_has_an_arrow_and_a_letter() -> None:
    (draft,) = compose(context(sample_case()))
    views = {attr(g, "proj"): g for g in groups(draft.items, "view")}
    front, right, top = (_outline(views[n]) for n in ("front", "right", "top"))
    sights = [attr(g, "letter") for g in groups(draft.items, "sight")]
    if top[3] > front[1]:  # beside the side view
        assert top[0] > right[2] and sights == ["Z"] and "TOP (Z)" in texts(draft.items)
    else:
        assert sights == [] and "TOP" in texts(draft.items)
    (large,) = compose(context(sample_case(), paper="tabloid"))
    assert list(groups(large.items, "sight")) == []


@pytest.mark.parametrize("projection", ["third", "first"])
def test_views_are_aligned_and_on_their_side(projection: str) -> None:
    views = _views(sample_case(), paper="tabloid", projection=projection)
    front, right, top = (_outline(views[n]) for n in ("front", "right", "top"))
    assert abs(front[1] - right[1]) < 0.05 and abs(front[3] - right[3]) < 0.05
    assert abs(front[0] - top[0]) < 0.05 and abs(front[2] - top[2]) < 0.05
    assert (right[0] > front[2]) == (projection == "third")
    assert (right[2] < front[0]) == (projection == "first")
    assert (top[3] < front[1]) == (projection == "third")
    assert (top[1] > front[3]) == (projection == "first")
    assert len({attr(v, "scale") for v in views.values()}) == 1


def test_outlines_are_true_to_scale() -> None:
    model = sample_case()
    box = model.box
    assert box is not None
    for name, axes in (("front", (ACROSS, UP)), ("right", (BACK, UP))):
        view = _views(model)[name]
        paper, real = (int(n) for n in attr(view, "scale").split(":"))
        x0, y0, x1, y1 = _outline(view)
        assert x1 - x0 == pytest.approx(float(box.size(axes[0])) * paper / real, abs=0.01)
        assert y1 - y0 == pytest.approx(float(box.size(axes[1])) * paper / real, abs=0.01)


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_overall_sizes_once_each(model: Model) -> None:
    drafts = compose(context(model))
    overall = [g for d in drafts for g in groups(d.items, "dimension") if attr(g, "kind") == "overall"]
    box = model.box
    assert box is not None
    assert sorted((attr(g, "axis"), Fraction(attr(g, "mm"))) for g in overall) == [
        (name, box.size(axis)) for axis, name in enumerate("xyz")
    ]


def test_levels_are_dimensioned_from_the_floor() -> None:
    front = _views(sample_case())["front"]
    heights = {
        (attr(g, "from"), attr(g, "to")): Fraction(attr(g, "mm"))
        for g in groups(front.items, "dimension")
        if attr(g, "axis") == "z"
    }
    assert heights["whole.bottom", "bottom.bottom"] == inch(4)
    assert heights["bottom.bottom", "shelf.bottom"] == inch(18)
    assert heights["drawer_front.bottom", "drawer_front.top"] == inch("63/8")


def test_no_figure_is_given_twice() -> None:
    drafts = compose(context(sample_case()))
    given = [
        (attr(g, "axis"), attr(g, "from"), attr(g, "to")) for d in drafts for g in groups(d.items, "dimension")
    ]
    assert len(given) == len(set(given)) > 6


def test_every_section_has_one_pair_of_marks() -> None:
    model = sample_case()
    drafts = compose(context(model))
    marks = [g for d in drafts for g in groups(d.items, "cutting")]
    assert [attr(g, "letter") for g in sorted(marks, key=lambda g: attr(g, "letter"))] == [
        c.letter for c in section_cuts(model)
    ]
    assert all(texts(g.items) == [attr(g, "letter")] * 2 for g in marks)


def test_shelves_show_as_hidden_lines_from_the_side() -> None:
    right = _views(sample_case())["right"]
    hidden = lines(right.items, "hid")
    assert len(hidden) >= 5
    assert all(abs(line.points[0][1] - line.points[-1][1]) < 1e-6 for line in hidden)


@pytest.mark.parametrize(
    ("paper", "orientation", "projection", "style"),
    [
        ("letter", "landscape", "third", "shop-inch"),
        ("letter", "portrait", "third", "shop-inch"),
        ("A4", "landscape", "first", "shop-metric"),
        ("A3", "landscape", "first", "shop-metric"),
    ],
)
def test_sheets_are_clean(paper: str, orientation: str, projection: str, style: str) -> None:
    ctx = context(sample_case(), paper=paper, orientation=orientation, projection=projection, style=style)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)


def test_overall_sizes_start_at_what_reaches_farthest() -> None:
    """The back rest of the bench leans: its rear is a corner high up, and no edge of the view lies in that plane."""
    model = check("orchard-bench.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "orchard-bench")).model
    view = _views(model, paper="A4", style="shop-metric")["right"]
    edges = [p for line in lines(view.items, "vis") for p in line.points]
    asked = [g for g in groups(view.items, "dimension") if attr(g, "kind") == "overall" and attr(g, "axis") == "y"]
    assert asked
    for line in lines(asked[0].items, "ext"):
        (x, top), low = line.points[0], line.points[-1][1]
        assert any(abs(px - x) < 0.1 and abs(py - top) < 4.0 for px, py in edges), (x, top, low)


def test_sides_of_the_piece_that_no_wood_reaches_are_drawn() -> None:
    """The sizes of the whole are those of the piece as it is sawn; where its outline is smaller, a phantom line says where that
    ends, and the extension lines come from it."""
    plan = """plan "Board"
  units mm
  sheets A4 landscape
  style "shop-metric"
stock larch batten 24 mm x 150 mm "Larch"
part board from larch "Board"
  grain  across
  across from 0 for 270 mm
  back   from 0 for 24 mm
  up     from 0 for 150 mm
  outline on front
    start   0, 0
    line to 60 mm, 0
    line to 170 mm, 90 mm
    line to 0, 100 mm
    line to 0, 0
"""
    checked = check("board.plan", MemoryWorld({"board.plan": plan}))
    assert checked.good, checked.diagnostics
    views = [v for draft in compose(context(checked.model)) for v in groups(draft.items, "view")]
    (front,) = (v for v in views if attr(v, "proj") == "front")
    ink = [s for role in ("vis", "phm") for stroke in lines(front.items, role) for s in line_segments(stroke)]
    assert len(lines(front.items, "phm")) == 2
    for line in (i for g in groups(front.items, "dimension") for i in lines(g.items, "ext")):
        (x, y), _ = line.points
        assert any(segment_meets_box(*s, (x - 2.0, y - 2.0, x + 2.0, y + 2.0)) for s in ink), (x, y)


def test_extension_lines_begin_clear_of_the_line_of_a_cutting_plane() -> None:
    """The low rail of the bench ends just before the plane of a section."""
    model = check("orchard-bench.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "orchard-bench")).model
    for draft in compose(context(model)):
        for view in groups(draft.items, "view"):
            planes = [p for g in groups(view.items, "cutting") for line in lines(g.items, "ctr") if abs((p := line.points)[0][0] - p[-1][0]) < 0.01]
            for start, end in (i.points for g in groups(view.items, "dimension") for i in lines(g.items, "ext")):
                for plane in planes:
                    low, high = sorted(p[1] for p in plane)
                    off = (start[0] - plane[0][0]) * (1 if end[0] > start[0] else -1)
                    level = abs(start[1] - end[1]) < 0.01 and low < start[1] < high
                    assert not level or not -0.01 < off < 0.99, (view.id, start, plane)


def test_a_hidden_rod_seen_end_on_is_a_circle() -> None:
    """The handle sits in stopped bores of both ends: from the right it is one dashed circle, 1 in wide, and no lines of its box."""
    model = check("hive-tote.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "hive-tote")).model
    view = _views(model)["right"]
    scale = Fraction(*(int(n) for n in attr(view, "scale").split(":")))
    (rod,) = (c for c in walk(view.items) if isinstance(c, Circle) and c.role == "hid")
    assert rod.radius == pytest.approx(float(Fraction(254, 20) * scale), rel=0.01)
    near = [line for line in lines(view.items, "hid") if all(abs(y - rod.centre[1]) < 2 * rod.radius for _, y in line.points)]
    assert near == []
