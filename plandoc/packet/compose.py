"""Model and solids -> finished sheets: every wanted kind draws its sheets; those that refer to others draw twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from plandoc.drawing.display import Sheet
from plandoc.drawing.draft import Draft
from plandoc.drawing.style import Style, paper_size
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Step
from plandoc.packet.frame import drawing_space, finish
from plandoc.packet.sharing import shared
from plandoc.sheets.context import IndexRow, SheetContext
from plandoc.sheets.registry import SheetKind, sheet_kinds

# Kinds that take about half of the time together, measured on the main example (tests/benchmarks). Templates are among
# them because what they draw is kept for their second pass, in the process that draws it.
HEAVY = frozenset({"part", "cover", "template"})
SHARE_FROM = 12  # parts; a small packet is drawn sooner than a process is forked


def compose(model: Model, solids: Mapping[str, Solid], style: Style, steps: tuple[Step, ...], only: Sequence[str] = ()) -> tuple[tuple[Sheet, ...], tuple[IndexRow, ...]]:
    """The sheets of the packet and their index. only: names of kinds; empty for all that the plan wants."""
    paper = paper_size(style, model.info.paper, model.info.orientation)

    def context(kind: SheetKind, index: tuple[IndexRow, ...]) -> SheetContext:
        space = drawing_space(model.info, style, kind.name)
        return SheetContext(model, solids, style, space, steps, index, paper, tuple(only))

    kinds = [k for k in sheet_kinds() if (not only or k.name in only) and k.wanted(context(k, ()))]
    tasks = {k.name: partial(k.compose, context(k, ())) for k in kinds}
    first = shared(tasks, HEAVY) if len(model.parts) >= SHARE_FROM else {name: task() for name, task in tasks.items()}
    files = tuple(dict.fromkeys(k.file for k in kinds))
    index = tuple(row for file in files for row in _index([d for k in kinds if k.file == file for d in first[k.name]], file))
    drafts: dict[str, list[Draft]] = {file: [] for file in files}
    for kind in kinds:
        again = kind.compose(context(kind, index)) if kind.refers else first[kind.name]
        if len(again) != len(first[kind.name]):
            raise AssertionError(f"the number of {kind.name} sheets depends on the index")
        drafts[kind.file].extend(again)
    return tuple(sheet for file in files for sheet in finish(drafts[file], model, style, file)), index


def _index(drafts: Sequence[Draft], file: str) -> tuple[IndexRow, ...]:
    return tuple(IndexRow(d.code, d.title, number, d.kind, d.marks, file) for number, d in enumerate(drafts, 1))
