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
