"""A sheet context from a model, as the pipeline makes it, and what tests look up on drafts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from plandoc.build.solids import solids
from plandoc.drawing.audit import audit
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.display import Group, Item, Line, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.style import load_style, paper_size
from plandoc.model.entities import Model
from plandoc.packet.frame import finish
from plandoc.packet.layout import drawing_space
from plandoc.sheets.context import IndexRow, SheetContext
from plandoc.shopwork.procedure import procedure
from tests.support.tray_model import tray_case


def context(model: Model, index: tuple[IndexRow, ...] = (), kind: str = "", **info: str) -> SheetContext:
    """The context of a kind; info: fields of the plan's data to change (paper, orientation, projection, style)."""
    model = replace(model, info=replace(model.info, **info))  # type: ignore[arg-type]
    style = load_style(model.info.style)
    paper = paper_size(style, model.info.paper, model.info.orientation)
    space = drawing_space(model.info, style, kind)
    return SheetContext(model, solids(model), style, space, procedure(model), index, paper)


def trays() -> Model:
    """The tray cabinet with a shipped style."""
    model = tray_case()
    return replace(model, info=replace(model.info, style="shop-metric"))


def groups(items: Sequence[Item], kind: str) -> Iterator[Group]:
    """All groups of that kind, nested ones too."""
    for item in items:
        if isinstance(item, Group):
            if item.kind == kind:
                yield item
            yield from groups(item.items, kind)


def texts(items: Sequence[Item]) -> list[str]:
    """All runs of text in drawing order."""
    return [leaf.text for leaf in walk(tuple(items)) if isinstance(leaf, Text)]


def lines(items: Sequence[Item], role: str) -> list[Line]:
    """All lines of a role."""
    return [leaf for leaf in walk(tuple(items)) if isinstance(leaf, Line) and leaf.role == role]


def attr(group: Group, name: str) -> str:
    """An attribute of a group."""
    return dict(group.attrs)[name]


def findings(drafts: Sequence[Draft], ctx: SheetContext) -> list[str]:
    """What a drafting teacher would mark on the finished sheets."""
    return [f"{s.code} {f}" for s in finish(drafts, ctx.model, ctx.style) for f in audit(s, ctx.style)]


def inside(drafts: Sequence[Draft], ctx: SheetContext) -> bool:
    """Whether all ink lies in the drawing space."""
    x0, y0, x1, y1 = ctx.space
    for draft in drafts:
        for item in draft.items:
            box = item_extent(item)
            if box and not (box[0] >= x0 - 0.1 and box[1] >= y0 - 0.1 and box[2] <= x1 + 0.1 and box[3] <= y1 + 0.1):
                return False
    return True
