"""Source texts and places in them."""

from __future__ import annotations

import bisect
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """Characters start..end (end not included) of the source named `file`."""

    file: str
    start: int
    end: int

    def to(self, other: Span) -> Span:
        """From the start of this span to the end of the other."""
        return Span(self.file, min(self.start, other.start), max(self.end, other.end))


NOWHERE = Span("", 0, 0)


@dataclass(frozen=True, slots=True)
class Source:
    """One plan text. `name` is what messages call it (the path as the user gave it)."""

    name: str
    text: str
    _starts: list[int] = field(default_factory=list, repr=False, compare=False)

    def __post_init__(self) -> None:
        self._starts.append(0)
        for index, char in enumerate(self.text):
            if char == "\n":
                self._starts.append(index + 1)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, both counted from 1."""
        offset = max(0, min(offset, len(self.text)))
        line = bisect.bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1

    def line(self, number: int) -> str:
        """Text of line `number` (from 1) without its end."""
        if not 1 <= number <= len(self._starts):
            return ""
        start = self._starts[number - 1]
        end = self._starts[number] - 1 if number < len(self._starts) else len(self.text)
        return self.text[start:end].rstrip("\r")
