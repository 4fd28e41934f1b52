"""Arch: an arc cut into an edge, or an edge that bows out."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, Prism, other_axes, point_on
from plandoc.geometry.outlines import arc_middle, bow_of, closed, radius_of, rise_of
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The arc over its span: cut in, or with `bowed` what stands outside of it cut off."""
    args, tell, part = context.args, context.tell, context.part
    edge, span, rise, radius, offset = args["at"], args.get("span"), args.get("rise"), args.get("radius"), args.get("offset")
    bowed = args.get("bowed") is True
    assert isinstance(edge, Face)
    third = part.thickness_axis
    if edge.axis == third:
        tell.say("PD332", f"`{part.path}` has a face at its {edge.name}, an arch is cut into an edge")
        return ()
    run = 3 - edge.axis - third
    room, reach = part.shoulder.size(run), part.shoulder.size(edge.axis)
    wide = span if isinstance(span, Fraction) else room
    if isinstance(rise, Fraction) == isinstance(radius, Fraction):
        tell.say("PD297", "an arch has either a rise or a radius", mend=f'arch at {edge.name} rise 1 1/2" span 20"')
        return ()
    if bowed and isinstance(span, Fraction) and span != room:
        tell.say("PD297", "an edge bows out over its whole length", notes=(f"the edge is {tell.figure(room)} long",), mend="leave `span` out")
        return ()
    if not 0 < wide <= room:
        tell.say("PD337", f"an arch of {tell.figure(wide)} does not fit on `{part.path}`", notes=(f"the edge is {tell.figure(room)} long",))
        return ()
    high = rise if isinstance(rise, Fraction) else None
    if isinstance(radius, Fraction):
        high = rise_of(wide, radius)
        if high is None:
            tell.say("PD297", f"an arc with a radius of {tell.figure(radius)} does not span {tell.figure(wide)}", mend=f"a radius of at least {tell.figure(wide / 2)}")
            return ()
    assert high is not None
    if not 0 < high < reach or high > wide / 2:
        tell.say("PD337", f"an arch that rises {tell.figure(high)} does not fit on `{part.path}`", notes=(f"it measures {tell.figure(reach)} from the edge, the arch is {tell.figure(wide)} wide and rises half of that at most",))
        return ()
    start = part.shoulder.lo[run] + (offset if isinstance(offset, Fraction) else (room - wide) / 2)
    if start + wide > part.shoulder.hi[run]:
        tell.say("PD337", f"this arch reaches {tell.figure(start + wide - part.shoulder.hi[run])} over the end of `{part.path}`", notes=(f"it begins {tell.figure(start - part.shoulder.lo[run])} from the end and is {tell.figure(wide)} wide",))
        return ()
    line, outer = part.shoulder.at(edge), part.box.at(edge)
    first, _ = other_axes(third)

    def flat(along: Fraction, level: Fraction) -> tuple[Fraction, Fraction]:
        return (along, level) if first == run else (level, along)

    inner = line - edge.side * high
    foot = inner if bowed else line
    ends = (flat(start, foot), flat(start + wide, foot))
    # an arc from the low to the high end of the run: which way it bends in the coordinates of the plane
    out = edge.side if bowed else -edge.side
    left = out * (1 if first == run else -1) < 0
    bow = bow_of(*ends, high) * (1 if left else -1)
    margin = outer + edge.side * reach
    beyond = [flat(start + wide, margin), flat(start, margin)] if bowed or outer != line else []
    loop = closed([*ends, *beyond], [bow, *[Fraction(0)] * (1 + len(beyond))])
    figures = [Figure(run, start, start + wide, "size")] if wide != room else []
    place = part.to_datum(run, start, start + wide) if wide != room else None
    figures += [place] if place is not None and isinstance(offset, Fraction) else []
    around = radius if isinstance(radius, Fraction) else radius_of(wide, high)
    words = f"R {tell.figure(around)}"
    if isinstance(radius, Fraction):
        words += f", rise {tell.figure(high)}"
    else:
        low, top = sorted((line, inner))
        figures.append(Figure(edge.axis, low, top, "size", edge.side if part.datum[edge.axis] == edge.side else 0))
    face = Face(third, part.datum[third])
    aim = point_on(face, part.box.at(face), arc_middle(*ends, bow))
    return (
        Feature(
            context.id, "bowed edge" if bowed else "arch", face, cuts=(Prism(third, *part.box.span(third), loop),), figures=tuple(figures),
            through=True, leaders=((aim, words),), note=f"{face_word(edge)}, {words}" + ("" if isinstance(offset, Fraction) or wide == room else ", in the middle of the edge"), span=tell.span,
        ),
    )  # fmt: skip


KIND = ShapeKind(
    name="arch",
    doc="An arc cut into an edge by its span and its rise or radius, in the middle of the edge unless `offset` says where it begins. `bowed`: the edge bows out, its ends stand back by the rise.",
    params=(
        Param("at", "face", "the edge", required=True),
        Param("rise", "length", "height over the straight line between its ends"),
        Param("radius", "length", "radius, instead of the rise"),
        Param("span", "length", "length between its ends; left out: the whole edge"),
        Param("offset", "length", "where it begins, from the left, front or bottom end of the edge"),
        Param("bowed", "flag", "the edge bows out"),
    ),
    apply=apply,
    example='arch at front rise 3/4" span 8"',
)
