"""Channels that stop at unlike distances from their two ends: a housing as high as the rail that enters it."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import body_box
from plandoc.pipeline import Checked, check
from plandoc.quantity import INCH
from plandoc.world import MemoryWorld

FRAME = """plan "Frame"
stock post_stock lumber 8/4
  measured 2"
stock board lumber 4/4
  measured 1"
part post from post_stock
  grain up
  across from 0
  back from 0 for 2"
  up from 0 to 30"
part rail from board
  grain across
  across from post.right to 20"
  back from 1/2"
  up from 5" for 4"
"""


def checked(stops: str) -> Checked:
    return check("f.plan", MemoryWorld({"f.plan": f'{FRAME}joint groove rail into post deep 5/8" {stops}\n'}))


def test_each_end_has_its_own_stop() -> None:
    found = checked('stopped 5", 21" from bottom, top')
    assert found.good and found.diagnostics == ()
    joint, rail = found.model.joints[0], found.model.part("rail")
    assert (joint.stop_lo, joint.stop_hi) == (5 * INCH, 21 * INCH)
    assert joint.channel.span(2) == rail.box.span(2) and joint.channel.size(0) == Fraction(5, 8) * INCH
    assert rail.length == (18 + Fraction(5, 8)) * INCH and rail.width == 4 * INCH


def test_the_order_is_that_of_the_ends() -> None:
    joint = checked('stopped 21", 5" from top, bottom').model.joints[0]
    assert (joint.stop_lo, joint.stop_hi) == (5 * INCH, 21 * INCH)


def test_shoulders_make_the_tongue_narrower() -> None:
    """Half an inch more at either end: a tongue 3 high on a rail 4 high, and the rail itself stays 4 wide."""
    model = checked('stopped 5 1/2", 21 1/2" from bottom, top').model
    tongue = next(f for f in model.part("rail").features if f.kind == "tongue")
    assert body_box(tongue.adds[0]).span(2) == model.joints[0].channel.span(2)
    assert model.joints[0].channel.size(2) == 3 * INCH and model.part("rail").width == 4 * INCH


def test_lengths_and_ends_must_match() -> None:
    for stops, words in (
        ('stopped 5", 21" from top', "2 lengths for one end"),
        ('stopped 5", 21"', "needs the face"),
        ('stopped 5", 21" from front, top', "cannot be stopped at another face"),
    ):
        found = checked(stops)
        assert [d.code for d in found.diagnostics] == ["PD322"], stops
        assert words in found.diagnostics[0].message, found.diagnostics[0].message


BOX = """plan "Box"
  units mm to 0.1
stock ply sheet 1200 mm x 2400 mm
  measured 12 mm
part left from ply
  grain up
  across from 0
  back from 0 to 200 mm
  up from 0 to 150 mm
part right mirrors left about 150 mm
part front from ply
  grain across
  across between left and right
  back from 0
  up from 0 to 150 mm
part floor from ply
  grain across
  across between left and right
  back from front.rear to 200 mm
  up from 20 mm
joint dado floor into left, right deep 6 mm
joint groove floor into front deep 5 mm stopped 20 mm from left, right
"""


def test_a_narrower_tongue_is_figured_from_the_finished_edge() -> None:
    """The floor stands 6 in the sides and 5 in the front, in a groove that is stopped 20 from the ends of the front. Its
    front tongue ends 20 from the side's inner face, so 26 from the end of the panel: what is sawn off at the corner."""
    found = check("b.plan", MemoryWorld({"b.plan": BOX}))
    assert found.good, found.diagnostics
    floor = found.model.part("floor")
    tongue = next(f for f in floor.features if f.kind == "tongue" and f.mate == "front")
    assert floor.length == 276 + 2 * 6 and floor.box.span(0) == (6, 294)
    assert [(f.lo, f.hi) for f in tongue.figures if f.axis == 0] == [(6, 32), (268, 294)]
