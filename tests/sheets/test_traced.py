"""Pictures are traced once, and bodies out of sight change nothing."""

from __future__ import annotations

from plandoc.geometry.hidden import trace
from plandoc.geometry.view import FRONT, RIGHT, TOP
from plandoc.sheets.traced import in_sight, traced
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import context, trays


def test_the_same_bodies_are_traced_once() -> None:
    ctx = context(sample_case())
    bodies = [(p.path, ctx.solids[p.path]) for p in ctx.model.placed]
    assert traced(bodies, FRONT) is traced(list(bodies), FRONT)
    assert traced(bodies, FRONT) == trace(bodies, FRONT, hidden=False)
    assert traced(bodies[:2], FRONT) != traced(bodies, FRONT)


def test_bodies_out_of_sight_are_left_out_without_a_trace() -> None:
    fewer = 0
    for model in (sample_case(), trays()):
        ctx = context(model)
        bodies = [(p.path, ctx.solids[p.path]) for p in ctx.model.placed]
        for view in (FRONT, RIGHT, TOP):
            seen = in_sight(bodies, view)
            fewer += len(bodies) - len(seen)
            drawn = {s.points for s in trace(seen, view, hidden=False)}
            assert drawn == {s.points for s in trace(bodies, view, hidden=False)}
    assert fewer
