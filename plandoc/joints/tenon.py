"""Tenon: a tongue with shoulders on the end of the first part enters a mortise in the second."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box, Chunk, Face, Point3, box_prism, other_axes
from plandoc.joints import arguments as a
from plandoc.joints.channel import DRY
from plandoc.joints.fastening import holes, moved
from plandoc.joints.proportions import tenon_rules
from plandoc.joints.tenoning import DRAW, Tenon, slack, tenon
from plandoc.model.entities import Fastening, Feature, Figure, Joint
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param

THROUGH = Param("through", "flag", "the tenon goes right through the second part")


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by its tenon and its haunch; a loose tenon leaves it as it is."""
    found = tenon(context)
    if found is None or found.loose:
        return ()
    return found.bodies if found.haunch is None else (*found.bodies, found.haunch)


def cut(context: JointContext) -> JointEffect | None:
    """The mortise in B and the tenon on A (or a second mortise), figured from the reference faces of each."""
    found = tenon(context)
    if found is None:
        return None
    tenon_rules(context, found)
    part, other, entry = context.a, context.b, found.entry
    pegs = _pegs(context, found)
    if pegs is None:
        return None
    fasteners, pegs_a, pegs_b = pegs
    on_b = [_mortise(context, other, found, box, entry.opposite, part.path, number) for number, box in _numbered(found.mortises)]
    # A haunch that shares a groove is held by the check of overlaps: without the groove it would stand in wood.
    if found.groove is not None and not context.args.get("shared"):
        on_b.append(_piece(context, other, "haunch groove", found.groove, entry.opposite, part.path, found))
    if found.slot is not None:
        on_a = [_mortise(context, part, found, found.slot, entry, other.path, "")]
        fasteners = (*fasteners, _slip(context, found))
    else:
        on_a = list(_on_a(context, found))
    if found.keys:
        fasteners = (*fasteners, _wedges(context, found))
    joint = Joint(
        context.id,
        context.kind,
        part.path,
        other.path,
        entry,
        entry.opposite,
        found.mortise.size(entry.axis) - slack(context) if found.loose else found.body.size(entry.axis),
        found.mortise.size(entry.axis),
        found.mortise.size(found.thick),
        a.length(context, "fit"),
        slack(context),
        found.run,
        found.thick,
        found.mortise,
        fasteners=fasteners,
        span=context.tell.span,
        ways=(entry.opposite,),
    )
    return JointEffect(joint, (*on_a, *pegs_a), (*on_b, *pegs_b))


def _on_a(context: JointContext, found: Tenon) -> tuple[Feature, ...]:
    """Tenon, haunch, mitred tip and the mortise of the key."""
    part, entry, mate, span = context.a, found.entry, context.b.path, context.tell.span
    made = []
    for number, body in _numbered(found.bodies):
        # from the end of the part to the shoulder: of all figures along the tenon this one must be printed as it is
        figures = [Figure(entry.axis, body.lo[entry.axis], body.hi[entry.axis], "place", entry.side)]
        for axis in (found.thick, found.run):
            if body.span(axis) != part.shoulder.span(axis):
                figures.append(Figure(axis, body.lo[axis], body.hi[axis], "size"))
                place = part.to_datum(axis, *body.span(axis))
                figures.extend([place] if place is not None else [])
        made.append(Feature(f"{part.path}.tenon{number}[{mate}]", "tenon", None, adds=(box_prism(body),), figures=tuple(figures), joint=context.id, mate=mate, span=span))
    if found.haunch is not None:
        sides = tuple(Figure(axis, found.haunch.lo[axis], found.haunch.hi[axis], "size") for axis in (entry.axis, found.run))
        made.append(Feature(f"{part.path}.haunch[{mate}]", "haunch", None, adds=(box_prism(found.haunch),), figures=sides, joint=context.id, mate=mate, span=span))
    if found.tip is not None:
        chunk, long = _mitre(found)
        figure = Figure(entry.axis, long.lo[entry.axis], long.hi[entry.axis], "size")
        note = f"tip 45°, {found.tip.name} cheek short"
        made.append(Feature(f"{part.path}.mitre[{mate}]", "mitre", None, cuts=(chunk,), figures=(figure,), joint=context.id, mate=mate, note=note, span=span))
    face = Face(found.thick, part.datum[found.thick])
    made.extend(_piece(context, part, "key mortise", key, face, mate, found, through=True, number=number) for number, key in _numbered(found.keys))
    return tuple(made)


def _numbered(boxes: Sequence[Box]) -> Iterator[tuple[str, Box]]:
    """Each with its number, one alone without."""
    yield from ((str(i) if len(boxes) > 1 else "", box) for i, box in enumerate(boxes, 1))


