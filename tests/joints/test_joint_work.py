"""Laps, corners, slots and pockets beyond the model: checks of the solids, sections, the way apart, the procedure."""

from __future__ import annotations

from fractions import Fraction as F

from plandoc.build.order import removal_directions
from plandoc.model.entities import Model, Step
from plandoc.pipeline import check
from plandoc.quantity import INCH
from plandoc.sheets.hardware import steps_of
from plandoc.sheets.partviews import plan_part
from plandoc.sheets.section_plan import section_cuts
from plandoc.shopwork.claims import uncovered
from plandoc.shopwork.hardwarelist import hardware_list
from plandoc.shopwork.procedure import procedure
from plandoc.tables import operation_of_feature, trade_operations
from plandoc.vocabulary import all_kinds
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import context

HEAD = 'plan "Trial"\n  units inch to 1/32\nstock ash lumber 4/4 "Ash"\n  dressed 1/2"\nstock wide lumber 4/4 "Ash, thick"\n  dressed 3/4"\n'
DRAWER = """part left_side from ash
  grain back
  across from 0
  back from front_board.rear to rear_board.front
  up from 0 to 6"
part right_side mirrors left_side about 9"
part front_board from wide
  grain across
  across from 0 to 18"
  back from 0
  up from 0 to 6"
part rear_board from ash
  grain across
  across from 0 to 18"
  back to 12"
  up from 0 to 6"
joint dovetail left_side, right_side into front_board tails 4 half_blind lap 1/4"
joint dovetail left_side, right_side into rear_board tails 4
"""
FRAME = """part stile[1] from wide
  grain up
  across from 0 to 2"
  back from 0
  up from 0 to 16"
part stile[2] mirrors stile[1] about 6"
part rail[1] from wide
  grain across
  across between stile[1] and stile[2]
  back from 0
  up from 0 to 2"
part rail[2] mirrors rail[1] about up 8"
"""
CRATE = """for i from 1 to 3
  part along[i] from ash
    grain across
    across from 0 to 16"
    back from i * 3"
    up from 0 to 4"
for i from 1 to 4
  part cross[i] from ash
    grain back
    across from i * 3"
    back from 0 to 12"
    up from 0 to 4"
joint lap along onto cross
"""


def clean(text: str) -> Model:
    """The model of HEAD and a text that no check has anything against."""
    checked = check("t.plan", MemoryWorld({"t.plan": HEAD + text}))
    assert [d.message for d in checked.diagnostics] == []
    return checked.model


def step(steps: tuple[Step, ...], title: str) -> Step:
    (found,) = (s for s in steps if s.title.startswith(title))
    return found


def test_tails_are_cut_before_the_pins() -> None:
    model = clean(DRAWER)
    steps = procedure(model)
    assert not uncovered(model, steps)
    titles = [s.title for s in steps]
    assert titles.index("Cut the dovetail tails") < titles.index("Cut the dovetail pins")
    tails, pins = step(steps, "Cut the dovetail tails"), step(steps, "Cut the dovetail pins")
    assert any("slope 1:8" in t for t in tails.texts) and any("slope 1:8" in t for t in pins.texts)
    assert any("finished tails" in c for c in pins.checks)
    # Pitch 1 1/2, pins 3/8 at their narrow side, tails 1 1/8 from 3/16: four near edges, in both boards alike.
    assert any('4 tail sockets 1 1/8" wide on the rear face, near edge 3/16", 1 11/16", 3 3/16" and 4 11/16" from the bottom edge' in t for t in pins.texts)


def test_the_row_of_tails_is_dimensioned_as_a_row() -> None:
    model = clean(DRAWER)
    plan = plan_part(model.part("rear_board"), units=model.info.units)
    rows = [((m.lo / INCH, m.hi / INCH), m.kind, m.printed_count) for m in plan.measures if m.axis == 2 and m.kind != "overall"]
    # To the first tail and three pitches of 1 1/2, once for both ends; the width of the tails, 1 1/8, stands in their note.
    assert rows == [((0, F(3, 16)), "loc", 1), ((F(3, 16), F(27, 16)), "size", 3)]
    sockets = [s for s in plan.shapes if s.feature.kind == "tail socket"]
    assert len(sockets) == 8 and all(s.wide is not None and s.wide.hi - s.wide.lo == F(9, 8) * INCH for s in sockets)


