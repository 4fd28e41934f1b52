"""Names of a plan while it is resolved: scopes, and the parts and assemblies that stand in them.

Everything is worked out on demand and only once; `Busy` tells a value that needs itself.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from plandoc.diagnostics import NOWHERE, Span
from plandoc.geometry.bodies import Box
from plandoc.geometry.lean import Lean
from plandoc.model.entities import Allowance, Stock
from plandoc.model.transform import IDENTITY, Transform
from plandoc.model.values import Unknown
from plandoc.syntax import tree as t

if TYPE_CHECKING:
    from plandoc.model.leaning import Trim


@dataclass(slots=True)
class SettingCell:
    """A named value, evaluated at first use in the scope where it was written."""

    name: str
    span: Span
    expr: t.Expr
    scope: Scope
    comment: str = ""
    value: object | None = None
    busy: bool = False
    set_line: bool = False  # whether a line `set` gives it, not a parameter


@dataclass(frozen=True, slots=True)
class Gluing:
    """What a plan says of a glue-up. form: any, count, most or widths; figures: the count, the greatest width or the
    widths (mm)."""

    form: str
    figures: tuple[Fraction, ...]
    jointing: Fraction | None
    span: Span


@dataclass(slots=True)
class PartCell:
    """A part of one assembly instance. `local` boxes are in the instance's own coordinates."""

    path: str
    name: str
    span: Span
    scope: Scope
    frame: Instance
    statement: t.PartStatement
    stock: Stock | None
    mirrors: PartCell | None = None
    mirror_transform: Transform | Unknown | None = None
    loose: bool = False
    count: int = 1
    note: str = ""
    spans: dict[int, tuple[Fraction, Fraction] | Unknown] = field(default_factory=dict)
    busy: dict[int, bool] = field(default_factory=dict)
    thickness_axis: int | None = None
    grain_axis: int | None = None
    local: Box | Unknown | None = None
    grown: list[Box] = field(default_factory=list)
    lean: Lean | None = None
    lean_known: bool = False
    trims: list[Trim] = field(default_factory=list)
    section_lost: bool = False
    allowance: Allowance | None = None
    gluing: Gluing | None = None


@dataclass(slots=True)
class Instance:
    """A placed assembly; the plan itself is the instance with path "". turn and shifts lead
    to the parent's coordinates; shifts are evaluated in shift_scope."""

    path: str
    name: str
    span: Span
    parent: Instance | None
    scope: Scope
    definition: str = ""
    shifts: dict[int, t.Expr] = field(default_factory=dict)
    turn: Transform = IDENTITY
    shift_values: dict[int, Fraction | Unknown] = field(default_factory=dict)
    parts: list[PartCell] = field(default_factory=list)
    children: list[Instance] = field(default_factory=list)
    depth: int = 0
    shift_scope: Scope | None = None
    lean: Lean | None = None


@dataclass(slots=True)
class AssemblyCell:
    """A definition of an assembly, with the scope in which it was written."""

    name: str
    span: Span
    statement: t.AssemblyStatement
    scope: Scope
    used: bool = False


@dataclass(slots=True)
class Scope:
    """Names visible at one place. A scope with a frame of its own (plan, assembly) holds parts; the scope of a
    loop only its variable and settings. families: indexed names. broken: names whose line could not be read or
    carried out; blind: any name may be among them."""

    parent: Scope | None
    frame: Instance | None
    names: dict[str, object] = field(default_factory=dict)
    families: dict[str, dict[int, object]] = field(default_factory=dict)
    places: dict[str, Span] = field(default_factory=dict)
    assemblies: dict[str, AssemblyCell] = field(default_factory=dict)
    barrier: bool = False
    broken: set[str] = field(default_factory=set)
    blind: bool = False

    def owner(self) -> Scope:
        """The scope of the enclosing plan or assembly, where parts are declared."""
        scope: Scope = self
        while scope.parent is not None and not scope.barrier:
            scope = scope.parent
        return scope

    def lost(self, name: str) -> bool:
        """Whether the name's own line is at fault, so that its use is not."""
        scope: Scope | None = self
        while scope is not None:
            if scope.blind or name in scope.broken:
                return True
            scope = scope.parent
        return False

    def known(self) -> list[str]:
        """All names that can be used here, for suggestions."""
        found: dict[str, None] = {}
        scope: Scope | None = self
        outside = False
        while scope is not None:
            found.update(dict.fromkeys(n for n, v in scope.names.items() if not (outside and isinstance(v, (PartCell, Instance)))))
            if not outside:
                found.update(dict.fromkeys(scope.families))
            outside = outside or scope.barrier
            scope = scope.parent
        return list(found)


def new_plan_scope() -> tuple[Scope, Instance]:
    """The scope and the instance of the plan itself."""
    scope = Scope(None, None, barrier=True)
    frame = Instance("", "", NOWHERE, None, scope)
    scope.frame = frame
    return scope, frame
