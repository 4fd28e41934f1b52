"""The figures of a part drawing: which measure is printed where, each exactly once.

Per part and axis the planes and centres are the nodes of a graph, the printed measures its edges; what is printed is a
spanning tree: everything is tied to the reference face and nothing is tied twice (reference figures apart).

A width or depth that stands in a feature's note belongs to that feature alone, so it ties the far side of the feature
to its near side. Lengths are exact millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import AXES, Box
from plandoc.model.entities import Feature, Figure, Part
from plandoc.quantity import Units, bought_number
from plandoc.sheets.partfaces import (
    MAIN,
    FaceView,
    feature_box,
    home_face,
    is_shaped,
    part_views,
    profile_face,
)

TABLE_FROM = 16  # more separate hole positions than this in one view go into a hole table
Edge = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Measure:
    """One printed measure from lo to hi along an axis of the world. place: the view that shows it. kind: overall, size
    or loc; `table` for a coordinate in the hole table. count: how many equal steps it stands for, the first being the
    one drawn; repeats: other places with the same size in the same row of features. features: ids of those that it
    belongs to; none for an overall size. to_high: whether hi (else lo) is the end at the feature."""

    axis: int
    lo: Fraction
    hi: Fraction
    place: str
    kind: str
    features: tuple[str, ...] = ()
    count: int = 1
    to_high: bool = True
    repeats: tuple[Edge, ...] = ()

    @property
    def printed_count(self) -> int:
        """The number before the X."""
        return self.count + len(self.repeats)

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The planes that it ties together, pair by pair."""
        step = self.hi - self.lo
        if self.to_high:
            return (*((self.lo + step * i, self.hi + step * i) for i in range(self.count)), *self.repeats)
        return (*((self.lo - step * i, self.hi - step * i) for i in range(self.count)), *self.repeats)


@dataclass(frozen=True, slots=True)
class Shape:
    """What a feature's note says of its own sizes. wide: the width and its axis, where it is not drawn as a
    dimension."""

    feature: Feature
    place: str
    wide: Figure | None = None
    deep: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Hole:
    """One row of a hole table: x along the view to the right, y upwards, both from the reference faces (mm)."""

    letter: str
    feature: Feature
    x: Fraction
    y: Fraction


@dataclass(frozen=True, slots=True)
class PartPlan:
    """All that a part drawing prints, before it is laid on paper."""

    part: Part
    views: tuple[FaceView, ...]
    measures: tuple[Measure, ...]
    shapes: tuple[Shape, ...]
    tables: tuple[tuple[str, tuple[Hole, ...]], ...] = ()

    def view(self, place: str) -> FaceView:
        """The view in that place. Raises KeyError."""
        for view in self.views:
            if view.place == place:
                return view
        raise KeyError(place)


@dataclass(slots=True)
class Ties:
    """Which planes along one axis are tied together already (union-find)."""

    roots: dict[Fraction, Fraction] = field(default_factory=dict)

    def root(self, plane: Fraction) -> Fraction:
        """The plane that stands for all that are tied to this one."""
        self.roots.setdefault(plane, plane)
        while self.roots[plane] != plane:
            plane = self.roots[plane]
        return plane

    def tied(self, a: Fraction, b: Fraction) -> bool:
        """Whether a chain of measures leads from one to the other."""
        return self.root(a) == self.root(b)

    def tie(self, a: Fraction, b: Fraction) -> None:
        """Join two planes by a measure."""
        self.roots[self.root(b)] = self.root(a)


def plan_part(part: Part, turned: bool = False, first: bool = False, units: Units | None = None, upright: bool = False) -> PartPlan:
    """Views, measures and notes of a part. turned: the length runs up the sheet. first: first angle, not third. upright: the
    opposite face is not turned over. units: what the plan prints; a pitch that is not printed exactly would add up its rounding, so it is not used."""
    planner = _Planner(part, part_views(part, turned, first, upright), units)
    planner.overall()
    shapes = tuple(planner.shape(f) for f in part.features if not f.adds or f.cuts or f.figures)
    planner.rows()
    planner.figures(shapes)
    planner.missing(shapes)
    return planner.finished(shapes)


