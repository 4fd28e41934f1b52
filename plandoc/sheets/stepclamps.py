"""Clamps in the pictures of glue-ups: thin frames with a solid head on each side that is pressed, across the joints that they
close. Where they are hidden behind the piece they are left out. Two stand for all of one direction: the words of the step
count them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

import numpy as np

from plandoc.drawing.display import Item, Line
from plandoc.drawing.linework import arrowhead
from plandoc.drawing.precedence import Stronger
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import AXES
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Joint, Model
from plandoc.sheets.traced import traced
from plandoc.sheets.views import Placement, Scene, stroke_lines
from plandoc.shopwork.gluewords import GlueUp
from plandoc.shopwork.gluing import Piece, held_together

CLAMPS = 2  # shown in one direction
OFF = (3.0, 2.2, 3.8)  # mm on paper from the piece to the bar of a clamp; the first that lies on no edge
HEAD_ROOM = 3.0  # mm on paper from what is pressed to the jaw
SAMPLES = 24
SHORTEST = 0.5  # mm on paper
MORE = 6.0  # mm on paper that a frame at another distance has to show more; a longer jaw is no gain
Point = tuple[float, float, float]


def pressed(model: Model, ups: Sequence[GlueUp], paths: Sequence[str]) -> dict[int, list[Piece]]:
    """The joints that straight clamps close, by the axis along which they press and the piece that they make, of those between
    the parts that are shown."""
    found: dict[int, list[Piece]] = {}
    for up in ups:
        for clamping in up.found.clamped:
            own = [j for j in up.found.joints if j.entry.axis == clamping.axis and not j.askew and j.a in paths and j.b in paths]
            if own and all(model.part(p).lean is None for j in own for p in (j.a, j.b)):
                found.setdefault(clamping.axis, []).extend(held_together(model, own, up.found.joints))
    return found


def clamps(model: Model, joints: dict[int, list[Piece]], bodies: Sequence[tuple[str, Solid]], place: Placement, style: Style) -> list[Item]:
    """What is seen of the clamps. joints: by the axis along which they are pressed, and the piece."""
    scene = Scene(bodies, place.view)
    edges = Stronger(stroke_lines(traced(bodies, place.view), place))
    bounds = [solid.bounds for _, solid in bodies if not solid.empty]
    outer = [(min(lo[a] for lo, _ in bounds), max(hi[a] for _, hi in bounds)) for a in AXES]
    items: list[Item] = []
    for axis, own in sorted(joints.items()):
        for piece in own:
            low, high = piece.span(model, axis)
            for middle in _places(axis, piece.pressed):
                items += _clamp(axis, (float(low), float(high)), middle, outer, scene, edges, place, style)
    return items


def _places(axis: int, joints: Sequence[Joint]) -> list[Point]:
    """Where clamps press: at the outermost of the joints across the direction."""
    middles: list[Point] = []
    for joint in joints:
        x, y, z = (float(joint.channel.lo[a] + joint.channel.hi[a]) / 2 for a in AXES)
        middles.append((x, y, z))
    others = [a for a in AXES if a != axis]
    long = max(others, key=lambda a: max(m[a] for m in middles) - min(m[a] for m in middles))
    ranked = sorted(middles, key=lambda m: (m[long], m))
    return list(dict.fromkeys([ranked[0], ranked[-1]]))[:CLAMPS]


def _clamp(
    axis: int, span: tuple[float, float], middle: Point, outer: Sequence[tuple[float, float]], scene: Scene, edges: Stronger,
    place: Placement, style: Style,
) -> list[Item]:  # fmt: skip
    """One frame: from jaw to jaw round the side of the piece that is nearest to the joint of those that the viewer sees."""
    toward = place.view.toward
    sides = {a: outer[a][1 if toward[a] > 0 else 0] for a in AXES if a != axis and abs(toward[a]) > 1e-6}
    out = min(sides, key=lambda a: abs(sides[a] - middle[a]))
    ends = (span[0] - HEAD_ROOM / place.ratio, span[1] + HEAD_ROOM / place.ratio)

    def at(along: float, beside: float) -> Point:
        point = list(middle)
        point[axis], point[out] = along, beside
        return point[0], point[1], point[2]

    chosen: list[Line] = []
    for off in OFF:
        bar = sides[out] + (off if toward[out] > 0 else -off) / place.ratio
        corners = (at(ends[0], middle[out]), at(ends[0], bar), at(ends[1], bar), at(ends[1], middle[out]))
        lines = edges.less((line for leg in pairwise(corners) for line in _seen(*leg, scene, place)), SHORTEST)
        if _length(lines) > _length(chosen) + MORE:
            chosen = lines
    items: list[Item] = [*chosen]
    for jaw, wood in ((at(ends[0], middle[out]), span[0]), (at(ends[1], middle[out]), span[1])):
        foot = at(wood, middle[out])
        tip = tuple(f + (j - f) * 0.02 for f, j in zip(foot, jaw, strict=True))
        if not scene.hides(np.array([jaw, tip])).any():
            (x, y), (px, py) = place.spot(jaw), place.spot(foot)
            items.append(arrowhead((px, py), (px - x, py - y), style))
    return items


def _length(lines: Sequence[Line]) -> float:
    return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in (line.points for line in lines))


def _seen(start: Point, end: Point, scene: Scene, place: Placement) -> list[Line]:
    """The pieces of a straight line that no part hides."""
    way = np.array(start) + (np.array(end) - start) * np.linspace(0.0, 1.0, SAMPLES + 1)[:, None]
    shown = ~scene.hides(way)
    lines: list[Line] = []
    first: int | None = None
    for n in range(SAMPLES + 2):
        if n <= SAMPLES and shown[n]:
            first = n if first is None else first
        elif first is not None:
            p, q = place.spot(tuple(way[first])), place.spot(tuple(way[n - 1]))
            if np.hypot(q[0] - p[0], q[1] - p[1]) >= SHORTEST:
                lines.append(Line("phm", (p, q)))
            first = None
    return lines
