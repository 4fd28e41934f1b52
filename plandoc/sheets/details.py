"""Places of a section drawn larger: the joint with all its figures, and the ring with its letter in the section.

A joint is figured with the width and depth of its channel and, where they differ, with the thickness of what enters
and how far it enters; the play of what slides stands in words below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, sin, sqrt

import shapely

from plandoc.drawing.boxes import grown, item_extent, line_segments, overlap, segment_meets_box
from plandoc.drawing.dimension import place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY, Circle, Extent, Group, Item, Line, Text, walk
from plandoc.drawing.hatch import region
from plandoc.drawing.lettering import note_line_items, text_extent, text_width, wrap
from plandoc.drawing.scales import listed_scales
from plandoc.drawing.takeoff import Ink
from plandoc.geometry.bodies import Box, Point3, body_box
from plandoc.model.entities import Joint
from plandoc.quantity import dual_text, shop_number
from plandoc.sheets.clip import clipped_loops, clipped_strokes
from plandoc.sheets.context import SheetContext
from plandoc.sheets.jointplanes import Measure, bore_lines, fineness, focus, measures, row_words, shown_area
from plandoc.sheets.levels import AXIS_WORDS, picture_axis
from plandoc.sheets.section_plan import CLEAR, Cut, Detail
from plandoc.sheets.sectioncut import CutFace, Section, cut_through, hatching
from plandoc.sheets.views import Placement, scale_drop, stroke_lines, view_group, view_title

RADIUS = 16.0  # mm on paper
DEPTH = 5.0  # mm on paper that the depth of a joint takes in its detail, at least
WORDS = 64.0  # mm, width of the words under a detail
ON_STROKE = 0.02  # mm on paper between a measured place and a stroke there
PITCH = 1.45  # of their height, from line to line
LEAST_RING = 3.0  # mm on paper, radius of the ring in the section
LEADERS = (3.0, 6.0, 10.0, 15.0, 21.0, 28.0)  # mm from a ring to its letter
TURNS = 24


# --- the ring in the section -------------------------------------------------------------------------------------


def rings(
    ctx: SheetContext, section: Section, names: Sequence[tuple[Detail, str]], place: Placement, outline: Extent,
    extensions: Sequence[tuple[XY, XY]],
) -> list[Group]:  # fmt: skip
    """Rings round the places drawn larger, each letter at the end of a short leader clear of all that is drawn.

    names: the details with what is written at them. extensions: where dimensions will have their extension lines.
    """
    lines = [p for line in stroke_lines(section.strokes, place) for p in pairwise(line.points)]
    lines += extensions
    cut = [region([[place.paper(p) for p in loop] for loop in face.loops]) for face in section.faces]
    solid = shapely.union_all(cut) if cut else shapely.Polygon()
    spots = [(place.spot(middle_of(ctx, d, section.cut)), _ring(ctx, d, place)) for d, _ in names]
    found: list[Group] = []
    taken: list[Extent] = []
    leaders: list[tuple[XY, XY]] = []
    for (detail, name), (spot, radius) in zip(names, spots, strict=True):
        others = [s for s in spots if s[0] != spot]
        choices: list[tuple[float, int, Text, Line, Extent]] = []
        for reach in LEADERS:
            for turn in range(TURNS):
                angle = pi / 4 + 2 * pi * turn / TURNS
                text, leader = _lettered(ctx, name, spot, radius, reach, (cos(angle), -sin(angle)))
                box = item_extent(text) or (*spot, *spot)
                wide = grown(box, 0.8)
                cost = 12.0 * any(overlap(box, o, 1.0) for o in taken)
                cost += 6.0 * sum(segment_meets_box(p, q, wide) for p, q in (*lines, *leaders))
                cost += 6.0 * (not solid.is_empty and solid.intersects(shapely.box(*wide)))
                cost += 6.0 * any(_near(c, wide) < r for c, r in (*others, (spot, radius)))
                cost += 0.1 * reach + 0.02 * _outside(box, outline)
                choices.append((round(cost, 4), len(choices), text, leader, box))
        _, _, text, leader, box = min(choices, key=lambda c: c[:2])
        taken.append(box)
        leaders.append((leader.points[0], leader.points[-1]))
        items = (Circle("ldr", spot, radius), leader, text)
        found.append(Group("leader", items, f"ring-{detail.letter}", (("note", detail.letter),)))
    return found


def _ring(ctx: SheetContext, detail: Detail, place: Placement) -> float:
    return max(RADIUS / float(detail_scale(ctx, detail)) * place.ratio, LEAST_RING)


def _lettered(ctx: SheetContext, name: str, spot: XY, radius: float, reach: float, way: XY) -> tuple[Text, Line]:
    """The letter at the end of a leader that leaves the ring in the direction `way`."""
    size = ctx.style.height("label")
    half = text_width(name, size, True) / 2
    (x, y), (dx, dy) = spot, way
    start = (x + dx * radius, y + dy * radius)
    end = (x + dx * (radius + reach), y + dy * (radius + reach))
    _, top, _, bottom = text_extent(Text("label", (0.0, size / 2), name, size, "middle", 0, True))
    deep = max(size / 2 + 0.9, (bottom if dy < 0 else -top) + 0.6)  # clear of letters that hang
    out = min((half + 0.9) / max(abs(dx), 1e-6), deep / max(abs(dy), 1e-6))
    middle = (end[0] + dx * out, end[1] + dy * out)
    text = Text("label", (middle[0], middle[1] + size / 2), name, size, "middle", 0, True)
    return text, Line("ldr", (start, end))


def _near(point: XY, box: Extent) -> float:
    """Distance from a point to a box (mm)."""
    return hypot(max(box[0] - point[0], 0.0, point[0] - box[2]), max(box[1] - point[1], 0.0, point[1] - box[3]))


def _outside(box: Extent, outline: Extent) -> float:
    """How far (mm) a box stands out of the outline."""
    return max(0.0, outline[0] - box[0], outline[1] - box[1], box[2] - outline[2], box[3] - outline[3])


# --- the detail --------------------------------------------------------------------------------------------------


def _plane(detail: Detail, cut: Cut) -> Cut:
    """The plane in which a detail is cut: its own, else that of its section."""
    return detail.plane or cut


def middle_of(ctx: SheetContext, detail: Detail, cut: Cut) -> Point3:
    """The middle of a detail in the world. cut: its section."""
    plane = _plane(detail, cut)
    reach = Fraction(int(RADIUS)) / detail_scale(ctx, detail)
    return focus(ctx.model, detail.joint, plane.axis, plane.at, reach)


def detail_scale(ctx: SheetContext, detail: Detail) -> Fraction:
    """The first listed scale, from half to full size, at which small sizes print well and the whole still lies inside the
    circle."""
    normal = detail.plane.axis if detail.plane else detail.joint.run_axis
    small, large = fineness(ctx.model, detail.joint, normal)
    options = sorted(s for s in listed_scales(ctx.model.info.units) if CLEAR <= s <= 1)
    for scale in options:
        if float(small * scale) >= DEPTH:
            return scale
        if float(large * scale * 2) > 1.4 * RADIUS:
            return scale
    return options[-1]


def detail_view(ctx: SheetContext, section: Section, detail: Detail, elsewhere: str = "") -> Group:
    """The detail with the model's origin at the paper's. elsewhere: name of the section, where it is on another
    sheet."""
    scale = detail_scale(ctx, detail)
    home = section.cut
    if detail.plane is not None:
        section = cut_through(ctx, detail.plane)
    place = Placement(section.view, float(scale), (0.0, 0.0))
    style = ctx.style
    x, y = place.view.flat_point(_floats(middle_of(ctx, detail, home)))
    radius = RADIUS / place.ratio
    circle = tuple((x + radius * cos(pi * k / 48), y + radius * sin(pi * k / 48)) for k in range(96))
    faces = [CutFace(f.part, loops, f.index) for f in section.faces if (loops := clipped_loops(f.loops, circle))]
    edges = stroke_lines(clipped_strokes(section.strokes, circle), place)
    middle = place.paper((x, y))
    outline = (middle[0] - RADIUS, middle[1] - RADIUS, middle[0] + RADIUS, middle[1] + RADIUS)
    if detail.plane is not None:
        # axes of bores run on to both sides, so that the places of their middles are seen
        bores = ((place.spot(p), place.spot(q)) for p, q in bore_lines(ctx.model, detail.joint, detail.plane.axis, detail.plane.at))
        edges += tuple(axis for p, q in bores if (axis := _in_circle(_run_on(p, q, style.centre_overshoot), middle)) is not None)
    placed = place_dimensions(outline, _from_strokes(detail_figures(ctx, detail, section.cut, place), edges), style, (), "tick", Ink(edges))
    items: list[Item] = [
        *hatching(faces, section.cut, place, (*edges, *extensions(placed.groups))), *edges, Circle("ldr", middle, RADIUS), *placed.groups,
    ]  # fmt: skip
    low = max(e[3] for e in (item_extent(i) for i in items) if e is not None)
    items += view_title(f"DETAIL {detail.letter}", scale, middle[0], low, style, ctx.model.info.units)
    size = style.minimum_height
    words = wrap(joint_text(ctx, detail, section.cut) + (f" (section {elsewhere})" if elsewhere else ""), size, WORDS)
    for number, line in enumerate(words, 1):
        drop = low + scale_drop(style) + 0.5 + number * PITCH * size
        items += note_line_items(line, (middle[0], drop), size, anchor="middle")
    return view_group(f"detail-{detail.letter}", "", place, scale, items, "detail")


def extensions(figures: Sequence[Group]) -> list[Line]:
    """The extension lines of dimensions that are placed."""
    return [i for i in walk(tuple(figures)) if isinstance(i, Line) and i.role == "ext"]


def _in_circle(ends: tuple[XY, XY], middle: XY) -> Line | None:
    """The part of a centre line in the circle of a detail."""
    part = shapely.LineString(ends).intersection(shapely.Point(middle).buffer(RADIUS, quad_segs=48))
    if part.is_empty or part.geom_type != "LineString":
        return None
    return Line("ctr", tuple((round(x, 6), round(y, 6)) for x, y in part.coords))


def _run_on(p: XY, q: XY, by: float) -> tuple[XY, XY]:
    """The line run on at both ends (mm)."""
    long = hypot(q[0] - p[0], q[1] - p[1]) or 1.0
    dx, dy = (q[0] - p[0]) / long * by, (q[1] - p[1]) / long * by
    return (p[0] - dx, p[1] - dy), (q[0] + dx, q[1] + dy)


def joint_text(ctx: SheetContext, detail: Detail, cut: Cut) -> str:
    """Which parts meet how, how far the one enters, the play that it has, and what is too long for the detail; how the
    detail is seen, where it has a plane of its own."""
    units, joint = ctx.model.info.units, detail.joint
    a, b = ctx.model.part(joint.a), ctx.model.part(joint.b)
    text = f"{joint.kind}: {a.name} ({a.mark}) into {b.name} ({b.mark})"
    if joint.depth and joint.depth != joint.cut_depth:
        text += f", enters {dual_text(joint.depth, units)}"
    plays = []
    if joint.cut_depth > joint.depth:
        plays.append(f"{dual_text(joint.cut_depth - joint.depth, units)} at the bottom")
    if joint.width > entering(ctx, joint) > 0:
        plays.append(f"{dual_text(joint.width - entering(ctx, joint), units.fine)} in width")
    text += f"; play {', '.join(plays)}" if plays else ""
    if joint.cut_depth > 0:
        reach = Fraction(int(RADIUS)) / detail_scale(ctx, detail)
        middle = middle_of(ctx, detail, cut)
        for axis, name in ((joint.thickness_axis, "wide"), (joint.entry.axis, "deep")):
            lo, hi = joint.channel.span(axis)
            if not _within(lo, hi, middle[axis], reach):
                text += f"; {dual_text(hi - lo, units)} {name}"
    words = row_words(ctx.model, joint) if detail.plane and joint.cut_depth <= 0 else ""
    text += f"; {words}" if words else ""
    return text + (f"; seen from {cut.look.opposite.name}" if detail.plane else "")


def _within(lo: Fraction, hi: Fraction, middle: Fraction, reach: Fraction) -> bool:
    """Whether both ends of a measure lie in the circle of a detail."""
    return max(abs(lo - middle), abs(hi - middle)) < reach * Fraction(98, 100)


def _floats(point: Point3) -> tuple[float, float, float]:
    return float(point[0]), float(point[1]), float(point[2])


def detail_figures(ctx: SheetContext, detail: Detail, cut: Cut, place: Placement) -> tuple[DimensionRequest, ...]:
    """The figures of a detail, as far as they lie in its circle."""
    joint = detail.joint
    reach = Fraction(int(RADIUS)) / detail_scale(ctx, detail)
    middle = middle_of(ctx, detail, cut)
    if joint.cut_depth > 0:
        seen = {x for x in range(3) if _within(*joint.channel.span(x), middle[x], reach)}
        return tuple(f for f in joint_figures(ctx, joint, place, place.spot(middle)) if AXIS_WORDS.index(f.world_axis) in seen)
    every = [m for m in measures(ctx.model, joint, cut.axis) if _within(m.lo, m.hi, middle[m.axis], reach)]
    every.sort(key=lambda m: (m.hi - m.lo, m.lo))
    corner = place.extent(shown_area(ctx.model, joint, cut.axis, cut.at))
    found: list[DimensionRequest] = []
    taken: dict[str, list[Measure]] = {}
    for m in every:
        number, _ = picture_axis(place.view, m.axis)
        for side in _sides(place, m, shown_area(ctx.model, joint, cut.axis, cut.at), number):
            row = taken.setdefault(side, [])
            if any(m.lo < o.hi and o.lo < m.hi for o in row):
                continue
            row.append(m)
            found.append(_measured(ctx, joint, place, m, side, corner, middle))
            break
    return tuple(found)


def _sides(place: Placement, m: Measure, area: Box, number: int) -> tuple[str, ...]:
    """The sides of a detail that a figure may stand at: of one that holds in one plane, the side of that plane."""
    sides = ("above", "below") if number == 0 else ("left", "right")
    if m.holds is None:
        return ("above",) if number == 0 else sides
    axis, at = m.holds
    across, turn = picture_axis(place.view, axis)
    if across != 1 - number:
        return sides[:1] if number == 0 else sides
    low = (at - area.lo[axis] < area.hi[axis] - at) == (turn > 0)  # the left of the picture, or its lower border
    return sides[:1] if low == (across == 0) else sides[1:]


def _from_strokes(figures: Sequence[DimensionRequest], strokes: Sequence[Line]) -> list[DimensionRequest]:
    """The figures, their extension lines taking off where a stroke of the drawing that lies in their way ends on that side."""
    pieces = [piece for line in strokes for piece in line_segments(line)]
    found = []
    for figure in figures:
        way = 0 if figure.axis == "y" else 1  # picture axis of the extension lines
        far = max if figure.prefer in ("right", "below") else min
        ends = []
        for point in (figure.start, figure.end):
            there = [p[way] for piece in pieces for p in piece if all(abs(q[1 - way] - point[1 - way]) < ON_STROKE for q in piece)]
            at = far(there) if there else point[way]
            ends.append((at, point[1]) if way == 0 else (point[0], at))
        found.append(replace(figure, start=ends[0], end=ends[1]))
    return found


def _measured(ctx: SheetContext, joint: Joint, place: Placement, m: Measure, side: str, corner: Extent, middle: Point3) -> DimensionRequest:
    """One measure on a side of the circle; its extension lines take off at the border of what is cut."""
    points, (mx, my) = [], place.spot(middle)
    for value in (m.lo, m.hi):
        at = list(middle)
        at[m.axis] = value
        x, y = place.spot((at[0], at[1], at[2]))
        high, wide = _half_chord(x - mx), _half_chord(y - my)
        edges = {"above": (x, max(corner[1], my - high)), "below": (x, min(corner[3], my + high)), "left": (max(corner[0], mx - wide), y), "right": (min(corner[2], mx + wide), y)}
        points.append(edges[side])
    size = m.hi - m.lo
    return DimensionRequest(
        "x" if side in ("above", "below") else "y", points[0], points[1], size, shop_number(size, ctx.model.info.units), "size", side,
        m.ends if any(m.ends) else (f"{joint.id}.{m.name}.lo", f"{joint.id}.{m.name}.hi"), AXIS_WORDS[m.axis],
    )  # fmt: skip


def _half_chord(off: float) -> float:
    """How far the circle of a detail reaches from an axis at `off` mm from it, where it is crossed that far out."""
    return sqrt(max(0.0, RADIUS * RADIUS - off * off))


def entering(ctx: SheetContext, joint: Joint) -> Fraction:
    """Thickness (mm) of what enters the channel."""
    inner = _entering_box(ctx, joint)
    lo, hi = (max(joint.channel.lo[joint.thickness_axis], inner.lo[joint.thickness_axis]),
              min(joint.channel.hi[joint.thickness_axis], inner.hi[joint.thickness_axis]))  # fmt: skip
    return max(hi - lo, Fraction(0))


def _entering_box(ctx: SheetContext, joint: Joint) -> Box:
    """The tenon or tongue of the joint; where it has none, the part that enters."""
    part = ctx.model.part(joint.a)
    return next((body_box(f.adds[0]) for f in part.features if f.joint == joint.id and f.adds), part.box)


def joint_figures(ctx: SheetContext, joint: Joint, place: Placement, middle: XY) -> tuple[DimensionRequest, ...]:
    """Width and depth of the channel above and at the left; at the right the thickness or reach of what enters, where
    it differs. The other one of these two stands in words. middle: of the circle (paper)."""
    channel, inner, units = joint.channel, _entering_box(ctx, joint), ctx.model.info.units
    spans: list[tuple[int, str, Fraction, Fraction, bool]] = []
    across, into = joint.thickness_axis, joint.entry.axis
    spans.append((across, "width", *channel.span(across), True))
    spans.append((into, "depth", *channel.span(into), True))
    thick = (max(channel.lo[across], inner.lo[across]), min(channel.hi[across], inner.hi[across]))
    if 0 < thick[1] - thick[0] < channel.size(across):
        spans.append((across, "thickness", *thick, False))
    reach = (max(channel.lo[into], inner.lo[into]), min(channel.hi[into], inner.hi[into]))
    if 0 < reach[1] - reach[0] < channel.size(into):
        spans.append((into, "enters", *reach, False))
    (x0, y0, x1, y1), (mx, my) = place.extent(channel), middle
    corner = (max(x0, mx - RADIUS), max(y0, my - RADIUS), min(x1, mx + RADIUS), min(y1, my + RADIUS))
    found = []
    for axis, name, lo, hi, first in spans:
        number, _ = picture_axis(place.view, axis)
        if number < 0:
            continue
        points = []
        for value in (lo, hi):
            point = [float(v) for v in channel.lo]
            point[axis] = float(value)
            p = place.spot(point)
            # extension lines take off at the border of the channel on their own side
            points.append((p[0], corner[1 if first else 3]) if number == 0 else (corner[0 if first else 2], p[1]))
        if number == 0 and not first:
            continue
        side = "above" if number == 0 else "left" if first else "right"
        found.append(
            DimensionRequest(
                "x" if number == 0 else "y", points[0], points[1], hi - lo, shop_number(hi - lo, units.fine if axis == across else units),
                "size", side, (f"{joint.id}.{name}.lo", f"{joint.id}.{name}.hi"), AXIS_WORDS[axis],
            )
        )  # fmt: skip
    return tuple(found)
