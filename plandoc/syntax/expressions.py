"""From Lark trees of expressions, options and texts to the syntax tree."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from lark import Tree
from lark.lexer import Token

from plandoc.diagnostics import Sink, Span
from plandoc.quantity import ANGLE, LENGTH, MASS, PLAIN, read_length
from plandoc.quantity.lengths import read_number
from plandoc.syntax.engine import Fault, parse_slice
from plandoc.syntax.tree import (
    Binary,
    Call,
    Expr,
    Index,
    Member,
    Name,
    Option,
    Quantity,
    Several,
    Str,
    TextPiece,
    Unary,
    When,
)
from plandoc.syntax.vocabulary import Vocabulary

# 1 lb = 0.45359237 kg exactly (international avoirdupois pound, NIST SP 811, appendix B); 16 oz in a pound.
MASS_UNITS = {
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    "lb": Fraction(45359237, 100000000),
    "oz": Fraction(45359237, 1600000000),
}
_BINARY = {"plus": "+", "minus": "-", "times": "*", "over": "/", "either_of": "or", "both_of": "and"}


class Reader:
    """Turns Lark trees of one file into syntax nodes. `fault_said` reports a fault in a braced expression."""

    def __init__(self, file: str, text: str, vocabulary: Vocabulary, sink: Sink) -> None:
        self.file, self.text, self.vocabulary, self.sink = file, text, vocabulary, sink

    def span(self, item: Tree[Token] | Token) -> Span:
        """Place of a tree or token."""
        if isinstance(item, Token):
            return Span(self.file, item.start_pos or 0, item.end_pos or 0)
        return Span(self.file, item.meta.start_pos, item.meta.end_pos)

    def expr(self, item: Any) -> Expr:
        """Any expression tree."""
        tree: Tree[Token] = item
        kind = str(tree.data)
        span = self.span(tree)
        children: list[Any] = tree.children
        if kind in _BINARY:
            return Binary(span, _BINARY[kind], self.expr(children[0]), self.expr(children[1]))
        if kind == "compare":
            op = str(children[1])
            return Binary(span, "==" if op == "=" else op, self.expr(children[0]), self.expr(children[2]))
        if kind == "path":
            return self.path(tree)
        if kind in ("length", "angle", "mass", "number", "gauge"):
            return self.amount(kind, children[0])
        if kind == "string":
            return self.string(children[0])
        if kind in ("negative", "opposite"):
            return Unary(span, "-" if kind == "negative" else "not", self.expr(children[0]))
        if kind == "when":
            return When(span, self.expr(children[0]), self.expr(children[1]), self.expr(children[2]))
        if kind == "call":
            arguments = tuple(self.expr(c) for c in children[1:] if c is not None)
            return Call(span, str(children[0]), self.span(children[0]), arguments)
        if kind in ("pair", "listing"):
            items = tuple(self.expr(c) for c in children if c is not None)
            return Several(span, "pair" if kind == "pair" else "list", items)
        if kind in ("argument", "measure"):
            return self.argument(tree)
        raise AssertionError(f"unknown expression {kind}")

    def amount(self, kind: str, token: Token) -> Expr:
        """A number with or without a unit; `No 8` is the text "No 8"."""
        span = self.span(token)
        written = str(token)
        if kind == "gauge":
            number = re.sub(r"\D", "", written)
            return Str(span, (TextPiece(span, f"No {number}"),))
        try:
            if kind == "length":
                return Quantity(span, read_length(written), LENGTH)
            if kind == "angle":
                return Quantity(span, read_number(re.sub(r"\s*(°|deg)$", "", written)), ANGLE)
            if kind == "mass":
                unit = re.sub(r"[\d\s./]", "", written)
                return Quantity(span, read_number(written[: -len(unit)]) * MASS_UNITS[unit], MASS)
            return Quantity(span, read_number(written), PLAIN)
        except (ValueError, ZeroDivisionError):
            self.sink.emit("PD119", f"`{written}` is no number that can be read", span, mend="write a fraction with a figure other than 0 below the line")
            return Quantity(span, Fraction(0), LENGTH if kind == "length" else PLAIN)

    def path(self, tree: Tree[Token]) -> Expr:
        """`name.member[index]`."""
        children: list[Any] = tree.children
        first = children[0]
        result: Expr = Name(self.span(first), str(first))
        for step in children[1:]:
            span = Span(self.file, result.span.start, step.meta.end_pos)
            if step.data == "member":
                result = Member(span, result, str(step.children[0]), self.span(step.children[0]))
            else:
                result = Index(span, result, self.expr(step.children[0]))
        return result

    def paths(self, tree: Tree[Token]) -> tuple[Expr, ...]:
        """`a, b, c`."""
        return tuple(self.path(child) for child in tree.children)  # type: ignore[arg-type]

    def argument(self, tree: Tree[Token]) -> Expr:
        """One value, or a size `a x b`."""
        items = [c for c in tree.children if not (isinstance(c, Token) and c.type == "X")]
        values = tuple(self.expr(c) for c in items)
        return values[0] if len(values) == 1 else Several(self.span(tree), "size", values)

    def arguments(self, tree: Tree[Token] | None) -> tuple[Expr, ...]:
        """`a, b x c`."""
        if tree is None:
            return ()
        return tuple(self.argument(c) for c in tree.children)  # type: ignore[arg-type]

    def option(self, tree: Tree[Token]) -> Option:
        """`deep 1/4"` or `through`."""
        children: list[Any] = tree.children
        rule = str(tree.data)
        if rule.startswith("option_"):
            return Option(self.span(tree), rule.removeprefix("option_"), self.arguments(children[0]))
        values = self.arguments(children[1]) if len(children) > 1 else ()
        return Option(self.span(tree), str(children[0]), values)

    def string(self, token: Token) -> Str:
        """A quoted string; backslash takes the next character as it is."""
        start = (token.start_pos or 0) + 1
        return self.words(start, start + len(token) - 2, escapes=True)

    def words(self, start: int, end: int, escapes: bool = False) -> Str:
        """Text between two offsets, cut at `{ }`. `{{` and `}}` stand for braces."""
        pieces: list[TextPiece] = []
        text = self.text
        literal = ""
        begin = index = start
        while index < end:
            char = text[index]
            if escapes and char == "\\" and index + 1 < end:
                literal += text[index + 1]
                index += 2
            elif text[index : index + 2] in ("{{", "}}") and index + 1 < end:
                literal += char
                index += 2
            elif char == "{":
                close = text.find("}", index, end)
                if close < 0:
                    self.sink.emit("PD117", "a `{` is not closed", Span(self.file, index, end), mend="close it with `}`, or write `{{` for a brace that is printed")
                    literal += text[index:end]
                    index = end
                    continue
                if literal:
                    pieces.append(TextPiece(Span(self.file, begin, index), literal))
                    literal = ""
                piece = self.braced(index + 1, close)
                if piece is not None:
                    pieces.append(piece)
                index = begin = close + 1
            else:
                literal += char
                index += 1
        if literal:
            pieces.append(TextPiece(Span(self.file, begin, end), literal))
        return Str(Span(self.file, start, end), tuple(pieces))

    def braced(self, start: int, end: int) -> TextPiece | None:
        """The expression between braces; None after a report."""
        span = Span(self.file, start, end)
        try:
            tree = parse_slice(self.vocabulary, self.text, start, end, "braced")
        except Fault as fault:
            place = Span(self.file, min(fault.start, end), max(fault.end, fault.start + 1))
            self.sink.emit("PD118", "what stands between `{` and `}` is not a value", place, mend="write a name or a calculation, such as {shelf.length}")
            return None
        children: list[Any] = tree.children
        step = self.expr(children[1]) if len(children) > 1 and children[1] is not None else None
        return TextPiece(span, "", self.expr(children[0]), step)
