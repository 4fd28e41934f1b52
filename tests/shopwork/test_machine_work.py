"""Machine work as the bench does it: in which order, on which machine, and how the cut is set."""

from __future__ import annotations

from plandoc.model.entities import Step
from plandoc.pipeline import check
from plandoc.shopwork.procedure import procedure
from plandoc.world import MemoryWorld

HEAD = """plan "Trial"
  units mm to 0.5
stock ply sheet 1250 mm x 2500 mm
  called 18 mm
stock oak lumber 25 mm
  measured 20 mm
"""
SIDES = """part left from ply "Left"
  across from 0
  back from 0 to 300 mm
  up from 0 to 700 mm
part right mirrors left about 600 mm "Right"
"""


def steps_of(text: str) -> tuple[Step, ...]:
    checked = check("trial.plan", MemoryWorld({"trial.plan": HEAD + text}))
    assert checked.good, checked.diagnostics
    return procedure(checked.model)


def number(steps: tuple[Step, ...], title: str) -> int:
    (found,) = [step.number for step in steps if step.title.startswith(title)]
    return found


SHELF = """part shelf from ply "Shelf"
  grain across
  across between left and right
  back from 0 to 300 mm
  up from 200 mm
joint dado shelf into left, right deep 6 mm
"""


def test_banding_within_the_size_goes_on_before_the_channels_that_run_out_through_it() -> None:
    steps = steps_of(SIDES.replace("  up from 0 to 700 mm\n", "  up from 0 to 700 mm\n  banded front thick 1 mm\n") + SHELF)
    assert number(steps, "Cut the parts of 18 mm") < number(steps, "Band the edges") < number(steps, "Cut the dadoes")


def test_banding_outside_of_the_size_covers_the_ends_of_channels() -> None:
    steps = steps_of(SIDES.replace("  up from 0 to 700 mm\n", "  up from 0 to 700 mm\n  banded front thick 1 mm outside\n") + SHELF)
    assert number(steps, "Cut the dadoes") < number(steps, "Band the edges")


def of(steps: tuple[Step, ...], title: str) -> Step:
    return steps[number(steps, title) - 1]


def test_a_channel_that_stops_is_routed_and_a_wide_one_is_cut_in_passes() -> None:
    steps = steps_of(SIDES + SHELF.replace("deep 6 mm", "deep 6 mm stopped 10 mm from front"))
    routed = of(steps, "Rout the dadoes")
    assert routed.texts[0] == "Set-up: straight cutter 16 mm wide, in 2 passes to 18 mm, 6 mm deep." and routed.machines == ("router",)
    assert "hand-held router" in routed.tools and not [tool for tool in routed.tools if "stack" in tool]
    frame = (
        'part post from oak "Post"\n  grain up\n  across from 0 for 50 mm\n  back from 0\n  up from 0 to 500 mm\n'
        'part rail from oak "Rail"\n  grain across\n  across from 0 to 400 mm\n  back from 0\n  up from 0 for 50 mm\n'
        "joint lap rail onto post from rear\n"
    )
    assert of(steps_of(frame), "Cut the laps").texts[0] == "Set-up: cutter 20 mm wide, in 3 passes to 50 mm, set 10 mm high."


def test_a_narrow_groove_in_an_edge_is_cut_at_the_router_table() -> None:
    panel = SIDES.replace("from ply", "from oak") + (
        'stock thin sheet 1250 mm x 2500 mm\n  called 4 mm\npart panel from thin "Panel"\n  grain up\n  across between left and right\n'
        "  back from 10 mm\n  up from 0 to 700 mm\njoint groove panel into left, right deep 6 mm\n"
    )
    step = of(steps_of(panel), "Rout the grooves")
    assert step.texts[0] == "Set-up: straight cutter 4 mm wide, 6 mm deep." and step.machines == ("router_table",)


