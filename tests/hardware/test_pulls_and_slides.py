"""Hardware on parts: pulls, slides, counted things. Figures by hand, in mm."""

from __future__ import annotations

from fractions import Fraction as F

from plandoc.diagnostics.diagnostic import Severity
from tests.support.resolving import faulty, resolved, sound

FRONT = """
part front from ply
  grain  across
  across from 100 mm for 400 mm
  back   from 0
  up     from 50 mm for 120 mm
part inner from ply
  grain  across
  across from 120 mm for 360 mm
  back   from front.rear
  up     from 60 mm for 90 mm
hardware handle pull "Wire pull" bore 5 mm spaced 96 mm price 3.20
hardware knob pull "Knob" bore 4 mm
"""
CASE = """
set gap = 12.7 mm
part case_left from ply
  grain  up
  across from 0
  back   from 0 to 400 mm
  up     from 0 to 300 mm
part case_right mirrors case_left about 250 mm
part box_left from ply
  grain  back
  across from case_left.right + gap
  back   from 10 mm for 360 mm
  up     from 40 mm for 100 mm
part box_right mirrors box_left about 250 mm
hardware runner slide "Slide" long 350 mm side 12.7 mm holes 35 mm, 200 mm pilot 2 mm load 30 kg price 14
"""


def test_pull_in_the_middle() -> None:
    model = sound(FRONT + "fit handle on front at centre\n").model
    (fitting,) = model.fittings
    assert fitting.points == ((252, 0, 110), (348, 0, 110))
    holes = model.part("front").features
    assert [h.centre for h in holes] == [(252, 0, 110), (348, 0, 110)]
    assert {(h.diameter, h.through) for h in holes} == {(5, True)}


def test_pull_through_two_parts_is_measured_on_the_first() -> None:
    model = sound(FRONT + "fit handle on front, inner at centre, 30 mm\n").model
    for path in ("front", "inner"):
        assert [(h.centre[0], h.centre[2]) for h in model.part(path).features if h.centre] == [(252, 80), (348, 80)]


def test_knob_has_one_bore_and_the_line_may_stand() -> None:
    model = sound(FRONT + "fit knob on front at 30 mm, 20 mm from right\n").model
    assert model.fittings[0].points == ((470, 0, 70),)
    model = sound(FRONT + "fit handle on front at centre along up\n").model
    assert model.fittings[0].points == ((300, 0, 62), (300, 0, 158))


def test_a_bore_beside_the_part_is_a_fault() -> None:
    (fault,) = faulty(FRONT + "fit handle on front at 20 mm, 30 mm\n")
    assert fault.code == "PD330" and "`handle` misses `front`" in fault.message


def test_slides_sit_on_pairs() -> None:
    model = sound(CASE + "fit runner on box_left, case_left, box_right, case_right at 45 mm\n").model
    (fitting,) = model.fittings
    assert fitting.quantity == 1
    # The line lies 45 above the lower edge of the box, the holes 35 and 200 behind its front end at 10.
    for path, plane in (("box_left", F(307, 10)), ("case_left", 18), ("box_right", 500 - F(307, 10)), ("case_right", 482)):
        holes = model.part(path).features
        assert [h.centre for h in holes] == [(plane, 45, 85), (plane, 210, 85)], path
        assert {h.diameter for h in holes} == {2}
    (item,) = (h for h in model.hardware if h.name == "runner")
    assert (item.unit, item.price, item.load_kg, item.size("side")) == ("pair", 14, 30, F(127, 10))


def test_room_for_slides() -> None:
    """12.7 at least, 1/32 in. more at most."""
    text = CASE + "fit runner on box_left, case_left, box_right, case_right at 45 mm\n"
    for gap, warned in (("12.7 mm", []), ("13.4 mm", []), ("12.6 mm", ["PD452"]), ("14 mm", ["PD452"])):
        outcome = resolved('plan "T"\n  units mm to 0.1\nstock ply sheet 48" x 96"\n  called 18 mm\n' + text.replace("gap = 12.7 mm", f"gap = {gap}"))
        assert [d.code for d in outcome.diagnostics] == warned, outcome.report
        assert all(d.severity is Severity.WARNING for d in outcome.diagnostics)


