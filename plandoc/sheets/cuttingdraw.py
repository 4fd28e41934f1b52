"""One cutting layout to scale: every piece named, every cut numbered, scrap in grey, zones that are not used hatched, the grain on
the sheet. Paper mm.

The trimmed sheet is drawn. A cut's number stands on the piece that comes off, at its line. What finds no clear room gets
smaller lettering, else a leader.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.cutting.stock import Cut, Node, Placed, Rest, SheetLayout, walk
from plandoc.drawing.boxes import item_extent, overlap, united
from plandoc.drawing.dimension_request import NoteRequest
from plandoc.drawing.display import XY, Extent, Fill, Group, Item, Line, shifted
from plandoc.drawing.hatch import hatch
from plandoc.drawing.leaders import place_notes
from plandoc.drawing.lettering import note_line_extent, note_line_items, note_line_width
from plandoc.drawing.style import Style
from plandoc.quantity import Units, shop_text

CLEAR = 0.6
"""Clear room (mm) between lettering and lines."""
APART = 1.0
BESIDE = 1.4
"""Clear room (mm) between two words, over and beside each other: a number is not read as part of a size."""
DOT_ROOMS = (1.4, 0.9, 0.4)
"""Half of the room (mm) that the end of a leader keeps off lettering, where there is so much."""
LEADERS = (9.0, 12.0, 16.0, 7.0, 20.0, 5.0, 24.0)
"""Rooms (mm) round the drawing that are tried where something needs a leader."""
SHIFTS = sorted(((x / 4, y / 4) for x in range(-4, 5) for y in range(-4, 5)), key=lambda s: (abs(s[0]) + abs(s[1]), s))
"""Ways off the middle of a piece, in shares of the room there, the shortest first."""
STEPS = tuple(n / 40 for n in (*range(1, 40, 2), *range(2, 40, 2)))
ROW_GAP = 1.5
"""Room (mm) between rows of words in one piece, from a base line to the capitals under it."""
GAP = "\u2003"
"""Between a mark and the size behind it."""
SEEN = 0.4
"""Least room (mm) between the line of a cut that leaves nothing and the edge: nearer, the edge stands for it."""
ZONE_SPACING = 1.0
"""Room (mm) between the lines over a zone that is not used: closer than of any cut surface, since zones are small."""
ARROWS = (22.0, 12.0)
"""Lengths (mm) of the grain arrow that are tried on the sheet."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished drawing. extent: all that it covers. led: how many pieces and cuts have a leader. sized: how many parts have
    their size beside the mark. crowded: what found no clear place at all. bare: pieces with their mark, and no room for
    their size."""

    items: tuple[Item, ...]
    extent: Extent
    led: int
    sized: int
    crowded: tuple[str, ...]
    bare: tuple[Node, ...] = ()


def measure(length: Fraction, units: Units) -> str:
    """`20 1/8"`; millimetres without their mark, the title block names them."""
    return shop_text(length, units, mark=units.system == "inch")


def size_words(node: Node, units: Units) -> str:
    """`20 1/8" × 18 1/4"`: length × width of a piece as it lies."""
    return " × ".join(measure(x, units) for x in (node.length, node.width))


def draw_layout(layout: SheetLayout, area: Extent, style: Style, units: Units, grain: bool, trial: bool = False, stretch: float = 1.0) -> Drawn:
    """The layout in the upper left corner of the area, as large as it will go. trial: leaders are counted, not drawn. stretch:
    how much larger widths are drawn than lengths."""
    drawn = _Drawing(layout, area, style, units, stretch).draw(grain)
    if trial or (not drawn.led and drawn.extent[3] <= area[3] + 1e-6):
        return drawn
    below = 0.0 if not grain else 6.0
    tried = []
    for room in LEADERS if drawn.led else (0.0,):
        inner = (area[0] + room, area[1] + min(room, (area[3] - area[1]) / 4), area[2] - room, area[3] - max(min(room, (area[3] - area[1]) / 4), below))
        tried.append(_Drawing(layout, inner, style, units, stretch).draw(grain, area))
        if not tried[-1].crowded:
            break
    return min(tried, key=lambda one: len(one.crowded))


class _Drawing:
    def __init__(self, layout: SheetLayout, area: Extent, style: Style, units: Units, stretch: float = 1.0) -> None:
        self.style, self.units, self.layout = style, units, layout
        tree = layout.tree
        self.scale = min((area[2] - area[0]) / float(tree.length), (area[3] - area[1]) / (stretch * float(tree.width)))
        self.rise = self.scale * stretch
        self.left, self.bottom = area[0], area[1] + float(tree.width) * self.rise
        self.origin = tree.x, tree.y
        self.frame = self.box(tree)
        x0, y0, x1, y1 = self.frame
        self.lines = [Line("vis", ((x0, y1), (x1, y1), (x1, y0), (x0, y0)), True)]
        self.strokes: list[Extent] = [(x0, y0, x1, y0), (x0, y1, x1, y1), (x0, y0, x0, y1), (x1, y0, x1, y1)]
        for cut in layout.cuts:
            p, q = self.ends(cut)
            if cut.second is not None or self.beyond(cut) > SEEN:
                self.lines.append(Line("tb", (p, q)))
            self.strokes.append((p[0], q[1], q[0], p[1]))
        self.words: list[Extent] = []
        self.led: list[tuple[Extent, str]] = []  # where a leader ends, on a line or in a box, and its words
        self.sized = 0
        self.bare: list[Node] = []

    def at(self, x: Fraction, y: Fraction) -> XY:
        return self.left + float(x - self.origin[0]) * self.scale, self.bottom - float(y - self.origin[1]) * self.rise

    def box(self, node: Node) -> Extent:
        (x0, y1), (x1, y0) = self.at(node.x, node.y), self.at(node.x + node.length, node.y + node.width)
        return x0, y0, x1, y1

    def ends(self, cut: Cut) -> tuple[XY, XY]:
        """The line of a cut, its left or lower end first."""
        if cut.across:
            return self.at(cut.x + cut.at, cut.y), self.at(cut.x + cut.at, cut.y + cut.width)
        return self.at(cut.x, cut.y + cut.at), self.at(cut.x + cut.length, cut.y + cut.at)

    def beyond(self, cut: Cut) -> float:
        """From the line of a cut to the far edge of its piece."""
        return float(cut.length - cut.at) * self.scale if cut.across else float(cut.width - cut.at) * self.rise

    def free(self, box: Extent) -> bool:
        """Whether lettering may stand there."""
        return not any(overlap(box, s, CLEAR) for s in self.strokes) and not any(overlap((box[0] - BESIDE, box[1] - APART, box[2] + BESIDE, box[3] + APART), w) for w in self.words)

    # ------------------------------------------------------------------------------------------------------------------

    def draw(self, grain: bool, space: Extent | None = None) -> Drawn:
        """Everything; leaders only where the space is given that they may take."""
        scrap = [self.box(n) for n in walk(self.layout.tree) if isinstance(n, Rest) and not n.keep]
        pieces = [n for n in walk(self.layout.tree) if isinstance(n, Placed) or (isinstance(n, Rest) and n.keep)]
        items: list[Item] = [Fill("tone", (((a, b), (c, b), (c, d), (a, d)),)) for a, b, c, d in scrap]
        items += self.lines
        self.strokes += scrap  # no lettering on grey
        items += self.zones()
        # The shortest lines first: along a long one there is another place.
        for n, cut in sorted(enumerate(self.layout.cuts, 1), key=lambda c: (c[1].width if c[1].across else c[1].length, c[0])):
            found = self.number(n, cut)
            if found is None:
                p, q = self.ends(cut)
                self.led.append(((p[0], q[1], q[0], p[1]), f"cut {n}"))
            else:
                items += found
        for piece in sorted(pieces, key=lambda piece: piece.length * piece.width):
            items += self.name(piece)
        if grain:
            items += self.grain(pieces)
        notes = [NoteRequest(self.spot(box), (words,), end="dot" if box[0] < box[2] and box[1] < box[3] else "arrow") for box, words in self.led] if space is not None else []
        placed = place_notes(self.frame, notes, self.style, self.words, self.lines, space)
        items += placed.groups
        extent = united([self.frame, *(e for i in items if (e := item_extent(i)) is not None)])
        return Drawn((Group("layout", tuple(items)),), extent, len(self.led), self.sized, placed.crowded, tuple(self.bare))

    def zones(self) -> list[Item]:
        """What is not used of a board, hatched as far as it is drawn, its name on a leader; no lettering in it."""
        tree, items = self.layout.tree, list[Item]()
        for zone in self.layout.sheet.zones:
            low, left = max(zone.y, tree.y), max(zone.x, tree.x)
            high, right = min(zone.y + zone.width, tree.y + tree.width), min(zone.x + zone.length, tree.x + tree.length)
            if low < high and left < right:
                (x0, y1), (x1, y0) = self.at(left, low), self.at(right, high)
                items.append(Group("zone", hatch([((x0, y0), (x1, y0), (x1, y1), (x0, y1))], 45.0, ZONE_SPACING), zone.name))
                self.strokes.append((x0, y0, x1, y1))
                self.led.append(((x0, y0, x1, y1), zone.name))
        return items

    def name(self, node: Node) -> Sequence[Item]:
        """Mark and size of a piece, as much as there is room for; a leader where not even the mark fits."""
        mark = node.part if isinstance(node, Placed) else "keep"
        box = self.box(node)
        tall = box[3] - box[1] > box[2] - box[0]
        for rows, turn in self.choices(mark, size_words(node, self.units)):
            found = self.block(rows, box, turn) if tall or not turn else None
            if found is not None:
                items, extent = found
                self.words.append(extent)
                told = any("×" in text for text, _, _ in rows)
                self.sized += isinstance(node, Placed) and told
                if not told:
                    self.bare.append(node)
                return items
        words = mark if isinstance(node, Placed) else f"keep, {size_words(node, self.units)}"
        self.led.append((box, words))
        return ()

    def spot(self, box: Extent) -> XY:
        """Where a leader ends in a box or on a line: as near to its middle as it is clear of lettering, else in the
        middle."""
        middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        for room in DOT_ROOMS:
            for dx, dy in SHIFTS:
                x, y = middle[0] + dx * 0.45 * (box[2] - box[0]), middle[1] + dy * 0.45 * (box[3] - box[1])
                if not any(overlap((x - room, y - room, x + room, y + room), word) for word in self.words):
                    return x, y
        return middle

    def choices(self, mark: str, size: str) -> Iterator[tuple[tuple[tuple[str, float, bool], ...], bool]]:
        """Rows of words with their height and weight, and whether they are turned; the best first."""
        body, head, least = self.style.height("body"), self.style.height("head"), self.style.minimum_height
        length, width = size.split(" × ")
        for high in dict.fromkeys((body, least)):
            for turn in (False, True):
                yield ((mark, head, True), (size, high, False)), turn
                yield ((mark, head, True), (f"{length} ×", high, False), (width, high, False)), turn
                yield ((f"{mark}{GAP}{size}", high, False),), turn
        for high in dict.fromkeys((head, least)):
            for turn in (False, True):
                yield ((mark, high, True),), turn

    def block(self, rows: Sequence[tuple[str, float, bool]], box: Extent, turn: bool) -> tuple[list[Item], Extent] | None:
        """The rows as near to the middle of a box as there is clear room, None where there is none."""
        items, extent = self.set(rows, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2), turn)
        spare = [(box[2] - box[0] - extent[2] + extent[0]) / 2 - CLEAR, (box[3] - box[1] - extent[3] + extent[1]) / 2 - CLEAR]
        if min(spare) < 0:
            return None
        # The lettering need not be centred on its point: hanging letters.
        off = (box[0] + box[2] - extent[0] - extent[2]) / 2, (box[1] + box[3] - extent[1] - extent[3]) / 2
        for dx, dy in SHIFTS:
            way = off[0] + dx * spare[0], off[1] + dy * spare[1]
            moved = (extent[0] + way[0], extent[1] + way[1], extent[2] + way[0], extent[3] + way[1])
            if self.free(moved):
                return [shifted(item, *way) for item in items], moved
        return None

    def set(self, rows: Sequence[tuple[str, float, bool]], middle: XY, turn: bool) -> tuple[list[Item], Extent]:
        """Rows of words round a point, each clear of what hangs from the one over it."""
        angle = -90.0 if turn else 0.0
        x, y = middle
        inks = [note_line_extent(text.replace(GAP, ""), (0.0, 0.0), size, "middle", 0.0, bold) for text, size, bold in rows]
        drops = [0.0]
        for (above, below), (_, size, _) in zip(pairwise(inks), rows[1:], strict=True):
            drops.append(drops[-1] + max(size + ROW_GAP, above[3] + APART - below[1]))
        first_base = (rows[0][1] - drops[-1]) / 2
        items: list[Item] = []
        boxes = []
        for (text, size, bold), drop in zip(rows, drops, strict=True):
            base = first_base + drop
            at = (x + base, y) if turn else (x, y + base)
            first, _, rest = text.partition(GAP)
            if rest:
                wide = note_line_width(first, size, True) + size
                long = (wide + note_line_width(rest, size)) / 2
                after = wide - long
                start, then = ((at[0], at[1] + long), (at[0], at[1] - after)) if turn else ((at[0] - long, at[1]), (at[0] + after, at[1]))
                items += (*note_line_items(first, start, size, "head", "start", angle, True), *note_line_items(rest, then, size, "body", "start", angle))
                boxes += [note_line_extent(first, start, size, "start", angle, True), note_line_extent(rest, then, size, "start", angle)]
            else:
                items += note_line_items(text, at, size, "head" if bold else "body", "middle", angle, bold)
                boxes.append(note_line_extent(text, at, size, "middle", angle, bold))
        return items, united(boxes)

    def number(self, n: int, cut: Cut) -> Sequence[Item] | None:
        """The number of a cut at its line, on the piece that comes off; None where there is no clear place."""
        (px, py), (qx, qy) = self.ends(cut)
        for size in dict.fromkeys((self.style.height("body"), self.style.minimum_height)):
            wide = note_line_extent(str(n), (0.0, 0.0), size)
            w, h = wide[2] - wide[0], wide[3] - wide[1]
            for step in STEPS:
                x, y = px + (qx - px) * step, py + (qy - py) * step
                room = (x - 1.0 - w, y - h / 2, x - 1.0, y + h / 2) if cut.across else (x - w / 2, y + 1.0, x + w / 2, y + 1.0 + h)
                if self.free(room):
                    self.words.append(room)
                    return note_line_items(str(n), (room[0], room[3]), size, "body")
        return None

    def grain(self, pieces: Sequence[Node]) -> Sequence[Item]:
        """An arrow along the grain on the largest piece with clear room, else below the sheet."""
        size = self.style.height("body")
        word = note_line_extent("grain", (0.0, 0.0), size)[2]

        def arrow(x: float, y: float, long: float) -> tuple[Item, ...]:
            end = x + long
            lines = (Line("ldr", ((x, y), (end, y))), Line("ldr", ((end - 2, y - 0.8), (end, y), (end - 2, y + 0.8))), Line("ldr", ((x + 2, y - 0.8), (x, y), (x + 2, y + 0.8))))
            return *lines, *note_line_items("grain", (end + 1.5, y + size / 2), size, "body")

        def fits(x: float, y: float, long: float, inside: Callable[[Extent], bool]) -> Extent | None:
            room = (x, y - size / 2 - 0.4, x + long + 1.5 + word, y + size / 2 + 0.9)
            return room if inside(room) and self.free(room) else None

        for long in ARROWS:
            for piece in sorted(pieces, key=lambda n: (not isinstance(n, Rest), -n.length * n.width, n.x, n.y)):
                box = self.box(piece)
                x = (box[0] + box[2] - long - 1.5 - word) / 2
                for step in (0.8, 0.2, 0.65, 0.35, 0.9, 0.1):
                    room = fits(x, box[1] + (box[3] - box[1]) * step, long, lambda r, b=box: b[0] < r[0] and b[1] < r[1] and r[2] < b[2] and r[3] < b[3])  # type: ignore[misc]
                    if room is not None:
                        self.words.append(room)
                        return arrow(room[0], (room[1] + 0.4 + room[3] - 0.9) / 2, long)
        self.words.append((self.frame[0], self.frame[3] + 1.0, self.frame[0] + 24 + word, self.frame[3] + 6.0))
        return arrow(self.frame[0], self.frame[3] + 4.0, ARROWS[0])
