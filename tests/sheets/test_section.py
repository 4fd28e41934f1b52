"""Sections and details: letters, hatching, figures."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations, pairwise
from math import hypot
from pathlib import Path

import pytest

from plandoc.drawing.boxes import item_extent, overlap
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import Line
from plandoc.drawing.precedence import Stronger
from plandoc.geometry.bodies import ACROSS, BACK, UP
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.sheets.details import _from_strokes
from plandoc.sheets.section import compose
from plandoc.sheets.section_plan import cuts_joint, joint_pattern, letter, section_cuts, sight_letter
from plandoc.sheets.sectioncut import cut_through
from plandoc.sheets.sectionfigures import section_figures
from plandoc.sheets.views import Placement
from plandoc.world import DiskWorld, MemoryWorld
from tests.support.sample_model import CUT, LAP, TB, WIDE, T, inch, sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts


def test_letters_leave_out_those_read_as_figures() -> None:
    letters = [letter(sample_case(), n) for n in range(30)]
    assert not {"I", "O", "Q"} & set(letters)
    assert len(set(letters)) == 30 and letters[0] == "A" and letters[22] == "A2"


def test_no_section_has_the_letter_of_an_arrow_of_sight() -> None:
    model = sample_case()
    assert sight_letter(model, 0) == "Z" and "Z" not in {letter(model, n) for n in range(60)}


def test_the_plans_own_section_comes_first_and_every_kind_of_joint_is_cut() -> None:
    model = sample_case()
    cuts = section_cuts(model)
    assert (cuts[0].axis, cuts[0].at, cuts[0].look.side) == (ACROSS, WIDE / 2, -1)
    patterns = {joint_pattern(model, j) for j in model.joints}
    shown = {joint_pattern(model, j) for j in model.joints for c in cuts if cuts_joint(model, c.axis, c.at, j)}
    assert shown == patterns
    assert [c.axis for c in cuts] == [ACROSS, BACK, UP]


DOORS = """plan "Doors"
  units mm to 0.1
stock board lumber 40 mm
  measured 20 mm
stock thin sheet 1200 mm x 2400 mm
  measured 6 mm
part stile from board
  grain up
  across from 0 for 50 mm
  back from 0
  up from 0 to 600 mm
part stile_2 mirrors stile about 150 mm
part rail from board
  grain across
  across between stile and stile_2
  back from 0
  up from 0 for 60 mm
part panel from thin
  grain up
  across between stile and stile_2
  back from 7 mm
  up from rail.top to 600 mm
joint groove panel into stile, stile_2 deep 9 mm
joint groove panel into rail deep 9 mm
"""


def test_a_section_shows_what_stands_in_a_groove_that_runs_on() -> None:
    """The stiles' grooves run their whole height, the panel begins 9 below the top of the rail: at 51, not at 0."""
    found = check("d.plan", MemoryWorld({"d.plan": DOORS}))
    assert found.good, found.diagnostics
    joint = next(j for j in found.model.joints if j.b == "stile")
    assert (joint.channel.span(UP), found.model.part("panel").box.span(UP)) == ((0, 600), (51, 600))
    assert not cuts_joint(found.model, UP, Fraction(30), joint) and not cuts_joint(found.model, UP, Fraction(55), joint)
    assert cuts_joint(found.model, UP, Fraction(70), joint)
    assert all(c.at > 60 for c in section_cuts(found.model) if c.axis == UP)


