"""Volumes of finished bodies against sums done by hand, and against two general libraries."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from fractions import Fraction

import pytest
import shapely
import trimesh

from plandoc.geometry.bodies import Disc, Loop, Outline, Prism, Rect, body_box, other_axes
from plandoc.geometry.solid import Solid

F = Fraction
NONE = Fraction(0)
INCH = F(254, 10)


def block(x0: object, y0: object, z0: object, x1: object, y1: object, z1: object, axis: int = 2) -> Prism:
    """A box as a prism along an axis; numbers or fractions in mm."""
    lo, hi = [F(str(v)) for v in (x0, y0, z0)], [F(str(v)) for v in (x1, y1, z1)]
    a, b = other_axes(axis)
    return Prism(axis, lo[axis], hi[axis], Rect((lo[a], lo[b]), (hi[a], hi[b])))


def round_cut(x: object, y: object, radius: object, z0: object, z1: object) -> Prism:
    return Prism(2, F(str(z0)), F(str(z1)), Disc((F(str(x)), F(str(y))), F(str(radius))))


def loop(*points: tuple[int, int], bows: tuple[int, ...] = ()) -> Loop:
    return Loop(tuple((F(x), F(y)) for x, y in points), tuple(F(b) for b in bows))


@dataclass(frozen=True)
class Case:
    """volume = plain + circles * pi, in mm3."""

    name: str
    adds: tuple[Prism, ...]
    cuts: tuple[Prism, ...]
    plain: Fraction
    circles: Fraction = NONE

    @property
    def volume(self) -> float:
        return float(self.plain) + float(self.circles) * math.pi


BOARD = block(0, 0, 0, 300, 200, 18)  # 300 * 200 * 18 = 1 080 000

CASES = (
    Case("board", (BOARD,), (), F(1_080_000)),
    # dado 18.25 wide, 6 deep, across the whole 200
    Case("dado", (BOARD,), (block(100, 0, 12, "118.25", 200, 18),), F(1_080_000) - F("18.25") * 6 * 200),
    # the same cutter run out beyond all faces takes no more
    Case(
        "dado run out", (BOARD,), (block(100, -5, 12, "118.25", 220, 25, 1),), F(1_080_000) - F("18.25") * 6 * 200
    ),
    # groove 6 wide, 5 deep, stopped 25 from one end and 40 from the other: 300 - 25 - 40 = 235 long
    Case("stopped groove", (BOARD,), (block(25, 90, 13, 260, 96, 18),), F(1_080_000) - 235 * 6 * 5),
    # rabbet 10 wide, 9 deep along the long edge
    Case("rabbet", (BOARD,), (block(0, 190, 9, 300, 200, 18),), F(1_080_000) - 300 * 10 * 9),
    # two channels 20 wide, 4 and 7 deep, that cross: 20 * 20 of the shallower one is counted once
    Case(
        "crossing channels",
        (BOARD,),
        (block(0, 80, 14, 300, 100, 18, 0), block(60, 0, 11, 80, 200, 18, 1)),
        F(1_080_000) - 300 * 20 * 4 - 200 * 20 * 7 + 20 * 20 * 4,
    ),
    # pocket 52 across, 10 deep: 26 * 26 * 10 = 6760
    Case("round pocket", (BOARD,), (round_cut(100, 100, 26, 8, 18),), F(1_080_000), F(-6760)),
    # hole 5 across through 18: 2.5 * 2.5 * 18 = 112.5
    Case("through hole", (BOARD,), (round_cut(40, 50, "2.5", 0, 18),), F(1_080_000), F("-112.5")),
    # five holes 8 across, 12 deep: 5 * 16 * 12 = 960
    Case(
        "row of holes",
        (BOARD,),
        tuple(round_cut(40 + 32 * i, 50, 4, 6, 18) for i in range(5)),
        F(1_080_000),
        F(-960),
    ),
    # toe notch 60 by 100 through the board
    Case("notch", (BOARD,), (block(0, 0, 0, 60, 100, 18),), F(1_080_000) - 60 * 100 * 18),
    # a tongue 8 long, 6 thick on each end, full width
    Case(
        "tongues",
        (BOARD, block(-8, 0, 6, 0, 200, 12), block(300, 0, 6, 308, 200, 12)),
        (),
        F(1_080_000) + 2 * 8 * 200 * 6,
    ),
    # L: 100 x 80 less 60 x 50, 20 thick
    Case(
        "L-shaped bracket",
        (Prism(1, F(0), F(20), loop((0, 0), (100, 0), (100, 30), (40, 30), (40, 80), (0, 80))),),
        (),
        F(100 * 80 - 60 * 50) * 20,
    ),
    # hole 10 across through the floor of a pocket 40 across, 8 deep: 20 * 20 * 8 + 5 * 5 * (18 - 8) = 3450
    Case(
        "pocket over a hole",
        (BOARD,),
        (round_cut(150, 100, 20, 10, 18), round_cut(150, 100, 5, 0, 18)),
        F(1_080_000),
        F(-3450),
    ),
    # half a circle of radius 15 at the front edge, through: 15 * 15 * 18 / 2 = 2025
    Case("finger notch", (BOARD,), (round_cut(150, 0, 15, 0, 18),), F(1_080_000), F(-2025)),
    # slot: straight 60, round ends of radius 10, 7 deep: 60 * 20 * 7, and one whole circle 10 * 10 * 7
    Case(
        "slot with round ends",
        (BOARD,),
        (Prism(2, F(11), F(18), loop((100, 90), (160, 90), (160, 110), (100, 110), bows=(0, 1, 0, 1))),),
        F(1_080_000) - 60 * 20 * 7,
        F(-700),
    ),
    # a stepped pocket 60 x 40, 5 deep, in it 30 x 40, 5 deeper; both touch
    Case(
        "stepped pocket",
        (BOARD,),
        (block(100, 60, 13, 160, 100, 18), block(115, 60, 8, 145, 100, 13)),
        F(1_080_000) - 60 * 40 * 5 - 30 * 40 * 5,
    ),
    # inches: 23 1/2 x 11 1/4 x 23/32, dado 23/32 x 1/4 across the 11 1/4
    Case(
        "inches",
        (Prism(2, F(0), F(23, 32) * INCH, Rect((F(0), F(0)), (F(47, 2) * INCH, F(45, 4) * INCH))),),
        (
            Prism(
                1,
                F(0),
                F(45, 4) * INCH,
                Rect((4 * INCH, F(15, 32) * INCH), (4 * INCH + F(23, 32) * INCH, F(23, 32) * INCH)),
            ),
        ),
        INCH**3 * (F(47, 2) * F(45, 4) * F(23, 32) - F(23, 32) * F(1, 4) * F(45, 4)),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_volume_is_the_sum_done_by_hand(case: Case) -> None:
    solid = Solid.from_prisms(case.adds, case.cuts)
    assert solid.volume == pytest.approx(case.volume, rel=1e-9)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_mesh_is_closed_and_has_the_same_volume_elsewhere(case: Case) -> None:
    solid = Solid.from_prisms(case.adds, case.cuts)
    mesh = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert float(mesh.volume) == pytest.approx(case.volume, rel=1e-9)


def _area(outline: Outline) -> shapely.Geometry:
    """The outline in shapely's own terms, circles with its own chords."""
    if isinstance(outline, Rect):
        return shapely.box(*map(float, (*outline.lo, *outline.hi)))
    if isinstance(outline, Disc):
        return shapely.Point(*map(float, outline.centre)).buffer(float(outline.radius), quad_segs=400)
    area = shapely.Polygon([(float(x), float(y)) for x, y in outline.points])
    for i, bow in enumerate(outline.bows):
        if bow == 1:  # a half circle on the outside of this side
            a, b = outline.points[i], outline.points[(i + 1) % len(outline.points)]
            middle = shapely.Point(float(a[0] + b[0]) / 2, float(a[1] + b[1]) / 2)
            area = area.union(middle.buffer(math.dist(a, b) / 2, quad_segs=400))
    return area


