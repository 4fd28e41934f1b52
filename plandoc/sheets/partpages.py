"""Part drawings on sheets: at which scales they may share one, and how they lie there.

Drawings come in mark order. Each goes on the last sheets begun, the earliest of these on which it still fits, so that
a small part fills a gap and is found close to its neighbours.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from operator import attrgetter

from plandoc.drawing.display import Item
from plandoc.drawing.scales import listed_scales
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partblock import COLUMN_GUTTER, Block, PartDrawing
from plandoc.sheets.partfaces import feature_box

GUTTER = COLUMN_GUTTER
LEAST_USEFUL = 45.0  # mm on paper; a part that prints shorter says no more by being smaller
LEAST_LONG = 60.0  # mm on paper of a part that gives way by two scales
LEAST_THICKNESS = 1.0  # mm on paper; two edges of the 0.5 pen still stand apart
READABLE = 4.0  # mm on paper of the least work on a part that is broken to print larger
LEAST_FEATURE = 2.0  # mm on paper that work keeps when its part gives way to share a sheet: two 0.5 pens and as much air
BACK = 3  # sheets that a drawing may stand before the last one begun
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Layout:
    """Blocks in lines: rows from left to right, one under the other, or upright ones from top to bottom, side by side."""

    lines: tuple[tuple[Block, ...], ...]
    upright: bool = False

    @property
    def blocks(self) -> tuple[Block, ...]:
        """All of them in order."""
        return tuple(block for line in self.lines for block in line)


def room_of(ctx: SheetContext) -> tuple[float, float]:
    """Width and height of a sheet's drawing space."""
    x0, y0, x1, y1 = ctx.space
    return x1 - x0, y1 - y0


# --- scales ------------------------------------------------------------------------------------------------------


def scales_of(ctx: SheetContext, drawing: PartDrawing | None = None) -> tuple[Fraction, ...]:
    """The scales that a part may have, largest first; a broken one only those for which it is broken."""
    over, most = (Fraction(0), Fraction(1)) if drawing is None else drawing.scales
    return tuple(s for s in listed_scales(ctx.model.info.units) if over < s <= most)


def fits(block: Block, wide: float, high: float) -> bool:
    """Whether the block goes into that room."""
    return block.size[0] <= wide + SLACK and block.size[1] <= high + SLACK


def _thick(drawing: PartDrawing, scale: Fraction) -> bool:
    return float(drawing.part.thickness * scale) >= LEAST_THICKNESS or len(drawing.plan.views) == 1


def _hard(block: Block) -> int:
    """Remarks that spoil the drawing: lettering without room. Lines that cross are only unlovely."""
    return sum(1 for remark in block.crowded if not remark.endswith("cross"))


def least_feature(drawing: PartDrawing) -> Fraction | None:
    """The least width (mm of the model) at which work shows in the views drawn. Holes have a centre mark and a note
    with their size, lettering has its note."""
    found: list[Fraction] = []
    for shape in drawing.plan.shapes:
        feature = shape.feature
        box = feature_box(feature)
        inside = box.common(drawing.part.box) if box is not None else None
        if shape.place not in drawing.places or inside is None or feature.diameter is not None or feature.text:
            continue
        view = drawing.plan.view(shape.place)
        found += [inside.size(axis) for axis in (view.right.axis, view.up.axis) if inside.size(axis) > 0]
    return min(found, default=None)


def scale_for_detail(drawing: PartDrawing, ctx: SheetContext) -> Fraction:
    """The smallest scale at which the least of the work prints READABLE mm, 0 where there is none; 1 at the most."""
    holes = [s.feature.diameter for s in drawing.plan.shapes if s.feature.diameter is not None and s.feature.depth is not None]
    least = min((size for size in (least_feature(drawing), *holes) if size is not None), default=None)
    if least is None:
        return Fraction(0)
    return min((s for s in scales_of(ctx) if least * s >= READABLE), default=Fraction(1))


