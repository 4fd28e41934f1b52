"""What work on a face shares: where it stands, how rows repeat, and what may not be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, Box, Face, Outline, Point2, Prism, other_axes, point_on
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Frame, Param, ShapeContext
from plandoc.model.read_args import MIDDLE

ON = Param("on", "face", "the face it is worked from", required=True)
AT = Param("at", "positions", "its middle, measured from the left, front or bottom edges of the face", required=True)
FROM = Param("from", "faces", "edges to measure from instead", default=())
ROW = Param("row", "count", "number in a row", default=1)
ROWS = Param("rows", "count", "number of such rows side by side", default=1)
APART = Param("apart", "length", "from row to row")
EVERY = Param("every", "length", "step of the row, from middle to middle")
ALONG = Param("along", "axis", "direction of the row")
DEEP = Param("deep", "length", "depth from the face")
THROUGH = Param("through", "flag", "goes through the part")
REPEATED = (FROM, ROW, EVERY, ALONG, ROWS, APART)


@dataclass(frozen=True, slots=True)
class Plane:
    """A face as places are measured on it: its two axes, lower first, the sides (-1 or 1) that they are measured from,
    and the part between its shoulders."""

    axes: tuple[int, int]
    sides: tuple[int, int]
    room: Box

    @property
    def hand(self) -> int:
        """-1 where a left turn, measured from these sides, is a right turn."""
        return self.sides[0] * self.sides[1]

    def place(self, pair: tuple[object, object]) -> Point2:
        """Coordinates of a place of the plan: two lengths, or the middle."""
        return self._coordinate(0, pair[0]), self._coordinate(1, pair[1])

    def _coordinate(self, index: int, value: object) -> Fraction:
        lo, hi = self.room.span(self.axes[index])
        if value is MIDDLE:
            return (lo + hi) / 2
        assert isinstance(value, Fraction)
        return lo + value if self.sides[index] < 0 else hi - value


@dataclass(frozen=True, slots=True)
class Spot:
    """Middle of one piece of work in the plane of its face: coordinates on the two axes, lower axis first (mm). number,
    count: which of how many of its statement it is."""

    u: Fraction
    v: Fraction
    number: int = 1
    count: int = 1

    @property
    def place(self) -> Point2:
        """Both coordinates."""
        return self.u, self.v

    def moved(self, index: int, by: Fraction) -> Spot:
        """The spot further along the first or the second axis (index 0, 1)."""
        return replace(self, v=self.v + by) if index else replace(self, u=self.u + by)

    def around(self, half: Point2) -> tuple[Point2, Point2]:
        """Low and high corner of what reaches so far to both sides."""
        return (self.u - half[0], self.v - half[1]), (self.u + half[0], self.v + half[1])

    def ident(self, statement: str) -> str:
        """Id of the piece here, from that of the statement."""
        return statement if self.count == 1 else f"{statement}.{self.number}"

    def row(self, statement: str) -> str:
        """What the pieces of a statement share; nothing for one alone."""
        return "" if self.count == 1 else statement


@dataclass(frozen=True, slots=True)
class Depth:
    """How far work goes in from its face: coordinates along the axis of the face, and the depth that was stated, None where
    it goes through (mm)."""

    axis: int
    lo: Fraction
    hi: Fraction
    deep: Fraction | None

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The figure of a depth."""
        return () if self.deep is None else (Figure(self.axis, self.lo, self.hi, "depth"),)


def spots(context: ShapeContext) -> tuple[Spot, ...] | None:
    """All places of a statement, the row included; None after a report."""
    face, positions = context.args["on"], context.args["at"]
    assert isinstance(face, Face) and isinstance(positions, tuple)
    plane = plane_of(context, face)
    found = None if plane is None else _row(context, [Spot(*plane.place(pair)) for pair in positions], plane)
    return None if found is None else tuple(replace(spot, number=i, count=len(found)) for i, spot in enumerate(found, 1))


def plane_of(context: ShapeContext, face: Face) -> Plane | None:
    """The face with the sides that places are measured from; None after a report."""
    axes = other_axes(face.axis)
    sides = dict.fromkeys(axes, -1)
    given = context.args.get("from")
    for side in given if isinstance(given, tuple) else ():
        if not edge_of(context, face, side):
            return None
        sides[side.axis] = side.side
    return Plane(axes, (sides[axes[0]], sides[axes[1]]), context.part.shoulder)


def edge_of(context: ShapeContext, face: Face, side: Face) -> bool:
    """Whether the face has an edge at that side; reports where it has none."""
    if side.axis != face.axis:
        return True
    context.tell.say("PD332", f"the face {face.name} has no edge at its {side.name}", mend="its edges: " + ", ".join(Face(a, s).name for a in other_axes(face.axis) for s in (-1, 1)))
    return False