def test_the_first_section_keeps_out_of_the_crack_between_two_doors() -> None:
    """Two leaves of 300 with 2 between them: the middle of the whole is in the crack."""
    two = DOORS + "".join(
        f"part {name}_b from {stock}\n  grain {way}\n  across from {lo} mm to {hi} mm\n  back from {back}\n  up from {up}\n"
        for name, stock, way, lo, hi, back, up in (
            ("stile", "board", "up", 302, 352, "0", "0 to 600 mm"), ("panel", "thin", "up", 352, 552, "7 mm", "60 mm to 600 mm"),
            ("stile_c", "board", "up", 552, 602, "0", "0 to 600 mm"), ("rail", "board", "across", 352, 552, "0", "0 to 60 mm"),
        )
    )  # fmt: skip
    found = check("d.plan", MemoryWorld({"d.plan": two}))
    assert found.model.box is not None and found.model.box.span(ACROSS) == (0, 602)
    at = section_cuts(found.model)[0].at
    cut = [p.path for p in found.model.placed if p.box.lo[ACROSS] < at < p.box.hi[ACROSS]]
    assert cut == ["rail", "panel"] or cut == ["panel_b", "rail_b"], (at, cut)


def test_each_letter_has_one_titled_view_and_each_detail_one_circle() -> None:
    model = sample_case()
    ctx = context(model)
    drafts = compose(ctx)
    titles = Counter(t for d in drafts for t in texts(d.items) if t.startswith(("SECTION ", "DETAIL ")))
    sections = [f"SECTION {c.letter}-{c.letter}" for c in section_cuts(model)]
    details = [t for t in titles if t.startswith("DETAIL ")]
    assert set(titles.values()) == {1}
    assert sorted(titles) == sorted([*sections, *details])
    assert len(details) == 3  # dado, rabbet of the top, rabbet of the back
    for draft in drafts:
        written = Counter(texts(draft.items))
        for title in details:
            if title in written:
                assert written[title.removeprefix("DETAIL ")] == 1


def test_sections_have_no_hidden_lines_and_hatch_every_cut_part() -> None:
    ctx = context(sample_case())
    drafts = compose(ctx)
    assert all(lines(d.items, "hid") == [] for d in drafts)
    view = next(g for g in groups(drafts[0].items, "view") if attr(g, "proj") == "section")
    hatched = {attr(g, "part"): g for g in groups(view.items, "cut")}
    assert list(hatched) == ["bottom", "shelf", "top", "back", "drawer_front"]
    assert all(g.items for g in hatched.values())


def test_clear_openings_have_the_models_values() -> None:
    drafts = compose(context(sample_case()))
    values = [Fraction(attr(g, "mm")) for g in groups(drafts[0].items, "dimension") if attr(g, "axis") == "z"]
    assert inch(18) - T in values  # bottom to shelf
    assert inch(8) - 2 * T in values  # shelf to top
    across = [Fraction(attr(g, "mm")) for g in groups(drafts[1].items, "dimension") if attr(g, "axis") == "x"]
    assert WIDE - 2 * T in across


def test_details_print_the_joints_figures_large_enough() -> None:
    drafts = compose(context(sample_case()))
    details = [g for d in drafts for g in groups(d.items, "view") if attr(g, "proj") == "detail"]
    figures = {
        frozenset(Fraction(attr(d, "mm")) for d in groups(g.items, "dimension")) for g in details
    }
    assert figures == {frozenset((T, CUT)), frozenset((T, LAP)), frozenset((TB, LAP))}
    assert {attr(g, "scale") for g in details} <= {"1:1", "1:2"}


@pytest.mark.parametrize(
    ("paper", "orientation", "style"),
    [
        ("letter", "landscape", "shop-inch"),
        ("letter", "portrait", "shop-inch"),
        ("A4", "landscape", "shop-metric"),
        ("A3", "landscape", "shop-metric"),
    ],
)
def test_sheets_are_clean(paper: str, orientation: str, style: str) -> None:
    ctx = context(sample_case(), paper=paper, orientation=orientation, style=style)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)


def example(name: str) -> Model:
    return check(f"{name}.plan", DiskWorld(Path(__file__).parents[2] / "examples" / name)).model


