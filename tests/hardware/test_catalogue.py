"""The catalogue that comes with the program: every entry compiles, has its figures, and can be fitted; in inch and in mm."""

from __future__ import annotations

import re
from fractions import Fraction as F
from pathlib import Path

import pytest

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Sink
from plandoc.resources import library_folder
from plandoc.world import DiskWorld, MemoryWorld
from tests.support.resolving import resolved

TEXT = (library_folder() / "hardware.plan").read_text(encoding="utf-8")
ENTRIES = re.findall(r"^hardware (\w+) +(\w+)", TEXT, re.MULTILINE)
INCH = F(254, 10)

# A case, with a door that covers so much of the side, or one between the sides, or a drawer.
CASE = """
stock ply sheet 48" x 96" "Birch plywood"
  called 18 mm
part left_side from ply
  grain  up
  across from 0
  back   from 0 to 800 mm
  up     from 300 mm to 1000 mm
part right_side mirrors left_side about 400 mm
part shelf from ply
  grain  across
  across between left_side and right_side
  back   from 0 to 800 mm
  up     from 300 mm
joint butt shelf into left_side, right_side
"""
DRAWER = """
part box_left from ply
  grain  back
  across from left_side.right + 12.7 mm
  back   from 0 to 800 mm
  up     from 600 mm for 150 mm
part box_right mirrors box_left about 400 mm
"""
LAPPED = """
part door from ply
  grain  up
  across from left_side.right - {} mm to 400 mm
  back   to 0
  up     from 300 mm to 900 mm
"""
INSET = """
part door from ply
  grain  up
  across from left_side.right + 2 mm to 400 mm
  back   from 0
  up     from 320 mm to 900 mm
"""
FITS = {
    "slide": "fit {} on box_left, left_side, box_right, right_side at 60 mm",
    "hinge": "fit {} on door, left_side at 100 mm, 450 mm",
    "butt_hinge": "fit {} on door, left_side at 100 mm, 450 mm",
    "pull": "fit {} on door at centre along up",
    "knob": "fit {} on door at 50 mm, 300 mm from right",
    "shelf_pin": "fit {} on left_side, right_side at (50 mm, 50 mm), (700 mm, 50 mm) row 4",
    "leveller": "fit {} on shelf inset 60 mm",
    "caster": "fit {} on shelf inset 80 mm",
    "bracket": "fit {} on shelf, left_side, shelf, right_side facing top at 300 mm",
    "catch": "fit {} on door, shelf at 150 mm from right",
    "hook": "fit {} on shelf at 100 mm, 100 mm facing bottom",
    "hanger": "fit {} on left_side at 100 mm, 100 mm facing left",
    "glue": "fit {} on left_side, shelf, right_side",
    "finish": "fit {} on left_side, right_side",
    "screw": "fit {} on shelf count 6",
    "dowel": "fit {} on shelf count 6",
}


# An inset hinge has no overlay; a hook or a knob may have one screw or bore alone.
MAY_BE_NOTHING = ("overlay", "spaced")


def plan(units: str, name: str, kind: str) -> str:
    overlay = {"hinge_full": 16, "hinge_half": 9}.get(name)
    door = INSET if kind in ("butt_hinge", "catch") or name == "hinge_inset" else LAPPED.format(overlay or 16)
    door = DRAWER if kind == "slide" else door
    return f'plan "Trial"\n  units {units}\ninclude "library/hardware.plan"\n' + CASE + door + FITS[kind].format(name) + "\n"


@pytest.mark.parametrize(("name", "kind"), ENTRIES, ids=[name for name, _ in ENTRIES])
def test_every_entry_can_be_fitted(name: str, kind: str) -> None:
    for units in ("mm to 0.5", "inch to 1/32"):
        outcome = resolved(plan(units, name, kind))
        assert not outcome.diagnostics, outcome.report
        (fitting,) = outcome.model.fittings
        assert fitting.item == name and fitting.quantity >= 1
        drilled = [f for p in outcome.model.parts for f in p.features]
        assert bool(drilled) == (kind not in ("glue", "finish", "screw", "dowel"))
        (item,) = (i for i in outcome.model.hardware if i.name == name)
        # Every hole says what it is for, in the words of the description, not by the name that a plan gives it.
        assert {f.note.rpartition(", ")[2].casefold() for f in drilled} <= {item.description.partition(",")[0].casefold()}
        assert item.description and all(value > 0 or key in MAY_BE_NOTHING for key, value in item.sizes), item.sizes
        sink = Sink()
        run_checks(outcome.model, solids(outcome.model), sink)
        assert [d.code for d in sink.finish()] == [], units


def test_the_catalogue_is_complete() -> None:
    names = [name for name, _ in ENTRIES]
    assert len(names) == len(set(names))
    lengths = [f"slide_{n}_in" for n in range(10, 25, 2)] + [f"slide_{n}" for n in range(250, 601, 50)]
    wanted = [*lengths, "hinge_full", "hinge_half", "hinge_inset", "pull_3_in", "pull_96", "pull_128", "shelf_pin_5", "shelf_pin_1_4_in", "caster_2_in", "caster_3_in"]
    assert [name for name in wanted if name not in names] == []
    kinds = {kind for _, kind in ENTRIES}
    assert kinds == set(FITS)
    items = {i.name: i for i in resolved(plan("mm", "pull_96", "pull")).model.hardware}
    assert {items[n].size("side") for n in lengths} == {INCH / 2}
    assert all(items[f"slide_{n}_in"].size("long") == n * INCH for n in range(10, 25, 2))
    assert all(items[f"slide_{n}"].size("long") == n for n in range(250, 601, 50))
    assert [items[n].size("spaced") for n in ("pull_3_in", "pull_96", "pull_128")] == [3 * INCH, 96, 128]
    assert all(0 < (v or 0) < (items[n].size("long") or 0) for n in lengths for k, v in items[n].sizes if k.startswith("holes_"))


def test_every_group_says_where_its_figures_come_from() -> None:
    groups = re.split(r"^# [^\n]* -{10,}$", TEXT, flags=re.MULTILINE)[1:]
    assert len(groups) >= 9
    for group in groups:
        comment = "".join(line for line in group.splitlines() if line.startswith("#")).casefold()
        assert any(word in comment for word in ("common practice", "from memory", "(read")), group[:80]


def test_the_library_is_found_by_both_worlds(tmp_path: Path) -> None:
    assert DiskWorld(tmp_path).read("library/hardware.plan") == TEXT
    assert MemoryWorld({}).read("library/hardware.plan") == TEXT
    (tmp_path / "library").mkdir()
    (tmp_path / "library" / "hardware.plan").write_text("# own\n", encoding="utf-8")
    assert DiskWorld(tmp_path).read("library/hardware.plan") == "# own\n"
