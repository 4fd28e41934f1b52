"""Generated steps of assembly: dry fit and glue-up from the innermost assembly outward, sliding in, setting in place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from plandoc.build.solids import part_solid
from plandoc.model.entities import Joint, Model, Step
from plandoc.model.ordered import holds_pane, ordered
from plandoc.model.unglued import dry, floats, keyed
from plandoc.quantity import shop_text
from plandoc.shopwork.alike import form_of, standing_groups
from plandoc.shopwork.claims import held_by_hardware
from plandoc.shopwork.closing import closing_moves, order_texts
from plandoc.shopwork.draft import ASSEMBLE, FIT, Draft, depth_of, level_of
from plandoc.shopwork.fastening_steps import fastening_steps
from plandoc.shopwork.gluewords import waits_words
from plandoc.shopwork.gluing import CLAMPING
from plandoc.shopwork.jointwords import Level, joint_words
from plandoc.shopwork.making_steps import TWO_PEOPLE_KG
from plandoc.shopwork.names import (
    by_mark,
    counted,
    joined_names,
    listed,
    mass_words,
    parts_words,
    pieces_words,
    tolerance,
)
from plandoc.shopwork.operations import WorkItem
from plandoc.shopwork.places import place_texts
from plandoc.shopwork.squareness import closing_run, diagonals
from plandoc.shopwork.weights import part_weight

PIN_STEP = Fraction(32)
"""Step of a row of pin holes (mm; common practice): so far a shelf may lie from the holes that it stands on."""
FASTENED = "of the step that fastens"
"""Stands for `of step 9` until the steps have their numbers."""
_VIEW = ("looking from the side", "looking from the front", "looking from above")


def assembly_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """Steps for all joints that no step closes.

    What the author's steps have put together at the same level stands already: such a step adds to it."""
    open_ids = {item.operation.partition(":")[2]: None for item in left if item.operation.startswith("join:")}
    joints = [joint for joint in model.joints if joint.id in open_ids]
    done = [joint for joint in model.joints if joint.id not in open_ids and joint.glued]
    to_fasten = {item.operation: None for item in left if item.operation.startswith("fasten:")}
    found: list[Draft] = []
    for levels in _levels(model, joints):
        here = [j for j in joints if level_of(model, j.a, j.b) in levels]
        depth = depth_of(levels[0])
        glued = [j for j in here if j.glued]
        before = [j for j in done if level_of(model, j.a, j.b) in levels]
        whole = [j for j in model.joints if j in glued or j in before]
        for stage in _stages(Level(model, levels), glued, whole):
            hidden, shown = (
                fastening_steps(model, stage, [op for op in to_fasten if _is_blind(model, op) == blind]) for blind in (True, False)
            )
            steps = (*hidden, *_glue_steps(model, levels, stage, whole, before), *shown)
            before = [*before, *stage]
            found.append(Draft(ASSEMBLE, tuple(steps), _parts(stage), depth))
        sliding = [j for j in here if not j.glued]
        if sliding:
            steps = (_sliding_step(model, sliding), *fastening_steps(model, sliding, to_fasten))
            found.append(Draft(ASSEMBLE, steps, _parts(sliding), depth))
    return tuple(found)


def placing_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """One step for the parts that neither a joint nor hardware holds: they come last, on what is fitted for them."""
    held = held_by_hardware(model, [f.id for f in model.fittings])
    lone = tuple(path for item in left if item.operation.startswith("place:") and (path := item.operation.partition(":")[2]) not in held)
    if not lone:
        return ()
    pinned = tuple(path for path in lone if on_pins(model, path))
    bare = tuple(path for path in lone if path not in pinned)
    texts = []
    if pinned:
        texts.append(f"Set on {'its' if len(pinned) == 1 else 'their'} shelf pins: {_lone_words(model, pinned)}.")
    if bare:
        texts.append(f"Set in place: {_lone_words(model, bare)}. The plan names no joint that holds {'it' if len(bare) == 1 else 'them'}; see the assembly drawing.")
    step = Step(0, "Set the remaining parts in place" if bare else f"Set {_lone_words(model, pinned)} on the shelf pins", joins=lone, texts=tuple(texts), author=False)
    return (Draft(FIT, (step,), lone),)


