"""Pictures of steps: the parts on the bench, or the piece as far as it has grown, new parts heavy and earlier ones
light, with arrows in the direction in which the new ones go in, rings at screws and frames for clamps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray

from plandoc.drawing.boxes import item_extent
from plandoc.drawing.display import XY, Arc, Circle, Extent, Group, Item, Text
from plandoc.drawing.lettering import text_width, wrap
from plandoc.drawing.linework import MOTION, motion_arrow
from plandoc.geometry.bodies import Face, body_box, box_prism
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import ISO, ISO_LEFT, ISO_REAR, ISO_REAR_RIGHT, Projection
from plandoc.model.entities import Model, Part, Step
from plandoc.sheets.context import SheetContext
from plandoc.sheets.levels import AXIS_WORDS
from plandoc.sheets.stepbodies import Progress, telling_view
from plandoc.sheets.stepclamps import clamps, pressed
from plandoc.sheets.stepways import Move, ways_in
from plandoc.sheets.views import (
    Placement,
    Scene,
    centred_placement,
    fill_ratio,
    inscribed,
    picture_extent,
    picture_group,
)
from plandoc.sheets.visible import Seen
from plandoc.shopwork.alike import form_of
from plandoc.shopwork.shopping import all_glue_ups
from plandoc.shopwork.state import StepState

ARROW_CLEAR = 1.5
CLAMP_ROOM = 4.0  # mm round the piece for clamps
ARROW_ROOM = MOTION + ARROW_CLEAR + 1.0
LARGEST = 0.5  # paper over model; small parts are not blown up beyond it
SMALLEST = 1e-3
LABEL_ROOM = 11.0  # mm under a part on the bench for its mark
CELL_GAP = 5.0
CAPTION = 5.0  # mm for a line under the picture of an assembly
RING = 1.2  # mm, radius of the ring round a screw
RING_DASHES, RING_GAP = 6, 24.0  # dashes of a hidden ring (a ring is too small for those of hidden edges), degrees between
RING_OFF = 0.1  # mm of the model before a face; the screw's head stands on it
MARK_SHARE = 0.8  # of a balloon's size
FROM = {ISO: "", ISO_LEFT: "SEEN FROM THE LEFT", ISO_REAR_RIGHT: "SEEN FROM BEHIND", ISO_REAR: "SEEN FROM BEHIND"}
LITTLE, MORE = 0.5, 0.25  # shares of the step's work: seen from the front so little, and elsewhere so much more
COARSE = 60.0  # mm of paper on which it is tried how much is seen


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a screw is driven, and into which face where that is known."""

    at: Move
    face: Face | None


def least_picture(model: Model, state: StepState) -> float:
    """The least height (mm) for the picture of a step; 0 where it has none. Few parts on the bench need less."""
    if state.kind == "none":
        return 0.0
    if state.kind == "bench":
        marks = {model.part(path).mark or path for path in state.new}
        return 34.0 if len(marks) <= 3 else 46.0 if len(marks) <= 6 else 60.0
    return 40.0 if len(state.before) + len(state.new) > 3 else 34.0


def step_picture(ctx: SheetContext, step: Step, state: StepState, space: Extent, done: Progress) -> Group | None:
    """The picture of a step in a paper rectangle, None where the step has nothing to show. done: the work of every
    step; what later ones do is not shown."""
    if state.kind == "bench":
        return _bench(ctx, step, state, space, done)
    if state.kind == "assembly":
        return _assembly(ctx, step, state, space, done)
    return None


# --- parts on the bench ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Cell:
    """One part to lay out: as it is after the step, as if it stood straight, its body and view, its mark and how many there are."""

    part: Part
    path: str
    solid: Solid
    view: Projection
    extent: Extent
    mark: str
    count: int

    @property
    def size(self) -> tuple[float, float]:
        return self.extent[2] - self.extent[0], self.extent[3] - self.extent[1]


def _bench(ctx: SheetContext, step: Step, state: StepState, space: Extent, done: Progress) -> Group | None:
    """Each different part once, at one ratio, with its mark and count, as it is after the step and from the side where
    the step's work lies."""
    cells: list[_Cell] = []
    groups: dict[str, list[Part]] = {}
    for path in state.new:
        part = ctx.model.part(path)
        groups.setdefault(part.mark or part.path, []).append(part)
    for mark, parts in groups.items():
        part = parts[0]
        solid = done.straight(step.number, part.path)
        if solid.empty:
            continue
        view = telling_view(part, done.made_in(step.number, part.path))
        extent = picture_extent(view, [(part.path, solid)])
        cells.append(_Cell(replace(done.so_far(step.number, part.path), lean=None), part.path, solid, view, extent, mark, sum(p.count for p in parts)))
    if not cells:
        return None
    rows, ratio = _best_rows(cells, space, MARK_SHARE * ctx.style.balloon_radius)
    items = tuple(_laid_out(ctx, rows, ratio, space))
    return Group("picture", items, id=f"picture-step-{step.number}", attrs=(("step", str(step.number)),))


