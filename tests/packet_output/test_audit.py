"""A drafting teacher's checks on every finished sheet."""

from __future__ import annotations

from typing import Any

import pytest

from plandoc.drawing.audit import audit


@pytest.mark.parametrize("made", ["bench-shelf"], indirect=True)
def test_no_sheet_has_a_finding(made: Any) -> None:
    found = [(s.code, f.rule, f.message) for s in made.sheets for f in audit(s, made.style)]
    assert found == []
