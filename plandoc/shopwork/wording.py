"""One line of shop English for one piece of machine work, with its numbers.

A kind of work whose line has its own form registers a writer here by the operation's key; all others are written
as a straight channel, as a shape of given size, or by their name alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import FACES, Box, Face, Loop, Point3, Prism, body_box, other_axes
from plandoc.model.entities import Feature, Figure, Joint, Model, Part
from plandoc.quantity import shop_text
from plandoc.shopwork.cutters import BY_HAND, STACK, way_of
from plandoc.shopwork.measures import Channel, channel, cut_box, distance, from_edges, reference_face
from plandoc.shopwork.mortising import tongue_about
from plandoc.shopwork.names import edge_words, exact_size, exact_text, listed
from plandoc.shopwork.operations import feature_operation
from plandoc.shopwork.setting import FAR
from plandoc.shopwork.setupcuts import all_slots, mounted_stacks, slot_ways
from plandoc.shopwork.slopes import askew, sloped


@dataclass(frozen=True, slots=True)
class Work:
    """What a writer needs: the features (several only for a row) of one part, and the joint they belong to.

    alike: the part stands for several pieces, so that what goes into it is not named."""

    model: Model
    part: Part
    features: tuple[Feature, ...]
    joint: Joint | None = None
    alike: bool = False

    @property
    def feature(self) -> Feature:
        """The first feature."""
        return self.features[0]

    def size(self, length: Fraction) -> str:
        """A length in the plan's units, with the unit."""
        return shop_text(length, self.model.info.units, mark=True)

    def exact(self, length: Fraction) -> str:
        """A length to which a machine is set, as the set-up has it."""
        return exact_text(length, self.model.info.units)

    def fit(self, length: Fraction) -> str:
        """A width that must fit a thickness."""
        return shop_text(length, self.model.info.units.fine, mark=True)


LONG_ROW = 12
"""Of an even row of more centres than this only the first and the last are said."""

END_ROWS = ("box_joint", "tails", "pins", "biscuit_slot", "screw_pocket")
"""Operations whose features on one end are said together."""

Writer = Callable[[Work], tuple[str, str]]
"""Gives the set-up (same text = same machine setting) and the place on the face that is worked."""


def _from(work: Work, face: Face, length: Fraction) -> str:
    return f"{work.size(length)} from the {edge_words(work.part, face)}"


def channel_words(work: Work) -> tuple[str, str]:
    """A dado, groove, rabbet or sliding groove."""
    found = channel(work.part, work.feature, work.joint)
    if found is None:
        return named_words(work)
    setup = _cutter_words(work, found)
    if found.flush is not None:
        place = f"along the {edge_words(work.part, found.flush)}"
    else:
        place = f"near edge {work.exact(found.near)} from the {edge_words(work.part, found.reference)}"
    for side, stop in ((-1, found.stop_lo), (1, found.stop_hi)):
        if stop:
            place += f", stopped {_from(work, Face(found.run, side), stop)}"
    mate = next((p.name for p in work.model.parts if work.joint and p.path == work.feature.mate), "")
    return setup, place + (f", for the {mate}" if mate and not work.alike else "")


def _cutter_words(work: Work, found: Channel) -> str:
    """How the cutter is set for a channel: as wide as the channel, or in passes."""
    shop = work.model.shop
    way = way_of(shop, feature_operation(work.part, work.feature), work.part, work.feature, found, work.model.info.units)
    wide, deep = work.fit(found.width), work.exact(found.depth)
    if way is BY_HAND:
        return f"{wide} wide, {deep} deep: saw both sides on the waste side of the line, then chop out between them"
    cutter, set_to = ("straight cutter", f"{deep} deep") if way is not STACK else ("cutter", f"set {deep} high")
    slots = next(iter(all_slots(work.model).get((work.part.path, work.feature.id), ())), ())
    made = slot_ways(work.part, slots[0], shop, mounted_stacks(work.model), work.model.info.units) if len(slots) == 1 else None
    if made is None:
        return f"{cutter} {wide} wide, {set_to}"
    setting = made[0]
    own, count = work.fit(setting.cutter.width).removeprefix("≈"), len(setting.fence)  # shims come that near
    if setting.side == FAR and count == 1:
        return f"{cutter} {own} wide, {wide} of it clear of the fence, {set_to}"
    return f"{cutter} {wide} wide, {set_to}" if count == 1 else f"{cutter} {own} wide, in {count} passes to {wide}, {set_to}"


