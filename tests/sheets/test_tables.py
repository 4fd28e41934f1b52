"""The table helper, the flow of notes, and the list sheets made with them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.drawing.audit import audit
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.display import Group, Item, Line, Sheet, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_width, text_width
from plandoc.drawing.style import load_style
from plandoc.model.entities import HardwareItem, Model
from plandoc.pipeline import check
from plandoc.quantity import Units
from plandoc.sheets.context import IndexRow, SheetContext
from plandoc.sheets.flow import Flow, column_count
from plandoc.sheets.hardware import KIND as HARDWARE
from plandoc.sheets.notes import KIND as NOTES
from plandoc.sheets.notes import LINES
from plandoc.sheets.partslist import KIND as PARTS_LIST
from plandoc.sheets.tables import SIDE, Column, Row, Table, column_widths, lowest_table, table_pages
from plandoc.sheets.tobuy import KIND as TO_BUY
from plandoc.shopwork.hardwaresizes import sizes_words
from plandoc.shopwork.procedure import procedure
from plandoc.world import DiskWorld
from tests.support.resolving import resolved
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import context as sheet_context

ROOT = Path(__file__).parents[2]
HEAD = 'plan "Trial"\n  units mm to 0.1\n'
PLY = 'stock ply sheet 48" x 96"\n  called 3/4"\n  measured 18 mm\n'

STYLE = load_style("shop-inch")
SPACE = (15.7, 15.7, 263.7, 172.6)
COLUMNS = (Column("No.", "middle"), Column("What it is", wrap=True), Column("L", "end", stacked=True))
ROWS = tuple(Row((str(n), f"board number {n} for the long wall", f"{n} 3/8"), (("row", str(n)),)) for n in range(40))


def groups(items: tuple[Item, ...], kind: str) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            if item.kind == kind:
                yield item
            yield from groups(item.items, kind)


def words(item: Item) -> str:
    return " ".join(leaf.text for leaf in walk((item,)) if isinstance(leaf, Text))


def context(model: Model | None = None, index: tuple[IndexRow, ...] = (), kinds: tuple[str, ...] = ()) -> SheetContext:
    model = model or sample_case()
    return SheetContext(model, {}, STYLE, SPACE, steps=procedure(model), index=index, kinds=kinds)


def findings(draft: Draft) -> list[str]:
    x0, y0, x1, y1 = SPACE
    frame = Group("frame", (Line("frame", ((x0 - 3, y0 - 3), (x1 + 3, y0 - 3), (x1 + 3, y1 + 3), (x0 - 3, y1 + 3)), True),))
    sheet = Sheet(1, draft.kind, draft.code, draft.title, (279.4, 215.9), (*draft.items, frame))
    return [f"{f.rule}: {f.message}" for f in audit(sheet, STYLE)]


def test_columns_are_as_wide_as_their_words() -> None:
    rows = (Row(("7", "short", "1")), Row(("12", "a longer word", "2")))
    widths = column_widths(COLUMNS, rows, STYLE, 500.0, fill=False)
    assert widths[1] == pytest.approx(text_width("a longer word", STYLE.height("body")) + 2 * SIDE)
    assert widths[0] == pytest.approx(text_width("No.", STYLE.height("head"), True) + 2 * SIDE)


def test_words_wrap_where_room_is_short_and_stay_inside_their_cells() -> None:
    table = Table(COLUMNS, ROWS, STYLE, 60.0)
    assert table.width == pytest.approx(60.0)
    drawn = table.draw(10.0, 20.0, 0, 3)
    row = next(groups((drawn,), "row"))
    second = 10.0 + table.widths[0]
    inner = [leaf for leaf in row.items if isinstance(leaf, Text) and second < leaf.at[0] < second + table.widths[1]]
    assert len(inner) > 1
    for leaf in inner:
        box = item_extent(leaf)
        assert box is not None and box[2] <= second + table.widths[1] + 1e-6


@pytest.mark.parametrize("above", [1.6, 1.4, 1.15])
@pytest.mark.parametrize("name", ["shop-inch", "large-print"])
def test_letters_that_hang_keep_clear_of_the_line_of_their_row(name: str, above: float) -> None:
    rows = [Row(("7", "jigs, all of them glued (by day)", "17 3/4")), Row(("8", "jigs", "17")), Row(("9", "type", "3/4"))]
    columns = (*COLUMNS[:2], replace(COLUMNS[2], stacked=True))
    for room in (60.0, 200.0):
        table = Table(columns, rows, load_style(name), room, above=above)
        top = 20.0 + table.head_height
        for row, high in zip(groups((table.draw(10.0, 20.0),), "row"), table.heights, strict=True):
            box = item_extent(row)
            assert box is not None and box[1] >= top + 0.5 and box[3] <= top + high - 0.5
            top += high


@pytest.mark.parametrize("above", [1.6, 1.15])
@pytest.mark.parametrize("name", ["shop-metric", "large-print"])
def test_raised_figures_and_accents_keep_clear_of_the_line_over_them(name: str, above: float) -> None:
    rows = [Row(("7", "1.15 m² (glued)", "17 3/4")), Row(("8", "0.003 m³ of 25 rough", "17")), Row(("9", "Étagère, jigs", "3/4"))]
    for room in (60.0, 200.0):
        table = Table(COLUMNS, rows, load_style(name), room, above=above)
        top = 20.0 + table.head_height
        for row, high in zip(groups((table.draw(10.0, 20.0),), "row"), table.heights, strict=True):
            box = item_extent(row)
            assert box is not None and box[1] >= top + 0.5 - 1e-6 and box[3] <= top + high - 0.5 + 1e-6
            top += high


def test_a_mixed_number_is_not_broken_where_a_column_gives_way() -> None:
    table = Table(COLUMNS, [Row(("7", "word", "130 1/2"))], STYLE, 30.0)
    assert table.lines[0][2] == ("130 1/2",)
    assert table.widths[2] >= note_line_width("130 1/2", table.size, stacked=True) + 2 * SIDE - 1e-6


def test_the_letters_of_a_table_are_lower_where_it_does_not_fit_else() -> None:
    large = load_style("large-print")
    columns, rows = [Column(f"Column{n}") for n in range(5)], [Row(("Everything",) * 5)]
    natural = Table(columns, rows, large, 500.0)
    tight = Table(columns, rows, large, 0.85 * natural.width)
    assert natural.size == large.height("body") and large.minimum_height <= tight.size < natural.size
    assert tight.width <= 0.85 * natural.width + 0.01
    assert Table(columns, rows, large, 20.0).size == large.minimum_height


def test_columns_of_notes_are_as_many_as_hold_forty_letters() -> None:
    large = load_style("large-print")
    assert column_count((0.0, 0.0, 271.0, 100.0), STYLE) == 3 and column_count((0.0, 0.0, 271.0, 100.0), large) == 2
    assert column_count((0.0, 0.0, 184.0, 100.0), STYLE) == 2 and column_count((0.0, 0.0, 184.0, 100.0), large) == 1


def test_room_that_is_left_goes_to_the_columns_that_wrap() -> None:
    table = Table(COLUMNS, ROWS[:3], STYLE, 200.0)
    assert table.width == pytest.approx(200.0)
    assert table.widths[0] == pytest.approx(Table(COLUMNS, ROWS[:3], STYLE, 60.0).widths[0])


def test_a_long_table_repeats_its_head_and_loses_no_row() -> None:
    pages = table_pages(COLUMNS, ROWS, STYLE, (10.0, 10.0, 200.0, 110.0), "long")
    assert len(pages) > 2
    seen = [dict(row.attrs)["row"] for page in pages for row in groups((page,), "row")]
    assert seen == [str(n) for n in range(40)]
    for page in pages:
        assert "What it is" in words(page)
        box = item_extent(page)
        assert box is not None and box[3] <= 110.0 + 1e-6
    assert len({page.id for page in pages}) == len(pages)


def test_an_empty_table_is_its_head() -> None:
    (page,) = table_pages(COLUMNS, (), STYLE, (10.0, 10.0, 200.0, 110.0))
    assert "What it is" in words(page)


def test_a_row_with_too_few_cells_is_refused() -> None:
    with pytest.raises(ValueError, match="2 cells"):
        Table(COLUMNS, (Row(("1", "two")),), STYLE, 100.0)


def test_flow_keeps_headings_with_their_words_and_fills_columns_alike() -> None:
    flow = Flow((0.0, 0.0, 200.0, 60.0), STYLE, 2)
    for n in range(8):
        flow.heading(f"Heading {n}")
        for m in range(3):
            flow.words(f"Line {m} under heading {n}", "–")
    pages = flow.pages()
    texts = [leaf for page in pages for leaf in walk(page) if isinstance(leaf, Text)]
    assert sum(leaf.text.startswith("Line") for leaf in texts) == 24
    for page in pages:
        leaves = [leaf for leaf in walk(page) if isinstance(leaf, Text)]
        for column in (0, 1):
            own = [leaf for leaf in leaves if (leaf.at[0] >= 100) == bool(column)]
            if own:
                assert not max(own, key=lambda leaf: leaf.at[1]).text.startswith("HEADING")
                assert max(leaf.at[1] for leaf in own) <= 60.0


def test_parts_list_has_one_row_for_each_mark_with_its_sheet() -> None:
    index = (IndexRow("4.1", "Part A", 7, "part", ("A",)), IndexRow("4.3", "Parts C, D", 9, "part", ("C", "D")))
    (draft,) = PARTS_LIST.compose(context(index=index, kinds=("parts-list",)))
    (table,) = [t for t in groups(draft.items, "table") if t.id == "parts-list"]
    rows = list(groups(table.items, "row"))
    assert [dict(row.attrs)["mark"] for row in rows] == ["A", "B", "C", "D", "E", "F"]
    assert [dict(row.attrs)["count"] for row in rows] == ["1", "1", "2", "1", "1", "1"]
    assert words(rows[2]).startswith("C 2 bottom, fixed shelf 23 1 16 11 25 32 23 32")
    assert [words(row).rsplit(" ", 1)[1] for row in rows] == ["4.1", "length", "4.3", "4.3", "length", "length"]


def test_knowing_the_sheets_does_not_move_the_parts_list() -> None:
    index = (IndexRow("4.12", "Part A", 7, "part", tuple("ABCDEF")),)
    (before,), (after,) = PARTS_LIST.compose(context()), PARTS_LIST.compose(context(index=index))
    rules = [[leaf for leaf in walk(d.items) if isinstance(leaf, Line)] for d in (before, after)]
    assert rules[0] == rules[1]


def test_hardware_list_counts_and_names_the_step() -> None:
    ctx = context(kinds=("hardware",))
    (draft,) = HARDWARE.compose(ctx)
    (row,) = groups(draft.items, "row")
    step = next(step.number for step in ctx.steps if "pull" in step.fits)
    text = words(row)
    assert text.startswith("bar pull")
    assert f" {step} " in text and "drawer front" in text and "4 apart" in text and text.endswith("6.00 6.00")
    assert not HARDWARE.wanted(context(replace(sample_case(), fittings=())))


def test_parts_and_hardware_share_a_sheet_where_both_fit() -> None:
    ctx = context()
    (draft,) = PARTS_LIST.compose(ctx)
    assert draft.title == "Parts and hardware" and HARDWARE.compose(ctx) == ()
    tables = [t.id for t in groups(draft.items, "table")]
    assert tables == ["parts-list", "hardware"]
    low = replace(ctx, space=(SPACE[0], SPACE[1], SPACE[2], SPACE[1] + 70.0))
    assert [d.title for d in PARTS_LIST.compose(low)] == ["Parts list"]
    assert [d.code for d in HARDWARE.compose(low)] == ["6.2"]


def test_hardware_under_a_long_parts_list_leaves_prices_to_the_sheet_to_buy_from() -> None:
    """Eighteen rows of parts fill two thirds of the main example's sheet; its prices stand on sheet 6.0. Without that sheet they are
    not left out."""
    ctx = context(check("eyepiece-cabinet.plan", DiskWorld(ROOT / "examples" / "eyepiece-cabinet"), ()).model)
    (draft,) = PARTS_LIST.compose(ctx)
    assert draft.title == "Parts and hardware" and HARDWARE.compose(ctx) == ()
    (table,) = (t for t in groups(draft.items, "table") if t.id == "hardware")
    assert "Price" not in " ".join(words(item) for item in table.items)
    box = item_extent(draft.items[-1])
    assert box is not None and box[3] <= ctx.space[3] + 1e-6
    listed = replace(ctx, kinds=("parts-list", "hardware"))
    assert "Price" in " ".join(words(item) for d in HARDWARE.compose(listed) for item in d.items)


def test_the_lowest_table_breaks_fewest_lines() -> None:
    """A short column leaves its room to one with many words."""
    columns, style = (Column("Item", wrap=True), Column("Used on", wrap=True)), context().style
    rows = (Row(("Screw of brass with a raised head", "word " * 40)), Row(("Nail", "word " * 40)))
    even, low = Table(columns, rows, style, 160.0, above=1.6), lowest_table(columns, rows, style, 160.0, "low", 1.6)
    assert low.height < even.height and abs(low.width - even.width) < 1e-6


def test_bought_sizes_read_as_the_trade_says_them() -> None:
    inch = Units()
    screw = HardwareItem("s", "screw", "screw", (("long", Fraction(254, 10)), ("gauge", Fraction(6))))
    slide = HardwareItem("r", "slide", "slide", (
        ("long", Fraction(4064, 10)), ("side", Fraction(127, 10)), ("holes_1", Fraction(254, 10)),
        ("holes_2", Fraction(508, 10)), ("pilot", Fraction(254, 10) * 3 / 32),
    ))  # fmt: skip
    pull = HardwareItem("p", "pull", "pull", (("bore", Fraction(5)), ("spaced", Fraction(96))))
    assert sizes_words(screw, inch) == "No 6 × 1"
    assert sizes_words(slide, inch) == "16 long; 1/2 beside the drawer; holes at 1, 2; pilot 3/32"
    assert sizes_words(pull, inch) == "bore 5 mm, 96 mm apart"
    assert sizes_words(pull, Units("mm", Fraction(1))) == "bore 5, 96 apart"


def test_notes_show_every_pen_and_the_measured_stock() -> None:
    drafts = NOTES.compose(context())
    general = [d for d in drafts if d.code.startswith("0.2")]
    roles = {leaf.role for d in general for leaf in walk(d.items) if isinstance(leaf, Line)}
    assert {role for role, _ in LINES} <= roles
    text = " ".join(words(item) for d in general for item in d.items)
    assert "Break all sharp edges." in text
    stock = {dict(row.attrs)["stock"]: words(row) for d in general for row in groups(d.items, "row") if "stock" in dict(row.attrs)}
    assert stock["panel"] == '3/4" birch plywood 3 4 23 32 48 × 96'


def test_stock_that_the_maker_planes_is_bought_rough() -> None:
    def said(stocks: str) -> str:
        model = resolved(HEAD + stocks + "part shelf from oak\n  across from 0 to 300 mm\n  back from 0 to 80 mm\n  up from 0\n").model
        return " ".join(words(item) for d in NOTES.compose(context(model)) if d.code.startswith("0.2") for item in d.items)

    oak = "stock oak lumber 25 mm\n  measured 20 mm\n"
    assert "Rough Planed to" in said(oak) and "Called" not in said(oak)
    assert "Called, rough Measured, planed to" in said(oak + PLY)


def test_notes_of_the_heading_and_notes_of_the_plan_are_printed_in_their_order() -> None:
    model = resolved(HEAD + "  note First of the heading.\n" + PLY + "part shelf from ply\n  size 20\" x 8\"\nnote Then {shelf.width} of the plan.\n").model
    drafts = NOTES.compose(context(model))
    text = " ".join(words(item) for d in drafts if d.code.startswith("0.2") for item in d.items)
    assert "First of the heading." in text.partition("NOTES OF THE PLAN")[2].partition("Then 203.2 mm of the plan.")[0]
    assert text.count("Then 203.2 mm of the plan.") == 1


def test_safety_sheet_ties_machines_to_steps() -> None:
    ctx = context()
    drafts = NOTES.compose(ctx)
    text = " ".join(words(item) for d in drafts if "azards" in d.title for item in d.items)
    assert "TABLE SAW (STEP" in text
    assert "Whoever is not trained on a machine does not run it." in text


@pytest.mark.parametrize("name", ["bench-shelf", "eyepiece-cabinet", "trellis-kit"])
def test_safety_begins_on_the_last_sheet_of_the_notes_where_that_saves_one(name: str) -> None:
    ctx = sheet_context(check(f"{name}.plan", DiskWorld(ROOT / "examples" / name)).model)
    drafts = NOTES.compose(ctx)
    shared = [d for d in drafts if any(isinstance(i, Group) and i.kind == "section" for i in d.items)]
    assert [d.title for d in shared] in ([], ["General notes; hazards and safety"])
    assert [d.code for d in drafts] == sorted(d.code for d in drafts)
    space = (ctx.space[3] - ctx.space[1]) * column_count(ctx.space, ctx.style)
    used = [sum(box[3] - box[1] for i in d.items if (box := item_extent(i)) is not None) for d in drafts]
    assert sum(used) > space * (len(drafts) - 1) * 0.8  # one sheet less would hardly hold them


def test_list_sheets_have_no_faults_of_draughtsmanship() -> None:
    ctx = context()
    for kind in (TO_BUY, PARTS_LIST, HARDWARE, NOTES):
        for draft in kind.compose(ctx):
            assert findings(draft) == [], draft.code


@pytest.mark.parametrize("room", [150.0, 90.0, 72.0])
def test_a_table_keeps_to_its_room_by_breaking_heads_and_then_words(room: float) -> None:
    columns = (Column("Stock", wrap=True), Column("Called, rough", "end"), Column("Measured, planed to", "end"), Column("Size W × L", "end"))
    rows = (Row(("1/4 cherry plywood", "1/4", "7/32", "48 × 96")), Row(("8/4 soft maple, rough", "2", "1 3/4", "")))
    table = Table(columns, rows, load_style("shop-inch"), room)
    assert table.width <= room + 1e-6
    left, right = 20.0, 20.0 + table.width
    for leaf in walk((table.draw(left, 10.0),)):
        box = item_extent(leaf)
        assert box is None or (box[0] >= left - 0.3 and box[2] <= right + 0.3), leaf
    assert (table.head_height > 9.0) == (room < 100)
