"""The figures that stand beside the work on a full-size template, each in one piece on one tile. Board mm, y downwards."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, sin

import numpy as np

from plandoc.drawing.boxes import grown, overlap
from plandoc.drawing.display import XY, Extent, Item
from plandoc.drawing.lettering import note_line_extent, note_line_items
from plandoc.drawing.strokes_in_boxes import Floats, strokes_in_boxes
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Prism, Rect, body_box
from plandoc.geometry.contours import Curve, points
from plandoc.quantity import Units, dual_diameter, dual_text
from plandoc.sheets.templateboards import Block, Board, lettering_extent
from plandoc.sheets.templateparts import EASED, Work, is_free

CLEAR = 0.9  # mm round lettering
LINE_GAP = 1.1
REACHES = (1.2, 2.5, 4.0, 6.0, 9.0, 13.0)  # mm from the rim to the lettering
TURNS = 24
MOST_CORNERS = 12  # of one outline that get their figures
CORNER = ".corner"  # ends the id of a label that speaks of a corner
COARSE = 0.2  # mm; curves as obstacles


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of lettering that belong to a place. spot, reach: middle and radius of what they speak of. short: how many
    of the first lines may be left out where room is short."""

    id: str
    lines: tuple[str, ...]
    spot: XY
    reach: float = 0.0
    short: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """A label where it stands: its box and its items."""

    label: Label
    box: Extent
    items: tuple[Item, ...]


def labels(block: Block, units: Units) -> tuple[Label, ...]:
    """The figures of all marked work of a block: size and depth, and x and y from the reference edges."""
    found: list[Label] = []
    told: set[tuple[object, ...]] = set()
    marked = block.template.marked
    keys = [(w.feature.row or w.feature.id, note_of(w, units)) for w in marked]
    for work, key in zip(marked, keys, strict=True):
        feature, note = work.feature, key[1]
        count = keys.count(key)
        again = key in told
        head = (note,) if again else ((f"{count}X " if count > 1 else "") + note,)
        told.add(key)
        if feature.text:
            x0, _, x1, _ = lettering_extent(block.template, work)
            assert feature.centre is not None
            found.append(Label(feature.id, (*head, *_place(block, work, units)), block.spot(feature.centre), (x1 - x0) / 2, int(again)))
        elif work.round:
            assert feature.centre is not None and feature.diameter is not None
            found.append(Label(feature.id, (*head, *_place(block, work, units)), block.spot(feature.centre), float(feature.diameter) / 2, int(again)))
        else:
            found += _shape_labels(block, work, () if again else head, units)
    return tuple(found)


def note_of(work: Work, units: Units) -> str:
    """Size and depth of one piece of work."""
    feature = work.feature
    deep = "" if work.depth is None else f" ↧{dual_text(work.depth, units)}"
    if feature.text:
        high = f" {dual_text(feature.height, units)} high" if feature.height is not None else ""
        return f"“{feature.text}”{high}{deep}"
    if feature.diameter is not None:
        return f"Ø{dual_diameter(feature.diameter, units)}{deep or ' THRU'}"
    return feature.kind.upper() + (deep or " THRU")


def _place(block: Block, work: Work, units: Units) -> tuple[str, ...]:
    assert work.feature.centre is not None
    x, y = block.template.ground.place(work.feature.centre)
    return (f"x {dual_text(x, units)}", f"y {dual_text(y, units)}")


