"""One view of a part on paper: outline, dimensions, leader notes, centre marks, grain and reference marks. Paper mm.

The view is drawn with its outline's upper left corner at the origin and moved to its place afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import product

from plandoc.drawing.boxes import grown, item_extent, line_segments, overlap, segment_meets_box, united
from plandoc.drawing.dimension import decimal_text, place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest, NoteRequest, Placed
from plandoc.drawing.display import XY, Extent, Group, Item, Line, Text, shifted, walk
from plandoc.drawing.leaders import Notes
from plandoc.drawing.lettering import (
    note_line_extent,
    note_line_items,
    note_line_width,
)
from plandoc.drawing.linework import (
    centre_mark,
    centre_overshoot,
    grain_mark,
    hole_rooms,
    reference_mark,
    without,
)
from plandoc.drawing.running import place_running
from plandoc.drawing.style import Style
from plandoc.drawing.takeoff import Ink
from plandoc.geometry.bodies import Face, Point3
from plandoc.geometry.strokes import Stroke
from plandoc.model.entities import Feature
from plandoc.model.rods import is_rod
from plandoc.quantity import Units, bought_number, dual_text, shop_number
from plandoc.sheets.boardlines import board_lines
from plandoc.sheets.glyphs import letter_strokes, text_width
from plandoc.sheets.partbreaks import (
    Stretch,
    break_attrs,
    break_lines,
    broken_strokes,
    clear_of_break,
    placed,
)
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
    through_boxes,
)
from plandoc.sheets.partnotes import FeatureNote, note_target, rim_side
from plandoc.sheets.partviews import Hole, Measure, PartPlan
from plandoc.sheets.taken import Taken, is_free
from plandoc.sheets.views import (
    blank_sides,
    stroke_lines,
    title_drop,
    title_height,
    title_width,
    view_group,
    view_title,
)
from plandoc.shopwork.names import edge_words, mark_of

GRAIN_LENGTH = 20.0
CENTRE_TICK = 2.5  # mm
STRAIGHT = 8  # points; a stroke with more is a curve
THIN = 2.0  # mm; a channel that prints narrower gets an arrow at its edge, not a dot
NEAR = 0.02  # mm on paper
AXIS_LETTERS = "xyz"
RUNNING_FROM = 4  # places from one reference face
RUNNING_LEAST = 2  # where they would conflict otherwise
RELIEF = 200.0  # that other bands must bring: lines that cross, not figures that stand close
LEAST_MARKED = 3.2  # mm; a view that is thinner has its reference marks before it
ALONG = tuple(n / 100 for n in (50, 44, 56, 38, 62, 30, 70, 22, 78, 15, 85, 47, 53, 41, 59, 34, 66, 26, 74, 18, 82, 11, 89, 7, 93))
OTHER_PLACES = 3  # of equal ones, that are tried for the dimension of all
OTHER_SIDE = {"above": "below", "below": "above", "left": "right", "right": "left"}


def covered(items: Iterable[Item]) -> Extent:
    """The box round items. Raises ValueError for none."""
    return united(e for i in items if (e := item_extent(i)) is not None)


@dataclass(frozen=True, slots=True)
class _Fixed:
    """A view without its leader notes. before: all that is drawn; boards: the lines of glued boards among it."""

    boards: tuple[Item, ...]
    before: tuple[Item, ...]
    crowded: tuple[str, ...]
    notes: Notes


class PartView:
    """One view of the part at a scale, with its outline's upper left corner at the origin."""

    def __init__(
        self, plan: PartPlan, view: FaceView, strokes: Sequence[Stroke], notes: Sequence[FeatureNote],
        places: frozenset[str], ratio: Fraction, units: Units, style: Style,
        left_out: Stretch | None = None,
    ) -> None:  # fmt: skip
        """strokes: the projection of the part. notes: of all views. places: of the views drawn beside this one.
        left_out: what a break leaves out."""
        self.plan, self.view, self.notes, self.places = plan, view, tuple(notes), places
        self.part, self.ratio, self.units, self.style = plan.part, ratio, units, style
        box = self.part.box
        xs = sorted(float(v) for v in (view.flat(box.lo)[0], view.flat(box.hi)[0]))
        ys = sorted(float(v) for v in (view.flat(box.lo)[1], view.flat(box.hi)[1]))
        self.place = placed(view, ratio, (xs[0], ys[1]), left_out)
        self.left_out = left_out
        self.outline: Extent = (0.0, 0.0, *self.place.paper((xs[1], ys[0])))
        self.breaks = break_lines(self.place, self.outline)
        self.lines = (*stroke_lines(broken_strokes(strokes, self.place), self.place), *self.breaks)
        self._known: dict[Extent | None, tuple[Group, Extent, tuple[str, ...]]] = {}
        self.crowded: list[str] = []
        self.by_title: list[tuple[int, Group]] = []  # left (-1) or right (1) of the title
        self.ends = [point for line in self.lines for point in line.points]
        holes = self._holes()
        spots = [self.place.spot(_centre(f)) for f in holes]
        radii = [float((f.diameter or Fraction(0)) * ratio / 2) for f in holes]
        rooms = hole_rooms(spots, radii)
        self._round = tuple(zip(spots, radii, rooms, strict=True))
        self._past = {f.id: centre_overshoot(radius, style, room) for f, radius, room in zip(holes, radii, rooms, strict=True)}
        self.straight = [s for line in self.lines if len(line.points) <= STRAIGHT for s in line_segments(line)]

    @cached_property
    def _fixed(self) -> _Fixed:
        """What does not depend on the room for notes, worked out once."""
        boards = self._boards()
        marks = [*boards, *blank_sides(self.outline, self.ends), *self._centres(), *self._lettering(), *self._hole_letters()]
        ticks = self._centre_ticks()
        dims, figures = self._dimensions(Ink([*self.lines, *marks, *ticks]))
        before: list[Item] = [*self.lines, *marks, *_met(ticks, figures), *figures]
        before += self._grain(before)
        before += self._thickness(before)
        lettering = [e for leaf in walk((*before,)) if isinstance(leaf, Text) and (e := item_extent(leaf))]
        strokes = [leaf for leaf in walk((*before,)) if isinstance(leaf, Line)]
        notes = Notes(self.outline, self._note_requests(), self.style, lettering, strokes)
        return _Fixed(boards, tuple(before), (*self.crowded, *dims.crowded), notes)

    def drawn(self, space: Extent | None = None, slim: tuple[float, float] | None = None) -> tuple[Group, Extent, tuple[str, ...]]:
        """The group, the paper it covers, and what is crowded. space: the paper that leader notes may use, None for any.
        slim: instead, how wide (mm) the view may be with its notes, and how far these may stand over and under it."""
        fixed = self._fixed
        if not fixed.notes.notes:
            space = None
        elif slim is not None:
            left, top, _, low = covered(fixed.before)
            space = (left, top - slim[1], left + slim[0], low + slim[1])
        if space not in self._known:
            self._known[space] = self._finished(fixed, fixed.notes.place(space))
        return self._known[space]

    def _finished(self, fixed: _Fixed, notes: Placed) -> tuple[Group, Extent, tuple[str, ...]]:
        placed: list[Item] = [*fixed.before, *notes.groups]
        placed += self._references(placed)
        area = covered(placed)
        if fixed.boards:  # they stop before figures that had to stand on them
            figures_at = [e for leaf in walk((*placed,)) if isinstance(leaf, Text) and (e := item_extent(leaf))]
            flat = self.view.right.axis == self.part.length_axis
            centres = [line.points for line in self._centres() if isinstance(line, Line)]
            figures_at += [(*p, *q) for p, q in centres if (p[1] == q[1]) == flat]  # a centre line that lies on a joint
            placed = [*self._boards(figures_at), *(item for item in placed if item not in fixed.boards)]
        title = self.title()
        middle = (self.outline[0] + self.outline[2]) / 2
        half = title_width(title, self.style) / 2
        placed += view_title(title, self.ratio, middle, area[3], self.style)
        sides: list[Extent] = []
        for side, group in self.by_title:
            box = covered([group])
            x = middle + side * (half + 4.0) - (box[0] if side > 0 else box[2])
            moved = shifted(group, x, area[3] + title_drop(self.style) - self.style.height("vtitle") / 2 - (box[1] + box[3]) / 2)
            placed.append(moved)
            sides.append(covered([moved]))
        extent = united([area, *sides, (middle - half, area[3], middle + half, area[3] + title_height(self.style))])
        name = f"{mark_of(self.part)}-{self.view.place}"
        view = view_group(name, self.part.path, self.place, self.ratio, placed, _side_word(self.plan.views[0], self.view))
        view = replace(view, attrs=(*view.attrs, *break_attrs(self.left_out, self.view)))
        return view, extent, (*fixed.crowded, *notes.crowded)

    def _boards(self, lettering: Sequence[Extent] = ()) -> tuple[Item, ...]:
        return board_lines(self.part, self.view, self.place, lettering) if self.view.place == MAIN else ()

    def _air(self) -> list[Extent]:
        """The paper that holes through the part take in this view: a figure there would seem to speak of the hole."""
        own = self.part.box
        across = (self.view.right.axis, self.view.up.axis)
        boxes = through_boxes(self.part, self.view.face.axis)
        return [self.place.extent(box) for box in boxes if all(own.lo[a] < box.lo[a] and box.hi[a] < own.hi[a] for a in across)]

    def title(self) -> str:
        """The face in the trade's words."""
        return edge_words(self.part, self.view.face).upper()

    # --- dimensions --------------------------------------------------------------------------------------------

    def _dimensions(self, ink: Ink) -> tuple[Placed, tuple[Group, ...]]:
        """Dimensions round the view. Where many places are measured from one reference face they stand as running
        dimensions in one band, and all else along that axis on the other side of the view. Where lines or figures would
        conflict, fewer places stand so too, and the bands on either side."""
        own = [m for m in self.plan.measures if m.place == self.view.place and m.kind != "table"]
        places = {axis: tuple(m for m in own if self.view.paper_axis(m.axis) == axis and self._from_datum(m)) for axis in ("x", "y")}
        sides = {axis: self._usual(axis)[0] for axis, row in places.items() if len(row) >= RUNNING_FROM}
        best = self._placed(own, places, sides, ink)
        for axis, row in places.items():
            if len(row) < RUNNING_LEAST:
                continue
            for side in self._usual(axis):
                if best[0].trouble >= RELIEF and sides.get(axis) != side:
                    other = self._placed(own, places, {**sides, axis: side}, ink)
                    if other[0].trouble < best[0].trouble - RELIEF:
                        best, sides = other, {**sides, axis: side}
        return best

    def _placed(
        self, own: Sequence[Measure], places: Mapping[str, tuple[Measure, ...]], sides: Mapping[str, str], ink: Ink
    ) -> tuple[Placed, tuple[Group, ...]]:
        """The dimensions, with the places along some axes of the paper as running dimensions on these sides of the view."""
        groups: list[Group] = []
        running = [m for axis in sides for m in places[axis]]
        x, y = self.place.spot(self._datum())
        for axis, side in sides.items():
            asked = [r for m in places[axis] if (r := self._request(m, side))]
            edge = {"above": self.outline[1], "below": self.outline[3], "left": self.outline[0], "right": self.outline[2]}[side]
            groups += place_running(self.outline, asked, (x, edge) if axis == "x" else (edge, y), side, self.style, ink=ink).groups
        other = {axis: OTHER_SIDE[side] for axis, side in sides.items()}
        rest = [r for m in own if m not in running and (r := self._request(m, other.get(self.view.paper_axis(m.axis), "")))]
        kept = [e for leaf in walk((*groups,)) if not isinstance(leaf, Line) and (e := item_extent(leaf))]
        kept += [e for line in self.breaks if (e := item_extent(line))]  # they stand out of the outline
        dims = place_dimensions(self.outline, rest, self.style, kept, ink=ink, closed=frozenset(sides.values()))
        return dims, (*dims.groups, *groups)

    def _datum(self) -> Point3:
        """The corner of the part where its three reference faces meet."""
        lo, hi, sides = self.part.box.lo, self.part.box.hi, self.part.datum
        return (
            lo[0] if sides[0] < 0 else hi[0],
            lo[1] if sides[1] < 0 else hi[1],
            lo[2] if sides[2] < 0 else hi[2],
        )

    def _from_datum(self, measure: Measure) -> bool:
        """Whether it is a single place measured from the part's reference face."""
        side = self.part.datum[measure.axis]
        datum = (self.part.box.lo if side < 0 else self.part.box.hi)[measure.axis]
        return measure.kind == "loc" and measure.printed_count == 1 and (measure.lo if side < 0 else measure.hi) == datum

    def _request(self, measure: Measure, side: str = "") -> DimensionRequest | None:
        axis = self.view.paper_axis(measure.axis)
        if measure.kind == "table" or not axis:
            return None
        side = side or self._side(measure, axis)
        joined = measure.kind == "size" and any(f.joint for f in self._own(measure))  # it must fit its mate
        fine = joined or measure.axis == self.part.thickness_axis
        number = shop_number(measure.hi - measure.lo, self.units.fine if fine else self.units)
        if measure.count > 1 and not number.exact:  # a pitch must not add up its rounding
            number = bought_number(measure.hi - measure.lo, self.units) or number
        (lo, hi), *elsewhere = ((self._end(measure, a, axis, side), self._end(measure, b, axis, side)) for a, b in measure.edges)
        return DimensionRequest(
            axis, lo, hi, measure.hi - measure.lo, number, measure.kind, side,
            self._names(measure), AXIS_LETTERS[measure.axis], measure.printed_count, tuple(elsewhere[:: -(-len(elsewhere) // OTHER_PLACES) or 1]),
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

    def _usual(self, axis: str) -> tuple[str, str]:
        """The side of the view for dimensions along a paper axis, away from a neighbouring view, and the other one."""
        places = self.places
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
        return usual, other

    def _side(self, measure: Measure, axis: str) -> str:
        """The side of the view on which the measure stands: the usual one, or near its feature."""
        usual, other = self._usual(axis)
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
                room = radius + self._past.get(feature.id, centre_overshoot(radius, self.style)) if radius else self._half(feature, across) + CENTRE_TICK
                levels.append(min(max(spot[across] + towards * room, self.outline[across]), self.outline[across + 2]))
        if not levels:
            levels = [p[across] for p in self.ends if abs(p[1 - across] - along) < NEAR]
        edge = self.outline[2 + across] if towards > 0 else self.outline[across]
        level = max(levels, key=lambda v: v * towards) if levels else edge
        return (along, level) if axis == "x" else (level, along)

    # --- notes and marks ---------------------------------------------------------------------------------------

    def _note_requests(self) -> list[NoteRequest]:
        requests = []
        for note in self.notes:
            if note.place != self.view.place:
                continue
            if note.targets:
                spots = [(self.place.spot(point), note.features[0]) for point in note.targets]
                spot, feature = max(spots, key=lambda row: row[0][0] - row[0][1])
                others = tuple(at for at, _ in spots if at != spot)
                requests.append(NoteRequest(spot, note.lines, 0.0, "arrow", feature.id, others))
                continue
            spots = [(self._target(f), f) for f in note.features]
            spot, feature = max(spots, key=lambda row: (row[0][0] - row[0][1], row[1].id))
            radius = float((feature.diameter or Fraction(0)) * self.ratio / 2)
            end = "arrow" if note.round or feature.text or self._thin(feature) else "dot"
            toward = rim_side(self.part, self.view, feature)
            others = tuple(at for at, f in spots if at != spot and rim_side(self.part, self.view, f) == toward)
            requests.append(NoteRequest(spot, note.lines, radius, end, feature.id, others, toward))
        return requests

    def _target(self, feature: Feature) -> XY:
        """Where a leader aims: for lettering just behind its last letter, half-way up."""
        if not feature.text or feature.centre is None or feature.height is None:
            return clear_of_break(self.place, self.place.spot(note_target(self.plan, self.view, feature)))
        high = float(feature.height * self.ratio)
        ux, uy = self._along(feature)
        run = text_width(feature.text, high) / 2 + 0.8
        x, y = self.place.spot(feature.centre)
        return x + ux * run, y + uy * run

    def _half(self, feature: Feature, across: int) -> float:
        """Half of the width (across 0) or height on paper of lettering, with a little room, or of other work."""
        if not feature.text:
            box = feature_box(feature)
            extent = self.place.extent(box) if box is not None else (0.0, 0.0, 0.0, 0.0)
            return (extent[across + 2] - extent[across]) / 2
        high = float((feature.height or Fraction(0)) * self.ratio)
        level = self._along(feature)[0] != 0
        return 0.8 + (text_width(feature.text, high) if level == (across == 0) else high) / 2

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
        own = [s.feature for s in self.plan.shapes if s.place == self.view.place]
        return [f for f in own if f.diameter is not None and f.centre is not None]

    def _centres(self) -> list[Item]:
        items: list[Item] = []
        for spot, radius, room in self._round:
            for line in centre_mark(spot, radius, self.style, room):
                items += without(line, self.straight)
        return items

    def _centre_ticks(self) -> list[Line]:
        """What a centre line shows of itself beyond lettering and slots, whose middle is measured: a short dash on each side."""
        ticks: list[Line] = []
        for shape in self.plan.shapes:
            feature = shape.feature
            if shape.place != self.view.place or feature.centre is None or feature.diameter is not None:
                continue
            x, y = self.place.spot(feature.centre)
            for across in (0, 1):
                near = self._half(feature, across)
                for way in (near, near + CENTRE_TICK), (-near, -near - CENTRE_TICK):
                    ends = tuple((x, y + d) if across else (x + d, y) for d in way)
                    if self.outline[across] < ends[1][across] < self.outline[across + 2]:
                        ticks.append(Line("ctr", ends))
        return ticks

    def _hole_letters(self) -> list[Item]:
        items: list[Item] = []
        size = self.style.height("note")
        for place, holes in self.plan.tables:
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
                if is_free((cx - half - 0.5, cy - tall - 0.5, cx + half + 0.5, cy + tall + 0.5), placed):
                    return cx, cy + tall
        self.crowded.append(f"no room for the letter {hole.letter}")
        return x + outside[0], y - outside[1] + tall

    def _lettering(self) -> list[Item]:
        items: list[Item] = []
        for shape in self.plan.shapes:
            feature = shape.feature
            if shape.place != self.view.place or not feature.text or feature.centre is None or feature.height is None:
                continue
            spot = self.place.spot(feature.centre)
            items += letter_strokes(feature.text, spot, float(feature.height * self.ratio), self._along(feature))
        return items

    def _grain(self, placed: Sequence[Item]) -> tuple[Item, ...]:
        """The grain mark at the most central free place inside the main view; where it is full, beside the title."""
        if self.view.place != MAIN or not self.part.stock.grain:
            return ()
        flat = self.view.right.axis == self.part.length_axis
        box = covered(grain_mark((0.0, 0.0), GRAIN_LENGTH, flat, self.style))
        spot = self._free_spot(box, placed, (0.5, 0.5))
        if spot is None:
            self.by_title.append((-1, Group("grain", grain_mark((0.0, 0.0), GRAIN_LENGTH, flat, self.style))))
            return ()
        return (Group("grain", grain_mark(spot, GRAIN_LENGTH, flat, self.style)),)

    def _thickness(self, placed: Sequence[Item]) -> list[Item]:
        """The overall size that no view shows: as words in the view, or where it is full beside the title."""
        items: list[Item] = []
        size = self.style.height("note")
        for measure in self.plan.measures:
            if measure.place != self.view.place or self.view.paper_axis(measure.axis):
                continue
            thick = measure.axis == self.part.thickness_axis
            word = "THICK" if thick else "LONG" if measure.axis == self.part.length_axis else "WIDE"
            words = f"{dual_text(measure.hi - measure.lo, self.units.fine if thick else self.units)} {word}"
            box = note_line_extent(words, (0.0, 0.0), size, "middle", stacked=True)
            spot = self._free_spot(box, placed, (0.5, 0.25))
            attrs = (
                ("axis", AXIS_LETTERS[measure.axis]), ("mm", decimal_text(measure.hi - measure.lo)), ("kind", measure.kind)
            )  # fmt: skip
            at = spot or (0.0, 0.0)
            group = Group("thickness", note_line_items(words, at, size, "note", "middle", stacked=True), "", attrs)
            if spot is None:
                self.by_title.append((1, group))
            else:
                items.append(group)
        return items

    def _free_spot(self, box: Extent, placed: Sequence[Item], near: XY) -> XY | None:
        """Where in the outline a thing with this box (round its anchor) stands free, nearest to a place given in parts
        of the outline's width and height."""
        x0, y0, x1, y1 = self.outline
        spots = [(i / 16, j / 16) for i in range(1, 16) for j in range(1, 16)]
        spots.sort(key=lambda s: (abs(s[0] - near[0]) + abs(s[1] - near[1]), s))
        places: list[XY] = []
        boxes: list[Extent] = []
        for u, v in spots:
            x, y = x0 + u * (x1 - x0), y0 + v * (y1 - y0)
            here = (box[0] + x, box[1] + y, box[2] + x, box[3] + y)
            if x0 + 1 <= here[0] and y0 + 1 <= here[1] and here[2] <= x1 - 1 and here[3] <= y1 - 1:
                places.append((x, y))
                boxes.append(grown(here, 1.5))
        free, air = Taken(placed).free(boxes), self._air()
        return next(
            (p for p, b, good in zip(places, boxes, free, strict=True) if good and not any(overlap(b, hole) for hole in air)), None
        )

    def _references(self, placed: Sequence[Item]) -> list[Item]:
        """Marks of the reference faces that are seen as edges in this view: in the view, else before it."""
        items: list[Item] = []
        if is_rod(self.part):
            return items
        x0, y0, x1, y1 = self.outline
        for axis, kind in ((self.part.thickness_axis, "face"), (self.part.width_axis, "edge")):
            paper = self.view.paper_axis(axis)
            if not paper:
                continue
            tx, ty = _paper_direction(self.view, Face(axis, self.part.datum[axis]))
            for outside, u in product((False, True), ALONG):
                if not outside and min(x1 - x0, y1 - y0) < LEAST_MARKED:
                    continue
                at = (x1 if tx > 0 else x0, y0 + u * (y1 - y0)) if paper == "x" else (x0 + u * (x1 - x0), y1 if ty > 0 else y0)
                mark = reference_mark(at, (-tx, -ty), self.style, kind, outside)
                box, off = covered(mark), 0.3 if outside else -0.3
                clear = (box[0] + tx * off, box[1] + ty * off, box[2] + tx * off, box[3] + ty * off)
                if self._on_outline(at, paper) and is_free(clear, [*placed, *items]):
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
        return any(segment_meets_box(*segment, box) for segment in self.straight)


def _met(ticks: Sequence[Line], figures: Sequence[Group]) -> list[Line]:
    """The dashes that an extension line carries on."""
    lines = [leaf.points for leaf in walk((*figures,)) if isinstance(leaf, Line) and leaf.role == "ext"]
    found = []
    for tick in ticks:
        (x, y), (u, v) = tick.points
        along = 0 if abs(u - x) > abs(v - y) else 1
        end, across = (u, v)[along], (x, y)[1 - along]
        if any(abs(a[1 - along] - across) < NEAR and abs(a[along] - end) < 2 * CENTRE_TICK for a, *_ in lines):
            found.append(tick)
    return found


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