def test_counted_hardware() -> None:
    text = 'hardware foot other "Foot" price 1.75\n' + FRONT + "fit foot on front count 4\n"
    (fitting,) = sound(text).model.fittings
    assert (fitting.item, fitting.quantity, fitting.parts) == ("foot", 4, ("front",))


def test_sizes_of_hardware_are_values() -> None:
    outcome = sound(CASE + "set clear = 464 mm - 2 * runner.side\nset second = runner.holes_2\n")
    assert outcome.value("clear") == "438.6 mm"
    assert outcome.value("second") == "200 mm"


def test_a_drawer_off_the_middle() -> None:
    """As wide as it must be, but 1 mm too far to the left: each side is told of."""
    text = CASE.replace("across from case_left.right + gap", "across from case_left.right + gap - 1 mm")
    text = text.replace("part box_right mirrors box_left about 250 mm", "part box_right mirrors box_left about 249 mm")
    outcome = sound(text + "fit runner on box_left, case_left, box_right, case_right at 45 mm\n", warnings=("PD405",))
    assert "the gap for `runner` is 11.7 mm between `box_left` and `case_left`" in outcome.report


def test_the_slide_says_how_much_play_it_has() -> None:
    text = CASE.replace("gap = 12.7 mm", "gap = 13.4 mm").replace("price 14", "play 0.5 mm price 14")
    sound(text + "fit runner on box_left, case_left, box_right, case_right at 45 mm\n", warnings=("PD452",))


def test_a_slide_longer_than_the_drawer() -> None:
    """350 long; the side of the drawer may be shorter by its thickness, which stands in the front of the box."""
    line = "fit runner on box_left, case_left, box_right, case_right at 45 mm\n"
    sound(CASE.replace("for 360 mm", "for 332 mm") + line)
    outcome = sound(CASE.replace("for 360 mm", "for 331 mm") + line, warnings=("PD406",))
    assert "the slide is longer than `box_left` is deep" in outcome.report


def test_each_slide_needs_its_own_room() -> None:
    (fitting,) = sound(CASE + "fit runner on box_left, case_left, box_right, case_right at 45 mm\n").model.fittings
    assert [(r.lo[0], r.hi[0]) for r in fitting.rooms] == [(18, F(307, 10)), (500 - F(307, 10), 482)]
    assert {(r.lo[2], r.hi[2]) for r in fitting.rooms} == {(F(125, 2), F(215, 2))}


def test_slides_of_an_assembly_that_is_turned() -> None:
    body = "assembly cabinet\n" + "".join(f"  {x}\n" for x in CASE.strip().splitlines() if not x.startswith(("set", "hardware")))
    body += "  fit runner on box_left, case_left, box_right, case_right at 45 mm\n"
    head = "\n".join(x for x in CASE.strip().splitlines() if x.startswith(("set", "hardware"))) + "\n"
    outcome = sound(head + body + "place cabinet\n  turned 90° about up\n")
    # (x, y) goes to (-y, x).
    holes = outcome.model.part("cabinet.case_left").features
    assert [h.centre for h in holes] == [(-45, 18, 85), (-210, 18, 85)]
    assert [(f.axis, f.hi - f.lo) for f in holes[0].figures] == [(0, 45), (2, 85)]


def test_three_sides_take_two_pairs_of_slides() -> None:
    text = CASE + "part box_mid mirrors box_left about 250 mm\n"
    (fitting,) = sound(text + "fit runner on box_left, case_left, box_right, case_right, box_mid, case_right at 45 mm\n").model.fittings
    assert fitting.quantity == 2
