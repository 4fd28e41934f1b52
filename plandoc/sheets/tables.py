"""Ruled tables: columns as wide as their words, wrapped cells, the head repeated over the pages. Paper mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plandoc.drawing.display import Extent, Group, Item, Line
from plandoc.drawing.lettering import fraction_height, note_line_items, note_line_width, reach, words_of, wrap
from plandoc.drawing.style import Style

SIDE = 1.8  # clear room at the left and right of a cell
ABOVE = 1.6  # clear room over and under the lettering of a cell
LEAST = 0.5  # mm between the letters of a cell and the line of its row in any case
FRACTION_ROOM = 0.8  # mm between a stacked fraction and the line of its row
SHIFT = 3.0  # mm that one column gives another at a time
PITCH = 1.7  # line pitch in a cell over cap height
THIN, THICK = "tb", "vis"


@dataclass(frozen=True, slots=True)
class Column:
    """One column. align: start, middle or end. wrap: its words may be broken into lines where room is short.
    stacked: figures such as 3/8 get a horizontal bar. least: width (mm) kept free even for short words."""

    head: str
    align: str = "start"
    wrap: bool = False
    stacked: bool = False
    least: float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """The words of one row, one text for each column. attrs go to its group on the sheet."""

    cells: tuple[str, ...]
    attrs: tuple[tuple[str, str], ...] = ()


Sizes = tuple[float, float]
"""Cap heights (mm) of cells and heads."""
SMALLER = 0.1  # mm by which the lettering of a table is lowered that does not fit


def sizes_of(style: Style, lower: float = 0.0) -> Sizes:
    """Cap heights of a table, `lower` mm less than the style's, but no less than its least height."""
    return max(style.minimum_height, style.height("body") - lower), max(style.minimum_height, style.height("head") - lower)


def column_widths(columns: Sequence[Column], rows: Sequence[Row], style: Style, room: float, fill: bool = True, lower: float = 0.0) -> tuple[float, ...]:
    """Widths (mm) with side room: natural where they fit; else columns that wrap give way, the widest first, then heads and the
    words of every column. With `fill`, room that is left goes to the columns that wrap. lower: mm by which the lettering is lower
    than the style's."""
    sizes = sizes_of(style, lower)
    found = [_needs(column, [row.cells[index] for row in rows], sizes) for index, column in enumerate(columns)]
    widths = [need.natural for need in found]
    _give(widths, [need.unbroken for need in found], room)
    # then heads are broken into lines, at last the words of every column
    _give(widths, [need.broken_head for need in found], room)
    _give(widths, [need.broken for need in found], room)
    soft = [index for index, column in enumerate(columns) if column.wrap]
    spare = room - sum(widths)
    if fill and soft and spare > 0:
        for index in soft:
            widths[index] += spare / len(soft)
    return tuple(widths)


def unbroken_width(columns: Sequence[Column], rows: Sequence[Row], style: Style) -> float:
    """The least width (mm) of a table in which only the columns that wrap have broken words, and no head is broken."""
    return sum(_needs(column, [row.cells[index] for row in rows], sizes_of(style)).unbroken for index, column in enumerate(columns))


@dataclass(frozen=True, slots=True)
class _Needs:
    """Widths (mm) of one column with side room: all on one line; broken as far as it wraps; its head broken too; every word
    on a line of its own."""

    natural: float
    unbroken: float
    broken_head: float
    broken: float


def _needs(column: Column, cells: Sequence[str], sizes: Sizes) -> _Needs:
    size, head = sizes

    def widest(texts: Iterable[str], high: float, bold: bool = False, stacked: bool = False) -> float:
        return max((note_line_width(text, high, bold, stacked) for text in texts), default=0.0) + 2 * SIDE

    title, least = widest([column.head], head, True), column.least + 2 * SIDE
    title_word = widest(column.head.split(), head, True)
    line, word = widest(cells, size, stacked=column.stacked), widest((word for cell in cells for word in words_of(cell)), size, stacked=column.stacked)
    natural = max(title, least, line)
    return _Needs(natural, max(title, word) if column.wrap else natural, max(title_word, word if column.wrap else line, least), max(title_word, word))


def _give(widths: list[float], floors: Sequence[float], room: float) -> None:
    """Make columns narrower, the widest first, down to their floors, until they fit into the room or none can give way."""
    over = sum(widths) - room
    while over > 1e-6:
        giving = [i for i, width in enumerate(widths) if width > floors[i] + 1e-6]
        if not giving:
            return
        top = max(widths[i] for i in giving)
        widest = [i for i in giving if widths[i] > top - 1e-6]
        below = [widths[i] for i in giving if widths[i] <= top - 1e-6]
        step = min([over / len(widest), *(top - w for w in below), *(widths[i] - floors[i] for i in widest)])
        for i in widest:
            widths[i] -= step
        over = sum(widths) - room


