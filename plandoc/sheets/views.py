"""Views on paper: where a projection lies, its lines, its title, and which points of a part can be seen.

Model coordinates are mm (axis 0 across, 1 back, 2 up), picture coordinates mm with y upwards, paper coordinates mm
with y downwards from the sheet's upper left corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from plandoc.drawing.display import XY, Extent, Group, Item, Line, Text
from plandoc.drawing.lettering import reach, text_width
from plandoc.drawing.precedence import Stronger
from plandoc.drawing.scales import ratio, scale_name
from plandoc.drawing.style import Style
from plandoc.geometry.bodies import Box, Point3
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection
from plandoc.model.entities import Part
from plandoc.quantity import Units
from plandoc.sheets.glyphs import letter_strokes
from plandoc.sheets.traced import traced

Floats = NDArray[np.float64]

TITLE_DROP = 9.0  # mm from a view with its dimensions to the base line of its title, at least
TITLE_ROOM = 2.5  # mm between them and its capitals, at least
SCALE_DROP = 6.5  # mm from the title's base line to that of the scale, at least
TEXT_ROOM = 0.75  # mm between letters of the one that hang and tall ones of the other
FAR_OFF = 3.5  # mm on paper from a side of the piece that no wood comes nearer to
SHORTEST_LIGHT = 0.3  # mm on paper
SLACK = 1e-4  # mm of the model
FACING = 1e-6  # of a face's normal toward the viewer
LEAST_LETTERS = 0.9  # mm on paper; the capitals of smaller lettering run together


@dataclass(frozen=True, slots=True)
class Placement:
    """A projection on paper. at: where the picture's origin lies; ratio: paper over model."""

    view: Projection
    ratio: float
    at: XY

    def paper(self, point: XY) -> XY:
        """A picture point on paper."""
        return self.at[0] + point[0] * self.ratio, self.at[1] - point[1] * self.ratio

    def spot(self, point: Point3 | Sequence[float]) -> XY:
        """A world point on paper."""
        x, y, z = (float(c) for c in point)
        return self.paper(self.view.flat_point((x, y, z)))

    def extent(self, box: Box) -> Extent:
        """The paper that a world box covers."""
        return cover(self.spot(p) for p in corners(box))


def corners(box: Box) -> tuple[Point3, ...]:
    """The eight corners."""
    return tuple((x, y, z) for x in box.span(0) for y in box.span(1) for z in box.span(2))


def cover(points: Iterable[XY]) -> Extent:
    """The box round points. Raises ValueError for none."""
    rows = list(points)
    xs, ys = [p[0] for p in rows], [p[1] for p in rows]
    return min(xs), min(ys), max(xs), max(ys)


def picture_extent(view: Projection, bodies: Iterable[tuple[str, Solid]]) -> Extent:
    """x0, y0, x1, y1 of the bodies in the picture, y upwards (mm of the model)."""
    points: list[XY] = []
    for _, solid in bodies:
        if solid.empty:
            continue
        flat = view.flat(solid.vertices)
        points.append((float(flat[:, 0].min()), float(flat[:, 1].min())))
        points.append((float(flat[:, 0].max()), float(flat[:, 1].max())))
    return cover(points)


def moved_bodies(
    solids: Mapping[str, Solid], paths: Sequence[str], moves: Mapping[str, tuple[float, float, float]] | None = None
) -> tuple[tuple[str, Solid], ...]:
    """(path, solid) in the order given, each shifted by its move where it has one."""
    rows = []
    for path in paths:
        solid = solids[path]
        step = (moves or {}).get(path, (0.0, 0.0, 0.0))
        rows.append((path, solid.moved(*step) if any(step) else solid))
    return tuple(rows)


def stroke_lines(
    strokes: Iterable[Stroke], place: Placement, light: frozenset[str] = frozenset()
) -> tuple[Line, ...]:
    """Lines of roles vis and hid; `light` for the bodies named there."""
    rows = []
    for stroke in strokes:
        role = "hid" if stroke.hidden else "light" if stroke.body in light else "vis"
        points = stroke.points[:-1] if stroke.closed else stroke.points
        rows.append(Line(role, tuple(place.paper(p) for p in points), stroke.closed))
    return tuple(rows)


