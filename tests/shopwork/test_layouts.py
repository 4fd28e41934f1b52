"""Cutting layouts of whole plans: every part once, inside the sheet, a kerf apart; grain; the same answer twice."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from plandoc.cutting.verify import faults_of
from plandoc.pipeline import check
from plandoc.shopwork.layouts import cutouts, layouts, sawn_size, sheets_of
from plandoc.shopwork.names import mark_of
from plandoc.world import DiskWorld, MemoryWorld

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANS = ("bench-shelf/bench-shelf.plan", "eyepiece-cabinet/eyepiece-cabinet.plan")


@pytest.mark.parametrize("plan", PLANS)
def test_every_sheet_part_is_cut_once(plan: str) -> None:
    path = EXAMPLES / plan
    model = check(path.name, DiskWorld(path.parent)).model
    found = layouts(model)
    assert found and found == layouts(model)
    for one in found:
        assert one.sheets is not None
        parts = [p for p in model.parts if p.stock.name == one.stock.name]
        assert faults_of(one.sheets, cutouts(one.stock, parts), sheets_of(one.stock), one.saw) == []
        cut = Counter((p.part, p.length, p.width) for s in one.sheets.sheets for p in s.placed)
        assert cut == Counter((mark_of(p), *sawn_size(p)) for p in parts)


def test_a_part_longer_than_its_sheet_is_told() -> None:
    text = 'plan "Wide"\nstock low_ply sheet 24" x 48" "1/2 plywood"\n  called 1/2"\npart wide from low_ply\n  grain across\n  across from 0 to 60"\n  back from 0 to 1/2"\n  up from 40" to 50"\n'
    checked = check("p.plan", MemoryWorld({"p.plan": text}))
    told = [d for d in checked.diagnostics if d.code == "PD364"]
    assert len(told) == 1 and '10" x 60"' in told[0].message and '24" x 48"' in told[0].message
    assert not layouts(checked.model)[0].sheets.sheets  # type: ignore[union-attr]
