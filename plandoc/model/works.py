"""Work on single parts and fitted hardware: both become features of parts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from plandoc.diagnostics import Note, Sink, Span
from plandoc.geometry.bodies import AXES
from plandoc.model.cells import PartCell
from plandoc.model.entities import Feature, Fitting, HardwareItem
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import Joined, local_datum, part_frame, parts_named
from plandoc.model.kinds import FitContext, Frame, Kinds, ShapeContext, Teller
from plandoc.model.read_args import read_arguments
from plandoc.model.transform import Transform
from plandoc.model.values import Unknown, kind_of

if TYPE_CHECKING:
    from plandoc.syntax import tree as t


def teller(evaluate: Evaluator, sink: Sink, span: Span) -> Teller:
    """A teller that reports to the sink."""

    def emit(code: str, message: str, place: Span, notes: tuple[Note | str, ...], mend: str) -> None:
        sink.emit(code, message, place, notes=notes, mend=mend)

    return Teller(emit, evaluate.units, span)


def work(plan: Expanded, evaluate: Evaluator, kinds: Kinds, sink: Sink, joined: Joined) -> dict[str, list[Feature]]:
    """Features of all parts from the work written below them, in world coordinates."""
    made: dict[str, list[Feature]] = {}
    local: dict[int, list[Feature]] = {}
    for part in plan.parts:
        frame = _local_frame(part, evaluate)
        if frame is None and not part.loose:
            continue
        features: list[Feature] = []
        if part.mirrors is not None and isinstance(part.mirror_transform, Transform):
            image = part.mirror_transform
            for feature in local.get(id(part.mirrors), []):
                features.append(_renamed(image.feature(feature), part.mirrors.path, part.path))
        for number, shape in enumerate(part.statement.shapes, 1):
            if frame is None:
                sink.emit("PD206", f"`{part.path}` is a loose part without a place, work on it cannot be placed", shape.span)
                break
            features.extend(_shape(shape, f"{part.path}.{shape.word}{number}", part, frame, evaluate, kinds, sink, None))
        local[id(part)] = features
        transform = evaluate.transform(part.frame)
        if features and not isinstance(transform, Unknown):
            made[part.path] = [transform.feature(f) for f in features]
    return made


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
    arguments = read_arguments(kind.name, kind.params, shape.lead, shape.options, evaluate, part.scope, shape.span, shape.damaged)
    if arguments is None:
        return []
    made = list(kind.apply(ShapeContext(ident, frame, arguments, teller(evaluate, sink, shape.span), owner)))
    below: list[Feature] = []
    for number, child in enumerate(shape.children, 1):
        for feature in made:
            below.extend(_shape(child, f"{feature.id}.{child.word}{number}", part, frame, evaluate, kinds, sink, feature))
    row = f"{ident}.below" if len(below) > 1 else ""
    return made + [replace(f, row=f.row or row) for f in below]


def fit_hardware(plan: Expanded, evaluate: Evaluator, kinds: Kinds, sink: Sink, joined: Joined) -> tuple[tuple[Fitting, ...], dict[str, list[Feature]]]:
    """Fittings, and the holes that they make."""
    fittings: list[Fitting] = []
    made: dict[str, list[Feature]] = {}
    for number, (statement, scope) in enumerate(plan.fits, 1):
        item = evaluate.value(statement.item, scope)
        parts = parts_named(statement.parts, evaluate, scope)
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
        if loose is not None:
            sink.emit("PD206", f"`{loose.path}` is a loose part, nothing can be fitted to a place on it", statement.span)
            continue
        frames = [part_frame(p, evaluate, joined.growth.get(p.path, ())) for p, _ in parts]
        known = [f for f in frames if f is not None]
        if len(known) != len(frames):
            continue
        owner = scope.owner().frame
        outer = evaluate.transform(owner) if owner is not None else Transform()
        if isinstance(outer, Unknown):
            continue
        # Places and faces of the line are those of the assembly that it is written in.
        local = tuple(_seen(f, outer.inverse()) for f in known)
        effect = kind.fit(FitContext(f"fit{number}.{item.name}", item, local, arguments, teller(evaluate, sink, statement.span)))
        if effect is None:
            continue
        fittings.append(_placed(effect.fitting, outer, owner.path if owner is not None else ""))
        for path, feature in effect.features:
            made.setdefault(path, []).append(outer.feature(feature))
    return tuple(fittings), made


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
