"""Part drawings: every distinct part once, large ones on sheets of their own, small ones together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from plandoc.build.solids import part_solid
from plandoc.drawing.display import Group, Item, Text
from plandoc.drawing.draft import Draft
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection
from plandoc.model.entities import Part
from plandoc.model.marks import opposite_hands
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partblock import ELSEWHERE, Block, PartDrawing
from plandoc.sheets.partbreaks import plain_stretch
from plandoc.sheets.partfaces import FAR, MAIN, REAR
from plandoc.sheets.partpages import fits, own_scale, pages, room_of, scale_for_detail, set_out
from plandoc.sheets.partviews import PartPlan, plan_part
from plandoc.sheets.registry import SheetKind
from plandoc.shopwork.names import by_mark, joined_names

ENOUGH = 45.0  # mm on paper of a part for which no other arrangement is tried


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """All part drawings, sheets 4.1, 4.2 ..."""
    drawings = part_drawings(ctx)
    layouts = pages(drawings, ctx)
    codes = [f"4.{number}" for number in range(1, len(layouts) + 1)]
    shown: dict[str, list[str]] = {}
    for code, layout in zip(codes, layouts, strict=True):
        for block in layout.blocks:
            shown.setdefault(block.mark, []).append(code)
    drafts = []
    for code, layout in zip(codes, layouts, strict=True):
        blocks = layout.blocks
        marks = tuple(dict.fromkeys(mark for block in blocks for mark in block.marks))
        names = joined_names([p.name for d in drawings if d.mark in marks for p in (*d.alike, *d.opposite)])
        plural = "s" if len(marks) > 1 else ""
        alone = len({block.mark for block in blocks}) == 1
        title = f"Part{plural} {', '.join(marks)}" + (f": {names}" if alone else "")
        if all("continued" in block.key for block in blocks):
            title += ", continued"
        scales = tuple(sorted({block.ratio for block in blocks}, reverse=True))
        items = [_told(item, code, shown) for item in set_out(layout, ctx)]
        drafts.append(Draft("part", code, title, tuple(items), scales, "-".join(marks), (*_first_shown(blocks), *_faces(blocks, drawings))))
    return tuple(drafts)


def _told(item: Item, code: str, shown: Mapping[str, Sequence[str]], mark: str = "") -> Item:
    """The item with the sheets of the other views of its part, now that these are known. shown: mark -> sheets."""
    if isinstance(item, Text) and ELSEWHERE in item.text:
        others = [other for other in shown[mark] if other != code]
        return replace(item, text=item.text.replace(ELSEWHERE, f"SHEET {others[0]}" if others else "THIS SHEET"))
    if isinstance(item, Group):
        own = dict(item.attrs).get("mark", mark)
        return replace(item, items=tuple(_told(i, code, shown, own) for i in item.items))
    return item


def _first_shown(blocks: Sequence[Block]) -> tuple[str, ...]:
    """Marks whose main view is on the sheet."""
    return tuple(dict.fromkeys(mark for block in blocks if block.mark == block.key for mark in block.marks))


def _faces(blocks: Sequence[Block], drawings: Sequence[PartDrawing]) -> tuple[str, ...]:
    """Mark and face of every view on the sheet, `A top`."""
    views = {d.key: d.views for d in drawings}
    return tuple(f"{block.mark} {view.face.name}" for block in blocks for view in views[block.key])


def part_drawings(ctx: SheetContext) -> tuple[PartDrawing, ...]:
    """One drawing for each mark, from its first instance, in mark order; of two that are opposite hands only the first is drawn."""
    rows: list[PartDrawing] = []
    first = ctx.model.info.projection == "first"
    room = room_of(ctx)
    for alike, opposite in hands(ctx.model.parts):
        part = alike[0]
        solid = ctx.solids[part.path] if part.path in ctx.solids and part.lean is None else part_solid(part)
        rows += _drawings(ctx, alike, opposite, solid, room, first)
    return tuple(rows)


def hands(parts: Sequence[Part]) -> list[tuple[tuple[Part, ...], tuple[Part, ...]]]:
    """The parts of each mark in mark order, and those of the mark that is their opposite hand, which has no row of its own."""
    found: list[tuple[tuple[Part, ...], tuple[Part, ...]]] = []
    for alike in by_mark(parts).values():
        drawn = next((n for n, (first, opposite) in enumerate(found) if not opposite and opposite_hands(first[0], alike[0])), None)
        if drawn is None:
            found.append((alike, ()))
        else:
            found[drawn] = (found[drawn][0], alike)
    return found


def _drawings(
    ctx: SheetContext, alike: tuple[Part, ...], opposite: tuple[Part, ...], solid: Solid, room: tuple[float, float], first: bool
) -> tuple[PartDrawing, ...]:
    """The part in one drawing. Length across the sheet, unless it comes out larger upright; broken in a plain
    stretch where only so its details print large enough; the opposite face, or the edges, apart from the rest where all becomes larger
    that way."""

    traced: dict[Projection, tuple[Stroke, ...]] = {}

    def drawn(plan: PartPlan, only: tuple[str, ...] = ()) -> PartDrawing:
        return PartDrawing(ctx.model, plan, alike, opposite, solid, ctx.style, room, only, traced)

    plan = plan_part(alike[0], first=first, units=ctx.model.info.units)
    best: tuple[PartDrawing, ...] = (drawn(plan),)
    scale = _common_scale(best, ctx)
    wanted = scale_for_detail(best[0], ctx)
    stretch = plain_stretch(plan) if wanted > scale else None
    if stretch is not None:
        broken = PartDrawing(ctx.model, plan, alike, opposite, solid, ctx.style, room, (), traced, stretch, (scale, wanted))
        larger = own_scale(broken, ctx)
        if larger > scale and broken.left_out(larger) is not None and _fits_somewhere(broken, ctx):
            return (broken,)
    if (len(plan.views) == 1 and room[0] >= room[1]) or float(alike[0].length * scale) >= ENOUGH:
        return best
    upright = plan_part(alike[0], True, first, ctx.model.info.units)
    ways: list[tuple[PartDrawing, ...]] = []
    if len(plan.views) > 2 or room[0] < room[1]:
        ways.append((drawn(upright),))
    turned = plan if room[0] >= room[1] else upright
    # apart from the rest nothing is gained by turning the opposite face over
    alone = plan_part(alike[0], turned is upright, first, ctx.model.info.units, True) if any(v.place == REAR for v in turned.views) else turned
    for laid, far in ((alone, True), (turned, False)):
        away = tuple(v.place for v in laid.views if v.place != MAIN and (v.place in (REAR, FAR)) == far)
        rest = tuple(v.place for v in laid.views if v.place not in away)
        if away and rest:
            ways.append((drawn(laid, rest), drawn(laid, away)))
    for way in ways:
        other = _common_scale(way, ctx)
        if other > scale:
            best, scale = way, other
    return best


def _common_scale(way: Sequence[PartDrawing], ctx: SheetContext) -> Fraction:
    return min(own_scale(d, ctx) if _fits_somewhere(d, ctx) else Fraction(0) for d in way)


def _fits_somewhere(drawing: PartDrawing, ctx: SheetContext) -> bool:
    return fits(drawing.block(own_scale(drawing, ctx)), *room_of(ctx))


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a part."""
    return bool(ctx.model.parts)


KIND = SheetKind("part", 140, compose, wanted, together="Part drawings")
