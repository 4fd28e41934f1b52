"""Full-size templates: which work gets one, tiles by hand arithmetic, crosses, bars, figures, the drawing audit."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest
import shapely

from plandoc.drawing.boxes import item_extent, overlap
from plandoc.drawing.display import Circle, Group, Item, Line, walk
from plandoc.drawing.draft import Draft
from plandoc.geometry.contours import points
from plandoc.model.entities import Model, Part
from plandoc.packet.frame import finish
from plandoc.pipeline import check
from plandoc.sheets.context import IndexRow
from plandoc.sheets.templateboards import (
    BAR_STRIP,
    FOOT,
    OVERLAP,
    SAFE,
    Board,
    Window,
    boards,
    caption_text,
    window,
)
from plandoc.sheets.templatedraw import Drawn, draw
from plandoc.sheets.templateparts import Template, templates
from plandoc.sheets.templates import compose, correction, wanted
from plandoc.world import DiskWorld
from tests.support.resolving import sound
from tests.support.sheet_ctx import attr, context, findings, groups, texts
from tests.support.template_models import BRACKET, SMALL, brackets, tray

LETTER, A4 = (279.4, 215.9), (297.0, 210.0)
EXAMPLES = Path(__file__).parents[2] / "examples"
METRIC = {"paper": "A4", "style": "shop-metric"}


def named(model: Model) -> dict[str, list[str]]:
    return {t.name: [w.feature.id for w in t.marked] for t in templates(model)}


# Which work ---------------------------------------------------------------------------------------------------


def test_round_pockets_groups_of_bores_and_lettering_get_a_template_by_rule() -> None:
    found = named(tray())
    assert list(found) == ["A-top"]
    ids = {i.split(".")[1] for i in found["A-top"]}
    # pocket3 is a single rectangle, hole5 one row along an edge
    assert ids == {"pocket1", "pocket2", "hole4", "letter6"}


def test_curved_outlines_and_slots_get_a_template_by_rule() -> None:
    found = named(brackets())
    assert found == {"A-front": ["bracket.cutout", "bracket.slot"], "B-front": ["bracket_2.cutout"]}


def test_bores_of_hardware_get_a_template_though_they_stand_in_a_row() -> None:
    text = """
hardware grip pull "Wire pull" bore 5 mm spaced 96 mm
hardware knob pull "Knob" bore 5 mm
part front[1] from ply
  across from 0 to 300 mm
  back   from 0
  up     from 0 to 120 mm
part front[2] from ply
  across from 0 to 300 mm
  back   from 0
  up     from 200 mm to 300 mm
