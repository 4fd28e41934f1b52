"""One part drawn at one scale: heading, views in third-angle places, dimensions, notes, marks. Paper mm.

The block is drawn round its own origin and moved to its place on the sheet afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.drawing.boxes import grown, item_extent, line_segments, overlap, segment_meets_box, united
from plandoc.drawing.dimension import decimal_text, place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest, NoteRequest
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line, Text, shifted, walk
from plandoc.drawing.leaders import place_notes
from plandoc.drawing.lettering import note_line_extent, note_line_items, note_line_width, wrap
from plandoc.drawing.linework import centre_mark, centre_overshoot, grain_mark, hole_rooms, reference_mark
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Face, Point3
from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.model.entities import Feature, Model, Part
from plandoc.quantity import Units, shop_number, shop_text
from plandoc.sheets.glyphs import letter_outlines, outline_width
from plandoc.sheets.partfaces import (
    ABOVE,
    BELOW,
    FAR,
    LEFT,
    MAIN,
    REAR,
    RIGHT,
    FaceView,
    feature_box,
    opposite,
    spans,
)
from plandoc.sheets.partnotes import feature_notes, heading_lines, note_target
from plandoc.sheets.partviews import Hole, Measure, PartPlan
from plandoc.sheets.tables import Column, Row, Table
from plandoc.sheets.views import TITLE_HEIGHT, Placement, stroke_lines, title_width, view_group, view_title
from plandoc.shopwork.names import edge_words, joined_names, mark_of, piece_count

GRAIN_LENGTH = 20.0
LINE_ROOM = 2.0  # mm between the lines of a heading
THIN = 2.0  # mm; a channel that prints narrower gets an arrow at its edge, not a dot
NEAR = 0.02  # mm on paper
HEADINGS = (82.0, 68.0, 56.0)  # mm that a heading may be wide beside the views; the first also over a small part
AXIS_LETTERS = "xyz"


@dataclass(frozen=True, slots=True)
class Block:
    """A part drawing at a scale. extent: the paper that it covers. crowded: remarks of the placers."""

    mark: str
    key: str
    ratio: Fraction
    items: tuple[Item, ...]
    extent: Extent
    crowded: tuple[str, ...] = ()

    @property
    def size(self) -> XY:
        """Width and height (mm)."""
        return self.extent[2] - self.extent[0], self.extent[3] - self.extent[1]

    def moved_to(self, left: float, top: float) -> tuple[Item, ...]:
        """Its items with the upper left corner there."""
        return tuple(shifted(i, left - self.extent[0], top - self.extent[1]) for i in self.items)


def covered(items: Iterable[Item]) -> Extent:
    """The box round items. Raises ValueError for none."""
    return united(e for i in items if (e := item_extent(i)) is not None)


class PartDrawing:
    """All that does not depend on the scale, computed once."""

    def __init__(
        self, model: Model, plan: PartPlan, alike: Sequence[Part], solid: Solid, style: Style, room: XY,
        only: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        """only: the places of the views that are drawn; none for all. Without the main view it is a continuation."""
        self.model, self.plan, self.alike, self.style = model, plan, tuple(alike), style
        self.part = plan.part
        self.mark = mark_of(plan.part)
        self.views = tuple(v for v in plan.views if not only or v.place in only)
        self.continued = plan.views[0] not in self.views
        self.key = f"{self.mark}{' continued' if self.continued else ''}"
        self.strokes: dict[str, tuple[Stroke, ...]] = {
            view.place: trace([(self.part.path, solid)], view.projection, hidden=False) for view in self.views
        }
        self.notes = feature_notes(plan, model.info.units)
        self.places = {view.place for view in self.views}
        self.room = room
        self._known: dict[Fraction, tuple[Block, ...]] = {}

    def outline_fits(self, ratio: Fraction) -> bool:
        """Whether the main view with one row of dimensions and its title goes into the room, so that it is worth
        drawing."""
        main = self.views[0]
        sizes = (self.part.box.size(main.right.axis), self.part.box.size(main.up.axis))
        rest = (self.style.first_row + 5.0, self.style.first_row + 5.0 + TITLE_HEIGHT)
        return all(float(size * ratio) + r <= room for size, r, room in zip(sizes, rest, self.room, strict=True))

    def blocks(self, ratio: Fraction) -> tuple[Block, ...]:
        """The drawing at a scale (paper over model): with its heading over the views, then with headings of falling
        width at their left."""
        if ratio not in self._known:
            items, crowded = self._views(ratio)
            ways = [(*items, *table) for table in self._tables(covered(items))]
            self._known[ratio] = tuple(
                min((self._headed(ratio, way, crowded, wide) for way in ways), key=self._part_of_room)
                for wide in (0.0, *HEADINGS)
            )
        return self._known[ratio]

    def block(self, ratio: Fraction) -> Block:
        """The same in the one form that suits a sheet of its own: an ample heading where the sheet has room for it."""
        rows = self.blocks(ratio)
        for group in (rows[:2], rows[2:]):
            fitting = [b for b in group if self._part_of_room(b) <= 1 + 1e-9]
            if fitting:
                return min(fitting, key=self._part_of_room)
        return min(rows, key=self._part_of_room)

    def _part_of_room(self, block: Block) -> float:
        return max(block.size[0] / self.room[0], block.size[1] / self.room[1])

    def _views(self, ratio: Fraction) -> tuple[tuple[Item, ...], tuple[str, ...]]:
        crowded: list[str] = []
        drawn: dict[str, tuple[Group, Extent]] = {}
        for view in self.views:
            group, extent, remarks = _View(self, view, ratio).drawn()
            drawn[view.place] = (group, extent)
            crowded += remarks
        return _arranged(drawn, self.style), tuple(crowded)

    def _headed(self, ratio: Fraction, views: tuple[Item, ...], crowded: tuple[str, ...], wide: float) -> Block:
        """The views with the heading over them, or `wide` mm wide at their left."""
        area = covered(views)
        heading = self._heading(wide or max(area[2] - area[0], HEADINGS[0]))
        box = covered([heading])
        gap = self.style.view_clearance
        if not wide:
            moved = shifted(heading, area[0] - box[0], area[1] - gap - box[3])
        else:
            moved = shifted(heading, area[0] - 2 * gap - box[2], area[1] - box[1])
        mark = mark_of(self.part)
        group = Group("part", (moved, *views), f"part-{self.key}".replace(" ", "-"), (("part", self.part.path), ("mark", mark)))
        return Block(mark, self.key, ratio, (group,), covered([group]), crowded)

    def _tables(self, views: Extent) -> tuple[tuple[Item, ...], ...]:
        """Hole tables, at the right of the views and under them; none where there are no holes to list."""
        beside: list[Item] = []
        under: list[Item] = []
        gap = self.style.view_clearance
        right, bottom = views[2] + gap, views[3] + gap
        for place, holes in self.plan.tables:
            if place not in self.places:
                continue
            rows = hole_table_rows(holes, self.model.info.units)
            name = f"holes-{mark_of(self.part)}-{place}"
            whole = Table(HOLE_COLUMNS, rows, self.style, 0.0, name, fill=False)
            for across, high, items in ((True, self.room[1] - 8.0, beside), (False, self.room[1] / 2, under)):
                count = whole.fitting(0, high)
                count = -(-len(rows) // -(-len(rows) // count))  # equal columns
                x, y = (right, views[1]) if across else (views[0], bottom)
                for start in range(0, len(rows), count):
                    items.append(whole.draw(x, y, start, min(count, len(rows) - start)))
                    x += whole.width + gap / 2
                if across:
                    right = x
                else:
                    bottom += whole.run_height(0, count) + gap
        return (tuple(beside), tuple(under)) if beside else ((),)

    def _heading(self, wide: float) -> Group:
        """Mark in a circle, name, size, stock and work."""
        style, size = self.style, self.style.height("note")
        radius, label = style.balloon_radius, style.height("label")
        mark = mark_of(self.part)
        radius = max(radius, note_line_width(mark, label, True) / 2 + 1.2)
        items: list[Item] = [
            Circle("vis", (radius, radius), radius),
            Text("label", (radius, radius + label / 2), mark, label, "middle", bold=True),
        ]
        left = 2 * radius + 4.0
        name = joined_names([part.name for part in self.alike]).upper()
        title = style.height("vtitle")
        y = radius + title / 2
        for line in wrap(name, title, wide - left, True):
            items += note_line_items(line, (left, y), title, "vtitle", bold=True)
            y += 1.6 * title
        y += LINE_ROOM + 1.0 - 1.6 * title
        phrase_rows = (("OTHER FACE",),) if self.continued else heading_lines(self.model, self.plan, self.alike)
        for phrases in phrase_rows:
            for line in _phrase_lines(phrases, size, wide - left):
                low, high = note_line_extent(line, (0.0, 0.0), size, stacked=True)[1::2]
                y += max(-low, size)
                items += note_line_items(line, (left, y), size, "note", stacked=True)
                y += max(high, 0.0) + LINE_ROOM
        return Group("heading", tuple(items), f"heading-{self.key}".replace(" ", "-"), (("mark", mark), ("count", str(piece_count(self.alike)))))


HOLE_COLUMNS = (
    Column("Hole"), Column("X", "end", stacked=True), Column("Y", "end", stacked=True),
    Column("Ø", "end", stacked=True), Column("↧", "end", stacked=True),
)  # fmt: skip


def hole_table_rows(holes: Sequence[Hole], units: Units) -> list[Row]:
    """Letter, distances from the reference faces along and across the view, diameter, depth."""
    rows = []
    for hole in holes:
        feature = hole.feature
        deep = shop_text(feature.depth, units) if feature.depth is not None and not feature.through else "THRU"
        figures = (shop_text(v, units) for v in (hole.x, hole.y, feature.diameter or Fraction(0)))
        rows.append(Row((hole.letter, *figures, deep), (("hole", feature.id),)))
    return rows


class _View:
    """One view of the part at a scale, with its outline's upper left corner at the origin."""

    def __init__(self, drawing: PartDrawing, view: FaceView, ratio: Fraction) -> None:
        self.drawing, self.view, self.ratio = drawing, view, ratio
        self.part, self.style = drawing.part, drawing.style
        scale = float(ratio)
        box = self.part.box
        xs = sorted(float(v) for v in (view.flat(box.lo)[0], view.flat(box.hi)[0]))
        ys = sorted(float(v) for v in (view.flat(box.lo)[1], view.flat(box.hi)[1]))
        self.place = Placement(view.projection, scale, (-xs[0] * scale, ys[1] * scale))
        self.outline: Extent = (0.0, 0.0, (xs[1] - xs[0]) * scale, (ys[1] - ys[0]) * scale)
        self.lines = stroke_lines(drawing.strokes[view.place], self.place)
        self.ends = [point for line in self.lines for point in line.points]

    def drawn(self) -> tuple[Group, Extent, list[str]]:
        """The group, the paper it covers, and what is crowded."""
        marks = [*self._centres(), *self._lettering(), *self._hole_letters()]
        requests = [r for m in self.drawing.plan.measures if m.place == self.view.place and (r := self._request(m))]
        dims = place_dimensions(self.outline, requests, self.style)
        before: list[Item] = [*self.lines, *marks, *dims.groups]
        before += self._grain(before)
        inside, thick = self._thickness(before)
        before += inside
        lettering = [e for leaf in walk((*before,)) if isinstance(leaf, Text) and (e := item_extent(leaf))]
        strokes = [leaf for leaf in walk((*before,)) if isinstance(leaf, Line)]
        notes = place_notes(self.outline, [*self._note_requests(), *thick], self.style, lettering, strokes)
        placed: list[Item] = [*before, *notes.groups]
        placed += self._references(placed)
        area = covered(placed)
        title = self.title()
        middle = (self.outline[0] + self.outline[2]) / 2
        half = title_width(title, self.style) / 2
        placed += view_title(title, self.ratio, middle, area[3], self.style)
        extent = united([area, (middle - half, area[3], middle + half, area[3] + TITLE_HEIGHT)])
        name = f"{mark_of(self.part)}-{self.view.place}"
        group = view_group(name, self.part.path, self.place, self.ratio, placed, _side_word(self.drawing.plan.views[0], self.view))
        return group, extent, [*dims.crowded, *notes.crowded]

    def title(self) -> str:
        """The face in the trade's words."""
        return edge_words(self.part, self.view.face).upper()

    # --- dimensions --------------------------------------------------------------------------------------------

    def _request(self, measure: Measure) -> DimensionRequest | None:
        axis = self.view.paper_axis(measure.axis)
        if measure.kind == "table" or not axis:
            return None
        side = self._side(measure, axis)
        number = shop_number(measure.hi - measure.lo, self.drawing.model.info.units)
        lo, hi = (self._end(measure, plane, axis, side) for plane in (measure.lo, measure.hi))
        return DimensionRequest(
            axis, lo, hi, measure.hi - measure.lo, number, measure.kind, side,
            self._names(measure), AXIS_LETTERS[measure.axis], measure.printed_count,
        )  # fmt: skip

    def _names(self, measure: Measure) -> tuple[str, str]:
        """What stands at the low and the high end: a face of the part, or a feature."""
        names = []
        for plane, side in ((measure.lo, -1), (measure.hi, 1)):
            if plane == (self.part.box.lo if side < 0 else self.part.box.hi)[measure.axis]:
                names.append(f"{self.part.path}.{Face(measure.axis, side).name}")
            else:
                names.append(measure.features[0] if measure.features else self.part.path)
        return names[0], names[1]

    def _own(self, measure: Measure) -> list[Feature]:
        return [f for f in self.part.features if f.id in measure.features]

    def _side(self, measure: Measure, axis: str) -> str:
        """The side of the view on which the measure stands: away from a neighbouring view, near its feature."""
        places = self.drawing.places
        if axis == "x":
            usual, other = ("below", "above") if self.view.place in (MAIN, BELOW) and BELOW not in places else ("above", "below")
            if self.view.place == ABOVE:
                usual, other = "above", "below"
            elif self.view.place in (BELOW, REAR):
                usual, other = "below", "above"
        else:
            usual, other = ("right", "left") if LEFT in places or self.view.place in (RIGHT, FAR) else ("left", "right")
            if self.view.place == LEFT:
                usual, other = "left", "right"
        if measure.kind == "overall" or self.view.place != MAIN:
            return usual
        across = 1 if axis == "x" else 0
        spots = [spot for f in self._own(measure) if (spot := self._middle(f, across)) is not None]
        if not spots:
            return usual
        far = self.outline[2 + across] - sum(spots) / len(spots)
        near = sum(spots) / len(spots)
        high = {"below": far, "above": near, "left": near, "right": far}
        return other if high[other] < high[usual] / 2 else usual

    def _middle(self, feature: Feature, across: int) -> float | None:
        """Where the feature lies across the view, None where it runs through from side to side."""
        if feature.centre is not None:
            return self.place.spot(feature.centre)[across]
        box = feature_box(feature)
        axis = self.view.up.axis if across else self.view.right.axis
        if box is None or spans(self.part, box, axis):
            return None
        extent = self.place.extent(box)
        return (extent[across] + extent[across + 2]) / 2

    def _end(self, measure: Measure, plane: Fraction, axis: str, side: str) -> XY:
        """The point on paper where the extension line of one end takes off."""
        point = [Fraction(0)] * 3
        point[measure.axis] = plane
        at = self.place.spot((point[0], point[1], point[2]))
        along, across = (at[0], 1) if axis == "x" else (at[1], 0)
        towards = 1 if side in ("below", "right") else -1
        levels: list[float] = []
        for feature in self._own(measure):
            if feature.centre is not None and feature.centre[measure.axis] == plane:
                spot = self.place.spot(feature.centre)
                radius = float((feature.diameter or Fraction(0)) * self.ratio / 2)
                room = centre_overshoot(radius, self.style) if radius else 0.0
                levels.append(spot[across] + towards * (radius + room))
        if not levels:
            levels = [p[across] for p in self.ends if abs(p[1 - across] - along) < NEAR]
        edge = self.outline[2 + across] if towards > 0 else self.outline[across]
        level = max(levels, key=lambda v: v * towards) if levels else edge
        return (along, level) if axis == "x" else (level, along)

    # --- notes and marks ---------------------------------------------------------------------------------------

    def _note_requests(self) -> list[NoteRequest]:
        requests = []
        for note in self.drawing.notes:
            if note.place != self.view.place:
                continue
            spots = [(self._target(f), f) for f in note.features]
            spot, feature = max(spots, key=lambda row: (row[0][0] - row[0][1], row[1].id))
            radius = float((feature.diameter or Fraction(0)) * self.ratio / 2)
            end = "arrow" if note.round or feature.text or self._thin(feature) else "dot"
            requests.append(NoteRequest(spot, note.lines, radius, end, feature.id))
        return requests

    def _target(self, feature: Feature) -> XY:
        """Where a leader aims: for lettering just behind its last letter, half-way up."""
        if not feature.text or feature.centre is None or feature.height is None:
            return self.place.spot(note_target(self.drawing.plan, self.view, feature))
        high = float(feature.height * self.ratio)
        ux, uy = self._along(feature)
        run = outline_width(feature.text, high) + 0.8
        x, y = self.place.spot(feature.centre)
        return x + ux * run + uy * high / 2, y + uy * run - ux * high / 2

    def _along(self, feature: Feature) -> XY:
        return _paper_direction(self.view, feature.reading) if feature.reading is not None else (1.0, 0.0)

    def _thin(self, feature: Feature) -> bool:
        box = feature_box(feature)
        inside = box.common(self.part.box) if box is not None else None
        if inside is None:
            return False
        x0, y0, x1, y1 = self.place.extent(inside)
        return min(x1 - x0, y1 - y0) < THIN or spans(self.part, inside, self.view.face.axis)

    def _holes(self) -> list[Feature]:
        own = [s.feature for s in self.drawing.plan.shapes if s.place == self.view.place]
        return [f for f in own if f.diameter is not None and f.centre is not None]

    def _centres(self) -> list[Item]:
        holes = self._holes()
        spots = [self.place.spot(_centre(f)) for f in holes]
        radii = [float((f.diameter or Fraction(0)) * self.ratio / 2) for f in holes]
        items: list[Item] = []
        for spot, radius, room in zip(spots, radii, hole_rooms(spots, radii), strict=True):
            items += centre_mark(spot, radius, self.style, room)
        return items

    def _hole_letters(self) -> list[Item]:
        items: list[Item] = []
        size = self.style.height("note")
        for place, holes in self.drawing.plan.tables:
            if place != self.view.place:
                continue
            for hole in holes:
                at = self._letter_spot(hole, [*self.lines, *self._centres(), *items])
                items.append(Text("note", at, hole.letter, size, "middle"))
        return items

    def _letter_spot(self, hole: Hole, placed: Sequence[Item]) -> XY:
        """Where the letter of a hole stands free: in a quarter of its circle, or close outside it."""
        x, y = self.place.spot(_centre(hole.feature))
        radius = float((hole.feature.diameter or Fraction(0)) * self.ratio / 2)
        size = self.style.height("note")
        half, tall = note_line_width(hole.letter, size) / 2, size / 2
        outside = (radius * 0.7071 + half + 0.8, radius * 0.7071 + tall + 0.8)
        inside = (half + 0.8, tall + 0.8)
        reaches = [inside, outside, (radius + half + 0.8, tall + 0.8), (half + 0.8, radius + tall + 0.8)]
        for dx, dy in reaches:
            for sx, sy in ((1, -1), (-1, -1), (1, 1), (-1, 1)):
                cx, cy = x + sx * dx, y + sy * dy
                if _free((cx - half - 0.5, cy - tall - 0.5, cx + half + 0.5, cy + tall + 0.5), placed):
                    return cx, cy + tall
        return x + outside[0], y - outside[1] + tall

    def _lettering(self) -> list[Item]:
        items: list[Item] = []
        for shape in self.drawing.plan.shapes:
            feature = shape.feature
            if shape.place != self.view.place or not feature.text or feature.centre is None or feature.height is None:
                continue
            spot = self.place.spot(feature.centre)
            items += letter_outlines(feature.text, spot, float(feature.height * self.ratio), self._along(feature))
        return items

    def _grain(self, placed: Sequence[Item]) -> tuple[Item, ...]:
        """The grain mark at the most central free place inside the main view; where it is full, under it."""
        if self.view.place != MAIN or not self.part.stock.grain:
            return ()
        flat = self.view.right.axis == self.part.length_axis
        box = covered(grain_mark((0.0, 0.0), GRAIN_LENGTH, flat, self.style))
        spot = self._free_spot(box, placed, (0.5, 0.5))
        if spot is None:
            x0, _, x1, bottom = covered(placed)
            spot = (x0 - box[0], bottom + 2.0 - box[1]) if flat else (x1 + 2.0 - box[0], (self.outline[1] + self.outline[3]) / 2)
        return (Group("grain", grain_mark(spot, GRAIN_LENGTH, flat, self.style)),)

    def _thickness(self, placed: Sequence[Item]) -> tuple[list[Item], list[NoteRequest]]:
        """The overall size that no view shows: as words in the view, or where it is full as a note on a leader."""
        items: list[Item] = []
        requests: list[NoteRequest] = []
        size = self.style.height("note")
        for measure in self.drawing.plan.measures:
            if measure.place != self.view.place or self.view.paper_axis(measure.axis):
                continue
            words = f"{shop_text(measure.hi - measure.lo, self.drawing.model.info.units)} THICK"
            box = note_line_extent(words, (0.0, 0.0), size, "middle", stacked=True)
            spot = self._free_spot(box, placed, (0.5, 0.25))
            if spot is None:
                target = (self.outline[2] * 0.9, self.outline[3] * 0.75)
                requests.append(NoteRequest(target, (words,), 0.0, "dot", f"{self.part.path}.thickness"))
                continue
            attrs = (
                ("axis", AXIS_LETTERS[measure.axis]), ("mm", decimal_text(measure.hi - measure.lo)), ("kind", measure.kind)
            )  # fmt: skip
            items.append(Group("thickness", note_line_items(words, spot, size, "note", "middle", stacked=True), "", attrs))
        return items, requests

    def _free_spot(self, box: Extent, placed: Sequence[Item], near: XY) -> XY | None:
        """Where in the outline a thing with this box (round its anchor) stands free, nearest to a place given in parts
        of the outline's width and height."""
        x0, y0, x1, y1 = self.outline
        spots = [(i / 16, j / 16) for i in range(1, 16) for j in range(1, 16)]
        spots.sort(key=lambda s: (abs(s[0] - near[0]) + abs(s[1] - near[1]), s))
        for u, v in spots:
            x, y = x0 + u * (x1 - x0), y0 + v * (y1 - y0)
            here = (box[0] + x, box[1] + y, box[2] + x, box[3] + y)
            inside = x0 + 1 <= here[0] and y0 + 1 <= here[1] and here[2] <= x1 - 1 and here[3] <= y1 - 1
            if inside and _free(grown(here, 1.5), placed):
                return x, y
        return None

    def _references(self, placed: Sequence[Item]) -> list[Item]:
        """Marks of the reference faces that are seen as edges in this view."""
        items: list[Item] = []
        for axis, kind in ((self.part.thickness_axis, "face"), (self.part.width_axis, "edge")):
            paper = self.view.paper_axis(axis)
            if not paper:
                continue
            toward = _paper_direction(self.view, Face(axis, self.part.datum[axis]))
            x0, y0, x1, y1 = self.outline
            if min(x1 - x0, y1 - y0) < 3.2:
                continue
            for u in (0.5, 0.44, 0.56, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78, 0.15, 0.85):
                if paper == "x":
                    at = (x1 if toward[0] > 0 else x0, y0 + u * (y1 - y0))
                else:
                    at = (x0 + u * (x1 - x0), y1 if toward[1] > 0 else y0)
                mark = reference_mark(at, (-toward[0], -toward[1]), self.style, kind)
                box = united(e for i in mark if (e := item_extent(i)) is not None)
                inner = (box[0] + toward[0] * -0.3, box[1] + toward[1] * -0.3, box[2] - toward[0] * 0.3, box[3] - toward[1] * 0.3)
                if self._on_outline(at, paper) and _free(inner, placed):
                    items += mark
                    break
        return items

    def _on_outline(self, at: XY, paper: str) -> bool:
        """Whether an edge of the part is drawn there."""
        reach = 1.6
        box = (
            (at[0] - 0.05, at[1] - reach, at[0] + 0.05, at[1] + reach)
            if paper == "x"
            else (at[0] - reach, at[1] - 0.05, at[0] + reach, at[1] + 0.05)
        )
        return any(segment_meets_box(p, q, box) for line in self.lines for p, q in line_segments(line))


