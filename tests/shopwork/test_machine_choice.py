"""Which machine takes which cut: against capacities worked out by hand, with the reasons that the steps print."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Stock
from plandoc.pipeline import check
from plandoc.quantity import Units
from plandoc.shopwork.blades import ACROSS, ALONG, SHEETS, blade_for, blade_text, tasks_of
from plandoc.shopwork.capacity import Sawn, jointer_for, planer_for, saw_for
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.setups import setups
from plandoc.tables.shop import ASSUMED, Shop, ShopMachine
from plandoc.world import MemoryWorld
from tests.support.resolving import inches

INCH = Units("inch", Fraction(1, 32))
USUAL = ASSUMED["inch"]  # rip 30", gauge 12", mitre saw 12", rail 118", jointer 6", planer 12 1/2"


def without(*keys: str) -> Shop:
    return Shop("Some", tuple(m for m in USUAL.machines if m.key not in keys))


def panel(along: str, across: str, at: str, kg: int = 5, crosscut: bool = False, sheet: bool = True) -> Sawn:
    return Sawn(inches(along), inches(across), inches(at), inches("3/4"), Fraction(kg), sheet, crosscut)


def test_a_panel_goes_along_the_fence_while_its_edge_guides_it() -> None:
    choice = saw_for(USUAL, panel("48", "30", "20"), INCH)
    assert (choice.key, choice.reason, choice.push) == ("table_saw", 'along the fence at 20" of its 30"', False)
    assert saw_for(USUAL, panel("48", "30", "5 15/16"), INCH).push  # less than 6" between fence and blade
    assert not saw_for(USUAL, panel("48", "30", "6"), INCH).push
    choice = saw_for(USUAL, panel("18", "60", "20"), INCH)  # 18" on the fence, 20" beside the blade; the gauge takes 12"
    assert choice.key == "track_saw"
    assert choice.refused[0] == ("Table saw, 10 in. blade, fence", 'its edge of 18" on the fence is shorter than the 20" beside the blade, so that it can twist')
    assert choice.refused[1][1] == 'a width of 18" is more than its 12"'
    assert saw_for(USUAL, panel("20", "60", "20"), INCH).key == "table_saw"  # as long as wide


def test_a_panel_past_the_fence_or_too_heavy_goes_along_the_rail() -> None:
    wide = saw_for(USUAL, panel("96", "48", "30 1/16"), INCH)
    assert wide.key == "track_saw" and wide.refused[0][1] == 'the cut at 30 1/16" is more than its 30"'
    heavy = saw_for(USUAL, panel("96", "48", "20", kg=31), INCH)
    assert heavy.key == "track_saw" and "31 kg (68 lb), more than the 23 kg (50 lb)" in heavy.refused[0][1]
    # without a rail a helper carries the far end of what is only heavy; what is too wide no saw takes
    helped = saw_for(without("track_saw"), panel("96", "48", "20", kg=31), INCH)
    assert helped.key == "table_saw" and helped.helper and "a helper carries its far end" in helped.reason
    none = saw_for(without("track_saw"), panel("96", "48", "30 1/16", kg=31), INCH)
    assert not none.good and ("Track saw", "not in this shop") in none.refused


def test_a_short_panel_sits_on_the_sled_and_a_narrow_one_carries_no_rail() -> None:
    short = saw_for(USUAL, panel("11", "30", "8"), INCH)
    assert short.key == "table_saw" and short.reason.startswith('on the mitre gauge or sled: 11" wide, it takes 12"')
    bare = Shop("Rail only", tuple(m for m in USUAL.machines if m.key == "track_saw"))
    assert saw_for(bare, panel("30", "6", "3"), INCH).good
    narrow = saw_for(bare, panel("30", "5", "3"), INCH)
    assert not narrow.good and ("Track saw", 'a piece of 5" does not carry the rail') in narrow.refused


def test_a_narrow_strip_of_a_sheet_is_crosscut_on_the_mitre_saw() -> None:
    strip = saw_for(USUAL, panel("3", "59 1/2", "18 9/16", crosscut=True), INCH)
    assert strip.key == "mitre_saw" and strip.reason == '3" wide, its stroke is 12"'
    assert saw_for(USUAL, panel("3", "20", "18 9/16", crosscut=True), INCH).key == "mitre_saw"  # the same stop for all of them
    assert saw_for(USUAL, panel("6", "59 1/2", "18 9/16", crosscut=True), INCH).key == "track_saw"
    assert saw_for(without("mitre_saw"), panel("3", "59 1/2", "18 9/16", crosscut=True), INCH).key == "track_saw"


def test_a_board_wider_than_the_stroke_is_not_cut_on_the_mitre_saw() -> None:
    at_stroke = saw_for(USUAL, panel("12", "96", "40", crosscut=True, sheet=False), INCH)
    assert (at_stroke.key, at_stroke.reason) == ("mitre_saw", '12" wide, its stroke is 12"')
    wider = saw_for(USUAL, panel("12 1/2", "96", "40", crosscut=True, sheet=False), INCH)
    assert wider.key == "track_saw"
    assert wider.refused[0] == ("Sliding mitre saw, 10 in. blade", 'a width of 12 1/2" is more than its 12"')
    by_hand = saw_for(Shop("Bench", (ShopMachine("sander", "Sander"),)), panel("8", "96", "40", crosscut=True, sheet=False), INCH)
    assert by_hand.key == "hand_tools" and by_hand.machine is None


def test_jointer_and_planer_take_what_their_tables_take() -> None:
    assert jointer_for(USUAL, inches("30"), inches("6"), INCH).reason == 'a face of 6", it takes 6"'
    over = jointer_for(USUAL, inches("30"), inches("6 1/2"), INCH)
    assert over.key == "planer" and "carrier board" in over.reason and over.refused == (("Jointer", 'a face of 6 1/2" is more than its 6"'),)
    assert "from a longer blank: 11\" is shorter than the 12\"" in jointer_for(USUAL, inches("11"), inches("3"), INCH).reason
    short = jointer_for(USUAL, inches("11"), inches("10 1/2"), INCH)  # short and too wide: no longer blank makes it narrower
    assert short.key == "planer" and short.refused == (("Jointer", 'a face of 10 1/2" is more than its 6"'),)
    assert short.reason.startswith('from a longer blank: 11" is shorter than the 14"') and "carrier board" in short.reason
    assert jointer_for(USUAL, inches("11"), inches("13"), INCH).key == "hand_tools"
    thin = planer_for(USUAL, inches("13"), inches("3"), inches("3/16"), INCH).reason  # short and thin
    assert thin.startswith('from a longer blank: 13" is shorter than the 14"') and "on a flat carrier board: 3/16\"" in thin
    assert planer_for(USUAL, inches("13"), inches("3"), inches("3/4"), INCH).reason.startswith('from a longer blank: 13" is shorter than the 14"')
    assert planer_for(USUAL, inches("30"), inches("13"), inches("3/4"), INCH).key == "hand_tools"
    assert "carrier board" in planer_for(USUAL, inches("30"), inches("5"), inches("3/16"), INCH).reason


PLAN = '''plan "Case"
  shop "club.shop"
stock ply sheet 48" x 96"
  called 3/4"
  material birch plywood
part left from ply
  grain up
  across from 0
  back from 0 to DEPTH
  up from 0 to 60"
part right mirrors left about 15"
part shelf from ply
  grain across
  across between left and right
  back from 0 to DEPTH
  up from 30"
joint dado shelf into left, right deep 1/4"
'''
SAW = '  table_saw "Cabinet saw" rip 30" crosscut 12" deep 3 1/8" kerf 1/8" heavy 60 lb stack 3/4" outer 1/8"\n'
RAIL = "  track_saw long 118\" deep 2\" kerf 2.2 mm\n"
ROUTER = '  router bits 1/2", 3/4" deep 2"\n'


def made(machines: str, depth: str = '11"') -> tuple[list[str], list[str], str]:
    """Codes, the lines on machines of all steps, and what was reported."""
    checked = check("case.plan", MemoryWorld({"case.plan": PLAN.replace("DEPTH", depth), "club.shop": f'shop "Club"\n{machines}'}))
    lines = [line for step in procedure(checked.model) for line in step.choices] if checked.good else []
    return [d.code for d in checked.diagnostics], lines, " ".join(f"{d.message} {d.mend} {[n.text for n in d.notes]}" for d in checked.diagnostics)


def test_a_dado_is_cut_on_the_gauge_while_the_side_fits_it_and_else_along_a_guide() -> None:
    codes, lines, _ = made(SAW + RAIL + ROUTER)
    assert not codes and "Cabinet saw: stack of cutters, on the mitre gauge." in lines  # 11" on a gauge of 12"
    codes, lines, _ = made(SAW + RAIL + ROUTER, '16"')  # 16" bear on the fence, 29 1/4" or more lie between
    assert not codes
    assert any(line.startswith('Router, hand-held: along a straight guide, not with a stack of cutters: the end of 16" on the fence is shorter than the 29 1/4" to the channel') for line in lines), lines


def test_a_channel_near_the_far_end_goes_along_the_fence_from_there() -> None:
    """A shelf 4" below the top of a side 16" deep and 60" high: too far from the bottom end, which is the reference; step and set-up
    measure from the top end. A rabbet along the top end has that end at the fence."""
    for joint, up in (("dado", '55 1/4"'), ("rabbet", '59 1/4"')):
        text = PLAN.replace("DEPTH", '16"').replace('up from 30"', f"up from {up}").replace("joint dado", f"joint {joint}")
        checked = check("case.plan", MemoryWorld({"case.plan": text, "club.shop": f'shop "Club"\n{SAW + RAIL + ROUTER}'}))
        assert checked.good, checked.diagnostics
        found = [(setup, cut) for setup in setups(checked.model).setups for cut in setup.cuts if cut.kind == joint]
        assert {setup.setting.machine for setup, _ in found} == {"table_saw"} and {(cut.rides.axis, cut.rides.side) for _, cut in found} == {(2, 1)}
        assert {setup.setting.fence[0] for setup, _ in found} == {inches("4") if joint == "dado" else inches("3/4")}
        step = next(step for step in procedure(checked.model) if joint in step.kinds)
        assert step.machines == ("table_saw",) and not any("Router" in line for line in step.choices)


def test_without_a_stack_the_channels_are_routed() -> None:
    codes, lines, _ = made(SAW.replace(' stack 3/4" outer 1/8"', "") + RAIL + ROUTER)
    assert not codes and "Router, hand-held: along a straight guide, not with a stack of cutters: not in this shop." in lines


def test_what_no_machine_can_do_is_an_error_with_the_way_round() -> None:
    codes, _, said = made(SAW.replace(' stack 3/4" outer 1/8"', "") + RAIL)
    assert codes == ["PD366"] and "no machine of the shop can cut the dado in `left`" in said
    assert "this work is done on: table saw and router, hand-held; list one of them" in said
    codes, _, said = made(RAIL.replace("deep 2\"", "deep 1/2\"") + ROUTER)
    assert set(codes) == {"PD366"} and "can rip `left`" in said
    assert 'Track saw: a thickness of 3/4" is more than its 1/2"' in said and "have the sheets cut to rough size where they are bought" in said


def test_the_blade_of_the_shop_is_named_among_the_tools() -> None:
    text = SAW + RAIL + ROUTER + '  saw_blade "60 teeth" panels kerf 1/8"\n  saw_blade "24 teeth" rips kerf 1/8"\n'
    checked = check("case.plan", MemoryWorld({"case.plan": PLAN.replace("DEPTH", '11"'), "club.shop": f'shop "Club"\n{text}'}))
    cutting = next(step for step in procedure(checked.model) if step.cuts)
    assert 'saw blade "60 teeth"' in cutting.tools and 'saw blade "24 teeth"' not in cutting.tools
    assert "Blade: 60 teeth, sheet goods." in cutting.choices


def test_the_blade_goes_by_the_task_of_the_cut() -> None:
    """The one that is for the fewest other tasks; a combination blade does both ways of the grain, and all cuts at an angle."""
    saw = ShopMachine("table_saw", "Saw", (("blade", (inches("10"),)),))

    def blade(name: str, *tasks: str, wide: str = "10") -> ShopMachine:
        return ShopMachine("saw_blade", name, (*((task, (Fraction(1),)) for task in tasks), ("teeth", (Fraction(50),)), ("kerf", (inches("3/32"),)), ("blade", (inches(wide),))))

    both, rip, small = blade("Both", ALONG, ACROSS), blade("Rip", ALONG), blade("Small", SHEETS, wide="8")
    shop = Shop("Some", (saw, both, rip, small))
    oak, ply = (Stock(name, kind, name, Fraction(19), Fraction(19)) for name, kind in (("oak", "lumber"), ("ply", "sheet")))
    assert blade_for(shop, tasks_of(oak, True)) is rip and blade_for(shop, tasks_of(oak, False)) is both
    assert blade_for(shop, tasks_of(oak, True, angled=True)) is both
    assert blade_for(shop, tasks_of(ply, True)) is None  # that for sheets does not go on this saw
    assert blade_for(Shop("Rip", (saw, rip)), tasks_of(oak, True, angled=True)) is rip
    assert blade_for(Shop("No saw", (rip,)), tasks_of(oak, True)) is None and blade_text(rip) == "Rip, 50 teeth"


def test_the_assumed_shops_have_a_blade_for_each_task() -> None:
    for shop in ASSUMED.values():
        own = {task: [m for m in shop.machines if m.key == "saw_blade" and m.one(task)] for task in (ALONG, ACROSS, SHEETS)}
        assert [len(found) for found in own.values()] == [2, 2, 1]  # one of them is for both ways of the grain
        assert all(m.one("teeth") and m.one("kerf") for found in own.values() for m in found)
