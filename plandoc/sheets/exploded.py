"""Exploded pictures: the whole piece with its sub-assemblies kept together, then each different sub-assembly.

Parts move along the way on which their joints let them out; trail lines lead back to the seats; balloons carry the
marks of the parts list. Identical parts have one balloon with their count beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plandoc.build.explode import explosion
from plandoc.build.units import Unit, units
from plandoc.drawing.balloons import place_balloons
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.dimension_request import BalloonRequest, NoteRequest
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.leaders import place_notes
from plandoc.drawing.lettering import text_width
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import ISO
from plandoc.model.entities import Assembly, Model, Part
from plandoc.sheets.context import SheetContext
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.views import (
    Placement,
    Scene,
    fill_ratio,
    moved_bodies,
    picture_extent,
    picture_group,
    seen_points,
    view_title,
)

MOST_BALLOONS = 12
BALLOON_ROOM = 19.0  # mm of paper round the picture for balloons
HEAD_ROOM = 14.0  # mm under the picture for its title
TRAIL_STEPS = 60
SHORTEST_TRAIL = 1.5  # mm on paper
ORDER = 190

Move = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture to draw. assembly: path of the instance shown; marks: those that get balloons in it, in order of the
    parts; others: marks of the same part in further instances (mark -> marks)."""

    assembly: str
    title: str
    marks: tuple[str, ...]
    others: tuple[tuple[str, tuple[str, ...]], ...] = ()


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """One sheet a picture."""
    drafts = []
    for number, wish in enumerate(pictures(ctx.model), 1):
        items = _draw(ctx, wish)
        drafts.append(Draft("exploded", f"9.{number}", wish.title, items))
    return tuple(drafts)


def wanted(ctx: SheetContext) -> bool:
    """Whether there is more than one placed part."""
    return len(ctx.model.placed) > 1


def pictures(model: Model) -> tuple[Picture, ...]:
    """What to draw: the whole, then one instance of each sub-assembly definition; every mark of a placed part is in
    exactly one of them."""
    found: list[Picture] = []
    shown: list[str] = []
    for assembly, alike in _different(model):
        own = [p for p in model.placed if p.assembly == assembly.path]
        others = {p.mark: _twins(model, p, alike) for p in own}
        marks = []
        for part in own:
            if part.mark not in shown:
                shown.append(part.mark)
                marks.append(part.mark)
            shown += [m for m in others[part.mark] if m not in shown]
        if len(units(model, assembly.path)) < 2 and not marks:
            continue
        rounds = [tuple(marks[i : i + MOST_BALLOONS]) for i in range(0, len(marks), MOST_BALLOONS)] or [()]
        for number, some in enumerate(rounds, 1):
            what = "Exploded view" if len(units(model, assembly.path)) > 1 else "Picture"
            title = f"{what}: {assembly.definition or assembly.name}" if assembly.path else what
            if len(rounds) > 1:
                title += f", part {number} of {len(rounds)}"
            more = tuple((m, others[m]) for m in some if others[m])
            found.append(Picture(assembly.path, title, some, more))
    return tuple(found)


def _different(model: Model) -> list[tuple[Assembly, tuple[Assembly, ...]]]:
    """The whole first, then the first instance of each definition with all instances of it."""
    whole = [a for a in model.assemblies if a.path == ""] or [Assembly("", model.info.title, (), ())]
    rows: list[tuple[Assembly, tuple[Assembly, ...]]] = [(whole[0], (whole[0],))]
    groups: dict[tuple[str, int], list[Assembly]] = {}
    for assembly in model.assemblies:
        if assembly.path:
            groups.setdefault((assembly.definition or assembly.path, len(assembly.parts)), []).append(assembly)
    rows += [(group[0], tuple(group)) for group in groups.values()]
    return rows


def _twins(model: Model, part: Part, alike: Sequence[Assembly]) -> tuple[str, ...]:
    """Other marks of the part of the same name in the other instances."""
    tail = part.path[len(part.assembly) :]
    wanted_paths = [a.path + tail for a in alike if a.path != part.assembly]
    marks = [p.mark for p in model.placed if p.path in wanted_paths and p.mark != part.mark]
    return tuple(dict.fromkeys(marks))