def _lone_words(model: Model, paths: Sequence[str]) -> str:
    return listed([pieces_words(group) for group in by_mark([model.part(path) for path in paths]).values()])


def on_pins(model: Model, path: str) -> bool:
    """Whether the part lies as a shelf between two rows of holes for shelf pins: a step of the row from them at most."""
    items = {item.name for item in model.hardware if item.kind == "shelf_pin"}
    box = model.part(path).stands
    for fitting in model.fittings:
        if fitting.item not in items or len(fitting.parts) < 2 or path in fitting.parts:
            continue
        points = [f.centre for own in fitting.parts for f in model.part(own).features if f.kind == "pin hole" and f.centre is not None]
        if not points:
            continue
        lo, hi = ([pick(p[axis] for p in points) for axis in range(3)] for pick in (min, max))
        level = lo[2] - PIN_STEP <= box.lo[2] <= hi[2] + PIN_STEP
        for side, deep in ((0, 1), (1, 0)):
            if level and lo[side] <= box.lo[side] and box.hi[side] <= hi[side] and box.lo[deep] <= lo[deep] and hi[deep] <= box.hi[deep]:
                return True
    return False


def _is_blind(model: Model, op: str) -> bool:
    """Whether an operation sets fasteners that the closed joint hides, so that it comes before."""
    ident, _, number = op.removeprefix("fasten:").rpartition(":")
    joint = next((j for j in model.joints if j.id == ident), None)
    return joint is not None and joint.fasteners[int(number) - 1].blind


def _parts(joints: Sequence[Joint]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(path for j in joints for path in (j.a, j.b)))


def _levels(model: Model, joints: Sequence[Joint]) -> list[tuple[str, ...]]:
    """Assemblies to be closed, innermost first; instances that are alike with the same joints together."""
    assemblies = {a.path: a for a in model.assemblies}
    by_level: dict[str, list[Joint]] = {}
    for joint in joints:
        by_level.setdefault(level_of(model, joint.a, joint.b), []).append(joint)
    groups: dict[tuple[object, ...], tuple[str, ...]] = {}
    for level, here in sorted(by_level.items(), key=lambda pair: -depth_of(pair[0])):
        definition = assemblies[level].definition if level in assemblies else ""
        key = (definition, form_of(model, level, here)) if definition else (level,)
        groups[key] = (*groups.get(key, ()), level)
    return list(groups.values())


def late_parts(joints: Sequence[Joint]) -> tuple[str, ...]:
    """Parts that drop into open rabbets from outside once the rest is glued (a back)."""
    main = closing_run(joints)
    late = []
    for path in dict.fromkeys(j.a for j in joints):
        own = [j for j in joints if j.a == path]
        carries = any(j.b == path and j.depth > 0 for j in joints)
        if not carries and all(j.edge and j.run_axis != main for j in own) and len(own) < len(joints):
            late.append(path)
    return tuple(late)


def _late(model: Model, joints: Sequence[Joint]) -> tuple[str, ...]:
    """The late parts, and the panes that lie in open rabbets: they go in last, so that they can come out again."""
    late = late_parts(joints)
    panes = dict.fromkeys(j.a for j in joints if ordered(model.part(j.a).stock))
    return (*late, *(path for path in panes if path not in late and all(j.edge for j in joints if j.a == path) and not any(j.b == path for j in joints)))


def _stages(level: Level, joints: list[Joint], whole: Sequence[Joint]) -> list[list[Joint]]:
    """What must be glued at one go, then the late parts; before all, what keys hold without glue. whole: with the joints that are closed already."""
    late = _late(level.model, whole)
    first = [j for j in joints if j.a not in late and j.b not in late]
    rest = [j for j in joints if j not in first]
    wedged = _keyed_first(level, first)
    return [stage for stage in (wedged, [j for j in first if j not in wedged], rest) if stage]


