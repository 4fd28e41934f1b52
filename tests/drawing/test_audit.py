"""The audit finds each fault that it is for, and lets good work pass."""

from __future__ import annotations

import pytest

from plandoc.drawing.audit import RULES, audit
from plandoc.drawing.audit_dimensions import figure_words, lines_cross
from plandoc.drawing.audit_rules import text_on_text
from plandoc.drawing.audit_sheet import sheet_view
from plandoc.drawing.display import Circle, Fill, Group, Item, Line, Sheet, Text
from plandoc.drawing.style import load_style

STYLE = load_style("shop-inch")
FRAME = Line("frame", ((10.0, 10.0), (200.0, 10.0), (200.0, 150.0), (10.0, 150.0)), True)


def found(*items: Item) -> list[str]:
    return [f.rule for f in audit(Sheet(1, "test", "1", "T", (210.0, 160.0), (FRAME, *items)), STYLE)]


def note(x: float, y: float, text: str = "WORD", size: float = 3.0, rotation: float = 0.0) -> Text:
    return Text("note", (x, y), text, size, "start", rotation)


def dimension(
    v: float, low: float, high: float, row: int, top: float = 100.0, kind: str = "size", size: float = 3.5
) -> Group:
    """A dimension above a view whose upper outline is at y = top."""
    items: tuple[Item, ...] = (
        Line("dim", ((low, v), (high, v))),
        Line("ext", ((low, top - 1.5), (low, v - 2.5))),
        Line("ext", ((high, top - 1.5), (high, v - 2.5))),
        Text("dimtxt", ((low + high) / 2, v - 1.0), "7", size, "middle"),
    )
    return Group("dimension", items, "", (("mm", "7"), ("kind", kind), ("side", "above"), ("row", str(row))))


def test_rules_are_sorted_and_named_once() -> None:
    names = [name for name, _ in RULES]
    assert names == sorted(names) and len(names) == len(set(names)) >= 12


def test_good_work_passes() -> None:
    assert found(note(20, 30), dimension(90, 30, 60, 0), dimension(81, 30, 120, 1, kind="overall")) == []


def test_text_on_text() -> None:
    assert found(note(20, 30), note(22, 31)) == ["text-on-text"]
    assert found(note(20, 30), note(20, 33.5)) == ["text-on-text"]
    assert found(note(20, 30), note(20, 34.5)) == []


def test_a_line_through_text() -> None:
    assert found(note(20, 30), Line("vis", ((15, 28.5), (60, 28.5)))) == ["line-through-text"]
    assert found(note(20, 30), Line("vis", ((15, 30.3), (60, 30.3)))) == ["line-through-text"]
    assert found(note(20, 30), Line("vis", ((15, 31), (60, 31)))) == []
    assert found(note(20, 30), Circle("vis", (22, 22), 6.6)) == ["line-through-text"]
    assert found(note(20, 30), Fill("mask", (((15, 20), (60, 20), (60, 40), (15, 40)),))) == []


def test_words_of_a_table_keep_clear_of_its_rules_too() -> None:
    assert found(Group("table", (note(20, 30), Line("tb", ((15, 30.3), (60, 30.3)))))) == ["line-through-form"]
    assert found(Group("table", (note(20, 30), Line("tb", ((15, 31), (60, 31)))))) == []


def test_own_dimension_lines_are_excepted() -> None:
    assert found(dimension(90, 30, 60, 0)) == []
    assert "line-through-text" in found(dimension(90, 30, 60, 0), Line("dim", ((40, 87), (50, 87))))


def test_ink_outside_the_frame() -> None:
    assert found(note(195, 30)) == ["ink-outside-frame", "line-through-text"]  # the frame's own line
    assert found(note(202, 30)) == ["ink-outside-frame"]
    assert found(Line("vis", ((20, 5), (60, 20)))) == ["ink-outside-frame"]
    assert found(Group("zones", (Line("zone", ((20, 9), (20, 10))),))) == []


def test_small_and_turned_lettering() -> None:
    assert found(note(20, 30, size=2.0)) == ["small-lettering"]
    assert found(note(20, 60, rotation=45.0)) == ["reading-direction"]
    assert found(note(20, 60, rotation=-90.0)) == []


