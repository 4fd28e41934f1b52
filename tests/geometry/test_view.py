"""The frames of the views."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from plandoc.geometry.bodies import Box, Prism, box_prism
from plandoc.geometry.shadow import shadow
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import FACE_VIEWS, FRONT, ISO, ISO_LEFT, PICTURES, TOP, Projection


@pytest.mark.parametrize("view", FACE_VIEWS.values(), ids=lambda v: v.name)
def test_right_up_and_toward_are_a_right_handed_frame(view: Projection) -> None:
    assert np.allclose(np.cross(view.right, view.up), view.toward)


@pytest.mark.parametrize("view", PICTURES.values(), ids=lambda v: v.name)
def test_isometric_axes_are_true_at_thirty_degrees(view: Projection) -> None:
    axes = view.flat(np.eye(3))
    assert np.allclose(np.linalg.norm(axes, axis=1), 1)
    angles = sorted(round(math.degrees(math.atan2(y, x))) % 180 for x, y in axes.tolist())
    assert angles == [30, 90, 150]
    assert np.allclose(view.flat(np.array([view.toward])), 0)
    cross = np.cross(view.right, view.up)
    assert np.allclose(cross / np.linalg.norm(cross), view.toward)


def test_isometric_pictures_show_front_top_and_one_side() -> None:
    assert [s > 0 for s in ISO.toward] == [True, False, True]
    assert [s > 0 for s in ISO_LEFT.toward] == [False, False, True]


def test_points_of_the_six_views() -> None:
    point = (10.0, 20.0, 30.0)
    seen = {name: view.flat_point(point) for name, view in FACE_VIEWS.items()}
    assert seen == {
        "front": (10, 30),
        "rear": (-10, 30),
        "left": (-20, 30),
        "right": (20, 30),
        "top": (10, 20),
        "bottom": (10, -20),
    }
    assert FACE_VIEWS["front"].depth(np.array([point, (0.0, 5.0, 0.0)])).tolist() == [-20, -5]


def block(low: tuple[int, int, int], high: tuple[int, int, int]) -> Prism:
    return box_prism(Box((Fraction(low[0]), Fraction(low[1]), Fraction(low[2])), (Fraction(high[0]), Fraction(high[1]), Fraction(high[2]))))


def test_a_shadow_is_the_area_that_bodies_cover_together() -> None:
    board = Solid.from_prisms([block((0, 0, 0), (100, 40, 30))], [block((20, -1, 10), (50, 41, 20))])
    beside = Solid.from_prisms([block((90, 50, 0), (130, 60, 30))])
    # through the hole one sees from the front: 100 x 30 less 30 x 10, and 30 x 30 more that stands out beside
    assert shadow([board], FRONT).area == pytest.approx(3000 - 300)
    assert shadow([board, beside], FRONT).area == pytest.approx(3000 - 300 + 900)
    # seen from above both are whole, 10 mm apart
    assert shadow([board, beside], TOP).area == pytest.approx(4000 + 400)
    assert shadow([], TOP).is_empty
