"""Where two parts meet that lean differently: the common area of two faces, and the plane half-way between two sides."""

from __future__ import annotations

from fractions import Fraction

import shapely

from plandoc.diagnostics import Sink, Span
from plandoc.geometry.bodies import AXES, FACES, Face, Point3
from plandoc.geometry.convex import Polygon, box_faces, cut_faces, dot, normal_of
from plandoc.geometry.lean import STILL
from plandoc.model.cells import PartCell
from plandoc.model.evaluate import Evaluator
from plandoc.model.kinds import Arguments, Frame, LeaningContext, Teller
from plandoc.model.leaning import Trim, add_trim, stance
from plandoc.model.values import Unknown

ZERO = Fraction(0)
FINE = 10**6  # steps in a mm of a common area
LEAST = 1.0  # mm2; less is a line or a corner
CLOSE = Fraction(1, 10**6)  # mm between planes that are taken as one


def faces_of(frame: Frame) -> list[tuple[Face | None, Point3, Polygon]]:
    """The faces of a part where it stands: its square face or None for one sawn askew, the direction that it looks to (of
    unit length for square faces), and its corners."""
    lean = frame.lean or STILL
    solid = box_faces(frame.box)
    for chunk in frame.ends:
        x, y, z = chunk.normal
        solid = cut_faces(solid, (-x, -y, -z), -chunk.offset)
    found: list[tuple[Face | None, Point3, Polygon]] = []
    for polygon in solid:
        square = next((f for f in FACES.values() if all(p[f.axis] == frame.box.at(f) for p in polygon)), None)
        if square is not None:
            normal = square.normal
        else:
            normal = next((c.normal for c in frame.ends if all(dot(c.normal, p) == c.offset for p in polygon)), normal_of(polygon))
        found.append((square, lean.direction(normal), tuple(lean.point(p) for p in polygon)))
    return found


def meeting(ident: str, kind: str, a: Frame, b: Frame, args: Arguments, tell: Teller) -> LeaningContext | None:
    """The largest common area of a face of A and a face of B; None after a report."""
    best: tuple[float, LeaningContext] | None = None
    nearest: Fraction | None = None
    for _, normal, polygon in faces_of(a):
        for face, other, area in faces_of(b):
            if not _opposed(normal, other):
                continue
            gap = abs(dot(normal, polygon[0]) - dot(normal, area[0])) / max(abs(n) for n in normal)
            nearest = gap if nearest is None else min(nearest, gap)
            if gap > CLOSE:
                continue
            common = _common(normal, polygon, area)
            if common is not None and (best is None or common[0] > best[0]):
                best = (common[0], LeaningContext(ident, kind, a, b, normal, common[1], face, args, tell))
    if best is not None:
        return best[1]
    notes = ("no face of the one is parallel to a face of the other",) if nearest is None else (f"faces that are parallel lie {tell.figure(nearest)} from each other" if nearest > CLOSE else "their faces lie in one plane, but beside each other",)
    tell.say("PD310", f"`{a.path}` does not lie on `{b.path}`; the two lean differently", notes=notes, mend=f"trim the end of `{a.path}` that looks to it: trimmed {_end_towards(a, b)} to {b.path}")
    return None


def _end_towards(a: Frame, b: Frame) -> str:
    """The end or edge of A, in its own directions, that looks to the middle of B."""
    lean = (a.lean or STILL).inverse()
    x, y, z = ((b.box.lo[i] + b.box.hi[i]) / 2 for i in AXES)
    aim = lean.point((b.lean or STILL).point((x, y, z)))
    ways = [(max(aim[f.axis] * f.side - a.box.at(f) * f.side, ZERO), f.axis == a.length_axis, f.name) for f in FACES.values() if f.axis != a.thickness_axis]
    return max(ways)[2]


def _opposed(a: Point3, b: Point3) -> bool:
    """Whether two directions are opposite, but for the last digits of the angles."""
    cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    size = dot(a, a) * dot(b, b)
    return dot(a, b) < 0 and dot(cross, cross) * 10**12 <= size


