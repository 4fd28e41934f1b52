"""Exploded pictures: the whole piece with its sub-assemblies kept together, then each different sub-assembly.

Parts move along the way on which their joints let them out; trail lines lead back to the seats; balloons carry the
marks of the parts list. Identical parts have one balloon with their count beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plandoc.build.explode import explosion
from plandoc.build.units import units
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
from plandoc.sheets.trails import trails as trails_of
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
CELL_GAP = 6.0
HEAD_ROOM = 14.0  # mm under the picture for its title
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
    """The whole on a sheet of its own, then sub-assemblies, up to four a sheet."""
    drafts: list[Draft] = []
    for sheet in _sheets(ctx.model):
        code = f"9.{len(drafts) + 1}"
        if len(sheet) == 1:
            title, cells = sheet[0].title, [ctx.space]
        else:
            names = [wish.title.partition(": ")[2] or wish.title for wish in sheet]
            title, cells = f"Exploded views: {', '.join(names)}", _cells(ctx.space, len(sheet))
        items = [i for wish, cell in zip(sheet, cells, strict=False) for i in _draw(ctx, wish, cell)]
        drafts.append(Draft("exploded", code, title, tuple(items)))
    return tuple(drafts)


def _sheets(model: Model) -> list[list[Picture]]:
    """The pictures of each sheet: those of the whole alone, the others in fours."""
    every = pictures(model)
    small = [wish for wish in every if wish.assembly]
    return [[wish] for wish in every if not wish.assembly] + [small[i : i + 4] for i in range(0, len(small), 4)]


def _cells(space: Extent, count: int) -> list[Extent]:
    """Two cells side by side or, on upright paper, one over the other; four for more pictures."""
    x0, y0, x1, y1 = space
    upright = y1 - y0 > x1 - x0
    columns, rows = (2, 2) if count > 2 else (1, 2) if upright else (2, 1)
    wide, high = (x1 - x0 - CELL_GAP * (columns - 1)) / columns, (y1 - y0 - CELL_GAP * (rows - 1)) / rows
    return [
        (x0 + c * (wide + CELL_GAP), y0 + r * (high + CELL_GAP), x0 + c * (wide + CELL_GAP) + wide, y0 + r * (high + CELL_GAP) + high)
        for r in range(rows)
        for c in range(columns)
    ]  # fmt: skip


def wanted(ctx: SheetContext) -> bool:
    """Whether there is more than one placed part."""
    return len(ctx.model.placed) > 1


def pictures(model: Model) -> tuple[Picture, ...]:
    """What to draw: the whole, then one instance of each sub-assembly definition; every mark of a placed part is in
    exactly one of them."""
    found: list[Picture] = []
    shown: list[str] = []
    for assembly, alike in _different(model):
        if assembly.path and len(units(model, assembly.path)) < 2:
            continue  # a part by itself has its balloon in the picture round it
        own = [p for p in model.placed if p.assembly == assembly.path or p.assembly in _lone(model, assembly)]
        others = {p.mark: _twins(model, p, alike) for p in own}
        marks = []
        for part in own:
            if part.mark not in shown:
                shown.append(part.mark)
                marks.append(part.mark)
            shown += [m for m in others[part.mark] if m not in shown]
        rounds = [tuple(marks[i : i + MOST_BALLOONS]) for i in range(0, len(marks), MOST_BALLOONS)] or [()]
        for number, some in enumerate(rounds, 1):
            title = f"Exploded view: {(assembly.definition or assembly.name).replace('_', ' ')}" if assembly.path else "Exploded view"
            if len(rounds) > 1:
                title += f", part {number} of {len(rounds)}"
            more = tuple((m, others[m]) for m in some if others[m])
            found.append(Picture(assembly.path, title, some, more))
    return tuple(found)


def _lone(model: Model, assembly: Assembly) -> tuple[str, ...]:
    """Nested instances just below that hold a single part: they are shown as that part."""
    return tuple(child for child in assembly.children if len(units(model, child)) == 1)


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


def _draw(ctx: SheetContext, wish: Picture, space: Extent) -> tuple[Item, ...]:
    model, style = ctx.model, ctx.style
    moves = explosion(model, wish.assembly)
    bodies = moved_bodies(ctx.solids, tuple(moves), moves)
    x0, y0, x1, y1 = space
    notes = _also(wish)
    room: Extent = (
        x0 + BALLOON_ROOM, y0 + BALLOON_ROOM, x1 - BALLOON_ROOM, y1 - HEAD_ROOM - BALLOON_ROOM + 2.0 - 5.0 * len(notes),
    )  # fmt: skip
    extent = picture_extent(ISO, bodies)
    ratio = min(1.0, fill_ratio(extent, room[2] - room[0], room[3] - room[1]))
    place = _placed(extent, ratio, room)
    scene = Scene(bodies, ISO)
    trails = trails_of(model, wish.assembly, moves, scene, place)
    drawn = picture_group(bodies, place, wish.assembly or "whole", extra=trails)
    covered = item_extent(drawn) or room
    balloons = _balloons(ctx, wish, scene, place, covered, (x0, y0, x1, y1 - HEAD_ROOM - 5.0 * len(notes)))
    names = _names(ctx, wish, scene, place, covered, balloons, (x0, y0, x1, y1 - HEAD_ROOM))
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
    own = [p.path for p in ctx.model.placed if p.assembly == wish.assembly or p.path in inside]
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
        counts[mark] = sum(p.count for p in ctx.model.placed if p.mark == mark and p.path in own)
    if not requests:
        return ()
    inner = (space[0] + 5.0, space[1] + 4.0, space[2] - 5.0, space[3])
    placed = place_balloons(covered, tuple(requests), style, inner, ())
    return tuple(_counted(g, counts, style.minimum_height, covered) for g in placed.groups)


def _names(
    ctx: SheetContext, wish: Picture, scene: Scene, place: Placement, covered: Extent, balloons: Sequence[Group], space: Extent
) -> tuple[Group, ...]:
    """A note for each different sub-assembly that is shown as a whole: its name and the sheet that takes it apart."""
    model = ctx.model
    inside = [path for path, _ in scene.bodies]
    sheets = {wish.assembly: f"9.{n}" for n, sheet in enumerate(_sheets(model), 1) for wish in sheet}
    notes = []
    for assembly, alike in _different(model)[1:]:
        shown = [a for a in alike if a.path in _children(model, wish.assembly) and len(units(model, a.path)) > 1]
        points: tuple[XY, ...] = ()
        for one in shown:
            for path in sorted((p for p in one.parts if p in inside), key=lambda p: -model.part(p).box.volume)[:3]:
                seen = seen_points(path, scene)
                points = seen if len(seen) > len(points) else points
            if points:
                break
        if not points:
            continue
        sheet = sheets.get(assembly.path, "")
        lines = (f"{_instances(shown)}: {sheet}" if sheet else _instances(shown),)
        notes.append(NoteRequest(place.paper(points[0]), lines, end="dot", id=assembly.path))
    blocked = [e for e in (item_extent(g) for g in balloons) if e is not None]
    leaders = [i for g in balloons for i in walk((g,)) if isinstance(i, Line)]
    return place_notes(covered, notes, ctx.style, blocked, leaders, space).groups


def _instances(alike: Sequence[Assembly]) -> str:
    """`DRAWER 1, 2`: the name with the numbers of the instances, where they have numbers."""
    name = (alike[0].definition or alike[0].name).replace("_", " ").upper()
    numbers = [a.path.rpartition("[")[2].rstrip("]") for a in alike if a.path.endswith("]")]
    if len(numbers) == len(alike) > 0:
        return f"{name} {', '.join(numbers)}"
    return f"{len(alike)}X {name}" if len(alike) > 1 else name


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


KIND = SheetKind("exploded", ORDER, compose, wanted, together="Exploded views")
