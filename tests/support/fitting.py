"""How two parts fit: measured on their finished solids, against what they had before anything was cut."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.build.solids import blank_solid, part_solid
from plandoc.geometry.bodies import Box, box_prism
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Joint, Model

NOTHING = 1e-3  # mm3


@dataclass(frozen=True)
class Fit:
    """Volumes in mm3. shared: wood that stands in both parts; gap: room in the corner that neither fills;
    of_a, of_b: what each has of the room."""

    shared: float
    gap: float
    of_a: float
    of_b: float


def fit_of(model: Model, a: str, b: str, room: Box) -> Fit:
    """How the parts a and b share a room that both together shall fill."""
    first, second, whole = part_solid(model.part(a)), part_solid(model.part(b)), Solid.from_prisms([box_prism(room)])
    shared = first.common_volume(second)
    of_a, of_b = first.common_volume(whole), second.common_volume(whole)
    return Fit(shared, float(room.volume) - of_a - of_b + shared, of_a, of_b)


def whole(model: Model, path: str) -> bool:
    """Whether the part hangs together."""
    return len(part_solid(model.part(path)).pieces()) == 1


def gap(model: Model, joint: Joint) -> float:
    """Air (mm3) in the room that the joint takes from B, holes of its fasteners left out, once A is in it. The halves
    must not stand in each other."""
    a, b = model.part(joint.a), model.part(joint.b)
    first, second = part_solid(a), part_solid(b)
    assert first.common_volume(second) < NOTHING, f"{joint.id}: the halves share wood"
    room = [cut for f in b.features if f.joint == joint.id and "hole" not in f.kind for cut in f.cuts]
    return Solid.from_prisms(room).common(blank_solid(b)).minus(first).minus(second).volume
