"""Procedure: numbered steps with parts, tools, action, checks, cautions, waits, and a picture of each.

Steps run down columns, as many as fit on a sheet. A step goes on in the next column of its sheet; over the end of a sheet only where
much of that would stay empty, or where the step is longer than a sheet. A caution is printed in full at the first step that needs it and by its name with the number of that
step afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from plandoc.drawing.display import Circle, Extent, Group, Item, Line, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import fitted, wrap
from plandoc.model.entities import Step
from plandoc.sheets.barcuts import board_codes
from plandoc.sheets.context import SheetContext
from plandoc.sheets.cutting import layout_codes
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.setups import setup_codes
from plandoc.sheets.stepbodies import Progress, progress
from plandoc.sheets.steppictures import least_picture, step_picture
from plandoc.sheets.steprows import INDENT, Row, boxed, caution, labelled, total
from plandoc.sheets.templatework import work_texts
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.names import LAYOUT, layout_words, listed
from plandoc.shopwork.setupsteps import numbers_text, setups_of_steps
from plandoc.shopwork.state import StepState, states
from plandoc.shopwork.stepwords import Cautions, cautions_of, fittings_text, parts_text, tools_text

ORDER = 180
COLUMN_GAP = 9.0
LEAST_COLUMN = 108.0  # mm; some fifty letters of the body's height
HEAD = 1.7  # mm over and under the ring of a step's number
REST_OVER, REST_UNDER = 2.0, 3.2  # mm over and under the title of a step that goes on
AFTER = 2.5  # mm between steps
MOST_PICTURE = 80.0
MORE_PICTURE = 24.0  # mm that a picture may grow by where its column has room
PICTURE_GAP = 5.0  # mm between words and the picture at their right
SHARES = (0.5, 0.42)  # of the column for the picture of an assembly or of few parts
MANY_MARKS = 2  # more different parts on the bench get a broader picture
BROAD = (1.0, 0.6)
KEEP = 3  # lines that a step has at least before it goes on in the next column, and then there
LONG = 8  # lines of a text that may be parted
EMPTY = 0.2  # of a sheet that may stay empty before a step goes on over its end
TITLE_LINE = 1.5  # line pitch of a title over its height
Words = Callable[[float], list[Row]]


@dataclass(frozen=True, slots=True)
class Block:
    """One step in a column. title: its lines. rows: words over the whole width of the column, which may be parted before the numbers in
    `ends`; beside: the last ones, at the left of the picture. picture, broad: height and width of the picture (mm), 0 for none."""

    step: Step
    state: StepState
    title: tuple[str, ...]
    rows: tuple[Row, ...]
    ends: tuple[int, ...]
    beside: tuple[Row, ...] = ()
    picture: float = 0.0
    broad: float = 0.0

    @property
    def strip(self) -> float:
        """Height (mm) of the picture with the words beside it."""
        return max(total(self.beside), self.picture + 2.0) if self.picture else 0.0


@dataclass(frozen=True, slots=True)
class Piece:
    """What stands of a step in one column: rows from `start` up to `stop`, and the picture where `last`. high: its height (mm)."""

    block: Block
    start: int
    stop: int
    last: bool
    high: float


Column = list[Piece]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """As many sheets as the steps need."""
    columns = _columns(ctx.space)
    high, wide = columns[0][3] - columns[0][1], columns[0][2] - columns[0][0]
    steps = _with_layouts(ctx)
    said, setups = cautions_of(steps), _cited(ctx)
    blocks = [_block(ctx, step, state, own, wide, high, setups.get(step.number, ())) for step, state, own in zip(steps, states(ctx.model, steps), said, strict=True)]
    done = progress(ctx.model, ctx.solids, ctx.steps)
    drafts: list[Draft] = []
    for sheet in _sheets(blocks, ctx, high, len(columns)):
        numbers = [piece.block.step.number for column in sheet for piece in column]
        first, last = numbers[0], numbers[-1]
        title = f"Procedure, step {first}" if first == last else f"Procedure, steps {first} to {last}"
        items: dict[str, list[Item]] = {}
        for column, space in zip(sheet, columns, strict=True):
            for piece, drawn in _column(ctx, column, space, done):
                items.setdefault(str(piece.block.step.number), []).extend(drawn)
        rest = {str(piece.block.step.number) for piece in sheet[0][:1] if piece.start}
        groups = tuple(
            Group("step", tuple(rows), id=f"step-{number}{'-rest' if number in rest else ''}", attrs=(("step", number),)) for number, rows in items.items()
        )
        drafts.append(Draft("procedure", f"8.{len(drafts) + 1}", title, groups))
    return tuple(drafts)


Cited = tuple[tuple[str, str], ...]


def _cited(ctx: SheetContext) -> dict[int, Cited]:
    """The sheets that go with each step, by its number: label and text."""
    rows = (("SET-UPS", _setup_texts(ctx)), ("TEMPLATE WORK", work_texts(ctx)))
    return {step.number: tuple((label, own[step.number]) for label, own in rows if own.get(step.number)) for step in ctx.steps}


def _setup_texts(ctx: SheetContext) -> dict[int, str]:
    """`1 to 4 on sheet 7.1; 27 on 7.2`: the set-ups of each step, by its number."""
    codes = setup_codes(ctx)
    found = {}
    for step, numbers in setups_of_steps(ctx.model, ctx.steps).items():
        sheets = [(code, numbers_text([n for n in numbers if codes.get(n, "") == code])) for code in dict.fromkeys(codes.get(n, "") for n in numbers)]
        found[step] = "; ".join(text + (f" on {'' if place else 'sheet '}{code}" if code else "") for place, (code, text) in enumerate(sheets))
    return found


def _with_layouts(ctx: SheetContext) -> tuple[Step, ...]:
    """The steps, those that cut out of sheets with the numbers of the sheets on which the layouts are drawn."""
    if not any(LAYOUT in text for step in ctx.steps for text in (*step.texts, *step.choices)):
        return ctx.steps
    codes = {} if ctx.kinds and "cutting" not in ctx.kinds else layout_codes(ctx)
    boards = {} if ctx.kinds and "bars" not in ctx.kinds else board_codes(ctx)
    found = []
    for step in ctx.steps:
        stocks = dict.fromkeys(ctx.model.part(path).stock.name for path in all_paths(ctx.model, step.cuts))
        own = [code for name in stocks for code in codes.get(name, ())]
        swaps = {layout_words(stock, ctx.model.info.units): _sheet_words(boards[stock.name]) for stock in ctx.model.stocks if stock.name in boards}
        if own:
            swaps[LAYOUT] = _sheet_words(own)
        texts = step.texts if step.author else tuple(_swapped(text, swaps) for text in step.texts)
        found.append(replace(step, texts=texts, choices=tuple(_swapped(line, swaps) for line in step.choices)))
    return tuple(found)


def _sheet_words(codes: Sequence[str]) -> str:
    """Each sheet once, though layouts of two stocks may share it."""
    each = list(dict.fromkeys(codes))
    return f"sheet{'s' if len(each) > 1 else ''} {listed(each)}"


def _swapped(text: str, swaps: Mapping[str, str]) -> str:
    for said, sheets in swaps.items():
        text = text.replace(said, sheets)
    return text


def wanted(ctx: SheetContext) -> bool:
    """Whether there are steps."""
    return bool(ctx.steps)


def _columns(space: Extent) -> tuple[Extent, ...]:
    """The columns of steps."""
    x0, y0, x1, y1 = space
    count = max(1, int((x1 - x0 + COLUMN_GAP) / (LEAST_COLUMN + COLUMN_GAP)))
    wide = (x1 - x0 - COLUMN_GAP * (count - 1)) / count
    return tuple((x0 + i * (wide + COLUMN_GAP), y0, x0 + i * (wide + COLUMN_GAP) + wide, y1) for i in range(count))


# --- one step ----------------------------------------------------------------------------------------------------


def _block(ctx: SheetContext, step: Step, state: StepState, own: Cautions, wide: float, high: float, cited: Cited) -> Block:
    """The step in the arrangement that makes it shortest: its last words stand beside the picture, the others over it. cited: the sheets
    that go with it."""
    size = ctx.style.height("body")
    words = [*_words(ctx, step, state, size, cited), *(_caution(text, size) for text in own.lines)]
    title = _title(ctx, step.title, wide)
    least = least_picture(ctx.model, state)
    if not least:
        return Block(step, state, title, *_set(words, wide))
    marks = {ctx.model.part(path).mark or path for path in state.new}
    options: list[Block] = []
    for share in BROAD if state.kind == "bench" and len(marks) > MANY_MARKS else SHARES:
        broad = wide * share - (PICTURE_GAP if share < 1 else 0.0)
        for count in range(len(words) + 1 if share < 1 else 1):
            over, ends = _set(words[: len(words) - count], wide)
            beside = [row for part in words[len(words) - count :] for row in part(wide * (1 - share))]
            if count and total(beside) > max(least, 0.8 * high):
                break
            picture = min(max(least, total(beside) - 2.0), MOST_PICTURE)
            options.append(Block(step, state, title, over, ends, tuple(beside), picture, broad))
    return min(options, key=lambda b: (round((total(b.rows) + b.strip) / 3.0), options.index(b)))


def _set(words: Sequence[Words], wide: float) -> tuple[tuple[Row, ...], tuple[int, ...]]:
    """The rows of texts at a width, and the numbers of those before which they may be parted: between texts, and in long ones."""
    rows: list[Row] = []
    ends: list[int] = []
    for part in words:
        own = part(wide)
        if len(own) > LONG:
            ends += [len(rows) + number for number in range(KEEP, len(own) - KEEP + 1)]
        rows += own
        ends.append(len(rows))
    return tuple(rows), tuple(ends)


def _title(ctx: SheetContext, title: str, wide: float) -> tuple[str, ...]:
    """The lines of a title: one where it fits with lower letters."""
    room = wide - _title_at(ctx)
    text, _ = fitted(title, _title_size(ctx), room, ctx.style.height("body"), True)
    return (title,) if text == title else wrap(title, ctx.style.height("body"), room, True)


def _title_size(ctx: SheetContext) -> float:
    return 0.8 * ctx.style.height("title")


def _ring(ctx: SheetContext) -> float:
    """Radius (mm) of the ring round a step's number."""
    return ctx.style.balloon_radius - 0.6


