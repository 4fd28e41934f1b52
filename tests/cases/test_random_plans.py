"""Random plans from the declared parameters of all kinds: what must hold of every plan that is sound."""

from __future__ import annotations

import random
import re
from fractions import Fraction
from functools import cache

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plandoc.build.solids import blank_solid, part_solid, solids
from plandoc.cutting.stock import Cut, Placed, Rest, walk
from plandoc.diagnostics import Severity
from plandoc.geometry.bodies import AXES, Chunk, Frustum
from plandoc.geometry.lean import STILL, Lean
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Joint, Model, Part
from plandoc.shopwork.layouts import layouts
from plandoc.vocabulary import all_kinds
from tests.support.random_plans import ARRANGEMENTS, Draw, RandomPlan, joined_plan, worked_plan
from tests.support.resolving import resolved

JOINTS, SHAPES = all_kinds().joints, all_kinds().shapes
# What has sizes of its own whatever the plan's: screws by number, biscuits, drills, sizes rounded to the shop's steps.
OWN_SIZES = {"biscuit", "dowel", "edge", "pocket", "screw", "tenon", "tongue", "rabbet-dado", "dovetail", "banded"}
# Where the wood of two parts may touch along curves, chords stand in each other by less than a shaving (mm3).
SHAVING = 0.5
MIRROR = Lean(((Fraction(-1), Fraction(0), Fraction(0)), *STILL.rows[1:]))
quick = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def chance(seed: int) -> Draw:
    return Draw(random.Random(seed).randint)


def model_of(text: str) -> Model | None:
    """The model of a sound plan; None for one with errors. A traceback fails the test."""
    outcome = resolved(text)
    return None if any(d.severity is Severity.ERROR for d in outcome.diagnostics) else outcome.model


def any_plan(seed: int, k: int = 1) -> RandomPlan:
    draw = chance(seed)
    if draw.likely(60):
        kind = JOINTS[draw.one(sorted(JOINTS))]
        return joined_plan(kind, draw.one(ARRANGEMENTS), draw, k)
    return worked_plan(SHAPES[draw.one(sorted(SHAPES))], draw, k)


@cache
def sound_joints(kind: str) -> tuple[int, ...]:
    """Seeds and arrangements (as one number) whose plans with that joint are sound."""
    found = []
    for number in range(len(ARRANGEMENTS) * 24):
        draw = chance(number)
        if model_of(joined_plan(JOINTS[kind], ARRANGEMENTS[number % len(ARRANGEMENTS)], draw).text) is not None:
            found.append(number)
    return tuple(found)


def joint_plan(kind: str, number: int, k: int = 1) -> RandomPlan:
    return joined_plan(JOINTS[kind], ARRANGEMENTS[number % len(ARRANGEMENTS)], chance(number), k)


@cache
def sound_work(kind: str) -> tuple[int, ...]:
    """Seeds whose plans with that work are sound."""
    return tuple(n for n in range(400) if model_of(worked_plan(SHAPES[kind], chance(n)).text) is not None)


@given(st.integers(0, 10**9))
@quick
def test_no_random_plan_is_answered_with_a_traceback(seed: int) -> None:
    plan = any_plan(seed)
    outcome = resolved(plan.text)
    assert all(d.message and d.span.file for d in outcome.diagnostics)
    # a sound plan has all its parts
    if not any(d.severity is Severity.ERROR for d in outcome.diagnostics):
        assert len(outcome.model.parts) == plan.body.count("part ")


@pytest.mark.parametrize("kind", sorted(JOINTS))
def test_joints_leave_no_wood_to_both_parts(kind: str) -> None:
    """Both parts stand in rooms of their own, whatever the words and the sizes."""
    numbers = sound_joints(kind)
    assert len(numbers) >= 3, f"only {len(numbers)} sound plans with {kind}"
    # `shared` leaves the groove to another joint, so a plan with that word alone has wood in both
    for number in [n for n in numbers if " shared" not in joint_plan(kind, n).body][:12]:
        plan = joint_plan(kind, number)
        model = model_of(plan.text)
        assert model is not None
        made = solids(model)
        shared = made["thing.a"].common_volume(made["thing.b"])
        assert shared < SHAVING, f"{shared:.2f} mm3 of wood in both parts\n{plan.text}"


@pytest.mark.parametrize("kind", sorted(JOINTS))
def test_wood_and_waste_make_the_blank(kind: str) -> None:
    for number in sound_joints(kind)[:12]:
        model = model_of(joint_plan(kind, number).text)
        assert model is not None
        for part in model.parts:
            balance(model, part.path)


