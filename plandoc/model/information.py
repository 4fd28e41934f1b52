"""The `plan` statement -> title-block data and wishes for the packet."""

from __future__ import annotations

from fractions import Fraction

from plandoc.diagnostics import NOWHERE, Note, Sink
from plandoc.model.allowances import read_allowance
from plandoc.model.cells import Scope, new_plan_scope
from plandoc.model.entities import NO_ALLOWANCE, Allowance, PlanInfo, Revision
from plandoc.model.evaluate import Evaluator
from plandoc.model.values import Amount, Unknown, kind_of, plain_number
from plandoc.quantity import LENGTH, PLAIN, Units, shop_text
from plandoc.resources import data_folder
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.tables.times import times

PAPERS = {"letter": "letter", "tabloid": "tabloid", "A4": "A4", "A3": "A3", "a4": "A4", "a3": "A3"}
TEMPLATES = ("needed", "asked")
ORIENTATIONS = ("landscape", "portrait")
SYSTEMS = {"inch": "inch", "inches": "inch", "in": "inch", "mm": "mm", "millimetre": "mm", "millimetres": "mm"}
KERF_MOST, TRIM_MOST = Fraction(10), Fraction(100)
"""mm: more is a slip of the pen (common practice)."""
DEFAULT_STEP = {"inch": Fraction(1, 32), "mm": Fraction(1, 2)}


def read_information(statements: tuple[t.Statement, ...], sink: Sink) -> PlanInfo:
    """Title, units, paper and so on; defaults where the plan is silent."""
    plans = [s for s in statements if isinstance(s, t.PlanStatement)]
    if not plans:
        place = statements[0].span if statements else NOWHERE
        if statements and not any(isinstance(s, t.Broken) and s.title for s in statements):
            sink.emit("PD122", "the plan has no title", place, mend='begin it with: plan "Title"')
        return PlanInfo("Untitled")
    for extra in plans[1:]:
        sink.emit("PD122", "a second `plan` line", extra.span, notes=[Note("the first stands here", plans[0].span)])
    return _Reading(plans[0], sink).info()


