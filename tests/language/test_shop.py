"""A shop file: what it says, what is assumed without it, and where its figures go."""

from __future__ import annotations

import json
from fractions import Fraction

from plandoc.model.sawn import saw_of, saw_words
from plandoc.publish.modeljson import model_data
from plandoc.shopwork.shopwords import machine_rows, saw_note
from plandoc.tables.shop import ASSUMED
from tests.support.resolving import Outcome, inches, resolved

PLAN = '''plan "Rack"
  units inch to 1/32
  shop "club.shop"
stock ply sheet 48" x 96"
  called 3/4"
part shelf from ply
  size 30" x 8"
'''
SHOP = '''# what stands in the garage
shop "Garage on Mill Lane"
  table_saw "Cabinet saw" rip 36" crosscut 12" deep 3 1/8" kerf 1/8" heavy 20 kg
    stack 13/16" outer 1/8" cutters 1/8", 1/8", 1/16" shims 0.1 mm
  track_saw long 118" deep 2 1/8" kerf 2.2 mm
  clamps opens 24", 48" counts 6, 4 forces 100 kg, 1000 lb
  saw_blade "40 teeth" rips crosscuts kerf 3/32"
'''


def rack(shop: str = SHOP, heading: str = "") -> Outcome:
    plan = PLAN.replace('  shop "club.shop"\n', f'  shop "club.shop"\n{heading}')
    outcome = resolved({"rack.plan": plan, "club.shop": shop}, name="rack.plan")
    assert not outcome.diagnostics, outcome.report
    return outcome


def test_a_shop_is_read_exactly() -> None:
    shop = rack().model.shop
    assert shop.name == "Garage on Mill Lane" and not shop.assumed
    assert [(m.key, m.name) for m in shop.machines] == [("table_saw", "Cabinet saw"), ("track_saw", "Track saw"), ("clamps", "Clamps"), ("saw_blade", "40 teeth")]
    saw = shop.machine("table_saw")
    assert saw is not None
    assert saw.one("rip") == inches("36") and saw.one("deep") == inches("3 1/8") and saw.one("heavy") == 20
    assert saw.all("cutters") == (inches("1/8"), inches("1/8"), inches("1/16")) and saw.all("shims") == (Fraction(1, 10),)
    assert saw.all("bevelled") == ()
    clamps = shop.machine("clamps")
    assert clamps is not None and clamps.all("counts") == (6, 4)
    # 100 kg press with 980.665 N, 1000 lb with 453.59237 kg x 9.80665 m/s2
    assert clamps.all("forces") == (Fraction("980.665"), Fraction("453.59237") * Fraction("9.80665"))
    blade = shop.machine("saw_blade")
    assert blade is not None and blade.one("rips") == 1 and blade.one("panels") is None
    assert shop.machine("planer") is None  # what it does not list it does not have


def test_without_a_shop_the_usual_one_of_the_units_is_assumed() -> None:
    for units in ("inch", "mm"):
        plan = PLAN.replace('  shop "club.shop"\n', "").replace("inch to 1/32", units)
        model = resolved(plan).model
        assert model.shop is ASSUMED[units] and model.shop.assumed
        assert saw_words(model) == ("assumed", "assumed")


def test_kerf_and_trim_of_the_plan_come_before_those_of_the_shop() -> None:
    model = rack().model
    assert (saw_of(model).kerf, saw_of(model).trim) == (inches("1/8"), inches("1/4"))  # the widest kerf of the three; trim of the table
    assert saw_note(model) == 'Kerf 1/8" of the shop; edge trim 1/4" assumed: check your saw.'
    model = rack(SHOP.replace("kerf 1/8\" heavy", "kerf 1/16\" trim 3/8\" heavy")).model
    assert (saw_of(model).kerf, saw_of(model).trim) == (inches("3/32"), inches("3/8"))  # the blade in the rack cuts wider than the two saws
    assert saw_note(model) == 'Kerf 3/32" and edge trim 3/8", of the shop.'
    model = rack(heading='  kerf 3.2 mm\n  trim 0"\n').model
    assert (saw_of(model).kerf, saw_of(model).trim) == (Fraction("3.2"), 0)
    assert saw_note(model) == 'Kerf 3.2 mm and edge trim 0", as the plan says.'


def test_the_rows_of_the_sheet_print_what_tools_are_sold_as() -> None:
    rows = dict(machine_rows(rack().model))
    assert rows["Cabinet saw (table saw)"] == "rip 36; crosscut 12; deep 3 1/8; kerf 1/8; heavy 44 lb; stack 13/16; outer 1/8; cutters 1/8 (2X), 1/16; shims 0.1 mm"
    assert rows["Track saw"] == "long 118; deep 2 1/8; kerf 2.2 mm"
    assert rows["Clamps"] == "opens 24, 48; counts 6, 4; forces 220 lb, 1000 lb"
    assert rows["40 teeth (saw blade)"] == "rips; crosscuts; kerf 3/32"


def test_the_shop_is_in_the_data() -> None:
    data = json.loads(json.dumps(model_data(rack().model)))
    assert data["shop"]["name"] == "Garage on Mill Lane" and data["shop"]["assumed"] is False
    assert data["shop"]["machines"][1] == {
        "kind": "track_saw", "name": "Track saw",
        "figures": [{"name": "long", "values": ["2997.2"]}, {"name": "deep", "values": ["53.975"]}, {"name": "kerf", "values": ["2.2"]}],
    }  # fmt: skip
    assert data["plan"]["kerf"] is None


def test_a_shop_changes_the_print_of_the_source() -> None:
    assert rack().model.source_digest != rack(SHOP.replace("36", "30")).model.source_digest


def test_a_file_with_nothing_in_it_is_no_shop() -> None:
    outcome = resolved({"rack.plan": PLAN, "club.shop": "# to be written\n"}, name="rack.plan")
    assert outcome.codes == ["PD270"] and "describes no shop" in outcome.report
    assert outcome.model.shop.assumed


def test_a_shop_is_looked_up_beside_the_file_that_names_it() -> None:
    outcome = resolved({"plans/rack.plan": PLAN, "plans/club.shop": SHOP}, name="plans/rack.plan")
    assert not outcome.diagnostics and outcome.model.shop.name == "Garage on Mill Lane"
