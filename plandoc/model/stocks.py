"""`stock` statements -> Stock."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.diagnostics import Note
from plandoc.model.cells import Scope
from plandoc.model.entities import Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.values import Amount, Many, Unknown, kind_of, plain_number
from plandoc.quantity import INCH, LENGTH, PLAIN, shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.tables import dressed_thickness

KINDS = ("sheet", "lumber", "dowel")


def read_stock(statement: t.StockStatement, scope: Scope, evaluate: Evaluator, overrides: Mapping[str, t.Expr], used: set[str]) -> Stock | None:
    """The stock, None after a report."""
    return _Reading(statement, scope, evaluate, overrides, used).stock()


class _Reading:
    def __init__(self, statement: t.StockStatement, scope: Scope, evaluate: Evaluator, overrides: Mapping[str, t.Expr], used: set[str]) -> None:
        self.statement, self.scope, self.evaluate, self.overrides, self.used = statement, scope, evaluate, overrides, used
        self.sink = evaluate.sink
        self.good = True

    def clause(self, kind: str) -> t.Clause | None:
        found = [c for c in self.statement.clauses if c.kind == kind]
        if len(found) > 1:
            self.sink.emit("PD215", f"`{kind.removeprefix('stock_')}` is given twice", found[1].span, notes=[Note("the first stands here", found[0].span)])
        return found[0] if found else None

    def length(self, expr: t.Expr) -> Fraction | None:
        value = self.evaluate.length(expr, self.scope)
        if isinstance(value, Unknown):
            self.good = False
            return None
        if value <= 0:
            self.sink.emit("PD218", "a measure of a stock is greater than nothing", expr.span)
            self.good = False
            return None
        return value

    def clause_length(self, kind: str) -> Fraction | None:
        clause = self.clause(kind)
        key = f"{self.statement.name}.{kind.removeprefix('stock_')}"
        if key in self.overrides:
            self.used.add(key)
            return self.length(self.overrides[key])
        if clause is None or clause.items[0] is None or isinstance(clause.items[0], str):
            return None
        return self.length(clause.items[0])

    def text(self, kind: str) -> str:
        clause = self.clause(kind)
        item = clause.items[0] if clause is not None else None
        return self.evaluate.text(item, self.scope).strip() if isinstance(item, t.Str) else ""

    def stock(self) -> Stock | None:
        statement = self.statement
        if statement.kind not in KINDS:
            self.sink.emit("PD235", f"`{statement.kind}` is not a kind of stock that is known", statement.kind_span, mend=did_you_mean(statement.kind, KINDS))
            return None
        width = length = rough = None
        called, measured = self.clause_length("stock_called"), self.clause_length("stock_measured")
        if statement.kind == "sheet":
            width, length = self.sheet_size()
        elif statement.kind == "lumber":
            rough = self.rough()
            if rough is not None:
                quarters = rough / INCH * 4
                standard = dressed_thickness(f"{quarters}/4", "hardwood") if quarters.denominator == 1 else None
                called = called or (standard if standard is not None else rough)
        elif statement.size is not None:
            called = self.length(statement.size)
        if called is None and measured is None and self.good:
            if statement.damaged:
                return None
            self.sink.emit("PD236", f"the stock `{statement.name}` has no thickness", statement.span, mend='called 3/4", and below it measured 23/32" once you have measured it')
            self.good = False
        grain = self.grain(width, length)
        if grain is not None and grain != length and width is not None:
            width, length = length, grain
        price, unit = self.price()
        boards = self.boards()
        if not self.good:
            return None
        called = called or measured or Fraction(0)
        text = "" if statement.comment is None else self.evaluate.text(statement.comment, self.scope)
        return Stock(statement.name, statement.kind, called, measured or called, text, self.text("stock_material"), width, length, grain is not None, rough, boards, price, unit, statement.span)

    def sheet_size(self) -> tuple[Fraction | None, Fraction | None]:
        size = self.statement.size
        if size is None:
            return None, None
        value = self.evaluate.value(size, self.scope)
        items = value.items if isinstance(value, Many) else ()
        numbers = [v.value for v in items if isinstance(v, Amount) and v.dimension == LENGTH and v.value > 0]
        if len(items) != 2 or len(numbers) != 2:
            if not isinstance(value, Unknown):
                pair = " x ".join(f'{plain_number(v.value)}"' for v in items if isinstance(v, Amount) and v.dimension == PLAIN and v.value > 0)
                self.sink.emit("PD237", "a sheet has two measures, a length each", size.span, mend=f"stock {self.statement.name} sheet " + (pair if " x " in pair else '48" x 96"'))
            self.good = False
            return None, None
        return min(numbers), max(numbers)

    def rough(self) -> Fraction | None:
        size = self.statement.size
        if size is None:
            return None
        value = self.evaluate.value(size, self.scope)
        if isinstance(value, Amount) and value.value > 0:
            if value.dimension == PLAIN:
                return value.value * INCH  # 4/4 is one inch of rough thickness
            if value.dimension == LENGTH:
                return value.value
        if not isinstance(value, Unknown):
            self.sink.emit("PD237", f"lumber is named by its rough thickness, this is {kind_of(value)}", size.span, mend="stock oak lumber 4/4, or a length")
        self.good = False
        return None

    def grain(self, width: Fraction | None, length: Fraction | None) -> Fraction | None:
        """The side along which the grain runs; 0 where it runs along but no side is named; None for no grain."""
        clause = self.clause("stock_grain")
        if clause is None:
            return length if length is not None else Fraction(0)
        word = clause.items[0]
        if word == "none":
            return None
        expr = clause.items[1]
        if word != "along":
            self.sink.emit("PD238", "the grain of a stock is written `grain along` with a side of the sheet, or `grain none`", clause.span)
            self.good = False
            return None
        if expr is None or isinstance(expr, str):
            return length if length is not None else Fraction(0)
        side = self.length(expr)
        if side is not None and width is not None and side not in (width, length):
            units = self.evaluate.units
            self.sink.emit("PD238", "the grain runs along one of the two sides of the sheet", expr.span, notes=[f"the sides are {shop_text(width, units, mark=True)} and {shop_text(length or width, units, mark=True)}"])
            self.good = False
        return side

    def price(self) -> tuple[Fraction | None, str]:
        clause = self.clause("stock_price")
        default = {"sheet": "sheet", "lumber": "board foot", "dowel": "piece"}[self.statement.kind]
        if clause is None or clause.items[0] is None or isinstance(clause.items[0], str):
            return None, ""
        value = self.evaluate.value(clause.items[0], self.scope)
        if not isinstance(value, Amount) or value.dimension != PLAIN or value.value < 0:
            if not isinstance(value, Unknown):
                self.sink.emit("PD204", f"a price is a plain number, this is {kind_of(value)}", clause.items[0].span)
            self.good = False
            return None, ""
        unit = self.evaluate.text(clause.items[1], self.scope).strip() if isinstance(clause.items[1], t.Str) else default
        return value.value, unit

    def boards(self) -> tuple[tuple[Fraction, Fraction], ...]:
        clause = self.clause("stock_boards")
        made: list[tuple[Fraction, Fraction]] = []
        for expr in clause.items if clause is not None else ():
            if expr is None or isinstance(expr, str):
                continue
            value = self.evaluate.value(expr, self.scope)
            numbers = [v.value for v in value.items if isinstance(v, Amount) and v.dimension == LENGTH] if isinstance(value, Many) else []
            if len(numbers) != 2:
                if not isinstance(value, Unknown):
                    self.sink.emit("PD237", "a board has a width and a length", expr.span, mend='boards 6" x 96", 8" x 72"')
                self.good = False
                continue
            made.append((numbers[0], numbers[1]))
        return tuple(made)
