"""Machine set-ups: the figures of each give back what the part drawing shows; nothing is set up twice or forgotten."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import groupby, pairwise
from pathlib import Path

import pytest

from plandoc.geometry.bodies import Box, Face, box_prism
from plandoc.geometry.solid import Solid
from plandoc.model.blanks import blank_paths
from plandoc.model.entities import Feature, Model, Part
from plandoc.model.sawn import mark_of_cutout, sawn_box
from plandoc.pipeline import Checked, check
from plandoc.publish.setuplist import SETUP_COLUMNS, setup_rows, setups_csv
from plandoc.quantity import Units, shop_text
from plandoc.shopwork.capacity import saw_for
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.machinechoice import work_choice
from plandoc.shopwork.measures import before_outer_bands, cut_box
from plandoc.shopwork.names import by_mark, exact_text
from plandoc.shopwork.operations import machined
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.setting import BLADE, CENTRE, FAR, NEAR, STACK, Cut
from plandoc.shopwork.setupcuts import CHANNELS
from plandoc.shopwork.setups import Job, SetUp, setups
from plandoc.shopwork.setupsteps import numbers_text, setups_of_steps, steps_of_setups
from plandoc.shopwork.setupwords import (
    cutter_text,
    fence_texts,
    guards,
    holds,
    pieces_lines,
    pieces_text,
    trial_text,
    uses,
)
from plandoc.shopwork.sizecuts import guide_of, layout_cuts, size_choices
from plandoc.shopwork.stack import CLOSE, Stack, buried, close, edge_passes, passes, plain_stacks, stack_for
from plandoc.shopwork.wording import Work, work_words
from plandoc.tables.shop import ASSUMED
from plandoc.world import DiskWorld, MemoryWorld

F = Fraction
INCH = Fraction(127, 5)
EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(p.name for p in EXAMPLES.iterdir() if p.is_dir())


@cache
def _example(name: str) -> Checked:
    return check(f"{name}.plan", DiskWorld(EXAMPLES / name))


@cache
def _made(name: str) -> tuple[Model, Job]:
    model = _example(name).model
    return model, setups(model)


# The stack -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "chippers", "shims"),
    [  # of a published sheet of practice figures: dado_sets.md, "Stacked dado set", examples of widths
        ("0.703", ["1/8", "1/8", "1/8", "1/16"], "0.016"),
        ("0.75", ["1/8"] * 4, "0"),
        ("0.5", ["1/8"] * 2, "0"),
        ("0.375", ["1/8"], "0"),
        ("0.3125", ["1/16"], "0"),
        ("0.25", [], "0"),
    ],
)
def test_stacks_are_those_of_the_published_examples(width: str, chippers: list[str], shims: str) -> None:
    stack = stack_for(F(width) * INCH, ASSUMED["inch"])
    assert stack is not None and stack.outer == INCH / 8
    assert [thick / INCH for thick in stack.chippers] == [F(thick) for thick in chippers]
    assert sum(stack.shims) == F(shims) * INCH
    assert abs(stack.width - F(width) * INCH) <= CLOSE


def test_a_metric_sheet_on_an_inch_stack() -> None:
    """18 mm (0.7087 in.) = 0.6875 + 0.021, from the same list."""
    stack = stack_for(F(18), ASSUMED["inch"])
    assert stack is not None and 2 * stack.outer + sum(stack.chippers) == F("0.6875") * INCH and sum(stack.shims) == F("0.021") * INCH


def test_no_stack_is_wider_than_wanted_by_more_than_the_finest_shim() -> None:
    for system, finest in (("inch", F("0.002") * INCH), ("mm", F(1, 10))):
        shop = ASSUMED[system]
        most = plain_stacks(shop)[-1].width
        width = plain_stacks(shop)[0].width
        while width <= most:
            stack = stack_for(width, shop)
            assert stack is not None and stack.width - width <= finest
            width += F(37, 100)


def test_a_channel_narrower_than_the_outer_blades_has_no_stack() -> None:
    assert stack_for(INCH / 4 - F(1, 10), ASSUMED["inch"]) is None


def test_a_width_that_the_shims_do_not_make_is_cut_in_passes() -> None:
    """7.5 mm on a set of 6 and 8 mm with 1.2 mm of shims: 6 mm in two passes."""
    stack = stack_for(F("7.5"), ASSUMED["mm"])
    assert stack is not None and not close(stack, F("7.5"))
    assert passes(F("7.5"), F(6)) == (0, F("1.5"))


def test_passes_leave_nothing_standing() -> None:
    for width in (F(20), F(35), F(90)):
        for cutter in (F(6), F(20)):
            steps = passes(width, cutter)
            assert steps[0] == 0 and steps[-1] + cutter == max(width, cutter)
            assert all(b - a <= cutter for a, b in pairwise(steps))


def test_a_rabbet_takes_the_stack_that_is_on() -> None:
    shop = ASSUMED["inch"]
    on = Stack(INCH / 8, (INCH / 8,) * 4)
    assert buried(INCH * 23 / 32, shop, [on], F(1, 2)) == on
    alone = buried(INCH / 2, shop, [], F(1, 2))
    assert alone is not None and alone.width == INCH * 9 / 16


# What the figures give back -----------------------------------------------------------------------------------------


def _cuts(job: Job) -> Iterator[tuple[SetUp, Cut]]:
    for setup in job.setups:
        for cut in setup.cuts:
            yield setup, cut


def _within(box: Box, rides: Face, near: Fraction, far: Fraction) -> tuple[Fraction, Fraction]:
    """The span that lies between two distances from a face."""
    at = box.at(rides)
    one, two = at - rides.side * near, at - rides.side * far
    return min(one, two), max(one, two)


def _swept(setup: SetUp, cut: Cut, bare: Box) -> Box:
    """What the cutter takes away at this setting, all passes together."""
    setting = setup.setting
    wide = setting.cutter.width
    if setting.side == NEAR:
        lo, hi = setting.fence[0], setting.fence[-1] + wide
        assert all(b - a <= wide for a, b in pairwise(setting.fence))
    else:
        lo, hi = max(F(0), setting.fence[-1] - wide), setting.fence[0]
        assert all(a - b <= wide for a, b in pairwise(setting.fence))
    assert cut.worked is not None and setup.height is not None
    box = bare.with_span(cut.rides.axis, *_within(bare, cut.rides, lo, hi))
    box = box.with_span(cut.worked.axis, *_within(bare, cut.worked, F(0), setup.height))
    for face, left in cut.stops:
        box = box.with_face(face, box.at(face) - face.side * left)
    return box


def _feature(part: Part, cut: Cut) -> Feature:
    return next(f for f in part.features if f.id == cut.feature)


@pytest.mark.parametrize("name", NAMES)
def test_fence_height_and_cutter_give_the_drawn_channel(name: str) -> None:
    model, job = _made(name)
    for setup, cut in _cuts(job):
        if cut.kind in CHANNELS:
            part = model.part(cut.path)
            drawn = cut_box(part, _feature(part, cut))
            swept = _swept(setup, cut, before_outer_bands(part)).common(part.box)
            assert drawn is not None and swept is not None
            for axis in (0, 1, 2):
                assert abs(swept.lo[axis] - drawn.lo[axis]) <= CLOSE and abs(swept.hi[axis] - drawn.hi[axis]) <= CLOSE, (setup.number, cut)


@pytest.mark.parametrize("name", NAMES)
def test_the_solid_has_no_wood_where_the_cutter_ran(name: str) -> None:
    """Channels, cheeks and shoulders: the finished solid is empty where the cutter runs, but for what it may be off."""
    checked, (_, job) = _example(name), _made(name)
    for setup, cut in _cuts(job):
        part = checked.model.part(cut.path)
        if cut.worked is None or setup.setting.side == CENTRE or part.lean is not None:
            continue
        swept = _swept(setup, cut, part.box if cut.kind not in CHANNELS else before_outer_bands(part)).common(part.box)
        assert swept is not None
        area = max(swept.size(a) * swept.size(b) for a, b in ((0, 1), (1, 2), (0, 2)))
        left = checked.solids[cut.path].common_volume(Solid.from_prisms([box_prism(swept)]))
        assert left <= float(area * CLOSE), (setup.number, cut)


@pytest.mark.parametrize("name", NAMES)
def test_the_tongue_stands_where_the_cutter_ran_beside_it(name: str) -> None:
    model, job = _made(name)
    for setup, cut in _cuts(job):
        if cut.kind in ("tenon", "tongue"):
            part = model.part(cut.path)
            feature = _feature(part, cut)
            swept = _swept(setup, cut, part.box)
            for prism in feature.adds:
                taken = Solid.from_prisms([prism]).common_volume(Solid.from_prisms([box_prism(swept)]))
                assert taken <= 1e-3, (setup.number, cut)


@pytest.mark.parametrize("name", NAMES)
def test_fence_and_stop_of_a_bore_give_its_centre(name: str) -> None:
    model, job = _made(name)
    for setup, cut in _cuts(job):
        if setup.setting.side == CENTRE and cut.kind != "mortise":
            part = model.part(cut.path)
            feature, bare = _feature(part, cut), before_outer_bands(part)
            assert feature.centre is not None and cut.end is not None and feature.diameter == setup.setting.cutter.width
            assert abs(bare.at(cut.rides) - feature.centre[cut.rides.axis]) == setup.setting.fence[0]
            assert [abs(bare.at(cut.end) - feature.centre[cut.end.axis])] == list(cut.places)


def _mm(text: str) -> str:
    """The text with the unit behind each figure but the counts of teeth."""
    return re.sub(r"(?<!teeth )\b(\d+(\.\d+)?)\b", r"\1 mm", text)


@pytest.mark.parametrize("name", NAMES)
def test_guide_run_and_depth_of_a_mortise_give_its_walls(name: str) -> None:
    """The figures of all set-ups of a mortise together against the drawn one; the bit turns in it, and a through one is cut away
    from one face or from both."""
    model, job = _made(name)
    made: dict[tuple[str, str], list[tuple[SetUp, Cut]]] = {}
    for setup, cut in _cuts(job):
        if cut.kind == "mortise":
            made.setdefault((cut.path, cut.feature), []).append((setup, cut))
    for (path, _), own in made.items():
        part = model.part(path)
        drawn = cut_box(part, _feature(part, own[0][1]))
        assert drawn is not None
        reached = F(0)
        for setup, cut in own:
            setting, bit = setup.setting, setup.setting.cutter.width
            assert cut.run is not None and cut.end is not None and cut.worked is not None and setup.height is not None
            if setting.side == NEAR:
                walls = setting.fence[0], setting.fence[-1] + bit
            else:
                walls = setting.fence[0] - cut.wide / 2, setting.fence[0] + cut.wide / 2
            for face, span in ((cut.rides, walls), (cut.end, cut.run)):
                lo, hi = _within(part.box, face, *span)
                assert abs(lo - drawn.lo[face.axis]) <= CLOSE and abs(hi - drawn.hi[face.axis]) <= CLOSE, (setup.number, cut)
                assert bit <= hi - lo + CLOSE
            assert setup.height <= part.box.size(cut.worked.axis)
            stands = part.shoulder if cut.before else drawn  # a mortise in a tenon is cut while the piece is whole
            reached += setup.height - abs(stands.at(cut.worked) - drawn.at(cut.worked))
        assert abs(reached - drawn.size(own[0][1].worked.axis)) <= CLOSE  # type: ignore[union-attr]


def test_a_mortise_in_a_tenon_is_as_deep_from_the_whole_piece() -> None:
    """Stretcher 1 3/4" thick, tenon 5/8": 9/16" of waste before each cheek and half of the tenon, 7/8" from each face, and said so."""
    model, job = _made("carving-bench")
    rows = [(s, cut) for s, cut in _cuts(job) if cut.kind == "mortise" and model.part(cut.path).mark == "E"]
    assert len(rows) == 4 and {s.height for s, _ in rows} == {INCH * 7 / 8}
    assert all("E: before the tenons are cut." in pieces_lines(model, s) for s, _ in rows)
    assert not any("before the" in line and "cut" in line for s, cut in _cuts(job) if s not in [one for one, _ in rows] and cut.kind == "mortise" for line in pieces_lines(model, s))
    steps = procedure(model)
    made = {kind: step.number for step in steps for kind in step.kinds if kind in ("mortise", "tenon")}
    assert made["mortise"] < made["tenon"]
    assert any("key mortise" in text and "before the shoulders of its tenon are cut" in text for step in steps for text in step.texts)


def test_a_mortise_goes_to_the_machine_that_reaches_it() -> None:
    """Rail into post, tenon 10 x 60 x 45: a router with 50 mm, one with 30 mm and a drill press, neither."""
    text = '''plan "Frame"
  units mm
  shop "club.shop"
stock oak lumber 80
  dressed 70
stock strip lumber 40
  dressed 30
part post from oak
  grain up
  across from 0 for 70
  back from 0 for 70
  up from 0 for 600
part rail from strip
  grain across
  across from post.right for 400
  back from 20 for 30
  up from 300 for 80
joint tenon rail into post sized 10 x 60 deep 45
'''
    shop = '''shop "Club"
  table_saw rip 760 crosscut 300 deep 80 kerf 3 stack 20 outer 3
  mitre_saw crosscut 300 deep 90 kerf 2.4
  jointer wide 200
  planer wide 300
'''
    found = []
    for more in ("  router bits 6, 10 deep 50\n", "  router bits 6 deep 50\n", "  router bits 10 deep 30\n  drill_press deep 80\n", "  router bits 12 deep 50\n  drill_press deep 80 bits 6, 8\n", "  router bits 10 deep 30\n"):
        checked = check("frame.plan", MemoryWorld({"frame.plan": _mm(text), "club.shop": _mm(shop + more)}))
        assert checked.good, checked.diagnostics
        model = checked.model
        job = setups(model)
        rows = [(s.setting.machine, s.setting.side, s.setting.fence, s.setting.cutter.width, s.height) for s, cut in _cuts(job) if cut.kind == "mortise"]
        step = next(step for step in procedure(model) if "mortise" in step.kinds)
        assert [row[0] for row in rows] == [key for kind, key in zip(step.kinds, step.machines, strict=True) if kind == "mortise" and key != "hand_tools"]
        found += rows or [("hand",)]
    deep = found[0][4]
    assert found == [
        ("router", NEAR, (30,), 10, deep), ("router", NEAR, (30, 34), 6, deep), ("drill_press", CENTRE, (35,), 10, deep), ("drill_press", CENTRE, (35,), 8, deep), ("hand",),
    ]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_step_names_its_set_ups_and_each_set_up_its_steps(name: str) -> None:
    """Both ways alike, and every set-up has a step: by hand from the parts that steps cut and the features that they make."""
    model, job = _made(name)
    steps = procedure(model)
    forward, back = setups_of_steps(model, steps), steps_of_setups(model, steps)
    assert {(step, setup) for step, own in forward.items() for setup in own} == {(step, setup) for setup, own in back.items() for step in own}
    assert list(back) == [setup.number for setup in job.setups] and all(back.values())
    cut = {path: step.number for step in steps for path in all_paths(model, step.cuts)}
    for setup in job.setups:
        if setup.phase == 0:
            assert set(back[setup.number]) == {cut[one.path] for one in setup.cuts}


@pytest.mark.parametrize("name", NAMES)
def test_steps_and_set_ups_name_the_same_machine(name: str) -> None:
    """For each piece of work by itself, and of the tools of the generated step of tenons."""
    model, job = _made(name)
    for setup, cut in _cuts(job):
        part = model.part(cut.path)
        if setup.phase:
            assert work_choice(model, part, _feature(part, cut), cut.kind).key == setup.setting.machine, (setup.number, cut)
        else:
            own = {(choice.key, guide_of(choice)): count for choice, count in size_choices(model, part, cut.feature == "length")}
            assert own[setup.setting.machine, setup.setting.guide] == cut.count


@pytest.mark.parametrize("name", NAMES)
def test_set_ups_of_sheet_sizes_are_cuts_of_the_layout(name: str) -> None:
    """Each by a saw that takes a cut of that stock at that distance from the piece in hand, as the step counts them."""
    model, job = _made(name)
    units = model.info.units
    for setup, cut in _cuts(job):
        part = model.part(cut.path)
        if setup.phase == 0 and part.stock.kind == "sheet" and part.stock.width is not None and not part.allowance:
            found = [saw_for(model.shop, one, units) for one in layout_cuts(model, part.stock) if one.at == setup.setting.fence[0]]
            assert setup.setting.machine in [choice.key for choice in found], (setup.number, cut)


def test_what_the_layout_leaves_is_not_set_and_narrow_strips_go_to_the_mitre_saw() -> None:
    """A panel of 18" is what 46 7/32" leave of 28 3/32" and a kerf; drawer parts come off strips of 3", too narrow for a rail."""
    model, job = _made("eyepiece-cabinet")
    sized = {(model.part(cut.path).mark, cut.feature): setup.setting for setup, cut in _cuts(job) if setup.phase == 0}
    assert ("R", "length") not in sized and sized["R", "width"].machine == "table_saw"
    assert sized["E", "length"].machine == "table_saw" and sized["E", "length"].guide == "fence"
    assert {sized[mark, "length"].machine for mark in "MNPS"} == {"mitre_saw"}
    shelf = {(m.part(cut.path).mark, cut.feature): s.setting.machine for m, made in [_made("bench-shelf")] for s, cut in _cuts(made) if s.phase == 0}
    assert ("D", "width") not in shelf and shelf["D", "length"] == "mitre_saw" and shelf["B", "length"] == "track_saw"
    bench = {(m.part(cut.path).mark, cut.feature): s.setting.machine for m, made in [_made("carving-bench")] for s, cut in _cuts(made) if s.phase == 0}
    assert bench["F", "width"] == "track_saw" and bench["B", "width"] == "table_saw"


def test_steps_of_panels_and_of_thick_boards_name_the_saw_of_each_rip() -> None:
    """The boards of a panel are no work of the step that cuts it; legs are ripped on the band saw while they are rough and thick."""
    lines = {step.title: step.choices for step in procedure(_made("carving-bench")[0])}
    panel, legs = (next(own for title, own in lines.items() if word in title) for word in ("panels of 8/4 Beech, rough sawn to size", "for the legs"))
    assert not any(line.startswith("Joint") or "5 11/16" in line for line in panel) and any(line.startswith("Rip: track saw") for line in panel)
    boards = next(own for title, own in lines.items() if title.startswith("Glue up the panels of 8/4"))
    assert any(line.startswith("Joint: jointer") for line in boards) and any(line.startswith('Rip: table saw, 10 in. blade, along the fence at 5 11/16"') for line in boards)
    assert any(line.startswith("Rough rip: band saw") for line in legs) and any(line.startswith('Rip: table saw, 10 in. blade, along the fence at 3"') for line in legs)


def test_the_step_of_tenons_has_the_tools_of_their_set_ups() -> None:
    """Flat over the stack on the mitre gauge: no tenon jig."""
    model, job = _made("lookout-table")
    kinds = {setup.setting.cutter.kind for setup, cut in _cuts(job) if cut.kind == "tenon"}
    step = next(step for step in procedure(model) if "tenon" in step.kinds)
    assert kinds == {STACK} and {"dado stack", "mitre gauge"} <= set(step.tools) and not any("jig" in tool for tool in step.tools)
    assert not any("tenon jig" in text for text in step.cautions) and any("mitre gauge" in text for text in step.cautions)
    assert {"Mitre gauge and tall face", "Sacrificial fence"} <= set(guards([setup for setup, cut in _cuts(job) if cut.kind == "tenon"]))


def test_steps_name_the_tools_by_which_their_set_ups_hold_and_finish_the_work() -> None:
    """Ends that ride the fence go before the mitre gauge; box joints wider than a blade take the stack; mortises are chiselled."""
    for name, kind, wanted in (
        ("compass-box", "tongue", {"mitre gauge"}), ("hive-tote", "dado", {"mitre gauge"}), ("hive-tote", "box_joint", {"joint jig", "dado stack"}),
        ("bit-tray", "mortise", {"chisel", "mallet", "mortise gauge", "square"}),
    ):  # fmt: skip
        tools = {tool for step in procedure(_made(name)[0]) if kind in step.kinds for tool in step.tools}
        assert wanted <= tools, (name, kind, tools)


TAB = """plan "Tray"
  units inch to 1/32
