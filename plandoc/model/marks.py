"""Part marks: parts that come out identical share one, mirror images do not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Body, Chunk, Disc, Frustum, Point2, Rect, box_prism, other_axes
from plandoc.model.entities import Part

# I, O and Q are left out: they are mistaken for figures or for each other (common drawing-office practice).
FINE = 10**6  # steps in a mm in which places on arcs are compared
ALIKE = 10**4  # steps in a mm within which parts that are sawn askew count as alike: their sizes come from angles
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"


def mark_text(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    text = ""
    number += 1
    while number > 0:
        number, rest = divmod(number - 1, len(LETTERS))
        text = LETTERS[rest] + text
    return text


def marked(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The parts with their marks, in order of first appearance."""
    known: dict[object, str] = {}
    made = []
    for part in parts:
        key = signature(part)
        if key not in known:
            known[key] = mark_text(len(known))
        made.append(replace(part, mark=known[key]))
    return tuple(made)


def signature(part: Part) -> object:
    """Equal for parts that one can be turned into the other in the hand, and only for those."""
    return (*_head(part), part.name if part.loose else "", min(_turned(part, turn) for turn in range(4)))


def _head(part: Part) -> tuple[object, ...]:
    boards = None if part.glue_up is None else part.glue_up.jointing
    size = (*(_size(part, axis) for axis in (part.length_axis, part.width_axis, part.thickness_axis)), part.allowance.long, part.allowance.wide, boards)
    return part.stock.name, size, part.loose


def opposite_hands(one: Part, other: Part) -> bool:
    """Whether one drawing serves both parts: each is the mirror image of the other, reference faces and all, so that the same figures
    from the reference faces and the same words make both. Lettering is not mirrored with the part that bears it."""
    if _head(one) != _head(other) or _words(one) != _words(other) or any(f.text for f in one.features):
        return False
    return min(_turned(one, turn, datum=True) for turn in range(4)) == min(_turned(other, turn, True, True) for turn in range(4))


def _words(part: Part) -> object:
    """What a drawing of the part says of its work, without places."""
    rows = []
    for f in part.features:
        figures = sorted((g.role, g.hi - g.lo) for g in f.figures)
        rows.append((f.kind, str(f.diameter), str(f.depth), f.through, f.note, figures, sorted(words for _, words in f.leaders)))
    return part.note, sorted(rows)


def _sawn_askew(part: Part) -> bool:
    return any(isinstance(body, Chunk) for feature in part.features for body in feature.cuts)


def _size(part: Part, axis: int) -> Fraction:
    size = part.box.size(axis)
    return Fraction(round(size * ALIKE), ALIKE) if _sawn_askew(part) else size


def _turned(part: Part, turn: int, mirrored: bool = False, datum: bool = False) -> tuple[object, ...]:
    """The part's work in a frame of its own, turned in the hand in one of four ways. mirrored: as a mirror shows it. datum: with its
    reference faces."""
    axes = (part.length_axis, part.width_axis, part.thickness_axis)
    # A right-handed frame on the part; where the three axes are left-handed the thickness is counted backwards.
    flips = [False, False, axes not in ((0, 1, 2), (1, 2, 0), (2, 0, 1))]
    for index in ((), (0, 1), (0, 2), (1, 2))[turn]:
        flips[index] = not flips[index]
    if mirrored:
        flips[2] = not flips[2]

    def local(axis: int, lo: Fraction, hi: Fraction) -> tuple[Fraction, Fraction]:
        index = axes.index(axis)
        low, high = part.box.span(axis)
        found = (high - hi, high - lo) if flips[index] else (lo - low, hi - low)
        return (Fraction(round(found[0] * ALIKE), ALIKE), Fraction(round(found[1] * ALIKE), ALIKE)) if _sawn_askew(part) else found

    rows: list[tuple[str, str]] = []
    if datum:
        rows.append(("datum", str([-part.datum[axis] if flip else part.datum[axis] for axis, flip in zip(axes, flips, strict=True)])))
    if part.glue_up is not None:
        # told from the reference edge on; turned in the hand the other way round
        widths = part.glue_up.widths if (part.datum[part.width_axis] < 0) != flips[1] else part.glue_up.widths[::-1]
        rows.append(("boards", str(widths)))
    for feature in part.features:
        for prism in (*feature.cuts, *feature.adds):
            word = "add" if prism in feature.adds else "cut"
            rows.append((word, str(_prism(prism, axes, local))))
        if feature.kind == "edge band" and not feature.adds and feature.face is not None:
            for figure in feature.figures:
                rows.append((f"band {feature.mate}", str(_prism(box_prism(part.box.with_span(figure.axis, figure.lo, figure.hi)), axes, local))))
        if feature.text:
            centre = feature.centre or part.box.lo
            at = [local(a, centre[a], centre[a])[0] for a in AXES]
            rows.append((feature.text, str([at[axes[0]], at[axes[1]], at[axes[2]]])))
    return tuple(sorted(set(rows)))


