"""The printed procedure, replayed by a maker who only knows the published model: nothing is used before it exists, and all
is done once. Names are resolved and work is counted here, not by the code that made the steps."""

from __future__ import annotations

import json
import random
import re
from collections import Counter
from collections.abc import Container, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest

from plandoc.diagnostics import Severity
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.publish.modeljson import model_json
from plandoc.shopwork.procedure import procedure
from plandoc.vocabulary import all_kinds
from plandoc.world import DiskWorld
from tests.support.random_plans import ARRANGEMENTS, Draw, joined_plan, worked_plan
from tests.support.resolving import resolved

ROOT = Path(__file__).parents[2]
PLANS = sorted(p for p in ROOT.glob("examples/*/*.plan") if p.stem == p.parent.name)
PLANS += sorted((ROOT / "tests" / "reference").rglob("*.plan"))
JOINTS, SHAPES = all_kinds().joints, all_kinds().shapes
LAID = ("biscuit", "spline")  # go in while the glue is spread, unless they are hidden and set before
ENOUGH = 4  # sound plans of each kind

Row = dict[str, Any]


@dataclass
class Bench:
    """What there is. made: feature ids by part; present: parts that a step has put together with others."""

    data: Row
    cut: Counter[str] = field(default_factory=Counter)
    made: Counter[tuple[str, str]] = field(default_factory=Counter)
    present: dict[str, None] = field(default_factory=dict)
    closed: dict[str, int] = field(default_factory=dict)
    driven: Counter[str] = field(default_factory=Counter)
    fitted: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self.parts: dict[str, Row] = {p["path"]: p for p in self.data["parts"]}
        self.joints: dict[str, Row] = {j["id"]: j for j in self.data["joints"]}

    def named(self, name: str) -> list[str]:
        """The parts that a word of a step stands for."""
        if name in self.parts:
            return [name]
        if name in self.joints:
            return [self.joints[name]["a"], self.joints[name]["b"]]
        inside = [path for path in self.parts if path.startswith((f"{name}.", f"{name}["))]
        return inside or [path for path, p in self.parts.items() if p["mark"] == name]

    def bored_later(self, feature: Row) -> bool:
        """A hole for what is driven when its joint is closed."""
        joint = self.joints.get(feature["joint"])
        return "hole" in feature["kind"] and joint is not None and any(not f["blind"] for f in joint["fasteners"])

    def work(self, path: str) -> Iterator[Row]:
        """What must be cut on a part before it is put to others."""
        for feature in self.parts[path]["features"]:
            if (feature["cuts"] or feature["text"]) and feature["kind"] != "rod" and not self.bored_later(feature):
                yield feature

    def ready(self, path: str, step: Row) -> None:
        assert self.cut[path], f"step {step['number']} uses {path}, which is not cut"
        for feature in self.work(path):
            assert self.made[path, feature["id"]], f"step {step['number']} uses {path} without {feature['id']}"

    def do(self, step: Row) -> None:
        for path in dict.fromkeys(p for name in step["cuts"] for p in self.named(name)):
            self.cut[path] += 1
        self.make(step)
        hidden = [self.joints[name.split(":", 1)[1].rpartition(":")[0]] for name in step["makes"] if name.startswith("fasten:")]
        joined = dict.fromkeys(p for name in step["joins"] for p in self.named(name))
        for path in joined:
            self.ready(path, step)
        for ident in [ident for ident, number in self.closed.items() if number == step["number"]]:
            self.ready(self.joints[ident]["b"], step)
        self.present.update(joined)
        for ident, joint in self.joints.items():
            if ident not in self.closed and self.closes(step, joint, joined):
                self.closed[ident] = step["number"]
                if not step["author"]:
                    said = " ".join(step["texts"])
                    assert joint["kind"] in said or "Slide" in said, f"step {step['number']} closes {ident} without a word"
        for name in (n for n in step["makes"] if n.startswith("fasten:")):
            ident, _, number = name.split(":", 1)[1].rpartition(":")
            fastening = self.joints[ident]["fasteners"][int(number) - 1]
            assert (ident in self.closed) != (fastening["blind"] and self.closed.get(ident) != step["number"]), name
            self.driven[name] += 1
        for joint in hidden:
            for path in (joint["a"], joint["b"]):
                self.ready(path, step)
        self.fit(step)

    def closes(self, step: Row, joint: Row, joined: Container[str]) -> bool:
        """A derived step names both parts, an author's may name the one that comes to what stands; what slides comes itself."""
        a, b = joint["a"] in joined, joint["b"] in joined
        if not step["author"] or (a and b):
            return a and b
        if (a and joint["b"] in self.present) or (b and joint["a"] in self.present and joint["glued"]):
            return True
        only = [j["id"] for j in self.joints.values() if joint["a"] in (j["a"], j["b"])] == [joint["id"]]
        after = [p for s in self.data["steps"] if s["author"] and s["number"] > step["number"] for name in s["joins"] for p in self.named(name)]
        return a and only and joint["b"] not in after

    def make(self, step: Row) -> None:
        names = dict.fromkeys(step["makes"])
        for path, part in self.parts.items():
            for feature in part["features"]:
                own = (path, feature["id"], feature["kind"], f"{path}.{feature['kind']}", feature["joint"], feature["row"])
                inside = any(path.startswith((f"{name}.", f"{name}[")) or part["mark"] == name for name in names)
                if (inside or any(name and name in names for name in own)) and not self.bored_later(feature):
                    assert self.cut[path], f"step {step['number']} works on {path}, which is not cut"
                    assert path not in self.present or step["author"], f"step {step['number']} works on {path}, which is joined"
                    self.made[path, feature["id"]] += 1

    def fit(self, step: Row) -> None:
        for fitting in self.data["fittings"]:
            if any(name in (fitting["id"], fitting["item"], f"fit:{fitting['id']}") or fitting["id"].startswith(f"{name}[") for name in step["fits"]):
                self.fitted[fitting["id"]] += 1
                for path in fitting["parts"]:
                    self.ready(path, step)