def balance(model: Model, path: str) -> None:
    """The finished part and what its cuts take add up to the blank; the blank is the shoulder box with what was added."""
    part = model.part(path)
    blank, finished = blank_solid(part), part_solid(part)
    cuts = [c for f in part.features for c in f.cuts]
    waste = blank.common_volume(Solid.from_prisms(cuts)) if cuts else 0.0
    assert finished.volume + waste == pytest.approx(blank.volume, rel=1e-9, abs=1e-3)
    assert blank.volume <= float(part.box.volume) + 1e-3
    assert finished.volume > 0


STATED = re.compile(r" (fit|clearance) (\d+) mm")
CHANNELS = ("dado", "groove", "rabbet", "rabbet-dado", "slide", "tongue")


@pytest.mark.parametrize("kind", CHANNELS)
def test_the_halves_fit_with_exactly_the_stated_allowance(kind: str) -> None:
    """Measured in a section of the finished solids: the air in a channel of width w and depth d, into which a tongue goes
    that is narrower by the fit f and shorter by the clearance c, is w d - (w - f)(d - c)."""
    plans = [joint_plan(kind, n) for n in sound_joints(kind)]
    tried = 0
    for plan in plans:
        stated = {word: Fraction(figure) for word, figure in STATED.findall(plan.body)}
        # holes of fasteners are air too, and `shared` leaves the channel to another joint
        if not stated or " with " in plan.body or " shared" in plan.body:
            continue
        model = model_of(plan.text)
        assert model is not None
        (joint,) = model.joints
        run, own = joint.channel.span(joint.run_axis), model.part(joint.a).shoulder.span(joint.run_axis)
        lo, hi = max(run[0], own[0]), min(run[1], own[1])
        if joint.entry.axis == joint.run_axis or lo >= hi:
            continue
        clearance = stated.get("clearance", Fraction(0))
        fit = clearance if kind == "slide" else stated.get("fit", Fraction(0))  # what slides has its play both ways
        made = solids(model)
        air = section_air(joint, made[joint.a], made[joint.b], float(lo + (hi - lo) * Fraction(13, 31)))
        assert air == pytest.approx(float(joint.width * joint.cut_depth - (joint.width - fit) * (joint.cut_depth - clearance)), abs=1e-3), plan.text
        tried += 1
    assert tried >= 3, f"only {tried} plans with {kind} and an allowance"


def section_air(joint: Joint, a: Solid, b: Solid, at: float) -> float:
    """What neither part fills of a section through the joint's channel (mm2)."""
    first, second = (axis for axis in AXES if axis != joint.run_axis)
    air: shapely.Geometry = shapely.box(*(float(v) for v in (joint.channel.lo[first], joint.channel.lo[second], joint.channel.hi[first], joint.channel.hi[second])))
    for solid in (a, b):
        for region in solid.section(joint.run_axis, at):
            air = air.difference(shapely.Polygon(region.outer, region.holes))
    return float(air.area)


@pytest.mark.parametrize("kind", sorted(JOINTS))
def test_wood_and_waste_make_the_stock(kind: str) -> None:
    """What the layouts take off the boards, saw cuts and rests included, is the boards; the parts and what is cut off them
    is what the layouts take."""
    laid = 0
    for number in sound_joints(kind)[:4]:
        model = model_of(joint_plan(kind, number).text)
        assert model is not None
        for found in layouts(model):
            if found.sheets is None or found.sheets.unplaced:
                continue
            laid += 1
            thick = found.stock.measured
            own = [part for part in model.parts if part.stock.name == found.stock.name]
            stock = sum((s.sheet.length * s.sheet.width * thick for s in found.sheets.sheets), Fraction(0))
            nodes = [n for s in found.sheets.sheets for n in walk(s.tree)]
            taken = sum((n.length * n.width * thick for n in nodes if isinstance(n, Placed)), Fraction(0))
            rest = sum((n.length * n.width * thick for n in nodes if isinstance(n, Rest)), Fraction(0))
            kerfs = sum((sawdust(n, found.saw.kerf) * thick for n in nodes if isinstance(n, Cut)), Fraction(0))
            trims = sum(((s.sheet.length * s.sheet.width - s.tree.length * s.tree.width) * thick for s in found.sheets.sheets), Fraction(0))
            assert taken + rest + kerfs + trims == stock
            assert taken == sum((part.rough_length * part.rough_width * thick for part in own), Fraction(0))
            parts = sum(part_solid(part).volume + chips(part) for part in own)
            assert parts + float(rest + kerfs + trims) == pytest.approx(float(stock), rel=1e-9)
    assert laid >= 2


