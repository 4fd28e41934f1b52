"""Machine set-ups: all work that shares cutter, fence or stop, height and angle, cut in one go, in an order with few changes.

Pieces of one mark are set up as the first of them; the others are turned in the hand. Sizes come first, then channels, tongues
and bores, cuts at an angle last, so that everything is measured from square edges.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from plandoc.model.entities import Feature, Model, Part
from plandoc.shopwork.angledcuts import ANGLED, angled_ways
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.mortising import MORTISE, mortise_cuts
from plandoc.shopwork.names import by_mark
from plandoc.shopwork.operations import feature_operation, machined
from plandoc.shopwork.setting import BLADE, Cut, Cutter, Setting, Way
from plandoc.shopwork.setupcuts import (
    BORED,
    Slot,
    all_slots,
    bored_ways,
    in_reach,
    mounted_stacks,
    row_of,
    size_ways,
    slot_ways,
)
from plandoc.shopwork.stack import Stack
from plandoc.tables.shop import Shop

MACHINES = ("track_saw", "table_saw", "mitre_saw", "router_table", "router", "drill_press")
"""In the order in which their set-ups come."""
TEETH = {"inch": Fraction(127, 40), "mm": Fraction(3)}
"""How far a blade stands above the work that it cuts through: 1/8 in. or 3 mm (common practice: 1/8 to 1/4 in.)."""


@dataclass(frozen=True, slots=True)
class SetUp:
    """One set-up. number: from 1, over the whole job. cuts: all that is cut at it. height: of the cutter over the table or depth
    (mm), None right through or where an angle decides."""

    number: int
    setting: Setting
    cuts: tuple[Cut, ...]
    height: Fraction | None

    @property
    def phase(self) -> int:
        """0 sizes, 1 channels, tongues and bores, 2 cuts at an angle."""
        return _phase(self.setting, self.cuts)


@dataclass(frozen=True, slots=True)
class Job:
    """All set-ups in order. changes: single settings that are changed (cutter, fence or stop, height, angle, the first of each
    machine included); least: fewer than this no order can do with. mounts, cutters: how often a cutter is put on, and how many
    different ones there are. left: work that no fence sets, as (operation, path, feature)."""

    shop: Shop
    setups: tuple[SetUp, ...]
    changes: int
    least: int
    mounts: int
    cutters: int
    left: tuple[tuple[str, str, str], ...]


@of_last_model
def setups(model: Model) -> Job:
    """The set-ups of a plan."""
    shop = model.shop
    slots, mounted = all_slots(model), mounted_stacks(model)
    found: dict[Setting, list[Cut]] = {}
    left: list[tuple[str, str, str]] = []
    for parts in by_mark(model.parts).values():
        first: dict[Setting, None] = {}
        for part in parts:
            reached = dict.fromkeys(in_reach(part, shop))
            for way in size_ways(model, part):
                found.setdefault(_with_thick(part, way[0]), []).append(way[1])
            for feature in machined(model, part):
                chosen = _chosen(_ways(model, part, feature, slots[part.path, feature.id], shop, mounted, reached), first)
                if not chosen:
                    left.append((feature_operation(part, feature), part.path, feature.id))
                for setting, cut in chosen:
                    if part is parts[0]:
                        first[setting] = None
                    own = _with_thick(part, setting)
                    if cut not in found.setdefault(own, []):
                        found[own].append(cut)
    rows = _ordered(model, found)
    heights = [_height(model, setting) for setting, _ in rows]
    numbered = tuple(SetUp(n, setting, tuple(cuts), height) for n, ((setting, cuts), height) in enumerate(zip(rows, heights, strict=True), 1))
    return Job(shop, numbered, *_counted(numbered), tuple(left))


def _ways(
    model: Model, part: Part, feature: Feature, slots: Sequence[tuple[Slot, ...]], shop: Shop, mounted: Sequence[Stack], reached: Container[str]
) -> Iterator[tuple[Way, ...]]:
    """The ways of a feature, each with all the cuts that make it; the one from the reference face first. reached: the bores that
    the drill press reaches."""
    kind = feature_operation(part, feature)
    if kind == MORTISE and (made := mortise_cuts(part, feature, shop)):
        yield made
    for alike in slots:
        cut = [slot_ways(part, slot, shop, mounted, model.info.units) for slot in alike]
        whole = tuple(way for way in cut if way is not None)
        if whole and len(whole) == len(cut):
            yield whole
    if kind in BORED:
        if feature.id in reached:
            yield from ((way,) for way in bored_ways(part, feature, row_of(part, feature), shop))
    elif kind in ANGLED:
        yield from ((way,) for way in angled_ways(model, part, feature, shop))


def _chosen(ways: Iterator[tuple[Way, ...]], first: dict[Setting, None]) -> tuple[Way, ...]:
    """The first way; for pieces turned in the plan that in which the first piece of their mark is cut."""
    every = list(ways)
    for way in every:
        if way and all(setting in first for setting, _ in way):
            return way
    return every[0] if every else ()


def _phase(setting: Setting, cuts: Sequence[Cut]) -> int:
    return 2 if setting.angle else 0 if all(cut.feature in ("length", "width") for cut in cuts) else 1


def _with_thick(part: Part, setting: Setting) -> Setting:
    """The setting with the thickness of the piece, where a blade goes right through it: pieces of equal size but not of equal
    thickness are two set-ups."""
    if setting.height is not None or setting.cutter.kind != BLADE or setting.machine == "mitre_saw":
        return setting
    return replace(setting, thick=part.stock.measured if part.stock.kind == "sheet" else part.thickness)


def _height(model: Model, setting: Setting) -> Fraction | None:
    """A blade stands a little above the piece that it cuts through, tilted or not; that of a mitre saw goes down through it."""
    if setting.thick is None:
        return setting.height
    return setting.thick + TEETH["inch" if model.info.units.system == "inch" else "mm"]


Row = tuple[Setting, list[Cut]]


def _ordered(model: Model, found: dict[Setting, list[Cut]]) -> list[Row]:
    """By machine; on each the sizes, then cutter by cutter, then the cuts at an angle. A blade that only cuts to length comes after
    those that cut to width."""
    groups: dict[tuple[int, int, Cutter], list[Row]] = {}
    for setting, cuts in found.items():
        groups.setdefault((MACHINES.index(setting.machine), _phase(setting, cuts), setting.cutter), []).append((setting, cuts))

    def place(key: tuple[int, int, Cutter]) -> tuple[object, ...]:
        at, phase, cutter = key
        lengths = all(cut.feature == "length" for _, cuts in groups[key] for cut in cuts)
        return at, phase, cutter.kind, lengths, -cutter.width, cutter.name

    order: list[Row] = []
    for key in sorted(groups, key=place):
        order += _path(model, groups[key], key[1] == 0)
    return order


def _path(model: Model, rows: list[Row], sizes: bool) -> list[Row]:
    """Set-ups of one cutter so that few settings change from one to the next: the best of the ways in which always the nearest
    follows; sizes by guide and height, the widest first."""

    def known(row: Row) -> tuple[object, ...]:
        setting = row[0]
        height = _height(model, row[0])
        return setting.guide, setting.angle, height is None, height or 0, tuple(-f for f in setting.fence), setting.side

    rows = sorted(rows, key=known)
    if sizes or len(rows) < 3:
        return rows
    best: tuple[int, list[Row]] | None = None
    for start in range(len(rows)):
        rest = [*rows[:start], *rows[start + 1 :]]
        taken, cost = [rows[start]], 0
        while rest:
            costs = [_differ(taken[-1], row, model) for row in rest]
            cost += min(costs)
            taken.append(rest.pop(costs.index(min(costs))))
        if best is None or cost < best[0]:
            best = cost, taken
    assert best is not None
    return best[1]


Dials = tuple[object, ...]


def _dials(setting: Setting, height: Fraction | None) -> Dials:
    """What is set one by one: cutter, fence or stop, height, angle."""
    return setting.cutter, (setting.guide, setting.side, setting.fence), height, setting.angle


def _differ(one: Row, other: Row, model: Model) -> int:
    return _apart(_dials(one[0], _height(model, one[0])), _dials(other[0], _height(model, other[0])))


def _apart(one: Dials, other: Dials) -> int:
    """How many settings differ."""
    return sum(a != b for a, b in zip(one, other, strict=True))


def _fewest(rows: Sequence[Dials]) -> int:
    """Changes that no order of these settings does without: all of the first, then the shortest tree that joins them all, since an
    order is such a tree too; or each different value of each setting once, which is more where values come again."""
    size = len(rows[0])
    near = {n: _apart(rows[0], row) for n, row in enumerate(rows) if n}
    tree = 0
    while near:
        at = min(near, key=lambda n: (near[n], n))
        tree += near.pop(at)
        near = {n: min(gap, _apart(rows[at], rows[n])) for n, gap in near.items()}
    return max(size + tree, sum(len({row[n] for row in rows}) for n in range(size)))


def _counted(rows: Sequence[SetUp]) -> tuple[int, int, int, int]:
    """Changes, the least number of them, mounts of cutters, different cutters."""
    changes = least = mounts = cutters = 0
    for machine in MACHINES:
        own = [_dials(row.setting, row.height) for row in rows if row.setting.machine == machine]
        if not own:
            continue
        changes += len(own[0]) + sum(_apart(one, two) for one, two in pairwise(own))
        least += _fewest(own)
        mounts += 1 + sum(one[0] != two[0] for one, two in pairwise(own))
        cutters += len({dials[0] for dials in own})
    return changes, least, mounts, cutters


__all__ = ["Job", "SetUp", "setups"]