def _shape_labels(block: Block, work: Work, head: Sequence[str], units: Units) -> list[Label]:
    """Of an outline: its name at its middle (of several, that of the first), the radii of its arcs on the face, and the places of its
    corners. Chamfers and round-overs have their name alone: their lines end where edges meet."""
    found: list[Label] = []
    ident = work.feature.id
    every = list(points(work.contours[0], COARSE))
    middle = (sum(p[0] for p in every) / len(every), sum(p[1] for p in every) / len(every))
    square = _square(block, work, units)
    if head or square:
        found.append(Label(ident, (*head, *square), block.board(middle)))
    if square or work.feature.kind in EASED:
        return found
    long, high = block.template.ground.size

    def on_face(p: XY) -> bool:
        return -1e-6 <= p[0] <= float(long) + 1e-6 and -1e-6 <= p[1] <= float(high) + 1e-6

    radii: dict[Fraction, list[XY]] = {}
    corners: dict[XY, None] = {}
    for contour in work.contours:
        for stroke in contour:
            if isinstance(stroke, Curve):
                chain = stroke.points()
                if on_face(chain[len(chain) // 2]):
                    radii.setdefault(Fraction(round(stroke.radius * 10**6), 10**6), []).append(chain[len(chain) // 2])
            if stroke.start != stroke.end:
                corners[stroke.start] = None
    for radius, places in radii.items():
        count = f"{len(places)}X " if len(places) > 1 else ""
        found.append(Label(f"{ident}.R", (f"{count}R{dual_text(radius, units)}",), block.board(places[0])))
    inner = [c for c in corners if on_face(c)]
    if work.depth is None:
        left = [s.start for c in block.template.silhouette for s in c]
        inner = [c for c in inner if any(hypot(c[0] - p[0], c[1] - p[1]) < 0.01 for p in left)]
    if len(inner) <= MOST_CORNERS and any(is_free(b) for b in work.feature.cuts):
        for x, y in inner:
            exact = (Fraction(round(x * 10**6), 10**6), Fraction(round(y * 10**6), 10**6))
            found.append(Label(ident + CORNER, (f"x {dual_text(exact[0], units)}", f"y {dual_text(exact[1], units)}"), block.board((x, y))))
    return found


def _square(block: Block, work: Work, units: Units) -> tuple[str, ...]:
    """From where to where a single rectangle reaches; nothing for other work."""
    cuts = work.feature.cuts
    if len(cuts) != 1 or not isinstance(cuts[0], Prism) or not isinstance(cuts[0].outline, Rect):
        return ()
    box, plane = body_box(cuts[0]), block.template.ground
    (x0, y0), (x1, y1) = plane.place(box.lo), plane.place(box.hi)
    spans = (("x", min(x0, x1), max(x0, x1)), ("y", min(y0, y1), max(y0, y1)))
    return tuple(f"{name} {dual_text(lo, units)} to {dual_text(hi, units)}" for name, lo, hi in spans)


def unnamed_corners(block: Block) -> tuple[XY, ...]:
    """The corners of the outline on the board that no marked work has, so that no figure is theirs."""
    named = [s.start for w in block.template.marked for c in w.contours for s in c]
    ends = [s.start for c in block.template.silhouette for s in c if s.start != s.end]
    return tuple(block.board(e) for e in ends if not any(hypot(e[0] - n[0], e[1] - n[1]) < 0.01 for n in named))


def settle(
    board: Board, wanted: Iterable[Label], strokes: Sequence[Sequence[XY]], taken: Sequence[Extent], style: Style, corners: Sequence[XY] = ()
) -> tuple[tuple[Setting, ...], tuple[Label, ...]]:  # fmt: skip
    """Where the labels stand, and those that found no clear place. strokes: all lines of the board as chains; taken:
    boxes of other lettering. corners: places that have no figures; those of another corner do not stand beside them.

    A label crosses no line and no lettering, lies on one tile outside the shared strips, and is nearer to its own
    place than to any other."""
    pairs = [(*p, q[0] - p[0], q[1] - p[1]) for chain in strokes for p, q in pairwise(chain)]
    table = np.array(pairs, dtype=float).reshape(-1, 4)
    order = tuple(wanted)
    size = style.height("note")
    free = [*taken, *board.strips()]
    placed: list[Setting] = []
    left: list[Label] = []
    for label in order:
        others = [o for o in order if o is not label]
        if label.id.endswith(CORNER):
            others += [Label("", (), corner) for corner in corners]
        setting = _settled(label, board, table, free, others, size)
        if setting is None and label.short:
            setting = _settled(replace(label, lines=label.lines[label.short :]), board, table, free, others, size)
        if setting is None:
            left.append(label)
        else:
            placed.append(setting)
            free.append(setting.box)
    return tuple(placed), tuple(left)


def _settled(label: Label, board: Board, table: Floats, taken: Sequence[Extent], others: Sequence[Label], size: float) -> Setting | None:
    boxes = [note_line_extent(line, (0.0, 0.0), size) for line in label.lines]
    wide = max(b[2] for b in boxes)
    drops: list[float] = []
    y = 0.0
    for number, box in enumerate(boxes):
        y = -box[1] if not number else y + boxes[number - 1][3] + LINE_GAP - box[1]
        drops.append(y)
    high = y + boxes[-1][3]
    choices = [box for box in _choices(label, wide, high) if _on_one_tile(board, box)]
    if not choices:
        return None
    wide_boxes = np.array([grown(b, CLEAR) for b in choices], dtype=float)
    low, high_end = wide_boxes[:, :2].min(axis=0), wide_boxes[:, 2:].max(axis=0)
    ends = np.stack((table[:, :2], table[:, :2] + table[:, 2:]))
    near = table[np.all((ends.max(axis=0) >= low) & (ends.min(axis=0) <= high_end), axis=1)]
    hit = np.any(strokes_in_boxes(near[:, :2], near[:, 2:], wide_boxes), axis=1)
    for number, box in enumerate(choices):
        if hit[number] or any(overlap(box, o, CLEAR) for o in taken):
            continue
        own = _distance(label, box)
        if any(_distance(o, box) < own + 0.3 and o.spot != label.spot for o in others):
            continue
        items = tuple(i for line, drop in zip(label.lines, drops, strict=True) for i in note_line_items(line, (box[0], box[1] + drop), size))
        return Setting(label, box, items)
    return None


def _on_one_tile(board: Board, box: Extent) -> bool:
    wide = grown(box, CLEAR)
    tiles = (board.extent(c, r) for c in range(board.columns) for r in range(board.rows))
    return any(t[0] <= wide[0] and t[1] <= wide[1] and wide[2] <= t[2] and wide[3] <= t[3] for t in tiles)


def _distance(label: Label, box: Extent) -> float:
    """From the rim of what the label speaks of to a box, nothing inside (mm)."""
    (x, y) = label.spot
    return max(0.0, hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3])) - label.reach)


def _choices(label: Label, wide: float, high: float) -> Iterable[Extent]:
    """Places for the lettering, best first: in a quarter of a large circle, then round the rim."""
    (x, y), r = label.spot, label.reach
    half, tall = wide / 2, high / 2
    off = 1.6
    if hypot(off + wide, off + high) < r - CLEAR:
        for sx, sy in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            yield _box((x + sx * (off + half), y + sy * (off + tall)), half, tall)
    for reach in REACHES:
        for turn in range(TURNS):
            angle = pi / 4 + 2 * pi * turn / TURNS
            dx, dy = cos(angle), -sin(angle)
            out = r + reach + min(half / max(abs(dx), 1e-6), tall / max(abs(dy), 1e-6))
            yield _box((x + dx * out, y + dy * out), half, tall)


def _box(middle: XY, half: float, tall: float) -> Extent:
    return (middle[0] - half, middle[1] - tall, middle[0] + half, middle[1] + tall)
