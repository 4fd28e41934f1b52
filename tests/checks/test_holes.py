"""Holes in air, broken out or with thin walls, and things in the room of hardware."""

from __future__ import annotations

import pytest

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Diagnostic, Severity, Sink
from tests.support.resolving import faulty, sound

BOARD = """
part board from ply
  grain  across
  across from 0 to 400 mm
  back   from 0
  up     from 0 to 200 mm
"""
PEG = "hardware peg hook pilot 4 mm\n"


def found(text: str) -> tuple[Diagnostic, ...]:
    model, sink = sound(text).model, Sink()
    run_checks(model, solids(model), sink)
    return sink.finish()


def codes(text: str) -> list[str]:
    return [d.code for d in found(text)]


@pytest.mark.parametrize(("work", "expected"), [
    ("", []),
    # A notch that takes the whole hole away is a cut made twice.
    ("notch 120 mm x 120 mm at left, bottom", ["PD345"]),
    # The hole is 10 deep: of it a pocket takes 4, half, more, or all.
    ("pocket 60 mm x 60 mm deep 4 mm on front at 100 mm, 100 mm", []),
    ("pocket 60 mm x 60 mm deep 5 mm on front at 100 mm, 100 mm", []),
    ("pocket 60 mm x 60 mm deep 5.1 mm on front at 100 mm, 100 mm", ["PD360"]),
    ("pocket 60 mm x 60 mm deep 11 mm on front at 100 mm, 100 mm", ["PD345"]),
    # A round pocket from the other face reaches 4.9 or 5 from the face.
    ("pocket round 40 mm deep 13.1 mm on rear at 100 mm, 100 mm", ["PD360"]),
    ("pocket round 40 mm deep 13 mm on rear at 100 mm, 100 mm", []),
    # Its rim at 98 to 102: a notch to 101 opens it, one to 98 leaves nothing beside it, one to 96.4 enough.
    ("notch 101 mm x 150 mm at left, bottom", ["PD361"]),
    ("notch 98 mm x 150 mm at left, bottom", ["PD362"]),
    ("notch 96.5 mm x 150 mm at left, bottom", ["PD362"]),
    ("notch 96.4 mm x 150 mm at left, bottom", []),
    # A bore from the edge that crosses it.
    ("hole 8 mm deep 150 mm on bottom at 101 mm, 9 mm", ["PD361"]),
    ("hole 8 mm deep 50 mm on bottom at 101 mm, 9 mm", []),
])  # fmt: skip
def test_a_screw_of_hardware_beside_other_work(work: str, expected: list[str]) -> None:
    text = BOARD + (f"  {work}\n" if work else "") + PEG + "fit peg on board at (100 mm, 100 mm)\n"
    assert codes(text) == expected


def test_what_is_said() -> None:
    (message,) = found(BOARD + "  notch 101 mm x 150 mm at left, bottom\n" + PEG + "fit peg on board at (100 mm, 100 mm)\n")
    assert message.severity is Severity.WARNING
    assert message.message == "the hole of board for hook breaks out at the notch"
    assert [n.text for n in message.notes] == ["its diameter is 4 mm", "the notch stands here"]
    (message,) = found(BOARD + "  hole 10 mm through on front at 6 mm, 50 mm\n")
    assert (message.code, message.message) == ("PD362", "the hole of board leaves 1 mm of wood to the left edge")


def test_a_hole_of_hardware_over_an_edge() -> None:
    for inset in ("1 mm", "2 mm"):  # 4 mm wide: out of the edge, or with its rim on it
        assert [d.code for d in faulty(BOARD + PEG + f"fit peg on board at ({inset}, 100 mm)\n")] == ["PD330"]
    assert codes(BOARD + PEG + "fit peg on board at (2.1 mm, 100 mm)\n") == ["PD362"]
    assert codes(BOARD + PEG + "fit peg on board at (3.6 mm, 100 mm)\n") == []


def test_a_row_is_told_of_once() -> None:
    assert codes(BOARD + "  hole 10 mm through on front at 6 mm, 50 mm row 4 every 32 mm along up\n") == ["PD362"]


def test_thin_floor_below_a_hole() -> None:
    """18 thick: 16.5 deep leaves 1.5, 16.4 leaves 1.6; a sixteenth of an inch is 1.5875."""
    assert codes(BOARD + "  hole 10 mm deep 16.5 mm on front at 60 mm, 50 mm\n") == ["PD362"]
    assert codes(BOARD + "  hole 10 mm deep 16.4 mm on front at 60 mm, 50 mm\n") == []


def test_plain_holes_may_form_a_slot_and_notches_may_be_beside() -> None:
    assert codes(BOARD + "  hole 10 mm through on front at 60 mm, 50 mm\n  hole 10 mm through on front at 66 mm, 50 mm\n") == []
    assert codes(BOARD + "  hole 10 mm through on front at 60 mm, 50 mm\n  notch 58 mm x 100 mm at left, bottom\n") == ["PD361"]


