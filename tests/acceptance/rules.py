"""All rules, entered in the table by importing their files."""

from __future__ import annotations

from tests.acceptance import (
    rules_dimensions,
    rules_documents,
    rules_exploded,
    rules_figures,
    rules_joints,
    rules_lettering,
    rules_linework,
    rules_lists,
    rules_views,
)
from tests.acceptance.findings import RULES, Finding

__all__ = ["FILES", "RULES", "Finding"]

FILES = (rules_dimensions, rules_documents, rules_exploded, rules_figures, rules_joints, rules_lettering, rules_linework, rules_lists, rules_views)
