"""What work on a face shares: where it stands, how rows repeat, and what may not be."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, Face, other_axes
from plandoc.model.entities import Figure
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


@dataclass(frozen=True, slots=True)
class Spot:
    """Middle of one piece of work in the plane of its face: coordinates on the two axes, lower axis first (mm)."""

    u: Fraction
    v: Fraction


def spots(context: ShapeContext) -> tuple[Spot, ...] | None:
    """All places of a statement, the row included; None after a report."""
    face, args, part = context.args["on"], context.args, context.part
    assert isinstance(face, Face)
    axes = other_axes(face.axis)
    sides = face_sides(context, face)
    if sides is None:
        return None
    made: list[Spot] = []
    positions = args["at"]
    assert isinstance(positions, tuple)
    for pair in positions:
        place: list[Fraction] = []
        for axis, value in zip(axes, pair, strict=True):
            lo, hi = part.shoulder.span(axis)
            if value is MIDDLE:
                place.append((lo + hi) / 2)
            else:
                place.append(lo + value if sides[axis] < 0 else hi - value)
        made.append(Spot(place[0], place[1]))
    return row(context, made, axes, sides)


def face_sides(context: ShapeContext, face: Face) -> dict[int, int] | None:
    """Per axis of the face the side (-1 or 1) that places are measured from; None after a report."""
    axes = other_axes(face.axis)
    sides = dict.fromkeys(axes, -1)
    given = context.args.get("from")
    for side in given if isinstance(given, tuple) else ():
        if not edge_of(context, face, side):
            return None
        sides[side.axis] = side.side
    return sides


def edge_of(context: ShapeContext, face: Face, side: Face) -> bool:
    """Whether the face has an edge at that side; reports where it has none."""
    if side.axis != face.axis:
        return True
    context.tell.say("PD332", f"the face {face.name} has no edge at its {side.name}", mend="its edges: " + ", ".join(Face(a, s).name for a in other_axes(face.axis) for s in (-1, 1)))
    return False


def row(context: ShapeContext, made: list[Spot], axes: tuple[int, int], sides: dict[int, int]) -> tuple[Spot, ...] | None:
    """Repeat the places along the row."""
    args = context.args
    count, every, along = args.get("row"), args.get("every"), args.get("along")
    if not isinstance(count, int) or count == 1:
        if isinstance(every, Fraction):
            context.tell.say("PD333", "a step without a row", mend="row 4 every 32 mm along up")
            return None
        if isinstance(args.get("apart"), Fraction) or args.get("rows") not in (None, 1):
            context.tell.say("PD333", "rows side by side need a row", mend="row 8 every 32 mm along up rows 2 apart 5\"")
            return None
        return tuple(made)
    if not isinstance(every, Fraction) or not isinstance(along, int):
        context.tell.say("PD333", "a row needs its step and its direction", mend=f"row {count} every 32 mm along {AXIS_NAMES[axes[1]]}")
        return None
    if along not in axes:
        context.tell.say("PD333", f"a row on this face cannot run {AXIS_NAMES[along]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in axes))
        return None
    step = every * -sides[along]
    result = []
    for spot in made:
        for i in range(count):
            u, v = (spot.u + i * step, spot.v) if along == axes[0] else (spot.u, spot.v + i * step)
            result.append(Spot(u, v))
    return grid(context, result, axes, sides, along)


def grid(context: ShapeContext, made: list[Spot], axes: tuple[int, int], sides: dict[int, int], along: int) -> tuple[Spot, ...] | None:
    """Repeat a row side by side."""
    rows, apart = context.args.get("rows"), context.args.get("apart")
    other = axes[1] if along == axes[0] else axes[0]
    if not isinstance(rows, int) or rows == 1:
        if isinstance(apart, Fraction):
            context.tell.say("PD333", "a distance between rows without their number", mend="rows 2 apart 5\"")
            return None
        return tuple(made)
    if not isinstance(apart, Fraction):
        context.tell.say("PD333", "rows side by side need their distance", mend=f"rows {rows} apart 5\"")
        return None
    found = []
    for i in range(rows):
        step = i * apart * -sides[other]
        found += [Spot(spot.u, spot.v + step) if other == axes[1] else Spot(spot.u + step, spot.v) for spot in made]
    return tuple(found)


def depth_range(context: ShapeContext, face: Face, deep: Fraction | None) -> tuple[Fraction, Fraction] | None:
    """Low and high coordinate of the cut along the face's axis; None after a report. deep None: through."""
    part = context.part
    thickness = part.shoulder.size(face.axis)
    if deep is None:
        return part.box.span(face.axis)
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
    return lo, hi


def on_face(context: ShapeContext, face: Face, spot: Spot, half_u: Fraction, half_v: Fraction, open_edges: bool = False, number: int = 0, count: int = 1) -> bool:
    """Whether the work lies on the face; reports where it hangs over an edge. number, count: which of how many it is."""
    part = context.part
    axes = other_axes(face.axis)
    for axis, centre, half in zip(axes, (spot.u, spot.v), (half_u, half_v), strict=True):
        lo, hi = part.box.span(axis)
        beyond = max(lo - (centre - half), centre + half - hi)
        if beyond > 0 and not (open_edges and lo <= centre <= hi):
            side = Face(axis, -1 if lo - (centre - half) >= centre + half - hi else 1)
            which = f"number {number} of {count}" if count > 1 else "this"
            room = (hi - half if side.side > 0 else lo + half) - part.shoulder.at(side.opposite)
            context.tell.say(
                "PD330",
                f"{which} reaches {context.tell.figure(beyond)} over the {side.name} edge of `{part.path}`",
                mend="" if count == 1 else f"fewer of them, a smaller step, or another beginning: the last may lie {context.tell.figure(abs(room))} from the {side.opposite.name} edge",
                notes=(f"its middle lies {context.tell.figure(abs(centre - part.shoulder.at(side)))} from that edge, it is {context.tell.figure(2 * half)} wide there",),
            )
            return False
    return True


def place_figures(part: Frame, face: Face, spot: Spot) -> tuple[Figure, ...]:
    """From the reference edges to the middle."""
    found = []
    for axis, centre in zip(other_axes(face.axis), (spot.u, spot.v), strict=True):
        figure = part.to_datum(axis, centre, centre)
        if figure is not None:
            found.append(figure)
    return tuple(found)