def test_finger_notches_and_gains_belong_there() -> None:
    pocket = BOARD + "  pocket round 50 mm deep 9 mm on front at 100 mm, 100 mm\n    finger 20 mm to top\n"
    assert codes(pocket) == []


def test_a_part_in_the_room_of_hardware() -> None:
    """A caster 70 high that swings 52 below the board; a rail beside it."""
    text = "hardware wheel caster high 70 mm plate 60 mm x 50 mm spaced 45 mm x 35 mm swing 52 mm\n"
    text += "part deck from ply\n  grain across\n  across from 0 to 400 mm\n  back from 0 to 300 mm\n  up from 100 mm\n"
    text += "part rail from ply\n  grain across\n  across from 0 to 400 mm\n  back from {}\n  up from 20 mm to 100 mm\n"
    text += "fit wheel on deck at (100 mm, 100 mm)\n"
    # The circle reaches from 48 to 152.
    assert codes(text.format("30 mm")) == [] and codes(text.format("152 mm")) == []
    (message,) = found(text.format("30.1 mm"))
    assert message.code == "PD363" and "rail stands in the room that wheel needs on deck" in message.message
    assert message.notes[0].text.startswith("they share across 48 mm to 152 mm, back 48 mm to 48.1 mm, up 30 mm to 100 mm")


def test_hardware_in_the_room_of_hardware() -> None:
    text = "hardware wheel caster high 70 mm plate 60 mm x 50 mm spaced 45 mm x 35 mm swing 52 mm\nhardware foot leveller bore 10 mm deep 12 mm high 70 mm foot 30 mm\n"
    text += "part deck from ply\n  grain across\n  across from 0 to 400 mm\n  back from 0 to 300 mm\n  up from 100 mm\n"
    text += "fit wheel on deck at (100 mm, 100 mm)\nfit foot on deck at ({}, 100 mm)\n"
    # The circle ends at 152, the foot begins 15 before its middle.
    assert codes(text.format("167 mm")) == []
    (message,) = found(text.format("166 mm"))
    assert message.code == "PD363" and message.message == "foot on deck needs room that wheel takes"


CASE = """hardware pin dowel 8 mm x 30 mm
part side from ply
  grain up
  across from 0
  back from 0 to 200 mm
  up from 0 to 300 mm
part shelf from ply
  grain across
  across from side.right for 200 mm
  back from 0 to 200 mm
  up from {shelf}
part rail from ply
  grain across
  across from side.right for 200 mm
  back from 100 mm
  up from 100 mm to 200 mm
joint {kind} shelf into side{deep}
joint butt rail into side with pin every 60 mm ends 20 mm
"""


@pytest.mark.parametrize(("shelf", "expected"), [
    # Bores of 8 at 120 and 180 up, 109 from the front, through the whole side. The dado is 18 high.
    ("200 mm", []),
    ("185.6 mm", []),  # 1.6 beside the bore, whose rim is at 184
    ("185.5 mm", ["PD362"]),
    ("183 mm", ["PD361"]),
    ("171 mm", ["PD361"]),  # the bore lies wholly in the dado
])  # fmt: skip
def test_a_pin_beside_the_channel_of_another_joint(shelf: str, expected: list[str]) -> None:
    text = CASE.format(shelf=shelf, kind="dado", deep=" deep 6 mm")
    outside = [c for c in codes(text) if c in ("PD361", "PD362")]
    assert outside == expected


def test_what_a_pin_runs_into_is_named() -> None:
    (message,) = (d for d in found(CASE.format(shelf="183 mm", kind="dado", deep=" deep 6 mm")) if d.code == "PD361")
    assert message.message == "the dowel hole of side for rail breaks out at the dado"
    assert [n.text for n in message.notes] == ["its diameter is 8 mm", "the dado stands here"]


def test_a_hole_of_hardware_beside_the_channel_of_a_joint() -> None:
    text = CASE.format(shelf="250 mm", kind="dado", deep=" deep 6 mm").partition("joint butt")[0] + PEG + "fit peg on side at (50 mm, {}) facing right\n"
    assert codes(text.format("200 mm")) == [] and codes(text.format("249 mm")) == ["PD361"]


FRAME = """
hardware pin dowel 6 mm x 32 mm
part stile from ply
  grain  up
  across from 0 for 45 mm
  back   from 0
  up     from 0 to 400 mm
part rail from ply
  grain  across
  across from stile.right to 300 mm
  back   from 0
  up     from 400 mm - 45 mm to 400 mm
part panel from thin
  across from stile.right to 300 mm
  back   from 6 mm
  up     from 100 mm to rail.bottom
joint mitre rail into stile with pin count 1
joint groove panel into rail deep {deep} fit 0.5 mm
"""


# From the top down the middle of the corner, 6 wide: the rail ends there at its mitre, at the deepest 19.5 above its inner edge.
@pytest.mark.parametrize(("deep", "expected"), [("8 mm", False), ("19 mm", False), ("21 mm", True)])
def test_a_groove_below_the_mitre_of_the_hole_opens_nothing(deep: str, expected: bool) -> None:
    assert ("PD361" in codes(FRAME.format(deep=deep))) is expected