def _mitre(found: Tenon) -> tuple[Chunk, Box]:
    """What the mitre takes off: the cheek `tip` becomes shorter by the tenon's thickness."""
    assert found.tip is not None
    entry, tip, size = found.entry, found.tip, found.body.size(found.thick)
    end = found.body.at(entry)
    box = found.body.with_span(entry.axis, *sorted((end, end - entry.side * size)))
    normal = [Fraction(0)] * 3
    normal[entry.axis], normal[tip.axis] = Fraction(entry.side), Fraction(tip.side)
    offset = entry.side * end + tip.side * found.body.at(tip.opposite)
    return Chunk(box, (normal[0], normal[1], normal[2]), offset), box


def _mortise(context: JointContext, part: Frame, found: Tenon, box: Box, face: Face, mate: str, number: str) -> Feature:
    return _piece(context, part, "mortise", box, face, mate, found, through=found.through, number=number)


def _piece(context: JointContext, part: Frame, kind: str, box: Box, face: Face, mate: str, found: Tenon, through: bool = False, number: str = "") -> Feature:
    """A rectangular hole or groove worked from `face`, with its sizes, its places and its depth."""
    figures: list[Figure] = []
    for axis in other_axes(face.axis):
        inside = (max(box.lo[axis], part.box.lo[axis]), min(box.hi[axis], part.box.hi[axis]))
        figures.append(Figure(axis, *inside, "size"))
        place = part.to_datum(axis, *inside)
        figures.extend([place] if place is not None else [])
    if not through:
        figures.append(Figure(face.axis, box.lo[face.axis], box.hi[face.axis], "depth"))
    depth = None if through else box.size(face.axis)
    ident = f"{part.path}.{kind.replace(' ', '_')}{number}[{mate}]"
    return Feature(ident, kind, face, cuts=(box_prism(box, face.axis),), figures=tuple(figures), joint=context.id, mate=mate, depth=depth, through=through, span=context.tell.span)


def _wedges(context: JointContext, found: Tenon) -> Fastening:
    """The wedge keys, from the reference face of A: as thick as their mortise is wide, and as wide as that is open beyond B
    (mm), which is less than its length as it begins inside B; longer than the tenon is thick, so that they stand out on both
    sides."""
    face = Face(found.thick, context.a.datum[found.thick])
    centres: list[Point3] = []
    for key in found.keys:
        centre = [(key.lo[x] + key.hi[x]) / 2 for x in AXES]
        centre[face.axis] = key.at(face)
        centres.append((centre[0], centre[1], centre[2]))
    key, tell = found.keys[0], context.tell
    thick, wide = key.size(found.run), key.size(found.entry.axis) - DRAW
    words = f"key {tell.figure(thick)} × {tell.figure(wide)} where it stands, more than {tell.figure(key.size(found.thick))} long"
    return Fastening("key", words, thick, wide, tuple(centres), face.axis, context.tell.span)


def _slip(context: JointContext, found: Tenon) -> Fastening:
    """The loose tenon, its middle where the parts meet."""
    slip = a.item(context, "loose")
    assert slip is not None
    centre = [(found.body.lo[x] + found.body.hi[x]) / 2 for x in AXES]
    centre[found.entry.axis] = context.contact.plane
    return Fastening("loose tenon", slip.name, found.body.size(found.thick), slip.size("long") or Fraction(0), ((centre[0], centre[1], centre[2]),), found.entry.axis, context.tell.span, blind=True)


# --- pegs ----------------------------------------------------------------------------------------------------------


