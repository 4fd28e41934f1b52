"""Checks of a finished sheet as a drafting teacher makes them.

Every rule is a small function in audit_rules or audit_dimensions; RULES names them all, sorted. They run on display lists
here, and on the written files in the acceptance tests, which read those by themselves. CROWDED are the rules whose findings
a user is told: what cannot be read, or can be read wrong, because a sheet has too little room.
"""

from __future__ import annotations

from functools import partial

from plandoc.drawing import audit_dimensions, audit_rules
from plandoc.drawing.audit_rules import Rule
from plandoc.drawing.audit_sheet import Finding, sheet_view
from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style

__all__ = ["CROWDED", "RULES", "Finding", "audit", "crowded"]

RULES: tuple[tuple[str, Rule], ...] = tuple(sorted((*audit_rules.RULES, *audit_dimensions.RULES), key=lambda r: r[0]))
MOST_STEPS = 40
CROWDED = frozenset({
    "dimension-lines-cross", "figure-present", "ink-in-text", "ink-outside-frame", "leaders-cross", "leaders-cross-dimensions",
    "line-through-form", "line-through-text", "running-cross", "small-lettering", "text-on-text",
})  # fmt: skip

if len({name for name, _ in RULES}) != len(RULES) or CROWDED - {name for name, _ in RULES}:
    raise RuntimeError("two audit rules share a name, or one that is told to users is not there")


def audit(sheet: Sheet, style: Style) -> tuple[Finding, ...]:
    """All findings of all rules on one sheet, by rule and then in drawing order."""
    view = sheet_view(sheet, style)
    styled: tuple[Rule, ...] = (
        partial(audit_rules.dimension_height, wanted=style.height("dimtxt")),
        partial(audit_dimensions.first_row, least=style.first_row),
        partial(audit_dimensions.even_rows, step=style.row_step, most=MOST_STEPS),
    )
    plain = (rule for name, rule in RULES if name != "dimension-height")
    return tuple(finding for rule in (*plain, *styled) for finding in rule(view))


def crowded(sheet: Sheet, style: Style) -> tuple[Finding, ...]:
    """The findings that a user is told."""
    view = sheet_view(sheet, style)
    return tuple(finding for name, rule in RULES if name in CROWDED for finding in rule(view))
