"""Labels: one for every piece, to be cut out and taped to the blank. A document of its own."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.drawing.display import XY, Extent, Group, Item, Line, Text
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import fitted, note_line_items, printable, text_width, wrap
from plandoc.drawing.linework import arrowhead, reference_mark
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Face
from plandoc.model.entities import Model, Part
from plandoc.model.rods import is_rod
from plandoc.quantity import dual_text, shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.truesize import SAFE
from plandoc.shopwork.names import edge_words, joined_names, mark_of

FILE = "labels"
LEAST = (84.0, 46.0)  # width and height of a label
PAD = 3.0
MARK = 12.0  # cap height of the mark: read from two metres (0.006 of the distance, NUREG-0700 rev. 3, 11.4.1.5-1)
NAME = 4.5
TEXT = 3.6  # read at arm's length, 600 mm (same source)
GRAIN = 11.0


@dataclass(frozen=True, slots=True)
class _Entry:
    """One label. number, count: which of the pieces with that path it is."""

    part: Part
    number: int
    count: int


def wanted(ctx: SheetContext) -> bool:
    """Whether there are parts."""
    return bool(ctx.model.parts)


def entries(model: Model) -> tuple[_Entry, ...]:
    """A label for each piece, by mark, then in the order of the plan."""
    order = {mark: n for n, mark in enumerate(dict.fromkeys(mark_of(p) for p in model.parts))}
    parts = sorted(model.parts, key=lambda p: order[mark_of(p)])
    return tuple(_Entry(p, n, p.count) for p in parts for n in range(1, p.count + 1))


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Pages full of labels, alike in size, with cutting lines between."""
    wide, high = ctx.paper[0] - 2 * SAFE, ctx.paper[1] - 2 * SAFE
    columns, rows = max(1, int(wide / LEAST[0])), max(1, int(high / LEAST[1]))
    cell = (wide / columns, high / rows)
    every = entries(ctx.model)
    drafts: list[Draft] = []
    for first in range(0, len(every), columns * rows):
        page = every[first : first + columns * rows]
        items: list[Item] = [_cuts(len(page), columns, cell)]
        for place, entry in enumerate(page):
            row, column = divmod(place, columns)
            corner = (SAFE + column * cell[0], SAFE + row * cell[1])
            items.append(label(ctx, entry.part, (corner[0], corner[1], corner[0] + cell[0], corner[1] + cell[1]), entry.number, entry.count))
        drafts.append(Draft("label", f"L.{len(drafts) + 1}", "Labels", tuple(items), bare=True))
    return tuple(drafts)