stock ply sheet 48" x 96"
  called 3/4"
part tray from ply
  across from 0 for 20"
  back from 0 for 18"
  up from 0
  tab 3" x 1" at front offset 4"
  hole 1" deep 3/8" on top at 4", PLACE
"""


def test_bores_near_an_edge_that_a_tab_leaves_are_made_before_it_is_sawn() -> None:
    """A throat of 7": from 16" the rear edge is nearer, whole, and taken; from 4 1/2" there is only the edge of the tab."""
    for place, side, before in (('4 1/2"', -1, True), ('13 1/2"', 1, False)):
        checked = check("tray.plan", MemoryWorld({"tray.plan": TAB.replace("PLACE", place)}))
        assert checked.good, checked.diagnostics
        model = checked.model
        ((setup, cut),) = [(s, cut) for s, cut in _cuts(setups(model)) if s.setting.machine == "drill_press"]
        assert cut.rides.side == side and any(line.endswith("before the tab is sawn.") for line in pieces_lines(model, setup)) == before
        steps = procedure(model)
        bored, sawn = (next(step for step in steps if kind in step.kinds) for kind in ("hole", "shaping"))
        assert (bored.number < sawn.number) == before
        assert any("bore before the tab is sawn" in line for line in bored.choices) == before
    trays = next(step for step in procedure(_made("eyepiece-cabinet")[0]) if step.title == "Trays")
    assert any("bore before the tab is sawn" in line for line in trays.choices)


