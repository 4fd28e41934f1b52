"""Cutting layouts of whole plans: every part once, inside the sheet, a kerf apart; grain; the same answer twice."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.cutting.verify import faults_of
from plandoc.model.entities import Model
from plandoc.model.sawn import blanks, boards_to_hand, sawn_size, sheets_of
from plandoc.pipeline import Checked, check
from plandoc.publish.cuttinglist import cutting_csv
from plandoc.publish.packetlists import stock_csv
from plandoc.quantity import FOOT, INCH
from plandoc.shopwork.buying import to_buy
from plandoc.shopwork.layouts import cutouts, layouts
from plandoc.shopwork.names import mark_of
from plandoc.shopwork.stocklist import stock_list
from plandoc.world import DiskWorld, MemoryWorld

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANS = ("bench-shelf/bench-shelf.plan", "eyepiece-cabinet/eyepiece-cabinet.plan")


@pytest.mark.parametrize("plan", PLANS)
def test_every_sheet_part_is_cut_once(plan: str) -> None:
    path = EXAMPLES / plan
    model = check(path.name, DiskWorld(path.parent)).model
    found = layouts(model)
    assert found and found == layouts(model)
    for one in found:
        assert one.sheets is not None
        parts = [p for p in model.parts if p.stock.name == one.stock.name]
        assert faults_of(one.sheets, cutouts(one.stock, parts), sheets_of(one.stock), one.saw) == []
        cut = Counter((p.part, p.length, p.width) for s in one.sheets.sheets for p in s.placed)
        assert cut == Counter((mark_of(p), *sawn_size(p)) for p in parts)


def test_a_part_longer_than_its_sheet_is_told() -> None:
    text = 'plan "Wide"\nstock low_ply sheet 24" x 48" "1/2 plywood"\n  called 1/2"\npart wide from low_ply\n  grain across\n  across from 0 to 60"\n  back from 0 to 1/2"\n  up from 40" to 50"\n'
    checked = check("p.plan", MemoryWorld({"p.plan": text}))
    told = [d for d in checked.diagnostics if d.code == "PD364"]
    assert len(told) == 1 and '10" x 60"' in told[0].message and '24" x 48"' in told[0].message
    assert not layouts(checked.model)[0].sheets.sheets  # type: ignore[union-attr]


# Boards and bars --------------------------------------------------------------------------------------------------------


def plan(text: str) -> Checked:
    checked = check("p.plan", MemoryWorld({"p.plan": 'plan "Cuts"\n' + text}))
    assert checked.good, checked.diagnostics
    return checked


def model_of(text: str) -> Model:
    return plan(text).model


OAK = 'stock oak lumber 4/4 "Oak"\n  dressed 3/4"\n'
LATH = 'stock lath batten 3/4" x 2" "Lath"\n'


@pytest.mark.parametrize("name", ["bit-tray", "carving-bench", "compass-box", "hive-tote", "map-cupboard", "reading-stool", "tide-board"])
def test_every_board_part_is_cut_once_from_the_boards_to_hand(name: str) -> None:
    model = check(f"{name}.plan", DiskWorld(EXAMPLES / name)).model
    found = [one for one in layouts(model) if one.stock.kind == "lumber"]
    assert found
    for one in found:
        assert one.sheets is not None and not one.sheets.unplaced
        parts = [p for p in model.parts if p.stock.name == one.stock.name]
        assert faults_of(one.sheets, blanks(parts), boards_to_hand(one.stock), one.saw) == []
        assert one.bought <= len(one.stock.boards)


def test_boards_of_several_lengths_in_one_strip_are_crosscut_first() -> None:
    # 5 and 2 1/4 in wide beside each other in no strip over the whole length, but one behind the other
    model = model_of(OAK + '  boards 5 1/2" x 60"\npart a from oak\n  size 20" x 5"\npart b from oak\n  size 30" x 2 1/4"\npart c from oak\n  size 30" x 2 1/4"\n')
    (one,) = layouts(model)
    assert one.sheets is not None and one.bought == 1 and one.sheets.proved
    assert sorted(p.part for p in one.sheets.sheets[0].placed) == ["A", "B", "C"]


def test_bars_are_filled_and_counted() -> None:
    model = model_of(LATH + '  boards 60" count 3\n' + "".join(f'part p[{n}] from lath\n  size {size}"\n' for n, size in enumerate((29, 29, 19, 19, 19), 1)))
    (one,) = layouts(model)
    assert one.bars is not None
    # 2 x 29 with two kerfs and the trim are 58 3/4 of 60; 3 x 19 with three kerfs 57 7/8
    assert [[length / INCH for _, length in b.pieces] for b in one.bars.bars] == [[29, 29], [19, 19, 19]]
    assert (one.bought, one.bars.proved, one.assumed) == (2, True, False)
    assert one.waste == Fraction(120 - 2 * 29 - 3 * 19, 120)


def test_the_rack_is_used_before_a_bar() -> None:
    model = model_of(LATH + '  boards 60" count 3\n  rack 40"\npart a from lath\n  size 39"\npart b from lath\n  size 50"\n')
    (one,) = layouts(model)
    assert one.bars is not None and one.bought == 1
    assert {b.bar.name: [length / INCH for _, length in b.pieces] for b in one.bars.bars} == {"1": [39], "2": [50]}
    (row,) = stock_list(model)
    assert row.sheets == 1


def test_battens_without_pieces_to_hand_are_cut_from_a_usual_length() -> None:
    model = model_of(LATH + '  price 2 a foot\n' + "".join(f'part p[{n}] from lath\n  size 58"\n' for n in range(1, 5)))
    (one,) = layouts(model)
    # 58 twice goes into 120 but once only into 96: two bars of 10 ft instead of four of 8
    assert one.assumed and one.bars is not None
    assert [b.bar.length for b in one.bars.bars] == [120 * INCH] * 2 and one.bought == 2
    assert cutting_csv([one]).split("\n")[1].startswith("lath,bar,1,A,6.35,")
    (row,) = stock_list(model)
    assert row.sheets == 2 and row.cost == 2 * 4 * 58 * INCH / FOOT
    long = model_of(LATH + 'part p from lath\n  size 150"\n')
    assert layouts(long) == ()


def test_pieces_to_hand_that_do_not_suffice_are_told() -> None:
    bars = LATH + "".join(f'part p[{n}] from lath\n  size 40"\n' for n in (1, 2, 3)) + "\n"
    told = plan(bars.replace('"Lath"\n', '"Lath"\n  boards 96"\n')).diagnostics
    assert [d.code for d in told] == ["PD365"]
    assert told[0].message == "no way was found to cut all parts of `lath` from the piece to hand" and told[0].mend == 'name more: boards 96" count 2'
    assert told[0].notes[0].text.startswith("the parts take 10.00 ft as cut, to hand are 8.00 ft")
    assert not plan(bars.replace('"Lath"\n', '"Lath"\n  boards 96" count 2\n')).diagnostics
    boards = OAK + '  boards 6" x 48"{}\n' + "".join(f'part shelf[{n}] from oak\n  size 40" x 5"\n' for n in (1, 2))
    told = plan(boards.format("")).diagnostics
    assert [(d.code, d.severity.name.lower()) for d in told] == [("PD365", "warning")]
    assert told[0].message.endswith("to hand: B is left over") and told[0].mend == 'name more: boards 6" x 48" count 2'
    assert not plan(boards.format(" count 2")).diagnostics
    # as wide as the board, or not so much narrower as trimming takes: another board of that width does not help
    for wide in ("6", "5 3/4"):
        (fault,) = plan(OAK + f'  boards 6" x 48"\npart shelf from oak\n  size 40" x {wide}"\n').diagnostics
        assert fault.code == "PD364" and fault.message == f'`shelf` is sawn to {wide}" x 40", its stock `oak` is 6" x 48"'
        wider = {"6": "6 1/2", "5 3/4": "6 1/4"}[wide]
        assert fault.mend.startswith(f'name a board {wider}" wide, glue the part from 2 boards')
        assert not plan(OAK + f'  boards {wider}" x 48"\npart shelf from oak\n  size 40" x {wide}"\n').diagnostics
    assert [d.code for d in plan(LATH + '  boards 41" count 9\npart p from lath\n  size 40 3/4"\n').diagnostics] == ["PD364"]


# Zones that are not used, boards that are not named ---------------------------------------------------------------------


SHELVES = "".join(f'part shelf[{n}] from oak\n  size {size}\n' for n, size in enumerate(('36" x 5"', '50" x 5"'), 1))
KNOT = '  defect "knot" in board 1, along from 40" to 43", across from 2" to 3 1/2"\n'


def test_parts_lie_beside_what_is_not_used_of_a_board() -> None:
    model = model_of(OAK + '  boards 6" x 96", 8" x 72" count 2\n' + KNOT + '  defect "split end" in board 3, along to 4"\n' + SHELVES)
    (stock,) = model.stocks
    assert [(number, zone.name, zone.x / INCH, zone.y / INCH, zone.length / INCH, zone.width / INCH) for number, zone in stock.defects] == [
        (1, "knot", 40, 2, 3, Fraction(3, 2)), (3, "split end", 0, 0, 4, 8),
    ]  # fmt: skip
    (one,) = layouts(model)
    assert one.sheets is not None and faults_of(one.sheets, blanks(model.parts), boards_to_hand(stock), one.saw) == []
    # 36 on the left of the knot, 50 behind it
    assert [s.sheet.name for s in one.sheets.sheets] == ["board 1"] and one.sheets.proved
    assert {p.part: p.x / INCH for p in one.sheets.sheets[0].placed}["B"] >= 43


def test_boards_are_named_by_their_number_in_the_plan() -> None:
    (stock,) = model_of(OAK + '  boards 6" x 96" count 2, 8" x 72" count 2\n  defect in board 2, along to 4"\n' + SHELVES).stocks
    assert [(b.name, b.length / INCH, b.count, len(b.zones)) for b in boards_to_hand(stock)] == [("board 1", 96, 1, 0), ("board 2", 96, 1, 1), ("board 3", 72, 2, 0)]


def test_a_zone_may_leave_too_little() -> None:
    told = plan(OAK + '  boards 6" x 96"\n  defect "knot" in board 1, along from 47" to 49"\n' + SHELVES).diagnostics
    assert [d.code for d in told] == ["PD365"] and "B is left over" in told[0].message


def test_lumber_without_boards_to_hand_is_laid_out_on_an_assumed_size() -> None:
    model = model_of(OAK + SHELVES)
    (one,) = layouts(model)
    # 36 and 50 with a kerf and two trims are 86 5/8: a board of 8 ft; 5 wide and two trims a board of 6 in
    assert one.assumed and one.sheets is not None and [(s.sheet.width / INCH, s.sheet.length / INCH) for s in one.sheets.sheets] == [(6, 96)]
    (row,) = stock_list(model)
    assert row.sheets == 1
    # 11 1/2 wide and two trims are the 12 in that boards have at most
    assert layouts(model_of(OAK + 'part a from oak\n  size 20" x 11 1/2"\n'))[0].sheets.sheets[0].sheet.width == 12 * INCH  # type: ignore[union-attr]
    assert layouts(model_of(OAK + 'part a from oak\n  size 20" x 11 5/8"\n')) == ()


def test_random_boards_count_as_the_least_that_will_do() -> None:
    (one,) = layouts(model_of(OAK + "  boards random 5\" to 9\" x 4' to 8'\n" + SHELVES))
    assert one.assumed and one.sheets is not None
    assert [(s.sheet.width / INCH, s.sheet.length / INCH) for s in one.sheets.sheets] == [(Fraction(11, 2), Fraction(101, 2))] * 2
    assert layouts(model_of(OAK + "  boards random 4\" to 5\" x 4' to 8'\n" + SHELVES)) == ()


# What is bought ---------------------------------------------------------------------------------------------------------


def test_sheets_and_cost_are_those_of_the_layout() -> None:
    # three parts of 30 x 60 in have less area than two sheets of 48 x 96, yet each takes a sheet
    text = 'stock ply sheet 48" x 96" "3/4 birch plywood"\n  called 3/4"\n  price 90 {}\n' + "".join(f'part p[{n}] from ply\n  size 60" x 30"\n' for n in (1, 2, 3))
    model = model_of(text.format("a sheet"))
    (row,) = stock_list(model)
    assert (row.least_sheets, row.sheets, row.cost) == (2, 3, 270)
    head, cells = (line.split(",") for line in stock_csv([row]).split("\n")[:2])
    cell = dict(zip(head, cells, strict=True))
    assert (cell["pieces_cut"], cell["fewest"], cell["cost"]) == ("3", "yes", "270.00")
    (row,) = stock_list(model_of(text.format("a square foot")))
    assert row.cost == 90 * 3 * 32
    (row,) = stock_list(model_of(text.format("a sheet").replace("  price", '  rack 31" x 61"\n  price')))
    assert (row.sheets, row.cost) == (2, 180)


def test_a_price_a_piece_is_for_a_bar() -> None:
    (row,) = stock_list(model_of('stock rod dowel 1/2" "Rod"\n  boards 36" count 2\n  price 3 a piece\n' + "".join(f'part p[{n}] from rod\n  size 11"\n' for n in (1, 2, 3, 4))))
    assert (row.sheets, row.cost) == (2, 6)


PLY = 'stock ply sheet 48" x 96" "3/4 birch plywood"\n  called 3/4"\n  price 110 a sheet\n'


def sized(*sizes: str) -> str:
    return "".join(f'part p[{n}] from ply\n  size {size}\n' for n, size in enumerate(sizes, 1))


def test_of_several_sizes_of_sheets_the_layout_takes_the_least_money() -> None:
    parts = sized('40" x 45"', '20" x 45"')
    one = layouts(model_of(PLY + parts))[0]
    assert (one.sheets.aim, one.bought) == ("sheets", 1)  # type: ignore[union-attr]
    model = model_of(PLY + '  also 60" x 60" at 50\n' + parts)
    one = layouts(model)[0]
    # 40 + 20 + a kerf are more than 59 1/2: two small sheets for 100, one large one for 110
    assert one.sheets is not None and (one.sheets.aim, one.sheets.cost, one.sheets.proved) == ("money", 100, True)
    assert [s.sheet.name for s in one.sheets.sheets] == ["sheet 2", "sheet 2"]
    assert faults_of(one.sheets, cutouts(one.stock, model.parts), sheets_of(one.stock), one.saw) == []
    (row,) = stock_list(model)
    assert row.cost == 100 and to_buy(model)[0].buy == '2 sheets 60" × 60"'
    dear = model_of(PLY + '  also 60" x 60" at 56\n' + parts)
    assert stock_list(dear)[0].cost == 110


def test_of_sizes_without_a_price_the_fewest_sheets_count() -> None:
    model = model_of(PLY + '  also 60" x 60"\n' + sized('40" x 45"', '20" x 45"'))
    (one,) = layouts(model)
    assert one.sheets is not None and (one.sheets.aim, [s.sheet.name for s in one.sheets.sheets]) == ("sheets", ["sheet"])
    (row,) = stock_list(model)
    assert row.cost == 110
    wide = model_of(PLY + '  also 60" x 60" count 1\n' + sized('40" x 55"'))
    assert stock_list(wide)[0].cost is None and not check_codes(wide)


def check_codes(model: Model) -> list[str]:
    """What does not fit any sheet."""
    return [name for one in layouts(model) for name, _ in one.laid.unplaced]


def test_of_a_size_no_more_sheets_are_taken_than_there_are() -> None:
    (one,) = layouts(model_of(PLY + '  also 60" x 60" at 50 count 1\n' + sized('40" x 45"', '40" x 45"', '40" x 45"')))
    assert one.sheets is not None and sorted(s.sheet.name for s in one.sheets.sheets) == ["sheet", "sheet 2"] and one.sheets.cost == 160


def test_the_list_of_cuts_names_pieces_by_the_marks_of_their_parts() -> None:
    model = model_of(OAK + '  boards 8" x 96" count 2\n  allowance wide 1/4"\npart top from oak\n  size 30" x 18"\n  glued from 4 boards jointing 1/8"\n')
    (one,) = layouts(model)
    assert one.sheets is not None and {p.part for s in one.sheets.sheets for p in s.placed} == {"A (1)", "A (2)"}
    assert [line.split(",")[3] for line in cutting_csv([one]).splitlines()[1:]] == ["A"] * 4
