"""Where a part stands on another to which no channel guides it: printed once, and right."""

from __future__ import annotations

import re
from fractions import Fraction
from math import cos, radians, tan
from pathlib import Path

import pytest

from plandoc.model.entities import Model, Part, Step
from plandoc.pipeline import check
from plandoc.shopwork.procedure import procedure
from plandoc.world import DiskWorld

ROOT = Path(__file__).parents[2]
PLANS = sorted(p for p in ROOT.glob("examples/*/*.plan") if p.stem == p.parent.name)
PLANS += sorted((ROOT / "tests" / "reference").rglob("*.plan"))


def read(name: str) -> tuple[Model, tuple[Step, ...]]:
    model = check(f"{name}.plan", DiskWorld(ROOT / "examples" / name)).model
    return model, procedure(model)


def lines(steps: tuple[Step, ...]) -> list[str]:
    return [text for step in steps for text in step.texts]


def test_a_pocket_screwed_rail_is_measured_from_the_end_of_its_stile() -> None:
    """The stile runs from 0 to 614; the rail between the openings lies 188 from its lower end."""
    _, steps = read("reading-corner")
    assert "Frame rail between openings (S) on Left frame stile (R) and Right frame stile (R): 188 mm from the bottom end." in lines(steps)


def test_a_stretcher_between_leaning_legs_is_measured_along_the_leg() -> None:
    """Its lower edge is 90 mm above the floor: 90 / cos 8° along the inner face of a leg 22 mm thick, of which the long
    point at the outer face stands out 22 tan 8° further."""
    along = 90 / cos(radians(8)) + 22 * tan(radians(8))
    _, steps = read("reading-stool")
    (line,) = [text for text in lines(steps) if text.startswith("Stretcher (C) on Left leg (B)")]
    found = re.search(r"≈([\d.]+) mm from the bottom end", line)
    assert found and abs(float(found[1]) - along) <= 0.25


def test_a_rail_that_crosses_a_leaning_post_is_marked_at_both_edges_of_the_post() -> None:
    model, steps = read("orchard-bench")
    (line,) = [text for text in lines(steps) if " on Back post (G)" in text]
    found = re.search(r"its top edge crosses the front edge ≈?([\d.]+) mm from the bottom end; the rear edge ≈?([\d.]+) mm from the bottom end", line)
    post, rail = model.part("back_rest.left_post"), model.part("frame[1].seat_rail")
    assert found and post.lean is not None
    for at, y in ((float(found[1]), post.box.lo[1]), (float(found[2]), post.box.hi[1])):
        x, z = post.box.lo[0], post.box.lo[2] + Fraction(at)
        assert abs(post.lean.point((x, y, z))[2] - rail.box.hi[2]) <= Fraction(3, 10)


def test_a_rail_with_tenons_is_placed_by_its_shoulder() -> None:
    """The leg stands 1 1/2 in. from the front edge of the top and is 3 in. wide; the tenon 1 3/4 in. long lies inside it."""
    _, steps = read("carving-bench")
    (line,) = [text for text in lines(steps) if text.startswith("High rail (C) of Left trestle on Top (A)")]
    assert 'its shoulder 4 1/2" from the front edge' in line


def test_an_authors_step_says_it_too() -> None:
    """The cleat, 300 long and 60 high, lies on a rail 780 long and 50 high, 5 below its top and 240 from its ends."""
    _, steps = read("tide-board")
    step = next(step for step in steps if step.title == "Hang it")
    assert "Board cleat (M) on Top rail (B): 5 mm from the top edge; 240 mm from the left end." in step.texts


SIDES = {"left": (0, -1), "right": (0, 1), "front": (1, -1), "rear": (1, 1), "bottom": (2, -1), "top": (2, 1)}


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.stem)
def test_printed_places_are_those_of_the_boxes(plan: Path) -> None:
    """Read back from the printed line: two parts of these names stand so in the model. Parts that lean apart are above."""
    model = check(plan.name, DiskWorld(plan.parent)).model
    seen = 0
    for line in lines(procedure(model)):
        if not re.match(r".+\([A-Z]+\)( of .+?)? on .+\([A-Z]+\).*: ", line):
            continue
        who, _, words = line.removesuffix(".").rpartition(": ")
        for pair in who.split("; "):
            first, onto = re.match(r"(.+?\([A-Z]+\)(?: of .+?)?) on (.+)", pair).groups()  # type: ignore[union-attr]
            a = [part for part in model.parts if first.partition(" of ")[0] == f"{part.name} ({part.mark})"]
            for name in {f"{part.name} ({part.mark})" for part in model.parts if f"{part.name} ({part.mark})" in onto}:
                b = [part for part in model.parts if name == f"{part.name} ({part.mark})"]
                straight = [(one, two) for one in a for two in b if one.lean == two.lean]
                assert a and b
                assert not straight or all(any(_holds(one, two, piece) for one, two in straight) for piece in words.split("; ")), line
                seen += 1
    assert seen or plan.stem not in ("reading-corner", "tide-board", "orchard-bench")


def _mm(text: str) -> float:
    value = sum(float(Fraction(piece)) for piece in re.findall(r"\d+(?:\.\d+|/\d+)?", text))
    return value * 25.4 if '"' in text else value


def _holds(a: Part, b: Part, piece: str) -> bool:
    """Whether A stands so on B; of several lengths, which are those of as many parts, whether one is."""
    axis, side = SIDES[re.search(r"(?:from|beyond|with) the (\w+)", piece)[1]]  # type: ignore[index]
    mine, theirs = (float((box.lo if side < 0 else box.hi)[axis]) for box in (a.shoulder if "its shoulder" in piece else a.box, b.box))
    if piece.startswith("flush"):
        return abs(mine - theirs) < 1e-3
    sizes = re.findall(r"[\d /]*\d(?:\.\d+)?(?:\"| mm)", piece)
    off = (theirs - mine if piece.startswith("the ") else mine - theirs) * -side * (-1 if " beyond " in piece else 1)
    return any(abs(off - _mm(size)) <= 0.45 for size in sizes)