class Table:
    """A table set to a width: knows its heights and draws any run of its rows. above: clear room over and under the lettering
    of a cell; widths: those of the columns (mm), where they are given."""

    def __init__(
        self, columns: Sequence[Column], rows: Sequence[Row], style: Style, room: float, id: str = "", fill: bool = True, above: float = ABOVE,
        widths: Sequence[float] | None = None,
    ) -> None:  # fmt: skip
        for row in rows:
            if len(row.cells) != len(columns):
                raise ValueError(f"a row of {len(row.cells)} cells in a table of {len(columns)} columns")
        self.columns, self.rows, self.style, self.id, self.above = tuple(columns), tuple(rows), style, id, max(above, LEAST + sum(reach(style.height("body"))) / 2)
        lower = 0.0
        self.widths = column_widths(columns, rows, style, room, fill) if widths is None else tuple(widths)
        while widths is None and sum(self.widths) > room + 0.01 and sizes_of(style, lower) != sizes_of(style, lower + SMALLER):
            lower += SMALLER
            self.widths = column_widths(columns, rows, style, room, fill, lower)
        self.size, self.head = sizes_of(style, lower)
        self.heads = [wrap(c.head, self.head, w - 2 * SIDE + 1e-6, True) or ("",) for c, w in zip(self.columns, self.widths, strict=True)]
        self.lines = [self._lines(row) for row in rows]
        self.heights = [self._height(lines) for lines in self.lines]
        most = max(len(lines) for lines in self.heads)
        self.head_height = self.head * (1 + PITCH * (most - 1)) + 2 * ABOVE + 0.6

    @property
    def width(self) -> float:
        """Width over all."""
        return sum(self.widths)

    @property
    def height(self) -> float:
        """Height of the head with all rows."""
        return self.head_height + sum(self.heights)

    def _lines(self, row: Row) -> tuple[tuple[str, ...], ...]:
        return tuple(
            (wrap(cell, self.size, width - 2 * SIDE + 1e-6, stacked=column.stacked) if column.wrap or self._wide(cell, column) > width else (cell,)) or ("",)
            for cell, column, width in zip(row.cells, self.columns, self.widths, strict=True)
        )

    def _wide(self, cell: str, column: Column) -> float:
        return note_line_width(cell, self.size, stacked=column.stacked) + 2 * SIDE - 1e-6

    def _height(self, lines: tuple[tuple[str, ...], ...]) -> float:
        most = max(len(cell) for cell in lines)
        body = self.size * (1 + PITCH * (most - 1))
        if self._fractions(lines):
            body = max(body, fraction_height(self.size) + 2 * FRACTION_ROOM - 2 * self.above)
        # some letters, as the raised 2 of m², reach higher than everyday ones
        return body + max(2 * self.above, sum(self._reach(lines)) + 2 * LEAST)

    def _reach(self, lines: tuple[tuple[str, ...], ...]) -> tuple[float, float]:
        return reach(self.size, "".join(line for cell in lines for line in cell))

    def _fractions(self, lines: tuple[tuple[str, ...], ...]) -> bool:
        return any(c.stacked and "/" in cell[0] for c, cell in zip(self.columns, lines, strict=True))

    def _lift(self, lines: tuple[tuple[str, ...], ...], height: float) -> float:
        """How much (mm) over the middle of the row capitals stand, so that letters that hang keep clear of its line; less where
        a fraction would come near the line over it."""
        over, under = reach(self.size)
        room = (height - fraction_height(self.size)) / 2 - FRACTION_ROOM if self._fractions(lines) else under
        tallest = self._reach(lines)[0]
        block = self.size * (1 + PITCH * (max(len(cell) for cell in lines) - 1))
        return max(0.0, min((under - over) / 2, room, (height - block) / 2 - tallest - LEAST))

    def fitting(self, start: int, room: float) -> int:
        """How many rows from `start` go into a height (mm) under the head; at least one, so nothing is lost."""
        left, count = room - self.head_height, 0
        for height in self.heights[start:]:
            if height > left + 1e-6:
                break
            left -= height
            count += 1
        return max(count, 1) if start < len(self.rows) else 0

    def run_height(self, start: int, count: int) -> float:
        """Height (mm) of the head with these rows."""
        return self.head_height + sum(self.heights[start : start + count])

    def draw(self, left: float, top: float, start: int = 0, count: int | None = None) -> Group:
        """The head and rows from `start`, upper left corner at left, top."""
        count = len(self.rows) - start if count is None else count
        bottom = top + self.run_height(start, count)
        right = left + self.width
        items: list[Item] = []
        y = top + self.head_height
        for (x, width, column), words in zip(self._cells(left), self.heads, strict=True):
            for number, line in enumerate(words):
                at = (_anchor(x, width, column.align), top + ABOVE + 0.3 + self.head * (1 + PITCH * number))
                items += note_line_items(line, at, self.head, "head", column.align, bold=True)
        items.append(Line(THICK, ((left, top), (right, top))))
        items.append(Line(THICK, ((left, y), (right, y))))
        for index in range(start, start + count):
            row, height = self.rows[index], self.heights[index]
            items.append(Group("row", tuple(self._row(self.lines[index], left, y, height)), "", row.attrs))
            y += height
            if index + 1 < start + count:
                items.append(Line(THIN, ((left, y), (right, y))))
        items.append(Line(THICK, ((left, bottom), (right, bottom))))
        x = left
        for width in self.widths[:-1]:
            x += width
            items.append(Line(THIN, ((x, top), (x, bottom))))
        items += [Line(THIN, ((edge, top), (edge, bottom))) for edge in (left, right)]
        return Group("table", tuple(items), self.id if start == 0 else f"{self.id}-from-{start + 1}" if self.id else "")

    def _cells(self, left: float) -> list[tuple[float, float, Column]]:
        rows, x = [], left
        for column, width in zip(self.columns, self.widths, strict=True):
            rows.append((x, width, column))
            x += width
        return rows

    def _row(self, lines: tuple[tuple[str, ...], ...], left: float, top: float, height: float) -> list[Item]:
        items: list[Item] = []
        lift = self._lift(lines, height)
        for (x, width, column), cell in zip(self._cells(left), lines, strict=True):
            block = self.size * (1 + PITCH * (len(cell) - 1))
            base = top + (height - block) / 2 + self.size - lift
            for number, line in enumerate(cell):
                at = (_anchor(x, width, column.align), base + number * PITCH * self.size)
                if line:
                    items += note_line_items(line, at, self.size, "body", column.align, stacked=column.stacked)
        return items


