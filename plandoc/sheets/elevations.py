"""Elevations of the whole: front, right side and plan, projected from each other, with the sizes of the whole.

Third or first angle as the plan says. Each figure stands once: heights and widths in the front view, depths in the
side view.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise, product

from plandoc.build.pieces import drawn_apart, piece_model, piece_name
from plandoc.build.units import units
from plandoc.drawing.boxes import grown, item_extent, line_segments, overlap, segment_meets_box, united
from plandoc.drawing.dimension import place_dimensions
from plandoc.drawing.display import Arc, Circle, Extent, Group, Item, Line, Text, shifted, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.drawing.linework import arrow, centre_mark, cutting_plane
from plandoc.drawing.precedence import Stronger
from plandoc.drawing.scales import listed_scales
from plandoc.drawing.takeoff import Ink
from plandoc.geometry.bodies import ACROSS, BACK, UP, Box, Disc, Face, Prism, box_prism
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import EDGE, Stroke
from plandoc.geometry.view import FRONT, ISO, RIGHT, TOP, Projection
from plandoc.model.entities import Model
from plandoc.model.rods import is_rod
from plandoc.quantity import dual_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.elevationsizes import elevation_sizes
from plandoc.sheets.levels import (
    MATCH,
    facings,
    levels,
    picture_axis,
)
from plandoc.sheets.opened import Opened, opened_lines
from plandoc.sheets.partnotes import lean_words
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.section_plan import Cut, section_cuts, sight_letter
from plandoc.sheets.traced import in_sight, traced
from plandoc.sheets.views import (
    Placement,
    blank_sides,
    inscribed,
    moved_bodies,
    picture,
    scale_drop,
    stroke_lines,
    title_height,
    view_group,
    view_title,
)
from plandoc.shopwork.hardwarelist import height_words
from plandoc.shopwork.names import joined_names

ORDER = 100
MARK_ROOM = 10.0  # mm outside the outline for the ends of a cutting plane
LETTER_ROOM = 16.0  # mm from a cutting plane to the far side of its letter
LEAST_BANDS = 20.0  # mm that dimensions take beside the views in any case
SENSIBLE = 62.0  # mm: the larger of width and height in front prints at least so, else the views part
LEAST_WIDE = 44.0  # mm: its width at least so
SHAFTS = (8.0, 9.5, 6.5, 11.0, 5.0, 12.5, 14.0)  # mm, arrows of a cutting plane, the usual one first
ON_EDGE = 0.05  # mm on paper; lines nearer to each other than this are one
LEAST_PICTURE = 45.0  # mm each way for an isometric picture in the free corner
HIDDEN_APART = 0.9  # mm on paper between hidden lines; nearer ones would run together
SHORT_HIDDEN = 3.0  # mm on paper; shorter hidden lines tell nothing
MOST_HIDDEN = 60
ROUND = 0.2  # mm of the model between a circle of chords and its box
OPENED_SCALES = 3  # how many scales from the largest one down are tried with what opens
LEAST_NOTE = 44.0  # mm; words of what opens are broken to the width of the view, or to this
BELOW, BELOW_PLAN, UNTOLD = "below its view", "below the plan", ""  # where words say what opens
TITLES = {"front": "FRONT", "right": "RIGHT SIDE", "top": "TOP"}


SHUT = Opened()


@dataclass(frozen=True, slots=True)
class Wish:
    """One view to draw: its strokes, and the world axes' edges it dimensions, as (axis, side, gaps, kind)."""

    view: Projection
    strokes: tuple[Stroke, ...]
    cuts: tuple[Cut, ...]
    notes: tuple[str, ...] = ()
    opened: Opened = SHUT


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """The views of the whole, or of each piece where the plan has several that would print too small together."""
    found: list[Draft] = []
    cuts = section_cuts(ctx.model)
    for number, piece in enumerate(drawn_apart(ctx.model)):
        part = replace(ctx, model=piece_model(ctx.model, piece))
        sketch = _Sketch(part, [c for c in cuts if c.piece == piece], sight_letter(ctx.model, number))
        found += _composed(sketch, len(found) + 1, f": {piece_name(ctx.model, piece)}")
    return tuple(found) or _composed(_Sketch(ctx, cuts, sight_letter(ctx.model, 0)), 1, "")


