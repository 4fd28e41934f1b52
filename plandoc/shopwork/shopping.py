"""What to buy beside stock: hardware and fasteners with spare, glue, abrasives and finish, with prices where the plan gives them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import AXES
from plandoc.model.density import stock_density
from plandoc.model.entities import HardwareItem, Model, Part, Step
from plandoc.quantity import Units, shop_text
from plandoc.shopwork.claims import claims
from plandoc.shopwork.glueup_steps import panel_ups
from plandoc.shopwork.gluewords import GlueUp, glue_ups, liquid_words
from plandoc.shopwork.gluing import panel_gluing
from plandoc.shopwork.hardwarelist import HardwareRow, area_words, hardware_list
from plandoc.shopwork.hardwaresizes import sizes_words
from plandoc.shopwork.names import counted, stock_words
from plandoc.shopwork.stocklist import stock_list
from plandoc.shopwork.weights import part_weight
from plandoc.tables.consumables import abrasive_sheets, glue_with_loss, grits, spare

MADE = ("spline", "key")
"""Fasteners that are made in the shop: nothing to buy."""


@dataclass(frozen=True, slots=True)
class Bought:
    """One row. kind: hardware, glue, abrasive or finish; needed: in words what the plan takes; spare and count in `unit`, count
    None where only an amount is known; cost: of all; None where the plan gives no price."""

    kind: str
    item: str
    words: str
    needed: str
    spare: int
    count: int | None
    unit: str
    price: Fraction | None = None
    cost: Fraction | None = None

    @property
    def buy(self) -> str:
        """`25`, `2 pairs`, `3 sheets`; the needed amount where nothing is counted."""
        if self.count is None:
            return "by the amount"
        return str(self.count) if self.unit == "each" else counted(self.count, self.unit)


def shopping(model: Model) -> tuple[Bought, ...]:
    """Hardware in the order of its list, then glue, abrasives and finish that the plan does not name itself."""
    items = {item.name: item for item in model.hardware}
    made = {f.item for j in model.joints for f in j.fasteners if f.kind in MADE and f.item not in items}
    kinds = {f.item: f.kind for j in model.joints for f in j.fasteners}
    rows = [_row(model, row, items.get(row.item), kinds) for row in hardware_list(model) if row.item not in made]
    volume = glue_of(model)
    if volume and not any(row.kind == "glue" for row in rows):
        rows.append(Bought("glue", "glue", "Wood glue (the plan names none)", f"{liquid_words(volume, model.info.units)} in the joints", 0, None, "each"))
    rows = [_with_glue(row, volume, model.info.units) for row in rows]
    rows += _abrasives(model)
    if not any(row.kind == "finish" for row in rows) and model.placed:
        rows.append(Bought("finish", "finish", "Finish (the plan names none)", f"{area_words(surface(model.placed), model.info.units)} a coat, all faces", 0, None, "each"))
    order = ("hardware", "glue", "abrasive", "finish")
    return tuple(sorted(rows, key=lambda row: order.index(row.kind)))


def _with_glue(row: Bought, volume: Fraction, units: Units) -> Bought:
    """The row; of glue with what to have of it, losses counted."""
    if row.kind != "glue" or not volume:
        return row
    needed = f"{row.needed}; have {liquid_words(glue_with_loss(volume), units)}"
    return Bought(row.kind, row.item, row.words, needed, row.spare, row.count, row.unit, row.price, row.cost)


def _row(model: Model, row: HardwareRow, item: HardwareItem | None, fasteners: dict[str, str]) -> Bought:
    word = item.kind if item is not None else next((kind for name, kind in fasteners.items() if name == row.item), row.item.partition(" ")[0])
    units = model.info.units
    kind = word if word in ("glue", "finish") else "hardware"
    more = spare(word, row.quantity)
    count: int | None = row.quantity + more
    unit = row.unit
    if kind != "hardware":
        assert item is not None
        coats = int(item.number("coats") or 1)
        needed = f"{area_words(row.area or Fraction(0), units)}{f', {coats} coats together' if coats > 1 else ''}"
        count, unit = (row.quantity, "pack" if kind == "glue" else "can") if item.number("covers") else (None, "each")
    else:
        needed = str(row.quantity) if row.unit == "each" else counted(row.quantity, row.unit)
        if row.screws:
            needed += f", with {row.screws} screws"
    sizes = "" if item is None or kind != "hardware" else sizes_words(item, units)
    sized = any(letter.isdigit() for letter in row.description)
    words = f"{row.description}, {sizes}" if sizes and not sized and word in ("screw", "dowel", "nail") else row.description
    cost = None if row.price is None or count is None else row.price * count
    return Bought(kind, row.item, words, needed, more, count, unit, row.price, cost)


def glue_of(model: Model) -> Fraction:
    """Glue in all joints and panels (mm3)."""
    panels = sum((panel_gluing(model, part).glue * part.count for part in model.parts if part.glue_up is not None), Fraction(0))
    return panels + sum((up.found.glue * up.alike for up in glue_ups(model, model.joints)), Fraction(0))


def surface(parts: Sequence[Part]) -> Fraction:
    """All faces of the finished boxes (mm2)."""
    return sum((2 * p.count * p.box.size(a) * p.box.size(b) for p in parts for a in AXES for b in AXES if a < b), Fraction(0))


def _abrasives(model: Model) -> list[Bought]:
    """Sheets of each grit, for the surfaces of solid wood and of sheet stock (estimates)."""
    areas: dict[str, Fraction] = {}
    for sheet in (False, True):
        area = surface([p for p in model.parts if (p.stock.kind == "sheet") == sheet])
        for grit in grits(sheet) if area else ():
            areas[grit] = areas.get(grit, Fraction(0)) + area
    units = model.info.units
    size = '9" × 11"' if units.system == "inch" else "230 × 280"
    return [
        Bought("abrasive", f"grit {grit}", f"Abrasive paper, grit {grit}, {size}", f"{area_words(area, units)} (estimate)", 0, abrasive_sheets(area), "sheet")
        for grit, area in sorted(areas.items(), key=lambda pair: int(pair[0]))
    ]


@dataclass(frozen=True, slots=True)
class Costs:
    """known: sum of all costs that the plan gives prices for; open: what has no price, in words."""

    known: Fraction
    open: tuple[str, ...]


def costs(model: Model) -> Costs:
    """Of stock and of all else to buy."""
    stocks = {stock.name: stock for stock in model.stocks} | {part.stock.name: part.stock for part in model.parts}
    rows = [(stock_words(stocks[row.stock], model.info.units), row.cost) for row in stock_list(model)]
    rows += [("abrasives" if row.kind == "abrasive" else row.words, row.cost) for row in shopping(model)]
    return Costs(sum((cost for _, cost in rows if cost is not None), Fraction(0)), tuple(dict.fromkeys(words for words, cost in rows if cost is None)))


@dataclass(frozen=True, slots=True)
class Lift:
    """Something heavy: what it is, its weight (kg, estimate) and the number of the step, 0 where none is known."""

    words: str
    mass: Fraction
    step: int


def heaviest(model: Model, steps: Sequence[Step], volumes: dict[str, float] | None = None) -> Lift | None:
    """The heaviest thing to lift: the largest full sheet of a stock that is bought, or the heaviest piece that joints hold together, without hardware."""
    found: list[Lift] = []
    cuts = {path: step.number for step, row in reversed(list(zip(steps, claims(model, steps), strict=True))) for item in row if item.operation.startswith("cut:") for path in (item.path,)}
    for taken in stock_list(model):
        stock = next((s for s in model.stocks if s.name == taken.stock), None)
        full = [s.sheet for s in taken.layout.sheets.sheets if not s.sheet.rack] if taken.layout is not None and taken.layout.sheets is not None else []
        if stock is None or stock.kind != "sheet" or not taken.sheets or not full:
            continue
        sheet = max(full, key=lambda s: s.width * s.length)
        weighs = stock_density(stock)
        if weighs is not None:
            size = f"{shop_text(sheet.width, model.info.units)} × {shop_text(sheet.length, model.info.units)}"
            number = min((cuts[p.path] for p in model.parts if p.stock.name == stock.name and p.path in cuts), default=0)
            found.append(Lift(f"a full sheet of {stock_words(stock, model.info.units)}, {size}", sheet.width * sheet.length * stock.measured * weighs / 10**9, number))
    masses = {p.path: part_weight(p, volumes) for p in model.placed}
    group = {path: path for path in masses}
    for step, row in zip(steps, claims(model, steps), strict=True):
        ids = {item.operation.partition(":")[2] for item in row if item.operation.startswith("join:")}
        for joint in (j for j in model.joints if j.id in ids and j.glued):
            old, new = group[joint.a], group[joint.b]
            group = {path: new if own == old else own for path, own in group.items()}
        if ids:
            sums: dict[str, Fraction] = {}
            for path, own in group.items():
                sums[own] = sums.get(own, Fraction(0)) + (masses[path] or Fraction(0))
            top = max(sums, key=lambda own: sums[own])
            paths = [path for path, own in group.items() if own == top]
            if len(paths) > 1:
                found.append(Lift(_piece_words(model, paths), sums[top], step.number))
    return max(found, key=lambda lift: (lift.mass, -lift.step), default=None)


def _piece_words(model: Model, paths: Sequence[str]) -> str:
    """The assembly that holds all these parts, by name; else the piece."""
    homes = [model.part(path).assembly for path in paths]
    names = {a.path: a.name for a in model.assemblies}
    first = homes[0]
    while first and not all(home == first or home.startswith(f"{first}.") for home in homes):
        first = first.rpartition(".")[0]
    return names.get(first) or first or model.info.title


def weight(model: Model, volumes: dict[str, float] | None = None) -> Fraction | None:
    """Weight of all parts without hardware (kg, estimate); None where a density is not known."""
    weights = [part_weight(p, volumes) for p in model.parts]
    known = [w * p.count for w, p in zip(weights, model.parts, strict=True) if w is not None]
    return sum(known, Fraction(0)) if len(known) == len(weights) and known else None


def all_glue_ups(model: Model, steps: Sequence[Step]) -> tuple[GlueUp, ...]:
    """What each step glues, in order: panels of boards, and joints."""
    found: list[GlueUp] = []
    for step, row in zip(steps, claims(model, steps), strict=True):
        ids = {item.operation.partition(":")[2] for item in row if item.operation.startswith("join:")}
        found += panel_ups(model, step)
        found += glue_ups(model, [j for j in model.joints if j.id in ids], step.number)
    return tuple(found)
