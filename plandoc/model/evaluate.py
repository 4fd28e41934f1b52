"""Expressions -> exact values, with their dimensions checked."""

from __future__ import annotations

from fractions import Fraction

from plandoc.diagnostics import Note, Sink, Span
from plandoc.geometry.bodies import AXIS_NAMES, FACES
from plandoc.model.battens import Battens
from plandoc.model.cells import Instance, PartCell, Scope, SettingCell
from plandoc.model.entities import HardwareItem, Stock
from plandoc.model.values import (
    UNKNOWN,
    Amount,
    Family,
    Many,
    Text,
    Truth,
    Unknown,
    Value,
    kind_of,
    plain_number,
    shown,
    unit_mend,
)
from plandoc.quantity import INCH, LENGTH, PLAIN, Units
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean

MAX_DIGITS = 400
NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


class Evaluator(Battens):
    """Evaluates expressions in a scope; one for a whole plan. Part faces come from `Boxes` and `Battens`."""

    def __init__(self, sink: Sink, units: Units) -> None:
        super().__init__(sink, units)
        self.finished = False
        self._values: list[tuple[SettingCell, Span]] = []

    def value(self, expr: t.Expr, scope: Scope) -> Value:
        """The value of any expression; UNKNOWN after a report."""
        if isinstance(expr, t.Quantity):
            return Amount(expr.value, expr.dimension, expr.span)
        if isinstance(expr, t.Str):
            return Text(self.text(expr, scope))
        if isinstance(expr, t.Name):
            return self.name(expr, scope)
        if isinstance(expr, t.Member):
            return self.member(expr, scope)
        if isinstance(expr, t.Index):
            return self.index(expr, scope)
        if isinstance(expr, t.Unary):
            return self.unary(expr, scope)
        if isinstance(expr, t.Binary):
            return self.binary(expr, scope)
        if isinstance(expr, t.When):
            test = self.truth(expr.test, scope)
            return test if isinstance(test, Unknown) else self.value(expr.yes if test else expr.no, scope)
        if isinstance(expr, t.Call):
            return self.call(expr, scope)
        return self.several(expr, scope)

    def several(self, expr: t.Several, scope: Scope) -> Value:
        items = tuple(self.value(item, scope) for item in expr.items)
        return UNKNOWN if any(isinstance(i, Unknown) for i in items) else Many(expr.form, items)

    # Names -----------------------------------------------------------------------------------------------------

    def name(self, expr: t.Name, scope: Scope) -> Value:
        found = self.look_up(expr.name, scope)
        if found is None:
            if not scope.lost(expr.name):
                self.unknown_name(expr, scope)
            return UNKNOWN
        return self.settle(found, expr.span)

    def unknown_name(self, expr: t.Name, scope: Scope) -> None:
        at: Scope | None = scope
        while at is not None:
            if expr.name in at.names or expr.name in at.families:
                self.sink.emit("PD201", f"`{expr.name}` stands outside of the assembly and cannot be seen from within", expr.span, notes=["an assembly sees the values, stocks and hardware of the plan, not its parts"], mend="hand the length over as a value of the assembly")
                return
            at = at.parent
        if expr.name in FACES or expr.name in AXIS_NAMES:
            self.sink.emit("PD201", f"`{expr.name}` alone is not a place", expr.span, mend=f"say of which part: shelf.{expr.name}")
            return
        figure = NUMBER_WORDS.index(expr.name.lower()) + 1 if expr.name.lower() in NUMBER_WORDS else 0
        self.sink.emit("PD201", f"`{expr.name}` is not known here", expr.span, mend=f"write the figure: {figure}" if figure else did_you_mean(expr.name, scope.known()))

    def look_up(self, name: str, scope: Scope) -> object | None:
        """The entry of a name: nearest scope first. Parts beyond the own assembly are not seen."""
        at: Scope | None = scope
        outside = False
        while at is not None:
            if name in at.names:
                found = at.names[name]
                if outside and isinstance(found, (PartCell, Instance)):
                    return None
                return found
            if name in at.families and not outside:
                return Family(name, tuple(at.families[name].items()))
            outside = outside or at.barrier
            at = at.parent
        return None

    def settle(self, found: object, span: Span) -> Value:
        if not isinstance(found, SettingCell):
            return found
        if found.value is None:
            if found.busy:
                self.circle_of_values(found, span)
                return UNKNOWN
            found.busy = True
            self._values.append((found, span))
            found.value = self.value(found.expr, found.scope)
            self._values.pop()
            found.busy = False
        return found.value

    def circle_of_values(self, found: SettingCell, span: Span) -> None:
        start = next(i for i, (cell, _) in enumerate(self._values) if cell is found)
        ring = self._values[start:]
        notes = []
        for index, (cell, _) in enumerate(ring):
            following, asked = ring[index + 1] if index + 1 < len(ring) else (found, span)
            notes.append(Note(f"{cell.name} needs {following.name}", asked))
        self.sink.emit("PD203", f"the value of `{found.name}` depends on itself", span, notes=notes, mend="give one of these values without the others")

    def member(self, expr: t.Member, scope: Scope) -> Value:
        base = self.value(expr.base, scope)
        name = expr.name
        if isinstance(base, Unknown):
            return UNKNOWN
        if isinstance(base, PartCell):
            return self.part_member(base, name, expr, scope)
        if isinstance(base, Stock):
            known: dict[str, Fraction | None] = {"measured": base.measured, "called": base.called, "width": base.width, "length": base.length, "thickness": base.measured}
            if known.get(name) is not None:
                return Amount(known[name] or Fraction(0), LENGTH, expr.span)
            return self.no_member(expr, "stock", base.name, [k for k, v in known.items() if v is not None])
        if isinstance(base, HardwareItem):
            size = base.size(name)
            if size is not None:
                return Amount(size, LENGTH, expr.span)
            number = base.number(name)
            if number is not None and name != "covers":
                return Amount(number, PLAIN, expr.span)
            return self.no_member(expr, "hardware", base.name, [*(k for k, _ in base.sizes), *(k for k, _ in base.numbers if k != "covers")])
        if isinstance(base, Instance):
            if name in base.scope.names:
                return self.settle(base.scope.names[name], expr.span)
            if name in base.scope.families:
                return Family(name, tuple(base.scope.families[name].items()))
            if name in FACES:
                return self.instance_face(base, FACES[name], expr.span, scope)
            if name in base.scope.broken:
                return UNKNOWN
            return self.no_member(expr, "assembly", base.path, [*base.scope.names, *base.scope.families, *FACES])
        if isinstance(base, Family):
            mend = "name one of them: " + ", ".join(f"{base.name}[{index}].{name}" for index, _ in base.members[:3])
        else:
            mend = "a name behind a dot belongs to a part, an assembly, a stock or hardware"
        self.sink.emit("PD205", f"{kind_of(base)} has nothing called `{name}`", expr.name_span, mend=mend)
        return UNKNOWN

    def no_member(self, expr: t.Member, what: str, path: str, known: list[str]) -> Value:
        self.sink.emit("PD205", f"{what} `{path}` has nothing called `{expr.name}`", expr.name_span, mend=did_you_mean(expr.name, known))
        return UNKNOWN

    def part_member(self, part: PartCell, name: str, expr: t.Member, scope: Scope) -> Value:
        if part.loose and name not in ("length", "width", "thickness"):
            self.sink.emit("PD206", f"`{part.path}` is a loose part, it has no place", expr.span, mend="it has only length, width and thickness")
            return UNKNOWN
        if name in FACES:
            return self.face_seen_from(part, FACES[name], expr.span, scope)
        if name in AXIS_NAMES:
            axis = AXIS_NAMES.index(name)
            low, high = (self.face_seen_from(part, FACES[n], expr.span, scope) for n in _ends(axis))
            if isinstance(low, Amount) and isinstance(high, Amount):
                return Amount(high.value - low.value, LENGTH, expr.span)
            return UNKNOWN
        if name in ("length", "width", "thickness"):
            return self.finished_size(part, name, expr.span)
        return self.no_member(expr, "part", part.path, [*FACES, *AXIS_NAMES, "length", "width", "thickness"])

    def finished_size(self, part: PartCell, name: str, span: Span) -> Value:
        """length, width or thickness of the finished part, joints included; only known once joints are worked out."""
        if not self.finished and not part.loose:
            self.sink.emit("PD207", f"the finished {name} of `{part.path}` is known only after its joints are worked out", span, notes=["places and sizes of parts come first, joints add to them"], mend="use its extent between shoulders: across, back or up")
            return UNKNOWN
        sizes = self.sizes(part)
        return UNKNOWN if isinstance(sizes, Unknown) else Amount(sizes[("length", "width", "thickness").index(name)], LENGTH, span)

    def index(self, expr: t.Index, scope: Scope) -> Value:
        base = self.value(expr.base, scope)
        index = self.value(expr.index, scope)
        if isinstance(base, Unknown) or isinstance(index, Unknown):
            return UNKNOWN
        if not isinstance(index, Amount) or index.dimension != PLAIN or index.value.denominator != 1:
            self.sink.emit("PD208", f"an index is a whole number, this is {kind_of(index)} ({shown(index, self.units)})", expr.index.span)
            return UNKNOWN
        number = int(index.value)
        if isinstance(base, Family):
            members = dict(base.members)
            if number in members:
                return self.settle(members[number], expr.span)
            if scope.lost(base.name):
                return UNKNOWN
            known = ", ".join(str(k) for k in members)
            self.sink.emit("PD208", f"there is no `{base.name}[{number}]`", expr.span, notes=[f"there are: {known}"])
            return UNKNOWN
        if isinstance(base, Many):
            if 1 <= number <= len(base.items):
                return base.items[number - 1]
            self.sink.emit("PD208", f"the list has {len(base.items)} values, there is no number {number}", expr.span, notes=["the first is number 1"])
            return UNKNOWN
        self.sink.emit("PD208", f"{kind_of(base)} is not a row of several, so it has no number {number}", expr.span, mend="leave the square brackets out")
        return UNKNOWN

    # Arithmetic ------------------------------------------------------------------------------------------------

    def unary(self, expr: t.Unary, scope: Scope) -> Value:
        if expr.op == "not":
            truth = self.truth(expr.operand, scope)
            return truth if isinstance(truth, Unknown) else Truth(not truth)
        value = self.value(expr.operand, scope)
        if isinstance(value, Unknown):
            return UNKNOWN
        if isinstance(value, Amount):
            return Amount(-value.value, value.dimension, expr.span)
        self.sink.emit("PD204", f"{kind_of(value)} cannot be made negative", expr.span)
        return UNKNOWN

    def binary(self, expr: t.Binary, scope: Scope) -> Value:
        op = expr.op
        if op in ("and", "or"):
            left_truth = self.truth(expr.left, scope)
            if isinstance(left_truth, Unknown):
                return UNKNOWN
            if left_truth == (op == "or"):
                return Truth(left_truth)
            right_truth = self.truth(expr.right, scope)
            return right_truth if isinstance(right_truth, Unknown) else Truth(right_truth)
        left, right = self.value(expr.left, scope), self.value(expr.right, scope)
        if isinstance(left, Unknown) or isinstance(right, Unknown):
            return UNKNOWN
        if op in ("==", "!="):
            same = self.same(left, right)
            if same is not None:
                return Truth(same == (op == "=="))
        if isinstance(left, Text) and isinstance(right, Text) and op == "+":
            return Text(left.text + right.text)
        if not isinstance(left, Amount) or not isinstance(right, Amount):
            wrong = right if isinstance(left, Amount) else left
            place = expr.right if isinstance(left, Amount) else expr.left
            self.sink.emit("PD204", f"`{op}` does not work with {kind_of(wrong)}", place.span)
            return UNKNOWN
        return self.arithmetic(expr, left, right)

    def same(self, left: Value, right: Value) -> bool | None:
        if isinstance(left, Amount) and isinstance(right, Amount):
            return None if left.dimension != right.dimension else left.value == right.value
        if type(left) is type(right) and isinstance(left, (Text, Truth)):
            return left == right
        things = [isinstance(value, (Stock, HardwareItem)) for value in (left, right)]
        if all(things) or (any(things) and isinstance(left if things[1] else right, Text)):
            # An assembly may ask what it was handed: `if handle != "none"`.
            return left is right
        return None

    def arithmetic(self, expr: t.Binary, left: Amount, right: Amount) -> Value:
        op = expr.op
        if op == "*":
            return self.bounded(Amount(left.value * right.value, left.dimension.times(right.dimension), expr.span))
        if op == "/":
            if right.value == 0:
                self.sink.emit("PD209", "nothing can be divided by 0", expr.right.span, notes=[Note("this is 0", right.because)])
                return UNKNOWN
            if isinstance(expr.left, t.Quantity) and isinstance(expr.right, t.Quantity) and left.dimension == PLAIN and right.dimension == LENGTH:
                self.sink.emit("PD202", "a plain number cannot be divided by a length", expr.span, notes=["with blanks round it `/` divides"], mend=f'a fraction is written without blanks: {plain_number(left.value)}/{plain_number(right.value / INCH)}"' if (right.value / INCH).denominator == 1 else "")
                return UNKNOWN
            return self.bounded(Amount(left.value / right.value, left.dimension.over(right.dimension), expr.span))
        # Nothing is nothing in every unit: a plain 0 may stand for a length of 0.
        if left.dimension == PLAIN and left.value == 0:
            left = Amount(left.value, right.dimension, left.because)
        elif right.dimension == PLAIN and right.value == 0:
            right = Amount(right.value, left.dimension, right.because)
        if left.dimension != right.dimension:
            words = {"+": "added to", "-": "taken from"}.get(op, "compared with")
            first, second = (right, left) if op in "+-" else (left, right)
            self.sink.emit(
                "PD202",
                f"{kind_of(first)} cannot be {words} {kind_of(second)}",
                expr.span,
                notes=[
                    Note(f"{shown(left, self.units)} is {kind_of(left)}", left.because),
                    Note(f"{shown(right, self.units)} is {kind_of(right)}", right.because),
                ],
                mend=_unit_mend(expr, left, right, self.units),
            )
            return UNKNOWN
        if op in "+-":
            total = left.value + right.value if op == "+" else left.value - right.value
            return self.bounded(Amount(total, left.dimension, expr.span))
        a, b = left.value, right.value
        return Truth({"<": a < b, ">": a > b, "<=": a <= b, ">=": a >= b, "==": a == b, "!=": a != b}[op])

    def bounded(self, amount: Amount) -> Value:
        if len(str(amount.value.denominator)) + len(str(abs(amount.value.numerator))) > MAX_DIGITS:
            self.sink.emit("PD210", "the calculation gives a number that is beyond all measure", amount.because)
            return UNKNOWN
        return amount

    def call(self, expr: t.Call, scope: Scope) -> Value:
        values = [self.value(a, scope) for a in expr.arguments]
        if any(isinstance(v, Unknown) for v in values):
            return UNKNOWN
        name = expr.name
        if name == "count" and len(values) == 1 and isinstance(values[0], (Many, Family)):
            items = values[0].items if isinstance(values[0], Many) else values[0].members
            return Amount(Fraction(len(items)), PLAIN, expr.span)
        if name in ("min", "max") and len(values) == 1 and isinstance(values[0], Many):
            values = list(values[0].items)
        counts = {"min": (1, 99), "max": (1, 99), "round": (1, 2), "round_up": (1, 2), "round_down": (1, 2), "abs": (1, 1), "count": (1, 1)}
        if name not in counts:
            self.sink.emit("PD211", f"there is no calculation called `{name}`", expr.name_span, mend=did_you_mean(name, counts))
            return UNKNOWN
        low, high = counts[name]
        if not low <= len(values) <= high or name == "count":
            wanted = "a list" if name == "count" else (f"{low} value" + ("" if high == 1 else f" to {high} values"))
            self.sink.emit("PD211", f"`{name}` takes {wanted}", expr.span)
            return UNKNOWN
        amounts = [v for v in values if isinstance(v, Amount)]
        if len(amounts) != len(values):
            self.sink.emit("PD204", f"`{name}` works with amounts only", expr.span)
            return UNKNOWN
        # Nothing is nothing in every unit.
        lengths = [a.dimension for a in amounts if not (a.dimension == PLAIN and a.value == 0)]
        if lengths:
            amounts = [Amount(a.value, lengths[0], a.because) if a.dimension == PLAIN and a.value == 0 else a for a in amounts]
        for other in amounts[1:]:
            if other.dimension != amounts[0].dimension:
                self.sink.emit("PD202", f"`{name}` cannot compare {kind_of(amounts[0])} with {kind_of(other)}", expr.span, notes=[Note(f"{shown(amounts[0], self.units)}", amounts[0].because), Note(f"{shown(other, self.units)}", other.because)], mend=unit_mend(other if other.dimension == PLAIN else amounts[0], self.units))
                return UNKNOWN
        numbers = [a.value for a in amounts]
        if name in ("min", "max"):
            return Amount(min(numbers) if name == "min" else max(numbers), amounts[0].dimension, expr.span)
        if name == "abs":
            return Amount(abs(numbers[0]), amounts[0].dimension, expr.span)
        step = numbers[1] if len(numbers) > 1 else (self.units.step_mm if amounts[0].dimension == LENGTH else Fraction(1))
        if step <= 0:
            self.sink.emit("PD209", "a value is rounded to a step greater than 0", expr.span)
            return UNKNOWN
        ratio = numbers[0] / step
        whole = ratio.numerator // ratio.denominator
        if name == "round_up" and ratio != whole:
            whole += 1
        if name == "round" and 2 * (ratio - whole) >= 1:
            whole += 1
        return Amount(whole * step, amounts[0].dimension, expr.span)

    # Wanted kinds ----------------------------------------------------------------------------------------------

    def truth(self, expr: t.Expr, scope: Scope) -> bool | Unknown:
        """A yes or no."""
        value = self.value(expr, scope)
        if isinstance(value, Truth):
            return value.truth
        if not isinstance(value, Unknown):
            self.sink.emit("PD204", f"a comparison is wanted here, this is {kind_of(value)}", expr.span, mend="compare it with something: a > b")
        return UNKNOWN

    def text(self, expr: t.Str, scope: Scope) -> str:
        """A text with its values put in; a value that is not known becomes `?` (the fault is reported)."""
        made: list[str] = []
        for piece in expr.pieces:
            if piece.expr is None:
                made.append(piece.text)
                continue
            value = self.value(piece.expr, scope)
            units = self.units
            if piece.step is not None:
                step = self.value(piece.step, scope)
                if isinstance(step, Amount) and step.dimension == LENGTH and step.value > 0:
                    units = Units(units.system, step.value / units.unit_mm)
                elif not isinstance(step, Unknown):
                    self.sink.emit("PD204", "the step to round to is a length", piece.step.span)
            made.append("?" if isinstance(value, Unknown) else shown(value, units))
        return "".join(made)


def _ends(axis: int) -> tuple[str, str]:
    return (("left", "right"), ("front", "rear"), ("bottom", "top"))[axis]


def _unit_mend(expr: t.Binary, left: Amount, right: Amount, units: Units) -> str:
    plain = left if left.dimension == PLAIN else right if right.dimension == PLAIN else None
    other = right if plain is left else left
    if plain is None or other.dimension != LENGTH:
        return ""
    whole, rest = expr.left, expr.right
    if expr.op == "-" and plain is left and isinstance(whole, t.Quantity) and isinstance(rest, t.Quantity) and 0 < rest.value < INCH and whole.value.denominator == 1:
        fraction = rest.value / INCH
        return f'{whole.value}-{fraction}" without blanks is one length; {whole.value}" - {fraction}" takes the second from the first'
    return unit_mend(plain, units)