def _row(context: ShapeContext, made: list[Spot], plane: Plane) -> list[Spot] | None:
    """The places repeated along the row."""
    args = context.args
    count, every, along = args.get("row"), args.get("every"), args.get("along")
    if not isinstance(count, int) or count == 1:
        if isinstance(every, Fraction):
            context.tell.say("PD333", "a step without a row", mend="row 4 every 32 mm along up")
            return None
        if isinstance(args.get("apart"), Fraction) or args.get("rows") not in (None, 1):
            context.tell.say("PD333", "rows side by side need a row", mend="row 8 every 32 mm along up rows 2 apart 5\"")
            return None
        return made
    if not isinstance(every, Fraction) or not isinstance(along, int):
        context.tell.say("PD333", "a row needs its step and its direction", mend=f"row {count} every 32 mm along {AXIS_NAMES[plane.axes[1]]}")
        return None
    if along not in plane.axes:
        context.tell.say("PD333", f"a row on this face cannot run {AXIS_NAMES[along]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in plane.axes))
        return None
    index = plane.axes.index(along)
    step = every * -plane.sides[index]
    return _side_by_side(context, [spot.moved(index, i * step) for spot in made for i in range(count)], plane, 1 - index)


def _side_by_side(context: ShapeContext, made: list[Spot], plane: Plane, index: int) -> list[Spot] | None:
    """A row repeated along the first or the second axis of the face."""
    rows, apart = context.args.get("rows"), context.args.get("apart")
    if not isinstance(rows, int) or rows == 1:
        if isinstance(apart, Fraction):
            context.tell.say("PD333", "a distance between rows without their number", mend="rows 2 apart 5\"")
            return None
        return made
    if not isinstance(apart, Fraction):
        context.tell.say("PD333", "rows side by side need their distance", mend=f"rows {rows} apart 5\"")
        return None
    return [spot.moved(index, i * apart * -plane.sides[index]) for i in range(rows) for spot in made]


def through_or_deep(context: ShapeContext, word: str, sample: str, deep: str) -> bool:
    """Whether the statement says one of the two; reports where it does not. sample: such work, deep: a depth for it."""
    if (context.args.get("through") is True) != isinstance(context.args.get("deep"), Fraction):
        return True
    context.tell.say("PD334", f"a {word} is either `through` or `deep`", mend=f"{word} {sample} deep {deep} on ..., or {word} {sample} through on ...")
    return False


def feature(context: ShapeContext, kind: str, face: Face, spot: Spot, depth: Depth, outline: Outline, figures: tuple[Figure, ...]) -> Feature:
    """The piece of work at one place: that outline to that depth."""
    return Feature(
        spot.ident(context.id), kind, face, cuts=(Prism(face.axis, depth.lo, depth.hi, outline),), figures=figures, row=spot.row(context.id),
        depth=depth.deep, through=depth.deep is None, centre=point_on(face, context.part.shoulder.at(face), spot.place), span=context.tell.span,
    )  # fmt: skip


def depth_of(context: ShapeContext, face: Face, deep: Fraction | None) -> Depth | None:
    """How far the cut goes; None after a report. deep None: through."""
    part = context.part
    thickness = part.shoulder.size(face.axis)
    if deep is None:
        return Depth(face.axis, *part.box.span(face.axis), None)
    if deep <= 0:
        context.tell.say("PD331", "work needs a depth greater than nothing")
        return None
    if deep >= thickness:
        context.tell.say(
            "PD331",
            f"{context.tell.figure(deep)} is too deep for `{part.path}`",
            notes=(f"it is {context.tell.figure(thickness)} thick from {face.name} to {face.opposite.name}",),
            mend="write `through` where it shall go through" if context.id.find(".hole") >= 0 else f"less than {context.tell.figure(thickness)}",
        )
        return None
    plane = part.shoulder.at(face)
    lo, hi = sorted((plane, plane - face.side * deep))
    return Depth(face.axis, lo, hi, deep)


def on_face(context: ShapeContext, face: Face, spot: Spot, half_u: Fraction, half_v: Fraction, open_edges: bool = False) -> bool:
    """Whether the work lies on the face; reports where it hangs over an edge. half_u, half_v: how
    far it reaches from its middle (mm)."""
    part = context.part
    axes = other_axes(face.axis)
    for axis, centre, half in zip(axes, spot.place, (half_u, half_v), strict=True):
        lo, hi = part.box.span(axis)
        beyond = max(lo - (centre - half), centre + half - hi)
        if beyond > 0 and not (open_edges and lo <= centre <= hi):
            side = Face(axis, -1 if lo - (centre - half) >= centre + half - hi else 1)
            which = f"number {spot.number} of {spot.count}" if spot.count > 1 else "this"
            room = (hi - half if side.side > 0 else lo + half) - part.shoulder.at(side.opposite)
            context.tell.say(
                "PD330",
                f"{which} reaches {context.tell.figure(beyond)} over the {side.name} edge of `{part.path}`",
                mend="" if spot.count == 1 else f"fewer of them, a smaller step, or another beginning: the last may lie {context.tell.figure(abs(room))} from the {side.opposite.name} edge",
                notes=(f"its middle lies {context.tell.figure(abs(centre - part.shoulder.at(side)))} from that edge, it is {context.tell.figure(2 * half)} wide there",),
            )
            return False
    return True


def place_figures(part: Frame, face: Face, spot: Spot) -> tuple[Figure, ...]:
    """From the reference edges to the middle."""
    found = []
    for axis, centre in zip(other_axes(face.axis), spot.place, strict=True):
        figure = part.to_datum(axis, centre, centre)
        if figure is not None:
            found.append(figure)
    return tuple(found)