def _title_at(ctx: SheetContext) -> float:
    return 2 * _ring(ctx) + 3.0


def _caution(text: str, size: float) -> Words:
    def rows(wide: float) -> list[Row]:
        return [Row(row.height, tuple(shifted(item, INDENT, 0.0) for item in row.items)) for row in caution(text, wide - INDENT, size)]

    return rows


def _words(ctx: SheetContext, step: Step, state: StepState, size: float, cited: Cited) -> list[Words]:
    """What the step says, without its cautions, each text to be set to a width. cited: the sheets that go with it."""

    def plain(label: str, text: str, gap: float = 0.0) -> Words:
        return lambda wide: labelled(label, text, wide, size, gap)

    def check(label: str, text: str) -> Words:
        return lambda wide: boxed(label, text, wide, size)

    found: list[Words] = []
    for label, text in (
        ("PARTS", parts_text(ctx.model, state, step)), ("FITTINGS", fittings_text(ctx.model, step)), ("TOOLS", tools_text(step)),
    ):  # fmt: skip
        if text:
            found.append(plain(label, text))
    sheets = ((label, (text,), 0.0) for label, text in cited)
    for label, texts, gap in (("MACHINE", step.choices, 0.0), *sheets, ("DO", step.texts, 0.6), ("GLUE", step.glue, 0.6)):
        found += [plain(label if number == 0 else "", text, gap) for number, text in enumerate(texts)]
    found += [check("CHECK" if number == 0 else "", text) for number, text in enumerate(step.checks)]
    return found + [plain("WAIT", text, 0.6) for text in step.waits]


