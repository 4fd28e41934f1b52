"""setups.csv: one row for the pieces of one mark at a set-up; figures in mm, and as they are printed at the machine."""

from __future__ import annotations

from collections.abc import Iterator

from plandoc.model.entities import Model
from plandoc.publish.lists import csv_text
from plandoc.publish.packetlists import decimal
from plandoc.shopwork.setups import Job, setups
from plandoc.shopwork.setupwords import (
    cutter_text,
    exact_text,
    fence_texts,
    guards,
    holds,
    machine_text,
    passes_text,
    pieces_text,
    side_text,
    trial_text,
    uses,
)

SETUP_COLUMNS = (
    "setup", "machine", "cutter", "stack", "cutter_mm", "guide", "fence_mm", "fence", "to", "passes", "height_mm", "height", "angle",
    "mark", "name", "count", "face_at_guide", "face_down", "holes_mm", "runs_mm", "holes_from", "stopped_mm", "features", "paths", "test", "guards", "hold",
)  # fmt: skip


def setups_csv(model: Model) -> str:
    """fence_mm: every pass, from the face at the guide to the named side of the cutter; holes_mm: their places, runs_mm:
    where mortises begin and end, both from the face `holes_from`."""
    return csv_text(SETUP_COLUMNS, _rows(model, setups(model)))


def setup_rows(model: Model) -> tuple[dict[str, str], ...]:
    """The rows of setups.csv with the names of their columns, as model.json tells them."""
    return tuple(dict(zip(SETUP_COLUMNS, row, strict=True)) for row in _rows(model, setups(model)))


def _rows(model: Model, job: Job) -> Iterator[tuple[str, ...]]:
    units = model.info.units
    for setup in job.setups:
        setting = setup.setting
        stack = setting.cutter.stack
        own = (
            str(setup.number), machine_text(job.shop, setting.machine), cutter_text(setting.cutter, units),
            "" if stack is None else pieces_text(stack, units), decimal(setting.cutter.width), setting.guide,
            "; ".join(decimal(value) for value in setting.fence), " then ".join(fence_texts(setting, units)), side_text(setting), passes_text(setting),
            decimal(setup.height), "" if setup.height is None else exact_text(setup.height, units), setting.angle,
        )  # fmt: skip
        ends = trial_text(model, setup), "; ".join(guards([setup])), "; ".join(holds(model, [setup]))
        for use in uses(model, setup):
            stopped = dict.fromkeys(f"{decimal(length)} {face.name}" for cut in use.cuts[:1] for face, length in cut.stops)
            yield (
                *own, use.mark, use.name, str(use.count), "; ".join(use.rides), "; ".join(use.down),
                "; ".join(decimal(place) for place in use.places), "; ".join(f"{decimal(start)} to {decimal(stop)}" for start, stop in use.runs), use.end, "; ".join(stopped),
                " ".join(dict.fromkeys(cut.feature for cut in use.cuts)), " ".join(dict.fromkeys(cut.path for cut in use.cuts)), *ends,
            )  # fmt: skip


__all__ = ["SETUP_COLUMNS", "setup_rows", "setups_csv"]
