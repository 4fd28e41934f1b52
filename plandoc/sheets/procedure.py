"""Procedure: numbered steps with parts, tools, action, checks, cautions, waits, and a picture of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from plandoc.drawing.display import Circle, Extent, Fill, Group, Item, Line, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import fitted, note_line_items, wrap
from plandoc.drawing.style import Style
from plandoc.model.entities import Model, Step
from plandoc.sheets.context import SheetContext
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.steppictures import step_picture
from plandoc.shopwork.state import StepState, states

ORDER = 180
PITCH = 1.62  # line pitch over cap height
TAB = 19.0  # mm from the left of a column to its text
COLUMN_GAP = 8.0
HEAD = 12.5  # mm for number, title and the rule over them
AFTER = 3.5  # mm between steps
LEAST_PICTURE = 44.0  # mm
MOST_PICTURE = 80.0
TRIANGLE = 4.2  # mm, height of the warning triangle


@dataclass(frozen=True, slots=True)
class Row:
    """A strip of a column: its height, and its items with the strip's upper left corner at the origin (mm)."""

    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One step, or the rest of one: words at the left, cautions under the picture at the right."""

    step: Step
    state: StepState
    left: tuple[Row, ...]
    right: tuple[Row, ...]
    picture: float
    rest: bool = False

    @property
    def height(self) -> float:
        right = _total(self.right) + (self.picture + 2.0 if self.picture else 0.0)
        return HEAD + max(_total(self.left), right) + AFTER


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """As many sheets as the steps need; a step is only split where it is longer than a sheet."""
    found = states(ctx.model, ctx.steps)
    high = ctx.space[3] - ctx.space[1]
    pages: list[list[Block]] = [[]]
    room = high
    for step, state in zip(ctx.steps, found, strict=True):
        for block in _pieces(_block(ctx, step, state), high):
            if block.height > room + 1e-6 and pages[-1]:
                pages.append([])
                room = high
            pages[-1].append(block)
            room -= block.height
    drafts = []
    for number, blocks in enumerate(pages, 1):
        first, last = blocks[0].step.number, blocks[-1].step.number
        title = f"Procedure, step {first}" if first == last else f"Procedure, steps {first} to {last}"
        drafts.append(Draft("procedure", f"8.{number}", title, _page(ctx, blocks)))
    return tuple(drafts)


def wanted(ctx: SheetContext) -> bool:
    """Whether there are steps."""
    return bool(ctx.steps)


def _columns(space: Extent) -> tuple[float, float]:
    """Widths of the words and of the picture."""
    wide = space[2] - space[0] - COLUMN_GAP
    left = wide * (0.58 if wide > 170 else 0.55)
    return left, wide - left


def _total(rows: Sequence[Row]) -> float:
    return sum(row.height for row in rows)


def _block(ctx: SheetContext, step: Step, state: StepState) -> Block:
    style = ctx.style
    left_wide, right_wide = _columns(ctx.space)
    pictured = state.kind != "none"
    size = style.height("body")
    left: list[Row] = []
    parts = _parts_text(ctx.model, state)
    if parts:
        left += _labelled("PARTS", parts, left_wide, size)
    hardware = _hardware_text(ctx.model, step)
    if hardware:
        left += _labelled("FITTINGS", hardware, left_wide, size)
    if step.tools:
        left += _labelled("TOOLS", ", ".join(step.tools), left_wide, size)
    for number, text in enumerate(step.texts):
        left += _labelled("DO" if number == 0 else "", text, left_wide, size, gap=0.8)
    for number, text in enumerate(step.checks):
        left += _boxed("CHECK" if number == 0 else "", text, left_wide, size)
    for text in step.waits:
        left += _labelled("WAIT", text, left_wide, size, gap=0.8)
    return _balanced(step, state, left, pictured, left_wide, right_wide, size)


def _balanced(
    step: Step, state: StepState, left: Sequence[Row], pictured: bool, left_wide: float, right_wide: float, size: float
) -> Block:
    """Cautions under the picture, the last ones under the words where that makes the step shorter."""
    options: list[Block] = []
    for count in range(len(step.cautions), -1, -1):
        words, right = list(left), []
        for text in step.cautions[count:]:
            words += [Row(r.height, tuple(shifted(i, TAB, 0.0) for i in r.items)) for r in _caution(text, left_wide - TAB, size)]
        for text in step.cautions[:count]:
            right += _caution(text, right_wide, size)
        picture = min(max(LEAST_PICTURE, _total(words) - _total(right) - 2.0), MOST_PICTURE) if pictured else 0.0
        options.append(Block(step, state, tuple(words), tuple(right), picture))
    return min(options, key=lambda block: round(block.height, 3))


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
        pieces.append(Block(block.step, block.state, tuple(head_left), tuple(head_right), picture, bool(pieces)))
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


def _parts_text(model: Model, state: StepState) -> str:
    """Marks, names and counts of the parts that the step brings or works on."""
    groups: dict[str, list[str]] = {}
    counts: dict[str, int] = {}
    for path in state.new:
        part = model.part(path)
        names = groups.setdefault(part.mark, [])
        if part.name not in names:
            names.append(part.name)
        counts[part.mark] = counts.get(part.mark, 0) + part.count
    rows = []
    for mark, names in groups.items():
        count = f"{counts[mark]}X " if counts[mark] > 1 else ""
        rows.append(f"{count}{mark} {' / '.join(names[:3])}{' …' if len(names) > 3 else ''}".strip())
    return ", ".join(rows)


def _hardware_text(model: Model, step: Step) -> str:
    """The fittings of the step, counted by item."""
    items = {item.name: item for item in model.hardware}
    counts: dict[str, int] = {}
    for fitting in model.fittings:
        if fitting.id in step.fits:
            counts[fitting.item] = counts.get(fitting.item, 0) + fitting.quantity
    rows = []
    for name, count in counts.items():
        item = items.get(name)
        unit = f" {item.unit}{'s' if count > 1 else ''}" if item is not None and item.unit != "each" else ""
        rows.append(f"{count}{unit} {item.description if item else name}")
    return ", ".join(rows)


def _labelled(label: str, text: str, wide: float, size: float, gap: float = 0.0) -> list[Row]:
    """A bold word and wrapped text beside it."""
    rows = []
    pitch = PITCH * size
    for number, line in enumerate(wrap(text, size, wide - TAB)):
        extra = gap if number == 0 else 0.0
        base = extra + pitch - 0.35 * size
        items: list[Item] = list(note_line_items(line, (TAB, base), size, "body"))
        if number == 0 and label:
            items.insert(0, Text("body", (0.0, base), label, size, bold=True))
        rows.append(Row(pitch + extra, tuple(items)))
    return rows


def _boxed(label: str, text: str, wide: float, size: float) -> list[Row]:
    """A check: an empty box to tick, then the text."""
    rows = []
    pitch = PITCH * size
    indent = TAB + 1.6 * size
    for number, line in enumerate(wrap(text, size, wide - indent)):
        extra = 0.8 if number == 0 else 0.0
        base = extra + pitch - 0.35 * size
        items: list[Item] = list(note_line_items(line, (indent, base), size, "body"))
        if number == 0:
            corner = (TAB, base)
            items.append(_square(corner, size))
            if label:
                items.insert(0, Text("body", (0.0, base), label, size, bold=True))
        rows.append(Row(pitch + extra, tuple(items)))
    return rows


def _square(corner: tuple[float, float], size: float) -> Line:
    x, y = corner
    return Line("dim", ((x, y), (x + size, y), (x + size, y - size), (x, y - size)), True)


def _caution(text: str, wide: float, size: float) -> list[Row]:
    """A warning triangle and the text of the caution."""
    rows: list[Row] = []
    pitch = PITCH * size
    indent = TRIANGLE * 1.2 + 2.0
    lines = wrap(text, size, wide - indent)
    for number, line in enumerate(lines):
        extra = 0.9 if number == 0 else 0.0
        base = extra + pitch - 0.35 * size
        items: list[Item] = list(note_line_items(line, (indent, base), size, "body"))
        height = pitch + extra
        if number == 0:
            items += warning_triangle((TRIANGLE * 1.2 / 2, base + 0.4), TRIANGLE)
            if len(lines) == 1:
                height = max(height, extra + TRIANGLE + 0.8)
        rows.append(Row(height, tuple(items)))
    return rows


def warning_triangle(foot: tuple[float, float], height: float) -> tuple[Item, ...]:
    """An equilateral triangle, point up, with an exclamation mark (general warning, the form of ISO 7010, drawn in
    black on white). foot: the middle of its base (mm)."""
    x, y = foot
    half = height / sqrt(3)
    outline = Line("tb", ((x - half, y), (x + half, y), (x, y - height)), True)
    top, low, wide = y - 0.66 * height, y - 0.3 * height, 0.075 * height
    stroke = Fill("ink", (((x - wide, top), (x + wide, top), (x + wide / 2, low), (x - wide / 2, low)),))
    dot_low, dot_top = y - 0.1 * height, y - 0.22 * height
    dot = Fill("ink", (((x - wide, dot_top), (x + wide, dot_top), (x + wide, dot_low), (x - wide, dot_low)),))
    return (outline, stroke, dot)


def _page(ctx: SheetContext, blocks: Sequence[Block]) -> tuple[Item, ...]:
    """The blocks downwards; what is left of the sheet goes to the pictures and between the steps."""
    x0, y0, x1, y1 = ctx.space
    spare = (y1 - y0) - sum(b.height for b in blocks)
    share = min(max(0.0, spare) / len(blocks), 30.0)
    y = y0
    items: list[Item] = []
    for block in blocks:
        items.append(_drawn(ctx, block, (x0, y, x1, y + block.height + share), ctx.style))
        y += block.height + share
    return tuple(items)


def _drawn(ctx: SheetContext, block: Block, space: Extent, style: Style) -> Group:
    x0, y0, x1, y1 = space
    right = x1 - _columns(ctx.space)[1]
    items: list[Item] = [Line("tb", ((x0, y0), (x1, y0)))]
    radius, size = style.balloon_radius - 0.6, style.height("label")
    centre = (x0 + radius, y0 + radius + 1.8)
    number, high = fitted(str(block.step.number), size, 1.25 * radius, style.minimum_height, True)
    items.append(Circle("vis", centre, radius))
    items.append(Text("label", (centre[0], centre[1] + high / 2), number, high, "middle", bold=True))
    title = block.step.title + (" (continued)" if block.rest else "")
    size = 0.8 * style.height("title")
    text, size = fitted(title, size, x1 - x0 - TAB, style.minimum_height, True)
    items.append(Text("head", (x0 + TAB, centre[1] + size / 2), text, size, bold=True))
    y = y0 + HEAD
    for row in block.left:
        items += [shifted(item, x0, y) for item in row.items]
        y += row.height
    foot = y1 - AFTER - _total(block.right)
    if block.picture:
        drawn = step_picture(ctx, block.step, block.state, (right, y0 + HEAD, x1, foot - 2.0))
        if drawn is not None:
            items.append(drawn)
    else:
        foot = y0 + HEAD
    y = foot
    for row in block.right:
        items += [shifted(item, right, y) for item in row.items]
        y += row.height
    name = f"step-{block.step.number}{'-rest' if block.rest else ''}"
    return Group("step", tuple(items), id=name, attrs=(("step", str(block.step.number)),))


KIND = SheetKind("procedure", ORDER, compose, wanted)