def _layers(case: Case) -> float:
    """Volume as a pile of flat layers, each the area of all adds less all cuts."""
    prisms = [*case.adds, *case.cuts]
    if all(p.axis == case.adds[0].axis for p in prisms):
        slabs = [(p.lo, p.hi, _area(p.outline)) for p in prisms]
    else:  # boxes lie in layers whichever axis they were written along
        assert all(isinstance(p.outline, Rect) for p in prisms)
        boxes = [body_box(p) for p in prisms]
        slabs = [(b.lo[2], b.hi[2], _area(Rect((b.lo[0], b.lo[1]), (b.hi[0], b.hi[1])))) for b in boxes]
    levels = sorted({level for lo, hi, _ in slabs for level in (lo, hi)})
    total = 0.0
    for low, high in itertools.pairwise(levels):
        here = [a if lo <= low and high <= hi else shapely.Polygon() for lo, hi, a in slabs]
        wood = shapely.union_all(here[: len(case.adds)]).difference(shapely.union_all(here[len(case.adds) :]))
        total += wood.area * float(high - low)
    return total


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_volume_is_that_of_a_pile_of_flat_areas(case: Case) -> None:
    solid = Solid.from_prisms(case.adds, case.cuts)
    assert solid.volume == pytest.approx(_layers(case), rel=1e-6)


@pytest.mark.parametrize("axis", (0, 1, 2))
def test_a_hole_along_any_axis_takes_a_true_cylinder(axis: int) -> None:
    a, b = other_axes(axis)
    size = [F(40), F(50), F(60)]
    blank = Prism(axis, F(0), size[axis], Rect((F(0), F(0)), (size[a], size[b])))
    hole = Prism(axis, F(0), size[axis], Disc((F(20), F(25)), F(6)))
    solid = Solid.from_prisms([blank], [hole])
    # 40 * 50 * 60 - 36 pi * length
    assert solid.volume == pytest.approx(120_000 - 36 * math.pi * float(size[axis]), rel=1e-9)
    assert solid.bounds == ((0, 0, 0), (40, 50, 60))
