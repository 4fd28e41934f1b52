"""The order in which a glue-up closes its joints: every move must be possible."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from plandoc.build.order import ways_out
from plandoc.geometry.bodies import Face
from plandoc.model.entities import Joint, Model
from plandoc.pipeline import check
from plandoc.shopwork.closing import closing_moves
from plandoc.shopwork.draft import level_of
from plandoc.shopwork.jointwords import Level
from plandoc.shopwork.procedure import procedure
from plandoc.world import DiskWorld, MemoryWorld

ROOT = Path(__file__).parents[2]
PLANS = sorted(p for p in ROOT.glob("examples/*/*.plan") if p.stem == p.parent.name)
PLANS += sorted((ROOT / "tests" / "reference").rglob("*.plan"))

HEAD = """plan "Trial"
  units mm to 0.5
stock board lumber 20 mm
  measured 12 mm
stock thin sheet 1200 mm x 2400 mm
  called 6 mm
"""
BOX = """part left from board "Left"
  grain back
  across from 0
  back from 0 to 200 mm
  up from 0 to 100 mm
part right mirrors left about 150 mm "Right"
part front from board "Front"
  grain across
  across between left and right
  back from 0
  up from 0 to 100 mm
part rear from board "Rear"
  grain across
  across between left and right
  back to 200 mm
  up from 0 to 100 mm
part floor from thin "Floor"
  across between left and right
  back between front and rear
  up from 10 mm
joint dovetail front, rear into left, right
joint groove floor into left, right, front, rear deep 4 mm
"""
CRATE = """part left from board "Left"
  grain up
  across from 0
  back from 0 to 150 mm
  up from 0 to 400 mm
part right mirrors left about 200 mm "Right"
part low from board "Low"
  grain across
  across between left and right
  back from 0 to 150 mm
  up from 0
part high from board "High"
  grain across
  across between left and right
  back from 0 to 150 mm
  up from 388 mm
for i from 1 to 2
  part wall[i] from thin "Wall"
    grain up
    across from i * 130 mm
    back from 0 to 150 mm
    up between low and high
part level from thin "Level"
  grain across
  across between left and right
  back from 0 to 150 mm
  up from 200 mm
joint butt low, high into left, right
joint dado wall into low, high deep 4 mm
joint dado level into left, right deep 4 mm
joint lap level into wall[1], wall[2]
"""


def model_of(text: str) -> Model:
    checked = check("trial.plan", MemoryWorld({"trial.plan": HEAD + text}))
    assert checked.good, checked.diagnostics
    return checked.model


def glue_texts(model: Model) -> list[str]:
    (step,) = [step for step in procedure(model) if step.title.startswith("Glue up")]
    return list(step.texts)


def place(texts: Sequence[str], words: str) -> int:
    (found,) = [i for i, text in enumerate(texts) if words in text]
    return found


def test_ends_with_tails_close_a_box_last() -> None:
    """The floor goes between the pins' boards first: these could not come in across the tails once both ends hold it."""
    texts = glue_texts(model_of(BOX))
    floor = place(texts, "Floor (C) in each of Left (A) and Right (A)")
    assert floor < place(texts, "Lay Front") < place(texts, "Floor (C) in Front") < place(texts, "Close with Rear") < place(texts, "Floor (C) in Rear")


def test_a_grid_is_joined_before_the_case_closes() -> None:
    texts = glue_texts(model_of(CRATE))
    grid = place(texts, "(lap")
    assert "Level" in texts[grid] and "2 × Wall" in texts[grid]
    assert grid < place(texts, "Lay Low") < place(texts, "Close with High") < place(texts, "Lay Left") < place(texts, "Close with Right")


def test_a_wall_on_a_deck_stands_before_the_sides_close() -> None:
    plan = ROOT / "examples" / "shop-cart" / "shop-cart.plan"
    texts = glue_texts(check(plan.name, DiskWorld(plan.parent)).model)
    assert place(texts, "Middle wall (E) to Bottom deck (C)") < place(texts, "Lay Left side")
    assert place(texts, "Close with Right side") < place(texts, "to Top (D)") < place(texts, "Clamp from the middle out")


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.stem)
def test_each_move_leaves_a_way_in(plan: Path) -> None:
    """Replayed by itself: two pieces that a move brings together have one direction that all joints between them allow."""
    model = check(plan.name, DiskWorld(plan.parent)).model
    for path in ("", *(a.path for a in model.assemblies)):
        joints = [j for j in model.joints if j.glued and level_of(model, j.a, j.b) == path]
        if joints:
            level = Level(model, (path,))
            moves = closing_moves(level, joints)
            assert sorted(j.id for move in moves for j in move) == sorted(j.id for j in joints)
            _replay(model, level, moves)


def _replay(model: Model, level: Level, moves: Sequence[Sequence[Joint]]) -> None:
    piece: dict[str, str] = {}

    def of(path: str) -> str:
        unit = level.unit(path)
        return piece.get(unit, unit)

    for move in moves:
        ways: dict[tuple[str, str], frozenset[Face]] = {}
        for j in move:
            a, b = of(j.a), of(j.b)
            out = ways_out(j, model.part(j.b).box)
            if a > b:
                a, b, out = b, a, frozenset(face.opposite for face in out)
            ways[a, b] = ways.get((a, b), out) & out
        assert all(ways.values()), [pair for pair, left in ways.items() if not left]
        for j in move:
            old, new = of(j.b), of(j.a)
            piece.update({unit: new for unit, name in piece.items() if name == old})
            piece[level.unit(j.a)] = piece[level.unit(j.b)] = new
