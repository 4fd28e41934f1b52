"""One tile of a board as a page: what its window shows, crosses, cutting lines, check bars both ways, the map."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.drawing.boxes import overlap
from plandoc.drawing.display import XY, Circle, Extent, Fill, Group, Item, Line, Text, shifted
from plandoc.drawing.lettering import fitted, printable, reach, text_width
from plandoc.drawing.style import Style
from plandoc.geometry.contours import Curve, clipped
from plandoc.sheets.templateboards import BAR_STRIP, FOOT, OVERLAP, Board
from plandoc.sheets.templatedraw import FINE, Drawn
from plandoc.sheets.truesize import BARS, SAFE

TICK = 1.2
ARM = 4.0  # half of a registration cross
RING = 2.0
MAP_WIDE, MAP_HIGH = 30.0, 13.0
LINE_PITCH = 3.9  # of the words at the foot, more where letters are larger


@dataclass(frozen=True, slots=True)
class PageWords:
    """What the foot of a page says. sheet: `T.4, page 4 of 31`; about: marks and names; more: further lines."""

    sheet: str
    about: str
    more: tuple[str, ...]


def tile_name(column: int, row: int) -> str:
    """`A1` for the upper left tile: letters for rows from above, figures for columns from the left."""
    return f"{'ABCDEFGHJKLMNPRSTUVWXYZ'[row % 23]}{column + 1}"


def tile_page(drawn: Drawn, column: int, row: int, paper: XY, words: PageWords, style: Style) -> tuple[Item, ...]:
    """All items of a page (page mm)."""
    board = drawn.board
    x, y = board.origin(column, row)
    left, top = board.window.at
    items = [shifted(item, left - x, top - y) for item in _contents(drawn, column, row)]
    attrs = (("tile", tile_name(column, row)), ("x", f"{x - left:.3f}"), ("y", f"{y - top:.3f}"))
    tile = Group("tile", tuple(items), attrs=attrs)
    return (tile, *check_bars((SAFE + BAR_STRIP, paper[1] - SAFE - FOOT), style), *_foot(board, column, row, paper, words, style))


def _contents(drawn: Drawn, column: int, row: int) -> list[Item]:
    """What lies in the tile's window, in board mm."""
    board = drawn.board
    window = board.extent(column, row)
    items: list[Item] = []
    shapes: dict[tuple[str, str], list[Item]] = {}
    for name, what, item in drawn.lines:
        shapes.setdefault((name, what), []).extend(_seen(item, window))
    for (name, what), seen in shapes.items():
        if seen:
            items.append(Group("template", tuple(seen), attrs=(("of", name), ("what", what))))
    bands = [(max(b[0], window[0]), max(b[1], window[1]), min(b[2], window[2]), min(b[3], window[3])) for b in drawn.fills]
    fills = tuple(Fill("ink", (((a, b), (c, b), (c, d), (a, d)),)) for a, b, c, d in bands if a < c and b < d)
    if fills:
        items.append(Group("heavy", fills))
    items += [group for box, group in drawn.whole if _home(board, box) == (column, row)]
    for cross in board.crosses():
        if window[0] < cross[0] < window[2] and window[1] < cross[1] < window[3]:
            items.append(_cross(cross))
    return [*items, *_joins(board, column, row)]


def _home(board: Board, box: Extent) -> tuple[int, int]:
    """The tile that shows a piece of lettering: the first that holds all of it, else the first that it touches."""
    tiles = [(c, r) for r in range(board.rows) for c in range(board.columns)]
    for tile in tiles:
        t = board.extent(*tile)
        if t[0] <= box[0] and t[1] <= box[1] and box[2] <= t[2] and box[3] <= t[3]:
            return tile
    return next(tile for tile in tiles if overlap(board.extent(*tile), box))


def _seen(item: Line | Circle, window: Extent) -> list[Item]:
    """A line or circle as far as it lies in the window."""
    if isinstance(item, Circle):
        (x, y), r = item.centre, item.radius
        if window[0] <= x - r and window[1] <= y - r and x + r <= window[2] and y + r <= window[3]:
            return [item]
        start = (x + r, y)
        chain: tuple[XY, ...] = Curve(start, start, item.centre, r, True).points(FINE)
    else:
        chain = (*item.points, item.points[0]) if item.closed else item.points
        xs, ys = [p[0] for p in chain], [p[1] for p in chain]
        if max(xs) < window[0] or min(xs) > window[2] or max(ys) < window[1] or min(ys) > window[3]:
            return []
        if window[0] <= min(xs) and max(xs) <= window[2] and window[1] <= min(ys) and max(ys) <= window[3]:
            return [item]
    return [Line(item.role, piece) for piece in clipped(chain, window)]


