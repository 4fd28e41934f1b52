"""Splayed sides (hoppers) against a published chart of saw settings and the published formula.

The chart: compound-angle settings for 4 to 10 sides, as owner's manuals of table saws print it ("given to the closest
0.005 degrees"); from memory, which manual and which page was not written down. Every row of it that stands here follows from
the formula within 0.006 degrees, which a test holds, so the formula is what counts. Pitch is the angle of a side out of the
level, so a side that leans by a has the pitch 90 - a. M is the mitre gauge, B the tilt of the blade. The formula
(computed, plane trigonometry: the saw plane of a corner halves the angle of two neighbouring sides):
tan M = cos(pitch) tan(180/n), sin B = sin(pitch) sin(180/n).
"""

from __future__ import annotations

from math import asin, atan, cos, degrees, pi, radians, sin, tan

import pytest

from plandoc.build.solids import solids
from plandoc.geometry.bodies import Chunk
from plandoc.geometry.lean import saw_angles
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from tests.support.resolving import resolved

CHART = {
    (4, 15): (44.01, 10.55),
    (4, 30): (40.89, 20.70),
    (4, 45): (35.26, 30.00),
    (4, 60): (26.57, 37.76),
    (4, 75): (14.51, 43.08),
    (6, 15): (29.15, 7.44),
    (6, 30): (26.57, 14.48),
    (6, 45): (22.21, 20.70),
    (6, 60): (16.10, 25.66),
    (8, 15): (21.81, 5.68),
    (8, 30): (19.73, 11.03),
    (8, 45): (16.32, 15.70),
}
HEIGHT, APOTHEM, THICK = 150, 200, 12  # mm; of the outer faces at the floor


def hopper(n: int, lean: float) -> Model:
    outcome = resolved(hopper_text(n, lean))
    assert outcome.codes == [], outcome.report
    return outcome.model


def hopper_text(n: int, lean: float) -> str:
    """n sides that lean outwards by `lean` degrees, mitred to each other, their edges level."""
    slant = HEIGHT / cos(radians(lean)) + 60
    joints = "".join(f"joint mitre wall[{i}].board into wall[{(i + 1) % n}].board\n" for i in range(n))
    return f"""
plan "Hopper"
  units mm to 0.1
stock ply sheet 1220 mm x 2440 mm
  called {THICK} mm
assembly wall
  part board from ply
    grain across
    across from -100 mm to 100 mm
    back from {-APOTHEM} mm
    up from 0 for {slant:.3f} mm
    leans {lean}° to front at front, bottom
    trimmed bottom to up 0
    trimmed top to up {HEIGHT} mm
for i from 0 to {n - 1}
  place wall as wall[i]
    turned i * 360° / {n} about up
{joints}"""


def settings(model: Model) -> list[tuple[float, float]]:
    """Mitre gauge and tilt (degrees) of the mitred ends of every side."""
    found = []
    for part in model.parts:
        cuts = [c for f in part.features if f.kind == "end cut" for c in f.cuts if isinstance(c, Chunk)]
        ends = [c for c in cuts if c.normal[part.length_axis]]  # the level cuts above and below run along the length
        assert len(ends) == 2
        found += [saw_angles(c.normal, part.length_axis, part.thickness_axis) for c in ends]
    return found


@pytest.mark.parametrize(("sides", "pitch"), list(CHART))
def test_settings_of_the_published_chart(sides: int, pitch: int) -> None:
    for turned, tilt in settings(hopper(sides, 90 - pitch)):
        assert turned == pytest.approx(CHART[sides, pitch][0], abs=0.006)
        assert tilt == pytest.approx(CHART[sides, pitch][1], abs=0.006)


def test_the_chart_follows_from_the_formula() -> None:
    for (sides, degrees_), (gauge, tilt) in CHART.items():
        pitch = radians(degrees_)
        assert gauge == pytest.approx(degrees(atan(cos(pitch) * tan(pi / sides))), abs=0.006)
        assert tilt == pytest.approx(degrees(asin(sin(pitch) * sin(pi / sides))), abs=0.006)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8])
@pytest.mark.parametrize("lean", [5, 22.5, 40])
def test_settings_of_the_formula(sides: int, lean: float) -> None:
    pitch = radians(90 - lean)
    for turned, tilt in settings(hopper(sides, lean)):
        assert turned == pytest.approx(degrees(atan(cos(pitch) * tan(pi / sides))), abs=1e-6)
        assert tilt == pytest.approx(degrees(asin(sin(pitch) * sin(pi / sides))), abs=1e-6)


@pytest.mark.parametrize("sides", [3, 4, 6, 8])
def test_the_ring_is_closed_and_as_large_as_it_must_be(sides: int) -> None:
    """No two sides share wood, all are one body, and the wood is that of a ring whose level section at height z lies
    between two regular polygons with apothems r(z) = r0 + z tan(lean) and r(z) - t / cos(lean)."""
    lean = 20.0
    model = hopper(sides, lean)
    made = list(solids(model).values())
    for i, first in enumerate(made):
        for second in made[i + 1 :]:
            assert first.common_volume(second) < 1.0
    wide, slope = THICK / cos(radians(lean)), tan(radians(lean))
    # integral of n tan(pi/n) (2 r w - w^2) over the height
    volume = sides * tan(pi / sides) * (2 * wide * (APOTHEM * HEIGHT + slope * HEIGHT**2 / 2) - wide**2 * HEIGHT)
    assert sum(s.volume for s in made) == pytest.approx(volume, rel=1e-6)
    assert Solid.union(made).volume == pytest.approx(volume, rel=1e-5)
    lo = min(s.bounds[0][2] for s in made)
    hi = max(s.bounds[1][2] for s in made)
    assert (lo, hi) == (0.0, float(HEIGHT))


@pytest.mark.parametrize("sides", [3, 4, 6, 8])
def test_all_sides_are_one_kind_of_part(sides: int) -> None:
    model = hopper(sides, 20)
    assert len({p.mark for p in model.parts}) == 1


def test_a_leaning_mitre_takes_no_spline() -> None:
    told = resolved(hopper_text(4, 15).replace("joint mitre wall[0].board into wall[1].board", 'joint mitre wall[0].board into wall[1].board spline 3 mm x 12 mm')).diagnostics
    assert [(d.code, d.message) for d in told] == [("PD474", "a mitre of parts that lean differently takes no spline")]
