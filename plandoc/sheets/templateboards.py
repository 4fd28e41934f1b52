"""Templates laid on boards of paper, and boards cut into tiles that overlap.

A board is one sheet of paper as large as needed: it holds one template, or several that are narrow enough. It is printed
as columns x rows of tiles, each one window large; neighbours share a strip OVERLAP mm wide. All lengths are paper mm,
y downwards, the same as on the wood.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from plandoc.drawing.display import XY, Extent
from plandoc.drawing.lettering import fitted, printable, wrap
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Face, Point3
from plandoc.geometry.contours import Contour, Curve, box_of, moved
from plandoc.sheets.glyphs import text_width
from plandoc.sheets.templateparts import Template, Work
from plandoc.sheets.truesize import SAFE
from plandoc.shopwork.names import edge_words, joined_names, mark_of, piece_count

OVERLAP = 10.0  # enough for a cross and for tape; common practice
BAR_STRIP = 12.5  # at the left, for the upright check bars
FOOT = 17.0  # at the bottom, for the level check bars, the words and the map
SIDE = 7.0  # round a template, for the heavy edges and their names
CLEAR = 6.0  # mm of the part that are shown round the work
WHOLE = 60.0  # mm; the rest of a part that is no wider than this is shown too
TURN_BACK = 100.0  # mm; a reference edge that is this much farther than the opposite one is not used
ON_LEVEL = 1e-4  # mm between a stroke and the edge that it lies on
NEAR_EDGE = 200.0  # mm; but one within this is
WORDS = 84.0  # least width of the words under a template
TITLE_PITCH, PITCH = 1.5, 1.65  # line pitch over cap height
UNDER_TITLE = 0.8  # mm more between the title and the words under it
GAP = 4.0


@dataclass(frozen=True, slots=True)
class Window:
    """What one tile shows of a board (mm), and where its upper left corner lies on the page."""

    width: float
    height: float
    at: XY

    @property
    def step(self) -> XY:
        """From one tile to the next."""
        return (self.width - OVERLAP, self.height - OVERLAP)

    def tiles(self, size: XY) -> tuple[int, int]:
        """Columns and rows that a board of that size needs."""
        columns, rows = (max(1, ceil((s - OVERLAP) / step - 1e-9)) for s, step in zip(size, self.step, strict=True))
        return columns, rows

    def room(self, columns: int, rows: int) -> XY:
        """The size of a board of so many tiles."""
        return (columns * self.step[0] + OVERLAP, rows * self.step[1] + OVERLAP)


def window(paper: XY) -> Window:
    """The window of a page of that paper (width, height)."""
    return Window(paper[0] - 2 * SAFE - BAR_STRIP, paper[1] - 2 * SAFE - FOOT, (SAFE + BAR_STRIP, SAFE))


@dataclass(frozen=True, slots=True)
class Block:
    """A template with room for its words. region: what is shown of the face, x0, y0, x1, y1 as x and y run on it.
    edges: which ends of x and y (-1 low, +1 high) the template is laid on. turned: x runs up the paper and y to the
    left, else x to the right and y up. caption: its words, the title first, `deep` mm high, under the template or
    beside it. at, words_at: the upper left corners of the block and of the words on the board."""

    template: Template
    region: Extent
    edges: tuple[int, int]
    caption: tuple[str, ...]
    deep: float
    turned: bool = False
    beside: bool = False
    at: XY = (0.0, 0.0)
    words_at: XY = (0.0, 0.0)

    @property
    def inner(self) -> XY:
        """Width and height of the region on paper."""
        x0, y0, x1, y1 = self.region
        return (y1 - y0, x1 - x0) if self.turned else (x1 - x0, y1 - y0)

    @property
    def size(self) -> XY:
        """Width and height with the words."""
        wide, high = self.inner
        if self.beside:
            return (wide + 2 * SIDE + WORDS, max(high + 2 * SIDE, self.deep))
        return (max(wide + 2 * SIDE, WORDS), high + 2 * SIDE + self.deep)

    def board(self, point: XY) -> XY:
        """A point of the face (x, y) on the board."""
        x0, _, x1, y1 = self.region
        left, top = self.at[0] + SIDE, self.at[1] + SIDE
        if self.turned:
            return (left + y1 - point[1], top + x1 - point[0])
        return (left + point[0] - x0, top + y1 - point[1])

    def shape(self, contour: Contour) -> Contour:
        """A contour of the face on the board (turning sense as with y upwards, so mirrored)."""
        return moved(contour, self.board)

    def vector(self, way: Face) -> XY:
        """A direction of the world in the face as a unit vector on paper."""
        plane = self.template.ground
        x, y = (float(way.side * plane.right.side), 0.0) if way.axis == plane.right.axis else (0.0, float(way.side * plane.up.side))
        return (-y, -x) if self.turned else (x, -y)

    def spot(self, point: Point3) -> XY:
        """A point of the world on the board."""
        x, y = self.template.ground.place(point)
        return self.board((float(x), float(y)))

    @property
    def extent(self) -> Extent:
        """The region on the board."""
        left, top = self.at[0] + SIDE, self.at[1] + SIDE
        return (left, top, left + self.inner[0], top + self.inner[1])


@dataclass(frozen=True, slots=True)
class Board:
    """Blocks on one large sheet, printed as columns x rows tiles."""

    blocks: tuple[Block, ...]
    columns: int
    rows: int
    window: Window

    @property
    def size(self) -> XY:
        """Width and height (mm)."""
        return self.window.room(self.columns, self.rows)

    def origin(self, column: int, row: int) -> XY:
        """The upper left corner of a tile's window on the board."""
        return (column * self.window.step[0], row * self.window.step[1])

    def extent(self, column: int, row: int) -> Extent:
        """A tile's window on the board."""
        x, y = self.origin(column, row)
        return (x, y, x + self.window.width, y + self.window.height)

    def strips(self) -> tuple[Extent, ...]:
        """The strips that two tiles share: upright ones, then level ones."""
        wide, high = self.size
        (dx, dy) = self.window.step
        upright = tuple((c * dx, 0.0, c * dx + OVERLAP, high) for c in range(1, self.columns))
        return (*upright, *((0.0, r * dy, wide, r * dy + OVERLAP) for r in range(1, self.rows)))

    def crosses(self) -> tuple[XY, ...]:
        """Registration crosses: two for each edge that two tiles share, in the middle of the strip, at a quarter and
        three quarters of the window."""
        (dx, dy), half = self.window.step, OVERLAP / 2
        found: list[XY] = []
        for row in range(self.rows):
            for column in range(1, self.columns):
                found += [(column * dx + half, row * dy + self.window.height * q) for q in (0.25, 0.75)]
        for row in range(1, self.rows):
            for column in range(self.columns):
                found += [(column * dx + self.window.width * q, row * dy + half) for q in (0.25, 0.75)]
        return tuple(found)


