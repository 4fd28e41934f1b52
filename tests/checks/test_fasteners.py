"""Pins and screws that break out, miss, come through or fall short."""

from __future__ import annotations

from fractions import Fraction

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import NOWHERE, Diagnostic, Sink
from plandoc.geometry.bodies import FACES
from plandoc.model.entities import Fastening
from tests.support.small_models import box, joint, model, part

F = Fraction


def found(
    *places: tuple[int, int], length: int = 50, diameter: int = 8, side: int = 1
) -> tuple[Diagnostic, ...]:
    """A shelf 382 long and 18 thick, butted between up 100 and 118 against a side 18 thick; fasteners through the
    side at (back, up)."""
    parts = [
        part("side", box(0, 0, 0, 18, 300, 500)),
        part("shelf", box(18, 0, 100, 400, 280, 118)),
    ]
    outside = F(0) if side > 0 else F(18)
    centres = tuple((outside, F(y), F(z)) for y, z in places)
    row = Fastening("dowel", "pin", F(diameter), F(length), centres, 0, NOWHERE)
    case = model(parts, [joint("shelf", "side", FACES["left"], kind="butt", fasteners=(row,))])
    sink = Sink()
    run_checks(case, solids(case), sink)
    return sink.finish()


def test_a_sound_row() -> None:
    assert found((40, 109), (140, 109), (240, 109)) == ()


def test_too_near_to_the_face_of_the_shelf() -> None:
    # 115 is 3 below the shelf's face at 118, half of 8 is 4
    (message,) = found((40, 109), (140, 115))
    assert message.code == "PD350"
    assert message.message == "dowel 2 of the butt shelf into side breaks out of a side face of shelf"
    assert message.notes[0].text == "its centre is 3 mm from the face, half its diameter is 4 mm"
    # exactly half its diameter inside is whole
    assert found((140, 114)) == ()


def test_beside_the_shelf() -> None:
    (message,) = found((40, 125))
    assert message.code == "PD351"
    assert message.notes[0].text == "its centre passes 7 mm beside the part"


def test_beside_both() -> None:
    (message,) = found((-5, 109))
    assert message.message.endswith("does not meet side")
    # the shelf's message has the same place and is counted with it
    assert len(message.notes) == 2


def test_driven_away_from_the_shelf() -> None:
    (message,) = found((40, 109), side=-1)
    assert (message.code, message.notes[0].text) == ("PD351", "the part lies behind the face it is driven from")


def test_longer_than_the_wood() -> None:
    assert found((40, 109), length=400) == ()
    (message,) = found((40, 109), (140, 109), length=401)
    assert (message.code, message.notes[0].text) == ("PD352", "length 401 mm, wood on its way 400 mm")


def test_too_short() -> None:
    (message,) = found((40, 109), (140, 109), length=18)
    assert message.code == "PD353"
    assert message.mend == "take one longer than 18 mm"
    assert found((40, 109), length=19) == ()