# --- columns and sheets ------------------------------------------------------------------------------------------


def _head(block: Block, ctx: SheetContext, start: int) -> float:
    """Height (mm) of the title, or of that of the rest of a step."""
    body = ctx.style.height("body")
    return REST_OVER + body + REST_UNDER if start else 2 * _ring(ctx) + HEAD + (len(block.title) - 1) * TITLE_LINE * body


def _sheets(blocks: Sequence[Block], ctx: SheetContext, high: float, count: int) -> list[list[Column]]:
    """Sheets of `count` columns. A step that does not fit on what is left of a sheet begins the next, unless too much of the sheet would
    stay empty or the step is longer than a sheet: then it goes on over the sheet's end."""
    columns: list[Column] = [[]]
    for block in blocks:
        room = high - sum(piece.high for piece in columns[-1])
        left = count - (len(columns) - 1) % count
        pieces = _placed(block, ctx, room, high, left)
        if pieces is None:
            bare = room + high * (left - 1)
            alone = _placed(block, ctx, high, high, count)
            if alone is not None and bare <= EMPTY * high * count:
                pieces = alone
                columns += [[] for _ in range(left)]
            else:
                pieces = _placed(block, ctx, room, high, 10_000)
        for number, piece in enumerate(pieces or ()):
            if number:
                columns.append([])
            if piece is not None:
                columns[-1].append(piece)
    columns += [[] for _ in range(-len(columns) % count)]
    return [columns[i : i + count] for i in range(0, len(columns), count)]


