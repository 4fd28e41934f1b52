"""Checks of a finished sheet as a drafting teacher makes them, on its display list.

Every rule is a small function in audit_rules or audit_dimensions; RULES names them all, sorted. Places are paper mm.
"""

from __future__ import annotations

from collections.abc import Callable

from plandoc.drawing import audit_dimensions, audit_rules
from plandoc.drawing.audit_sheet import Finding, SheetView
from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style

__all__ = ["RULES", "Finding", "audit"]

Rule = Callable[[SheetView], tuple[Finding, ...]]

RULES: tuple[tuple[str, Rule], ...] = tuple(sorted((*audit_rules.RULES, *audit_dimensions.RULES), key=lambda r: r[0]))

if len({name for name, _ in RULES}) != len(RULES):
    raise RuntimeError("two audit rules share a name")


def audit(sheet: Sheet, style: Style) -> tuple[Finding, ...]:
    """All findings of all rules on one sheet, by rule and then in drawing order."""
    view = SheetView(sheet, style)
    return tuple(finding for _, rule in RULES for finding in rule(view))
