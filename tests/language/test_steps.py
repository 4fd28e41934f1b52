"""What `fits` of a step stands for."""

from __future__ import annotations

from plandoc.pipeline import check
from plandoc.world import MemoryWorld

PLAN = """plan "P"
stock ply sheet 48" x 96"
  called 3/4"
hardware pin dowel 3/8" x 1 1/2" "Dowel"
hardware peg other "Shelf pin"
part side from ply
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part shelf from ply
  across from side.right to 20"
  back from 0 to 10"
  up from 10"
joint butt shelf into side with pin every 4" ends 1"
fit peg on side count 4
step "Fit"
  fits {what}
  do Fit it.
"""


def fits(what: str) -> tuple[str, ...]:
    checked = check("p.plan", MemoryWorld({"p.plan": PLAN.format(what=what)}))
    assert checked.good and not checked.diagnostics
    return checked.model.steps[0].fits


def test_a_fastener_keeps_its_name_for_the_joints_that_take_it() -> None:
    assert fits("pin") == ("pin",)


def test_other_hardware_and_parts_stand_for_their_fittings() -> None:
    assert fits("peg") == ("fit1.peg",)
    assert fits("side") == ("fit1.peg",)
    assert fits("pin, peg") == ("pin", "fit1.peg")