class _Planner:
    def __init__(self, part: Part, views: tuple[FaceView, ...], units: Units | None = None) -> None:
        self.part, self.views, self.units = part, views, units
        self.main = views[0]
        self.ties = {axis: Ties() for axis in AXES}
        self.measures: list[Measure] = []
        self.done: set[int] = set()  # positions in part.features whose places a row already gives

    # --- where -----------------------------------------------------------------------------------------------

    def home(self, feature: Feature) -> FaceView:
        """The view that the feature is worked in."""
        face = home_face(self.part, self.main.face, feature)
        return next(view for view in self.views if view.face == face)

    def place(self, feature: Feature, axis: int) -> str:
        """The view that shows a measure of the feature along an axis."""
        home = self.home(feature)
        if home.paper_axis(axis):
            return home.place
        if self.main.paper_axis(axis) or all(not v.paper_axis(axis) for v in self.views):
            return MAIN
        wanted = profile_face(self.part, self.main, feature)
        showing = [v for v in self.views if v.paper_axis(axis)]
        return next((v.place for v in showing if v.face.axis == wanted.axis), showing[0].place)

    # --- what ------------------------------------------------------------------------------------------------

    def add(self, measure: Measure) -> bool:
        """Print it, unless some of what it says is known already."""
        ties = self.ties[measure.axis]
        if any(ties.tied(a, b) for a, b in measure.edges):
            return False
        for a, b in measure.edges:
            ties.tie(a, b)
        self.measures.append(measure)
        return True

    def overall(self) -> None:
        """Length, width and thickness; the last one is a note where no view shows it."""
        for axis in AXES:
            place = next((v.place for v in self.views if v.paper_axis(axis)), MAIN)
            self.add(Measure(axis, *self.part.box.span(axis), place, "overall"))

    def shape(self, feature: Feature) -> Shape:
        """Depth from the working face, and the width where it is the only size of a channel."""
        home = self.home(feature)
        deep = next((f.hi - f.lo for f in feature.figures if f.role == "depth" and f.axis == home.face.axis), None)
        box = feature_box(feature)
        if box is not None and feature.cuts and _through(self.part, box, home.face.axis):
            deep = None
        elif deep is None and feature.depth is not None:
            deep = feature.depth
        sizes = [f for f in feature.figures if f.role == "size" and home.paper_axis(f.axis)]
        wide = sizes[0] if len(sizes) == 1 and deep is not None and feature.diameter is None else None
        return Shape(feature, home.place, wide, deep)

    def rows(self) -> None:
        """Equal features in a row: the first from the reference face, then one pitch. A row is what the plan made in one
        statement, then also channels of one kind in one face."""
        rows: dict[object, list[Feature]] = {}
        for feature in self.part.features:
            if feature.row:
                rows.setdefault(feature.row, []).append(feature)
        for feature in self.part.features:
            if not feature.row and feature.cuts and feature.diameter is None and not feature.text:
                rows.setdefault((feature.kind, feature.face), []).append(feature)
        for members in rows.values():
            for axis in AXES:
                self._row(members, axis)

    def _row(self, members: list[Feature], axis: int) -> None:
        figures = [f for m in members for f in m.figures if f.axis == axis and f.role == "place" and f.datum]
        if len(figures) < 2 or len({f.datum for f in figures}) > 1:
            return
        low = figures[0].datum < 0
        base = figures[0].lo if low else figures[0].hi
        if any((f.lo if low else f.hi) != base for f in figures):
            return
        ends = sorted({f.hi if low else f.lo for f in figures}, reverse=not low)
        steps = {b - a for a, b in pairwise(ends)}
        if len(ends) < 3 or len(steps) != 1 or any(self.ties[axis].tied(base, end) for end in ends):
            return
        if self.units is not None and bought_number(steps.pop(), self.units) is None:
            return
        ids = tuple(m.id for m in members)
        place = self.place(members[0], axis)
        first, second = ends[0], ends[1]
        self.add(Measure(axis, min(base, first), max(base, first), place, "loc", ids, 1, low))
        self.add(Measure(axis, min(first, second), max(first, second), place, "size", ids, len(ends) - 1, low))

    def figures(self, shapes: tuple[Shape, ...]) -> None:
        """What the features ask for: places first, then sizes."""
        for roles in (("place",), ("size", "depth")):
            rows = [
                (figure.hi - figure.lo, figure, shape)
                for shape in shapes
                for figure in shape.feature.figures
                if figure.role in roles and figure is not shape.wide and not self._in_note(shape, figure)
            ]
            ordered = sorted(rows, key=lambda row: (row[1].axis, row[0]))
            while ordered:
                _, figure, shape = ordered.pop(0)
                alike = [
                    row for row in ordered
                    if figure.role == "size" and _of_one_row(shape.feature, row[2].feature)
                    and row[2].place == shape.place and row[1].axis == figure.axis and row[0] == figure.hi - figure.lo
                    and not self.ties[figure.axis].tied(row[1].lo, row[1].hi) and row[1].lo != figure.lo
                ]  # fmt: skip
                ordered = [row for row in ordered if row not in alike]
                self._figure(figure, shape, tuple(dict.fromkeys((row[1].lo, row[1].hi) for row in alike)))

    def _in_note(self, shape: Shape, figure: Figure) -> bool:
        home = next(v for v in self.views if v.place == shape.place)
        return figure.role == "depth" and figure.axis == home.face.axis

    def _figure(self, figure: Figure, shape: Shape, repeats: tuple[Edge, ...] = ()) -> None:
        kind = "loc" if figure.role == "place" else "size"
        place = self.place(shape.feature, figure.axis)
        ids, to_high = (shape.feature.id,), figure.datum <= 0
        if not self.add(Measure(figure.axis, figure.lo, figure.hi, place, kind, ids, 1, to_high, repeats)):
            for lo, hi in repeats:
                self.add(Measure(figure.axis, lo, hi, place, kind, ids, 1, to_high))
            self.add(Measure(figure.axis, figure.lo, figure.hi, place, kind, ids, 1, to_high))

    def missing(self, shapes: tuple[Shape, ...]) -> None:
        """Tie whatever is not tied yet to the reference face."""
        for shape in shapes:
            feature = shape.feature
            for axis, planes in feature_planes(self.part, self.home(feature), shape):
                datum = self.part.box.lo[axis] if self.part.datum[axis] < 0 else self.part.box.hi[axis]
                loose = [p for p in planes if not self.ties[axis].tied(datum, p)]
                if shape.wide is not None and axis == shape.wide.axis and len(loose) < len(planes):
                    continue
                if shape.wide is not None and axis == shape.wide.axis:
                    loose = sorted(loose, key=lambda p: abs(p - datum))[:1]
                for plane in loose:
                    self._figure(Figure(axis, min(datum, plane), max(datum, plane), "place", self.part.datum[axis]), shape)

    def finished(self, shapes: tuple[Shape, ...]) -> PartPlan:
        """Move the places of many single holes into a table."""
        tables: list[tuple[str, tuple[Hole, ...]]] = []
        measures = self.measures
        for view in self.views:
            holes = [s.feature for s in shapes if s.place == view.place and s.feature.centre and s.feature.diameter]
            ids = {f.id for f in holes}
            own = [m for m in measures if m.place == view.place and m.features and set(m.features) <= ids]
            if len(own) > TABLE_FROM:
                tables.append((view.place, hole_rows(self.part, view, holes)))
                measures = [
                    replace(m, kind="table") if m in own else m
                    for m in measures
                ]
        return PartPlan(self.part, self.views, tuple(measures), shapes, tuple(tables))


