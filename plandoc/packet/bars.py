"""Graphic bar scales: one for every scale on the sheet, so that a print can be checked with a rule."""

from __future__ import annotations

from fractions import Fraction

from plandoc.drawing.display import Extent, Fill, Group, Item, Line, Text
from plandoc.drawing.lettering import fitted, text_width
from plandoc.drawing.scales import ratio
from plandoc.drawing.style import Style
from plandoc.quantity import Units, shop_text

LONGEST = 45.0
BAR_HEIGHT = 1.4
GAP = 2.0
NOTE = "CHECK THE BARS BEFORE USE"

# Round model lengths (in the plan's unit) and into how many parts their bar is divided.
ROUND: dict[str, tuple[tuple[Fraction, int], ...]] = {
    "inch": tuple(
        (Fraction(*length), parts)
        for length, parts in (
            ((1, 4), 4), ((1, 2), 4), ((1,), 4), ((2,), 4), ((3,), 3), ((4,), 4), ((6,), 3), ((12,), 4), ((24,), 4),
            ((36,), 3), ((48,), 4), ((72,), 3), ((96,), 4),
        )
    ),
    "mm": tuple(
        (Fraction(length), 4 if str(length)[0] == "2" else 5)
        for length in (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
    ),
}  # fmt: skip


def bar_length(scale: Fraction, units: Units, longest: float) -> tuple[Fraction, int]:
    """The model length (mm) of a bar that is at most `longest` mm on paper, and its number of parts."""
    choices = [(length * units.unit_mm, parts) for length, parts in ROUND[units.system]]
    fitting = [choice for choice in choices if choice[0] * scale <= longest]
    return fitting[-1] if fitting else choices[0]


def bar_scales(scales: tuple[Fraction, ...], area: Extent, units: Units, style: Style) -> tuple[Item, ...]:
    """The bars inside an area, smallest scale uppermost, with the note to check them."""
    if not scales:
        return ()
    size = style.height("tbtxt")
    ordered = sorted(set(scales))
    band = area[3] - area[1] < 5 * size
    top = area[1] + (0.0 if band else 2 * size)
    most = int((area[3] - top) / (2.1 * size))
    rows = min(len(ordered), 1 if band and len(ordered) <= 3 else most)
    columns = -(-len(ordered) // rows)
    note_room = text_width(NOTE, size) + 3 * GAP if band else 0.0
    left, right = area[0] + GAP + note_room, area[2] - GAP
    wide = (right - left) / columns
    names = max(text_width(ratio(scale), size) for scale in ordered)
    step = (area[3] - top) / (rows if band else max(rows, 3))
    longest = min(LONGEST, wide - names - 4 * GAP - text_width("000 mm", size))
    items: list[Item] = [_note(area, band, size, style)]
    for number, scale in enumerate(ordered):
        column, row = divmod(number, rows)
        x, y = left + column * wide, top + (row + 0.5) * step
        items.append(_bar(scale, (x, y), names, longest, units, size))
    return (Group("barscales", tuple(items), id="barscales"),)


def _note(area: Extent, band: bool, size: float, style: Style) -> Text:
    y = (area[1] + area[3] + size) / 2 if band else area[1] + 1.2 * size + 0.5
    text, high = fitted(NOTE, size, area[2] - area[0] - 2 * GAP, style.minimum_height)
    return Text("tbtxt", (area[0] + GAP, y), text, high)


def _bar(
    scale: Fraction, at: tuple[float, float], names: float, longest: float, units: Units, size: float
) -> Group:
    x, y = at
    model, parts = bar_length(scale, units, longest)
    paper = float(model * scale)
    start, half = x + names + GAP, BAR_HEIGHT / 2
    piece = paper / parts
    items: list[Item] = [
        Text("tbtxt", (x, y + size / 2), ratio(scale), size),
        Line("tb", ((start, y - half), (start + paper, y - half), (start + paper, y + half), (start, y + half)), True),
    ]
    items += [
        Fill("ink", (_rectangle(start + i * piece, y - half, piece, BAR_HEIGHT),)) for i in range(0, parts, 2)
    ]
    label = shop_text(model, units, mark=True)
    items.append(Text("tbtxt", (start + paper + GAP, y + size / 2), label, size))
    attrs = (("scale", ratio(scale)), ("mm", f"{paper:.3f}"), ("model-mm", f"{float(model):.3f}"), ("label", label))
    return Group("barscale", tuple(items), attrs=attrs)


def _rectangle(x: float, y: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
