"""The words that the declared kinds add to the language."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Sorted words: options that take values, flags that stand alone, and the names of the kinds; of machines of a shop
    also their words: figures that take values, marks that stand alone."""

    options: tuple[str, ...]
    flags: tuple[str, ...]
    shapes: tuple[str, ...]
    joints: tuple[str, ...]
    hardware: tuple[str, ...]
    machines: tuple[str, ...] = ()
    figures: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()

    @property
    def of_shop(self) -> Vocabulary:
        """The words of a shop file: those of machines stand in the place of options and flags."""
        return Vocabulary(self.figures, self.marks, (), (), (), self.machines)


def closest(word: str, known: Iterable[str]) -> str:
    """The known word that the given one was most likely meant to be, "" where none is near."""
    lowered = {k.lower(): k for k in sorted(known, reverse=True)}
    found = difflib.get_close_matches(word.lower(), sorted(lowered), n=1, cutoff=0.6)
    return lowered[found[0]] if found else ""


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A mend: the closest word, or the list of all words where there are few."""
    names = sorted(set(known))
    near = closest(word, names)
    if near:
        return f"did you mean `{near}`?"
    if names and len(names) <= 24:
        return "known here: " + ", ".join(names)
    return ""
