"""Cutting layouts of sheets, boards and bars as drawn: every piece named, every cut numbered, nothing struck by a line."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from plandoc.cutting.stock import Placed
from plandoc.diagnostics import Sink
from plandoc.drawing.boxes import item_extent, overlap, segment_meets_box
from plandoc.drawing.display import Line, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import text_extent
from plandoc.drawing.style import load_style, paper_size
from plandoc.model.entities import Model
from plandoc.model.loading import load
from plandoc.model.resolve import resolve
from plandoc.packet.layout import drawing_space
from plandoc.sheets.barcuts import KIND as BARS
from plandoc.sheets.context import IndexRow, SheetContext
from plandoc.sheets.cover import compose as cover
from plandoc.sheets.cutting import KIND as CUTTING
from plandoc.sheets.cutting import sheet_layouts
from plandoc.sheets.cuttingwords import cut_rows, panels
from plandoc.sheets.hardware import KIND as HARDWARE
from plandoc.sheets.listsheets import parts_note
from plandoc.sheets.partslist import KIND as PARTS_LIST
from plandoc.sheets.tobuy import KIND as TO_BUY
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.setups import setups
from plandoc.shopwork.setupwords import fence_texts
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.world import DiskWorld, MemoryWorld
from tests.support.resolving import resolved
from tests.support.sheet_ctx import findings, groups, lines, texts

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(p.name for p in EXAMPLES.iterdir() if (p / f"{p.name}.plan").exists())
BIRCH = 'stock thick sheet 48" x 96" "birch plywood"\n  called 3/4"\nstock thin sheet 48" x 96" "birch plywood"\n  called 1/4"\n'
OAK = 'stock oak lumber 4/4 "Oak"\n  dressed 3/4"\n'
LATH = 'stock lath batten 3/4" x 2" "Lath"\n'


@lru_cache(maxsize=len(NAMES))
def example(name: str) -> SheetContext:
    kinds, sink = all_kinds(), Sink()
    return plain(resolve(load(f"{name}.plan", DiskWorld(EXAMPLES / name), vocabulary(kinds), sink), kinds, sink, ()))


def plain(model: Model, index: tuple[IndexRow, ...] = (), kind: str = "") -> SheetContext:
    """A context without solids and steps, which cuts do not need."""
    style = load_style(model.info.style)
    paper = paper_size(style, model.info.paper, model.info.orientation)
    return SheetContext(model, {}, style, drawing_space(model.info, style, kind), (), index, paper)


def above_the_title_block(drafts: tuple[Draft, ...], ctx: SheetContext) -> bool:
    return all(box is None or (box[3] <= ctx.space[3] + 0.1 and box[2] <= ctx.space[2] + 0.1) for d in drafts for item in d.items for box in (item_extent(item),))


def model_of(text: str, units: str = "") -> Model:
    outcome = resolved(f'plan "Cuts"\n{units}{text}')
    assert not outcome.diagnostics, outcome.report
    return outcome.model


def parts(stock: str, *sizes: str) -> str:
    return "".join(f"part {stock}_{n} from {stock}\n  size {size}\n" for n, size in enumerate(sizes, 1))


def drawn(ctx: SheetContext) -> tuple[Draft, ...]:
    return tuple(d for kind in (CUTTING, BARS) if kind.wanted(ctx) for d in kind.compose(ctx))


def rows(drafts: tuple[Draft, ...]) -> list[str]:
    return [" | ".join(texts([row])) for d in drafts for row in groups(d.items, "row")]


def words(drafts: tuple[Draft, ...]) -> str:
    return " ".join(t for d in drafts for t in texts(d.items))


@pytest.mark.parametrize("name", NAMES)
def test_lettering_of_layouts_is_struck_by_no_line_and_touches_no_other(name: str) -> None:
    ctx = example(name)
    drafts = drawn(ctx)
    assert findings(drafts, ctx) == [] and above_the_title_block(drafts, ctx)
    for layout in (g for d in drafts for g in groups(d.items, "layout")):
        leaves = tuple(walk(layout.items))
        boxes = [(leaf, text_extent(leaf)) for leaf in leaves if isinstance(leaf, Text)]
        strokes = [s for leaf in leaves if isinstance(leaf, Line) and leaf.role in ("vis", "tb") for s in zip(leaf.points, leaf.points[1:] + leaf.points[:1], strict=True)]
        for n, (text, box) in enumerate(boxes):
            assert not any(segment_meets_box(p, q, box) for p, q in strokes), f"{text.text} is struck"
            assert not any(overlap(box, other, 0.7) for _, other in boxes[n + 1 :]), f"{text.text} touches"
            assert text.size >= ctx.style.minimum_height


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_has_its_mark_and_every_cut_its_number(name: str) -> None:
    ctx = example(name)
    for kind, found in ((CUTTING, panels(sheet_layouts(ctx))), (BARS, panels([one for one in layouts(ctx.model) if one.stock.kind == "lumber"], "Board "))):
        if not kind.wanted(ctx):
            continue
        drawings = [g for d in kind.compose(ctx) for g in groups(d.items, "layout")]
        assert len(drawings) == len(found)
        for panel, drawing in zip(found, drawings, strict=True):
            written = texts([drawing])
            numbers = [t.removeprefix("cut ") for t in written]
            assert all(numbers.count(str(n)) == 1 for n in range(1, len(panel.layout.cuts) + 1))
            for mark in {p.part for p in panel.layout.placed}:
                assert written.count(mark) == sum(p.part == mark for p in panel.layout.placed)
            kept = sum(t == "keep" or t.startswith("keep, ") for t in written)
            assert kept == len(panel.layout.offcuts)


def test_the_main_example_takes_four_pages_two_layouts_on_one() -> None:
    ctx = example("eyepiece-cabinet")
    drafts = CUTTING.compose(ctx)
    assert [(d.code, d.title) for d in drafts] == [
        ("6.3", "Cutting layout 1: 3/4 birch plywood"),
        ("6.3b", "Cutting layouts 2 and 3: 3/4 birch plywood; 1/4 birch plywood"),
        ("6.3c", "Cutting layout 4: 1/2 birch plywood"),
        ("6.3d", "Cuts of layouts 1 and 4"),
    ]
    for panel, drawing in zip(panels(sheet_layouts(ctx)), [g for d in drafts for g in groups(d.items, "layout")], strict=True):
        sized = sum("×" in t or t.endswith('"') for t in texts([drawing]))
        assert sized >= sum(isinstance(p, Placed) for p in panel.layout.placed)


def test_every_cut_stands_in_one_row_after_the_trim() -> None:
    for name in ("eyepiece-cabinet", "shop-cart", "trellis-kit"):
        ctx = example(name)
        drafts = drawn(ctx)
        told: dict[str, list[str]] = {}
        for d in drafts:
            for row in groups(d.items, "row"):
                layout, number = texts([row])[:2]
                first, _, last = number.partition("–")
                told.setdefault(layout, []).extend([number] if number == "trim" else [str(n) for n in range(int(first), int(last or first) + 1)])
        for panel in panels(sheet_layouts(ctx)):
            assert told[panel.number] == ["trim", *(str(n) for n in range(1, len(panel.layout.cuts) + 1))]


def test_what_begins_a_layout_does_not_stand_alone_at_the_foot_of_a_page() -> None:
    for name in ("darkroom-cabinet", "lookout-table", "tide-board"):
        for draft in drawn(example(name)):
            told = [texts([row])[:2] for row in groups(draft.items, "row")]
            if told and told[-1][1] == "trim":
                raise AssertionError(f"{name} {draft.code}: {told[-1]} stands alone")


def test_fence_and_stop_are_as_fine_as_at_the_machine() -> None:
    """One figure for one setting: 5 5/64" in a plan of 1/32" is no ≈5 3/32" in the table of cuts."""
    ctx = plain(model_of(BIRCH + parts("thick", '30" x 5 5/64"')))
    said = " ".join(rows(CUTTING.compose(ctx)))
    assert 'fence 5 5/64"' in said and "fence ≈" not in said and "stop ≈" not in said
    fences = {text for setup in setups(ctx.model).setups for text in fence_texts(setup.setting, ctx.model.info.units)}
    assert '5 5/64"' in fences


