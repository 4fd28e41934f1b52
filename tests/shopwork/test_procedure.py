"""The procedure claims all work, keeps the author's steps, and prints the model's own numbers."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from plandoc.model.entities import Model, Part, Step
from plandoc.quantity import shop_text
from plandoc.shopwork.claims import claims
from plandoc.shopwork.operations import operations
from plandoc.shopwork.procedure import procedure, uncovered
from plandoc.tables import named_caution
from tests.support.sample_model import sample_case
from tests.support.tray_model import tray_case


def bare(model: Model) -> Model:
    return replace(model, steps=())


def step_titled(steps: tuple[Step, ...], words: str) -> Step:
    (found,) = [step for step in steps if words in step.title]
    return found


@pytest.mark.parametrize(
    "model", [sample_case(), bare(sample_case()), tray_case()], ids=["author", "bare", "trays"]
)
def test_no_operation_is_left_out_or_done_twice(model: Model) -> None:
    assert uncovered(model, model.steps), "the fixture must leave something to generate"
    steps = procedure(model)
    assert uncovered(model, steps) == ()
    taken = [item for row in claims(model, steps) for item in row]
    assert len(taken) == len(set(taken))
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))


@pytest.mark.parametrize(
    "model", [sample_case(), bare(sample_case()), tray_case()], ids=["author", "bare", "trays"]
)
def test_work_follows_what_it_needs(model: Model) -> None:
    steps = procedure(model)
    when: dict[tuple[str, str], int] = {}
    every = {op.id: op for op in operations(model)}
    for number, row in enumerate(claims(model, steps)):
        for item in row:
            op = every[item.operation]
            for path in (item.path,) if item.path else op.parts:
                key = (op.verb, path)
                when[key] = max(when.get(key, 0), number)
    first: dict[tuple[str, str], int] = {}
    for number, row in enumerate(claims(model, steps)):
        for item in row:
            op = every[item.operation]
            for path in (item.path,) if item.path else op.parts:
                first.setdefault((op.verb, path), number)
    for part in model.parts:
        cut = when["cut", part.path]
        for later in ("make", "join", "fasten", "fit", "place"):
            assert cut < first.get((later, part.path), len(steps) + 1)
        made = when.get(("make", part.path), -1)
        assert made < first.get(("join", part.path), len(steps) + 1)


def test_the_authors_steps_stay_in_order_with_their_texts() -> None:
    model = sample_case()
    own = [step for step in procedure(model) if step.author]
    assert [step.title for step in own] == [step.title for step in model.steps]
    assert own[0].texts == model.steps[0].texts
    assert own[0].tools[:1] == ("clamps",)
    assert own[0].kinds == ("glue_up",)
    assert own[0].checks == model.steps[0].checks  # it names the diagonals itself


def test_numbers_of_a_dado_are_the_models() -> None:
    model = bare(sample_case())
    units = model.info.units
    text = " ".join(step_titled(procedure(model), "dadoes").texts)
    for joint in model.joints:
        if joint.kind == "dado":
            assert f"cutter {shop_text(joint.width, units, True)} wide" in text
            assert f"set {shop_text(joint.cut_depth, units, True)} high" in text
            up = joint.channel.lo[2] - model.part(joint.b).box.lo[2]
            assert f"near edge {shop_text(up, units, True)} from the bottom end" in text


def test_sizes_of_cut_parts_are_the_models() -> None:
    for model in (bare(sample_case()), tray_case()):
        texts = [text for step in procedure(model) if step.cuts for text in step.texts]
        for part in model.parts:
            (line,) = [t for t in texts if f"({part.mark})" in t]
            assert shop_text(part.length, model.info.units, True) + " long" in line
            assert shop_text(part.width, model.info.units, True) + " wide" in line
            count = sum(p.count for p in model.parts if p.mark == part.mark)
            assert f": {count} piece" in line or f"{count} and" in line or f"and {count} pieces" in line


def test_diagonals_are_those_of_the_case() -> None:
    model = bare(sample_case())
    check = step_titled(procedure(model), "Glue up tool cabinet").checks[0]
    inches = math.hypot(24, 30)
    whole, rest = divmod(round(inches * 32), 32)
    assert check.startswith("Both diagonals looking from the front")
    assert f"≈{whole} {rest}/32" in check


def test_an_authors_glue_up_without_check_gets_the_diagonals() -> None:
    model = sample_case()
    plain = replace(model, steps=(replace(model.steps[0], checks=()),))
    (own,) = [step for step in procedure(plain) if step.author]
    assert any("Both diagonals" in check and "38 13/32" in check for check in own.checks)


def test_pins_of_a_closed_joint_come_right_after_the_authors_step() -> None:
    model = tray_case()
    glue = Step(1, "Glue the case", joins=("left_side", "right_side", "bottom", "top"))
    steps = procedure(replace(model, steps=(glue,)))
    titles = [step.title for step in steps]
    at = titles.index("Glue the case")
    assert titles[at + 1] == "Pin the joints with dowels"
    assert (
        titles.index("Glue up tray 1–2 (2 alike)")
        < at
        < next(i for i, t in enumerate(titles) if t.startswith("Slide in"))
    )


def test_a_sliding_part_is_not_in_its_channel_because_the_case_is_glued() -> None:
    model = tray_case()
    own = (
        Step(1, "Glue the trays", joins=("tray",)),
        Step(2, "Glue the case", joins=("left_side", "right_side", "bottom", "top")),
    )
    rows = claims(model, own)
    closed = {item.operation for row in rows for item in row if item.operation.startswith("join:")}
    assert "join:tray[1].lip>tray[1].blank" in closed
    assert "join:bottom>left_side" in closed
    assert "join:tray[1].blank>left_side" not in closed


def test_partly_claimed_work_leaves_the_rest() -> None:
    model = sample_case()
    own = (
        Step(1, "Cut the sides", cuts=("left_side", "right_side")),
        Step(2, "Dado", makes=("left_side.shelf",)),
    )
    open_ids = [op.id for op in uncovered(model, own)]
    assert "cut:A" not in open_ids and "cut:C" in open_ids
    assert "make:A:dado" in open_ids  # the bottom's dado is still to be made
    full = procedure(replace(model, steps=own))
    assert uncovered(model, full) == ()
    again = [
        text for step in full if not step.author for text in step.texts if "left side (A), right face" in text
    ]
    assert any('near edge 4"' in text for text in again)
    assert not any('near edge 22"' in text for text in again)


def test_caution_words_become_sentences_and_other_words_stay() -> None:
    model = sample_case()
    own = Step(
        1, "Cut the sides", cuts=("left_side",), cautions=("kickback", "Mind the cat."), tools=("band saw",)
    )
    step = next(s for s in procedure(replace(model, steps=(own,))) if s.author)
    known = named_caution("kickback")
    assert known is not None
    assert step.cautions[:2] == (known.text, "Mind the cat.")
    assert "band saw" in step.tools and "rip fence" not in step.tools


def test_author_tool_decides_the_machine() -> None:
    model = sample_case()
    own = Step(1, "Rout the dadoes", makes=("dado",), tools=("plunge router",))
    step = next(s for s in procedure(replace(model, steps=(own,))) if s.author)
    assert step.kinds == ("dado",)
    assert step.tools == ("plunge router",)
    assert any("light passes" in caution for caution in step.cautions)
    assert not any("insert" in caution for caution in step.cautions)


def test_row_of_pins_and_dowels_is_stated_by_first_centre_and_spacing() -> None:
    model = tray_case()
    steps = procedure(model)
    pins = " ".join(step_titled(steps, "Pin the joints").texts)
    assert "6 × dowel 10 mm × 60 mm" in pins
    assert (
        "first centre 50 mm from the front edge and 490 mm from the bottom end, then every 100 mm toward the rear edge"
        in pins
    )
    assert step_titled(steps, "Glue up tray 1").title == "Glue up tray 1–2 (2 alike)"


def test_a_bare_cut_list_is_cut_and_no_more() -> None:
    model = tray_case()
    loose: tuple[Part, ...] = tuple(p for p in model.parts if p.loose)
    steps = procedure(replace(model, parts=loose, joints=(), fittings=(), assemblies=()))
    assert [step.title for step in steps] == ["Cut the parts of 4/4 white oak"]


def test_same_model_same_procedure() -> None:
    assert procedure(tray_case()) == procedure(tray_case())


def test_an_authors_step_that_speaks_of_dowels_or_names_closed_parts_again_pins_them() -> None:
    model = tray_case()
    case = ("left_side", "right_side", "bottom", "top")
    spoken = (Step(1, "Glue the case", joins=case, texts=("Drive the dowels while the clamps are on.",)),)
    again = (Step(1, "Glue the case", joins=case), Step(2, "Top", joins=("top", "left_side", "right_side")))
    for own, at in ((spoken, 0), (again, 1)):
        rows = claims(model, own)
        found = [item.operation for item in rows[at] if item.operation.startswith("fasten:")]
        assert found == ["fasten:top>left_side:1", "fasten:top>right_side:1"]
    closing = Step(2, "First tray", joins=("tray[1].blank", "left_side", "right_side", "top"))
    assert not [i for i in claims(model, (again[0], closing))[1] if i.operation.startswith("fasten:")]
    (plain,) = claims(model, again[:1])
    assert not [item for item in plain if item.operation.startswith("fasten:")]


def test_caught_parts_go_on_one_side_and_the_other_side_closes() -> None:
    texts = step_titled(procedure(bare(sample_case())), "Glue up tool cabinet").texts
    lay = next(i for i, text in enumerate(texts) if text == "Lay left side (A) on the bench, worked face up.")
    assert 'bottom (C) and fixed shelf (C) in left side (A) (dado, enters 1/4")' in texts[lay + 1]
    assert texts[lay + 2] == "Close with right side (B) onto the free ends."


def test_a_back_is_checked_by_the_diagonals_of_the_whole_case() -> None:
    model = sample_case()
    own = (*model.steps, Step(2, "Fit the back", joins=("back",)))
    back = step_titled(procedure(replace(model, steps=own)), "Fit the back")
    assert any('24" × 30"' in check for check in back.checks)
