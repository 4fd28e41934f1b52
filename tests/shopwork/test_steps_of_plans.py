"""The procedure of whole plans, from their text: what goes together, what is added, what an author's step claims."""

from __future__ import annotations

from pathlib import Path

import pytest

from plandoc.model.entities import Step
from plandoc.pipeline import check
from plandoc.shopwork.claims import claims, uncovered
from plandoc.shopwork.names import exact_size
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.trade import operations_on
from plandoc.world import DiskWorld, MemoryWorld

CASE = """plan "Case"
  units inch to 1/32
stock ply sheet 48" x 96"
  called 3/4"
stock thin sheet 48" x 96"
  called 1/4"
hardware screw8 screw No 8 "Screw" long 1 1/2"
hardware pin dowel 3/8" x 1 1/2" "Dowel"
hardware peg other "Shelf pin"
part left_side from ply
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part right_side mirrors left_side about 12"
part shelf from ply "Shelf"
  across between left_side and right_side
  back from 0 to 9 3/4"
  up from 10"
part lid from ply "Lid"
  across between left_side and right_side
  back from 0 to 10"
  up to 30"
part rear from thin "Rear panel"
  across between left_side and right_side
  back to 10"
  up from shelf.top to lid.bottom
"""
JOINTS = """joint dado shelf into left_side, right_side deep 1/4" stopped 1/2" from front
joint rabbet lid into left_side, right_side deep 1/4"
  with screw8 every 4" ends 1"
joint rabbet rear into left_side, right_side, lid deep 1/4"
"""
BINS = """plan "Bins"
  units mm
stock ply sheet 1250 mm x 2500 mm
  called 12 mm
assembly bin(w)
  part floor from ply
    across from 0 to w
    back from 0 to 80 mm
    up from 0
  part wall from ply
    across from 0
    back from 0 to 80 mm
    up from floor.top for 50 mm
  joint butt wall into floor
"""


def steps_of(text: str) -> tuple[Step, ...]:
    checked = check("p.plan", MemoryWorld({"p.plan": text}))
    assert checked.good, checked.diagnostics
    steps = procedure(checked.model)
    assert uncovered(checked.model, steps) == ()
    taken = [item for row in claims(checked.model, steps) for item in row]
    assert len(taken) == len(set(taken))
    return steps


def titled(steps: tuple[Step, ...], words: str) -> Step:
    (found,) = [step for step in steps if words in step.title]
    return found


def bin_titles(places: str) -> list[str]:
    return [s.title for s in steps_of(BINS + places) if s.title.startswith("Glue")]


def place(name: str, wide: int, *lines: str) -> str:
    return f"place bin as {name}\n  w = {wide} mm\n" + "".join(f"  {line}\n" for line in lines)


def test_equal_instances_share_a_step_others_do_not() -> None:
    first = place("b[1]", 150)
    same = place("b[2]", 150, "at across 300 mm")
    other = place("b[2]", 120, "at across 300 mm")
    mirrored = place("b[2]", 150, "mirrored across", "at across 800 mm")
    assert bin_titles(first + same) == ["Glue up B 1–2 (2 alike)"]
    assert bin_titles(first + other) == ["Glue up B 1", "Glue up B 2"]
    assert bin_titles(first + mirrored) == ["Glue up B 1", "Glue up B 2"]


def test_what_an_authors_glue_up_leaves_out_is_added_to_what_stands() -> None:
    steps = steps_of(CASE + JOINTS + 'step "Glue"\n  joins left_side, right_side, shelf, lid\n  do Glue the case.\n')
    for step in (titled(steps, "Dry-fit Rear panel (E) into Case"), titled(steps, "Glue Rear panel (E) into Case")):
        assert "Both diagonals looking from the front" in step.checks[0]
        assert '24" × 30"' in step.checks[0]
        assert "on the bench" not in " ".join(step.texts)
    assert titled(steps, "Dry-fit").texts[0] == "Put together without glue: Rear panel (E) with what stands."
    assert steps.index(titled(steps, "Glue Rear")) > [s.title for s in steps].index("Glue")


