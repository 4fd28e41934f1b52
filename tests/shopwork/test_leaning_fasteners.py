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


# Post and slat are built upright and lean together: the screws sit at 1/4 and 3/4 of the 70 mm that touch, whatever the angle.
BACK = """
plan "Back"
  units mm to 0.5
stock larch batten 45 mm x 70 mm
stock thin batten 28 mm x 70 mm
hardware screw10 screw No 10 long 60 mm
assembly back_rest
  part post from larch "Post"
    grain up
    across from 105 mm for 45 mm
    back from 0 for 70 mm
    up from 0 for 560 mm
  part slat from thin "Slat"
    grain across
    across from 0 to 1400 mm
    back to 0
    up from 240 mm for 70 mm
  joint screw post into slat with screw10 count 2 plugged 8 mm
place back_rest
  leans 12° to rear
  at back 345 mm, up 370 mm
"""


def test_what_leans_together_is_figured_as_it_was_built() -> None:
    model = resolved(BACK).model
    steps = {s.title: s for s in procedure(model)}
    for title in ("Drive the screws", "Plug the screw holes"):
        (line,) = (text for text in steps[title].texts if text.startswith("Slat"))
        assert "127.5 mm from the left end" in line and "17.5 mm" in line and "≈" not in line
        assert "52.5 mm from the bottom edge" in line or "second 35 mm on toward the top edge" in line


def test_screws_of_one_size_that_are_sunk_in_two_ways_stand_in_two_steps() -> None:
    """Screws below plugs get their counterbore, screws of the same size that are not plugged their countersink."""
    text = BACK.partition("place")[0] + """\
  part rail from larch "Rail"
    grain across
    across from post.right to post.right + 300 mm
    back from 0 for 70 mm
    up from 0 for 45 mm
  joint butt rail into post with screw10 every 100 mm
place back_rest
"""
    outcome = resolved(text)
    assert outcome.diagnostics == ()
    model = outcome.model
    heads = [s.texts[0] for s in procedure(model) if s.title == "Drive the screws"]
    assert sorted((head.split(" ")[0], "Counterbore" in head, "Countersink" in head) for head in heads) == [("2", False, True), ("2", True, False)]
