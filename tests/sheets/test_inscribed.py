"""Lettering is seen wherever the face that bears it is: on the cover, in elevations, exploded views and pictures of steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from plandoc.drawing.display import Item, Line
from plandoc.geometry.bodies import FACES, Box, box_prism
from plandoc.geometry.solid import Solid
from plandoc.geometry.view import FRONT, ISO, ISO_REAR, RIGHT
from plandoc.model.entities import Model, Part
from plandoc.pipeline import Checked, check
from plandoc.sheets import cover, elevations, exploded, procedure
from plandoc.sheets.views import Placement, inscribed
from plandoc.tables.strokes import stroke_text
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import attr, context, groups, lines

PLAN = """plan "Box"
  units mm
stock board sheet 1200 mm x 600 mm
  called 20 mm
  measured 20 mm
part face from board "Face"
  grain across
  across from 0 to 300 mm
  back from 0
  up from 0 to 150 mm
  letter "LEFT" high 40 mm deep 1 mm on front at centre
part low from board "Low"
  grain across
  across from 0 to 300 mm
  back from face.rear to 200 mm
  up from 0
joint rabbet low into face deep 6 mm
"""


def made() -> Checked:
    found = check("b.plan", MemoryWorld({"b.plan": PLAN}))
    assert found.good, found.diagnostics
    return found


def face_of(model: Model) -> Part:
    return model.part("face")


def letters(items: Sequence[Item]) -> list[Line]:
    return [line for line in lines(items, "dim") if len(line.points) > 1]


def test_letters_lie_on_their_face_and_read_to_the_right() -> None:
    found = made()
    part = face_of(found.model)
    bodies = [("face", found.solids["face"])]
    place = Placement(FRONT, 0.5, (0.0, 0.0))
    drawn = inscribed([part], bodies, place)
    wide, strokes = stroke_text("LEFT")
    assert len(drawn) == len(strokes)
    xs = [x for line in drawn for x, _ in line.points]
    ys = [y for line in drawn for _, y in line.points]
    # 40 high at half size is 20, about the middle of a face of 300 x 150: x 75, y 37.5 upwards
    assert max(ys) - min(ys) == pytest.approx(20.0) and (max(ys) + min(ys)) / 2 == pytest.approx(-37.5)
    assert (max(xs) + min(xs)) / 2 == pytest.approx(75.0, abs=0.1 * wide * 20)
    # the foot of the L, its first letter, lies at the left below
    assert min(drawn[0].points, key=lambda p: p[0])[0] == pytest.approx(min(xs), abs=0.01)


def test_what_is_not_seen_is_not_drawn() -> None:
    found = made()
    part, body = face_of(found.model), ("face", found.solids["face"])
    for view in (RIGHT, ISO_REAR):
        assert inscribed([part], [body], Placement(view, 0.5, (0.0, 0.0))) == ()
    assert inscribed([part], [body], Placement(ISO, 0.02, (0.0, 0.0))) == ()  # 40 high is 0.8 on paper
    before = Solid.from_prisms([box_prism(Box((Fraction(0), Fraction(-50), Fraction(0)), (Fraction(300), Fraction(-30), Fraction(150))))], [])
    assert inscribed([part], [body, ("door", before)], Placement(FRONT, 0.5, (0.0, 0.0))) == ()
    turned = replace(part, features=tuple(replace(f, face=FACES["rear"]) if f.text else f for f in part.features))
    assert inscribed([turned], [body], Placement(FRONT, 0.5, (0.0, 0.0))) == ()


def test_every_picture_shows_the_lettering() -> None:
    found = made()
    ctx = context(found.model)
    count = len(stroke_text("LEFT")[1])
    for kind in (cover, exploded):
        pictures = [g for d in kind.compose(ctx) for g in groups(d.items, "picture")]
        assert any(len(letters(g.items)) >= count for g in pictures), kind.__name__
    views = [g for d in elevations.compose(ctx) for g in groups(d.items, "view")]
    assert any(attr(g, "proj") == "front" and len(letters(g.items)) >= count for g in views)
    steps = [g for d in procedure.compose(ctx) for g in groups(d.items, "picture") if len(letters(g.items)) >= count]
    assert steps