def lettering_extent(template: Template, work: Work) -> Extent:
    """The box round lettering on its face (x0, y0, x1, y1)."""
    feature, plane = work.feature, template.ground
    assert feature.centre is not None and feature.height is not None and feature.reading is not None
    x, y = (float(v) for v in plane.place(feature.centre))
    long, high = text_width(feature.text, float(feature.height)) / 2, float(feature.height) * 0.65
    half = (long, high) if feature.reading.axis == plane.right.axis else (high, long)
    return (x - half[0], y - half[1], x + half[0], y + half[1])


def work_extent(template: Template, work: Work) -> Extent:
    """The box round one piece of work on its face."""
    return box_of(work.contours) if work.contours else lettering_extent(template, work)


def region(template: Template) -> tuple[Extent, tuple[int, int]]:
    """The part of the face that is shown, and the ends of x and y that it is laid on: all marked work, and out to an
    edge both ways: the reference edge, or the opposite one where that is much nearer."""
    boxes = [work_extent(template, w) for w in template.marked]
    low: list[float] = []
    high: list[float] = []
    edges: list[int] = []
    for axis, long in enumerate(float(s) for s in template.ground.size):
        lo, hi = max(min(b[axis] for b in boxes), 0.0), min(max(b[axis + 2] for b in boxes), long)
        to_far = lo > NEAR_EDGE and lo > long - hi + TURN_BACK
        edges.append(1 if to_far else -1)
        lo, hi = (max(lo - CLEAR, 0.0), long) if to_far else (0.0, min(hi + CLEAR, long))
        low.append(0.0 if lo < WHOLE else lo)
        high.append(long if long - hi < WHOLE else hi)
    return (low[0], low[1], high[0], high[1]), (edges[0], edges[1])


def caption_text(template: Template, edges: tuple[int, int]) -> tuple[str, ...]:
    """What stands under a template: mark and name, which face is up, where the heavy lines go, how x and y run."""
    part, plane = template.part, template.ground
    names = joined_names([p.name for p in template.parts])
    count = piece_count(template.parts)
    title = f"{mark_of(part)}  {names}" + (f", {count} pieces" if count > 1 else "")
    laid = [edge_words(part, way if end > 0 else way.opposite) for way, end in zip((plane.right, plane.up), edges, strict=True)]
    grain = "along x" if part.length_axis == plane.right.axis else "along y" if part.length_axis == plane.up.axis else "through the face"
    return (
        title,
        f"{edge_words(part, plane.face).upper()} UP. Grain {grain}.",
        _lay_words(template, edges, laid),
        f"x is measured from the {edge_words(part, plane.right.opposite)}, y from the {edge_words(part, plane.up.opposite)}.",
    )