def test_work_without_a_figure_is_no_set_up() -> None:
    texts = [text for step in procedure(_made("hive-tote")[0]) for text in step.texts]
    assert "Work: bowed edge." in texts and not any(text.startswith("Set-up: ") and not any(c.isdigit() for c in text) for text in texts)


def test_numbers_are_told_as_runs() -> None:
    assert numbers_text([7, 1, 2, 3, 9, 10]) == "1 to 3, 7, 9 and 10" and numbers_text([4]) == "4"


@pytest.mark.parametrize("name", NAMES)
def test_sizes_are_those_before_banding(name: str) -> None:
    """Every piece is cut to its length once, and ripped once unless it is rod or batten; of a sheet what a cut of its layout parts
    at that size, found by where it lies."""
    model, job = _made(name)
    laid: dict[tuple[str, str], int] = {}
    for layout in layouts(model):
        if layout.stock.kind != "sheet" or layout.sheets is None:
            continue
        for sheet in layout.sheets.sheets:
            for piece in sheet.placed:
                across = any(c.across and (c.x, c.at) == (piece.x, piece.length) and c.y <= piece.y < c.y + c.width for c in sheet.cuts)
                along = any(not c.across and (c.y, c.at) == (piece.y, piece.width) and c.x <= piece.x < c.x + c.length for c in sheet.cuts)
                for word, yes in (("length", along if piece.turned else across), ("width", across if piece.turned else along)):
                    key = mark_of_cutout(piece.part), word
                    laid[key] = laid.get(key, 0) + yes
    marks = by_mark(model.parts)
    for mark, parts in marks.items():
        for part in parts:
            box = sawn_box(part)
            for word, axis in (("length", part.length_axis), ("width", part.width_axis)):
                own = [(setup.setting.fence, cut.count) for setup, cut in _cuts(job) if cut.path == part.path and setup.phase == 0 and cut.feature == word]
                size = box.size(axis) if part.path not in blank_paths(model) else part.rough_length if word == "length" else part.rough_width
                assert all(fence == (size,) for fence, _ in own)
                if (mark, word) not in laid or part.allowance:
                    wanted = 0 if word == "width" and part.stock.kind in ("dowel", "batten") else part.count
                    assert sum(count for _, count in own) == wanted, (part.path, word)
        for word in ("length", "width"):
            if (mark, word) in laid and not parts[0].allowance:
                assert sum(cut.count for setup, cut in _cuts(job) if setup.phase == 0 and cut.feature == word and model.part(cut.path) in parts) == laid[mark, word], (mark, word)


