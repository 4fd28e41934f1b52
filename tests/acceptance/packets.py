"""Packets of all examples, each made once for all test processes of a session, and what the rules read of them."""

from __future__ import annotations

import csv
import io
import json
import os
import pickle
import random
import re
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import pypdfium2
from pypdf import PdfReader

import plandoc.publish.files as publishing
from plandoc.drawing.display import Sheet
from plandoc.pipeline import check, packet
from plandoc.vocabulary import all_kinds
from plandoc.world import DiskWorld, MemoryWorld
from tests.support.finished_sheets import Drawn, read
from tests.support.random_plans import ARRANGEMENTS, Draw, RandomPlan, joined_plan, worked_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = tuple(p.parent.name for p in sorted(EXAMPLES.glob("*/*.plan")) if p.stem == p.parent.name)
RANDOM = "random"
DUAL = "dual"
# Examples printed in two units: the example, and what its plan says instead of its own unit.
DUALS = (("bench-shelf", "inch to 1/32 and mm"), ("trellis-kit", "inch to 1/16 and mm to 0.1"), ("trellis-kit", "mm and inch to 1/64"))
# How many random plans; more of them in a longer run.
PLANS = int(os.environ.get("PLANDOC_ACCEPTANCE_PLANS", "8"))
LONGEST = 900.0  # seconds that one packet may take another process


@dataclass(frozen=True)
class Written:
    """What was written: files of the packet, and the sheets of the documents beside it as (document, name, SVG). warned: of
    which sheets the program says that they are crowded."""

    name: str
    files: Mapping[str, bytes]
    beside: tuple[tuple[str, str, bytes], ...] = ()
    warned: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Packet:
    """A written packet as the rules read it. sheets: of the packet; beside: of the other documents, by document."""

    name: str
    files: Mapping[str, bytes]
    drawings: tuple[tuple[str, str, bytes], ...] = field(default=(), repr=False)
    warned: tuple[str, ...] = ()

    @cached_property
    def sheets(self) -> tuple[Drawn, ...]:
        return tuple(read(n, data) for n, data in sorted(self.files.items()) if n.startswith("sheets/"))

    @cached_property
    def beside(self) -> tuple[tuple[str, Drawn], ...]:
        return tuple((document, read(name, data)) for document, name, data in self.drawings)

    @cached_property
    def every(self) -> tuple[Drawn, ...]:
        return (*self.sheets, *(d for _, d in self.beside))

    @cached_property
    def model(self) -> dict[str, Any]:
        return json.loads(self.files["model.json"])  # type: ignore[no-any-return]

    @cached_property
    def parts(self) -> dict[str, dict[str, Any]]:
        return {p["path"]: p for p in self.model["parts"]}

    @property
    def inches(self) -> bool:
        return bool(self.model["plan"]["units"]["system"] == "inch")

    @property
    def unit(self) -> Fraction:
        """Millimetres in the unit of the figures."""
        return Fraction(254, 10) if self.inches else Fraction(1)

    @property
    def second(self) -> tuple[Fraction, Fraction] | None:
        """Of a plan with two units: millimetres in the second one, and its step in it."""
        told = self.model["plan"]["units"].get("second")
        return None if told is None else (Fraction(254, 10) if told["system"] == "inch" else Fraction(1), Fraction(told["step"]))

    def rows(self, name: str) -> list[dict[str, str]]:
        data = self.files.get(f"lists/{name}.csv")
        return [] if data is None else list(csv.DictReader(io.StringIO(data.decode("utf-8"))))

    @property
    def documents(self) -> dict[str, list[Drawn]]:
        """Sheets by document, in the order of its pages."""
        found: dict[str, list[Drawn]] = {"packet": list(self.sheets)}
        for document, drawn in self.beside:
            found.setdefault(document, []).append(drawn)
        return found

    def reader(self, document: str) -> PdfReader:
        return PdfReader(io.BytesIO(self.files[f"{document}.pdf"]))

    def pdf(self, document: str) -> pypdfium2.PdfDocument:
        return pypdfium2.PdfDocument(self.files[f"{document}.pdf"])


def write(name: str) -> list[Written]:
    """The packet of an example, the packets of the random plans, or those in two units."""
    if name == DUAL:
        return [written(f"{DUAL} {example}", f"{example}.plan", dual_world(example, units)) for example, units in DUALS]
    if name != RANDOM:
        return [written(name, f"{name}.plan", DiskWorld(EXAMPLES / name))]
    return [written(f"{RANDOM} {seed}", "random.plan", MemoryWorld({"random.plan": plan.text})) for seed, plan in random_plans(PLANS)]


