"""Single-stroke letters: where the tool runs, in units of the height of the capitals, y upwards from the base line."""

from __future__ import annotations

import math
from functools import cache

from plandoc.tables.files import toml_table

UNIT = 12.0  # of the data file in the height of the capitals
CHORD = 15.0  # degrees of an arc that become one straight piece
XY = tuple[float, float]


@cache
def stroke_letter(letter: str) -> tuple[float, tuple[tuple[XY, ...], ...]] | None:
    """Width and strokes of one letter; None for one that the table does not have. A blank has no strokes."""
    table = toml_table("strokes")
    if letter == " ":
        return float(table["space"]) / UNIT, ()
    row = table["letters"].get(letter)
    if row is None:
        return None
    return float(row[0]) / UNIT, tuple(_stroke(text) for text in row[1:])


def stroke_text(text: str) -> tuple[float, tuple[tuple[XY, ...], ...]]:
    """Length of the base line and all strokes of a text; letters that the table does not have are left out."""
    gap = float(toml_table("strokes")["gap"]) / UNIT
    x, strokes = 0.0, []
    for number, letter in enumerate(text):
        found = stroke_letter(letter)
        if found is None:
            continue
        wide, own = found
        x += gap if number else 0.0
        strokes += [tuple((x + px, py) for px, py in stroke) for stroke in own]
        x += wide
    return x, tuple(strokes)


def lacking(text: str) -> tuple[str, ...]:
    """The letters of a text that the table does not have, each once."""
    return tuple(dict.fromkeys(letter for letter in text if stroke_letter(letter) is None))


def _stroke(text: str) -> tuple[XY, ...]:
    points: list[XY] = []
    for word in text.split():
        numbers = [float(n) for n in word.lstrip("@").split(",")]
        if word.startswith("@"):
            x, y, rx, ry, start, end = numbers
            count = max(2, math.ceil(abs(end - start) / CHORD))
            angles = [math.radians(start + (end - start) * i / count) for i in range(count + 1)]
            points += [(x + rx * math.cos(a), y + ry * math.sin(a)) for a in angles]
        else:
            points.append((numbers[0], numbers[1]))
    return tuple((x / UNIT, y / UNIT) for x, y in points)
