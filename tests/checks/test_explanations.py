"""The plan lines that the explanations of these checks show are lines of the plan language."""

from __future__ import annotations

import pytest

from plandoc.checks.registry import checks
from plandoc.diagnostics import Sink, Source
from plandoc.diagnostics.codes import CODES
from plandoc.syntax.parse import parse
from plandoc.vocabulary import all_kinds, vocabulary


@pytest.mark.parametrize("code", [check.code for check in checks()])
def test_the_lines_shown_are_well_formed(code: str) -> None:
    words = vocabulary(all_kinds())
    for lines in (CODES[code].wrong, CODES[code].right):
        sink = Sink()
        assert parse(Source("lines", lines + "\n"), words, sink)
        assert sink.finish() == ()
