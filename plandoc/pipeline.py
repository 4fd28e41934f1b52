"""The order of the passes, nothing else.

text -> tree -> model -> solids -> checks -> procedure and lists -> sheets -> SVG, PDF, CSV, JSON -> audit of the sheets
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field

from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Diagnostic, Sink, Source
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Step
from plandoc.model.loading import load
from plandoc.model.overrides import read_overrides
from plandoc.model.resolve import resolve
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.world import World

Timer = Callable[[str], AbstractContextManager[None]]


@dataclass(slots=True)
class Times:
    """Seconds of each pass; the timer of benchmarks."""

    seconds: dict[str, float] = field(default_factory=dict)

    @contextmanager
    def __call__(self, name: str) -> Iterator[None]:
        start = time.perf_counter()
        yield
        self.seconds[name] = self.seconds.get(name, 0.0) + time.perf_counter() - start


def _untimed(name: str) -> AbstractContextManager[None]:
    return nullcontext()


@dataclass(frozen=True, slots=True)
class Checked:
    """What is known of a plan before anything is drawn."""

    model: Model
    solids: Mapping[str, Solid]
    diagnostics: tuple[Diagnostic, ...]
    sources: Mapping[str, Source]
    good: bool


def check(name: str, world: World, overrides: Sequence[tuple[str, str]] = (), timer: Timer = _untimed) -> Checked:
    """Read a plan, resolve it, build it, check it. Never raises for a fault in the plan."""
    from plandoc.build.solids import solids as build_solids
    from plandoc.shopwork.coverage import report as report_coverage
    from plandoc.shopwork.machinechoice import report as report_machines

    sink = Sink()
    kinds = all_kinds()
    words = vocabulary(kinds)
    with timer("parse"):
        loaded = load(name, world, words, sink)
        settings = read_overrides(overrides, words, sink, loaded.sources)
    with timer("resolve"):
        model = resolve(loaded, kinds, sink, settings)
    solids: Mapping[str, Solid] = {}
    if not sink.has_errors:
        with timer("build"):
            solids = build_solids(model)
        with timer("check"):
            run_checks(model, solids, sink)
            report_machines(model, sink)
            report_coverage(model, sink)
    return Checked(model, solids, sink.finish(), loaded.sources, not sink.has_errors)


@dataclass(frozen=True, slots=True)
class Packet:
    """Every file of a packet by its relative name, and what there is to say about it. warnings: of the drawn sheets."""

    files: Mapping[str, bytes]
    remarks: tuple[str, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()


def packet(checked: Checked, only: Sequence[str] = (), timer: Timer = _untimed) -> Packet:
    """Draw a plan without errors and write all its files into memory."""
    from plandoc.drawing.style import for_units, load_style
    from plandoc.packet.compose import compose
    from plandoc.packet.crowding import crowding
    from plandoc.publish.files import packet_files
    from plandoc.shopwork.procedure import procedure

    model = checked.model
    style = for_units(load_style(model.info.style), model.info.units)
    with timer("procedure"):
        steps: tuple[Step, ...] = procedure(model)
    with timer("sheets"):
        sheets, index = compose(model, checked.solids, style, steps, only)
    files, remarks = packet_files(model, checked.solids, steps, sheets, index, style, timer)
    with timer("audit"):
        warnings = crowding(model, sheets, index, style)
    return Packet(files, remarks, warnings)
