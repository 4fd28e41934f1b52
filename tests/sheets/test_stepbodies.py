"""Parts in step pictures: with the work done so far and from where the step's own work lies."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.build.order import ways_out
from plandoc.build.solids import solids
from plandoc.drawing.display import Arc, Circle, Group, walk
from plandoc.geometry.view import ISO
from plandoc.model.entities import Model, Part, Step
from plandoc.pipeline import check
from plandoc.sheets.stepbodies import progress, telling_view
from plandoc.sheets.steppictures import _points, _spots, step_picture
from plandoc.sheets.stepways import ways_in
from plandoc.sheets.views import Placement
from plandoc.shopwork.procedure import procedure
from plandoc.shopwork.state import states
from plandoc.world import DiskWorld
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import attr, context, texts, trays


@pytest.mark.parametrize("model", [sample_case(), trays()], ids=["case", "trays"])
def test_wood_goes_step_by_step_and_all_work_is_done_at_the_end(model: Model) -> None:
    finished, steps = solids(model), procedure(model)
    done = progress(model, finished, steps)
    worked = 0
    for part in model.parts:
        volumes = [done.straight(step.number, part.path).volume for step in steps]
        assert volumes == sorted(volumes, reverse=True)
        assert volumes[-1] == pytest.approx(finished[part.path].volume)
        sizes = [part.box.size(axis) for axis in range(3)]
        assert volumes[0] <= float(sizes[0] * sizes[1] * sizes[2]) + 1e-6
        for step, before, after in zip(steps[1:], volumes, volumes[1:], strict=False):
            makes = any(f.cuts or f.adds for f in done.made_in(step.number, part.path))
            assert (after < before - 1e-6) == makes
            worked += makes
    assert worked


def test_a_step_shows_none_of_the_work_of_later_ones() -> None:
    model = sample_case()
    part = next(p for p in model.parts if len({f.kind for f in p.features if f.cuts}) > 1)
    kinds = list(dict.fromkeys(f.kind for f in part.features if f.cuts))
    steps = (Step(1, "Cut", cuts=(part.path,)), *(Step(n, k, makes=(f"{part.path}.{k}",)) for n, k in enumerate(kinds, 2)))
    done = progress(model, solids(model), steps)
    whole = done.straight(1, part.path).volume
    assert whole == pytest.approx(float(part.box.volume))
    assert [f.kind for f in done.made_in(2, part.path)] == [f.kind for f in part.features if f.kind == kinds[0]]
    assert done.straight(2, part.path).volume > done.straight(len(steps), part.path).volume


def _worked_from(part: Part, axis: int, side: int) -> Part:
    """The part with work on that side alone."""
    feature = next(f for f in part.features if f.face is not None and f.cuts)
    assert feature.face is not None
    moved = replace(feature, face=replace(feature.face, axis=axis, side=side), cuts=(), through=False)
    return replace(part, features=(moved,))


@pytest.mark.parametrize(("axis", "side"), [(a, s) for a in range(3) for s in (-1, 1)])
def test_the_worked_face_is_turned_to_the_viewer(axis: int, side: int) -> None:
    part = next(p for p in sample_case().parts if any(f.face is not None and f.cuts for f in p.features))
    turned = _worked_from(part, axis, side)
    view = telling_view(turned, turned.features)
    assert view.toward[axis] * side > 0
    crossed = (
        view.right[1] * view.up[2] - view.right[2] * view.up[1],
        view.right[2] * view.up[0] - view.right[0] * view.up[2],
        view.right[0] * view.up[1] - view.right[1] * view.up[0],
    )
    assert all(c * t > 0 for c, t in zip(crossed, view.toward, strict=True))  # not a mirror image


def test_a_screw_behind_a_part_has_a_dashed_ring() -> None:
    model = trays()
    bodies = tuple(solids(model).items())
    (lo, hi) = zip(*(solid.bounds for _, solid in bodies), strict=True)
    left, right = Fraction(min(p[0] for p in lo)), Fraction(max(p[0] for p in hi))
    side = next(s for _, s in bodies if s.bounds[1][0] == float(right))
    back, up = (Fraction(side.bounds[0][axis] + side.bounds[1][axis]) / 2 for axis in (1, 2))
    fitting = replace(model.fittings[0], points=((right, back, up), (left, back, up)))
    hung = replace(model, fittings=(fitting,))
    step = Step(1, "Hang", fits=(fitting.id,))
    paths = [path for path, _ in bodies]
    spots = _spots(hung, step, progress(hung, dict(bodies), (step,)), paths)
    drawn = _points(spots, Placement(ISO, 0.2, (0.0, 0.0)), bodies, paths)
    rings = [i for i in walk(tuple(drawn)) if isinstance(i, Circle)]
    dashes = [i for i in walk(tuple(drawn)) if isinstance(i, Arc)]
    assert len(rings) == 1 and len(dashes) == 6
    assert len({d.centre for d in dashes}) == 1 and dashes[0].centre != rings[0].centre


def example(name: str) -> Model:
    return check(f"{name}.plan", DiskWorld(Path(__file__).parents[2] / "examples" / name)).model


def test_parts_come_in_on_the_way_that_the_joints_of_the_step_leave_open() -> None:
    """The side frames of the table: legs meet aprons and rails along the frame, although in the whole table they come off
    sideways."""
    model = example("lookout-table")
    steps = procedure(model)
    step, state = next((s, t) for s, t in zip(steps, states(model, steps), strict=True) if s.title == "Two side frames")
    here = (*state.before, *state.new)
    legs = 0
    for paths, move in ways_in(model, steps, step, state):
        axis = max(range(3), key=lambda a: abs(move[a]))
        for path in paths:
            for joint in model.joints:
                if path == joint.a and joint.b in here and "leg" in joint.b:
                    assert any(w.axis == axis and w.side * move[axis] > 0 for w in ways_out(joint, model.part(joint.b).box))
                if path == joint.b and joint.a in here:
                    out = [w.opposite for w in ways_out(joint, model.part(path).box)]
                    assert any(w.axis == axis and w.side * move[axis] > 0 for w in out), (step.number, path, move)
                    legs += 1
    assert legs >= 4


def picture(model: Model, title: str, part: str = "") -> Group:
    ctx = context(model)
    states_ = states(model, ctx.steps)
    step, state = next(
        (s, t) for s, t in zip(ctx.steps, states_, strict=True) if s.title == title and (not part or part in (*t.before, *t.new))
    )
    drawn = step_picture(ctx, step, state, (0.0, 0.0, 90.0, 70.0), progress(model, ctx.solids, ctx.steps))
    assert drawn is not None
    return drawn


def test_work_behind_the_piece_is_shown_from_behind() -> None:
    """The back panel of the cabinet and its screws; the trays come in at the front."""
    model = example("eyepiece-cabinet")
    panel = picture(model, "Back panel")
    assert attr(panel, "proj").startswith("iso_rear") and any(t.startswith("SEEN FROM BEHIND") for t in texts((panel,)))
    screws = picture(model, "Drive the screws", "back_panel")
    assert attr(screws, "proj").startswith("iso_rear")
    assert sum(isinstance(i, Circle) for i in walk((screws,))) == 8
    trays_in = picture(model, "Trays")
    assert attr(trays_in, "proj") == "iso" and not texts((trays_in,))