# The whole job ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_work_is_in_a_set_up_or_named_and_no_set_up_comes_twice(name: str) -> None:
    model, job = _made(name)
    settings = [setup.setting for setup in job.setups]
    assert len(set(settings)) == len(settings) and [setup.number for setup in job.setups] == list(range(1, len(settings) + 1))
    left = {(path, feature) for _, path, feature in job.left}
    for part in model.parts:
        for feature in machined(model, part):
            own = [cut for _, cut in _cuts(job) if (cut.path, cut.feature) == (part.path, feature.id)]
            assert bool(own) != ((part.path, feature.id) in left), (part.path, feature.id)
            if own and own[0].kind in CHANNELS:
                assert len(own) == 1


@pytest.mark.parametrize("name", NAMES)
def test_the_count_of_changes_is_never_below_the_bound(name: str) -> None:
    _, job = _made(name)
    assert job.changes >= job.least >= len(job.setups) and job.mounts >= job.cutters
    back = any(setup.setting.machine == "table_saw" and setup.phase == 2 for setup in job.setups)
    assert job.mounts - job.cutters <= back  # the blade goes on again for cuts at an angle, nothing else does


@pytest.mark.parametrize("name", NAMES)
def test_every_cut_of_the_table_saw_has_the_blade_of_its_task(name: str) -> None:
    """Of the assumed shop: sheets with the sheet-goods blade, boards along with the rip blade, across with the crosscut blade, at
    an angle with the combination blade; and its kerf is the one that is printed."""
    model, job = _made(name)
    for setup, cut in _cuts(job):
        if setup.setting.machine != "table_saw" or setup.setting.cutter.kind != BLADE or not model.shop.assumed:
            continue
        part = model.part(cut.path)
        along = cut.rides.axis == part.width_axis
        wanted = "Sheet-goods" if part.stock.kind == "sheet" else "Combination" if setup.setting.angle else "Rip" if along else "Crosscut"
        assert setup.setting.cutter.name.startswith(f"{wanted} blade, ") and "teeth, kerf " in cutter_text(setup.setting.cutter, model.info.units)


