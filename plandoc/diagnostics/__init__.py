"""What the program tells a person about a plan: place, cause, values, mend."""

from plandoc.diagnostics.diagnostic import Diagnostic, Note, Severity
from plandoc.diagnostics.render import render_json, render_text
from plandoc.diagnostics.sink import Reported, Sink
from plandoc.diagnostics.source import NOWHERE, Source, Span

__all__ = [
    "NOWHERE",
    "Diagnostic",
    "Note",
    "Reported",
    "Severity",
    "Sink",
    "Source",
    "Span",
    "render_json",
    "render_text",
]