def _composed(sketch: _Sketch, number: int, name: str) -> tuple[Draft, ...]:
    """One sheet with three views: projected from each other, or with the plan beside the side view and an arrow that
    says where it is seen from (ISO 128-3); two sheets where they would print too small together."""
    every = ("front", "right", "top")
    shop = sketch.model.info.units
    # what opens is drawn open where that takes no second sheet and no much smaller scale
    for sketch.removed in (False, True):
        sketch.opened, sketch.told = False, UNTOLD
        fitting = sketch.fit(every, sketch.readable)
        if fitting is not None:
            sketch.opened, sketch.told = any(w.opened.lines for w in sketch.wishes.values()), BELOW
            near = [s for s in listed_scales(shop) if s <= fitting and sketch.readable(s)][:OPENED_SCALES]
            scale = next((s for s in near if sketch.opened and sketch.fits(every, s)), None)
            sketch.opened = scale is not None
            if not sketch.opened:
                for sketch.told in (BELOW, BELOW_PLAN, UNTOLD):
                    if sketch.fits(every, fitting):
                        break
            return (_draft(sketch, f"2.{number}", f"Elevations{name}", every, scale or fitting),)
    sketch.told = BELOW
    sketch.removed = False
    apart = sketch.fit(("front", "right")) or listed_scales(shop)[-1]
    for sketch.opened, sketch.removed in ((True, False), (True, True), (False, False), (False, True)):
        together = sketch.fit(every)
        if together is not None and apart <= together:
            return (_draft(sketch, f"2.{number}", f"Elevations{name}", every, together),)
    sketch.opened, sketch.removed = True, False
    first = _draft(sketch, f"2.{number}", f"Elevations{name}", ("front", "right"), apart)
    sketch.alone = True
    scale = sketch.fit(("top",)) or apart
    return (first, _draft(sketch, f"2.{number + 1}", f"Plan{name}", ("top",), scale))


def wanted(ctx: SheetContext) -> bool:
    """Whether anything has a place."""
    return bool(ctx.model.placed)


def _draft(sketch: _Sketch, code: str, title: str, names: tuple[str, ...], scale: Fraction) -> Draft:
    return Draft("elevations", code, title, sketch.draw(names, scale), (scale,))


@dataclass(frozen=True, slots=True)
class _Bands:
    """Room (mm) round a view's outline."""

    left: float
    above: float
    right: float
    below: float


