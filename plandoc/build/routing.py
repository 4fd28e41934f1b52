"""What a router led by numbers is to cut: from the plan's wish for a part to the face of a board with its cuts, and from
there to the paths of the tools.

Cut are areas with a flat bottom and openings whose sides stand square to the face: pockets, steps, finger notches, slots,
channels, notches, cut-outs, outlines, holes, and lettering where a V-bit is named. Left to other tools: chamfers and all that slopes, the fingers of
corner joints (a round bit leaves their inside corners round), work on edges, work on the other face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from plandoc.build.faceplane import Ground, box_contour, depth_of, ground, rim
from plandoc.geometry.bodies import Body, Disc, Face, Prism, Rect, body_box
from plandoc.model.entities import Feature, Model, Part, RoutingWish
from plandoc.model.rods import ROD
from plandoc.tables.strokes import stroke_text
from plandoc.toolpath.program import plan
from plandoc.toolpath.work import Board, Bore, Cut, Letters, Program, Result

DRILLED = ("hole", "pin hole", "bore", "pilot hole")


@dataclass(frozen=True, slots=True)
class Routing:
    """One face of the parts of one mark. board and result as in the room of tool paths; names there are ids of features.
    others: features that the router does not cut, but for those of the other face."""

    parts: tuple[Part, ...]
    ground: Ground
    wish: RoutingWish
    board: Board
    result: Result
    others: tuple[Feature, ...]

    @property
    def part(self) -> Part:
        """The first of the parts, whose coordinates are used."""
        return self.parts[0]

    @property
    def face(self) -> Face:
        """The face that lies up."""
        return self.ground.face

    def feature(self, name: str) -> Feature | None:
        """The feature of that name."""
        return next((f for f in self.part.features if f.id == name), None)


def routings(model: Model) -> tuple[Routing, ...]:
    """All faces that the plan asks for, by part mark and face."""
    wishes = {wish.part: wish for wish in model.routings}
    found: list[Routing] = []
    groups: dict[str, list[Part]] = {}
    for part in model.parts:
        groups.setdefault(part.mark or part.path, []).append(part)
    for parts in groups.values():
        asked = [wishes[p.path] for p in parts if p.path in wishes]
        if not asked:
            continue
        wish = asked[-1]
        chosen = tuple(p for p in parts if p.path in wishes)
        for number, face in enumerate(faces(chosen[0], wish)):
            made = _routing(chosen, face, wish if number == 0 else replace(wish, out=False), number == 0)
            if made is not None:
                found.append(made)
    return tuple(found)


def faces(part: Part, wish: RoutingWish) -> tuple[Face, ...]:
    """The face that the plan names, or each broad face with work, the one with what goes through last turned down."""
    if wish.face is not None:
        return (wish.face,)
    both = [Face(part.thickness_axis, side) for side in (1, -1)]
    blind = [face for face in both if any(_cuts(ground(part, face), f, False) or _lettered(ground(part, face), f, wish) for f in part.features)]
    return tuple(blind) or (both[0],)


def _routing(parts: tuple[Part, ...], face: Face, wish: RoutingWish, through: bool) -> Routing | None:
    part = parts[0]
    plane = ground(part, face)
    cuts: list[Cut] = []
    bores: list[Bore] = []
    letters: list[Letters] = []
    others: list[Feature] = []
    for feature in part.features:
        if feature.kind == ROD or not (feature.cuts or feature.text):
            continue
        if _lettered(plane, feature, wish):
            letters.append(_letters(plane, feature))
            continue
        mine = [b for b in feature.cuts if _cut(plane, feature, b)]
        if len(mine) < len(feature.cuts) or not feature.cuts:
            others.append(feature)
        for body in mine:
            depth = depth_of(plane, body)
            if depth is None and not through:
                continue
            deep = None if depth is None else float(depth)
            shape = rim(plane, body)
            if shape is None:
                continue
            if isinstance(body, Prism) and isinstance(body.outline, Disc) and feature.kind not in ("pocket", "step", "finger", "cut-out"):
                bores.append(Bore(feature.id, _middle(shape), float(2 * body.outline.radius), deep))
            else:
                cuts.append(Cut(feature.id, shape, deep))
    if not (cuts or bores or letters or wish.out):
        return None
    whole = [box_contour(plane, part.shoulder.lo, part.shoulder.hi)]
    for feature in part.features:
        for add in feature.adds:
            box = body_box(add)
            whole.append(box_contour(plane, box.lo, box.hi))
    long, high = (float(v) for v in plane.size)
    sides = {plane.right: "right", plane.right.opposite: "left", plane.up: "high", plane.up.opposite: "low"}
    board = Board(
        (long, high), float(part.thickness), tuple(whole), tuple(cuts), tuple(bores), tuple(float(b) for b in wish.bits), tuple(float(d) for d in wish.drills), wish.out,
        tuple((sides[f], float(reach)) for f, reach in wish.clamps if f in sides),
        tuple(letters), float(wish.letters or 0),
    )  # fmt: skip
    return Routing(parts, plane, wish, board, _planned(board), tuple(f for f in others if f.face != face.opposite or not f.cuts))


def _lettered(plane: Ground, feature: Feature, wish: RoutingWish) -> bool:
    """Whether a V-bit cuts this text: one on the face, with a depth (without it, it is written)."""
    return bool(wish.letters is not None and feature.text and feature.depth and feature.face == plane.face)


def _letters(plane: Ground, feature: Feature) -> Letters:
    """The strokes as they lie on the face: the middle of the text, half a capital over its base line, at its place."""
    assert feature.centre is not None and feature.height is not None and feature.depth is not None
    wide, strokes = stroke_text(feature.text)
    (x, y), high, reading = (float(v) for v in plane.place(feature.centre)), float(feature.height), feature.reading
    ux, uy = 1.0, 0.0
    if reading is not None:
        ux, uy = (float(face.side * reading.side) if face.axis == reading.axis else 0.0 for face in (plane.right, plane.up))

    def place(p: tuple[float, float]) -> tuple[float, float]:
        along, over = (p[0] - wide / 2) * high, (p[1] - 0.5) * high
        return x + ux * along - uy * over, y + uy * along + ux * over

    return Letters(feature.id, tuple(tuple(place(p) for p in stroke) for stroke in strokes if stroke), float(feature.depth))


@lru_cache(maxsize=64)
def _planned(board: Board) -> Result:
    return plan(board)


def _middle(shape: Sequence[object]) -> tuple[float, float]:
    """The centre of a whole circle."""
    centre: tuple[float, float] = shape[0].centre  # type: ignore[attr-defined]
    return centre


def _cuts(plane: Ground, feature: Feature, through: bool) -> list[Body]:
    """The bodies of a feature that a router cuts in this face; `through`: also those that go through."""
    return [b for b in feature.cuts if _cut(plane, feature, b) and (through or depth_of(plane, b) is not None)]


def _cut(plane: Ground, feature: Feature, body: Body) -> bool:
    """Whether a body has a flat bottom, or goes through, and sides that stand square to the face."""
    if feature.kind == ROD or feature.text or not isinstance(body, Prism) or rim(plane, body) is None:
        return False
    if body.axis != plane.face.axis and not isinstance(body.outline, Rect):
        return False
    return depth_of(plane, body) is not None or not feature.joint


def tool_size(routing: Routing, program: Program) -> Fraction:
    """The exact diameter of a bit or a drill (mm), as the plan names it."""
    return next(d for d in (*routing.wish.bits, *routing.wish.drills) if abs(float(d) - program.diameter) < 1e-9)


__all__ = ["Routing", "faces", "routings", "tool_size"]
