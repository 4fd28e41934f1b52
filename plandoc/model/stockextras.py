"""Lines of a stock beside its sizes: random boards, density, allowance, the unit of its price."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from plandoc.diagnostics import Sink
from plandoc.model.allowances import read_allowance
from plandoc.model.cells import Scope
from plandoc.model.entities import Allowance
from plandoc.model.evaluate import Evaluator
from plandoc.model.values import Amount, Unknown, kind_of
from plandoc.quantity import FOOT, INCH, MASS, METRE, PLAIN, shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.tables import density as known_density

PRICE_UNITS = {
    "sheet": ("sheet", "square foot", "square metre", "piece"),
    "lumber": ("board foot", "foot", "metre", "piece"),
    "batten": ("foot", "metre", "piece"),
    "banding": ("foot", "metre", "piece"),
    "dowel": ("piece", "foot", "metre"),
}
"""What a price can be for: quantities that the stock list works out."""
_SAME = {"meter": "metre", "m": "metre", "ft": "foot", "square meter": "square metre", "each": "piece", "length": "piece"}
VOLUMES = {"cubic metre": METRE**3, "cubic meter": METRE**3, "cubic foot": FOOT**3, "cubic inch": INCH**3}


def price_unit(unit: str, clause: t.Clause, kind: str, sink: Sink) -> str:
    """The unit of a price; a warning where no cost can be worked out from it."""
    word = _SAME.get(unit, unit)
    known = PRICE_UNITS[kind]
    if word not in known:
        place = clause.items[1].span if isinstance(clause.items[1], t.Str) else clause.span
        sink.emit("PD422", f"no cost is worked out from a price for a {unit}", place, mend=did_you_mean(word, known))
    return word


class Extras:
    """Reads the lines of one stock; `good` is false after a report of an error. clause: finds a line by its kind."""

    def __init__(self, statement: t.StockStatement, scope: Scope, evaluate: Evaluator, clause: Callable[[str], t.Clause | None]) -> None:
        self.statement, self.scope, self.evaluate, self.clause = statement, scope, evaluate, clause
        self.sink = evaluate.sink
        self.good = True

    def random(self) -> tuple[Fraction, Fraction, Fraction, Fraction] | None:
        """Least and greatest width, least and greatest length of random boards (mm)."""
        clause = self.clause("stock_random")
        if clause is None:
            return None
        kind = self.statement.kind
        if kind != "lumber":
            word = "a sheet has the size of its first line" if kind == "sheet" else f"a {kind} has the section of its first line"
            mend = "leave this line out" if kind == "sheet" else 'its lengths alone: boards 96" count 3'
            self.sink.emit("PD254", f"only lumber comes in boards of random sizes; {word}", clause.span, mend=mend)
            self.good = False
            return None
        numbers = []
        for expr in clause.items:
            if expr is None or isinstance(expr, str):
                continue
            value = self.evaluate.length(expr, self.scope)
            if isinstance(value, Unknown):
                self.good = False
                return None
            numbers.append(value)
        least_wide, most_wide, least_long, most_long = numbers
        if not 0 < least_wide <= most_wide or not 0 < least_long <= most_long:
            figures = [shop_text(n, self.evaluate.units, mark=True) for n in numbers]
            first, last = (sorted(pair) for pair in (numbers[:2], numbers[2:]))
            least, most, short, long = (shop_text(n, self.evaluate.units, mark=True) for n in (*first, *last))
            mend = f"boards random {least} to {most} x {short} to {long}" if min(numbers) > 0 else "boards random 5\" to 9\" x 8' to 12'"
            self.sink.emit("PD254", "of random boards the least size comes first" if min(numbers) > 0 else "a board has a width and a length", clause.span, notes=[f"this is {figures[0]} to {figures[1]} wide, {figures[2]} to {figures[3]} long"], mend=mend)
            self.good = False
            return None
        return least_wide, most_wide, least_long, most_long

    def density(self) -> Fraction | None:
        """Density (kg/m3): a weight for a volume, or a plain number of kg/m3."""
        clause = self.clause("stock_density")
        expr = clause.items[0] if clause is not None else None
        if clause is None or expr is None or isinstance(expr, str):
            return None
        value = self.evaluate.value(expr, self.scope)
        word = self.evaluate.text(clause.items[1], self.scope).strip() if isinstance(clause.items[1], t.Str) else "cubic metre"
        volume = VOLUMES.get(word)
        good = isinstance(value, Amount) and value.value > 0 and volume is not None and (value.dimension == MASS or (value.dimension == PLAIN and clause.items[1] is None))
        if not good or not isinstance(value, Amount) or volume is None:
            if not isinstance(value, Unknown):
                what = f"this is {kind_of(value)}" if volume is not None else f"`{word}` is no volume"
                self.sink.emit("PD255", f"a density is a weight for a volume, {what}", clause.span, mend="density 44 lb a cubic foot, or density 700 kg a cubic metre")
            self.good = False
            return None
        return value.value * METRE**3 / volume

    def allowance(self) -> Allowance | None:
        """The stock's own allowance, None where it has none."""
        clause = self.clause("allowance")
        if clause is None:
            return None
        found = read_allowance(clause, self.evaluate, self.scope)
        self.good = self.good and found is not None
        return found

    def check_species(self, species: str, density: Fraction | None) -> None:
        """Warn where weights cannot be had from the species."""
        clause = self.clause("stock_species")
        if clause is not None and density is None and known_density(species) is None:
            self.sink.emit("PD423", f"the weight of `{species}` is not in the table", clause.span, notes=["its parts count without weight"], mend="density 44 lb a cubic foot, as its maker or a handbook has it")
