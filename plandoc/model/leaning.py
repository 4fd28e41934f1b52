"""Parts that lean: how they stand, and how their ends are trimmed to what they meet.

A leaning part is worked out as if it stood straight, in its own square directions; `Lean` then says where it really
stands. So its drawing, its joints within its own assembly and the work on it are those of any other part.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from plandoc.diagnostics import Sink, Span
from plandoc.geometry.bodies import AXES, AXIS_NAMES, FACES, Box, Chunk, Face, Point3
from plandoc.geometry.convex import dot, left_faces
from plandoc.geometry.lean import STILL, Lean, lean_to, saw_angles, turn
from plandoc.model.cells import Instance, PartCell, Scope
from plandoc.model.entities import Feature
from plandoc.model.evaluate import Evaluator
from plandoc.model.transform import Transform
from plandoc.model.values import Amount, Unknown, kind_of, plain_number, shown
from plandoc.quantity import ANGLE, PLAIN
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean

ZERO = Fraction(0)
FINE = 10**6  # steps in a mm for the ends of a leaning part and for the room that it takes
FLOOR = "floor"
"""What an end is trimmed to so that it stands level, however its assembly leans; a part of that name goes before."""
STEEPEST = Fraction(75)  # degrees; beyond, the part is better written lying


@dataclass(frozen=True, slots=True)
class Trim:
    """One trimmed end in the part's own assembly, before it leans: the face at the end, and the plane, whose normal
    points away from the part. square: the plane is square to the part, so that there is nothing to saw askew. floor: it is
    the floor on which the whole piece stands."""

    face: Face
    normal: Point3
    offset: Fraction
    span: Span
    floor: bool = False

    @property
    def square(self) -> bool:
        """Whether the cut is square to the part."""
        return all(not n for axis, n in enumerate(self.normal) if axis != self.face.axis)


def motion(transform: Transform) -> Lean:
    """A quarter turn, mirror image and shift as a motion."""
    rows = [[ZERO] * 3 for _ in AXES]
    for axis in AXES:
        rows[transform.perm[axis]][axis] = Fraction(transform.sign[axis])
    made = [(r[0], r[1], r[2]) for r in rows]
    return Lean((made[0], made[1], made[2]), transform.shift)


def angle(expr: t.Expr, scope: Scope, evaluate: Evaluator) -> Fraction | None:
    """The value of an expression as an angle (degrees); None after a report."""
    value = evaluate.value(expr, scope)
    if isinstance(value, Unknown):
        return None
    if isinstance(value, Amount) and value.dimension == ANGLE:
        return value.value
    number = plain_number(value.value) if isinstance(value, Amount) and value.dimension == PLAIN and value.value > 0 else "10"
    evaluate.sink.emit("PD229", f"an angle is wanted here, this is {kind_of(value)}", expr.span, notes=[f"it is {shown(value, evaluate.units)}"], mend=f"write {number}° or {number} deg")
    return None


def leaning(pairs: list[tuple[t.Expr, str]], span: Span, scope: Scope, evaluate: Evaluator) -> Lean | None:
    """`10° to right, 5° to front` as a turn about the origin; None after a report."""
    towards: dict[int, Fraction] = {}
    for expr, name in pairs:
        degrees, face = angle(expr, scope, evaluate), FACES.get(name)
        if face is None or face.axis == 2:
            evaluate.sink.emit("PD260", "a part leans to left, right, front or rear", span, mend=did_you_mean(name, ("left", "right", "front", "rear")))
            return None
        if degrees is None:
            return None
        if not 0 <= degrees <= STEEPEST:
            evaluate.sink.emit("PD260", f"a part leans by 0 to {STEEPEST}°", expr.span, notes=[f"this is {float(degrees):g}°"], mend="let it lean to the other side, or write it lying")
            return None
        if face.axis in towards:
            evaluate.sink.emit("PD260", "a part leans once to left or right, and once to front or rear", span, mend="leans 10° to right, 5° to front")
            return None
        towards[face.axis] = degrees * face.side
    return lean_to(towards.get(0, ZERO), towards.get(1, ZERO))


def own_lean(part: PartCell, evaluate: Evaluator) -> Lean | None:
    """How a part leans within its assembly, None where it stands straight (or after a report)."""
    if part.lean_known:
        return part.lean
    part.lean_known = True
    part.lean = _own_lean(part, evaluate)
    return part.lean


def _own_lean(part: PartCell, evaluate: Evaluator) -> Lean | None:
    if part.mirrors is not None:
        inner, image = own_lean(part.mirrors, evaluate), part.mirror_transform
        if inner is None or not isinstance(image, Transform):
            return None
        return motion(image).after(inner).after(motion(image.inverse()))
    total: Lean | None = None
    for clause in part.statement.clauses:
        if clause.kind not in ("part_leans", "part_turned"):
            continue
        items = [i for i in clause.items if i is not None]
        names = [str(n) for n in items[items.index("at") + 1 :]] if "at" in items else []
        items = items[: items.index("at")] if "at" in items else items
        if clause.kind == "part_leans":
            pairs = [(e, str(n)) for e, n in zip(items[::2], items[1::2], strict=True) if not isinstance(e, str)]
            made = leaning(pairs, clause.span, part.scope, evaluate)
        else:
            expr = items[0]
            assert not isinstance(expr, str)
            degrees = angle(expr, part.scope, evaluate)
            made = None if degrees is None else turn(AXIS_NAMES.index(str(items[1])), degrees)
        pivot = _pivot(part, names, clause.span, evaluate)
        if made is None or pivot is None:
            return None
        # a later line turns what the earlier ones left, about the place where that point has come to lie
        at = pivot if total is None else total.point(pivot)
        made = made.about(at)
        total = made if total is None else made.after(total)
    return total


def _pivot(part: PartCell, names: list[str], span: Span, evaluate: Evaluator) -> Point3 | None:
    """What stays where it is: the middle of the bottom, or the edge or corner that the plan names."""
    box = evaluate.local_box(part)
    if isinstance(box, Unknown):
        return None
    point = [(box.lo[a] + box.hi[a]) / 2 for a in AXES]
    for name in names or ["bottom"]:
        face = FACES.get(name)
        if face is None:
            evaluate.sink.emit("PD219", "a face is wanted here: left, right, front, rear, bottom or top", span, mend=did_you_mean(name, FACES))
            return None
        point[face.axis] = box.at(face)
    return (point[0], point[1], point[2])


def instance_lean(instance: Instance, evaluate: Evaluator) -> Lean | None:
    """From where the parts of an assembly would stand straight to where they stand; None where that is the same."""
    chain: list[Instance] = []
    at: Instance | None = instance
    while at is not None and at.parent is not None:
        chain.append(at)
        at = at.parent
    if all(i.lean is None for i in chain):
        return None
    upright = evaluate.transform(instance)
    if isinstance(upright, Unknown):
        return None
    full = STILL
    for one in reversed(chain):
        shifts = [evaluate.shift(one, axis) for axis in AXES]
        numbers = [s for s in shifts if not isinstance(s, Unknown)]
        if len(numbers) != 3:
            return None
        own = (one.lean or STILL).after(motion(one.turn))
        full = full.after(Lean(own.rows, (numbers[0] + own.shift[0], numbers[1] + own.shift[1], numbers[2] + own.shift[2])))
    return full.after(motion(upright.inverse()))


def world_lean(part: PartCell, evaluate: Evaluator) -> Lean | None:
    """From where a part would stand straight in the plan to where it stands; None where that is the same."""
    own = None if part.loose else own_lean(part, evaluate)
    whole = instance_lean(part.frame, evaluate)
    upright = evaluate.transform(part.frame)
    if isinstance(upright, Unknown) or (own is None and whole is None):
        return None
    place = motion(upright)
    inner = place.after(own).after(motion(upright.inverse())) if own is not None else STILL
    made = (whole or STILL).after(inner)
    return None if made == STILL else made


def stance(part: PartCell, evaluate: Evaluator) -> Lean | None:
    """From a part's own assembly, where it is told as if it stood straight, to where it stands; None where that is unknown."""
    upright = evaluate.transform(part.frame)
    return None if isinstance(upright, Unknown) else (world_lean(part, evaluate) or STILL).after(motion(upright))


