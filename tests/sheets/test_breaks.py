"""Breaks of long parts: where they may lie, that they are drawn only where details gain by them, true figures across them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.drawing.boxes import grown, item_extent, line_segments, segment_meets_box
from plandoc.drawing.display import Text, walk
from plandoc.drawing.draft import Draft
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.sheets.partbreaks import GAP, LEAST_SAVED, MARGIN, Stretch, plain_stretch
from plandoc.sheets.parts import compose, part_drawings
from plandoc.sheets.partviews import plan_part
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts

RAIL = """plan "Rail"
  units mm to 0.5
  sheets A4 landscape
  style "shop-metric"
stock larch batten 45 mm x 70 mm "Larch"
part rail from larch "Rail"
  grain  across
  across from 0 for {long} mm
  back   from 0 for 45 mm
  up     from 0 for 70 mm
"""
ENDS = ("  hole 6 mm deep 20 mm on front at 20 mm, 35 mm", "  hole 6 mm deep 20 mm on front at 1480 mm, 35 mm")


def rail(*work: str, long: int = 1500) -> Model:
    """One long rail with work on it."""
    checked = check("rail.plan", MemoryWorld({"rail.plan": RAIL.format(long=long) + "\n".join(work) + "\n"}))
    assert checked.good
    return checked.model


def broken(drafts: tuple[Draft, ...]) -> dict[str, str]:
    """Of the views that are broken, by id, what they leave out."""
    return {v.id: attr(v, "break") for d in drafts for v in groups(d.items, "view") if "break" in dict(v.attrs)}


def test_a_long_rail_with_small_work_at_its_ends_is_broken_and_prints_larger() -> None:
    ctx = context(rail(*ENDS))
    (drawing,) = part_drawings(ctx)
    assert drawing.scales[0] < drawing.scales[1]
    drafts = compose(ctx)
    (scale,) = drafts[0].scales
    assert scale > drawing.scales[0]
    assert float(6 * scale) >= 2.5  # the bores can be read now
    (view,) = (v for v in groups(drafts[0].items, "view") if v.id == "A-main")
    axis, lo, hi = attr(view, "break").split()
    assert axis == "x" and 20 < float(lo) < float(hi) < 1480
    assert float(lo) - 20 >= MARGIN / float(scale) - 0.01 and 1480 - float(hi) >= MARGIN / float(scale) - 0.01
    xs = [x for line in view.items if getattr(line, "role", "") == "vis" for x, _ in line.points]  # type: ignore[union-attr]
    assert max(xs) - min(xs) == pytest.approx((1500 - (float(hi) - float(lo))) * float(scale) + GAP, abs=0.01)
    breaks = sorted(line.points[0][0] for line in lines(view.items, "brk"))
    assert len(breaks) == 2 and breaks[1] - breaks[0] == pytest.approx(GAP, abs=0.01)
    assert not any(breaks[0] < x < breaks[1] for x in xs)  # nothing is drawn in the gap
    overall = [g for g in groups(view.items, "dimension") if attr(g, "kind") == "overall" and attr(g, "axis") == "x"]
    assert [texts(g.items) for g in overall] == [["1500"]]  # the true length, over an unbroken dimension line
    assert findings(drafts, ctx) == [] and inside(drafts, ctx)


@pytest.mark.parametrize(
    "work",
    [
        (*ENDS, "  hole 6 mm deep 20 mm on front at 520 mm, 35 mm", "  hole 6 mm deep 20 mm on front at 990 mm, 35 mm"),
        tuple(f"  hole 6 mm deep 20 mm on front at {20 + 100 * n} mm, 35 mm" for n in range(15)),
    ],
    ids=["thirds", "row"],
)
def test_wood_with_work_in_it_is_not_broken_away(work: tuple[str, ...]) -> None:
    model = rail(*work)
    stretch = plain_stretch(plan_part(model.parts[0]))
    assert stretch is None or all(not stretch.lo < f.centre[0] < stretch.hi for f in model.parts[0].features if f.centre)
    for attrs in broken(compose(context(model))).values():
        _, lo, hi = attrs.split()
        assert not any(Fraction(lo) <= f.centre[0] <= Fraction(hi) for f in model.parts[0].features if f.centre)


def test_a_rail_whose_work_prints_large_enough_is_drawn_whole() -> None:
    assert broken(compose(context(rail(long=1500)))) == {}  # nothing to be read at a larger scale
    assert broken(compose(context(rail("  hole 6 mm deep 20 mm on front at 20 mm, 35 mm", long=180)))) == {}


def test_what_a_break_leaves_out_depends_on_the_scale() -> None:
    stretch = Stretch(0, Fraction(100), Fraction(900))
    left = stretch.broken(Fraction(1, 2))
    assert left is not None and [float(left.lo), float(left.hi)] == [100 + 2 * MARGIN, 900 - 2 * MARGIN]
    assert left.saved(Fraction(1, 2)) == pytest.approx((800 - 4 * MARGIN) / 2 - GAP)
    assert stretch.broken(Fraction(1, 20)) is None and 800 / 20 - 2 * MARGIN - GAP < LEAST_SAVED


def test_figures_keep_clear_of_break_lines() -> None:
    """The true length in stacked fractions stands over its line where the break lines come out of the outline."""
    text = RAIL.replace("mm to 0.5", "inch to 1/32").replace("A4", "letter").replace("shop-metric", "shop-inch")
    plan = text.format(long=1500).replace("1500 mm", '59 1/16"') + "".join(f"  hole 6 mm deep 20 mm on {end} at 20 mm, 35 mm\n" for end in ("left", "right"))
    checked = check("rail.plan", MemoryWorld({"rail.plan": plan}))
    assert checked.good
    drafts = compose(context(checked.model))
    assert broken(drafts)
    for draft in drafts:
        for view in groups(draft.items, "view"):
            letters = [e for i in walk(tuple(groups(view.items, "dimension"))) if isinstance(i, Text) and (e := item_extent(i)) is not None]
            breaks = [segment for line in lines(view.items, "brk") for segment in line_segments(line)]
            assert not any(segment_meets_box(*s, grown(box, 0.5)) for s in breaks for box in letters), view.id