class _Reading:
    def __init__(self, statement: t.PlanStatement, sink: Sink) -> None:
        self.statement, self.sink = statement, sink
        self.scope: Scope = new_plan_scope()[0]
        self.evaluate = Evaluator(sink, Units())

    def text(self, item: object) -> str:
        return self.evaluate.text(item, self.scope).strip() if isinstance(item, t.Str) else ""

    def info(self) -> PlanInfo:
        found: dict[str, t.Clause] = {}
        revisions: list[Revision] = []
        notes: list[str] = []
        minutes: dict[str, Fraction] = {}
        for clause in self.statement.clauses:
            if clause.kind == "plan_revision":
                index, date, text = clause.items
                revisions.append(Revision(str(index), str(date or ""), self.text(text)))
            elif clause.kind == "plan_note":
                notes.append(self.text(clause.items[0]))
            elif clause.kind == "plan_time":
                self.time(clause, minutes)
            elif clause.kind in found:
                word = clause.kind.removeprefix("plan_")
                self.sink.emit("PD215", f"`{word}` is given twice", clause.span, notes=[Note("the first stands here", found[clause.kind].span)])
            else:
                found[clause.kind] = clause

        def words(kind: str) -> str:
            return self.text(found[kind].items[0]) if kind in found else ""

        units = self.units(found.get("plan_units"))
        paper, orientation = self.sheets(found.get("plan_sheets"), units)
        projection = "third"
        if "plan_projection" in found:
            projection = str(found["plan_projection"].items[0])
            if projection not in ("third", "first"):
                self.sink.emit("PD239", "the projection is `third` or `first` angle", found["plan_projection"].span)
                projection = "third"
        date = str(found["plan_date"].items[0]) if "plan_date" in found else ""
        if not date and revisions:
            date = revisions[-1].date
        style = words("plan_style") or ("shop-inch" if units.system == "inch" else "shop-metric")
        known = sorted(p.stem for p in data_folder("styles").glob("*.toml"))
        if style not in known:
            self.sink.emit("PD243", f"there is no style `{style}`", found["plan_style"].span, mend=did_you_mean(style, known))
            style = "shop-inch"
        return PlanInfo(self.text(self.statement.title), words("plan_for"), words("plan_author"), date, tuple(revisions), units, paper, orientation, projection, style, words("plan_currency"), tuple(notes), self.statement.span, self.allowance(found.get("allowance")), self.templates(found.get("plan_templates")), self.measure(found.get("plan_kerf"), KERF_MOST, "kerf"), self.measure(found.get("plan_trim"), TRIM_MOST, "trim"), tuple(minutes.items()))

    def allowance(self, clause: t.Clause | None) -> Allowance:
        return (None if clause is None else read_allowance(clause, self.evaluate, self.scope)) or NO_ALLOWANCE

    def measure(self, clause: t.Clause | None, most: Fraction, word: str) -> Fraction | None:
        """Kerf or trim in mm, None where the plan is silent or after a report."""
        expr = None if clause is None else clause.items[0]
        if expr is None or isinstance(expr, str):
            return None
        value = self.evaluate.length(expr, self.scope)
        if isinstance(value, Unknown):
            return None
        if value < 0 or value > most or (value == 0 and word == "kerf"):
            least = "more than 0" if word == "kerf" else "not less than 0"
            self.sink.emit("PD271", f"a {word} is {least} and no more than {plain_number(most)} mm", expr.span, notes=[f"it is {shop_text(value, self.evaluate.units, mark=True)}"], mend=f'{word} 1/8"')
            return None
        return value

    def units(self, clause: t.Clause | None) -> Units:
        """The unit and its step, and the second unit where the plan has one."""
        if clause is None:
            return Units()
        word, step, other, other_step = clause.items
        units = self.unit(str(word), step, clause, "units inch to 1/32, or units mm")
        if units is None or other is None:
            return units or Units()
        mend = f"units {word} and {'mm' if units.system == 'inch' else 'inch'}"
        second = self.unit(str(other), other_step, clause, mend)
        if second is not None and second.system == units.system:
            self.sink.emit("PD249", f"the second unit is {'inches' if units.system == 'inch' else 'millimetres'} like the first", clause.span, mend=mend)
            second = None
        return Units(units.system, units.step, second)

    def unit(self, word: str, expr: t.Expr | str | None, clause: t.Clause, mend: str) -> Units | None:
        """A unit with its step; None for an unknown word, told with this mend."""
        system = SYSTEMS.get(word)
        if system is None:
            self.sink.emit("PD240", f"`{word}` is not a unit for a plan", clause.span, mend=mend)
            return None
        units = Units(system, DEFAULT_STEP[system])
        if expr is None or isinstance(expr, str):
            return units
        value = self.evaluate.value(expr, self.scope)
        if isinstance(value, Unknown):
            return units
        step = None
        if isinstance(value, Amount) and value.dimension == PLAIN:
            step = value.value
        elif isinstance(value, Amount) and value.dimension == LENGTH:
            step = value.value / units.unit_mm
        good = step is not None and 0 < step <= 1 and (step.denominator in (1, 2, 4, 8, 16, 32, 64, 10, 100, 5, 20, 1000))
        if not good or step is None:
            self.sink.emit("PD240", "lengths cannot be rounded to this", expr.span, mend="inch to 1/16, 1/32 or 1/64; mm to 1, 0.5 or 0.1")
            return units
        return Units(system, step)

    def time(self, clause: t.Clause, minutes: dict[str, Fraction]) -> None:
        """Add the minutes of one word of the table of times."""
        word, expr = str(clause.items[0]), clause.items[1]
        assert expr is not None and not isinstance(expr, str)
        if word not in times():
            self.sink.emit("PD248", f"the table of times has no `{word}`", clause.span, mend=did_you_mean(word, tuple(times())))
            return
        if word in minutes:
            self.sink.emit("PD215", f"`time {word}` is given twice", clause.span)
            return
        value = self.evaluate.value(expr, self.scope)
        if isinstance(value, Unknown):
            return
        if not isinstance(value, Amount) or value.dimension != PLAIN or value.value < 0:
            self.sink.emit("PD248", f"minutes are a plain number, this is {kind_of(value) if not isinstance(value, Amount) or value.dimension != PLAIN else 'less than nothing'}", clause.span, mend=f"time {word} {times()[word]}")
            return
        minutes[word] = value.value

    def templates(self, clause: t.Clause | None) -> str:
        word = str(clause.items[0]) if clause is not None else "needed"
        if word not in TEMPLATES and clause is not None:
            self.sink.emit("PD245", "templates are made as `needed`, or only of parts that are `asked` for", clause.span, mend=did_you_mean(word, TEMPLATES))
            return "needed"
        return word

    def sheets(self, clause: t.Clause | None, units: Units) -> tuple[str, str]:
        paper, orientation = ("letter" if units.system == "inch" else "A4"), "landscape"
        for word in clause.items if clause is not None else ():
            name = str(word)
            if name in PAPERS:
                paper = PAPERS[name]
            elif name in ORIENTATIONS:
                orientation = name
            elif clause is not None:
                self.sink.emit("PD241", f"`{name}` is no paper and no orientation", clause.span, mend=did_you_mean(name, [*list(PAPERS)[:4], *ORIENTATIONS]))
        return paper, orientation