def _prism(prism: Body, axes: tuple[int, int, int], local: object) -> object:
    move = local
    assert callable(move)
    if isinstance(prism, Chunk):
        return _chunk(prism, axes, move)
    spans: list[object] = [None, None, None]
    spans[axes.index(prism.axis)] = move(prism.axis, prism.lo, prism.hi)
    first, second = other_axes(prism.axis)
    if isinstance(prism, Frustum):
        u, v = prism.centre
        spans[axes.index(first)], spans[axes.index(second)] = move(first, u, u), move(second, v, v)
        low = move(prism.axis, prism.lo, prism.lo)[0]
        radii = (prism.radius_lo, prism.radius_hi)
        return (axes.index(prism.axis), spans, radii if spans[axes.index(prism.axis)] == (low, low) or low == move(prism.axis, prism.lo, prism.hi)[0] else radii[::-1])
    outline = prism.outline
    if isinstance(outline, Rect):
        spans[axes.index(first)] = move(first, outline.lo[0], outline.hi[0])
        spans[axes.index(second)] = move(second, outline.lo[1], outline.hi[1])
        return ("box", spans)
    if isinstance(outline, Disc):
        u, v = outline.centre
        spans[axes.index(first)] = move(first, u, u)
        spans[axes.index(second)] = move(second, v, v)
        return (axes.index(prism.axis), outline.radius, spans)

    def place(point: Point2) -> tuple[Fraction, ...]:
        # a place on an arc is known to a billionth only, and not the same from both sides
        pair = ((axes.index(first), move(first, point[0], point[0])), (axes.index(second), move(second, point[1], point[1])))
        return tuple(round(x[0] * FINE) / Fraction(FINE) for _, x in sorted(pair))

    # each piece with its two ends and what its arc bows beyond the line between them, whichever way one goes round
    count = len(outline.points)
    bows = outline.bows or (Fraction(0),) * count
    pieces = [(sorted((place(outline.points[i]), place(outline.points[(i + 1) % count]))), round(bows[i] * FINE) / Fraction(FINE)) for i in range(count)]
    return (axes.index(prism.axis), spans, sorted(pieces))


def _chunk(chunk: Chunk, axes: tuple[int, int, int], move: Callable[[int, Fraction, Fraction], tuple[Fraction, Fraction]]) -> object:
    """The plane of a saw cut in the part's frame: its greatest coefficient is 1."""
    normal = [Fraction(0)] * 3
    zero = Fraction(0)
    offset = chunk.offset
    for axis in AXES:
        at, step = move(axis, zero, zero)[0], move(axis, Fraction(1), Fraction(1))[0]
        turn = step - at  # +1, or -1 where the axis is counted backwards
        normal[axes.index(axis)] = turn * chunk.normal[axis]
        offset += turn * chunk.normal[axis] * at
    scale = max(abs(n) for n in normal)
    return ("chunk", [Fraction(round(n / scale * ALIKE**2), ALIKE**2) for n in normal], Fraction(round(offset / scale * ALIKE), ALIKE))