def own_scale(drawing: PartDrawing, ctx: SheetContext) -> Fraction:
    """The largest listed scale at which the part is clear on a sheet of its own; where it is clear at none, the
    largest that fits."""
    wide, high = room_of(ctx)
    largest: Fraction | None = None
    tried: Fraction | None = None
    for scale in scales_of(ctx, drawing):
        if not drawing.outline_fits(scale):
            continue
        if tried is not None and float(drawing.part.length * scale) < LEAST_USEFUL:
            break
        tried = scale
        block = drawing.block(scale)
        if not fits(block, wide, high):
            continue
        largest = largest or scale
        if not _hard(block) and _thick(drawing, scale):
            return scale
    return largest or tried or scales_of(ctx, drawing)[-1]


def shared_scale(drawing: PartDrawing, ctx: SheetContext, own: Fraction) -> Fraction:
    """The smallest scale that the part may have to share a sheet: one step under its own, two for a part that stays
    large enough to be read; never one that is not clear, or at which its least work prints too small."""
    scales = scales_of(ctx, drawing)
    at = scales.index(own)
    least = own
    small = least_feature(drawing)
    for step, scale in enumerate(scales[at + 1 : at + 3]):
        long = float(drawing.part.length * scale)
        if (step and long < LEAST_LONG) or not _thick(drawing, scale) or _hard(drawing.block(scale)):
            break
        if small is not None and small * scale < LEAST_FEATURE:
            break
        least = scale
    return least


# --- sheets ------------------------------------------------------------------------------------------------------


def pages(drawings: Sequence[PartDrawing], ctx: SheetContext) -> list[Layout]:
    """The sheets, each filled by larger scales once it is known what stands on it."""
    least: dict[str, Fraction] = {}
    for drawing in drawings:
        own = own_scale(drawing, ctx)
        if drawing.continued:
            own = min(own, least[drawing.mark])
        least[drawing.key] = shared_scale(drawing, ctx, own)
    # further views each after their part, or all of them last, where they fill gaps or share a sheet
    orders = [list(drawings), sorted(drawings, key=lambda d: d.continued)]
    sheets = min((_gathered(order, least, ctx) for order in orders), key=len)
    place = {drawing.key: number for number, drawing in enumerate(drawings)}
    sheets.sort(key=lambda sheet: min((place[d.key] for d in sheet if not d.continued), default=max(place[d.key] for d in sheet)))
    settled: dict[str, Fraction] = {}
    filled = []
    for sheet in sheets:
        layout = _filled(sheet, least, ctx, settled)
        settled.update({block.key: block.ratio for block in layout.blocks})
        filled.append(layout)
    return filled


def _gathered(order: Sequence[PartDrawing], least: Mapping[str, Fraction], ctx: SheetContext) -> list[list[PartDrawing]]:
    """The drawings of each sheet."""
    sheets: list[list[PartDrawing]] = []
    for drawing in order:
        first = next((n for n, sheet in enumerate(sheets) if drawing.mark in [d.mark for d in sheet]), 0)
        for number in range(first if drawing.continued else max(0, len(sheets) - BACK), len(sheets)):
            together = [*sheets[number], drawing]
            if arranged(together, [least[d.key] for d in together], ctx) is not None:
                sheets[number].append(drawing)
                break
        else:
            sheets.append([drawing])
    return sheets


