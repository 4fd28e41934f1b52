"""Another measured thickness of the case plywood: what depends on it changes by as much as it must, nothing else.

Every change is stated as a multiple of the change of the thickness. With t the thickness of the case plywood the
cabinet's sums are: opening = 21 - 2 t; underside of the divider 3 1/2 + t + 9, its top one t more; a drawer front is
(t + 9 + t - 3 gaps) / 2 high.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.model.entities import Feature, Model, Part
from plandoc.pipeline import check
from plandoc.quantity import INCH
from plandoc.world import DiskWorld

FOLDER = Path(__file__).parents[2] / "examples" / "eyepiece-cabinet"
BEFORE, AFTER = Fraction(23, 32) * INCH, Fraction("0.71") * INCH
HALF = Fraction(1, 2)

# Finished sizes (length, width, thickness) of every part that is touched; all others stay as they are.
SIZES: dict[str, tuple[int, int, int]] = {
    "left_side": (0, 0, 1),
    "right_side": (0, 0, 1),
    "case_bottom": (-2, 0, 1),  # 21 - 2 t + 2 x 1/4
    "divider": (-2, 0, 1),
    "case_top": (-2, 0, 1),
    "back_panel": (-1, -2, 0),  # up to the underside of the top; across the opening
    "toe_board": (-2, 0, 1),
    **{f"tray[{i}].blank": (-2, 0, 1) for i in range(1, 6)},
    **{f"drawer[{i}].{name}": (-2, 0, 0) for i in (1, 2) for name in ("box_front", "box_bottom", "box_back")},
    **{f"drawer[{i}].front": (0, 1, 1) for i in (1, 2)},  # height (9 + 2 t - 3 gaps) / 2; width stays 21 - 2 gaps
}

# Figures of the work on parts: part, work, axis, role -> multiple. The first line that fits counts; none: no change.
# Of screws in a row the last group is the number: they are spread between ends that move.
FIGURES: list[tuple[str, str, str, str, Fraction | int | str]] = [
    ("(left|right)_side", r"(dado|rabbet|slide)\[(case_bottom|divider|case_top|tray.*)\]", "z", "size", 1),
    ("(left|right)_side", r"dado\[divider\]", "z", "place", 1),  # 3 1/2 + t + 9
    ("(left|right)_side", r"slide\[tray.*\]", "z", "place", 2),  # above the divider: one t more
    ("(left|right)_side", r"dowel\d\[case_top\]", "z", "place", -HALF),  # the middle of the top, from above
    ("(left|right)_side", r"fit4\.runner\.\d", "z", "place", 1),  # upper drawer: one front higher
    ("case_top", r"dowel\d\[.*\]", "z", "place", HALF),
    ("case_bottom|divider", r"screw\d\[back_panel\]", "z", "place", HALF),
    ("back_panel", r"screw\d\[case_bottom\]", "z", "place", HALF),
    ("back_panel", r"screw\d\[divider\]", "z", "place", Fraction(3, 2)),
    ("case_bottom|divider|back_panel", r"screw(\d)\[.*\]", "x", "place", "-2/3"),
    (r"drawer.*box_(bottom|back)", r"screw(\d)\[.*\]", "x", "place", "-2/3"),
    (r"drawer.*box_front", r"screw(\d)\[.*front\]", "x", "place", "-1"),
    (r"drawer\[\d\]\.front", r"screw1\[.*\]", "x", "place", 1),  # the box narrows behind a front that does not
    (r"drawer\[\d\]\.front", r"screw3\[.*\]", "x", "place", -1),
    (r"drawer.*box_front", r"fit\d\.handle\.\d", "x", "place", -1),
    (r"drawer.*(box_)?front", r"fit\d\.handle\.\d", "z", "place", HALF),  # the middle of the front
    (r"tray\[(\d)\]\.blank", r"(tab|letter)\d", "x", "place", "tab"),
    (r"tray\[\d\]\.blank", r"pocket.*", "x", "place", "share"),
]


def compiled(*settings: tuple[str, str]) -> Model:
    checked = check("eyepiece-cabinet.plan", DiskWorld(FOLDER), settings)
    assert checked.good and checked.diagnostics == ()
    return checked.model


@pytest.fixture(scope="module")
def models() -> tuple[Model, Model]:
    return compiled(), compiled(("birch.measured", '0.71"'))


def slope(before: Fraction, after: Fraction) -> Fraction:
    return (after - before) / (AFTER - BEFORE)


def pairs(models: tuple[Model, Model]) -> Iterator[tuple[Part, Part]]:
    yield from zip(models[0].parts, models[1].parts, strict=True)


def expected(part: Part, feature: Feature, axis: str, role: str) -> Fraction:
    name = feature.id.removeprefix(part.path + ".")
    for part_rule, work, axis_rule, role_rule, value in FIGURES:
        found = re.fullmatch(work, name)
        owner = re.fullmatch(part_rule, part.path)
        if owner is None or found is None or (axis_rule, role_rule) != (axis, role):
            continue
        if value == "tab":  # tabs step over (opening - 3) / 4
            return Fraction(1 - int(owner[1]), 2)
        if value == "share":  # seats stand at eighths of the opening
            assert feature.centre is not None
            return -2 * (feature.centre[0] - part.shoulder.lo[0]) / part.shoulder.size(0)
        if isinstance(value, str):
            return Fraction(value) * (int(found[1]) - 1)
        return Fraction(value)
    return Fraction(0)


def test_the_stock_is_as_measured(models: tuple[Model, Model]) -> None:
    assert [next(s.measured for s in m.stocks if s.name == "birch") for m in models] == [BEFORE, AFTER]


def test_the_outside_of_the_case_stays(models: tuple[Model, Model]) -> None:
    before, after = (m.box for m in models)
    assert before is not None and after is not None
    assert [after.size(axis) for axis in (0, 2)] == [before.size(axis) for axis in (0, 2)] == [21 * INCH, 32 * INCH]
    assert slope(before.lo[1], after.lo[1]) == -1 and before.hi[1] == after.hi[1]  # only the fronts stand out by t


def test_sizes_of_parts(models: tuple[Model, Model]) -> None:
    found = {}
    for before, after in pairs(models):
        assert (before.path, before.mark) == (after.path, after.mark)
        change = (slope(before.length, after.length), slope(before.width, after.width), slope(before.thickness, after.thickness))
        if any(change):
            found[before.path] = change
    assert found == SIZES


def test_every_figure_of_every_piece_of_work(models: tuple[Model, Model]) -> None:
    changed = counted = 0
    for before, after in pairs(models):
        assert [f.id for f in before.features] == [f.id for f in after.features]
        for old, new in zip(before.features, after.features, strict=True):
            assert (old.kind, old.face, old.diameter, old.height, old.text) == (new.kind, new.face, new.diameter, new.height, new.text)
            for was, now in zip(old.figures, new.figures, strict=True):
                assert (was.axis, was.role, was.datum) == (now.axis, now.role, now.datum)
                change = slope(was.hi - was.lo, now.hi - now.lo)
                assert change == expected(before, old, "xyz"[was.axis], was.role), (old.id, was.role, was.axis)
                counted += 1
                changed += change != 0
    assert counted > changed > 100


def test_holes_for_dowels_are_deeper_by_what_the_sides_are_thinner(models: tuple[Model, Model]) -> None:
    """Of the depths only these change: the dowel goes through what the rabbet leaves of the side, t - 5/16."""
    for before, after in pairs(models):
        for old, new in zip(before.features, after.features, strict=True):
            wanted = -1 if before.path == "case_top" and ".dowel" in old.id else 0
            assert (old.depth is None) == (new.depth is None)
            if old.depth is not None and new.depth is not None:
                assert slope(old.depth, new.depth) == wanted, old.id


def test_channels_follow_the_part_that_enters_them(models: tuple[Model, Model]) -> None:
    birch = {p.path for p in models[0].parts if p.stock.name == "birch"}
    for old, new in zip(models[0].joints, models[1].joints, strict=True):
        assert (old.id, old.depth, old.cut_depth, old.fit, old.clearance, old.stop_lo, old.stop_hi) == (new.id, new.depth, new.cut_depth, new.fit, new.clearance, new.stop_lo, new.stop_hi)
        assert slope(old.width, new.width) == (1 if old.a in birch and old.kind != "butt" else 0), old.id
        assert [len(f.centres) for f in old.fasteners] == [len(f.centres) for f in new.fasteners]


def test_hardware_is_the_same(models: tuple[Model, Model]) -> None:
    assert models[0].hardware == models[1].hardware
    assert [(f.id, f.item, f.quantity, f.parts) for f in models[0].fittings] == [(f.id, f.item, f.quantity, f.parts) for f in models[1].fittings]


def test_back_to_the_first_thickness_is_the_first_model(models: tuple[Model, Model]) -> None:
    again = compiled(("birch.measured", '23/32"'))
    assert [(p.path, p.box, p.features) for p in again.parts] == [(p.path, p.box, p.features) for p in models[0].parts]
