"""Diagnostics as text for a terminal and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from plandoc.diagnostics.diagnostic import Diagnostic, Severity
from plandoc.diagnostics.source import Source, Span


def _marked(source: Source, span: Span, indent: str) -> list[str]:
    line, column = source.place(span.start)
    end_line, end_column = source.place(span.end)
    text = source.line(line)
    width = max(1, (end_column if end_line == line else len(text) + 1) - column)
    width = min(width, max(1, len(text) + 2 - column))
    shown = text.expandtabs(1)
    return [f"{indent}{line:>5} | {shown}", f"{indent}      | {' ' * (column - 1)}{'^' * width}"]


def _place(sources: Mapping[str, Source], span: Span) -> str:
    source = sources.get(span.file)
    if source is None:
        return span.file or "(plan)"
    line, column = source.place(span.start)
    return f"{source.name}:{line}:{column}"


def render_text(diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source]) -> str:
    """One block a diagnostic: place and sentence, source line with the place marked, values, mend."""
    blocks: list[str] = []
    for d in diagnostics:
        lines = [f"{_place(sources, d.span)}: {d.severity.value} {d.code}: {d.message}"]
        source = sources.get(d.span.file)
        if source is not None:
            lines += _marked(source, d.span, "")
        for note in d.notes:
            if note.span is None:
                lines.append(f"        {note.text}")
                continue
            lines.append(f"        {note.text} ({_place(sources, note.span)})")
            other = sources.get(note.span.file)
            if other is not None:
                lines += _marked(other, note.span, "  ")
        if d.mend:
            lines.append(f"        mend: {d.mend}")
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + ("\n" if blocks else "")


def summary(diagnostics: Iterable[Diagnostic]) -> str:
    """`2 errors, 1 warning`."""
    found = list(diagnostics)
    errors = sum(d.severity is Severity.ERROR for d in found)
    warnings = len(found) - errors
    words = []
    if errors:
        words.append(f"{errors} error" + ("s" if errors > 1 else ""))
    if warnings:
        words.append(f"{warnings} warning" + ("s" if warnings > 1 else ""))
    return ", ".join(words) or "no errors, no warnings"


def render_json(diagnostics: Iterable[Diagnostic], sources: Mapping[str, Source]) -> str:
    """A JSON list; every entry has code, severity, message, file, line, column, end_line, end_column, notes, mend."""
    rows = []
    for d in diagnostics:
        row: dict[str, object] = {"code": d.code, "severity": d.severity.value, "message": d.message}
        row.update(_json_place(sources, d.span))
        row["notes"] = [
            {"text": n.text, **(_json_place(sources, n.span) if n.span is not None else {})} for n in d.notes
        ]
        row["mend"] = d.mend
        rows.append(row)
    return json.dumps(rows, indent=2, ensure_ascii=False) + "\n"


def _json_place(sources: Mapping[str, Source], span: Span) -> dict[str, object]:
    source = sources.get(span.file)
    if source is None:
        return {"file": span.file}
    line, column = source.place(span.start)
    end_line, end_column = source.place(span.end)
    return {"file": source.name, "line": line, "column": column, "end_line": end_line, "end_column": end_column}
