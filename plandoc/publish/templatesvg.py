"""A template in one piece at true size as SVG, for a router that is led by numbers or for a plotter.

1 user unit is 1 mm. The origin (0, 0) is the part's reference corner, the lower left one; since y runs downwards in SVG,
y of the part is written as -y. No dimensions and no lettering of the drawing: closed paths with true arcs only, one group
for each depth, named by its id and by its title.
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from xml.sax.saxutils import escape, quoteattr

from plandoc.drawing.display import XY
from plandoc.geometry.contours import Contour, Straight, combined, polyline
from plandoc.publish.numbers import decimal_text
from plandoc.sheets.glyphs import letter_strokes
from plandoc.sheets.templateparts import Template, Work
from plandoc.shopwork.names import edge_words, mark_of

PEN = 0.1  # mm; the paths count, not the width of their line


def template_file(template: Template) -> str:
    """`D-top.svg`: mark and face."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", template.name) + ".svg"


def layers(template: Template) -> tuple[tuple[str, str, tuple[Contour, ...]], ...]:
    """(id, title, closed contours) of the outline with what goes through, then of every depth, shallow ones first, then
    of lettering. The contours of one layer do not overlap."""
    long, high = (float(s) for s in template.ground.size)
    face = polyline(((0.0, 0.0), (long, 0.0), (long, high), (0.0, high)))
    found = [("through", "outline and what goes through the part", template.silhouette)]
    depths: dict[Fraction, list[Contour]] = {}
    for work in template.works:
        if work.depth is not None and work.contours:
            depths.setdefault(work.depth, []).extend(work.contours)
    for depth in sorted(depths):
        text = decimal_text(depth)
        found.append((f"depth-{text}", f"{text} mm deep", combined(depths[depth], within=face)))
    letters = [work for work in template.works if work.feature.text]
    for deep in sorted({w.depth for w in letters}, key=lambda d: (d is not None, d or 0)):
        text = "" if deep is None else f"-{decimal_text(deep)}"
        title = "lettering" if deep is None else f"lettering, {decimal_text(deep)} mm deep"
        found.append((f"lettering{text}", title, tuple(c for w in letters if w.depth == deep for c in _letters(template, w))))
    return tuple(found)


def template_svg(template: Template, plan: str) -> str:
    """The whole SVG text."""
    part, plane = template.part, template.ground
    wide, high = (decimal_text(s) for s in plane.size)
    corner = f"{edge_words(part, plane.right.opposite)} and {edge_words(part, plane.up.opposite)}"
    about = f"{plan}: {mark_of(part)} {part.name}, {edge_words(part, plane.face)} up; 0, 0 is the corner of {corner}; mm"
    rows = [
        '<?xml version="1.0" encoding="utf-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{wide}mm" height="{high}mm" viewBox="0 -{high} {wide} {high}">',
        f"<title>{escape(about)}</title>",
    ]
    for name, title, contours in layers(template):
        rows.append(f'<g id={quoteattr(name)} fill="none" stroke="#000000" stroke-width="{PEN}">')
        rows.append(f"<title>{escape(title)}</title>")
        rows += [f'<path d="{path_data(c)}"/>' for c in contours]
        rows.append("</g>")
    return "\n".join([*rows, "</svg>", ""])


def path_data(contour: Contour) -> str:
    """A path, closed where it ends at its start, y turned round; whole circles as two arcs."""
    start = contour[0].start
    text = [f"M{_point(start)}"]
    for stroke in contour:
        if isinstance(stroke, Straight):
            text.append(f"L{_point(stroke.end)}")
            continue
        # y is turned round, so an arc that turns left on the wood turns left on the page too: sweep-flag 0 there
        radius, sweep = _number(stroke.radius), 0 if stroke.left else 1
        if stroke.start == stroke.end:
            (x, y), (cx, cy) = stroke.start, stroke.centre
            across = (2 * cx - x, 2 * cy - y)
            text.append(f"A{radius},{radius} 0 0,{sweep} {_point(across)}A{radius},{radius} 0 0,{sweep} {_point(stroke.end)}")
        else:
            large = int(abs(stroke.turn) > 3.141592653589793)
            text.append(f"A{radius},{radius} 0 {large},{sweep} {_point(stroke.end)}")
    return "".join(text) + ("Z" if contour[-1].end == start else "")


def _point(point: XY) -> str:
    return f"{_number(point[0])},{_number(-point[1])}"


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _letters(template: Template, work: Work) -> tuple[Contour, ...]:
    """The single strokes of lettering on the face."""
    feature, plane = work.feature, template.ground
    assert feature.centre is not None and feature.height is not None and feature.reading is not None
    x, y = (float(v) for v in plane.place(feature.centre))
    way = feature.reading
    ux, uy = (float(way.side * plane.right.side), 0.0) if way.axis == plane.right.axis else (0.0, float(way.side * plane.up.side))
    size = float(feature.height)
    # the letters count y downwards
    lines = letter_strokes(feature.text, (x, -y), size, (ux, -uy))
    return tuple(tuple(Straight((ax, -ay), (bx, -by)) for (ax, ay), (bx, by) in pairwise(line.points)) for line in lines)