def test_a_cut_that_leaves_nothing_at_the_edge_is_not_drawn_over_it() -> None:
    # 47 1/2" are left of the width; 1/32" over is taken by the kerf
    ctx = plain(model_of(BIRCH + parts("thick", '95 1/2" x 47 15/32"')))
    (draft,) = CUTTING.compose(ctx)
    (layout,) = groups(draft.items, "layout")
    assert list(lines(layout.items, "tb")) == [] and "1" in texts([layout])
    assert rows((draft,))[1] == '1 | 1 | rip | 95 1/2" × 47 1/2" | fence 47 15/32" | part A, 95 1/2" × 47 15/32" | nothing'


def test_fence_and_stop_are_told_apart() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", '30" x 20"', '30" x 20"')))
    (draft,) = CUTTING.compose(ctx)
    assert texts([next(groups(draft.items, "row"))])[:1] and "Set at" in texts(draft.items) and "Fence at" not in texts(draft.items)
    told = rows((draft,))
    assert told[0] == '1 | trim | all edges | 96" × 48" | 1/4" off | scrap | 95 1/2" × 47 1/2"'
    assert told[1:] == [
        '1 | 1 | crosscut | 95 1/2" × 47 1/2" | stop 30" | piece to cut on | keep, 65 3/8" × 47 1/2"',
        '1 | 2–3 | rip | 30" × 47 1/2" | fence 20" | parts A, B, 30" × 20" | keep, 30" × 7 1/4"',
    ]
    assert not any(" x " in text for text in texts(draft.items))


