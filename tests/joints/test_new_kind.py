"""A kind of joint is one file: a module with a KIND is found, read, resolved and described, with no other change."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import plandoc.joints
from plandoc.model.kinds import Kinds
from plandoc.reference import kinds_reference
from plandoc.registry import discover
from plandoc.vocabulary import all_kinds, vocabulary
from tests.joints.test_channels import CASE
from tests.support.resolving import resolved, sizes, sound

MODULE = '''
"""Housing: a dado by another name, made up for the test."""

from plandoc.joints import channel as c
from plandoc.model.kinds import JointKind, Param

KIND = JointKind(
    name="housing",
    doc="A dado by another name, with a wedge.",
    params=(c.DEEP, Param("wedged", "length", "length of the wedge")),
    extend=c.extend,
    cut=lambda context: c.effect(context, c.channel(context)),
    example='joint housing shelf into left_side deep 1/4" wedged 2"',
)
'''


@pytest.fixture
def kinds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Kinds]:
    (tmp_path / "housing.py").write_text(MODULE, encoding="utf-8")
    monkeypatch.setattr(plandoc.joints, "__path__", [*plandoc.joints.__path__, str(tmp_path)])
    found = Kinds(discover("plandoc.joints"), all_kinds().shapes, all_kinds().hardware)
    yield found
    sys.modules.pop("plandoc.joints.housing", None)
    if hasattr(plandoc.joints, "housing"):
        delattr(plandoc.joints, "housing")


def test_it_is_found_beside_the_others(kinds: Kinds) -> None:
    assert list(kinds.joints) == sorted([*all_kinds().joints, "housing"])
    assert "housing" not in all_kinds().joints


def test_its_words_belong_to_the_language(kinds: Kinds) -> None:
    words = vocabulary(kinds)
    assert "housing" in words.joints and "wedged" in words.options
    assert "wedged" not in vocabulary(all_kinds()).options


def test_a_plan_can_use_it(kinds: Kinds) -> None:
    outcome = sound(CASE + "joint housing shelf into left_side deep 6 mm wedged 50 mm\n", kinds=kinds)
    assert outcome.model.joints[0].kind == "housing"
    assert sizes(outcome.model.part("shelf"))[0] == 370


def test_messages_know_it(kinds: Kinds) -> None:
    outcome = resolved(CASE + "joint housin shelf into left_side deep 6 mm\n", kinds=kinds)
    assert any(d.code == "PD114" and "`housing`" in d.mend for d in outcome.diagnostics)


def test_the_reference_page_describes_it(kinds: Kinds) -> None:
    page = kinds_reference(kinds)
    assert "#### housing" in page and "| `wedged` | a length | length of the wedge | - |" in page
    assert "housing" not in kinds_reference(all_kinds())


def test_without_the_file_it_is_unknown() -> None:
    assert "PD114" in resolved(CASE + "joint housing shelf into left_side deep 6 mm\n").codes


def test_a_name_twice_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "again.py").write_text(MODULE.replace('"housing"', '"dado"'), encoding="utf-8")
    monkeypatch.setattr(plandoc.joints, "__path__", [*plandoc.joints.__path__, str(tmp_path)])
    try:
        with pytest.raises(ValueError, match="'dado' twice"):
            discover("plandoc.joints")
    finally:
        sys.modules.pop("plandoc.joints.again", None)
        if hasattr(plandoc.joints, "again"):
            delattr(plandoc.joints, "again")
