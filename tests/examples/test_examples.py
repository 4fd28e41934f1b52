"""Every example compiles without a warning."""

from __future__ import annotations

from pathlib import Path

import pytest

from plandoc.diagnostics import render_text
from plandoc.pipeline import check
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
