"""What an assembly is put together from: its own parts, and its nested assemblies as wholes."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from plandoc.geometry.bodies import Box
from plandoc.model.entities import Joint, Model, Part
from plandoc.model.leaning import standing


@dataclass(frozen=True, slots=True)
class Unit:
    """path of a part or of an assembly instance; parts: paths of all placed parts in it; box around them (mm)."""

    path: str
    parts: tuple[str, ...]
    box: Box
    thickness_axis: int


def joint_room(model: Model, joint: Joint) -> Box:
    """The room in which a joint lies, where its parts stand (mm)."""
    lean = model.part(joint.a).lean
    if lean is None or lean != model.part(joint.b).lean:
        return joint.channel
    return standing(joint.channel, (), lean)


def units(model: Model, assembly: str = "") -> tuple[Unit, ...]:
    """The units of an assembly in the order of the plan."""
    inside = {part.path: _unit_of(model, part, assembly) for part in model.placed}
    grouped: dict[str, list[Part]] = {}
    for part in model.placed:
        unit = inside[part.path]
        if unit is not None:
            grouped.setdefault(unit, []).append(part)
    made = []
    for path, parts in grouped.items():
        made.append(_unit(path, parts))
    return tuple(made)


def union_of(model: Model, paths: Sequence[str]) -> Unit:
    """These placed parts as one unit with the path of the first. Raises KeyError for a path that is not there."""
    return _unit(paths[0], [model.part(path) for path in paths])


def _unit(path: str, parts: Sequence[Part]) -> Unit:
    box = parts[0].stands
    for part in parts[1:]:
        box = box.union(part.stands)
    axis = parts[0].thickness_axis if len(parts) == 1 else min(range(3), key=box.size)
    return Unit(path, tuple(p.path for p in parts), box, axis)


def _unit_of(model: Model, part: Part, assembly: str) -> str | None:
    """The unit of `assembly` that holds a part: the part itself, or the nested instance just below."""
    parents = {child: a.path for a in model.assemblies for child in a.children}
    here, below = part.assembly, part.path
    while here != assembly:
        if here == "":
            return None
        here, below = parents.get(here, ""), here
    return below


def only_parts(model: Model, paths: Container[str]) -> Model:
    """The model with these parts and the joints between them alone."""
    parts = tuple(p for p in model.parts if p.path in paths)
    joints = tuple(j for j in model.joints if j.a in paths and j.b in paths)
    return replace(model, parts=parts, joints=joints)
