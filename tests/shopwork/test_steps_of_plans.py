"""The procedure of whole plans, from their text: what goes together, what is added, what an author's step claims."""

from __future__ import annotations

from plandoc.model.entities import Step
from plandoc.pipeline import check
from plandoc.shopwork.claims import claims, uncovered
from plandoc.shopwork.procedure import procedure
from plandoc.world import MemoryWorld

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
    assert titled(steps, 'Cut the other 3/4" ply parts').cuts == ("shelf", "lid")
    assert titled(steps, 'Cut the 1/4" thin parts').cuts == ("rear",)
    assert titles.index('Cut the other 3/4" ply parts') == titles.index("Cut the sides") + 1


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
    titles = [step.title for step in steps_of(CASE + JOINTS + late)]
    assert titles.index('Cut the other 3/4" ply parts') < titles.index("Case") < titles.index("Lid")