def _lay_words(template: Template, edges: tuple[int, int], names: Sequence[str]) -> str:
    """Which heavy lines lie on which edges. An edge of which the work leaves a point alone has no line: that point lies on it."""
    lined = []
    for number, end in enumerate(edges):
        level = float(template.ground.size[number]) if end > 0 else 0.0
        strokes = (s for contour in template.silhouette for s in contour if not isinstance(s, Curve))
        lined.append(any(abs(s.start[number] - level) < ON_LEVEL and abs(s.end[number] - level) < ON_LEVEL for s in strokes))
    if sum(lined) != 1:
        return f"Lay the heavy lines on the {names[0]} and the {names[1]}."
    line, point = names if lined[0] else names[::-1]
    return f"Lay the heavy line on the {line}, the outermost point on the {point}."


def _variants(template: Template, view: Window, style: Style) -> tuple[Block, ...]:
    """The template upright and turned, its words below or beside it."""
    area, edges = region(template)
    texts = caption_text(template, edges)
    found: list[Block] = []
    for beside in (False, True):
        for turned in (False, True):
            wide = (area[3] - area[1] if turned else area[2] - area[0]) + 2 * SIDE
            room = WORDS if beside else max(WORDS, min(wide, view.step[0] - 2.0))
            lines, deep = caption_lines(texts, room, style)
            found.append(Block(template, area, edges, lines, deep, turned, beside))
    return tuple(found)


def caption_lines(texts: Sequence[str], room: float, style: Style) -> tuple[tuple[str, ...], float]:
    """The words broken to a width, the title in one line, and their height with clear room (mm)."""
    title, size = style.height("title"), style.height("note")
    first, _ = fitted(printable(texts[0]), title, room - 3.0, style.minimum_height, bold=True)
    rest = [line for text in texts[1:] for line in wrap(text, size, room - 3.0)]
    return (first, *rest), TITLE_PITCH * title + UNDER_TITLE + PITCH * size * len(rest) + 2.5


def boards(found: Sequence[Template], paper: XY, style: Style) -> tuple[Board, ...]:
    """All templates on boards for that paper, in their order; narrow ones share the first board that has room."""
    view = window(paper)
    made: list[Board] = []
    for template in found:
        best = min(_variants(template, view, style), key=lambda b: (_count(view, b), b.beside, b.turned))
        columns, rows = view.tiles(best.size)
        for number, board in enumerate(made):
            home = _room(board, best) if rows == 1 and not best.beside and (board.columns, board.rows) == (columns, 1) else None
            if home is not None:
                made[number] = replace(board, blocks=(*board.blocks, _placed(best, home, view.room(columns, rows))))
                break
        else:
            # slack goes above: the words then stand at the lower edge of the last tile, clear of the shared strips
            room = view.room(columns, rows)
            made.append(Board((_placed(best, (0.0, room[1] - best.size[1] if rows > 1 else 0.0), room),), columns, rows, view))
    return tuple(made)


def _placed(one: Block, at: XY, room: XY) -> Block:
    high = one.size[1]
    words = (room[0] - WORDS, at[1] + high - one.deep) if one.beside else (at[0], at[1] + high - one.deep)
    return replace(one, at=at, words_at=words)


def _count(view: Window, one: Block) -> int:
    columns, rows = view.tiles(one.size)
    return columns * rows


def _room(board: Board, one: Block) -> XY | None:
    """A free place on a board of one row: beside a block, on boards of one tile, or under all of them."""
    wide, high = one.size
    (room_x, room_y) = board.size
    boxes = [(b.at[0], b.at[1], b.at[0] + b.size[0], b.at[1] + b.size[1]) for b in board.blocks]
    places = [(b[2] + GAP, b[1]) for b in boxes] if board.columns == 1 else []
    places.append((0.0, max(b[3] for b in boxes) + GAP))
    for x, y in places:
        inside = x + wide <= room_x + 1e-6 and y + high <= room_y + 1e-6
        if inside and not any(x < b[2] + GAP - 1e-6 and b[0] < x + wide + GAP - 1e-6 and y < b[3] + GAP - 1e-6 and b[1] < y + high + GAP - 1e-6 for b in boxes):
            return (x, y)
    return None
