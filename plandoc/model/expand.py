"""Statements -> named cells: loops run, conditions decided, assemblies placed. Nothing is worked out early but
what decides how many things there are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from plandoc.diagnostics import Note, Reported, Sink, Span
from plandoc.geometry.bodies import AXIS_NAMES
from plandoc.geometry.lean import STILL, turn
from plandoc.model.allowances import read_allowance
from plandoc.model.cells import AssemblyCell, Instance, PartCell, Scope, SettingCell, new_plan_scope
from plandoc.model.entities import HardwareItem, PlanInfo, Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.gluing import read_gluing
from plandoc.model.kinds import Kinds
from plandoc.model.leaning import angle, leaning
from plandoc.model.mirrornames import described, mirrored_name
from plandoc.model.read_args import read_arguments
from plandoc.model.stocks import read_stock
from plandoc.model.transform import mirror, quarter_turns
from plandoc.model.values import STOCK_WORDS, UNKNOWN, Amount, Family, Many, Unknown, kind_of, plain_number
from plandoc.quantity import ANGLE, PLAIN
from plandoc.syntax import tree as t
from plandoc.syntax.declared import base_name, declared_names
from plandoc.syntax.vocabulary import closest, did_you_mean

MAX_ROUNDS = 2000
MAX_PARTS = 3000
MOST_NAMED = 12  # stocks that a message names
MAX_DEPTH = 12
RESERVED = ("left", "right", "front", "rear", "bottom", "top", "across", "back", "up", "centre", "length", "width", "thickness")


@dataclass(slots=True)
class Expanded:
    """All that a plan declares, in order. Statements that need places keep the scope they were written in."""

    info: PlanInfo
    scope: Scope
    root: Instance
    stocks: list[Stock] = field(default_factory=list)
    parts: list[PartCell] = field(default_factory=list)
    instances: list[Instance] = field(default_factory=list)
    hardware: list[HardwareItem] = field(default_factory=list)
    joints: list[tuple[t.JointStatement, Scope]] = field(default_factory=list)
    fits: list[tuple[t.Fit, Scope]] = field(default_factory=list)
    opens: list[tuple[t.Opens | t.Swings, Scope]] = field(default_factory=list)
    sections: list[tuple[t.SectionStatement, Scope]] = field(default_factory=list)
    templates: list[tuple[t.TemplateStatement, Scope]] = field(default_factory=list)
    routed: list[tuple[t.RoutedStatement, Scope]] = field(default_factory=list)
    steps: list[tuple[t.StepStatement, Scope]] = field(default_factory=list)
    notes: list[tuple[t.NoteLine, Scope]] = field(default_factory=list)


class Expander:
    """Declares names in scopes, in the order of the text."""

    def __init__(self, info: PlanInfo, evaluate: Evaluator, kinds: Kinds, sink: Sink, overrides: Mapping[str, t.Expr]) -> None:
        scope, root = new_plan_scope()
        self.out = Expanded(info, scope, root)
        self.out.instances.append(root)
        root.name = info.title
        self.evaluate, self.kinds, self.sink = evaluate, kinds, sink
        self.overrides = dict(overrides)
        self.used: set[str] = set()
        self.rounds = 0
        self.full = False

    def block(self, statements: tuple[t.Statement, ...], scope: Scope) -> None:
        """Declare every statement of a block."""
        # Assemblies may be used above the place where they are written.
        for statement in statements:
            if isinstance(statement, t.AssemblyStatement):
                self.assembly(statement, scope)
            elif isinstance(statement, t.Broken):
                scope.owner().broken.update(statement.names)
                scope.owner().blind = scope.owner().blind or statement.everything
        for statement in statements:
            if self.full:
                return
            if isinstance(statement, t.Setting):
                self.setting(statement, scope)
            elif isinstance(statement, t.StockStatement):
                stock = read_stock(statement, scope, self.evaluate, self.overrides, self.used)
                if self.declare(statement.name, stock or UNKNOWN, statement.name_span, scope) and stock is not None:
                    self.out.stocks.append(stock)
            elif isinstance(statement, t.PartStatement):
                self.part(statement, scope)
            elif isinstance(statement, t.Place):
                self.place(statement, scope)
            elif isinstance(statement, t.Loop):
                self.loop(statement, scope)
            elif isinstance(statement, t.Each):
                self.each(statement, scope)
            elif isinstance(statement, t.Condition):
                truth = self.evaluate.truth(statement.test, scope)
                if isinstance(truth, Unknown):
                    self.lose(declared_names((statement,)), scope)
                else:
                    self.block(statement.body if truth else statement.otherwise, self.inner(scope))
            elif isinstance(statement, t.HardwareStatement):
                self.hardware(statement, scope)
            elif isinstance(statement, t.JointStatement):
                self.out.joints.append((statement, scope))
            elif isinstance(statement, t.Fit):
                self.out.fits.append((statement, scope))
            elif isinstance(statement, (t.Opens, t.Swings)):
                self.out.opens.append((statement, scope))
            elif isinstance(statement, t.SectionStatement):
                self.out.sections.append((statement, scope))
            elif isinstance(statement, t.TemplateStatement):
                self.out.templates.append((statement, scope))
            elif isinstance(statement, t.RoutedStatement):
                self.out.routed.append((statement, scope))
            elif isinstance(statement, t.StepStatement):
                self.out.steps.append((statement, scope))
            elif isinstance(statement, t.NoteLine):
                self.out.notes.append((statement, scope))

    def inner(self, scope: Scope) -> Scope:
        """A scope for a loop or a condition: names set there stay there, parts belong to the frame."""
        return Scope(scope, scope.frame)

    def lose(self, names: Iterable[str], scope: Scope) -> None:
        """Names whose own statement is at fault: their use is not reported as well."""
        scope.owner().broken.update(names)

    def stop(self) -> None:
        """Leave the rest of the plan out, silently."""
        self.full = True
        self.out.scope.blind = True

    # Names -----------------------------------------------------------------------------------------------------

    def declare(self, name: str, value: object, span: Span, scope: Scope, index: int | None = None) -> bool:
        """Give a name its meaning; reports a name that is taken."""
        if name in RESERVED and isinstance(value, (SettingCell, Stock, HardwareItem)) and name in ("left", "right", "front", "rear", "bottom", "top", "centre"):
            self.sink.emit("PD221", f"`{name}` is a word of the language for a face", span, mend=f"choose another name, such as {name}_1")
            self.lose((name,), scope)
            return False
        key = name if index is None else f"{name}[{index}]"
        taken = scope.places.get(key) or (scope.places.get(name + "[]") if index is None else scope.places.get(name))
        if taken is not None:
            self.sink.emit("PD222", f"the name `{key}` is taken", span, notes=[Note("it stands here first", taken)], mend="choose another name")
            return False
        scope.places[key] = span
        if index is None:
            scope.names[name] = value
        else:
            scope.places.setdefault(name + "[]", span)
            scope.families.setdefault(name, {})[index] = value
        return True

    def indexed(self, path: t.Expr, scope: Scope) -> tuple[str, int | None] | None:
        """Name and index of the thing that a statement declares."""
        if isinstance(path, t.Name):
            return path.name, None
        if isinstance(path, t.Index) and isinstance(path.base, t.Name):
            value = self.evaluate.value(path.index, scope)
            if isinstance(value, Amount) and value.dimension == PLAIN and value.value.denominator == 1:
                return path.base.name, int(value.value)
            if not isinstance(value, Unknown):
                self.sink.emit("PD208", f"an index is a whole number, this is {kind_of(value)}", path.index.span)
            return None
        self.sink.emit("PD223", "a new thing gets a plain name, or a name with one index", path.span, mend="such as shelf or shelf[2]")
        return None

    def setting(self, statement: t.Setting, scope: Scope) -> None:
        comment = "" if statement.comment is None else self.evaluate.text(statement.comment, scope)
        expr = statement.value
        if scope is self.out.scope and statement.name in self.overrides:
            expr = self.overrides[statement.name]
            self.used.add(statement.name)
        self.declare(statement.name, SettingCell(statement.name, statement.name_span, expr, scope, comment, set_line=True), statement.name_span, scope)

    def hardware(self, statement: t.HardwareStatement, scope: Scope) -> None:
        kind = self.kinds.hardware[statement.kind]
        lead = () if statement.size is None else (statement.size,)
        arguments = read_arguments(kind.name, kind.params, lead, statement.options, self.evaluate, scope, statement.span, statement.damaged)
        item: HardwareItem | Unknown = UNKNOWN
        if arguments is not None:
            sizes: list[tuple[str, Fraction]] = []
            numbers: list[tuple[str, Fraction]] = []
            for param in kind.params:
                value = arguments[param.name]
                if param.type == "length" and isinstance(value, Fraction):
                    sizes.append((param.name, value))
                elif param.type == "sizes" and isinstance(value, tuple):
                    sizes.extend(zip(("thick", "wide", "long") if len(value) == 3 else ("diameter", "long"), value, strict=False))
                elif param.type == "size" and param.name == "covers" and isinstance(value, tuple):
                    numbers.append((param.name, value[0] * value[1]))
                elif param.type in ("lengths", "size") and isinstance(value, tuple):
                    sizes.extend((f"{param.name}_{i + 1}", v) for i, v in enumerate(value))
                elif param.type in ("count", "number") and isinstance(value, (int, Fraction)):
                    numbers.append((param.name, Fraction(value)))
            text = kind.name if statement.comment is None else self.evaluate.text(statement.comment, scope)
            price, load, gauge = arguments.get("price"), arguments.get("load"), arguments.get("gauge")
            if isinstance(gauge, str):
                number = "".join(c for c in gauge if c.isdigit())
                sizes.append(("gauge", Fraction(int(number or 0))))
            screw = arguments.get("with")
            if isinstance(screw, HardwareItem) and screw.kind != "screw":
                self.sink.emit("PD323", f"`{screw.name}` is no screw", statement.span, notes=(f"it is a {screw.kind}",), mend='hardware screw6 screw No 6 long 5/8", and here: with screw6')
            item = HardwareItem(
                statement.name, kind.name, text, tuple(sizes), kind.unit,
                price if isinstance(price, Fraction) else None, load if isinstance(load, Fraction) else None, statement.span,
                tuple(numbers), screw.name if isinstance(screw, HardwareItem) else "",
            )  # fmt: skip
        if self.declare(statement.name, item, statement.name_span, scope) and isinstance(item, HardwareItem):
            self.out.hardware.append(item)

    def assembly(self, statement: t.AssemblyStatement, scope: Scope) -> None:
        first = scope.assemblies.get(statement.name)
        if first is not None:
            self.sink.emit("PD222", f"there is already an assembly called `{statement.name}`", statement.name_span, notes=[Note("it stands here first", first.span)])
            return
        scope.assemblies[statement.name] = AssemblyCell(statement.name, statement.name_span, statement, scope)

    def find_assembly(self, name: str, scope: Scope) -> AssemblyCell | None:
        at: Scope | None = scope
        while at is not None:
            if name in at.assemblies:
                return at.assemblies[name]
            at = at.parent
        return None

    # Parts and places ------------------------------------------------------------------------------------------

    def part(self, statement: t.PartStatement, scope: Scope) -> None:
        named = self.indexed(statement.path, scope)
        if named is None:
            self.lose((base_name(statement.path),), scope)
            return
        if len(self.out.parts) >= MAX_PARTS:
            self.sink.emit("PD224", f"the plan has more than {MAX_PARTS} parts", statement.span)
            self.stop()
            return
        name, index = named
        frame = scope.owner().frame
        assert frame is not None
        own = name if index is None else f"{name}[{index}]"
        path = f"{frame.path}.{own}" if frame.path else own
        words = own.replace("_", " ").replace("[", " ").replace("]", "")
        label = words[0].upper() + words[1:] if statement.comment is None else self.evaluate.text(statement.comment, scope)
        cell = PartCell(path, label, statement.path.span, scope, frame, statement, None)
        good = self.part_stock(cell, statement, scope)
        self.part_extras(cell, statement, scope)
        if not self.declare(name, cell if good else UNKNOWN, statement.path.span, scope.owner(), index) or not good:
            return
        if not cell.loose:
            for axis in self.evaluate.incomplete(cell):
                cell.spans[axis] = UNKNOWN
        frame.parts.append(cell)
        self.out.parts.append(cell)

    def part_stock(self, cell: PartCell, statement: t.PartStatement, scope: Scope) -> bool:
        if statement.mirrors is not None:
            other = self.evaluate.value(statement.mirrors, scope)
            if isinstance(other, Unknown):
                return False
            if not isinstance(other, PartCell) or other.frame is not cell.frame or other.loose:
                self.sink.emit("PD225", f"only a placed part of the same assembly can be mirrored, this is {kind_of(other)}", statement.mirrors.span)
                return False
            if statement.about is None:
                self.sink.emit("PD104", "a mirrored part needs the place of the mirror", statement.span, mend="part ... mirrors ... about case_width / 2")
                return False
            for clause in statement.clauses:
                if clause.kind != "part_note":
                    self.sink.emit("PD225", "a mirrored part takes its sizes and its grain from the other part", clause.span, mend="leave this line out, or write the part without `mirrors`")
            cell.mirrors, cell.stock = other, other.stock
            if statement.comment is None and described(other):
                cell.name = mirrored_name(other.name, statement.about_axis or "across")
            return True
        assert statement.stock is not None
        stocks = [s.name for s in self.out.stocks if s.kind != "banding"]
        if self.evaluate.look_up(statement.stock.name, scope) is None and stocks and not scope.lost(statement.stock.name):
            # what else is known here is no wood
            near = did_you_mean(statement.stock.name, stocks)
            mend = near if near.startswith("did") else f"stocks of this plan: {', '.join(stocks)}" if len(stocks) <= MOST_NAMED else f"the plan has {len(stocks)} stocks, such as {', '.join(stocks[:3])}"
            self.sink.emit("PD201", f"`{statement.stock.name}` is not known here, no stock is called so", statement.stock.span, mend=mend)
            return False
        stock = self.evaluate.name(statement.stock, scope)
        if isinstance(stock, Stock):
            if stock.kind == "banding":
                self.sink.emit("PD204", f"a part is made from a stock, `{stock.name}` is edge banding", statement.stock.span, mend="a strip that is a part of its own comes from a batten or from lumber")
                return False
            cell.stock = stock
            return True
        if not isinstance(stock, Unknown):
            self.sink.emit("PD204", f"a part is made from a stock, this is {kind_of(stock)}", statement.stock.span, mend=did_you_mean("", [s.name for s in self.out.stocks]))
        return False

    def first(self, clause: t.Clause, statement: t.PartStatement) -> bool:
        """Whether the line is the first of its kind below the part; reports one that is given twice."""
        first = next(c for c in statement.clauses if c.kind == clause.kind)
        if first is not clause:
            self.sink.emit("PD215", f"`{clause.kind.removeprefix('part_')}` is given twice", clause.span, notes=[Note("the first stands here", first.span)])
        return first is clause

    def part_extras(self, cell: PartCell, statement: t.PartStatement, scope: Scope) -> None:
        counts = [statement.count] if statement.count is not None else []
        for clause in statement.clauses:
            if clause.kind == "part_size":
                cell.loose = True
            elif clause.kind == "part_count" and clause.items and not isinstance(clause.items[0], str) and clause.items[0] is not None:
                counts.append(clause.items[0])
            elif clause.kind == "part_note" and isinstance(clause.items[0], t.Str):
                cell.note = self.evaluate.text(clause.items[0], scope)
            elif clause.kind == "allowance" and self.first(clause, statement):
                cell.allowance = read_allowance(clause, self.evaluate, scope)
            elif clause.kind == "part_glued" and self.first(clause, statement):
                cell.gluing = read_gluing(clause, self.evaluate, scope)
            elif clause.kind == "part_wide" and self.first(clause, statement) and cell.stock is not None and cell.mirrors is None and cell.stock.kind != "batten":
                self.sink.emit("PD250", f"`wide` lays the section of a batten, `{cell.stock.name}` is {STOCK_WORDS[cell.stock.kind]}", clause.span, mend="leave this line out")
        for expr in counts:
            value = self.evaluate.value(expr, scope)
            if isinstance(value, Amount) and value.dimension == PLAIN and value.value.denominator == 1 and 1 <= value.value <= 1000:
                cell.count = int(value.value)
            elif not isinstance(value, Unknown):
                self.sink.emit("PD218", "a count is a whole number from 1 to 1000", expr.span)
            if not cell.loose:
                self.sink.emit("PD226", "only a loose part can be counted; a part with a place stands there once", expr.span, mend="use a loop: for i from 1 to 4")

    def place(self, statement: t.Place, scope: Scope) -> None:
        definition = self.find_assembly(statement.assembly.name, scope)
        if definition is None:
            lost = scope.lost(statement.assembly.name)
            self.lose(declared_names((statement,)), scope)
            if lost:
                return
            names: list[str] = []
            at: Scope | None = scope
            while at is not None:
                names.extend(at.assemblies)
                at = at.parent
            self.sink.emit("PD227", f"there is no assembly called `{statement.assembly.name}`", statement.assembly.span, mend=did_you_mean(statement.assembly.name, names))
            return
        definition.used = True
        parent = scope.owner().frame
        assert parent is not None
        if parent.depth >= MAX_DEPTH:
            self.sink.emit("PD228", f"assemblies are nested more than {MAX_DEPTH} deep", statement.span, notes=["does an assembly place itself?"])
            self.stop()
            return
        named = self.indexed(statement.path, scope) if statement.path is not None else (statement.assembly.name, None)
        if named is None:
            self.lose(declared_names((statement,)), scope)
            return
        name, index = named
        own = name if index is None else f"{name}[{index}]"
        path = f"{parent.path}.{own}" if parent.path else own
        inner = Scope(definition.scope, None, barrier=True)
        words = own.replace("_", " ").replace("[", " ").replace("]", "")
        comment = statement.comment or definition.statement.comment
        instance = Instance(path, words[0].upper() + words[1:], statement.span, parent, inner, definition.name, depth=parent.depth + 1)
        inner.frame = instance
        self.parameters(statement, definition, inner, scope)
        if comment is not None:
            instance.name = self.evaluate.text(comment, inner if statement.comment is None else scope)
        for axis_name, expr in statement.shifts:
            axis = AXIS_NAMES.index(axis_name)
            if axis in instance.shifts:
                self.sink.emit("PD302", f"the place has two values in the direction {axis_name}", expr.span)
            instance.shifts[axis] = expr
        self.turns(instance, statement, scope)
        instance.shift_scope = scope
        if statement.damaged:
            # The line that could not be read may have been the one that gives the place.
            instance.shift_values.update({axis: UNKNOWN for axis in range(3) if axis not in instance.shifts})
        if not self.declare(name, instance, statement.span, scope.owner(), index):
            return
        parent.children.append(instance)
        self.out.instances.append(instance)
        self.block(definition.statement.body, inner)

    def turns(self, instance: Instance, statement: t.Place, scope: Scope) -> None:
        for expr, axis_name in statement.turns:
            value = self.evaluate.value(expr, scope)
            if isinstance(value, Unknown):
                instance.shift_values[0] = UNKNOWN
                continue
            if not isinstance(value, Amount) or value.dimension != ANGLE:
                angle(expr, scope, self.evaluate)
                instance.shift_values[0] = UNKNOWN
                continue
            if value.value % 90 != 0:
                instance.lean = turn(AXIS_NAMES.index(axis_name), value.value).after(instance.lean or STILL)
                continue
            instance.turn = quarter_turns(AXIS_NAMES.index(axis_name), int(value.value // 90)).after(instance.turn)
        for axis_name in statement.mirrors:
            instance.turn = mirror(AXIS_NAMES.index(axis_name), Fraction(0)).after(instance.turn)
        for pairs in statement.leans:
            lean = leaning(list(pairs), statement.span, scope, self.evaluate)
            if lean is not None:
                instance.lean = lean.after(instance.lean or STILL)

    def parameters(self, statement: t.Place, definition: AssemblyCell, inner: Scope, outer: Scope) -> None:
        names = [p.name for p in definition.statement.parameters]
        given: dict[str, tuple[Span, t.Expr]] = {}
        missing = [n for n in names if n not in [v[0] for v in statement.values]]
        misspelt: set[str] = set()
        for name, span, expr in statement.values:
            if name not in names:
                misspelt.add(closest(name, missing))
                self.sink.emit("PD230", f"the assembly `{definition.name}` has no `{name}`", span, mend=did_you_mean(name, names))
            elif name in given:
                self.sink.emit("PD215", f"`{name}` is given twice", span, notes=[Note("the first stands here", given[name][0])])
            else:
                given[name] = (span, expr)
        for parameter in definition.statement.parameters:
            if parameter.name in given:
                span, expr = given[parameter.name]
                self.declare(parameter.name, SettingCell(parameter.name, span, expr, outer), parameter.span, inner)
            elif parameter.default is not None:
                self.declare(parameter.name, SettingCell(parameter.name, parameter.span, parameter.default, inner), parameter.span, inner)
            elif statement.damaged or parameter.name in misspelt:
                self.declare(parameter.name, UNKNOWN, parameter.span, inner)
            else:
                self.sink.emit("PD231", f"the assembly `{definition.name}` needs a value for `{parameter.name}`", statement.span, notes=[Note("it is asked for here", parameter.span)], mend=f"{parameter.name} = ...")
                self.declare(parameter.name, UNKNOWN, parameter.span, inner)

    # Loops -----------------------------------------------------------------------------------------------------

    def loop(self, statement: t.Loop, scope: Scope) -> None:
        numbers = self.limits(statement, scope)
        if numbers is None:
            self.lose(declared_names(statement.body), scope)
            return
        start, stop, step = numbers
        count = int((stop - start) / step) + 1 if (stop - start) / step >= 0 else 0
        for i in range(min(count, MAX_ROUNDS + 1)):
            if not self.round(statement, statement.name, Amount(start + i * step, PLAIN, statement.span), statement.body, scope):
                return

    def limits(self, statement: t.Loop, scope: Scope) -> tuple[Fraction, Fraction, Fraction] | None:
        """First number, last number and step; None after a report."""
        numbers: list[Fraction] = []
        for expr in (statement.start, statement.stop, statement.step):
            value = Amount(Fraction(1), PLAIN, statement.span) if expr is None else self.evaluate.value(expr, scope)
            if isinstance(value, Unknown):
                return None
            if not isinstance(value, Amount) or value.dimension != PLAIN:
                self.sink.emit("PD204", f"a loop counts with plain numbers, this is {kind_of(value)}", (expr or statement.start).span, mend="count the rounds, and work the length out inside: up from i * 3 1/4\"")
                return None
            numbers.append(value.value)
        start, stop, step = numbers
        if step == 0:
            self.sink.emit("PD232", "a loop with steps of 0 would never come to its end", statement.span, mend="by 1")
            return None
        # From 1 to 0 is no round at all: a plan with no trays. Further away it is a slip.
        if (stop - start) / step < -1:
            self.sink.emit("PD232", "the loop counts away from its end", statement.span, notes=[f"it would go from {plain_number(start)} to {plain_number(stop)} by steps of {plain_number(step)}"], mend=f"for {statement.name} from {plain_number(start)} to {plain_number(stop)} by {plain_number(-step)}")
            return None
        return start, stop, step

    def each(self, statement: t.Each, scope: Scope) -> None:
        value = self.evaluate.value(statement.values, scope)
        if isinstance(value, Unknown):
            self.lose(declared_names(statement.body), scope)
            return
        if not isinstance(value, (Many, Family)):
            self.lose(declared_names(statement.body), scope)
            self.sink.emit("PD204", f"`in` wants a list, this is {kind_of(value)}", statement.values.span, mend="[a, b, c]")
            return
        items = value.items if isinstance(value, Many) else tuple(v for _, v in value.members)
        for item in items:
            if not self.round(statement, statement.name, item, statement.body, scope):
                return

    def round(self, statement: t.Statement, name: str, value: object, body: tuple[t.Statement, ...], scope: Scope) -> bool:
        self.rounds += 1
        if self.rounds > MAX_ROUNDS:
            if not self.full:
                self.sink.emit("PD233", f"the loops of the plan run more than {MAX_ROUNDS} rounds", statement.span)
            self.stop()
            return False
        inner = self.inner(scope)
        inner.names[name] = value
        inner.places[name] = statement.span
        self.block(body, inner)
        return not self.full

    def finish(self) -> Reported | None:
        """Overrides that met no setting are faults of the command line."""
        said: Reported | None = None
        for name, expr in self.overrides.items():
            if name not in self.used:
                known = [n for n, v in self.out.scope.names.items() if isinstance(v, SettingCell)] + [f"{s.name}.measured" for s in self.out.stocks]
                said = self.sink.emit("PD234", f"the plan has no value called `{name}` to set", expr.span, mend=did_you_mean(name, known))
        return said

