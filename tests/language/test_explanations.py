"""What `plandoc explain` says is true: every code is used, and of its two examples one brings the fault about and the
other does not.

The examples are lines of a plan. They are put where such lines stand: below FRAME, or below one of the statements of
PLACES. Codes of the checks and of the sheets are not met by reading a plan; their own tests bring them about.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plandoc.diagnostics.codes import CODES
from tests.support.resolving import resolved

PACKAGE = Path(__file__).parents[2] / "plandoc"
# Found by checks of the finished model, by the procedure or by the sheets; or not about one line of a plan.
NOT_HERE = {c for c in CODES if "PD340" <= c < "PD370"} | {"PD234", "PD243", "PD244", "PD379", "PD380"}
# Files that the examples include.
FILES = {"tools.plan": "set saw_kerf = 1/8\"\n", "shop/tools.plan": "set kerf = 1/8\"\n", "self.plan": 'include "self.plan"\n', "club.shop": 'shop "Club"\n  jointer wide 6"\n', "rack.shop": "# nothing yet\n"}

FRAME = '''plan "Frame"
set case_width = 24"
stock birch sheet 48" x 96"
  called 3/4"
  measured 23/32"
part left_side from birch
  grain up
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part right_side mirrors left_side about case_width / 2
part shelf from birch
  grain across
  across between left_side and right_side
  back from 0 to 10"
  up from 12"
part cleat from birch
  size 10" x 2"
hardware pin dowel 3/8" x 1 1/2"
hardware handle pull bore 5 mm
hardware runner slide long 8" side 1/2"
'''
BODY = "  across from 40\" to 60\"\n  back from 0 to 10\"\n  up from 0\n"
# Where the lines of an example may belong: statement above them, and lines that they are put behind.
PLACES = {
    "statement": "",
    "heading": None,
    "part": "part extra from birch\n" + BODY,
    "up missing": "part extra from birch\n  across from 40\" to 60\"\n  back from 0 to 10\"\n",
    "across missing": "part extra from birch\n  back from 0 to 10\"\n  up from 0\n",
    "all missing": "part extra from birch\n",
    "upright": "part extra from birch\n  across from 60\"\n  back from 0 to 10\"\n  up from 0 to 30\"\n",
    "stock": 'stock extra sheet 48" x 96"\n  called 3/4"\n',
    "place": "assembly box(wide = 3\")\n  part p from birch\n    size wide x wide\nplace box\n",
    "joint": "joint dado shelf into left_side deep 1/4\"\n",
}


def codes_of(lines: str, place: str) -> list[str]:
    above = PLACES[place]
    if above is None:
        text = FRAME.replace('plan "Frame"\n', 'plan "Frame"\n' + "".join(f"  {x}\n" for x in lines.split("\n")))
    elif above == "":
        kept = own_frame(lines)
        text = kept + lines + "\n"
    else:
        text = FRAME + above + "".join(f"  {x.lstrip() if place != 'part' else x}\n" for x in lines.split("\n"))
    return resolved({"trial.plan": text, **FILES}, name="trial.plan").codes


def own_frame(lines: str) -> str:
    """FRAME without what the lines declare themselves; nothing of it where they begin a plan of their own."""
    if lines.startswith("plan "):
        return ""
    declared = set(re.findall(r"^(?:set|stock|part|hardware|assembly) (\w+)", lines, re.MULTILINE))
    statements = re.split(r"^(?=\S)", FRAME, flags=re.MULTILINE)
    return "".join(s for s in statements if not ((m := re.match(r"(?:set|stock|part|hardware) (\w+)", s)) and m[1] in declared))


@pytest.mark.parametrize("code", [c for c in sorted(CODES) if c not in NOT_HERE])
def test_the_wrong_lines_are_wrong_and_the_right_ones_right(code: str) -> None:
    entry = CODES[code]
    seen = {}
    for place in PLACES:
        wrong, right = codes_of(entry.wrong, place), codes_of(entry.right, place)
        seen[place] = (wrong, right)
        if wrong == [code] and right == []:
            return
    raise AssertionError(f"{code}: nowhere do the wrong lines cause this alone and the right ones nothing: {seen}")


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_code_is_explained(code: str) -> None:
    entry = CODES[code]
    assert (entry.title and entry.title[0] == entry.title[0].lower()) or entry.title[:1] == "`"
    assert len(entry.explanation) > 20 and entry.explanation.endswith(".")
    assert entry.wrong and entry.right and entry.wrong != entry.right


def test_every_code_that_is_used_exists_and_every_one_that_exists_is_used() -> None:
    used: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        used.update(re.findall(r'"(PD\d{3})"', path.read_text(encoding="utf-8")))
    assert sorted(used) == sorted(CODES)