def _filled(
    sheet: Sequence[PartDrawing], chosen: Mapping[str, Fraction], ctx: SheetContext, settled: dict[str, Fraction]
) -> Layout:
    """The layout of a sheet, the smallest scale raised step by step as long as all still fit. settled: scales on earlier
    sheets; a further view is not larger than the main view of its part, or than that will be at the least where it comes later."""
    ratios = [chosen[d.key] for d in sheet]
    best = arranged(sheet, ratios, ctx)
    if best is None:  # one part that is too large even at its smallest scale
        return Layout(((sheet[0].block(ratios[0]),),))
    stuck: set[int] = set()
    while True:
        open_ = [i for i, ratio in enumerate(ratios) if i not in stuck and ratio != scales_of(ctx, sheet[i])[0]]
        if not open_:
            return best
        index = min(open_, key=lambda i: (ratios[i], i))
        scales = scales_of(ctx, sheet[index])
        larger = scales[scales.index(ratios[index]) - 1]
        trial = [*ratios[:index], larger, *ratios[index + 1 :]]
        drawing = sheet[index]
        layout = None
        here = {d.key: ratio for d, ratio in zip(sheet, ratios, strict=True)}
        most = {**chosen, **settled, **here}[drawing.mark] if drawing.continued else larger
        if larger <= most and drawing.outline_fits(larger) and _hard(drawing.block(larger)) <= _hard(drawing.block(ratios[index])):
            layout = arranged(sheet, trial, ctx)
        if layout is None:
            stuck.add(index)
        else:
            ratios, best = trial, layout


def arranged(sheet: Sequence[PartDrawing], ratios: Sequence[Fraction], ctx: SheetContext) -> Layout | None:
    """Drawings on one sheet; None where they do not fit. All headings of a sheet stand in one way."""
    rows = list(zip(sheet, ratios, strict=True))
    if len(rows) == 1:
        return packed([rows[0][0].block(rows[0][1])], ctx)
    ways = [list(way) for way in zip(*(d.blocks(ratio) for d, ratio in rows), strict=True)]
    for blocks in ways:
        layout = packed(blocks, ctx)
        if layout is not None:
            return layout
    if min(sum(b.size[0] * b.size[1] for b in way) for way in ways) > room_of(ctx)[0] * room_of(ctx)[1]:
        return None  # narrow drawings take no less paper
    for way in product(*(_headed_over(d, ratio) for d, ratio in rows)):
        layout = packed(way, ctx)
        if layout is not None:
            return layout
    return None


def _headed_over(drawing: PartDrawing, ratio: Fraction) -> list[Block]:
    """The drawing with its heading over the views, also narrow where it is as clear so."""
    over, slim = drawing.blocks(ratio)[0], drawing.slim(ratio)
    return [over] if slim is None or _hard(slim) > _hard(over) else [over, slim]


def packed(blocks: Sequence[Block], ctx: SheetContext) -> Layout | None:
    """Blocks in rows or in columns: in order or, where that does not go, the larger ones first."""
    room = room_of(ctx)
    for sized in (False, True):
        for upright in (False, True):
            along, across = (1, 0) if upright else (0, 1)
            lines: list[list[Block]] = []
            for block in sorted(blocks, key=attrgetter("high" if across else "wide"), reverse=True) if sized else blocks:
                if lines and sum(b.size[along] + GUTTER for b in lines[-1]) + block.size[along] <= room[along] + SLACK:
                    lines[-1].append(block)
                else:
                    lines.append([block])
            deep = sum(max(b.size[across] for b in line) for line in lines) + GUTTER * (len(lines) - 1)
            if deep <= room[across] + SLACK and all(b.size[along] <= room[along] + SLACK for b in blocks):
                return Layout(tuple(tuple(line) for line in lines), upright)
    return None


def set_out(layout: Layout, ctx: SheetContext) -> list[Item]:
    """The items of a sheet with equal gutters between and round the blocks."""
    room, corner = room_of(ctx), ctx.space[:2]
    along, across = (1, 0) if layout.upright else (0, 1)
    deep = [max(b.size[across] for b in line) for line in layout.lines]
    gap = max(0.0, room[across] - sum(deep)) / (len(deep) + 1)
    items: list[Item] = []
    there = corner[across] + gap
    for line, size in zip(layout.lines, deep, strict=True):
        between = max(0.0, room[along] - sum(b.size[along] for b in line)) / (len(line) + 1)
        here = corner[along] + between
        for block in line:
            items += block.moved_to(there, here) if layout.upright else block.moved_to(here, there)
            here += block.size[along] + between
        there += size + gap
    return items
