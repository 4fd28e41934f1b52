"""Procedure: numbered steps with parts, tools, action, checks, cautions, waits, and a picture of each.

As many steps as fit share a sheet. A caution is printed in full at the first step that needs it and by its name with
the number of that step afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from plandoc.drawing.display import Circle, Extent, Group, Item, Line, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import fitted, text_width
from plandoc.model.entities import Step
from plandoc.sheets.context import SheetContext
from plandoc.sheets.cutting import layout_codes
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.stepbodies import Progress, progress
from plandoc.sheets.steppictures import least_picture, step_picture
from plandoc.sheets.steprows import TAB, Row, boxed, caution, labelled, total
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.making_steps import LAYOUT
from plandoc.shopwork.names import listed
from plandoc.shopwork.state import StepState, states
from plandoc.shopwork.stepwords import Cautions, cautions_of, fittings_text, parts_text, tools_text

ORDER = 180
COLUMN_GAP = 8.0
HEAD = 11.0  # mm for number, title and the rule over them
AFTER = 3.0  # mm between steps
MOST_PICTURE = 80.0
SHARES = (0.58, 0.64, 0.70, 0.52)  # of the width for the words, tried in this order
TWO_COLUMNS = 300.0  # mm; wider sheets have two columns of steps
UPRIGHT = 170.0  # mm; narrower sheets keep the pictures wider


@dataclass(frozen=True, slots=True)
class Block:
    """One step, or the rest of one longer than a sheet: words at the left, cautions under the picture at the right.
    words: width of the words (mm)."""

    step: Step
    state: StepState
    left: tuple[Row, ...]
    right: tuple[Row, ...]
    picture: float
    words: float
    rest: bool = False

    @property
    def height(self) -> float:
        right = total(self.right) + (self.picture + 2.0 if self.picture else 0.0)
        return HEAD + max(total(self.left), right) + AFTER


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """As many sheets as the steps need; a step is only split where it is longer than a sheet."""
    columns = _columns(ctx.space)
    high, wide = columns[0][3] - columns[0][1], columns[0][2] - columns[0][0]
    full: list[list[Block]] = [[]]
    room = high
    steps = _with_layouts(ctx)
    said = cautions_of(steps)
    for step, state, own in zip(steps, states(ctx.model, steps), said, strict=True):
        for block in _pieces(_block(ctx, step, state, own, wide), high):
            if block.height > room + 1e-6 and full[-1]:
                full.append([])
                room = high
            full[-1].append(block)
            room -= block.height
    done = progress(ctx.model, ctx.solids, ctx.steps)
    drafts: list[Draft] = []
    for start in range(0, len(full), len(columns)):
        sheet = full[start : start + len(columns)]
        first, last = sheet[0][0].step.number, sheet[-1][-1].step.number
        title = f"Procedure, step {first}" if first == last else f"Procedure, steps {first} to {last}"
        items = [i for blocks, space in zip(sheet, columns, strict=False) for i in _column(ctx, blocks, space, done)]
        drafts.append(Draft("procedure", f"8.{len(drafts) + 1}", title, tuple(items)))
    return tuple(drafts)


def _with_layouts(ctx: SheetContext) -> tuple[Step, ...]:
    """The steps, those that cut out of sheets with the numbers of the sheets on which the layouts are drawn."""
    if (ctx.kinds and "cutting" not in ctx.kinds) or not any(LAYOUT in text for step in ctx.steps for text in step.texts):
        return ctx.steps
    codes = layout_codes(ctx)
    found = []
    for step in ctx.steps:
        stocks = dict.fromkeys(ctx.model.part(path).stock.name for path in all_paths(ctx.model, step.cuts))
        own = [code for name in stocks for code in codes.get(name, ())]
        words = f"sheet{'s' if len(own) > 1 else ''} {listed(own)}" if own else LAYOUT
        found.append(step if step.author else replace(step, texts=tuple(text.replace(LAYOUT, words) for text in step.texts)))
    return tuple(found)


def wanted(ctx: SheetContext) -> bool:
    """Whether there are steps."""
    return bool(ctx.steps)


def _columns(space: Extent) -> tuple[Extent, ...]:
    """The columns of steps."""
    x0, y0, x1, y1 = space
    if x1 - x0 < TWO_COLUMNS:
        return (space,)
    wide = (x1 - x0 - 1.5 * COLUMN_GAP) / 2
    return (x0, y0, x0 + wide, y1), (x1 - wide, y0, x1, y1)


def _block(ctx: SheetContext, step: Step, state: StepState, own: Cautions, wide: float) -> Block:
    """The step in the arrangement that makes it shortest; a wider picture is kept unless a narrow one saves height."""
    least = least_picture(ctx.model, state)
    shares = SHARES if least and wide - COLUMN_GAP > UPRIGHT else SHARES[:1] if least else (1.0,)
    options = [_arranged(ctx, step, state, own, (wide - COLUMN_GAP) * share, wide, least) for share in shares]
    return min(options, key=lambda b: (round(b.height / 4.0), options.index(b)))


def _arranged(
    ctx: SheetContext, step: Step, state: StepState, own: Cautions, words: float, wide: float, least: float
) -> Block:
    """Cautions under the picture, the last ones under the words where that makes the step shorter."""
    size = ctx.style.height("body")
    left = _words(ctx, step, state, words, size)
    right_wide = wide - COLUMN_GAP - words
    options: list[Block] = []
    for count in range(len(own.lines) if least else 0, -1, -1):
        column, right = list(left), []
        for text in own.lines[count:]:
            rows = caution(text, words - TAB, size)
            column += [Row(r.height, tuple(shifted(i, TAB, 0.0) for i in r.items)) for r in rows]
        for text in own.lines[:count]:
            right += caution(text, right_wide, size)
        picture = min(max(least, total(column) - total(right) - 2.0), MOST_PICTURE) if least else 0.0
        options.append(Block(step, state, tuple(column), tuple(right), picture, words))
    return min(options, key=lambda block: round(block.height, 3))


def _words(ctx: SheetContext, step: Step, state: StepState, wide: float, size: float) -> tuple[Row, ...]:
    """What the step says, without its cautions."""
    rows: list[Row] = []
    for label, text in (
        ("PARTS", parts_text(ctx.model, state)), ("FITTINGS", fittings_text(ctx.model, step)), ("TOOLS", tools_text(step)),
    ):  # fmt: skip
        if text:
            rows += labelled(label, text, wide, size)
    for number, text in enumerate(step.choices):
        rows += labelled("MACHINE" if number == 0 else "", text, wide, size)
    for number, text in enumerate(step.texts):
        rows += labelled("DO" if number == 0 else "", text, wide, size, gap=0.6)
    for number, text in enumerate(step.glue):
        rows += labelled("GLUE" if number == 0 else "", text, wide, size, gap=0.6)
    for number, text in enumerate(step.checks):
        rows += boxed("CHECK" if number == 0 else "", text, wide, size)
    for text in step.waits:
        rows += labelled("WAIT", text, wide, size, gap=0.6)
    return tuple(rows)


def _pieces(block: Block, high: float) -> list[Block]:
    """The block, or pieces that each fit on a sheet."""
    if block.height <= high:
        return [block]
    room = high - HEAD - AFTER
    pieces: list[Block] = []
    left, right, picture = list(block.left), list(block.right), block.picture
    while left or right:
        head_left, left = _taken(left, room)
        head_right, right = _taken(right, room - (picture + 2.0 if picture else 0.0))
        pieces.append(
            Block(block.step, block.state, tuple(head_left), tuple(head_right), picture, block.words, bool(pieces))
        )
        picture = 0.0
    return pieces


def _taken(rows: list[Row], room: float) -> tuple[list[Row], list[Row]]:
    """As many rows as go into the room (at least one), and the others."""
    count = 0
    used = 0.0
    while count < len(rows) and (count == 0 or used + rows[count].height <= room):
        used += rows[count].height
        count += 1
    return rows[:count], rows[count:]


def _column(ctx: SheetContext, blocks: Sequence[Block], space: Extent, done: Progress) -> list[Item]:
    """The blocks downwards with a rule between them; room that is left goes to the pictures and between the steps."""
    x0, y0, x1, y1 = space
    share = min(max(0.0, (y1 - y0) - sum(b.height for b in blocks)) / len(blocks), 30.0)
    y = y0
    items: list[Item] = []
    for number, block in enumerate(blocks):
        items.append(_drawn(ctx, block, (x0, y, x1, y + block.height + share), number > 0, done))
        y += block.height + share
    return items


def _drawn(ctx: SheetContext, block: Block, space: Extent, ruled: bool, done: Progress) -> Group:
    x0, y0, x1, y1 = space
    style = ctx.style
    right = x0 + block.words + COLUMN_GAP
    items: list[Item] = [Line("tb", ((x0, y0), (x1, y0)))] if ruled else []
    radius, size = style.balloon_radius - 0.6, style.height("label")
    centre = (x0 + radius, y0 + radius + 1.4)
    number, high = fitted(str(block.step.number), size, 1.25 * radius, style.minimum_height, True)
    items.append(Circle("vis", centre, radius))
    items.append(Text("label", (centre[0], centre[1] + high / 2), number, high, "middle", bold=True))
    title = block.step.title + (" (continued)" if block.rest else "")
    text, size = fitted(title, 0.8 * style.height("title"), x1 - x0 - TAB, style.minimum_height, True)
    items.append(Text("head", (x0 + TAB, centre[1] + size / 2), text, size, bold=True))
    y = y0 + HEAD
    for row in block.left:
        items += [shifted(item, x0, y) for item in row.items]
        y += row.height
    y = y1 - AFTER - total(block.right)
    if block.picture:
        beside = x0 + TAB + text_width(text, size, True) < right
        top = y0 + HEAD - (6.0 if beside else 0.0)
        drawn = step_picture(ctx, block.step, block.state, (right, top, x1, y - 2.0), done)
        if drawn is not None:
            items.append(drawn)
    else:
        y = y0 + HEAD
    for row in block.right:
        items += [shifted(item, right, y) for item in row.items]
        y += row.height
    name = f"step-{block.step.number}{'-rest' if block.rest else ''}"
    return Group("step", tuple(items), id=name, attrs=(("step", str(block.step.number)),))


KIND = SheetKind("procedure", ORDER, compose, wanted, together="Procedure")