def _cuts(count: int, columns: int, cell: XY) -> Group:
    """Cutting lines round every label, each line once."""
    lines: list[Item] = []
    rows = -(-count // columns)
    across = min(count, columns)
    last = count - (rows - 1) * columns
    for row in range(rows + 1):
        reach = across if row < rows else last
        y = SAFE + row * cell[1]
        lines.append(Line("tb", ((SAFE, y), (SAFE + reach * cell[0], y))))
    for column in range(across + 1):
        deep = rows if column <= last else rows - 1
        x = SAFE + column * cell[0]
        lines.append(Line("tb", ((x, SAFE), (x, SAFE + deep * cell[1]))))
    return Group("cutlines", tuple(lines))


def label(ctx: SheetContext, part: Part, box: Extent, number: int, count: int) -> Group:
    """One label: mark, name, finished size, grain arrow, reference edges, where the piece goes."""
    x0, y0, x1, y1 = box[0] + PAD, box[1] + PAD, box[2] - PAD, box[3] - PAD
    style, units = ctx.style, ctx.model.info.units
    mark = mark_of(part)
    items: list[Item] = []
    high = MARK
    while text_width(mark, high, True) > 0.45 * (x1 - x0) and high > NAME:
        high -= 0.5
    mark_text = printable(mark)
    items.append(Text("label", (x0, y0 + MARK), fitted(mark_text, high, 0.45 * (x1 - x0), NAME, bold=True)[0], high, bold=True))
    left = x0 + text_width(mark_text, high, True) + 4.0
    name = part.name + (f", {number} of {count}" if count > 1 else "")
    lines = wrap(printable(name), NAME, x1 - left, bold=True)[:2]
    for row, line in enumerate(lines):
        text, size = fitted(line, NAME, x1 - left, style.minimum_height, bold=True)
        items.append(Text("label", (left, y0 + NAME + row * 6.6), text, size, bold=True))
    three = ((part.length, units), (part.width, units), (part.thickness, units.fine))
    sizes = " × ".join(dual_text(s, fine) for s, fine in three)
    if is_rod(part):
        sizes = f"Ø{dual_text(part.thickness, units.fine)} × {dual_text(part.length, units)}"
    if text_width(printable(sizes), style.minimum_height, True) > x1 - x0:
        sizes = " × ".join(shop_text(s, fine) for s, fine in three)  # no room for a second unit
    y = y0 + MARK + 7.2
    items += note_line_items(sizes, (x0, y), _fit(sizes, TEXT + 0.6, x1 - x0, style), "note", bold=True)
    y += 3.2
    items += _grain((x0, y + 2.4), style)
    items += _reference(part, (x0 + GRAIN + 2.0 + text_width("GRAIN", 3.0) + 3.5, y + 2.4), x1, style)
    y += 5.4
    for line in _where(ctx.model, part, ctx.sheet_of(mark), x1 - x0, int((y1 - y) / 5.2)):
        y += 5.2
        items.append(Text("note", (x0, y), line, min(TEXT, _fit(line, TEXT, x1 - x0, style))))
    return Group("partlabel", tuple(items), attrs=(("part", part.path), ("mark", mark), ("number", str(number)), ("count", str(count))))


def _fit(text: str, size: float, room: float, style: Style) -> float:
    return fitted(printable(text), size, room, style.minimum_height, bold=True)[1]


def _grain(at: XY, style: Style) -> list[Item]:
    """The grain runs along the first of the three sizes."""
    (x, y), neck = at, style.arrow_length / 2
    line = Line("dim", ((x + neck, y), (x + GRAIN - neck, y)))
    return [line, arrowhead((x, y), (-1.0, 0.0), style), arrowhead((x + GRAIN, y), (1.0, 0.0), style), Text("note", (x + GRAIN + 2.0, y + 1.5), "GRAIN", 3.0)]


def _reference(part: Part, at: XY, right: float, style: Style) -> list[Item]:
    """The signs for reference face and edge, as on the part drawings, with what they stand on."""
    if part.loose or is_rod(part):
        return []
    (x, y), items = at, list[Item]()
    axes = ((part.thickness_axis, "face", 3.0), (part.width_axis, "edge", 6.0))
    names = [edge_words(part, Face(axis, part.datum[axis])) for axis, _, _ in axes]
    room = right - x - sum(wide + 1.5 for _, _, wide in axes) - 3.0
    size = 3.2
    while size > style.minimum_height and sum(text_width(n, size) for n in names) > room:
        size -= 0.05
    for (_, kind, wide), name in zip(axes, names, strict=True):
        items += reference_mark((x + wide / 2, y - 1.1), (0.0, 1.0), style, kind)
        items.append(Text("note", (x + wide + 1.2, y + 1.5), name, max(size, style.minimum_height)))
        x += wide + 1.2 + text_width(name, size) + 3.0
    return items


def _where(model: Model, part: Part, sheet: str, room: float, most: int) -> tuple[str, ...]:
    """Where the piece goes: its assembly, what it joins, the sheet of its drawing; as many lines as there is room for."""
    found: list[str] = []
    home = next((a.name for a in model.assemblies if a.path == part.assembly and part.assembly), "")
    own = part.stock.description or part.stock.name
    head = ", ".join(w for w in (home, f"sheet {sheet}" if sheet else "", own) if w)
    found += wrap(printable(head), TEXT, room)[:2]
    mates = _mates(model, part)
    if mates:
        lines = wrap(printable(f"Joins {mates}"), TEXT, room)
        if len(lines) > most - len(found):
            # names would be cut off: the marks alone
            lines = wrap(printable(f"Joins {_mates(model, part, names=False)}"), TEXT, room)
        found += lines
    return tuple(found[:most])


def _mates(model: Model, part: Part, names: bool = True) -> str:
    """The names and marks, or the marks alone, of the parts that it is joined to."""
    paths = dict.fromkeys(j.b if j.a == part.path else j.a for j in model.joints if part.path in (j.a, j.b))
    mates = [model.part(p) for p in paths]
    marks: dict[str, list[str]] = {}
    for mate in mates:
        marks.setdefault(mark_of(mate), []).append(mate.name)
    return ", ".join(f"{joined_names(called)} {mark}" if names else mark for mark, called in marks.items())


KIND = SheetKind("label", 310, compose, wanted, refers=True, file=FILE, pages="to cut out")