class _Sketch:
    """The views of one piece: traced once, laid out at any scale."""

    def __init__(self, ctx: SheetContext, cuts: Sequence[Cut], sight: str) -> None:
        """cuts: the sections of the piece. sight: the letter of the arrow along which the plan is seen."""
        self.ctx, self.sight = ctx, sight
        self.model = ctx.model
        box = ctx.model.box
        assert box is not None
        self.box: Box = box
        self.alone = False  # the plan stands on a sheet of its own
        self.opened = True  # what opens stands open
        self.told = BELOW  # where words say what opens
        self.removed = False  # the plan stands out of its projected place
        self.drawn: dict[tuple[str, Fraction, bool, bool, bool, str], Group] = {}
        self.third = ctx.model.info.projection != "first"
        bodies = moved_bodies(ctx.solids, tuple(p.path for p in ctx.model.placed))
        side = (*traced(in_sight(bodies, RIGHT), RIGHT), *_shelf_edges(self.model, bodies))
        self.wishes: dict[str, Wish] = {
            "front": Wish(
                FRONT, traced(in_sight(bodies, FRONT), FRONT), tuple(c for c in cuts if c.axis != BACK),
                (*_gap_notes(self.model), *(words.upper() for words in (height_words(self.model),) if words), *_lean_notes(self.model)),
            ),
            "right": Wish(RIGHT, side, tuple(c for c in cuts if c.axis == BACK)),
            "top": Wish(TOP, traced(in_sight(bodies, TOP), TOP), ()),
        }
        for name, wish in self.wishes.items():
            found = opened_lines(ctx, name, wish.view)
            self.wishes[name] = replace(wish, opened=found)

    def fits(self, names: Sequence[str], scale: Fraction) -> bool:
        """Whether these views fit together at a scale."""
        x0, y0, x1, y1 = self.ctx.space
        across, down = self._size(names, scale)
        return across <= x1 - x0 + 1e-6 and down <= y1 - y0 + 1e-6

    def readable(self, scale: Fraction) -> bool:
        """Whether the front view prints large enough."""
        wide, high = float(self.box.size(ACROSS) * scale), float(self.box.size(UP) * scale)
        return max(wide, high) >= SENSIBLE and wide >= LEAST_WIDE

    def fit(self, names: Sequence[str], good: Callable[[Fraction], bool] = lambda scale: True) -> Fraction | None:
        """The largest listed scale at which these views fit together and that is good enough, None where none is."""
        x0, y0, x1, y1 = self.ctx.space
        sizes = (float(self.box.size(ACROSS)), float(self.box.size(BACK)), float(self.box.size(UP)))
        for scale in listed_scales(self.model.info.units):
            if not good(scale):
                break
            beside = self.removed and "top" in names
            wide = sizes[0] + (sizes[1] if "right" in names else 0.0) + (sizes[0] if beside else 0.0)
            high = (0.0 if names == ("top",) else sizes[2]) + (sizes[1] if "top" in names and not beside else 0.0)
            if wide * scale + LEAST_BANDS > x1 - x0 or high * scale + title_height(self.ctx.style) > y1 - y0:
                continue
            if self.fits(names, scale):
                return scale
        return None

    def _size(self, names: Sequence[str], scale: Fraction) -> tuple[float, float]:
        columns, rows = self._grid(names)
        bands = {name: self._bands(name, scale) for name in names}
        outline = {name: self._outline(name, scale) for name in names}
        clear = self.ctx.style.view_clearance
        wide = sum(
            max(bands[n].left for n in c) + max(bands[n].right for n in c) + max(outline[n][0] for n in c) for c in columns
        ) + clear * (len(columns) - 1)
        high = sum(
            max(bands[n].above for n in r) + max(bands[n].below for n in r) + max(outline[n][1] for n in r) for r in rows
        ) + clear * (len(rows) - 1)
        return wide, high

    def _grid(self, names: Sequence[str]) -> tuple[list[list[str]], list[list[str]]]:
        """Columns from the left and rows from above, after the projection."""
        if self.removed and "top" in names:
            return [[n] for n in names], [list(names)]
        front = [n for n in ("top", "front") if n in names]
        side = [n for n in ("right",) if n in names]
        columns = [c for c in ((front, side) if self.third else (side, front)) if c]
        plan = [n for n in ("top",) if n in names]
        upright = [n for n in ("front", "right") if n in names]
        rows = [r for r in ((plan, upright) if self.third else (upright, plan)) if r]
        return columns, rows

    def _outline(self, name: str, scale: Fraction) -> tuple[float, float]:
        x0, y0, x1, y1 = Placement(self.wishes[name].view, float(scale), (0.0, 0.0)).extent(self.box)
        return x1 - x0, y1 - y0

    def _at_origin(self, name: str, scale: Fraction) -> Group:
        """The view drawn once for each scale, the model's origin at the paper's."""
        key = (name, scale, self.alone, self.removed and name != "right", self.opened, self.told)
        if key not in self.drawn:
            self.drawn[key] = self._view(name, Placement(self.wishes[name].view, float(scale), (0.0, 0.0)), scale)
        return self.drawn[key]

    def _bands(self, name: str, scale: Fraction) -> _Bands:
        group = self._at_origin(name, scale)
        outline = Placement(self.wishes[name].view, float(scale), (0.0, 0.0)).extent(self.box)
        whole = item_extent(group) or outline
        return _Bands(
            outline[0] - whole[0], outline[1] - whole[1], whole[2] - outline[2], whole[3] - outline[3],
        )  # fmt: skip

    def draw(self, names: Sequence[str], scale: Fraction) -> tuple[Item, ...]:
        """The views in their places, balanced in the drawing space."""
        x0, y0, x1, y1 = self.ctx.space
        columns, rows = self._grid(names)
        bands = {name: self._bands(name, scale) for name in names}
        outline = {name: self._outline(name, scale) for name in names}
        wide, high = self._size(names, scale)
        clear = self.ctx.style.view_clearance
        spare_x, spare_y = max(0.0, x1 - x0 - wide), max(0.0, y1 - y0 - high)
        step_x = clear + min(spare_x / (len(columns) + 1), 20.0)
        step_y = clear + min(spare_y / (len(rows) + 1), 10.0)
        lefts: dict[str, float] = {}
        x = x0 + max(0.0, (x1 - x0 - wide - (step_x - clear) * (len(columns) - 1)) / 2)
        for column in columns:
            x += max(bands[n].left for n in column)
            for name in column:
                lefts[name] = x
            x += max(outline[n][0] for n in column) + max(bands[n].right for n in column) + step_x
        tops: dict[str, float] = {}
        y = y0 + max(0.0, (y1 - y0 - high - (step_y - clear) * (len(rows) - 1)) / 2)
        for row in rows:
            y += max(bands[n].above for n in row)
            for name in row:
                tops[name] = y
            y += max(outline[n][1] for n in row) + max(bands[n].below for n in row) + step_y
        groups: list[Item] = []
        for name in names:
            free = Placement(self.wishes[name].view, float(scale), (0.0, 0.0))
            corner = free.extent(self.box)
            dx, dy = round(lefts[name] - corner[0], 3), round(tops[name] - corner[1], 3)
            groups.append(shifted(self._at_origin(name, scale), dx, dy))
        if self.removed and "top" in names:
            groups += self._under_plan(groups)
        elif "top" in names and "right" in names:
            groups += self._corner_picture(groups)
        return tuple(groups)

    def _corner_picture(self, views: Sequence[Item]) -> list[Item]:
        """The piece in isometric view in the corner that the projection leaves free, where there is room."""
        x0, y0, x1, y1 = self.ctx.space
        front, right, top = (e for e in (item_extent(v) for v in views) if e is not None)
        clear = self.ctx.style.view_clearance
        if self.third:
            corner = (max(top[2], front[2]) + clear, y0, x1, min(right[1], front[1]) - clear)
        else:
            corner = (x0, max(right[3], front[3]) + clear, min(top[0], front[0]) - clear, y1)
        if corner[2] - corner[0] < LEAST_PICTURE or corner[3] - corner[1] < LEAST_PICTURE:
            return []
        paths = tuple(p.path for p in self.model.placed)
        ratio = 0.5  # paper over model at most
        return [picture(moved_bodies(self.ctx.solids, paths), ISO, corner, largest=ratio, parts=self.model.placed)]

    def _under_plan(self, views: Sequence[Item]) -> list[Item]:
        """The piece in isometric view under a plan that stands beside the side view."""
        _, _, x1, y1 = self.ctx.space
        _, right, top = (e for e in (item_extent(v) for v in views) if e is not None)
        clear = self.ctx.style.view_clearance
        corner = (right[2] + clear, top[3] + clear, x1, y1)
        if corner[2] - corner[0] < LEAST_PICTURE or corner[3] - corner[1] < LEAST_PICTURE:
            return []
        paths = tuple(p.path for p in self.model.placed)
        return [picture(moved_bodies(self.ctx.solids, paths), ISO, corner, largest=0.5, parts=self.model.placed)]

    def _seen_from(self, outline: Extent, marks: Sequence[Item]) -> Group:
        """The arrow over the front view along which the plan is seen, with its letter at the right, clear of the marks
        that stand there."""
        style, size = self.ctx.style, self.ctx.style.height("label")
        taken = [e for e in (item_extent(m) for m in walk(tuple(marks))) if e is not None]
        choices: list[tuple[int, int, tuple[Item, ...]]] = []
        for share in (0.85, 0.15, 0.7, 0.3, 0.95, 0.05, 0.5):
            tip = (outline[0] + share * (outline[2] - outline[0]), outline[1] - 2.0)
            text = Text("label", (tip[0] + 2.0, tip[1] - 2.0), self.sight, size, "start", 0, True)
            items = (*arrow(tip, (0.0, 1.0), style, 9.0), text)
            box = item_extent(Group("sight", items)) or outline
            choices.append((sum(overlap(box, e, 1.5) for e in taken), len(choices), items))
        return Group("sight", min(choices, key=lambda c: c[:2])[2], id="sight-top", attrs=(("letter", self.sight),))

    def _view(self, name: str, place: Placement, scale: Fraction) -> Group:
        """One view with its dimensions, marks and title."""
        wish, style = self.wishes[name], self.ctx.style
        outline = place.extent(self.box)
        marks: list[Item] = [self._mark(cut, place, outline) for cut in wish.cuts]
        room = list(outline)
        for cut in wish.cuts:
            upright = picture_axis(place.view, cut.axis)[0] == 0
            for side in (1, 3) if upright else (0, 2):
                room[side] += -MARK_ROOM - 2.0 if side < 2 else MARK_ROOM + 2.0
        phantom = list(_phantom(wish.opened, place)) if self.opened else []
        if phantom:
            room = list(united([(room[0], room[1], room[2], room[3]), *(e for p in phantom if (e := item_extent(p)) is not None)]))
        if name == "front" and self.removed:
            marks.append(self._seen_from(outline, marks))
        asked = elevation_sizes(self.model, name, wish.strokes, place, self.alone)
        blocked = [e for e in (item_extent(m) for m in walk(tuple(marks)) if isinstance(m, Text)) if e is not None]
        kept = self._kept(wish, place.ratio)
        edges = list(stroke_lines((s for s in kept if not (s.hidden and s.closed)), place))
        rounds = [_circle(s, place) for s in kept if s.hidden and s.closed]  # as chords they would not be dashed
        blank = blank_sides(outline, [point for line in edges for point in line.points])
        ink = Ink([*edges, *blank, *marks])
        placed = place_dimensions((room[0], room[1], room[2], room[3]), asked, style, blocked, "tick", ink=ink)
        for number, cut in enumerate(wish.cuts):
            others = [*marks[:number], *marks[number + 1 :], *placed.groups, *phantom]
            marks[number] = self._mark(cut, place, outline, others, edges)
        strong = Stronger(edges)
        phantom = [i for p in phantom for i in (strong.less([p], SHORT_HIDDEN) if isinstance(p, Line) else [strong.less_arc(p)]) if i is not None]
        letters = inscribed(self.model.placed, moved_bodies(self.ctx.solids, tuple(p.path for p in self.model.placed)), place)
        items: list[Item] = [*edges, *rounds, *blank, *letters, *phantom, *self._axes(place), *marks, *placed.groups]
        low = max([outline[3], *(e[3] for e in (item_extent(i) for i in items) if e is not None)])
        middle = (outline[0] + outline[2]) / 2
        title = TITLES[name] + (f" ({self.sight})" if name == "top" and self.removed else "")
        items += view_title(title, scale, middle, low, style, self.model.info.units)
        size = style.height("note")
        told = {BELOW: wish.opened.notes, UNTOLD: ()}.get(self.told, ())
        if self.told == BELOW_PLAN and name == "top":
            told = tuple(dict.fromkeys(n for w in self.wishes.values() for n in w.opened.notes))
        wide = max(outline[2] - outline[0], LEAST_NOTE)
        rows = [line for note in told for line in wrap(note, size, wide)]
        for number, note in enumerate((*wish.notes, *rows), 1):
            y = low + scale_drop(style) + number * 1.7 * size
            items += note_line_items(note, (middle, y), size, anchor="middle", stacked=False)
        return view_group(f"elevation-{name}", "", place, scale, items)

    def _kept(self, wish: Wish, ratio: float) -> list[Stroke]:
        """Visible strokes, and the hidden ones that are long, apart and few enough to tell something."""
        hidden: list[Stroke] = []
        for stroke in sorted((s for s in wish.strokes if s.hidden), key=lambda s: (s.points[0][1], s.points)):
            level = stroke.points[0][1]
            near = any(abs(level - s.points[0][1]) * ratio < HIDDEN_APART and _beside(s, stroke) for s in hidden)
            if _length(stroke) * ratio >= SHORT_HIDDEN and not near:
                hidden.append(stroke)
        if len(hidden) > MOST_HIDDEN:
            hidden = []
        return [s for s in wish.strokes if not s.hidden] + hidden

    def _mark(self, cut: Cut, place: Placement, outline: Extent, others: Sequence[Item] = (), edges: Sequence[Line] = ()) -> Group:
        """The cutting plane where it is seen as a line, its ends outside the outline and its letters clear of all that
        is drawn around the view. Along an edge that is seen only its ends are drawn."""
        x, y = place.spot(_at(self.box, cut))
        across, back, up = cut.look.normal
        look_x, look_y = place.view.flat_point((float(across), float(back), float(up)))
        if picture_axis(place.view, cut.axis)[0] == 0:
            ends = ((x, outline[1] - MARK_ROOM), (x, outline[3] + MARK_ROOM))
        else:
            ends = ((outline[0] - MARK_ROOM, y), (outline[2] + MARK_ROOM, y))
        options = [cutting_plane(*ends, cut.letter, (look_x, -look_y), self.ctx.style, (long, long)) for long in SHAFTS]
        leaves = list(walk(tuple(others)))
        strokes = [s for leaf in leaves if isinstance(leaf, Line) for s in line_segments(leaf)]
        texts = [e for leaf in leaves if isinstance(leaf, Text) and (e := item_extent(leaf)) is not None]
        shafts = []
        for end in (0, 1):
            boxes = [item_extent([i for i in items if isinstance(i, Text)][end]) or outline for items in options]
            costs = [
                sum(segment_meets_box(*s, grown(box, 0.6)) for s in strokes) + sum(overlap(box, t, 0.8) for t in texts) for box in boxes
            ]
            shafts.append(SHAFTS[costs.index(min(costs))])
        items = cutting_plane(*ends, cut.letter, (look_x, -look_y), self.ctx.style, (shafts[0], shafts[1]))
        if any(_along(i, edge) for i in items if isinstance(i, Line) and i.role == "ctr" for edge in edges):
            items = tuple(i for i in items if not isinstance(i, Line) or i.role != "ctr")
        return Group("cutting", items, id=f"plane-{cut.letter}-{place.view.name}", attrs=(("letter", cut.letter),))

    def _axes(self, place: Placement) -> list[Item]:
        """Centre lines of round work that faces the viewer and prints large enough."""
        items: list[Item] = []
        axis = next(a for a in range(3) if picture_axis(place.view, a)[0] < 0)
        side = 1 if place.view.toward[axis] > 0 else -1
        for part in self.model.placed:
            for feature in part.features:
                if feature.face != Face(axis, side) or feature.centre is None or feature.diameter is None:
                    continue
                if not any(isinstance(c, Prism) and isinstance(c.outline, Disc) for c in feature.cuts) or part.lean is not None or not self._outermost(part.box, axis, side):
                    continue
                radius = float(feature.diameter) / 2 * place.ratio
                items += centre_mark(place.spot(feature.centre), radius, self.ctx.style)
        return items

    def _outermost(self, box: Box, axis: int, side: int) -> bool:
        face = Face(axis, side)
        return box.at(face) == self.box.at(face)


