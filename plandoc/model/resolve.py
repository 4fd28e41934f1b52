"""Statements -> Model: names, places, joints, work, hardware, marks, steps, in this order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from plandoc.diagnostics import Sink, Span
from plandoc.geometry.bodies import AXIS_NAMES, FACES, Box, Face
from plandoc.model.allowances import allowance_for
from plandoc.model.blanks import long_enough, out_of_blanks
from plandoc.model.cells import Instance, PartCell, SettingCell
from plandoc.model.entities import Assembly, Feature, Model, Part, PlanInfo, SectionWish
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded, Expander
from plandoc.model.gluing import glue_up, warn_of_boards
from plandoc.model.information import read_information
from plandoc.model.joined import Joined, join, joint_pairs, part_frame, trim_all
from plandoc.model.kinds import Kinds
from plandoc.model.leaning import standing, trim_features
from plandoc.model.loading import Loaded
from plandoc.model.marks import marked
from plandoc.model.motions import face_named, read_motions
from plandoc.model.rods import check_rod
from plandoc.model.routing_wishes import read_routing_wishes
from plandoc.model.shops import read_shop
from plandoc.model.steps import read_steps
from plandoc.model.template_wishes import read_template_wishes
from plandoc.model.values import Unknown, shown
from plandoc.model.works import fit_hardware, work
from plandoc.quantity import shop_text
from plandoc.syntax import tree as t
from plandoc.tables.shop import ASSUMED


def resolve(loaded: Loaded, kinds: Kinds, sink: Sink, overrides: Mapping[str, t.Expr] | None = None) -> Model:
    """The model of a plan. What could not be worked out is left out and reported."""
    info = read_information(loaded.statements, sink)
    evaluate = Evaluator(sink, info.units)
    expander = Expander(info, evaluate, kinds, sink, overrides or {})
    expander.block(loaded.statements, expander.out.scope)
    expander.finish()
    plan = expander.out
    _settle_everything(plan, evaluate)
    pairs = joint_pairs(plan, evaluate, kinds, sink)
    trim_all(plan, pairs, evaluate, sink)
    joined = join(plan, pairs, evaluate)
    features = dict(joined.features)
    for cell in plan.parts:
        transform = evaluate.transform(cell.frame)
        ends = trim_features(cell, evaluate) if cell.trims else []
        if ends and not isinstance(transform, Unknown):
            features[cell.path] = [*(transform.feature(f) for f in ends), *features.get(cell.path, [])]
    for path, made in work(plan, evaluate, kinds, sink, joined).items():
        features[path] = [*features.get(path, []), *made]
    evaluate.finished = True
    motions = read_motions(plan, evaluate, sink)
    fittings, holes = fit_hardware(plan, evaluate, kinds, sink, joined, motions)
    for path, made in holes.items():
        features[path] = [*features.get(path, []), *made]
    found = [(c, _sized(c, p, info)) for c in plan.parts if (p := _part(c, evaluate, joined, features)) is not None]
    routings = read_routing_wishes(plan, evaluate, [p for _, p in found], sink)
    sized = out_of_blanks([p for _, p in found], routings, info.units)
    shop = None if loaded.shop is None else read_shop(loaded.shop, kinds.machines, info.units, sink)
    usual = shop or ASSUMED["inch" if info.units.system == "inch" else "mm"]
    sized = [long_enough(p, usual, info.units) if (c.mirrors or c).gluing is not None and p.stock.kind == "lumber" else p for (c, _), p in zip(found, sized, strict=True)]
    blanks = {wish.part for wish in routings if wish.out}
    parts = marked([_from_boards(c, p, evaluate, p.path in blanks) for (c, _), p in zip(found, sized, strict=True)])
    if not plan.parts and not sink.has_errors:
        place = info.span if info.span.file else Span(next(iter(loaded.sources), ""), 0, 0)
        sink.emit("PD309", "the plan has no parts", place, mend="part shelf from birch")
    notes = tuple(evaluate.text(s.text, scope) for s, scope in plan.notes)
    return Model(
        replace(info, notes=(*info.notes, *notes)),
        tuple(plan.stocks),
        parts,
        tuple(joined.joints),
        tuple(plan.hardware),
        fittings,
        motions,
        _sections(plan, evaluate, sink),
        read_steps(plan, evaluate, fittings, sink),
        tuple(_assembly(i) for i in plan.instances),
        _values(plan, evaluate),
        loaded.digest,
        read_template_wishes(plan, evaluate, parts, sink),
        shop,
        routings,
    )


def _settle_everything(plan: Expanded, evaluate: Evaluator) -> None:
    """Evaluate what nothing asked for yet, so that its faults are reported."""
    for part in plan.parts:
        if part.loose:
            _loose_size(part, evaluate)
        else:
            evaluate.local_box(part)
            evaluate.thickness(part)
            evaluate.grain(part)
            evaluate.transform(part.frame)
            check_rod(part, evaluate)
    scopes = [plan.scope, *(i.scope for i in plan.instances)]
    for scope in scopes:
        for value in list(scope.names.values()):
            if isinstance(value, SettingCell):
                evaluate.settle(value, value.span)


def _loose_size(part: PartCell, evaluate: Evaluator) -> Box | None:
    if isinstance(part.local, Box):
        return part.local
    if isinstance(part.local, Unknown) or part.stock is None:
        return None
    part.local = Unknown()
    clause = next(c for c in part.statement.clauses if c.kind == "part_size")
    expr = clause.items[0]
    assert expr is not None and not isinstance(expr, str)
    for other in part.statement.clauses:
        if other.kind.startswith("extent_") or (other.kind == "part_size" and other is not clause):
            evaluate.sink.emit("PD302", f"`{part.path}` has a size and an extent", other.span, mend="a loose part has only `size`; a part with a place has across, back and up")
            return None
    items = expr.items if isinstance(expr, t.Several) and expr.form == "size" else (expr,)
    numbers = [evaluate.length(e, part.scope) for e in items]
    good = [n for n in numbers if not isinstance(n, Unknown)]
    if len(good) != len(numbers):
        return None
    alone = part.stock.measured if part.stock.kind == "dowel" else part.stock.width if part.stock.kind == "batten" else None
    if len(good) == 1 and alone is not None:
        good.append(alone)
    if len(good) not in (2, 3) or min(good) <= 0:
        evaluate.sink.emit("PD302", "a loose part has a length along the grain and a width", expr.span, mend='size 24"' if alone is not None else 'size 24" x 3"')
        return None
    if len(good) == 3 and good[2] != part.stock.measured:
        evaluate.sink.emit("PD304", f"the thickness of `{part.path}` is not that of its stock", expr.span, notes=[f"`{part.stock.name}` measures {shown_length(part.stock.measured, evaluate)}"], mend="give length and width only")
        return None
    if alone is not None and good[1] != alone:
        rod = part.stock.kind == "dowel"
        section = f"{shown_length(alone, evaluate)} thick" if rod else f"{shown_length(part.stock.measured, evaluate)} x {shown_length(alone, evaluate)}"
        evaluate.sink.emit("PD250", f"`{part.path}` does not have the section of its {'rod' if rod else 'batten'}", expr.span, notes=[f"`{part.stock.name}` is {section}"], mend="give the length only")
        return None
    zero = Fraction(0)
    part.local = Box((zero, zero, zero), (good[0], good[1], part.stock.measured))
    part.grain_axis, part.thickness_axis = 0, 2
    return part.local


def shown_length(length: Fraction, evaluate: Evaluator) -> str:
    """A length as the plan prints it."""
    return shop_text(length, evaluate.units, mark=True)


def _part(cell: PartCell, evaluate: Evaluator, joined: Joined, features: Mapping[str, list[Feature]]) -> Part | None:
    if cell.stock is None:
        return None
    if cell.loose:
        box = _loose_size(cell, evaluate)
        if box is None:
            return None
        return Part(cell.path, cell.name, cell.stock, box, box, 0, 1, 2, loose=True, count=cell.count, assembly=cell.frame.path, note=cell.note, span=cell.span)
    frame = part_frame(cell, evaluate, joined.growth.get(cell.path, ()))
    if frame is None:
        return None
    room = None if frame.lean is None else standing(frame.box, frame.ends, frame.lean)
    return Part(
        cell.path,
        cell.name,
        cell.stock,
        frame.shoulder,
        frame.box,
        frame.length_axis,
        frame.width_axis,
        frame.thickness_axis,
        tuple(features.get(cell.path, ())),
        frame.datum,
        "",
        cell.frame.path,
        mirrors="" if cell.mirrors is None else cell.mirrors.path,
        note=cell.note,
        span=cell.span,
        lean=frame.lean,
        room=room,
    )


def _sized(cell: PartCell, part: Part, info: PlanInfo) -> Part:
    """The part with its allowance."""
    return replace(part, allowance=allowance_for((cell.mirrors or cell).allowance, part.stock, info))


def _from_boards(cell: PartCell, part: Part, evaluate: Evaluator, blank: bool) -> Part:
    """The part with the boards that it is glued up from. blank: it is cut out of a larger blank."""
    part = replace(part, glue_up=glue_up(cell, part, evaluate))
    if part.glue_up is not None or not any(clause.kind == "part_glued" for clause in (cell.mirrors or cell).statement.clauses):
        warn_of_boards(cell, part, evaluate, blank)
    return part


def _assembly(instance: Instance) -> Assembly:
    return Assembly(instance.path, instance.name, tuple(p.path for p in instance.parts), tuple(c.path for c in instance.children), instance.definition, instance.span)


def _direction(name: t.Name, evaluate: Evaluator) -> Face | None:
    """A direction of sight: a face that one looks towards, or up, down, back."""
    words = {"up": FACES["top"], "down": FACES["bottom"], "back": FACES["rear"]}
    return words.get(name.name) or face_named(name, evaluate)


def _sections(plan: Expanded, evaluate: Evaluator, sink: Sink) -> tuple[SectionWish, ...]:
    made = []
    default = {0: FACES["left"], 1: FACES["rear"], 2: FACES["bottom"]}
    for statement, scope in plan.sections:
        axis = AXIS_NAMES.index(statement.axis)
        at = evaluate.length(statement.at, scope)
        look = default[axis] if statement.look is None else _direction(statement.look, evaluate)
        if isinstance(at, Unknown) or look is None:
            continue
        if look.axis != axis:
            sink.emit("PD242", f"in this section one looks {Face(axis, -1).name} or {Face(axis, 1).name}", statement.span, mend=f"looking {default[axis].name}")
            continue
        made.append(SectionWish(axis, at, look, statement.span))
    return tuple(made)


def _values(plan: Expanded, evaluate: Evaluator) -> tuple[tuple[str, str], ...]:
    rows = []
    for name, value in plan.scope.names.items():
        if isinstance(value, SettingCell):
            settled = evaluate.settle(value, value.span)
            if not isinstance(settled, Unknown):
                rows.append((name, shown(settled, evaluate.units)))
    return tuple(rows)
