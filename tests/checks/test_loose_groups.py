"""Groups of joined parts that only touch."""

from __future__ import annotations

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Sink
from plandoc.diagnostics.codes import CODES
from tests.support.resolving import resolved

HEAD = """plan "Two"
  units mm
stock birch sheet 1220 mm x 2440 mm
  called 18 mm
hardware screw8 screw No 8 long 1 1/4"
hardware glued glue
"""
STAND = """part shelf from birch
  across from 0 to 400 mm
  back   from 0 to 200 mm
  up     to 300 mm
part foot from birch
  across from 0 to 400 mm
  back   from 20 mm
  up     from 0 to shelf.bottom
joint butt foot into shelf
"""
CASE = """part floor from birch
  across from 0 to 400 mm
  back   from 0 to 200 mm
  up     from {up}
part wall from birch
  across from 0 to 400 mm
  back   from 0
  up     from floor.top for 200 mm
joint butt wall into floor
"""


def told(text: str) -> list[str]:
    found = resolved(HEAD + text)
    assert found.codes == [], found.report
    sink = Sink()
    run_checks(found.model, solids(found.model), sink)
    return [f"{d.code} {d.message}" for d in sink.finish()]


ON = CASE.format(up="shelf.top")
IN = "assembly case()\n" + "".join(f"  {line}\n" for line in CASE.format(up="300 mm").splitlines()) + "place case as upper\n"


def test_what_only_touches_is_told() -> None:
    assert told(STAND + ON) == ["PD359 `shelf` and `floor` touch, but nothing joins them, nor what each of them is joined to"]
    assert told(STAND + ON + "fit glued on shelf, floor\n") == told(STAND + ON)


def test_what_is_joined_or_apart_is_not() -> None:
    assert told(STAND + ON + "joint butt floor into shelf\n") == []
    assert told(STAND + CASE.format(up="shelf.top + 5 mm")) == []


def test_what_is_loose_by_intent_is_not() -> None:
    assert told(STAND + IN) == []
    assert told(STAND + IN + "opens upper to top 100 mm\n") == []
    # a single part, and a piece without joints
    assert told(STAND + ON.partition("part wall")[0]) == []
    assert told((STAND + ON).replace("joint butt foot into shelf\n", "").replace("joint butt wall into floor\n", "")) == []


def test_the_explanation_shows_it() -> None:
    stock = 'plan "Lines"\nstock birch sheet 48" x 96"\n  called 3/4"\n'
    for lines, codes in ((CODES["PD359"].wrong, ["PD359"]), (CODES["PD359"].right, [])):
        found = resolved(stock + lines)
        assert found.codes == [], found.report
        sink = Sink()
        run_checks(found.model, solids(found.model), sink)
        assert [d.code for d in sink.finish()] == codes


BASE = "assembly stand()\n" + "".join(f"  {line}\n" for line in STAND.splitlines()) + "place stand as base\n"


def test_a_case_that_only_stands_on_its_stand_is_told_until_the_plan_says_how_it_is_held() -> None:
    assert told(BASE + IN) == ["PD359 `upper.floor` stands on `base.shelf`, and the plan does not say how it is held there"]
    for line in (
        "joint butt upper.floor into base.shelf dry", "joint butt upper.floor into base.shelf", "fit screw8 on upper.floor", "opens upper to top 100 mm",
    ):  # fmt: skip
        assert told(f"{BASE}{IN}{line}\n") == [], line


def test_cases_beside_each_other_and_what_another_one_holds_are_not_told() -> None:
    assert told(BASE + IN.replace("from 300 mm", "from 0").replace("as upper", "as upper\n  at across 400 mm")) == []
    rack = "assembly rack()\n" + "".join(f"  {line}\n" for line in (BASE + IN).splitlines() if line.startswith("place"))
    defined = "".join(f"{line}\n" for line in (BASE + IN).splitlines() if not line.startswith("place"))
    assert told(f"{defined}{rack}place rack as both\n") == []
