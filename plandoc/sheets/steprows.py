"""Strips of words in a step: labelled lines, checks with a box to tick, cautions with their triangle. Paper mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from plandoc.drawing.display import Fill, Item, Line, Text
from plandoc.drawing.lettering import note_line_items, text_width, wrap

PITCH = 1.6  # line pitch over cap height
INDENT = 4.0  # mm that the text of a step stands in from its labels
LABEL_GAP = 2.0  # mm behind a label
TRIANGLE = 4.0  # mm, height of the warning triangle


@dataclass(frozen=True, slots=True)
class Row:
    """A strip of a column: its height, and its items with the strip's upper left corner at the origin (mm)."""

    height: float
    items: tuple[Item, ...]


def total(rows: Sequence[Row]) -> float:
    """Height of the rows (mm)."""
    return sum(row.height for row in rows)


def labelled(label: str, text: str, wide: float, size: float, gap: float = 0.0, box: bool = False) -> list[Row]:
    """A bold word and text behind it; further lines, and text without a word, stand in by INDENT. gap: clear room over the
    first line. box: an empty box to tick stands before the text."""
    rows = []
    pitch = PITCH * size
    head = text_width(label, size, True) + LABEL_GAP if label else INDENT
    begin = head + (1.6 * size if box else 0.0)
    hang = INDENT + (1.6 * size if box and not label else 0.0)
    for number, line in enumerate(_hung(text, size, wide, begin, hang)):
        extra = gap if number == 0 else 0.0
        base = extra + pitch - 0.35 * size
        items: list[Item] = list(note_line_items(line, (hang if number else begin, base), size, "body"))
        if number == 0 and box:
            items.insert(0, _square((head, base), size))
        if number == 0 and label:
            items.insert(0, Text("body", (0.0, base), label, size, bold=True))
        rows.append(Row(pitch + extra, tuple(items)))
    return rows


def _hung(text: str, size: float, wide: float, begin: float, hang: float) -> list[str]:
    """The lines of a text whose first line begins at `begin` and whose others at `hang` mm."""
    paragraph, _, later = text.partition("\n")
    first = next(iter(wrap(paragraph, size, wide - begin)), "")
    rest = paragraph[len(first) :].strip()
    return [first, *wrap("\n".join(part for part in (rest, later) if part), size, wide - hang)]


def boxed(label: str, text: str, wide: float, size: float) -> list[Row]:
    """A check: an empty box to tick, then the text."""
    return labelled(label, text, wide, size, 0.6, True)


def _square(corner: tuple[float, float], size: float) -> Line:
    x, y = corner
    return Line("dim", ((x, y), (x + size, y), (x + size, y - size), (x, y - size)), True)


def caution(text: str, wide: float, size: float) -> list[Row]:
    """A warning triangle and the text of the caution."""
    rows: list[Row] = []
    pitch = PITCH * size
    indent = TRIANGLE * 1.2 + 2.0
    lines = wrap(text, size, wide - indent)
    for number, line in enumerate(lines):
        extra = 0.8 if number == 0 else 0.0
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
