"""Where a part stands on another to which nothing guides it: a butt, pocket-screwed or screwed joint has no channel.

What meets is measured, a shoulder and not the tongue beyond it, from the reference edges of the part that is met, as its
drawing does; where that one lies within the first, the other way round. Of parts that lean differently it is measured on the face that both share, as the leaning
part lies on the bench.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Chunk, Face, Point3, other_axes
from plandoc.geometry.convex import Polygon, box_faces, cut_faces
from plandoc.geometry.lean import STILL
from plandoc.model.entities import Joint, Model, Part
from plandoc.quantity import shop_text
from plandoc.shopwork.alike import standing_groups
from plandoc.shopwork.measures import distance, reference_face
from plandoc.shopwork.names import edge_words, listed, part_words

UNGUIDED = ("butt", "screw", "pocket")
"""Joints in which nothing on one part says where the other stands."""
CLOSE = Fraction(1, 1000)
"""Planes and edges nearer than this are one (mm); ends sawn askew are rounded outwards."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One measure of a place: words, lengths (mm) of which each holds for one part, words. A piece without a length is words alone."""

    before: str
    sizes: tuple[Fraction, ...] = ()
    after: str = ""

    def text(self, model: Model) -> str:
        """In the plan's units."""
        return self.before + listed([shop_text(size, model.info.units, mark=True) for size in self.sizes]) + self.after


def place_texts(model: Model, joints: Sequence[Joint], word: Callable[[str], str] | None = None) -> tuple[str, ...]:
    """`Rail (B) on Post (A): flush with the front edge; 90 mm from the bottom end.`, what stands alike together. word:
    what a part is called, given its path."""
    word = word or (lambda path: part_words(model.part(path)))
    needed = _needed(model)
    rows: dict[tuple[str, str], list[tuple[Piece, ...]]] = {}
    for joint in joints:
        pieces = place_pieces(model, joint) if unguided(joint) else ()
        if pieces and (joint.id in needed or any(joint.a == other.a and other.id in needed and place_pieces(model, other) == pieces for other in joints)):
            rows.setdefault((word(joint.a), word(joint.b)), []).append(pieces)
    alike: dict[str, dict[str, list[str]]] = {}
    for (a, b), own in rows.items():
        for pieces in _merged(own):
            words = "; ".join(piece.text(model) for piece in pieces)
            alike.setdefault(words, {}).setdefault(a, []).append(b)
    return tuple(f"{'; '.join(f'{a} on {listed(bs)}' for a, bs in on.items())}: {words}." for words, on in alike.items())


def _merged(rows: Sequence[tuple[Piece, ...]]) -> list[tuple[Piece, ...]]:
    """Places that differ in the length of one piece alone in one row, with all lengths."""
    found: list[tuple[Piece, ...]] = []
    for row in dict.fromkeys(rows):
        for number, other in enumerate(found):
            differ = [i for i, (one, two) in enumerate(zip(other, row, strict=False)) if one != two]
            if len(other) == len(row) and len(differ) == 1:
                one, two = other[differ[0]], row[differ[0]]
                if one.sizes and (one.before, one.after) == (two.before, two.after):
                    more = Piece(one.before, tuple(dict.fromkeys((*one.sizes, *two.sizes))), one.after)
                    found[number] = (*other[: differ[0]], more, *other[differ[0] + 1 :])
                    break
        else:
            found.append(row)
    return found


def _needed(model: Model) -> dict[str, None]:
    """The joints whose place must be told: those between pieces that no other joint has placed to each other before."""
    piece = standing_groups([j for j in model.joints if not unguided(j)])
    for number, part in enumerate(model.parts):
        piece.setdefault(part.path, -1 - number)
    found: dict[str, None] = {}
    for joint in model.joints:
        if unguided(joint) and piece[joint.a] != piece[joint.b]:
            found[joint.id] = None
            old = piece[joint.a]
            for path in piece:
                if piece[path] == old:
                    piece[path] = piece[joint.b]
    return found


def unguided(joint: Joint) -> bool:
    """Whether nothing that is made before says where A stands on B: no channel, no hidden dowel."""
    return joint.kind in UNGUIDED and joint.depth == 0 and not any(f.blind for f in joint.fasteners)


def place_pieces(model: Model, joint: Joint) -> tuple[Piece, ...]:
    """Where A stands on B, in the plane in which they meet; empty where all edges are flush."""
    a, b = model.part(joint.a), model.part(joint.b)
    if a.lean != b.lean:
        return _leaning(a, b)
    axes = sorted(other_axes(joint.entry.axis), key=lambda axis: (axis == b.length_axis, axis))
    return tuple(piece for axis in axes for piece in _along(a, b, axis, a.shoulder.span(axis)))


