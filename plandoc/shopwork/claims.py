"""Which work each step of a procedure claims, and what no step claims."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Container, Sequence
from dataclasses import dataclass

from plandoc.model.entities import Fastening, Feature, Fitting, Joint, Model, Step
from plandoc.shopwork.operations import Operation, WorkItem, operations, work_items


def paths_named(model: Model, name: str) -> tuple[str, ...]:
    """Paths of the parts that a name in a step stands for: a part, an assembly and all in it, all instances of a
    loop (`tray` for `tray[1]`, `tray[2]`), a part mark, or the two parts of a joint. Empty where nothing fits."""
    for part in model.parts:
        if part.path == name:
            return (name,)
    for joint in model.joints:
        if joint.id == name:
            return (joint.a, joint.b)
    inside = tuple(p.path for p in model.parts if p.path.startswith((f"{name}.", f"{name}[")))
    return inside or tuple(p.path for p in model.parts if p.mark and p.mark == name)


def all_paths(model: Model, names: Sequence[str]) -> tuple[str, ...]:
    """The parts of several names, each once, in the order of naming."""
    return tuple(dict.fromkeys(path for name in names for path in paths_named(model, name)))


@dataclass(slots=True)
class _Claimer:
    """Walks the steps in order; joints are claimed once, by the step in which their second part arrives, or by an author's
    that names a part with no other joint, where no later one of the author's names what it is joined to.

    Fasteners are claimed once: by a step that fits them, for the joints among the parts that it joins (all joints where
    it joins none), by one that names both parts again and closes no joint, or by an author's that speaks of them."""

    model: Model

    def run(self, steps: Sequence[Step]) -> tuple[tuple[WorkItem, ...], ...]:
        items = work_items(self.model)
        by_id = {op.id: op for op in operations(self.model)}
        joints = {joint.id: joint for joint in self.model.joints}
        features = {(p.path, f.id): f for p in self.model.parts for f in p.features}
        present: dict[str, None] = {}
        closed: dict[str, None] = {}
        fastened: dict[WorkItem, None] = {}
        placed: dict[str, None] = {}
        found = []
        lonely = self._only_joints()
        named = [dict.fromkeys(all_paths(self.model, step.joins)) if step.author else {} for step in steps]
        for number, step in enumerate(steps):
            joined = all_paths(self.model, step.joins)
            later = {path: None for row in named[number + 1 :] for path in row}
            closing = [
                j.id
                for j in self.model.joints
                if j.id not in closed
                and (j.id in step.joins or _closes(j, joined, present) or (step.author and j.id in lonely and j.a in joined and j.b not in later))
            ]
            cut = dict.fromkeys(all_paths(self.model, step.cuts))
            makes = dict.fromkeys(step.makes)
            worked = dict.fromkeys(all_paths(self.model, [name for name in makes if name not in joints]))
            hung = held_by_hardware(self.model, [f.id for f in self.model.fittings if _fits(step, f)])
            claimed = []
            for item in items:
                op = by_id[item.operation]
                if op.verb == "cut":
                    yes = item.path in cut
                elif op.verb == "make":
                    feature = features[item.path, item.feature]
                    yes = item.path in worked or any(name in makes for name in _make_names(op, item, feature))
                elif op.verb == "join":
                    yes = op.joint in closing
                elif op.verb == "place":
                    yes = op.parts[0] in joined or (op.parts[0] in hung and op.parts[0] not in placed)
                    placed.update(dict.fromkeys(op.parts if yes else ()))
                elif op.verb == "fit":
                    yes = self._fits(step, op)
                else:
                    yes = item not in fastened and self._fastens(step, op, joints[op.joint], joined, closing, closed)
                    if yes:
                        fastened[item] = None
                if yes:
                    claimed.append(item)
            closed.update(dict.fromkeys(closing))
            present.update(dict.fromkeys(joined))
            found.append(tuple(claimed))
        return tuple(found)

    def _only_joints(self) -> dict[str, None]:
        """Joints that are the only one of their part A: who names that part alone can mean no other."""
        own: dict[str, list[Joint]] = {}
        for joint in self.model.joints:
            own.setdefault(joint.a, []).append(joint)
            own.setdefault(joint.b, []).append(joint)
        return {j.id: None for j in self.model.joints if len(own[j.a]) == 1 and j.glued}

    def _fits(self, step: Step, op: Operation) -> bool:
        return op.id in step.fits or _fits(step, next(f for f in self.model.fittings if f.id == op.fitting))

    def _fastens(
        self, step: Step, op: Operation, joint: Joint, joined: Sequence[str], closing: Sequence[str], closed: Container[str]
    ) -> bool:
        """joined: the parts that the step joins; closing: the joints that it closes; closed: those closed before."""
        if op.id in step.makes or op.id in step.fits or joint.id in step.fits:
            return True
        within = all(path in joined for path in op.parts)
        item = joint.fasteners[int(op.id.rpartition(":")[2]) - 1].item
        if item and item in step.fits:
            return not joined or within or joint.id in closing
        return within and ((joint.id in closed and not closing) or _speaks_of(step, joint.fasteners, op))


