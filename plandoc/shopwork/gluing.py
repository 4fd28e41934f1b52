"""Gluing: area, glue and time of what is closed at one go, and the clamps that it takes by pressure and force. Estimates.

A clamp that presses one joint presses all that stand in line with it: the force of a direction is that of its fullest plane of
joints; its clamps stand in equal shares along each joint, as each presses the wood under 45 degrees to its sides (common practice).
What is not joined to each other yet is clamped each by itself, all at once. Screws clamp for themselves; mitred and leaning joints slide under a straight clamp, so bands or blocks press them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box
from plandoc.model.contact import contacts
from plandoc.model.density import stock_density
from plandoc.model.entities import Joint, Model, Part
from plandoc.shopwork.alike import standing_groups
from plandoc.shopwork.draft import level_of
from plandoc.shopwork.estimates import closing_minutes, minutes
from plandoc.shopwork.jointwords import Level
from plandoc.tables.gluing import POUND, Pressure, force, glue_volume, most_apart, pressure_for, widths_apart
from plandoc.tables.shop import Shop

CLAMPING = ("screw", "pocket screw")
"""Fasteners that draw a joint together, so that it needs no clamps while its glue sets (common practice)."""
_DIAGONAL = Fraction(7, 5)  # of a mitre's thickness, rounded
FORCE = 370 * POUND
"""Of a clamp whose force the shop does not say: a parallel-jaw clamp as a magazine measured it (quoted on a forum)."""
ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Clamping:
    """Clamps in one direction, along a world axis. area (mm2): pressed in the fullest plane of each piece, force (N) there, wide (mm): how far
    they open. count: how many are wanted; there: how many of the shop open so far and are not taken yet. least: force (N) of
    the weakest that is counted, 0 where the shop has none; spacing (mm) along a single joint of a panel, None else. pressure: of
    the woods. joints: how many lie in those planes; long: their length (mm), None where it is not the same."""

    axis: int
    area: Fraction
    force: Fraction
    wide: Fraction
    count: int
    there: int
    least: Fraction
    pressure: Pressure
    spacing: Fraction | None = None
    joints: int = 1
    long: Fraction | None = None

    @property
    def short(self) -> bool:
        """Whether the shop has too few that open far enough."""
        return self.there < self.count


@dataclass(frozen=True, slots=True)
class Gluing:
    """What is glued at one go. area (mm2), glue (mm3), minutes: to spread and put together; clamped: directions; mitred, leaning:
    clamps along each joint that bands or blocks press."""

    joints: tuple[Joint, ...]
    area: Fraction
    glue: Fraction
    minutes: Fraction
    clamped: tuple[Clamping, ...] = ()
    mitred: tuple[int, ...] = ()
    leaning: tuple[int, ...] = ()

    def late(self, model: Model) -> bool:
        """Whether the glue opens no longer than that."""
        return self.minutes > minutes(model.info, "glue_open")


def glued_area(joint: Joint, model: Model | None = None) -> Fraction:
    """Bottom and walls of the channel as far as A stands in it, or the faces that meet; of a corner the flanks and bottoms of its
    sockets, of a mitre its slope (mm2). One of the two surfaces that meet."""
    run = joint.channel.size(joint.run_axis)
    across = joint.channel.size(3 - joint.run_axis - joint.entry.axis)
    if joint.kind == "mitre" and joint.depth == 0:
        return run * across * _DIAGONAL
    if joint.kind in ("box", "dovetail") and joint.depth == 0 and model is not None:
        sockets = sum(f.joint == joint.id and f.kind.endswith("socket") for path in (joint.a, joint.b) for f in model.part(path).features)
        return run * across + max(0, sockets - 1) * across * joint.channel.size(joint.entry.axis)
    if model is not None and joint.depth and not joint.askew:  # a groove may run on beside A, for a panel or another rail
        (low, high), (first, last) = (box.span(joint.run_axis) for box in (joint.channel, model.part(joint.a).box))
        run = max(ZERO, min(high, last) - max(low, first)) or run
    return run * (across + (1 if joint.edge else 2) * joint.depth)


def pressed_area(model: Model, joint: Joint) -> Box:
    """The flat room in which shoulders press on each other when A goes in: where they meet, else the bottom of the channel."""
    a, b = model.part(joint.a), model.part(joint.b)
    met = next((c for c in contacts(a.shoulder, b.shoulder) if c.entry.axis == joint.entry.axis), None)
    room = met.area if met is not None else joint.channel
    return room.with_span(joint.entry.axis, *(2 * [room.hi[joint.entry.axis]]))


def gluing(model: Model, joints: Sequence[Joint]) -> Gluing:
    """Of joints that are glued and closed at one go."""
    area = sum((glued_area(j, model) for j in joints), ZERO)
    pressed = [j for j in joints if not any(f.kind in CLAMPING and not f.blind for f in j.fasteners)]
    leaning = [j for j in pressed if j.askew]
    mitred = [j for j in pressed if not j.askew and j.kind == "mitre" and j.depth == 0]
    flat = [j for j in pressed if j not in leaning and j not in mitred]
    found: list[Clamping] = []
    for axis in AXES:
        own = [j for j in flat if j.entry.axis == axis]
        if own:
            found.append(_clamping(model, axis, held_together(model, own, joints), [(c.wide, c.count) for c in found]))
    return Gluing(tuple(joints), area, glue_volume(area), closing_minutes(model.info, len(joints), area), tuple(found), *(tuple(_along(j) for j in own) for own in (mitred, leaning)))


def _along(joint: Joint) -> int:
    """Clamps along a joint that bands or blocks press."""
    return int(-(-joint.channel.size(joint.run_axis) // most_apart()))


@dataclass(frozen=True, slots=True)
class Piece:
    """What joints that are closed at one go hold together. pressed: those of them that clamps close."""

    pressed: tuple[Joint, ...]
    closed: tuple[Joint, ...]

    def span(self, model: Model, axis: int) -> tuple[Fraction, Fraction]:
        """From jaw to jaw (mm, of the axis): over all that is pressed along it, and what screws hold in line with it."""
        rooms = {j.id: pressed_area(model, j) for j in self.closed if j.entry.axis == axis}
        own = [rooms[j.id] for j in self.pressed]
        inline = [j for j in self.closed if j.id in rooms and any(_overlap(rooms[j.id], room, axis) for room in own)]
        boxes = [model.part(path).stands for j in inline for path in (j.a, j.b)]
        return min(b.lo[axis] for b in boxes), max(b.hi[axis] for b in boxes)


def _overlap(one: Box, two: Box, axis: int) -> bool:
    """Whether they lie in line, looking along the axis."""
    return all(min(one.hi[x], two.hi[x]) > max(one.lo[x], two.lo[x]) for x in AXES if x != axis)


def held_together(model: Model, joints: Sequence[Joint], closed: Sequence[Joint]) -> list[Piece]:
    """The pieces that the joints closed together make, with those of these joints that lie in each: no clamp reaches from one
    piece to another."""
    ends = {j.id: [Level(model, (level_of(model, j.a, j.b),)).unit(path) for path in (j.a, j.b)] for j in closed}
    group = standing_groups([replace(j, a=ends[j.id][0], b=ends[j.id][1]) for j in closed])
    of = {j.id: group[ends[j.id][0]] for j in closed}
    pieces = dict.fromkeys(of[j.id] for j in joints)
    return [Piece(*(tuple(j for j in own if of[j.id] == number) for own in (joints, closed))) for number in pieces]


def _clamping(model: Model, axis: int, pieces: Sequence[Piece], taken: Sequence[tuple[Fraction, int]]) -> Clamping:
    """Clamps along an axis of pieces that are closed at one go, each for itself."""
    found: list[Clamping] = []
    for piece in pieces:
        found.append(_of_piece(model, axis, piece, [*taken, *((c.wide, c.count) for c in found)]))
    longs = {c.long for c in found}
    rows = [c for c in found if c.count] or found
    return replace(
        max(found, key=lambda c: c.pressure.used), area=sum((c.area for c in found), ZERO), force=sum((c.force for c in found), ZERO), wide=max(c.wide for c in found),
        count=sum(c.count for c in found), there=_to_hand(model.shop, max(c.wide for c in found), taken), least=min(c.least for c in rows),
        joints=sum(c.joints for c in found), long=longs.pop() if len(longs) == 1 else None,
    )  # fmt: skip


def _of_piece(model: Model, axis: int, piece: Piece, taken: Sequence[tuple[Fraction, int]]) -> Clamping:
    """Clamps along an axis of one piece: for its fullest plane, each joint with at least one for every length that one presses."""
    planes: dict[Fraction, list[tuple[Fraction, Fraction, Fraction]]] = {}
    kinds = [pressure_for(min(_densities(model, j))) for j in piece.pressed]
    for joint, kind in zip(piece.pressed, kinds, strict=True):
        room = pressed_area(model, joint)
        sides = [room.size(x) for x in AXES if x != axis]
        area = sides[0] * sides[1]
        if joint.kind == "tenon":
            area = max(area - joint.channel.size(joint.run_axis) * joint.channel.size(3 - joint.run_axis - axis), ZERO)
        planes.setdefault(room.hi[axis], []).append((area, force(area, kind.used), max(sides)))
    low, high = piece.span(model, axis)
    wide = high - low
    counts = []
    for rows in planes.values():
        least = sum(int(-(-long // most_apart())) for _, _, long in rows)
        needed = sum((force for _, force, _ in rows), ZERO)
        counts.append((_count(model.shop, wide, needed, least, taken), needed, rows))
    (count, there, weakest), needed, rows = max(counts, key=lambda row: (row[0][0], row[1]))
    lengths = {long for _, _, long in rows}
    area = sum((area for area, _, _ in rows), ZERO)
    return Clamping(axis, area, needed, wide, count, there, weakest, max(kinds, key=lambda k: k.used), None, len(rows), lengths.pop() if len(lengths) == 1 else None)


def clamps_for(needed: Fraction, force_of_one: Fraction) -> int:
    """Clamps of one force that make up a force: n = F / f, rounded up."""
    return int(-(-needed // force_of_one))


def _count(shop: Shop, wide: Fraction, needed: Fraction, least: int, taken: Sequence[tuple[Fraction, int]] = ()) -> tuple[int, int, Fraction]:
    """How many clamps make up the force, how many there are that open far enough, and the force of the weakest counted; the
    strongest first, the shortest of them. taken: width and count of those that stand already."""
    rows = _free(shop, taken)
    fitting = sorted((r for r in rows if r[0] >= wide), key=lambda r: (-r[2], r[0]))
    there = _to_hand(shop, wide, taken)
    count, made, weakest = 0, ZERO, ZERO
    for _, number, power in fitting:
        more = min(number, max(clamps_for(needed - made, power), least - count, 0))
        if more:
            count, made, weakest = count + more, made + more * power, power
    if made < needed or count < least:
        strongest = max((power for _, _, power in rows), default=ZERO)
        more = clamps_for(needed - made, strongest) if strongest and made < needed else 0
        count = max(count + more, least)
    return count, there, weakest


def _to_hand(shop: Shop, wide: Fraction, taken: Sequence[tuple[Fraction, int]]) -> int:
    """How many clamps open so far and are not taken yet."""
    return sum(number for opens, number, _ in _free(shop, taken) if opens >= wide)


def _free(shop: Shop, taken: Sequence[tuple[Fraction, int]]) -> list[tuple[Fraction, int, Fraction]]:
    """Opening, count and force of each kind of clamp, without those that stand already, the strongest of them first."""
    rows = []
    for machine in shop.machines:
        if machine.key == "clamps":
            counts, forces = machine.all("counts"), machine.all("forces")
            rows += [(opens, int(counts[n]) if n < len(counts) else 1, forces[n] if n < len(forces) else FORCE) for n, opens in enumerate(machine.all("opens"))]
    for width, count in taken:
        left, free = count, []
        for opens, number, power in sorted(rows, key=lambda r: (-r[2], r[0])):
            used = min(left, number) if opens >= width else 0
            free.append((opens, number - used, power))
            left -= used
        rows = free
    return rows


def _densities(model: Model, joint: Joint) -> list[Fraction]:
    """Of the two woods; unknown ones count as hard, on the safe side."""
    known = [stock_density(model.part(path).stock) for path in (joint.a, joint.b)]
    return [d if d is not None else Fraction(1000) for d in known]


def panel_gluing(model: Model, part: Part) -> Gluing:
    """The joints of one panel that is glued up from boards, as long and as thick as its rough boards."""
    assert part.glue_up is not None
    joints = len(part.glue_up.widths) - 1
    one = part.rough_length * part.rough_thickness
    weighs = stock_density(part.stock)
    kind = pressure_for(weighs if weighs is not None else Fraction(1000))
    wide = sum(part.glue_up.rough, ZERO)
    outer = min(part.glue_up.rough[0], part.glue_up.rough[-1])
    apart = min(widths_apart() * outer, most_apart())
    needed = force(one, kind.used)
    count, there, weakest = _count(model.shop, wide, needed, int(-(-part.rough_length // apart)))
    clamping = Clamping(part.width_axis, one, needed, wide, count, there, weakest, kind, part.rough_length / count if count else None)
    return Gluing((), one * joints, glue_volume(one * joints), closing_minutes(model.info, joints, one * joints), (clamping,))