def _along(a: Part, b: Part, axis: int, span: tuple[Fraction, Fraction]) -> tuple[Piece, ...]:
    """The place on one axis, nothing where both ends are flush; span: that of A between its shoulders, in the coordinates of B: its
    tongues lie in other parts."""
    mine, theirs = span, b.box.span(axis)
    flush = [Face(axis, side) for side, one, two in ((-1, mine[0], theirs[0]), (1, mine[1], theirs[1])) if abs(one - two) < CLOSE]
    if flush:
        return (Piece(f"{_shouldered(a, flush[0])}flush with the {edge_words(b, flush[0])}"),) if len(flush) < 2 else ()
    if mine[0] < theirs[0] and theirs[1] < mine[1]:
        near = reference_face(a, axis)
        back = theirs[0] - mine[0] if near.side < 0 else mine[1] - theirs[1]
        end = "shoulder at the " if _shouldered(a, near) else ""
        return (Piece(f"the {edge_words(b, near)} of {part_words(b)} ", (back,), f" from the {end}{edge_words(a, near)} of {part_words(a)}"),)
    near = reference_face(b, axis)
    off = distance(b, axis, *mine)
    return (Piece(_shouldered(a, near), (abs(off),), f" {'beyond' if off < 0 else 'from'} the {edge_words(b, near)}"),)


def _shouldered(part: Part, face: Face) -> str:
    """`its shoulder ` where a tongue stands out beyond it on that side."""
    return "its shoulder " if part.lean is None and part.box.at(face) != part.shoulder.at(face) else ""


def _leaning(a: Part, b: Part) -> tuple[Piece, ...]:
    """The place on the face of B that A meets, of B as it lies on the bench. Where the edges of A cross it askew, the two
    points at which one of them crosses the edges of B: the nearest to its reference end that lies on it."""
    met = _met(a, b)
    if met is None:
        return ()
    face, polygon, straight = met
    edges = list(zip(polygon, (*polygon[1:], polygon[0]), strict=True))
    axes = sorted(other_axes(face.axis), key=lambda axis: (axis == b.length_axis, axis))
    if all(any(abs(p[axis] - q[axis]) < CLOSE for axis in axes) for p, q in edges):
        spans = {axis: (min(p[axis] for p in polygon), max(p[axis] for p in polygon)) for axis in axes}
        return tuple(piece for axis in axes for piece in _along(a, b, axis, spans[axis]))
    across, along = axes
    end = reference_face(b, along)
    crossings: list[tuple[bool, Fraction, Fraction, Face | None]] = []
    for (p, q), own in zip(edges, zip(straight, (*straight[1:], straight[0]), strict=True), strict=True):
        if abs(q[across] - p[across]) > abs(q[along] - p[along]):
            slope = (q[along] - p[along]) / (q[across] - p[across])
            low, high = (-end.side * (p[along] + slope * (side - p[across]) - b.box.at(end)) for side in b.box.span(across))
            crossings.append((low < 0 or high < 0, low, high, _edge(a, own)))
    if not crossings:
        return ()
    _, low, high, edge = min(crossings, key=lambda row: (row[0], row[1] + row[2]))  # rather one that lies on B
    sides = [edge_words(b, Face(across, side)) for side in (-1, 1)]
    own_words = f"its {edge_words(a, edge)}" if edge is not None else f"its edge nearer to the {edge_words(b, end)}"
    after = [f" {'beyond' if at < 0 else 'from'} the {edge_words(b, end)}" for at in (low, high)]
    return (
        Piece(f"{own_words} crosses the {sides[0]} ", (abs(low),), after[0]),
        Piece(f"the {sides[1]} ", (abs(high),), after[1]),
    )


def _edge(part: Part, ends: tuple[Point3, Point3]) -> Face | None:
    """The edge of a broad face that these two corners are the ends of; None where a cut lies there."""
    faces = [Face(axis, side) for axis in (part.length_axis, part.width_axis) for side in (-1, 1)]
    return next((f for f in faces if all(p[f.axis] == part.box.at(f) for p in ends)), None)


def _met(a: Part, b: Part) -> tuple[Face, Polygon, Polygon] | None:
    """The face of B on which a face of A lies, and that face of A: in the coordinates of B as it stands straight, and in its
    own."""
    stand, back = a.lean or STILL, (b.lean or STILL).inverse()
    solid = box_faces(a.box)
    for chunk in (cut for f in a.features if f.kind in ("end cut", "bevelled edge") for cut in f.cuts if isinstance(cut, Chunk)):
        x, y, z = chunk.normal
        solid = cut_faces(solid, (-x, -y, -z), -chunk.offset)
    best: tuple[Fraction, Face, Polygon, Polygon] | None = None
    for polygon in solid:
        moved: tuple[Point3, ...] = tuple(back.point(stand.point(p)) for p in polygon)
        for axis in (0, 1, 2):
            for side in (-1, 1):
                face = Face(axis, side)
                if all(abs(p[axis] - b.box.at(face)) < CLOSE for p in moved):
                    area = _common(moved, b, axis)
                    if area > 0 and (best is None or area > best[0]):
                        best = area, face, moved, polygon
    return None if best is None else best[1:]


def _common(polygon: Sequence[Point3], b: Part, axis: int) -> Fraction:
    """The area that the box around the polygon has in common with the face of B."""
    area = Fraction(1)
    for other in other_axes(axis):
        lo, hi = min(p[other] for p in polygon), max(p[other] for p in polygon)
        area *= max(Fraction(0), min(hi, b.box.hi[other]) - max(lo, b.box.lo[other]))
    return area


__all__ = ["UNGUIDED", "Piece", "place_pieces", "place_texts", "unguided"]
