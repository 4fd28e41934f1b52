"""Hatching of cut surfaces: parallel lines clipped to a region, by the material that is cut.

Patterns after published drawing courses on solid wood and panels (DIN 919 practice): end grain obliquely at 45
degrees and turned for the neighbour, long grain along the grain, panels across their plane at about half their
thickness. Angles in degrees counter-clockwise as seen on paper, lengths in mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import atan2, cos, degrees, hypot, log, radians, sin

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from plandoc.drawing.boxes import grown
from plandoc.drawing.display import XY, Extent, Fill, Line

TEXT_ROOM = 0.5
NARROW = 1.2  # pieces thinner than this on paper are filled solid
RUNG = 1.3  # from one spacing of panels to the next wider one
LEAST = 1.6  # smallest spacing for wide surfaces; published range 1.6 to 3.2 mm, normally 2.4
NORMAL = 2.4
LONG_GRAIN = (NORMAL, LEAST, 3.2)  # in the mean
SHORT = 0.3
OUTLINE_ROOM = 0.7  # a hatch line along the outline stays this far off it, or is left out
UNEVEN = (1.0, 1.3, 0.8, 1.1, 0.7, 1.2)  # long grain is drawn like a hand would, not like a ruler

Loops = Sequence[Sequence[XY]]


def region(loops: Loops) -> BaseGeometry:
    """The area inside loops; loops inside others are holes (even-odd)."""
    area: BaseGeometry = Polygon()
    for loop in loops:
        if len(loop) >= 3:
            area = area.symmetric_difference(shapely.make_valid(Polygon(loop)))
    return area


def hatch(loops: Loops, angle: float, spacing: float, avoid: Sequence[Extent] = ()) -> tuple[Line, ...]:
    """Equally spaced lines of role hat inside a region with holes, left out round the boxes of lettering. The lines
    are anchored to the paper, so all regions of one part carry the same pattern. Raises ValueError for a spacing
    that is not positive."""
    if spacing <= 0:
        raise ValueError(f"hatch lines need a spacing above 0, not {spacing}")
    return _clipped(region(loops), angle, (spacing,), avoid)


def cut_pattern(
    loops: Loops,
    kind: str,
    direction: float = 0.0,
    index: int = 0,
    avoid: Sequence[Extent] = (),
    thickness: float = 0.0,
) -> tuple[Line | Fill, ...]:
    """The pattern of a cut surface.

    kind: `panel` (direction: of the panel's plane), `end grain`, or `long grain` (direction: of the grain). index: a
    neighbour's differs from it, and so does the angle or the spacing. thickness: of the panel on paper; by default
    measured across `direction`. Pieces narrower than 1.2 mm come as solid Fills. Raises ValueError for an unknown
    kind.
    """
    if kind not in _KINDS:
        raise ValueError(f"no cut pattern {kind!r}; there is {', '.join(sorted(_KINDS))}")
    out: list[Line | Fill] = []
    for piece in _pieces(region(loops)):
        if piece.buffer(-NARROW / 2 + 1e-6).is_empty:
            out.append(_solid(piece))
            continue
        angle, spacings = _KINDS[kind](piece, direction, index, thickness)
        out += _clipped(piece, angle, spacings, avoid)
    return tuple(out)


def spacing(kind: str, index: int, thickness: float) -> float:
    """The spacing (mm) of the lines of a panel of that thickness on paper, or the mean one of long grain."""
    if kind == "long grain":
        return LONG_GRAIN[index % len(LONG_GRAIN)]
    half = max(LEAST, min(thickness / 2, 6.0))
    own = index % 3
    return float(LEAST * RUNG ** (own + 3 * max(0, round((log(half / LEAST, RUNG) - own) / 3))))


def _panel(piece: Polygon, direction: float, index: int, thickness: float) -> tuple[float, tuple[float, ...]]:
    # about half the thickness (after DIN 919), on a ladder whose every third rung belongs to one index, so that neighbours of
    # any thickness differ by one rung at least
    return direction + 90, (spacing("panel", index, thickness or _extent_along(piece, direction + 90)),)


def _end_grain(piece: Polygon, direction: float, index: int, thickness: float) -> tuple[float, tuple[float, ...]]:
    angle = 45.0 if index % 2 == 0 else 135.0
    spacing = NORMAL if (index // 2) % 2 == 0 else LEAST
    if _near_outline(piece, angle):
        angle = next((a for a in ((30.0, 60.0), (150.0, 120.0))[index % 2] if not _near_outline(piece, a)), angle)
    return angle, (spacing,)


def _long_grain(piece: Polygon, direction: float, index: int, thickness: float) -> tuple[float, tuple[float, ...]]:
    return direction, tuple(spacing("long grain", index, 0.0) * share for share in UNEVEN)


_KINDS = {"panel": _panel, "end grain": _end_grain, "long grain": _long_grain}


def _near_outline(piece: Polygon, angle: float) -> bool:
    """Whether a good part of the outline runs nearly along or across the lines."""
    ring = list(piece.exterior.coords)
    near = total = 0.0
    for (x0, y0), (x1, y1) in itertools.pairwise(ring):
        size = hypot(x1 - x0, y1 - y0)
        turn = (degrees(atan2(y0 - y1, x1 - x0)) - angle) % 90
        total += size
        near += size * (min(turn, 90 - turn) < 12)
    return near > 0.25 * total


def _extent_along(piece: BaseGeometry, angle: float) -> float:
    dx, dy = cos(radians(angle)), -sin(radians(angle))
    reach = [x * dx + y * dy for x, y in shapely.get_coordinates(piece)]
    return float(max(reach) - min(reach))


def _pieces(area: BaseGeometry) -> list[Polygon]:
    parts = [p for p in shapely.get_parts(area) if isinstance(p, Polygon) and not p.is_empty]
    return sorted(parts, key=lambda p: p.bounds)


def _solid(piece: Polygon) -> Fill:
    rings = [piece.exterior, *piece.interiors]
    return Fill("ink", tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings))


def _along(part: LineString, outline: BaseGeometry) -> bool:
    """Whether the whole line runs so near the outline that the two print as one."""
    return all(
        part.interpolate(share, normalized=True).distance(outline) < OUTLINE_ROOM for share in (0.5, 0.3, 0.7)
    )


def _clipped(
    area: BaseGeometry, angle: float, spacings: tuple[float, ...], avoid: Sequence[Extent]
) -> tuple[Line, ...]:
    if area.is_empty:
        return ()
    if avoid:
        area = area.difference(shapely.union_all([shapely.box(*grown(box, TEXT_ROOM)) for box in avoid]))
        if area.is_empty:
            return ()
    dx, dy = cos(radians(angle)), -sin(radians(angle))
    nx, ny = -dy, dx
    points = shapely.get_coordinates(area)
    along = points @ (dx, dy)
    across = points @ (nx, ny)
    a0, a1 = float(along.min()) - 1, float(along.max()) + 1
    rows: list[LineString] = []
    cycle = sum(spacings)
    offset = cycle * (float(across.min()) // cycle)
    n = 0
    while offset < float(across.max()):
        start = (a0 * dx + offset * nx, a0 * dy + offset * ny)
        rows.append(LineString([start, (a1 * dx + offset * nx, a1 * dy + offset * ny)]))
        offset += spacings[n % len(spacings)]
        n += 1
    out: list[Line] = []
    for row in rows:
        cut = row.intersection(area)
        for part in cut.geoms if isinstance(cut, MultiLineString) else shapely.get_parts(cut):
            if isinstance(part, LineString) and part.length > SHORT and not _along(part, area.boundary):
                (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
                out.append(Line("hat", ((float(x0), float(y0)), (float(x1), float(y1)))))
    return tuple(out)
