"""Feet of what leans as a whole: trimmed to the floor, and what is said of those that are not."""

from __future__ import annotations

from math import isclose, radians, sin, tan

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Diagnostic, Sink
from tests.support.resolving import Outcome, resolved

TRESTLE = """plan "Trestle"
  units mm to 0.1
stock larch lumber 32 mm
  dressed 27 mm
assembly side() "Side"
  part leg from larch
    grain   up
    across  to 0
    back    from 0 for 60 mm
    up      from 0 to 400 mm
    {trim}
{more}place side as left
  leans 8° to right
"""
OTHER = "  part other mirrors leg about 80 mm\n"


def outcome(trim: str, more: str = "") -> Outcome:
    found = resolved(TRESTLE.format(trim=trim, more=more))
    assert found.codes == [], found.report
    return found


def told(found: Outcome) -> tuple[Diagnostic, ...]:
    sink = Sink()
    run_checks(found.model, solids(found.model), sink)
    return sink.finish()


def test_the_foot_is_level_on_the_floor() -> None:
    """The side leans about its origin, the inner bottom edge of the leg, which stays where it is. The floor then falls away from the leg
    by tan 8°: its outer face, 27 mm from there, is 27 × tan 8° = 3.79 mm longer. The mirrored leg stands 160 mm further in,
    where the floor cuts 160 × tan 8° = 22.49 mm off."""
    found = outcome("trimmed bottom to floor", OTHER)
    leg, other = found.model.part("left.leg"), found.model.part("left.other")
    assert isclose(float(leg.length), 400 + 27 * tan(radians(8)), abs_tol=1e-5)
    assert isclose(float(other.length), 400 - 160 * tan(radians(8)), abs_tol=1e-5)
    assert abs(leg.stands.lo[2]) < 1e-5 and abs(other.stands.lo[2]) < 1e-5
    assert [f.note for f in leg.features] == ["blade tilt 8.0°"] == [f.note for f in other.features]
    assert told(found) == ()


def test_a_foot_on_one_edge_is_told() -> None:
    """The outer edge of the foot lies 27 × sin 8° = 3.758 mm higher than the inner one."""
    assert f"{27 * sin(radians(8)):.1f}" == "3.8"
    (one,) = told(outcome("trimmed bottom to up 0"))
    assert one.code == "PD358" and one.message == "the foot of `left.leg` stands on one edge: at the other it lies 3.8 mm off the floor"
    assert one.mend == "trimmed bottom to floor"


def test_a_part_called_floor_goes_before() -> None:
    """Its top is 50 mm up in the assembly, square to the leg, so that the leg is 350 mm long."""
    board = "  part floor from larch\n    across from -100 mm to 100 mm\n    back from 0 for 60 mm\n    up to 50 mm\n"
    assert outcome("trimmed bottom to floor", board).model.part("left.leg").length == 350


def test_a_value_called_floor_does_not() -> None:
    text = TRESTLE.format(trim="trimmed bottom to floor", more="").replace("assembly", "set floor = 50 mm\nassembly", 1)
    assert isclose(float(resolved(text).model.part("left.leg").length), 400 + 27 * tan(radians(8)), abs_tol=1e-5)


def test_a_foot_that_stands_straight_is_not_told() -> None:
    straight = TRESTLE.format(trim="trimmed bottom to up 0", more="").replace("leans 8° to right", "at across 0")
    assert told(resolved(straight)) == ()
