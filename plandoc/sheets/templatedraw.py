"""What a board of templates shows, in board mm, y downwards: rims, centres, heavy edges, words and figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import hypot

import shapely

from plandoc.drawing.boxes import item_extent, overlap, united
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line, Text
from plandoc.drawing.lettering import note_line_items, text_width
from plandoc.drawing.linework import arrow, grain_mark
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Face
from plandoc.geometry.contours import Contour, Curve, Straight, clipped, combined, points
from plandoc.quantity import Units
from plandoc.sheets.glyphs import letter_strokes
from plandoc.sheets.templateboards import OVERLAP, PITCH, TITLE_PITCH, UNDER_TITLE, Block, Board
from plandoc.sheets.templatelabels import Label, labels, settle, unnamed_corners
from plandoc.sheets.templateparts import Work
from plandoc.shopwork.names import edge_words

BAND = 1.2  # mm; the heavy edge, whose inner side is the edge of the wood
FINE = 0.004  # mm between a curve and its chords
OFF_HEAVY = 0.1  # mm; a light line nearer to a heavy one than this lies on it
CROSS = 5.0  # mm; half of the lines that mark a centre
ON_EDGE = 1e-4
GRAIN = 30.0
RUN_ON = 2.0  # mm that the outline runs on where only a part of the face is shown
AXIS = 9.0  # mm, length of the small arrows x and y


@dataclass(frozen=True, slots=True)
class Drawn:
    """A board ready to be cut into tiles. lines: chains and circles that are clipped; fills: rectangles that are; whole:
    groups that stand on one tile each; left_out: labels without a clear place."""

    board: Board
    lines: tuple[tuple[str, str, Line | Circle], ...]
    fills: tuple[Extent, ...]
    whole: tuple[tuple[Extent, Group], ...]
    left_out: tuple[Label, ...]


def draw(board: Board, units: Units, style: Style) -> Drawn:
    """Everything on a board."""
    lines: list[tuple[str, str, Line | Circle]] = []
    fills: list[Extent] = []
    whole: list[tuple[Extent, Group]] = []
    wanted: list[Label] = []
    for block in board.blocks:
        lines += _rims(block)
        bands = _bands(block)
        fills += [box for _, box in bands]
        whole += _caption(block, style)
        whole += _edge_names(board, block, bands, style)
        whole += [(box, group) for box, group in _axes(board, block, style) if not any(overlap(box, o, 0.7) for o, _ in whole)]
        wanted += labels(block, units)
    taken = [box for box, _ in whole] + list(fills)
    chains = [_chain(item) for _, _, item in lines]
    for block in board.blocks:
        grain = _grain(board, block, chains, taken, style)
        if grain is not None:
            whole.append(grain)
            taken.append(grain[0])
    placed, left = settle(board, wanted, chains, taken, style, [c for block in board.blocks for c in unnamed_corners(block)])
    whole += [(s.box, Group("leader", s.items, attrs=(("note", s.label.id),))) for s in placed]
    return Drawn(board, tuple(lines), tuple(fills), tuple(whole), left)


def _chain(item: Line | Circle, fine: float = 0.1) -> tuple[XY, ...]:
    """An item as a chain within `fine` (mm) of it: by default good enough to keep lettering off it."""
    if isinstance(item, Line):
        every = (*item.points, item.points[0]) if item.closed else item.points
        return every if len(every) < 40 else tuple((float(x), float(y)) for x, y in shapely.LineString(every).simplify(fine).coords)
    curve = Curve((item.centre[0] + item.radius, item.centre[1]), (item.centre[0] + item.radius, item.centre[1]), item.centre, item.radius, True)
    return curve.points(fine)


def line_of(contour: Contour, role: str) -> Line | Circle:
    """A contour on the board as one item: a circle as such, anything else as a closed chain within FINE of it."""
    if len(contour) == 1 and isinstance(contour[0], Curve):
        return Circle(role, contour[0].centre, contour[0].radius)
    return Line(role, points(contour, FINE), closed=True)


def _rims(block: Block) -> list[tuple[str, str, Line | Circle]]:
    """(id, what, item) of the silhouette, the rims of the work by depth, centres and lettering."""
    template = block.template
    name = template.name
    x0, y0, x1, y1 = block.extent
    shown = (x0 - RUN_ON, y0 - RUN_ON, x1 + RUN_ON, y1 + RUN_ON)
    found: list[tuple[str, str, Line | Circle]] = []
    for contour in template.silhouette:
        found += [(name, "outline", piece) for piece in _within(line_of(block.shape(contour), "vis"), shown)]
    face = _face_contour(block)
    depths: dict[Fraction, list[Work]] = {}
    for work in template.marked:
        if work.depth is not None and work.contours:
            depths.setdefault(work.depth, []).append(work)
    for works in depths.values():
        rims = combined([c for w in works for c in w.contours], within=face)
        found += [(name, "rim", line_of(block.shape(c), "vis")) for c in rims]
    heavy = shapely.union_all([shapely.LineString(_chain(item, FINE)) for _, _, item in found]).buffer(OFF_HEAVY)
    others = [c for w in template.works if not w.marked and w.depth is not None for c in w.contours]
    waste = [c for w in template.works if w.depth is None for c in w.contours]
    for other in others:
        for contour in combined([other], waste, face):
            for piece in _within(line_of(block.shape(contour), "light"), shown):
                found += [(name, "other", line) for line in _less(piece, heavy)]
    for work in template.marked:
        if work.round and work.feature.centre is not None:
            x, y = block.spot(work.feature.centre)
            arm = min(CROSS, float(work.feature.diameter or 0) / 2 + 2.0)
            found.append((work.feature.id, "centre", Line("dim", ((x - arm, y), (x + arm, y)))))
            found.append((work.feature.id, "centre", Line("dim", ((x, y - arm), (x, y + arm)))))
        if work.feature.text:
            found += [(work.feature.id, "letter", line) for line in _letters(block, work)]
    return found


def _less(item: Line | Circle, heavy: shapely.Geometry) -> list[Line | Circle]:
    """A light line less what lies on heavy ones; crossings do not break it."""
    chain = shapely.LineString(_chain(item, FINE))
    on = [piece for piece in shapely.get_parts(chain.intersection(heavy)) if piece.length > 4 * OFF_HEAVY]
    if not on:
        return [item]
    left = shapely.get_parts(shapely.line_merge(chain.difference(shapely.union_all([piece.buffer(1e-6) for piece in on]))))
    return [Line(item.role, tuple((float(x), float(y)) for x, y in piece.coords)) for piece in left if piece.length > OFF_HEAVY]


def _face_contour(block: Block) -> Contour:
    long, high = (float(s) for s in block.template.ground.size)
    return (Straight((0.0, 0.0), (long, 0.0)), Straight((long, 0.0), (long, high)), Straight((long, high), (0.0, high)), Straight((0.0, high), (0.0, 0.0)))


def _letters(block: Block, work: Work) -> tuple[Line, ...]:
    feature = work.feature
    assert feature.centre is not None and feature.height is not None and feature.reading is not None
    size = float(feature.height)
    (x, y), (ux, uy) = block.spot(feature.centre), block.vector(feature.reading)
    return letter_strokes(feature.text, (x, y), size, (ux, uy))


def _bands(block: Block) -> list[tuple[Face, Extent]]:
    """The heavy edges: rectangles outside the part whose inner side is the edge of the wood, where it stands on the
    edge that the template is laid on."""
    plane = block.template.ground
    sides: list[tuple[Face, int, float, int]] = []
    for number, (way, end, long) in enumerate(zip((plane.right, plane.up), block.edges, plane.size, strict=True)):
        sides.append((way if end > 0 else way.opposite, number, float(long) if end > 0 else 0.0, end))
    found: list[tuple[Face, Extent]] = []
    x0, y0, x1, y1 = block.region
    limits = ((x0, x1), (y0, y1))
    for face, number, level, end in sides:
        for contour in block.template.silhouette:
            for stroke in contour:
                if isinstance(stroke, Curve) or any(abs(p[number] - level) > ON_EDGE for p in (stroke.start, stroke.end)):
                    continue
                a, b = sorted((stroke.start[1 - number], stroke.end[1 - number]))
                a, b = max(a, limits[1 - number][0]), min(b, limits[1 - number][1])
                if b - a > ON_EDGE:
                    outer = level + end * BAND
                    corners = [(level, a), (outer, b)] if number == 0 else [(a, level), (b, outer)]
                    p, q = (block.board(c) for c in corners)
                    found.append((face, (min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1]))))
    return found


def _within(item: Line | Circle, shown: Extent) -> list[Line | Circle]:
    """As much of an outline as the template shows; its words stand beyond."""
    x0, y0, x1, y1 = item_extent(item) or shown
    if shown[0] <= x0 and shown[1] <= y0 and x1 <= shown[2] and y1 <= shown[3]:
        return [item]
    if isinstance(item, Circle):
        start = (item.centre[0] + item.radius, item.centre[1])
        chain: tuple[XY, ...] = Curve(start, start, item.centre, item.radius, True).points(FINE)
    else:
        chain = (*item.points, item.points[0]) if item.closed else item.points
    return [Line(item.role, piece) for piece in clipped(chain, shown)]


def _caption(block: Block, style: Style) -> list[tuple[Extent, Group]]:
    title, size = style.height("title"), style.height("note")
    x, y = block.words_at[0] + 1.5, block.words_at[1]
    y += TITLE_PITCH * title
    items: list[Item] = [Text("vtitle", (x, y), block.caption[0], title, bold=True)]
    y += UNDER_TITLE
    for line in block.caption[1:]:
        y += PITCH * size
        items += note_line_items(line, (x, y), size)
    return [_grouped("caption", items)]


def _grouped(kind: str, items: Sequence[Item]) -> tuple[Extent, Group]:
    return united([e for i in items if (e := item_extent(i)) is not None]), Group(kind, tuple(items))


def _cores(board: Board, box: Extent) -> list[Extent]:
    """The parts of a box that lie on one tile each, outside the shared strips."""
    (dx, dy), (wide, high) = board.window.step, board.size
    xs = [(c * dx + (OVERLAP if c else 0.0), (c + 1) * dx if c + 1 < board.columns else wide) for c in range(board.columns)]
    ys = [(r * dy + (OVERLAP if r else 0.0), (r + 1) * dy if r + 1 < board.rows else high) for r in range(board.rows)]
    parts = [(max(box[0], a), max(box[1], c), min(box[2], b), min(box[3], d)) for c, d in ys for a, b in xs]
    return [p for p in parts if p[0] < p[2] and p[1] < p[3]]


def _edge_names(board: Board, block: Block, bands: Sequence[tuple[Face, Extent]], style: Style) -> list[tuple[Extent, Group]]:
    """The name of the edge beside the longest piece of each heavy line."""
    found: list[tuple[Extent, Group]] = []
    size = style.minimum_height
    for face in dict.fromkeys(f for f, _ in bands):
        text = edge_words(block.template.part, face).upper()
        need = text_width(text, size) + 2.0
        pieces = [p for f, b in bands if f == face for p in _cores(board, b)]
        level = pieces[0][2] - pieces[0][0] > pieces[0][3] - pieces[0][1] if pieces else True
        long = [(p[2] - p[0] if level else p[3] - p[1]) for p in pieces]
        if not pieces or max(long) < need:
            continue
        box = pieces[long.index(max(long))]
        area = block.extent
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        if level:
            y = box[3] + 1.2 + size if box[1] > (area[1] + area[3]) / 2 else box[1] - 1.2
            item = Text("note", (middle[0], y), text, size, "middle")
        else:
            x = box[0] - 1.2 if box[0] < (area[0] + area[2]) / 2 else box[2] + 1.2 + size
            item = Text("note", (x, middle[1]), text, size, "middle", -90)
        found.append(_grouped("edge", [item]))
    return found


def _axes(board: Board, block: Block, style: Style) -> list[tuple[Extent, Group]]:
    """Small arrows x and y along the edges that the figures count from, where both are on the template."""
    if block.edges != (-1, -1):
        return []
    plane, size = block.template.ground, style.minimum_height
    corner = block.board((0.0, 0.0))
    found: list[tuple[Extent, Group]] = []
    for letter, way, other in (("x", plane.right, plane.up), ("y", plane.up, plane.right)):
        (ux, uy), (vx, vy) = block.vector(way), block.vector(other)
        off = BAND + 0.8 + size / 2
        foot = (corner[0] - vx * off, corner[1] - vy * off)
        tip = (foot[0] + ux * AXIS, foot[1] + uy * AXIS)
        wide = text_width(letter, size)
        # the letter beyond the point, 1 mm clear of it
        at = (tip[0] + ux * (1.0 + wide / 2), tip[1] + uy * (1.2 + size / 2))
        low = (at[0] - wide / 2, at[1] + size / 2 - (0.3 * size if uy < 0 else 0.0))
        box, group = _grouped("axis", [*arrow(tip, (ux, uy), style, AXIS), Text("note", low, letter, size)])
        if any(t[0] <= box[0] and t[1] <= box[1] and box[2] <= t[2] and box[3] <= t[3] for t in _cores(board, (0.0, 0.0, *board.size))):
            found.append((box, group))
    return found


def _grain(board: Board, block: Block, chains: Sequence[Sequence[XY]], taken: Sequence[Extent], style: Style) -> tuple[Extent, Group] | None:
    """The grain arrow at the clear place nearest to the middle; None where the grain does not run in the face, or where
    there is no room."""
    part, plane = block.template.part, block.template.ground
    if part.length_axis == plane.face.axis:
        return None
    level = abs(block.vector(Face(part.length_axis, 1))[0]) > 0.5
    box = united([e for i in grain_mark((0.0, 0.0), GRAIN, level, style) if (e := item_extent(i)) is not None])
    drawn = shapely.STRtree([shapely.LineString(c) for c in chains if len(c) > 1])
    x0, y0, x1, y1 = block.extent
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    spots = [(x0 + i * 5.0, y0 + j * 5.0) for i in range(int((x1 - x0) / 5) + 1) for j in range(int((y1 - y0) / 5) + 1)]
    cores = _cores(board, block.extent)
    for x, y in sorted(spots, key=lambda s: (round(hypot(s[0] - middle[0], s[1] - middle[1]), 3), s)):
        place = (box[0] + x - 1.5, box[1] + y - 1.5, box[2] + x + 1.5, box[3] + y + 1.5)
        if not any(c[0] <= place[0] and c[1] <= place[1] and place[2] <= c[2] and place[3] <= c[3] for c in cores):
            continue
        shape = shapely.box(*place)
        if len(drawn.query(shape, predicate="intersects")) or any(shape.intersects(shapely.box(*t)) for t in taken):
            continue
        return _grouped("grain", grain_mark((x, y), GRAIN, level, style))
    return None
