"""Words, samples and small tables that run down columns and on to further sheets. Paper mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from plandoc.drawing.display import Extent, Group, Item, Line
from plandoc.drawing.lettering import note_line_extent, note_line_items, wrap
from plandoc.drawing.style import Style
from plandoc.sheets.tables import Column, Row, Table

PITCH = 1.5  # line pitch over cap height
COLUMN_GAP = 8.0
LEAST_COLUMN = 30.0  # of the body's height, with its gap: some forty letters
GAPS = (1.0, 0.85, 0.7, 0.55, 0.4)  # of the clear room between pieces
LEAST_GAP = 0.85  # mm; smaller gaps do not close
TEXT_ROOM = 0.7  # mm between letters that hang and tall ones of the next piece (common practice)
FOOT = 0.4  # of the height of letters, below the base line of a paragraph
SAMPLE_GAP = 3.0  # mm between a sample and its meaning
HANG = 38 / 28  # of the height of letters, that the words of a listed line stand in
Draw = Callable[[float, float], Sequence[Item]]


@dataclass(frozen=True, slots=True)
class Piece:
    """Something that stays together. above: clear room before it, dropped at the top of a column. draw: its items with
    the upper left corner at x, y. keep: it must not be the last thing in a column. over, under: how far (mm) its letters reach out of its height, negative
    where they end before."""

    height: float
    above: float
    draw: Draw
    keep: bool = False
    over: float = -TEXT_ROOM
    under: float = -TEXT_ROOM


class Flow:
    """Gathers pieces for columns of one width, then sets them out on as many pages as they need."""

    def __init__(self, space: Extent, style: Style, columns: int) -> None:
        self.space, self.style, self.columns = space, style, columns
        self.width = (space[2] - space[0] - COLUMN_GAP * (columns - 1)) / columns
        self.pieces: list[Piece] = []

    def heading(self, text: str) -> None:
        """A heading line, kept with what follows."""
        size = self.style.height("note") * 1.15
        self._lines(wrap(text.upper(), size, self.width, True), size, "head", 0.0, 1.8 * size, True, True)

    def section(self, text: str) -> None:
        """The title of what follows where it goes on on the sheet of something else, over a rule."""
        size = self.style.height("title") * 0.8

        def draw(x: float, y: float) -> list[Item]:
            rule = Line("tb", ((x, y + 1.6 * size), (x + self.width, y + 1.6 * size)))
            return [Group("section", (*note_line_items(text, (x, y + size), size, "head", bold=True), rule))]

        self.pieces.append(Piece(2.0 * size, 2.0 * size, draw, True))

    def words(self, text: str, mark: str = "", above: float = 1.0, bold: bool = False) -> None:
        """A paragraph; with a mark (a dash, a number) its lines hang behind that."""
        size = self.style.height("body")
        indent = HANG * size if mark else 0.0
        lines = wrap(text, size, self.width - indent, bold)
        self._lines(lines, size, "body", indent, above, False, bold, mark)

    def _lines(
        self, lines: Sequence[str], size: float, role: str, indent: float, above: float, keep: bool, bold: bool, mark: str = ""
    ) -> None:
        def draw(x: float, y: float) -> list[Item]:
            items: list[Item] = []
            if mark:
                items += note_line_items(mark, (x, y + size), size, role)
            for number, line in enumerate(lines):
                items += note_line_items(line, (x + indent, y + size * (1 + PITCH * number)), size, role, bold=bold)
            return [Group("paragraph", tuple(items))]

        if lines:
            high = -note_line_extent(lines[0], (0.0, 0.0), size, bold=bold)[1] - size
            low = note_line_extent(lines[-1], (0.0, 0.0), size, bold=bold)[3] - FOOT * size
            self.pieces.append(Piece(size * (1 + PITCH * (len(lines) - 1)) + FOOT * size, above, draw, keep, high, low))

    def sample(self, sample: Draw, wide: float, high: float, text: str) -> None:
        """A drawn sample (wide x high mm) with its meaning at the right, half-way up."""
        size = self.style.height("body")
        lines = wrap(text, size, self.width - wide - SAMPLE_GAP)
        block = size * (1 + PITCH * (len(lines) - 1))
        height = max(high, block) + 12 / 28 * size  # letters that hang keep clear of tall ones below

        def draw(x: float, y: float) -> list[Item]:
            items = list(sample(x, y + (height - high) / 2))
            top = y + (height - block) / 2
            for number, line in enumerate(lines):
                items += note_line_items(line, (x + wide + SAMPLE_GAP, top + size * (1 + PITCH * number)), size, "body")
            return [Group("legend", tuple(items))]

        margin = (height - block) / 2
        over = -note_line_extent(lines[0], (0.0, 0.0), size)[1] - size - margin if lines else -TEXT_ROOM
        under = note_line_extent(lines[-1], (0.0, 0.0), size)[3] - margin if lines else -TEXT_ROOM
        self.pieces.append(Piece(height, 1.2, draw, False, over, under))

    def table(self, columns: Sequence[Column], rows: Sequence[Row], id: str) -> None:
        """A table in the width of a column."""
        table = Table(columns, rows, self.style, self.width, id)
        self.pieces.append(Piece(table.height, 2.0, lambda x, y: [table.draw(x, y)]))

    def pages(self) -> tuple[tuple[Item, ...], ...]:
        """The items of each sheet. Gaps close a little where that saves a sheet, and all columns are filled alike."""
        least = min(len(self._set(factor, 1.0)) for factor in GAPS)
        gap = next(factor for factor in GAPS if len(self._set(factor, 1.0)) == least)
        fill = 1.0
        for share in range(95, 30, -5):
            if len(self._set(gap, share / 100)) > least:
                break
            fill = share / 100
        return tuple(tuple(page) for page in self._set(gap, fill))

    def _set(self, gap: float, fill: float) -> list[list[Item]]:
        """Pages with gaps times `gap` and columns that reach down to `fill` of the height."""
        x0, y0, _, bottom = self.space
        y1 = y0 + (bottom - y0) * fill
        pages: list[list[Item]] = [[]]
        column, y = 0, y0
        for index, piece in enumerate(self.pieces):
            above = self._above(index, gap) if y > y0 else 0.0
            need = above + piece.height
            follower = index + 1
            while piece.keep and follower < len(self.pieces):
                after = self.pieces[follower]
                need += self._above(follower, gap) + after.height
                if not after.keep:
                    break
                follower += 1
            if y + need > y1 + 1e-6 and y > y0:
                column, y, above = column + 1, y0, 0.0
                if column == self.columns:
                    pages.append([])
                    column = 0
            pages[-1] += piece.draw(x0 + column * (self.width + COLUMN_GAP), y + above)
            y += above + piece.height
        return pages

    def _above(self, index: int, gap: float) -> float:
        """The room (mm) over a piece that is not the first of its column."""
        piece, before = self.pieces[index], self.pieces[index - 1]
        return max(min(piece.above, LEAST_GAP), piece.above * gap, before.under + TEXT_ROOM + piece.over)


def column_count(space: Extent, style: Style) -> int:
    """As many columns as hold some forty letters: in the usual height three on a wide sheet, two on an upright one."""
    wide = space[2] - space[0]
    return max(1, int((wide + COLUMN_GAP) / (LEAST_COLUMN * style.height("body"))))
