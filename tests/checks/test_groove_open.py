"""Tenons, haunches and the groove for a panel that runs through their mortise: do they fill it?"""

from __future__ import annotations

import pytest

from plandoc.diagnostics.codes import CODES
from plandoc.pipeline import check
from plandoc.world import MemoryWorld

# A groove 6 wide, 10 deep, from 7 to 13 in wood 20 thick; the rail is 60 high and flush with the end of the stile.
FRAME = """plan "Door"
  units mm to 0.1
stock oak lumber 25 mm
  dressed 20 mm
stock board sheet 1220 mm x 2440 mm
  called 6 mm
part stile from oak
  grain  up
  across from 0 for 60 mm
  back   from 0
  up     from 0 to 400 mm
part head from oak
  grain  across
  across from stile.right to 300 mm
  back   from 0
  up     to 400 mm for 60 mm
part field from board
  grain  up
  across from stile.right to 300 mm
  back   from 7 mm
  up     from 100 mm to head.bottom
joint groove field into stile, head deep 10 mm{stop}
joint tenon head into stile deep 25 mm {words}
"""


def told(words: str, stop: str = "") -> list[tuple[str, str]]:
    checked = check("door.plan", MemoryWorld({"door.plan": FRAME.format(words=words, stop=stop)}))
    assert checked.good
    return [(d.message, d.mend) for d in checked.diagnostics if d.code == "PD368"]


@pytest.mark.parametrize("words", [
    "sized 6 mm shoulders 14 mm haunched 14 mm x 10 mm shared", "sized 6 mm shoulders 14 mm haunched 14 mm x 10 mm", "sized 6 mm shoulders 14 mm haunched 14 mm x 9 mm",
    "sized 8 mm shoulders 14 mm haunched 14 mm x 10 mm", "sized 5 mm set 7.5 mm shoulders 14 mm haunched 14 mm x 10 mm",
])  # fmt: skip
def test_what_fills_the_groove_is_not_told(words: str) -> None:
    """A haunch may be 1 short for the glue; a tenon thicker than the groove cuts its own room."""
    assert told(words) == []


def test_a_haunch_shorter_than_the_groove_is_deep() -> None:
    ((message, mend),) = told("sized 6 mm shoulders 14 mm haunched 14 mm x 8.9 mm")
    assert message == "the haunch of `head` is 1.1 mm shorter than the groove is deep that it fills"
    assert mend == "haunched 14 mm x 10 mm" and told("sized 6 mm shoulders 14 mm " + mend) == []


@pytest.mark.parametrize("size", ["sized 4 mm", "sized 6 mm set 9 mm"])
def test_a_tenon_that_leaves_some_of_the_groove_open(size: str) -> None:
    """4 of 6 thick from 8 to 12, by 1 on both sides: that is play; 9 to 15 leaves 2 at the front."""
    found = told(f"{size} shoulders 14 mm haunched 14 mm x 10 mm")
    if size == "sized 4 mm":
        assert found == []
        return
    ((message, mend),) = found
    assert message == "the tenon of `head` does not fill the groove that runs through its mortise"
    assert mend == "sized 6 mm set 7 mm" and told(f"{mend} shoulders 14 mm haunched 14 mm x 10 mm") == []


def test_a_groove_that_runs_out_beside_the_tenon() -> None:
    ((message, mend),) = told("sized 6 mm shoulders 14 mm")
    assert message == "the groove runs out at the top end of `stile`, beside the tenon of `head`: a hole shows there"
    assert mend == "fill it: haunched 14 mm x 10 mm; or stop the groove: stopped ... from top"
    assert told("sized 6 mm shoulders 14 mm haunched 14 mm x 10 mm") == []


def test_the_lines_that_explain_it() -> None:
    entry = CODES["PD368"]
    found = [[d.code for d in check("door.plan", MemoryWorld({"door.plan": 'plan "Door"\n' + lines})).diagnostics] for lines in (entry.wrong, entry.right)]
    assert found == [["PD368"], []]
