"""Extension lines begin a gap off the ink between the measured point and the dimension line."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.drawing.dimension import place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest
from plandoc.drawing.display import XY, Circle, Group, Item, Line
from plandoc.drawing.running import place_running
from plandoc.drawing.style import load_style
from plandoc.drawing.takeoff import Ink
from plandoc.quantity import Units, shop_number

STYLE = load_style("shop-metric")
VIEW = (0.0, 0.0, 60.0, 40.0)
SQUARE = ((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0))
UNITS = Units(system="mm")


def asked(low: float, high: float, level: float) -> DimensionRequest:
    size = Fraction(high - low)
    return DimensionRequest("x", (low, level), (high, level), size, shop_number(size, UNITS), prefer="below")


def starts(ink: list[Item], request: DimensionRequest) -> list[XY]:
    placed = place_dimensions(VIEW, (request,), STYLE, ink=Ink(ink))
    (group,) = placed.groups
    return sorted(i.points[0] for i in group.items if isinstance(i, Line) and i.role == "ext")


@pytest.mark.parametrize(
    ("name", "ink", "level", "begins"),
    [
        ("off the outline it measures", [Line("vis", SQUARE, True)], 40.0, 40.0),
        ("off an edge nearer than the gap beyond it", [Line("vis", ((0.0, 39.0), (60.0, 39.0))), Line("vis", ((0.0, 40.0), (60.0, 40.0)))], 39.0, 40.0),
        ("not along the edge that it measures", [Line("vis", ((10.0, 5.0), (10.0, 30.0))), Line("vis", ((50.0, 5.0), (50.0, 30.0)))], 5.0, 30.0),
        ("not along a further edge in line with it", [Line("vis", ((10.0, 5.0), (10.0, 9.0))), Line("vis", ((10.0, 20.0), (10.0, 30.0))), Line("vis", ((50.0, 5.0), (50.0, 30.0)))], 9.0, 30.0),
        ("across an edge well off it", [Line("vis", ((0.0, 10.0), (60.0, 10.0))), Line("vis", ((0.0, 30.0), (60.0, 30.0)))], 10.0, 10.0),
        ("where the corner of the box is cut away, off the nearest wood", [Line("vis", ((10.0, 5.0), (10.0, 28.0))), Line("vis", ((50.0, 5.0), (50.0, 28.0)))], 40.0, 28.0),
        ("off the rim of a bore", [Circle("vis", (10.0, 20.0), 3.0), Circle("vis", (50.0, 20.0), 3.0)], 23.0, 23.0),
        ("off an arc that it touches, where that has left it", [Line("vis", tuple((u + s * (t - 20.0) ** 2 / 400.0, t) for t in (20.0, 22.0, 24.0, 26.0, 28.0))) for u, s in ((10.0, 1), (50.0, -1))], 20.0, 24.0),
        ("of a point without a mark, off the point", [Line("vis", ((0.0, 2.0), (60.0, 2.0)))], 20.0, 20.0),
    ],
)  # fmt: skip
def test_an_extension_line_begins(name: str, ink: list[Item], level: float, begins: float) -> None:
    found = starts(ink, asked(10.0, 50.0, level))
    assert [x for x, _ in found] == [10.0, 50.0], name
    assert found[0][1] == pytest.approx(begins + STYLE.extension_gap, abs=0.02), name


def test_running_dimensions_keep_the_same_gap() -> None:
    ink = Ink([Line("vis", ((20.0, 5.0), (20.0, 28.0))), Line("vis", ((0.0, 29.0), (60.0, 29.0))), Line("vis", SQUARE, True)])
    placed = place_running(VIEW, (asked(0.0, 20.0, 28.0),), (0.0, 40.0), "below", STYLE, ink=ink)
    lines = [i for g in placed.groups if isinstance(g, Group) and dict(g.attrs)["kind"] == "run" for i in g.items if isinstance(i, Line)]
    assert [line.points[0] for line in lines] == [(20.0, pytest.approx(29.0 + STYLE.extension_gap))]


def test_a_gap_that_reaches_the_next_edge_is_kept_off_that_edge_too() -> None:
    """Three edges 1 mm apart: the line begins off the last of them."""
    ink: list[Item] = [Line("vis", ((0.0, y), (60.0, y))) for y in (37.0, 38.0, 39.0)]
    assert starts(ink, asked(10.0, 50.0, 37.0))[0][1] == pytest.approx(39.0 + STYLE.extension_gap)