def _anchor(x: float, width: float, align: str) -> float:
    return {"start": x + SIDE, "middle": x + width / 2, "end": x + width - SIDE}[align]


def table_pages(
    columns: Sequence[Column], rows: Sequence[Row], style: Style, space: Extent, id: str = "", heading: float = 0.0, above: float = ABOVE
) -> tuple[Group, ...]:
    """The table over as many pages as it needs, at the top of the space; `heading` mm stay free over each."""
    x0, y0, x1, y1 = space
    table = Table(columns, rows, style, x1 - x0, id, above=above)
    pages: list[Group] = []
    start = 0
    while start < len(table.rows) or not pages:
        count = table.fitting(start, y1 - y0 - heading)
        pages.append(table.draw(x0, y0 + heading, start, count))
        start += count
    return tuple(pages)


def lowest_table(columns: Sequence[Column], rows: Sequence[Row], style: Style, room: float, id: str, above: float) -> Table:
    """The table whose columns that wrap share the room so that it becomes lowest, found by steps of SHIFT from one to another; no
    word is broken."""
    best = Table(columns, rows, style, room, id, above=above)
    if (best.size, best.head) != sizes_of(style):  # lower letters already: the columns are at their least
        return best
    soft = [index for index, column in enumerate(columns) if column.wrap]
    least = [_needs(column, [row.cells[index] for row in rows], sizes_of(style)).unbroken for index, column in enumerate(columns)]

    def rank(table: Table) -> tuple[float, int]:
        return table.height, sum(len(cell) ** 2 for row in table.lines for cell in row)  # then fewer lines in the highest cells

    moved = True
    while moved:
        moved = False
        for steps in (1, 2, 4, 8):
            for source in soft:
                for target in soft:
                    widths = list(best.widths)
                    widths[source] -= SHIFT * steps
                    widths[target] += SHIFT * steps
                    if source == target or widths[source] < least[source] - 1e-6:
                        continue
                    trial = Table(columns, rows, style, room, id, above=above, widths=widths)
                    if rank(trial) < rank(best):
                        best, moved = trial, True
    return best
