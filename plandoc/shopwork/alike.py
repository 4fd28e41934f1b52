"""Which assembly instances are alike: same marks, same joints, every part in the same place."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import AXES, body_box
from plandoc.model.entities import Feature, Joint, Model, Part
from plandoc.shopwork.names import mark_of

Spans = tuple[tuple[Fraction, Fraction], ...]


def parts_inside(model: Model, level: str) -> tuple[Part, ...]:
    """The placed parts of an assembly and of all that stands in it; every placed part for the whole plan ("")."""
    return tuple(p for p in model.placed if not level or p.assembly == level or p.assembly.startswith(f"{level}."))


def form_of(model: Model, level: str, joints: Sequence[Joint]) -> tuple[object, ...]:
    """What two instances must have in common to be made by one step.

    The parts by mark with their boxes and the boxes of their cuts, measured from the low corner of the instance, and
    `joints` by kind and marks. A mirrored or a turned instance has another form, as its corners read differently."""
    parts = parts_inside(model, level)
    origin = tuple(min((p.stands.lo[axis] for p in parts), default=Fraction(0)) for axis in AXES)

    def spans(lo: Sequence[Fraction], hi: Sequence[Fraction]) -> Spans:
        return tuple((lo[axis] - origin[axis], hi[axis] - origin[axis]) for axis in AXES)

    def cuts(feature: Feature) -> tuple[Spans, ...]:
        boxes = [body_box(prism) for prism in feature.cuts]
        return tuple(sorted(spans(box.lo, box.hi) for box in boxes))

    marks = {p.path: mark_of(p) for p in model.parts}
    rows = sorted(
        (mark_of(p), spans(p.stands.lo, p.stands.hi), tuple(sorted((f.kind, cuts(f)) for f in p.features if f.cuts)))
        for p in parts
    )
    held = sorted(
        (j.kind, marks[j.a], marks[j.b], j.depth, j.width, j.glued, tuple((f.kind, len(f.centres)) for f in j.fasteners))
        for j in joints
    )
    return (tuple(rows), tuple(held))


def standing_groups(joints: Sequence[Joint]) -> dict[str, int]:
    """Parts that these closed joints hold together: a number for each group of them."""
    group: dict[str, int] = {}
    for number, joint in enumerate(joints):
        old = {group[path]: None for path in (joint.a, joint.b) if path in group}
        for path in [p for p, g in group.items() if g in old]:
            group[path] = number
        group[joint.a] = group[joint.b] = number
    return group
