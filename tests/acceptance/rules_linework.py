"""Rules 18, 19 and 24: pens, precedence of lines that coincide, hatching.

Widths: the series 0.18 0.25 0.35 0.5 0.7 1.0 with wide to narrow 2 to 1 (textbook after ISO 128); precedence of lines: a
lecture on engineering drawing (NPTEL, lecture 16) for the first places, the rest from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

import numpy as np
import shapely

from tests.acceptance.findings import sheet_rule
from tests.support.finished_sheets import Drawn, Part, Segment, Stroke, enters, grown

SERIES = (0.18, 0.25, 0.35, 0.5, 0.7, 1.0)
NARROW = ("hid", "ctr", "phm", "brk", "dim", "ext", "ldr", "trail")
FORMS = ("titleblock", "frame", "zones", "revisions", "table", "barscales", "layout", "legend")
OVERLAP = 0.3  # mm along each other before two strokes count as coincident
ASIDE = 0.05


@sheet_rule(18)
def pens_of_the_series(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Stroke widths are of the series, none under 0.18 mm."""
    for width in sorted({round(s.width, 4) for s in drawn.strokes}):
        if not any(abs(width - w) < 0.005 for w in SERIES):
            names = sorted({s.role for s in drawn.strokes if abs(s.width - width) < 1e-4})
            yield ", ".join(names), f"{width:g} mm wide"


