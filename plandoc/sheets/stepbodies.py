"""Parts as they are after a step: with the work of the steps up to it and none of the later ones, and from where the
step's own work on them is seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import Box, Face, box_prism
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import ISO, ISO_LEFT, Projection, Vector
from plandoc.model.entities import Feature, Model, Part, Step
from plandoc.sheets.partfaces import feature_box, spans
from plandoc.shopwork.claims import claims
from plandoc.shopwork.operations import is_cut_to_size, is_fastener_hole, operations

OWN_FACE, OPENING = 3, 1  # how much a face that is seen says: the one that work is done from, one where it comes out
TURNS: tuple[Vector, ...] = ((1.0, 1.0, 1.0), (-1.0, -1.0, 1.0), (1.0, -1.0, -1.0), (-1.0, 1.0, -1.0))


def _turned(view: Projection, turn: Vector) -> Projection:
    """The picture of a part that was rolled half over about an axis (turn: which axes change their sense)."""

    def back(vector: Vector) -> Vector:
        return vector[0] * turn[0], vector[1] * turn[1], vector[2] * turn[2]

    return Projection(view.name, back(view.right), back(view.up), back(view.toward))


BENCH_VIEWS = tuple(_turned(view, turn) for turn in TURNS for view in (ISO, ISO_LEFT))


@dataclass(slots=True)
class Progress:
    """What is done when. steps: by number of the step and path of the part, the features made in that step; known: the
    solids that were made already."""

    model: Model
    finished: Mapping[str, Solid]
    order: tuple[int, ...]
    steps: Mapping[tuple[int, str], frozenset[str]]
    late: Mapping[str, Mapping[str, int]]  # path -> feature -> place in the order of the step that makes it
    known: dict[tuple[str, frozenset[str]], Solid] = field(default_factory=dict)

    def made_in(self, number: int, path: str) -> tuple[Feature, ...]:
        """The features of a part that this step makes."""
        here = self.steps.get((number, path), frozenset())
        return tuple(f for f in self.model.part(path).features if f.id in here)

    def missing(self, number: int, path: str) -> frozenset[str]:
        """The features of a part that later steps make."""
        now = self.order.index(number)
        return frozenset(feature for feature, at in self.late.get(path, {}).items() if at > now)

    def standing(self, number: int, path: str) -> Solid:
        """The part after that step, where it stands in the piece."""
        part = self.model.part(path)
        missing = self.missing(number, path)
        if not missing:
            return self.finished[path]
        solid = self._partial(part, missing)
        return solid if part.lean is None else solid.leaned(part.lean)

    def straight(self, number: int, path: str) -> Solid:
        """The part after that step, as if it stood straight."""
        part = self.model.part(path)
        missing = self.missing(number, path)
        if missing:
            return self._partial(part, missing)
        return self.finished[path] if part.lean is None else part_solid(part)

    def so_far(self, number: int, path: str) -> Part:
        """The part with the features alone that are made by the end of that step."""
        part, missing = self.model.part(path), self.missing(number, path)
        return replace(part, features=tuple(f for f in part.features if f.id not in missing))

    def _partial(self, part: Part, missing: frozenset[str]) -> Solid:
        key = (part.path, missing)
        if key not in self.known:
            features = []
            for feature in part.features:
                if feature.id not in missing:
                    features.append(feature)
                elif feature.adds:
                    features.append(replace(feature, cuts=(), adds=(box_prism(_uncut(part, feature)),)))
            self.known[key] = part_solid(replace(part, features=tuple(features)))
        return self.known[key]


def progress(model: Model, finished: Mapping[str, Solid], steps: Sequence[Step]) -> Progress:
    """What each step makes; work that no step claims counts as done from the start. Holes for the fasteners of a joint
    are drilled by the step that sets these."""
    by_id = {op.id: op for op in operations(model)}
    joints = {joint.id: joint for joint in model.joints}
    drilled = [
        (part.path, f) for part in model.parts for f in part.features
        if is_fastener_hole(f, joints) and not is_cut_to_size(part, f)
    ]  # fmt: skip
    made: dict[tuple[int, str], dict[str, None]] = {}
    late: dict[str, dict[str, int]] = {}
    for at, (step, items) in enumerate(zip(steps, claims(model, steps), strict=True)):
        for item in items:
            op = by_id[item.operation]
            rows = [(item.path, item.feature)] if op.verb == "make" else []
            if op.verb == "fasten":
                rows = [(path, f.id) for path, f in drilled if f.joint == op.joint]
            for path, feature in rows:
                if feature not in late.setdefault(path, {}):
                    late[path][feature] = at
                    made.setdefault((step.number, path), {})[feature] = None
    return Progress(model, finished, tuple(s.number for s in steps), {k: frozenset(v) for k, v in made.items()}, late)


def _uncut(part: Part, feature: Feature) -> Box:
    """The wood in which a tongue still lies: as thick and as wide as the part between its shoulders."""
    box = feature_box(replace(feature, cuts=())) or part.shoulder
    lo, hi = list(box.lo), list(box.hi)
    for axis in range(3):
        if box.lo[axis] < part.shoulder.hi[axis] and part.shoulder.lo[axis] < box.hi[axis]:
            lo[axis], hi[axis] = min(lo[axis], part.shoulder.lo[axis]), max(hi[axis], part.shoulder.hi[axis])
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def telling_view(part: Part, work: Sequence[Feature]) -> Projection:
    """The isometric picture in which most of this work is seen, the part rolled over where it lies behind or below."""
    scores = [_score(part, work, view) for view in BENCH_VIEWS]
    return BENCH_VIEWS[scores.index(max(scores))]


def _score(part: Part, work: Sequence[Feature], view: Projection) -> int:
    score = 0
    for feature in work:
        box = feature_box(feature)
        for axis in range(3):
            side = 1 if view.toward[axis] > 0 else -1
            face = Face(axis, side)
            if feature.face is not None and feature.face.axis == axis:
                both = feature.through or (box is not None and spans(part, box, axis))
                score += OWN_FACE * (feature.face.side == side or both)
            elif box is not None:
                score += OPENING * ((box.at(face) - part.box.at(face)) * side >= 0)
    return score