def _keyed_first(level: Level, joints: list[Joint]) -> list[Joint]:
    """The keyed joints, where they can be closed before all others: their keys are driven before anything hides them."""
    found: list[Joint] = []
    for move in closing_moves(level, joints) if any(keyed(j) for j in joints) else ():
        if not all(keyed(j) for j in move):
            break
        found += move
    return found if sum(keyed(j) for j in joints) == len(found) < len(joints) else []


def _level_words(model: Model, levels: tuple[str, ...]) -> str:
    """The assemblies' names; a name that others bear too, with the number in its path or with what it belongs to."""
    names = {a.path: a.name for a in model.assemblies}
    closed = {level_of(model, j.a, j.b): None for j in model.joints}  # others are closed by no step
    if levels == ("",):
        return names.get("", "") or "the whole piece"
    found = []
    for level in levels:
        name = names.get(level, "") or level
        others = [path for path, other in names.items() if other == name and path not in levels and path in closed]
        home, _, own = level.rpartition(".")
        where = f"of {names.get(home) or home}" if home and not own.endswith("]") else f"({own.replace('[', ' ').replace(']', '')})"
        found.append(f"{name} {where}" if others else name)
    return joined_names(found)


def _glue_steps(
    model: Model, levels: tuple[str, ...], joints: list[Joint], whole: list[Joint], before: Sequence[Joint]
) -> Iterator[Step]:
    """Dry fit and glue-up of one stage; `whole` are all joints of the assembly, for the check of squareness, `before`
    those of them that are closed when the stage begins."""
    paths = _parts(joints)
    level = Level(model, levels)
    alike = len(levels)
    groups = standing_groups(before)
    whole_pieces = {groups[path] for path in paths if path in groups}
    standing = level.units(tuple(groups)) if len(whole_pieces) <= alike else ()  # several pieces are put together like parts
    added = tuple(path for path in paths if level.unit(path) not in standing) if any(level.unit(p) in standing for p in paths) else ()
    if not before:  # nothing but late parts: they go into what lies there
        added = tuple(path for path in _late(model, whole) if path in paths)
    onto = bool(before) and any(level.unit(path) in standing for path in paths)
    name = _level_words(model, levels) + (f" ({alike} alike)" if alike > 1 else "")
    what = f"{level.words(added)} into {name}" if added else name
    checks = square_checks(model, levels, whole)
    if len(joints) > 2:
        texts = (
            f"Put together without glue: {level.words(added or paths)}{' with what stands' if added else ''}.",
            "Every joint closes to its shoulder by hand or light clamps. Set the clamps now and lay them ready.",
        )
        yield Step(0, f"Dry-fit {what}", texts=texts, checks=checks, author=False, kinds=("dry_fit",))
    notes = []
    if not all(dry(model, j) for j in joints):
        notes.append("Spread no more glue than the open time allows." if len(joints) > 2 else "Fit the joint dry first.")
    here = [j for j in joints if level_of(model, j.a, j.b) == levels[0]]
    if added or onto:
        notes.append(joint_words(level, here, "Join"))
    else:
        notes += order_texts(level, here)
    notes += place_texts(model, here, level.inner_word)
    floating = tuple(dict.fromkeys(j.a for j in joints if floats(model, j)))
    if floating:
        notes.append(f"No glue on {parts_words(model, floating)}: the room in the grooves is left so that the wood can move.")
    panes = tuple(dict.fromkeys(path for j in joints if holds_pane(model, j) for path in (j.a, j.b) if ordered(model.part(path).stock)))
    if panes:
        many = len(panes) > 1
        notes.append(f"No glue on {parts_words(model, panes)}: set {'them' if many else 'it'} dry, in beads or silicone, so that {'they' if many else 'it'} can be replaced (common practice).")
    unglued = all(dry(model, j) for j in joints)
    if any(j.dry and not floats(model, j) for j in joints) and not unglued:
        notes.append("No glue in what is called dry here.")
    if unglued and all(holds_pane(model, j) for j in joints):
        pass
    elif unglued:
        notes.append(f"No glue: the keys {FASTENED} draw the shoulders home." if all(keyed(j) for j in joints) else "No glue here.")
    else:
        notes.append("Clamp from the middle out, then wipe off the squeezed-out glue.")
    screwed = all(any(f.kind in CLAMPING and not f.blind for f in j.fasteners) for j in joints)
    if screwed:
        notes.append(f"Drive the screws {FASTENED} at once: they clamp the joints while the glue sets.")
    units = level.units(paths)
    carried = [p.path for p in model.placed if p.path in paths or level.unit(p.path) in units]
    mass = _mass(model, carried) / alike
    heavy = mass > TWO_PEOPLE_KG
    if heavy:
        notes.append(f"These parts weigh about {mass_words(mass)} together: lift with two.")
    yield Step(
        0,
        f"Put together {what}" if unglued else f"Glue {what}" if added else f"Glue up {what}",
        joins=paths,
        texts=tuple(notes),
        checks=checks,
        waits=() if unglued or screwed else (waits_words(model),),
        author=False,
        kinds=("lifting",) if heavy else (),
    )