def hole_words(work: Work) -> tuple[str, str]:
    """A hole or a round pocket: bit, depth and centre."""
    feature = work.feature
    if feature.diameter is None:
        return shape_words(work)
    return _bit(work), _centre(work, feature.centre, feature.face)


def _bit(work: Work) -> str:
    feature = work.feature
    assert feature.diameter is not None
    box = cut_box(work.part, feature)
    if feature.through or (feature.depth is None and box is None):
        deep = "through"
    else:
        depth = feature.depth
        if depth is None and box is not None and feature.face is not None:
            depth = box.size(feature.face.axis)
        deep = f"{work.size(depth)} deep" if depth is not None else "through"
    return f"{exact_size(feature.diameter, work.model.info.units)} bit, {deep}{_head(work)}"


def _centre(work: Work, centre: Point3 | None, face: Face | None) -> str:
    if centre is None or face is None:
        return "where the part drawing shows"
    return "centre " + listed([_from(work, f, d) for f, d in from_edges(work.part, face, centre)])


def row_words(work: Work) -> tuple[str, str]:
    """A row of holes: the first centre, then the spacing, or every centre where the spacing changes."""
    centres = [f.centre for f in work.features if f.centre is not None]
    face = work.feature.face
    if len(centres) != len(work.features) or face is None or len(centres) < 2:
        return hole_words(work)
    return _bit(work), f"{len(centres)} off, {row_places(work, centres, face)}"


def row_places(work: Work, centres: Sequence[Point3], face: Face) -> str:
    """`first centre ..., then every 2" toward the top end`; every centre from the reference edge where the spacing is
    no size of the rule or changes, or the row turns; of a long even row its first and last."""
    part = work.part
    first = (
        f"first {_centre(work, centres[0], face)}" if len(centres) > 1 else _centre(work, centres[0], face)
    )
    moving = [axis for axis in other_axes(face.axis) if any(one[axis] != centres[0][axis] for one in centres)]
    if not moving:
        return first
    grid = _grid(part, centres, face) if len(moving) == 2 else None
    if grid is not None:
        lines = [f"{listed([work.size(d) for d in distances])} from the {edge_words(part, edge)}" for edge, distances in grid]
        return f"at {lines[0]}, each at {lines[1]}"
    if len(moving) == 2:
        edges = listed([f"the {edge_words(part, f)}" for f, _ in from_edges(part, face, centres[0])])
        pairs = [" and ".join(work.size(d) for _, d in from_edges(part, face, one)) for one in centres]
        return f"centres from {edges}: {'; '.join(pairs)}"
    axis = moving[0]
    steps = [two[axis] - one[axis] for one, two in pairwise(centres)]
    toward = edge_words(part, Face(axis, 1 if steps[0] > 0 else -1))
    step = exact_size(abs(steps[0]), work.model.info.units)
    if len(set(steps)) == 1 and not step.startswith("≈"):  # a rounded spacing would add up
        onward = f"second {step} on" if len(steps) == 1 else f"then every {step}"
        return f"{first}, {onward} toward the {toward}"
    still = next((f, d) for f, d in from_edges(part, face, centres[0]) if f.axis != axis)
    along = reference_face(part, axis)
    places = [work.size(abs(centre[axis] - part.box.at(along))) for centre in centres]
    if len(set(steps)) == 1 and len(places) > LONG_ROW:
        where = f"evenly from {places[0]} to {places[-1]}"
    else:
        where = listed(places)
    return f"centres {_from(work, *still)}, and {where} from the {edge_words(part, along)}"


def _grid(part: Part, centres: Sequence[Point3], face: Face) -> list[tuple[Face, list[Fraction]]] | None:
    """The distances from both reference edges, where the centres are all crossings of two sets of lines; else None."""
    edges = [edge for edge, _ in from_edges(part, face, centres[0])]
    lines = {edge: sorted({abs(one[edge.axis] - part.box.at(edge)) for one in centres}) for edge in edges}
    first, second = edges
    crossings = {(abs(one[first.axis] - part.box.at(first)), abs(one[second.axis] - part.box.at(second))) for one in centres}
    full = len(crossings) == len(centres) == len(lines[first]) * len(lines[second])
    return [(edge, lines[edge]) for edge in edges] if full and len(centres) > 3 else None


