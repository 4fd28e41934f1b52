"""One part drawn at one scale: heading, views in third-angle places, dimensions, notes, marks. Paper mm.

The block is drawn round its own origin and moved to its place on the sheet afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.drawing.boxes import united
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Text, shifted
from plandoc.drawing.lettering import (
    fraction_height,
    note_line_extent,
    note_line_items,
    note_line_width,
    text_width,
    wrap,
)
from plandoc.drawing.style import Style
from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection
from plandoc.model.entities import Model, Part
from plandoc.quantity import Units, dual_diameter, dual_text
from plandoc.sheets.partbreaks import Stretch
from plandoc.sheets.partfaces import (
    ABOVE,
    BELOW,
    FAR,
    LEFT,
    MAIN,
    REAR,
    RIGHT,
    FaceView,
)
from plandoc.sheets.partnotes import FeatureNote, feature_notes, heading_lines, opposite_lines
from plandoc.sheets.partview import PartView, covered
from plandoc.sheets.partviews import Hole, PartPlan
from plandoc.sheets.tables import Column, Row, Table, unbroken_width
from plandoc.sheets.views import (
    title_height,
)
from plandoc.shopwork.names import joined_names, mark_of, piece_count

LINE_ROOM = 1.2  # mm between the lines of a heading, as between those of a note
HANDS_GAP = 1.5  # mm between the headings of two opposite hands
COLUMN_GUTTER = 8.0  # mm between two drawings side by side
LEAST_COLUMN = 90.0  # mm; half a sheet that is narrower is no column
ELSEWHERE = "SHEET.4.88"  # stands for the sheet of the other views of a part until the sheets are known; one word, so that no line ends in it
HEADINGS = (82.0, 68.0, 64.0, 56.0, 52.0, 47.0)  # mm that a heading may be wide beside the views; the first also over a small part
LEAST_VIEW = 50.0  # mm; a narrower view leaves room enough
LEFT_BAND = 34.0  # mm for dimensions at the left of a main view
NOTE_BAND = 40.0  # mm for its notes at the right
NOTE_ROOM = 10.0  # mm from a view to the lettering of a note: its leader and shoulder
MANY_NOTES = 3  # notes that stand at the right of a view, not in it
NOTES_OVER = (0.0, 8.0, 16.0, 24.0)  # mm over and under a view for the notes of one that may not be wide
HIGH_BAND = 30.0  # mm over and under it


@dataclass(frozen=True, slots=True)
class Block:
    """A part drawing at a scale. marks: of the part drawn and of its opposite hand. extent: the paper that it covers. crowded: remarks
    of the placers."""

    marks: tuple[str, ...]
    key: str
    ratio: Fraction
    items: tuple[Item, ...]
    extent: Extent
    crowded: tuple[str, ...] = ()

    @property
    def mark(self) -> str:
        """The mark of the part that is drawn."""
        return self.marks[0]

    @property
    def size(self) -> XY:
        """Width and height (mm)."""
        return self.extent[2] - self.extent[0], self.extent[3] - self.extent[1]

    @property
    def wide(self) -> float:
        """Width (mm)."""
        return self.size[0]

    @property
    def high(self) -> float:
        """Height (mm)."""
        return self.size[1]

    def moved_to(self, left: float, top: float) -> tuple[Item, ...]:
        """Its items with the upper left corner there."""
        return tuple(shifted(i, left - self.extent[0], top - self.extent[1]) for i in self.items)


class PartDrawing:
    """All that does not depend on the scale, computed once."""

    def __init__(
        self, model: Model, plan: PartPlan, alike: Sequence[Part], opposite: Sequence[Part], solid: Solid, style: Style,
        room: XY, only: tuple[str, ...] = (), traced: dict[Projection, tuple[Stroke, ...]] | None = None,
        stretch: Stretch | None = None, scales: tuple[Fraction, Fraction] = (Fraction(0), Fraction(1)),
    ) -> None:  # fmt: skip
        """opposite: the parts of the mark that is the opposite hand of this one. only: the places of the views that are drawn; none for all. Without the main view it is a continuation.
        traced: strokes of this part that are known already. stretch: plain wood that may be left out, at scales over the
        first and up to the second of `scales`, at which the break is worth its while."""
        self.stretch, self.scales = stretch, scales
        self.model, self.plan, self.alike, self.opposite, self.style = model, plan, tuple(alike), tuple(opposite), style
        self.part = plan.part
        self.mark = mark_of(plan.part)
        self.views = tuple(v for v in plan.views if not only or v.place in only)
        self.continued = plan.views[0] not in self.views
        self.key = f"{self.mark}{' continued' if self.continued else ''}"
        known = {} if traced is None else traced
        for view in self.views:
            if view.projection not in known:
                known[view.projection] = trace([(self.part.path, solid)], view.projection, hidden=False)
        self.strokes = {view.place: known[view.projection] for view in self.views}
        self.notes = feature_notes(plan, model.info.units)
        self.places = frozenset(view.place for view in self.views)
        self.room = room
        self.holes = tuple((place, holes) for place, holes in plan.tables if place in self.places)
        self.split = len(self.views) < len(plan.views)  # some stand by themselves, and the heading says where
        self._drawn: dict[tuple[str, Fraction], PartView] = {}
        self._known: dict[Fraction, tuple[Block, ...]] = {}
        self._slim: dict[Fraction, Block | None] = {}
        self._spreads: dict[Fraction, Block] = {}
        self._headings: dict[float, Group] = {}

    def left_out(self, ratio: Fraction) -> Stretch | None:
        """What a break leaves out at a scale."""
        return None if self.stretch is None else self.stretch.broken(ratio)

    def drawn_size(self, axis: int, ratio: Fraction) -> float:
        """How long (mm) the part is drawn along an axis of the world."""
        out = self.left_out(ratio)
        return float(self.part.box.size(axis) * ratio) - (out.saved(ratio) if out is not None and out.axis == axis else 0.0)

    def outline_fits(self, ratio: Fraction) -> bool:
        """Whether the main view with one row of dimensions and its title goes into the room, so that it is worth
        drawing."""
        main = self.views[0]
        wide, high = (self.drawn_size(axis, ratio) for axis in (main.right.axis, main.up.axis))
        rest, gap = self.style.first_row + 5.0, self.style.view_clearance
        high += rest + title_height(self.style)
        wide += rest
        for view in self.views[1:]:
            across, up = (self.drawn_size(axis, ratio) for axis in (view.right.axis, view.up.axis))
            if view.place in (ABOVE, BELOW, REAR):
                high += up + title_height(self.style) + gap
            else:
                wide += across + gap
        own = [note for note in self.notes if note.place == main.place]
        bands = LEFT_BAND + self._widest(own) + NOTE_ROOM - rest if len(own) >= MANY_NOTES else 0.0
        beside = wide + bands + HEADINGS[-1] + gap <= self.room[0] and high <= self.room[1]
        top = covered([self._heading(self.room[0])])
        under = wide <= self.room[0] and high + top[3] - top[1] + gap <= self.room[1]
        return beside or under or (self.continued and wide <= self.room[0] and high <= self.room[1])

    def _widest(self, notes: Sequence[FeatureNote]) -> float:
        """Width (mm) of the longest line of these notes."""
        size = self.style.height("note")
        return max(note_line_width(line, size, stacked=True) for note in notes for line in note.lines)

    def blocks(self, ratio: Fraction) -> tuple[Block, ...]:
        """The drawing at a scale (paper over model): with its heading over the views, then with headings of falling
        width at their left."""
        if ratio not in self._known:
            items, crowded = self._views(ratio)
            area = covered(items)
            ways = [self._table_under(), *([("beside", self._table(True))] if self.holes else [])]
            self._known[ratio] = tuple(
                min((self._headed(ratio, items, area, crowded, wide, *way) for way in ways), key=self._part_of_room)
                for wide in (0.0, *HEADINGS)
            )
        return self._known[ratio]

    def slim(self, ratio: Fraction) -> Block | None:
        """The drawing with its heading over the views, its notes so placed that half the sheet is wide enough for it;
        None where that cannot be had clearly."""
        if ratio not in self._slim:
            self._slim[ratio] = self._narrowed(ratio)
        return self._slim[ratio]

    def _narrowed(self, ratio: Fraction) -> Block | None:
        limit = (self.room[0] - COLUMN_GUTTER) / 2
        wide = self.drawn_size(self.views[0].right.axis, ratio)
        if limit < LEAST_COLUMN or wide > limit or self.holes:
            return None
        made = []
        for over in NOTES_OVER:
            items, crowded = self._views(ratio, (limit, over))
            made.append(self._headed(ratio, items, covered(items), crowded, 0.0, "", (), limit))
        fitting = [b for b in made if b.size[0] <= limit + 1e-6]
        return min(fitting, key=lambda b: (len(b.crowded), b.size[1]), default=None)

    def block(self, ratio: Fraction) -> Block:
        """The same in the one form that suits a sheet of its own: an ample heading where the sheet has room for it."""
        rows = self.blocks(ratio)
        fitting = [b for b in rows if self._part_of_room(b) <= 1 + 1e-9]
        ample = [b for b in rows[:2] if b in fitting]
        if ample:
            return min(ample, key=self._part_of_room)
        if fitting:
            return fitting[0]  # the widest heading for which there is room
        return min((*rows, self._spread(ratio)), key=self._part_of_room)

    def _spread(self, ratio: Fraction) -> Block:
        """The drawing with a heading as wide as the sheet over it."""
        if ratio not in self._spreads:
            items, crowded = self._views(ratio)
            self._spreads[ratio] = self._headed(ratio, items, covered(items), crowded, 0.0, *self._table_under(), self.room[0])
        return self._spreads[ratio]

    def _table_under(self) -> tuple[str, tuple[Item, ...]]:
        return ("under", self._table(False)) if self.holes else ("", ())

    def _part_of_room(self, block: Block) -> float:
        return max(block.size[0] / self.room[0], block.size[1] / self.room[1])

    def _views(self, ratio: Fraction, slim: tuple[float, float] | None = None) -> tuple[tuple[Item, ...], tuple[str, ...]]:
        crowded: list[str] = []
        drawn: dict[str, tuple[Group, Extent]] = {}
        for view in self.views:
            key = (view.place, ratio)
            if key not in self._drawn:
                self._drawn[key] = PartView(
                    self.plan, view, self.strokes[view.place], self.notes, self.places, ratio, self.model.info.units, self.style,
                    self.left_out(ratio),
                )  # fmt: skip
            group, extent, remarks = self._drawn[key].drawn(self._note_space(view, ratio) if slim is None else None, slim)
            drawn[view.place] = (group, extent)
            crowded += remarks
        return _arranged(drawn, self.style), tuple(crowded)

    def _note_space(self, view: FaceView, ratio: Fraction) -> Extent | None:
        """The paper for the notes of the main view, so that a heading still stands at its left; None where the view
        is too large or too small for that to matter."""
        wide, high = (self.drawn_size(axis, ratio) for axis in (view.right.axis, view.up.axis))
        upright = self.room[1] > self.room[0]  # the heading stands over the view then
        room = self.room[0] - (0.0 if upright else HEADINGS[-1]) - 2 * self.style.view_clearance
        if view.place != MAIN or not LEAST_VIEW <= wide <= room - LEFT_BAND - NOTE_BAND:
            return None
        band = 2 * HIGH_BAND if upright else HIGH_BAND
        return (-LEFT_BAND, -band, room - LEFT_BAND, high + band)

    def _headed(
        self, ratio: Fraction, views: tuple[Item, ...], area: Extent, crowded: tuple[str, ...], wide: float, where: str,
        table: tuple[Item, ...], most: float = 0.0,
    ) -> Block:  # fmt: skip
        """The views with the heading over them (`most` mm wide where that is given), or `wide` mm wide at their left, and
        with the hole table beside or under all that."""
        heading = self._heading(wide or most or max(area[2] - area[0], HEADINGS[0]))
        box = covered([heading])
        gap = self.style.view_clearance
        if not wide:
            dx, dy = area[0] - box[0], area[1] - gap - box[3]
        else:
            dx, dy = area[0] - 2 * gap - box[2], area[1] - box[1]
        items: tuple[Item, ...] = (shifted(heading, dx, dy), *views)
        whole = united([area, (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)])
        if table:
            own = covered(table)
            x, y = (whole[2] + gap, whole[1]) if where == "beside" else (area[0], area[3] + gap)
            items += tuple(shifted(i, x - own[0], y - own[1]) for i in table)
            whole = united([whole, (x, y, x + own[2] - own[0], y + own[3] - own[1])])
        attrs = [("part", self.part.path), ("mark", self.mark)]
        attrs += [("opposite", mark_of(self.opposite[0])), ("opposite-part", self.opposite[0].path)] if self.opposite else []
        group = Group("part", items, f"part-{self.key}".replace(" ", "-"), tuple(attrs))
        marks = (self.mark, *(mark_of(part) for part in self.opposite[:1]))
        return Block(marks, self.key, ratio, (group,), whole, crowded)

    def _table(self, tall: bool) -> tuple[Item, ...]:
        """Hole tables in columns, as high as the sheet (`tall`) or as half of it."""
        items: list[Item] = []
        style, gap = self.style, self.style.view_clearance
        size = style.height("note")
        step = fraction_height(size) + LINE_ROOM
        x = 0.0
        for place, holes in self.holes:
            rows = hole_table_rows(holes, self.model.info.units)
            words = hole_class_lines(holes, self.model.info.units)
            whole = Table(HOLE_COLUMNS, rows, style, unbroken_width(HOLE_COLUMNS, rows, style), f"holes-{mark_of(self.part)}-{place}", fill=False)
            head = step * len(words) + 1.0
            count = whole.fitting(0, (self.room[1] - 8.0 if tall else self.room[1] / 2) - head)
            count = -(-len(rows) // -(-len(rows) // count))  # equal columns
            for number, line in enumerate(words):
                items += note_line_items(line, (x, step * number + (step + size) / 2), size, "note", stacked=True)
            for start in range(0, len(rows), count):
                items.append(whole.draw(x, head, start, min(count, len(rows) - start)))
                x += whole.width + gap / 2
            x += gap / 2
        return tuple(items)

    def _heading(self, wide: float) -> Group:
        """The heading of that width, made once."""
        key = round(wide, 3)
        if key not in self._headings:
            self._headings[key] = self._new_heading(wide)
        return self._headings[key]

    def _new_heading(self, wide: float) -> Group:
        """Mark in a circle, name, size, stock and work; under them those of the opposite hand."""
        phrases: tuple[tuple[str, ...], ...] = ((f"FURTHER VIEWS; THE OTHERS ARE ON {ELSEWHERE}",),)
        if self.continued:
            return self._named(self.alike, phrases, wide, 0.0)
        phrases = heading_lines(self.model, self.plan, self.alike)
        if self.split:
            phrases = (phrases[0], (*phrases[1][:-1], f"{phrases[1][-1]};", f"FURTHER VIEWS: {ELSEWHERE}"), *phrases[2:])
        if not self.opposite:
            return self._named(self.alike, phrases, wide, 0.0)
        ways = []
        for beside in (False, True):
            column = (wide - COLUMN_GUTTER) / 2 if beside else wide
            one = self._named(self.alike, phrases, column, 0.0, "AS DRAWN")
            below = 0.0 if beside else covered([one])[3] + HANDS_GAP
            other = self._named(self.opposite, opposite_lines(self.model, self.part, self.opposite), column, below, "OPPOSITE HAND")
            ways.append(Group("hands", (one, shifted(other, column + COLUMN_GUTTER, 0.0) if beside else other)))
        return min(ways[: 2 if wide >= 2 * HEADINGS[0] else 1], key=lambda way: round(covered([way])[3], 3))

    def _named(self, alike: Sequence[Part], phrase_rows: Sequence[Sequence[str]], wide: float, top: float, hand: str = "") -> Group:
        """The heading of the parts of one mark, its upper edge at `top`. hand: what stands behind their name."""
        style, size = self.style, self.style.minimum_height
        radius, label = style.balloon_radius, style.height("label")
        mark = mark_of(alike[0])
        radius = max(radius, note_line_width(mark, label, True) / 2 + 1.2)
        items: list[Item] = [
            Circle("vis", (radius, top + radius), radius),
            Text("label", (radius, top + radius + label / 2), mark, label, "middle", bold=True),
        ]
        left = 2 * radius + 4.0
        name = joined_names([part.name for part in alike]).upper() + (f" ({hand})" if hand else "")
        title = style.height("vtitle") if alike is self.alike else style.height("note")
        widest = max(text_width(word, 1.0, True) for word in name.split())
        title = max(style.minimum_height, min(title, (wide - left) / widest - 0.01))  # no word is broken
        y = top + radius + title / 2
        for line in wrap(name, title, wide - left, True):
            items += note_line_items(line, (left, y), title, "vtitle", bold=True)
            y += 1.6 * title
        y += (0.44 - 1.6) * title if title > style.height("note") else LINE_ROOM + 1.0 - 1.6 * title
        for phrases in phrase_rows:
            for line in _phrase_lines(phrases, size, wide - left):
                low, high = note_line_extent(line, (0.0, 0.0), size, stacked=True)[1::2]
                y += max(-low, size)
                items += note_line_items(line, (left, y), size, "note", stacked=True)
                y += max(high, 0.0) + LINE_ROOM
        name = f"heading-{mark}{' continued' if self.continued else ''}".replace(" ", "-")
        return Group("heading", tuple(items), name, (("mark", mark), ("count", str(piece_count(alike)))))


HOLE_COLUMNS = (Column("Hole"), Column("X", "end", stacked=True), Column("Y", "end", stacked=True))


def hole_class_lines(holes: Sequence[Hole], units: Units) -> list[str]:
    """`A1–A8: 8X Ø1 ↧3/8`: the holes of one size and depth share the letter of their names."""
    groups: dict[str, list[Hole]] = {}
    for hole in holes:
        groups.setdefault(hole.letter.rstrip("0123456789"), []).append(hole)
    lines = []
    for group in groups.values():
        first, last, feature = group[0].letter, group[-1].letter, group[0].feature
        deep = f"↧{dual_text(feature.depth, units)}" if feature.depth is not None and not feature.through else "THRU"
        names = first if first == last else f"{first}–{last}"
        count = f"{len(group)}X " if len(group) > 1 else ""
        lines.append(f"{names}: {count}Ø{dual_diameter(feature.diameter or Fraction(0), units)} {deep}")
    return lines


def hole_table_rows(holes: Sequence[Hole], units: Units) -> list[Row]:
    """Letter, distances from the reference faces along and across the view."""
    return [
        Row((hole.letter, dual_text(hole.x, units), dual_text(hole.y, units)), (("hole", hole.feature.id),)) for hole in holes
    ]


def _arranged(drawn: dict[str, tuple[Group, Extent]], style: Style) -> tuple[Item, ...]:
    """The views moved apart until neither they nor what belongs to them touch."""
    centre = MAIN if MAIN in drawn else next(iter(drawn))
    group, main = drawn[centre]
    items: list[Item] = [group]
    drawn = {place: row for place, row in drawn.items() if place != centre}
    gap = style.view_clearance
    if ABOVE in drawn:
        group, box = drawn[ABOVE]
        items.append(shifted(group, 0.0, main[1] - gap - box[3]))
    bottom = main[3]
    for place in (BELOW, REAR):
        if place in drawn:
            group, box = drawn[place]
            items.append(shifted(group, 0.0, bottom + gap - box[1]))
            bottom += gap + box[3] - box[1]
    if LEFT in drawn:
        group, box = drawn[LEFT]
        items.append(shifted(group, main[0] - gap - box[2], 0.0))
    edge = main[2]
    for place in (RIGHT, FAR):
        if place in drawn:
            group, box = drawn[place]
            items.append(shifted(group, edge + gap - box[0], 0.0))
            edge += gap + box[2] - box[0]
    return tuple(items)


def _phrase_lines(phrases: Sequence[str], size: float, room: float) -> list[str]:
    """Phrases on one line, with commas, as long as they fit; a phrase that is too long is broken at words."""
    lines: list[str] = []
    for phrase in phrases:
        comma = "" if lines and lines[-1].endswith(";") else ","
        joined = f"{lines[-1]}{comma} {phrase}" if lines else phrase
        if lines and note_line_width(joined, size, stacked=True) <= room:
            lines[-1] = joined
            continue
        if lines:
            lines[-1] += comma
        if note_line_width(phrase, size, stacked=True) <= room:
            lines.append(phrase)
        else:
            lines += wrap(phrase, size, room)
    return lines