def test_two_stocks_of_one_name_are_told_apart_by_their_thickness() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", '60" x 40"') + parts("thin", '60" x 40"')))
    titles = [d.title for d in CUTTING.compose(ctx)]
    assert '3/4" birch plywood' in titles[0] and '1/4" birch plywood' in titles[-1] + titles[0]
    assert words(CUTTING.compose(ctx)).count('Layout 1: 3/4" birch plywood') == 1


def test_the_caption_says_what_waste_is_and_whether_the_number_is_proved() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", '60" x 40"')))
    said = words(CUTTING.compose(ctx))
    assert 'Sheet 48" × 96", 1X. 1 full sheet in all, proved the fewest. Waste 2 %, offcuts to keep not counted.' in said
    assert "check your saw" in said and "Grey is scrap." in said and "No grain" not in said
    either = plain(model_of(BIRCH.replace('called 3/4"', 'called 3/4"\n  grain none') + parts("thick", '60" x 40"')))
    assert "No grain: parts may lie either way." in words(CUTTING.compose(either)) and "grain" not in texts(CUTTING.compose(either)[0].items)


def test_the_grain_arrow_lies_on_the_sheet() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", '60" x 40"')))
    (draft,) = CUTTING.compose(ctx)
    (layout,) = groups(draft.items, "layout")
    (frame,) = [line for line in lines(layout.items, "vis") if line.closed]
    box = item_extent(frame)
    (word,) = [leaf for leaf in walk(layout.items) if isinstance(leaf, Text) and leaf.text == "grain"]
    at = text_extent(word)
    assert box is not None and box[0] < at[0] and at[2] < box[2] and box[1] < at[1] and at[3] < box[3]


def test_narrow_strips_keep_their_marks_by_leaders() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", *[f'{20 + n}" x 5/8"' for n in range(6)])))
    drafts = CUTTING.compose(ctx)
    written = [t for d in drafts for g in groups(d.items, "layout") for t in texts([g])]
    assert sorted(t for t in written if len(t) == 1 and t.isalpha()) == list("ABCDEF")
    assert findings(drafts, ctx) == [] and above_the_title_block(drafts, ctx)


# Bars and boards --------------------------------------------------------------------------------------------------------


def test_bars_are_told_piece_by_piece() -> None:
    ctx = plain(model_of(LATH + "  boards 60\" count 3\n" + parts("lath", '29"', '29"', '19"')))
    (draft,) = BARS.compose(ctx)
    said = words((draft,))
    assert (draft.code, draft.title) == ("6.4", "Cuts of bars and boards")
    assert '3/4" × 2" Lath: 2 bars in all, proved the fewest.' in said
    assert '60", 1X: trim 1/4"; A at stop 29"; B at stop 29"; left 1 1/4", scrap.' in said
    assert '60", 1X: trim 1/4"; C at stop 19"; left 40 3/8", keep.' in said
    assert findings((draft,), ctx) == [] and above_the_title_block((draft,), ctx)


