"""From parts and their features to settings of machines: the ways in which each cut can be measured.

Every way is measured from a finished face. The reference face comes first; the face opposite is a second way, for pieces that
stand turned in the plan and where the fence does not reach from the reference face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Prism, Rect, body_box, other_axes
from plandoc.model.blanks import blank_paths
from plandoc.model.entities import Feature, Joint, Model, Part
from plandoc.model.sawn import sawn_box
from plandoc.quantity import Units
from plandoc.shopwork.blades import blade_for, blade_text, tasks_of
from plandoc.shopwork.cutters import BY_HAND, fence_guides, way_of
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.measures import before_outer_bands, channel, cut_box
from plandoc.shopwork.operations import feature_operation, machined
from plandoc.shopwork.setting import (
    BIT,
    BLADE,
    CENTRE,
    DRILL,
    FAR,
    NEAR,
    STACK,
    Cut,
    Cutter,
    Setting,
    Way,
)
from plandoc.shopwork.sizecuts import guide_of, size_choices
from plandoc.shopwork.stack import CLOSE, Stack, buried, close, edge_passes, passes, plain_stacks, stack_for
from plandoc.tables import operation
from plandoc.tables.shop import Shop

SPARE = Fraction(1, 2)
"""How much of a stack or a bit at least lies in the wooden fence beside a rabbet (mm, common practice)."""
CHANNELS = ("dado", "groove", "rabbet", "sliding_groove", "lap")
TONGUES = ("tenon", "tongue")
BORED = ("hole", "hole_row", "hinge_cup", "round_pocket", "finger_notch")
WIDEST_BIT = Fraction(53975, 1000)
"""2 1/8 in.: wider flat-bottomed bits are not counted on where the shop lists no bits (mm, common practice)."""
SAW, TABLE, PRESS = "table_saw", "router_table", "drill_press"


@dataclass(frozen=True, slots=True)
class Slot:
    """A straight cut across a face: what the cutter takes away, measured across it from `rides`. lo, hi: its two sides from
    that face (mm); at an edge lo is 0. machine: by which it is cut;
    worked: the face that it is cut into."""

    feature: str
    kind: str
    machine: str
    worked: Face
    rides: Face
    lo: Fraction
    hi: Fraction
    depth: Fraction
    stops: tuple[tuple[Face, Fraction], ...] = ()

    @property
    def wide(self) -> Fraction:
        """Its width (mm)."""
        return self.hi - self.lo


def slots_of(model: Model, part: Part, feature: Feature, joint: Joint | None) -> tuple[tuple[Slot, ...], ...]:
    """The straight cuts that make the feature, for each of the faces from which it can be measured; empty where it is none."""
    kind = feature_operation(part, feature)
    if kind in TONGUES and feature.adds:
        return _tongue_slots(part, feature, kind)
    if kind not in CHANNELS or not _square(feature):
        return ()
    found, box, bare = channel(part, feature, joint), cut_box(part, feature), before_outer_bands(part)
    if found is None or box is None or box.at(found.face) != bare.at(found.face):
        return ()
    way = way_of(model.shop, kind, part, feature, found, model.info.units)
    if way is BY_HAND:
        return ()
    machine = way.machine or operation(kind).machines[0]
    stops = tuple((Face(found.run, side), stop) for side, stop in ((-1, found.stop_lo), (1, found.stop_hi)) if stop)
    if machine == SAW and stops:
        return ()
    ways = []
    lo, hi = box.span(found.across)
    for rides in _faces(part, found.across, bare, lo, hi):
        near, far = sorted((abs(lo - bare.at(rides)), abs(hi - bare.at(rides))))
        ways.append((Slot(feature.id, kind, machine, found.face, rides, near, far, found.depth, stops),))
    if machine == SAW:  # the face that the fence guides, the reference face where both or neither do
        ways.sort(key=lambda way: not fence_guides(model.shop, model.info.units, found.length, way[0].lo))
    return tuple(ways)


def _faces(part: Part, axis: int, bare: Box, lo: Fraction, hi: Fraction) -> tuple[Face, ...]:
    """The faces to measure from: that along which the cut is open, else the reference face and then the one opposite."""
    own = Face(axis, part.datum[axis])
    flush = [face for face in (own, own.opposite) if bare.at(face) in (lo, hi)]
    return tuple(flush) or (own, own.opposite)


def _square(feature: Feature) -> bool:
    return bool(feature.cuts) and all(isinstance(cut, Prism) and isinstance(cut.outline, Rect) for cut in feature.cuts)


def _tongue_slots(part: Part, feature: Feature, kind: str) -> tuple[tuple[Slot, ...], ...]:
    """Cheeks and shoulders of a tongue, each a rabbet along its end or edge; empty where its ends are no planes of the part."""
    boxes = [body_box(prism) for prism in feature.adds]
    out = next((Face(a, s) for a in (0, 1, 2) for s in (-1, 1) if boxes[0].at(Face(a, -s)) == part.shoulder.at(Face(a, s))), None)
    if out is None or len(boxes) != 1 or out.axis == part.thickness_axis:
        return ()
    box, tip = boxes[0], part.box.at(out)
    others = [
        body_box(prism) for other in part.features if other is not feature and other.adds and feature_operation(part, other) in TONGUES
        for prism in other.adds if body_box(prism).at(out.opposite) == box.at(out.opposite)
    ]  # fmt: skip
    deep = abs(tip - box.at(out.opposite))
    found = []
    for side in (Face(a, s) for a in other_axes(out.axis) for s in (-1, 1)):
        if side.axis == part.thickness_axis:
            beside = _beyond(part.shoulder, box, side)
            if beside:
                found.append(Slot(feature.id, kind, SAW, side, out, Fraction(0), deep, abs(part.box.at(side) - box.at(side))))
        elif _beyond(part.shoulder, box, side):
            next_to = [other for other in others if other.at(side.opposite) == box.at(side)]
            if any(other.at(out) == box.at(out) or _apart(other, box, side) for other in others if _beyond(other, box, side)):
                continue  # the gap between twin tenons is chopped out
            far = min([abs(tip - other.at(out)) for other in next_to], default=deep)
            if part.shoulder.at(side) != part.box.at(side):
                return ()  # a tongue along that edge too: the corner is cut out by hand
            found.append(Slot(feature.id, kind, SAW, side, out, Fraction(0), far, abs(part.box.at(side) - box.at(side))))
    return (tuple(one for one in found if one.wide and one.depth),)


def _beyond(whole: Box, box: Box, side: Face) -> bool:
    """Whether `whole` goes on beyond that side of the box."""
    return (whole.at(side) - box.at(side)) * side.side > 0


def _apart(other: Box, box: Box, side: Face) -> bool:
    return (other.at(side.opposite) - box.at(side)) * side.side > 0


def slot_ways(part: Part, slot: Slot, shop: Shop, mounted: Sequence[Stack], units: Units) -> Way | None:
    """The slot with the cutter that makes it and the fence; None where no cutter of the shop does, or the fence is too short."""
    machine = slot.machine
    if machine == SAW:
        if not plain_stacks(shop):
            machine = TABLE
        elif slot.hi > (shop.figure(SAW, "rip") or slot.hi):
            machine = "router"
    cutter = _stack_cutter(slot, shop, mounted) if machine == SAW else _bit_cutter(slot, shop, machine)
    if cutter is None:
        return None
    if slot.lo == 0:
        fence, side = edge_passes(slot.wide, cutter.width, units), FAR
    elif close_to(cutter.width, slot.wide):
        fence, side = (slot.lo,), NEAR
    else:
        fence, side = tuple(slot.lo + off for off in passes(slot.wide, cutter.width)), NEAR
    down = slot.worked.opposite if machine == "router" else slot.worked
    cut = Cut(part.path, slot.feature, slot.kind, slot.rides, down, slot.wide, slot.stops, worked=slot.worked)
    return Setting(machine, cutter, "fence", side, fence, slot.depth), cut


def close_to(one: Fraction, other: Fraction) -> bool:
    """Whether two widths differ by no more than a set-up may be off."""
    return abs(one - other) <= CLOSE


def _stack_cutter(slot: Slot, shop: Shop, mounted: Sequence[Stack]) -> Cutter | None:
    plain = plain_stacks(shop)
    if slot.lo == 0:
        stack = buried(slot.wide, shop, mounted, SPARE) or plain[-1]
        return Cutter(STACK, stack.width, stack)
    exact = stack_for(slot.wide, shop)
    if exact is None:
        return None
    if close(exact, slot.wide):
        return Cutter(STACK, exact.width, exact)
    able = [stack for stack in (*mounted, *plain) if stack.width <= slot.wide]
    best = max(able, key=lambda stack: (stack.width, -len(stack.shims)))
    return Cutter(STACK, best.width, best)


def _bit_cutter(slot: Slot, shop: Shop, machine: str) -> Cutter | None:
    """The bit as wide as the channel, else the widest that is narrower; beside a fence one that is wider."""
    found = shop.machine(machine)
    bits = sorted(found.all("bits")) if found is not None else []
    if slot.lo == 0:
        wide = [bit for bit in bits if bit >= slot.wide + SPARE]
        return Cutter(BIT, (wide or bits)[0 if wide else -1]) if bits else None
    able = [bit for bit in bits if bit <= slot.wide + CLOSE]
    return Cutter(BIT, able[-1]) if able else None


@of_last_model
def all_slots(model: Model) -> dict[tuple[str, str], tuple[tuple[Slot, ...], ...]]:
    """The straight cuts of every feature, by path and id."""
    joints = {joint.id: joint for joint in model.joints}
    return {(part.path, f.id): slots_of(model, part, f, joints.get(f.joint)) for part in model.parts for f in machined(model, part)}


@of_last_model
def mounted_stacks(model: Model) -> tuple[Stack, ...]:
    """The stacks that channels with wood on both sides need: rabbets and laps are cut with them too."""
    found: dict[Stack, None] = {}
    for slot in (slot for ways in all_slots(model).values() for slot in (ways[0] if ways else ())):
        if slot.machine == SAW and slot.lo > 0:
            stack = stack_for(slot.wide, model.shop)
            if stack is not None and close(stack, slot.wide):
                found[stack] = None
    return tuple(sorted(found, key=lambda stack: (stack.width, len(stack.shims))))


def in_reach(part: Part, shop: Shop) -> tuple[str, ...]:
    """Ids of the bores that the drill press reaches: of one face and bit all or none, since a template is made for the rest."""
    groups: dict[tuple[object, ...], list[Feature]] = {}
    for feature in part.features:
        if feature.diameter is not None and feature.centre is not None and feature_operation(part, feature) in BORED:
            groups.setdefault((feature.face, feature.diameter, feature.kind), []).append(feature)
    return tuple(f.id for own in groups.values() if all(bored_ways(part, f, row_of(part, f), shop) for f in own) for f in own)


def row_of(part: Part, feature: Feature) -> tuple[Feature, ...]:
    """The bores of the feature's row, none where it is alone."""
    return tuple(other for other in part.features if feature.row and other.row == feature.row and other.face == feature.face)


