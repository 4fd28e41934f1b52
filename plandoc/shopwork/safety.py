"""The safety sheet: the machines that the procedure uses, and nothing that it does not use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.model.density import stock_density
from plandoc.model.entities import Model, Step
from plandoc.shopwork.making_steps import TWO_PEOPLE_KG
from plandoc.shopwork.names import mass_words, stock_words
from plandoc.shopwork.trade import machines_in, operations_on
from plandoc.tables import Caution, Machine, operation

DEFERRAL = (
    "Local codes, the rules of this shop, the manual of each machine's maker and licensed practice come before this sheet.",
    "Whoever is not trained on a machine does not run it.",
    "Weights, loads and times in this packet are estimates; check them before you rely on them.",
    "Where no document is named, a caution is common practice in the trade.",
)

GENERAL = (
    Caution("Wear eye protection in the shop; hearing protection while a machine runs.", "common practice"),
    Caution("No gloves, rings, loose sleeves or open long hair at a turning cutter.", "common practice"),
    Caution("Unplug or lock out before a blade, bit or cutter is touched.", "common practice"),
    Caution(
        "Check that every cut lies within the machine's capacity, and try each set-up on scrap.",
        "common practice",
    ),
    Caution("Keep the floor clear of offcuts, cords and dust.", "common practice"),
)


@dataclass(frozen=True, slots=True)
class MachineNotes:
    """One machine in use: its cautions (its own, then those of the operations done on it) and the step numbers."""

    machine: Machine
    cautions: tuple[Caution, ...]
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SafetyNotes:
    """machines in the order of first use. protective: what is worn or used, with the steps. heavy: lines about
    weights that take two people. general and deferral hold for the whole packet."""

    machines: tuple[MachineNotes, ...]
    protective: tuple[tuple[str, tuple[int, ...]], ...]
    heavy: tuple[str, ...]
    general: tuple[Caution, ...]
    deferral: tuple[str, ...]


def safety_notes(model: Model, steps: Sequence[Step]) -> SafetyNotes:
    """Cautions by machine for these steps, each once, under the machine that is used first. steps: of `procedure`, numbered and with their kinds."""
    used: dict[str, Machine] = {}
    numbers: dict[str, list[int]] = {}
    cautions: dict[str, dict[str, Caution]] = {}
    protective: dict[str, list[int]] = {}
    for step in steps:
        for entry in machines_in(step):
            used.setdefault(entry.key, entry)
            numbers.setdefault(entry.key, []).append(step.number)
            cautions.setdefault(entry.key, {c.text: c for c in entry.cautions})
            for item in entry.protective:
                rows = protective.setdefault(item, [])
                if step.number not in rows:
                    rows.append(step.number)
        for kind, on in operations_on(step):
            cautions[on.key].update((c.text, c) for c in operation(kind).cautions_on(on.key))
    said: dict[str, None] = {}
    machines = []
    for key, entry in used.items():
        fresh = tuple(c for c in cautions[key].values() if c.text not in said)
        said.update(dict.fromkeys(c.text for c in fresh))
        if fresh:
            machines.append(MachineNotes(entry, fresh, tuple(numbers[key])))
    return SafetyNotes(
        tuple(machines),
        tuple((item, tuple(rows)) for item, rows in protective.items()),
        _heavy(model),
        GENERAL if steps else (),
        DEFERRAL,
    )


def _heavy(model: Model) -> tuple[str, ...]:
    found = []
    for stock in model.stocks:
        weighs = stock_density(stock)
        if stock.kind != "sheet" or stock.width is None or stock.length is None or weighs is None:
            continue
        mass = stock.width * stock.length * stock.measured * weighs / 10**9
        if mass > TWO_PEOPLE_KG:
            found.append(
                f"A full sheet of {stock_words(stock, model.info.units)} weighs about {mass_words(mass)}: two people, or break it down where it lies."
            )
    return tuple(found)
