"""Joints that no section cuts are drawn larger in planes of their own, with the figures that a maker sets a fence by."""

from __future__ import annotations

from fractions import Fraction
from fractions import Fraction as F
from itertools import pairwise
from math import hypot

import pytest

from plandoc.drawing.display import Circle, Group
from plandoc.pipeline import Checked, check
from plandoc.sheets.section import compose
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts

HEAD = """plan "Corner"
  units mm to 0.5
stock board lumber 25 mm
  measured 20 mm
  material "oak"
"""
CORNER = """part front from board
  grain across
  across from 0 to 300 mm
  back from 0
  up from 0 to 120 mm
part side from board
  grain back
  across from 0
  back from 20 mm to 220 mm
  up from 0 to 120 mm
"""
FRAME = """part stile from board
  grain up
  across from 0 to 60 mm
  back from 0
  up from 0 to 400 mm
part rail from board
  grain across
  across from 60 mm to 300 mm
  back from 0
  up from 0 to 100 mm
"""
CROSS = """part low from board
  grain across
  across from 0 to 1200 mm
  back from 100 mm for 60 mm
  up from 0
part high from board
  grain back
  across from 200 mm for 60 mm
  back from 0 to 900 mm
  up from 0
"""


def checked(body: str) -> Checked:
    found = check("c.plan", MemoryWorld({"c.plan": HEAD + body}))
    assert found.good, found.diagnostics
    return found


def details(body: str) -> list[Group]:
    found = checked(body)
    ctx = context(found.model, found.solids)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)
    rings = [g for d in drafts for g in groups(d.items, "leader") if (g.id or "").startswith("ring-")]
    views = [g for d in drafts for g in groups(d.items, "view") if attr(g, "proj") == "detail"]
    assert sorted(attr(g, "note") for g in rings) == sorted(g.id.removeprefix("detail-") for g in views)
    return views


def figures(view: Group) -> set[Fraction]:
    return {Fraction(attr(g, "mm")) for g in groups(view.items, "dimension")}


@pytest.mark.parametrize(
    ("body", "mm", "words"),
    [
        # pins 12 wide through 20 mm: place and size of a socket, its length
        (CORNER + "joint box side into front pins 12 mm\n", {12, 20}, "from one to the next"),
        # 3 tails on 120: pitch 40, narrow pin a quarter of it; half pins of 5 at both edges, 30 wide tails
        (CORNER + "joint dovetail side into front tails 3 slope 8\n", {5, 20}, "3 tails, 40 from one to the next, slope 1:8, pins 10 mm, half pins 5 mm"),
        # a lap of halves: 10 deep, as wide as the other is
        (CROSS + "joint lap low onto high\n", {10}, "lap: "),
        (FRAME + "hardware pin dowel 8 mm x 40 mm\njoint dowel rail into stile with pin count 2\n", set(), "2 dowels, Ø8"),
        (CORNER + "joint mitre side into front spline 4 mm x 10 mm\n", set(), "4 mm wide, 5 mm deep, square to the mitre"),
        (CORNER, set(), ""),
    ],
    ids=["box", "dovetail", "lap", "dowel", "spline", "none"],
)
def test_a_joint_that_no_section_cuts_has_a_detail(body: str, mm: set[int], words: str) -> None:
    views = details(body)
    if not words:
        assert views == []
        return
    assert len(views) == 1
    (view,) = views
    paper, model = attr(view, "scale").split(":")
    assert Fraction(int(paper), int(model)) >= Fraction(1, 2)
    assert {Fraction(m) for m in mm} <= figures(view), figures(view)
    assert words in " ".join(texts(view.items)), texts(view.items)
    assert {attr(g, "part") for g in groups(view.items, "cut")} >= ({"front", "side"} if "front" in body else set())
    assert lines(view.items, "vis")


@pytest.mark.parametrize(
    ("more", "outer", "inner"),
    [
        # 20 thick, slope 1 in 8: tails stand 5 from the edge at their ends, half pins are 7.5 and pins 15 wide at the inner face
        ("", {F(5)}, {F(15, 2), F(15)}),
        # 15 long before a lap of 5: all is figured in the face that is worked, pins 10 + 2 x 15 / 8 there
        (" half_blind lap 5 mm", set(), {F(55, 8), F(55, 4)}),
    ],
)
def test_figures_of_dovetails_stand_on_the_side_where_they_are_true(more: str, outer: set[F], inner: set[F]) -> None:
    (view,) = details(CORNER + f"joint dovetail side into front tails 3 slope 8{more}\n")
    circle = next(i for i in view.items if isinstance(i, Circle))
    sides: dict[F, set[bool]] = {}
    for group in groups(view.items, "dimension"):
        if attr(group, "axis") == "z":
            away = [line.points[-1][0] - circle.centre[0] for line in lines(group.items, "ext")]
            sides.setdefault(F(attr(group, "mm")), set()).add(sum(away) > 0)
    assert outer | inner <= set(sides), sides
    of_inner = {side for mm in inner for side in sides[mm]}
    assert len(of_inner) == 1
    assert all(sides[mm] == {not side for side in of_inner} for mm in outer)


def test_extension_lines_of_details_do_not_lie_on_edges() -> None:
    """No extension line of a detail runs along a visible edge for more than 0.3 mm."""
    for view in details(CORNER + "joint box side into front pins 12 mm\n"):
        for ext in lines(view.items, "ext"):
            (x0, y0), (x1, y1) = ext.points
            along = 0 if abs(x1 - x0) > abs(y1 - y0) else 1
            for edge in lines(view.items, "vis"):
                for p, q in pairwise(edge.points):
                    if all(abs(v[1 - along] - (x0, y0)[1 - along]) < 0.01 for v in (p, q)):
                        shared = min(max(ext.points[0][along], ext.points[1][along]), max(p[along], q[along])) - max(min(ext.points[0][along], ext.points[1][along]), min(p[along], q[along]))
                        assert shared < 0.3


def test_places_of_bores_are_measured_to_their_axes() -> None:
    """Each dowel has one centre line through both parts, in the circle; its depth is named after its bore."""
    (view,) = details(FRAME + "hardware pin dowel 8 mm x 40 mm\njoint dowel rail into stile with pin count 2\n")
    circle = next(i for i in view.items if isinstance(i, Circle))
    axes = lines(view.items, "ctr")
    assert axes
    assert all(hypot(x - circle.centre[0], y - circle.centre[1]) <= circle.radius + 0.01 for line in axes for x, y in line.points)
    ends = {(attr(g, "from"), attr(g, "to")) for g in groups(view.items, "dimension")}
    assert any("dowel" in a and a == b and not a.startswith("dowel:") for a, b in ends), ends
