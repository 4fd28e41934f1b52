"""Set-ups as they stand beside the machine: every number once, figures large, nothing outside the room, nothing struck."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import groupby

import pytest

from plandoc.drawing.boxes import grown, overlap, segment_meets_box
from plandoc.drawing.display import Line, Text, walk
from plandoc.drawing.lettering import text_extent
from plandoc.sheets.listsheets import list_heading
from plandoc.sheets.setups import KIND, Strip, _columns, _machine, _paged, _set, note
from plandoc.shopwork.names import exact_text
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.setups import setups
from plandoc.shopwork.setupsteps import steps_of_setups
from tests.sheets.test_cutting import NAMES, above_the_title_block, example
from tests.support.resolving import resolved
from tests.support.sheet_ctx import attr, findings, groups

PLAN = '''plan "Rack"
  units inch to 1/32
  shop "club.shop"
stock ply sheet 48" x 96"
  called 3/4"
part side from ply
  size 40" x 11"
part shelf from ply
  size 30" x 8"
'''


@pytest.mark.parametrize("name", NAMES)
def test_every_set_up_stands_once_in_its_order_with_large_figures(name: str) -> None:
    ctx = example(name)
    drafts = KIND.compose(ctx)
    numbers = [attr(group, "number") for draft in drafts for group in groups(draft.items, "setup")]
    assert numbers == [str(setup.number) for setup in setups(ctx.model).setups]
    assert [draft.code for draft in drafts] == [f"7.{n + 1}" for n in range(len(drafts))]
    assert all(draft.title.startswith("Set-ups: ") for draft in drafts)
    for draft in drafts:
        for group in groups(draft.items, "setup"):
            sizes = [item.size for item in walk(group.items) if isinstance(item, Text) and item.role == "title"]
            assert max(sizes) >= ctx.style.height("title")


@pytest.mark.parametrize("name", NAMES)
def test_nothing_leaves_the_room_and_no_words_meet(name: str) -> None:
    ctx = example(name)
    drafts = KIND.compose(ctx)
    assert above_the_title_block(drafts, ctx) and not findings(drafts, ctx)
    for draft in drafts:
        boxes = [(item.text, text_extent(item)) for item in walk(draft.items) if isinstance(item, Text)]
        for number, (one, first) in enumerate(boxes):
            for other, second in boxes[number + 1 :]:
                assert not overlap(first, second), (one, other)


@pytest.mark.parametrize("name", NAMES)
def test_words_keep_clear_of_the_lines_between_rows(name: str) -> None:
    for draft in KIND.compose(example(name)):
        leaves = tuple(walk(draft.items))
        lines = [leaf.points for leaf in leaves if isinstance(leaf, Line) and leaf.role in ("tb", "vis") and len(leaf.points) == 2]
        for text in (leaf for leaf in leaves if isinstance(leaf, Text)):
            assert not any(segment_meets_box(p, q, grown(text_extent(text), 0.5)) for p, q in lines), text.text


def test_the_main_example_needs_four_sheets() -> None:
    """Six kinds of set-ups on five machines: channels far from the end of a side are the hand-held router's, the pockets of the
    trays that the drill press reaches are bored there at fence and stop."""
    ctx = example("eyepiece-cabinet")
    drafts = KIND.compose(replace(ctx, steps=procedure(ctx.model)))
    assert len(drafts) == 4
    said = " ".join(draft.title for draft in drafts)
    assert all(machine in said for machine in ("Track saw", "Table saw", "Router table", "Router", "Drill press"))


def test_set_ups_cite_their_steps_and_say_which_face_lies_down() -> None:
    """Of sizes at the head of their section, of all others in their row, where not all of a section have the same."""
    ctx = example("lookout-table")
    ctx = replace(ctx, steps=procedure(ctx.model))
    back = steps_of_setups(ctx.model, ctx.steps)
    drafts = KIND.compose(ctx)
    by_number = {int(attr(group, "number")): None for draft in drafts for group in groups(draft.items, "setup")}
    assert set(by_number) == set(back)
    said = " ".join(leaf.text for draft in drafts for leaf in walk(draft.items) if isinstance(leaf, Text))
    assert "jointed face of boards." in said and "near side of the blade." in said
    cited = {int(n) for text in re.findall(r"[Ss]teps? ([\d, and to]+)\.", said) for n in re.findall(r"\d+", text)}
    assert cited == {number for own in back.values() for number in own} and len(cited) > 4


@pytest.mark.parametrize("name", ["carving-bench", "hive-tote", "compass-box"])
def test_the_height_of_a_blade_stands_in_no_column_of_distances(name: str) -> None:
    """Beside the name of the blade, or over the sizes that it is for; large figures are those of set-ups alone."""
    ctx = example(name)
    for draft in KIND.compose(ctx):
        within = {leaf for group in groups(draft.items, "setup") for leaf in walk(group.items)}
        figures = {item for item in walk(draft.items) if isinstance(item, Text) and item.role == "title"}
        alone = {item.text for item in figures - within}
        assert not any("blade" in item.text.casefold() for item in figures)
        assert alone <= {exact_text(setup.height, ctx.model.info.units) for setup in setups(ctx.model).setups if setup.phase and setup.height is not None}
    said = " ".join(item.text for draft in KIND.compose(ctx) for item in walk(draft.items) if isinstance(item, Text)).casefold()
    for setup in setups(ctx.model).setups:
        if setup.phase == 0 and setup.height is not None:
            assert f"blade {exact_text(setup.height, ctx.model.info.units)} " in said


def test_the_note_tells_the_distance_from_the_least_and_why_work_is_left() -> None:
    ctx = example("lookout-table")
    job = setups(ctx.model)
    said = note(ctx, job)
    assert f"{job.changes} single settings change, no order does with fewer than {job.least}." in said
    assert "taper (taper jig); shaped outline (template or line); slot (template)" in said and "mortise" not in said


def _machine_of(name: str, *heights: float) -> tuple[str, tuple[Strip, ...]]:
    return name, tuple(Strip(height, ()) for height in heights)


def test_a_machine_begins_a_page_only_where_that_costs_none() -> None:
    """Pages of one column, 100 mm high, the first less 10 mm of heading."""
    saw, drill, router = _machine_of("Saw", 60), _machine_of("Drill", 50, 30), _machine_of("Router", 60)
    assert _paged([saw, drill, router], 1, 100, 10)[1] == [["Saw"], ["Drill"], ["Router"]]  # 60 + (50 + 30) + 60: three pages anyhow
    flowing = [_machine_of("Saw", 40), _machine_of("Drill", 30, 30), _machine_of("Router", 60)]
    assert _paged(flowing, 1, 100, 10)[1] == [["Saw", "Drill"], ["Drill", "Router"]]  # a page for the drill alone would be a third


@pytest.mark.parametrize("name", NAMES)
def test_no_sheet_more_than_machines_one_after_the_other_need(name: str) -> None:
    ctx = example(name)
    job = setups(ctx.model)
    deep, columns = list_heading(note(ctx, job), ctx)[1], _columns(ctx.space, ctx.style)
    runs = groupby(job.setups, key=lambda setup: setup.setting.machine)
    machines = [(key, tuple(_machine(ctx, job, tuple(run), columns[0][2] - columns[0][0]))) for key, run in runs]
    flowing = _set(machines, len(columns), ctx.space[3] - ctx.space[1], deep, frozenset())[0]
    assert len(KIND.compose(ctx)) == len(flowing)


def test_a_shop_with_little_sets_up_what_it_can() -> None:
    """A saw without a stack, no router, no drill press: sizes alone, and the rest is named as left."""
    files = {
        "rack.plan": PLAN + "part back from ply\n  size 20\" x 10\"\n",
        "club.shop": 'shop "Garage"\n  table_saw rip 12" kerf 1/8"\n',
    }
    outcome = resolved(files, name="rack.plan")
    model = outcome.model
    job = setups(model)
    assert {setup.setting.machine for setup in job.setups} <= {"table_saw", "track_saw"}
    assert not job.shop.assumed and job.changes >= job.least