def _pegs(context: JointContext, found: Tenon) -> tuple[tuple[Fastening, ...], tuple[Feature, ...], tuple[Feature, ...]] | None:
    """Pegs through the cheeks of the mortise and the tenon, evenly over its width; None after a report.

    They go in at B's reference face. The holes in the tenon lie nearer to the shoulder by `draw`, so that the peg pulls
    the joint together (common practice: 1/32 in., 1 mm, at most 1/16 in.)."""
    peg = a.item(context, "pegged")
    if peg is None:
        return (), (), ()
    tell, other, entry = context.tell, context.b, found.entry
    diameter, long = peg.size("diameter"), peg.size("long") or Fraction(0)
    if diameter is None:
        tell.say("PD371", f"`{peg.name}` is no peg", notes=(f"it is a {peg.kind}; a peg is a dowel",), mend='hardware peg dowel 3/8" x 2", and here: pegged peg')
        return None
    face = Face(found.thick, other.datum[found.thick])
    start = other.shoulder.at(face)
    reach = abs(found.body.at(face.opposite) - start)
    if long < reach:
        tell.say("PD324", f"`{peg.name}` does not go through the tenon", notes=(f"it is {tell.figure(long)} long, the far cheek of the tenon lies {tell.figure(reach)} deep",), mend=f"take one of {tell.figure(other.shoulder.size(found.thick))} or more")
        return None
    along = a.given(context, "at")
    inside = min(found.body.size(entry.axis), other.shoulder.size(entry.axis))
    along = inside / 2 if along is None else along
    draw, count = a.length(context, "draw"), a.count(context, "count")
    # tenons abreast are pegged as one
    spans = [body.span(found.run) for body in (found.bodies if found.gap is not None and found.gap[0] == found.run else (found.body,))]
    wide = spans[0][1] - spans[0][0]
    if along - draw - diameter / 2 <= 0 or along + diameter / 2 >= inside or count * diameter >= wide:
        notes = (f"{count} of {tell.figure(diameter)} diameter, {tell.figure(along)} from the shoulder, in a tenon {tell.figure(wide)} x {tell.figure(inside)}",)
        tell.say("PD376", "the pegs do not fit into the tenon", notes=notes, mend=f"at {tell.below(inside / 2)}, or a thinner peg")
        return None
    centres: list[Point3] = []
    for lo, hi, i in ((*span, i) for span in spans for i in range(count)):
        point = [Fraction(0)] * 3
        point[found.thick], point[entry.axis] = start, context.contact.plane + entry.side * along
        point[found.run] = lo + (hi - lo) * (2 * i + 1) / (2 * count)
        centres.append((point[0], point[1], point[2]))
    through = long >= other.shoulder.size(found.thick)
    bottom = other.shoulder.at(face.opposite) if through else start - face.side * long
    pulled = tuple(moved(c, entry.axis, -entry.side * draw) for c in centres)
    on_b = holes(context, other, context.a.path, "peg", face, centres, diameter, start, bottom, f"{context.id}.{other.path}.pegs", through)
    cheek = Face(found.thick, context.a.datum[found.thick])
    on_a = holes(context, context.a, other.path, "peg", cheek, pulled, diameter, found.body.at(cheek), found.body.at(cheek.opposite), f"{context.id}.{context.a.path}.pegs", True)
    return (Fastening("peg", peg.name, diameter, long, tuple(centres), found.thick, tell.span),), on_a, on_b


KIND = JointKind(
    name="tenon",
    doc="A tenon on the first part enters a mortise in the second; blind, through, twin, haunched, pegged, keyed, or loose.",
    params=(
        Param("deep", "length", "length of a blind tenon beyond its shoulder; of a loose one, how far it enters the second part"),
        THROUGH,
        Param("proud", "length", "how far a through tenon stands out"),
        Param("sized", "sizes", "thickness of the tenon, or thickness x width; left out, a third of the stock in steps of 1/16 in. or 1 mm"),
        Param("twin", "length", "two tenons side by side in the width, so far apart; `sized` is then each of them"),
        Param("abreast", "length", "two tenons side by side in the thickness, so far apart; `sized` is then each of them"),
        Param("whole", "flag", "the part enters with its whole thickness, without shoulders on its faces"),
        Param("shoulders", "lengths", "shoulders at the two edges, that of the reference edge (left, front or lower) first; left out, those of the faces"),
        Param("set", "length", "how far the tenon's face lies behind the face of the part; left out, it is in the middle"),
        Param("from", "faces", "the face that `set` counts from; left out, the reference face", default=(), owners=("set",)),
        Param("haunched", "size", "width x length of a haunch at the edge that is nearer to an end of the second part"),
        Param("shared", "flag", "the haunch lies in a groove that another joint cuts, such as that for a panel", owners=("haunched",)),
        Param("mitred", "face", "the tip is mitred at 45°, so that the cheek on this side is shorter: the side of the other rail"),
        Param("fit", "length", "what the mortise is wider and longer than the tenon", default=Fraction(0)),
        Param("clearance", "length", "what a blind mortise is deeper than the tenon is long", default=Fraction(0)),
        Param("pegged", "item", "a dowel through the cheeks and the tenon"),
        Param("count", "count", "how many pegs, of twin tenons in each", default=1, owners=("pegged",)),
        Param("at", "length", "distance of the pegs from the shoulder; left out, the middle of the tenon", owners=("pegged",)),
        Param("draw", "length", "how much nearer to the shoulder the peg holes of the tenon are", default=Fraction(0), owners=("pegged",)),
        Param("loose", "item", "a loose tenon, with a mortise in both parts"),
        Param("keyed", "size", "width x length of a mortise for a wedge key through a tenon that stands proud"),
        DRY,
    ),
    extend=extend,
    cut=cut,
    example='joint tenon rail into left_side through\njoint tenon rail into right_side through twin 3/4"',
    source="common practice; proportions from magazines and pages read, see plandoc/joints/proportions.py",
)