def test_an_authors_step_cuts_what_it_names_and_no_more() -> None:
    steps = steps_of(CASE + JOINTS + 'step "Cut the sides"\n  cuts left_side, right_side\n  do Cut the two sides.\n')
    titles = [step.title for step in steps]
    assert titled(steps, "Cut the sides").cuts == ("left_side", "right_side")
    assert titled(steps, "Cut the sides").texts == ("Cut the two sides.",)
    assert titled(steps, 'Cut the other parts of 3/4" ply').cuts == ("shelf", "lid")
    assert titled(steps, 'Cut the parts of 1/4" thin').cuts == ("rear",)
    assert titles.index('Cut the other parts of 3/4" ply') == titles.index("Cut the sides") + 1


def test_fasteners_named_after_fits_are_claimed_among_the_parts_that_are_joined() -> None:
    joints = 'joint butt shelf into left_side, right_side with pin every 4" ends 1"\n'
    joints += 'joint rabbet lid into left_side, right_side deep 1/4" with pin every 4" ends 1"\n'
    glue = 'step "Glue"\n  joins left_side, right_side, shelf\n  fits pin\n  do Glue it.\n'
    steps = steps_of(CASE.replace("part rear", "part rear_a") + joints + glue)
    own = next(step for step in steps if step.author)
    assert "pinning" in own.kinds and "mallet" in own.tools
    (rest,) = [step for step in steps if step.title.startswith("Pin the joints")]
    assert rest.makes == ("fasten:rabbet:lid>left_side:1", "fasten:rabbet:lid>right_side:1")
    whole = glue.replace("  joins left_side, right_side, shelf\n", "")
    steps = steps_of(CASE + joints + whole)
    assert not [step for step in steps if step.title.startswith("Pin the joints")]
    assert [s.title for s in steps].index("Glue up Case") < [s.title for s in steps].index("Glue")


def test_a_generated_glue_up_whose_piece_is_named_like_a_fastener_drives_none() -> None:
    steps = steps_of((CASE + JOINTS).replace('plan "Case"', 'plan "Screw box"'))
    assert titled(steps, "Drive the screws").makes == ("fasten:rabbet:lid>left_side:1", "fasten:rabbet:lid>right_side:1")


def test_parts_are_cut_before_they_are_glued_though_an_author_cuts_of_their_stock_late() -> None:
    late = 'step "Case"\n  joins left_side, right_side, shelf\n  do Glue.\nstep "Lid"\n  cuts lid\n  joins lid\n  do Cut and glue.\n'
    steps = steps_of(CASE + JOINTS + late)
    titles = [step.title for step in steps]
    assert titles.index('Cut the other parts of 3/4" ply') < titles.index("Case") < titles.index("Lid")
    # the rabbets of the sides come before these are joined, that of the lid when it is there
    sides, lid = [number for number, title in enumerate(titles) if title == "Cut the rabbets"]
    assert sides < titles.index("Case") < titles.index("Lid") < lid
    assert all(name.startswith(("left_side", "right_side")) for name in steps[sides].makes) and all(name.startswith("lid") for name in steps[lid].makes)


SCREWS = """plan "Rails"
  units {units}
stock ply sheet 48" x 96"
  called 3/4"
hardware s screw {number} "Screw" long 1 1/2"
part a from ply
  across from 0
  back from 0 to 10"
  up from 0 to 40"
part b from ply
  across from a.right to 20"
  back from 0 to 10"
  up from 7"
joint butt b into a with s every 4" ends 1"
"""


@pytest.mark.parametrize("number", ["No 6", "No 8", "#8", "No 10"])
@pytest.mark.parametrize("units", ["inch to 1/32", "mm"])
def test_a_screw_by_number_is_named_with_the_bits_that_are_drawn(number: str, units: str) -> None:
    text = SCREWS.format(units=units, number=number)
    model = check("p.plan", MemoryWorld({"p.plan": text})).model
    lead, clear = (
        next(f.diameter for f in model.part(path).features if "screw" in f.kind) for path in ("b", "a")
    )
    assert lead is not None and clear is not None
    said = titled(steps_of(text), "Drive the screws").texts[0]
    long = '1 1/2"' if units.startswith("inch") else "38.1 mm"
    plain = number.replace("#", "No ")
    assert said.startswith(f"3 × screw {plain} × ")
    assert long in said or "≈38" in said
    angle = "82°" if units.startswith("inch") else "90°"
    bits = [exact_size(size, model.info.units) for size in (lead, clear)]
    assert f" Lead hole {bits[0]}, clearance hole {bits[1]}. Countersink Ø" in said and said.endswith(f" × {angle}.")
    assert not any(bit.startswith("≈") for bit in bits)