def shape_words(work: Work) -> tuple[str, str]:
    """A pocket or notch: its size in the plane of the face and where it starts."""
    feature, part = work.feature, work.part
    box = cut_box(part, feature)
    if box is None or feature.face is None:
        return named_words(work)
    face = feature.face
    if box.size(face.axis) < part.box.size(face.axis) and face.axis == part.thickness_axis:
        axes = other_axes(face.axis)
        setup = f"{work.size(box.size(axes[0]))} × {work.size(box.size(axes[1]))}, {work.size(box.size(face.axis))} deep"
    else:
        axes = other_axes(part.thickness_axis)
        setup = f"{work.size(box.size(axes[0]))} {_along(axes[0])} × {work.size(box.size(axes[1]))} {_along(axes[1])}"
        if box.span(part.thickness_axis) != part.box.span(part.thickness_axis):
            setup += f", {work.size(box.size(part.thickness_axis))} deep"
    places = []
    for axis in axes:
        flush = [
            Face(axis, side) for side in (-1, 1) if box.at(Face(axis, side)) == part.box.at(Face(axis, side))
        ]  # fmt: skip
        if len(flush) == 2:
            continue
        if flush:
            places.append(f"at the {edge_words(part, flush[0])}")
        else:
            ref = reference_face(part, axis)
            places.append("near edge " + _from(work, ref, abs(box.at(ref) - part.box.at(ref))))
    note = f" ({feature.note})" if feature.note else ""
    return setup, listed(places) + note if places else f"the full {edge_words(part, face)}{note}"


def gain_words(work: Work) -> tuple[str, str]:
    """A gain for a hinge leaf: its length and width on its face, whichever that is, and where it stands."""
    feature, part = work.feature, work.part
    box = cut_box(part, feature)
    if box is None or feature.face is None:
        return named_words(work)
    axes = sorted(other_axes(feature.face.axis), key=lambda axis: -box.size(axis))
    setup = f"{work.size(box.size(axes[0]))} long × {work.size(box.size(axes[1]))} wide, {work.size(box.size(feature.face.axis))} deep"
    places = []
    for axis in axes:
        ref = reference_face(part, axis)
        flush = next((f for f in (Face(axis, -1), Face(axis, 1)) if box.at(f) == part.box.at(f)), None)
        place = f"near end {_from(work, ref, distance(part, axis, *box.span(axis)))}"
        places.append(place if flush is None else f"open at the {edge_words(part, flush)}")
    return setup, ", ".join(places)


def _along(axis: int) -> str:
    return ("across", "front to back", "up")[axis]


def lettering_words(work: Work) -> tuple[str, str]:
    """The text, its letter height, depth and the place of its middle."""
    feature = work.feature
    setup = f"letters {work.size(feature.height)} high" if feature.height is not None else "letters"
    if feature.depth is not None:
        setup += f", cut {work.size(feature.depth)} deep"
    place = f"“{feature.text}”"
    if feature.centre is not None and feature.face is not None:
        where = listed([_from(work, f, d) for f, d in from_edges(work.part, feature.face, feature.centre)])
        place += f", middle of the text {where}"
    return setup, place


def tongue_words(work: Work) -> tuple[str, str]:
    """A tenon or tongue that is smaller than the part's section; a haunch is called one, with the edge that it lies at."""
    part = work.part
    boxes = [body_box(prism) for prism in work.feature.adds]
    if not boxes:
        return shape_words(work)
    box = boxes[0]
    for other in boxes[1:]:
        box = box.union(other)
    for axis in (0, 1, 2):
        for side in (-1, 1):
            if box.at(Face(axis, -side)) == part.shoulder.at(Face(axis, side)):
                wide, thick = (
                    box.size(a) for a in sorted(other_axes(axis), key=lambda a: a == part.thickness_axis)
                )
                setup = f"{work.size(thick)} thick, {work.size(wide)} wide, {work.size(box.size(axis))} long"
                place = f"on the {edge_words(part, Face(axis, side))}{_twin_words(work, box, axis)}"
                if work.feature.kind != "haunch":
                    return setup, place
                flush = [f for a in other_axes(axis) if a != part.thickness_axis for f in (Face(a, -1), Face(a, 1)) if box.at(f) == part.shoulder.at(f)]
                return f"haunch {setup}", place + "".join(f", at the {edge_words(part, face)}" for face in flush[:1])
    return named_words(work)


