"""Thirty acceptance tests of drawings, on the finished files of every example and of random plans.

`waivers.toml` names what a rule finds and why it may stay; `faults.toml` names the packets in which a rule finds what is
not mended yet: such a test is expected to fail, and fails as passed once nothing is found. The counts there are those of the
day they were written; PLANDOC_ACCEPTANCE_COUNTS=1 holds packets to them.
"""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from plandoc.drawing.audit import CROWDED
from plandoc.drawing.audit import RULES as AUDIT
from tests.acceptance.packets import DUAL, DUALS, NAMES, RANDOM, Packet
from tests.acceptance.rules import RULES, Finding

HERE = Path(__file__).parent
WAIVERS: list[dict[str, str]] = tomllib.loads((HERE / "waivers.toml").read_text(encoding="utf-8")).get("waiver", [])
FAULTS: dict[str, dict[str, Any]] = tomllib.loads((HERE / "faults.toml").read_text(encoding="utf-8"))
# Pages as dots are counted of examples only: random plans have the same linework.
COUNTED = os.environ.get("PLANDOC_ACCEPTANCE_COUNTS") == "1"
NOT_OF_RANDOM = {"29d-pages-survive-a-small-print"}


def waived(waiver: dict[str, str], rule: str, packet: str, finding: Finding) -> bool:
    """Whether a waiver names a finding. Its sheet is a file, or a kind of sheet, whose files get other numbers by and by."""
    named = finding.sheet == waiver["sheet"] or re.fullmatch(rf"\w+/\d+-{re.escape(waiver['sheet'])}\.svg", finding.sheet) is not None
    return waiver["rule"] == rule and waiver["packet"] == packet and named and waiver["element"] in finding.element


@pytest.mark.slow
@pytest.mark.parametrize("packets", [*NAMES, RANDOM, DUAL], indirect=True)
@pytest.mark.parametrize("rule", sorted(RULES))
def test_rule(rule: str, packets: tuple[Packet, ...], request: pytest.FixtureRequest) -> None:
    name = request.node.callspec.params["packets"]
    if name == RANDOM and rule in NOT_OF_RANDOM:
        pytest.skip("examples only")
    if name == DUAL and any(example in FAULTS.get(rule, {}).get("packets", {}) for example, _ in DUALS):
        pytest.skip("known of the same plan in one unit")
    found = [(packet.name, finding) for packet in packets for finding in RULES[rule](packet)]
    own = [w for w in WAIVERS if w["rule"] == rule and w["packet"].split()[0] == name]
    unused = [w for w in own if not any(waived(w, rule, p, f) for p, f in found)]
    assert not unused, f"waivers that nothing needs: {unused}"
    left = [(p, f) for p, f in found if not any(waived(w, rule, p, f) for w in own)]
    told = "\n".join(f"{p} {f}" for p, f in left)
    known = FAULTS.get(rule, {}).get("packets", {}).get(name, 0)
    if not known:
        assert not left, f"{len(left)} findings\n{told}"
        return
    assert not COUNTED or len(left) <= known, f"{len(left)} findings, {known} were known\n{told}"
    assert left or name == RANDOM, f"mended: take {name} out of [{rule}] in faults.toml"
    if left:
        pytest.xfail(f"{len(left)} findings: {FAULTS[rule]['cause']}")


@pytest.mark.slow
@pytest.mark.parametrize("packets", [*NAMES, RANDOM, DUAL], indirect=True)
def test_the_program_tells_of_the_sheets_on_which_the_rules_find_something(packets: tuple[Packet, ...]) -> None:
    """What the program sees in its own display lists is what a reader of the written files sees: of each sheet on which one
    of the rules finds something that users are told, and of no other, it says that it is crowded."""
    for packet in packets:
        named = [(f"sheet {d.code}", d) for d in packet.sheets] + [(f"{document}.pdf, page {d.sheet.data['number']},", d) for document, d in packet.beside]
        found = {name for name, drawn in named for rule, finds in AUDIT if rule in CROWDED and next(iter(finds(drawn)), None) is not None}
        assert set(packet.warned) == found, packet.name


def test_every_waiver_has_a_reason_and_a_rule() -> None:
    for waiver in WAIVERS:
        assert set(waiver) == {"rule", "packet", "sheet", "element", "reason"}
        assert waiver["rule"] in RULES and waiver["packet"].split()[0] in (*NAMES, RANDOM) and len(waiver["reason"]) > 20


def test_every_known_fault_has_a_rule_and_a_cause() -> None:
    for rule, fault in FAULTS.items():
        assert rule in RULES and set(fault) == {"cause", "packets"} and len(fault["cause"]) > 20
        assert all(name in (*NAMES, RANDOM, DUAL) and count > 0 for name, count in fault["packets"].items())
