"""Every example compiles without a warning."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plandoc.diagnostics import render_text
from plandoc.pipeline import check
from plandoc.vocabulary import all_kinds
from plandoc.world import DiskWorld

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANS = [p for p in sorted(EXAMPLES.glob("*/*.plan")) if p.stem == p.parent.name]


def test_there_are_examples() -> None:
    assert [p.stem for p in PLANS] == sorted(p.name for p in EXAMPLES.iterdir() if p.is_dir())


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.stem)
def test_compiles_silently(plan: Path) -> None:
    checked = check(plan.name, DiskWorld(plan.parent))
    assert render_text(checked.diagnostics, checked.sources) == ""
    assert checked.good


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.stem)
def test_stands_in_the_table(plan: Path) -> None:
    table = (EXAMPLES / "README.md").read_text(encoding="utf-8")
    assert f"({plan.parent.name}/{plan.name})" in table


JOINTS = {"butt", "box", "dado", "dovetail", "edge", "groove", "lap", "mitre", "rabbet-dado", "tenon", "tongue"}
WORK = {"arch", "bevel", "chamfer", "compound", "cutout", "hole", "letter", "mitre", "round", "slot", "taper"}


def test_the_solid_wood_examples_show_their_kinds() -> None:
    """Every joint and every work that the six pieces stand for is in one of their models, its words in one of their lines."""
    names = ("lookout-table", "compass-box", "hive-tote", "reading-stool", "trellis-kit", "tide-board")
    texts = [(EXAMPLES / name / f"{name}.plan").read_text(encoding="utf-8") for name in names]
    models = [check(f"{name}.plan", DiskWorld(EXAMPLES / name)).model for name in names]
    assert {joint.kind for model in models for joint in model.joints} >= JOINTS
    lines = [line.split() for text in texts for line in text.splitlines()]
    assert {words[0] for words in lines if words} >= WORK
    said = {word for words in lines for word in words}
    assert said >= {"haunched", "pegged", "keyed", "through", "half_blind", "spline", "countersunk", "leans", "trimmed", "swings", "glued", "allowance"}


def test_the_examples_together_use_every_kind_and_every_ready_assembly() -> None:
    """Every joint, every work on a part, every hardware, every file of the library stands in an example."""
    kinds = all_kinds()
    models = [check(p.name, DiskWorld(p.parent)).model for p in PLANS]
    texts = [p.read_text(encoding="utf-8") for p in PLANS]
    assert {joint.kind for model in models for joint in model.joints} == set(kinds.joints)
    used = {item.name: item.kind for model in models for item in model.hardware}
    wanted = {f.item for model in models for f in model.fittings} | {f.item for m in models for j in m.joints for f in j.fasteners}
    assert {used[name] for name in wanted if name in used} == set(kinds.hardware)
    words = {line.split()[0] for text in texts for line in text.splitlines() if line.split() and line.startswith(" ")}
    assert set(kinds.shapes) <= words
    # Every file of ready assemblies is used by one that is placed, not by an include alone.
    placed = {a.definition for model in models for a in model.assemblies}
    library = {p.stem: set(re.findall(r"^assembly (\w+)", p.read_text(encoding="utf-8"), re.MULTILINE)) for p in (EXAMPLES.parent / "plandoc" / "library").glob("*.plan")}
    assert {name for name, assemblies in library.items() if not assemblies} == {"hardware", "words"}
    assert [name for name, assemblies in library.items() if assemblies and name not in placed] == []
    assert any('include "library/hardware.plan"' in text for text in texts)
