"""Lettering: a short text cut with a V-bit or written on a face, in single strokes. It takes no volume in the model."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Face, point_on
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.read_args import MIDDLE
from plandoc.shapes import placing as p
from plandoc.tables.strokes import lacking, stroke_text

# Left to right as one stands before the face (the top seen from the front): along the first axis of each.
READING = {"front": Face(0, 1), "rear": Face(0, -1), "left": Face(1, -1), "right": Face(1, 1), "top": Face(0, 1), "bottom": Face(0, 1)}


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The text with its middle at every place."""
    text, high, face, deep = context.args["text"], context.args["high"], context.args["on"], context.args.get("deep")
    assert isinstance(text, str) and isinstance(high, Fraction) and isinstance(face, Face)
    if not text.strip() or len(text) > 60:
        context.tell.say("PD338", "lettering has 1 to 60 letters", notes=(f"these are {len(text)}",))
        return ()
    args = dict(context.args)
    args["at"] = args.get("at") or ((MIDDLE, MIDDLE),)
    places = p.spots(replace(context, args=args))
    if places is None:
        return ()
    unknown = lacking(text)
    if unknown:
        context.tell.say("PD338", "lettering has no form for " + ", ".join(f"`{letter}`" for letter in unknown), mend="letters without accents, figures and the usual marks")
        return ()
    if high <= 0:
        context.tell.say("PD331", "lettering needs a height greater than nothing", mend='high 3/8"')
        return ()
    if isinstance(deep, Fraction) and p.depth_of(context, face, deep) is None:
        return ()
    wide = Fraction(round(stroke_text(text)[0] * 1000), 1000) * high
    found = []
    for spot in places:
        if not p.on_face(context, face, spot, wide / 2, high / 2):
            return ()
        found.append(
            Feature(
                spot.ident(context.id),
                "lettering",
                face,
                figures=p.place_figures(context.part, face, spot),
                row=spot.row(context.id),
                depth=deep if isinstance(deep, Fraction) else None,
                centre=point_on(face, context.part.shoulder.at(face), spot.place),
                text=text,
                height=high,
                reading=READING[face.name],
                span=context.tell.span,
            )
        )
    return tuple(found)


KIND = ShapeKind(
    name="letter",
    doc="A short text on a face in single strokes, for a V-bit or a pen: the drawing shows where the tool runs, `deep` is the depth of its V, its middle at the place (the middle of the face where no place is given).",
    params=(Param("text", "text", "text", required=True, lead=True), Param("high", "length", "height of the capitals", required=True), Param("deep", "length", "depth of the V that is cut"), p.ON, Param("at", "positions", "its middle, measured from the left, front or bottom edges"), p.FROM),
    apply=apply,
    example='letter "SET 1" high 3/8" on front',
)
