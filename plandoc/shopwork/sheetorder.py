"""A sheet is cut as a whole, in the order of its layout: what the step that begins it frees for others, and what a later step finds cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from plandoc.model.entities import Model, Part, Step
from plandoc.model.sawn import mark_of_cutout
from plandoc.shopwork.claims import claims
from plandoc.shopwork.layouts import layouts
from plandoc.shopwork.names import LAYOUT, listed, mark_of
from plandoc.shopwork.setupsteps import numbers_text


def with_sheet_order(model: Model, steps: Sequence[Step]) -> tuple[Step, ...]:
    """The numbered steps; each that cuts parts out of sheets names their layout, the parts of later steps that come off with its own,
    and those of its own that came off before."""
    cut = [[model.part(item.path) for item in items if item.operation.startswith("cut:")] for items in claims(model, steps)]
    sheets = [
        (found.stock.name, frozenset(mark_of_cutout(placed.part) for placed in sheet.placed))
        for found in layouts(model) if found.stock.kind == "sheet" and found.sheets is not None for sheet in found.sheets.sheets
    ]  # fmt: skip
    owner: dict[int, int] = {}
    made = []
    for index, (step, parts) in enumerate(zip(steps, cut, strict=True)):
        own = {(part.stock.name, mark_of(part)) for part in parts}
        there = [n for n, (stock, marks) in enumerate(sheets) if any((stock, mark) in own for mark in marks)]
        fresh = [n for n in there if n not in owner]
        owner.update(dict.fromkeys(fresh, index))
        lines = [*_named(step, fresh), *_freed(sheets, fresh, own, index, steps, cut), *_found(sheets, there, fresh, own, owner, steps)]
        texts = step.texts
        if there and not fresh and not step.author:  # nothing is left to cut
            texts = tuple(text for text in texts if LAYOUT not in text)
        made.append(replace(step, texts=texts, choices=(*lines, *step.choices)) if lines else step)
    return tuple(made)


def _named(step: Step, fresh: Sequence[int]) -> list[str]:
    """An author's words need not name the layout."""
    return [f"Cut the sheets in the order of {LAYOUT}."] if step.author and fresh else []


def _freed(
    sheets: Sequence[tuple[str, frozenset[str]]], fresh: Sequence[int], own: set[tuple[str, str]], index: int, steps: Sequence[Step], cut: Sequence[Sequence[Part]]
) -> list[str]:
    """`These sheets hold G, H and J of step 15 too: they come off now; mark them and lay them by.`"""
    others: dict[int, dict[str, None]] = {}
    for later in range(index + 1, len(steps)):
        for part in cut[later]:
            key = (part.stock.name, mark_of(part))
            if key not in own and any(sheets[n][0] == key[0] and key[1] in sheets[n][1] for n in fresh):
                others.setdefault(later, {})[key[1]] = None
    if not others:
        return []
    said = listed([f"{listed(list(marks))} of step {steps[later].number}" for later, marks in others.items()])
    return [f"The same sheets hold {said}: they come off now too; mark them and lay them by."]


def _found(
    sheets: Sequence[tuple[str, frozenset[str]]], there: Sequence[int], fresh: Sequence[int], own: set[tuple[str, str]], owner: dict[int, int], steps: Sequence[Step]
) -> list[str]:
    """`G, H and J were cut with their sheets in step 1.`: marks of which no piece lies on a sheet that this step begins."""
    before = [n for n in there if n not in fresh]
    new = {(sheets[n][0], mark) for n in fresh for mark in sheets[n][1]}
    marks = sorted({mark for n in before for mark in sheets[n][1] if (sheets[n][0], mark) in own - new})
    if not marks:
        return []
    numbers = sorted({steps[owner[n]].number for n in before if sheets[n][1] & set(marks)})
    return [f"{listed(marks)} {'were' if len(marks) > 1 else 'was'} cut with the sheets of step{'s' if len(numbers) > 1 else ''} {numbers_text(numbers)}."]
