"""The safety sheet names the machines in use, with their steps, and no other machine."""

from __future__ import annotations

from dataclasses import replace

from plandoc.model.entities import Step
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.safety import safety_notes
from plandoc.shopwork.trade import machines_in
from plandoc.tables import machine_named, machines, operation
from tests.support.sample_model import sample_case
from tests.support.tray_model import tray_case


def test_only_machines_in_use_are_listed() -> None:
    model = tray_case()
    notes = safety_notes(model, procedure(model))
    keys = [row.machine.key for row in notes.machines]
    assert "table_saw" in keys and "drill_press" in keys and "jointer" in keys and "mitre_saw" in keys  # its boards are crosscut there
    for absent in ("band_saw", "router", "router_table"):
        assert absent not in keys
    assert len(keys) == len(set(keys)) < len(machines())


def test_a_machine_leaves_with_its_last_step() -> None:
    steps = tuple(s for s in procedure(replace(sample_case(), steps=())) if "notches" not in s.title)
    assert "band_saw" not in [row.machine.key for row in safety_notes(sample_case(), steps).machines]
    with_saw = procedure(sample_case())
    (row,) = [r for r in safety_notes(sample_case(), with_saw).machines if r.machine.key == "band_saw"]
    assert [with_saw[n - 1].title for n in row.steps] == ["Cut the notches"]


def test_a_machine_that_only_the_authors_tools_name_is_listed() -> None:
    own = Step(1, "Shape the edge", tools=("router table",))
    model = replace(sample_case(), steps=(own,))
    steps = procedure(model)
    (row,) = [r for r in safety_notes(model, steps).machines if r.machine.key == "router_table"]
    assert row.steps == tuple(s.number for s in steps if s.title == "Shape the edge")


def test_cautions_of_the_operations_stand_under_their_machine_with_sources() -> None:
    model = sample_case()
    notes = safety_notes(model, procedure(model))
    (saw,) = [row for row in notes.machines if row.machine.key == "table_saw"]
    texts = [c.text for c in saw.cautions]
    assert any("dado insert" in text for text in texts)
    assert len(texts) == len(set(texts))
    assert any(c.source == "29 CFR 1910.213(c)(1)" for c in saw.cautions)


def test_protection_heavy_sheets_and_deferral() -> None:
    model = sample_case()
    steps = procedure(model)
    notes = safety_notes(model, steps)
    wear = dict(notes.protective)
    assert "push stick" in wear
    assert all(steps[n - 1].kinds for n in wear["hearing protection"])
    # 48 x 96 x 23/32 in of birch plywood at 670 kg/m3 is 0.05428 m3, 36.4 kg; the 7/32 in sheet is 11 kg.
    assert notes.heavy == (
        "A full sheet of 3/4\" birch plywood weighs about 36 kg (80 lb): two people, or break it down where it lies.",
    )
    assert any("manual" in line and "Local codes" in line for line in notes.deferral)


def test_no_steps_no_machines() -> None:
    notes = safety_notes(sample_case(), ())
    assert notes.machines == () and notes.protective == () and notes.general == ()


def test_a_dry_fit_takes_no_gloves_for_glue() -> None:
    """Its clamps come without glue; what is glued up keeps them."""
    steps = procedure(replace(tray_case(), steps=()))
    worn = dict(safety_notes(tray_case(), steps).protective)["gloves for epoxy and polyurethane glues"]
    dry = [step.number for step in steps if step.kinds == ("dry_fit",)]
    glued = [step.number for step in steps if "glue_up" in step.kinds]
    assert dry and glued and not set(dry) & set(worn) and set(glued) <= set(worn)


def test_paper_is_no_sander_and_a_shoulder_plane_is_a_hand_tool() -> None:
    own = Step(1, "Ease the edges", tools=("abrasive paper", "block plane"), kinds=("edge_easing",))
    trim = Step(2, "Trim the tenons", tools=("shoulder plane",))
    model = replace(sample_case(), steps=(own, trim))
    steps = procedure(model)
    on = {s.title: [m.key for m in machines_in(s)] for s in steps}
    assert "sander" not in on["Ease the edges"] and "abrasives" in on["Ease the edges"]
    assert "hand_tools" in on["Trim the tenons"]


def test_a_taper_jig_is_no_glue_up() -> None:
    """Its hold-downs are not the clamps of a glue-up: no gloves against glue, no entry under that machine."""
    named = [found.key for tool in operation("tapering").tools if (found := machine_named(tool)) is not None]
    assert "clamps" not in named