SAWN_LATER = ("shaping", "notch")
"""Operations that may leave too little of an edge to bear on a fence."""


def opens_edge(part: Part, edge: Face) -> Feature | None:
    """The outline, tab or notch that leaves less than half of an edge: nothing bears on a fence there once it is sawn."""
    if part.thickness_axis == edge.axis:
        return None
    run = 3 - edge.axis - part.thickness_axis
    spans, last = [], None
    for feature in part.features:
        if feature_operation(part, feature) not in SAWN_LATER:
            continue
        for box in (body_box(cut) for cut in feature.cuts):
            common = box.common(part.box)
            if common is not None and common.at(edge) == part.box.at(edge) and common.span(part.thickness_axis) == part.box.span(part.thickness_axis):
                spans.append(common.span(run))
                last = feature
    gone, reached = Fraction(0), part.box.lo[run]
    for lo, hi in sorted(spans):
        gone += max(Fraction(0), hi - max(lo, reached))
        reached = max(reached, hi)
    return last if 2 * gone > part.box.size(run) else None


def bored_ways(part: Part, feature: Feature, row: Sequence[Feature], shop: Shop) -> tuple[Way, ...]:
    """A round hole at the drill press: the fence by the direction that its row shares, the stop along the other."""
    face, centre, diameter = feature.face, feature.centre, feature.diameter
    if face is None or centre is None or diameter is None or shop.machine(PRESS) is None:
        return ()
    bits = [bit for one in shop.machines if one.key == PRESS for bit in one.all("bits")]
    if diameter not in bits if bits else diameter > WIDEST_BIT:
        return ()
    if face.axis == part.length_axis or (face.axis != part.thickness_axis and part.stock.kind == "sheet"):
        return ()  # into an end, or into the edge of a sheet: with a jig
    bare = before_outer_bands(part)
    axes = sorted(other_axes(face.axis), key=lambda axis: (axis == part.length_axis, axis))
    moving = [axis for axis in axes if any(one.centre is not None and one.centre[axis] != centre[axis] for one in row)]
    if len(moving) == 1:
        axes.sort(key=lambda axis: axis == moving[0])
    reach = shop.figure(PRESS, "throat")
    depth = None if feature.through else feature.depth
    if depth is None and not feature.through:
        box = cut_box(part, feature)
        if box is not None and box.size(face.axis) < part.box.size(face.axis):
            depth = box.size(face.axis)
    ways = []
    for across in axes:
        along = axes[1] if across == axes[0] else axes[0]
        own, end = Face(across, part.datum[across]), Face(along, part.datum[along])
        for rides in sorted((own, own.opposite), key=lambda face: opens_edge(part, face) is not None):
            fence = abs(centre[across] - bare.at(rides))
            if reach is not None and fence > reach:
                continue
            places = (abs(centre[along] - bare.at(end)),)
            cut = Cut(part.path, feature.id, feature_operation(part, feature), rides, face.opposite, diameter, places=places, end=end, worked=face, before=_sawn_words(opens_edge(part, rides)))
            ways.append((Setting(PRESS, Cutter(DRILL, diameter), "fence", CENTRE, (fence,), depth), cut))
        if ways and len(moving) == 1:
            break
    return tuple(ways)


