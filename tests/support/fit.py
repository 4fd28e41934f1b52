"""How two halves of a joint fit, measured on the finished solids."""

from __future__ import annotations

from plandoc.build.solids import blank_solid, part_solid
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Joint, Model


def gap(model: Model, joint: Joint) -> float:
    """Air (mm3) in the room that the joint takes from B, holes of its fasteners left out, once A is in it. The halves
    must not stand in each other."""
    a, b = model.part(joint.a), model.part(joint.b)
    first, second = part_solid(a), part_solid(b)
    assert first.common_volume(second) < 1e-3, f"{joint.id}: the halves share wood"
    room = [cut for f in b.features if f.joint == joint.id and "hole" not in f.kind for cut in f.cuts]
    return Solid.from_prisms(room).common(blank_solid(b)).minus(first).minus(second).volume