def test_bars_of_an_assumed_length_say_so_and_millimetres_have_no_mark() -> None:
    ctx = plain(model_of("stock lath batten 20 mm x 40 mm \"Lath\"\n  rack 500 mm\n" + parts("lath", "480 mm", "1100 mm", "1100 mm"), "  units mm to 1\n"))
    said = words(BARS.compose(ctx))
    assert "1 bar and 1 offcut of the rack in all, proved the fewest." in said and "the length of the bars is assumed" in said
    assert "Offcut of the rack, 500, 1X: trim 6; A at stop 480" in said and "2400, 1X: trim 6; B at stop 1100; C at stop 1100" in said


def test_boards_and_banding_stand_on_the_same_page() -> None:
    ctx = plain(model_of('stock oak lumber 4/4 "Oak"\n  dressed 3/4"\n  boards 6" x 60"\n' + parts("oak", '20" x 5"', '30" x 2 1/4"', '30" x 2 1/4"')))
    (draft,) = BARS.compose(ctx)
    assert "Board 1: 4/4 Oak" in words((draft,)) and rows((draft,))[0].startswith("Board 1 | trim | all edges")
    both = example("pinned-wall-case")
    assert "Birch lipping" in words(BARS.compose(both)) and "The plan names no spare" in words(BARS.compose(both))


def test_banding_without_boards_is_told_where_it_is_bought() -> None:
    ctx = example("seed-rack")
    assert not BARS.wanted(ctx)
    (row,) = [r for d in TO_BUY.compose(ctx) for r in groups(d.items, "row") if dict(r.attrs).get("stock") == "edging"]
    assert " of " in (said := " ".join(texts([row]))) and "Cherry edging" in said and " for " in said


KNOTTY = OAK + '  boards 6" x 96", 8" x 72" count 2\n  defect "knot" in board 1, along from 40" to 43", across from 2" to 3 1/2"\n  defect "split end" in board 3, along to 4"\n'


def test_what_is_not_used_of_a_board_is_hatched_and_named() -> None:
    ctx = plain(model_of(KNOTTY + parts("oak", '36" x 5"', '50" x 5"')))
    (draft,) = BARS.compose(ctx)
    (layout,) = groups(draft.items, "layout")
    (zone,) = groups([layout], "zone")
    box = item_extent(zone)
    (frame,) = [item_extent(line) for line in lines(layout.items, "vis") if line.closed]
    assert box is not None and frame is not None
    # along 40 to 43 of 95 1/2 behind a trim of 1/4, across 2 to 3 1/2 of 5 1/2: within the frame, by its scale
    scale = (frame[2] - frame[0]) / 95.5
    assert box[0] == pytest.approx(frame[0] + 39.75 * scale, abs=1.1) and box[2] == pytest.approx(frame[0] + 42.75 * scale, abs=1.1)
    assert "knot" in texts([layout]) and "split end" not in texts([layout])
    said = words((draft,))
    assert 'Board 1 to hand, 6" × 96", 1X.' in said and "Hatched is not used" in said
    assert 'Not used, from the lower left corner of the untrimmed board: knot, 40" to 43" along and 2" to 3 1/2" across.' in said
    assert findings((draft,), ctx) == [] and above_the_title_block((draft,), ctx)


def test_boards_of_an_assumed_size_say_so() -> None:
    ctx = plain(model_of(OAK + parts("oak", '36" x 5"', '50" x 5"')))
    assert "The plan names no boards to hand: their size is assumed." in words(BARS.compose(ctx))
    random = plain(model_of(OAK + "  boards random 5\" to 9\" x 4' to 8'\n" + parts("oak", '36" x 5"')))
    assert "Assumed is the least of the random boards that will do." in words(BARS.compose(random))


def test_stock_without_a_layout_says_why() -> None:
    told = bought(OAK + parts("oak", '20" x 11 5/8"') + LATH + parts("lath", '150"') + 'stock ash lumber 4/4 "Ash"\n  boards random 4" to 5" x 4\' to 8\'\n' + parts("ash", '36" x 5"') + 'stock ply sheet "Plywood"\n  called 1/2"\n' + parts("ply", '20" x 20"'))
    assert told["oak"][2] == "by board feet; add waste: a piece is larger than usual boards"
    assert told["ash"][2] == "by board feet; add waste: a piece is larger than the boards named"
    assert told["lath"][2] == "by run; add waste: a piece is longer than usual bars"
    assert told["ply"][2] == "by area; add waste: the plan names no size of the sheet"


