"""Parts of rod are round."""

from __future__ import annotations

from math import pi

import pytest

from plandoc.build.solids import part_solid
from plandoc.model.entities import Model
from plandoc.model.rods import ROD
from plandoc.pipeline import check
from plandoc.shopwork.operations import machined, operations
from plandoc.world import MemoryWorld

PLAN = """
plan "Rail"
  units mm
stock ply sheet 1200 mm x 2400 mm
  measured 18 mm
stock rod dowel 20 mm "Beech rod"
part left from ply
  grain up
  across from 0
  back from 0 to 100 mm
  up from 0 to 100 mm
  hole 20 mm deep 8 mm on right at centre
part right mirrors left about 200 mm
part bar from rod
  grain across
  across from left.right - 8 mm to right.left + 8 mm
  back centred on 50 mm
  up centred on 50 mm
"""


@pytest.fixture(scope="module")
def model() -> Model:
    """The rod fits into blind holes of its own diameter: nothing is told."""
    checked = check("p.plan", MemoryWorld({"p.plan": PLAN}))
    assert [d.code for d in checked.diagnostics] == []
    return checked.model


def test_the_volume_is_that_of_a_cylinder(model: Model) -> None:
    """400 - 36 + 16 is 380 of length; pi times 10 squared times that, facets of the mesh left out of account."""
    bar = model.part("bar")
    assert bar.length == 380
    assert part_solid(bar).volume == pytest.approx(pi * 100 * 380, rel=5e-3)


def test_nobody_makes_it_round(model: Model) -> None:
    bar = model.part("bar")
    assert [f.kind for f in bar.features] == [ROD]
    assert machined(model, bar) == ()
    assert [o.id for o in operations(model) if "bar" in o.parts and o.verb == "make"] == []


def test_a_mirrored_rod_is_round_once() -> None:
    text = PLAN + "part bar_2 from rod\n  grain up\n  across from 300 mm\n  back from 0 for 20 mm\n  up from 0 to 90 mm\npart bar_3 mirrors bar_2 about 400 mm\n"
    checked = check("p.plan", MemoryWorld({"p.plan": text}))
    assert [d.code for d in checked.diagnostics] == []
    first, second = checked.model.part("bar_2"), checked.model.part("bar_3")
    assert first.mark == second.mark and len(second.features) == 1
