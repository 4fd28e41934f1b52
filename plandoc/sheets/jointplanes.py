"""Joints that no section cuts: the plane in which each is drawn larger, what of it is shown, its figures and its words.

A box joint or dovetail is cut through the thickness of the board with the tails or pins, so that the row of them is seen;
dowels along their row; splines, keys, biscuits and all that runs in a channel across it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import Box, Face, Loop, Point3, Prism, body_box, other_axes
from plandoc.model.entities import Fastening, Feature, Joint, Model
from plandoc.quantity import dual_diameter, dual_text

ROWS = ("box", "dovetail")
HELD = ("dowel", "biscuit", "spline", "key", "loose tenon")  # lie hidden in the joint; screws are figured on the parts
OFF_MIDDLE = Fraction(7, 20)  # so that a symmetrical piece is not cut along a crack


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure of a joint: along a world axis from lo to hi (mm). ends: what lies there, where it is not the joint's own size.
    holds: axis and coordinate (mm) of the only plane in which a slope lets the figure be true."""

    axis: int
    lo: Fraction
    hi: Fraction
    name: str
    ends: tuple[str, str] = ("", "")
    holds: tuple[int, Fraction] | None = None


def joint_plane(model: Model, joint: Joint) -> tuple[int, Fraction] | None:
    """Axis and coordinate of the plane that shows the joint, None where there is nothing to be seen."""
    if joint.askew:
        return None
    if joint.cut_depth > 0:
        a, axis = model.part(joint.a).box, joint.run_axis
        lo, hi = max(joint.channel.lo[axis], a.lo[axis]), min(joint.channel.hi[axis], a.hi[axis])
        return (axis, lo + (hi - lo) * OFF_MIDDLE) if lo < hi else None
    if joint.kind in ROWS:
        axis = next((b.axis for f in joint_features(model, joint) for b in f.cuts if joint.kind == "dovetail" and isinstance(b, Prism)), joint.thickness_axis)
        lo, hi = joint.channel.span(axis)
        return axis, lo + (hi - lo) * OFF_MIDDLE
    held = next((f for f in joint.fasteners if f.kind in HELD and f.centres), None)
    if held is None:
        return None
    axis = _normal(joint, held)
    return axis, held.centres[0][axis]


def _normal(joint: Joint, held: Fastening) -> int:
    """Across the run of the joint; of two dowels or more, the plane in which they all lie."""
    if held.kind == "dowel" and len(held.centres) > 1:
        flat = [x for x in other_axes(held.axis) if held.centres[0][x] == held.centres[1][x]]
        if flat:
            return flat[0]
    return joint.run_axis if joint.run_axis != held.axis or held.kind in ("spline", "key") else other_axes(held.axis)[0]


def held_alike(joint: Joint) -> tuple[object, ...]:
    """What holds the joint, for telling like joints from others."""
    return tuple((f.kind, f.item) for f in joint.fasteners if f.kind in HELD)


def joint_features(model: Model, joint: Joint) -> Iterator[Feature]:
    """The work on both parts for this joint, that on the entered part first."""
    for path in (joint.b, joint.a):
        yield from (f for f in model.part(path).features if f.joint == joint.id and f.cuts)


def shown_area(model: Model, joint: Joint, normal: int, at: Fraction) -> Box:
    """What the detail shows: the channel or corner, or what is taken away for the first fasteners of a row."""
    if joint.cut_depth > 0 or joint.kind in ROWS:
        return joint.channel
    held = {f.kind for f in joint.fasteners if f.kind in HELD}
    boxes = [
        box for f in joint_features(model, joint) for box in map(body_box, f.cuts)
        if box.lo[normal] <= at <= box.hi[normal] and any(kind in f.kind for kind in held)
    ]  # fmt: skip
    return joint.channel if not boxes else _around(boxes)


def _around(boxes: Sequence[Box]) -> Box:
    found = boxes[0]
    for box in boxes[1:]:
        found = found.union(box)
    return found