def test_leaders() -> None:
    def group(*points: tuple[float, float]) -> Group:
        return Group("leader", (Line("ldr", points),), "", (("note", "n"),))

    assert found(group((20, 20), (40, 40)), group((20, 40), (40, 20))) == ["leaders-cross"]
    assert found(group((20, 20), (40, 40)), group((20, 60), (40, 50))) == []
    assert found(group((20, 20), (60, 22))) == ["leader-angle"]


@pytest.mark.parametrize("size", [3.0, 5.0])
def test_figures_have_one_height(size: float) -> None:
    assert "dimension-height" in found(dimension(90, 30, 60, 0, size=size))


def test_dimension_lines_cross_nothing_of_others() -> None:
    assert "dimension-lines-cross" in found(dimension(90, 30, 60, 0), dimension(81, 50, 120, 1))
    upright = Group("dimension", (Line("dim", ((40, 60), (40, 120))),), "", (("mm", "1"),))
    assert "dimension-lines-cross" in found(dimension(90, 30, 60, 0), upright)


def test_rows_in_order_and_evenly_spaced() -> None:
    assert "rows-in-order" in found(dimension(90, 30, 120, 0), dimension(81, 30, 60, 1))
    assert "rows-in-order" in found(dimension(90, 30, 120, 0, kind="overall"), dimension(81, 30, 120.02, 1))
    assert "even-rows" in found(dimension(90, 30, 60, 0), dimension(83, 30, 120, 1))


def test_extension_ends_first_row_and_missing_figures() -> None:
    bare = Group("dimension", dimension(90, 30, 60, 0).items[:3])
    assert found(bare) == ["figure-present"]
    long = Group("dimension", (*dimension(90, 30, 60, 0).items[:2], Line("ext", ((60, 98), (60, 80))), note(20, 30)))
    assert "extension-ends" in found(long)
    outline = Line("vis", ((30, 97), (120, 97)))
    assert "first-row" in found(dimension(90, 30, 60, 0), outline)


def test_ink_in_text() -> None:
    head = Fill("ink", (((20, 29), (24, 29), (22, 27)),))
    assert "ink-in-text" in found(note(20, 30), head)
    assert found(note(20, 40), head) == []


def test_running_dimensions_cross_neither_each_other_nor_dimension_lines() -> None:
    def running(x: float, end: float) -> Group:
        return Group("running", (Line("ext", ((x, 98), (x, 95), (end, 88))),), "", (("mm", "1"),))

    assert "running-cross" in found(running(40, 60), running(50, 45))
    assert "running-cross" not in found(running(40, 42), running(50, 52))
    assert "dimension-lines-cross" in found(dimension(90, 30, 60, 0), running(40, 45))


def test_a_leader_over_a_dimension_line() -> None:
    leader = Group("leader", (Line("ldr", ((40, 95), (50, 85))),), "", (("note", "n"),))
    assert "leaders-cross-dimensions" in found(dimension(90, 30, 60, 0), leader)


def test_what_is_told_names_the_words_and_the_figure() -> None:
    view = sheet_view(Sheet(1, "test", "1", "T", (210.0, 160.0), (dimension(90, 30, 60, 0), dimension(81, 50, 120, 1))), STYLE)
    assert {f.told for f in lines_cross(view)} == {"the line of the dimension 7 crosses an extension line of the dimension 7"}
    three = (Text("dimtxt", (0, 0), "18", 3.5), Text("dimtxt", (0, 0), "3", 2.6), Text("dimtxt", (0, 0), "4", 2.6), Text("dimtxt", (0, 0), "[476]", 3.5))
    row = sheet_view(Sheet(1, "test", "1", "T", (210.0, 160.0), three), STYLE).runs
    assert figure_words(row) == "18 3/4 [476]" and figure_words(row[1:3]) == "3/4"
    (text,) = text_on_text(sheet_view(Sheet(1, "test", "1", "T", (210.0, 160.0), (note(20, 30), note(22, 31, "OTHER"))), STYLE))
    assert text.told == '"WORD" and "OTHER" overlap'