def _at(box: Box, cut: Cut) -> tuple[float, float, float]:
    """A point of the cutting plane."""
    point = [float(v) for v in box.lo]
    point[cut.axis] = float(cut.at)
    return point[0], point[1], point[2]


def _along(line: Line, edge: Line) -> bool:
    """Whether a level or upright line and an edge lie on each other for more than a mm on paper."""
    for (p, q), (a, b) in product(line_segments(line), line_segments(edge)):
        for along in (0, 1):
            level = max(v[1 - along] for v in (p, q, a, b)) - min(v[1 - along] for v in (p, q, a, b))
            shared = min(max(p[along], q[along]), max(a[along], b[along])) - max(min(p[along], q[along]), min(a[along], b[along]))
            if level < ON_EDGE and shared > 1.0:
                return True
    return False


def _circle(stroke: Stroke, place: Placement) -> Circle:
    """The hidden circle that a closed stroke follows."""
    x0, x1, y0, y1 = (f(p[axis] for p in stroke.points) for axis in (0, 1) for f in (min, max))
    return Circle("hid", place.paper(((x0 + x1) / 2, (y0 + y1) / 2)), (x1 - x0) / 2 * place.ratio)


def _length(stroke: Stroke) -> float:
    return sum(abs(q[0] - p[0]) + abs(q[1] - p[1]) for p, q in pairwise(stroke.points))


