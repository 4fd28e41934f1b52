"""Every piece of work that a model implies: cutting, machining, joining, fastening, fitting, setting in place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from plandoc.geometry.bodies import AXES, body_box
from plandoc.model.entities import Feature, Fitting, Joint, Model, Part
from plandoc.model.ordered import ordered
from plandoc.model.rods import ROD
from plandoc.model.unglued import dry
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.names import BAND, by_mark, mark_of
from plandoc.tables import operation_of_feature, operation_of_hardware

_CUT_KINDS = {"sheet": "sheet_breakdown", "lumber": "rip", "dowel": "crosscut_rod", "batten": "crosscut"}
_FASTEN_KINDS = {
    "dowel": "pinning", "screw": "screwing", "nail": "nailing", "pocket screw": "screwing", "peg": "pegging", "plug": "plugging", "key": "keying",
    "spline": "setting_strips", "loose tenon": "setting_strips",
}  # fmt: skip
_BLIND_KINDS = {"dowel": "setting_dowels"}
INLAID = ("biscuit", "spline")
"""Fasteners that go in while the joint is glued, where they are not fitted beforehand: no work of their own."""


@dataclass(frozen=True, slots=True)
class Operation:
    """One piece of work. id: stable, `cut:A`, `make:A:dado`, `join:ID`, `fasten:ID:1`, `fit:ID`, `place:PATH`.

    kind: key of the trade's operations. parts: paths, marks: theirs. features: ids of the features that are made.
    joint, fitting: the id of what is closed, fastened or fitted."""

    id: str
    kind: str
    parts: tuple[str, ...]
    marks: tuple[str, ...]
    joint: str = ""
    features: tuple[str, ...] = ()
    fitting: str = ""

    @property
    def verb(self) -> str:
        """cut, make, join, fasten, fit or place."""
        return self.id.partition(":")[0]


@dataclass(frozen=True, slots=True)
class WorkItem:
    """The least piece of an operation that a step can claim: one part cut, one feature of one part made, or the
    whole of any other operation (path and feature empty)."""

    operation: str
    path: str = ""
    feature: str = ""


def is_fastener_hole(feature: Feature, joints: dict[str, Joint]) -> bool:
    """Whether the hole is drilled while its joint is pinned or screwed, not at the machine."""
    joint = joints.get(feature.joint)
    return joint is not None and any(not f.blind for f in joint.fasteners) and "hole" in feature.kind


def is_cut_to_size(part: Part, feature: Feature) -> bool:
    """Whether a feature is there as soon as the part is cut: the roundness of a rod, a tongue as thick and as wide as the
    part between its shoulders."""
    if feature.kind == ROD:
        return True
    if feature.cuts or feature.text or feature.kind == BAND:
        return False
    if feature.kind == "tongue" and feature.id.rpartition(".")[2].startswith("corner"):
        return True  # where two tongues meet: cut with them
    for prism in feature.adds:
        box, shoulder = body_box(prism), part.shoulder
        for axis in AXES:
            beyond = box.hi[axis] <= shoulder.lo[axis] or box.lo[axis] >= shoulder.hi[axis]
            covers = box.lo[axis] <= shoulder.lo[axis] and box.hi[axis] >= shoulder.hi[axis]
            if not beyond and not covers:
                return False
    return True


def is_shortened(part: Part, feature: Feature) -> bool:
    """Whether a tongue is as thick as its part and only shorter than the edge: its corners are notched off."""
    thick = part.thickness_axis
    return feature.kind == "tongue" and bool(feature.adds) and all(
        body_box(prism).span(thick) == part.shoulder.span(thick) for prism in feature.adds
    )


def feature_word(part: Part, feature: Feature) -> str:
    """The word by which the trade's operations know this feature."""
    if feature.kind in ("pocket", "step") and feature.diameter and len(feature.cuts) == 1:  # a ring round a core is routed
        return "round pocket"
    return "corner notch" if is_shortened(part, feature) else feature.kind


def feature_operation(part: Part, feature: Feature) -> str:
    """Key of the trade's operation that makes this feature."""
    key = operation_of_feature(feature_word(part, feature))
    if key == "hole" and feature.row and sum(other.row == feature.row for other in part.features) > 1:
        return "hole_row"
    return key