def test_an_authors_step_says_which_fasteners_it_drives() -> None:
    glue = 'step "Glue"\n  joins left_side, right_side, shelf, lid\n  fits screw8\n  do Glue it.\n'
    own = next(step for step in steps_of(CASE + JOINTS + glue) if step.author)
    assert own.texts == ("Glue it.", '6 × screw No 8 × 1 1/2". Lead hole 3/32", clearance hole 11/64". Countersink Ø11/32 × 82°.')


def test_corners_of_a_stopped_shelf_are_notched_by_hand() -> None:
    step = titled(steps_of(CASE + JOINTS), "Notch the corners")
    assert step.tools == ("fine saw", "chisel", "square")
    assert step.kinds == ("corner_notch",) and step.machines == ("hand_tools",)
    assert step.texts[0] == 'Set-up: notch 1/4" long.'
    assert 'left end, 1/2" wide at the front edge' in step.texts[1]
    assert not [s for s in steps_of(CASE + JOINTS) if "tenon" in s.title]


def test_other_hardware_is_set_in_place_without_a_driver() -> None:
    step = titled(steps_of(CASE + JOINTS + "fit peg on left_side count 8\n"), "Shelf pin")
    assert step.title == "Set in place on Left side (A): Shelf pin"
    assert step.tools == () and "screw" not in " ".join((*step.texts, *step.checks))


def test_tools_start_small_and_come_once_and_the_authors_machine_stays() -> None:
    own = (
        'step "Sides"\n  cuts left_side, right_side\n  makes left_side, right_side\n'
        "  tools Band saw, Tape, tape, F clamps\n  do Make them.\n"
    )
    step = next(step for step in steps_of(CASE + JOINTS + own) if step.author)
    assert step.tools[:3] == ("band saw", "tape", "F clamps")
    assert len(step.tools) == len({tool.casefold() for tool in step.tools})
    assert all(tool[0].islower() for tool in step.tools if tool != "F clamps")
    assert dict(zip(step.kinds, step.machines, strict=True))["rip"] == "band_saw"
    assert dict(operations_on(step))["rip"].key == "band_saw"


def test_steps_that_cut_sheets_follow_their_layouts() -> None:
    cutting = [step for step in steps_of(CASE + JOINTS) if step.title in ('Cut the parts of 3/4" ply', 'Cut the parts of 1/4" thin')]
    assert len(cutting) == 2
    assert all(step.texts[0] == "Cut the parts out of their sheets in the order of the cutting layout." for step in cutting)
    loose = CASE.replace('sheet 48" x 96"', "sheet")
    assert not [text for step in steps_of(loose + JOINTS) for text in step.texts if "layout" in text]


def test_units_made_before_are_named_as_units_and_like_parts_are_counted() -> None:
    ledge = "part ledge from ply\n  across from 0 to 400 mm\n  back from 0 to 80 mm\n  up to 0\n"
    joints = "joint butt b[1].floor into ledge\njoint butt b[2].floor into ledge\n"
    back = "part strip from ply\n  across from 0 to 400 mm\n  back from 80 mm\n  up from -12 mm for 60 mm\njoint butt ledge into strip\n"
    steps = steps_of(BINS + place("b[1]", 150) + place("b[2]", 150, "at across 250 mm") + ledge + back + joints)
    dry = titled(steps, "Dry-fit Bins").texts[0]
    assert dry.endswith(", B 1 and B 2.") and "Floor" not in dry and dry.startswith("Put together without glue: ")
    glue = " ".join(titled(steps, "Glue up Bins").texts)
    assert "B 1 and B 2 to Ledge (C)" in glue and "Floor (A) of B 1 on Ledge (C): flush with the left end." in glue