def _beside(a: Stroke, b: Stroke) -> bool:
    """Whether two level strokes at different heights run beside each other."""
    spans = [sorted((s.points[0][0], s.points[-1][0])) for s in (a, b)]
    level = abs(a.points[0][1] - b.points[0][1]) > MATCH
    return level and min(spans[0][1], spans[1][1]) > max(spans[0][0], spans[1][0])


def _phantom(opened: Opened, place: Placement) -> Iterator[Line | Arc]:
    for line in opened.lines:
        yield Line("phm", tuple(place.paper(p) for p in line))
    for centre, radius, start, end in opened.arcs:
        yield Arc("phm", place.paper(centre), radius * place.ratio, start, end)


def _shelf_edges(model: Model, bodies: Sequence[tuple[str, Solid]]) -> tuple[Stroke, ...]:
    """The hidden level edges of shelves, bottoms and dividers of the whole from the right, and the circles of rods that are seen end
    on; those of drawers and other nested assemblies tell nothing from outside."""
    shelves = [p for p in levels(model) if not p.assembly or len(units(model, p.assembly)) < 2]
    names = [p.path for p in shelves]
    rods = {p.path: p.box for p in shelves if is_rod(p)}
    plain = [row for row in bodies if row[0] in rods] + [(p.path, Solid.from_prisms([box_prism(p.box)])) for p in shelves if p.path not in rods]
    others = [(name, solid) for name, solid in in_sight(bodies, RIGHT) if name not in names]
    heights = [float(p.box.at(Face(UP, side))) for p in shelves if p.path not in rods for side in (-1, 1)]
    rounds = [box for p, box in rods.items() if model.part(p).length_axis == ACROSS]

    def tells(stroke: Stroke) -> bool:
        if stroke.closed:
            ends = [f(p[axis] for p in stroke.points) for axis in (0, 1) for f in (min, max)]
            return any(all(abs(a - float(b)) < ROUND for a, b in zip(ends, (*box.span(BACK), *box.span(UP)), strict=True)) for box in rounds)
        (_, y), (_, end) = stroke.points[0], stroke.points[-1]
        level = stroke.kind == EDGE and abs(y - end) < MATCH
        return level and any(abs(y - height) < MATCH for height in heights)

    return tuple(s for s in traced([*others, *plain], RIGHT, hidden=True) if s.hidden and tells(s))


