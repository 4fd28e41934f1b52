"""What a step says of its gluing: area, time against the open time of the glue, clamps; and how to close it in two goes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.build.groups import tied
from plandoc.build.order import Withdrawal, taken_off
from plandoc.model.entities import Joint, Model, Part, Step
from plandoc.model.unglued import dry
from plandoc.quantity import INCH, Units, shop_text
from plandoc.shopwork.alike import form_of
from plandoc.shopwork.closing import closing_moves
from plandoc.shopwork.draft import level_of
from plandoc.shopwork.estimates import duration, minutes, whole_minutes
from plandoc.shopwork.gluing import CLAMPING, Clamping, Gluing, gluing, panel_gluing
from plandoc.shopwork.jointwords import Level
from plandoc.shopwork.names import counted, group_words

_WAITS = r"\b(overnight|hours?|minutes?)\b"
"""Words of an author who says in the text how long it waits."""
DIRECTIONS = ("from left to right", "from front to back", "from bottom to top")
"""The axes of the world, as a clamp lies."""


@dataclass(frozen=True, slots=True)
class GlueUp:
    """What one step glues at one go: the figures of one of `alike` that are glued one after the other. levels: assemblies, or the
    panels that are glued up; boards: of each panel, 0 else."""

    step: int
    levels: tuple[str, ...]
    found: Gluing
    boards: int = 0

    @property
    def joints(self) -> int:
        """How many one of them has."""
        return self.boards - 1 if self.boards else len(self.found.joints)

    @property
    def alike(self) -> int:
        """How many there are."""
        return len(self.levels)

    @property
    def held(self) -> bool:
        """Whether it stands in clamps until the glue has set: not where screws draw every joint together."""
        return any(not any(f.kind in CLAMPING and not f.blind for f in j.fasteners) for j in self.found.joints)


def glue_ups(model: Model, joints: Sequence[Joint], number: int = 0) -> tuple[GlueUp, ...]:
    """What is glued at one go among the joints that a step closes: by assembly, those that are alike once."""
    assemblies = {a.path: a for a in model.assemblies}
    by_level: dict[str, list[Joint]] = {}
    for joint in joints:
        if not dry(model, joint):
            by_level.setdefault(level_of(model, joint.a, joint.b), []).append(joint)
    groups: dict[tuple[object, ...], list[str]] = {}
    for level, own in by_level.items():
        definition = assemblies[level].definition if level in assemblies else ""
        groups.setdefault((definition, form_of(model, level, own)) if definition else (level,), []).append(level)
    return tuple(GlueUp(number, tuple(levels), gluing(model, by_level[levels[0]])) for levels in groups.values())


def with_gluing(model: Model, step: Step, joints: Sequence[Joint]) -> Step:
    """The step with what it glues, where that takes clamps or more time than the glue leaves; an author's that does not say how
    long it waits waits for the glue."""
    texts: list[str] = []
    cautions: list[str] = []
    ups = glue_ups(model, joints)
    if step.author and not step.waits and any(up.held for up in ups) and not any(re.search(_WAITS, text.casefold()) for text in step.texts):
        step = replace(step, waits=(waits_words(model),))
    for up in ups:
        if not (up.found.clamped or up.found.mitred or up.found.leaning or up.found.late(model)):
            continue
        each = "For each " if up.alike > 1 else ""
        words = glue_words(up.found, model.info.units)
        text = f"{each}{words if each else words[:1].upper() + words[1:]} (estimates). {clamp_sentence(model, up.found)}".strip()
        texts.append(text)
        cautions += warnings(model, up, step.author)
    return replace(step, glue=(*step.glue, *texts), cautions=tuple(dict.fromkeys((*step.cautions, *cautions)))) if texts else step


def panel_texts(model: Model, groups: Iterable[Sequence[Part]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the panels of each mark take of clamps, and the cautions where the shop has too few."""
    units = model.info.units
    texts, cautions = [], []
    for parts in groups:
        found = panel_gluing(model, parts[0])
        (clamping,) = found.clamped
        if clamping.count:
            apart = f", about {near_words(clamping.spacing, units)} apart" if clamping.spacing is not None and clamping.count > 1 else ""
            texts.append(f"{group_words(parts)}: about {counted(clamping.count, 'clamp')} across it{apart}, opening {wide_words(clamping.wide, units)}; {glue_words(found, units)} (estimates).")
        if clamping.short:
            cautions.append(clamp_warning(model, clamping, True))
        if found.late(model):
            cautions.append(f"Open time: {late_words(model, found)}. Glue the panel in two halves, then the joint between them. Or take a glue that stays open longer.")
    return tuple(texts), tuple(dict.fromkeys(cautions))