def _of_one_row(feature: Feature, other: Feature) -> bool:
    """Whether a size of one is told with a count for the other too: both of one row, or equal work of two joints on one
    face, of which the note says how often it is there."""
    if feature.row or other.row:
        return feature.row == other.row
    if not (feature.joint and other.joint and feature.joint != other.joint) or feature.diameter is not None:
        return False
    return (feature.kind, feature.face, _sizes(feature)) == (other.kind, other.face, _sizes(other))


def _sizes(feature: Feature) -> list[tuple[int, Fraction]]:
    return sorted((f.axis, f.hi - f.lo) for f in feature.figures if f.role == "size")


def _through(part: Part, box: Box, axis: int) -> bool:
    return box.lo[axis] <= part.box.lo[axis] and box.hi[axis] >= part.box.hi[axis]


def feature_planes(part: Part, home: FaceView, shape: Shape) -> tuple[tuple[int, tuple[Fraction, ...]], ...]:
    """Per axis of its view the planes of the feature that a figure must fix: both sides of a shape, the centre of
    round work, the start of lettering. Sides that run out at the part's own faces included. Outlines with slopes and arcs
    come with all their figures."""
    feature = shape.feature
    axes = (home.right.axis, home.up.axis)
    sized = any(f.role == "size" for f in feature.figures)
    if feature.centre is not None and (feature.diameter is not None or feature.text or (feature.joint and not sized)):
        return tuple((axis, (feature.centre[axis],)) for axis in axes)
    box = feature_box(feature)
    if box is None or not feature.cuts or is_shaped(feature):
        return ()
    inside = box.common(part.box)
    if inside is None:
        return ()
    return tuple((axis, inside.span(axis)) for axis in axes)


def hole_rows(part: Part, view: FaceView, holes: Iterable[Feature]) -> tuple[Hole, ...]:
    """Holes lettered from left to right and upwards from the reference corner. Letters leave out I, O and Q."""
    rows = []
    for feature in holes:
        assert feature.centre is not None
        at = []
        for axis in (view.right.axis, view.up.axis):
            datum = part.box.lo[axis] if part.datum[axis] < 0 else part.box.hi[axis]
            at.append(abs(feature.centre[axis] - datum))
        rows.append((feature.diameter or Fraction(0), at[0], at[1], feature))
    rows.sort(key=lambda row: row[:3])
    letters: list[str] = []
    found: list[Hole] = []
    sizes: dict[tuple[Fraction, Fraction | None], int] = {}
    for diameter, x, y, feature in rows:
        size = (diameter, feature.depth)
        if size not in sizes:
            letters.append("ABCDEFGHJKLMNPRSTUVWXYZ"[len(letters) % 23])
            sizes[size] = 0
        sizes[size] += 1
        letter = letters[list(sizes).index(size)]
        found.append(Hole(f"{letter}{sizes[size]}", feature, x, y))
    return tuple(found)
