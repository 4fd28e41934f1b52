"""The syntax tree: expressions, statements and clauses, each with its place in the text.

`damaged` tells that a line below the statement could not be read: what seems to be missing is not reported again."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.diagnostics import Span
from plandoc.quantity import Dimension


@dataclass(frozen=True, slots=True)
class Quantity:
    """A written amount in base units (mm, degree, kg, plain)."""

    span: Span
    value: Fraction
    dimension: Dimension


@dataclass(frozen=True, slots=True)
class TextPiece:
    """Literal text or `{expression}` (with an optional rounding step `to`) inside a string or a line of words."""

    span: Span
    text: str
    expr: Expr | None = None
    step: Expr | None = None


@dataclass(frozen=True, slots=True)
class Str:
    """A string or a line of words, cut at its braces."""

    span: Span
    pieces: tuple[TextPiece, ...]


@dataclass(frozen=True, slots=True)
class Name:
    """A bare name."""

    span: Span
    name: str


@dataclass(frozen=True, slots=True)
class Member:
    """`base.name`."""

    span: Span
    base: Expr
    name: str
    name_span: Span


@dataclass(frozen=True, slots=True)
class Index:
    """`base[index]`."""

    span: Span
    base: Expr
    index: Expr


@dataclass(frozen=True, slots=True)
class Unary:
    """op: `-` or `not`."""

    span: Span
    op: str
    operand: Expr


@dataclass(frozen=True, slots=True)
class Binary:
    """op: + - * / < > <= >= == != and or."""

    span: Span
    op: str
    left: Expr
    right: Expr


@dataclass(frozen=True, slots=True)
class When:
    """`if test then yes else no`."""

    span: Span
    test: Expr
    yes: Expr
    no: Expr


@dataclass(frozen=True, slots=True)
class Call:
    """`name(arguments)`."""

    span: Span
    name: str
    name_span: Span
    arguments: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Several:
    """form: "list" `[a, b]`, "pair" `(a, b)`, "size" `a x b`."""

    span: Span
    form: str
    items: tuple[Expr, ...]


Expr = Quantity | Str | Name | Member | Index | Unary | Binary | When | Call | Several


@dataclass(frozen=True, slots=True)
class Option:
    """A word with its values on a statement: `deep 1/4"`, `through`."""

    span: Span
    word: str
    values: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Clause:
    """A line below a statement. kind: name of the grammar rule; items: its expressions, words and texts."""

    span: Span
    kind: str
    items: tuple[Expr | str | None, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line of a free outline: start, line or arc, the place it leads to, and what else is said of an arc."""

    span: Span
    word: str
    values: tuple[Expr, ...]
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Shape:
    """Work on a part, with the work that belongs to it (indented below)."""

    span: Span
    word: str
    word_span: Span
    lead: tuple[Expr, ...]
    options: tuple[Option, ...]
    children: tuple[Shape, ...] = ()
    damaged: bool = False
    drawn: tuple[Drawn, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanStatement:
    span: Span
    title: Str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, slots=True)
class MachineLine:
    """A line of a shop file. damaged: a line below it could not be read."""

    span: Span
    word: str
    word_span: Span
    name: Str | None
    options: tuple[Option, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class ShopStatement:
    """A shop file. damaged: one of its lines could not be read, so what seems to be lacking may have stood there."""

    span: Span
    title: Str
    machines: tuple[MachineLine, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class Include:
    span: Span
    file: Str


@dataclass(frozen=True, slots=True)
class Setting:
    span: Span
    name: str
    name_span: Span
    value: Expr
    comment: Str | None


@dataclass(frozen=True, slots=True)
class StockStatement:
    span: Span
    name: str
    name_span: Span
    kind: str
    kind_span: Span
    size: Expr | None
    comment: Str | None
    clauses: tuple[Clause, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class PartStatement:
    """`mirrors`, `about_axis` and `about` are set for a mirrored part, `stock` for any other."""

    span: Span
    path: Expr
    stock: Name | None
    comment: Str | None
    count: Expr | None
    mirrors: Expr | None
    about_axis: str
    about: Expr | None
    clauses: tuple[Clause, ...]
    shapes: tuple[Shape, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class Parameter:
    span: Span
    name: str
    default: Expr | None


@dataclass(frozen=True, slots=True)
class AssemblyStatement:
    span: Span
    name: str
    name_span: Span
    parameters: tuple[Parameter, ...]
    comment: Str | None
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """values: (name, place of the name, expression)."""

    span: Span
    assembly: Name
    path: Expr | None
    comment: Str | None
    values: tuple[tuple[str, Span, Expr], ...]
    shifts: tuple[tuple[str, Expr], ...]
    turns: tuple[tuple[Expr, str], ...]
    mirrors: tuple[str, ...]
    damaged: bool = False
    leans: tuple[tuple[tuple[Expr, str], ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Loop:
    span: Span
    name: str
    start: Expr
    stop: Expr
    step: Expr | None
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Each:
    span: Span
    name: str
    values: Expr
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    span: Span
    test: Expr
    body: tuple[Statement, ...]
    otherwise: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class JointStatement:
    span: Span
    kind: str
    kind_span: Span
    entering: tuple[Expr, ...]
    entered: tuple[Expr, ...]
    options: tuple[Option, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class HardwareStatement:
    span: Span
    name: str
    name_span: Span
    kind: str
    size: Expr | None
    comment: Str | None
    options: tuple[Option, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class Fit:
    span: Span
    item: Expr
    parts: tuple[Expr, ...]
    options: tuple[Option, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class Opens:
    span: Span
    target: Expr
    face: Name
    travel: Expr


@dataclass(frozen=True, slots=True)
class Swings:
    """hinge: the edge that stays; towards: the side to which it opens, None for the outer one."""

    span: Span
    target: Expr
    angle: Expr
    hinge: Name
    towards: Name | None


@dataclass(frozen=True, slots=True)
class SectionStatement:
    span: Span
    axis: str
    at: Expr
    look: Name | None


@dataclass(frozen=True, slots=True)
class TemplateStatement:
    """`template of ...`, or `no template of ...` where wanted is false."""

    span: Span
    parts: tuple[Expr, ...]
    wanted: bool


@dataclass(frozen=True, slots=True)
class RoutedStatement:
    """`routed ... with bit ...`: parts that a router led by numbers works; face: the face that lies up, None for all with
    work."""

    span: Span
    parts: tuple[Expr, ...]
    bits: tuple[Expr, ...]
    face: Name | None
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, slots=True)
class NoteLine:
    span: Span
    text: Str


@dataclass(frozen=True, slots=True)
class StepStatement:
    span: Span
    title: Str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, slots=True)
class Broken:
    """A line that could not be read. names: what it would have given a meaning, so that their use is not reported as
    well; everything: a file that could not be included may have held any name; title: it was the `plan` line."""

    span: Span
    names: tuple[str, ...] = ()
    everything: bool = False
    title: bool = False


Statement = (
    Broken
    | PlanStatement
    | Include
    | Setting
    | StockStatement
    | PartStatement
    | AssemblyStatement
    | Place
    | Loop
    | Each
    | Condition
    | JointStatement
    | HardwareStatement
    | Fit
    | Opens
    | Swings
    | SectionStatement
    | TemplateStatement
    | RoutedStatement
    | NoteLine
    | StepStatement
)
