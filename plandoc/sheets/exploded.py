"""Exploded pictures: the whole piece with its sub-assemblies kept together, then each different sub-assembly; a single one
stands beside the whole where both stay large enough.

Parts move along the way on which their joints let them out; trail lines lead back to the seats; balloons carry the
marks of the parts list. Identical parts have one balloon with their count beside it. Instances of a sub-assembly whose
parts have marks of their own, as mirrored ones, have pictures of their own; loose parts lie side by side in the last one.
"""

from __future__ import annotations

import re
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
from plandoc.model.entities import Assembly, Model
from plandoc.sheets.context import SheetContext
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.trails import trails as trails_of
from plandoc.sheets.views import (
    Placement,
    Scene,
    fill_ratio,
    inscribed,
    moved_bodies,
    picture_extent,
    picture_group,
    view_title,
)
from plandoc.sheets.visible import Seen
from plandoc.shopwork.kept import of_last_model

MOST_BALLOONS = 12
BALLOON_ROOM = 19.0  # mm of paper round the picture for balloons
NAME_ROOM = 10.0  # mm beside the picture over the length of a name that stands there
LOW_CELL = 100.0  # mm; in a cell that is lower the balloons stand at the left and right only
LOW_ROOM = 4.0  # mm over and under a picture there
BESIDE = 8  # balloons that find room so
CELL_GAP = 6.0
LARGEST_LOOSE = 0.5  # paper over model
LOOSE_APART = 0.3  # of the width of a loose part, to the next one
LEAST_PICTURE = 70.0  # mm, the larger side of one of two pictures side by side
LEAST_SHARE = 0.5  # of its size on a sheet of its own
VIEW = "Exploded view"
HEAD_ROOM = 14.0  # mm under the picture for its title
ORDER = 190
VIEWS = {ISO: "", ISO_LEFT: ", from the left", ISO_REAR_RIGHT: ", from behind", ISO_REAR: ", from behind"}
LEAST_SEEN = 12  # cells of the grid of `visible`: 2 square mm of paper, room for the dot of a leader