def glue_words(found: Gluing, units: Units) -> str:
    """`about 103 sq in, spread and put together in about 6 min`."""
    return f"about {surface_words(found.area, units)}, spread and put together in about {duration(whole_minutes(found.minutes))}"


def clamp_sentence(model: Model, found: Gluing) -> str:
    """`Clamps: about 6 from left to right, opening 19", 2 on each joint, ...`, then what presses mitred and leaning joints; "" where
    none are counted."""
    units = model.info.units
    rows = [f"{c.count} {DIRECTIONS[c.axis]}, opening {wide_words(c.wide, units)}, {place_words(c, units)}" for c in found.clamped if c.count]
    said = [f"Clamps: about {'; '.join(rows)}."] if rows else []
    if found.mitred:
        many, bands = counted(len(found.mitred), "mitred joint"), counted(max(found.mitred), "band clamp")
        said.append(f"{many}: {bands} right round, or blocks glued beside each with paper between and {counted(sum(found.mitred), 'clamp')} from block to block (common practice).")
    if found.leaning:
        many = counted(len(found.leaning), "leaning joint")
        said.append(f"{many}: wedges sawn to the lean under the jaws, so that they stand parallel and nothing slides; {counted(sum(found.leaning), 'clamp')} (common practice).")
    return " ".join(said)


def place_words(clamping: Clamping, units: Units) -> str:
    """`2 on each joint, 2 3/4" from its ends`: equal shares of the joints in the fullest plane (common practice)."""
    low, rest = divmod(clamping.count, clamping.joints)
    each = "each joint" if clamping.joints > 1 else "the joint"
    if rest:
        return f"{low} or {low + 1} on {each}, evenly along it"
    if low == 1:
        return f"in the middle of {each}"
    if clamping.long is None:
        return f"{low} on {each}, evenly along it"
    spread = _spread(clamping.long, low, units)
    if spread is None:
        return f"{low} on {each}, evenly along it"
    end, apart = spread
    onward = f" and {shop_text(apart, units, mark=True)} apart" if low > 2 else ""
    return f"{low} on {each}, {shop_text(end, units, mark=True)} from its ends{onward}"


def _spread(long: Fraction, count: int, units: Units) -> tuple[Fraction, Fraction] | None:
    """Clamps in equal shares along a joint: from its ends, and apart, both to the nearest of a step with which they make up its
    length within the step. The coarsest step that moves the outer ones by no more than half of their place; None where none does."""
    share = long / count
    for step in (INCH / 4, INCH / 8, INCH / 16) if units.system == "inch" else (Fraction(5), Fraction(2), Fraction(1)):
        apart = max(_nearest(share, step), step)
        end = _nearest((long - (count - 1) * apart) / 2, step)
        if end > 0 and abs(end - share / 2) <= share / 4:
            return end, apart
    return None


def _nearest(length: Fraction, step: Fraction) -> Fraction:
    """Halves away from zero."""
    return (length / step + Fraction(1, 2)) // 1 * step


def warnings(model: Model, up: GlueUp, ordered: bool = False) -> list[str]:
    """Where closing takes longer than the glue stays open, with the mend; where the shop's clamps are too few or too short.
    ordered: the author says in which order it is closed, so no other order is said."""
    said = []
    found = up.found
    if found.late(model):
        goes = "" if ordered else two_goes(model, up)
        mend = "Close it in two goes that keep to the order above, or take a glue that stays open longer." if ordered and parted(model, up) else f"In two goes: {goes}. Or take a glue that stays open longer." if goes else "Take a glue that stays open longer, or more hands."
        said.append(f"Open time: {late_words(model, found)}. {mend}")
    said += [clamp_warning(model, c) for c in found.clamped if c.short]
    return said


def late_words(model: Model, found: Gluing) -> str:
    """`about 7 min to spread and put together, the glue leaves 5 (estimates)`."""
    return f"about {duration(whole_minutes(found.minutes))} to spread and put together, the glue leaves {duration(whole_minutes(minutes(model.info, 'glue_open')))} (estimates)"


def clamp_warning(model: Model, clamping: Clamping, panel: bool = False) -> str:
    """`Clamps: 8 wanted ... the assumed shop has 5 that open 28 1/2" ...`."""
    shop = model.shop
    name = "the assumed shop" if shop.assumed else shop.name
    there = f"has {clamping.there or 'none'} that {'opens' if clamping.there == 1 else 'open'} so far"
    return f"Clamps: {clamping.count} wanted {DIRECTIONS[clamping.axis]}, opening {wide_words(clamping.wide, model.info.units)}; {name} {there} (estimate). Spread what there is by stiff cauls, or borrow{'' if panel else '; or let screws draw it together'}."


