"""The checks, found in this folder: one file per check, each with a module attribute CHECK."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.registry import members

Run = Callable[[Model, Mapping[str, Solid], Sink], None]


@dataclass(frozen=True, slots=True)
class Check:
    """code: the diagnostic that it may give, unique. run: looks at the model and at the solids by part path."""

    code: str
    run: Run


def arranged(checks: Iterable[Check]) -> tuple[Check, ...]:
    """By code. Raises ValueError where two checks give the same code."""
    ordered = tuple(sorted(checks, key=lambda check: check.code))
    codes = [check.code for check in ordered]
    for code in codes:
        if codes.count(code) > 1:
            raise ValueError(f"two checks give the code {code}")
    return ordered


@lru_cache(maxsize=1)
def checks() -> tuple[Check, ...]:
    """All checks in the order of their codes."""
    return arranged(members("plandoc.checks", "CHECK"))


def run_checks(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Every check, one after the other."""
    for check in checks():
        check.run(model, solids, sink)