def _draw(ctx: SheetContext, wish: Picture) -> tuple[Item, ...]:
    model, style = ctx.model, ctx.style
    moves = explosion(model, wish.assembly)
    bodies = moved_bodies(ctx.solids, tuple(moves), moves)
    x0, y0, x1, y1 = ctx.space
    notes = _also(wish)
    room: Extent = (
        x0 + BALLOON_ROOM, y0 + BALLOON_ROOM, x1 - BALLOON_ROOM, y1 - HEAD_ROOM - BALLOON_ROOM + 2.0 - 5.0 * len(notes),
    )  # fmt: skip
    extent = picture_extent(ISO, bodies)
    ratio = min(1.0, fill_ratio(extent, room[2] - room[0], room[3] - room[1]))
    place = _placed(extent, ratio, room)
    scene = Scene(bodies, ISO)
    trails = _trails(model, wish.assembly, moves, scene, place)
    drawn = picture_group(bodies, place, wish.assembly or "whole", extra=trails)
    covered = item_extent(drawn) or room
    balloons = _balloons(ctx, wish, scene, place, covered, (x0, y0, x1, y1 - HEAD_ROOM - 5.0 * len(notes)))
    names = _names(ctx, wish, scene, place, covered, balloons)
    low = max((item_extent(g) or covered)[3] for g in (drawn, *balloons, *names))
    middle = (covered[0] + covered[2]) / 2
    half = text_width(wish.title.upper(), style.height("vtitle"), True) / 2
    middle = min(max(middle, x0 + half), x1 - half)
    title = view_title(wish.title.upper(), None, middle, low, style)
    size = style.height("note")
    texts = [
        Text("note", (middle, low + 15.0 + 5.0 * n), note, size, "middle") for n, note in enumerate(notes)
    ]
    return (drawn, *balloons, *names, *title, *texts)


