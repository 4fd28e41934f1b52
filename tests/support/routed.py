"""Routed parts of a plan, simulated and held against their solids."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import shapely

from plandoc.build.routing import Routing, routings
from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import other_axes
from plandoc.model.entities import Model
from plandoc.publish.gcode import toolpath_files
from plandoc.toolpath import practice
from tests.support.router_simulator import Blank, Floats, Read, design, read


@dataclass
class Outcome:
    """What came of one face. tabs: separate ridges of the height of tabs; left: cells of corners that stand (mm2)."""

    routing: Routing
    blank: Blank
    reads: list[Read]
    tabs: int
    left: float


def simulated(model: Model, grid: float = 0.25) -> list[Outcome]:
    """Every face that the plan asks for, cut and compared with its solid. Raises AssertionError."""
    files = toolpath_files(model)
    found = []
    for routing in routings(model):
        mark = f"toolpaths/{routing.part.mark or routing.part.path}-{routing.face.name}-"
        texts = [text for name, text in sorted(files.items()) if name.startswith(mark)]
        assert len(texts) == len(routing.result.programs)
        found.append(_face(routing, texts, grid))
    return found


def wood(routing: Routing, cut: bool = True) -> tuple[object, list[float]]:
    """The finished part without the work that the router leaves alone: its section at a depth below the face, in the plane
    of the face, and the depths at which that changes."""
    part, plane = routing.part, routing.ground
    spared = {f.id for f in routing.others} | {f.id for f in part.features if f.face == plane.face.opposite and not f.through}
    spared |= {name for name, _ in routing.result.left}
    kept = tuple(f for f in part.features if f.id not in spared or f.adds)
    solid = part_solid(replace(part, features=kept))
    axis, level = plane.face.axis, float(part.box.at(plane.face))
    first, _ = other_axes(axis)
    corner = [float(part.box.at(f.opposite)) for f in (plane.right, plane.up)]

    def section(depth: float) -> shapely.Geometry:
        rings = []
        for region in solid.section(axis, level - plane.face.side * depth):

            def flat(loop: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
                ordered = loop if plane.right.axis == first else tuple((v, u) for u, v in loop)
                return [((u - corner[0]) * plane.right.side, (v - corner[1]) * plane.up.side) for u, v in ordered]

            rings.append(shapely.Polygon(flat(region.outer), [flat(h) for h in region.holes]))
        return shapely.union_all(rings)

    depths = sorted({round(abs(float(v) - level), 4) for v in solid.vertices[:, axis]} - {0.0})
    return section, depths


def _face(routing: Routing, texts: list[str], grid: float) -> Outcome:
    section, depths = wood(routing)
    board, result = routing.board, routing.result
    long, high = board.size
    spare = result.margin + 2 if board.out else 14.0
    blank = Blank(-spare, -spare, long + spare, high + spare, grid)
    reads = []
    for program, text in zip(result.programs, texts, strict=True):
        if program.kind == "v-bit":  # its cone has tests of its own (tests/toolpath/test_lettering.py)
            reads.append(read(text))
            continue
        reads.append(blank.run(text, program.diameter, practice.SAFE, result.zones, practice.CLAMP_HIGH, 3.0 if program.kind == "bit" else None, [b.centre for b in board.bores if abs(b.diameter - program.diameter) < 0.01]))
    assert blank.lowest >= -board.thick - practice.BREAKTHROUGH - 1e-3, "into the table"
    x, y = blank.grid_points()
    _top, loose = design(section, depths, x, y)  # type: ignore[arg-type]
    inside = np.isfinite(loose)
    deep = blank.z < loose - 0.01
    assert not (deep & inside).any(), f"cut outside of the design at {[(round(float(a), 2), round(float(b), 2)) for a, b in zip(x[deep & inside][:4], y[deep & inside][:4], strict=False)]}"
    radius = max((p.diameter for p in result.programs if p.kind == "bit"), default=0.0) / 2
    left = 0.0
    bounds = [0.0, *depths]
    for low, deepest in itertools.pairwise(bounds):
        if deepest >= board.thick - 1e-3:
            continue
        left += _cleared(blank, section((low + deepest) / 2), section((deepest + min(d for d in depths if d > deepest)) / 2), deepest, radius, x, y, board.size)  # type: ignore[operator]
    tabs = 0
    if any(stage.depth is None for p in result.programs for stage in p.stages):
        tabs = _apart(blank, section(board.thick - 1e-3), board.thick, radius, result.tab[0], x, y, board.size, board.out)  # type: ignore[operator]
    return Outcome(routing, blank, reads, tabs, left)


def _cleared(blank: Blank, above: shapely.Geometry, below: shapely.Geometry, depth: float, radius: float, x: Floats, y: Floats, size: tuple[float, float]) -> float:
    """Area (mm2) left standing over the floor at a depth; all of it in corners sharper than the bit."""
    board = shapely.box(0, 0, *size)
    floor = below.difference(above).intersection(board)
    if floor.area < 1e-3:
        return 0.0
    room = board.buffer(20).difference(above)
    # what a disc can reach, of the room over the floor
    over = room.buffer(0.03 - radius, quad_segs=64).buffer(radius, quad_segs=64) if radius else room
    sure = floor.intersection(over).buffer(-0.06)
    shapely.prepare(sure)
    stands = blank.z > -depth + 0.01
    bad = stands & shapely.contains_xy(sure, x, y)
    assert not bad.any(), f"wood left at {[(round(float(a), 2), round(float(b), 2)) for a, b in zip(x[bad][:4], y[bad][:4], strict=False)]}, depth {depth}"
    shapely.prepare(floor)
    rest = stands & shapely.contains_xy(floor, x, y)
    return float(rest.sum()) * blank.grid**2


def _apart(blank: Blank, part: shapely.Geometry, thick: float, radius: float, tab: float, x: Floats, y: Floats, size: tuple[float, float], out: bool) -> int:
    """Number of tabs between the part and what falls off; everywhere else the cut goes right through beside the part."""
    board = shapely.box(0, 0, *size)
    window = board.buffer(2 * radius) if out else board
    room = window.difference(part)
    wide = board.buffer(30).difference(part)
    over = wide.buffer(0.03 - radius, quad_segs=64).buffer(radius, quad_segs=64)
    ring = room.intersection(over).intersection(part.buffer(2 * radius - 0.1)).buffer(-0.06)
    shapely.prepare(ring)
    stands = (blank.z > -thick + 0.01) & shapely.contains_xy(ring, x, y)
    assert not tab or (blank.z[stands] <= -thick + tab + 0.01).all(), "a tab is too high, or wood is left"
    assert tab or not stands.any(), "wood left where the board is cut through"
    return islands(stands)


def islands(cells: np.ndarray) -> int:
    """Number of groups of cells that lie more than 2 mm apart on a grid of 0.25 mm."""
    left = {(int(j), int(i)) for j, i in np.argwhere(cells)}
    count = 0
    while left:
        count += 1
        todo = [left.pop()]
        while todo:
            j, i = todo.pop()
            for near in ((j + dj, i + di) for dj in range(-8, 9) for di in range(-8, 9)):
                if near in left:
                    left.remove(near)
                    todo.append(near)
    return count
