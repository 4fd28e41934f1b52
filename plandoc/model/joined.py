"""Joints: first every part grows by what its joints add, then every joint cuts what it needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from plandoc.diagnostics import Note, Sink, Span
from plandoc.geometry.bodies import AXES, Box, Chunk, Face, box_prism
from plandoc.model.cells import Instance, PartCell, Scope
from plandoc.model.contact import contacts, find_contact, find_crossing
from plandoc.model.entities import Feature, Joint
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.kinds import (
    Arguments,
    Frame,
    JointContext,
    JointEffect,
    JointKind,
    Kinds,
    LeaningContext,
    Teller,
    named_in,
)
from plandoc.model.leaning import trim, trim_features, world_lean
from plandoc.model.leaning_joints import bisect, meeting
from plandoc.model.read_args import read_arguments
from plandoc.model.transform import Transform
from plandoc.model.values import Family, Unknown, kind_of
from plandoc.syntax import tree as t


@dataclass(slots=True)
class Joined:
    """Joints, and the features that they made by part path."""

    joints: list[Joint] = field(default_factory=list)
    features: dict[str, list[Feature]] = field(default_factory=dict)
    growth: dict[str, list[Box]] = field(default_factory=dict)


def part_frame(part: PartCell, evaluate: Evaluator, growth: Sequence[Box]) -> Frame | None:
    """The part in world coordinates; None where its place is not known."""
    box = evaluate.local_box(part)
    thick, grain = evaluate.thickness(part), evaluate.grain(part)
    transform = evaluate.transform(part.frame)
    if isinstance(box, Unknown) or thick is None or grain is None or isinstance(transform, Unknown) or part.stock is None:
        return None
    shoulder = transform.box(box)
    whole = shoulder
    for more in growth:
        whole = whole.union(more)
    ends = tuple(c for f in trim_features(part, evaluate) for c in transform.feature(f).cuts if isinstance(c, Chunk)) if part.trims else ()
    lean = world_lean(part, evaluate)
    return Frame(part.path, part.name, part.stock, shoulder, whole, transform.perm[grain], transform.perm[thick], world_datum(part, transform), part.span, lean, ends)


def local_datum(part: PartCell) -> list[int]:
    """Reference faces in the part's own assembly: left, front and bottom; a mirror image changes sides."""
    datum = [-1, -1, -1] if part.mirrors is None else local_datum(part.mirrors)
    if isinstance(part.mirror_transform, Transform):
        datum = [d * s for d, s in zip(datum, part.mirror_transform.sign, strict=True)]
    return datum


def world_datum(part: PartCell, transform: Transform) -> tuple[int, int, int]:
    """Reference faces in the world."""
    local = local_datum(part)
    datum = [0, 0, 0]
    for axis in AXES:
        datum[transform.perm[axis]] = local[axis] * transform.sign[axis]
    return (datum[0], datum[1], datum[2])


def parts_named(exprs: Sequence[t.Expr], evaluate: Evaluator, scope: Scope, whole: bool = False) -> list[tuple[PartCell, Span]] | None:
    """Parts behind names; a family or (with `whole`) an assembly stands for all its parts. None after a report."""
    found: list[tuple[PartCell, Span]] = []
    good = True
    for expr in exprs:
        value = evaluate.value(expr, scope)
        if isinstance(value, Unknown):
            good = False
        elif isinstance(value, PartCell):
            found.append((value, expr.span))
        elif isinstance(value, Instance) and whole:
            found.extend((p, expr.span) for p in all_parts(value))
        elif isinstance(value, Family) and all(isinstance(v, (PartCell, Instance, Unknown) if whole else (PartCell, Unknown)) for _, v in value.members):
            good = good and not any(isinstance(v, Unknown) for _, v in value.members)
            for _, member in value.members:
                if isinstance(member, PartCell):
                    found.append((member, expr.span))
                elif isinstance(member, Instance):
                    found.extend((p, expr.span) for p in all_parts(member))
        else:
            mend = "name one of its parts: " + named_in(_home(scope), ", ".join(p.path for p in value.parts[:6])) if isinstance(value, Instance) else ""
            evaluate.sink.emit("PD204", f"a part is wanted here, this is {kind_of(value)}", expr.span, mend=mend)
            good = False
    return found if good else None


