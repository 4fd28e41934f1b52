"""Coverage of a procedure: every part cut once, all work made once, every joint closed once, every piece of hardware fitted once, and
nothing used before it exists. What is missing, double or too early is told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plandoc.diagnostics import Sink
from plandoc.model.entities import Model, Step
from plandoc.shopwork.claims import all_paths, claims, uncovered
from plandoc.shopwork.names import listed
from plandoc.shopwork.operations import Operation, WorkItem, operations
from plandoc.shopwork.procedure import procedure
from plandoc.tables import operation

MISSING, DOUBLE, EARLY = "PD349", "PD379", "PD369"
AFTER_GLUE = ("spline_slot",)
"""Work of a joint that is cut when its glue has set (common practice)."""


@dataclass(frozen=True, slots=True)
class Fault:
    """code: one of the above. what: the work in words. step: the one that does it again or too early, None of missing work; other:
    that which did it before, or does first what is needed."""

    code: str
    what: str
    step: Step | None = None
    other: Step | None = None


def faults(model: Model, steps: Sequence[Step]) -> tuple[Fault, ...]:
    """All faults of coverage of these steps, in their order; missing work last."""
    every = {op.id: op for op in operations(model)}
    rows = claims(model, steps)
    found = dict.fromkeys([*_double(model, steps, rows, every), *_early(model, steps, rows, every)])
    missing = tuple(Fault(MISSING, _words(op)) for op in uncovered(model, steps))
    return (*found, *missing)


def report(model: Model, sink: Sink) -> None:
    """Faults of the whole procedure, where the plan has steps of its own; generated steps alone are tested to have none."""
    if not model.steps:
        return
    for fault in faults(model, procedure(model)):
        at = next((step for step in (fault.step, fault.other) if step is not None and step.author), None)
        span = at.span if at is not None else model.steps[0].span
        if fault.step is None or fault.other is None:
            sink.emit(fault.code, f"no step does this: {fault.what}", span, mend="name it in a step")
            continue
        one, other = _step_words(fault.step), _step_words(fault.other)
        if fault.code == DOUBLE:
            sink.emit(fault.code, f"{one} does again: {fault.what}", span, notes=[f"{other} does it already"], mend="name it in one of the two steps")
        else:
            sink.emit(fault.code, f"{one} comes before {fault.what}", span, notes=[f"{other} does that"], mend="change the order of the two steps, or leave it out of the later one: a step before is then generated")


def _step_words(step: Step) -> str:
    return f"step {step.number} (`{step.title}`)" if step.number else f"the step `{step.title}`"


def _words(op: Operation, path: str = "") -> str:
    """`cutting `shelf``, `dado in `side``, `closing `side` and `shelf``."""
    who = listed([f"`{p}`" for p in ((path,) if path else op.parts)])
    verbs = {"cut": "cutting", "join": "closing the joint of", "fasten": "fastening", "fit": f"fitting `{op.fitting}` on", "place": "setting in place"}
    return f"{operation(op.kind).name} in {who}" if op.verb == "make" else f"{verbs[op.verb]} {who}"


def _double(model: Model, steps: Sequence[Step], rows: Sequence[Sequence[WorkItem]], every: dict[str, Operation]) -> Iterator[Fault]:
    first: dict[WorkItem, Step] = {}
    closed: dict[str, Step] = {}
    for step, items in zip(steps, rows, strict=True):
        for item in items:
            if item in first:
                yield Fault(DOUBLE, _words(every[item.operation], item.path), step, first[item])
            first.setdefault(item, step)
        named = dict.fromkeys(all_paths(model, step.joins))
        again = [joint for joint in model.joints if joint.id in closed and (joint.id in step.joins or (joint.a in named and joint.b in named))]
        if step.joins and again and not any(every[item.operation].verb in ("join", "fasten", "fit", "place", "make") for item in items):
            yield Fault(DOUBLE, _words(every[f"join:{again[0].id}"]), step, closed[again[0].id])
        closed.update((every[item.operation].joint, step) for item in items if every[item.operation].verb == "join")


def _early(model: Model, steps: Sequence[Step], rows: Sequence[Sequence[WorkItem]], every: dict[str, Operation]) -> Iterator[Fault]:
    done: dict[WorkItem, int] = {}
    for at, items in enumerate(rows):
        for item in items:
            done.setdefault(item, at)
    cut = {item.path: item for item in done if every[item.operation].verb == "cut"}
    closes = {every[item.operation].joint: item for item in done if every[item.operation].verb == "join"}
    joint_of = {(part.path, f.id): f.joint for part in model.parts for f in part.features}
    fasteners = {f"fasten:{joint.id}:{n}": fastening for joint in model.joints for n, fastening in enumerate(joint.fasteners, 1)}
    made: dict[str, list[WorkItem]] = {}
    for item in done:
        op = every[item.operation]
        if op.verb == "make" and op.kind not in AFTER_GLUE:
            made.setdefault(joint_of[item.path, item.feature], []).append(item)
    for item, at in done.items():
        op = every[item.operation]
        needs = [] if op.verb == "cut" else [cut[path] for path in ((item.path,) if item.path else op.parts) if path in cut]
        if op.verb == "join":
            needs += made.get(op.joint, [])
        elif op.verb == "fasten" and op.joint in closes and not fasteners[op.id].blind:  # hidden ones go in before
            needs.append(closes[op.joint])
        for need in needs:
            if done[need] > at:
                yield Fault(EARLY, _words(every[need.operation], need.path), steps[at], steps[done[need]])


__all__ = ["DOUBLE", "EARLY", "MISSING", "Fault", "faults", "report"]
