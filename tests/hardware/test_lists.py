"""What is bought: counts, screws, surfaces, prices; and the work that the procedure makes of it."""

from __future__ import annotations

from fractions import Fraction as F

from plandoc.publish.packetlists import hardware_csv
from plandoc.quantity import Units
from plandoc.sheets.cover import overall_text
from plandoc.shopwork.claims import uncovered
from plandoc.shopwork.hardwarelist import (
    amount_words,
    area_words,
    fastening_words,
    hardware_list,
    height_words,
)
from plandoc.shopwork.hardwaresizes import sizes_words
from plandoc.shopwork.operations import operations
from plandoc.shopwork.procedure import procedure
from plandoc.tables import operation, operation_of_feature, operation_of_hardware
from plandoc.vocabulary import all_kinds
from tests.support.resolving import faulty, resolved, sound

CASE = """
part left_side from ply
  grain  up
  across from 0
  back   from 0 to 300 mm
  up     from 100 mm to 700 mm
part right_side mirrors left_side about 300 mm
part shelf from ply
  grain  across
  across between left_side and right_side
  back   from 0 to 300 mm
  up     from 300 mm
joint dado shelf into left_side, right_side deep 6 mm
part door from ply
  grain  up
  across from 2 mm to 298 mm
  back   to 0
  up     from 100 mm to 700 mm
"""


def test_screws_that_come_with_it_and_screws_that_are_bought() -> None:
    text = CASE + 'hardware no6 screw No 6 "Screw" long 5/8" price 0.05\nhardware h hinge overlay 16 mm screws 4 with no6 price 2.50\nhardware p hook spaced 32 mm screws 2\n'
    model = sound(text + "fit h on door, left_side at 100 mm, 500 mm\nfit p on left_side at (150 mm, 300 mm), (50 mm, 300 mm) facing left\nfit no6 on shelf count 3\n").model
    rows = {r.item: r for r in hardware_list(model)}
    assert (rows["h"].quantity, rows["h"].screws, rows["h"].total) == (2, 0, 5)
    # 2 hinges with 4 each, and 3 more.
    assert (rows["no6"].quantity, rows["no6"].total) == (11, F(55, 100))
    assert (rows["p"].quantity, rows["p"].screws) == (2, 4)
    assert amount_words(rows["p"], None, Units("mm", F(1))) == "4 screws with them"
    assert "p,hook,2,each," in hardware_csv(hardware_list(model)) and hardware_csv(hardware_list(model)).splitlines()[0].endswith("screws,area_m2")


def test_only_a_screw_can_be_a_screw() -> None:
    outcome = resolved('plan "T"\nhardware pin dowel 8 mm x 30 mm\nhardware h hinge screws 4 with pin\nstock s sheet 48" x 96"\n  called 3/4"\npart a from s\n  size 3" x 4"\n')
    assert outcome.codes == ["PD323"]


def test_glue_follows_from_the_joints() -> None:
    text = CASE + "hardware glue_1 glue covers 100 mm x 100 mm price 5\nfit glue_1 on left_side, shelf\n"
    (row,) = hardware_list(sound(text).model)
    # One dado 300 long: bottom 18, two walls of 6.
    assert row.area == 300 * (18 + 2 * 6) and row.quantity == 1
    (row,) = hardware_list(sound(text.rstrip() + ", right_side\n").model)
    assert (row.area, row.quantity, row.total) == (2 * 9000, 2, 10)  # 18000 mm2, 10000 a pack


def test_finish_follows_from_the_surfaces() -> None:
    text = CASE + "hardware oil finish covers 1 m x 1 m coats 3\nfit oil on door facing front, rear\n"
    (row,) = hardware_list(sound(text).model)
    assert row.area == 3 * 2 * 296 * 600 and row.quantity == 2
    assert amount_words(row, sound(text).model.hardware[0], Units("mm", F(1))) == "for about 1.07 m², 3 coats together (estimate)"
    (row,) = hardware_list(sound(CASE + "hardware oil finish coats 1\nfit oil on door\n").model)
    assert row.area == 2 * (296 * 600 + 296 * 18 + 600 * 18) and row.quantity == 1
    assert area_words(F(144) * F(254, 10) ** 2 * 5 / 2, Units()) == "2.5 sq ft"


def test_sizes_in_words() -> None:
    items = {i.name: i for i in sound(
        CASE + "hardware h hinge overlay 16 mm\nhardware i hinge\nhardware w caster high 70 mm plate 60 mm x 50 mm spaced 45 mm x 35 mm screws 4 load 40 kg\n"
        "hardware b butt_hinge long 50 mm leaf 14 mm x 1.5 mm holes 9 mm, 41 mm\n").model.hardware}  # fmt: skip
    units = Units("mm", F(1))
    assert sizes_words(items["h"], units) == "overlay 16, cup 35, 12.5 deep"
    assert sizes_words(items["i"], units) == "inset, cup 35, 12.5 deep"
    assert sizes_words(items["w"], units).startswith("70 high, plate 60 × 50, screws 45 × 35 apart, pilot 2.5, load 40 kg")
    assert sizes_words(items["b"], units) == "50 long; leaf 14 × 1.5; holes at 9, 41; pilot 2.5"


