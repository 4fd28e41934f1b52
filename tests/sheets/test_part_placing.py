"""Part views: where dimensions, running figures, leaders and centre lines go."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.drawing.display import Group, Item, Line, Text, walk
from plandoc.drawing.style import load_style
from plandoc.pipeline import check
from plandoc.sheets.context import SheetContext
from plandoc.sheets.parts import part_drawings
from plandoc.world import DiskWorld
from tests.sheets.test_parts import SPACE, groups, solid_of
from tests.support.resolving import resolved
from tests.support.sheet_ctx import context

HEAD = """
plan "Board"
  units mm
stock oak lumber 28 mm
  dressed 24 mm
  boards 400 mm x 2000 mm
stock ply sheet 1220 mm x 2440 mm
  called 18 mm
hardware flat20 biscuit No 20
part board from oak
  grain across
  across from 0 to {wide} mm
  back from 0
  up from 0 to {high} mm
"""


def main_view(work: str, wide: int = 300, high: int = 160, ratio: Fraction = Fraction(1, 2)) -> Group:
    outcome = resolved(HEAD.format(wide=wide, high=high) + work)
    assert not outcome.codes, outcome.codes
    model = outcome.model
    ctx = SheetContext(model, {p.path: solid_of(p) for p in model.parts}, load_style(model.info.style), SPACE)
    drawing = next(d for d in part_drawings(ctx) if d.part.path == "board")
    return next(groups(drawing.block(ratio).items, "view"))


def leaves(item: Item, role: str) -> Iterator[Line]:
    return (leaf for leaf in walk((item,)) if isinstance(leaf, Line) and leaf.role == role)


def words(group: Group) -> list[str]:
    return [i.text for i in walk((group,)) if isinstance(i, Text)]


def test_the_middle_of_lettering_has_a_dash_from_which_its_figures_come() -> None:
    view = main_view('  letter "OAK" high 15 mm deep 1 mm on front at 150 mm, 80 mm\n')
    dashes = [line.points for line in leaves(view, "ctr")]
    assert len(dashes) == 2  # only where a figure is measured from
    for start, end in dashes:
        along = 0 if start[1] == end[1] else 1
        assert abs(end[along] - start[along]) == pytest.approx(2.5)
        near = [e for e in leaves(view, "ext") if abs(e.points[0][1 - along] - end[1 - along]) < 0.01]
        assert min(abs(e.points[0][along] - end[along]) for e in near) == pytest.approx(1.5, abs=0.01)


def test_one_note_for_a_bore_and_the_step_in_it() -> None:
    view = main_view("  pocket round 60 mm on front at 150 mm, 80 mm deep 6 mm\n    step round 30 mm deep 12 mm\n")
    (note,) = (g for g in groups((view,), "leader"))
    assert words(note) == ["Ø60", "6", "Ø30", "12"]  # the sign of depth is drawn


def test_sides_of_the_piece_that_its_outline_does_not_reach_are_drawn() -> None:
    shaped = "  outline on front\n    start 0, 0\n    line to 200 mm, 0\n    line to 150 mm, 100 mm\n    line to 0, 100 mm\n"
    assert len(list(leaves(main_view(shaped), "phm"))) == 2
    assert not list(leaves(main_view(""), "phm"))


def test_a_centre_line_on_an_edge_is_left_out_there() -> None:
    """A bore half across the edge of a pocket: its level centre line lies on that edge."""
    view = main_view("  pocket 100 mm x 60 mm on front at 150 mm, 100 mm deep 6 mm\n  hole 20 mm on front at 150 mm, 70 mm deep 15 mm\n")
    edges = [p for line in leaves(view, "vis") for p in zip(line.points, (*line.points[1:], line.points[0]), strict=True)]
    for a, b in (line.points for line in leaves(view, "ctr")):
        if a[1] == b[1]:
            for p, q in edges:
                if abs(p[1] - a[1]) < 0.05 and abs(q[1] - a[1]) < 0.05:
                    assert min(max(p[0], q[0]), max(a[0], b[0])) - max(min(p[0], q[0]), min(a[0], b[0])) < 0.3


def test_notes_move_up_for_one_whose_leader_would_cross_a_dimension_line() -> None:
    """The tray with four rows of notes at its right: over the line of the width there is room for all of their leaders, if each
    of the others goes up by one place."""
    model = check("eyepiece-cabinet.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "eyepiece-cabinet")).model
    drawing = next(d for d in part_drawings(context(model)) if d.mark == "H")
    slim = drawing.slim(Fraction(1, 12))
    assert slim is not None and slim.crowded == ()
