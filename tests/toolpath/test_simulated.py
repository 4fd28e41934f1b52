"""Tool paths run by a simulator: what is cut away is the design within the bit's radius, and nothing else is touched."""

from __future__ import annotations

from pathlib import Path

import pytest

from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.publish.gcode import toolpath_files
from plandoc.world import MemoryWorld
from tests.support.resolving import HEAD
from tests.support.routed import simulated
from tests.support.router_simulator import Blank, Fault, read

EXAMPLES = Path(__file__).parents[2] / "examples"
BOARD = """
part seat from ply "Seat"
  grain   across
  across  from 0 to 240 mm
  back    from 0 to 160 mm
  up      from 0
"""
FORMS = {
    "round": "pocket round 44 mm deep 8 mm on top at 100 mm, 80 mm",
    "cornered": "pocket 60 mm x 30 mm deep 7 mm on top at 100 mm, 80 mm",
    "round corners": "pocket 60 mm x 30 mm deep 7 mm radius 8 mm on top at 100 mm, 80 mm",
    "stepped": "pocket round 60 mm deep 5 mm on top at 100 mm, 80 mm\n    step round 30 mm deep 12 mm\n    finger 18 mm to front",
    "ring": "pocket round 60 mm deep 4 mm on top at 100 mm, 80 mm\n    step round 50 mm core 25 mm deep 9 mm",
    "free": "pocket deep 6 mm on top\n    start 40 mm, 40 mm\n    line to 170 mm, 40 mm\n    line to 150 mm, 90 mm\n    arc  to 130 mm, 110 mm radius 20 mm turning left\n    line to 60 mm, 110 mm",
    "slot": "slot 6 mm x 50 mm deep 5 mm on top at 100 mm, 80 mm lies across",
    "slot through": "slot 9 mm x 50 mm through on top at 100 mm, 80 mm lies back",
    "cut-out": "cutout 100 mm x 60 mm radius 10 mm on top at 120 mm, 80 mm",
    "open cut-out": "cutout 60 mm x 60 mm on top at 120 mm, 20 mm",
    "small holes": "hole 8 mm through on top at 60 mm, 60 mm\n  hole 7 mm deep 10 mm on top at 120 mm, 60 mm",
    "hole as wide as the bit": "hole 6 mm deep 10 mm on top at 60 mm, 60 mm\n  hole 6 mm through on top at 120 mm, 60 mm",
    "notch": "notch 40 mm x 30 mm at right, rear",
    "two": "pocket round 30 mm deep 5 mm on top at 60 mm, 80 mm\n  pocket round 30 mm deep 7 mm on bottom at 160 mm, 80 mm",
}


def sound(plan: str) -> Model:
    checked = check("t.plan", MemoryWorld({"t.plan": plan}))
    assert not checked.diagnostics
    return checked.model


def routed(form: str, line: str = "routed seat with bit 6 mm") -> Model:
    return sound(HEAD + BOARD + f"  {form}\n{line}\n")


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_each_form_is_cut_as_it_is_drawn(form: str) -> None:
    outcomes = simulated(routed(form))
    assert outcomes
    for outcome in outcomes:
        assert not outcome.routing.result.left
        assert outcome.tabs == len(outcome.routing.result.tabs)  # as many ridges stand as tabs were planned
        # a square corner keeps what a bit of 3 mm radius leaves of it: (1 - pi / 4) r2, eight corners at most
        assert outcome.left < 8 * 2.2


def test_an_opening_leaves_tabs_and_arcs_are_arcs() -> None:
    (outcome,) = simulated(routed(FORMS["cut-out"]))
    assert outcome.tabs == 2
    assert outcome.reads[0].arcs > 20


def test_the_outline_is_cut_last_out_of_a_larger_blank() -> None:
    (outcome,) = simulated(routed(FORMS["round"], "routed seat with bit 6 mm\n  larger blank"))
    assert outcome.tabs == len(outcome.routing.result.tabs) >= 4
    assert outcome.routing.result.programs[-1].stages[-1].what == "outline"


def test_a_plunge_is_pecked_in_its_hole_only() -> None:
    """The hole as wide as the bit is entered straight down by half the bit at a time; the simulator refuses more, or that anywhere else."""
    (text,) = toolpath_files(routed(FORMS["hole as wide as the bit"])).values()
    places = [(60.0, 60.0), (120.0, 60.0)]
    Blank(0, 0, 240, 160).run(text, 6.0, 20.0, plunges=places)
    with pytest.raises(Fault, match="steeply"):
        Blank(0, 0, 240, 160).run(text, 6.0, 20.0, plunges=places[:1])
    deep = "G17 G21 G90\nG0 Z20.000\nS16000 M3\nG0 X60.000 Y60.000\nG1 Z-4.000 F500.0\nG0 Z20.000\nM5\nM2\n"
    with pytest.raises(Fault, match="plunges by 4"):
        Blank(0, 0, 240, 160).run(deep, 6.0, 20.0, plunges=places)


def test_several_bits_and_a_drill() -> None:
    form = FORMS["stepped"] + "\n  slot 6 mm x 40 mm deep 5 mm on top at 180 mm, 80 mm lies back\n  hole 5 mm deep 12 mm on top at 30 mm, 30 mm"
    (outcome,) = simulated(routed(form, "routed seat with bits 6 mm, 12 mm\n  drills 5 mm"))
    assert [(p.kind, p.diameter) for p in outcome.routing.result.programs] == [("drill", 5.0), ("bit", 12.0), ("bit", 6.0)]


