"""A shop file -> the shop: each line's words as the kind of machine declares them, and whether its figures can be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from plandoc.diagnostics import Sink
from plandoc.model.cells import Scope, new_plan_scope
from plandoc.model.evaluate import Evaluator
from plandoc.model.kinds import MachineKind, Param
from plandoc.model.machinekinds import machine_title
from plandoc.model.read_args import read_arguments
from plandoc.model.values import plain_number
from plandoc.quantity import Units, shop_text
from plandoc.syntax import tree as t
from plandoc.tables.shop import Shop, ShopMachine

NEWTONS = Fraction(980665, 100000)
"""Force of one kilogram (standard gravity, NIST SP 811, appendix B)."""
FORCES = "forces"


def read_shop(statement: t.ShopStatement, kinds: Mapping[str, MachineKind], units: Units, sink: Sink) -> Shop:
    """The shop with all lines that are sound; the others are reported."""
    evaluate = Evaluator(sink, units)
    scope = new_plan_scope()[0]
    machines = [_machine(line, kinds[line.word], evaluate, scope) for line in statement.machines]
    if not statement.machines and not statement.damaged:
        sink.emit("PD270", "the shop lists no machine", statement.span, mend="a line for each machine, indented below: " + next(iter(kinds.values())).example)
    return Shop(evaluate.text(statement.title, scope).strip(), tuple(m for m in machines if m is not None))


def _machine(line: t.MachineLine, kind: MachineKind, evaluate: Evaluator, scope: Scope) -> ShopMachine | None:
    found = read_arguments(line.word, kind.params, (), line.options, evaluate, scope, line.word_span, line.damaged)
    if found is None:
        return None
    figures = tuple((p.name, _values(p, found[p.name])) for p in kind.params if found[p.name] is not None and found[p.name] is not False)
    name = evaluate.text(line.name, scope).strip() if line.name is not None else ""
    machine = ShopMachine(line.word, name or machine_title(line.word), figures)
    return machine if _can_be(machine, line, kind, evaluate) else None


def _values(param: Param, value: object) -> tuple[Fraction, ...]:
    many: Sequence[object] = value if isinstance(value, tuple) else (value,)
    numbers = tuple(Fraction(v) for v in many if isinstance(v, (int, Fraction)))
    return tuple(v * NEWTONS for v in numbers) if param.name == FORCES else numbers


def _can_be(machine: ShopMachine, line: t.MachineLine, kind: MachineKind, evaluate: Evaluator) -> bool:
    """Whether the figures go together; reports the first that does not."""
    places = {option.word: option.span for option in line.options}

    def say(length: Fraction) -> str:
        return shop_text(length, evaluate.units.fine, mark=True)

    for word, most in kind.most:
        value = machine.one(word)
        if value is not None and value > most:
            evaluate.sink.emit("PD271", f"a {word} of {say(value)} cannot be", places[word], notes=[f"more than {plain_number(most)} mm is no {word}"], mend="measure it again: a kerf is about 1/8\" or 3 mm" if word == "kerf" else f"{word} 1/4\"")
            return False
    for word, bound in kind.limits:
        low, high = max(machine.all(word), default=None), machine.one(bound)
        if low is not None and high is not None and low > high:
            evaluate.sink.emit("PD271", f"`{word}` ({say(low)}) cannot be more than `{bound}` ({say(high)})", places[word], mend=f"{word} {say(high)}, or less")
            return False
    for word, other in kind.alike:
        here, there = len(machine.all(word)), len(machine.all(other))
        if here and here != there:
            evaluate.sink.emit("PD271", f"`{word}` has {_values_words(here)}, `{other}` has {there}", places[word], mend=f"one value of `{word}` for each of `{other}`, in the same order")
            return False
    return True


def _values_words(count: int) -> str:
    return f"{count} value{'s' if count != 1 else ''}"
