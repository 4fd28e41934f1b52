"""One line of shop English for one piece of machine work, with its numbers.

A kind of work whose line has its own form registers a writer here by the operation's key; all others are written
as a straight channel, as a shape of given size, or by their name alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import Face, Point3, body_box, other_axes
from plandoc.model.entities import Feature, Joint, Model, Part
from plandoc.quantity import shop_text
from plandoc.shopwork.measures import channel, cut_box, from_edges, reference_face
from plandoc.shopwork.names import edge_words, exact_size, listed


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

    def fit(self, length: Fraction) -> str:
        """A width that must fit a thickness."""
        return shop_text(length, self.model.info.units.fine, mark=True)


LONG_ROW = 12
"""Of an even row of more centres than this only the first and the last are said."""

Writer = Callable[[Work], tuple[str, str]]
"""Gives the set-up (same text = same machine setting) and the place on the face that is worked."""


def _from(work: Work, face: Face, length: Fraction) -> str:
    return f"{work.size(length)} from the {edge_words(work.part, face)}"


def channel_words(work: Work) -> tuple[str, str]:
    """A dado, groove, rabbet or sliding groove."""
    found = channel(work.part, work.feature, work.joint)
    if found is None:
        return named_words(work)
    setup = f"cutter {work.fit(found.width)} wide, set {work.size(found.depth)} high"
    if found.flush is not None:
        place = f"along the {edge_words(work.part, found.flush)}"
    else:
        place = f"near edge {_from(work, found.reference, found.near)}"
    for side, stop in ((-1, found.stop_lo), (1, found.stop_hi)):
        if stop:
            place += f", stopped {_from(work, Face(found.run, side), stop)}"
    mate = next((p.name for p in work.model.parts if work.joint and p.path == work.joint.a), "")
    return setup, place + (f", for the {mate}" if mate and not work.alike else "")


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
    """A tenon or tongue that is smaller than the part's section."""
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
                return setup, f"on the {edge_words(part, Face(axis, side))}"
    return named_words(work)


def corner_words(work: Work) -> tuple[str, str]:
    """A tongue as thick as its part but narrower: the corners beside it are notched off."""
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
                (edge, abs(box.at(edge) - part.shoulder.at(edge)))
                for edge in (Face(across, -1), Face(across, 1))
                if box.at(edge) != part.shoulder.at(edge)
            ]
            setup = f"notch {work.size(box.size(axis))} long"
            said = listed([f"{work.size(off)} wide at the {edge_words(part, edge)}" for edge, off in offs])
            return setup, f"{edge_words(part, end)}, {said}"
    return named_words(work)


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


WRITERS: dict[str, Writer] = {
    "dado": channel_words,
    "groove": channel_words,
    "rabbet": channel_words,
    "sliding_groove": channel_words,
    "lap": channel_words,
    "hole": row_words,
    "round_pocket": row_words,
    "finger_notch": row_words,
    "hole_row": row_words,
    "lettering": lettering_words,
    "shaping": drawn_words,
    "bevel": drawn_words,
    "edge_easing": drawn_words,
    "tapering": taper_words,
    "edge_banding": band_words,
    "tenon": tongue_words,
    "corner_notch": corner_words,
}


def work_words(kind: str, work: Work) -> tuple[str, str]:
    """Set-up and place of a piece of work of that trade operation."""
    return WRITERS.get(kind, shape_words)(work)
