"""Runs all rules on all packets, prints what they find, and writes the counts into faults.toml: after a mend.

    python -m tests.acceptance.recount [FOLDER]

FOLDER keeps the packets, so that a second run is quick; it must be new after every change to plandoc. Rules and packets
without findings go out. A packet that was clean and is not any more is told, and not written: it is to be mended, or
entered by hand with its cause.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.acceptance.packets import DUAL, DUALS, NAMES, RANDOM, Store
from tests.acceptance.rules import RULES
from tests.acceptance.test_acceptance import FAULTS, HERE, NOT_OF_RANDOM, WAIVERS, waived

HEAD = """# What the rules find in packets of today, by packet. A packet that is mended goes out of here; a rule whose packets are all
# mended goes out whole (python -m tests.acceptance.recount).
"""


def counts(store: Store) -> dict[str, Counter[str]]:
    """Findings that no waiver names, by rule and packet; printed on the way."""
    found: dict[str, Counter[str]] = {rule: Counter() for rule in sorted(RULES)}
    for name in (*NAMES, RANDOM, DUAL):
        for packet in store.get(name):
            for rule, finds in sorted(RULES.items()):
                if name == RANDOM and rule in NOT_OF_RANDOM:
                    continue
                if name == DUAL and any(example in FAULTS.get(rule, {}).get("packets", {}) for example, _ in DUALS):
                    continue
                for finding in finds(packet):
                    if not any(waived(w, rule, packet.name, finding) for w in WAIVERS):
                        found[rule][name] += 1
                        print(f"{rule} {packet.name} {finding}")
    return found


def main(folder: Path) -> None:
    found = counts(Store(folder))
    text = HEAD
    for rule in sorted(RULES):
        known: dict[str, int] = FAULTS.get(rule, {}).get("packets", {})
        for name, count in sorted(found[rule].items()):
            if name not in known:
                print(f"WAS CLEAN: {rule} {name}: {count}")
            elif count > known[name]:
                print(f"MORE: {rule} {name}: {count}, {known[name]} before")
        left = {name: found[rule][name] for name in known if found[rule][name]}
        if left:
            text += f"\n[{rule}]\ncause = {json.dumps(FAULTS[rule]['cause'], ensure_ascii=False)}\n[{rule}.packets]\n"
            text += "".join(f"{name} = {count}\n" for name, count in sorted(left.items()))
    (HERE / "faults.toml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
