"""The tables of operations, machines and cautions hold together."""

from __future__ import annotations

import pytest

from plandoc.tables import (
    caution_words,
    machine,
    machine_named,
    machines,
    named_caution,
    operation,
    operation_of_feature,
    operation_of_hardware,
    trade_operations,
)

READ_SECTIONS = ("(a)", "(a)(6)", "(a)(10)", "(a)(11)", "(b)(1)", "(c)(1)")


def test_every_operation_names_known_machines_and_its_group() -> None:
    for entry in trade_operations().values():
        assert entry.machines, entry.key
        for key in entry.machines:
            assert machine(key).name
        assert entry.group in ("cut", "machine", "assemble", "fit", "finish", "any")
        for caution in entry.cautions:
            assert caution.machine == "" or caution.machine in entry.machines, entry.key


def test_every_caution_has_a_sentence_and_a_source() -> None:
    rows = [c for m in machines().values() for c in m.cautions]
    rows += [c for o in trade_operations().values() for c in o.cautions]
    rows += [c for word in caution_words() if (c := named_caution(word))]
    assert len(rows) > 80
    for caution in rows:
        assert caution.text.endswith("."), caution
        assert caution.source


def test_sections_of_the_regulation_are_only_those_that_were_read() -> None:
    rows = [c for m in machines().values() for c in m.cautions]
    rows += [c for o in trade_operations().values() for c in o.cautions]
    rows += [c for word in caution_words() if (c := named_caution(word))]
    cited = [c.source for c in rows if "1910" in c.source]
    assert cited
    for source in cited:
        for piece in source.split(";"):
            if "1910.213" in piece:
                section = piece.split("1910.213")[1].split()[0]
                assert section in READ_SECTIONS, source


@pytest.mark.parametrize(
    ("kind", "key"),
    [
        ("dado", "dado"),
        ("slide", "sliding_groove"),
        ("finger", "finger_notch"),
        ("pin hole", "hole"),
        ("ogee", "shaping"),
    ],
)
def test_feature_words_find_their_operation(kind: str, key: str) -> None:
    assert operation_of_feature(kind) == key
    assert operation(key).key == key


def test_hardware_words_find_their_operation() -> None:
    assert operation_of_hardware("slide") == "fit_slide"
    assert operation_of_hardware("pull") == "fit_pull"
    assert operation_of_hardware("magnet") == "fit_hardware"


def test_a_caution_holds_for_its_machine_only() -> None:
    dado = operation("dado")
    on_saw = {c.text for c in dado.cautions_on("table_saw")}
    on_router = {c.text for c in dado.cautions_on("router")}
    assert any("insert" in text for text in on_saw)
    assert not any("insert" in text for text in on_router)


def test_named_cautions_ignore_case_and_have_other_words() -> None:
    assert named_caution("Kickback") is not None
    assert named_caution("rags") == named_caution("oily  rags")
    assert named_caution("dragons") is None


def test_tool_texts_find_the_longest_machine_word() -> None:
    table, hand = machine_named("router table with fence"), machine_named("plunge router")
    assert table is not None and table.key == "router_table"
    assert hand is not None and hand.key == "router"
    assert machine_named("a cup of tea") is None


def test_an_unknown_key_is_refused() -> None:
    with pytest.raises(KeyError):
        operation("welding")