def two_goes(model: Model, up: GlueUp) -> str:
    """`first the joints of Left side (A), the rest dry in place, then Right side (B)`; "" where it cannot be parted."""
    halves = parted(model, up)
    if halves is None:
        return ""
    level = Level(model, up.levels)
    first = tuple(dict.fromkeys(path for j in halves[0] for path in (j.a, j.b)))
    # what comes in the second go is what the first has not glued; else its joints are those that are left
    then = tuple(dict.fromkeys(p for j in halves[1] for p in (j.a, j.b) if p not in first and level.unit(p) not in level.units(first)))
    second = level.words(then) if then else counted(len(halves[1]), "joint") + " that are left"
    wholes = tied(first, [*((j.a, j.b) for j in halves[0]), *([p for p in first if level.unit(p) == unit] for unit in level.units(first))])
    if len(wholes) > 1:
        return f"first, each by itself, {'; '.join(level.words(paths) for paths in wholes)}; the rest dry in place; then all of these together, with {second}"
    return f"first {level.words(first)}, the rest dry in place; then {second}"


def parted(model: Model, up: GlueUp) -> tuple[list[Joint], list[Joint]] | None:
    """The joints in two goes: as many moves first as the glue leaves time for, else those of the part with most joints against
    the others; always so that what is glued second can still be taken out and put in. None where that cannot be."""
    joints = list(up.found.joints)
    level = Level(model, up.levels)
    opens = minutes(model.info, "glue_open")
    tried: list[list[Joint]] = []
    first: list[Joint] = []
    for move in closing_moves(level, joints):
        first = [*first, *move]
        if gluing(model, first).minutes > opens:
            break
        tried.insert(0, first)
    held: dict[str, list[Joint]] = {}
    for joint in joints:
        for path in (joint.a, joint.b):
            held.setdefault(level.unit(path), []).append(joint)
    tried += sorted((own for own in held.values() if gluing(model, own).minutes <= opens), key=len, reverse=True)
    for some in tried:
        rest = [j for j in joints if j not in some]
        if rest and _opens(level, some, rest):
            return some, rest
    return None


def _opens(level: Level, first: Sequence[Joint], rest: Sequence[Joint]) -> bool:
    """Whether all of `rest` still comes apart when `first` is glued, and with it what stood before."""
    model, joints = level.model, [*first, *rest]
    paths = tuple(dict.fromkeys(path for j in joints for path in (j.a, j.b)))
    ids = {j.id for j in rest}
    whole = [(j.a, j.b) for j in model.joints if j.id not in ids and j.a in paths and j.b in paths]
    units: dict[str, list[str]] = {}
    for path in paths:
        units.setdefault(level.unit(path), []).append(path)
    pieces = tied(list(paths), [*whole, *(tuple(own) for own in units.values())])
    home = {path: piece[0] for piece in pieces for path in piece}
    gone = {path for row in taken_off(model, pieces, rest) for path in (row.units if not row.inner else _all_out(row))}
    return all(home[j.a] != home[j.b] and (home[j.a] in gone or home[j.b] in gone) for j in rest)


def _all_out(row: Withdrawal) -> tuple[str, ...]:
    """What leaves a block by itself; the one piece that then is left of it has left what it was joined to."""
    inner = tuple(path for one in row.inner for path in (one.units if not one.inner else _all_out(one)))
    left = [path for path in row.units if path not in inner]
    return (*inner, *left) if len(left) < 2 else inner


def surface_words(area: Fraction, units: Units) -> str:
    """`103 sq in`, `665 cm²`, rounded up."""
    if units.system == "inch":
        return f"{-(-area // INCH**2)} sq in"
    return f"{-(-area // 100)} cm²"


def liquid_words(volume: Fraction, units: Units) -> str:
    """`14 ml`, `0.5 fl oz` (US fluid ounce, 29.57 ml), rounded up."""
    if units.system == "inch":
        tenths = -(-volume * 10 // (231 * INCH**3 / 128))
        return f"{tenths // 10}.{tenths % 10} fl oz"
    return f"{-(-volume // 1000)} ml"


def wide_words(wide: Fraction, units: Units) -> str:
    """An opening rounded up to the inch or to 10 mm."""
    step = INCH if units.system == "inch" else Fraction(10)
    return shop_text(-(-wide // step) * step, units, mark=True)


def near_words(length: Fraction, units: Units) -> str:
    """A spacing of a panel rounded down to the quarter inch or to 5 mm."""
    step = INCH / 4 if units.system == "inch" else Fraction(5)
    return shop_text(max(length // step, 1) * step, units, mark=True)


def waits_words(model: Model) -> str:
    """`Leave in the clamps for the time on the glue's label: about 1 h, and a day before it is stressed.`"""
    return f"Leave in the clamps for the time on the glue's label: about {duration(minutes(model.info, 'glue_held'))}, and a day before it is stressed (estimates)."
