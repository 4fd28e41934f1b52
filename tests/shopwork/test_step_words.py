"""What steps say of planed boards, screws with glue, keys, plywood panels, names of units and hardware."""

from __future__ import annotations

from pathlib import Path

from plandoc.model.entities import Step
from plandoc.pipeline import check
from plandoc.shopwork.procedure import procedure
from plandoc.world import DiskWorld, MemoryWorld

ROOT = Path(__file__).parents[2]
HEAD = """plan "Trial"
  units mm to 0.5
stock ply sheet 1250 mm x 2500 mm
  called 18 mm
stock thin sheet 1250 mm x 2500 mm
  called 6 mm
stock oak lumber 25 mm
  measured 20 mm
hardware screw6 screw No 6 long 40 mm
"""


def steps_of(text: str) -> tuple[Step, ...]:
    checked = check("trial.plan", MemoryWorld({"trial.plan": HEAD + text}))
    assert checked.good, checked.diagnostics
    return procedure(checked.model)


def example(name: str) -> tuple[Step, ...]:
    return procedure(check(f"{name}.plan", DiskWorld(ROOT / "examples" / name)).model)


def titled(steps: tuple[Step, ...], words: str) -> Step:
    (found,) = [step for step in steps if step.title.startswith(words)]
    return found


PAIR = """part left from oak "Left"
  grain up
  across from 0
  back from 0 for 80 mm
  up from 0 to 400 mm
part right mirrors left about 300 mm "Right"
part rail from oak "Rail"
  grain across
  across between left and right
  back from 0 for 80 mm
  up from 100 mm
"""
FRAME = """part stile[1] from oak "Stile"
  grain up
  across from 0 for 60 mm
  back from 0
  up from 0 to 500 mm
part stile[2] from oak "Stile"
  grain up
  across from 340 mm for 60 mm
  back from 0
  up from 0 to 500 mm
part panel from STOCK "Panel"
  grain up
  across between stile[1] and stile[2]
  back from 7 mm
  up from 60 mm to 500 mm
part bar from oak "Bar"
  grain across
  across between stile[1] and stile[2]
  back from 0
  up from 0 for 60 mm
joint groove panel into stile[1], stile[2] deep 8 mm clearance 2 mm
joint butt bar into stile[1], stile[2]
"""


def test_boards_that_the_maker_planes_are_measured_after_planing() -> None:
    steps = steps_of(PAIR + "joint butt rail into left, right\n")
    cut = titled(steps, "Cut the")
    assert "Planed to 20 mm: measure each board at both ends and in the middle." in cut.checks
    assert not [text for text in cut.checks if "change the plan" in text]


def test_screws_with_glue_need_no_wait() -> None:
    plain, steps = (steps_of(PAIR + f"joint butt rail into left, right{more}\n") for more in ("", " with screw6 every 40 mm ends 20 mm"))
    screwed, drive = titled(steps, "Glue up"), titled(steps, "Drive the screws")
    assert titled(plain, "Glue up").waits and not screwed.waits
    assert f"Drive the screws of step {drive.number} at once: they clamp the joints while the glue sets." in screwed.texts


def test_keys_are_driven_before_the_top_hides_them() -> None:
    steps = example("carving-bench")
    keys = titled(steps, "Drive the keys")
    closed, top = steps[keys.number - 2], titled(steps, "Glue Top (A)")
    assert closed.title == "Put together Carving bench" and "glue" not in closed.tools and not closed.waits
    assert keys.number < top.number and "trestle into" not in top.title


def test_only_solid_wood_is_told_to_move() -> None:
    solid, sheet = (" ".join(titled(steps_of(FRAME.replace("STOCK", stock)), "Glue up").texts) for stock in ("oak", "thin"))
    assert "so that the wood can move" in solid and "without glue" in solid
    assert "so that the wood can move" not in sheet and "without glue" not in sheet


def test_a_unit_is_named_by_its_path_only_where_another_of_its_name_is_glued() -> None:
    titles = [step.title for step in example("darkroom-cabinet")]
    assert "Glue up Drawer box" in titles and "Glue up Drawer" in titles and "Glue up Door" in titles


def test_what_hinges_hold_comes_with_them_and_what_lies_on_pins_after_them() -> None:
    steps = example("darkroom-cabinet")
    hinge, pins, shelf = titled(steps, "Fit Concealed hinge"), titled(steps, "Set in place on Left side"), titled(steps, "Set Adjustable shelf (M) on the shelf pins")
    assert any("come to their places with this" in text for text in hinge.texts)
    assert pins.number < shelf.number and "Door" not in shelf.texts[0] and "Adjustable shelf (M)" in shelf.texts[0]


def test_hardware_goes_into_the_holes_that_were_drilled_for_it() -> None:
    texts = titled(example("compass-box"), "Fit Butt hinge").texts
    assert "Lid (F), bottom face; Rear (D), top edge: in the 4 holes drilled for it." in texts


def test_what_screws_alone_hold_comes_to_its_place_with_them() -> None:
    steps = example("reading-corner")
    screws = titled(steps, "Fit Wood screw")
    assert any(text.startswith("Cleat on the wall (Z) comes to its place with this") for text in screws.texts)
    assert not [step for step in steps if step.title.startswith("Set the remaining")]
