"""Edge banding: strips that are glued to edges of a panel after it is sawn."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, box_prism
from plandoc.model.entities import Feature, Figure, Stock
from plandoc.model.kinds import Param, ShapeContext, ShapeKind


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """One feature an edge. Within the size of the part the panel is sawn smaller; outside the part grows."""
    args, tell, part = context.args, context.tell, context.part
    faces, stock, thick, outside = args["faces"], args.get("with"), args.get("thick"), args.get("outside") is True
    assert isinstance(faces, tuple)
    if isinstance(stock, Stock) == isinstance(thick, Fraction):
        tell.say("PD299", "edge banding has either its stock or its thickness", mend="banded front with oak_strip, or banded front thick 1 mm")
        return ()
    if isinstance(stock, Stock) and stock.kind != "banding":
        tell.say("PD299", f"`{stock.name}` is no edge banding, it is a {stock.kind}", mend="name a stock of the kind banding, or give the thickness: thick 1 mm")
        return ()
    band = stock.measured if isinstance(stock, Stock) else thick
    assert isinstance(band, Fraction)
    if band <= 0:
        tell.say("PD299", "edge banding needs a thickness greater than nothing", mend="thick 1 mm")
        return ()
    name, what = "", "banding"
    if isinstance(stock, Stock):
        name, what = stock.name, stock.description or f"{stock.material or stock.name.replace('_', ' ')} banding"
    words = what if what[:1].isdigit() else f"{tell.figure(band)} {what}"  # some descriptions begin with their size
    made = []
    grown = part.box
    for face in dict.fromkeys(faces):
        if face.axis == part.thickness_axis:
            tell.say("PD332", f"`{part.path}` has a face at its {face.name}, banding covers edges", mend="its edges: " + ", ".join(Face(a, s).name for a in sorted((part.length_axis, part.width_axis)) for s in (-1, 1)))
            return ()
        if part.box.at(face) != part.shoulder.at(face):
            tell.say("PD299", f"the {face.name} edge of `{part.path}` enters a joint, it cannot be banded", mend="band the edges that stay free")
            return ()
        if band >= part.shoulder.size(face.axis) / 2:
            tell.say("PD299", f"banding of {tell.figure(band)} is too thick for `{part.path}`", notes=(f"it measures {tell.figure(part.shoulder.size(face.axis))} there",))
            return ()
        plane = grown.at(face)
        edge = plane + face.side * band if outside else plane
        lo, hi = sorted((edge, edge - face.side * band))
        strip = grown.with_span(face.axis, lo, hi)
        adds = (box_prism(strip),) if outside else ()
        grown = grown.with_face(face, edge)
        point = [(a + b) / 2 for a, b in zip(part.box.lo, part.box.hi, strict=True)]
        point[face.axis] = edge
        made.append(
            Feature(
                f"{context.id}.{face.name}", "edge band", face, adds=adds, figures=(Figure(face.axis, lo, hi, "band"),), mate=name,
                leaders=(((point[0], point[1], point[2]), words),), span=tell.span,
            )
        )  # fmt: skip
    return tuple(made)


KIND = ShapeKind(
    name="banded",
    doc="Edge banding on the named edges. The sizes of the part include it, so the panel is sawn smaller by its thickness; with `outside` the panel is sawn to its sizes and the finished part grows.",
    params=(
        Param("faces", "faces", "the edges", required=True, lead=True),
        Param("with", "stock", "the banding"),
        Param("thick", "length", "its thickness, where it is no stock of the plan"),
        Param("outside", "flag", "the banding goes on outside of the part's sizes"),
    ),
    apply=apply,
    example="banded front thick 1 mm",
)
