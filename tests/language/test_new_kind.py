"""A new joint is one file: the grammar, messages, reference, completion data, explanations and the packet follow from it."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

import plandoc.joints
from plandoc.commands.main import main
from plandoc.reference import kinds_reference
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.words import kind_text, word_data
from tests.support.resolving import resolved

# A bare-faced housing: the end of A is let into B by a given depth, with a chamfered word of its own to tell it by.
NEW_JOINT = '''
"""Nook: the end of the first part is let into the second."""

from __future__ import annotations

from fractions import Fraction

from plandoc.joints import channel as c
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param


def cut(context: JointContext) -> JointEffect | None:
    found = c.channel(context)
    return None if found is None else c.effect(context, found)


KIND = JointKind(
    name="nook",
    doc="The end of the first part is let into the second.",
    params=(Param("deep", "length", "how far it is let in", required=True), Param("snug", "flag", "without play"), Param("tries", "count", "test cuts", default=3)),
    extend=c.extend,
    cut=cut,
    example='joint nook shelf into left_side, right_side deep 1/4"',
)
'''

PLAN = """plan "Trial"
  units mm to 0.5
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
part wall from ply
  grain up
  across from 0
  back from 0 for 200 mm
  up from 0 for 400 mm
part board from ply
  grain across
  across from wall.right for 300 mm
  back from 0 for 200 mm
  up from 100 mm
joint nook board into wall deep 5 mm snug
"""


@pytest.fixture
def nook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    folder = tmp_path / "more"
    folder.mkdir()
    (folder / "nook.py").write_text(NEW_JOINT, encoding="utf-8")
    monkeypatch.setattr(plandoc.joints, "__path__", [*plandoc.joints.__path__, str(folder)])
    all_kinds.cache_clear()
    yield
    monkeypatch.undo()

    sys.modules.pop("plandoc.joints.nook", None)
    all_kinds.cache_clear()


def test_the_joint_is_unknown_before() -> None:
    assert "nook" not in all_kinds().joints
    assert resolved(PLAN).codes != []


def test_one_file_brings_a_joint_into_the_whole_program(nook: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    outcome = resolved(PLAN)
    assert outcome.codes == [], outcome.report
    assert outcome.model.part("board").length == 305
    assert [f.kind for f in outcome.model.part("wall").features] == ["nook"]
    # messages know its words
    assert resolved(PLAN.replace("deep 5 mm snug", "")).codes == ["PD216"]
    assert "did you mean `nook`?" in resolved(PLAN.replace("joint nook", "joint nok")).report
    # reference, completion and explanation follow from what it declares
    assert "#### nook" in kinds_reference(all_kinds()) and "| `tries` | a whole number | test cuts | 3 |" in kinds_reference(all_kinds())
    words = word_data(all_kinds())["kinds"]["joint"]["nook"]["words"]
    assert [w["word"] for w in words] == ["deep", "snug", "tries"]
    assert json.loads(json.dumps(words)) == words
    assert "let into the second" in kind_text("nook", all_kinds())
    assert main(["explain", "nook"]) == 0 and "test cuts" in capsys.readouterr().out
    # and a packet is drawn
    plan = tmp_path / "trial.plan"
    plan.write_text(PLAN, encoding="utf-8")
    assert main(["packet", str(plan), "-o", str(tmp_path / "out")]) == 0
    model = json.loads((tmp_path / "out" / "model.json").read_text(encoding="utf-8"))
    assert [j["kind"] for j in model["joints"]] == ["nook"]
    assert Fraction(next(p for p in model["parts"] if p["path"] == "board")["length"]) == 305


def test_the_words_of_the_language_are_complete(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "words"]) == 0
    data = json.loads(capsys.readouterr().out)
    kinds = all_kinds()
    assert sorted(data["kinds"]["joint"]) == sorted(kinds.joints)
    assert sorted(data["kinds"]["work"]) == sorted(kinds.shapes)
    assert sorted(data["kinds"]["hardware"]) == sorted(kinds.hardware)
    assert sorted(data["kinds"]["machine"]) == sorted(kinds.machines) == sorted(data["below"]["shop"])
    for group in data["kinds"].values():
        for entry in group.values():
            assert entry["meaning"] and entry["example"]
            assert all(word["meaning"] and word["takes"] for word in [*entry["words"], *entry.get("fit_words", [])])
    assert {"across", "grain", "leans", "hole"} <= set(data["below"]["part"])


def test_no_word_takes_values_in_one_kind_and_none_in_another() -> None:
    """The words of all kinds are read by one lexer, so a word is an option everywhere or a flag everywhere."""
    words = vocabulary(all_kinds())
    assert set(words.options) & set(words.flags) == set()
