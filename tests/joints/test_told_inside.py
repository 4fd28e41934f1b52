"""Messages about joints inside an assembly: names and faces are those that may be typed in there, wherever it is turned."""

from __future__ import annotations

import pytest

from tests.support.resolving import CORNER, faulty, resolved
from tests.support.resolving import HEAD as PLAN

INSIDE = "assembly box\n" + "".join(f"  {line}\n" for line in CORNER.splitlines())
FAR = INSIDE.replace("from 18 mm to 300 mm", "from 40 mm to 300 mm")


def mend(line: str, place: str, parts: str = INSIDE) -> str:
    (fault,) = faulty(f"{parts}  {line}\nplace box as case\n{place}")
    return fault.mend


@pytest.mark.parametrize("place", ["", "  mirrored across\n", "  turned 90° about up\n", "  turned 180° about up\n"])
def test_names_and_faces_are_those_of_the_assembly(place: str) -> None:
    assert mend("joint butt top into side", place, FAR) == "let a face of `top` lie on a face of `side`: across between ... and ..., or an end at side.right"
    assert mend("joint dado top into side deep 6 mm stopped 9 mm from left", place) in ("from front, or from rear", "from rear, or from front")
    assert mend("hardware s8 screw No 8 long 50 mm\n  joint mitre top into side with s8 from right", place) == "from top, or from left"


def test_the_word_of_a_channel_inside_an_assembly() -> None:
    (told,) = resolved(f"{PLAN}{INSIDE}  joint dado top into side deep 6 mm\nplace box as case\n").diagnostics
    assert (told.code, told.mend) == ("PD402", "joint rabbet top into side ...")


def test_parts_of_an_assembly_within_another_one() -> None:
    text = INSIDE + "assembly rack\n  place box as bin\n  part post from ply\n    size 300 mm x 50 mm\n  joint butt bin into post\nplace rack as tall\n"
    (fault,) = faulty(text)
    assert fault.mend == "name one of its parts: bin.side, bin.top"