def _cross(at: XY) -> Group:
    x, y = at
    items = (Line("dim", ((x - ARM, y), (x + ARM, y))), Line("dim", ((x, y - ARM), (x, y + ARM))), Circle("dim", at, RING))
    return Group("cross", items, attrs=(("x", f"{x:.3f}"), ("y", f"{y:.3f}")))


def _joins(board: Board, column: int, row: int) -> list[Item]:
    """The cutting line at the right and lower edge, where a tile follows; where the neighbour's cut edge comes to lie."""
    x0, y0, x1, y1 = board.extent(column, row)
    cut: list[Item] = []
    lay: list[Item] = []
    if column + 1 < board.columns:
        cut.append(Line("dim", ((x1, y0), (x1, y1))))
    if row + 1 < board.rows:
        cut.append(Line("dim", ((x0, y1), (x1, y1))))
    if column:
        lay.append(Line("trail", ((x0 + OVERLAP, y0), (x0 + OVERLAP, y1))))
    if row:
        lay.append(Line("trail", ((x0, y0 + OVERLAP), (x1, y0 + OVERLAP))))
    return [Group(kind, tuple(lines)) for kind, lines in (("cutline", cut), ("layline", lay)) if lines]


def check_bars(corner: XY, style: Style) -> list[Item]:
    """Check bars of known length: two upright ones left of and above a corner (page mm), two level ones right of it and
    below."""
    size = style.minimum_height
    found: list[Item] = []
    for number, (length, label) in enumerate(BARS):
        off = number * 6.2
        found.append(_bar((corner[0], corner[1] + FOOT - 8.2 + off), (1, 0), length, label, size))
        found.append(_bar((corner[0] - BAR_STRIP + 4.6 + off, corner[1] - 4.0), (0, -1), length, label, size))
    return found


def _bar(start: XY, way: tuple[int, int], length: float, label: str, size: float) -> Group:
    (x, y), (dx, dy) = start, way
    ends = (start, (x + dx * length, y + dy * length))
    items: list[Item] = [Line("tb", ends)]
    items += [Line("tb", ((px - dy * TICK, py - dx * TICK), (px + dy * TICK, py + dx * TICK))) for px, py in ends]
    room = text_width(label, size) / 2 + 3.0
    at = (x + room, y - 0.9) if dx else (x - 0.9, y - room)
    items.append(Text("note", at, label, size, "middle", 0 if dx else -90))
    return Group("checkbar", tuple(items), attrs=(("mm", f"{length:.3f}"), ("axis", "x" if dx else "y"), ("label", label)))


def _foot(board: Board, column: int, row: int, paper: XY, words: PageWords, style: Style) -> list[Item]:
    """Words and map at the right of the level bars."""
    size = style.minimum_height
    left, right = SAFE + BAR_STRIP + BARS[1][0] + 5.0, paper[0] - SAFE
    top = paper[1] - SAFE - FOOT + 1.5
    found: list[Item] = []
    if board.columns * board.rows > 1:
        right -= MAP_WIDE + 3.0
        found.append(_map(board, column, row, (right + 3.0, top + 0.6)))
    tile = f"  tile {tile_name(column, row)}" if board.columns * board.rows > 1 else ""
    lines = [(f"{words.sheet}{tile}", True), (words.about, True), *((m, False) for m in words.more)]
    items: list[Item] = []
    pitch = max(LINE_PITCH, size + sum(reach(size)) + 0.05)
    for number, (line, bold) in enumerate(lines[:4]):
        said = printable(line)
        while text_width(said, size, bold) > right - left and ". " in said:
            said = f"{said.rpartition('. ')[0]}."  # the plan's title stands on T.1 too
        text, high = fitted(said, size, right - left, style.minimum_height, bold)
        items.append(Text("note", (left, top + size + number * pitch), text, high, bold=bold))
    return [*found, Group("foot", tuple(items))]


def _map(board: Board, column: int, row: int, at: XY) -> Group:
    """All tiles, this one filled."""
    cell = min(MAP_WIDE / board.columns, MAP_HIGH * board.window.width / board.window.height / board.rows)
    wide, high = cell, cell * board.window.height / board.window.width
    items: list[Item] = []
    for c in range(board.columns):
        for r in range(board.rows):
            x, y = at[0] + c * wide, at[1] + r * high
            corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
            items.append(Line("tb", corners, closed=True))
            if (c, r) == (column, row):
                items.append(Fill("ink", (corners,)))
    return Group("tilemap", tuple(items), attrs=(("columns", str(board.columns)), ("rows", str(board.rows))))
