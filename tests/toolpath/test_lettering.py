"""Lettering on a router led by numbers: the V-bit's point follows the strokes of the letters at their depth, and cuts
nothing else."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

import numpy as np
import pytest
import shapely

from plandoc.build.routing import routings
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.publish.gcode import toolpath_files
from plandoc.tables.strokes import stroke_text
from plandoc.world import MemoryWorld
from tests.support.resolving import HEAD
from tests.support.router_simulator import engraved, read

BOARD = """
part seat from ply "Seat"
  grain   across
  across  from 0 to 240 mm
  back    from 0 to 160 mm
  up      from 0
"""
LETTER = '  letter  "Ei.1" high 12 mm deep {deep} on {face} at 100 mm, 80 mm\n'
ROUTED = "routed seat with bit 6 mm{on}\n  lettering with bit {angle}\n"


def model(text: str) -> Model:
    checked = check("t.plan", MemoryWorld({"t.plan": text}))
    assert not checked.diagnostics
    return checked.model


def spot(across: float, back: float) -> tuple[Fraction, Fraction, Fraction]:
    return Fraction(across), Fraction(back), Fraction(0)


def codes(text: str) -> list[str]:
    return [d.code for d in check("t.plan", MemoryWorld({"t.plan": text})).diagnostics]


@pytest.mark.parametrize(("face", "deep", "angle"), [("top", "1 mm", 60), ("top", "3 mm", 30), ("bottom", "0.8 mm", 90)])
def test_the_grooves_are_those_of_the_letters(face: str, deep: str, angle: int) -> None:
    plan = HEAD + BOARD + LETTER.format(deep=deep, face=face) + ROUTED.format(on=f" on {face}", angle=f"{angle}°")
    made = model(plan)
    ((name, text),) = toolpath_files(made).items()
    assert name == f"toolpaths/A-{face}-1-v-bit-{angle}deg.ngc"
    depth, high = float(deep.split()[0]), 12.0
    wide, strokes = stroke_text("Ei.1")
    # the text reads to the right edge; seen from below its letters stand up towards the front
    up = 1 if face == "top" else -1
    (routing,) = routings(made)
    lines = [[routing.ground.place(spot(100 + (px - wide / 2) * high, 80 + up * (py - 0.5) * high)) for px, py in s] for s in strokes]
    ways = shapely.union_all([shapely.LineString([(float(a), float(b)) for a, b in s]) for s in lines])
    x, y, z = engraved(text, angle, 0.0, 0.0, 160.0, 160.0)
    wanted = np.minimum(0.0, -depth + shapely.distance(shapely.points(x, y), ways) / tan(radians(angle / 2)))
    assert float(np.abs(z - wanted).max()) < 0.05 / tan(radians(angle / 2)) + 0.01
    assert abs(float(z.min()) + depth) < 0.02 + 0.06 / tan(radians(angle / 2))


def test_a_slip_of_the_letters_is_seen() -> None:
    """The comparison above can fail: the same text half a millimetre aside is another groove."""
    plan = HEAD + BOARD + LETTER.format(deep="1 mm", face="top") + ROUTED.format(on="", angle="60°")
    (text,) = toolpath_files(model(plan)).values()
    _, _, z = engraved(text, 60, 0.0, 60.0, 240.0, 100.0)
    _, _, other = engraved(text, 60, 0.5, 60.0, 240.5, 100.0)
    assert float(np.abs(z - other[:, : z.shape[1]]).max()) > 0.5


def test_the_v_bit_runs_before_what_cuts_through_and_after_the_drills() -> None:
    work = "  hole 5 mm deep 12 mm on top at 30 mm, 30 mm\n  cutout 60 mm x 60 mm on top at 180 mm, 80 mm\n"
    plan = HEAD + BOARD + LETTER.format(deep="1 mm", face="top") + work + ROUTED.format(on="", angle="60°") + "  drills 5 mm\n"
    names = list(toolpath_files(model(plan)))
    assert [n.split("-", 3)[3] for n in names] == ["drill-5mm.ngc", "v-bit-60deg.ngc", "bit-6mm.ngc"]


def test_deep_letters_take_passes_and_stay_in_the_wood() -> None:
    plan = HEAD + BOARD + LETTER.format(deep="5 mm", face="top") + ROUTED.format(on="", angle="30°")
    (text,) = toolpath_files(model(plan)).values()
    lows = {round(s.end[2], 3) for s in read(text).steps if s.end[2] < 0 and s.start[2] == s.end[2]}
    assert lows == {-1.667, -3.333, -5.0}


def test_lettering_without_a_v_bit_or_a_depth_is_left() -> None:
    letter = LETTER.format(deep="1 mm", face="top")
    pocket = "  pocket round 30 mm deep 5 mm on top at 40 mm, 40 mm\n"
    assert list(toolpath_files(model(HEAD + BOARD + letter + pocket + "routed seat with bit 6 mm\n"))) == ["toolpaths/A-top-1-bit-6mm.ngc"]
    written = letter.replace("deep 1 mm ", "")
    assert list(toolpath_files(model(HEAD + BOARD + written + pocket + ROUTED.format(on="", angle="60°")))) == ["toolpaths/A-top-1-bit-6mm.ngc"]
    assert codes(HEAD + BOARD + letter + "routed seat with bit 6 mm\n") == ["PD256"]
    assert codes(HEAD + BOARD + written + ROUTED.format(on="", angle="60°")) == ["PD355"]


@pytest.mark.parametrize(("angle", "code"), [("10°", "PD218"), ("160°", "PD218"), ("6 mm", "PD229"), ("60", "PD229")])
def test_a_v_bit_that_is_none_is_told(angle: str, code: str) -> None:
    assert codes(HEAD + BOARD + LETTER.format(deep="1 mm", face="top") + ROUTED.format(on="", angle=angle)) == [code]


def test_clamps_on_the_letters_are_told() -> None:
    plan = HEAD + BOARD + LETTER.format(deep="1 mm", face="top") + ROUTED.format(on="", angle="60°") + "  clamps {} at left\n"
    assert codes(plan.format("95 mm")) == ["PD354"]
    assert codes(plan.format("85 mm")) == []
