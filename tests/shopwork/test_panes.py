"""Glass and mirrors: ordered to size, set dry, not worked in the shop, and replaceable."""

from __future__ import annotations

from plandoc.model.entities import Model, Step
from plandoc.model.unglued import dry
from plandoc.pipeline import check
from plandoc.shopwork.buying import to_buy
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.procedure import procedure, uncovered
from plandoc.world import MemoryWorld

HEAD = """plan "Frame"
  units mm
  allowance long 20 mm, wide 5 mm
stock ash lumber 25 mm "Ash"
  dressed 18 mm
stock pane sheet 600 mm x 900 mm "{what}"
  called 4 mm
  grain none
  allowance long 10 mm
part stile_l from ash
  grain up
  across from 0 for 45 mm
  back from 0
  up from 0 to 560 mm
part stile_r mirrors stile_l about 210 mm
part rail_t from ash
  grain across
  across between stile_l and stile_r
  back from 0
  up to 560 mm for 65 mm
part rail_b mirrors rail_t about up 280 mm
joint tenon rail_t, rail_b into stile_l, stile_r deep 20 mm sized 6 mm x {tenon}
part glass from pane "Glass"
  grain up
  across between stile_l and stile_r
  back to stile_l.rear{inset}
  up between rail_b and rail_t
{work}joint {kind} glass into stile_l, stile_r, rail_t, rail_b deep 8 mm{room}
"""


def frame(kind: str = "rabbet", what: str = "Clear float glass", work: str = "") -> tuple[Model, list[str]]:
    """The frame, held in rabbets or in grooves; the haunches of the tenons fill the grooves of the stiles."""
    inset, room, tenon = (" - 8 mm", " clearance 1 mm", "40 mm  haunched 12 mm x 8 mm") if kind == "groove" else ("", "", "30 mm")
    checked = check("p.plan", MemoryWorld({"p.plan": HEAD.format(kind=kind, what=what, work=work, inset=inset, room=room, tenon=tenon)}))
    assert checked.good, checked.diagnostics
    return checked.model, [f"{d.code} {d.message}" for d in checked.diagnostics]


def steps_of(model: Model) -> tuple[Step, ...]:
    steps = procedure(model)
    assert uncovered(model, steps) == ()
    return steps


def test_it_is_ordered_in_its_size() -> None:
    """The light is 420 - 2 × 45 = 330 wide and 560 - 2 × 65 = 430 high, and the pane enters 8 on each side. No allowance, whatever the plan or its stock says."""
    model, told = frame()
    assert told == []
    assert [found.stock.name for found in layouts(model)] == ["ash"]
    (row,) = [row for row in to_buy(model) if row.stock == "pane"]
    assert row.buy == "ordered to size: 446 × 346, 1 piece"
    (order,) = [step for step in steps_of(model) if "Order" in step.title]
    assert order.title == "Order the 4 mm Clear float glass" and order.kinds == ("ordering",) and "table saw" not in order.tools
    assert any("seamed edges" in text for text in order.texts) and any(text.endswith(": 446 mm × 346 mm, 1 piece.") for text in order.texts)
    assert any("gloves and eye protection" in caution for caution in order.cautions)


def test_a_panel_of_plywood_is_sawn() -> None:
    model, _ = frame(what="Birch plywood")
    assert [found.stock.name for found in layouts(model)] == ["ash", "pane"]
    assert not any("Order" in step.title for step in steps_of(model))


def test_it_is_set_dry() -> None:
    model, _ = frame()
    own = [joint for joint in model.joints if joint.a == "glass"]
    assert own and all(dry(model, joint) for joint in own)
    steps = steps_of(model)
    (setting,) = [step for step in steps if any("so that it can be replaced" in text for text in step.texts)]
    said = " ".join((setting.title, *setting.texts))
    assert "Glue" not in said and "Clamp" not in said and "move" not in said and not setting.waits and not setting.glue
    assert "set it dry, in beads or silicone, so that it can be replaced" in said
    assert steps.index(setting) > max(n for n, step in enumerate(steps) if step.title.startswith("Glue up"))


def test_grooves_all_round_shut_it_in() -> None:
    _, told = frame("groove")
    assert told == ["PD357 `glass` is shut in by grooves on 4 sides: it cannot be replaced when it breaks"]
    assert frame("groove", what="Birch plywood")[1] == []


def test_work_on_it_is_told_and_not_a_step() -> None:
    hole = "  hole 6 mm through on front at 100 mm, 100 mm\n"
    model, told = frame(work=hole)
    assert told == ["PD356 the hole of glass is work on Clear float glass, which is ordered cut to size"]
    steps = steps_of(model)
    assert not any("Drill" in step.title for step in steps)
    assert any("With the work that the drawing shows: Glass" in text for step in steps for text in step.texts)
    model, told = frame(work="  round 20 mm on front corner left, top\n")
    assert told == []
    assert frame(what="Birch plywood", work=hole)[1] == []
