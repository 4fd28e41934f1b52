"""Exploded pictures: the whole piece with its sub-assemblies kept together, then each different sub-assembly.

Parts move along the way on which their joints let them out; trail lines lead back to the seats; balloons carry the
marks of the parts list. Identical parts have one balloon with their count beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plandoc.build.explode import explosion
from plandoc.build.order import withdrawals
from plandoc.build.units import only_parts, units
from plandoc.drawing.balloons import SIDES, place_balloons
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.dimension_request import BalloonRequest, NoteRequest
from plandoc.drawing.display import Circle, Extent, Group, Item, Line, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.leaders import place_notes
from plandoc.drawing.lettering import text_width
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import ISO, ISO_LEFT, ISO_REAR, ISO_REAR_RIGHT, Projection
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
    view_title,
)
from plandoc.sheets.visible import Seen

MOST_BALLOONS = 12
BALLOON_ROOM = 19.0  # mm of paper round the picture for balloons
LOW_CELL = 100.0  # mm; in a cell that is lower the balloons stand at the left and right only
LOW_ROOM = 4.0  # mm over and under a picture there
BESIDE = 8  # balloons that find room so
CELL_GAP = 6.0
HEAD_ROOM = 14.0  # mm under the picture for its title
ORDER = 190
VIEWS = {ISO: "", ISO_LEFT: ", from the left", ISO_REAR_RIGHT: ", from behind", ISO_REAR: ", from behind"}
LEAST_SEEN = 12  # cells of the grid of `visible`: 2 square mm of paper, room for the dot of a leader

Move = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture to draw. assembly: path of the instance shown; marks: those that get balloons in it, in order of the
    parts; others: marks of the same part in further instances (mark -> marks); gone: marks of the parts that left
    before, in the pictures before this one, and are not in it."""

    assembly: str
    title: str
    marks: tuple[str, ...]
    others: tuple[tuple[str, tuple[str, ...]], ...] = ()
    gone: tuple[str, ...] = ()


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
            continue  # a part by itself, or another assembly, has its name in the picture round it
        own = [p for p in model.placed if p.assembly == assembly.path or p.assembly in _lone(model, assembly)]
        others = {p.mark: _twins(model, p, alike) for p in own}
        marks = []
        for part in own:
            if part.mark not in shown:
                shown.append(part.mark)
                marks.append(part.mark)
            shown += [m for m in others[part.mark] if m not in shown]
        name = "Exploded view" + (f": {_name(model, assembly)}" if assembly.path else "")
        rounds = _rounds(model, assembly.path, marks)
        for number, some in enumerate(rounds, 1):
            title = f"{name}, part {number} of {len(rounds)}" if len(rounds) > 1 else name
            more = tuple((m, others[m]) for m in some if others[m])
            found.append(Picture(assembly.path, title, some, more, tuple(m for row in rounds[: number - 1] for m in row)))
    return tuple(found)


