"""The kinds of sheet, found in this folder: one file per kind, each with a module attribute KIND."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from plandoc.drawing.draft import Draft
from plandoc.registry import members
from plandoc.sheets.context import SheetContext


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of sheet. name: file-name word, unique. order: place in the packet (general before detailed):
    0-99 general and lists, 100 views of the whole, 140 parts, 150 joints and templates, 170 set-ups, 180 procedure,
    190 pictures, 200 closing lists, 300 documents of their own. compose: draws the sheets. wanted: whether the plan has
    anything to show. refers: whether its sheets name other sheets, and so are drawn again once the index is known. file:
    the document (a PDF beside the others) that its sheets belong to; each document is numbered by itself; pages: what
    the pages of such a document are, as the cover says it. together: what
    several of its sheets are in one row of a crowded sheet index; "" for the titles of the first and the last."""

    name: str
    order: int
    compose: Callable[[SheetContext], tuple[Draft, ...]]
    wanted: Callable[[SheetContext], bool] = lambda context: True
    refers: bool = False
    file: str = "packet"
    together: str = ""
    pages: str = ""


def arranged(kinds: Iterable[SheetKind]) -> tuple[SheetKind, ...]:
    """In packet order. Raises ValueError where two kinds share a name or a place."""
    ordered = tuple(sorted(kinds, key=lambda kind: (kind.order, kind.name)))
    for before, after in pairwise(ordered):
        if before.order == after.order:
            raise ValueError(f"sheet kinds {before.name!r} and {after.name!r} share the place {after.order}")
    names = [kind.name for kind in ordered]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"two sheet kinds are called {name!r}")
    return ordered


@lru_cache(maxsize=1)
def sheet_kinds() -> tuple[SheetKind, ...]:
    """All kinds of sheet in packet order."""
    return arranged(members("plandoc.sheets", "KIND"))
