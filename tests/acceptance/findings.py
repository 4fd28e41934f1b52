"""What a rule finds, and the table of all rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from plandoc.drawing.audit import Finding as Found
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import Drawn


@dataclass(frozen=True, slots=True)
class Finding:
    """sheet: the file; element: what it is about; measured: the value that breaks the rule."""

    sheet: str
    element: str
    measured: str

    def __str__(self) -> str:
        return f"{self.sheet}: {self.element}: {self.measured}"


Rule = Callable[[Packet], list[Finding]]
RULES: dict[str, Rule] = {}


def rule(number: int, letter: str = "") -> Callable[[Rule], Rule]:
    """Enters a rule under its number in the list of thirty; letters divide those that say several things."""

    def enter(function: Rule) -> Rule:
        name = f"{number:02d}{letter}-{function.__name__.replace('_', '-')}"
        assert name not in RULES
        RULES[name] = function
        return function

    return enter


def sheet_rule(number: int, letter: str = "") -> Callable[[Callable[[Drawn], Iterable[tuple[str, str]]]], Rule]:
    """A rule that reads one sheet at a time, of the packet and of the documents beside it."""

    def enter(function: Callable[[Drawn], Iterable[tuple[str, str]]]) -> Rule:
        def whole(packet: Packet) -> list[Finding]:
            return [Finding(drawn.name, *found) for drawn in packet.every for found in function(drawn)]

        whole.__name__, whole.__doc__ = function.__name__, function.__doc__
        return rule(number, letter)(whole)

    return enter


def shared(number: int, letter: str, name: str, function: Callable[[Drawn], Iterable[Found]]) -> None:
    """A rule that the program runs on its own sheets too (plandoc/drawing/audit.py), here on the files as they were
    written and read by a reader that shares nothing with the program."""

    def found(drawn: Drawn) -> Iterable[tuple[str, str]]:
        return ((f.what, f.measured) for f in function(drawn))

    found.__name__, found.__doc__ = name, function.__doc__
    sheet_rule(number, letter)(found)