def test_a_blade_comes_once_but_for_cuts_at_an_angle() -> None:
    """Two boards and a sheet in a shop without a mitre saw: what cuts to length alone comes last."""
    text = '''plan "Box"
  units mm
  shop "club.shop"
stock ply sheet 1200 x 2400
  called 18
stock oak lumber 25
  dressed 20
part panel from ply
  size 600 x 280
part side from oak
  size 500 x 90
part end from oak
  size 260 x 90
'''
    shop = '''shop "Club"
  table_saw rip 760 crosscut 300 deep 80 kerf 3
  saw_blade "Cross" crosscuts teeth 60 kerf 3
  saw_blade "Fine" panels teeth 80 kerf 2.8
  saw_blade "Rip" rips teeth 24 kerf 3.2
  jointer wide 200
  planer wide 300
'''
    checked = check("box.plan", MemoryWorld({"box.plan": _mm(text), "club.shop": _mm(shop)}))
    assert checked.good, checked.diagnostics
    job = setups(checked.model)
    assert [name for name, _ in groupby(setup.setting.cutter.name for setup in job.setups)] == ["Rip, 24 teeth", "Fine, 80 teeth", "Cross, 60 teeth"]
    assert [setup.setting.cutter.width for setup in job.setups if setup.setting.cutter.name.startswith("Rip")] == [F("3.2")]  # 90 wide, both boards
    assert job.mounts == job.cutters == 3


