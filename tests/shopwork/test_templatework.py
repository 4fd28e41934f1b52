"""Work by template: nothing that set-ups leave is lost, passes end at the drawn depth, the bit fits, the outline comes last."""

from __future__ import annotations

from fractions import Fraction
from math import atan2, cos, hypot, pi, sin

import pytest
import shapely

from plandoc.build.routing import routings
from plandoc.geometry.bodies import Disc, Loop, Prism, Rect
from plandoc.model.entities import Feature, Model
from plandoc.pipeline import check
from plandoc.quantity import INCH
from plandoc.shopwork.names import mark_of
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.setups import setups
from plandoc.shopwork.templatewords import how_text, reasons, stops_text, tool_text
from plandoc.shopwork.templatework import (
    BLIND,
    BORE,
    LETTER,
    OPEN,
    OUTLINE,
    TemplateCut,
    blocks_of_steps,
    template_work,
)
from plandoc.world import MemoryWorld
from tests.sheets.test_cutting import NAMES, example
from tests.support.resolving import HEAD
from tests.toolpath.test_simulated import BOARD, FORMS, routed

SHOP = '''shop "Club"
  table_saw rip 800 mm deep 80 mm kerf 3 mm
  track_saw long 2600 mm deep 54 mm kerf 2 mm
  router bits 4 mm, 8 mm, 12 mm, 16 mm, 20 mm deep 50 mm{more}
  drill_press deep 80 mm throat 60 mm
'''


def made(*forms: str, more: str = "", routed_with: str = "") -> Model:
    text = HEAD.replace("\n", '\n  shop "club.shop"\n', 1) + BOARD + "".join(f"  {form}\n" for form in forms)
    model = check("t.plan", MemoryWorld({"t.plan": text + routed_with, "club.shop": SHOP.format(more=more)})).model
    assert not model.shop.assumed
    return model


def cuts(model: Model) -> list[TemplateCut]:
    return [cut for block in template_work(model).blocks for cut in block.cuts]


def bits(model: Model) -> list[Fraction | None]:
    return [cut.tool.diameter for cut in cuts(model) if cut.tool.kind == "bit"]


@pytest.fixture(scope="module", params=NAMES)
def model(request: pytest.FixtureRequest) -> Model:
    """Each example once for all tests of this file."""
    return example(request.param).model


# --- every example -----------------------------------------------------------------------------------------------


def test_all_that_set_ups_leave_is_on_the_sheet_or_has_its_reason(model: Model) -> None:
    job = template_work(model)
    shown = set()
    for block in job.blocks:
        places = [n for n, f in enumerate(block.part.features) if any(f in cut.features for cut in block.cuts)]
        shown |= {(part.path, part.features[n].id) for part in block.parts for n in places}
    told = {(path, ident): reason for _, path, ident, reason in job.elsewhere}
    assert not shown & set(told)
    for kind, path, ident in setups(model).left:
        assert (path, ident) in shown or told.get((path, ident)), (kind, path, ident)
        assert told.get((path, ident)) != "no machine here sets it"
        if kind in ("rectangular_pocket", "round_pocket", "finger_notch", "slot", "cutout", "shaping", "lettering"):
            assert (path, ident) in shown or told[path, ident] == "router led by numbers"


def test_passes_end_at_the_drawn_depth(model: Model) -> None:
    for block in template_work(model).blocks:
        for cut in block.cuts:
            if not cut.stops:
                assert cut.tool.kind in ("saw", "hand")
                continue
            feature, part = cut.feature, block.part
            assert feature.face is not None
            thick = part.box.size(feature.face.axis)
            bottom = feature.depth if feature.depth is not None else thick
            assert cut.top + sum(cut.passes) == bottom == cut.stops[-1]
            assert all(one > 0 for one in cut.passes)
            if cut.tool.kind == "bit":
                assert cut.tool.diameter is not None
                most = INCH / 4 if model.info.units.system == "inch" else 6
                assert max(cut.passes) <= min(cut.tool.diameter / 2, most)


def test_the_outline_is_cut_last(model: Model) -> None:
    for block in template_work(model).blocks:
        phases = [cut.phase for cut in block.cuts]
        assert phases == sorted(phases)
        assert all(cut.phase == OUTLINE for cut in block.cuts[phases.index(OUTLINE) :]) if OUTLINE in phases else True
        assert all(cut.phase == OUTLINE for cut in block.cuts if cut.operation == "shaping")


