"""Screws into leaning parts: the step gives the places that the part drawing has."""

from __future__ import annotations

from plandoc.model.entities import Figure
from plandoc.shopwork.procedure import procedure
from tests.support.resolving import resolved

# The top of the leg stays at 60..82 across, 238 up; its foot stands 238 tan 8° further left.
STOOL = """
plan "Stool"
  units mm to 0.5
stock beech lumber 30 mm
  dressed 22 mm
hardware screw10 screw No 10 long 50 mm
part seat from beech
  grain across
  across from 0 to 420 mm
  back from 0 to 240 mm
  up from 238 mm
part leg from beech
  grain up
  across from 60 mm
  back from 25 mm to 215 mm
  up from 0 to seat.bottom
  leans 8° to right at top
  trimmed top to seat
  trimmed bottom to up 0
part other mirrors leg about 210 mm
part rail from beech
  grain across
  across between leg and other
  back centred on 120 mm
  up from 90 mm for 70 mm
  trimmed left to leg
  trimmed right to other
joint butt leg, other into seat with screw10 every 60 mm ends 30 mm
joint butt rail into leg, other with screw10 every 40 mm ends 15 mm
"""


def test_the_step_and_the_drawing_agree() -> None:
    """Along the inner face the rail begins 90 / cos 8° = 90.88 from the floor, which is 22 tan 8° = 3.09 from the long point
    of the outer face: with 15 of margin the first screw sits at 108.98, the last at 161.57 + 3.09 - 15 = 149.67."""
    model = resolved(STOOL).model
    holes = [f for f in model.part("leg").features if f.mate == "rail"]
    figures = [figure for hole in holes for figure in hole.figures if isinstance(figure, Figure) and figure.axis == 2]
    assert [float(f.hi - f.lo) for f in figures] == [109, 129.5, 149.5]
    (step,) = (s for s in procedure(model) if s.title == "Drive the screws")
    words = "centres 95 mm from the front edge, and 109 mm, 129.5 mm and 149.5 mm from the bottom end."
    assert [text.endswith(words) for text in step.texts if "into Rail" in text or "into rail" in text] == [True, True]
