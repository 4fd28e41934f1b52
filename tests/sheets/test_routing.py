"""Routing set-ups: the picture of each routed face is a view with a title and a scale of the list."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from plandoc.drawing.scales import listed_scales
from plandoc.pipeline import check
from plandoc.sheets.routing import compose
from plandoc.world import DiskWorld
from tests.support.sheet_ctx import attr, context, findings, groups, inside, texts

EXAMPLE = Path(__file__).parents[2] / "examples" / "bit-tray"


def test_each_face_is_a_view_with_title_and_scale() -> None:
    model = check("bit-tray.plan", DiskWorld(EXAMPLE)).model
    ctx = context(model, paper="A3", style="shop-metric")
    drafts = compose(ctx)
    assert findings(drafts, ctx) == [] and inside(drafts, ctx)
    told = []
    for draft in drafts:
        (view,) = groups(draft.items, "view")
        paper, real = (int(n) for n in attr(view, "scale").split(":"))
        assert draft.scales == (Fraction(paper, real),) and Fraction(paper, real) in listed_scales(model.info.units)
        told.append((attr(view, "part"), attr(view, "proj"), *(t for t in texts(view.items) if t.endswith(" UP") or t.startswith("SCALE"))))
    assert told == [("tray", "top", "TOP UP", "SCALE 1:2"), ("handle", "front", "FRONT UP", "SCALE 1:5")]