def outline(prism: Prism) -> shapely.Geometry:
    """The outline of a body, its arcs in small chords, by arithmetic of its own."""
    shape = prism.outline
    if isinstance(shape, Rect):
        return shapely.box(*map(float, (*shape.lo, *shape.hi)))
    if isinstance(shape, Disc):
        return shapely.Point(*map(float, shape.centre)).buffer(float(shape.radius), quad_segs=64)
    assert isinstance(shape, Loop)
    chain: list[tuple[float, float]] = []
    for n, start in enumerate(shape.points):
        (x0, y0), (x1, y1) = (tuple(map(float, p)) for p in (start, shape.points[(n + 1) % len(shape.points)]))
        bow = float(shape.bows[n]) if n < len(shape.bows) else 0.0
        chain.append((x0, y0))
        if bow:
            (cx, cy), r = arc(x0, y0, x1, y1, bow)
            begin, sweep = atan2(y0 - cy, x0 - cx), 4 * atan2(bow, 1)
            chain += [(cx + r * cos(begin + sweep * k / 40), cy + r * sin(begin + sweep * k / 40)) for k in range(1, 40)]
    return shapely.Polygon(chain).buffer(0)


def arc(x0: float, y0: float, x1: float, y1: float, bow: float) -> tuple[tuple[float, float], float]:
    """Centre and radius of an arc from its ends and its bow (tangent of a quarter of its angle)."""
    half = hypot(x1 - x0, y1 - y0) / 2
    r = half * (1 + bow * bow) / (2 * abs(bow))
    off = half * (1 - bow * bow) / (2 * bow)
    mx, my, ux, uy = (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2 / half, (y1 - y0) / 2 / half
    return (mx - uy * off, my + ux * off), r


def radii(feature: Feature) -> list[float]:
    found = []
    for body in feature.cuts:
        assert isinstance(body, Prism)
        if isinstance(body.outline, Disc):
            found.append(float(body.outline.radius))
        if isinstance(body.outline, Loop):
            points, bows = body.outline.points, body.outline.bows
            for n, bow in enumerate(bows):
                (x0, y0), (x1, y1) = points[n], points[(n + 1) % len(points)]
                if bow > 0:
                    found.append(arc(float(x0), float(y0), float(x1), float(y1), float(bow))[1])
    return found


def test_the_bit_is_no_wider_than_corners_and_narrowest_place(model: Model) -> None:
    for block in template_work(model).blocks:
        listed = [bit for one in model.shop.machines if one.key == "router" for bit in (*one.all("bits"), *one.all("bearings"))]
        for cut in block.cuts:
            if cut.tool.kind != "bit" or cut.phase == OUTLINE:
                continue
            assert cut.tool.diameter in listed
            assert cut.tool.diameter is not None
            for feature in cut.features:
                assert float(cut.tool.diameter) <= 2 * min(radii(feature), default=1e9) + 1e-6 or cut.tool.pare
                r = float(cut.tool.diameter) / 2
                for body in feature.cuts:
                    assert isinstance(body, Prism)
                    room = outline(body)
                    swept = room.buffer(-r + 0.02, quad_segs=64).buffer(r + 0.02, quad_segs=64)
                    assert not swept.is_empty
                    assert room.difference(swept).area <= 4 * (1 - pi / 4) * r * r + 0.1  # no more than four square corners


def test_each_block_belongs_to_a_step(model: Model) -> None:
    said = {mark for marks in blocks_of_steps(model, procedure(model)).values() for mark in marks}
    assert said == {mark_of(block.part) for block in template_work(model).blocks}


# --- bits --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "bit", "chop"),
    [
        ("pocket 60 mm x 30 mm deep 7 mm radius 8 mm on top at 100 mm, 80 mm", 16, False),
        ("pocket 60 mm x 30 mm deep 7 mm radius 7.9 mm on top at 100 mm, 80 mm", 12, False),
        ("pocket 60 mm x 14 mm deep 7 mm on top at 100 mm, 80 mm", 12, True),
        ("pocket 60 mm x 30 mm deep 7 mm on top at 100 mm, 80 mm", 20, True),
        ("slot 8 mm x 50 mm deep 5 mm on top at 100 mm, 80 mm lies across", 8, False),
        ("slot 7.9 mm x 50 mm through on top at 100 mm, 80 mm lies across", 4, False),
        ("cutout 100 mm x 60 mm radius 6 mm on top at 120 mm, 80 mm", 12, False),
    ],
)
def test_the_largest_bit_that_corners_and_width_allow(form: str, bit: int, chop: bool) -> None:
    (cut,) = cuts(made(form))
    assert (cut.tool.diameter, cut.tool.chop, cut.tool.pare) == (bit, chop, 0)


def test_too_narrow_or_too_deep_for_every_bit_is_done_by_hand() -> None:
    (cut,) = cuts(made("slot 3 mm x 50 mm deep 5 mm on top at 100 mm, 80 mm lies across"))
    assert (cut.tool.kind, cut.machine, cut.stops) == ("hand", "hand_tools", ())
    shallow = SHOP.replace("deep 50 mm{more}", "deep 6 mm")
    text = HEAD.replace("\n", '\n  shop "club.shop"\n', 1) + BOARD + "  pocket 60 mm x 30 mm deep 7 mm on top at 100 mm, 80 mm\n"
    (cut,) = cuts(check("t.plan", MemoryWorld({"t.plan": text, "club.shop": shallow})).model)
    assert cut.tool.kind == "hand"