def _twin_words(work: Work, box: Box, axis: int) -> str:
    """Where one of two tenons of one joint begins, in the direction in which they lie apart; "" of one alone."""
    part, own = work.part, work.feature
    if not own.joint:
        return ""
    others = [body_box(p) for f in part.features if f is not own and f.kind == own.kind and f.joint == own.joint for p in f.adds]
    apart = next((a for other in others for a in other_axes(axis) if other.lo[a] >= box.hi[a] or other.hi[a] <= box.lo[a]), None)
    if apart is None:
        return ""
    near = reference_face(part, apart)
    return ", near edge " + _from(work, near, abs(box.at(near) - part.box.at(near)))


def edge_tongue_words(work: Work) -> tuple[str, str]:
    """A tongue thinner than its board: thickness, length, and how far it lies behind the reference face."""
    part = work.part
    boxes = [body_box(prism) for prism in work.feature.adds]
    if not boxes:
        return shape_words(work)
    box, thick = boxes[0], part.thickness_axis
    out = next((f for f in (Face(x, s) for x in (0, 1, 2) for s in (-1, 1)) if box.at(f.opposite) == part.shoulder.at(f)), None)
    if out is None or out.axis == thick:
        return tongue_words(work)
    run = 3 - out.axis - thick
    setup = f"{work.fit(box.size(thick))} thick, {work.size(box.size(out.axis))} long"
    place = f"along the {edge_words(part, out)}"
    for side in (-1, 1):
        stop = abs(box.at(Face(run, side)) - part.shoulder.at(Face(run, side)))
        place += f", stopped {work.size(stop)} from the {edge_words(part, Face(run, side))}" if stop else ""
    near = reference_face(part, thick)
    behind = abs(box.at(near) - part.shoulder.at(near))
    return setup, place + (f", {work.size(behind)} behind the {edge_words(part, near)}" if behind else f", flush with the {edge_words(part, near)}")


def corner_words(work: Work) -> tuple[str, str]:
    """A tongue as thick as its part but narrower: the corners beside it are notched off, measured from the finished edge."""
    part = work.part
    boxes = [body_box(prism) for prism in work.feature.adds]
    for axis in (0, 1, 2):
        across = next((a for a in other_axes(axis) if a != part.thickness_axis), axis)
        for side in (-1, 1):
            end = Face(axis, side)
            box = next((b for b in boxes if b.at(Face(axis, -side)) == part.shoulder.at(end)), None)
            if box is None or axis == part.thickness_axis:
                continue
            offs = [
                (edge, abs(box.at(edge) - part.box.at(edge)))  # a tongue at that side may stand out beyond the shoulder
                for edge in (Face(across, -1), Face(across, 1))
                if box.at(edge) != part.shoulder.at(edge)
            ]
            setup = f"notch {work.size(box.size(axis))} long"
            said = listed([f"{work.size(off)} wide at the {edge_words(part, edge)}" for edge, off in offs])
            return setup, f"{edge_words(part, end)}, {said}"
    return named_words(work)


def end_words(work: Work) -> tuple[str, str]:
    """An end or edge that is sawn askew: how the saw is set, which end, and where its long point stands."""
    return work.feature.note or "cut at the angle of the part drawing", askew(work.part, work.feature)


def mortise_words(work: Work) -> tuple[str, str]:
    """A mortise: its width, length and depth, and where it begins from the reference face and the reference end."""
    feature, part = work.feature, work.part
    box = cut_box(part, feature)
    if box is None or feature.face is None:
        return named_words(work)
    across, run = sorted(other_axes(feature.face.axis), key=lambda axis: (box.size(axis), axis == part.length_axis))
    deep = "through, from both faces" if feature.through else f"{work.size(box.size(feature.face.axis))} deep"
    if tongue_about(part, box) is not None:
        deep += ", before the shoulders of its tenon are cut"
    what = "" if feature.kind == "mortise" else f"{feature.kind} "
    setup = f"{what}{work.fit(box.size(across))} wide, {work.size(box.size(run))} long, {deep}"
    places = []
    for axis in (across, run):
        flush = [Face(axis, side) for side in (-1, 1) if box.at(Face(axis, side)) == part.box.at(Face(axis, side))]
        near = reference_face(part, axis)
        places.append(f"open at the {edge_words(part, flush[0])}" if flush else "near edge " + _from(work, near, abs(box.at(near) - part.box.at(near))))
    mate = next((p.name for p in work.model.parts if p.path == feature.mate), "")
    return setup, listed(places) + (f", for the {mate}" if mate and not work.alike else "")


