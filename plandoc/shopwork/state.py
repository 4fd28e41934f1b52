"""How far the piece has grown after each step: what a step's picture shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.model.entities import Model, Step
from plandoc.shopwork.claims import all_paths, claims
from plandoc.shopwork.operations import operations


@dataclass(frozen=True, slots=True)
class StepState:
    """kind: "assembly" (parts in their places), "bench" (the step's parts laid out side by side) or "none" (the
    step names no part). before: paths already put together with the step's parts, new: paths that join them in
    this step (bench: the parts worked on). Both in the order of the plan."""

    kind: str
    before: tuple[str, ...]
    new: tuple[str, ...]


def states(model: Model, steps: Sequence[Step]) -> tuple[StepState, ...]:
    """The state of every step, in order."""
    every = {op.id: op for op in operations(model)}
    order = [part.path for part in model.placed]
    cluster: dict[str, int] = {}
    found: list[StepState] = []
    for number, (step, items) in enumerate(zip(steps, claims(model, steps), strict=True)):
        named: dict[str, None] = dict.fromkeys(all_paths(model, step.joins))
        ops = list({item.operation: every[item.operation] for item in items}.values())
        for op in ops:
            if op.verb in ("join", "fit", "place"):
                named.update(dict.fromkeys(op.parts))
        fastened = [path for op in ops if op.verb == "fasten" for path in op.parts]
        placed = [path for path in order if path in named]
        if placed:
            old = {cluster[path]: None for path in placed if path in cluster}
            before = tuple(path for path in order if path in cluster and cluster[path] in old)
            new = tuple(path for path in placed if path not in cluster)
            _unite(
                cluster, (*before, *new), number, ops_pairs=[(op.parts) for op in ops if op.verb != "make"]
            )
            found.append(StepState("assembly", before, new))
        elif fastened:
            old = {cluster[path]: None for path in fastened if path in cluster}
            found.append(StepState("assembly", tuple(p for p in order if cluster.get(p, -1) in old), ()))
        else:
            worked = dict.fromkeys(all_paths(model, step.cuts))
            worked.update((item.path, None) for item in items if item.path)
            laid = tuple(part.path for part in model.parts if part.path in worked)
            found.append(StepState("bench" if laid else "none", (), laid))
    return tuple(found)


def _unite(
    cluster: dict[str, int], paths: Sequence[str], number: int, ops_pairs: Sequence[tuple[str, ...]]
) -> None:
    """Gives paths that the step's work ties together one cluster number, unique over all steps."""
    parent = {path: path for path in paths}

    def root(path: str) -> str:
        while parent[path] != path:
            path = parent[path]
        return path

    groups: dict[int, str] = {}
    for path in paths:
        if path in cluster:
            parent[root(path)] = root(groups.setdefault(cluster[path], path))
    for tied in ops_pairs:
        here = [path for path in tied if path in parent]
        for path in here[1:]:
            parent[root(path)] = root(here[0])
    numbers: dict[str, int] = {}
    for path in paths:
        numbers.setdefault(root(path), (number + 1) * 100_000 + len(numbers))
    for path in paths:
        cluster[path] = numbers[root(path)]


def state_after(model: Model, steps: Sequence[Step], number: int) -> StepState:
    """The state of the step with that number (as printed, `Step.number`). Raises KeyError."""
    for step, state in zip(steps, states(model, steps), strict=True):
        if step.number == number:
            return state
    raise KeyError(number)
