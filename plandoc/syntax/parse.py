"""Source text -> syntax tree (a tuple of statements). Never fails: faulty lines are reported and left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from lark import Tree
from lark.lexer import Token

from plandoc.diagnostics import Sink, Source, Span
from plandoc.syntax import tree as t
from plandoc.syntax.declared import declared_names
from plandoc.syntax.engine import Fault, parse_slice
from plandoc.syntax.expressions import Reader
from plandoc.syntax.faults import STATEMENT_WORDS, is_clause, is_value, report
from plandoc.syntax.outline import Line, outline
from plandoc.syntax.vocabulary import Vocabulary, closest

# Grammar rule that reads the lines indented below a statement.
BELOW = {
    "plan": "plan_clause",
    "stock": "stock_clause",
    "part": "part_clause",
    "mirrored": "part_clause",
    "assembly": "statement",
    "loop": "statement",
    "each": "statement",
    "condition": "statement",
    "otherwise": "statement",
    "place": "place_clause",
    "joint": "options",
    "hardware": "options",
    "fit": "options",
    "procedure_step": "step_clause",
    "routed": "routed_clause",
    "shape": "shape_clause",
    "shop": "shop_clause",
    "machine": "options",
}
_DRAWN = {"drawn_start": "start", "drawn_line": "line", "drawn_arc": "arc"}
_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_TEXT_CLAUSES = {"step_do", "step_tools", "step_caution", "step_check", "step_wait", "step_note", "part_note", "plan_note", "stock_note", "stock_material", "stock_species", "stock_faces", "note_line"}


def parse(source: Source, vocabulary: Vocabulary, sink: Sink) -> tuple[t.Statement, ...]:
    """The statements of one file, in order."""
    text, lines = outline(source, sink)
    return _Builder(source.name, text, vocabulary, sink).statements(lines)


def parse_shop(source: Source, vocabulary: Vocabulary, sink: Sink) -> tuple[t.ShopStatement, ...] | None:
    """The shops of a shop file, in order; a sound file has one. None after a report."""
    text, lines = outline(source, sink)
    builder = _Builder(source.name, text, vocabulary.of_shop, sink)
    found = tuple(made for line in lines if (made := builder.shop(line)) is not None)
    return found or (None if builder.failed else ())


_MENDABLE = (t.StockStatement, t.PartStatement, t.Place, t.JointStatement, t.HardwareStatement, t.Fit)


class _Builder:
    def __init__(self, file: str, text: str, vocabulary: Vocabulary, sink: Sink) -> None:
        self.file, self.text, self.vocabulary, self.sink = file, text, vocabulary, sink
        self.read = Reader(file, text, vocabulary, sink)
        self.failed = 0

    def lark(self, line: Line, rule: str) -> Tree[Token] | None:
        text = self.text
        while True:
            try:
                return parse_slice(self.vocabulary, text, line.start, line.end, rule)
            except Fault as fault:
                # Outside of sizes the multiplication sign of a word processor means what `*` means.
                if not fault.at_end and text[fault.start] == "×":
                    text = text[: fault.start] + "*" + text[fault.start + 1 :]
                    continue
                self.failed += 1
                report(self.sink, self.file, self.text, line, rule, fault, self.vocabulary)
                return None

    def broken(self, line: Line) -> t.Statement:
        """What is left of a line that could not be read: the names that it would have declared. The lines below it
        are read all the same, for their own faults."""
        written = self.text[line.start : line.end]
        words = _WORD.findall(written)
        first = words[0] if words else ""
        kind = first if first in STATEMENT_WORDS else closest(first, STATEMENT_WORDS)
        names = list(words[1:2])
        if kind == "place":
            names += [b for a, b in pairwise(words) if a == "as"]
        elif "=" in written:
            # `set case width = ...` is used as case_width elsewhere.
            names.append("_".join(_WORD.findall(written.split("=")[0])[1:]))
        rule = BELOW.get({"for": "loop", "if": "condition", "step": "procedure_step"}.get(kind, kind))
        if rule == "statement":
            names.extend(declared_names(self.statements(line.children)))
        elif rule is not None:
            for _, tree, child in self.clauses(line, rule):
                if tree.data == "shape":
                    self.shape(tree, child)
        return t.Broken(self.span(line), tuple(n for n in names if n), title=kind == "plan")

    def statements(self, lines: Sequence[Line]) -> tuple[t.Statement, ...]:
        """Statements of a block; `otherwise` joins the `if` before it."""
        made: list[t.Statement] = []
        for line in lines:
            tree = self.lark(line, "statement")
            if tree is None:
                written = self.text[line.start : line.end]
                if made and isinstance(made[-1], _MENDABLE) and (is_clause(written, self.vocabulary) or (isinstance(made[-1], t.Place) and is_value(written))):
                    made[-1] = replace(made[-1], damaged=True)  # a line of it that stands too far left
                made.append(self.broken(line))
                continue
            kind = str(tree.data)
            if kind == "otherwise":
                last = made[-1] if made else None
                if isinstance(last, t.Broken):
                    made.append(t.Broken(self.span(line), declared_names(self.statements(line.children))))
                elif isinstance(last, t.Condition) and not last.otherwise:
                    made[-1] = t.Condition(last.span, last.test, last.body, self.statements(line.children))
                else:
                    self.sink.emit("PD116", "`otherwise` stands without an `if` before it", self.span(line), mend="put it directly below the lines of an `if`, in the same column")
                continue
            if line.children and kind not in BELOW and kind not in _TEXT_CLAUSES:
                self.nothing_below(line, kind)
            failed = self.failed
            statement = self.statement(kind, tree, line)
            if self.failed > failed and isinstance(statement, _MENDABLE):
                statement = replace(statement, damaged=True)
            made.append(statement)
        return tuple(made)

    def nothing_below(self, line: Line, kind: str) -> None:
        self.failed += 1  # what stands there is lost to the statement
        child = line.children[0]
        word = self.text[line.start : line.end].split()[0]
        self.sink.emit("PD110", f"nothing can belong to {'an' if word[0] in 'aeiou' else 'a'} `{word}` line", self.span(child), notes=["this line is indented, so it belongs to the line above"], mend="begin it in the column of the line above")

    def span(self, line: Line) -> Span:
        return Span(self.file, line.start, line.end)

    def clauses(self, line: Line, rule: str) -> list[tuple[t.Clause, Tree[Token], Line]]:
        found = []
        for child in line.children:
            tree = self.lark(child, rule)
            if tree is None:
                continue
            kind = str(tree.data)
            if child.children and kind not in _TEXT_CLAUSES and kind not in ("shape", "options"):
                self.nothing_below(child, kind)
            if kind in ("shape", "options") or kind in _DRAWN or rule == "place_clause":
                found.append((t.Clause(self.span(child), kind, ()), tree, child))
                continue
            found.append((t.Clause(self.span(child), kind, self.items(tree, child)), tree, child))
        return found

    def items(self, tree: Tree[Token], line: Line) -> tuple[t.Expr | str | None, ...]:
        """Children of a clause: words as str, texts as Str, everything else as expressions."""
        made: list[t.Expr | str | None] = []
        for child in tree.children:
            item: Any = child
            if item is None:
                made.append(None)
            elif isinstance(item, Token):
                if item.type == "X":
                    continue  # joins two sizes, says nothing
                if item.type == "TEXT":
                    made.append(self.free_text(item, line))
                elif item.type == "STRING":
                    made.append(self.read.string(item))
                else:
                    made.append(str(item))
            elif item.data == "paths":
                made.extend(self.read.paths(item))
            elif item.data == "arguments":
                made.extend(self.read.arguments(item))
            elif item.data == "leaning":
                made.extend((self.read.expr(item.children[0]), str(item.children[1])))
            elif item.data == "faces":
                made.extend(("at", *(str(name) for name in item.children)))
            elif item.data in ("some", "extra"):
                first, second = item.children
                made.append(self.read.argument(first) if item.data == "some" else None if first is None else str(first))
                made.append(None if second is None else self.read.expr(second))
            elif item.data == "sold":
                size, price, count = item.children
                made += (self.read.argument(size), *(None if c is None else self.read.expr(c) for c in (price, count)))
            elif item.data == "reach":
                way, low, high = item.children
                made += (str(way), *(None if c is None else self.read.expr(c) for c in (low, high)))
            elif item.data.startswith("boards_"):
                made.append(item.data.removeprefix("boards_"))
                made.append(t.Several(self.read.span(item), "list", tuple(self.read.expr(c) for c in item.children)))
            elif item.data == "revision_index":
                made.append(str(item.children[0]))
            else:
                made.append(self.read.expr(item))
        return tuple(made)

    def free_text(self, token: Token, line: Line) -> t.Str:
        """The rest of the line and the lines indented below it, joined by blanks."""
        first = self.read.words(token.start_pos or 0, line.end)
        pieces = list(first.pieces)
        for child in self.flat(line.children):
            more = self.read.words(child.start, child.end)
            pieces.append(t.TextPiece(Span(self.file, child.start, child.start), " "))
            pieces.extend(more.pieces)
        return t.Str(first.span, tuple(pieces))

    def flat(self, lines: Sequence[Line]) -> list[Line]:
        found: list[Line] = []
        for line in lines:
            found.append(line)
            found.extend(self.flat(line.children))
        return found

    def option_lines(self, line: Line, tree: Tree[Token]) -> tuple[t.Option, ...]:
        """Options of the statement itself and of the lines below it."""
        options = [self.read.option(c) for c in tree.children if isinstance(c, Tree) and str(c.data).startswith(("option", "flag"))]
        for _, below, child in self.clauses(line, "options"):
            options.extend(self.read.option(c) for c in below.children if isinstance(c, Tree))
            if child.children:
                self.nothing_below(child, "options")
        return tuple(options)

    def shape(self, tree: Tree[Token], line: Line) -> t.Shape:
        children: list[Any] = tree.children
        word = children[0]
        options = [self.read.option(c) for c in children[2:]]
        below: list[t.Shape] = []
        drawn: list[t.Drawn] = []
        failed = self.failed
        for _, sub, child in self.clauses(line, "shape_clause"):
            if sub.data == "shape":
                below.append(self.shape(sub, child))
            elif sub.data in _DRAWN:
                parts: list[Any] = sub.children
                more = tuple(self.read.option(c) for c in parts[1:])
                drawn.append(t.Drawn(self.span(child), _DRAWN[str(sub.data)], self.read.arguments(parts[0]), more))
            else:
                options.extend(self.read.option(c) for c in sub.children if isinstance(c, Tree))
        return t.Shape(self.span(line), str(word), self.read.span(word), self.read.arguments(children[1]), tuple(options), tuple(below), self.failed > failed, tuple(drawn))

    def shop(self, line: Line) -> t.ShopStatement | None:
        tree = self.lark(line, "shop_top")
        if tree is None:
            return None
        failed = self.failed
        machines: list[t.MachineLine] = []
        for child in line.children:
            below = self.lark(child, "shop_clause")
            if below is None:
                continue
            before = self.failed
            options = self.option_lines(child, below)
            parts: list[Any] = below.children
            machines.append(t.MachineLine(self.span(child), str(parts[0]), self.read.span(parts[0]), self.text_or_none(parts[1]), options, self.failed > before))
        title: Any = tree.children[0]
        return t.ShopStatement(self.span(line), self.read.string(title), tuple(machines), self.failed > failed)

    def statement(self, kind: str, tree: Tree[Token], line: Line) -> t.Statement:
        make: Callable[[list[Any], Tree[Token], Line], t.Statement] = getattr(self, f"_{kind}")
        return make(tree.children, tree, line)

    def text_or_none(self, token: Any) -> t.Str | None:
        return None if token is None else self.read.string(token)

    def _plan(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.PlanStatement(self.span(line), self.read.string(c[0]), tuple(x[0] for x in self.clauses(line, "plan_clause")))

    def _include(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Include(self.span(line), self.read.string(c[0]))

    def _setting(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Setting(self.span(line), str(c[0]), self.read.span(c[0]), self.read.expr(c[1]), self.text_or_none(c[2]))

    def _note_line(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.NoteLine(self.span(line), self.free_text(c[0], line))

    def _stock(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        size = None if c[2] is None else self.read.argument(c[2])
        clauses = tuple(x[0] for x in self.clauses(line, "stock_clause"))
        return t.StockStatement(self.span(line), str(c[0]), self.read.span(c[0]), str(c[1]), self.read.span(c[1]), size, self.text_or_none(c[3]), clauses)

    def _part(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        clauses, shapes = self.part_clauses(line)
        stock = t.Name(self.read.span(c[1]), str(c[1]))
        count = None if c[3] is None else self.read.expr(c[3])
        return t.PartStatement(self.span(line), self.read.path(c[0]), stock, self.text_or_none(c[2]), count, None, "", None, clauses, shapes)

    def _mirrored(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        clauses, shapes = self.part_clauses(line)
        about = None if c[3] is None else self.read.expr(c[3])
        return t.PartStatement(self.span(line), self.read.path(c[0]), None, self.text_or_none(c[4]), None, self.read.path(c[1]), str(c[2] or "across"), about, clauses, shapes)

    def part_clauses(self, line: Line) -> tuple[tuple[t.Clause, ...], tuple[t.Shape, ...]]:
        clauses, shapes = [], []
        for clause, tree, child in self.clauses(line, "part_clause"):
            if clause.kind == "shape":
                shapes.append(self.shape(tree, child))
            else:
                clauses.append(clause)
        return tuple(clauses), tuple(shapes)

    def _assembly(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        parameters = []
        for item in c[1:-1]:
            if item is not None:
                name = item.children[0]
                default = None if item.children[1] is None else self.read.expr(item.children[1])
                parameters.append(t.Parameter(self.read.span(item), str(name), default))
        return t.AssemblyStatement(self.span(line), str(c[0]), self.read.span(c[0]), tuple(parameters), self.text_or_none(c[-1]), self.statements(line.children))

    def _place(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        values: list[tuple[str, Span, t.Expr]] = []
        shifts: list[tuple[str, t.Expr]] = []
        turns: list[tuple[t.Expr, str]] = []
        leans: list[tuple[tuple[t.Expr, str], ...]] = []
        mirrors: list[str] = []
        for clause, sub, _ in self.clauses(line, "place_clause"):
            parts: list[Any] = sub.children
            if clause.kind == "place_value":
                values.append((str(parts[0]), self.read.span(parts[0]), self.read.expr(parts[1])))
            elif clause.kind == "place_at":
                shifts.extend((str(s.children[0]), self.read.expr(s.children[1])) for s in parts)
            elif clause.kind == "place_turned":
                turns.append((self.read.expr(parts[0]), str(parts[1])))
            elif clause.kind == "place_leans":
                leans.append(tuple((self.read.expr(p.children[0]), str(p.children[1])) for p in parts))
            else:
                mirrors.append(str(parts[0]))
        path = None if c[1] is None else self.read.path(c[1])
        name = t.Name(self.read.span(c[0]), str(c[0]))
        return t.Place(self.span(line), name, path, self.text_or_none(c[2]), tuple(values), tuple(shifts), tuple(turns), tuple(mirrors), leans=tuple(leans))

    def _loop(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        step = None if c[3] is None else self.read.expr(c[3])
        return t.Loop(self.span(line), str(c[0]), self.read.expr(c[1]), self.read.expr(c[2]), step, self.statements(line.children))

    def _each(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Each(self.span(line), str(c[0]), self.read.expr(c[1]), self.statements(line.children))

    def _condition(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Condition(self.span(line), self.read.expr(c[0]), self.statements(line.children), ())

    def _opens(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Opens(self.span(line), self.read.path(c[0]), t.Name(self.read.span(c[1]), str(c[1])), self.read.expr(c[2]))

    def _swings(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        towards = None if c[3] is None else t.Name(self.read.span(c[3]), str(c[3]))
        return t.Swings(self.span(line), self.read.path(c[0]), self.read.expr(c[1]), t.Name(self.read.span(c[2]), str(c[2])), towards)

    def _section(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        look = None if c[2] is None else t.Name(self.read.span(c[2]), str(c[2]))
        return t.SectionStatement(self.span(line), str(c[0]), self.read.expr(c[1]), look)

    def _template(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.TemplateStatement(self.span(line), self.read.paths(c[0]), True)

    def _no_template(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.TemplateStatement(self.span(line), self.read.paths(c[0]), False)

    def _routed(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        bits = tuple(self.read.expr(b) for b in c[1].children)
        face = None if c[2] is None else t.Name(self.read.span(c[2]), str(c[2]))
        return t.RoutedStatement(self.span(line), self.read.paths(c[0]), bits, face, tuple(x[0] for x in self.clauses(line, "routed_clause")))

    def _joint(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.JointStatement(self.span(line), str(c[0]), self.read.span(c[0]), self.read.paths(c[1]), self.read.paths(c[2]), self.option_lines(line, tree))

    def _hardware(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        size = None if c[2] is None else self.read.argument(c[2])
        return t.HardwareStatement(self.span(line), str(c[0]), self.read.span(c[0]), str(c[1]), size, self.text_or_none(c[3]), self.option_lines(line, tree))

    def _fit(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.Fit(self.span(line), self.read.path(c[0]), self.read.paths(c[1]), self.option_lines(line, tree))

    def _procedure_step(self, c: list[Any], tree: Tree[Token], line: Line) -> t.Statement:
        return t.StepStatement(self.span(line), self.read.string(c[0]), tuple(x[0] for x in self.clauses(line, "step_clause")))
