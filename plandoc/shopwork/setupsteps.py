"""Which step does the work of which set-up, both ways."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.model.entities import Model, Step
from plandoc.shopwork.claims import claims
from plandoc.shopwork.names import listed
from plandoc.shopwork.setups import setups


def steps_of_setups(model: Model, steps: Sequence[Step]) -> dict[int, tuple[int, ...]]:
    """Numbers of the steps that claim work of a set-up, by its number; a cut to size belongs to the step that cuts the part."""
    made: dict[tuple[str, str], list[int]] = {}
    for step, items in zip(steps, claims(model, steps), strict=True):
        for item in items:
            if item.path:
                made.setdefault((item.path, item.feature), []).append(step.number)
    found = {}
    for setup in setups(model).setups:
        keys = [(cut.path, "" if setup.phase == 0 else cut.feature) for cut in setup.cuts]
        found[setup.number] = tuple(sorted({number for key in keys for number in made.get(key, ())}))
    return found


def setups_of_steps(model: Model, steps: Sequence[Step]) -> dict[int, tuple[int, ...]]:
    """Numbers of the set-ups that do work of a step, by its number."""
    found: dict[int, list[int]] = {step.number: [] for step in steps}
    for setup, numbers in steps_of_setups(model, steps).items():
        for number in numbers:
            found[number].append(setup)
    return {number: tuple(own) for number, own in found.items()}


def numbers_text(numbers: Sequence[int]) -> str:
    """`1 to 4, 7 and 9`: three or more in a row as from the first to the last."""
    runs: list[list[int]] = []
    for number in sorted(dict.fromkeys(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [text for run in runs for text in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(n) for n in run])]
    return listed(said)


__all__ = ["numbers_text", "setups_of_steps", "steps_of_setups"]