@pytest.mark.parametrize(
    ("name", "line", "tabs"),
    [
        ("bit-tray", "", 8),
        ("eyepiece-cabinet", '\nrouted tray[1].blank, tray[5].blank with bit 1/4"\n', 0),
    ],
)
def test_trays_of_the_examples(name: str, line: str, tabs: int) -> None:
    folder = EXAMPLES / name
    files = {p.name: p.read_text(encoding="utf-8") for p in folder.glob("*.plan")}
    files[f"{name}.plan"] += line
    checked = check(f"{name}.plan", MemoryWorld(files))
    assert checked.good
    outcomes = simulated(checked.model)
    assert len(outcomes) == 2
    assert [o.tabs for o in outcomes] == [len(o.routing.result.tabs) for o in outcomes]
    assert sum(o.tabs for o in outcomes) == tabs


def test_inches_have_four_decimals_and_the_text_is_the_same_each_time() -> None:
    plan = HEAD.replace("units mm to 0.1", "units inch to 1/32") + BOARD + f'  {FORMS["round"]}\nrouted seat with bit 1/4"\n'
    first, second = toolpath_files(sound(plan)), toolpath_files(sound(plan))
    assert first == second
    ((name, text),) = first.items()
    assert name == "toolpaths/A-top-1-bit-6.35mm.ngc"
    assert "G17 G20 G90\nG0 Z0.7874\nS16000 M3\n" in text
    assert text.endswith("M5\nG0 X0.0000 Y0.0000\nM2\n")


def test_nothing_is_made_unless_the_plan_asks() -> None:
    assert toolpath_files(routed(FORMS["round"], "")) == {}


def codes(text: str) -> list[str]:
    return [d.code for d in check("t.plan", MemoryWorld({"t.plan": text})).diagnostics]


def test_clamps_in_the_way_are_told() -> None:
    plan = HEAD + BOARD + f"  {FORMS['round']}\nrouted seat with bit 6 mm\n  clamps "
    assert codes(plan + "90 mm at left\n") == ["PD354"]
    assert codes(plan + "20 mm at left, rear\n") == []


def test_work_that_no_bit_reaches_is_told() -> None:
    plan = HEAD + BOARD + f"  {FORMS['small holes']}\nrouted seat with bit "
    assert codes(plan + "7.5 mm\n") == ["PD355"]
    assert codes(plan + "7.5 mm\n  drills 7 mm\n") == []
    plan = HEAD + BOARD + f"  {FORMS['round']}\nrouted seat with bit 6 mm on "
    assert codes(plan + "bottom\n") == ["PD355"]


NECK = """pocket deep 6 mm on top
    start 40 mm, 40 mm
    line to 80 mm, 40 mm
    line to 80 mm, 59 mm
    line to {far} mm, 59 mm
    line to {far} mm, 40 mm
    line to 140 mm, 40 mm
    line to 140 mm, 80 mm
    line to {far} mm, 80 mm
    line to {far} mm, {high} mm
    line to 80 mm, {high} mm
    line to 80 mm, 80 mm
    line to 40 mm, 80 mm"""


@pytest.mark.parametrize(("far", "high", "told"), [(83, 61, True), (83, 64, True), (90, 61, True), (83, 66, False)])
def test_a_neck_that_the_bit_cannot_enter_is_told(far: int, high: int, told: bool) -> None:
    """Two rooms of a pocket with a neck of 2, 5 or 7 mm between them, 3 or 10 mm long: a bit of 6 mm goes through the last only."""
    plan = HEAD + BOARD + "  " + NECK.format(far=far, high=high) + "\nrouted seat with bit 6 mm\n"
    assert codes(plan) == (["PD355"] if told else [])
    if not told:
        simulated(sound(plan))


def test_the_simulator_sees_faults() -> None:
    """What it is there for: words that are not allowed, a dive into wood, a travel too low, a clamp in the way."""
    head = "G17 G21 G90\nG0 Z20.000\nS16000 M3\nG0 X10.000 Y10.000\n"
    tail = "G0 Z20.000\nM5\nM2\n"
    good = head + "G1 Z0.000 F500.0\nG1 X60.000 Z-2.000\nG1 X10.000\n" + tail
    assert read(good).blocks == 6
    with pytest.raises(Fault, match="G81"):
        read(good.replace("G17", "G81"))
    with pytest.raises(Fault, match="decimals"):
        read(good.replace("X60.000", "X60.0"))
    for text, words in (
        (head + "G1 Z-3.000 F500.0\n" + tail, "steeply"),
        (head + "G1 Z0.000 F500.0\nG0 X30.000\n" + tail, "travels"),
        (head + "G0 Z-1.000\n" + tail, "falls"),
    ):
        with pytest.raises(Fault, match=words):
            Blank(0, 0, 80, 40).run(text, 6.0, 20.0)
    with pytest.raises(Fault, match="clamp"):
        Blank(0, 0, 80, 40).run(good, 6.0, 20.0, [(30.0, 0.0, 40.0, 8.0)])