def test_a_metric_plan_prints_millimetres() -> None:
    """2 in are 50.8 mm, in the list and in the steps; the bit stays as it is bought. An inch plan says what is metric."""
    hardware = 'hardware s screw No 8 long 2"\nhardware w caster high 2 1/2" plate 2 3/8" x 1 3/4" spaced 1 3/4" x 1 1/8" pilot 7/64"\nhardware p pull bore 5 mm spaced 96 mm\n'
    text = CASE.replace("dado shelf into left_side, right_side deep 6 mm", "butt shelf into left_side, right_side with s").replace("part left_side", hardware + "part left_side", 1)
    outcome = sound(text)
    items = {i.name: i for i in outcome.model.hardware}
    metric, inches = Units("mm", F(1)), Units("inch", F(254, 10) / 32)
    assert sizes_words(items["s"], metric) == "No 8 × 50.8"
    assert sizes_words(items["w"], metric) == '63.5 high, plate ≈60.3 × ≈44.5, screws ≈44.5 × ≈28.6 apart, pilot 7/64"'
    assert sizes_words(items["p"], inches) == "bore 5 mm, 96 mm apart"
    fastening = outcome.model.joints[0].fasteners[0]
    assert fastening_words(outcome.model, fastening) == "screw No 8 × 50.8 mm"
    assert not any("51 mm" in t or "≈5" in t for step in procedure(outcome.model) for t in step.texts if "screw" in t.lower())


def test_splines_and_keys_stand_in_the_list_with_their_sizes() -> None:
    boards = "stock oak lumber 4/4\n  dressed 20 mm\n"
    for n in (1, 2):
        boards += f"part board[{n}] from oak\n  grain across\n  across from 0 to 600 mm\n  back from {(n - 1) * 100} mm for 100 mm\n  up from 0\n"
    (row,) = hardware_list(sound(boards + "joint edge board[1] into board[2] spline 6 mm x 24 mm\n").model)
    assert (row.description, row.quantity) == ("spline 6 mm × 24 mm × 600 mm", 1)
    posts = "stock oak lumber 8/4\n  dressed 40 mm\npart leg from oak\n  grain up\n  across from 0 for 80 mm\n  back from 0\n  up from 0 to 500 mm\n"
    posts += "part rail from oak\n  grain across\n  across from leg.right to 600 mm\n  back from 0\n  up from 200 mm for 90 mm\n"
    (row,) = hardware_list(sound(posts + "joint tenon rail into leg through proud 60 mm sized 14 mm keyed 12 mm x 20 mm\n").model)
    assert row.description.startswith("key 12 mm × 20 mm where it stands") and row.description.endswith("more than 14 mm long")
    assert "Rail into Leg" in row.used


def test_every_kind_has_its_operation_and_the_new_work_too() -> None:
    assert operation_of_hardware("butt_hinge") == operation_of_hardware("hinge") == "fit_hinge"
    assert operation_of_hardware("caster") == operation_of_hardware("leveller") == "fit_caster"
    assert operation_of_hardware("hanger") == "fit_hanger"
    assert operation_of_hardware("finish") == "finishing" and operation_of_hardware("glue") == "glue_up"
    assert (operation_of_feature("cup"), operation_of_feature("gain")) == ("hinge_cup", "hinge_gain")
    for kind in all_kinds().hardware:
        assert operation(operation_of_hardware(kind)).cautions


BOXED = """
assembly box
  part wall from ply
    grain  up
    across from 0
    back   from 0 to 300 mm
    up     from 0 to 500 mm
  part wall_2 mirrors wall about 100 mm
  part low from ply
    grain  across
    across between wall and wall_2
    back   from 0 to 300 mm
    up     from 100 mm
  part plug from ply
    size  30 mm x 20 mm
    count 3
  joint dado low into wall, wall_2 deep 6 mm
place box as one
"""


