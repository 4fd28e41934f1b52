"""Strokes of a view and its marks: edges, centre lines, arrows, cutting planes, grain, reference and detail marks.

All lengths in paper mm, y downwards. Pens belong to the style; dash patterns start when the sheet is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import hypot
from typing import Protocol

from plandoc.drawing.boxes import Segment, arc_points, remaining
from plandoc.drawing.display import XY, Circle, Fill, Item, Line, Text
from plandoc.drawing.lettering import text_width
from plandoc.drawing.style import Style

DISC_SIDES = 24
ON_EACH_OTHER = 0.06  # mm between two strokes that are seen as one
GOES_ON = 0.8  # mm behind a stronger stroke that lay on a line
LEAST_PIECE = 1.0  # mm of a line that goes on

MOTION = 7.0  # mm, length of an arrow of motion


class StrokeLike(Protocol):
    """A piece of edge as a projection gives it: points in model mm, y upwards; a closed curve repeats its first
    point."""

    @property
    def points(self) -> tuple[XY, ...]: ...
    @property
    def hidden(self) -> bool: ...


def lines_from_strokes(
    strokes: Iterable[StrokeLike],
    to_paper: Callable[[XY], XY],
    visible: str = "vis",
    hidden: str = "hid",
    show_hidden: bool = True,
) -> tuple[Line, ...]:
    """The strokes as lines on paper, in their order; visible and hidden are the roles to draw them with."""
    out: list[Line] = []
    for stroke in strokes:
        if stroke.hidden and not show_hidden:
            continue
        points = tuple(to_paper(p) for p in stroke.points)
        closed = len(points) > 3 and stroke.points[0] == stroke.points[-1]
        out.append(Line(hidden if stroke.hidden else visible, points[:-1] if closed else points, closed))
    return tuple(out)


def disc(centre: XY, radius: float) -> Fill:
    """A solid dot."""
    return Fill("ink", (arc_points(centre, radius, 0.0, 360.0, DISC_SIDES)[:-1],))


def unit(direction: XY) -> XY:
    """The direction with length 1. Raises ValueError for no direction."""
    size = hypot(*direction)
    if size == 0:
        raise ValueError("an arrow needs a direction")
    return (direction[0] / size, direction[1] / size)


def arrowhead(tip: XY, direction: XY, style: Style) -> Fill:
    """A solid head three times as long as wide (ASME Y14.2), pointing along direction, its point at tip."""
    dx, dy = unit(direction)
    back, half = style.arrow_length, style.arrow_width / 2
    foot = (tip[0] - dx * back, tip[1] - dy * back)
    left = (foot[0] - dy * half, foot[1] + dx * half)
    right = (foot[0] + dy * half, foot[1] - dx * half)
    return Fill("ink", ((tip, left, right),))


def arrow(at: XY, direction: XY, style: Style, length: float = 8.0, role: str = "dim") -> tuple[Item, ...]:
    """A straight arrow with its point at `at`; length over all (mm)."""
    dx, dy = unit(direction)
    tail = (at[0] - dx * length, at[1] - dy * length)
    neck = (at[0] - dx * style.arrow_length / 2, at[1] - dy * style.arrow_length / 2)
    return (Line(role, (tail, neck)), arrowhead(at, (dx, dy), style))


def centre_overshoot(radius: float, style: Style, room: float = 1e9) -> float:
    """How far (mm) centre lines run past a circle: the style's overshoot at radii from 3 mm, less for small
    holes, at most to a quarter of the clear room to the next feature; never under 1 mm."""
    return max(1.0, min(style.centre_overshoot, 2.0 * radius, room / 4))


def centre_mark(centre: XY, radius: float, style: Style, room: float = 1e9) -> tuple[Line, ...]:
    """Two centre lines that cross in a circle. room: clear distance from its rim to the next feature (mm)."""
    x, y = centre
    reach = radius + centre_overshoot(radius, style, room)
    return (
        Line("ctr", ((x - reach, y), (x + reach, y))),
        Line("ctr", ((x, y - reach), (x, y + reach))),
    )


def without(line: Line, stronger: Iterable[Segment]) -> tuple[Line, ...]:
    """What is left of a level or upright line where stronger strokes do not lie on it: it goes on after a gap (order of
    lines that coincide: visible edges before centre lines)."""
    start, end = line.points
    along = 0 if abs(end[0] - start[0]) > abs(end[1] - start[1]) else 1
    level = start[1 - along]
    gaps = []
    for p, q in stronger:
        if abs(p[1 - along] - level) < ON_EACH_OTHER and abs(q[1 - along] - level) < ON_EACH_OTHER:
            low, high = sorted((p[along], q[along]))
            gaps.append((low - GOES_ON, high + GOES_ON))
    if not gaps:
        return (line,)
    left = remaining(sorted((start[along], end[along])), gaps)
    return tuple(Line(line.role, ((a, level), (b, level)) if along == 0 else ((level, a), (level, b))) for a, b in left if b - a >= LEAST_PIECE)


def centre_line(p: XY, q: XY, style: Style, overshoot: float | None = None) -> Line:
    """The axis of a feature from p to q, run past both ends (mm; by default as the style says)."""
    by = style.centre_overshoot if overshoot is None else overshoot
    dx, dy = unit((q[0] - p[0], q[1] - p[1]))
    return Line("ctr", ((p[0] - dx * by, p[1] - dy * by), (q[0] + dx * by, q[1] + dy * by)))


def symmetry_axis(p: XY, q: XY, style: Style) -> tuple[Line, ...]:
    """A centre line whose ends carry two short parallel strokes: the two halves are alike (ISO 128, from memory)."""
    axis = centre_line(p, q, style)
    dx, dy = unit((q[0] - p[0], q[1] - p[1]))
    bars = []
    for (x, y), sign in ((axis.points[0], 1.0), (axis.points[1], -1.0)):
        for along in (1.0, 2.2):
            cx, cy = x + sign * dx * along, y + sign * dy * along
            bars.append(Line("vis", ((cx - dy * 1.75, cy + dx * 1.75), (cx + dy * 1.75, cy - dx * 1.75))))
    return (axis, *bars)


SIGHT_SHAFT = 8.0  # mm, the usual arrow of a cutting plane


def cutting_plane(
    p: XY, q: XY, letter: str, look: XY, style: Style, shafts: tuple[float, float] = (SIGHT_SHAFT, SIGHT_SHAFT)
) -> tuple[Item, ...]:
    """A cutting plane seen as a line from p to q: thick ends, thin chain between, arrows in the direction of sight
    and the same upright letter beyond both arrows. p and q lie outside the outline. shafts: lengths of the arrows (mm)."""
    dx, dy = unit((q[0] - p[0], q[1] - p[1]))
    lx, ly = unit(look)
    thick, size = 6.0, style.height("label")
    inner_p, inner_q = (p[0] + dx * thick, p[1] + dy * thick), (q[0] - dx * thick, q[1] - dy * thick)
    items: list[Item] = [
        Line("cut", (p, inner_p)),
        Line("ctr", (inner_p, inner_q)),
        Line("cut", (inner_q, q)),
    ]
    width = text_width(letter, size, True)
    for end, shaft in zip((p, q), shafts, strict=True):
        tip = (end[0] + lx * shaft, end[1] + ly * shaft)
        items += arrow(tip, (lx, ly), style, shaft, "dim")
        out = 1.5 + abs(lx) * width / 2 + abs(ly) * size / 2
        middle = (tip[0] + lx * out, tip[1] + ly * out + size / 2)
        items.append(Text("label", middle, letter, size, "middle", 0, True))
    return tuple(items)


def grain_mark(at: XY, length: float, horizontal: bool, style: Style) -> tuple[Item, ...]:
    """A line with a head at both ends along the grain and the word GRAIN over it. at: its middle; length over all
    (mm). Grain has no sense of direction, so both ends carry a head (own design)."""
    dx, dy = (1.0, 0.0) if horizontal else (0.0, -1.0)
    half, size = length / 2, style.height("note")
    a, b = (at[0] - dx * half, at[1] - dy * half), (at[0] + dx * half, at[1] + dy * half)
    neck = half - style.arrow_length / 2
    line = Line("dim", ((at[0] - dx * neck, at[1] - dy * neck), (at[0] + dx * neck, at[1] + dy * neck)))
    word = (at[0] + dy * style.text_gap, at[1] - dx * style.text_gap)
    text = Text("note", word, "GRAIN", size, "middle", 0 if horizontal else -90)
    return (line, arrowhead(a, (-dx, -dy), style), arrowhead(b, (dx, dy), style), text)


def reference_mark(at: XY, inward: XY, style: Style, kind: str = "face", outside: bool = False) -> tuple[Fill, ...]:
    """The mark of a reference surface seen as an edge: a solid triangle whose base lies on the edge line and whose
    point looks into the part; one for the face, two side by side for the edge (own design, explained in the
    legend). at: the middle of the mark on the edge line. outside: it stands before the edge and its point touches the line.
    Raises ValueError for another kind."""
    if kind not in ("face", "edge"):
        raise ValueError(f"a reference mark is for a face or an edge, not {kind!r}")
    nx, ny = unit(inward)
    tx, ty = -ny, nx
    half, high = 1.25, 2.2
    places = (0.0,) if kind == "face" else (-1.5, 1.5)
    out = []
    for along in places:
        x, y = at[0] + tx * along, at[1] + ty * along
        if outside:
            x, y = x - nx * high, y - ny * high
        base_a, base_b = (x - tx * half, y - ty * half), (x + tx * half, y + ty * half)
        out.append(Fill("ink", ((base_a, base_b, (x + nx * high, y + ny * high)),)))
    return tuple(out)


def detail_circle(centre: XY, radius: float, letter: str, style: Style, toward: XY = (1.0, -1.0)) -> tuple[Item, ...]:
    """A thin circle round a place that is drawn larger elsewhere, its capital letter outside it on the side
    `toward`."""
    dx, dy = unit(toward)
    size = style.height("label")
    width = text_width(letter, size, True)
    out = radius + 1.2
    x = centre[0] + dx * out + (width / 2 if dx > 0.2 else -width / 2 if dx < -0.2 else 0.0)
    y = centre[1] + dy * out + (size if dy > 0.2 else 0.0 if dy < -0.2 else size / 2)
    return (Circle("ldr", centre, radius), Text("label", (x, y), letter, size, "middle", 0, True))


def hole_rooms(centres: Sequence[XY], radii: Sequence[float]) -> tuple[float, ...]:
    """For each circle the clear distance (mm) from its rim to the nearest other rim; 1e9 for a single one."""
    out = []
    for i, (c, r) in enumerate(zip(centres, radii, strict=True)):
        gaps = [
            hypot(c[0] - d[0], c[1] - d[1]) - r - s
            for j, (d, s) in enumerate(zip(centres, radii, strict=True))
            if i != j
        ]
        out.append(max(0.0, min(gaps, default=1e9)))
    return tuple(out)


def motion_arrow(tip: XY, way: XY) -> Fill:
    """A solid arrow of motion, MOTION mm long, with its point at tip. way: unit vector."""
    (x, y), (dx, dy) = tip, way

    def at(along: float, beside: float) -> XY:
        return x + dx * along - dy * beside, y + dy * along + dx * beside

    head, wide, shaft = 3.4, 1.9, 0.7
    upper = ((0.0, 0.0), (-head, wide), (-head, shaft), (-MOTION, shaft))
    lower = tuple((along, -beside) for along, beside in upper[:0:-1])
    return Fill("ink", (tuple(at(*p) for p in (*upper, *lower)),))