def replay(model: Model) -> Bench:
    data: Row = json.loads(model_json(replace(model, steps=procedure(model))))
    for row, joint in zip(data["joints"], model.joints, strict=True):  # whether it lies hidden is not published
        for out, fastening in zip(row["fasteners"], joint.fasteners, strict=True):
            out["blind"] = fastening.blind
    bench = Bench(data)
    assert [step["number"] for step in data["steps"]] == list(range(1, len(data["steps"]) + 1))
    for step in data["steps"]:
        bench.do(step)
    assert {path: bench.cut[path] for path in bench.parts} == dict.fromkeys(bench.parts, 1)
    for path in bench.parts:
        for feature in bench.work(path):
            assert bench.made[path, feature["id"]] == 1, (path, feature["id"])
    assert max(bench.made.values(), default=1) == 1
    assert (list(bench.closed) and set(bench.closed) == set(bench.joints)) or not bench.joints
    assert max(bench.driven.values(), default=1) == 1
    spread = [item["name"] for item in data["hardware"] if item["kind"] == "glue"]
    assert {f["id"]: bench.fitted[f["id"]] for f in data["fittings"] if f["item"] not in spread} == {f["id"]: 1 for f in data["fittings"] if f["item"] not in spread}
    counted(data)
    return bench


def counted(data: Row) -> None:
    """As many screws, pins and keys are printed as the model has."""
    wanted = sum(len(f["centres"]) for j in data["joints"] for f in j["fasteners"] if f["blind"] or f["kind"] not in LAID)
    heads = [re.match(r"(\d+) × ", text) for step in data["steps"] for text in step["texts"]]
    assert sum(int(head[1]) for head in heads if head) == wanted


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.stem)
def test_a_procedure_can_be_carried_out(plan: Path) -> None:
    replay(check(plan.name, DiskWorld(plan.parent)).model)


def sound(texts: Iterator[str]) -> Iterator[Model]:
    found = 0
    for text in texts:
        outcome = resolved(text)
        if not any(d.severity is Severity.ERROR for d in outcome.diagnostics):
            yield outcome.model
            found += 1
            if found == ENOUGH:
                return


@pytest.mark.parametrize("kind", sorted(JOINTS))
def test_random_joints_can_be_carried_out(kind: str) -> None:
    plans = (joined_plan(JOINTS[kind], ARRANGEMENTS[n % len(ARRANGEMENTS)], Draw(random.Random(n).randint)).text for n in range(200))
    models = list(sound(plans))
    assert models
    for model in models:
        replay(model)


@pytest.mark.parametrize("kind", sorted(SHAPES))
def test_random_work_can_be_carried_out(kind: str) -> None:
    models = list(sound(worked_plan(SHAPES[kind], Draw(random.Random(n).randint)).text for n in range(400)))
    assert models
    for model in models:
        replay(model)
