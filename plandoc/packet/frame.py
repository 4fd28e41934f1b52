"""From drafts to finished sheets: frame, zones, title block, bar scales and numbers."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.drawing.boxes import overlap
from plandoc.drawing.display import Arc, Circle, Extent, Fill, Group, Item, Line, Sheet, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import text_extent
from plandoc.drawing.style import Style
from plandoc.model.entities import Model
from plandoc.packet.bars import bar_scales
from plandoc.packet.layout import Layout, drawing_space, sheet_layout
from plandoc.packet.titleblock import revision_block, revision_extent, title_block

__all__ = ["Draft", "drawing_space", "finish"]

ZONED = ("tabloid", "A3")
ZONE_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # no I, no O
ZONE_LENGTH = 50.0  # ISO 5457, from memory
ZONE_REACH = 4.5


def finish(drafts: Sequence[Draft], model: Model, style: Style, file: str = "packet") -> tuple[Sheet, ...]:
    """The sheets of one document of the packet, numbered n of m in the given order.

    The revision block stands on the cover where its corner is free; the other sheets carry the index of the last
    revision in the title block.
    """
    layout = sheet_layout(model.info, style)
    border = frame_items(layout, model.info.paper, style)
    return tuple(
        _finished(draft, model, style, layout, border, number, len(drafts), file)
        for number, draft in enumerate(drafts, start=1)
    )


def _finished(
    draft: Draft,
    model: Model,
    style: Style,
    layout: Layout,
    border: tuple[Item, ...],
    number: int,
    count: int,
    file: str,
) -> Sheet:
    if draft.bare:
        return Sheet(number, draft.kind, draft.code, draft.title, layout.paper, draft.items, draft.name, file)
    items: list[Item] = [*border, *draft.items]
    if draft.kind == "cover" and model.info.revisions:
        corner = revision_extent(model.info, layout.frame, style)
        if not any(overlap(corner, item_extent(leaf), 1.0) for leaf in walk(draft.items)):
            items.append(revision_block(model.info, layout.frame, style))
    items += bar_scales(draft.scales, layout.bars, model.info.units, style)
    items.append(title_block(draft, model, layout.block, number, count, style))
    return Sheet(number, draft.kind, draft.code, draft.title, layout.paper, tuple(items), draft.name, file)


def frame_items(layout: Layout, paper: str, style: Style) -> tuple[Item, ...]:
    """The frame; on large sheets with centring marks and zones."""
    x0, y0, x1, y1 = layout.frame
    items: list[Item] = [Line("frame", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)]
    bottom = layout.space[3] + layout.space[1] - y0
    items.append(Line("tb", ((x0, bottom), (x1, bottom))))
    groups: list[Item] = [Group("frame", tuple(items), id="frame")]
    if paper in ZONED:
        groups.append(Group("zones", tuple(_zones(layout, style)), id="zones"))
    return tuple(groups)


def zone_cuts(start: float, end: float) -> tuple[float, ...]:
    """Where the zones of one side are divided (mm): an even number of equal fields, about 50 mm each, counted from
    the middle of the frame's side; start and end included."""
    fields = max(2, 2 * round((end - start) / ZONE_LENGTH / 2))
    return tuple(start + (end - start) * i / fields for i in range(fields + 1))


def _zones(layout: Layout, style: Style) -> list[Item]:
    x0, y0, x1, y1 = layout.frame
    size = style.height("tbtxt")
    items: list[Item] = []
    across, down = zone_cuts(x0, x1), zone_cuts(y0, y1)
    for i, x in enumerate(across[1:-1], start=1):
        role = "frame" if 2 * i == len(across) - 1 else "zone"
        items += [Line(role, ((x, y0), (x, y0 - ZONE_REACH))), Line(role, ((x, y1), (x, y1 + ZONE_REACH)))]
    for i, y in enumerate(down[1:-1], start=1):
        role = "frame" if 2 * i == len(down) - 1 else "zone"
        items += [Line(role, ((x0, y), (x0 - ZONE_REACH, y))), Line(role, ((x1, y), (x1 + ZONE_REACH, y)))]
    off = (ZONE_REACH - size) / 2 + 0.3
    for number in range(1, len(across)):
        x = (across[number - 1] + across[number]) / 2
        items += [
            Text("zone", (x, y), str(number), size, "middle") for y in (y0 - off, y1 + off + size)
        ]
    for letter, a, b in zip(ZONE_LETTERS, down[:-1], down[1:], strict=False):
        items += [
            Text("zone", (x, (a + b + size) / 2), letter, size, "middle")
            for x in (x0 - ZONE_REACH / 2 - 0.3, x1 + ZONE_REACH / 2 + 0.3)
        ]
    return items


def item_extent(leaf: Line | Circle | Arc | Fill | Text) -> Extent:
    """The box of one item (mm), an arc as its whole circle."""
    if isinstance(leaf, Text):
        return text_extent(leaf)
    if isinstance(leaf, Circle | Arc):
        (x, y), r = leaf.centre, leaf.radius
        return (x - r, y - r, x + r, y + r)
    points = leaf.points if isinstance(leaf, Line) else tuple(p for loop in leaf.loops for p in loop)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))
