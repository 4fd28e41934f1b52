"""What a step takes from the tables: its operations of the trade, machines, tools and cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from plandoc.model.entities import Model, Step
from plandoc.shopwork.operations import Operation, WorkItem
from plandoc.tables import Machine, machine, machine_named, named_caution, operation, trade_operations
from plandoc.tables.shop import Shop

BENCH = ("hand_tools", "clamps", "measuring", "finishing", "lifting", "glass")
"""Kinds of bench work that every shop can do: their tools are named one by one, not by the heading."""


def kinds_of(model: Model, items: Sequence[WorkItem], every: dict[str, Operation]) -> tuple[str, ...]:
    """Keys of the trade's operations that the claimed work needs, in the order of claiming."""
    found: dict[str, None] = {}
    for item in items:
        op = every[item.operation]
        if op.verb == "cut":
            part = model.part(item.path)
            stock = part.stock
            if op.kind == "ordering":
                kinds: tuple[str, ...] = (op.kind,)
            elif part.glue_up is not None:
                kinds = ("planing", "rip", "crosscut")
            elif stock.kind == "sheet":
                kinds = ("sheet_breakdown", "rip", "crosscut")
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


def machine_for(kind: str, tools: Sequence[str], shop: Shop | None = None, chosen: str = "") -> Machine:
    """The machine on which an operation is done: one that its author's tools name and that can do it, else the chosen one, else
    the first one that the shop has, else the usual one."""
    entry = operation(kind)
    named = {found.key: None for tool in tools if (found := machine_named(tool)) is not None}
    there = (key for key in entry.machines if shop is None or key in BENCH or shop.machine(key) is not None)
    return machine(next((key for key in entry.machines if key in named), chosen or next(there, entry.machines[0])))


def operations_on(step: Step) -> tuple[tuple[str, Machine], ...]:
    """The step's operations, each with its machine; of a step without machines those that its tools name."""
    known = trade_operations()
    if len(step.machines) == len(step.kinds):
        pairs = zip(step.kinds, step.machines, strict=True)
        return tuple((kind, machine(key)) for kind, key in pairs if kind in known)
    return tuple((kind, machine_for(kind, step.tools)) for kind in step.kinds if kind in known)


def machines_in(step: Step) -> tuple[Machine, ...]:
    """All machines that a step uses: those of its operations, then others that its tools name."""
    found = {m.key: m for _, m in operations_on(step)}
    for tool in step.tools:
        named = machine_named(tool)
        if named is not None:
            found.setdefault(named.key, named)
    return tuple(found.values())


def with_trade(step: Step, kinds: Sequence[str], shop: Shop | None = None, keys: Mapping[str, str] | None = None, more: Sequence[str] = ()) -> Step:
    """The step with these operations added, and with the tools and cautions that they call for.

    The author's tools and cautions stand first; a caution that is a word of the tables (`kickback`) becomes its
    sentence, any other text stays as written. Tools start with a small letter, each is named once.
    keys: the machine that was chosen for an operation; more: tools beside those of the operations."""
    all_kinds = tuple(dict.fromkeys((*step.kinds, *kinds)))
    tools = list(step.tools)
    own = " ".join(step.tools).casefold()
    cautions: dict[str, None] = {}
    for word in step.cautions:
        known = named_caution(word)
        cautions[known.text if known else word] = None
    named = {found.key: None for tool in step.tools if (found := machine_named(tool)) is not None}
    used = [machine_for(kind, step.tools, shop, (keys or {}).get(kind, "")) for kind in all_kinds]
    for kind, on in zip(all_kinds, used, strict=True):
        entry = operation(kind)
        if on.key not in named and on.key not in BENCH:
            tools.append(on.name)
        if on.key == entry.machines[0] or kind == "crosscut":
            tools += [tool for tool in entry.tools if tool.casefold() not in own]
        elif kind == "mortise":  # a bit leaves round ends; by hand all of it is marked and chopped
            tools += [tool for tool in (*(("mortise gauge", "square") if on.key in BENCH else ()), *entry.tools) if tool.casefold() not in own]
        if kind == "box_joint" and on.key == "table_saw" and shop is not None and shop.figure("table_saw", "stack") is not None:
            tools.append("dado stack")
        cautions.update((caution.text, None) for caution in entry.cautions_on(on.key))
    plain: dict[str, str] = {}
    for tool in (*tools, *(tool for tool in more if not named or machine_named(tool) is None)):
        word = plain_tool(tool)
        plain.setdefault(word.casefold().removesuffix("s"), word)
    return replace(
        step, kinds=all_kinds, machines=tuple(m.key for m in used), tools=tuple(plain.values()), cautions=tuple(cautions)
    )


def plain_tool(tool: str) -> str:
    """`Router, hand-held` as `hand-held router`; a small first letter unless the word is an abbreviation (`F clamp`)."""
    head, comma, tail = tool.strip().partition(", ")
    word = f"{tail} {head[:1].lower()}{head[1:]}" if comma and " " not in tail else tool.strip()
    return word[:1].lower() + word[1:] if word[1:2].islower() and not word.startswith("No ") else word