def test_finish_and_glue_of_an_assembly_are_spread_on_all_its_parts() -> None:
    """Each part once, though it is named twice, and all pieces of a loose one: 2 (500 x 300 + 500 x 18 + 300 x 18) of each wall,
    of the floor 176 long, and of three plugs."""
    line = BOXED + "hardware oil finish covers 1 m x 1 m\nhardware pva glue covers 1 m x 1 m\n"
    model = sound(line + "fit oil on one.wall, one\nfit pva on one\n").model
    oil, pva = model.fittings
    assert oil.parts == pva.parts == ("one.wall", "one.wall_2", "one.low", "one.plug")
    walls, floor, plugs = 2 * (500 * 300 + 500 * 18 + 300 * 18), 2 * (176 * 300 + 176 * 18 + 300 * 18), 3 * 2 * (30 * 20 + 30 * 18 + 20 * 18)
    assert oil.area == 2 * walls + floor + plugs
    (glue,) = [r for r in hardware_list(model) if r.item == "pva"]
    assert glue.area == 2 * 300 * (18 + 2 * 6)
    assert [d.code for d in faulty(BOXED + "hardware hook_1 hook\nfit hook_1 on one at 10 mm, 10 mm\n")] == ["PD204"]


def test_a_pack_of_glue_covers_more_than_nothing() -> None:
    (fault,) = faulty("hardware pva glue covers 0 x 1 m\n")
    assert fault.code == "PD218"


def test_the_procedure_covers_all_of_it() -> None:
    text = CASE + """
hardware h hinge "Cup hinge" overlay 16 mm screws 4
hardware w caster "Caster" high 70 mm plate 60 mm x 50 mm spaced 45 mm x 35 mm screws 4
hardware g glue "Glue"
hardware o finish "Oil" coats 2
fit h on door, left_side at 100 mm, 500 mm
fit w on shelf inset 60 mm
fit g on left_side, right_side, shelf
fit o on left_side, right_side, shelf, door
"""
    model = sound(text).model
    steps = procedure(model)
    assert uncovered(model, steps) == ()
    titles = [s.title for s in steps]
    assert "Bore for the hinge cups" in titles and "Ease edges, sand and finish" in titles
    assert [op.kind for op in operations(model) if op.verb == "fit"] == ["fit_hinge", "fit_caster", "finishing"]
    finish = steps[titles.index("Ease edges, sand and finish")]
    assert titles.index("Ease edges, sand and finish") == len(titles) - 1
    assert any(t.startswith("Oil: 2 coats on ") and t.endswith(" m² a coat.") for t in finish.texts)
    hinges = next(s for s in steps if s.title.startswith("Fit Cup hinge"))
    assert "Door, rear face: in the 6 holes drilled for it." in [t.replace(" (D)", "").replace(" (C)", "") for t in hinges.texts]
    casters = next(s for s in steps if s.title.startswith("Fit Caster"))
    assert casters.checks[0].endswith("70 mm below the part.")
    rows = next(s for s in steps if s.title.startswith("Drill the rows"))
    assert any("at 42.5 mm, 77.5 mm, 222.5 mm and 257.5 mm from the front edge, each at " in t for t in rows.texts)


def test_the_author_may_finish() -> None:
    text = CASE + 'hardware o finish "Oil"\nfit o on door\nstep "Oil the door"\n  fits o\n  do Wipe it on.\n'
    model = sound(text).model
    assert uncovered(model, procedure(model)) == ()
    assert len([s for s in procedure(model) if any("Oil: " in t for t in s.texts)]) == 0


def test_gains_are_said_by_their_face() -> None:
    """Length along the pin, width of the leaf, depth into the face, on the face of the side and on the edge of the door."""
    text = CASE.replace("across from 2 mm to 298 mm", "across from 20 mm to 298 mm").replace("back   to 0\n", "back   from 0\n")
    text += "hardware b butt_hinge long 50 mm leaf 14 mm x 1.5 mm holes 9 mm, 41 mm\nfit b on door, left_side at 80 mm, 480 mm\n"
    text = text.replace("back   from 0 to 300 mm\n  up     from 300 mm", "back   from 20 mm to 300 mm\n  up     from 300 mm")
    steps = procedure(sound(text).model)
    texts = next(s.texts for s in steps if s.title == "Let in the hinge leaves")
    assert texts[0] == "Set-up: 50 mm long × 14 mm wide, 0.5 mm deep."
    assert len([t for t in texts if t.startswith("Set-up")]) == 1
    assert any("near end 55 mm from the bottom end, open at the front" in t and "near end 455 mm" in t for t in texts)


def test_height_with_feet() -> None:
    """The shelf at 300 carries casters of 300, which end 100 below the lowest part at 100; the case is 600 high."""
    wheel = "hardware w caster high {} plate 60 mm x 50 mm spaced 45 mm x 35 mm\nfit w on shelf inset 60 mm\n"
    assert height_words(sound(CASE + wheel.format("300 mm")).model) == "700 high with its casters"
    assert overall_text(sound(CASE + wheel.format("300 mm")).model).endswith("600 high, 700 high with its casters")
    assert height_words(sound(CASE + wheel.format("200 mm")).model) == ""