def machined(model: Model, part: Part) -> tuple[Feature, ...]:
    """The features of a part that are made at the bench, before it is joined; none of a pane, which is ordered as it is drawn."""
    if ordered(part.stock):
        return ()
    joints = {joint.id: joint for joint in model.joints}
    return tuple(
        f for f in part.features if not is_cut_to_size(part, f) and not is_fastener_hole(f, joints)
    )  # fmt: skip


@of_last_model
def operations(model: Model) -> tuple[Operation, ...]:
    """All work that the model implies, in the order of the plan: cut, make, join and fasten, fit, set in place."""
    return tuple(_all(model))


def _all(model: Model) -> Iterator[Operation]:
    for mark, parts in by_mark(model.parts).items():
        kind = "ordering" if ordered(parts[0].stock) else _CUT_KINDS.get(parts[0].stock.kind, "rip")
        yield Operation(f"cut:{mark}", kind, tuple(p.path for p in parts), (mark,))
    for mark, parts in by_mark(model.parts).items():
        yield from _making(model, mark, parts)
    marks = {part.path: mark_of(part) for part in model.parts}
    for joint in model.joints:
        yield from _joining(model, joint, marks)
    spread = {item.name: None for item in model.hardware if item.kind == "glue"}  # with the joints that it holds
    for fitting in model.fittings:
        if fitting.item in spread:
            continue
        yield _fitting(model, fitting, marks)
    placed = model.placed
    held = {path: None for joint in model.joints for path in (joint.a, joint.b)}
    if len(placed) > 1:
        for part in placed:
            if part.path not in held:
                yield Operation(f"place:{part.path}", "placing", (part.path,), (mark_of(part),))


def _making(model: Model, mark: str, parts: tuple[Part, ...]) -> Iterator[Operation]:
    found: dict[str, Operation] = {}
    for part in parts:
        for feature in machined(model, part):
            kind = feature_operation(part, feature)
            old = found.get(kind, Operation(f"make:{mark}:{kind}", kind, (), (mark,)))
            paths = old.parts if part.path in old.parts else (*old.parts, part.path)
            features = old.features if feature.id in old.features else (*old.features, feature.id)
            found[kind] = replace(old, parts=paths, features=features)
    yield from found.values()


def _joining(model: Model, joint: Joint, marks: dict[str, str]) -> Iterator[Operation]:
    parts = (joint.a, joint.b)
    both = tuple(dict.fromkeys((marks[joint.a], marks[joint.b])))
    yield Operation(f"join:{joint.id}", "sliding_in" if not joint.glued else "dry_fit" if dry(model, joint) else "glue_up", parts, both, joint.id)
    for number, fastening in enumerate(joint.fasteners, 1):
        if fastening.kind in INLAID and not fastening.blind:
            continue
        kind = _FASTEN_KINDS.get(fastening.kind, "screwing")
        if fastening.blind:
            kind = _BLIND_KINDS.get(fastening.kind, kind)
        yield Operation(f"fasten:{joint.id}:{number}", kind, parts, both, joint.id)


def _fitting(model: Model, fitting: Fitting, marks: dict[str, str]) -> Operation:
    item = next((h for h in model.hardware if h.name == fitting.item), None)
    kind = operation_of_hardware(item.kind if item else fitting.item)
    both = tuple(dict.fromkeys(marks[path] for path in fitting.parts))
    return Operation(f"fit:{fitting.id}", kind, fitting.parts, both, fitting=fitting.id)


@of_last_model
def work_items(model: Model) -> tuple[WorkItem, ...]:
    """All least pieces of work, in the order of the operations."""
    found: list[WorkItem] = []
    parts = {part.path: part for part in model.parts}
    for op in operations(model):
        if op.verb == "cut":
            found.extend(WorkItem(op.id, path) for path in op.parts)
        elif op.verb == "make":
            for path in op.parts:
                part = parts[path]
                found.extend(
                    WorkItem(op.id, path, f.id)
                    for f in machined(model, part)
                    if feature_operation(part, f) == op.kind
                )
        else:
            found.append(WorkItem(op.id))
    return tuple(found)