# --- trimmed ends --------------------------------------------------------------------------------------------------


def trim(part: PartCell, evaluate: Evaluator, sink: Sink) -> None:
    """Put the trims that the plan asks for onto one part."""
    if part.mirrors is not None:
        image = part.mirror_transform
        if isinstance(image, Transform):
            for other in part.mirrors.trims:
                face = image.face(other.face)
                found = _towards(face, _floor(part, evaluate)) if other.floor else motion(image).plane_after(other.normal, other.offset)
                if found is not None:
                    add_trim(part, Trim(face, *found, other.span, other.floor), evaluate, sink)
        return
    for clause in part.statement.clauses:
        if clause.kind in ("part_trimmed_at", "part_trimmed_to"):
            _asked(part, clause, evaluate, sink)


def _asked(part: PartCell, clause: t.Clause, evaluate: Evaluator, sink: Sink) -> None:
    names = [str(i) for i in clause.items[1:] if isinstance(i, str) and i not in AXIS_NAMES]
    expr = clause.items[-1]
    assert expr is not None and not isinstance(expr, str)
    own = own_lean(part, evaluate) or STILL
    on_floor = clause.kind == "part_trimmed_to" and isinstance(expr, t.Name) and expr.name == FLOOR and not isinstance(evaluate.look_up(FLOOR, part.scope), PartCell)
    for name in names:
        face = FACES.get(name)
        if face is None:
            sink.emit("PD219", "a face is wanted here: left, right, front, rear, bottom or top", clause.span, mend=did_you_mean(name, FACES))
            return
        if clause.kind == "part_trimmed_at":
            axis = AXIS_NAMES.index(next(str(i) for i in clause.items if i in AXIS_NAMES))
            place = evaluate.length(expr, part.scope)
            if isinstance(place, Unknown):
                return
            plane: tuple[Point3, Fraction] | None = own.plane_before(Face(axis, 1).normal, place)
        elif on_floor:
            plane = _floor(part, evaluate)
        else:
            target = evaluate.value(expr, part.scope)
            if isinstance(target, Unknown):
                return
            if not isinstance(target, PartCell) or target.loose or target is part:
                sink.emit("PD204", f"a part is trimmed to another part with a place, this is {kind_of(target)}", expr.span, mend="trimmed top to seat, or trimmed top to up seat.bottom")
                return
            plane = _facing(part, face, target, evaluate)
        found = _towards(face, plane)
        if found is None:
            return
        add_trim(part, Trim(face, *found, clause.span, on_floor), evaluate, sink)