@sheet_rule(18, "b")
def wide_is_twice_narrow(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Visible edges are twice as wide as narrow lines."""
    wide = {round(s.width, 4) for s in drawn.strokes if s.role == "vis"}
    narrow = {(round(s.width, 4), s.role) for s in drawn.strokes if s.role in NARROW}
    for w in sorted(wide):
        for n, role in sorted(narrow):
            if abs(w / n - 2.0) > 0.1:
                yield f"vis to {role}", f"{w:g} to {n:g} = {w / n:.2f}"


def _coincident(drawn: Drawn, strokes: list[Stroke]) -> Iterator[tuple[Stroke, Stroke, Segment, float]]:
    """Pairs of straight pieces of different classes that lie on each other, with the length that they share."""
    rows = [(s, stroke) for stroke in strokes for s in stroke.segments]
    if len(rows) < 2:
        return
    ends = np.array([s for s, _ in rows])
    low, high = ends.min(axis=1) - ASIDE, ends.max(axis=1) + ASIDE
    tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    pairs = tree.query(tree.geometries)
    i, j = pairs[0], pairs[1]
    roles = np.array([stroke.role for _, stroke in rows])
    keep = (i < j) & (roles[i] != roles[j])
    i, j = i[keep], j[keep]
    lengths = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    longer, shorter = np.where(lengths[i] >= lengths[j], i, j), np.where(lengths[i] >= lengths[j], j, i)
    unit = (ends[longer, 1] - ends[longer, 0]) / np.maximum(lengths[longer], 1e-9)[:, None]
    a, b = ends[shorter, 0] - ends[longer, 0], ends[shorter, 1] - ends[longer, 0]
    off = np.maximum(abs(a[:, 0] * unit[:, 1] - a[:, 1] * unit[:, 0]), abs(b[:, 0] * unit[:, 1] - b[:, 1] * unit[:, 0]))
    ta, tb = (a * unit).sum(axis=1), (b * unit).sum(axis=1)
    shared = np.minimum(np.maximum(ta, tb), lengths[longer]) - np.maximum(np.minimum(ta, tb), 0.0)
    for k in np.flatnonzero((off < ASIDE) & (shared > OVERLAP)):
        yield rows[i[k]][1], rows[j[k]][1], rows[shorter[k]][0], float(shared[k])


def _once(drawn: Drawn, strokes: list[Stroke]) -> Iterator[tuple[str, str]]:
    """Each pair of groups and classes once, with the length shared in all."""
    sums: dict[tuple[str, str, str, str], tuple[float, Segment]] = {}
    for one, other, place, shared in _coincident(drawn, strokes):
        (a, b) = sorted((one, other), key=lambda s: (s.role, s.group.number))
        key = (a.role, a.group.name, b.role, b.group.name)
        sums[key] = (sums.get(key, (0.0, place))[0] + shared, sums.get(key, (0.0, place))[1])
    for (role, name, other_role, other_name), (shared, place) in sums.items():
        yield f"{role} of {name}, {other_role} of {other_name}, first at {place[0][0]:.1f}, {place[0][1]:.1f}", f"{shared:.1f} mm on each other"


def _form(group: Part) -> bool:
    return any(group.home(f) for f in FORMS)


@sheet_rule(19)
def one_class_where_lines_coincide(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No two strokes of different classes lie on each other: the stronger is drawn, the weaker left out."""
    yield from _once(drawn, [s for s in drawn.strokes if not _form(s.group) and not (len(s.points) == 49 and s.points[0] == s.points[-1])])


@sheet_rule(19, "b")
def one_class_where_rules_of_forms_coincide(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The same for frames, title blocks, tables and lists."""
    yield from _once(drawn, [s for s in drawn.strokes if _form(s.group)])


# Hatching -------------------------------------------------------------------------------------------------------


def hatches(drawn: Drawn) -> list[tuple[Part, list[Stroke]]]:
    return [(g, strokes) for g in drawn.of("cut") if (strokes := drawn.strokes_in(g, "hat"))]


def _way(strokes: list[Stroke]) -> tuple[float, float]:
    """Angle (degrees, 0 to 180, of the most of the ink) and spacing (mm) of a hatch: the middle one of the
    gaps, the lower one of two, since a line that is left out doubles a gap."""
    by: dict[float, list[tuple[float, float]]] = {}
    for (x0, y0), (x1, y1) in (s for stroke in strokes for s in stroke.segments):
        length = float(np.hypot(x1 - x0, y1 - y0))
        if length < 0.5:
            continue
        angle = round(degrees(atan2(y0 - y1, x1 - x0)) % 180.0)
        t = np.radians(angle)
        by.setdefault(float(angle % 180), []).append((float(x0 * np.sin(t) + y0 * np.cos(t)), length))
    if not by:
        return (-1.0, 0.0)
    angle, rows = max(by.items(), key=lambda kv: sum(w for _, w in kv[1]))
    places = np.unique(np.round([v for v, _ in rows], 1))
    gaps = np.diff(places)
    gaps = gaps[gaps > 0.25]
    return angle, float(np.sort(gaps)[(len(gaps) - 1) // 2]) if len(gaps) else 0.0


@sheet_rule(24)
def hatching_of_a_part_is_constant(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """All cut surfaces of a part in one view have one angle and one spacing."""
    seen: dict[tuple[int, str, str], tuple[float, float]] = {}
    for group, strokes in hatches(drawn):
        view = group.home("view")
        angle, spacing = _way(strokes)
        if spacing == 0.0:
            continue
        key = (view.number if view else -1, group.data["part"], group.data["pattern"])
        first = seen.setdefault(key, (angle, spacing))
        if abs(first[0] - angle) > 1.0 or abs(first[1] - spacing) > 0.25:
            yield f"{view.id if view else ''} {group.data['part']}", f"{first[0]:g} degrees {first[1]:.1f} mm, then {angle:g} degrees {spacing:.1f} mm"


@sheet_rule(24, "b")
def neighbours_are_hatched_differently(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Cut surfaces that touch differ by 30 degrees or by 30 of a hundred in spacing."""
    areas = []
    for group, strokes in hatches(drawn):
        hull = shapely.MultiLineString([s.points for s in strokes]).buffer(1.3).buffer(-0.9)
        areas.append((group, hull, *_way(strokes)))
    for n, (a, shape, angle, spacing) in enumerate(areas):
        for b, other, other_angle, other_spacing in areas[n + 1 :]:
            if a.home("view") is not b.home("view") or a.data["part"] == b.data["part"] or 0.0 in (spacing, other_spacing):
                continue
            turn = abs(angle - other_angle) % 180.0
            ratio = max(spacing, other_spacing) / min(spacing, other_spacing)
            if min(turn, 180.0 - turn) < 29.0 and ratio < 1.29 and shape.distance(other) < 0.3:
                view = a.home("view")
                yield f"{view.id if view else ''} {a.data['part']} ({a.data['pattern']}) and {b.data['part']} ({b.data['pattern']})", f"{angle:g} and {other_angle:g} degrees, {spacing:.1f} and {other_spacing:.1f} mm"


@sheet_rule(24, "c")
def no_hatching_over_text(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Hatching is broken for lettering, 0.5 mm round its box."""
    if not hatches(drawn):
        return
    for run in drawn.runs:
        box = grown(run.box, 0.49)
        for segment, stroke in drawn.near(box):
            if stroke.role == "hat" and enters(segment, box):
                yield f"{run.text!r} of {run.group.name}", f"hatch of {stroke.group.name}"
                break
