"""One message about a plan."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plandoc.diagnostics.source import Span


class Severity(StrEnum):
    """How bad: an error stops the packet, a warning is printed with it."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Note:
    """A further fact, with a place of its own where it has one."""

    text: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """code: key of codes.CODES; message: what is wrong; notes: the values involved; mend: what to type."""

    code: str
    severity: Severity
    message: str
    span: Span
    notes: tuple[Note, ...] = ()
    mend: str = ""