def _mass(model: Model, paths: Sequence[str]) -> Fraction:
    """Weight of finished parts (kg, estimate), what is cut away left out as on the cover."""
    parts = [model.part(path) for path in paths]
    weights = (part_weight(part, {part.path: round(part_solid(part).volume)}) for part in parts)
    return sum((weight for weight in weights if weight is not None), Fraction(0))


def square_checks(model: Model, levels: Sequence[str], joints: Sequence[Joint]) -> tuple[str, ...]:
    """The two diagonals with their length where the joints close a box, else a check with the square where two parts make a corner."""
    units = model.info.units
    here = [j for j in joints if level_of(model, j.a, j.b) == levels[0]]
    around = {level_of(model, j.a, j.b): None for j in here}
    doors = [m.face.axis for m in model.motions if m.swing and m.lean is None and m.target.rpartition(".")[0] in around]
    found = diagonals([model.part(path) for path in _parts(here)], here, doors[0] if doors else None)
    if found is None:
        if any(model.part(path).lean is not None for path in _parts(here)):
            return ("Check the angles with a bevel gauge, and opposite corners against each other.",)
        return ("Check with a square in each corner.",) if any(makes_corner(model, j) for j in here) else ()
    length = shop_text(found.length, units, mark=True)
    size = f"{shop_text(found.width, units, mark=True)} × {shop_text(found.height, units, mark=True)}"
    close = shop_text(tolerance(units), units, mark=True)
    return (
        f"Both diagonals {_VIEW[found.normal]}, outside corner to outside corner of {size}: {length} each,"
        f" equal within {close}.",
    )


def makes_corner(model: Model, joint: Joint) -> bool:
    """Whether a square can be laid into the joint: not where two parts lie along each other, face to face or edge to edge."""
    a, b = model.part(joint.a), model.part(joint.b)
    along = (a.length_axis, a.thickness_axis) == (b.length_axis, b.thickness_axis)
    return not along or joint.entry.axis == a.length_axis


def _sliding_step(model: Model, joints: list[Joint]) -> Step:
    moving = tuple(dict.fromkeys(j.a for j in joints))
    units = model.info.units
    texts = []
    groups: dict[tuple[Fraction, Fraction, Fraction], list[Joint]] = {}
    for j in joints:
        groups.setdefault((j.depth, j.clearance, j.fit), []).append(j)
    for (depth, clearance, fit), same in groups.items():
        ins = parts_words(model, tuple(j.a for j in same))
        into = parts_words(model, tuple(j.b for j in same))
        text = f"Slide {ins} into {into} without glue: it enters {shop_text(depth, units, mark=True)}"
        if clearance:
            text += f", with {shop_text(clearance, units, mark=True)} left at the bottom of the groove"
        if fit:
            text += f" and {shop_text(fit, units, mark=True)} play in its width"
        texts.append(text + ".")
    texts.append("Wax the edges that run; ease with a plane where they bind.")
    return Step(
        0, f"Slide in {parts_words(model, moving) if len(moving) < 4 else counted(len(moving), 'part')}", joins=_parts(joints),
        texts=tuple(texts), checks=("Each runs its full length and back without binding.",), author=False,
    )  # fmt: skip