def _room(cell: _Cell, ratio: float, radius: float) -> float:
    """Width (mm) of a part on the bench; its mark, with the count at its right, may be wider than itself."""
    return max(cell.size[0] * ratio, 2 * radius + (14.0 if cell.count > 1 else 0.0))


def _best_rows(cells: Sequence[_Cell], space: Extent, radius: float) -> tuple[list[Sequence[_Cell]], float]:
    """The number of rows at which the parts print largest."""
    wide, high = space[2] - space[0], space[3] - space[1]
    best: tuple[list[Sequence[_Cell]], float] = ([cells], 0.0)
    for count in range(1, min(5, len(cells)) + 1):
        per_row = -(-len(cells) // count)
        rows = [cells[i : i + per_row] for i in range(0, len(cells), per_row)]
        room = high - LABEL_ROOM * len(rows) - CELL_GAP * (len(rows) - 1)
        ratio = min(LARGEST, room / sum(max(c.size[1] for c in row) for row in rows))
        while ratio > max(best[1], SMALLEST) and any(
            sum(_room(c, ratio, radius) for c in row) + CELL_GAP * (len(row) - 1) > wide for row in rows
        ):
            ratio *= 0.97
        if ratio > best[1]:
            best = (rows, ratio)
    return best


def _laid_out(ctx: SheetContext, rows: Sequence[Sequence[_Cell]], ratio: float, space: Extent) -> list[Item]:
    style = ctx.style
    radius, size = MARK_SHARE * style.balloon_radius, MARK_SHARE * style.height("label")
    items: list[Item] = []
    used = sum(max(c.size[1] for c in row) * ratio + LABEL_ROOM for row in rows) + CELL_GAP * (len(rows) - 1)
    y = space[1] + max(0.0, (space[3] - space[1] - used) / 2)
    for row in rows:
        tall = max(c.size[1] for c in row) * ratio
        widths = [_room(c, ratio, radius) for c in row]
        gap = min(14.0, (space[2] - space[0] - sum(widths)) / max(1, len(row)))
        x = (space[0] + space[2]) / 2 - (sum(widths) + gap * (len(row) - 1)) / 2
        for cell, width in zip(row, widths, strict=True):
            place = centred_placement(cell.view, cell.extent, ratio, (x, y, x + width, y + tall))
            body = [(cell.path, cell.solid)]
            items.append(picture_group(body, place, cell.path, extra=inscribed([cell.part], body, place)))
            centre = (x + width / 2, y + tall + radius + 1.5)
            items.append(Circle("ldr", centre, radius))
            items.append(Text("label", (centre[0], centre[1] + size / 2), cell.mark, size, "middle"))
            if cell.count > 1:
                high = style.minimum_height
                at = (centre[0] + radius + 1.0, centre[1] + high / 2)
                items.append(Text("note", at, f"{cell.count}X", high))
            x += width + gap
        y += tall + LABEL_ROOM + CELL_GAP
    return items


# --- the piece as far as it has grown ----------------------------------------------------------------------------


def _assembly(ctx: SheetContext, step: Step, state: StepState, space: Extent, done: Progress) -> Group | None:
    paths = [p.path for p in ctx.model.placed if p.path in state.before or p.path in state.new]
    if not paths:
        return None
    alike = _alike(ctx.model, paths)
    if len(alike) > 1:
        kept = [p for p in paths if ctx.model.part(p).assembly == alike[0]]
        state = StepState(
            state.kind, tuple(p for p in state.before if p in kept), tuple(p for p in state.new if p in kept)
        )
        paths = kept
    bodies = [(path, done.standing(step.number, path)) for path in paths]
    fitted = [*_fitted(ctx.model, step, paths), *_keys(ctx.model, step, paths)]
    bodies += fitted
    light = frozenset(state.before if state.new or fitted else ())
    ways = ways_in(ctx.model, ctx.steps, step, state)
    spots = _spots(ctx.model, step, done, paths)
    view = _side(bodies, spots, state)
    words = [f"{len(alike)} ALIKE, ONE SHOWN"] if len(alike) > 1 else []
    words += [FROM[view]] if FROM[view] else []
    joints = pressed(ctx.model, [up for up in all_glue_ups(ctx.model, ctx.steps) if up.step == step.number], paths)
    words += ["THIN FRAMES: CLAMPS"] if joints else []
    size = ctx.style.minimum_height
    joined = ", ".join(words)
    told = (joined,) if text_width(joined, size) <= space[2] - space[0] else tuple(line for part in words for line in wrap(part, size, space[2] - space[0]))
    room = (space[0], space[1], space[2], space[3] - CAPTION * len(told) if words else space[3])
    inner = _arrow_room(room, view, [move for _, move in ways], CLAMP_ROOM if joints else 0.0)
    extent = picture_extent(view, bodies)
    ratio = min(LARGEST, fill_ratio(extent, inner[2] - inner[0], inner[3] - inner[1]))
    place = centred_placement(view, extent, ratio, inner)
    held = clamps(ctx.model, joints, bodies, place, ctx.style)
    letters = inscribed((done.so_far(step.number, path) for path in paths), bodies, place)
    extra: list[Item] = [*letters, *_arrows(ctx, ways, bodies, held, place), *_points(spots, place, bodies, paths)]
    extra += [Group("clamps", tuple(held), attrs=(("axes", " ".join(AXIS_WORDS[a] for a in sorted(joints))),))] if held else []
    if words:
        low = max([place.paper((extent[0], extent[1]))[1], *(e[3] for i in extra if (e := item_extent(i)) is not None)])
        first = min(low + size + 2.0, space[3] - 1.0 - CAPTION * (len(told) - 1))
        extra += [Text("note", ((space[0] + space[2]) / 2, first + CAPTION * line), text, size, "middle") for line, text in enumerate(told)]
    drawn = picture_group(bodies, place, f"step-{step.number}", light, extra)
    return Group(drawn.kind, drawn.items, drawn.id, (("step", str(step.number)), ("proj", view.name)))


def _fitted(model: Model, step: Step, paths: Sequence[str]) -> list[tuple[str, Solid]]:
    """The room that the step's hardware takes, where it is known."""
    return [
        (f.id, Solid.from_prisms([box_prism(room) for room in f.rooms or (f.box,)]))
        for f in model.fittings
        if f.id in step.fits and f.box is not None and any(p in paths for p in f.parts)
    ]


def _keys(model: Model, step: Step, paths: Sequence[str]) -> list[tuple[str, Solid]]:
    """The wedge keys that the step drives, each as far as its mortise is open, standing out by its width on both sides."""
    found = []
    for joint in model.joints:
        driven = [f for n, f in enumerate(joint.fasteners, 1) if f.kind == "key" and f"fasten:{joint.id}:{n}" in step.makes]
        part = model.part(joint.a)
        if not driven or joint.a not in paths or part.lean is not None:
            continue
        wide, way = driven[0].length, joint.entry
        for feature in part.features:
            if feature.kind == "key mortise" and feature.joint == joint.id:
                room = body_box(feature.cuts[0])
                lo, hi = room.span(way.axis)
                room = room.with_span(way.axis, *((hi - wide, hi) if way.side > 0 else (lo, lo + wide)))
                lo, hi = room.span(driven[0].axis)
                found.append((feature.id, Solid.from_prisms([box_prism(room.with_span(driven[0].axis, lo - wide, hi + wide))])))
    return found


def _alike(model: Model, paths: Sequence[str]) -> tuple[str, ...]:
    """The assembly instances that the parts belong to, where all of these are alike; else nothing."""
    homes: dict[str, int] = {}
    for path in paths:
        home = model.part(path).assembly
        homes[home] = homes.get(home, 0) + 1
    if "" in homes or len(set(homes.values())) != 1:
        return ()
    inner = {home: [j for j in model.joints if model.part(j.a).assembly == model.part(j.b).assembly == home] for home in homes}
    forms = [form_of(model, home, inner[home]) for home in homes]
    return tuple(homes) if all(form == forms[0] for form in forms) else ()


def _spots(model: Model, step: Step, done: Progress, paths: Sequence[str]) -> list[Spot]:
    """Where the step's hardware is screwed on, and where it drives the screws of joints."""
    shown = [f for f in model.fittings if f.id in step.fits and any(p in paths for p in f.parts)]
    points = {tuple(float(c) for c in point): None for f in shown for point in f.points}
    spots = [Spot((x, y, z), None) for x, y, z in points]
    for path in paths:
        part = model.part(path)
        for feature in done.made_in(step.number, path) if part.lean is None else ():
            if feature.centre is not None and feature.face is not None and feature.through:
                at = [float(c) for c in feature.centre]
                at[feature.face.axis] = float(part.box.at(feature.face))
                spots.append(Spot((at[0], at[1], at[2]), feature.face))
    return spots


def _side(bodies: Sequence[tuple[str, Solid]], spots: Sequence[Spot], state: StepState) -> Projection:
    """From where the step's own work is seen: its screws, else what is new in it. From the front on the right, unless
    little is seen from there and clearly more from elsewhere."""
    shares: list[float] = []
    for view in FROM:
        if spots:
            shares.append(1.0 - float(_hidden(spots, view, bodies).mean()))
        elif state.before and state.new:
            shares.append(_share_seen(bodies, state.new, view))
        else:
            return ISO
        if shares[0] >= LITTLE:
            return ISO
    best = max(range(len(shares)), key=lambda n: (round(shares[n], 3), -n))
    return tuple(FROM)[best if shares[0] < LITTLE and shares[best] > shares[0] + MORE else 0]


def _share_seen(bodies: Sequence[tuple[str, Solid]], paths: Sequence[str], view: Projection) -> float:
    """How much of what these bodies turn to the viewer is not behind others."""
    extent = picture_extent(view, bodies)
    place = centred_placement(view, extent, fill_ratio(extent, COARSE, COARSE), (0.0, 0.0, COARSE, COARSE))
    whole, alone = Seen(bodies, place), Seen([row for row in bodies if row[0] in paths], place)
    return sum(whole.area(p) for p in paths) / max(1, sum(alone.area(p) for p in paths))


def _hidden(spots: Sequence[Spot], view: Projection, bodies: Sequence[tuple[str, Solid]]) -> NDArray[np.bool_]:
    """For each spot whether a part lies before it, or it is on a face that looks away."""
    points = np.array([spot.at for spot in spots]) + np.array(view.toward) * RING_OFF
    away = [spot.face is not None and view.toward[spot.face.axis] * spot.face.side < 0 for spot in spots]
    return np.logical_or(Scene(bodies, view).hides(points), away)


def _points(
    spots: Sequence[Spot], place: Placement, bodies: Sequence[tuple[str, Solid]], paths: Sequence[str]
) -> list[Item]:
    """Rings where screws are driven, dashed where a part lies before them."""
    if not spots:
        return []
    hidden = _hidden(spots, place.view, [row for row in bodies if row[0] in paths])
    rings: dict[XY, bool] = {}
    for point, covered in zip(spots, hidden, strict=True):
        spot = place.spot(point.at)
        rings[spot] = rings.get(spot, True) and bool(covered)
    items: list[Item] = []
    for spot, covered in rings.items():
        if covered:
            items += [Arc("ldr", spot, RING, turn, turn + 360 / RING_DASHES - RING_GAP) for turn in range(0, 360, 360 // RING_DASHES)]
        else:
            items.append(Circle("vis", spot, RING))
    return items


def _arrow_room(space: Extent, view: Projection, moves: Sequence[Move], around: float = 0.0) -> Extent:
    """The rectangle less room for arrows on the sides where they stand. around: mm that other marks take on all sides."""
    room = [2.0 + around] * 4
    for move in moves:
        out = _way_out(view, move)
        if out is None:
            continue
        for axis in (0, 1):
            side = axis + (2 if out[axis] > 0 else 0)
            room[side] = max(room[side], around + ARROW_ROOM * abs(out[axis]))
    return space[0] + room[0], space[1] + room[1], space[2] - room[2], space[3] - room[3]


def _way_out(view: Projection, move: Move) -> XY | None:
    """Direction of a move on paper, of length 1."""
    dx, dy = view.flat_point(move)
    size = hypot(dx, dy)
    return (dx / size, -dy / size) if size > 1e-6 else None


def _arrows(
    ctx: SheetContext, ways: Sequence[tuple[tuple[str, ...], Move]], bodies: Sequence[tuple[str, Solid]], others: Sequence[Item],
    place: Placement,
) -> list[Item]:  # fmt: skip
    """Arrows of motion outside the outline of the picture and of other marks, in line with what comes in, pointing the way
    it goes."""
    hull = _hull([solid for _, solid in bodies], place)
    around = [shapely.box(*e) for i in others if (e := item_extent(i)) is not None]
    hull = shapely.union_all([hull, *around]).convex_hull if around else hull
    made = (_arrow(_hull([ctx.solids[p] for p in paths], place), hull, move, place) for paths, move in ways)
    return [arrow for arrow in made if arrow is not None]


def _hull(solids: Sequence[Solid], place: Placement) -> shapely.Geometry:
    """The convex outline of bodies on paper."""
    flat = np.concatenate([place.view.flat(s.vertices) for s in solids]) * (place.ratio, -place.ratio) + place.at
    hull: shapely.Geometry = shapely.multipoints(flat).convex_hull
    return hull


def _arrow(own: shapely.Geometry, whole: shapely.Geometry, move: Move, place: Placement) -> Item | None:
    """own: outline of what moves, whole: of the picture."""
    out = _way_out(place.view, move)
    if out is None or own.is_empty:
        return None
    middle = own.centroid
    ray = shapely.LineString([(middle.x, middle.y), (middle.x + out[0] * 1e4, middle.y + out[1] * 1e4)])
    reach = shapely.intersection(ray, whole).length + ARROW_CLEAR
    return motion_arrow((middle.x + out[0] * reach, middle.y + out[1] * reach), (-out[0], -out[1]))
