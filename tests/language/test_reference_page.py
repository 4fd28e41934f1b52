"""grammar/README.md: every example compiles, and its part about the kinds is what the kinds declare.

A block with the info word `plan` is read as it stands where it begins with a `plan` line; otherwise it is put below FRAME,
a small case, from which the things are left out that the block declares itself. Further words say what the block is:

    plan part           lines below a part: an upright or a lying board must take them
    plan part pocket    lines below a pocket of such a part
    plan value          one value a line
    plan shop           a shop file, or one line of it; `club.shop` is the first of them
    plan wrong PD202    lines of which each statement causes this error, and no other
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plandoc.diagnostics.diagnostic import Severity
from plandoc.reference import kinds_reference
from plandoc.vocabulary import all_kinds
from tests.support.resolving import Outcome, resolved

PAGE = (Path(__file__).parents[2] / "grammar" / "README.md").read_text(encoding="utf-8")
BEGIN, END = "<!-- kinds: begin -->\n", "<!-- kinds: end -->"
BLOCKS = [(m[1], m[2]) for m in re.finditer(r"^```(plan[^\n]*)\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)]
DECLARED = re.compile(r"^(?:set|stock|part|hardware|assembly) (\w+)", re.MULTILINE)

FRAME = '''plan "Frame"
set case_width = 24"
set case_height = 30"
set case_depth = 10"
stock birch sheet 48" x 96"
  called 3/4"
  measured 23/32"
stock oak lumber 4/4
  dressed 3/4"
hardware pin dowel 3/8" x 1 1/2"
hardware screw8 screw No 8 "Flat-head screw" long 1 1/2"
hardware short_screw screw No 8 long 1"
hardware flat20 biscuit No 20
part left_side from birch
  grain up
  across from 0
  back from 0 to case_depth
  up from 0 to case_height
part right_side mirrors left_side about case_width / 2
part shelf from birch
  across between left_side and right_side
  back from 0 to case_depth
  up from 12"
part top from birch
  across between left_side and right_side
  back from 0 to case_depth
  up to case_height
part rail from birch
  across between left_side and right_side
  back from 0
  up from 3" to 6"
part panel from birch
  across between left_side and right_side
  back from 6"
  up from 14" to 20"
part tray from birch
  across between left_side and right_side
  back from 0 to 9"
  up from 22"
'''
UPRIGHT = '''part board from birch
  grain up
  across from 40"
  back from 0 to 10"
  up from 0 to 30"
'''
LYING = '''part board from birch
  grain across
  across from 40" to 60"
  back from 0 to 10"
  up from 0
'''
POCKET = '  pocket round 2" deep 3/8" on top at 3", 3"\n'


def frame_for(block: str) -> str:
    """FRAME without what the block declares itself."""
    own = set(DECLARED.findall(block))
    statements = re.split(r"^(?=\S)", FRAME, flags=re.MULTILINE)
    return "".join(s for s in statements if not ((m := DECLARED.match(s)) and m[1] in own))


def indented(block: str, by: int) -> str:
    return "".join(" " * by + line + "\n" for line in block.splitlines())


def errors(outcome: Outcome) -> list[str]:
    return [d.code for d in outcome.diagnostics if d.severity is Severity.ERROR]


def with_shop(shop: str) -> Outcome:
    plan = FRAME.replace('plan "Frame"', 'plan "Frame"\n  shop "club.shop"')
    return resolved({"trial.plan": plan, "club.shop": shop}, name="trial.plan")


@pytest.mark.parametrize(("info", "block"), BLOCKS, ids=[f"{i}-{b.split()[0]}" for i, (_, b) in enumerate(BLOCKS)])
def test_examples_compile(info: str, block: str) -> None:
    if info == "plan shop":
        outcome = with_shop(block if block.startswith("shop") else f'shop "Garage"\n{indented(block, 2)}')
        assert not outcome.model.shop.assumed
    elif info == "plan" and "club.shop" in block:
        outcome = resolved({"trial.plan": block, "club.shop": next(b for i, b in BLOCKS if i == "plan shop")}, name="trial.plan")
    elif info == "plan":
        outcome = resolved(block if block.startswith("plan ") else frame_for(block) + block)
    elif info == "plan value":
        outcome = resolved(FRAME + "".join(f"set v{i} = {line}\n" for i, line in enumerate(block.splitlines())))
    elif info in ("plan part", "plan part pocket"):
        below = info == "plan part pocket"
        text = (POCKET if below else "") + indented(block, 4 if below else 2)
        tries = [resolved(FRAME + board + text) for board in (UPRIGHT, LYING)]
        outcome = min(tries, key=lambda o: len(errors(o)))
    else:
        code = info.split()[-1]
        outcome = resolved(frame_for(block) + block)
        statements = len(re.findall(r"^\S", block, re.MULTILINE))
        assert errors(outcome) == [code] * statements, outcome.report
        return
    assert not errors(outcome), outcome.report


def test_there_are_examples_of_every_statement() -> None:
    text = "".join(block for _, block in BLOCKS)
    for word in ("plan", "set", "stock", "part", "assembly", "place", "for", "if", "otherwise", "joint", "hardware", "fit", "opens", "section", "template", "no", "step", "note"):
        assert re.search(rf"^ *{word}\b", text, re.MULTILINE), word


def test_kinds_are_described_as_they_are_declared() -> None:
    wanted = kinds_reference(all_kinds())
    found = PAGE.split(BEGIN)[1].split(END)[0]
    assert found == wanted, f"between {BEGIN.strip()} and {END} grammar/README.md must read:\n\n{wanted}"


def test_every_link_of_the_contents_leads_somewhere() -> None:
    anchors = {re.sub(r"[^a-z0-9 -]", "", h.lower()).replace(" ", "-") for h in re.findall(r"^#+ (.+)$", PAGE, re.MULTILINE)}
    links = re.findall(r"\]\(#([^)]+)\)", PAGE)
    assert links and [link for link in links if link not in anchors] == []