def end_row_words(work: Work) -> tuple[str, str]:
    """Sockets on one end, for pins or tails: all of one width together, those at an edge apart. The first size of a
    feature lies along the row."""
    feature, part = work.feature, work.part
    widths = [next(f for f in one.figures if f.role == "size") for one in work.features]
    axis = widths[0].axis
    reach = [f for f in feature.figures if f.axis != axis]
    setup = listed([f"{work.size(f.hi - f.lo)} {'from the end' if f.axis == part.length_axis else 'deep'}" for f in reach])
    if feature.note:
        setup += f", slope {feature.note.split(',')[0].removeprefix('slope ')}"
    held = _held_at(work, widths[0])
    groups: dict[tuple[str, str], list[str]] = {}
    for one, wide in zip(work.features, widths, strict=True):
        edge = next((Face(axis, s) for s in (-1, 1) if (wide.lo if s < 0 else wide.hi) == part.box.at(Face(axis, s))), None)
        ref = reference_face(part, axis)
        near = abs((wide.lo if ref.side < 0 else wide.hi) - part.box.at(ref))
        where = f"at the {edge_words(part, edge)}" if edge is not None else work.size(near)
        groups.setdefault((one.kind, work.fit(wide.hi - wide.lo)), []).append(where)
    said = []
    for (kind, wide_text), places in groups.items():
        inner = [p for p in places if not p.startswith("at ")]
        stand = [p for p in places if p.startswith("at ")]
        if inner:
            stand.append(f"near edge {listed(inner)} from the {edge_words(part, reference_face(part, axis))}")
        said.append(f"{len(places)} {kind}{'s' if len(places) > 1 else ''} {wide_text} wide{held}, {listed(stand)}")
    return setup, _at_end(work, [(f.axis, v) for f in reach for v in (f.lo, f.hi)]) + "; ".join(said)


def _held_at(work: Work, wide: Figure) -> str:
    """On which broad face sockets for tails have the width that is told, and how wide half-blind ones are at their end."""
    feature, part, axis = work.feature, work.part, wide.axis
    cut = feature.cuts[0]
    if feature.kind != "tail socket" or not isinstance(cut, Prism) or not isinstance(cut.outline, Loop):
        return ""
    across = other_axes(cut.axis)
    row, flare = across.index(axis), across[1 - across.index(axis)]
    at = next(p[1 - row] for p in cut.outline.points if p[row] == wide.lo)
    face = next((Face(flare, side) for side in (-1, 1) if part.box.at(Face(flare, side)) == at), None)
    if feature.depth is not None and feature.face == face:
        return f" on that face ({feature.note.partition(', ')[2]})"
    return f" on the {edge_words(part, face)}" if face is not None else ""


def _at_end(work: Work, planes: Sequence[tuple[int, Fraction]]) -> str:
    """`left end: ` for work in a broad face that lies at an end; planes: coordinates that may be those of an end."""
    part, face = work.part, work.feature.face
    if face is None or face.axis != part.thickness_axis:
        return ""
    ends = [Face(a, s) for a in (part.length_axis, part.width_axis) for s in (-1, 1) if (a, part.box.at(Face(a, s))) in planes]
    return f"{edge_words(part, ends[0])}: " if ends else ""


def frame_mitre_words(work: Work) -> tuple[str, str]:
    """The angle, the end, and how far the short side stands back."""
    feature = work.feature
    angle, _, side = feature.note.partition(", ")
    back = next((f.hi - f.lo for f in feature.figures), Fraction(0))
    point = FACES.get(side.removeprefix("long side "))
    if feature.kind == "case mitre" and point is not None:
        return f"blade tilted {angle}", f"long point at the {edge_words(work.part, point)}, that face up, the other face {work.size(back)} shorter"
    return f"blade at {angle}", f"{side}, the other side {work.size(back)} shorter"


def slots_words(work: Work) -> tuple[str, str]:
    """Biscuit slots and pockets: what the machine is set to, and the centres of all of one joint."""
    feature, part = work.feature, work.part
    setup = feature.note + (f", {work.size(feature.depth)} deep" if feature.depth is not None else "")
    centres = [f.centre for f in work.features if f.centre is not None]
    if feature.face is None or len(centres) != len(work.features):
        return setup, "as the part drawing shows"
    if feature.depth is not None:
        return setup, (f"{len(centres)} off, " if len(centres) > 1 else "") + row_places(work, centres, feature.face)
    axis = next((f.axis for f in feature.figures), 0)
    edge = reference_face(part, axis)
    places = listed([work.size(abs(c[axis] - part.box.at(edge))) for c in centres])
    where = _at_end(work, [(a, c[a]) for c in centres for a in other_axes(feature.face.axis) if a != axis])
    return setup, f"{where}{len(centres)} off, middle {places} from the {edge_words(part, edge)}"


