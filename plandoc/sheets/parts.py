"""Part drawings: every distinct part once, large ones on sheets of their own, small ones together in mark order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.drawing.display import Item
from plandoc.drawing.draft import Draft
from plandoc.drawing.scales import listed_scales
from plandoc.geometry.bodies import box_prism
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Part
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partblock import Block, PartDrawing
from plandoc.sheets.partviews import plan_part
from plandoc.sheets.registry import SheetKind
from plandoc.shopwork.names import by_mark, joined_names

GUTTER = 8.0
LEAST_THICKNESS = 1.0  # mm on paper; two edges of the 0.5 pen still stand apart
Row = tuple[list[Block], float]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """All part drawings, sheets 4.1, 4.2 ..."""
    drawings = part_drawings(ctx)
    pages = _pages(drawings, ctx)
    drafts = []
    for number, page in enumerate(pages, 1):
        items: list[Item] = _set_out(page, ctx)
        marks = tuple(block.mark for block in page)
        names = [joined_names([p.name for p in d.alike]) for d in drawings if d.mark in marks]
        title = f"Part {marks[0]}: {names[0]}" if len(marks) == 1 else f"Parts {', '.join(marks)}"
        scales = tuple(sorted({block.ratio for block in page}, reverse=True))
        drafts.append(Draft("part", f"4.{number}", title, tuple(items), scales, "-".join(marks), marks))
    return tuple(drafts)


def part_drawings(ctx: SheetContext) -> tuple[PartDrawing, ...]:
    """One drawing for each mark, from its first instance, in mark order."""
    rows = []
    for alike in by_mark(ctx.model.parts).values():
        part = alike[0]
        solid = ctx.solids[part.path] if part.path in ctx.solids else _solid(part)
        rows.append(PartDrawing(ctx.model, plan_part(part), alike, solid, ctx.style, _room(ctx)))
    return tuple(rows)


def _solid(part: Part) -> Solid:
    adds = [box_prism(part.shoulder), *(prism for f in part.features for prism in f.adds)]
    return Solid.from_prisms(adds, [prism for f in part.features for prism in f.cuts])


# --- scales and pages ----------------------------------------------------------------------------------------


def _room(ctx: SheetContext) -> tuple[float, float]:
    x0, y0, x1, y1 = ctx.space
    return x1 - x0, y1 - y0


def _scales(ctx: SheetContext) -> tuple[Fraction, ...]:
    return tuple(s for s in listed_scales(ctx.model.info.units) if s <= 1)


def _fits(block: Block, wide: float, high: float) -> bool:
    return block.size[0] <= wide + 1e-6 and block.size[1] <= high + 1e-6


def _good(drawing: PartDrawing, block: Block) -> bool:
    return not _hard(block) and float(drawing.part.thickness * block.ratio) >= LEAST_THICKNESS


def _hard(block: Block) -> int:
    """Remarks that spoil the drawing: lettering without room. Lines that cross are only unlovely."""
    return sum(1 for remark in block.crowded if not remark.endswith("cross"))


def first_scale(drawing: PartDrawing, ctx: SheetContext) -> Fraction:
    """The scale at which a part is first tried: the largest clear one that leaves half the sheet to others, else the
    largest that fits at all."""
    wide, high = _room(ctx)
    fitting = [s for s in _scales(ctx) if _fits(drawing.block(s), wide, high)]
    if not fitting:
        return _scales(ctx)[-1]
    clear = [s for s in fitting if _good(drawing, drawing.block(s))]
    half_wide, half_high = (wide - GUTTER) / 2, (high - GUTTER) / 2
    shared = [
        s for s in clear if _fits(drawing.block(s), half_wide, high) or _fits(drawing.block(s), wide, half_high)
    ]
    return (shared or clear or fitting)[0]


def _pages(drawings: Sequence[PartDrawing], ctx: SheetContext) -> list[list[Block]]:
    """Blocks sheet by sheet in mark order, each sheet then filled by larger scales."""
    pages: list[list[PartDrawing]] = []
    chosen: dict[str, Fraction] = {d.mark: first_scale(d, ctx) for d in drawings}
    for drawing in drawings:
        if pages and _rows([d.block(chosen[d.mark]) for d in (*pages[-1], drawing)], ctx) is not None:
            pages[-1].append(drawing)
        else:
            pages.append([drawing])
    return [_filled(page, chosen, ctx) for page in pages]


def _filled(page: Sequence[PartDrawing], chosen: dict[str, Fraction], ctx: SheetContext) -> list[Block]:
    """The blocks of a sheet, the smallest scale raised step by step as long as all still fit."""
    scales = _scales(ctx)
    blocks = [d.block(chosen[d.mark]) for d in page]
    stuck: set[str] = set()
    while True:
        open_ = [i for i, block in enumerate(blocks) if block.mark not in stuck and block.ratio != scales[0]]
        if not open_:
            return blocks
        index = min(open_, key=lambda i: (blocks[i].ratio, i))
        larger = page[index].block(scales[scales.index(blocks[index].ratio) - 1])
        trial = [*blocks[:index], larger, *blocks[index + 1 :]]
        if _hard(larger) <= _hard(blocks[index]) and _rows(trial, ctx) is not None:
            blocks = trial
        else:
            stuck.add(blocks[index].mark)


def _rows(blocks: Sequence[Block], ctx: SheetContext) -> list[Row] | None:
    """Blocks in lines from left to right, with the height of each line; None where they do not fit."""
    wide, high = _room(ctx)
    rows: list[Row] = []
    for block in blocks:
        if block.size[0] > wide + 1e-6:
            return None
        if rows and sum(b.size[0] + GUTTER for b in rows[-1][0]) + block.size[0] <= wide + 1e-6:
            members, tall = rows[-1]
            rows[-1] = ([*members, block], max(tall, block.size[1]))
        else:
            rows.append(([block], block.size[1]))
    total = sum(tall for _, tall in rows) + GUTTER * (len(rows) - 1)
    return rows if total <= high + 1e-6 else None


def _set_out(blocks: Sequence[Block], ctx: SheetContext) -> list[Item]:
    """The items of a sheet with equal gutters between and round the blocks."""
    wide, high = _room(ctx)
    rows = _rows(blocks, ctx)
    if rows is None:  # one part that is too large even at the smallest scale
        rows = [([block], block.size[1]) for block in blocks]
    items: list[Item] = []
    down = max(0.0, high - sum(tall for _, tall in rows)) / (len(rows) + 1)
    y = ctx.space[1] + down
    for members, tall in rows:
        across = max(0.0, wide - sum(b.size[0] for b in members)) / (len(members) + 1)
        x = ctx.space[0] + across
        for block in members:
            items += block.moved_to(x, y)
            x += block.size[0] + across
        y += tall + down
    return items


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("part", 140, compose, wanted)