@pytest.mark.parametrize("name", NAMES)
def test_the_bound_on_changes_is_proved(name: str) -> None:
    """By another way than the program's: each set-up after the first of its machine differs from one that is already there by no
    less than its nearest, and the tree of nearest ones is found by joining the nearest pairs first."""
    _, job = _made(name)
    bound = 0
    for key in dict.fromkeys(setup.setting.machine for setup in job.setups):
        rows = [(s.setting.cutter, (s.setting.guide, s.setting.side, s.setting.fence), s.height, s.setting.angle) for s in job.setups if s.setting.machine == key]
        own, tree = list(range(len(rows))), 0
        for gap, one, two in sorted((sum(a != b for a, b in zip(rows[i], rows[j], strict=True)), i, j) for i in range(len(rows)) for j in range(i)):
            if own[one] != own[two]:
                tree += gap
                own = [own[one] if group == own[two] else group for group in own]
        bound += 4 + max(tree, sum(len({row[n] for row in rows}) - 1 for n in range(4)))
    assert job.least == bound <= job.changes


@pytest.mark.parametrize("name", NAMES)
def test_a_pair_is_cut_from_the_same_edge(name: str) -> None:
    """Where a part and the one that it mirrors are cut at one set-up, they ride the same faces, but for those across which the
    one is mirrored; channels of one size and place are never in different set-ups."""
    model, job = _made(name)
    for part in model.parts:
        other = next((p for p in model.parts if p.path == part.mirrors), None)
        if other is None:
            continue
        same = [axis for axis in (0, 1, 2) if part.datum[axis] == other.datum[axis]]
        rides: list[dict[tuple[int, str], set[Face]]] = [{}, {}]
        for own, found in zip((part, other), rides, strict=True):
            for setup, cut in _cuts(job):
                if cut.path == own.path and cut.kind in CHANNELS and cut.rides.axis in same:
                    found.setdefault((setup.number, cut.kind), set()).add(cut.rides)
        for key in rides[0].keys() & rides[1].keys():
            assert rides[0][key] == rides[1][key]
        drawn = [{tuple((b.lo[a] - p.box.lo[a], b.hi[a] - p.box.lo[a]) for a in same): s.number for s, cut in _cuts(job) if cut.path == p.path and cut.kind in CHANNELS for b in [cut_box(p, _feature(p, cut))] if b} for p in (part, other)]
        for place in drawn[0].keys() & drawn[1].keys():
            assert drawn[0][place] == drawn[1][place]


