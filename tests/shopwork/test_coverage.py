"""Coverage of procedures: what is missing, double or too early is told, with both steps; a sound procedure has no fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plandoc.diagnostics.codes import CODES
from plandoc.model.entities import Model, Step
from plandoc.pipeline import Checked, check
from plandoc.shopwork.claims import claims
from plandoc.shopwork.coverage import DOUBLE, EARLY, MISSING, faults
from plandoc.shopwork.procedure import procedure
from plandoc.world import MemoryWorld
from tests.sheets.test_cutting import NAMES, example

CASE = '''plan "Case"
stock ply sheet 48" x 96"
  called 3/4"
  measured 3/4"
hardware handle pull bore 5 mm
hardware screw8 screw No 8 long 1 1/4"
part left from ply
  grain up
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part right from ply
  grain up
  across from 20"
  back from 0 to 10"
  up from 0 to 30"
part shelf from ply
  grain across
  across between left and right
  back from 0 to 10"
  up from 12"
joint dado shelf into left, right deep 1/4" with screw8 every 4"
fit handle on left at 5", 20" facing left
'''


def case(steps: str) -> Checked:
    return check("case.plan", MemoryWorld({"case.plan": CASE + steps}))


def told(steps: str) -> list[tuple[str, str, str]]:
    """Code, message and notes of each diagnostic."""
    return [(d.code, d.message, " ".join(n.text for n in d.notes)) for d in case(steps).diagnostics]


@pytest.fixture(scope="module")
def sound() -> tuple[Model, tuple[Step, ...]]:
    checked = case("")
    assert not checked.diagnostics
    return checked.model, procedure(checked.model)


@pytest.mark.parametrize("name", NAMES)
def test_no_example_has_a_fault(name: str) -> None:
    model = example(name).model
    assert faults(model, procedure(model)) == ()


@pytest.mark.parametrize("verb", ["cut", "make", "join", "fasten", "fit"])
def test_each_kind_of_work_is_missed_where_its_step_is_left_out(sound: tuple[Model, tuple[Step, ...]], verb: str) -> None:
    """Parts, channels, joints, screws, hardware: one by one the steps are taken away."""
    model, steps = sound
    assert faults(model, steps) == ()
    for step, items in zip(steps, claims(model, steps), strict=True):
        if any(item.operation.startswith(f"{verb}:") for item in items):
            codes = [fault.code for fault in faults(model, tuple(s for s in steps if s is not step))]
            assert MISSING in codes
            return
    raise AssertionError(f"the case has no work of the kind {verb}")


@pytest.mark.parametrize("verb", ["cut", "make", "join", "fit"])
def test_each_kind_of_work_is_told_where_a_second_step_does_it(sound: tuple[Model, tuple[Step, ...]], verb: str) -> None:
    model, steps = sound
    (again, *_) = [s for s, items in zip(steps, claims(model, steps), strict=True) if any(i.operation.startswith(f"{verb}:") for i in items)]
    again = replace(again, makes=()) if verb in ("cut", "join") else again
    found = faults(model, (*steps, replace(again, number=99, title="Once more")))
    assert found and {fault.code for fault in found} == {DOUBLE}
    assert {fault.step.number for fault in found if fault.step} == {99} and {fault.other.number for fault in found if fault.other} == {again.number}


def test_steps_in_the_wrong_order_are_told(sound: tuple[Model, tuple[Step, ...]]) -> None:
    """Turned round, everything but the first is too early: working before cutting, closing before working, screwing before closing."""
    model, steps = sound
    found = [fault for fault in faults(model, steps[::-1]) if fault.code == EARLY]
    said = " ".join(fault.what for fault in found)
    assert "cutting `left`" in said and "dado in `left`" in said and "closing the joint of `shelf` and `left`" in said


def test_the_plans_own_steps_are_told_with_both_numbers() -> None:
    (one,) = told('step "Cut all"\n  cuts left, right, shelf\nstep "Cut the shelf"\n  cuts shelf\n')
    assert one[0] == DOUBLE and "step 2 (`Cut the shelf`) does again: cutting `shelf`" in one[1] and "step 1 (`Cut all`) does it already" in one[2]
    twice = 'step "Glue"\n  joins left, right, shelf\nstep "Screws"\n  joins left, right, shelf\n'
    assert not told(twice)  # what names parts again that are joined already drives their screws
    (two,) = told(twice + 'step "Glue again"\n  joins left, shelf\n')
    assert two[0] == DOUBLE and "closing the joint of `shelf` and `left`" in two[1]
    found = told('step "Handle"\n  fits handle\nstep "Handle again"\n  fits handle\n')
    assert [row[0] for row in found] == [DOUBLE] and "fitting" in found[0][1]
    found = told('step "Dadoes"\n  makes left\nstep "Dadoes again"\n  makes left\n')
    assert [row[0] for row in found] == [DOUBLE] and "dado in `left`" in found[0][1]


def test_a_step_that_uses_what_a_later_one_makes_is_an_error() -> None:
    found = told('step "Glue"\n  joins left, right, shelf\nstep "Cut the shelf"\n  cuts shelf\n')
    assert found and {row[0] for row in found} == {EARLY}
    assert any("(`Glue`) comes before cutting `shelf`" in row[1] and "(`Cut the shelf`) does that" in row[2] for row in found)
    found = told('step "Glue"\n  joins left, right, shelf\nstep "Dadoes"\n  makes left\n')
    assert found and {row[0] for row in found} == {EARLY} and any("comes before dado in `left`" in row[1] for row in found)
    assert not case('step "Cut"\n  cuts left, right, shelf\nstep "Dadoes"\n  makes left, right\nstep "Glue"\n  joins left, right, shelf\n').diagnostics


FRAME = '''plan "Frame"
stock birch sheet 48" x 96"
  called 3/4"
part left_side from birch
  grain up
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part right_side from birch
  grain up
  across from 20"
  back from 0 to 10"
  up from 0 to 30"
part shelf from birch
  grain across
  across between left_side and right_side
  back from 0 to 10"
  up from 12"
joint dado shelf into left_side, right_side deep 1/4"
'''
SHOPS = {
    "mitre_saw_only.shop": 'shop "Shed"\n  mitre_saw crosscut 6" deep 3" kerf 1/8"\n',
    "club.shop": 'shop "Club"\n  table_saw rip 50" crosscut 20" deep 4" kerf 1/8" heavy 900 lb\n  track_saw long 140" deep 4" kerf 2.2 mm\n',
}


@pytest.mark.parametrize("code", [DOUBLE, EARLY, "PD366", "PD367"])
def test_the_lines_of_the_explanations_bring_it_about(code: str) -> None:
    """Of missing work none can be shown: generated steps do what the plan's own leave open."""

    def codes(lines: str) -> set[str]:
        text = lines if lines.startswith("plan ") else FRAME + lines + "\n"
        return {d.code for d in check("trial.plan", MemoryWorld({"trial.plan": text, **SHOPS})).diagnostics}

    assert codes(CODES[code].wrong) == {code} and not codes(CODES[code].right)


def test_the_lines_of_missing_work_are_sound_plans() -> None:
    for lines in (CODES[MISSING].wrong, CODES[MISSING].right):
        assert not check("trial.plan", MemoryWorld({"trial.plan": FRAME + lines + "\n"})).diagnostics