def _gap_notes(model: Model) -> tuple[str, ...]:
    """The clear gaps between neighbouring fronts in one plane, each different one once."""
    box = model.box
    if box is None:
        return ()
    fronts = [p.box for p in facings(model) if p.box.lo[BACK] == box.lo[BACK]]
    sizes: list[Fraction] = []
    for first in fronts:
        for second in fronts:
            for axis, other in ((ACROSS, UP), (UP, ACROSS)):
                gap = second.lo[axis] - first.hi[axis]
                beside = first.lo[other] < second.hi[other] and second.lo[other] < first.hi[other]
                between = any(
                    b.lo[axis] >= first.hi[axis] and b.hi[axis] <= second.lo[axis] for b in fronts if b not in (first, second)
                )
                if beside and not between and 0 < gap < 12 and gap not in sizes:
                    sizes.append(gap)
    if not sizes:
        return ()
    return ("GAPS BETWEEN FRONTS " + ", ".join(dual_text(s, model.info.units) for s in sizes),)


def _lean_notes(model: Model) -> tuple[str, ...]:
    """How far parts lean, those that lean alike together; mirror images count as alike."""
    groups: dict[str, list[str]] = {}
    for part in model.placed:
        words = lean_words(part).replace(" to the left", "").replace(" to the right", "")
        if words:
            groups.setdefault(words, []).append(part.name)
    return tuple(f"{joined_names(names)} {words.replace('leans', 'leans' if len(names) == 1 else 'lean')}".upper() for words, names in groups.items())


KIND = SheetKind("elevations", ORDER, compose, wanted, together="Elevations and plan")
