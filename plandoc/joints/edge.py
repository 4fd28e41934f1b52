"""Edge: two boards glued edge to edge to make a wider one."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, box_prism
from plandoc.joints import arguments as a
from plandoc.joints import channel as c
from plandoc.joints.blind import blind_dowels
from plandoc.joints.fastening import NONE, Fastened, plain, unchanged
from plandoc.model.entities import Fastening, Feature, Figure
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param
from plandoc.quantity import shop_text


def cut(context: JointContext) -> JointEffect | None:
    """Glue alone, dowels in both edges, or a groove in each for a spline."""
    one, other, entry, tell = context.a, context.b, context.contact.entry, context.tell
    if entry.axis != one.width_axis or entry.axis != other.width_axis:
        wrong = one if entry.axis != one.width_axis else other
        what = "an end" if entry.axis == wrong.length_axis else "the face"
        tell.say("PD377", f"`{one.path}` and `{other.path}` do not meet edge to edge", notes=(f"they meet at {what} of `{wrong.path}`; glue holds long grain to long grain (common practice)",), mend="use `butt`, `dowel` or `tongue`")
        return None
    run, across = one.length_axis, one.thickness_axis
    pin, size = a.item(context, "with"), a.lengths(context, "spline")
    if pin is not None and size:
        tell.say("PD371", "an edge joint has dowels or a spline", mend="leave one of the two out")
        return None
    made: Fastened | None = NONE
    if pin is not None:
        made = blind_dowels(context, pin, context.contact.area)
    elif size:
        made = _spline(context, run, across, size[0], size[-1])
    return None if made is None else plain(context, run, across, made)


def _spline(context: JointContext, run: int, across: int, thick: Fraction, wide: Fraction) -> Fastened | None:
    """A strip half in each edge, in grooves that run through, both figured from the same face of the boards."""
    tell, entry, area = context.tell, context.contact.entry, context.contact.area
    relief, fit = a.length(context, "clearance"), a.length(context, "fit")
    deep = wide / 2 + relief
    room = min(context.a.shoulder.size(entry.axis), context.b.shoulder.size(entry.axis))
    if thick + fit >= area.size(across) or deep >= room or thick <= 0 or wide <= 0:
        notes = (f"the boards meet over a thickness of {tell.figure(area.size(across))}, the narrower one is {tell.figure(room)} wide",)
        tell.say("PD376", f"a spline {tell.figure(thick)} x {tell.figure(wide)} does not fit into the edges", notes=notes, mend="common practice: a third of the thickness")
        return None
    middle = (area.lo[across] + area.hi[across]) / 2
    half = (thick + fit) / 2
    grooves = []
    for part, face, mate in ((context.a, entry, context.b.path), (context.b, entry.opposite, context.a.path)):
        grooves.append(_groove(context, part, face, mate, run, (middle - half, middle + half), deep))
    centre = [(area.lo[x] + area.hi[x]) / 2 for x in range(3)]
    words = f"spline {shop_text(thick, tell.units.fine, mark=True)} × {tell.figure(wide)} × {tell.figure(area.size(run))}"
    strip = Fastening("spline", words, thick, wide, ((centre[0], centre[1], centre[2]),), entry.axis, tell.span, blind=True)
    return (strip,), (grooves[0],), (grooves[1],)


def _groove(context: JointContext, part: Frame, face: Face, mate: str, run: int, sides: tuple[Fraction, Fraction], deep: Fraction) -> Feature:
    plane, across = context.contact.plane, 3 - face.axis - run
    box = part.box.with_span(across, *sides).with_span(face.axis, *sorted((plane, plane - face.side * deep)))
    place = part.to_datum(across, *sides)
    figures = (Figure(across, *sides, "size"), *([place] if place else []), Figure(face.axis, *box.span(face.axis), "depth"))
    return Feature(f"{part.path}.spline_groove[{mate}]", "spline groove", face, cuts=(box_prism(box),), figures=figures, joint=context.id, mate=mate, depth=deep, span=context.tell.span)


KIND = JointKind(
    name="edge",
    doc="Two boards are glued edge to edge; dowels or a spline keep them flush.",
    params=(
        Param("with", "item", "dowels in both edges"),
        c.EVERY,
        c.ENDS,
        Param("spline", "size", "thickness x width of a spline, half of it in each board"),
        Param("fit", "length", "what the grooves are wider than the spline", default=Fraction(0), owners=("spline",)),
        Param("clearance", "length", "what every hole or groove is deeper than dowel or spline reaches", default=Fraction(0), owners=("with", "spline")),
    ),
    extend=unchanged,
    cut=cut,
    example='part ledge from birch\n  across from 0 to case_width\n  back from case_depth for 4"\n  up from 0\npart lip from birch\n  across from 0 to case_width\n  back from ledge.rear for 2"\n  up from 0\njoint edge lip into ledge spline 1/4" x 1"',
)