def test_several_sizes_of_sheets_say_what_they_cost() -> None:
    ply = 'stock ply sheet 48" x 96" "birch plywood"\n  called 3/4"\n  price 110 a sheet\n  also 60" x 60" at 50\n'
    said = words(CUTTING.compose(plain(model_of(ply + parts("ply", '40" x 45"', '20" x 45"')))))
    assert "2 full sheets in all for 100.00, proved the least money." in said and 'Sheet 60" × 60", 1X.' in said


def test_plans_of_sheets_alone_have_no_page_of_bars() -> None:
    ctx = plain(model_of(BIRCH + parts("thick", '60" x 40"')))
    assert CUTTING.wanted(ctx) and not BARS.wanted(ctx)


def test_a_title_that_is_cut_short_in_the_index_is_said_by_its_kind() -> None:
    long = "Cutting layouts 1 and 2: 3/4 birch plywood, good on both sides; 1/4 birch plywood, good on one side, exterior glue"
    index = (IndexRow("0.1", "Cover and sheet index", 1, "cover"), IndexRow("6.3", long, 2, "cutting"))
    ctx = plain(model_of(BIRCH + parts("thick", '60" x 40"')), index, "cover")
    (draft,) = cover(ctx)
    (listed,) = groups(draft.items, "index")
    assert texts([listed])[3:] == ["6.3", "Cutting layouts", "2"]




# The stock to buy -------------------------------------------------------------------------------------------------------


def bought(text: str, units: str = "") -> dict[str, list[str]]:
    """Cells of the stock to buy by stock."""
    ctx = plain(model_of(text, units))
    drafts = TO_BUY.compose(ctx)
    assert findings(drafts, ctx) == []
    (table,) = [t for d in drafts for t in groups(d.items, "table") if t.id == "stock"]
    return {dict(row.attrs)["stock"]: texts([row]) for row in groups((table,), "row")}


def test_sheets_to_buy_with_their_waste_and_cost() -> None:
    told = bought(BIRCH.replace('called 3/4"', 'called 3/4"\n  price 92 a sheet').replace('called 1/4"', 'called 1/4"\n  price 40 a sheet') + parts("thick", '60" x 40"', '60" x 40"') + parts("thin", '20" x 20"'))
    assert told["thick"] == ['3/4" birch plywood', "33.4 sq ft", '2 sheets 48" × 96"', "yes, proved", "2 %", "92.00 a sheet", "184.00"]
    assert told["thin"][2] == '1 sheet 48" × 96"' and told["total"] == ["Total", "224.00"]


def test_boards_bars_and_banding_to_buy() -> None:
    told = bought(OAK + parts("oak", '20" x 5"') + LATH + parts("lath", '58"', '58"') + 'stock rod dowel 1/2" "Rod"\n  boards 36" count 2\n' + parts("rod", '11"'))
    assert told["oak"] == ["4/4 Oak", "0.7 bd ft", '1 board 6" × 96" (assumed), 4 bd ft', "yes, proved", "11 %"]
    assert told["lath"][1:3] == ["run 9.7 ft", '1 bar of 120"']
    assert told["rod"][1:4] == ["run 1 ft", "none: 1 of 2 bars to hand", "yes, proved"]
    metric = bought("stock oak lumber 27 mm \"Oak\"\n  boards 150 mm x 2000 mm\n  dressed 20 mm\n" + parts("oak", "500 mm x 100 mm"), "  units mm to 1\n")
    assert metric["oak"][:3] == ["27 mm Oak", "0.002 m³ of 27 rough", "none: 1 of 1 board to hand"]


def test_stock_without_room_for_a_part_is_told() -> None:
    kinds, sink = all_kinds(), Sink()
    text = 'plan "Wide"\n' + BIRCH + parts("thick", '100" x 20"')
    model = resolve(load("p.plan", MemoryWorld({"p.plan": text}), vocabulary(kinds), sink), kinds, sink, ())
    ctx = plain(model)
    assert "1 piece without room: see the cuts" in words(TO_BUY.compose(ctx))