def _fits(step: Step, fitting: Fitting) -> bool:
    """Whether a step names a fitting, its item, or all fittings of a line."""
    return any(name in (f"fit:{fitting.id}", fitting.id, fitting.item) or fitting.id.startswith(f"{name}[") for name in step.fits)


def held_by_hardware(model: Model, fittings: Sequence[str]) -> tuple[str, ...]:
    """Parts that no joint holds and these fittings (ids) do: as hinges hold a lid, or screws alone what goes on a wall."""
    screws = {item.name: None for item in model.hardware if item.kind == "screw"}
    joined = {path: None for joint in model.joints for path in (joint.a, joint.b)}
    ids = dict.fromkeys(fittings)
    held = dict.fromkeys(path for f in model.fittings if f.id in ids and ((len(f.parts) > 1 and f.rooms) or f.item in screws) for path in f.parts)
    return tuple(path for path in held if path not in joined)


def _make_names(op: Operation, item: WorkItem, feature: Feature) -> tuple[str, ...]:
    """The names, beside its part's, by which a step may claim the making of a feature."""
    names = (feature.id, f"{item.path}.{feature.kind}", feature.kind, op.id, feature.joint, feature.row)
    return tuple(name for name in names if name)


_FASTENER_WORDS = {"dowel": r"\b(dowel|pin(s|ned|ning)?\b)", "screw": r"\bscrew", "nail": r"\bnail"}


def _speaks_of(step: Step, fasteners: tuple[Fastening, ...], op: Operation) -> bool:
    """Whether the title or the texts of an author's step speak of the kind of fastener (`pin`, `screw`)."""
    kind = fasteners[int(op.id.rpartition(":")[2]) - 1].kind
    return step.author and any(
        re.search(_FASTENER_WORDS.get(kind, kind), text.casefold()) for text in (step.title, *step.texts)
    )


def _closes(joint: Joint, joined: tuple[str, ...], present: dict[str, None]) -> bool:
    a, b = joint.a in joined, joint.b in joined
    if a and b:
        return True
    if a and joint.b in present:
        return True
    # A sliding part that was finished earlier is not in its channel merely because the case is glued later.
    return b and joint.a in present and joint.glued


Claims = tuple[tuple[WorkItem, ...], ...]
_known: deque[tuple[Model, tuple[Step, ...], Claims]] = deque(maxlen=4)
"""The last answers: the sheets ask many times for the claims of one procedure."""


def claims(model: Model, steps: Sequence[Step]) -> Claims:
    """For each step the work that it claims."""
    for known, own, found in _known:
        if known is model and len(own) == len(steps) and all(a is b for a, b in zip(own, steps, strict=True)):
            return found
    _known.append((model, tuple(steps), made := _Claimer(model).run(steps)))
    return made


def unclaimed(model: Model, steps: Sequence[Step]) -> tuple[WorkItem, ...]:
    """The least pieces of work that no step claims, in the order of the operations."""
    taken = {item: None for row in claims(model, steps) for item in row}
    return tuple(item for item in work_items(model) if item not in taken)


def uncovered(model: Model, steps: Sequence[Step]) -> tuple[Operation, ...]:
    """The operations of which some part is claimed by no step; empty for a complete procedure."""
    missing = {item.operation: None for item in unclaimed(model, steps)}
    return tuple(op for op in operations(model) if op.id in missing)
