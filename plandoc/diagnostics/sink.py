"""Where passes put what they find."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from plandoc.diagnostics.codes import CODES
from plandoc.diagnostics.diagnostic import Diagnostic, Note, Severity
from plandoc.diagnostics.source import Span


@dataclass(frozen=True, slots=True)
class Reported:
    """Proof that a message was given; whatever is computed from it stays silent."""

    code: str


class Sink:
    """Collects diagnostics; `finish` returns them without repeats, in reading order."""

    LIMIT = 200

    def __init__(self) -> None:
        self._found: list[Diagnostic] = []

    def emit(
        self, code: str, message: str, span: Span, *, notes: Iterable[Note | str] = (), mend: str = ""
    ) -> Reported:
        """Record one diagnostic; its severity belongs to the code."""
        entry = CODES[code]
        made = tuple(Note(note) if isinstance(note, str) else note for note in notes)
        self._found.append(Diagnostic(code, entry.severity, message, span, made, mend))
        return Reported(code)

    @property
    def has_errors(self) -> bool:
        """Whether any error was recorded."""
        return any(d.severity is Severity.ERROR for d in self._found)

    def finish(self) -> tuple[Diagnostic, ...]:
        """All diagnostics, each once, ordered by file (in order of first mention) and place.

        A line inside a loop or an assembly may have the same fault many times: the first is told, the others counted.
        """
        order: dict[str, int] = {}
        for d in self._found:
            order.setdefault(d.span.file, len(order))
        same: dict[tuple[str, Span], list[Diagnostic]] = {}
        for d in dict.fromkeys(self._found):
            same.setdefault((d.code, d.span), []).append(d)
        ranked = sorted((_counted(group) for group in same.values()), key=lambda d: (order[d.span.file], d.span.start, d.span.end, d.code, d.message))
        return tuple(ranked[: self.LIMIT])


def _counted(group: list[Diagnostic]) -> Diagnostic:
    first = group[0]
    if len(group) == 1:
        return first
    more = Note(f"and {len(group) - 1} more like this from the same line")
    return replace(first, notes=(*first.notes, more))
