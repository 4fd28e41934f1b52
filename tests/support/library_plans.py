"""Plans that use the library, in inches and in millimetres, turned and mirrored."""

from __future__ import annotations

from fractions import Fraction

from plandoc.diagnostics import render_text
from plandoc.model.entities import Part
from plandoc.pipeline import Checked, check
from plandoc.quantity import INCH
from plandoc.world import MemoryWorld

INCH_HEAD = """plan "Trial"
  units inch to 1/32
include "library/hardware.plan"
stock birch sheet 48" x 96" "3/4 birch plywood"
  called   3/4"
  measured 23/32"
stock ply sheet 60" x 60" "1/2 birch plywood"
  called   1/2"
  measured 15/32"
stock thin sheet 48" x 96" "1/4 birch plywood"
  called   1/4"
  measured 7/32"
"""
MM_HEAD = """plan "Trial"
  units mm
  sheets A4 landscape
include "library/hardware.plan"
stock birch sheet 1220 mm x 2440 mm "Birch plywood"
  called 18 mm
stock ply sheet 1500 mm x 1500 mm "Birch plywood"
  called 12 mm
stock thin sheet 1220 mm x 2440 mm "Birch plywood"
  called 6 mm
"""
# Every way in which a case may stand: as written, turned to each side, mirrored, both, and turned over.
WAYS = ("", "turned 90° about up", "turned 180° about up", "turned 270° about up", "mirrored across", "turned 90° about up\n  mirrored back", "turned 180° about back")


def compiled(text: str) -> Checked:
    """The plan resolved, built and checked. It must be without errors and without warnings."""
    checked = check("trial.plan", MemoryWorld({"trial.plan": text}))
    assert not checked.diagnostics, render_text(checked.diagnostics, checked.sources)
    return checked


def cased(inner: str, wide: str, deep: str, high: str, way: str = "") -> str:
    """A case of sides, floor and back board, of which inner lines are a part, placed in some way. Its rabbets take a third of the sides."""
    body = "".join(f"  {line}\n" for line in inner.strip().splitlines())
    return f"""assembly cabinet
  part left_side from birch
    grain  up
    across from 0
    back   from 0 to {deep}
    up     from 0 to {high}
  part right_side mirrors left_side about {wide} / 2
  part floor from birch
    grain  across
    across between left_side and right_side
    back   from 0 to {deep}
    up     from 0
  part back_board from birch
    grain  across
    across between left_side and right_side
    back   to {deep}
    up     from floor.top to {high}
  joint rabbet floor into left_side, right_side deep round_down(birch.measured / 3)
  joint butt back_board into left_side, right_side
{body}place cabinet
{f"  {way}" if way else ""}
"""


def part(checked: Checked, tail: str) -> Part:
    """The only part whose path ends so."""
    (found,) = [p for p in checked.model.parts if p.path == tail or p.path.endswith("." + tail)]
    return found


def size(checked: Checked, tail: str, unit: Fraction = Fraction(1)) -> tuple[Fraction, Fraction]:
    """Finished length and width of the part, in that unit (mm)."""
    found = part(checked, tail)
    return found.length / unit, found.width / unit


def inch_size(checked: Checked, tail: str) -> tuple[Fraction, Fraction]:
    """Finished length and width in inches."""
    return size(checked, tail, INCH)


def inch(text: str) -> Fraction:
    """`13 5/16` as a number of inches."""
    return sum((Fraction(piece) for piece in text.split()), Fraction(0))
