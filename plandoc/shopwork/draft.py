"""A generated stretch of the procedure before it has its place among the author's steps."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.model.entities import Model, Step

CUT, MACHINE, ASSEMBLE, FIT, FINISH = 1, 2, 3, 4, 5
PHASES = {"cut": CUT, "make": MACHINE, "join": ASSEMBLE, "fasten": ASSEMBLE, "place": ASSEMBLE, "fit": FIT}
"""Phase of an operation by its verb."""


@dataclass(frozen=True, slots=True)
class Draft:
    """Steps that stay together. parts: the paths worked on. depth: how deep the assembly stands that is closed
    (0 the whole plan). joint: the joint that must be closed first (fastening). stock: what is cut: better right after
    the author's steps that cut of it. before_cut: it comes before its parts are cut to size."""

    phase: int
    steps: tuple[Step, ...]
    parts: tuple[str, ...] = ()
    depth: int = 0
    joint: str = ""
    stock: str = ""
    before_cut: bool = False


def depth_of(path: str) -> int:
    """How many assemblies a path of an assembly stands inside, itself counted; 0 for the whole plan."""
    return path.count(".") + 1 if path else 0


def common_level(one: str, two: str) -> str:
    """Path of the innermost assembly that holds both assemblies."""
    shared = []
    for a, b in zip(one.split("."), two.split("."), strict=False):
        if a != b:
            break
        shared.append(a)
    return ".".join(shared)


def level_of(model: Model, a: str, b: str) -> str:
    """Path of the innermost assembly that holds both parts."""
    return common_level(model.part(a).assembly, model.part(b).assembly)
