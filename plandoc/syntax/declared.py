"""Which names statements declare, also such as were never carried out."""

from __future__ import annotations

from collections.abc import Iterable

from plandoc.syntax import tree as t


def declared_names(statements: Iterable[t.Statement]) -> tuple[str, ...]:
    """Names that the statements, and those below them, would give a meaning; in order, each once."""
    found: dict[str, None] = {}
    for statement in statements:
        if isinstance(statement, t.Broken):
            found.update(dict.fromkeys(statement.names))
        elif isinstance(statement, (t.Setting, t.StockStatement, t.HardwareStatement, t.AssemblyStatement)):
            found[statement.name] = None
        elif isinstance(statement, t.PartStatement):
            found[base_name(statement.path)] = None
        elif isinstance(statement, t.Place):
            found[statement.assembly.name if statement.path is None else base_name(statement.path)] = None
        elif isinstance(statement, (t.Loop, t.Each)):
            found.update(dict.fromkeys(declared_names(statement.body)))
        elif isinstance(statement, t.Condition):
            found.update(dict.fromkeys(declared_names((*statement.body, *statement.otherwise))))
    return tuple(found)


def base_name(path: t.Expr) -> str:
    """`shelf` of `shelf`, `shelf[2]` or `shelf.top`."""
    while isinstance(path, (t.Index, t.Member)):
        path = path.base
    return path.name if isinstance(path, t.Name) else ""