def test_blanks_of_finished_size_are_asked_for_only_where_they_are_right() -> None:
    said = "Cut every blank to the size of its finished part."
    sheets, oak = BIRCH + parts("thick", '60" x 40"'), OAK + parts("oak", '20" x 5"')
    assert said in parts_note(model_of(sheets))
    assert said not in parts_note(model_of(oak)) and "No spare is named: leave what trimming takes." in parts_note(model_of(oak))
    assert "Cut blanks of sheet stock to the size of the finished part; no spare is named for the others" in parts_note(model_of(sheets + oak))


def test_the_stock_to_buy_stands_on_the_sheet_of_what_to_buy_and_nowhere_else() -> None:
    ctx = example("eyepiece-cabinet")
    (draft,) = TO_BUY.compose(ctx)
    assert (draft.code, draft.title) == ("6.0", "To buy")
    assert [t.id for t in groups(draft.items, "table")] == ["stock", "to-buy"]
    lists = (*PARTS_LIST.compose(ctx), *HARDWARE.compose(ctx))
    assert [(d.code, d.title) for d in lists] == [("6.1", "Parts and hardware")]
    assert [t.id for d in lists for t in groups(d.items, "table")] == ["parts-list", "hardware"]
    low = replace(ctx, space=(*ctx.space[:3], ctx.space[1] + 62.0))
    assert [d.code for d in TO_BUY.compose(low)][:2] == ["6.0", "6.0b"]
    only = replace(ctx, kinds=("hardware",))
    assert [t.id for d in HARDWARE.compose(only) for t in groups(d.items, "table")] == ["hardware"]



def test_narrow_boards_are_drawn_wider_so_that_their_pieces_are_named() -> None:
    ctx = example("tide-board")
    drafts = BARS.compose(ctx)
    assert "Widths are drawn half again as large as lengths." in words(drafts)
    assert not [g for d in drafts for g in groups(d.items, "leader")]
    assert "Widths are drawn" not in words(BARS.compose(plain(model_of(OAK + '  boards 6" x 60"\n' + parts("oak", '20" x 5"')))))


def test_titles_of_two_stocks_go_into_the_title_block() -> None:
    (draft, *_) = CUTTING.compose(example("compass-box"))
    assert draft.title == "Layouts 1 and 2: 6 mm Birch plywood; 4 mm Birch plywood"


def test_lettering_is_turned_only_in_upright_pieces() -> None:
    for name in NAMES:
        ctx = example(name)
        for layout in (g for d in drawn(ctx) for g in groups(d.items, "layout")):
            for text in (leaf for leaf in walk(layout.items) if isinstance(leaf, Text) and leaf.rotation):
                box = text_extent(text)
                assert box[3] - box[1] > box[2] - box[0] or len(text.text) == 1


@pytest.mark.parametrize("name", NAMES)
def test_every_part_comes_off_in_some_row_of_the_cuts(name: str) -> None:
    """A finished part off which more of the same length is left to cut on has its words too: else it would be sawn up with the rest."""
    units = example(name).model.info.units
    for panel in panels(layouts(example(name).model)):
        told: list[str] = []
        for row in cut_rows(panel, units):
            for cell in row.cells[-2:]:
                found = re.match(r"parts? (.+?), (?=≈?\d[^,]* × )", cell)
                for mark in found[1].split(", ") if found else ():
                    one, _, many = mark.rpartition(" ")
                    told += [one] * int(many[:-1]) if re.fullmatch(r"\d+X", many) else [mark]
        if panel.layout.cuts:
            assert sorted(told) == sorted(p.part for p in panel.layout.placed)


def test_every_piece_of_a_board_has_its_size_where_a_larger_drawing_makes_room() -> None:
    """90 x 50 in the corner of a strip, with the numbers of two cuts: the board is drawn deeper for it."""
    (draft,) = BARS.compose(example("bit-tray"))
    (layout,) = groups(draft.items, "layout")
    told = " ".join(texts([layout]))
    for size in ("90 × 50", "90 × 60", "150 × 60", "200 × 40", "200 × 30", "390 × 180"):
        assert size in told, size


def test_banding_without_a_spare_says_so() -> None:
    own = example("darkroom-cabinet")
    said = words(BARS.compose(own))
    assert "The plan names no spare" in said and "Cut with their spare" not in said
