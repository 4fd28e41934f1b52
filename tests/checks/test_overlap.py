"""Two parts in one room: found at the right place, in the right amount."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from plandoc.build.solids import solids
from plandoc.checks.overlap import CHECK, run
from plandoc.checks.wording import box_text, exact_box, volume_text
from plandoc.diagnostics import Diagnostic, Severity, Sink
from plandoc.geometry.bodies import FACES, Disc, Prism, box_prism
from plandoc.model.entities import Model, PlanInfo
from plandoc.quantity import Units
from tests.support.sample_model import sample_case
from tests.support.small_models import box, cut, model, part, prism

F = Fraction
INCHES = PlanInfo("Trial", units=Units("inch", F(1, 32)))


def found(case: Model) -> tuple[Diagnostic, ...]:
    sink = Sink()
    run(case, solids(case), sink)
    return sink.finish()


SIDE = part("side", box(0, 0, 0, 18, 300, 500))


def test_a_sound_cabinet_has_none() -> None:
    assert found(sample_case()) == ()


def test_touching_parts_are_no_overlap() -> None:
    assert found(model([SIDE, part("shelf", box(18, 0, 100, 400, 300, 118))])) == ()


def test_a_shelf_without_its_dado() -> None:
    (message,) = found(model([SIDE, part("shelf", box(12, 0, 100, 400, 280, 118))]))
    assert (message.code, message.severity) == ("PD340", Severity.ERROR)
    # 6 * 280 * 18 = 30 240 mm3
    assert message.message == "side and shelf stand in the same room: they share 30.24 cm³, 6 mm deep across"
    assert message.notes[0].text == "shared room: across 12 mm to 18 mm, back 0 mm to 280 mm, up 100 mm to 118 mm"
    assert message.span == part("shelf", SIDE.box).span
    assert message.notes[-1].span == SIDE.span


def test_a_dado_too_shallow_leaves_the_rest() -> None:
    side = part(
        "side", SIDE.box, cut("d", "dado", FACES["right"], prism(14, 0, 100, 18, 300, 118), depth=4, through=True)
    )
    (message,) = found(model([side, part("shelf", box(12, 0, 100, 400, 280, 118))]))
    # 2 of the 6 are left
    assert "10.08 cm³, 2 mm deep across" in message.message
    assert message.notes[0].text.startswith("shared room: across 12 mm to 14 mm")


def test_a_dado_that_fits_leaves_nothing() -> None:
    side = part(
        "side", SIDE.box, cut("d", "dado", FACES["right"], prism(12, 0, 100, 18, 300, 118), depth=6, through=True)
    )
    assert found(model([side, part("shelf", box(12, 0, 100, 400, 280, 118))])) == ()


def test_two_places_are_both_named() -> None:
    rail = part("rail", box(-10, 20, 40, 600, 60, 60))
    bridge = part("bridge", box(0, 0, 0, 500, 100, 50), cut("n", "notch", FACES["bottom"], prism(100, 0, 0, 400, 100, 45), through=True))
    (message,) = found(model([rail, bridge]))
    # two feet 100 * 40 * (50 - 40), and between them 300 * 40 * 5: one body; its box is the whole length
    assert "140 " not in message.message
    assert volume_text(2 * 100 * 40 * 10 + 300 * 40 * 5, Units("mm")) == "140.00 cm³"
    assert "140.00 cm³" in message.message
    posts = part("posts", box(0, 0, 0, 500, 100, 50), cut("n", "notch", FACES["top"], prism(100, 0, 30, 400, 100, 50), through=True))
    (message,) = found(model([rail, posts]))
    assert [n.text for n in message.notes[:2]] == [
        "shared room: across 0 mm to 100 mm, back 20 mm to 60 mm, up 40 mm to 50 mm",
        "shared room: across 400 mm to 500 mm, back 20 mm to 60 mm, up 40 mm to 50 mm",
    ]


def test_a_rod_in_its_hole_fits_and_in_a_smaller_one_does_not() -> None:
    def case(radius: int) -> Model:
        hole = Prism(0, F(0), F(18), Disc((F(150), F(250)), F(radius)))
        side = part("side", SIDE.box, cut("h", "hole", FACES["right"], hole, through=True))
        room = box(0, 130, 230, 600, 170, 270)
        # a rod: the corners of its square blank are cut away, here written as the round body itself
        rod = part("rod", box(18, 149, 249, 600, 151, 251))
        dowel = Prism(0, F(0), F(600), Disc((F(150), F(250)), F(20)))
        tongue = cut("round", "tongue", None)
        rod = part("rod", rod.box, type(tongue)("round", "tongue", None, adds=(dowel,)), finished=room)
        return model([side, rod])

    assert found(case(20)) == ()
    (message,) = found(case(19))
    # a ring of 20 and 19, 18 long
    ring = math.pi * (400 - 361) * 18
    assert f"{ring / 1000:.2f} cm³" in message.message


def test_figures_are_in_the_plans_units() -> None:
    inch = F(254, 10)
    side = part("side", SIDE.box)
    room = box(0, 0, 0, 1, 1, 1)
    shelf_box = room.with_span(0, inch / 4, 10 * inch).with_span(1, F(0), 5 * inch).with_span(2, inch, 2 * inch)
    (message,) = found(model([side, part("shelf", shelf_box)], info=INCHES))
    assert message.notes[0].text == 'shared room: across 1/4" to ≈23/32", back 0" to 5", up 1" to 2"'
    assert "cubic inches" in message.message


def test_loose_parts_are_not_compared() -> None:
    from dataclasses import replace

    assert found(model([SIDE, replace(part("foot", SIDE.box), loose=True)])) == ()


@pytest.mark.parametrize("shift", (0, 7, 113))
def test_the_amount_is_that_of_the_boxes(shift: int) -> None:
    one, two = box(0, 0, 0, 90, 70, 50), box(40, -20, 20 + shift, 130, 30, 60 + shift)
    common = one.common(two)
    shared = solids(model([part("a", one), part("b", two)]))
    volume = shared["a"].common_volume(shared["b"])
    assert volume == pytest.approx(float(common.volume) if common else 0.0)
    if common:
        bounds = shared["a"].common_bounds(shared["b"])
        assert bounds is not None
        assert exact_box(bounds, one, two) == common
        assert box_text(common, Units("mm"))
    assert box_prism(one).axis == 2


def test_code_is_declared() -> None:
    assert CHECK.code == "PD340"