fit grip on front[1] at centre
fit knob on front[2] at centre
"""
    assert [t.part.path for t in templates(sound(text).model)] == ["front[1]"]


def test_chamfers_and_rods_are_not_marked_through() -> None:
    lid = "part lid from ply\n  across from 0 to 300 mm\n  back from 0 to 200 mm\n  up from 0\n  chamfer 3 mm on top\n  round 3 mm on bottom\n"
    assert named(sound(lid).model) == {}
    (asked,) = (t for t in templates(sound(lid + "template of lid\n").model) if t.ground.face.name == "top")
    assert {w.feature.kind for w in asked.marked} == {"chamfer"}
    rod = 'stock stick dowel 20 mm "Rod"\n  material beech\npart bar from stick\n  grain across\n  across from 0 to 300 mm\n  back from 0\n  up from 0\n'
    assert named(sound(rod + "template of bar\n").model) == {}


def test_figures_stand_at_the_corners_that_they_name() -> None:
    """The rim of a chamfer has its name and no corners; an arc or a line in the waste of a cut-out is not told of."""
    lid = "part lid from ply\n  across from 0 to 300 mm\n  back from 0 to 200 mm\n  up from 0\n  chamfer 3 mm on top\n"

    def figures(model: Model) -> tuple[Template, Drawn, list[str]]:
        ctx = context(model, **METRIC)
        (template,) = (t for t in templates(model) if t.ground.face.name == "top")
        (board,) = boards((template,), ctx.paper, ctx.style)
        drawn = draw(board, model.info.units, ctx.style)
        return template, drawn, [t for _, g in drawn.whole if g.kind == "leader" for t in texts(g.items)]

    _, _, words = figures(sound(lid + "template of lid\n").model)
    assert any("CHAMFER" in w for w in words) and not any(w.startswith(("x ", "y ")) for w in words)
    template, drawn, said = figures(sound(lid + "  cutout 60 mm x 40 mm radius 10 mm on top at 290 mm, 10 mm\n").model)
    assert "R10" in said and not any(t.startswith("4X R") for t in said)
    solid = shapely.Polygon([drawn.board.blocks[0].board(p) for c in template.silhouette for p in points(c, 0.01)]).buffer(0.05)
    others = [i for _, what, i in drawn.lines if what == "other"]
    assert others
    for item in others:
        assert isinstance(item, Line) and solid.covers(shapely.LineString(item.points)), item.points


def test_a_plan_asks_for_templates_or_wants_none() -> None:
    row = "part side from ply\n  across from 0 to 300 mm\n  back from 0\n  up from 400 mm to 500 mm\n  hole 5 mm deep 8 mm on front at 30 mm, 20 mm row 4 every 32 mm along across\n"
    assert named(sound(row).model) == {}
    assert len(named(sound(row + "template of side\n").model)["A-front"]) == 4
    assert named(tray("no template of tray\n")) == {}
    # what stands later counts
    assert list(named(tray("no template of tray\ntemplate of tray\n"))) == ["A-top"]
    asked = replace(tray(), info=replace(tray().info, templates="asked"))
    assert named(asked) == {} and not wanted(context(asked, **METRIC))
    everything = named(tray("template of tray\n"))["A-top"]
    assert {i.split(".")[1] for i in everything} >= {"pocket3", "hole5"}


def test_x_runs_right_and_y_up_from_the_reference_corner_as_one_looks_at_the_face() -> None:
    for template in templates(brackets()):
        plane = template.ground
        lo, hi = plane.part.box.lo, plane.part.box.hi
        ends = {plane.place(p) for p in (lo, hi)}
        long, high = plane.size
        assert {x for x, _ in ends} == {Fraction(0), long} and {y for _, y in ends} == {Fraction(0), high}
        corner = tuple(plane.part.box.lo[a] if plane.part.datum[a] < 0 else plane.part.box.hi[a] for a in range(3))
        assert plane.place((corner[0], corner[1], corner[2])) == (0, 0)
        right, up, out = ([float(f.side * (f.axis == a)) for a in range(3)] for f in (plane.right, plane.up, plane.face))
        cross = [right[1] * up[2] - right[2] * up[1], right[2] * up[0] - right[0] * up[2], right[0] * up[1] - right[1] * up[0]]
        assert cross == out


# Tiles --------------------------------------------------------------------------------------------------------


def test_the_window_of_a_page() -> None:
    view = window(LETTER)
    assert (view.width, view.height) == pytest.approx((279.4 - 17 - 12.5, 215.9 - 17 - 17))
    assert view.at == (21.0, 8.5)


@pytest.mark.parametrize(
    ("wide", "columns"),
    [(80.0, 1), (100.0, 1), (100.1, 2), (190.0, 2), (190.1, 3), (280.0, 3)],
)
def test_the_number_of_tiles(wide: float, columns: int) -> None:
    """Windows of 100 with 10 shared: n tiles reach 90 n + 10."""
    assert Window(100.0, 50.0, (0.0, 0.0)).tiles((wide, 50.0)) == (columns, 1)
    assert Window(50.0, 100.0, (0.0, 0.0)).tiles((50.0, wide)) == (1, columns)


def test_strips_and_crosses_by_hand() -> None:
    board = Board((), 2, 2, Window(100.0, 60.0, (0.0, 0.0)))
    assert board.size == (190.0, 110.0)
    assert [board.origin(c, r) for r in (0, 1) for c in (0, 1)] == [(0, 0), (90, 0), (0, 50), (90, 50)]
    assert board.strips() == ((90.0, 0.0, 100.0, 110.0), (0.0, 50.0, 190.0, 60.0))
    assert set(board.crosses()) == {(95, 15), (95, 45), (95, 65), (95, 95), (25, 55), (75, 55), (115, 55), (165, 55)}
    for x, y in board.crosses():
        seen = [t for t in ((c, r) for c in (0, 1) for r in (0, 1)) if board.extent(*t)[0] < x < board.extent(*t)[2] and board.extent(*t)[1] < y < board.extent(*t)[3]]
        assert len(seen) == 2, (x, y)


def test_narrow_templates_share_a_page() -> None:
    model = tray(SMALL)
    drafts = compose(context(model, **METRIC))
    shared = [d for d in drafts if "Knob plate" in d.title]
    assert len(shared) == 1 and "Lock plate" in shared[0].title
    (board,) = [b for b in boards(templates(model), A4, context(model, **METRIC).style) if len(b.blocks) > 1]
    one, two = (b for b in board.blocks)
    assert not overlap((*one.at, one.at[0] + one.size[0], one.at[1] + one.size[1]), (*two.at, two.at[0] + two.size[0], two.at[1] + two.size[1]))


def tile_of(draft: Draft) -> Group:
    return next(groups(draft.items, "tile"))


def on_board(draft: Draft, point: tuple[float, float]) -> tuple[float, float]:
    tile = tile_of(draft)
    return (point[0] + float(attr(tile, "x")), point[1] + float(attr(tile, "y")))


def boarded(drafts: tuple[Draft, ...]) -> dict[str, list[Draft]]:
    """Tile pages by what they show."""
    found: dict[str, list[Draft]] = {}
    for draft in drafts:
        if any(True for _ in groups(draft.items, "tile")):
            found.setdefault(draft.title.split(", tile")[0], []).append(draft)
    return found


@pytest.mark.parametrize("model", [tray(), brackets()], ids=["tray", "brackets"])
@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_crosses_of_neighbours_are_the_same_point(model: Model, paper: str) -> None:
    for title, pages in boarded(compose(context(model, paper=paper, style="shop-metric"))).items():
        seen: dict[tuple[float, float], int] = {}
        for page in pages:
            for cross in groups(page.items, "cross"):
                (ring,) = (i for i in cross.items if isinstance(i, Circle))
                lines = [i for i in cross.items if isinstance(i, Line)]
                middle = ((lines[0].points[0][0] + lines[0].points[1][0]) / 2, (lines[1].points[0][1] + lines[1].points[1][1]) / 2)
                assert middle == pytest.approx(ring.centre, abs=1e-9)
                at = on_board(page, ring.centre)
                assert at == pytest.approx((float(attr(cross, "x")), float(attr(cross, "y"))), abs=0.001)
                key = (round(at[0], 2), round(at[1], 2))
                seen[key] = seen.get(key, 0) + 1
        assert set(seen.values()) <= {2}, title
        assert (len(pages) > 1) == bool(seen)


def test_tiles_together_show_the_whole_and_lettering_once_outside_the_strips() -> None:
    ctx = context(tray(), **METRIC)
    (board,) = boards(templates(ctx.model), ctx.paper, ctx.style)
    drawn = draw(board, ctx.model.info.units, ctx.style)
    assert drawn.left_out == ()
    (pages,) = boarded(compose(ctx)).values()
    assert len(pages) == board.columns * board.rows == 4
    whole = sum(hypot(q[0] - p[0], q[1] - p[1]) for n, what, i in drawn.lines if what == "outline" and isinstance(i, Line) for p, q in zip(i.points, (*i.points[1:], i.points[0]), strict=True))
    pieces: set[tuple[float, ...]] = set()
    for page in pages:
        for group in groups(page.items, "template"):
            if attr(group, "what") == "outline":
                for line in (i for i in group.items if isinstance(i, Line)):
                    chain = (*line.points, line.points[0]) if line.closed else line.points
                    pieces |= {(*on_board(page, p), *on_board(page, q)) for p, q in pairwise(chain)}
    assert covered(pieces) == pytest.approx(whole, abs=0.05) == pytest.approx(2 * (420 + 300), abs=0.05)
    labels = [attr(g, "note") for page in pages for g in groups(page.items, "leader")]
    assert len(labels) == len(set(labels)) == 14  # 4 pockets with fingers, 1 with its finger, 3 bores, lettering
    for page in pages:
        for kind in ("leader", "caption", "edge", "grain", "axis"):
            for group in groups(page.items, kind):
                box = item_extent(group)
                assert box is not None
                moved = (*on_board(page, box[:2]), *on_board(page, box[2:]))
                assert not any(overlap(moved, strip) for strip in board.strips()), (kind, texts(group.items))


def covered(pieces: set[tuple[float, ...]]) -> float:
    """Length of axis-parallel strokes, shared stretches counted once."""
    rows: dict[tuple[int, float], list[tuple[float, float]]] = {}
    for x0, y0, x1, y1 in pieces:
        if abs(y0 - y1) < 1e-6:
            rows.setdefault((0, round(y0, 3)), []).append((min(x0, x1), max(x0, x1)))
        elif abs(x0 - x1) < 1e-6:
            rows.setdefault((1, round(x0, 3)), []).append((min(y0, y1), max(y0, y1)))
    total = 0.0
    for spans in rows.values():
        reach = float("-inf")
        for lo, hi in sorted(spans):
            total += max(0.0, hi - max(lo, reach))
            reach = max(reach, hi)
    return total


# Bars, figures, heavy edges -----------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["A4", "letter", "A3", "tabloid"])
@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
def test_every_page_has_bars_both_ways_as_long_as_they_say(paper: str, orientation: str) -> None:
    drafts = compose(context(tray(SMALL), paper=paper, orientation=orientation, style="shop-metric"))
    for draft in drafts:
        found = set()
        for bar in groups(draft.items, "checkbar"):
            line = next(i for i in bar.items if isinstance(i, Line))
            (x0, y0), (x1, y1) = line.points
            long = hypot(x1 - x0, y1 - y0)
            assert long == pytest.approx(float(attr(bar, "mm")), abs=1e-9)
            assert (y0 == y1) == (attr(bar, "axis") == "x")
            assert {"100 mm": 100.0, "4 in": 4 * 25.4}[attr(bar, "label")] == pytest.approx(long)
            assert attr(bar, "label") in texts(bar.items)
            found.add((attr(bar, "axis"), attr(bar, "label")))
        assert found == {(a, w) for a in "xy" for w in ("100 mm", "4 in")}, draft.code


@pytest.mark.parametrize(("measured", "wanted_text"), [(98, "102.04 %"), (100, "100.00 %"), (104, "96.15 %"), (96, "104.17 %")])
def test_how_to_correct_the_printer(measured: int, wanted_text: str) -> None:
    assert correction(Fraction(measured), Fraction(100)) == wanted_text
    assert wanted_text in texts(compose(context(tray(), **METRIC))[0].items)


def test_every_page_says_how_to_correct_the_printer() -> None:
    for draft in compose(context(tray(), **METRIC))[1:]:
        assert any("100 mm bar measures 98: print at 102.04 %" in t for t in texts(draft.items))


def test_circles_have_their_true_size_and_place() -> None:
    """The bores of 10 mm stand at 30, 270; 200, 250; 390, 270 from the left front corner of the tray."""
    ctx = context(tray(), **METRIC)
    (block,) = boards(templates(ctx.model), ctx.paper, ctx.style)[0].blocks
    (pages,) = boarded(compose(ctx)).values()
    found = set()
    for page in pages:
        for leaf in walk(page.items):
            if isinstance(leaf, Circle) and leaf.role == "vis" and leaf.radius == pytest.approx(5.0):
                x, y = on_board(page, leaf.centre)
                x0, y0 = block.board((0.0, 0.0))
                assert not block.turned
                found.add((round(x - x0, 2), round(y0 - y, 2)))
    assert found == {(30, 270), (200, 250), (390, 270)}


def test_figures_beside_the_work() -> None:
    words = texts([i for d in compose(context(tray(), **METRIC)) for i in d.items])
    for text in ("4X Ø40", "x 60", "y 60", "3X Ø10 THRU", "x 75 to 165", "y 150 to 210", "“BITS” 12 high"):
        assert any(text in w for w in words), text
    for text in ("R100", "2X R6", "x 50", "y 200"):
        assert text in texts([i for d in compose(context(brackets(), **METRIC)) for i in d.items]), text


def test_heavy_edges_lie_outside_the_wood_on_the_reference_edges() -> None:
    ctx = context(brackets(), **METRIC)
    for board in boards(templates(ctx.model), ctx.paper, ctx.style):
        (block,) = board.blocks
        drawn = draw(board, ctx.model.info.units, ctx.style)
        x0, y0, x1, y1 = block.extent
        inside = (x0 + 1e-6, y0 + 1e-6, x1 - 1e-6, y1 - 1e-6)
        assert drawn.fills and not any(overlap(f, inside) for f in drawn.fills)
        corner = block.board((0.0, 0.0))
        for fill in drawn.fills:
            gaps = [abs(fill[0] - corner[0]), abs(fill[2] - corner[0]), abs(fill[1] - corner[1]), abs(fill[3] - corner[1])]
            assert min(gaps) < 1e-6
        long = sorted(max(f[2] - f[0], f[3] - f[1]) for f in drawn.fills)
        sides = sorted(float(s) for s in block.template.ground.size)
        assert long == pytest.approx(sides)  # both reference edges are whole: the hollow lies at the other corner


def test_light_lines_do_not_lie_on_heavy_ones() -> None:
    """Grooves and rabbets of the box run out at its edges, where the outline is heavy already; what is left of them stays."""
    model = check("compass-box.plan", DiskWorld(EXAMPLES / "compass-box")).model
    ctx = context(model, **METRIC)
    lights = 0
    for board in boards(templates(model), ctx.paper, ctx.style):
        drawn = draw(board, model.info.units, ctx.style).lines
        chains = {role: [item for _, _, item in drawn if isinstance(item, Line) and item.role == role] for role in ("vis", "light")}
        heavy = shapely.union_all([shapely.LineString((*i.points, i.points[0]) if i.closed else i.points) for i in chains["vis"]])
        for item in chains["light"]:
            line = shapely.LineString((*item.points, item.points[0]) if item.closed else item.points)
            assert line.intersection(heavy.buffer(0.05)).length < 0.3, item.points
            lights += 1
    assert lights


def test_a_notch_at_the_reference_corner_shortens_the_heavy_edge() -> None:
    model = sound(BRACKET.replace("  up      from 0 to 200 mm\n", "  up      from 0 to 200 mm\n  notch 40 mm x 30 mm at left, bottom\n  pocket round 20 mm deep 5 mm on front at centre\n", 1)).model
    ctx = context(model, **METRIC)
    board = boards(templates(model), ctx.paper, ctx.style)[0]
    drawn = draw(board, model.info.units, ctx.style)
    block = board.blocks[0]
    assert block.template.part.path == "bracket"
    ends = sorted(max(f[2] - f[0], f[3] - f[1]) for f in drawn.fills)
    x0, y0, x1, y1 = block.region
    assert ends == pytest.approx(sorted((x1 - x0 - 40, y1 - y0 - 30)))


# The sheets as a document ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "style"), [("letter", "shop-inch"), ("A4", "shop-metric"), ("A4", "large-print")])
@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
@pytest.mark.parametrize("model", [tray(SMALL), brackets(SMALL), tray("template of tray\n")], ids=["tray", "brackets", "all"])
def test_nothing_to_mark_on_the_sheets(model: Model, paper: str, style: str, orientation: str) -> None:
    ctx = context(model, paper=paper, style=style, orientation=orientation)
    assert findings(compose(ctx), ctx) == []


def test_the_directions_stand_on_one_page_where_narrower_columns_hold_them() -> None:
    for style, paper in (("shop-inch", "letter"), ("shop-metric", "A4")):
        drafts = compose(context(tray(), style=style, paper=paper, orientation="landscape"))
        told = [d.code for d in drafts for t in texts(d.items) if t in ("BEFORE YOU MARK ANYTHING", "JOINING THE TILES", "MARKING THROUGH", "THE TEMPLATES")]
        assert told == ["T.1"] * 4


def test_codes_numbers_and_reference_to_the_part_drawing() -> None:
    ctx = context(tray(SMALL), **METRIC)
    index = (IndexRow("4.7", "Part A", 12, "part", ("A",)),)
    before, after = compose(ctx), compose(replace(ctx, index=index))
    assert [d.code for d in before] == [d.code for d in after] == [f"T.{n}" for n in range(1, len(before) + 1)]
    assert any("Part drawing: sheet 4.7" in t for t in texts(after[1].items))
    # the sheet that shows the face goes before that of the other views
    more = (*index, IndexRow("4.8", "Part A", 13, "part", ("A top",)))
    again = compose(replace(ctx, index=more))
    assert any("Part drawing: sheet 4.8" in t for t in texts(again[1].items)) and not any("4.7" in t for t in texts(again[1].items))
    sheets = finish(after, ctx.model, ctx.style, "templates")
    assert [s.number for s in sheets] == list(range(1, len(sheets) + 1)) and {s.file for s in sheets} == {"templates"}
    assert f"T.2, page 2 of {len(sheets)}  tile A1" in texts(after[1].items)


def test_the_window_leaves_room_for_bars_and_words() -> None:
    """Nothing of a tile reaches into the strips of the bars and of the foot, and all ink is where printers reach."""
    for draft in compose(context(tray(), **METRIC))[1:]:
        box = item_extent(tile_of(draft))
        assert box is not None
        assert box[0] >= SAFE + BAR_STRIP - 0.01 and box[3] <= A4[1] - SAFE - FOOT + 0.01
        assert OVERLAP == 10.0
        every: list[Item] = list(draft.items)
        for item in every:
            e = item_extent(item)
            assert e is None or (e[0] >= 8 and e[1] >= 8 and e[2] <= A4[0] - 8 and e[3] <= A4[1] - 8)


def part_named(model: Model, path: str) -> Part:
    return next(p for p in model.parts if p.path == path)


def test_far_work_is_laid_on_the_nearer_edge() -> None:
    """A round pocket 900 from the reference end of a board of 1000: the template is laid on the other end."""
    text = "part board from ply\n  grain across\n  across from 0 to 1000 mm\n  back from 0 to 100 mm\n  up from 0\n  pocket round 30 mm deep 5 mm on top at 900 mm, 50 mm\n"
    model = sound(text).model
    ctx = context(model, **METRIC)
    (board,) = boards(templates(model), ctx.paper, ctx.style)
    (block,) = board.blocks
    assert part_named(model, "board").datum[0] == -1
    assert block.edges == (1, -1) and block.region == pytest.approx((879.0, 0.0, 1000.0, 100.0), abs=1e-3)
    assert "Lay the heavy lines on the right end" in " ".join(block.caption)
    assert "x is measured from the left end" in " ".join(block.caption)


def test_an_edge_that_is_a_point_has_no_heavy_line_in_the_words() -> None:
    """The wedge strip's end is mitred over its whole width: one point of it is left on the left end."""
    model = check("bit-tray.plan", DiskWorld(EXAMPLES / "bit-tray")).model
    said = {t.name: caption_text(t, (-1, -1))[2] for t in templates(model)}
    assert said["D-bottom"] == "Lay the heavy line on the front edge, the outermost point on the left end."
    assert said["B-front"] == "Lay the heavy lines on the left end and the bottom edge."
