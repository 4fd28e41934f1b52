"""`stock` statements -> Stock."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.diagnostics import Note
from plandoc.model.boardzones import board_defects
from plandoc.model.cells import Scope
from plandoc.model.entities import Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.sheetsizes import further_sizes
from plandoc.model.stockextras import Extras, price_unit
from plandoc.model.values import Amount, Many, Unknown, kind_of, plain_number
from plandoc.quantity import INCH, LENGTH, PLAIN, shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.tables import dressed_section, dressed_thickness

KINDS = ("sheet", "lumber", "dowel", "batten", "banding")
SECTIONS = ("batten", "banding")
"""Kinds that are named by the two sizes of their section."""


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
        width = length = rough = called_width = None
        if statement.kind in SECTIONS:
            called, measured, called_width, width = self.section()
        else:
            called, measured = self.clause_length("stock_called"), self.clause_length("stock_measured")
        if statement.kind == "sheet":
            width, length = self.sheet_size()
        elif statement.kind == "lumber":
            rough = self.rough()
            if rough is not None:
                quarters = rough / INCH * 4
                standard = dressed_thickness(f"{quarters}/4", "hardwood") if quarters.denominator == 1 else None
                called = called or (standard if standard is not None else rough)
        elif statement.kind == "dowel" and statement.size is not None:
            called = self.length(statement.size)
        if called is None and measured is None and self.good:
            if statement.damaged:
                return None
            self.sink.emit("PD236", f"the stock `{statement.name}` has no thickness", statement.span, mend='called 3/4", and below it measured 23/32" once you have measured it')
            self.good = False
        grain = self.grain(None if statement.kind in SECTIONS else width, length)
        if grain is not None and grain != length and width is not None and statement.kind not in SECTIONS:
            width, length = length, grain
        price, unit = self.price()
        of_its_own = (width or measured or called) if statement.kind in (*SECTIONS, "dowel") else None
        boards, rack = self.pieces("stock_boards", of_its_own), self.pieces("stock_rack", of_its_own)
        extras = Extras(statement, self.scope, self.evaluate, self.clause)
        random, density, allowance = extras.random(), extras.density(), extras.allowance()
        also = further_sizes(extras)
        defects = board_defects(extras, boards) if self.good else ()
        if not self.good or not extras.good:
            return None
        called = called or measured or Fraction(0)
        text = "" if statement.comment is None else self.evaluate.text(statement.comment, self.scope)
        species = self.text("stock_species")
        extras.check_species(species, density)
        return Stock(
            statement.name, statement.kind, called, measured or called, text, self.text("stock_material"), width, length, grain is not None, rough,
            boards, price, unit, statement.span, called_width, rack, random, self.text("stock_faces"), species, density, allowance, defects, also,
        )  # fmt: skip

    def section(self) -> tuple[Fraction | None, Fraction | None, Fraction | None, Fraction | None]:
        """Thickness called and measured, width called and measured, of a batten or of banding; the lesser size is the
        thickness. A nominal size such as 2x4 measures what the table of dressed softwood says."""
        size = self.statement.size
        if size is None:
            if not self.statement.damaged:
                self.sink.emit("PD237", f"{self.statement.kind} stock has a thickness and a width", self.statement.span, mend=self.section_mend())
            self.good = False
            return None, None, None, None
        value = self.evaluate.value(size, self.scope)
        items = value.items if isinstance(value, Many) else ()
        amounts = [v for v in items if isinstance(v, Amount) and v.value > 0]
        nominal = self.statement.kind == "batten" and [v.dimension for v in amounts] == [PLAIN, PLAIN] and len(items) == 2
        if not nominal and ([v.dimension for v in amounts] != [LENGTH, LENGTH] or len(items) != 2):
            if not isinstance(value, Unknown):
                self.sink.emit("PD237", f"{self.statement.kind} stock has a thickness and a width", size.span, mend=self.section_mend())
            self.good = False
            return None, None, None, None
        thin, wide = sorted(v.value * (INCH if nominal else 1) for v in amounts)
        measured = self.measured_section()
        if measured is None and nominal and self.good:
            measured = dressed_section(f"{thin / INCH}x{wide / INCH}")
            if measured is None:
                self.sink.emit("PD237", "the table of dressed softwood has no batten of this nominal size", size.span, mend="give the section as it measures: measured 1 1/2\" x 3 1/2\"")
                self.good = False
        if measured is None:
            measured = thin, wide
        key = f"{self.statement.name}.measured"
        if key in self.overrides:
            self.used.add(key)
            measured = (self.length(self.overrides[key]) or measured[0], measured[1])
        return thin, measured[0], wide, measured[1]

    def measured_section(self) -> tuple[Fraction, Fraction] | None:
        """The two sizes of a `measured` line, the lesser first; None where there is none, or after a report."""
        clause = self.clause("stock_measured")
        self.clause_absent("stock_called")
        if clause is None or clause.items[0] is None or isinstance(clause.items[0], str):
            return None
        value = self.evaluate.value(clause.items[0], self.scope)
        numbers = [v.value for v in value.items if isinstance(v, Amount) and v.dimension == LENGTH and v.value > 0] if isinstance(value, Many) else []
        if len(numbers) != 2:
            if not isinstance(value, Unknown):
                self.sink.emit("PD237", "a section measures two lengths", clause.items[0].span, mend='measured 1 1/2" x 3 1/2"')
            self.good = False
            return None
        return min(numbers), max(numbers)

    def clause_absent(self, kind: str) -> None:
        """Report a line that this kind of stock does not have."""
        clause = self.clause(kind)
        if clause is not None:
            self.sink.emit("PD237", f"{self.statement.kind} stock is called by the section in its first line", clause.span, mend="leave this line out; `measured` says what it measures")
            self.good = False

    def section_mend(self) -> str:
        return f"stock {self.statement.name} " + ('batten 2x4, or batten 3/4" x 2"' if self.statement.kind == "batten" else 'banding 1/32" x 7/8"')

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
        run = "foot" if self.evaluate.units.system == "inch" else "metre"
        default = {"sheet": "sheet", "lumber": "board foot", "dowel": "piece"}.get(self.statement.kind, run)
        if clause is None or clause.items[0] is None or isinstance(clause.items[0], str):
            return None, ""
        value = self.evaluate.value(clause.items[0], self.scope)
        if not isinstance(value, Amount) or value.dimension != PLAIN or value.value < 0:
            if not isinstance(value, Unknown):
                self.sink.emit("PD204", f"a price is a plain number, this is {kind_of(value)}", clause.items[0].span)
            self.good = False
            return None, ""
        unit = self.evaluate.text(clause.items[1], self.scope).strip() if isinstance(clause.items[1], t.Str) else default
        return value.value, price_unit(unit, clause, self.statement.kind, self.sink)

    def pieces(self, kind: str, own: Fraction | None) -> tuple[tuple[Fraction, Fraction], ...]:
        """(width, length) of each board or offcut of a `boards` or `rack` line; `own` is the width of stock that has
        one, of which only lengths are given."""
        clause = self.clause(kind)
        word = kind.removeprefix("stock_")
        made: list[tuple[Fraction, Fraction]] = []
        items = clause.items if clause is not None else ()
        for expr, count in zip(items[::2], items[1::2], strict=True):
            if expr is None or isinstance(expr, str):
                continue
            value = self.evaluate.value(expr, self.scope)
            given = value.items if isinstance(value, Many) else (value,)
            numbers = [v.value for v in given if isinstance(v, Amount) and v.dimension == LENGTH and v.value > 0]
            if own is not None and len(numbers) == len(given) == 1:
                numbers.insert(0, own)
            if len(numbers) != 2 or (own is not None and len(given) != 1):
                if not isinstance(value, Unknown):
                    says = "a piece of it has only a length" if own is not None else "a board has a width and a length" if word == "boards" else "an offcut has a width and a length"
                    mend = f'{word} 30", 48" count 2' if own is not None else f'{word} 6" x 96", 8" x 72"'
                    self.sink.emit("PD237", says, expr.span, mend=mend)
                self.good = False
                continue
            made += [(numbers[0], numbers[1])] * self.count(count)
        return tuple(made)

    def count(self, expr: t.Expr | str | None) -> int:
        if expr is None or isinstance(expr, str):
            return 1
        value = self.evaluate.value(expr, self.scope)
        if isinstance(value, Amount) and value.dimension == PLAIN and value.value.denominator == 1 and 1 <= value.value <= 1000:
            return int(value.value)
        if not isinstance(value, Unknown):
            self.sink.emit("PD218", "a count is a whole number from 1 to 1000", expr.span)
        self.good = False
        return 1
