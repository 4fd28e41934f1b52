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
    assert number(steps, "Cut the 18 mm") < number(steps, "Band the edges") < number(steps, "Cut the dadoes")


def test_banding_outside_of_the_size_covers_the_ends_of_channels() -> None:
    steps = steps_of(SIDES.replace("  up from 0 to 700 mm\n", "  up from 0 to 700 mm\n  banded front thick 1 mm outside\n") + SHELF)
    assert number(steps, "Cut the dadoes") < number(steps, "Band the edges")