def _towards(face: Face, plane: tuple[Point3, Fraction] | None) -> tuple[Point3, Fraction] | None:
    """The plane with its normal pointing out of that end."""
    if plane is None or plane[0][face.axis] * face.side >= 0:
        return plane
    normal, offset = plane
    return (-normal[0], -normal[1], -normal[2]), -offset


def _floor(part: PartCell, evaluate: Evaluator) -> tuple[Point3, Fraction] | None:
    """The plane on which the whole piece stands, up 0 of the plan, in the part's own coordinates."""
    stand = stance(part, evaluate)
    return None if stand is None else stand.plane_before(Face(2, 1).normal, ZERO)


def _facing(part: PartCell, face: Face, target: PartCell, evaluate: Evaluator) -> tuple[Point3, Fraction] | None:
    """The plane of that face of the target that an end of the part runs against, in the part's own coordinates."""
    box = evaluate.local_box(target)
    stand, other = stance(part, evaluate), stance(target, evaluate)
    if isinstance(box, Unknown) or stand is None or other is None:
        return None
    ahead = stand.direction(face.normal)
    best: tuple[Fraction, Face, Point3, Fraction] | None = None
    for side in FACES.values():
        normal, offset = other.plane_after(side.normal, side.side * box.at(side))
        against = -dot(normal, ahead)
        if best is None or against > best[0]:
            best = (against, side, normal, offset)
    assert best is not None
    return stand.plane_before(best[2], best[3])


def add_trim(part: PartCell, one: Trim, evaluate: Evaluator, sink: Sink) -> None:
    """Let the end run up to the plane everywhere, and keep the plane as a cut."""
    box = evaluate.local_box(part)
    if isinstance(box, Unknown):
        return
    axis, steep = one.face.axis, one.normal[one.face.axis]
    if steep * one.face.side * 5 < max(abs(n) for n in one.normal):
        sink.emit("PD261", f"the {one.face.name} of `{part.path}` cannot be trimmed to that: it runs almost along the part", one.span, mend="trim another end, or let the part lean less")
        return
    first, second = (a for a in AXES if a != axis)
    ends = [(one.offset - one.normal[first] * u - one.normal[second] * v) / steep for u in box.span(first) for v in box.span(second)]
    end = max(ends) if one.face.side > 0 else min(ends)
    nearest = min(ends) if one.face.side > 0 else max(ends)
    far = box.at(one.face.opposite)
    if (nearest - far) * one.face.side <= 0:
        sink.emit("PD261", f"nothing would be left of `{part.path}`", one.span, notes=[f"its {one.face.opposite.name} lies beyond the plane to which its {one.face.name} is trimmed"])
        return
    # outwards to the next grid line: the plane says where the wood ends
    end = Fraction(one.face.side * ceil(end * one.face.side * FINE), FINE)
    part.local = box.with_face(one.face, end)
    part.spans[axis] = part.local.span(axis)
    part.trims.append(one)


def trim_features(part: PartCell, evaluate: Evaluator) -> list[Feature]:
    """The ends that are sawn askew, as features in the part's own assembly."""
    box, thick, grain = evaluate.local_box(part), evaluate.thickness(part), evaluate.grain(part)
    if isinstance(box, Unknown) or thick is None or grain is None:
        return []
    made = []
    for number, one in enumerate(part.trims, 1):
        if one.square:
            continue
        if one.face.axis == thick:
            note = ""
        else:
            turned, tilt = saw_angles(one.normal, one.face.axis, thick)
            note = ", ".join(words for words in (_degrees("mitre", turned), _degrees("blade tilt", tilt)) if words)
        kind = "end cut" if one.face.axis == grain else "bevelled edge"
        made.append(Feature(f"{part.path}.end{number}", kind, Face(thick, 1), cuts=(Chunk(box, one.normal, one.offset),), through=True, note=note, span=one.span))
    return made


def _degrees(word: str, degrees: float) -> str:
    text = f"{degrees:.1f}"
    return "" if text == "0.0" else f"{word} {text}°"


def standing(box: Box, chunks: tuple[Chunk, ...], lean: Lean) -> Box:
    """The room that a leaning part takes in the world (mm)."""
    points = [lean.point(p) for face in left_faces(box, chunks) for p in face]
    lo = [Fraction(floor(min(p[a] for p in points) * FINE), FINE) for a in AXES]
    hi = [Fraction(ceil(max(p[a] for p in points) * FINE), FINE) for a in AXES]
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
