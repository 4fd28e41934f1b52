"""Cuts that miss, break through, sever, repeat or leave nothing."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.build.solids import solids
from plandoc.checks.registry import Check, arranged, checks, run_checks
from plandoc.diagnostics import Diagnostic, Severity, Sink
from plandoc.diagnostics.codes import CODES
from plandoc.geometry.bodies import FACES, Disc, Prism
from plandoc.model.entities import Feature, Model
from tests.support.sample_model import sample_case
from tests.support.small_models import box, cut, model, part, prism

F = Fraction
TOP, FRONT, RIGHT = FACES["top"], FACES["front"], FACES["right"]
BOARD = box(0, 0, 0, 300, 200, 18)


def found(case: Model) -> tuple[Diagnostic, ...]:
    sink = Sink()
    run_checks(case, solids(case), sink)
    return sink.finish()


def codes_of(*features: Feature) -> list[str]:
    return [d.code for d in found(model([part("board", BOARD, *features)]))]


def hole(x: int, y: int, radius: int, z: int, **more: object) -> Feature:
    disc = Prism(2, F(z), F(18), Disc((F(x), F(y)), F(radius)))
    return cut(f"hole {x} {y}", "hole", TOP, disc, **more)  # type: ignore[arg-type]


def test_sound_work_gives_no_message() -> None:
    assert found(sample_case()) == ()
    assert codes_of(
        hole(40, 40, 4, 0, through=True),
        hole(90, 40, 4, 8, depth=10),
        cut("d", "dado", TOP, prism(120, 0, 12, 138, 200, 18), depth=6, through=True),
        cut("r", "rabbet", TOP, prism(0, 190, 9, 300, 200, 18), depth=9, through=True),
        cut("n", "notch", FRONT, prism(0, 0, 0, 30, 40, 18), through=True),
    ) == []


def test_a_cut_beside_its_part() -> None:
    (message,) = found(model([part("board", BOARD, hole(400, 40, 4, 8, depth=10))]))
    assert (message.code, message.severity) == ("PD341", Severity.WARNING)
    assert message.notes[0].text == "cut: across 396 mm to 404 mm, back 36 mm to 44 mm, up 8 mm to 18 mm"


def test_a_round_cut_past_the_corner() -> None:
    # its box reaches 2 into the board on both sides, the circle passes the corner: 10 - 10 * 0.7071 = 2.93 > 2
    assert codes_of(hole(-8, -8, 10, 8, depth=10)) == ["PD341"]
    assert codes_of(hole(-6, -6, 10, 8, depth=10)) == []


def test_a_cut_in_the_empty_corner_beside_a_tongue() -> None:
    tongue = Feature("t", "tongue", None, adds=(prism(300, 50, 6, 310, 150, 12),))
    wide = box(0, 0, 0, 310, 200, 18)
    beside = cut("c", "pocket", TOP, prism(302, 10, 10, 308, 40, 18), depth=8)
    case = model([part("board", BOARD, tongue, beside, finished=wide)])
    assert [d.code for d in found(case)] == ["PD341"]


def test_a_channel_that_severs_its_part() -> None:
    through = cut("d", "dado", TOP, prism(100, 0, 0, 118, 200, 18), through=True)
    (message,) = found(model([part("board", BOARD, hole(40, 40, 4, 0, through=True), through)]))
    assert message.code == "PD342"
    assert message.message == "the dado of board leaves it in 2 pieces"
    assert message.notes[1].text.startswith("piece: across 118 mm to 300 mm")


def test_two_channels_that_meet_sever_too() -> None:
    upper = cut("u", "groove", TOP, prism(100, 0, 9, 110, 200, 18), depth=9, through=True)
    lower = cut("l", "groove", FACES["bottom"], prism(105, 0, 0, 115, 200, 9), depth=9, through=True)
    (message,) = found(model([part("board", BOARD, upper, lower)]))
    # they meet along a strip 5 wide, so the second one severs the board
    assert (message.code, message.message) == ("PD342", "the groove of board leaves it in 2 pieces")


def test_a_pocket_that_comes_out_below() -> None:
    (message,) = found(model([part("board", BOARD, hole(90, 40, 4, 0, depth=18))]))
    assert (message.code, message.severity) == ("PD343", Severity.WARNING)
    assert message.message == "the hole of board comes out at the bottom face"


def test_a_pocket_deeper_than_the_part() -> None:
    (message,) = found(model([part("board", BOARD, hole(90, 40, 4, -7, depth=25))]))
    assert (message.code, message.severity) == ("PD344", Severity.ERROR)
    assert message.notes[0].text == "depth from the top face 25 mm, board measures 18 mm there"


def test_a_through_hole_may_run_out() -> None:
    assert codes_of(hole(90, 40, 4, -7, through=True)) == []


def test_the_same_hole_twice_and_a_hole_in_a_channel() -> None:
    dado = cut("d", "dado", TOP, prism(80, 0, 8, 100, 200, 18), depth=10, through=True)
    assert codes_of(hole(90, 40, 4, 10, depth=8), dado) == ["PD345"]
    assert codes_of(hole(90, 40, 4, 4, depth=14), dado) == []
    once = hole(200, 40, 4, 10, depth=8)
    (message,) = found(model([part("board", BOARD, once, hole(200, 40, 4, 10, depth=8))]))
    assert message.code == "PD345"
    assert message.notes[1].span == once.span


def test_nothing_left() -> None:
    everything = cut("n", "notch", FRONT, prism(0, 0, 0, 300, 200, 18), through=True)
    assert codes_of(everything) == ["PD346"]


def test_registry_refuses_doubles_and_every_code_is_explained() -> None:
    known = checks()
    assert [c.code for c in known] == sorted(c.code for c in known)
    for check in known:
        entry = CODES[check.code]
        assert entry.title and entry.explanation and entry.wrong and entry.right
    with pytest.raises(ValueError, match="PD340"):
        arranged([known[0], Check("PD340", known[1].run)])
