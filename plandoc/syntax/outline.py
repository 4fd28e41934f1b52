"""From text to a tree of lines: comments cut off, indentation turned into belonging.

The language is parsed line by line, so a fault in one line never spoils another.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from plandoc.diagnostics import Sink, Source, Span

# Characters that a word processor puts in the place of plain ones; each is replaced by one character, so that
# places in the text stay the same.
_PLAIN = str.maketrans({"“": '"', "”": '"', "″": '"', "„": '"', "′": "'", "’": "'", "‘": "'", "‑": "-", "−": "-", "–": "-", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u2002": " ", "\u2003": " ", "\ufeff": " "})

# In these lines the rest is words for the reader: quotes do not delimit there.
TEXT_WORDS = ("do", "check", "note", "tools", "caution", "wait", "material")
_TEXT_LINE = re.compile(rf"(?:{'|'.join(TEXT_WORDS)})(?![A-Za-z0-9_])")
_FIGURE = re.compile(r"[0-9½¼¾⅛⅜⅝⅞⅓⅔⅙⅚⅕⅖⅗⅘]")

TAB = 4


@dataclass(slots=True)
class Line:
    """One line with content: characters start..end of the plain text, its column, and the lines indented below."""

    start: int
    end: int
    indent: int
    children: list[Line] = field(default_factory=list)


def plain_text(text: str) -> str:
    """The text with typographic quotes, primes, dashes and blanks made plain, character for character."""
    return text.translate(_PLAIN)


def comment_start(text: str, start: int, end: int) -> int:
    """Where a `#` comment begins between start and end; end where there is none.

    A comment begins the line or follows a blank, and is followed by a blank or the end; a `#` inside a string or
    directly before a figure (`#8`) is not one.
    """
    free_text = _TEXT_LINE.match(text, start) is not None
    in_string = False
    index = start
    while index < end:
        char = text[index]
        if in_string:
            if char == "\\":
                index += 1
            elif char == '"':
                in_string = False
        elif char == '"' and not free_text:
            in_string = not (index > start and _FIGURE.match(text[index - 1]))
        elif char == "#" and (index == start or text[index - 1] in " \t"):
            after = text[index + 1 : index + 2]
            if after in ("", " ", "\t", "#", "\r") or index == start:
                return index
        index += 1
    return end


def outline(source: Source, sink: Sink) -> tuple[str, list[Line]]:
    """The plain text and the top lines of its tree."""
    text = plain_text(source.text)
    top: list[Line] = []
    stack: list[Line] = []
    tab_said = False
    offset = 0
    for raw in text.split("\n"):
        start = offset
        offset += len(raw) + 1
        body = raw.rstrip()
        content = body.lstrip(" \t")
        if not content:
            continue
        first = start + len(body) - len(content)
        end = comment_start(text, first, start + len(body))
        while end > first and text[end - 1] in " \t":
            end -= 1
        if end == first:
            continue
        lead = text[start:first]
        if "\t" in lead and not tab_said:
            tab_said = True
            sink.emit("PD103", "a tab stands in the indentation", Span(source.name, start, first),
                      notes=["each tab is read as a step to the next multiple of 4 columns"], mend="indent with blanks")
        line = Line(first, end, len(lead.expandtabs(TAB)))
        while stack and stack[-1].indent >= line.indent:
            last = stack.pop()
            if last.indent > line.indent and (not stack or stack[-1].indent < line.indent):
                siblings = stack[-1].children if stack else top
                if siblings and siblings[0].indent != line.indent:
                    sink.emit("PD102", "this line lines up with none of the lines above it", Span(source.name, first, end),
                              notes=[f"it is indented by {line.indent}; the lines that it could stand beside by {siblings[0].indent}"],
                              mend=f"indent it by {siblings[0].indent} blanks, or more to make it belong to the line above")
                    line.indent = siblings[0].indent  # what follows is measured by where it should have stood
        if not stack and line.indent > 0 and not top:
            sink.emit("PD102", "the first line of a plan is indented", Span(source.name, first, end), mend="begin it in the first column")
            line.indent = 0
        (stack[-1].children if stack else top).append(line)
        stack.append(line)
    return text, top