def test_a_deep_narrow_lap_is_no_work_for_a_stack() -> None:
    cross = (
        'stock thin sheet 1250 mm x 2500 mm\n  called 6 mm\n'
        'part level from thin "Level"\n  grain across\n  across from 0 to 400 mm\n  back from 0 to 150 mm\n  up from 100 mm\n'
        'part wall from thin "Wall"\n  grain up\n  across from 200 mm\n  back from 0 to 150 mm\n  up from 0 to 300 mm\njoint lap level into wall\n'
    )
    step = of(steps_of(cross), "Saw and chop the laps")
    assert step.machines == ("hand_tools",) and step.texts[0].startswith("Set-up: 6 mm wide, 75 mm deep: saw both sides")


STRIP = 'part strip from oak "Strip"\n  grain across\n  across from 0 to 400 mm\n  back from 0\n  up from 0 for 60 mm\n'


def test_a_bevel_says_how_far_the_blade_tilts_and_which_face_lies_up() -> None:
    step = of(steps_of(STRIP + "  bevel 45° at bottom point rear\n"), "Cut the bevels")
    assert step.texts == ("Set-up: blade tilted 45°.", "Strip (A): bottom edge: long point at the rear face, that face up.")


def test_mitres_and_chamfers_are_set_up_with_their_figures() -> None:
    steps = steps_of(STRIP + "  mitre 20° at left point bottom\n  chamfer 3 mm on front at top\n")
    assert of(steps, "Cut the mitres").texts == ("Set-up: mitre gauge 20° from square.", "Strip (A): left end: long point at the bottom edge.")
    chamfer = of(steps, "Cut the chamfers")
    assert chamfer.texts == ("Set-up: chamfer 3 mm × 45°.", "Strip (A): top edge of the front.") and chamfer.machines == ("router_table",)


def test_corners_beside_a_tongue_are_measured_from_the_finished_edge() -> None:
    """A floor in grooves 4 mm deep in all four sides, which are 12 mm thick: its finished edge lies 12 - 4 = 8 mm from the
    outside of the box, its shoulder 12 mm. The grooves of two sides stop 14 mm from the outside, so that the corners are
    notched 14 - 8 = 6 mm from the finished edge (only 14 - 12 = 2 mm from the shoulder)."""
    text = """stock board lumber 20 mm
  measured 12 mm
stock thin sheet 1200 mm x 2400 mm
  called 6 mm
part left from board "Left"
  grain back
  across from 0
  back from 0 to 200 mm
  up from 0 to 100 mm
part right mirrors left about 200 mm "Right"
part front from board "Front"
  grain across
  across between left and right
  back from 0
  up from 0 to 100 mm
part rear from board "Rear"
  grain across
  across between left and right
  back to 200 mm
  up from 0 to 100 mm
part floor from thin "Floor"
  grain across
  across between left and right
  back between front and rear
  up from 10 mm
joint butt front, rear into left, right
joint groove floor into left, right deep 4 mm stopped 14 mm from front, rear
joint groove floor into front, rear deep 4 mm
"""
    notch = of(steps_of(text), "Notch the corners")
    assert notch.texts[0] == "Set-up: notch 4 mm long."
    assert "left end, 6 mm wide at the front edge and 6 mm wide at the rear edge" in notch.texts[1]


def test_words_for_turned_pieces_of_one_mark_name_the_piece_that_they_are_for() -> None:
    steps = steps_of(SIDES + SHELF)
    assert of(steps, "Cut the dadoes").texts[-1] == "Faces are named as on Left (A); the other pieces are the same, turned in the hand."
    hole = "  hole 8 mm deep 10 mm on right at 50 mm, 60 mm\n"
    same = "".join(f'part {name} from ply "{name}"\n  across from {x} mm\n  back from 0 to 300 mm\n  up from 0 to 700 mm\n{hole}' for name, x in (("one", 0), ("two", 200)))
    assert "one, two (A), 2 pieces, right face" in of(steps_of(same), "Drill the holes").texts[1]
    assert len(of(steps_of(same), "Drill the holes").texts) == 2
