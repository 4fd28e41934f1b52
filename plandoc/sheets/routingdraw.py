"""The picture of a routed face: board, work, clamp zones, origin, and the way of each tool in thin lines."""

from __future__ import annotations

import itertools
from fractions import Fraction
from math import atan2, ceil, cos, hypot, pi, sin

from plandoc.build.routing import Routing
from plandoc.drawing.display import XY, Circle, Extent, Fill, Group, Item, Line, Text
from plandoc.drawing.scales import choose_scale, listed_scales, ratio
from plandoc.drawing.style import Style
from plandoc.geometry.contours import Contour, combined, points
from plandoc.quantity import Units
from plandoc.sheets.views import title_height, view_title
from plandoc.toolpath.work import Program

ROLES = ("dim", "hid", "ctr")
"""Lines of the first bit, the second and so on; all thin."""
SHOWN = 12.0  # mm of a clamp that is drawn beside the board
ORIGIN_DROP = 1.6  # heights of its letters from the clamps to the base line of the origin's words
ORIGIN = 2.2  # mm on paper, arm of the cross


def picture(routing: Routing, space: Extent, style: Style, units: Units) -> tuple[Group, Fraction]:
    """The drawing in the middle of a space (paper mm), with a title and its scale, and that scale."""
    board, result = routing.board, routing.result
    spare = max(result.margin, SHOWN) + 2
    long, high = board.size
    size = style.height("note")
    words = ORIGIN_DROP * size + 1.0 + title_height(style)  # below the board: the origin's words and the title
    room = (space[2] - space[0], space[3] - space[1] - words)
    scale = choose_scale((long + 2 * spare, high + 2 * spare), room, [s for s in listed_scales(units) if s <= 2])
    factor = float(scale)
    left = (space[0] + space[2] - long * factor) / 2
    bottom = (space[1] + space[3] - words + high * factor) / 2

    def at(p: XY) -> XY:
        return (left + p[0] * factor, bottom - p[1] * factor)

    items: list[Item] = []
    for x0, y0, x1, y1 in result.zones:
        x0, y0, x1, y1 = max(x0, -spare), max(y0, -spare), min(x1, long + spare), min(y1, high + spare)
        corners = tuple(at(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
        items += [Fill("tone", (corners,)), Line("phm", corners, True)]
    for number, program in enumerate(p for p in result.programs if p.kind == "bit"):
        items.append(Group("toolpath", tuple(Line(ROLES[min(number, len(ROLES) - 1)], tuple(at(p) for p in chain)) for chain in chains(program)), f"tool-{number + 1}"))
    items += [Line("dim", tuple(at(p) for p in stroke)) for text in board.letters for stroke in text.strokes if len(stroke) > 1]
    through = [c.shape for c in board.cuts if c.depth is None]
    blind = [c.shape for c in board.cuts if c.depth is not None]
    shapes: tuple[Contour, ...] = combined(board.whole, through)
    shapes += combined(blind) if blind else ()
    items += [Line("vis", tuple(at(p) for p in points(s, 0.02 / factor)), True) for s in shapes]
    if board.out:
        m = result.margin
        items.append(Line("phm", tuple(at(p) for p in ((-m, -m), (long + m, -m), (long + m, high + m), (-m, high + m))), True))
    items += [Circle("vis", at(b.centre), b.diameter / 2 * factor) for b in board.bores]
    x, y = at((0.0, 0.0))
    items += [Line("vis", ((x - ORIGIN, y), (x + ORIGIN, y))), Line("vis", ((x, y - ORIGIN), (x, y + ORIGIN))), Circle("vis", (x, y), ORIGIN * 0.55)]
    low = bottom + spare * factor + ORIGIN_DROP * size
    foot = (x + (low - size - 0.5 - y) / 2, low - size - 0.5)  # the leader leans by a half of its height
    far = hypot(foot[0] - x, foot[1] - y)
    tip = (x + (foot[0] - x) * (ORIGIN + 0.3) / far, y + (foot[1] - y) * (ORIGIN + 0.3) / far)
    origin = (Text("note", (foot[0] - size / 2, low), "X0 Y0", size), Line("ldr", (foot, tip)))
    items.append(Group("leader", origin, attrs=(("note", "origin"),)))
    items += view_title(f"{routing.face.name} up".upper(), scale, (space[0] + space[2]) / 2, low + 1.0, style, units)
    attrs = (("part", routing.part.path), ("proj", routing.face.name), ("scale", ratio(scale)))
    return Group("view", tuple(items), f"routing-{routing.part.mark}-{routing.face.name}", attrs), scale


def chains(program: Program) -> list[tuple[XY, ...]]:
    """The ways of a tool in the wood as seen from above, each stretch once."""
    found: list[list[XY]] = []
    seen: set[tuple[int, ...]] = set()
    at = (0.0, 0.0, 1.0)
    fresh = True
    for move in program.moves:
        run = [(at[0], at[1])]
        if move.centre is not None:
            run += _arc(at, move.end, move.centre, move.left)
        else:
            run.append((move.end[0], move.end[1]))
        in_wood = move.how in ("cut", "down") and move.end[2] < 0
        at = move.end
        for p, q in itertools.pairwise(run):
            key = tuple(sorted(((round(p[0] * 10), round(p[1] * 10)), (round(q[0] * 10), round(q[1] * 10)))))
            flat = key[0] + key[1]
            if not in_wood or flat in seen or key[0] == key[1]:
                fresh = True
                continue
            seen.add(flat)
            if fresh or not found or found[-1][-1] != p:
                found.append([p])
            found[-1].append(q)
            fresh = False
    return [tuple(chain) for chain in found]


def _arc(at: tuple[float, float, float], end: tuple[float, float, float], centre: XY, left: bool) -> list[XY]:
    radius = hypot(at[0] - centre[0], at[1] - centre[1])
    first, last = atan2(at[1] - centre[1], at[0] - centre[0]), atan2(end[1] - centre[1], end[0] - centre[0])
    turn = (last - first) % (2 * pi) if left else -((first - last) % (2 * pi))
    count = max(1, ceil(abs(turn) / 0.15))
    inner = [(centre[0] + radius * cos(first + turn * n / count), centre[1] + radius * sin(first + turn * n / count)) for n in range(1, count)]
    return [*inner, (end[0], end[1])]


__all__ = ["ROLES", "chains", "picture"]