def _phrase_lines(phrases: Sequence[str], size: float, room: float) -> list[str]:
    """Phrases on one line, with commas, as long as they fit; a phrase that is too long is broken at words."""
    lines: list[str] = []
    for phrase in phrases:
        joined = f"{lines[-1]}, {phrase}" if lines else phrase
        if lines and note_line_width(joined, size, stacked=True) <= room:
            lines[-1] = joined
            continue
        if lines:
            lines[-1] += ","
        if note_line_width(phrase, size, stacked=True) <= room:
            lines.append(phrase)
        else:
            lines += wrap(phrase, size, room)
    return lines


def _free(box: Extent, placed: Sequence[Item]) -> bool:
    for leaf in walk((*placed,)):
        if isinstance(leaf, Line):
            if any(segment_meets_box(p, q, box) for p, q in line_segments(leaf)):
                return False
        else:
            extent = item_extent(leaf)
            if extent is not None and overlap(extent, box):
                return False
    return True


def _centre(feature: Feature) -> Point3:
    assert feature.centre is not None
    return feature.centre


def _paper_direction(view: FaceView, face: Face) -> XY:
    """A direction of the world on paper, y downwards."""
    if face.axis == view.right.axis:
        return float(face.side * view.right.side), 0.0
    if face.axis == view.up.axis:
        return 0.0, float(-face.side * view.up.side)
    return 1.0, 0.0


def _side_word(main: FaceView, view: FaceView) -> str:
    words = {
        main.face: "front", main.up: "top", opposite(main.up): "bottom", main.right: "right",
        opposite(main.right): "left", opposite(main.face): "rear",
    }  # fmt: skip
    return words[view.face]


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