def focus(model: Model, joint: Joint, normal: int, at: Fraction, radius: Fraction) -> tuple[Fraction, Fraction, Fraction]:
    """The middle of the detail (world mm). radius: what of the model its circle shows; of what is longer one end is shown,
    that to which the one part enters the other, or that at the reference face."""
    area, found = shown_area(model, joint, normal, at), [at, at, at]
    for axis in other_axes(normal):
        lo, hi = area.span(axis)
        if hi - lo <= radius * Fraction(17, 10):
            found[axis] = (lo + hi) / 2
            continue
        side = joint.entry.side if axis == joint.entry.axis and joint.cut_depth > 0 else model.part(joint.b).datum[axis]
        found[axis] = area.at(Face(axis, side)) - side * radius * Fraction(3, 4)
    return found[0], found[1], found[2]


def fineness(model: Model, joint: Joint, normal: int) -> tuple[Fraction, Fraction]:
    """The smallest and the largest size (mm) that the detail must print well."""
    if joint.cut_depth > 0:
        small, large = sorted((joint.cut_depth, joint.width))
        return small, large
    sizes = [b.size(x) for f in joint_features(model, joint) for b in map(body_box, f.cuts[:1]) for x in other_axes(normal)]
    return (min(sizes), max(sizes)) if sizes else (Fraction(10), Fraction(30))


def measures(model: Model, joint: Joint, normal: int) -> tuple[Measure, ...]:
    """Figures of the work for the joint in the plane: places from the reference face, sizes, depths."""
    found: list[Measure] = []
    for feature in joint_features(model, joint):
        rows = [(g.axis, g.lo, g.hi, g.role, ("", "")) for g in feature.figures]
        if feature.diameter is not None and feature.face is not None:
            rows.append((feature.face.axis, *body_box(feature.cuts[0]).span(feature.face.axis), "depth", (feature.id, feature.id)))
        for axis, lo, hi, role, ends in rows:
            if axis != normal and lo < hi and all((m.axis, m.lo, m.hi) != (axis, lo, hi) for m in found):
                found.append(Measure(axis, lo, hi, f"{role}{len(found) + 1}", ends, _holds(feature, axis, lo, hi)))
    if joint.kind == "dovetail":
        # the wood that half-blind tails leave before them
        b, axis = model.part(joint.b).shoulder, model.part(joint.b).thickness_axis
        socket = next((f.id for f in joint_features(model, joint) if f.kind == "tail socket"), "")
        sides = ((b.lo[axis], joint.channel.lo[axis], (f"{joint.b}.{Face(axis, -1).name}", socket)), (joint.channel.hi[axis], b.hi[axis], (socket, f"{joint.b}.{Face(axis, 1).name}")))
        for lo, hi, ends in sides:
            if lo < hi and axis != normal and b.hi[axis] - b.lo[axis] > hi - lo and joint.channel.size(axis) + hi - lo == b.size(axis):
                found.append(Measure(axis, lo, hi, f"lap{len(found) + 1}", ends))
    return tuple(found)


def _holds(feature: Feature, axis: int, lo: Fraction, hi: Fraction) -> tuple[int, Fraction] | None:
    """Where between its sloping sides a socket has this place or size; None for sides that do not slope."""
    for cut in feature.cuts:
        if isinstance(cut, Prism) and isinstance(cut.outline, Loop) and cut.axis != axis:
            row = other_axes(cut.axis).index(axis)
            there = {at: {p[row] for p in cut.outline.points if p[1 - row] == at} for at in {p[1 - row] for p in cut.outline.points}}
            own = {lo, hi} & set().union(*there.values())
            planes = [at for at, ends in there.items() if own <= ends]
            if len(there) == 2 and len(planes) == 1:
                return other_axes(cut.axis)[1 - row], planes[0]
    return None


