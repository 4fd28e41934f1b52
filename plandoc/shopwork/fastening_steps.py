"""Generated steps that pin or screw joints, and that fit hardware."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import Face, other_axes
from plandoc.joints.fastening import drill
from plandoc.model.entities import Fastening, Fitting, HardwareItem, Joint, Model, Part, Step
from plandoc.quantity import diameter_text, shop_text
from plandoc.shopwork.claims import held_by_hardware
from plandoc.shopwork.draft import ASSEMBLE, FIT, Draft
from plandoc.shopwork.hardwarelist import area_words, fastening_words, gauge_of
from plandoc.shopwork.measures import face_at
from plandoc.shopwork.names import (
    counted,
    edge_words,
    exact_size,
    listed,
    mass_words,
    part_words,
    parts_words,
    repeated,
)
from plandoc.shopwork.operations import WorkItem
from plandoc.shopwork.pinholes import pin_hole_texts
from plandoc.shopwork.wording import Work, row_places
from plandoc.tables import operation_of_hardware, shank_and_lead

_TITLES = {
    "dowel": "Pin the joints with dowels", "screw": "Drive the screws", "pocket screw": "Drive the pocket screws", "nail": "Nail the joints", "peg": "Peg the tenons", "plug": "Plug the screw holes", "key": "Drive the keys",
}  # fmt: skip
_BLIND_TITLES = {"dowel": "Set the hidden dowels", "spline": "Fit the splines", "loose tenon": "Set the loose tenons"}


MANY = 3
"""Holes that stand in several rows are said again with their places up to this number."""


def fastening_steps(model: Model, joints: Sequence[Joint], wanted: Container[str]) -> tuple[Step, ...]:
    """One step for each kind and size of fastener in these joints. wanted: ids of the operations still open."""
    groups: dict[tuple[object, ...], list[tuple[Joint, str, Fastening]]] = {}
    for joint in joints:
        for number, fastening in enumerate(joint.fasteners, 1):
            op = f"fasten:{joint.id}:{number}"
            if op in wanted:
                groups.setdefault(_alike(model, joint, fastening), []).append((joint, op, fastening))
    return tuple(_fastening_step(model, group) for group in groups.values())


def fastening_drafts(model: Model, left: Sequence[WorkItem], closed: Mapping[str, int]) -> tuple[Draft, ...]:
    """Fastening of joints that the author's steps close. closed: joint id to the index of the author's step."""
    wanted = {item.operation: None for item in left if item.operation.startswith("fasten:")}
    found = []
    for index in sorted(dict.fromkeys(closed.values())):
        joints = [joint for joint in model.joints if closed.get(joint.id) == index]
        steps = fastening_steps(model, joints, wanted)
        if steps:
            paths = tuple(dict.fromkeys(path for j in joints for path in (j.a, j.b)))
            found.append(Draft(ASSEMBLE, steps, paths, joint=joints[0].id))
    return tuple(found)


def _fastening_step(model: Model, group: list[tuple[Joint, str, Fastening]]) -> Step:
    first = group[0][2]
    total = sum(len(fastening.centres) for _, _, fastening in group)
    texts = [_head_words(model, group[0][0], first, total)]
    texts.extend(repeated([_line_words(model, joint, fastening) for joint, _, fastening in group]))
    if first.blind:
        return Step(
            0, _BLIND_TITLES.get(first.kind, "Set the hidden fasteners"), makes=tuple(op for _, op, _ in group), texts=tuple(texts),
            checks=("Nothing stands further out than the hole of the other part is deep.",), author=False,
        )  # fmt: skip
    if first.kind == "key":
        return Step(
            0, _TITLES["key"], makes=tuple(op for _, op, _ in group), texts=tuple(texts), checks=("Shoulders closed all round; the keys can be knocked out again.",), author=False,
        )  # fmt: skip
    if first.kind == "plug":
        return Step(
            0, _TITLES["plug"], makes=tuple(op for _, op, _ in group), texts=tuple(texts), checks=("Every plug flush, its grain along that of the face.",), author=False,
        )  # fmt: skip
    return Step(
        0, _TITLES.get(first.kind, "Drive the fasteners"), makes=tuple(op for _, op, _ in group), texts=tuple(texts),
        checks=("Joint still closed and square after the last one.",), author=False,
    )  # fmt: skip


def _alike(model: Model, joint: Joint, fastening: Fastening) -> tuple[object, ...]:
    """Equal for fasteners that go in alike: one item, one bit, one way of sinking the head."""
    return fastening.kind, fastening.item, fastening.diameter, fastening.length, fastening.blind, _how(model, joint, fastening)


@dataclass(frozen=True, slots=True)
class _How:
    """How a fastener goes in. lead, clear: bits of a screw (mm), None where its gauge is not known. sunk: how its head is
    sunk, in words. drawn: how much a peg draws its tenon in (mm)."""

    lead: Fraction | None = None
    clear: Fraction | None = None
    sunk: str = ""
    drawn: Fraction = Fraction(0)


def _how(model: Model, joint: Joint, fastening: Fastening) -> _How:
    if fastening.kind == "peg":
        return _How(drawn=_drawn(model, joint, fastening))
    if fastening.blind or fastening.kind in ("key", "plug", "dowel", "pocket screw"):
        return _How()
    held, holds = (joint.a, joint.b) if fastening.from_a else (joint.b, joint.a)
    lead, clear = (
        next((f.diameter for f in model.part(path).features if f.joint == joint.id and "screw" in f.kind and f.diameter), None)
        for path in (holds, held)
    )
    gauge = gauge_of(model, fastening)
    if gauge is None:
        return _How()
    if lead is None or clear is None:
        inches = model.info.units.system == "inch"
        shank, thread = shank_and_lead(gauge)
        lead, clear = drill(thread, inches), drill(shank, inches, clear=True)
    note = next((f.note for f in model.part(held).features if f.joint == joint.id and f.kind == "screw hole"), "")
    word = {"csk": "Countersink", "cbo": "Counterbore"}.get(note[:3])
    return _How(lead, clear, f"{word} {note.partition(' ')[2]}" if word else "")


def claimed_heads(model: Model, claimed: Sequence[str]) -> tuple[str, ...]:
    """How many fasteners of each size the work drives, and their bits. claimed: ids of operations, others are skipped."""
    groups: dict[tuple[object, ...], list[tuple[Joint, Fastening]]] = {}
    for joint in model.joints:
        for number, fastening in enumerate(joint.fasteners, 1):
            if f"fasten:{joint.id}:{number}" in claimed:
                groups.setdefault(_alike(model, joint, fastening), []).append((joint, fastening))
    return tuple(
        _head_words(model, group[0][0], group[0][1], sum(len(f.centres) for _, f in group)) for group in groups.values()
    )


def _head_words(model: Model, joint: Joint, fastening: Fastening, total: int) -> str:
    units = model.info.units
    head = f"{total} × {fastening_words(model, fastening)}."
    if fastening.blind:
        return f"{head} " + {
            "dowel": "Glue each into its hole in the one part; the other part goes over them with the glue-up.",
            "spline": "Cut them as long as the grooves, grain across the joint; they go in with the glue-up.",
        }.get(fastening.kind, "Glue each into its mortise in the one part; the other part goes over them with the glue-up.")
    if fastening.kind == "key":
        return f"{head} Make them to taper slightly (common practice: 1 in 8 to 1 in 12) and drive them without glue until the shoulders close."
    if fastening.kind == "plug":
        return f"{head} Glue them in over the heads, grain along that of the face, and pare them flush when the glue has set."
    if fastening.kind == "peg":
        drawn = _how(model, joint, fastening).drawn
        pull = f" The holes in the tenon lie {shop_text(drawn, units, mark=True)} nearer to the shoulder: mark them through the mortise, drill them apart, and point the pegs." if drawn else " Drill with the tenon seated in its mortise."
        return f"{head} Bit {diameter_text(fastening.diameter, units, mark=True)}.{pull} Drive each peg and trim it flush."
    if fastening.kind == "dowel":
        return (
            f"{head} Drill {diameter_text(fastening.diameter, units, mark=True)},"
            f" {shop_text(fastening.length, units, mark=True)} deep, glue the hole, drive the dowel and trim it flush."
        )
    if fastening.kind == "pocket screw":
        return f"{head} Clamp the joint flush, then drive them from the pockets; the stepped bit has bored the lead hole up to the end."
    return head + _lead_words(model, _how(model, joint, fastening))


def _lead_words(model: Model, how: _How) -> str:
    """The bits of the holes that the drawings show: lead hole where the thread bites, clearance hole in the part that is
    held, and the way in which the head is sunk."""
    if how.lead is None or how.clear is None:
        return " Drill a lead hole of the size on the packet of the screw."
    units = model.info.units
    return f" Lead hole {exact_size(how.lead, units)}, clearance hole {exact_size(how.clear, units)}." + (f" {how.sunk}." if how.sunk else "")


def _drawn(model: Model, joint: Joint, fastening: Fastening) -> Fraction:
    """How much nearer to the shoulder the peg holes of the tenon are than those of its mortise (mm)."""
    axis = joint.entry.axis
    hole = next((f.centre for f in model.part(joint.a).features if f.joint == joint.id and f.kind == "peg hole" and f.centre), None)
    return abs(hole[axis] - fastening.centres[0][axis]) if hole is not None else Fraction(0)


def _line_words(model: Model, joint: Joint, fastening: Fastening) -> str:
    a, b = model.part(joint.a), model.part(joint.b)
    fastening = _straight(a, b, joint, fastening)
    if fastening.from_a:
        a, b = b, a
    if fastening.kind == "pocket screw":
        return f"{part_words(a)} into {part_words(b)}: {len(fastening.centres)}, one in each pocket."
    text = f"{part_words(b)} into {part_words(a)}: {len(fastening.centres)}"
    if fastening.blind or fastening.kind == "key":
        return f"{part_words(a)} to {part_words(b)}: {len(fastening.centres)}."
    if not fastening.centres:
        return text + "."
    at = fastening.centres[0][fastening.axis]  # a plugged head lies below its face
    face = min((Face(fastening.axis, side) for side in (1, -1)), key=lambda f: abs(b.box.at(f) - at))
    places = row_places(Work(model, b, ()), fastening.centres, face)
    return f"{text} from the {edge_words(b, face)}, {places}."


def _straight(other: Part, part: Part, joint: Joint, fastening: Fastening) -> Fastening:
    """The fastening as it is figured on the part that it enters first: of a leaning part as if it stood straight, as its
    drawing shows it. Parts that lean alike are joined as if both stood straight, so their places are so from the first."""
    if part.lean is None or part.lean == other.lean:
        return fastening
    back = part.lean.inverse()
    face = next((f.face for f in part.features if f.joint == joint.id and f.face is not None and "hole" in f.kind), None)
    return replace(fastening, centres=tuple(back.point(c) for c in fastening.centres), axis=fastening.axis if face is None else face.axis)


def fitting_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """One step for each hardware item of which fittings are still to be claimed."""
    wanted = {item.operation.partition(":")[2]: None for item in left if item.operation.startswith("fit:")}
    groups: dict[str, list[Fitting]] = {}
    for fitting in model.fittings:
        if fitting.id in wanted:
            groups.setdefault(fitting.item, []).append(fitting)
    alone = {item.operation.partition(":")[2]: None for item in left if item.operation.startswith("place:")}
    found = []
    for name, fittings in groups.items():
        item = next((h for h in model.hardware if h.name == name), None)
        if item is not None and item.kind == "finish":
            continue
        paths = tuple(dict.fromkeys(path for f in fittings for path in f.parts))
        hung = tuple(path for path in held_by_hardware(model, [f.id for f in fittings]) if path in alone)
        for path in hung:
            del alone[path]
        found.append(Draft(FIT, (_fitting_step(model, name, item, fittings, hung),), paths))
    return tuple(found)


def finish_fits(model: Model, left: Sequence[WorkItem]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of the finishes that no step puts on yet, and a line for each finish."""
    wanted = {item.operation.partition(":")[2]: None for item in left if item.operation.startswith("fit:")}
    items = {item.name: item for item in model.hardware if item.kind == "finish"}
    groups: dict[str, list[Fitting]] = {}
    for fitting in model.fittings:
        if fitting.id in wanted and fitting.item in items:
            groups.setdefault(fitting.item, []).append(fitting)
    lines = []
    for name, fittings in groups.items():
        coats = int(items[name].number("coats") or 1)
        area = sum((f.area for f in fittings if f.area is not None), Fraction(0))
        paths = tuple(dict.fromkeys(path for f in fittings for path in f.parts))
        lines.append(f"{items[name].description}: {counted(coats, 'coat')} on {parts_words(model, paths)}, about {area_words(area, model.info.units)} a coat.")
    return tuple(f.id for fittings in groups.values() for f in fittings), tuple(lines)


