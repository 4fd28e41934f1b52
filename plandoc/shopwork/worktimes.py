"""Estimates of working and waiting time for each step, from the table of times and what the plan sets itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.entities import Model, Step
from plandoc.quantity import FOOT
from plandoc.shopwork.claims import claims
from plandoc.shopwork.estimates import closing_minutes, minutes
from plandoc.shopwork.gluewords import glue_ups
from plandoc.shopwork.names import stock_words
from plandoc.shopwork.operations import Operation, WorkItem, operations
from plandoc.shopwork.shopping import surface
from plandoc.shopwork.state import states
from plandoc.shopwork.trade import kinds_of
from plandoc.tables.times import by_area, times


@dataclass(frozen=True, slots=True)
class StepTime:
    """work and wait in minutes (estimates); pieces: parts that the step names, those that it cuts,
    works on or brings."""

    step: Step
    pieces: int
    work: Fraction
    wait: Fraction


def step_times(model: Model, steps: Sequence[Step]) -> tuple[StepTime, ...]:
    """One for each step."""
    every = {op.id: op for op in operations(model)}
    taken = claims(model, steps)
    joints = [sum(item.operation.startswith("join:") for item in row) for row in taken]
    found = []
    for number, (step, items, state) in enumerate(zip(steps, taken, states(model, steps), strict=True)):
        ahead = next((count for count in joints[number:] if count), 0)
        counts = _counts(model, step, items, every, ahead)
        work = sum((count * minutes(model.info, kind) + (minutes(model.info, f"{kind}_setup") if count else 0) for kind, count in counts.items()), Fraction(0))
        ups = glue_ups(model, [j for j in model.joints if f"join:{j.id}" in {item.operation for item in items}])
        work += sum((up.alike * closing_minutes(model.info, len(up.found.joints), up.found.area) for up in ups), Fraction(0))
        if not counts:
            work = minutes(model.info, "author_step")
        wait = minutes(model.info, "glue_held") if any(up.held for up in ups) or "gluing_up_panel" in step.kinds else Fraction(0)
        if "finishing" in step.kinds:
            wait += minutes(model.info, "finish_dry") * _coats(model)
        found.append(StepTime(step, sum(model.part(path).count for path in state.new), work, wait))
    return tuple(found)


def _counts(model: Model, step: Step, items: Sequence[WorkItem], every: dict[str, Operation], ahead: int) -> dict[str, Fraction]:
    """Pieces of work by the word of the table of times; surfaces in square feet."""
    fastenings = {f"fasten:{j.id}:{n}": len(f.centres) for j in model.joints for n, f in enumerate(j.fasteners, 1)}
    fittings = {f"fit:{f.id}": f.quantity for f in model.fittings}
    found: dict[str, Fraction] = {}
    for item in items:
        op = every[item.operation]
        count = model.part(item.path).count if item.path else fastenings.get(op.id, fittings.get(op.id, 1))
        for kind in kinds_of(model, (item,), every) if op.verb == "cut" else (op.kind,):
            found[kind] = found.get(kind, Fraction(0)) + count
    panels = [p for p in model.parts if p.glue_up is not None and stock_words(p.stock, model.info.units) in step.title]
    more = {
        "gluing_up_panel": Fraction(sum(p.count for p in panels)), "dry_fit": Fraction(ahead), "edge_easing": Fraction(sum(p.count for p in model.parts)),
        "sanding": surface(model.parts) / FOOT**2, "finishing": surface(model.placed) / FOOT**2 * _coats(model),
    }  # fmt: skip
    for kind in step.kinds:
        if kind in more and (kind not in found or kind in by_area()):
            found[kind] = more[kind]
    return {kind: count for kind, count in found.items() if kind in times() and f"{kind}_setup" in times()}


def _coats(model: Model) -> Fraction:
    """The most coats of a finish that the plan puts on a part, one where it puts on none."""
    used = {fitting.item for fitting in model.fittings}
    return max((item.number("coats") or Fraction(1) for item in model.hardware if item.kind == "finish" and item.name in used), default=Fraction(1))