def test_corners_smaller_than_every_bit_are_pared() -> None:
    model = made("pocket 60 mm x 30 mm deep 7 mm radius 1.5 mm on top at 100 mm, 80 mm")
    (cut,) = cuts(model)
    assert (cut.tool.diameter, cut.tool.pare) == (4, 1.5)
    assert "pare the corners to R 1.5 mm" in how_text(cut, model.info.units)


def test_a_bit_with_a_bearing_is_taken_before_a_larger_one_without() -> None:
    form = "pocket 60 mm x 30 mm deep 7 mm radius 8 mm on top at 100 mm, 80 mm"
    model = made(form, more=" bearings 12 mm, 19 mm")
    (cut,) = cuts(model)
    assert (cut.tool.diameter, cut.tool.bearing, cut.tool.bush) == (12, True, None)
    assert tool_text(cut, model.info.units) == "straight bit Ø12 mm, bearing"


def test_a_guide_bush_comes_with_its_offset() -> None:
    model = made("pocket 60 mm x 30 mm deep 7 mm radius 8 mm on top at 100 mm, 80 mm", more=" bushes 17 mm, 24 mm, 30 mm")
    (cut,) = cuts(model)
    assert (cut.tool.diameter, cut.tool.bush, cut.tool.offset) == (16, 24, 4)
    assert "edge of the template 4 mm outside of the line" in how_text(cut, model.info.units)


# --- order and passes --------------------------------------------------------------------------------------------


def test_a_stepped_pocket_goes_from_the_shallow_level_down() -> None:
    model = made("pocket round 60 mm deep 5 mm on top at 100 mm, 80 mm\n    step round 40 mm deep 17 mm")
    assert [(cut.top, cut.depth, cut.stops) for cut in cuts(model)] == [(0, 5, (5,)), (5, 17, (11, 17))]
    assert "from the floor at 5 mm down" in how_text(cuts(model)[1], model.info.units)
    assert any("Shallow level first" in why for why in reasons(template_work(model).blocks))


def test_a_wider_and_shallower_level_is_cut_before_the_pocket_that_it_surrounds() -> None:
    model = made("pocket round 40 mm deep 12 mm on top at 100 mm, 80 mm\n    step round 60 mm deep 5 mm")
    assert [(cut.feature.kind, cut.top, cut.depth) for cut in cuts(model)] == [("step", 0, 5), ("pocket", 5, 12)]


def test_bores_letters_pockets_openings_outline() -> None:
    model = made(
        "round 20 mm on top corners", "cutout 40 mm x 30 mm radius 10 mm on top at 180 mm, 80 mm", "pocket round 60 mm deep 8 mm on top at 90 mm, 80 mm\n    finger 18 mm to front",
        'letter "A" on top at 40 mm, 130 mm high 10 mm deep 1 mm',
    )  # fmt: skip
    phases = [cut.phase for cut in cuts(model)]
    assert phases == sorted(phases)
    assert {LETTER, BLIND, OPEN, OUTLINE} <= set(phases)


def test_round_work_out_of_the_throat_but_for_the_drill_press_is_bored_by_template() -> None:
    found = cuts(example("eyepiece-cabinet").model)
    bored = [cut for cut in found if cut.phase == BORE]
    assert bored
    assert all(cut.tool == type(cut.tool)("bore", cut.feature.diameter) and len(cut.stops) == 1 for cut in bored)


@pytest.mark.parametrize("form", ["cornered", "round corners", "stepped", "slot", "ring", "free"])
def test_passes_and_depths_agree_with_those_of_a_router_led_by_numbers(form: str) -> None:
    """With one bit both count the same passes to the same depths, in the same order."""
    (routing,) = routings(routed(FORMS[form]))
    stages = [(stage.depth, stage.passes, stage.count) for program in routing.result.programs for stage in program.stages]
    text = HEAD.replace("\n", '\n  shop "club.shop"\n', 1) + BOARD + f"  {FORMS[form]}\n"
    model = check("t.plan", MemoryWorld({"t.plan": text, "club.shop": SHOP.replace("4 mm, 8 mm, 12 mm, 16 mm, 20 mm", "6 mm").format(more="").replace("  drill_press deep 80 mm throat 60 mm\n", "")})).model
    own = [(float(cut.depth or 0), len(cut.stops), 1) for cut in cuts(model) if cut.feature.kind != "finger"]
    assert own == stages


def test_what_a_router_led_by_numbers_cuts_is_left_to_it() -> None:
    form = "pocket 60 mm x 30 mm deep 7 mm on top at 100 mm, 80 mm"
    assert cuts(made(form)) and not cuts(made(form, routed_with="routed seat with bit 8 mm\n"))


def test_long_rows_of_stops_name_each_or_their_step() -> None:
    model = made("slot 4 mm x 50 mm through on top at 100 mm, 80 mm lies across")
    (cut,) = cuts(model)
    assert stops_text(cut, model.info.units) and bits(model) == [4]