def _fitting_step(model: Model, name: str, item: HardwareItem | None, fittings: list[Fitting], hung: tuple[str, ...]) -> Step:
    """hung: the parts that come to their places with it."""
    what = (item.description if item else "") or name
    unit = item.unit if item and item.unit != "each" else ""
    texts = _fitting_texts([_fitting_lines(model, fitting, unit) for fitting in fittings])
    if item is not None and item.kind == "shelf_pin":
        texts += pin_hole_texts(model, fittings)
    if item is not None and item.kind == "slide":
        running = dict.fromkeys(a.name for a in model.assemblies for m in model.motions if m.target == a.path and any(p.startswith(f"{a.path}.") for f in fittings for p in f.parts))
        if running:
            texts.append(f"Then run {listed(list(running))} in on the slides.")
    if hung:
        texts.append(f"{parts_words(model, hung)} comes to its place with this: prop or clamp it until every screw is in." if len(hung) == 1 else f"{parts_words(model, hung)} come to their places with this: prop or clamp them until every screw is in.")
    screwed = item is None or item.kind == "screw" or bool(item.number("screws")) or bool(item.screw)
    checks = ["Sits square and every screw is down." if screwed else "Sits square and holds firm."]
    set_only = item is not None and operation_of_hardware(item.kind) == "set_hardware"
    if set_only:
        checks = ["All are there, and each holds firm."]
    if item is not None and item.kind == "slide":
        checks = [
            "Both slides level with each other and parallel; the drawer runs out and back without binding."
        ]
    if item is not None and item.kind in ("hinge", "butt_hinge"):
        checks = ["The gaps around what is hinged are even, and it opens and closes without binding."]
    if item is not None and item.kind in ("caster", "leveller") and item.size("high") is not None:
        high = shop_text(item.size("high") or Fraction(0), model.info.units, mark=True)
        checks = [f"All are firm, and all stand on the floor: {high} below the part."]
    if item is not None and item.load_kg is not None:
        checks.append(f"Do not load beyond the maker's figure of {mass_words(item.load_kg)}.")
    paths = tuple(dict.fromkeys(path for f in fittings for path in f.parts))
    named = parts_words(model, paths) if len(paths) < 4 else ""
    if set_only:
        title = f"Set in place{' on ' + named if named else ''}: {what}"
    else:
        title = f"Fit {what}{' to ' + named if named else ''}"
    return Step(
        0, title,
        fits=tuple(f.id for f in fittings), texts=tuple(texts), checks=tuple(checks), author=False,
    )  # fmt: skip