def chips(part: Part) -> float:
    """What is cut off the rough blank until the part is finished (mm3); what joints take is measured."""
    blank = blank_solid(part)
    cuts = [c for f in part.features for c in f.cuts]
    taken = blank.common_volume(Solid.from_prisms(cuts)) if cuts else 0.0
    return float(part.rough_length * part.rough_width * part.thickness) - blank.volume + taken


def sawdust(cut: Cut, kerf: Fraction) -> Fraction:
    """The area that one cut takes: a whole kerf, or what is left of the piece beside it."""
    whole, run = (cut.length, cut.width) if cut.across else (cut.width, cut.length)
    return min(kerf, whole - cut.at) * run


@pytest.mark.parametrize("kind", sorted(SHAPES))
def test_work_takes_what_it_says(kind: str) -> None:
    numbers = sound_work(kind)
    assert len(numbers) >= 3, f"only {len(numbers)} sound plans with {kind}"
    for number in numbers[:12]:
        model = model_of(worked_plan(SHAPES[kind], chance(number)).text)
        assert model is not None
        balance(model, "thing.a")


def mirrored_alike(plan: RandomPlan) -> None:
    straight, mirrored = model_of(plan.text), model_of(plan.mirrored)
    assert straight is not None and mirrored is not None, plan.mirrored
    first, second = solids(straight), solids(mirrored)
    for path in first:
        a, b = first[path], second[path]
        assert b.volume == pytest.approx(a.volume, rel=1e-9, abs=1e-3), plan.mirrored
        (lo, hi), (other_lo, other_hi) = a.bounds, b.bounds
        assert other_lo == pytest.approx((-hi[0], *lo[1:]), abs=1e-6) and other_hi == pytest.approx((-lo[0], *hi[1:]), abs=1e-6), plan.mirrored
        # the image of the first is the second: nothing of either is outside of the other
        image = a.leaned(MIRROR)
        assert image.common_volume(b) == pytest.approx(a.volume, rel=1e-6, abs=SHAVING), plan.mirrored


@pytest.mark.parametrize("kind", sorted(JOINTS))
def test_the_mirrored_joint_is_the_mirror_image(kind: str) -> None:
    for number in sound_joints(kind)[:8]:
        mirrored_alike(joint_plan(kind, number))


@pytest.mark.parametrize("kind", sorted(SHAPES))
def test_the_mirrored_work_is_the_mirror_image(kind: str) -> None:
    for number in sound_work(kind)[:8]:
        mirrored_alike(worked_plan(SHAPES[kind], chance(number)))


@pytest.mark.parametrize("kind", sorted(set(JOINTS) - OWN_SIZES))
@pytest.mark.parametrize("k", [2, 5])
def test_a_larger_plan_has_larger_wood(kind: str, k: int) -> None:
    """k times the lengths, k^3 times the wood; not where fasteners of fixed size go in."""
    plans = [(joint_plan(kind, n), joint_plan(kind, n, k)) for n in sound_joints(kind)]
    plans = [(small, large) for small, large in plans if " with " not in small.body][:8]
    assert plans
    for small, large in plans:
        scaled(small, large, k)


@pytest.mark.parametrize("kind", sorted(set(SHAPES) - OWN_SIZES))
def test_larger_work_takes_more(kind: str) -> None:
    plans = [(worked_plan(SHAPES[kind], chance(n)), worked_plan(SHAPES[kind], chance(n), 3)) for n in sound_work(kind)[:8]]
    for small, large in plans:
        scaled(small, large, 3)


def scaled(small: RandomPlan, large: RandomPlan, k: int) -> None:
    first, second = model_of(small.text), model_of(large.text)
    assert first is not None and second is not None, large.text
    a, b = solids(first), solids(second)
    # arcs become chords of a fixed fineness, so round work is a little coarser when it is small
    exact = not any(isinstance(c, Frustum) or (not isinstance(c, Chunk) and type(c.outline).__name__ != "Rect") for p in first.parts for f in p.features for c in f.cuts)
    for path in a:
        assert b[path].volume == pytest.approx(a[path].volume * k**3, rel=1e-9 if exact else 1e-3), large.text
        assert second.part(path).length == first.part(path).length * Fraction(k)
