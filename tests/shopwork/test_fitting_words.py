"""What is said of knobs on bores that are drilled, and of shelves that stand on pins."""

from __future__ import annotations

from pathlib import Path

from plandoc.model.entities import Step
from plandoc.pipeline import check
from plandoc.shopwork.procedure import procedure, uncovered
from plandoc.world import DiskWorld, MemoryWorld

CASE = """plan "Case"
  units mm
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
hardware turn knob "Ash knob" bore 5 mm
hardware pin5 shelf_pin "Shelf pin" bore 5 mm deep 10 mm
part left_side from ply
  across from 0
  back from 0 to 200 mm
  up from 0 to 600 mm
part right_side mirrors left_side about 200 mm
part top from ply
  across between left_side and right_side
  back from 0 to 200 mm
  up to 570 mm
joint dado top into left_side, right_side deep 6 mm
part shelf from ply "Shelf"
  across from left_side.right + 1 mm to right_side.left - 1 mm
  back from 10 mm to 190 mm
  up from {up}
fit turn on left_side at 22 mm, 280 mm facing left
fit pin5 on left_side, right_side at (37 mm, 200 mm), (163 mm, 200 mm) row 6
"""


def steps_of(text: str) -> tuple[Step, ...]:
    checked = check("p.plan", MemoryWorld({"p.plan": text}))
    assert checked.good, checked.diagnostics
    steps = procedure(checked.model)
    assert uncovered(checked.model, steps) == ()
    return steps


def test_a_knob_in_a_bore_that_is_drilled() -> None:
    steps = steps_of(CASE.format(up="260 mm"))
    (fitting,) = [step for step in steps if "knob" in step.title]
    said = " ".join((*fitting.texts, *fitting.checks, *fitting.cautions, *fitting.tools))
    assert "in the hole drilled for it" in said
    for word in ("template", "backing", "bit", "far side", "screw is"):
        assert word not in said
    assert fitting.tools == ("screwdriver",) and fitting.checks == ("Sits square and holds firm.",)


def test_a_shelf_on_pins() -> None:
    """The rows run from 200 to 360 mm."""
    steps = steps_of(CASE.format(up="260 mm"))
    assert [step.title for step in steps if "Shelf (" in step.title] == ["Set Shelf (D) on the shelf pins"]
    assert not any("no joint that holds" in text for step in steps for text in step.texts)


def test_a_board_far_from_the_pins_is_held_by_nothing() -> None:
    steps = steps_of(CASE.format(up="450 mm"))
    (setting,) = [step for step in steps if step.title == "Set the remaining parts in place"]
    assert "The plan names no joint that holds it" in setting.texts[0]


BASE = """part rail from ply "Base rail"
  across from 0 to right_side.right
  back from 60 mm
  up from -80 mm to 0
part cross from ply "Base cross"
  across from 100 mm
  back from rail.rear to 200 mm
  up from -80 mm to 0
joint butt cross to rail
"""


def test_a_base_that_is_joined_to_nothing_else_is_put_in_its_place() -> None:
    """60 mm behind the front edges of sides that are 200 mm deep and 18 + 200 mm apart."""
    steps = steps_of(CASE.format(up="260 mm") + BASE)
    (setting,) = [step for step in steps if step.title.startswith("Set Base rail")]
    said = " ".join(setting.texts)
    assert "under Left side (A) and Right side (B), flush at the left and right" in said and "60 mm in from the front" in said and "flush at the rear" in said
    assert "The plan names nothing that holds it there." in said


def test_drawers_on_slides_are_run_in() -> None:
    root = Path(__file__).parents[2] / "examples" / "darkroom-cabinet"
    steps = procedure(check("darkroom-cabinet.plan", DiskWorld(root)).model)
    assert any("Then run Drawer in on the slides." in step.texts for step in steps)
    (base,) = [step for step in steps if step.title == "Set Toe base in place"]
    assert '3" in from the front and flush at the rear' in base.texts[0]


def test_pins_are_told_their_hole() -> None:
    """Holes every 32 mm from 200 mm; the shelf lies at 260 mm: the second, 232 mm up."""
    steps = steps_of(CASE.format(up="260 mm"))
    (pins,) = [step for step in steps if step.title.startswith("Set in place on Left side")]
    assert "Into hole 2 of 6 from below for Shelf (D): 232 mm above the bottom of Left side (A)." in pins.texts


def test_a_case_with_doors_is_square_seen_from_the_front() -> None:
    """The cupboard is 32 in. wide and 34 in. high; its doors close its front."""
    root = Path(__file__).parents[2] / "examples" / "map-cupboard"
    steps = procedure(check("map-cupboard.plan", DiskWorld(root)).model)
    (glued,) = [step for step in steps if step.title == "Glue up Map cupboard"]
    assert "looking from the front" in glued.checks[0] and '32" × 34"' in glued.checks[0]