def test_dovetailed_sides_leave_sideways() -> None:
    ways = removal_directions(clean(DRAWER))
    assert {k: f.name for k, f in ways.items()} == {"left_side": "left", "right_side": "right"}


def test_both_ends_of_half_blind_pins_are_told_apart() -> None:
    pins = step(procedure(clean(DRAWER)), "Cut the dovetail pins")
    (front,) = (t for t in pins.texts if t.startswith("Front board"))
    assert "left end: 4 tail sockets" in front and "right end: 4 tail sockets" in front
    # The board is 3/4 thick, the lap 1/4: 1 1/8 wide at the lap, less twice 1/2 / 8 in the face that is worked.
    assert "4 tail sockets 1\" wide on that face (1 1/8\" wide at the lap), near edge 1/4\"" in front


def test_splines_are_on_the_hardware_list_and_go_in_with_the_glue() -> None:
    model = clean(FRAME + 'joint mitre rail into stile spline 1/8" x 1"\n')
    (row,) = hardware_list(model)
    assert row.quantity == 4 and row.description.startswith('spline 1/8" × 1" ×')
    steps = procedure(model)
    assert not uncovered(model, steps)
    glue = step(steps, "Glue up")
    assert sum("to each of Stile 1 (A) and Stile 2 (A) (mitre, with 1 spline)" in t for t in glue.texts) == 2
    assert any("Both diagonals looking from the front" in c for c in glue.checks)


def test_lapped_frame_has_its_diagonals_in_its_own_plane() -> None:
    model = clean(FRAME + "joint lap rail onto stile from rear\n")
    glue = step(procedure(model), "Glue up")
    assert any('Both diagonals looking from the front, outside corner to outside corner of 12" × 16": 20" each' in c for c in glue.checks)


def test_egg_crate_needs_no_section_of_its_laps() -> None:
    """A plane through a lap would cut the other strip flat, so there is the one section through the middle."""
    model = clean(CRATE)
    assert len(section_cuts(model)) == 1
    ways = removal_directions(model)
    assert {p: f.name for p, f in ways.items()} == {f"cross[{i}]": "bottom" for i in range(1, 5)}
    cut = step(procedure(model), "Cut the laps")
    assert 'Set-up: cutter 1/2" wide, set 2" high.' in cut.texts


def test_pocket_screws_are_driven_after_the_glue() -> None:
    model = clean('hardware ps screw No 8 long 1 1/4"\n' + FRAME + "joint pocket rail into stile with ps\n")
    titles = [s.title for s in procedure(model)]
    assert titles.index("Cut the pocket holes") < titles.index("Glue up Trial") < titles.index("Drive the pocket screws")
    drive = step(procedure(model), "Drive the pocket screws")
    assert drive.texts[0].startswith("8 × pocket screw No 8")


def test_all_new_words_have_their_operation() -> None:
    """No feature of these joints falls to the operation for words that the table lacks."""
    for word in ("cross lap", "T lap", "end lap", "half lap", "edge lap", "frame mitre", "case mitre", "spline slot", "socket", "pin socket", "half-pin socket", "tail socket", "biscuit slot", "screw pocket"):
        key = operation_of_feature(word)
        assert key != "shaping", word
        assert trade_operations()[key].cautions
    assert {"lap", "mitre", "box", "dovetail", "biscuit", "pocket"} <= set(all_kinds().joints)


def test_the_hardware_list_names_the_step_that_uses_biscuits() -> None:
    model = clean('hardware flat20 biscuit No 20\n' + FRAME.replace('up from 0 to 2"', 'up from 0 to 4"') + "joint biscuit rail into stile with flat20\n")
    ctx = context(model, style="shop-inch")
    (number,) = steps_of(ctx, "flat20")
    assert next(s for s in ctx.steps if s.number == number).title == "Glue up Trial"
