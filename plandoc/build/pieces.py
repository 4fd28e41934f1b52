"""Separate pieces of one plan: parts that are joined, fitted to each other or stand close together belong to one piece."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.build.groups import tied
from plandoc.geometry.bodies import AXES, Box
from plandoc.model.entities import Model, Part

CLOSE = Fraction(25)  # mm; what stands no further apart belongs together: clearances of drawers and doors are smaller
SMALL = Fraction(1, 2)  # of the size of all; where the largest piece is smaller, each is drawn by itself


def pieces(model: Model) -> tuple[tuple[str, ...], ...]:
    """The placed parts (paths) of each piece in the order of the plan."""
    placed = model.placed
    ties: list[tuple[str, ...]] = [(joint.a, joint.b) for joint in model.joints]
    ties += [fitting.parts for fitting in model.fittings]
    ties += [(part.path, other.path) for n, part in enumerate(placed) for other in placed[:n] if _close(part.stands, other.stands)]
    return tied([part.path for part in placed], ties)


def drawn_apart(model: Model) -> tuple[tuple[str, ...], ...]:
    """The pieces that get views of their own: one of those that are alike, and none of those of one part, since its
    drawing shows it; empty where all are seen well enough together."""
    box = model.box
    found = pieces(model)
    if box is None or len(found) < 2:
        return ()
    largest = max(_size(_around([model.part(path) for path in piece])) for piece in found)
    if largest >= SMALL * _size(box):
        return ()
    different: dict[object, tuple[str, ...]] = {}
    for piece in found:
        if len(piece) > 1:
            different.setdefault(_likeness(model, piece), piece)
    return tuple(different.values())


def _likeness(model: Model, piece: tuple[str, ...]) -> object:
    """What two pieces have in common that look the same: marks of parts, and where they stand in the piece."""
    parts = [model.part(path) for path in piece]
    corner = _around(parts).lo
    return tuple(sorted((p.mark, tuple(p.stands.lo[a] - corner[a] for a in AXES), tuple(p.stands.size(a) for a in AXES)) for p in parts))


def piece_model(model: Model, paths: tuple[str, ...]) -> Model:
    """The plan with the parts of one piece only, and what belongs to them."""
    assemblies = {a.path: a for a in model.assemblies}
    children = {child: a.path for a in model.assemblies for child in a.children}
    kept = set()
    for part in model.parts:
        here = part.assembly
        while part.path in paths and here not in kept:
            kept.add(here)
            here = children.get(here, "")

    def moves(target: str) -> bool:
        return target in paths or (target in kept and target != "")

    box = _around([model.part(path) for path in paths])
    return replace(
        model,
        parts=tuple(p for p in model.parts if p.path in paths),
        joints=tuple(j for j in model.joints if j.a in paths),
        fittings=tuple(f for f in model.fittings if any(p in paths for p in f.parts)),
        motions=tuple(m for m in model.motions if moves(m.target)),
        sections=tuple(s for s in model.sections if box.lo[s.axis] < s.at < box.hi[s.axis]),
        assemblies=tuple(
            replace(a, parts=tuple(p for p in a.parts if p in paths), children=tuple(c for c in a.children if c in kept))
            for a in assemblies.values() if a.path in kept or a.path == ""
        ),
    )  # fmt: skip


def piece_name(model: Model, paths: tuple[str, ...]) -> str:
    """The name of the assembly that holds all parts of a piece; else that of the plan for the largest piece, and for others
    the names of the first part and the last."""
    children = {child: a.path for a in model.assemblies for child in a.children}
    chains = []
    for path in paths:
        chain, here = [], model.part(path).assembly
        while here:
            chain.append(here)
            here = children.get(here, "")
        chains.append(chain)
    shared = [here for here in chains[0] if all(here in chain for chain in chains)]
    if shared:
        return next(a.name for a in model.assemblies if a.path == shared[0])
    names = list(dict.fromkeys(model.part(path).name for path in paths))
    if len(names) > 2:
        largest = max(pieces(model), key=lambda piece: _around([model.part(path) for path in piece]).volume)
        return model.info.title if set(paths) == set(largest) and model.info.title else f"{names[0]} to {names[-1]}"
    return ", ".join(names)


def _around(parts: list[Part]) -> Box:
    box = parts[0].stands
    for part in parts[1:]:
        box = box.union(part.stands)
    return box


def _size(box: Box) -> Fraction:
    return max(box.size(a) for a in AXES)


def _close(a: Box, b: Box) -> bool:
    return all(a.lo[i] - CLOSE <= b.hi[i] and b.lo[i] - CLOSE <= a.hi[i] for i in AXES)