def noted_words(work: Work) -> tuple[str, str]:
    """A slot for a spline: its size in the note, and its side where it lies between the broad faces."""
    feature, part = work.feature, work.part
    place = next((f for f in feature.figures if f.role == "place"), None)
    if feature.centre is not None:
        centre, axis = feature.centre, part.length_axis if part.length_axis != (feature.face or Face(0, 1)).axis else part.width_axis
        end = min((Face(axis, s) for s in (-1, 1)), key=lambda f: abs(part.box.at(f) - centre[axis]))
        return feature.note, f"across the mitre of the {edge_words(part, end)}"
    where = f", near side {_from(work, reference_face(part, place.axis), place.hi - place.lo)}" if place is not None else ""
    return feature.note or feature.kind, f"across the mitre{where}"


def drawn_words(work: Work) -> tuple[str, str]:
    """Work whose sizes are words: what its note or its leaders say, and the drawing for all else."""
    feature = work.feature
    led = ", ".join(dict.fromkeys(words for _, words in feature.leaders))
    said = f"{feature.note}: {led}" if feature.kind == "compound cut" else feature.note or led
    return feature.kind, (f"{said}, " if said else "") + "as the part drawing shows"


def taper_words(work: Work) -> tuple[str, str]:
    """A taper: the angle of the jig, how long the slope is and what is left."""
    feature = work.feature
    words = dict.fromkeys(words for _, words in feature.leaders)
    sizes = [f for f in feature.figures if f.role == "size"]
    if len(sizes) != 2:
        return drawn_words(work)
    long, left = (work.size(f.hi - f.lo) for f in sizes)
    return ", ".join(words), f"off the {feature.note} face, {long} long, to {left}"


def band_words(work: Work) -> tuple[str, str]:
    """Edge banding: what goes on."""
    feature = work.feature
    words = feature.leaders[0][1] if feature.leaders else feature.kind
    return words, "from end to end"


def _head(work: Work) -> str:
    return f", {work.feature.note}" if work.feature.note.startswith("counter") else ""


def named_words(work: Work) -> tuple[str, str]:
    """Work that has no numbers of its own: its name and the drawing."""
    feature = work.feature
    return feature.note or feature.kind, "as the part drawing shows"


def mitre_words(work: Work) -> tuple[str, str]:
    """A mitre with a note (the tip of a tenon) by that note, any other as a shape."""
    feature = work.feature
    if not feature.note or not feature.mate:
        return shape_words(work)
    mate = next((p.name for p in work.model.parts if p.path == feature.mate), feature.mate)
    return feature.note, f"tenon for the {mate}"


def bevel_words(work: Work) -> tuple[str, str]:
    """A bevel of a joint with its angle and end, any other with its set-up and its long point."""
    return mitre_words(work) if work.feature.joint else sloped(work.part, work.feature) or drawn_words(work)


WRITERS: dict[str, Writer] = {
    "dado": channel_words,
    "groove": channel_words,
    "rabbet": channel_words,
    "sliding_groove": channel_words,
    "lap": channel_words,
    "hole": row_words,
    "round_pocket": row_words,
    "hinge_cup": row_words,
    "hinge_gain": gain_words,
    "finger_notch": row_words,
    "hole_row": row_words,
    "lettering": lettering_words,
    "shaping": drawn_words,
    "edge_easing": bevel_words,
    "tapering": taper_words,
    "edge_banding": band_words,
    "tenon": tongue_words,
    "tongue": edge_tongue_words,
    "mortise": mortise_words,
    "bevel": bevel_words,
    "corner_notch": corner_words,
    "angled_end": end_words,
    "bevelled_edge": end_words,
    "box_joint": end_row_words,
    "tails": end_row_words,
    "pins": end_row_words,
    "end_mitre": frame_mitre_words,
    "spline_slot": noted_words,
    "biscuit_slot": slots_words,
    "screw_pocket": slots_words,
}


def work_words(kind: str, work: Work) -> tuple[str, str]:
    """Set-up and place of a piece of work of that trade operation."""
    return WRITERS.get(kind, shape_words)(work)