Move = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture to draw. assembly: path of the instance shown; marks: those that get balloons in it, in order of the
    parts; gone: marks of the parts that left before, in the pictures before this one, and are not in it; loose: it shows
    the parts without a place that have these marks."""

    assembly: str
    title: str
    marks: tuple[str, ...]
    gone: tuple[str, ...] = ()
    loose: bool = False


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """The whole on a sheet of its own, then sub-assemblies, up to four a sheet."""
    drafts: list[Draft] = []
    for sheet, cells in _sheets(ctx):
        code = f"9.{len(drafts) + 1}"
        if len(sheet) == 1:
            title = sheet[0].title
        else:
            names = [wish.title.partition(": ")[2] or wish.title for wish in sheet]
            names = ["the whole", *(name.lower() for name in names[1:])] if names[0] == VIEW else names
            title = f"Exploded views: {', '.join(names)}"
        items = [i for wish, cell in zip(sheet, cells, strict=False) for i in _draw(ctx, wish, cell)]
        drafts.append(Draft("exploded", code, title, tuple(items)))
    return tuple(drafts)


def _sheets(ctx: SheetContext) -> list[tuple[list[Picture], list[Extent]]]:
    """The pictures of each sheet and their cells: those of the whole alone, the others in fours; one of the whole and one other side
    by side where both stay large enough."""
    every = pictures(ctx.model)
    if len(every) == 2 and (every[1].assembly or every[1].loose):  # of one piece in two pictures each takes a sheet
        cells = _beside(ctx, every)
        if cells is not None:
            return [(list(every), cells)]
    small = [wish for wish in every if wish.assembly or wish.loose]
    fours = [small[i : i + 4] for i in range(0, len(small), 4)]
    alone = [([wish], [ctx.space]) for wish in every if wish not in small]
    return alone + [(sheet, _cells(ctx.space, len(sheet)) if len(sheet) > 1 else [ctx.space]) for sheet in fours]


def _beside(ctx: SheetContext, every: Sequence[Picture]) -> list[Extent] | None:
    """Cells for two pictures side by side, split where they lose least of the size that they have alone; None where the larger side
    of one would print under LEAST_PICTURE, or at less than LEAST_SHARE of that size."""
    x0, y0, x1, y1 = ctx.space
    best: tuple[float, list[Extent]] | None = None
    for percent in range(40, 66, 2):
        middle = x0 + (x1 - x0) * percent / 100
        cells = [(x0, y0, middle - CELL_GAP / 2, y1), (middle + CELL_GAP / 2, y0, x1, y1)]
        shares = []
        for wish, cell in zip(every, cells, strict=True):
            extent, alone = _extent(ctx, wish), _ratio(ctx, wish, ctx.space)
            ratio = _ratio(ctx, wish, cell)
            large = max(extent[2] - extent[0], extent[3] - extent[1]) * ratio
            shares.append(ratio / alone if large >= LEAST_PICTURE or ratio == alone else 0.0)
        if min(shares) >= LEAST_SHARE and (best is None or min(shares) > best[0]):
            best = (min(shares), cells)
    return None if best is None else best[1]


def _extent(ctx: SheetContext, wish: Picture) -> Extent:
    """The picture from the front at full size (mm)."""
    moves = _side_by_side(ctx, wish.marks) if wish.loose else explosion(_without(ctx.model, wish.gone), wish.assembly)
    return picture_extent(ISO, moved_bodies(ctx.solids, tuple(moves), moves))


def _ratio(ctx: SheetContext, wish: Picture, cell: Extent) -> float:
    """Paper over model of a picture in its cell."""
    room = _room(ctx, wish, cell)
    return min(LARGEST_LOOSE if wish.loose else 1.0, fill_ratio(_extent(ctx, wish), room[2] - room[0], room[3] - room[1]))


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


@of_last_model
def pictures(model: Model) -> tuple[Picture, ...]:
    """What to draw: the whole, then one instance of each different sub-assembly, then the parts without a place; every
    mark is in one of them at least."""
    found: list[Picture] = []
    shown: list[str] = []
    for assembly, alike in _different(model):
        if assembly.path and len(units(model, assembly.path)) < 2:
            continue  # a part by itself, or another assembly, has its name in the picture round it
        own = _marks(model, assembly)
        again = _again(model, assembly)
        marks = [mark for mark in own if again or mark not in shown]
        shown += [mark for mark in marks if mark not in shown]
        given = _given(model, alike) if again else ""
        name = VIEW + (f": {given or _name(model, assembly) + (_number(alike) if again else '')}" if assembly.path else "")
        rounds = _rounds(model, assembly.path, marks)
        for number, some in enumerate(rounds, 1):
            title = f"{name}, part {number} of {len(rounds)}" if len(rounds) > 1 else name
            found.append(Picture(assembly.path, title, some, tuple(m for row in rounds[: number - 1] for m in row)))
    loose = [mark for mark in dict.fromkeys(p.mark for p in model.parts if p.loose) if mark not in shown]
    for at in range(0, len(loose), MOST_BALLOONS):
        found.append(Picture("", "Loose parts" + (", continued" if at else ""), tuple(loose[at : at + MOST_BALLOONS]), loose=True))
    return tuple(found)


def _marks(model: Model, assembly: Assembly) -> tuple[str, ...]:
    """The marks of the parts that an assembly shows singly, in the order of the plan."""
    homes = (assembly.path, *_lone(model, assembly))
    return tuple(dict.fromkeys(p.mark for p in model.placed if p.assembly in homes))


def _number(alike: Sequence[Assembly]) -> str:
    """What tells these instances of a definition from others: ` 1, 2`, or the names by which the plan placed them."""
    words = [" ".join(re.findall(r"\[(.*?)\]", a.path)) or a.path.partition(".")[0].replace("_", " ") for a in alike]
    return f" {', '.join(dict.fromkeys(words))}"


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


def _given(model: Model, alike: Sequence[Assembly]) -> str:
    """The names that the plan gave these instances where it placed them: those by which it tells them from others of their
    definition; "" where all have one name."""
    every = [a.name for a in model.assemblies if a.definition and a.definition == alike[0].definition]
    own = list(dict.fromkeys(a.name for a in alike))
    return ", ".join(own).lower() if len(set(every)) == len(every) > 1 else ""


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


@of_last_model
def _different(model: Model) -> list[tuple[Assembly, tuple[Assembly, ...]]]:
    """The whole first, then the first of all instances that are alike: of one definition, with the same marks."""
    whole = [a for a in model.assemblies if a.path == ""] or [Assembly("", model.info.title, (), ())]
    rows: list[tuple[Assembly, tuple[Assembly, ...]]] = [(whole[0], (whole[0],))]
    groups: dict[tuple[str, int, tuple[str, ...]], list[Assembly]] = {}
    for assembly in model.assemblies:
        if assembly.path:
            key = (assembly.definition or assembly.path, len(assembly.parts), _marks(model, assembly))
            groups.setdefault(key, []).append(assembly)
    rows += [(group[0], tuple(group)) for group in groups.values()]
    return rows


def _again(model: Model, assembly: Assembly) -> bool:
    """Whether there are instances of the same definition that differ from these."""
    return sum(bool(a.definition) and a.definition == assembly.definition for a, _ in _different(model)) > 1


def _draw(ctx: SheetContext, wish: Picture, space: Extent) -> tuple[Item, ...]:
    model, style = _without(ctx.model, wish.gone), ctx.style
    moves = _side_by_side(ctx, wish.marks) if wish.loose else explosion(model, wish.assembly)
    bodies = moved_bodies(ctx.solids, tuple(moves), moves)
    x0, y0, x1, y1 = space
    beside = _low(wish, space)
    room = _room(ctx, wish, space)
    place, seen = _showing(model, wish, bodies, room)
    scene = Scene(bodies, place.view)
    letters = inscribed((model.part(path) for path in moves), bodies, place, moves)
    trails = () if wish.loose else trails_of(model, wish.assembly, moves, scene, place)
    drawn = picture_group(bodies, place, "loose" if wish.loose else wish.assembly or "whole", extra=(*letters, *trails))
    covered = item_extent(drawn) or room
    around = (x0, y0, x1, y1 - HEAD_ROOM)
    balloons = _balloons(ctx, wish, scene, seen, place, covered, around, SIDES[::2] if beside else SIDES)
    names = _names(ctx, wish, seen, covered, balloons, around)
    low = max((item_extent(g) or covered)[3] for g in (drawn, *balloons, *names))
    middle = (covered[0] + covered[2]) / 2
    words = (wish.title + VIEWS[place.view]).upper()
    half = text_width(words, style.height("vtitle"), True) / 2
    middle = min(max(middle, x0 + half), x1 - half)
    title = view_title(words, None, middle, low, style)
    return (drawn, *balloons, *names, *title)


def _low(wish: Picture, space: Extent) -> bool:
    """Whether balloons stand at the left and right only."""
    return space[3] - space[1] < LOW_CELL and len(wish.marks) <= BESIDE


def _room(ctx: SheetContext, wish: Picture, space: Extent) -> Extent:
    """The room of the picture itself; names of sub-assemblies stand at its sides or, in a cell, at its left."""
    x0, y0, x1, y1 = space
    low = _low(wish, space)
    over = LOW_ROOM if low else BALLOON_ROOM
    cell = space != ctx.space
    here = {"": ""} if cell and len(pictures(ctx.model)) == 2 else {}  # no codes: what is named stands beside it
    named = [text_width(words, ctx.style.height("note")) + NAME_ROOM for _, words in _named(ctx.model, wish, here)]
    side = max([BALLOON_ROOM, *named])
    right = BALLOON_ROOM if cell and not low else side
    return (x0 + (BALLOON_ROOM if low else side), y0 + over, x1 - right, y1 - HEAD_ROOM - over + 2.0)


def _side_by_side(ctx: SheetContext, marks: Sequence[str]) -> dict[str, Move]:
    """For one part of each of these marks the move (mm) that puts it beside the one before it, as they are seen from the
    front."""
    moves: dict[str, Move] = {}
    x = 0.0
    for mark in marks:
        path = next(p.path for p in ctx.model.parts if p.mark == mark and p.loose)
        x0, y0, x1, y1 = picture_extent(ISO, [(path, ctx.solids[path])])
        across, up = x - x0, -(y0 + y1) / 2
        right, high = ISO.right, ISO.up
        moves[path] = (right[0] * across + high[0] * up, right[1] * across + high[1] * up, right[2] * across + high[2] * up)
        x += (x1 - x0) * (1.0 + LOOSE_APART)
    return moves


def _showing(
    model: Model, wish: Picture, bodies: Sequence[tuple[str, Solid]], room: Extent
) -> tuple[Placement, Seen]:
    """The picture from the front where it shows every part that gets a balloon, else from where fewest are hidden."""
    best: tuple[int, Placement, Seen] | None = None
    inside = [path for path, _ in bodies]
    for view in VIEWS:
        extent = picture_extent(view, bodies)
        place = _placed(view, extent, min(LARGEST_LOOSE if wish.loose else 1.0, fill_ratio(extent, room[2] - room[0], room[3] - room[1])), room)
        seen = Seen(bodies, place)
        areas = [max(seen.area(p.path) for p in model.parts if p.mark == mark and p.path in inside) for mark in wish.marks]
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


def _balloons(
    ctx: SheetContext, wish: Picture, scene: Scene, seen: Seen, place: Placement, covered: Extent, space: Extent,
    sides: tuple[str, ...],
) -> tuple[Group, ...]:  # fmt: skip
    """One balloon a mark, on the instance that shows the most of itself, and the count where it is over one."""
    style = ctx.style
    inside = [path for path, _ in scene.bodies]
    requests, counts = [], {}
    for mark in wish.marks:
        alike = [p for p in ctx.model.parts if p.mark == mark and p.path in inside]
        shown = max(alike, key=lambda part: seen.area(part.path)).path
        targets = seen.places(shown) or (place.spot(_middle(dict(scene.bodies)[shown])),)
        requests.append(BalloonRequest(mark, targets, shown))
        counts[mark] = sum(p.count for p in (ctx.model.parts if wish.loose else alike) if p.mark == mark)
    if not requests:
        return ()
    inner = (space[0] + 5.0, space[1] + 4.0, space[2] - 5.0, space[3])
    placed = place_balloons(covered, tuple(requests), style, inner, (), sides)
    return tuple(_counted(g, counts, style.minimum_height, covered) for g in placed.groups)


def _named(model: Model, wish: Picture, sheets: Mapping[str, str]) -> list[tuple[list[Assembly], str]]:
    """The sub-assemblies that a picture shows as wholes, those that are alike together: their name and the sheet that takes
    them apart. sheets: codes of these by path; where it is empty the room for a code is kept."""
    if wish.loose:
        return []
    found = []
    for _, alike in _different(model)[1:]:
        shown = [
            a for a in alike
            if a.path in _children(model, wish.assembly) and len(units(model, _unwrapped(model, a.path))) > 1
        ]  # fmt: skip
        if shown:
            inner = next(row[0].path for row in _different(model) if _unwrapped(model, shown[0].path) in [a.path for a in row[1]])
            again = _again(model, shown[0])
            words = (_given(model, shown).upper() if again else "") or _instances(shown, again)
            code = sheets.get(inner, "") if sheets else "9.9"
            found.append((shown, f"{words}: {code}" if code else words))
    return found


def _names(ctx: SheetContext, wish: Picture, seen: Seen, covered: Extent, balloons: Sequence[Group], space: Extent) -> tuple[Group, ...]:
    """A note for each different sub-assembly that is shown as a whole."""
    notes = []
    # beside the picture of the whole no code is needed
    sheets = {
        one.assembly: "" if len(row) > 1 and row[0].title == VIEW else f"9.{n}"
        for n, (row, _) in enumerate(_sheets(ctx), 1) for one in row if not one.loose
    }  # fmt: skip
    for shown, words in _named(ctx.model, wish, sheets):
        paths = [p for p in seen.names if any(p.startswith(f"{one.path}.") for one in shown)]
        points = seen.places(max(paths, key=seen.area)) if paths else ()
        if points:
            notes.append(NoteRequest(points[0], (words,), end="dot", id=shown[0].path))
    blocked = [e for e in (item_extent(g) for g in balloons) if e is not None]
    leaders = [i for g in balloons for i in walk((g,)) if isinstance(i, Line)]
    return place_notes(covered, notes, ctx.style, blocked, leaders, space).groups


def _instances(alike: Sequence[Assembly], again: bool) -> str:
    """`DRAWER 1, 2`: the name with the numbers of the instances, where they have numbers. again: other instances differ."""
    name = (alike[0].definition or alike[0].name).replace("_", " ").upper()
    if again or all(a.path.endswith("]") for a in alike):
        return name + _number(alike).upper()
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