def _fitting_lines(model: Model, fitting: Fitting, unit: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """How many on what; then for each face of a part its name and the places of the screws or bores on it."""
    left = list(fitting.points)
    found = []
    for path in fitting.parts:
        part = model.part(path)
        bored = [f.centre for f in part.features if f.centre is not None and not f.joint and f.diameter is not None]
        drilled = [point for point in dict.fromkeys(fitting.points) if point in bored]
        if drilled:  # before, at the machine: there the places are said
            on = dict.fromkeys(face for point in drilled if (face := face_at(part, point)) is not None)
            holes = f"in the {counted(len(drilled), 'hole')} drilled for it" if len(drilled) > 1 else "in the hole drilled for it"
            found.append((", ".join(filter(None, (part_words(part), listed([edge_words(part, face) for face in on])))), holes))
        left = [point for point in left if point not in drilled]
        faces = {point: face for point in left if (face := face_at(part, point)) is not None}
        left = [point for point in left if point not in faces]
        for face in dict.fromkeys(faces.values()):
            points = [point for point in faces if faces[point] == face]
            lines = [len({point[axis] for point in points}) for axis in other_axes(face.axis)]
            if len(points) > MANY and min(lines) > 1:
                places = f"in the {len(points)} holes drilled for it"
            else:
                places = row_places(Work(model, part, ()), points, face)
            found.append((f"{part_words(part)}, {edge_words(part, face)}", places))
    head = f"{counted(fitting.quantity, unit or 'piece')} on {parts_words(model, fitting.parts)}."
    return head, tuple(found)


def _fitting_texts(blocks: Sequence[tuple[str, tuple[tuple[str, str], ...]]]) -> list[str]:
    """What each fitting sits on, then every place once: faces that are worked alike share a line."""
    texts = list(repeated([head for head, _ in blocks]))
    faces: dict[str, dict[str, None]] = {}
    for _, rows in blocks:
        for face, places in rows:
            faces.setdefault(places, {})[face] = None
    texts += [f"{'; '.join(names)}: {places}." for places, names in faces.items()]
    return texts
