"""Step pictures: what lies on the bench and what is already together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plandoc.model.entities import Step
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.state import state_after, states
from tests.support.sample_model import sample_case
from tests.support.tray_model import tray_case


def test_cutting_and_machining_show_their_parts_on_the_bench() -> None:
    model = replace(sample_case(), steps=())
    steps = procedure(model)
    cut = state_after(model, steps, 1)
    assert cut.kind == "bench" and cut.before == ()
    assert cut.new == ("left_side", "right_side", "bottom", "shelf", "top", "drawer_front")
    dado = next(s for s in steps if "dadoes" in s.title)
    assert state_after(model, steps, dado.number).new == ("left_side", "right_side")


def test_the_back_joins_what_was_glued_before() -> None:
    model = sample_case()
    steps = procedure(model)
    back = next(s for s in steps if s.joins and "back" in s.joins and not s.author)
    state = state_after(model, steps, back.number)
    assert state.kind == "assembly"
    assert state.before == ("left_side", "right_side", "bottom", "shelf", "top")
    assert state.new == ("back",)


def test_a_subassembly_is_shown_without_what_it_is_not_yet_joined_to() -> None:
    model = tray_case()
    steps = procedure(model)
    case = next(s for s in steps if s.title == "Glue up tray cabinet")
    assert state_after(model, steps, case.number).before == ()
    slide = next(s for s in steps if s.title.startswith("Slide in"))
    together = state_after(model, steps, slide.number)
    assert set(together.before) == {p.path for p in model.placed} and together.new == ()


def test_two_separate_groups_in_one_step_stay_separate() -> None:
    model = tray_case()
    own = (
        Step(1, "Glue both trays", joins=("tray",)),
        Step(2, "Slide in the first", joins=("tray[1].blank", "left_side")),
    )
    first, second = states(model, own)
    assert first.new == ("tray[1].blank", "tray[1].lip", "tray[2].blank", "tray[2].lip")
    assert second.before == ("tray[1].blank", "tray[1].lip")
    assert second.new == ("left_side",)


@pytest.mark.parametrize("model", [sample_case(), tray_case()], ids=["case", "trays"])
def test_every_placed_part_arrives_once(model: object) -> None:
    from plandoc.model.entities import Model

    assert isinstance(model, Model)
    arrived = [path for s in states(model, procedure(model)) if s.kind == "assembly" for path in s.new]
    assert sorted(arrived) == sorted(p.path for p in model.placed)


def test_a_number_that_is_not_there_is_refused() -> None:
    with pytest.raises(KeyError):
        state_after(sample_case(), (), 3)
