"""Work by template: pockets, finger notches, slots, cut-outs, lettering and shaped outlines that no fence or stop sets, part by part in the
order of cuts, with tool and passes.

The order is that of a router led by numbers (`toolpath/program.py`): bores, lettering, what has a bottom from the shallowest on, what goes
through, the outline last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.build.routing import routings
from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature, Model, Part, Step
from plandoc.shopwork.claims import claims
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.machinechoice import work_choice
from plandoc.shopwork.names import by_mark, mark_of
from plandoc.shopwork.setups import setups
from plandoc.shopwork.setupwords import left_reason
from plandoc.shopwork.templatecuts import AFTER, Grounds, Tool, point_stops, router_tool, stops

KINDS = ("finger_notch", "round_pocket", "rectangular_pocket", "slot", "lettering", "cutout", "shaping")
"""Operations that are done by template."""
BESIDE = ("notch",)
"""Named in the order of cuts of a part that has work by template."""
BORE, LETTER, BLIND, OPEN, NOTCH, OUTLINE = range(6)


@dataclass(frozen=True, slots=True)
class TemplateCut:
    """One piece of work, or several of a part that are alike. phase: its place in the order (BORE to OUTLINE). features: ids on the first
    part of the mark. top: how deep all of it is cut before (mm). depth: mm from the face, None through; stops: depths from the face (mm)
    to which the passes go, the last that of the drawing or the thickness; none for saws and chisels. wide: of the largest circle in it."""

    phase: int
    operation: str
    features: tuple[Feature, ...]
    machine: str
    tool: Tool
    top: Fraction
    depth: Fraction | None
    stops: tuple[Fraction, ...]
    wide: float

    @property
    def feature(self) -> Feature:
        """The first of them."""
        return self.features[0]

    @property
    def face(self) -> Face | None:
        """The face that it is worked from."""
        return self.feature.face

    @property
    def passes(self) -> tuple[Fraction, ...]:
        """Depth of each pass (mm)."""
        return tuple(b - a for a, b in zip((self.top, *self.stops), self.stops, strict=False))


@dataclass(frozen=True, slots=True)
class TemplateBlock:
    """All work by template on the parts of one mark, in the order of cuts. after: work on edges that follows."""

    parts: tuple[Part, ...]
    cuts: tuple[TemplateCut, ...]
    after: tuple[Feature, ...]

    @property
    def part(self) -> Part:
        """The first of the parts, whose coordinates are used."""
        return self.parts[0]


@dataclass(frozen=True, slots=True)
class TemplateJob:
    """blocks by mark. elsewhere: other work that set-ups leave, as (operation, path, feature, where or how it is done)."""

    blocks: tuple[TemplateBlock, ...]
    elsewhere: tuple[tuple[str, str, str, str], ...]


ROUTED = "router led by numbers"


@of_last_model
def template_work(model: Model) -> TemplateJob:
    """The work by template of a plan."""
    left: dict[str, list[tuple[str, str]]] = {}
    for kind, path, ident in setups(model).left:
        left.setdefault(path, []).append((kind, ident))
    led = _led(model)
    blocks: list[TemplateBlock] = []
    elsewhere: list[tuple[str, str, str, str]] = []
    for parts in by_mark(model.parts).values():
        part = parts[0]
        done: set[str] = set()
        own = [(kind, ident) for kind, ident in left.get(part.path, ()) if (part.path, ident) not in led]
        if any(kind in KINDS for kind, _ in own):
            block = _block(model, parts, own)
            blocks.append(block)
            done = {f.id for cut in block.cuts for f in cut.features}
        for one in parts:
            for kind, ident in left.get(one.path, ()):
                if (one.path, ident) in led:
                    elsewhere.append((kind, one.path, ident, ROUTED))
                elif ident not in done and not (one is not part and done and kind in (*KINDS, *BESIDE)):
                    elsewhere.append((kind, one.path, ident, left_reason(kind)))
    return TemplateJob(tuple(blocks), tuple(elsewhere))


def _led(model: Model) -> set[tuple[str, str]]:
    """(path, feature) of what a router led by numbers cuts."""
    found: set[tuple[str, str]] = set()
    for routing in routings(model) if model.routings else ():
        missed = {name for name, _ in routing.result.left} | {f.id for f in routing.others}
        named = {one.name for row in (routing.board.cuts, routing.board.bores, routing.board.letters) for one in row} - missed
        places = [n for n, f in enumerate(routing.part.features) if f.id in named]
        found.update((p.path, p.features[n].id) for p in routing.parts for n in places if n < len(p.features))
    return found


def _block(model: Model, parts: tuple[Part, ...], left: Sequence[tuple[str, str]]) -> TemplateBlock:
    part = parts[0]
    grounds = Grounds(part)
    features = {f.id: f for f in part.features}
    made = [_cut(model, part, features[ident], kind, grounds) for kind, ident in left if kind in (*KINDS, *BESIDE)]
    groups: dict[tuple[object, ...], list[TemplateCut]] = {}
    for cut in made:
        f = cut.feature
        groups.setdefault((cut.phase, cut.operation, cut.machine, cut.tool, cut.top, cut.depth, cut.stops, round(cut.wide, 2), cut.face, f.kind, f.note, f.text, f.diameter), []).append(cut)
    cuts = [TemplateCut(c.phase, c.operation, tuple(one.feature for one in row), c.machine, c.tool, c.top, c.depth, c.stops, c.wide) for row in groups.values() for c in row[:1]]
    order = sorted(cuts, key=lambda c: (c.phase, c.operation != "finger_notch", c.depth or Fraction(0), c.feature.diameter or Fraction(0)))
    after = tuple(features[ident] for kind, ident in left if kind in AFTER)
    return TemplateBlock(parts, tuple(order), after)


def _cut(model: Model, part: Part, feature: Feature, kind: str, grounds: Grounds) -> TemplateCut:
    """The piece of work with its tool: on the machine that the steps name, by hand where no bit of that goes in."""
    units, shop, machine = model.info.units, model.shop, work_choice(model, part, feature, kind).key or "hand_tools"
    spot = grounds.spot(feature)
    face = feature.face
    thick = part.box.size(face.axis) if face is not None else part.thickness
    depth = spot.deep if spot is not None else None if feature.through else feature.depth
    top, bottom = spot.top if spot is not None else Fraction(0), thick if depth is None else depth
    wide = 0.0 if spot is None else spot.wide
    if kind == "lettering":
        deep = feature.depth or Fraction(0)
        return TemplateCut(LETTER, kind, (feature,), machine, Tool("point"), Fraction(0), deep, point_stops(deep) if deep else (), 0.0)
    if kind in BESIDE:
        return TemplateCut(NOTCH, kind, (feature,), machine, Tool("saw" if machine == "band_saw" else "hand"), top, depth, (), wide)
    phase = OUTLINE if kind == "shaping" else OPEN if depth is None else BLIND
    if machine == "drill_press" and feature.diameter is not None:
        return TemplateCut(BORE, kind, (feature,), machine, Tool("bore", feature.diameter), top, depth, (bottom,), wide)
    if machine == "router" and spot is not None:
        tool = router_tool(spot, thick, shop)
        if tool is not None and tool.diameter is not None:
            return TemplateCut(phase, kind, (feature,), machine, tool, top, depth, stops(top, bottom, tool.diameter, units), wide)
        machine = "hand_tools"
    return TemplateCut(phase, kind, (feature,), machine, Tool("saw" if machine == "band_saw" else "hand"), top, depth, (), wide)


def blocks_of_steps(model: Model, steps: Sequence[Step]) -> dict[int, tuple[str, ...]]:
    """Marks of the blocks whose work a step does, by its number."""
    of: dict[tuple[str, str], str] = {}
    for block in template_work(model).blocks:
        for cut in block.cuts:
            places = [n for n, f in enumerate(block.part.features) if f in cut.features]
            of.update(((p.path, p.features[n].id), mark_of(p)) for p in block.parts for n in places if n < len(p.features))
    found: dict[int, tuple[str, ...]] = {}
    for step, items in zip(steps, claims(model, steps), strict=True):
        marks = dict.fromkeys(of[item.path, item.feature] for item in items if (item.path, item.feature) in of)
        if marks:
            found[step.number] = tuple(marks)
    return found


__all__ = ["KINDS", "ROUTED", "TemplateBlock", "TemplateCut", "TemplateJob", "blocks_of_steps", "template_work"]
