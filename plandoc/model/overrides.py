"""`--set NAME=VALUE` of the command line -> expressions in place of the plan's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plandoc.diagnostics import Sink, Source, Span
from plandoc.syntax import tree as t
from plandoc.syntax.engine import Fault, parse_slice
from plandoc.syntax.expressions import Reader
from plandoc.syntax.outline import plain_text
from plandoc.syntax.vocabulary import Vocabulary


def read_overrides(settings: Sequence[tuple[str, str]], vocabulary: Vocabulary, sink: Sink, sources: Mapping[str, Source]) -> dict[str, t.Expr]:
    """Expressions by name. Every setting becomes a source of its own, so that messages can show it."""
    made: dict[str, t.Expr] = {}
    for name, value in settings:
        label = f"--set {name}"
        source = Source(label, value)
        if isinstance(sources, dict):
            sources[label] = source
        text = plain_text(value)
        reader = Reader(label, text, vocabulary, sink)
        try:
            tree = parse_slice(vocabulary, text, 0, len(text), "braced")
        except Fault as fault:
            sink.emit("PD105", f"`{value}` is not a value", Span(label, min(fault.start, len(text)), max(fault.end, fault.start + 1)), mend="such as 3/4\", 18 mm, 5 or \"a text\"")
            continue
        made[name] = reader.expr(tree.children[0])
    return made