def _placed(extent: Extent, ratio: float, room: Extent) -> Placement:
    middle_x, middle_y = (extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2
    at = ((room[0] + room[2]) / 2 - middle_x * ratio, (room[1] + room[3]) / 2 + middle_y * ratio)
    return Placement(ISO, ratio, at)


def _also(wish: Picture) -> tuple[str, ...]:
    return tuple(f"{', '.join(others)}: like {mark}, see the part drawings" for mark, others in wish.others)


def _balloons(
    ctx: SheetContext, wish: Picture, scene: Scene, place: Placement, covered: Extent, space: Extent
) -> tuple[Group, ...]:
    """One balloon a mark, on the instance that shows the most of itself, and the count where it is over one."""
    style = ctx.style
    inside = [path for path, _ in scene.bodies]
    requests, counts = [], {}
    for mark in wish.marks:
        alike = [p for p in ctx.model.placed if p.mark == mark and p.path in inside]
        best: tuple[int, tuple[XY, ...], str] = (-1, (), alike[0].path)
        for part in alike:
            points = tuple(place.paper(p) for p in seen_points(part.path, scene))
            if len(points) > best[0]:
                best = (len(points), points, part.path)
        targets = best[1] or (place.spot(_middle(dict(scene.bodies)[best[2]])),)
        requests.append(BalloonRequest(mark, targets, best[2]))
        counts[mark] = sum(p.count for p in ctx.model.placed if p.mark == mark and p.assembly == wish.assembly)
    if not requests:
        return ()
    inner = (space[0] + 5.0, space[1] + 4.0, space[2] - 5.0, space[3])
    placed = place_balloons(covered, tuple(requests), style, inner, ())
    return tuple(_counted(g, counts, style.minimum_height, covered) for g in placed.groups)


def _names(
    ctx: SheetContext, wish: Picture, scene: Scene, place: Placement, covered: Extent, balloons: Sequence[Group]
) -> tuple[Group, ...]:
    """A note for each different sub-assembly that is shown as a whole."""
    model = ctx.model
    inside = [path for path, _ in scene.bodies]
    sheets = {p.assembly: f"9.{n}" for n, p in reversed(tuple(enumerate(pictures(model), 1)))}
    notes = []
    for assembly, alike in _different(model)[1:]:
        shown = [a for a in alike if a.path in _children(model, wish.assembly)]
        points: tuple[XY, ...] = ()
        for one in shown:
            for path in one.parts:
                seen = seen_points(path, scene) if path in inside else ()
                points = seen if len(seen) > len(points) else points
        if not points:
            continue
        count = f"{len(shown)}X " if len(shown) > 1 else ""
        sheet = sheets.get(assembly.path, "")
        lines = (f"{count}{(assembly.definition or assembly.name).upper()}", *((f"SEE {sheet}",) if sheet else ()))
        notes.append(NoteRequest(place.paper(points[0]), lines, end="dot", id=assembly.path))
    blocked = [e for e in (item_extent(g) for g in balloons) if e is not None]
    leaders = [i for g in balloons for i in walk((g,)) if isinstance(i, Line)]
    return place_notes(covered, notes, ctx.style, blocked, leaders).groups


def _children(model: Model, assembly: str) -> tuple[str, ...]:
    """Nested instances just below an assembly."""
    return next((a.children for a in model.assemblies if a.path == assembly), ())


def _counted(group: Group, counts: Mapping[str, int], size: float, picture: Extent) -> Group:
    """The balloon with its count beside the circle, on the side away from the picture."""
    letters = [i.text for i in walk((group,)) if isinstance(i, Text)]
    count = counts.get(letters[0], 1) if letters else 1
    rings = [i for i in walk((group,)) if isinstance(i, Circle)]
    if count < 2 or not rings:
        return group
    ring = max(rings, key=lambda c: c.radius)
    (x, y), out = ring.centre, ring.radius + 1.0
    if y < picture[1]:
        text = Text("note", (x, y - out), f"{count}X", size, "middle")
    elif y > picture[3]:
        text = Text("note", (x, y + out + size), f"{count}X", size, "middle")
    elif x > (picture[0] + picture[2]) / 2:
        text = Text("note", (x + out, y + size / 2), f"{count}X", size, "start")
    else:
        text = Text("note", (x - out, y + size / 2), f"{count}X", size, "end")
    return Group(group.kind, (*group.items, text), group.id, group.attrs)


def _middle(solid: Solid) -> Move:
    lo, hi = solid.bounds
    return (lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2, (lo[2] + hi[2]) / 2


def _trails(
    model: Model, assembly: str, moves: Mapping[str, Move], scene: Scene, place: Placement
) -> tuple[Line, ...]:
    """For each joint between two units: the way from where the one went to where the other went, where it can be seen.
    Where both left their place in different directions, the way turns at the place of the joint. A unit without a
    joint trails from its middle."""
    members = units(model, assembly)
    home = {path: unit for unit in members for path in unit.parts}
    trailed: list[str] = []
    lines: list[Line] = []
    for joint in model.joints:
        a, b = home.get(joint.a), home.get(joint.b)
        if a is None or b is None or a is b or moves[joint.a] == moves[joint.b]:
            continue
        box = joint.channel
        spots = _spots(tuple(float(v) for v in box.lo), tuple(float(v) for v in box.hi))
        for start, end in _legs(moves[joint.b], moves[joint.a]):
            line = _best_trail(spots, start, end, scene, place)
            if line is not None:
                lines.append(line)
        trailed += [a.path, b.path]
    for unit in members:
        move = moves[unit.parts[0]]
        if unit.path in trailed or not any(move):
            continue
        line = _best_trail(_unit_spots(unit), (0.0, 0.0, 0.0), move, scene, place)
        if line is not None:
            lines.append(line)
    return tuple(dict.fromkeys(lines))


def _legs(first: Move, second: Move) -> tuple[tuple[Move, Move], ...]:
    """Straight legs from one displacement to another: one along a common axis, else by way of no displacement."""
    rest = (0.0, 0.0, 0.0)
    if sum(p != q for p, q in zip(first, second, strict=True)) <= 1:
        return ((first, second),)
    return tuple(leg for leg in ((rest, first), (rest, second)) if any(leg[1]))


def _spots(lo: tuple[float, ...], hi: tuple[float, ...]) -> list[Move]:
    """The middle of a box, then the middles of its sides that face the viewer, then its corners."""
    middle = [(p + q) / 2 for p, q in zip(lo, hi, strict=True)]
    spots: list[Move] = [(middle[0], middle[1], middle[2])]
    for axis, toward in enumerate((1, -1, 1)):
        point = list(middle)
        point[axis] = hi[axis] if toward > 0 else lo[axis]
        spots.append((point[0], point[1], point[2]))
    spots += [(x, y, z) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    return spots


def _unit_spots(unit: Unit) -> list[Move]:
    return _spots(tuple(float(v) for v in unit.box.lo), tuple(float(v) for v in unit.box.hi))


def _best_trail(
    spots: Sequence[Move], seat: Move, moved: Move, scene: Scene, place: Placement
) -> Line | None:
    """The longest unhidden piece of the way, of the first spot from which a fair part of it can be seen."""
    best: tuple[float, XY, XY] | None = None
    for spot in spots:
        start = np.array(spot) + np.array(seat)
        end = np.array(spot) + np.array(moved)
        steps = np.linspace(0.0, 1.0, TRAIL_STEPS + 1)[:, None]
        way = start + (end - start) * steps
        hidden = scene.hides(way)
        first, last = _longest_run([not h for h in hidden])
        if last <= first:
            continue
        p, q = place.spot(tuple(way[first])), place.spot(tuple(way[last]))
        length = float(np.hypot(q[0] - p[0], q[1] - p[1]))
        if best is None or length > best[0] + 0.5:
            best = (length, p, q)
        if last - first > TRAIL_STEPS / 4:
            break
    if best is None or best[0] < SHORTEST_TRAIL:
        return None
    return Line("trail", (best[1], best[2]))


def _longest_run(flags: Sequence[bool]) -> tuple[int, int]:
    best, start = (0, 0), None
    for number, flag in enumerate([*flags, False]):
        if flag and start is None:
            start = number
        elif not flag and start is not None:
            if number - 1 - start > best[1] - best[0]:
                best = (start, number - 1)
            start = None
    return best


KIND = SheetKind("exploded", ORDER, compose, wanted)