def bore_lines(model: Model, joint: Joint, normal: int, at: Fraction) -> Iterator[tuple[Point3, Point3]]:
    """The axes of bores that lie in the plane, from bottom to bottom through both parts."""
    found: dict[tuple[object, ...], tuple[Point3, int, Fraction, Fraction]] = {}
    for feature in joint_features(model, joint):
        if feature.diameter is None or feature.face is None or feature.centre is None or feature.face.axis == normal or feature.centre[normal] != at:
            continue
        axis = feature.face.axis
        lo, hi = body_box(feature.cuts[0]).span(axis)
        key = (axis, *(feature.centre[x] for x in other_axes(axis)))
        _, _, low, high = found.get(key, (feature.centre, axis, lo, hi))
        found[key] = (feature.centre, axis, min(lo, low), max(hi, high))
    for centre, axis, lo, hi in found.values():
        near, far = list(centre), list(centre)
        near[axis], far[axis] = lo, hi
        yield (near[0], near[1], near[2]), (far[0], far[1], far[2])


def row_words(model: Model, joint: Joint) -> str:
    """Count, pitch and slope of pins and tails; bore, depth and pitch of what lies hidden in the joint."""
    units = model.info.units
    words: list[str] = []
    every = list(joint_features(model, joint))
    if joint.kind == "dovetail":
        tails = [f for f in every if f.kind == "tail socket"]
        words.append(f"{len(tails)} tail{'s' if len(tails) > 1 else ''}{_pitch(tails, model)}")
        slope = next((f.note.partition(",")[0] for f in tails if f.note), "")
        words += [slope] if slope else []
        for kind, name in (("pin socket", "pins"), ("half-pin socket", "half pins")):
            note = next((f.note for f in every if f.kind == kind), "")
            words += [f"{name} {note.rpartition('narrow side ')[2]}"] if "narrow side" in note else []
        return ", ".join(words) + " at the narrow side"
    if joint.kind == "box":
        for path in (joint.b, joint.a):
            own = [f for f in model.part(path).features if f.joint == joint.id and f.kind == "socket"]
            words.append(f"{len(own)} socket{'s' if len(own) > 1 else ''} in {model.part(path).mark}" + (_pitch(own, model) if path == joint.b else ""))
        return ", ".join(words)
    for held in joint.fasteners:
        if held.kind not in HELD:
            continue
        own = [f for f in every if held.kind in f.kind]
        bore = next((f.diameter for f in own if f.diameter), held.diameter)
        size = f", Ø{dual_diameter(bore, units)}" if held.kind == "dowel" else f" ({held.item})"
        words.append(f"{len(held.centres)} {held.kind}{'s' if len(held.centres) > 1 else ''}{size}" + _steps(held, model))
        for part in (model.part(joint.b), model.part(joint.a)):
            deep = next((f for f in own if f in part.features and f.face is not None), None)
            if deep is not None and deep.depth:
                words.append(f"{dual_text(deep.depth, units)} deep in {part.mark}")
        note = next((f.note for f in own if f.note), "")
        words += [note] if note and held.kind in ("spline", "key") else []
    return ", ".join(words)


def _pitch(alike: Sequence[Feature], model: Model) -> str:
    """The distance from one to the next, where all are alike."""
    boxes = [body_box(f.cuts[0]) for f in alike]
    steps = {(x, abs(q.lo[x] - p.lo[x])) for p, q in pairwise(boxes) for x in range(3) if p.lo[x] != q.lo[x] and p.size(x) == q.size(x)}
    return f", {dual_text(steps.pop()[1], model.info.units)} from one to the next" if len(steps) == 1 else ""


def _steps(held: Fastening, model: Model) -> str:
    if len(held.centres) < 2:
        return ""
    apart = [abs(q - p) for p, q in zip(held.centres[0], held.centres[1], strict=True)]
    return f", {dual_text(max(apart), model.info.units)} apart"
