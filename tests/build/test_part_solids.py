"""Finished solids of parts."""

from __future__ import annotations

import itertools
from dataclasses import replace
from fractions import Fraction

import pytest

from plandoc.build.solids import blank_solid, part_solid, solids
from plandoc.geometry.bodies import FACES, Box, Disc, Prism, box_prism
from tests.support.sample_model import CUT, DADO, DEEP, HIGH, PIN, PIN_DEEP, TB, WIDE, T, inch, sample_case
from tests.support.small_models import box, cut, model, part, prism

F = Fraction


def test_volumes_of_the_cabinet_are_the_sums_done_by_hand() -> None:
    made = solids(sample_case())
    assert list(made) == [p.path for p in sample_case().parts]
    # shelf: clear width between the sides and two tongues, up to the back
    shelf = (WIDE - 2 * T + 2 * DADO) * (DEEP - TB) * T
    assert made["shelf"].volume == pytest.approx(float(shelf), rel=1e-9)
    # side: board less toe notch, two dadoes (the lower one begins behind nothing: the notch ends below it),
    # the rabbets of top and back, which share a corner, and four pin holes
    lap, toe = inch("3/8"), inch("5/2") * inch(4) * T
    dadoes = 2 * CUT * T * DEEP - 2 * (CUT * T * TB)  # their last TB lies in the rabbet of the back, if shallower
    rabbets = lap * T * DEEP + lap * TB * HIGH - lap * TB * T
    plain = T * DEEP * HIGH - toe - dadoes - rabbets
    pins = 4 * 3.141592653589793 * float(PIN / 2) ** 2 * float(PIN_DEEP)
    assert lap >= CUT
    assert made["left_side"].volume == pytest.approx(float(plain) - pins, rel=1e-9)
    assert made["right_side"].volume == pytest.approx(made["left_side"].volume, rel=1e-12)


def test_finished_box_is_the_box_of_the_solid() -> None:
    case = sample_case()
    for path, solid in solids(case).items():
        there = case.part(path).box
        assert solid.bounds == (tuple(map(float, there.lo)), tuple(map(float, there.hi)))


def test_equal_parts_share_one_mesh_and_others_do_not() -> None:
    made = solids(sample_case())
    assert made["bottom"].shape == made["shelf"].shape
    assert made["left_side"].shape != made["right_side"].shape


def test_loose_parts_have_solids_too() -> None:
    foot = replace(part("foot", box(0, 0, 0, 60, 40, 20)), loose=True, count=4)
    assert solids(model([foot]))["foot"].volume == pytest.approx(60 * 40 * 20)


def test_blank_keeps_its_tongues_and_no_cut() -> None:
    shelf = part("shelf", box(0, 0, 0, 100, 50, 10), cut("n", "notch", FACES["front"], prism(0, 0, 0, 20, 20, 10)))
    assert blank_solid(shelf).volume == pytest.approx(100 * 50 * 10)
    assert part_solid(shelf).volume == pytest.approx(100 * 50 * 10 - 20 * 20 * 10)


def test_faces_off_the_grid_still_touch() -> None:
    # thirds of an inch have no finite decimal form; ten boards stacked by them neither overlap nor part
    third = F(254, 30)
    boards = [
        part(f"b{i}", Box((F(0), F(0), third * i), (F(300), F(100), third * (i + 1))),
             cut(f"h{i}", "hole", FACES["top"], Prism(2, third * i, third * (i + 1), Disc((F(50), F(50)), F(9))), through=True))
        for i in range(10)
    ]  # fmt: skip
    made = list(solids(model(boards)).values())
    for low, high in itertools.pairwise(made):
        assert low.common(high).empty
        assert low.bounds[1][2] == high.bounds[0][2]


def test_prism_axis_does_not_matter_for_a_box() -> None:
    one = part("a", box(5, 5, 5, 105, 55, 25), cut("c", "dado", FACES["top"], prism(30, 5, 19, 48, 55, 25), depth=6))
    channel = box(30, 5, 19, 48, 55, 25)
    for axis in (0, 1, 2):
        other = part("a", box(5, 5, 5, 105, 55, 25), cut("c", "dado", FACES["top"], box_prism(channel, axis), depth=6))
        assert part_solid(other).volume == pytest.approx(part_solid(one).volume, rel=1e-12)
        assert len(part_solid(other).edges) == len(part_solid(one).edges) == 24