def _home(scope: Scope) -> str:
    """The path of the assembly that a scope belongs to, "" for the plan."""
    frame = scope.owner().frame
    return "" if frame is None else frame.path


def all_parts(instance: Instance) -> list[PartCell]:
    """Parts of an assembly and of those in it."""
    found = list(instance.parts)
    for child in instance.children:
        found.extend(all_parts(child))
    return found


@dataclass(frozen=True, slots=True)
class JointPair:
    """One joint of two parts as the plan asks for it."""

    kind: JointKind
    id: str
    a: PartCell
    b: PartCell
    args: Arguments
    tell: Teller


def trim_all(plan: Expanded, pairs: Sequence[JointPair], evaluate: Evaluator, sink: Sink) -> None:
    """Trim the ends of leaning parts: as the plan asks, then those that meet in a mitre."""
    for part in plan.parts:
        if not part.loose:
            trim(part, evaluate, sink)
    for pair in pairs:
        if pair.kind.bisects and world_lean(pair.a, evaluate) != world_lean(pair.b, evaluate):
            bisect(pair.a, pair.b, pair.tell.span, evaluate, sink)


def join(plan: Expanded, pairs: Sequence[JointPair], evaluate: Evaluator) -> Joined:
    """Work out all joints of a plan."""
    out = Joined()
    pending, leaning = _contexts(pairs, evaluate)
    sides: dict[str, list[tuple[Box, JointContext]]] = {}
    for kind, context in pending:
        for box in kind.extend(context):
            out.growth.setdefault(context.a.path, []).append(box)
            sides.setdefault(context.a.path, []).append((box, context))
        if kind.extend_b is not None:
            for box in kind.extend_b(context):
                out.growth.setdefault(context.b.path, []).append(box)
    for path, grown in sides.items():
        for corner in _corners(grown):
            out.growth[path].append(corner)
            out.features.setdefault(path, []).append(Feature(f"{path}.corner{len(out.growth[path])}", "tongue", None, adds=(box_prism(corner),)))
    cells = {p.path: p for p in plan.parts}
    for path, boxes in out.growth.items():
        cell = cells[path]
        transform = evaluate.transform(cell.frame)
        if not isinstance(transform, Unknown):
            cell.grown = [transform.inverse().box(b) for b in boxes]
    effects: list[tuple[JointContext | LeaningContext, JointEffect | None]] = []
    for kind, context in pending:
        final = replace(context, a=_grown(context.a, out), b=_grown(context.b, out))
        effects.append((final, kind.cut(final)))
    for kind, askew in leaning:
        assert kind.leaning is not None
        effects.append((askew, kind.leaning(askew)))
    for told, effect in effects:
        if effect is not None:
            a, b = told.a.path, told.b.path
            leans = any(world_lean(cells[path], evaluate) is not None for path in (a, b))
            out.joints.append(replace(effect.joint, askew=leans, dry=bool(told.args.get("dry"))))
            out.features.setdefault(a, []).extend(effect.on_a)
            there = out.features.setdefault(b, [])
            there.extend(f for f in effect.on_b if not any(_same_cut(f, old) for old in there))
    return out


def _same_cut(feature: Feature, old: Feature) -> bool:
    """Whether a row of parts enters one and the same channel: it is cut once."""
    return bool(feature.cuts) and (feature.kind, feature.face, feature.cuts, feature.span) == (old.kind, old.face, old.cuts, old.span)


def _grown(frame: Frame, out: Joined) -> Frame:
    box = frame.box
    for more in out.growth.get(frame.path, ()):
        box = box.union(more)
    return replace(frame, box=box)