def test_figures_are_printed_within_what_a_set_up_may_be_off() -> None:
    inch, mm = _made("eyepiece-cabinet")[0].info.units, _made("tide-board")[0].info.units
    for n in range(1, 400):
        value = F(n * 7919, 997)
        text = exact_text(value, inch).rstrip('"')
        whole = sum((F(piece) for piece in text.split()), F(0)) * INCH
        assert "≈" not in text and abs(whole - value) <= CLOSE
        assert abs(F(exact_text(value, mm).removesuffix(" mm")) - value) <= CLOSE


# The list ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_list_has_every_set_up_with_all_that_is_set(name: str) -> None:
    model, job = _made(name)
    rows = list(csv.DictReader(io.StringIO(setups_csv(model))))
    assert [dict(row) for row in rows] == list(setup_rows(model)) and tuple(rows[0]) == SETUP_COLUMNS
    assert list(dict.fromkeys(row["setup"] for row in rows)) == [str(setup.number) for setup in job.setups]
    for row in rows:
        for column in ("machine", "cutter", "fence_mm", "to", "mark", "count", "face_at_guide", "features", "test", "guards", "hold"):
            assert row[column], (row["setup"], column)
        if "stack" in row["cutter"].lower():
            assert row["stack"].startswith("2 outer blades") and row["height_mm"] and row["face_down"]
    for setup in job.setups:
        fence = [F(text) for text in next(row for row in rows if row["setup"] == str(setup.number))["fence_mm"].split("; ")]
        assert all(abs(one - two) <= CLOSE for one, two in zip(fence, setup.setting.fence, strict=True))