def test_panel_and_long_grain_beside_each_other_differ() -> None:
    """In the tote the boards of an end, 19 mm, stand on a bottom of plywood; both are drawn with upright lines 2.1 and 2.4 mm
    apart, were it not for the neighbour."""
    seen: dict[str, list[float]] = {}
    for draft in compose(context(example("hive-tote"))):
        for view in groups(draft.items, "view"):
            if view.id == "detail-D":
                for cut in groups(view.items, "cut"):
                    places = sorted({round(line.points[0][0], 2) for line in lines(cut.items, "hat") if abs(line.points[0][0] - line.points[-1][0]) < 1e-6})
                    if len(places) > 3:
                        seen[attr(cut, "pattern")] = [b - a for a, b in pairwise(places)]
    mean = {kind: sum(gaps) / len(gaps) for kind, gaps in seen.items()}
    assert set(mean) == {"panel", "long grain"} and max(mean.values()) / min(mean.values()) > 1.25, mean


def test_details_over_each_other_keep_apart() -> None:
    """Two details of the box with up to four lines of words below them."""
    for draft in compose(context(example("compass-box"), paper="A4", style="shop-metric")):
        boxes = [(box[0], box[1], box[2], box[3]) for g in groups(draft.items, "view") if attr(g, "proj") == "detail" and (box := item_extent(g)) is not None]
        for a, b in combinations(boxes, 2):
            assert not overlap(a, b, 0.7), draft.title


def test_a_section_that_has_to_be_drawn_smaller_gets_the_details_that_it_wants_then() -> None:
    """The bottom of the drawer goes into a groove: seen at half size it is clear enough, at a fifth it is drawn larger, and its
    words stand clear of the detail of the dovetails."""
    drafts = compose(context(example("reading-corner")))
    views = [v for d in drafts for v in groups(d.items, "view")]
    said = {v.id: " ".join(texts(v.items)) for v in views}
    section = next(v for v in views if v.id == "section-D")
    assert Fraction(attr(section, "scale").replace(":", "/")) < Fraction(1, 2)
    assert any("groove: Drawer bottom (N)" in words for name, words in said.items() if name.startswith("detail-"))
    for draft in drafts:
        boxes = [box for g in groups(draft.items, "view") if (box := item_extent(g)) is not None]
        assert not any(overlap(a, b, 0.7) for a, b in combinations(boxes, 2)), draft.title


def test_hatching_leaves_room_for_the_lines_over_it() -> None:
    """The rail of the board is cut where an edge behind runs through the cut wood."""
    for draft in compose(context(example("tide-board"), paper="A4", style="shop-metric")):
        for view in groups(draft.items, "view"):
            strong = Stronger([*lines(view.items, "vis"), *lines(view.items, "ext")])
            for line in lines(view.items, "hat"):
                assert sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in strong.free(line.points[0], line.points[-1], 0.0)) > line_length(line) - 0.3


def line_length(line: Line) -> float:
    return hypot(line.points[-1][0] - line.points[0][0], line.points[-1][1] - line.points[0][1])


def test_what_is_round_is_measured_from_where_it_reaches_farthest() -> None:
    """The handle of the tote, a round bar: its front is half way up it."""
    ctx = context(example("hive-tote"))
    section = cut_through(ctx, section_cuts(ctx.model)[0])
    place = Placement(section.view, 1.0, (0.0, 0.0))
    (asked,) = (r for r in section_figures(section, place) if "handle.front" in r.ids)
    handle = ctx.model.part("handle").box
    middle = float(handle.lo[UP] + handle.hi[UP]) / 2
    assert -asked.end[1] == pytest.approx(middle, abs=0.3)


def test_figures_take_off_where_a_stroke_ends() -> None:
    asked = DimensionRequest("y", (5.0, 10.0), (5.0, 30.0), Fraction(20), "20", "size", "left", ("a", "b"), "z")
    (moved,) = _from_strokes([asked], [Line("vis", ((12.0, 10.0), (40.0, 10.0))), Line("ctr", ((2.0, 12.0), (2.0, 40.0)))])
    assert moved.start == (12.0, 10.0) and moved.end == (5.0, 30.0)
