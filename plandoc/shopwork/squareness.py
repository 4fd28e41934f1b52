"""The check of a glued box: its two diagonals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Box, other_axes
from plandoc.model.entities import Joint, Part
from plandoc.shopwork.measures import square_root

LEAST = 3
"""A frame is at least so many thicknesses of its parts wide: one at each side, and one of opening (by reason)."""


@dataclass(frozen=True, slots=True)
class Diagonals:
    """normal: the axis looked along. width and height: outer sizes in that view (mm). length: of each diagonal
    (mm, exact where the root is rational, else within 1/1,000,000). parts: whose corners are measured."""

    normal: int
    width: Fraction
    height: Fraction
    length: Fraction
    parts: tuple[str, ...]


def looked_along(joint: Joint) -> int:
    """The axis along which one sees the corner of a joint: that of its run; of a lap the one along which the parts lie in
    each other."""
    return joint.entry.axis if joint.kind == "lap" else joint.run_axis


def closing_run(joints: Sequence[Joint]) -> int | None:
    """The run axis of most of the joints (the first on a tie): looking along it one sees the frame."""
    runs = [looked_along(joint) for joint in joints]
    return max(runs, key=lambda axis: (runs.count(axis), -runs.index(axis)), default=None)


def diagonals(parts: Sequence[Part], joints: Sequence[Joint], opening: int | None = None) -> Diagonals | None:
    """The diagonals of what the joints close, None where it shows no rectangle with four real corners. opening: the axis along which
    doors close it: they need it square seen along that, where it has four corners there.

    Tries the outer box of all parts, then that of the parts that are entered (an overhanging top leaves the
    corners of the case to its sides). Joints that make several frames, not yet joined to each other, close no
    rectangle."""
    normal = closing_run(joints)
    if normal is None or len(parts) < 3 or not _hang_together(joints):
        return None
    # Stiles and rails lie beside each other in one plane (a door, a face frame): there one looks at their faces.
    flat = {part.thickness_axis for part in parts}
    axis = min(flat)
    if len(flat) == 1 and max(p.box.lo[axis] for p in parts) < min(p.box.hi[axis] for p in parts):
        normal = axis
    entered = {j.b: None for j in joints if looked_along(j) == normal}
    tried = [(tuple(parts), normal), (tuple(p for p in parts if p.path in entered), normal)]
    if opening is not None and opening != normal:
        tried.insert(0, (tuple(p for p in parts if p.thickness_axis != opening), opening))
    for group, normal in tried:
        found = _corners(group, normal)
        if found is not None:
            a, b = other_axes(normal)
            width, height = found.size(a), found.size(b)
            return Diagonals(
                normal, width, height, square_root(width**2 + height**2), tuple(p.path for p in group)
            )  # fmt: skip
    return None


def _hang_together(joints: Sequence[Joint]) -> bool:
    """Whether these joints make one piece of all the parts that they join."""
    reached = {path: None for joint in joints[:1] for path in (joint.a, joint.b)}
    rest = list(joints)
    while True:
        near = [j for j in rest if j.a in reached or j.b in reached]
        if not near:
            return not rest
        reached.update((path, None) for j in near for path in (j.a, j.b))
        rest = [j for j in rest if j not in near]


def _corners(parts: Sequence[Part], normal: int) -> Box | None:
    """The common box, where each of its four corners in the view belongs to a part and no part holds all four; boards that
    lie on each other leave no room for a tape between them."""
    if len(parts) < 2 or any(p.lean is not None for p in parts):
        return None
    box = parts[0].stands
    for part in parts[1:]:
        box = box.union(part.stands)
    a, b = other_axes(normal)
    if min(box.size(a), box.size(b)) < LEAST * max(part.thickness for part in parts):
        return None
    if any(part.box.span(a) == box.span(a) and part.box.span(b) == box.span(b) for part in parts):
        return None
    for x in (box.lo[a], box.hi[a]):
        for y in (box.lo[b], box.hi[b]):
            if not any(x in p.box.span(a) and y in p.box.span(b) for p in parts):
                return None
    return box