def _common(normal: Point3, first: Polygon, second: Polygon) -> tuple[float, tuple[Point3, ...]] | None:
    """Size (mm2, in the projection) and corners of the common area of two polygons in one plane."""
    axis = max(AXES, key=lambda x: (abs(normal[x]), x))
    a, b = (x for x in AXES if x != axis)
    shapes = [shapely.Polygon([(float(p[a]), float(p[b])) for p in polygon]) for polygon in (first, second)]
    area = shapely.intersection(shapes[0], shapes[1])
    if area.geom_type != "Polygon" or area.area < LEAST:
        return None
    offset = dot(normal, first[0])
    corners: list[Point3] = []
    for x, y in shapely.geometry.polygon.orient(area).exterior.coords[:-1]:
        point = [ZERO, ZERO, ZERO]
        point[a], point[b] = (Fraction(round(v * FINE), FINE) for v in (x, y))
        point[axis] = (offset - normal[a] * point[a] - normal[b] * point[b]) / normal[axis]
        corners.append((point[0], point[1], point[2]))
    return area.area, tuple(corners)


# --- the plane half-way between two sides ----------------------------------------------------------------------------


def bisect(a: PartCell, b: PartCell, span: Span, evaluate: Evaluator, sink: Sink) -> None:
    """Trim the ends of two sides to the plane half-way between their outer faces: it holds the edge at which these
    meet, and every point of it is as far from the one as from the other."""
    planes = []
    for one, other in ((a, b), (b, a)):
        found = _outer(one, other, evaluate)
        if found is None:
            return
        planes.append(found)
    (n_a, o_a), (n_b, o_b) = planes
    normal = (n_a[0] - n_b[0], n_a[1] - n_b[1], n_a[2] - n_b[2])
    if all(abs(n) < CLOSE for n in normal):
        sink.emit("PD261", f"`{a.path}` and `{b.path}` lie in one direction, no mitre lies between them", span)
        return
    for one, sign in ((a, -1), (b, 1)):
        plane = (sign * normal[0], sign * normal[1], sign * normal[2]), sign * (o_a - o_b)
        _trim_to(one, plane, span, evaluate, sink)


def _outer(part: PartCell, other: PartCell, evaluate: Evaluator) -> tuple[Point3, Fraction] | None:
    """The broad face of a part that looks away from the other one."""
    box, their, thick = evaluate.local_box(part), evaluate.local_box(other), evaluate.thickness(part)
    stand, beside = stance(part, evaluate), stance(other, evaluate)
    if isinstance(box, Unknown) or isinstance(their, Unknown) or thick is None or stand is None or beside is None:
        return None
    x, y, z = ((their.lo[i] + their.hi[i]) / 2 for i in AXES)
    middle = beside.point((x, y, z))
    best: tuple[Fraction, Point3, Fraction] | None = None
    for side in (-1, 1):
        face = Face(thick, side)
        normal, offset = stand.plane_after(face.normal, side * box.at(face))
        behind = offset - dot(normal, middle)
        if best is None or behind > best[0]:
            best = (behind, normal, offset)
    assert best is not None
    return best[1], best[2]


def _trim_to(part: PartCell, plane: tuple[Point3, Fraction], span: Span, evaluate: Evaluator, sink: Sink) -> None:
    """Trim the end of a part that looks most along a plane's normal. Ends along the grain go before edges where both look
    nearly alike, and what the plan has trimmed itself stays."""
    stand, thick = stance(part, evaluate), evaluate.thickness(part)
    if stand is None or thick is None:
        return
    normal, offset = stand.plane_before(*plane)
    trimmed = [t.face for t in part.trims]
    grain = evaluate.grain(part)
    axis = max(
        (x for x in AXES if x != thick),
        key=lambda x: (Face(x, 1 if normal[x] > 0 else -1) not in trimmed, abs(normal[x]) * (3 if x == grain else 2), x),
    )
    add_trim(part, Trim(Face(axis, 1 if normal[axis] > 0 else -1), normal, offset, span), evaluate, sink)
