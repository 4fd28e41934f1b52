"""`step` statements -> Step, with live numbers."""

from __future__ import annotations

from plandoc.diagnostics import Sink
from plandoc.model.cells import Instance, PartCell, Scope
from plandoc.model.entities import Fitting, HardwareItem, Step
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import all_parts, parts_named
from plandoc.model.values import Family, Unknown, kind_of
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.tables import caution_words, named_caution

FASTENERS = ("dowel", "screw", "nail")
"""Kinds of hardware that joints take by their `with`."""


def read_steps(plan: Expanded, evaluate: Evaluator, fittings: tuple[Fitting, ...], sink: Sink) -> tuple[Step, ...]:
    """The author's steps in order."""
    return tuple(_step(number, statement, scope, evaluate, fittings, sink) for number, (statement, scope) in enumerate(plan.steps, 1))


def _step(number: int, statement: t.StepStatement, scope: Scope, evaluate: Evaluator, fittings: tuple[Fitting, ...], sink: Sink) -> Step:
    paths: dict[str, list[str]] = {"step_cuts": [], "step_makes": [], "step_joins": []}
    words: dict[str, list[str]] = {"step_do": [], "step_check": [], "step_wait": [], "step_note": []}
    lists: dict[str, list[str]] = {"step_tools": [], "step_caution": []}
    fits: list[str] = []
    for clause in statement.clauses:
        if clause.kind in paths:
            exprs = [i for i in clause.items if i is not None and not isinstance(i, str)]
            parts = parts_named(exprs, evaluate, scope, whole=True)
            paths[clause.kind].extend(p.path for p, _ in parts or [])
        elif clause.kind == "step_fits":
            exprs = [i for i in clause.items if i is not None and not isinstance(i, str)]
            for expr in exprs:
                fits.extend(_fittings(expr, evaluate, scope, fittings, sink))
        elif isinstance(clause.items[0], t.Str):
            text = evaluate.text(clause.items[0], scope).strip()
            if clause.kind in lists:
                found = [w.strip() for w in text.split(",") if w.strip()]
                for word in found if clause.kind == "step_caution" else ():
                    if named_caution(word) is None:
                        sink.emit("PD244", f"`{word}` is no caution that the program has a text for", clause.span, notes=["it is printed as it stands"], mend=did_you_mean(word, caution_words()))
                lists[clause.kind].extend(found)
            else:
                words[clause.kind].append(text)
    return Step(
        number,
        evaluate.text(statement.title, scope),
        tuple(dict.fromkeys(paths["step_cuts"])),
        tuple(dict.fromkeys(paths["step_makes"])),
        tuple(dict.fromkeys(paths["step_joins"])),
        tuple(dict.fromkeys(fits)),
        tuple(words["step_do"] + words["step_note"]),
        tuple(lists["step_tools"]),
        tuple(lists["step_caution"]),
        tuple(words["step_check"]),
        tuple(words["step_wait"]),
        True,
        statement.span,
    )


def _fittings(expr: t.Expr, evaluate: Evaluator, scope: Scope, fittings: tuple[Fitting, ...], sink: Sink) -> list[str]:
    """Fittings behind a name: of a piece of hardware, or all on a part or an assembly.

    A fastener's own name stays with them: the joints that it goes into are closed only later."""
    value = evaluate.value(expr, scope)
    if isinstance(value, Unknown):
        return []
    if isinstance(value, HardwareItem):
        fitted = [f.id for f in fittings if f.item == value.name]
        return [*fitted, value.name] if value.kind in FASTENERS else fitted
    members = [v for _, v in value.members] if isinstance(value, Family) else [value]
    wanted: list[str] = []
    for member in members:
        if isinstance(member, PartCell):
            wanted.append(member.path)
        elif isinstance(member, Instance):
            wanted.extend(p.path for p in all_parts(member))
        else:
            sink.emit("PD204", f"`fits` wants hardware, a part or an assembly, this is {kind_of(value)}", expr.span)
            return []
    return [f.id for f in fittings if any(p in wanted for p in f.parts)]
