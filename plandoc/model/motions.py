"""Drawers, trays, doors and lids that open: how far, which way, about which edge."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from plandoc.diagnostics import Sink
from plandoc.geometry.bodies import AXES, FACES, UP, Box, Face, Point3
from plandoc.geometry.lean import STILL, Lean
from plandoc.model.cells import Instance, PartCell, Scope
from plandoc.model.entities import Motion
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import all_parts, part_frame
from plandoc.model.kinds import Frame
from plandoc.model.leaning import angle, instance_lean, standing, world_lean
from plandoc.model.transform import Transform
from plandoc.model.values import Unknown, kind_of
from plandoc.quantity import shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean

WIDEST = 270  # degrees; a door that goes flat back against its case


def face_named(name: t.Name, evaluate: Evaluator) -> Face | None:
    """The face of that name; None after a report."""
    face = FACES.get(name.name)
    if face is None:
        evaluate.sink.emit("PD219", "a face is wanted here: left, right, front, rear, bottom or top", name.span, mend="did you mean `rear`?" if name.name == "back" else did_you_mean(name.name, FACES))
    return face


def read_motions(plan: Expanded, evaluate: Evaluator, sink: Sink) -> tuple[Motion, ...]:
    """All motions of a plan, in its order."""
    made = []
    for statement, scope in plan.opens:
        found = _slides(statement, scope, evaluate, sink) if isinstance(statement, t.Opens) else _swings(plan, statement, scope, evaluate, sink)
        if found is not None:
            made.append(found)
    return tuple(made)


def _target(expr: t.Expr, scope: Scope, evaluate: Evaluator, sink: Sink) -> tuple[PartCell | Instance, Transform] | None:
    target = evaluate.value(expr, scope)
    if isinstance(target, Unknown):
        return None
    if not isinstance(target, (PartCell, Instance)):
        sink.emit("PD204", f"a part or an assembly opens, this is {kind_of(target)}", expr.span)
        return None
    if all(part.loose for part in _parts(target)):
        says = f"`{target.path}` is a loose part without a place" if isinstance(target, PartCell) else f"nothing in `{target.path}` has a place"
        sink.emit("PD206", f"{says}, it cannot open", expr.span, mend="say where it lies, with from and to")
        return None
    frame = scope.owner().frame
    transform = evaluate.transform(frame) if frame is not None else Transform()
    return None if isinstance(transform, Unknown) else (target, transform)


def _parts(target: PartCell | Instance) -> list[PartCell]:
    return all_parts(target) if isinstance(target, Instance) else [target]


def _slides(statement: t.Opens, scope: Scope, evaluate: Evaluator, sink: Sink) -> Motion | None:
    target = _target(statement.target, scope, evaluate, sink)
    face, travel = face_named(statement.face, evaluate), evaluate.length(statement.travel, scope)
    if target is None or face is None or isinstance(travel, Unknown):
        return None
    if travel <= 0:
        figure = partial(shop_text, units=evaluate.units, mark=True)
        sink.emit("PD263", "what opens travels by more than nothing", statement.travel.span, notes=[f"this is {figure(travel)}"], mend=f"opens ... to {face.opposite.name} {figure(-travel)}" if travel else "say how far it comes out")
        return None
    return Motion(target[0].path, target[1].face(face), travel, statement.span, lean=_lean(target[0], evaluate))


def _swings(plan: Expanded, statement: t.Swings, scope: Scope, evaluate: Evaluator, sink: Sink) -> Motion | None:
    target = _target(statement.target, scope, evaluate, sink)
    hinge, degrees = face_named(statement.hinge, evaluate), angle(statement.angle, scope, evaluate)
    towards = None if statement.towards is None else face_named(statement.towards, evaluate)
    if target is None or hinge is None or degrees is None or (statement.towards is not None and towards is None):
        return None
    if not 0 < degrees <= WIDEST:
        sink.emit("PD263", f"a door or a lid swings by more than 0 and up to {WIDEST}°", statement.angle.span, notes=[f"this is {float(degrees):g}°"], mend=f"swings ... 110° about {hinge.name}")
        return None
    item, transform = target
    lean = _lean(item, evaluate)
    boxes = [_box(frame, lean) for part in _parts(item) if (frame := part_frame(part, evaluate, _grown(part, evaluate))) is not None]
    if not boxes:
        return None
    box = boxes[0]
    for other in boxes[1:]:
        box = box.union(other)
    hinge = transform.face(hinge)
    if towards is None:
        towards = _outward(plan, box, hinge, evaluate)
    else:
        towards = transform.face(towards)
    if towards.axis == hinge.axis:
        sink.emit("PD263", f"what is hinged at its {hinge.name} cannot swing to {towards.name}", statement.span, mend=f"swings ... about {hinge.name} to {Face((hinge.axis + 1) % 3, -1).name}")
        return None
    axis = 3 - hinge.axis - towards.axis
    point = [box.lo[a] for a in AXES]
    point[hinge.axis], point[towards.axis] = box.at(hinge), box.at(towards)
    pivot: Point3 = (point[0], point[1], point[2])
    # the free edge lies on the other side of the hinge and goes towards the outer face
    first, second = [(1, 2), (2, 0), (0, 1)][axis]
    free = {hinge.axis: -hinge.side, towards.axis: 0}
    goes = {hinge.axis: 0, towards.axis: towards.side}
    turn = free[first] * goes[second] - free[second] * goes[first]
    return Motion(item.path, towards, abs(box.size(hinge.axis)), statement.span, degrees * turn, pivot, axis, lean)


def _lean(item: PartCell | Instance, evaluate: Evaluator) -> Lean | None:
    """How a part or an assembly leans: it opens along its own directions, and turns about its own edge."""
    return instance_lean(item, evaluate) if isinstance(item, Instance) else world_lean(item, evaluate)


def _box(frame: Frame, lean: Lean | None) -> Box:
    """The room of a part as what opens sees it, standing straight."""
    if frame.lean == lean:
        return frame.box
    return standing(frame.box, frame.ends, (STILL if lean is None else lean.inverse()).after(frame.lean or STILL))


def _grown(part: PartCell, evaluate: Evaluator) -> tuple[Box, ...]:
    transform = evaluate.transform(part.frame)
    return () if isinstance(transform, Unknown) else tuple(transform.box(b) for b in part.grown)


def _outward(plan: Expanded, box: Box, hinge: Face, evaluate: Evaluator) -> Face:
    """Along the thinnest direction of the door or lid: of a door away from the middle of the whole; a lid goes up, unless it is a
    hatch in the underside of the whole."""
    axis = min((a for a in AXES if a != hinge.axis), key=lambda a: (box.size(a), a))
    frames = [part_frame(p, evaluate, ()) for p in plan.parts if not p.loose]
    lo = min((f.shoulder.lo[axis] for f in frames if f is not None), default=Fraction(0))
    hi = max((f.shoulder.hi[axis] for f in frames if f is not None), default=Fraction(0))
    off = box.lo[axis] + box.hi[axis] - lo - hi
    if axis == UP:
        return Face(axis, -1 if off < 0 and box.lo[axis] <= lo else 1)
    return Face(axis, 1 if off > 0 else -1)