def test_two_frames_glued_in_one_step_have_no_common_diagonals() -> None:
    """Four posts, two rails between them each: nothing holds one frame to the other yet."""
    posts = "".join(
        f"part post[{n}] from beam\n  grain up\n  across from {x} mm for 45 mm\n  back from {y} mm for 45 mm\n  up from 0 to 400 mm\n"
        for n, (x, y) in enumerate(((0, 0), (0, 355), (555, 0), (555, 355)), 1)
    )
    rails = "".join(
        f"part rail[{n}] from oak\n  grain back\n  across from {x} mm\n  back between post[{a}] and post[{b}]\n  up from {z} mm for 70 mm\n"
        for n, (a, b, x, z) in enumerate(((1, 2, 10, 100), (3, 4, 565, 100), (1, 2, 10, 300), (3, 4, 565, 300)), 1)
    )
    joints = "joint tenon rail[1], rail[3] into post[1], post[2] deep 30 mm\njoint tenon rail[2], rail[4] into post[3], post[4] deep 30 mm\n"
    stock = "stock beam lumber 50 mm\n  measured 45 mm\nstock oak lumber 25 mm\n  measured 18 mm\n"
    long_rails = "".join(
        f"part long[{n}] from oak\n  grain across\n  across between post[{a}] and post[{b}]\n  back from {y} mm\n  up from 200 mm for 70 mm\njoint tenon long[{n}] into post[{a}], post[{b}] deep 20 mm\n"
        for n, (a, b, y) in enumerate(((1, 3, 10), (2, 4, 365)), 1)
    )
    apart = 'step "Two frames"\n  joins post, rail\n  do Glue them.\n'
    step = titled(steps_of('plan "Frames"\n  units mm\n' + stock + posts + rails + joints + long_rails + apart), "Two frames")
    assert [text for text in step.checks if "diagonals" in text] == []
    # glued all at once they are one piece, 600 x 400 seen from above: root of 360000 + 160000 is 721.1
    whole = titled(steps_of('plan "Frames"\n  units mm\n' + stock + posts + rails + joints + long_rails), "Glue up")
    assert any("600 mm × 400 mm" in text and "721" in text for text in whole.checks)


def test_boards_on_rails_are_no_frame_on_their_edge() -> None:
    """Two boards 14 thick on two rails 20 thick: from the side they are 34 x 560, with nothing between them to measure."""
    text = 'plan "Boards"\n  units mm\nstock oak lumber 27 mm\n  measured 20 mm\nstock larch lumber 20 mm\n  measured 14 mm\nhardware screw6 screw No 6 long 25 mm\n'
    text += "".join(
        f"part rail[{n}] from oak\n  grain across\n  across from 0 to 260 mm\n  back from 14 mm\n  up from {z} mm for 50 mm\n" for n, z in ((1, 0), (2, 510))
    )
    text += "".join(
        f"part board[{n}] from larch\n  grain up\n  across from {x} mm for 130 mm\n  back from 0\n  up from 0 to 560 mm\n" for n, x in ((1, 0), (2, 130))
    )
    text += "joint butt rail into board with screw6 every 90 mm ends 20 mm\n"
    steps = steps_of(text)
    assert [check for step in steps for check in step.checks if "diagonals" in check] == []


def test_the_ends_of_a_table_are_glued_up_before_they_are_joined() -> None:
    """Rails between four legs in two directions: the tenons of the second pair could not be entered once the first pair
    holds the legs, so each end is a frame of its own first (common practice)."""
    plan = Path(__file__).parents[1] / "reference" / "ordered" / "post-rail-tabouret.plan"
    checked = check(plan.name, DiskWorld(plan.parent))
    glue = next(s for s in procedure(checked.model) if s.title.startswith("Glue up"))
    assert glue.texts[1].startswith("Glue each frame by itself first")
    frames = [t for t in glue.texts if t.startswith("Frame ")]
    assert len(frames) == 2 and all("Top rail (D) and Lower rail (E) in each of Leg (" in t for t in frames)
    assert glue.texts[4].startswith("Then join the frames, all of these at once: ")


def test_an_authors_step_that_names_a_part_alone_closes_its_only_joint() -> None:
    """The bearers are glued to the sides before the box is put together; the sides are there by then."""
    plan = Path(__file__).parents[2] / "examples" / "compass-box" / "compass-box.plan"
    steps = procedure(check(plan.name, DiskWorld(plan.parent)).model)
    bearers = next(step for step in steps if step.title == "Bearers")
    assert "Left bearer (G) on Left side (B); Right bearer (G) on Right side (C): 68 mm from the bottom edge; 14 mm from the front end." in bearers.texts
    assert titled(steps, "Cut the dovetail tails").number < bearers.number < titled(steps, "Glue up Compass box").number
    assert "bearer" not in " ".join(titled(steps, "Glue up Compass box").texts)