def centred_placement(view: Projection, extent: Extent, ratio: float, space: Extent) -> Placement:
    """The picture whose extent (model mm, y upwards) is centred in a paper rectangle."""
    middle_x, middle_y = (extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2
    x, y = (space[0] + space[2]) / 2, (space[1] + space[3]) / 2
    return Placement(view, ratio, (x - middle_x * ratio, y + middle_y * ratio))


def fill_ratio(extent: Extent, wide: float, high: float) -> float:
    """The largest ratio at which an extent (model mm) goes into wide x high paper mm."""
    return min(wide / max(extent[2] - extent[0], SLACK), high / max(extent[3] - extent[1], SLACK))


def inscribed(
    parts: Iterable[Part], bodies: Sequence[tuple[str, Solid]], place: Placement, moves: Mapping[str, tuple[float, float, float]] | None = None
) -> tuple[Line, ...]:  # fmt: skip
    """The lettering cut into these parts, as far as it is seen among the bodies and prints large enough; each part with its move (mm)."""
    found: list[tuple[Floats, Line]] = []
    for part in parts:
        step = np.array((moves or {}).get(part.path, (0.0, 0.0, 0.0)))
        for feature in part.features:
            face, along, middle = feature.face, feature.reading, feature.centre
            if not feature.text or face is None or along is None or middle is None or feature.height is None or part.lean is not None:
                continue
            out, right = np.array(face.normal, dtype=float), np.array(along.normal, dtype=float)
            up = np.cross(out, right)
            if float(out @ np.array(place.view.toward)) < FACING or float(feature.height) * place.ratio < LEAST_LETTERS:
                continue
            for line in letter_strokes(feature.text, (0.0, 0.0), float(feature.height), (1.0, 0.0)):
                points = np.array([np.array([float(v) for v in middle]) + step + right * x - up * y for x, y in line.points])
                found.append((points, Line(line.role, tuple(place.spot(p) for p in points.tolist()))))
    if not found:
        return ()
    scene = Scene(bodies, place.view)
    return tuple(line for points, line in found if not scene.hides(points).any())


def picture(
    bodies: Sequence[tuple[str, Solid]], view: Projection, space: Extent, part: str = "",
    light: frozenset[str] = frozenset(), extra: Sequence[Item] = (), largest: float = 1.0, parts: Iterable[Part] = (),
) -> Group:  # fmt: skip
    """A pictorial view of visible lines that fills a paper rectangle; not to scale, so it has no scale. parts: whose lettering is
    drawn."""
    extent = picture_extent(view, bodies)
    ratio = min(largest, fill_ratio(extent, space[2] - space[0], space[3] - space[1]))
    place = centred_placement(view, extent, ratio, space)
    return picture_group(bodies, place, part, light, (*inscribed(parts, bodies, place), *extra))


def picture_group(
    bodies: Sequence[tuple[str, Solid]], place: Placement, part: str = "",
    light: frozenset[str] = frozenset(), extra: Sequence[Item] = (),
) -> Group:  # fmt: skip
    """A pictorial view of visible lines at its place. Light lines leave out what lies on others."""
    lines = stroke_lines(traced(bodies, place.view), place, light)
    if light:
        heavy = [line for line in lines if line.role != "light"]
        lines = (*heavy, *Stronger(heavy).less((line for line in lines if line.role == "light"), SHORTEST_LIGHT))
    attrs = (("part", part), ("proj", place.view.name))
    return Group("picture", (*lines, *extra), id=f"picture-{part or 'whole'}", attrs=attrs)


def view_group(id: str, part: str, place: Placement, scale: Fraction, items: Sequence[Item], proj: str = "") -> Group:
    """One orthographic view with what belongs to it."""
    attrs = (("part", part), ("proj", proj or place.view.name), ("scale", ratio(scale)))
    return Group("view", tuple(items), id=id, attrs=attrs)


def blank_sides(outline: Extent, points: Sequence[XY]) -> list[Line]:
    """Sides of a piece as it is sawn that no wood reaches, since its outline is smaller: phantom lines, from which sizes of the
    whole are measured. outline: of the piece on paper; points: of its edges there (mm)."""
    x0, y0, x1, y1 = outline
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    sides = zip(corners, (*corners[1:], corners[0]), (1, 0, 1, 0), strict=True)
    return [Line("phm", (a, b)) for a, b, across in sides if not any(abs(p[across] - a[across]) < FAR_OFF for p in points)]


def view_title(
    title: str, scale: Fraction | None, middle: float, under: float, style: Style, units: Units | None = None
) -> tuple[Item, ...]:
    """A title centred at x = middle, below y = under, with the scale on the next line."""
    size = style.height("vtitle")
    items: list[Item] = [Text("vtitle", (middle, under + title_drop(style)), title, size, "middle", bold=True)]
    if scale is not None:
        name = scale_name(scale, units) if units else ratio(scale)
        note = name if name[0].isalpha() else f"SCALE {name}"
        items.append(Text("note", (middle, under + scale_drop(style)), note, style.height("note"), "middle"))
    return tuple(items)


def title_drop(style: Style) -> float:
    """From a view with its dimensions to the base line of its title (mm)."""
    return max(TITLE_DROP, TITLE_ROOM + style.height("vtitle"))


def scale_drop(style: Style) -> float:
    """From a view with its dimensions to the base line of the scale under its title (mm)."""
    note = style.height("note")
    return title_drop(style) + max(SCALE_DROP, reach(style.height("vtitle"))[1] + TEXT_ROOM + reach(note)[0] + note)


def title_height(style: Style) -> float:
    """Height (mm) of the title of a view with its scale and the room over and under them."""
    return scale_drop(style) + 2.0


def title_width(title: str, style: Style) -> float:
    """Width (mm) of a view title."""
    return text_width(title, style.height("vtitle"), True)


class Scene:
    """The faces of bodies that look to the viewer, flattened once, to ask which points lie behind them."""

    def __init__(self, bodies: Sequence[tuple[str, Solid]], view: Projection) -> None:
        toward = np.array(view.toward)
        triangles: list[Floats] = [np.zeros((0, 3, 3))]
        for _, solid in bodies:
            if not solid.empty:
                triangles.append(solid.vertices[solid.triangles[solid.normals @ toward > 1e-6]])
        every = np.concatenate(triangles)
        self.view = view
        self.bodies = tuple(bodies)
        self._corner, self._depth = view.flat(every), view.depth(every)
        self._low, self._high = self._corner.min(axis=1), self._corner.max(axis=1)

    def hides(self, points: Floats) -> NDArray[np.bool_]:
        """For world points (k, 3): whether a face lies before them, (k,)."""
        flat, depth = self.view.flat(points), self.view.depth(points)
        covered = np.zeros(len(points), dtype=bool)
        near = ((self._low <= flat.max(axis=0)) & (flat.min(axis=0) <= self._high)).all(axis=1)
        corner, corner_depth = self._corner[near], self._depth[near]
        low, high = self._low[near], self._high[near]
        x, y = flat[:, :1], flat[:, 1:]
        inside = (low[:, 0] <= x) & (x <= high[:, 0])
        inside &= (low[:, 1] <= y) & (y <= high[:, 1])
        which, face = np.nonzero(inside)
        above = _above(corner[face], corner_depth[face], flat[which], depth[which])
        covered[which[above]] = True
        return covered


def _above(corner: Floats, depth: Floats, point: Floats, at: Floats) -> NDArray[np.bool_]:
    """Pairwise: whether triangle (k, 3, 2) with corner depths (k, 3) lies before the point (k, 2) at a depth (k,)."""
    a, b, c = corner[:, 0], corner[:, 1], corner[:, 2]
    ab, ac, ap = b - a, c - a, point - a
    area = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    wide = np.abs(area) > 1e-9
    safe = np.where(wide, area, 1.0)
    u = (ap[:, 0] * ac[:, 1] - ap[:, 1] * ac[:, 0]) / safe
    v = (ab[:, 0] * ap[:, 1] - ab[:, 1] * ap[:, 0]) / safe
    inside = wide & (u >= 0) & (v >= 0) & (u + v <= 1)
    level = depth[:, 0] + u * (depth[:, 1] - depth[:, 0]) + v * (depth[:, 2] - depth[:, 0])
    result: NDArray[np.bool_] = inside & (level > at + 1e-3)
    return result


def seen_points(path: str, scene: Scene, limit: int = 12) -> tuple[XY, ...]:
    """Picture points inside the area of one body that the viewer sees, most open ones first.

    Candidates are points spread over its faces; those with the most visible neighbours come first, so a leader
    that ends there is well inside.
    """
    view, solid = scene.view, dict(scene.bodies)[path]
    if solid.empty:
        return ()
    facing = solid.normals @ np.array(view.toward) > 1e-6
    triangles = solid.vertices[solid.triangles[facing]]
    edges_a, edges_b = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    flat_a, flat_b = view.flat(edges_a), view.flat(edges_b)
    area = np.abs(flat_a[:, 0] * flat_b[:, 1] - flat_a[:, 1] * flat_b[:, 0]) / 2
    order = np.argsort(-area, kind="stable")[:8]
    spread = [(i, j) for i in range(1, 8) for j in range(1, 8 - i)]
    weights = np.array([(1 - (i + j) / 8, i / 8, j / 8) for i, j in spread])
    points = np.einsum("kc,mcd->mkd", weights, triangles[order]).reshape(-1, 3)
    share = np.repeat(area[order], len(spread))
    seen = ~scene.hides(points)
    if not seen.any():
        return ()
    flat, share = view.flat(points[seen]), share[seen]
    size = float(np.sqrt(area.sum())) or 1.0
    distance = np.linalg.norm(flat[:, None] - flat[None, :], axis=2)
    crowd = np.round(((distance < size / 4) * share[None, :]).sum(axis=1), 3)
    good = [k for k in range(len(flat)) if crowd[k] >= 0.6 * crowd.max()]
    ranked = sorted(good, key=lambda k: (-float(crowd[k]), round(float(flat[k, 0]), 3), round(float(flat[k, 1]), 3)))
    chosen: list[XY] = []
    for k in ranked:
        here = (round(float(flat[k, 0]), 4), round(float(flat[k, 1]), 4))
        if all(abs(here[0] - p[0]) + abs(here[1] - p[1]) > size / 10 for p in chosen):
            chosen.append(here)
        if len(chosen) == limit:
            break
    return tuple(chosen)
