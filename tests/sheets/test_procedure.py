"""Procedure sheets: every step with its texts and its picture."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from plandoc.build.order import ways_out
from plandoc.drawing.boxes import item_extent, overlap
from plandoc.drawing.display import Fill, Text, walk
from plandoc.model.entities import Model, Step
from plandoc.pipeline import check
from plandoc.sheets.barcuts import KIND as BARS
from plandoc.sheets.cutting import compose as layout_sheets
from plandoc.sheets.procedure import compose
from plandoc.sheets.setups import compose as setup_sheets
from plandoc.sheets.steppictures import _keys
from plandoc.sheets.steprows import warning_triangle
from plandoc.sheets.stepways import ways_in
from plandoc.shopwork.claims import claims
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.names import layout_words, stock_words
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.setupsteps import numbers_text, setups_of_steps
from plandoc.shopwork.shopping import all_glue_ups
from plandoc.shopwork.state import states
from plandoc.shopwork.stepwords import cautions_of, tools_text
from plandoc.tables import caution_name
from plandoc.world import DiskWorld
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts, trays

ROOT = Path(__file__).parents[2]


def _words(rows: list[str]) -> str:
    return " ".join(" ".join(rows).split())


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_every_step_is_there_once_with_all_it_says(model: Model) -> None:
    ctx = context(model)
    steps: dict[str, list[str]] = {}
    for group in (g for d in compose(ctx) for g in groups(d.items, "step")):
        steps.setdefault(attr(group, "step"), []).extend(t for t in texts(group.items) if not t.endswith("(continued)"))
    assert list(steps) == [str(s.number) for s in ctx.steps]
    for step in ctx.steps:
        said = _words(steps[str(step.number)])
        assert step.title in said
        for text in (*step.texts, *step.glue, *step.checks, *step.waits, tools_text(step)):
            pattern = re.escape(_words([text]))
            for stock in ctx.model.stocks:
                pattern = pattern.replace(re.escape(layout_words(stock, ctx.model.info.units)), r"sheets? 6\.4\w?((, | and )6\.4\w)*")
            pattern = pattern.replace(re.escape("the cutting layout"), r"sheets? 6\.3\w?( and 6\.3\w)*")
            assert re.search(pattern, said)
        for text in step.cautions:
            assert _words([text]) in said or caution_name(text) in said


def test_a_sheet_that_two_stocks_share_is_named_once() -> None:
    ctx = context(check("eyepiece-cabinet.plan", DiskWorld(ROOT / "examples" / "eyepiece-cabinet")).model)
    (first, *_) = (g for d in compose(ctx) for g in groups(d.items, "step"))
    assert "in the order of sheets 6.3 and 6.3b." in _words(texts(first.items))


def test_steps_that_cut_boards_name_the_sheets_on_which_they_are_drawn() -> None:
    ctx = context(check("carving-bench.plan", DiskWorld(ROOT / "examples" / "carving-bench")).model)
    drawn = {draft.code: _words(texts(draft.items)) for draft in BARS.compose(ctx)}
    cited = 0
    for step in (g for d in compose(ctx) for g in groups(d.items, "step")):
        said = _words(texts(step.items))
        for stock in (stock for stock in ctx.model.stocks if stock.kind == "lumber" and stock_words(stock, ctx.model.info.units) in said):
            for found in re.findall(r"(?:order of|laid out: see) sheets? (6\.4\w?(?:(?:, | and )6\.4\w?)*)", said):
                codes = re.findall(r"6\.4\w?", found)
                cited += 1
                assert codes == [code for code, words in drawn.items() if f": {stock_words(stock, ctx.model.info.units)} Board" in words]
    assert cited >= 3


def test_steps_that_cut_sheets_name_the_sheet_of_their_layout() -> None:
    checked = check("map-cupboard.plan", DiskWorld(ROOT / "examples" / "map-cupboard"))
    ctx = context(checked.model)
    drawn = {draft.code: draft.title for draft in layout_sheets(ctx)}
    cited: list[tuple[str, str]] = []
    for step in (g for d in compose(ctx) for g in groups(d.items, "step")):
        said = _words(texts(step.items))
        assert "the cutting layout" not in said
        cited += [(code, said) for found in re.findall(r"in the order of sheets? (6\.3\w?(?:(?:, | and )6\.3\w?)*)", said) for code in re.findall(r"6\.3\w?", found)]
    sheets = [stock_words(found.stock, ctx.model.info.units) for found in layouts(ctx.model) if found.stock.kind == "sheet"]
    assert len(sheets) == len(cited) > 1  # one layout of each, though both may share a page
    for words in sheets:
        (code,) = [code for code, said in cited if words in said]
        assert words in drawn[code]
    assert "the cutting layout" in _words([t for d in compose(replace(ctx, kinds=("procedure",))) for t in texts(d.items)])


def test_a_caution_is_said_in_full_once_and_then_by_its_name_and_step() -> None:
    guard = "Keep the guard on: it is there for you."
    steps = (Step(1, "Saw", cautions=(guard,)), Step(2, "Saw on", cautions=(guard, "Mind the dust.")))
    first, second = cautions_of(steps)
    assert (first.full, first.again) == ((guard,), ())
    assert (second.full, second.again) == (("Mind the dust.",), (("Keep the guard on", 1),))
    assert second.lines == ("Mind the dust.", "Keep the guard on (step 1)")
    ctx = context(sample_case())
    every = _words([t for d in compose(ctx) for t in texts(d.items)])
    for text in dict.fromkeys(c for s in ctx.steps for c in s.cautions):
        assert every.count(_words([text])) == 1


def test_tools_are_one_list_with_machines_first_and_one_capital() -> None:
    step = Step(1, "x", tools=("tape", "Table saw", "Router, hand-held", "panel carrier"))
    assert tools_text(step) == "Table saw, hand-held router, tape, panel carrier"


def test_short_steps_share_a_sheet_and_no_rule_stands_at_its_top() -> None:
    ctx = context(sample_case())
    drafts = compose(ctx)
    assert len(drafts) <= len(ctx.steps) // 2 + 1  # the first step has nearly all cautions in full
    for draft in drafts:
        rules = [line for line in lines(draft.items, "tb") if len(line.points) == 2]
        assert all(line.points[0][1] > ctx.space[1] + 1 for line in rules)


def test_new_parts_are_heavy_and_earlier_ones_light() -> None:
    ctx = context(sample_case())
    found = dict(zip((s.number for s in ctx.steps), states(ctx.model, ctx.steps), strict=True))
    steps = {int(attr(g, "step")): g for d in compose(ctx) for g in groups(d.items, "step")}
    grown = 0
    for number, state in found.items():
        pictures = list(groups(steps[number].items, "picture"))
        assert bool(pictures) == (state.kind != "none")
        if state.kind == "assembly" and state.new:
            assert any(lines(p.items, "vis") for p in pictures)
            assert any(lines(p.items, "light") for p in pictures) == bool(state.before)
            grown += bool(state.before)
    assert grown


def test_bench_pictures_carry_the_marks_of_the_parts() -> None:
    ctx = context(sample_case())
    steps = {int(attr(g, "step")): g for d in compose(ctx) for g in groups(d.items, "step")}
    for step, state in zip(ctx.steps, states(ctx.model, ctx.steps), strict=True):
        if state.kind == "bench":
            outer = next(p for p in groups(steps[step.number].items, "picture") if dict(p.attrs).get("step"))
            marks = [t for t in texts(outer.items) if not t.endswith("X")]
            assert marks == list(dict.fromkeys(ctx.model.part(p).mark for p in state.new))


def test_a_step_is_not_cut_unless_it_is_longer_than_a_sheet() -> None:
    long = Step(1, "Read aloud", texts=tuple(f"Sentence number {n} of a very long step." for n in range(80)))
    model = sample_case()
    ctx = replace(context(model), steps=(long, Step(2, "Rest", texts=("Sit down.",))))
    drafts = compose(ctx)
    parts = [attr(g, "step") for d in drafts for g in groups(d.items, "step")]
    assert parts.count("1") > 1 and parts.count("2") == 1
    said = _words([t for d in drafts for t in texts(d.items)])
    assert all(_words([t]) in said for t in long.texts)
    assert "Read aloud (continued)" in said
    assert inside(drafts, ctx)


def test_a_step_goes_over_the_end_of_a_sheet_only_where_much_would_stay_empty() -> None:
    few, many = (tuple(f"Sentence number {n} of a step." for n in range(count)) for count in (4, 40))
    ctx = replace(context(sample_case()), steps=tuple(Step(n, f"Step {n}", texts=few) for n in range(1, 40)))
    short = [attr(g, "step") for d in compose(ctx) for g in groups(d.items, "step")]
    assert len(short) == len(set(short)) == 39  # a short step leaves little room when it begins the next sheet
    ctx = replace(ctx, steps=tuple(Step(n, f"Step {n}", texts=many) for n in range(1, 6)))
    drafts = compose(ctx)
    on = [{attr(g, "step") for g in groups(d.items, "step")} for d in drafts]
    assert any(here & after for here, after in pairwise(on))
    for draft in drafts[:-1]:  # less room is left than a title with three lines takes
        right = [i for i in walk(draft.items) if isinstance(i, Text) and i.at[0] > sum(ctx.space[::2]) / 2]
        assert right and max(i.at[1] for i in right) > ctx.space[3] - 24.0
    assert inside(drafts, ctx)


def test_steps_name_their_set_ups_with_the_sheet() -> None:
    """`1 to 4 on sheet 7.1`: as the sheets of set-ups have them; a step of assembly has none."""
    checked = check("lookout-table.plan", DiskWorld(ROOT / "examples" / "lookout-table"))
    ctx = context(checked.model)
    codes = {int(attr(group, "number")): draft.code for draft in setup_sheets(ctx) for group in groups(draft.items, "setup")}
    said = {step.number: _words([t for d in compose(ctx) for g in groups(d.items, "step") if attr(g, "step") == str(step.number) for t in texts(g.items)]) for step in ctx.steps}
    own = setups_of_steps(ctx.model, ctx.steps)
    assert sum(bool(numbers) for numbers in own.values()) > 5
    for step in ctx.steps:
        assert ("SET-UPS" in said[step.number]) == bool(own[step.number])
        for code in {codes[number] for number in own[step.number]}:
            assert f"{numbers_text([n for n in own[step.number] if codes[n] == code])} on " in said[step.number] and code in said[step.number]


def test_words_of_a_step_never_reach_into_its_picture() -> None:
    ctx = context(sample_case())
    for group in (g for d in compose(ctx) for g in groups(d.items, "step")):
        pictures = [e for p in groups(group.items, "picture") if (e := item_extent(p)) is not None]
        own = [e for i in group.items if isinstance(i, Text) and (e := item_extent(i)) is not None]
        assert not any(overlap(word, picture) for word in own for picture in pictures)


def test_cautions_have_a_triangle() -> None:
    ctx = context(sample_case())
    drawn = [group for draft in compose(ctx) for group in groups(draft.items, "step")]  # a step may go on on the next sheet
    assert {attr(group, "step") for group in drawn} == {str(step.number) for step in ctx.steps}
    for step, own in zip(ctx.steps, cautions_of(ctx.steps), strict=True):
        items = [item for group in drawn if attr(group, "step") == str(step.number) for item in group.items]
        triangles = [line for line in lines(items, "tb") if line.closed and len(line.points) == 3]
        assert len(triangles) == len(own.lines)
    outline = warning_triangle((0.0, 0.0), 4.2)[0]
    (ax, ay), (bx, by), (cx, cy) = outline.points  # type: ignore[union-attr]
    sides = [((ax - bx) ** 2 + (ay - by) ** 2), ((bx - cx) ** 2 + (by - cy) ** 2), ((cx - ax) ** 2 + (cy - ay) ** 2)]
    assert max(sides) - min(sides) < 1e-9


@pytest.mark.parametrize(
    ("model", "paper", "orientation"),
    [(sample_case(), "letter", "landscape"), (trays(), "A4", "portrait"), (sample_case(), "A3", "landscape")],
)
def test_sheets_are_clean(model: Model, paper: str, orientation: str) -> None:
    ctx = context(model, paper=paper, orientation=orientation)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)


def test_pictures_of_glue_ups_show_clamps_along_their_directions() -> None:
    """The doors and the case of the cupboard; dry fits and what is screwed on have none."""
    model = check("map-cupboard.plan", DiskWorld(ROOT / "examples" / "map-cupboard")).model
    ctx = context(model)
    wanted: dict[str, set[str]] = {}
    for up in all_glue_ups(model, ctx.steps):
        straight = {"xyz"[c.axis] for c in up.found.clamped}
        if straight:
            wanted.setdefault(str(up.step), set()).update(straight)
    shown: dict[str, set[str]] = {}
    for draft in compose(ctx):
        for picture in groups(draft.items, "picture"):
            for frame in groups(picture.items, "clamps"):
                shown.setdefault(attr(picture, "step"), set()).update(attr(frame, "axes").split())
                assert lines(frame.items, "phm") and any(isinstance(i, Fill) for i in frame.items)
    assert shown == wanted and len(wanted) >= 3


@pytest.mark.parametrize("name", ["lookout-table", "map-cupboard", "darkroom-cabinet", "seed-rack", "orchard-bench", "carving-bench"])
def test_arrows_go_only_where_the_joints_of_the_step_let_them(name: str) -> None:
    """Taken in their order, no arrow goes against a joint that the arrows before it have not opened already."""
    model = check(f"{name}.plan", DiskWorld(ROOT / "examples" / name)).model
    steps = procedure(model)
    seen = 0
    for step, state, items in zip(steps, states(model, steps), claims(model, steps), strict=True):
        closed = [j for j in model.joints if f"join:{j.id}" in {item.operation for item in items}]
        for paths, move in ways_in(model, steps, step, state):
            crossing = [j for j in closed if (j.a in paths) != (j.b in paths)]
            for joint in crossing:
                free = ways_out(joint, model.part(joint.b).box)
                allowed = {face.normal if joint.a in paths else face.opposite.normal for face in free}
                assert move in allowed, (step.title, paths, joint.id)
                seen += 1
            closed = [j for j in closed if j not in crossing]
    assert seen


def test_the_frames_of_a_table_come_onto_its_aprons() -> None:
    """The aprons have tenons at left and right: nothing comes from the front or from the rear."""
    model = check("lookout-table.plan", DiskWorld(ROOT / "examples" / "lookout-table")).model
    steps = procedure(model)
    step, state = next((s, x) for s, x in zip(steps, states(model, steps), strict=True) if s.title == "Front, rear and stretcher")
    assert {move for _, move in ways_in(model, steps, step, state)} == {(-1.0, 0.0, 0.0), (1.0, 0.0, 0.0)}


def test_the_keys_that_a_step_drives_stand_in_its_picture() -> None:
    """3/8 in. thick, 3/4 in. wide where the mortise is open, 5/8 in. of tenon between them and as much wood on both sides as they are wide."""
    model = check("carving-bench.plan", DiskWorld(ROOT / "examples" / "carving-bench")).model
    steps = procedure(model)
    (step,) = [s for s in steps if s.title == "Drive the keys"]
    keys = _keys(model, step, [part.path for part in model.placed])
    assert len(keys) == 2 and not _keys(model, steps[0], [part.path for part in model.placed])
    for _, solid in keys:
        lo, hi = solid.bounds
        assert sorted(round((b - a) / 25.4, 4) for a, b in zip(lo, hi, strict=True)) == [0.375, 0.75, 0.625 + 2 * 0.75]
    outer = sorted(solid.bounds[side][0] for _, solid in keys for side in (0, 1))
    faces = [float(model.part(j.b).stands.span(0)[side]) for j in model.joints if any(f.kind == "key" for f in j.fasteners) for side in (0, 1)]
    assert len(faces) == 4 and round(outer[1] - min(faces), 6) == 0 and round(outer[2] - max(faces), 6) == 0


def test_loose_parts_that_a_step_joins_are_among_its_parts() -> None:
    model = check("lookout-table.plan", DiskWorld(ROOT / "examples" / "lookout-table")).model
    ctx = context(model)
    said = next(_words(texts(g.items)) for d in compose(ctx) for g in groups(d.items, "step") if "Lay the top face down" in _words(texts(g.items)))
    assert "J Top, 8X K Top button" in said