def bored_before(model: Model, part: Part, feature: Feature) -> str:
    """`the tab is sawn`: the work before which a hole is bored at the drill press, "" of most."""
    ways = bored_ways(part, feature, row_of(part, feature), model.shop) if feature.id in in_reach(part, model.shop) else ()
    return ways[0][1].before if ways else ""


def _sawn_words(feature: Feature | None) -> str:
    """`the tab is sawn`; "" of an edge that stays."""
    return "" if feature is None else f"the {feature.kind if feature.kind in ('tab', 'notch') else 'outline'} is sawn"


def blade_of(part: Part, shop: Shop, machine: str, along: bool, angled: bool = False) -> Cutter:
    """The blade of a cut through the part, along its grain or across it: that of the shop for the task, else the saw's own."""
    own = shop.figure(machine, "kerf") or Fraction(0)
    blade = blade_for(shop, tasks_of(part.stock, along, angled)) if machine == SAW else None
    return Cutter(BLADE, own) if blade is None else Cutter(BLADE, blade.one("kerf") or own, name=blade_text(blade))


def size_ways(model: Model, part: Part) -> tuple[Way, ...]:
    """Rip to width and crosscut to length, before banding, on the machines that the steps name: finished size between fence or
    stop and blade. A part that a router cuts out stays its blank. None of what no cut sets."""
    box, shop, ways = sawn_box(part), model.shop, []
    blank = part.path in blank_paths(model)
    for axis, name in ((part.width_axis, "width"), (part.length_axis, "length")):
        if name == "width" and part.stock.kind in ("dowel", "batten"):
            continue
        size = box.size(axis) if not blank else part.rough_length if name == "length" else part.rough_width
        for choice, count in size_choices(model, part, name == "length"):
            if choice.key not in (SAW, "mitre_saw", "track_saw"):
                continue  # a band saw leaves an edge to be planed
            guide = guide_of(choice)
            kind = {"fence": "rip", "stop": "crosscut", "line": "sheet_breakdown"}[guide]
            cut = Cut(part.path, name, kind, Face(axis, part.datum[axis]), count=count)
            ways.append((Setting(choice.key, blade_of(part, shop, choice.key, axis == part.width_axis), guide, NEAR, (size,)), cut))
    return tuple(ways)
