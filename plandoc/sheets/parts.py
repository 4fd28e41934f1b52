"""Part drawings: every distinct part once, large ones on sheets of their own, small ones together in mark order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.drawing.display import Item
from plandoc.drawing.draft import Draft
from plandoc.drawing.scales import listed_scales
from plandoc.geometry.bodies import box_prism
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection
from plandoc.model.entities import Part
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partblock import Block, PartDrawing
from plandoc.sheets.partfaces import FAR, MAIN, REAR
from plandoc.sheets.partviews import PartPlan, plan_part
from plandoc.sheets.registry import SheetKind
from plandoc.shopwork.names import by_mark, joined_names

GUTTER = 8.0
LEAST_USEFUL = 45.0  # mm on paper; a part that prints shorter says no more by being smaller
SHARING = 0.7  # of the sheet that a drawing may cover and still be made smaller to share it
ENOUGH = 45.0  # mm on paper of a part for which no other arrangement is tried
LEAST_LONG = 60.0  # mm on paper of a part that gives way by two scales
LEAST_THICKNESS = 1.0  # mm on paper; two edges of the 0.5 pen still stand apart
Row = list[Block]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """All part drawings, sheets 4.1, 4.2 ..."""
    drawings = part_drawings(ctx)
    pages = _pages(drawings, ctx)
    drafts = []
    for number, page in enumerate(pages, 1):
        items = _set_out(page, ctx)
        blocks = [block for row in page for block in row]
        marks = tuple(dict.fromkeys(block.mark for block in blocks))
        names = [joined_names([p.name for p in d.alike]) for d in drawings if d.mark in marks]
        title = f"Part {marks[0]}: {names[0]}" if len(marks) == 1 else f"Parts {', '.join(marks)}"
        if all("continued" in block.key for block in blocks):
            title += ", continued"
        scales = tuple(sorted({block.ratio for block in blocks}, reverse=True))
        drafts.append(Draft("part", f"4.{number}", title, tuple(items), scales, "-".join(marks), _first_shown(blocks)))
    return tuple(drafts)


def _first_shown(blocks: Sequence[Block]) -> tuple[str, ...]:
    """Marks whose main view is on the sheet."""
    return tuple(dict.fromkeys(block.mark for block in blocks if block.mark == block.key))


def part_drawings(ctx: SheetContext) -> tuple[PartDrawing, ...]:
    """One drawing for each mark, from its first instance, in mark order."""
    rows: list[PartDrawing] = []
    first = ctx.model.info.projection == "first"
    room = _room(ctx)
    for alike in by_mark(ctx.model.parts).values():
        part = alike[0]
        solid = ctx.solids[part.path] if part.path in ctx.solids and part.lean is None else _solid(part)
        rows += _drawings(ctx, alike, solid, room, first)
    return tuple(rows)


def _drawings(
    ctx: SheetContext, alike: tuple[Part, ...], solid: Solid, room: tuple[float, float], first: bool
) -> tuple[PartDrawing, ...]:
    """The part in one drawing. Length across the sheet, unless it comes out larger upright; the opposite face, or
    the edges, apart from the rest where all becomes larger that way."""

    traced: dict[Projection, tuple[Stroke, ...]] = {}

    def drawn(plan: PartPlan, only: tuple[str, ...] = ()) -> PartDrawing:
        return PartDrawing(ctx.model, plan, alike, solid, ctx.style, room, only, traced)

    plan = plan_part(alike[0], first=first, units=ctx.model.info.units)
    best: tuple[PartDrawing, ...] = (drawn(plan),)
    if len(plan.views) == 1 and room[0] >= room[1]:
        return best
    scale = _common_scale(best, ctx)
    if float(alike[0].length * scale) >= ENOUGH:
        return best
    upright = plan_part(alike[0], True, first, ctx.model.info.units)
    ways: list[tuple[PartDrawing, ...]] = []
    if len(plan.views) > 2 or room[0] < room[1]:
        ways.append((drawn(upright),))
    turned = plan if room[0] >= room[1] else upright
    far = tuple(v.place for v in turned.views if v.place in (REAR, FAR))
    sides = tuple(v.place for v in turned.views if v.place not in (REAR, FAR, MAIN))
    for away in (far, sides):
        rest = tuple(v.place for v in turned.views if v.place not in away)
        if away and rest:
            ways.append((drawn(turned, rest), drawn(turned, away)))
    for way in ways:
        other = _common_scale(way, ctx)
        if other > scale:
            best, scale = way, other
    return best


def _common_scale(way: Sequence[PartDrawing], ctx: SheetContext) -> Fraction:
    return min(own_scale(d, ctx) if _fits_somewhere(d, ctx) else Fraction(0) for d in way)


def _fits_somewhere(drawing: PartDrawing, ctx: SheetContext) -> bool:
    return _fits(drawing.block(own_scale(drawing, ctx)), *_room(ctx))


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


def _thick(drawing: PartDrawing, scale: Fraction) -> bool:
    return float(drawing.part.thickness * scale) >= LEAST_THICKNESS or len(drawing.plan.views) == 1


def _hard(block: Block) -> int:
    """Remarks that spoil the drawing: lettering without room. Lines that cross are only unlovely."""
    return sum(1 for remark in block.crowded if not remark.endswith("cross"))


def own_scale(drawing: PartDrawing, ctx: SheetContext) -> Fraction:
    """The largest listed scale at which the part is clear on a sheet of its own; where it is clear at none, the
    largest that fits."""
    wide, high = _room(ctx)
    largest: Fraction | None = None
    tried: Fraction | None = None
    for scale in _scales(ctx):
        if not drawing.outline_fits(scale):
            continue
        if tried is not None and float(drawing.part.length * scale) < LEAST_USEFUL:
            break
        tried = scale
        block = drawing.block(scale)
        if not _fits(block, wide, high):
            continue
        largest = largest or scale
        if not _hard(block) and _thick(drawing, scale):
            return scale
    return largest or tried or _scales(ctx)[-1]


def shared_scale(drawing: PartDrawing, ctx: SheetContext, own: Fraction) -> Fraction:
    """The smallest scale that the part may have to share a sheet: one step under its own, two for a part that stays
    large enough to be read; never one that is not clear."""
    scales = _scales(ctx)
    at = scales.index(own)
    least = own
    (wide, high), room = drawing.block(own).size, _room(ctx)
    if wide * high > SHARING * room[0] * room[1]:
        return own  # lettering takes most of it: a smaller scale would not make it smaller
    for step, scale in enumerate(scales[at + 1 : at + 3]):
        long = float(drawing.part.length * scale)
        if (step and long < LEAST_LONG) or not _thick(drawing, scale) or _hard(drawing.block(scale)):
            break
        least = scale
    return least


def _pages(drawings: Sequence[PartDrawing], ctx: SheetContext) -> list[list[Row]]:
    """Blocks sheet by sheet in mark order, as many to a sheet as may share it, each sheet then filled by larger
    scales."""
    pages: list[list[PartDrawing]] = []
    least: dict[str, Fraction] = {}
    for drawing in drawings:
        own = own_scale(drawing, ctx)
        if drawing.continued:
            own = min(own, least[drawing.mark])
        least[drawing.key] = shared_scale(drawing, ctx, own)
        together = [*pages[-1], drawing] if pages else []
        if together and _rows(together, [least[d.key] for d in together], ctx) is not None:
            pages[-1].append(drawing)
        else:
            pages.append([drawing])
    settled: dict[str, Fraction] = {}
    filled = []
    for page in pages:
        rows = _filled(page, least, ctx, settled)
        settled.update({block.key: block.ratio for row in rows for block in row})
        filled.append(rows)
    return filled


def _filled(
    page: Sequence[PartDrawing], chosen: dict[str, Fraction], ctx: SheetContext, settled: dict[str, Fraction]
) -> list[Row]:
    """The lines of a sheet, the smallest scale raised step by step as long as all still fit. settled: scales on earlier
    sheets; a further view is not larger than the main view of its part."""
    scales = _scales(ctx)
    ratios = [chosen[d.key] for d in page]
    best = _rows(page, ratios, ctx)
    if best is None:  # one part that is too large even at its smallest scale
        return [[page[0].block(ratios[0])]]
    stuck: set[int] = set()
    while True:
        open_ = [i for i, ratio in enumerate(ratios) if i not in stuck and ratio != scales[0]]
        if not open_:
            return best
        index = min(open_, key=lambda i: (ratios[i], i))
        larger = scales[scales.index(ratios[index]) - 1]
        trial = [*ratios[:index], larger, *ratios[index + 1 :]]
        drawing = page[index]
        rows = None
        here = {d.key: ratio for d, ratio in zip(page, ratios, strict=True)}
        most = {**settled, **here}[drawing.mark] if drawing.continued else larger
        if larger <= most and drawing.outline_fits(larger) and _hard(drawing.block(larger)) <= _hard(drawing.block(ratios[index])):
            rows = _rows(page, trial, ctx)
        if rows is None:
            stuck.add(index)
        else:
            ratios, best = trial, rows


def _rows(page: Sequence[PartDrawing], ratios: Sequence[Fraction], ctx: SheetContext) -> list[Row] | None:
    """Blocks in lines from left to right; None where they do not fit. All headings of a sheet stand in one way."""
    ways = [[d.block(ratio) for d, ratio in zip(page, ratios, strict=True)]]
    if len(page) > 1:
        forms = [d.blocks(ratio) for d, ratio in zip(page, ratios, strict=True)]
        ways = [list(way) for way in zip(*forms, strict=True)]
    for blocks in ways:
        rows = _packed(blocks, ctx)
        if rows is not None:
            return rows
    return None


def _packed(blocks: Sequence[Block], ctx: SheetContext) -> list[Row] | None:
    wide, high = _room(ctx)
    rows: list[Row] = []
    for block in blocks:
        if block.size[0] > wide + 1e-6:
            return None
        if rows and sum(b.size[0] + GUTTER for b in rows[-1]) + block.size[0] <= wide + 1e-6:
            rows[-1].append(block)
        else:
            rows.append([block])
    total = sum(_tall(row) for row in rows) + GUTTER * (len(rows) - 1)
    return rows if total <= high + 1e-6 else None


def _tall(row: Row) -> float:
    return max(block.size[1] for block in row)


def _set_out(rows: Sequence[Row], ctx: SheetContext) -> list[Item]:
    """The items of a sheet with equal gutters between and round the blocks."""
    wide, high = _room(ctx)
    items: list[Item] = []
    down = max(0.0, high - sum(_tall(row) for row in rows)) / (len(rows) + 1)
    y = ctx.space[1] + down
    for row in rows:
        across = max(0.0, wide - sum(b.size[0] for b in row)) / (len(row) + 1)
        x = ctx.space[0] + across
        for block in row:
            items += block.moved_to(x, y)
            x += block.size[0] + across
        y += _tall(row) + down
    return items


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("part", 140, compose, wanted, together="Part drawings")
