"""Plans whose parts get full-size templates: a tray of round pockets, and a bracket with a curved edge."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Disc, Face, Loop, Point2, Prism
from plandoc.model.entities import Feature, Model, Part
from plandoc.model.marks import marked
from tests.support.resolving import sound

TRAY = """
part tray from ply "Bit tray"
  grain   across
  across  from 0 to 420 mm
  back    from 0 to 300 mm
  up      from 0
  pocket  round 40 mm deep 8 mm on top at (60 mm, 60 mm), (160 mm, 60 mm), (260 mm, 60 mm), (360 mm, 60 mm)
    finger 20 mm to front
  pocket  90 mm x 60 mm deep 12 mm on top at 120 mm, 180 mm
    finger 25 mm to rear
  pocket  30 mm x 20 mm deep 5 mm on top at 330 mm, 200 mm
  hole    10 mm through on top at (30 mm, 270 mm), (200 mm, 250 mm), (390 mm, 270 mm)
  hole    6 mm deep 10 mm on top at 260 mm, 140 mm row 5 every 20 mm along across
  letter  "BITS" high 12 mm deep 1 mm on top at 210 mm, 25 mm
"""
BRACKET = """
part bracket from ply "Bracket"
  grain   up
  across  from 0 to 150 mm
  back    from 0
  up      from 0 to 200 mm
part bracket_2 mirrors bracket about 300 mm "Bracket, right"
"""
SMALL = """
part knob[1] from ply "Knob plate"
  grain   across
  across  from 0 to 60 mm
  back    from 400 mm to 440 mm
  up      from 0
  pocket  round 20 mm deep 5 mm on top at centre
part knob[2] from ply "Lock plate"
  grain   across
  across  from 0 to 70 mm
  back    from 500 mm to 540 mm
  up      from 0
  pocket  round 22 mm deep 6 mm on top at centre
"""


def mm(*values: int) -> Point2:
    """A point of whole millimetres."""
    return (Fraction(values[0]), Fraction(values[1]))


def hollow(part: Part) -> Feature:
    """A quarter hollow of 100 mm radius out of the upper right corner (at 50, 100 to 150, 200 from the part's lower left
    corner), through a part that is thick along `back`, with straight ends 0 mm long: its centre is that corner."""
    x, z = part.box.lo[0], part.box.lo[2]
    if part.datum[0] > 0:
        corner, low, side = part.box.lo[0], part.box.lo[0] + 100, (x, z + 100)
        # counter-clockwise: corner above, along the left edge down, the arc, back along the top
        points = ((corner, z + 200), side, (low, z + 200))
        bows = (Fraction(0), BOW, Fraction(0))
    else:
        points = ((x + 150, z + 200), (x + 50, z + 200), (x + 150, z + 100))
        bows = (Fraction(0), BOW, Fraction(0))
    lo, hi = part.box.span(1)
    return Feature(f"{part.path}.cutout", "cutout", Face(1, -1), cuts=(Prism(1, lo, hi, Loop(points, bows)),), through=True)


# A quarter circle has the bow tan(90 deg / 4); 0.4142 of it to ten places is exact enough for a plan.
BOW = Fraction(4142135624, 10**10)


def slotted(part: Part) -> Feature:
    """A slot 12 mm wide and 40 mm long between its centres, 5 mm deep from the front, with half round ends."""
    x, z = part.box.lo[0] + 20, part.box.lo[2] + 30
    points = ((x, z), (x + 12, z), (x + 12, z + 40), (x, z + 40))
    loop = Loop(points, (Fraction(1), Fraction(0), Fraction(1), Fraction(0)))
    low = part.box.lo[1]
    return Feature(f"{part.path}.slot", "slot", Face(1, -1), cuts=(Prism(1, low, low + 5, loop),), depth=Fraction(5))


def bored(part: Part) -> Feature:
    """One bore through the front, 30 mm from the left and 15 mm up."""
    centre = (part.box.lo[0] + 30, part.box.lo[1], part.box.lo[2] + 15)
    hole = Prism(1, *part.box.span(1), Disc((centre[0], centre[2]), Fraction(4)))
    return Feature(f"{part.path}.hole", "hole", Face(1, -1), cuts=(hole,), diameter=Fraction(8), through=True, centre=centre)


def brackets(text: str = "") -> Model:
    """Two brackets, mirror images in outline, the first with a slot and a bore."""
    model = sound(BRACKET + text).model
    parts = []
    for part in model.parts:
        more = (hollow(part), slotted(part), bored(part)) if part.path == "bracket" else (hollow(part),) if part.path == "bracket_2" else ()
        parts.append(replace(part, features=(*part.features, *more)))
    return replace(model, parts=marked(parts))


def tray(text: str = "") -> Model:
    """The tray, and whatever else the plan says."""
    return sound(TRAY + text).model
