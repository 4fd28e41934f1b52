"""What a step takes from the tables: its operations of the trade, machines, tools and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plandoc.model.entities import Model, Step
from plandoc.shopwork.operations import Operation, WorkItem
from plandoc.tables import Machine, machine, machine_named, named_caution, operation, trade_operations


def kinds_of(model: Model, items: Sequence[WorkItem], every: dict[str, Operation]) -> tuple[str, ...]:
    """Keys of the trade's operations that the claimed work needs, in the order of claiming."""
    found: dict[str, None] = {}
    for item in items:
        op = every[item.operation]
        if op.verb == "cut":
            stock = model.part(item.path).stock
            if stock.kind == "sheet":
                kinds: tuple[str, ...] = ("sheet_breakdown", "rip", "crosscut")
            elif stock.kind == "lumber":
                kinds = (
                    ("jointing", "planing", "rip", "crosscut")
                    if stock.rough is not None
                    else ("rip", "crosscut")
                )
            else:
                kinds = (op.kind,)
            found.update(dict.fromkeys(kinds))
        else:
            found[op.kind] = None
    return tuple(found)


def machine_for(kind: str, tools: Sequence[str]) -> Machine:
    """The machine on which a step does an operation: one that its author's tools name and that can do it, else the
    usual one.

    A tool that is exactly a machine's heading may have been added for another operation of the step, so the
    author's own words go first."""
    entry = operation(kind)
    own: dict[str, None] = {}
    headings: dict[str, None] = {}
    for tool in tools:
        found = machine_named(tool)
        if found is not None:
            (headings if tool == found.name else own)[found.key] = None
    for named in (own, headings):
        for key in entry.machines:
            if key in named:
                return machine(key)
    return machine(entry.machines[0])


def machines_in(step: Step) -> tuple[Machine, ...]:
    """All machines that a step uses: those of its operations, then others that its tools name."""
    found = {
        m.key: m for m in (machine_for(kind, step.tools) for kind in step.kinds if kind in trade_operations())
    }
    for tool in step.tools:
        named = machine_named(tool)
        if named is not None:
            found.setdefault(named.key, named)
    return tuple(found.values())


def with_trade(step: Step, kinds: Sequence[str]) -> Step:
    """The step with these operations added, and with the tools and cautions that they call for.

    The author's tools and cautions stand first; a caution that is a word of the tables (`kickback`) becomes its
    sentence, any other text stays as written."""
    all_kinds = tuple(dict.fromkeys((*step.kinds, *kinds)))
    tools: dict[str, None] = dict.fromkeys(step.tools)
    own = " ".join(step.tools).casefold()
    cautions: dict[str, None] = {}
    for word in step.cautions:
        known = named_caution(word)
        cautions[known.text if known else word] = None
    named = {found.key: None for tool in step.tools if (found := machine_named(tool)) is not None}
    for kind in all_kinds:
        entry = operation(kind)
        used = machine_for(kind, step.tools)
        if used.key not in named and used.key not in _BENCH:
            tools[used.name] = None
        if used.key == entry.machines[0]:
            tools.update((tool, None) for tool in entry.tools if tool.casefold() not in own)
        cautions.update((caution.text, None) for caution in entry.cautions_on(used.key))
    return replace(step, kinds=all_kinds, tools=tuple(tools), cautions=tuple(cautions))


_BENCH = ("hand_tools", "clamps", "measuring", "finishing", "lifting")
"""Kinds of bench work: their tools are named one by one, not by the heading."""
