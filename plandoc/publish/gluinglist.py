"""gluing.csv and times.csv: what is glued at one go, and how long the steps take. All of it estimates."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.model.entities import Model, Step
from plandoc.publish.lists import csv_text
from plandoc.publish.packetlists import decimal
from plandoc.shopwork.shopping import all_glue_ups
from plandoc.shopwork.worktimes import step_times

AXES = ("across", "back", "up")
OF_AXIS = ("force_n", "clamps", "to_hand", "opening_mm")
GLUING_COLUMNS = (
    "step", "assemblies", "count", "joints", "area_mm2", "glue_ml", "minutes", "too_long", *(f"{axis}_{name}" for axis in AXES for name in OF_AXIS), "paths",
)  # fmt: skip
TIME_COLUMNS = ("step", "title", "pieces", "work_minutes", "wait_minutes")
ML = 1000  # mm3


def gluing_csv(model: Model, steps: Sequence[Step]) -> str:
    """One row for what is glued at one go, a panel of boards or an assembly: area and glue of one of `count` that are alike, minutes to spread and close it, and
    along each axis the force, the clamps that make it up, how many of them there are, and how far they open."""
    rows = []
    for up in all_glue_ups(model, steps):
        found, along = up.found, {c.axis: c for c in up.found.clamped}
        cells: list[str] = []
        for axis in range(3):
            one = along.get(axis)
            cells += ["", "", "", ""] if one is None else [decimal(one.force), str(one.count), str(one.there), decimal(one.wide)]
        rows.append((
            str(up.step), "" if up.boards else " ".join(up.levels), str(up.alike), str(up.joints), decimal(found.area), decimal(Fraction(found.glue) / ML),
            decimal(found.minutes), "yes" if found.late(model) else "no", *cells, " ".join(dict.fromkeys(up.levels if up.boards else (path for j in found.joints for path in (j.a, j.b)))),
        ))  # fmt: skip
    return csv_text(GLUING_COLUMNS, rows)


def times_csv(model: Model, steps: Sequence[Step]) -> str:
    """One row a step: minutes of work and of waiting, and how many pieces it works on."""
    rows = ((str(t.step.number), t.step.title, str(t.pieces), decimal(t.work), decimal(t.wait)) for t in step_times(model, steps))
    return csv_text(TIME_COLUMNS, rows)