def _rounds(model: Model, assembly: str, marks: Sequence[str]) -> list[tuple[str, ...]]:
    """The marks of an assembly in as few pictures as may hold them, equally many in each: what leaves first, then what
    is left."""
    count = -(-len(marks) // MOST_BALLOONS)
    if count < 2:
        return [tuple(marks)]
    home = {path: unit.path for unit in units(model, assembly) for path in unit.parts}
    turns = {path: row.turn for row in withdrawals(model, assembly) for path in row.units}
    last = max(turns.values(), default=0) + 1
    leaves = {
        mark: max(turns.get(home.get(p.path, ""), last) for p in model.placed if p.mark == mark) for mark in marks
    }  # fmt: skip
    ordered = sorted(marks, key=lambda mark: leaves[mark])
    size = -(-len(marks) // count)
    rounds = [ordered[i : i + size] for i in range(0, len(ordered), size)]
    return [tuple(mark for mark in marks if mark in some) for some in rounds]


def _without(model: Model, gone: Sequence[str]) -> Model:
    """The model less the parts of those marks."""
    return only_parts(model, {p.path for p in model.parts if p.mark not in gone}) if gone else model


def _name(model: Model, assembly: Assembly) -> str:
    """What an assembly is called; one that is all there is in another one has the name of that, which the plan placed."""
    outer = _wrapper(model, assembly)
    while outer is not None:
        assembly, outer = outer, _wrapper(model, outer)
    return (assembly.definition or assembly.name).replace("_", " ")


def _wrapper(model: Model, assembly: Assembly) -> Assembly | None:
    """The assembly round this one that holds nothing else."""
    return next((a for a in model.assemblies if a.path and a.children == (assembly.path,) and not a.parts), None)


def _unwrapped(model: Model, path: str) -> str:
    """The assembly inside those that hold nothing else."""
    here = next((a for a in model.assemblies if a.path == path), None)
    while here is not None and len(here.children) == 1 and not here.parts:
        here = next((a for a in model.assemblies if a.path == here.children[0]), None)
    return here.path if here is not None else path


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
    model, style = _without(ctx.model, wish.gone), ctx.style
    moves = explosion(model, wish.assembly)
    bodies = moved_bodies(ctx.solids, tuple(moves), moves)
    x0, y0, x1, y1 = space
    notes = _also(wish)
    beside = y1 - y0 < LOW_CELL and len(wish.marks) <= BESIDE
    over = LOW_ROOM if beside else BALLOON_ROOM
    room: Extent = (x0 + BALLOON_ROOM, y0 + over, x1 - BALLOON_ROOM, y1 - HEAD_ROOM - over + 2.0 - 5.0 * len(notes))
    place, seen = _showing(model, wish, bodies, room)
    scene = Scene(bodies, place.view)
    trails = trails_of(model, wish.assembly, moves, scene, place)
    drawn = picture_group(bodies, place, wish.assembly or "whole", extra=trails)
    covered = item_extent(drawn) or room
    around = (x0, y0, x1, y1 - HEAD_ROOM - 5.0 * len(notes))
    balloons = _balloons(ctx, wish, scene, seen, place, covered, around, SIDES[::2] if beside else SIDES)
    names = _names(ctx, wish, seen, covered, balloons, (x0, y0, x1, y1 - HEAD_ROOM))
    low = max((item_extent(g) or covered)[3] for g in (drawn, *balloons, *names))
    middle = (covered[0] + covered[2]) / 2
    words = (wish.title + VIEWS[place.view]).upper()
    half = text_width(words, style.height("vtitle"), True) / 2
    middle = min(max(middle, x0 + half), x1 - half)
    title = view_title(words, None, middle, low, style)
    size = style.height("note")
    texts = [
        Text("note", (middle, low + 15.0 + 5.0 * n), note, size, "middle") for n, note in enumerate(notes)
    ]
    return (drawn, *balloons, *names, *title, *texts)


def _showing(
    model: Model, wish: Picture, bodies: Sequence[tuple[str, Solid]], room: Extent
) -> tuple[Placement, Seen]:
    """The picture from the front where it shows every part that gets a balloon, else from where fewest are hidden."""
    best: tuple[int, Placement, Seen] | None = None
    inside = [path for path, _ in bodies]
    for view in VIEWS:
        extent = picture_extent(view, bodies)
        place = _placed(view, extent, min(1.0, fill_ratio(extent, room[2] - room[0], room[3] - room[1])), room)
        seen = Seen(bodies, place)
        areas = [max(seen.area(p.path) for p in model.placed if p.mark == mark and p.path in inside) for mark in wish.marks]
        hidden = sum(area < LEAST_SEEN for area in areas)
        if best is None or hidden < best[0]:
            best = (hidden, place, seen)
        if not hidden:
            break
    assert best is not None
    return best[1], best[2]


def _placed(view: Projection, extent: Extent, ratio: float, room: Extent) -> Placement:
    middle_x, middle_y = (extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2
    at = ((room[0] + room[2]) / 2 - middle_x * ratio, (room[1] + room[3]) / 2 + middle_y * ratio)
    return Placement(view, ratio, at)


def _also(wish: Picture) -> tuple[str, ...]:
    return tuple(f"{', '.join(others)}: like {mark}, see the part drawings" for mark, others in wish.others)


def _balloons(
    ctx: SheetContext, wish: Picture, scene: Scene, seen: Seen, place: Placement, covered: Extent, space: Extent,
    sides: tuple[str, ...],
) -> tuple[Group, ...]:  # fmt: skip
    """One balloon a mark, on the instance that shows the most of itself, and the count where it is over one."""
    style = ctx.style
    inside = [path for path, _ in scene.bodies]
    own = [p.path for p in ctx.model.placed if p.assembly == wish.assembly or p.path in inside]
    requests, counts = [], {}
    for mark in wish.marks:
        alike = [p for p in ctx.model.placed if p.mark == mark and p.path in inside]
        shown = max(alike, key=lambda part: seen.area(part.path)).path
        targets = seen.places(shown) or (place.spot(_middle(dict(scene.bodies)[shown])),)
        requests.append(BalloonRequest(mark, targets, shown))
        counts[mark] = sum(p.count for p in ctx.model.placed if p.mark == mark and p.path in own)
    if not requests:
        return ()
    inner = (space[0] + 5.0, space[1] + 4.0, space[2] - 5.0, space[3])
    placed = place_balloons(covered, tuple(requests), style, inner, (), sides)
    return tuple(_counted(g, counts, style.minimum_height, covered) for g in placed.groups)


def _names(
    ctx: SheetContext, wish: Picture, seen: Seen, covered: Extent, balloons: Sequence[Group], space: Extent
) -> tuple[Group, ...]:
    """A note for each different sub-assembly that is shown as a whole: its name and the sheet that takes it apart."""
    model = ctx.model
    inside = seen.names
    sheets = {wish.assembly: f"9.{n}" for n, sheet in enumerate(_sheets(model), 1) for wish in sheet}
    notes = []
    for _, alike in _different(model)[1:]:
        shown = [
            a for a in alike
            if a.path in _children(model, wish.assembly) and len(units(model, _unwrapped(model, a.path))) > 1
        ]  # fmt: skip
        paths = [p for p in inside if any(p.startswith(f"{one.path}.") for one in shown)]
        points = seen.places(max(paths, key=seen.area)) if paths else ()
        if not points:
            continue
        inner = next(row[0].path for row in _different(model) if _unwrapped(model, shown[0].path) in [a.path for a in row[1]])
        sheet = sheets.get(inner, "")
        lines = (f"{_instances(shown)}: {sheet}" if sheet else _instances(shown),)
        notes.append(NoteRequest(points[0], lines, end="dot", id=shown[0].path))
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
