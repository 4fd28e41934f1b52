"""Work on single parts and fitted hardware: both become features of parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from plandoc.diagnostics import Note, Sink, Span
from plandoc.geometry.bodies import AXES, Face, body_box
from plandoc.model.cells import PartCell
from plandoc.model.entities import Feature, Fitting, HardwareItem, Motion
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import Joined, local_datum, part_frame, parts_named
from plandoc.model.kinds import FitContext, Frame, Kinds, ShapeContext, Teller
from plandoc.model.read_args import read_arguments, read_drawn
from plandoc.model.rods import round_rod
from plandoc.model.transform import Transform, unmarked
from plandoc.model.values import Unknown, kind_of
from plandoc.syntax import tree as t


def teller(evaluate: Evaluator, sink: Sink, span: Span, home: str = "") -> Teller:
    """A teller that reports to the sink. home: path of the assembly in which the line stands."""

    def emit(code: str, message: str, place: Span, notes: tuple[Note | str, ...], mend: str) -> None:
        sink.emit(code, message, place, notes=notes, mend=mend)

    return Teller(emit, evaluate.units, span, home)


def work(plan: Expanded, evaluate: Evaluator, kinds: Kinds, sink: Sink, joined: Joined) -> dict[str, list[Feature]]:
    """Features of all parts from the work written below them, in world coordinates."""
    made: dict[str, list[Feature]] = {}
    local: dict[int, list[Feature]] = {}
    for part in plan.parts:
        frame = _local_frame(part, evaluate)
        if frame is None and not part.loose:
            continue
        features: list[Feature] = []
        first = 1
        if part.mirrors is not None and isinstance(part.mirror_transform, Transform):
            image = part.mirror_transform
            for feature in local.get(id(part.mirrors), []):
                features.append(_renamed(image.feature(feature), part.mirrors.path, part.path))
            frame, first = None if frame is None else _banded(frame, features), 1 + _lines(part.mirrors)
        if frame is not None and part.mirrors is None:
            features += round_rod(part.path, frame.stock, frame.box, frame.length_axis)
        # banding that makes the part larger comes first: all else is figured from the finished edges
        ordered = sorted(enumerate(part.statement.shapes, first), key=lambda row: row[1].word != "banded")
        for number, shape in ordered:
            if frame is None:
                sink.emit("PD206", f"`{part.path}` is a loose part without a place, work on it cannot be placed", shape.span)
                break
            new = _shape(shape, f"{part.path}.{shape.word}{number}", part, frame, evaluate, kinds, sink, None)
            if part.mirrors is not None and any(f.kind == "edge band" and f.adds for f in new):
                sink.emit("PD225", "edge banding that makes a mirrored part larger belongs to the part that it mirrors", shape.span, mend=f"write it below `{part.mirrors.path}`")
                continue
            frame = _banded(frame, new)
            features.extend(new)
        local[id(part)] = features
        transform = evaluate.transform(part.frame)
        if features and not isinstance(transform, Unknown):
            made[part.path] = [unmarked(transform.feature(f)) for f in features]
            for feature in made[part.path]:
                if feature.kind == "edge band":  # what goes on outside makes the finished part larger
                    joined.growth.setdefault(part.path, []).extend(body_box(strip) for strip in feature.adds)
    return made


def _banded(frame: Frame, features: list[Feature]) -> Frame:
    """The part with the banding that makes it larger."""
    for strip in (body_box(a) for f in features if f.kind == "edge band" for a in f.adds):
        frame = replace(frame, box=frame.box.union(strip))
    return frame


def _lines(part: PartCell) -> int:
    """How many lines of work a part has, with those of the part that it mirrors."""
    return len(part.statement.shapes) + (0 if part.mirrors is None else _lines(part.mirrors))


def _renamed(feature: Feature, old: str, new: str) -> Feature:
    ident = new + feature.id[len(old) :] if feature.id.startswith(old) else feature.id
    row = new + feature.row[len(old) :] if feature.row.startswith(old) else feature.row
    return replace(feature, id=ident, row=row)


def _local_frame(part: PartCell, evaluate: Evaluator) -> Frame | None:
    if part.loose:
        return None
    box = evaluate.local_box(part)
    thick, grain = evaluate.thickness(part), evaluate.grain(part)
    if isinstance(box, Unknown) or thick is None or grain is None or part.stock is None:
        return None
    whole = box
    for more in part.grown:
        whole = whole.union(more)
    datum = local_datum(part)
    return Frame(part.path, part.name, part.stock, box, whole, grain, thick, (datum[0], datum[1], datum[2]), part.span)


def _shape(shape: t.Shape, ident: str, part: PartCell, frame: Frame, evaluate: Evaluator, kinds: Kinds, sink: Sink, owner: Feature | None) -> list[Feature]:
    kind = kinds.shapes[shape.word]
    if kind.below and owner is None:
        sink.emit("PD336", f"`{kind.name}` belongs to a {kind.below}", shape.word_span, mend=f"indent it below the {kind.below}")
        return []
    if owner is not None and kind.below != owner.kind:
        sink.emit("PD336", f"`{kind.name}` cannot belong to a {owner.kind}", shape.word_span, mend="begin it in the column of the line above")
        return []
    # A word that is both a kind of work and an option of the line above is its option.
    names = {p.name for p in kind.params if not p.lead}
    options = [*shape.options]
    children = []
    for child in shape.children:
        if child.word in names:
            options += [t.Option(child.span, child.word, child.lead), *child.options]
            for lost in (*(c.span for c in child.children), *(d.span for d in child.drawn)):
                sink.emit("PD336", f"nothing belongs to the `{child.word}` of a {kind.name}", lost, mend=f"begin it in the column of `{child.word}`, if it belongs to the {kind.name}")
        else:
            children.append(child)
    arguments = read_arguments(kind.name, kind.params, shape.lead, options, evaluate, part.scope, shape.span, shape.damaged)
    drawn = read_drawn(shape.drawn, evaluate, part.scope)
    if shape.drawn and not kind.drawn:
        sink.emit("PD296", f"`{kind.name}` has no free outline", shape.drawn[0].span, mend="leave these lines out")
        return []
    if arguments is None or drawn is None:
        return []
    made = list(kind.apply(ShapeContext(ident, frame, arguments, teller(evaluate, sink, shape.span), owner, drawn)))
    below: list[Feature] = []
    for number, child in enumerate(children, 1):
        for feature in made:
            below.extend(_shape(child, f"{feature.id}.{child.word}{number}", part, frame, evaluate, kinds, sink, feature))
    row = f"{ident}.below" if len(below) > 1 else ""
    return made + [replace(f, row=f.row or row) for f in below]


def fit_hardware(plan: Expanded, evaluate: Evaluator, kinds: Kinds, sink: Sink, joined: Joined, motions: Sequence[Motion]) -> tuple[tuple[Fitting, ...], dict[str, list[Feature]]]:
    """Fittings, and the holes that they make."""
    moving = _Moving(plan, evaluate, joined, motions)
    fittings: list[Fitting] = []
    made: dict[str, list[Feature]] = {}
    for number, (statement, scope) in enumerate(plan.fits, 1):
        item = evaluate.value(statement.item, scope)
        spread = isinstance(item, HardwareItem) and kinds.hardware[item.kind].spread
        parts = parts_named(statement.parts, evaluate, scope, whole=spread)
        if isinstance(item, Unknown) or parts is None:
            continue
        if not isinstance(item, HardwareItem):
            sink.emit("PD204", f"`fit` wants the name of a piece of hardware, this is {kind_of(item)}", statement.item.span)
            continue
        kind = kinds.hardware[item.kind]
        arguments = read_arguments(f"fit {item.name}", kind.fit_params, (), statement.options, evaluate, scope, statement.span, statement.damaged)
        if arguments is None:
            continue
        loose = next((p for p, _ in parts if p.loose), None)
        if loose is not None and not spread:
            sink.emit("PD206", f"`{loose.path}` is a loose part, nothing can be fitted to a place on it", statement.span)
            continue
        cells = [p for p, _ in parts]
        if spread:  # each part once, but all pieces of a loose one
            cells = [p for p in {p.path: p for p in cells}.values() for _ in range(p.count if p.loose else 1)]
        frames = [part_frame(p, evaluate, joined.growth.get(p.path, ())) for p in cells]
        known = [f for f in frames if f is not None]
        if len(known) != len(frames):
            continue
        owner = scope.owner().frame
        outer = evaluate.transform(owner) if owner is not None else Transform()
        if isinstance(outer, Unknown):
            continue
        # Places and faces of the line are those of the assembly that it is written in.
        inner = outer.inverse()
        local = tuple(_seen(f, inner) for f in known)
        effect = kind.fit(FitContext(f"fit{number}.{item.name}", item, local, arguments, teller(evaluate, sink, statement.span, "" if owner is None else owner.path), partial(_along, moving, inner), partial(_outer, moving, inner)))
        if effect is None:
            continue
        fittings.append(_placed(effect.fitting, outer, owner.path if owner is not None else ""))
        for path, feature in effect.features:
            made.setdefault(path, []).append(outer.feature(feature))
    return tuple(fittings), made


def _along(moving: _Moving, inner: Transform, path: str) -> tuple[Frame, ...]:
    return tuple(_seen(f, inner) for f in moving.with_part(path))


def _outer(moving: _Moving, inner: Transform, path: str) -> Face | None:
    target = moving.target_of(path)
    return None if target is None else inner.face(moving.faces[target])


class _Moving:
    """Which parts move together: those of what swings or opens, and those that joints hold to them."""

    def __init__(self, plan: Expanded, evaluate: Evaluator, joined: Joined, motions: Sequence[Motion]) -> None:
        self.cells = {p.path: p for p in plan.parts if not p.loose}
        self.evaluate, self.joined = evaluate, joined
        self.faces = {m.target: m.face for m in motions}
        self.targets = sorted(self.faces, key=len, reverse=True)
        self.beside: dict[str, list[str]] = {}
        for joint in joined.joints:
            if joint.kind != "slide":
                self.beside.setdefault(joint.a, []).append(joint.b)
                self.beside.setdefault(joint.b, []).append(joint.a)

    def target_of(self, path: str) -> str | None:
        """What swings or opens with that part: the part itself, or the innermost assembly."""
        return next((t for t in self.targets if path == t or path.startswith(t + ".")), None)

    def with_part(self, path: str) -> tuple[Frame, ...]:
        """These parts in the world, in the order of the plan."""
        target = self.target_of(path)
        found = {path}
        if target is not None:
            found |= {p for p in self.cells if p == target or p.startswith(target + ".")}
        todo = sorted(found)
        while todo:
            new = [other for other in self.beside.get(todo.pop(), ()) if other not in found]
            found.update(new)
            todo += new
        frames = (part_frame(cell, self.evaluate, self.joined.growth.get(p, ())) for p, cell in self.cells.items() if p in found)
        return tuple(f for f in frames if f is not None)


def _seen(frame: Frame, by: Transform) -> Frame:
    """A part as an assembly sees it."""
    datum = [0, 0, 0]
    for axis in AXES:
        datum[by.perm[axis]] = frame.datum[axis] * by.sign[axis]
    return replace(
        frame, shoulder=by.box(frame.shoulder), box=by.box(frame.box), length_axis=by.perm[frame.length_axis],
        thickness_axis=by.perm[frame.thickness_axis], datum=(datum[0], datum[1], datum[2]),
    )  # fmt: skip


def _placed(fitting: Fitting, outer: Transform, assembly: str) -> Fitting:
    """A fitting of an assembly in the world."""
    return replace(
        fitting, assembly=assembly, box=None if fitting.box is None else outer.box(fitting.box),
        rooms=tuple(outer.box(b) for b in fitting.rooms), points=tuple(outer.point(p) for p in fitting.points),
    )  # fmt: skip
