"""The words by which operations know features and hardware: all that kinds use, and none besides."""

from __future__ import annotations

from pathlib import Path

import pytest

from plandoc.diagnostics import Sink
from plandoc.diagnostics.diagnostic import Severity
from plandoc.model.loading import load
from plandoc.model.resolve import resolve
from plandoc.model.rods import ROD
from plandoc.shopwork.operations import feature_word
from plandoc.tables import trade_operations
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.world import DiskWorld, MemoryWorld, World
from tests.support.resolving import CORNER, HEAD

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.plan"))
# The forms of kinds that no example shows.
MORE = f"""{HEAD}{CORNER}joint mitre top into side
part lath from ply
  grain up
  across from 1000 mm to 1100 mm
  back from 0
  up from 0 to 500 mm
part strip from ply
  grain up
  across from 1100 mm to 1200 mm
  back from 0
  up from 0 to 500 mm
joint edge lath into strip spline 6 mm x 24 mm
part rail from ply
  grain across
  across from 2000 mm to 2200 mm
  back from 0 to 50 mm
  up from 0
part more from ply
  grain across
  across from 2140 mm to 2400 mm
  back from 0 to 50 mm
  up from 0
joint lap rail onto more
part flap from ply
  grain across
  across from 3000 mm to 3300 mm
  back from 0
  up from 0 to 200 mm
  leans 10° to rear
  trimmed bottom to up 20 mm
"""


def words_of(plan: str, world: World) -> set[str]:
    """The words of all features that the parts of a plan have."""
    kinds, sink = all_kinds(), Sink()
    model = resolve(load(plan, world, vocabulary(kinds), sink), kinds, sink)
    assert not [found.message for found in sink.finish() if found.severity is Severity.ERROR]
    return {word for part in model.parts for feature in part.features for word in (feature.kind, feature_word(part, feature))}


@pytest.fixture(scope="module")
def used() -> set[str]:
    plans = [(plan.name, DiskWorld(plan.parent)) for plan in EXAMPLES if plan.stem == plan.parent.name]
    return {word for plan, world in [*plans, ("trial.plan", MemoryWorld({"trial.plan": MORE}))] for word in words_of(plan, world)}


def test_every_feature_word_has_its_operation(used: set[str]) -> None:
    """But the roundness of a rod, which is bought."""
    known = {word for entry in trade_operations().values() for word in entry.features}
    assert used - known == {ROD}


def test_every_word_of_an_operation_is_used_by_a_kind(used: set[str]) -> None:
    features = [word for entry in trade_operations().values() for word in entry.features]
    assert sorted(set(features) - used) == []
    hardware = [word for entry in trade_operations().values() for word in entry.hardware]
    assert sorted(set(hardware) - set(all_kinds().hardware)) == []
