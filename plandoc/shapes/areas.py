"""Areas on a face: round, rectangular with or without round corners, or of a free outline. Pockets and cut-outs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import (
    Face,
    Loop,
    Outline,
    Point2,
    Point3,
    Prism,
    Rect,
    loop_limits,
    other_axes,
)
from plandoc.geometry.outlines import rounded
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext
from plandoc.shapes import placing as p
from plandoc.shapes.loops import arc_leaders, corner_figures, free_outline
from plandoc.shapes.round_work import cylinders

Leaders = tuple[tuple[Point3, str], ...]
SIZE = Param("size", "size", "two sides, in the order across, back, up", lead=True)
ROUND = Param("round", "length", "diameter of a round one")
RADIUS = Param("radius", "length", "radius of the corners of one with two sides")
AT = Param("at", "positions", "its middle, measured from the left, front or bottom edges of the face; not for a free outline")


def area(context: ShapeContext, kind: str, deep: Fraction | None, open_edges: bool = False) -> tuple[Feature, ...]:
    """Features of the area that the words behind the kind, or the lines below it, describe. deep None: through."""
    args, tell = context.args, context.tell
    size, diameter, radius = args.get("size"), args.get("round"), args.get("radius")
    word = kind.replace("cut-out", "cutout")
    if isinstance(size, tuple) + isinstance(diameter, Fraction) + bool(context.drawn) != 1:
        sample = " deep ..." if deep is not None else ""
        tell.say("PD335", f"a {word} has either two sides or a diameter", mend=f'{word} 3" x 5"{sample}, or {word} round 2"{sample}')
        return ()
    if isinstance(radius, Fraction) and not isinstance(size, tuple):
        tell.say("PD335", f"only a {word} with two sides has corners with a radius", mend="leave `radius` out")
        return ()
    if context.drawn:
        return _drawn(context, kind, deep)
    if args.get("at") is None:
        tell.say("PD216", f"`{word}` lacks `at` (a place: its middle)", mend="put it behind, or on a line below: at 2\", 3\"")
        return ()
    places = p.spots(context)
    if places is None:
        return ()
    if isinstance(diameter, Fraction):
        return cylinders(context, kind, places, diameter, deep, open_edges)
    assert isinstance(size, tuple)
    return rectangles(context, kind, places, size, deep, radius if isinstance(radius, Fraction) else Fraction(0), open_edges)


def rectangles(context: ShapeContext, kind: str, places: tuple[p.Spot, ...], size: tuple[Fraction, ...], deep: Fraction | None, radius: Fraction = Fraction(0), open_edges: bool = False) -> tuple[Feature, ...]:
    """Rectangles with their sides along the axes of the face, in all places."""
    face = context.args["on"]
    assert isinstance(face, Face)
    depth = p.depth_of(context, face, deep)
    if depth is None:
        return ()
    if min(size) <= 0:
        context.tell.say("PD331", f"a {kind} needs sides greater than nothing")
        return ()
    if radius > min(size) / 2:
        context.tell.say("PD335", f"corners of {context.tell.figure(radius)} are too round for this {kind}", notes=(f"its shorter side is {context.tell.figure(min(size))}",), mend=f"a radius up to {context.tell.figure(min(size) / 2)}")
        return ()
    return along_axes(
        context, kind, places, (size[0] / 2, size[1] / 2), depth, lambda lo, hi: rounded(lo, hi, radius) if radius else Rect(lo, hi),
        lambda loop: _corner_leader(context, face, loop), open_edges,
    )  # fmt: skip


def along_axes(
    context: ShapeContext, kind: str, places: tuple[p.Spot, ...], half: Point2, depth: p.Depth, drawn: Callable[[Point2, Point2], Outline],
    leaders: Callable[[Loop], Leaders], open_edges: bool = False,
) -> tuple[Feature, ...]:  # fmt: skip
    """The work at all places, figured by the sides of its room. half: how far it reaches to both sides; drawn: its outline
    between two corners; leaders: those of an outline with arcs."""
    face = context.args["on"]
    assert isinstance(face, Face)
    found = []
    for spot in places:
        if not p.on_face(context, face, spot, *half, open_edges):
            return ()
        lo, hi = spot.around(half)
        outline = drawn(lo, hi)
        made = p.feature(context, kind, face, spot, depth, outline, (*side_figures(context, face, lo, hi), *depth.figures))
        found.append(replace(made, leaders=leaders(outline)) if isinstance(outline, Loop) else made)
    return tuple(found)


def middle_of_owner(context: ShapeContext, word: str, instead: str) -> tuple[Face, p.Spot] | None:
    """The face of the pocket that this work belongs to, and the pocket's middle; None after a report. instead: what can
    be written in place of the work below a pocket of a free outline."""
    owner, tell = context.owner, context.tell
    if owner is None or owner.face is None or owner.centre is None:
        tell.say("PD336", f"`{word}` belongs to a pocket", mend="indent it below the pocket")
        return None
    face, body = owner.face, owner.cuts[0]
    axes = other_axes(face.axis)
    if isinstance(body, Prism) and isinstance(body.outline, Loop) and not _is_rounded(body.outline):
        lo, hi = loop_limits(body.outline)
        runs = [
            f"{tell.figure(lo[i] - context.part.shoulder.lo[axis])} to {tell.figure(hi[i] - context.part.shoulder.lo[axis])} from {Face(axis, -1).name}"
            for i, axis in enumerate(axes)
        ]
        tell.say("PD336", f"a pocket of a free outline has no middle, `{word}` cannot be placed in it", notes=(f"the outline runs from {runs[0]}, and from {runs[1]}",), mend=f"a pocket of its own, by its place: {instead} on {face.name} at ...")
        return None
    return face, p.Spot(owner.centre[axes[0]], owner.centre[axes[1]])


def _is_rounded(loop: Loop) -> bool:
    """Whether the outline is that of a rectangle with round corners, as `rectangles` makes it."""
    lo, hi = loop_limits(loop)
    radius = hi[0] - loop.points[0][0]
    return radius > 0 and loop == rounded(lo, hi, radius)


def side_figures(context: ShapeContext, face: Face, lo: Point2, hi: Point2) -> tuple[Figure, ...]:
    """Both sides as far as they lie on the part, and the places of the near edges."""
    part, sizes, places = context.part, [], []
    for index, axis in enumerate(other_axes(face.axis)):
        least, most = part.box.span(axis)
        low, high = max(lo[index], least), min(hi[index], most)
        if (low, high) == (least, most):
            continue
        sizes.append(Figure(axis, low, high, "size"))
        place = part.to_datum(axis, low, high)
        # a cut-out that is open at the far edge is placed by its size alone
        far = high == most if part.datum[axis] < 0 else low == least
        places += [place] if place is not None and not far else []
    return (*sizes, *places)


def _corner_leader(context: ShapeContext, face: Face, loop: Loop) -> Leaders:
    """One leader for the corners, which are alike."""
    leaders = arc_leaders(context, face, context.part.shoulder.at(face), loop)
    inner = [row for row in leaders if all(context.part.box.lo[a] < row[0][a] < context.part.box.hi[a] for a in other_axes(face.axis))]
    return tuple((point, f"R {context.tell.figure(context.args['radius'])} corners") for point, _ in inner[1:2] or inner[:1])  # type: ignore[arg-type]


def _drawn(context: ShapeContext, kind: str, deep: Fraction | None) -> tuple[Feature, ...]:
    args, tell, part = context.args, context.tell, context.part
    face = args["on"]
    assert isinstance(face, Face)
    if args.get("at") is not None or args.get("row") not in (None, 1):
        tell.say("PD296", "a free outline has its places in its own lines", mend="leave `at` and `row` out")
        return ()
    depth, loop = p.depth_of(context, face, deep), free_outline(context, face)
    if depth is None or loop is None:
        return ()
    lo, hi = loop_limits(loop)
    middle = p.Spot((lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2)
    made = p.feature(context, kind, face, middle, depth, loop, (*corner_figures(part, face, loop), *depth.figures))
    return (replace(made, leaders=arc_leaders(context, face, part.shoulder.at(face), loop)),)
