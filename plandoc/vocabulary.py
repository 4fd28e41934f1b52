"""All kinds that the program knows, and the words that they add to the language."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from plandoc.model.kinds import ARC_PARAMS, Kinds, Param
from plandoc.model.machinekinds import machine_kinds
from plandoc.registry import discover
from plandoc.syntax.vocabulary import Vocabulary


@lru_cache(maxsize=1)
def all_kinds() -> Kinds:
    """Every kind, found once."""
    return Kinds(discover("plandoc.joints"), discover("plandoc.shapes"), discover("plandoc.hardware"), machine_kinds())


def vocabulary(kinds: Kinds) -> Vocabulary:
    """The words of the kinds' declared parameters."""
    params: list[Param] = []
    groups: tuple[Iterable[tuple[Param, ...]], ...] = (
        (k.params for k in kinds.joints.values()),
        (k.params for k in kinds.shapes.values()),
        (k.params for k in kinds.hardware.values()),
        (k.fit_params for k in kinds.hardware.values()),
        (ARC_PARAMS,),
    )
    for group in groups:
        for one in group:
            params.extend(p for p in one if not p.lead)
    flags = sorted({p.name for p in params if p.type == "flag"})
    options = sorted({p.name for p in params if p.type != "flag"})
    of_machines = [p for k in kinds.machines.values() for p in k.params]
    figures = sorted({p.name for p in of_machines if p.type != "flag"})
    marks = sorted({p.name for p in of_machines if p.type == "flag"})
    return Vocabulary(
        tuple(options), tuple(flags), tuple(kinds.shapes), tuple(kinds.joints), tuple(kinds.hardware), tuple(kinds.machines), tuple(figures), tuple(marks)
    )  # fmt: skip
