"""General notes: every sign and abbreviation that the drawings print is explained, and no other."""

from __future__ import annotations

import re

import pytest

from plandoc.pipeline import check
from plandoc.sheets.notes import compose as notes
from plandoc.sheets.notes import signs_in_use
from plandoc.sheets.parts import compose
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import context, texts

SHELF = """plan "Shelf"
  units mm to 0.5
stock board lumber 25 mm
  measured 20 mm
hardware screw8 screw No 8 "Flat-head screw" long 50 mm
part side from board
  grain up
  across from 0
  back from 0 for 200 mm
  up from 0 to 400 mm
part shelf from board
  grain across
  across from side.right for 300 mm
  back from 0 for 200 mm
  up from 100 mm
"""
PLAIN = "joint butt shelf into side\n"
SCREWED = PLAIN + "  with screw8 every 100 mm ends 50 mm\n"
PLUGGED = SCREWED.replace("butt", "screw").replace("50 mm\n", "50 mm plugged 6 mm\n")


@pytest.mark.parametrize(("joint", "signs"), [(PLAIN, set()), (SCREWED, {"CSK"}), (PLUGGED, {"CBORE"})], ids=["plain", "screwed", "plugged"])
def test_abbreviations_of_screw_heads_are_explained_where_they_are_printed(joint: str, signs: set[str]) -> None:
    found = check("s.plan", MemoryWorld({"s.plan": SHELF + joint}))
    assert found.good, found.diagnostics
    printed = " ".join(t for d in compose(context(found.model, style="shop-metric")) for t in texts(d.items))
    assert {w for w in re.findall(r"[A-Z]+", printed) if w in ("CSK", "CBORE", "CTSK")} == signs
    assert {sign for sign, _ in signs_in_use(found.model)} & {"CSK", "CBORE"} == signs


@pytest.mark.parametrize(("joint", "told"), [(PLAIN, True), ("", False)], ids=["joined", "alone"])
def test_the_arrow_of_step_pictures_is_explained(joint: str, told: bool) -> None:
    found = check("s.plan", MemoryWorld({"s.plan": SHELF + joint}))
    words = " ".join(t for d in notes(context(found.model, style="shop-metric", kind="notes")) for t in texts(d.items))
    assert ("way that a part goes in (step pictures)" in words) == told