def joint_pairs(plan: Expanded, evaluate: Evaluator, kinds: Kinds, sink: Sink) -> list[JointPair]:
    """Every joint of two parts that the plan asks for, in its order."""
    found: list[JointPair] = []
    ids: dict[str, int] = {}
    pairs: dict[tuple[str, str], Span] = {}
    for statement, scope in plan.joints:
        kind = kinds.joints[statement.kind]
        arguments = read_arguments(kind.name, kind.params, (), statement.options, evaluate, scope, statement.span, statement.damaged)
        entering = parts_named(statement.entering, evaluate, scope)
        entered = parts_named(statement.entered, evaluate, scope)
        if arguments is None or entering is None or entered is None:
            continue

        def emit(code: str, message: str, span: Span, notes: tuple[Note | str, ...], mend: str) -> None:
            sink.emit(code, message, span, notes=notes, mend=mend)

        frame = scope.owner().frame
        assert frame is not None
        around = evaluate.transform(frame)
        if not isinstance(around, Unknown):
            arguments = {word: _in_world(value, around) for word, value in arguments.items()}
        inner = None if isinstance(around, Unknown) else around.inverse()
        tell = Teller(emit, evaluate.units, statement.span, frame.path, inner)
        for a, a_span in entering:
            for b, b_span in entered:
                if a is b:
                    sink.emit("PD312", f"`{a.path}` cannot be joined to itself", b_span)
                    continue
                if a.loose or b.loose:
                    loose, span = (a, a_span) if a.loose else (b, b_span)
                    sink.emit("PD206", f"`{loose.path}` is a loose part, it has no place to be joined in", span)
                    continue
                first = pairs.get((a.path, b.path))
                if first is not None:
                    sink.emit("PD313", f"`{a.path}` and `{b.path}` are joined twice", statement.span, notes=[Note("the first joint stands here", first)])
                    continue
                pairs[(a.path, b.path)] = statement.span
                ident = f"{kind.name}:{a.path}>{b.path}"
                ids[ident] = ids.get(ident, 0) + 1
                found.append(JointPair(kind, ident, a, b, arguments, tell))
    return found


def _contexts(pairs: Sequence[JointPair], evaluate: Evaluator) -> tuple[list[tuple[JointKind, JointContext]], list[tuple[JointKind, LeaningContext]]]:
    found: list[tuple[JointKind, JointContext]] = []
    leaning: list[tuple[JointKind, LeaningContext]] = []
    for pair in pairs:
        kind, tell = pair.kind, pair.tell
        a, b = part_frame(pair.a, evaluate, ()), part_frame(pair.b, evaluate, ())
        if a is None or b is None:
            continue
        if a.lean != b.lean:
            if kind.leaning is None:
                tell.say("PD262", f"`{a.path}` and `{b.path}` lean differently, a {kind.name} between them cannot be worked out", mend="let both lean together in one assembly, or use butt or mitre")
            elif (met := meeting(pair.id, kind.name, a, b, pair.args, tell)) is not None:
                leaning.append((kind, met))
            continue
        cross = kind.meets == "cross" or (kind.meets == "any" and not contacts(a.shoulder, b.shoulder) and a.shoulder.common(b.shoulder) is not None)
        contact = find_crossing(a, b, tell) if cross else find_contact(a, b, tell)
        if contact is not None:
            found.append((kind, JointContext(pair.id, kind.name, a, b, contact, pair.args, tell)))
    return found, leaning


def _in_world(value: object, around: Transform) -> object:
    """Faces that a plan names are those of the assembly in which it names them."""
    if isinstance(value, Face):
        return around.face(value)
    if isinstance(value, tuple):
        return tuple(around.face(v) if isinstance(v, Face) else v for v in value)
    return value


def _corners(grown: list[tuple[Box, JointContext]]) -> list[Box]:
    """Where two neighbouring edges of a panel both grow over their whole length, its corner grows with them."""
    corners: list[Box] = []
    for index, (box, context) in enumerate(grown):
        for other, other_context in grown[index + 1 :]:
            first, second = context.contact.entry, other_context.contact.entry
            if first.axis == second.axis:
                continue
            shoulder = context.a.shoulder
            third = 3 - first.axis - second.axis
            reaches_first = box.at(second) == shoulder.at(second)
            reaches_second = other.at(first) == shoulder.at(first)
            if not (reaches_first and reaches_second):
                continue
            lo, hi = max(box.lo[third], other.lo[third]), min(box.hi[third], other.hi[third])
            if lo >= hi:
                continue
            corner = box.with_span(second.axis, *other.span(second.axis)).with_span(third, lo, hi)
            if corner not in corners:
                corners.append(corner)
    return corners