def dual_world(example: str, units: str) -> MemoryWorld:
    """The files of an example whose plan has other units."""
    files = {p.relative_to(EXAMPLES / example).as_posix(): p.read_text(encoding="utf-8") for p in sorted((EXAMPLES / example).rglob("*")) if p.suffix in (".plan", ".shop")}
    plan, count = re.subn(r"(?m)^( +units +).*$", rf"\g<1>{units}", files[f"{example}.plan"])
    if not count:
        plan = re.sub(r'(?m)^(plan ".*")$', rf"\1\n  units {units}", plan, count=1)
    return MemoryWorld({**files, f"{example}.plan": plan})


def styled_world(example: str, style: str) -> MemoryWorld:
    """The files of an example whose plan names a style."""
    files = {p.relative_to(EXAMPLES / example).as_posix(): p.read_text(encoding="utf-8") for p in sorted((EXAMPLES / example).rglob("*")) if p.suffix in (".plan", ".shop")}
    plan, count = re.subn(r'(?m)^(plan ".*")$', rf'\1\n  style "{style}"', files[f"{example}.plan"], count=1)
    assert count == 1
    return MemoryWorld({**files, f"{example}.plan": plan})


def written(name: str, plan: str, world: Any) -> Written:
    checked = check(plan, world)
    assert checked.good, name
    drawings: list[tuple[str, str, bytes]] = []
    real = publishing.svg_text

    def keeping(sheet: Sheet, *more: Any, **named: Any) -> str:
        text = real(sheet, *more, **named)
        if sheet.file != "packet":
            drawings.append((sheet.file, f"{sheet.file}/{sheet.number:02d}-{sheet.kind}.svg", text.encode("utf-8")))
        return text

    publishing.svg_text = keeping
    try:
        made = packet(checked)
    finally:
        publishing.svg_text = real
    assert made.remarks == (), name
    return Written(name, dict(made.files), tuple(drawings), tuple(w.message.partition(" is crowded")[0] for w in made.warnings))


def random_plans(count: int) -> list[tuple[int, RandomPlan]]:
    """The first sound plans of the seeds 0, 1, 2 ..."""
    kinds = all_kinds()
    found: list[tuple[int, RandomPlan]] = []
    seed = -1
    while len(found) < count:
        seed += 1
        draw = Draw(random.Random(seed).randint)
        if draw.likely(60):
            plan = joined_plan(kinds.joints[draw.one(sorted(kinds.joints))], draw.one(ARRANGEMENTS), draw)
        else:
            plan = worked_plan(kinds.shapes[draw.one(sorted(kinds.shapes))], draw)
        if check("random.plan", MemoryWorld({"random.plan": plan.text})).good:
            found.append((seed, plan))
    return found


class Store:
    """Packets in a folder that all test processes of a session share. Who needs a packet that another process is making
    makes one of those that nobody has begun."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def get(self, name: str) -> tuple[Packet, ...]:
        until = time.monotonic() + LONGEST
        while not self._done(name).exists():
            todo = next((n for n in (name, *NAMES, RANDOM, DUAL) if self._begin(n)), None)
            if todo is not None:
                self._make(todo)
            elif time.monotonic() > until:
                raise TimeoutError(f"the packet {name} was begun by another process and is not finished")
            else:
                time.sleep(0.1)
        return _loaded(self._done(name))

    def _done(self, name: str) -> Path:
        return self.folder / f"{name}.pickle"

    def _begin(self, name: str) -> bool:
        """Claims a packet; False where it was claimed before."""
        try:
            (self.folder / f"{name}.begun").mkdir()
        except FileExistsError:
            return False
        return True

    def _make(self, name: str) -> None:
        made: list[Written] | str
        try:
            made = write(name)
        except Exception as fault:
            made = f"{type(fault).__name__}: {fault}"
        rough = self.folder / f"{name}.rough"
        rough.write_bytes(pickle.dumps(made))
        rough.replace(self._done(name))


@lru_cache(maxsize=3)
def _loaded(path: Path) -> tuple[Packet, ...]:
    made = pickle.loads(path.read_bytes())
    if isinstance(made, str):
        raise AssertionError(f"the packet could not be made: {made}")
    return tuple(Packet(w.name, w.files, w.beside, w.warned) for w in made)