@pytest.mark.parametrize("name", NAMES)
def test_the_step_names_the_cutter_of_the_set_up(name: str) -> None:
    """Of every channel: the stack or bit that is put on, in how many passes, what of it is clear of the fence."""
    model, job = _made(name)
    joints = {joint.id: joint for joint in model.joints}
    for setup, cut in _cuts(job):
        if cut.kind not in CHANNELS:
            continue
        part, units = model.part(cut.path), model.info.units
        feature = _feature(part, cut)
        said = work_words(cut.kind, Work(model, part, (feature,), joints.get(feature.joint)))[0]
        count, own = len(setup.setting.fence), shop_text(setup.setting.cutter.width, units.fine, mark=True).removeprefix("≈")
        assert said.startswith(f"cutter {own} wide" if setup.setting.cutter.kind == STACK else f"straight cutter {own} wide"), (setup.number, said)
        assert (f"in {count} passes to " in said) == (count > 1) and ("clear of the fence" in said) == (setup.setting.side == FAR and count == 1)
        assert setup.height is not None and exact_text(setup.height, units) in said


def test_passes_at_an_edge_stand_at_figures_of_the_plan() -> None:
    """1 3/4" with a stack of 13/16": three passes, none to the thousandth; where a step is as coarse as the cutter they stay even."""
    units = Units("inch", F(1, 32))
    assert edge_passes(INCH * 7 / 4, INCH * 13 / 16, units) == (INCH * 7 / 4, INCH * 37 / 32, INCH * 19 / 32)
    assert edge_passes(INCH / 2, INCH * 3 / 4, units) == (INCH / 2,)
    for width in (F("20.3"), F(35), F(90)):
        for step in (F(1, 2), F(1), F(50)):
            steps = edge_passes(width, F(19), Units("mm", step))
            assert steps[0] == width and steps[-1] <= 19 and all(0 < a - b <= 19 for a, b in pairwise(steps)) and len(steps) == -(-width // 19)
    model, job = _made("carving-bench")
    far = [setup for setup in job.setups if setup.setting.side == FAR and len(setup.setting.fence) > 1]
    assert far and all("." not in text for setup in far for text in fence_texts(setup.setting, model.info.units))


def test_words_of_a_set_up() -> None:
    model, job = _made("eyepiece-cabinet")
    slots = next(setup for setup in job.setups if setup.cuts[0].kind == "dado")
    assert pieces_lines(model, slots) == ("A, B × 1: bottom end at fence.", "Down: right face (A), left (B).")
    assert [(use.mark, use.count) for use in uses(model, slots)] == [("A", 1), ("B", 1)]
    assert slots.setting.cutter.stack is not None
    assert pieces_text(slots.setting.cutter.stack, model.info.units).startswith('2 outer blades 1/8", 3 chippers 1/8", 1 chipper 1/16", shims 0.0')
    assert trial_text(model, slots).startswith('Scrap: 23/32" wide, 1/4" deep, edge to cut')
    assert "Dado insert without guard" in guards([slots]) and holds(model, [slots]) == ("ends: mitre gauge behind the work",)
    assert slots.setting.side == NEAR and any(setup.setting.side == FAR for setup in job.setups)


@pytest.mark.parametrize("name", NAMES)
def test_a_blade_stands_no_further_out_than_its_thinnest_piece_asks(name: str) -> None:
    """1/8 in. or 3 mm more than each piece that it cuts through; equal distances do not make one set-up of two thicknesses."""
    model, job = _made(name)
    for setup in job.setups:
        if setup.setting.cutter.kind != BLADE or setup.setting.height is not None or setup.height is None:
            continue
        for cut in setup.cuts:
            part = model.part(cut.path)
            thick = part.stock.measured if part.stock.kind == "sheet" else part.thickness
            assert setup.height - thick == (F(127, 40) if model.info.units.system == "inch" else 3), (setup.number, cut.path)
