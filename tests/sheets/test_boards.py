"""Glued-up parts, rough sizes and board feet as the sheets print them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pytest import approx

from plandoc.drawing.display import Line
from plandoc.geometry.bodies import FACES, box_prism
from plandoc.model.entities import Feature, Model
from plandoc.quantity import INCH
from plandoc.sheets.boardlines import _clear_of
from plandoc.sheets.listsheets import board_feet_text, parts_note, parts_tables
from plandoc.sheets.notes import compose as notes
from plandoc.sheets.partnotes import wood_lines
from plandoc.sheets.parts import compose
from tests.support.bench_model import bench
from tests.support.resolving import resolved
from tests.support.sheet_ctx import attr, context, groups, lines, texts

PLAIN = 'plan "Plain"\nstock ply sheet 48" x 96"\n  called 1/2"\npart a from ply\n  across from 0 to 20"\n  back from 0 to 9"\n  up from 0\n'


def test_boards_stand_below_their_part() -> None:
    (table,) = parts_tables(context(bench()))
    rows = [dict(row.attrs) for row in groups((table,), "row")]
    assert rows[:3] == [{"mark": "A", "count": "1"}, {"below": "A", "count": "2"}, {"below": "A", "count": "1"}]
    assert [row["mark"] for row in rows if "mark" in row] == ["A", "B", "C", "D"]
    words = [" ".join(texts((row,))) for row in groups((table,), "row")]
    assert "48 1 2" in words[1] and "5 3 16" in words[1] and "1 1 4" in words[1]
    assert "43 1 2" in words[4] and "4 1 4" in words[4]


def test_rough_columns_only_where_there_are_rough_sizes() -> None:
    (table,), (plain,) = parts_tables(context(bench())), parts_tables(context(resolved(PLAIN).model))
    assert {"Rough L", "Rough W", "Rough T", "Bd ft"} <= set(texts((table,)))
    assert not {"Rough L", "Bd ft", "Edges banded"} & set(texts((plain,)))


def test_narrow_paper_puts_rough_sizes_in_rows() -> None:
    ctx = context(bench(), orientation="portrait")
    (table,) = parts_tables(ctx)
    assert "Rough L" not in texts((table,))
    rows = [dict(row.attrs) for row in groups((table,), "row")]
    assert [row.get("mark", row.get("below")) for row in rows] == ["A", "A", "A", "B", "B", "C", "C", "D"]
    words = [" ".join(texts((row,))) for row in groups((table,), "row")]
    assert words[6].startswith("1 rough, for C 43 1 2 4 1 4 1")
    for style in ("shop-inch", "large-print"):
        ctx = context(bench(), orientation="portrait", style=style)
        (table,) = parts_tables(ctx)
        rules = [x for line in lines((table,), "vis") + lines((table,), "tb") for x, _ in line.points]
        assert max(rules) <= ctx.space[2] + 0.01


def test_the_note_adds_up_board_feet_by_stock() -> None:
    # 1.25 x 15.5 x 48.5 / 144 = 6.5256, 1 x 4.25 x 43.5 / 144 = 1.2839
    assert parts_note(bench()).endswith("Board feet of the rough sizes, without waste: 5/4 White ash ≈6.53; 4/4 White oak ≈1.28.")
    assert "Board feet" not in parts_note(resolved(PLAIN).model)
    assert board_feet_text(Fraction(5, 2)) == "2.5" and board_feet_text(Fraction(1, 3)) == "≈0.33"


def test_heading_of_a_glued_up_part() -> None:
    model = bench()
    assert wood_lines(model.part("seat"), model.info.units) == [("GLUED UP FROM 3 BOARDS", "EACH 5 WIDE", "RINGS UP AND DOWN IN TURN"), ("ROUGH W 15 1/4 × L 48 1/2",)]
    assert wood_lines(model.part("leg[1]"), model.info.units) == [("ROUGH L 17 1/2",)]
    assert wood_lines(model.part("shelf"), model.info.units) == []


def board_lines(model: Model) -> list[tuple[str, list[float]]]:
    drawn = [item for draft in compose(context(model)) for item in draft.items]
    found = []
    for view in groups(drawn, "view"):
        for group in groups(view.items, "boards"):
            outline = [point for line in lines(view.items, "vis") for point in line.points]
            top, bottom = min(y for _, y in outline), max(y for _, y in outline)
            found.append((attr(group, "count"), [(line.points[0][1] - top) / (bottom - top) for line in lines((group,), "light")]))
    return found


def test_joint_lines_divide_the_face() -> None:
    ((count, places),) = board_lines(bench())
    assert count == "3" and len(places) == 2
    assert all(abs(place - share) < 0.01 for place, share in zip(sorted(places), (1 / 3, 2 / 3), strict=True))


def test_no_joint_line_runs_over_a_cut_out() -> None:
    model = bench()
    seat = model.part("seat")
    box = seat.box.with_span(0, 10 * INCH, 20 * INCH).with_span(1, Fraction(0), 8 * INCH)
    notch = Feature("n", "notch", FACES["top"], cuts=(box_prism(box),), through=True)
    parts = tuple(replace(p, features=(notch,)) if p is seat else p for p in model.parts)
    changed = replace(model, parts=parts)
    ((count, places),) = board_lines(changed)
    assert count == "3"
    assert [round(place, 2) for place in sorted(places)] == [0.33, 0.33, 0.67]  # the one that meets the notch in two pieces
    (pieces,) = [
        sorted(line.points for line in lines((group,), "light"))
        for draft in compose(context(changed)) for group in groups(draft.items, "boards")
    ]  # fmt: skip
    (_, b), (c, _) = sorted((p for p in pieces if sum(q[0][1] == p[0][1] for q in pieces) == 2), key=lambda p: min(p)[0])
    wide = max(x for p in pieces for x, _ in p) - min(x for p in pieces for x, _ in p)
    assert abs(c[0] - b[0]) / wide == approx(float(10 * INCH / seat.shoulder.size(0)))


def test_the_legend_explains_joint_lines_where_there_are_some() -> None:
    said = [" ".join(text for draft in notes(context(m)) for text in texts(draft.items)) for m in (bench(), resolved(PLAIN).model)]
    assert "glued-up part" in said[0] and "glued-up part" not in said[1]


TOP = """
plan "Top"
  units mm
