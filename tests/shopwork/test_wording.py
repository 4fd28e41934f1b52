"""Places and settings in words, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from plandoc.geometry.bodies import UP, Box, Face, box_prism
from plandoc.model.entities import Feature, Model, Part, PlanInfo, Stock
from plandoc.quantity import Units
from plandoc.shopwork.measures import channel, square_root
from plandoc.shopwork.names import exact_size, repeated
from plandoc.shopwork.wording import Work, work_words

F = Fraction
TOP = Face(UP, 1)
STOCK = Stock("ply", "sheet", F(18), F(18))


def board(*features: Feature, datum: tuple[int, int, int] = (-1, -1, -1)) -> Part:
    box = Box((F(0), F(0), F(0)), (F(600), F(300), F(18)))
    return Part("board", "board", STOCK, box, box, 0, 1, 2, features, datum, mark="A")


def words(part: Part, kind: str) -> tuple[str, str]:
    model = Model(PlanInfo("t", units=Units("mm", F(1, 2))), (STOCK,), (part,))
    return work_words(kind, Work(model, part, part.features))


def cut(kind: str, x: tuple[int, int], y: tuple[int, int], z: tuple[int, int], face: Face = TOP) -> Feature:
    body = Box((F(x[0]), F(y[0]), F(z[0])), (F(x[1]), F(y[1]), F(z[1])))
    return Feature(kind, kind, face, (box_prism(body),))


def test_dado_from_either_reference_end() -> None:
    dado = cut("dado", (200, 212), (0, 300), (12, 18))
    assert words(board(dado), "dado") == (
        "cutter 12 mm wide, set 6 mm high",
        "near edge 200 mm from the left end",
    )
    other = board(dado, datum=(1, -1, -1))
    assert words(other, "dado")[1] == "near edge 388 mm from the right end"


def test_stopped_groove_says_where_it_stops() -> None:
    groove = cut("groove", (40, 600), (30, 36), (10, 18))
    setup, place = words(board(groove), "groove")
    assert setup == "straight cutter 6 mm wide, 8 mm deep"
    assert place == "near edge 30 mm from the front edge, stopped 40 mm from the left end"


def test_cut_beyond_the_part_counts_only_in_the_wood() -> None:
    rabbet = cut("rabbet", (-5, 605), (290, 310), (9, 25))
    found = channel(board(rabbet), rabbet)
    assert found is not None
    assert (found.width, found.depth, found.flush) == (10, 9, Face(1, 1))
    assert words(board(rabbet), "rabbet")[1] == "along the rear edge"


def test_pocket_states_size_depth_and_near_edges() -> None:
    pocket = cut("pocket", (100, 180), (50, 90), (13, 18))
    setup, place = words(board(pocket), "rectangular_pocket")
    assert setup == "80 mm × 40 mm, 5 mm deep"
    assert place == "near edge 100 mm from the left end and near edge 50 mm from the front edge"


def test_corner_notch_names_its_corner() -> None:
    setup, place = words(board(cut("notch", (0, 60), (0, 25), (0, 18), Face(1, -1))), "notch")
    assert setup == "60 mm across × 25 mm front to back"
    assert place == "at the left end and at the front edge"


def test_uneven_row_lists_every_centre() -> None:
    holes = tuple(
        Feature(
            f"h{x}", "hole", Face(UP, 1), diameter=F(5), depth=F(10), row="r", centre=(F(x), F(37), F(18))
        )
        for x in (50, 82, 130)
    )
    setup, place = words(board(*holes), "hole_row")
    assert setup == "5 mm bit, 10 mm deep"
    assert place == "3 off, centres 37 mm from the front edge, and 50 mm, 82 mm and 130 mm from the left end"


@pytest.mark.parametrize(
    ("count", "said"),
    [(4, "45 mm, ≈66.5 mm, 87.5 mm and ≈109 mm"), (13, "evenly from 45 mm to 300 mm")],
)
def test_a_spacing_that_is_no_size_gives_places_from_the_edge(count: int, said: str) -> None:
    every = F(255, 12)
    holes = tuple(
        Feature(f"h{i}", "hole", TOP, diameter=F(5), depth=F(10), row="r", centre=(45 + every * i, F(37), F(18)))
        for i in range(count)
    )
    place = words(board(*holes), "hole_row")[1]
    assert place == f"{count} off, centres 37 mm from the front edge, and {said} from the left end"


def test_shaped_tenon_states_thickness_width_and_length() -> None:
    part = board()
    body = Box((F(600), F(40), F(6)), (F(630), F(260), F(12)))
    tenon = Feature("t", "tenon", None, adds=(box_prism(body),))
    longer = Box(part.box.lo, (F(630), F(300), F(18)))
    part = replace(part, box=longer, features=(tenon,))
    assert words(part, "tenon") == ("6 mm thick, 220 mm wide, 30 mm long", "on the right end")


@pytest.mark.parametrize(("square", "root"), [(F(9), F(3)), (F(25, 4), F(5, 2)), (F(0), F(0))])
def test_roots_of_squares_are_exact(square: Fraction, root: Fraction) -> None:
    assert square_root(square) == root


def test_other_roots_are_close() -> None:
    assert abs(square_root(F(2)) ** 2 - 2) < F(1, 10**5)


def test_row_that_turns_lists_centres_in_full() -> None:
    spots = ((50, 40), (90, 40), (50, 80))
    holes = tuple(
        Feature(f"p{x}-{y}", "pocket", TOP, diameter=F(30), depth=F(6), row="r", centre=(F(x), F(y), F(18)))
        for x, y in spots
    )
    setup, place = words(board(*holes), "round_pocket")
    assert setup == "30 mm bit, 6 mm deep"
    assert place == (
        "3 off, centres from the front edge and the left end: "
        "40 mm and 50 mm; 40 mm and 90 mm; 80 mm and 50 mm"
    )


def test_a_metric_bore_stays_metric_on_an_inch_plan() -> None:
    assert exact_size(F(5), Units()) == "5 mm"
    assert exact_size(F(254, 40), Units()) == '1/4"'
    assert exact_size(F(254, 640), Units()) == '1/64"'
    assert exact_size(F(1, 7), Units()).startswith("≈")


def test_lines_that_repeat_are_counted() -> None:
    assert repeated(["a.", "b.", "a."]) == ("a; 2 times.", "b.")