def _placed(block: Block, ctx: SheetContext, room: float, high: float, columns: int) -> list[Piece | None] | None:
    """The step in this column, of which `room` mm are left, and in the next ones; None where all `columns` do not hold it. Where it
    begins in the next column only, nothing (None) stands in this one."""
    pieces: list[Piece | None] = []
    start, rows = 0, block.rows
    for _ in range(columns):
        head = _head(block, ctx, start)
        whole = head + total(rows[start:]) + block.strip + AFTER
        if whole <= room + 1e-6:
            return [*pieces, Piece(block, start, len(rows), True, whole)]
        most = len(rows) - (0 if block.strip else KEEP)
        stop = max((end for end in block.ends if start < end <= most and head + total(rows[start:end]) <= room), default=start)
        if stop - start >= KEEP:
            pieces.append(Piece(block, start, stop, False, room))
            start = stop
        else:
            pieces.append(None)
        room = high
    return None


def _column(ctx: SheetContext, pieces: Column, space: Extent, done: Progress) -> list[tuple[Piece, list[Item]]]:
    """The pieces downwards with a rule between them; room that is left goes to the pictures and between the steps."""
    x0, y0, x1, y1 = space
    share = min(max(0.0, (y1 - y0) - sum(piece.high for piece in pieces)) / max(1, len(pieces)), MORE_PICTURE)
    found = []
    y = y0
    for number, piece in enumerate(pieces):
        high = piece.high + (share if piece.last else 0.0)
        found.append((piece, _drawn(ctx, piece, (x0, y, x1, y + high), number > 0, done)))
        y += high
    return found


def _drawn(ctx: SheetContext, piece: Piece, space: Extent, ruled: bool, done: Progress) -> list[Item]:
    x0, y0, x1, y1 = space
    style, block = ctx.style, piece.block
    items: list[Item] = [Line("tb", ((x0, y0), (x1, y0)))] if ruled else []
    y = y0 + _head(block, ctx, piece.start)
    radius, size = _ring(ctx), style.height("label")
    if piece.start:
        said = (f"{block.step.number}. {block.step.title} (continued)", f"Step {block.step.number} (continued)")
        whole = ((text, high) for line in said for text, high in [fitted(line, style.height("body"), x1 - x0, style.minimum_height, True)] if text == line)
        text, size = next(whole, (said[1], style.minimum_height))
        items.append(Text("head", (x0, y0 + REST_OVER + size), text, size, bold=True))
    else:
        centre = (x0 + radius, y0 + radius + 1.4)
        number, high = fitted(str(block.step.number), size, 1.25 * radius, style.minimum_height, True)
        items.append(Circle("vis", centre, radius))
        items.append(Text("label", (centre[0], centre[1] + high / 2), number, high, "middle", bold=True))
        for line, words in enumerate(block.title):
            most = _title_size(ctx) if len(block.title) == 1 else style.height("body")
            text, size = fitted(words, most, x1 - x0 - _title_at(ctx), style.minimum_height, True)
            items.append(Text("head", (x0 + _title_at(ctx), centre[1] + size / 2 + line * TITLE_LINE * size), text, size, bold=True))
    for row in block.rows[piece.start : piece.stop]:
        items += [shifted(item, x0, y) for item in row.items]
        y += row.height
    if not piece.last or not block.picture:
        return items
    drawn = step_picture(ctx, block.step, block.state, (x1 - block.broad, y + 1.0, x1, y1 - AFTER - 1.0), done)
    if drawn is not None:
        items.append(drawn)
    for row in block.beside:
        items += [shifted(item, x0, y) for item in row.items]
        y += row.height
    return items


KIND = SheetKind("procedure", ORDER, compose, wanted, together="Procedure")
