"""Operations, machines and cautions of the trade: who does what with which protection, and on whose word."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from plandoc.tables.files import toml_table


@dataclass(frozen=True, slots=True)
class Caution:
    """One short order. source: a document and its section where it was read, or `common practice`.

    machine: key of the machine that it holds for, "" for all. short: its name where it was said in full before."""

    text: str
    source: str
    machine: str = ""
    short: str = ""


@dataclass(frozen=True, slots=True)
class Machine:
    """A machine or kind of bench work. words: how a plan may name it. protective: what is worn or used."""

    key: str
    name: str
    words: tuple[str, ...]
    protective: tuple[str, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class TradeOperation:
    """An operation of the trade. group: its place in the making (cut, machine, assemble, fit, finish, any).

    machines: keys, the usual one first. features, joints, hardware: words of the plan that this operation makes,
    closes or fits."""

    key: str
    name: str
    group: str
    machines: tuple[str, ...]
    tools: tuple[str, ...]
    cautions: tuple[Caution, ...]
    features: tuple[str, ...] = ()
    hardware: tuple[str, ...] = ()

    def cautions_on(self, machine_key: str) -> tuple[Caution, ...]:
        """The cautions that hold when the work is done on that machine."""
        return tuple(c for c in self.cautions if c.machine in ("", machine_key))


def _cautions(rows: Iterable[dict[str, str]]) -> tuple[Caution, ...]:
    return tuple(Caution(row["text"], row["source"], row.get("machine", ""), row.get("short", "")) for row in rows)


def _machine(key: str, row: dict[str, Any]) -> Machine:
    return Machine(key, row["name"], tuple(row["words"]), tuple(row["protective"]), _cautions(row["cautions"]))


def _operation(key: str, row: dict[str, Any]) -> TradeOperation:
    return TradeOperation(
        key,
        row["name"],
        row["group"],
        tuple(row["machines"]),
        tuple(row["tools"]),
        _cautions(row["cautions"]),
        tuple(row.get("features", ())),
        tuple(row.get("hardware", ())),
    )


@cache
def machines() -> dict[str, Machine]:
    """All machines by key, in the order of the table."""
    return {key: _machine(key, row) for key, row in toml_table("machines").items()}


@cache
def trade_operations() -> dict[str, TradeOperation]:
    """All operations by key, in the order of the table."""
    return {key: _operation(key, row) for key, row in toml_table("operations").items()}


@cache
def _named_cautions() -> dict[str, Caution]:
    found: dict[str, Caution] = {}
    for key, row in toml_table("cautions").items():
        for word in (key, *row.get("also", ())):
            if word in found:
                raise ValueError(f"the caution word {word!r} stands twice")
            found[word] = Caution(row["text"], row["source"], short=row["text"].partition(":")[0])
    return found


@cache
def _short_names() -> dict[str, str]:
    rows = [c for m in machines().values() for c in m.cautions]
    rows += [c for o in trade_operations().values() for c in o.cautions]
    rows += _named_cautions().values()
    return {c.text: c.short for c in reversed(rows) if c.short}


def caution_name(text: str) -> str:
    """The short name of a caution: that of the tables, else its words before the first colon, semicolon, full stop or
    comma."""
    known = _short_names().get(text)
    if known:
        return known
    return re.split(r"[:;.,]", text, maxsplit=1)[0].strip()


@cache
def _by_word(column: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for key, entry in trade_operations().items():
        for word in entry.features if column == "features" else entry.hardware:
            if word in found:
                raise ValueError(f"{word!r} belongs to two operations: {found[word]} and {key}")
            found[word] = key
    return found


def machine(key: str) -> Machine:
    """The machine of that key. Raises KeyError."""
    return machines()[key]


def operation(key: str) -> TradeOperation:
    """The operation of that key. Raises KeyError."""
    return trade_operations()[key]


def named_caution(word: str) -> Caution | None:
    """The caution that a plan calls by this word (`kickback`), None where the word is not in the table."""
    return _named_cautions().get(" ".join(word.casefold().split()))


def caution_words() -> tuple[str, ...]:
    """All words that name a caution, in the order of the table."""
    return tuple(_named_cautions())


def operation_of_feature(kind: str) -> str:
    """Key of the operation that makes a feature of this kind; `shaping` for words that the table lacks."""
    return _by_word("features").get(kind, "shaping")


def operation_of_hardware(kind: str) -> str:
    """Key of the operation that fits hardware of this kind; `fit_hardware` for words that the table lacks."""
    return _by_word("hardware").get(kind, "fit_hardware")


def machine_named(text: str) -> Machine | None:
    """The machine that a tool's text speaks of: the longest of all machine words found in it as whole words."""
    padded = f" {' '.join(text.casefold().replace(',', ' ').split())} "
    best: tuple[int, Machine] | None = None
    for entry in machines().values():
        for word in (entry.name.casefold(), *entry.words):
            if f" {word} " in padded and (best is None or len(word) > best[0]):
                best = (len(word), entry)
    return best[1] if best else None