stock oak lumber 27 mm
  dressed 20 mm
part top from oak
  grain across
  across from 0 to 600 mm
  back from 0 for 240 mm
  up from 0
  glued from boards at most 125 mm jointing 3 mm
  WORK
"""


def board_strokes(work: str) -> list[tuple[tuple[float, float], ...]]:
    outcome = resolved(TOP.replace("WORK", work))
    assert not outcome.codes
    made = compose(context(outcome.model))
    return sorted(line.points for group in groups(made[0].items, "boards") for line in lines((group,), "light"))


def test_board_lines_stop_only_where_work_goes_through() -> None:
    """Round corners leave the joint between two boards whole; an opening on it parts its line."""
    plain = board_strokes("")
    assert len(plain) == 1
    assert len(board_strokes("round 20 mm on top corners")) == 1
    opened = board_strokes("cutout 100 mm x 60 mm on top at 300 mm, 120 mm")
    assert len(opened) == 2
    (a, b), (c, d) = opened
    whole = plain[0][1][0] - plain[0][0][0]
    assert (c[0] - b[0]) / (d[0] - a[0]) == approx(1 / 6) and whole > 0


def test_board_lines_leave_room_for_figures() -> None:
    assert _clear_of((0.0, 5.0), (40.0, 5.0), [(10.0, 3.0, 20.0, 7.0), (10.0, 20.0, 20.0, 24.0)]) == [
        Line("light", ((0.0, 5.0), (9.0, 5.0))), Line("light", ((21.0, 5.0), (40.0, 5.0))),
    ]  # fmt: skip
