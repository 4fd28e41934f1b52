"""Which machine of the shop makes each cut and each piece of work, why, and what to do where none can.

`machine_notes` is what a step prints; `report` is what `plandoc check` says of work that no machine of the shop can do.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.diagnostics import Sink, Span
from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature, Model, Part, Stock
from plandoc.model.roughsizes import rough_pieces
from plandoc.model.sawn import saw_of, sawn_size, sheets_of
from plandoc.quantity import shop_text
from plandoc.shopwork.blades import ACROSS, ALONG, SHEETS, TASKS, blade_for, blade_text
from plandoc.shopwork.capacity import (
    HEAVY_KG,
    Asking,
    Choice,
    Sawn,
    hold,
    jointer_for,
    machines_of,
    narrow,
    planer_for,
    refusals,
    saw_for,
)
from plandoc.shopwork.cutters import ROUTED, STACK, way_and_reason
from plandoc.shopwork.measures import channel, cut_box
from plandoc.shopwork.mortising import MORTISE, mortise_bars
from plandoc.shopwork.names import by_mark, counted, exact_size, group_words, listed, stock_words
from plandoc.shopwork.operations import Operation, WorkItem, feature_operation, machined
from plandoc.shopwork.setupcuts import BORED, all_slots, bored_before
from plandoc.shopwork.sizecuts import layout_cuts, mass_of, size_choice
from plandoc.shopwork.stack import plain_stacks
from plandoc.shopwork.trade import BENCH
from plandoc.tables import machine, machine_named, operation
from plandoc.tables.shop import ShopMachine

NEAREST = {
    "sheet": "have the sheets cut to rough size where they are bought, add a guide rail to the shop, or make the part in two pieces",
    "lumber": "have the boards milled where they are bought, or make the part of narrower boards",
}
"""The nearest way round, by the kind of stock."""


@dataclass(frozen=True, slots=True)
class Assigned:
    """A piece of work and its machine. who: the parts in words; what: the work in words; span: of the part's line."""

    who: str
    what: str
    choice: Choice
    span: Span


@dataclass(frozen=True, slots=True)
class Notes:
    """What a step says of its machines. lines: which machine does what, and why; tools: their names, and blades; keys: the machine of
    each operation, by the keys of the tables."""

    lines: tuple[str, ...]
    tools: tuple[str, ...]
    keys: dict[str, str]


# Cuts out of stock -------------------------------------------------------------------------------------------------------


def _sheet_lines(model: Model, stock: Stock) -> tuple[list[str], list[Choice]]:
    """One line for each machine that cuts sheets of a stock: how many cuts, of what, and why there."""
    units = model.info.units
    groups: dict[tuple[str, str], list[tuple[Sawn, Choice]]] = {}
    for cut in layout_cuts(model, stock):
        choice = saw_for(model.shop, cut, units)
        groups.setdefault((choice.name, _manner(choice)), []).append((cut, choice))
    lines = []
    for (name, manner), rows in groups.items():
        count = counted(len(rows), "cut")
        first = max(rows, key=lambda row: row[0].along * row[0].across)
        if not name:
            lines.append(f"No saw of the shop takes {count}, such as {_piece(model, first[0])}: {refusals(first[1])}. {_sentence(NEAREST['sheet'])}")
        elif manner == "fence":
            settings = [cut.at for cut, _ in rows]
            lines.append(f"{name}, fence: {count}, at {_range(model, settings)} of {_most(model, first[1], 'rip')}; the edge on the fence is never shorter than that.")
        elif manner == "gauge":
            lines.append(f"{name}, mitre gauge or sled: {count}, up to {_say(model, max(cut.along for cut, _ in rows))} wide of {_most(model, first[1], 'crosscut')}.")
        elif first[1].refused:
            why = first[1].refused[0]
            lines.append(f"{name}: {count}, the largest {_piece(model, first[0])}, {first[1].reason}. Not on the {why[0][:1].lower()}{why[0][1:]}: {why[1]}.")
        else:
            lines.append(f"{name}: {count}, {first[1].reason}.")
    return lines, [choice for rows in groups.values() for _, choice in rows]


def _manner(choice: Choice) -> str:
    if choice.key != "table_saw" or choice.helper:
        return ""
    return "fence" if "fence" in choice.reason else "gauge"


def _say(model: Model, length: Fraction) -> str:
    return shop_text(length, model.info.units, mark=True)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _piece(model: Model, cut: Sawn) -> str:
    return f"at {_say(model, cut.at)} of a piece {_say(model, cut.across)} × {_say(model, cut.along)}"


def _range(model: Model, lengths: Sequence[Fraction]) -> str:
    low, high = min(lengths), max(lengths)
    return _say(model, low) if low == high else f"{_say(model, low)} to {_say(model, high)}"


def _most(model: Model, choice: Choice, word: str) -> str:
    most = choice.machine.one(word) if choice.machine is not None else None
    return f"its {_say(model, most)}" if most is not None else "what it takes"


def board_cuts(model: Model, part: Part) -> Iterator[tuple[str, Choice]]:
    """The work that brings a part of solid wood out of its stock: what, and on which machine."""
    if part.glue_up is not None:
        yield from panel_boards(model, part)
        yield from panel_cuts(model, part)
        return
    units, shop, stock = model.info.units, model.shop, part.stock
    long, wide = part.rough_length, part.rough_width
    if stock.rough is not None:
        yield "joint", jointer_for(shop, long, wide, units)
        yield "plane", planer_for(shop, long, wide, stock.measured, units)
    if stock.kind == "lumber":
        rough, finish = _rip(model, stock, long, wide, part.rough_thickness), _finish_rip(model, part)
        if part.allowance and rough.key != finish.key:
            yield "rough rip", rough  # before it is planed, on another saw than the finish cut
        yield "rip", finish
    if stock.kind in ("lumber", "batten"):
        yield "crosscut", size_choice(model, part, True)


def _finish_rip(model: Model, part: Part) -> Choice:
    """As `size_choice` has it; what is too short for the fence by itself comes from a longer blank."""
    choice, least = size_choice(model, part, False), max(part.width, hold(model.info.units))
    if part.length >= least or not choice.good:
        return choice
    return replace(choice, reason=f"from a longer blank: {_say(model, part.length)} is too short for it; rip first, then cut to length; {choice.reason}")


def panel_boards(model: Model, part: Part) -> Iterator[tuple[str, Choice]]:
    """The work on the boards of a panel before they are glued: out of their stock by the widest crosscut and the rips, then flat and square."""
    units, shop, stock = model.info.units, model.shop, part.stock
    pieces = tuple(dict.fromkeys((p.length, p.width, p.thickness) for p in rough_pieces(part)))
    across = [cut for cut in layout_cuts(model, stock) if cut.crosscut]
    long, wide, thick = max(pieces, key=lambda piece: piece[1])
    yield "crosscut", saw_for(shop, max(across, key=lambda cut: cut.along, default=Sawn(wide, 2 * long, long, thick, mass_of(stock, 2 * long, wide, thick), crosscut=True)), units)
    for long, wide, thick in pieces:
        yield "rip", _rip(model, stock, long, wide, thick)
        if stock.rough is not None:
            yield "joint", jointer_for(shop, long, wide, units)
            yield "plane", planer_for(shop, long, wide, stock.measured, units)


def panel_cuts(model: Model, part: Part) -> Iterator[tuple[str, Choice]]:
    """The work on a panel once it is glued: flat, to thickness, to size."""
    units, shop = model.info.units, model.shop
    yield "flatten the panel", jointer_for(shop, part.rough_length, part.rough_width, units)
    yield "plane the panel", planer_for(shop, part.rough_length, part.rough_width, part.stock.measured, units)
    yield "rip", size_choice(model, part, False)
    yield "crosscut", size_choice(model, part, True)


def _rip(model: Model, stock: Stock, long: Fraction, wide: Fraction, thick: Fraction) -> Choice:
    """Boards are ripped before they are cut to length, so a short piece comes from a longer blank that bears on the fence."""
    units = model.info.units
    blank = max(long, wide, hold(units))
    choice = saw_for(model.shop, Sawn(blank, wide, wide, thick, mass_of(stock, long, wide, thick)), units)
    if blank == long or not choice.good:
        return choice
    return replace(choice, reason=f"from a longer blank: {_say(model, long)} is too short for it; rip first, then cut to length; {choice.reason}")


def _board_lines(model: Model, parts: Sequence[Part], cuts: Callable[[Model, Part], Iterator[tuple[str, Choice]]]) -> tuple[list[str], list[Choice], dict[str, str], tuple[str, ...]]:
    """One line for each machine and kind of cut, with the parts that it is for; the machine of each operation; the tasks of the
    table saw's blade."""
    groups: dict[tuple[str, str, str], list[tuple[tuple[Part, ...], Choice]]] = {}
    for group in by_mark(parts).values():
        for what, choice in cuts(model, group[0]):
            short = choice.reason.startswith("from a longer blank")
            groups.setdefault((what, choice.name, "short" if short else "hand" if choice.machine is None else ""), []).append((group, choice))
    lines = []
    for (what, name, kind), rows in groups.items():
        who = listed(list(dict.fromkeys(group_words(group) for group, _ in rows))) if kind or len(groups) > 6 else ""
        first = rows[0][1] if kind == "short" else max((choice for _, choice in rows), key=lambda c: len(c.refused))
        word = {"joint": "Joint", "plane": "Plane", "rough rip": "Rough rip", "rip": "Rip", "crosscut": "Crosscut", "plane the panel": "Plane the panels", "flatten the panel": "Flatten the panels"}[what]
        if not name:
            lines.append(f"{word} {listed([group_words(group) for group, _ in rows])}: no machine of the shop takes it ({refusals(first)}). {_sentence(NEAREST['lumber'])}")
            continue
        why = f". Not on the {first.refused[0][0][:1].lower()}{first.refused[0][0][1:]}: {first.refused[0][1]}" if first.refused else ""
        reason = first.reason if kind or len(rows) == 1 else _widest(rows)
        lines.append(f"{word}{' ' + who if who else ''}: {name[:1].lower()}{name[1:]}, {reason}{why}.")
    kinds = {_KINDS[what]: rows[0][1].key for (what, _, _), rows in reversed(groups.items()) if rows[0][1].good}
    sawn = [_TASKS[what] for (what, _, _), rows in groups.items() if what in _TASKS and any(choice.key == "table_saw" for _, choice in rows)]
    return lines, [choice for rows in groups.values() for _, choice in rows], kinds, tuple(dict.fromkeys(sawn))


_TASKS = {"rip": ALONG, "crosscut": ACROSS}
_KINDS = {"joint": "jointing", "plane": "planing", "plane the panel": "planing", "flatten the panel": "jointing", "rip": "rip", "rough rip": "rip", "crosscut": "crosscut"}


def _widest(rows: Sequence[tuple[tuple[Part, ...], Choice]]) -> str:
    """The reason that holds for the widest of several pieces."""
    return max(rows, key=lambda row: (row[0][0].rough_width, row[0][0].rough_length))[1].reason


# Work on parts -----------------------------------------------------------------------------------------------------------


def work_choice(model: Model, part: Part, feature: Feature, kind: str = "") -> Choice:
    """The machine for one piece of work on a part: the first one of its operation that the shop has and that can take it."""
    kind = kind or feature_operation(part, feature)
    entry = operation(kind)
    joint = next((j for j in model.joints if j.id == feature.joint), None)
    found = channel(part, feature, joint)
    if found is not None and kind in ROUTED:
        way, choice = way_and_reason(model.shop, model.info.units, kind, part, feature, found)
        if choice.good or way is not STACK:
            return choice
    ask = Asking(model.shop, model.info.units)
    for key in entry.machines:
        if key in BENCH:
            return Choice(key, None, "", tuple(ask.refused))
        for one in ask.each(key):
            why = _bars(ask, key, kind, part, feature)
            if not why:
                return ask.chosen(one, "")
            ask.no(one, why)
    return ask.none()


def _bars(ask: Asking, key: str, kind: str, part: Part, feature: Feature) -> str:
    """Why a machine cannot take this work on this part, "" where it can."""
    one = next(m for m in ask.shop.machines if m.key == key)
    if key in ("router", "drill_press") and kind == MORTISE:
        return mortise_bars(one, part, feature, ask.say)
    if key == "drill_press":
        return _drill_bars(ask, part, feature)
    if key == "table_saw" and kind in ("tenon", "tongue") and not plain_stacks(ask.shop):
        return "it takes no stack of cutters"
    if key == "mitre_saw" and ("tilt" in feature.note or feature.kind == "case mitre"):
        return "its blade does not tilt"
    if key == "mitre_saw":
        word = "mitred" if one.one("mitred") is not None else "crosscut"
        return ask.over(one, word, part.width, "a width of") or ask.over(one, "deep", part.thickness, "a thickness of")
    if key == "table_saw" and kind in ("bevel", "bevelled_edge", "angled_end", "end_mitre"):
        end = feature.face is None or feature.face.axis == part.length_axis or kind in ("angled_end", "end_mitre")
        tilt = ask.over(one, "bevelled" if one.one("bevelled") is not None else "deep", part.thickness, "a thickness of")
        return tilt or (ask.over(one, "crosscut", part.width, "a width of") if end else "")
    if key == "band_saw":
        return ask.over(one, "deep", part.thickness, "a thickness of") or ask.over(one, "throat", _reach(part, feature), "a reach from the edge of") or _too_big(ask, part)
    return ""


def _reach(part: Part, feature: Feature) -> Fraction:
    """How far from the nearest edge the work reaches: so much lies between the blade and the column."""
    box = cut_box(part, feature) or part.box
    axes = [axis for axis in range(3) if axis != part.thickness_axis]
    return min(min(box.hi[axis] - part.box.lo[axis], part.box.hi[axis] - box.lo[axis]) for axis in axes)


def _too_big(ask: Asking, part: Part) -> str:
    mass = mass_of(part.stock, part.length, part.width, part.thickness)
    return f"the part weighs about {ask.weigh(mass)}, too much to turn on its table" if mass is not None and mass > HEAVY_KG else ""


def _drill_bars(ask: Asking, part: Part, feature: Feature) -> str:
    """A drill press reaches from its column to a hole, deep as its spindle goes; the board must not stand on end."""
    one = next(m for m in ask.shop.machines if m.key == "drill_press")
    face, centre = feature.face, feature.centre
    depth = feature.depth or (part.box.size(face.axis) if face is not None and feature.through else None)
    why = ask.over(one, "deep", depth, "a depth of") if depth is not None else ""
    bits = one.all("bits")
    if not why and bits and feature.diameter is not None and feature.diameter not in bits:
        why = f"no bit of {exact_size(feature.diameter, ask.units)} is listed"
    if why or face is None or centre is None:
        return why
    if face.axis == part.length_axis and part.length > 2 * HEIGHT:
        return f"{ask.say(part.length)} does not stand on end below it"
    near = min(abs(centre[axis] - part.box.at(Face(axis, side))) for axis in range(3) if axis != face.axis for side in (-1, 1))
    throat = one.one("throat")
    return f"{ask.say(near)} from the nearest edge, its throat is {ask.say(throat)}" if throat is not None and near > throat else ""


HEIGHT = Fraction(3048, 10)
"""12 in, from the table of a bench drill press to its chuck; twice that on a floor stand (common practice)."""


def _work_lines(model: Model, items: Sequence[WorkItem], every: dict[str, Operation]) -> tuple[list[str], dict[str, list[Choice]]]:
    """A line for each machine and reason, like reasons together; and the choices by operation. The usual machine is named where
    another one does some of the work."""
    groups: dict[tuple[str, str], tuple[str, list[Part]]] = {}
    found: dict[str, list[Choice]] = {}
    for item in items:
        op = every[item.operation]
        if op.verb != "make":
            continue
        part = model.part(item.path)
        choice = work_choice(model, part, next(f for f in part.features if f.id == item.feature), op.kind)
        found.setdefault(op.kind, []).append(choice)
        reason = choice.reason
        if not choice.good:
            reason = f"no machine of the shop can ({refusals(choice)})"
        elif not reason and choice.refused:
            why = choice.refused[0]
            reason = f"not the {why[0][:1].lower()}{why[0][1:]}: {why[1]}"
        name = choice.name or operation(op.kind).name.capitalize()
        groups.setdefault((name, _FIGURE.sub("#", reason)), (reason, []))[1].append(part)
    lines = []
    for (name, _), (reason, parts) in groups.items():
        who = name
        if len(groups) > 1:
            who += ", " + listed([group_words(group) for group in by_mark(list(dict.fromkeys(parts))).values()])
        elif not reason:
            continue  # the usual machine for all of it
        lines.append(f"{who}: {reason}." if reason else f"{who}.")
    return lines, found


def _before_lines(model: Model, items: Sequence[WorkItem], every: dict[str, Operation]) -> list[str]:
    """`Drill press, Tray 1 (H): bore before the tab is sawn, which takes away the edge at the fence.`"""
    found: dict[str, dict[Part, None]] = {}
    for item in items:
        if every[item.operation].kind in BORED:
            part = model.part(item.path)
            before = bored_before(model, part, next(f for f in part.features if f.id == item.feature))
            found.setdefault(before, {})[part] = None
    name = next((one.name for one in model.shop.machines if one.key == "drill_press"), machine("drill_press").name)
    return [
        f"{name}, {listed([group_words(group) for group in by_mark(list(parts)).values()])}: bore before {before}, while the whole edge bears on the fence."
        for before, parts in found.items()
        if before
    ]


_FIGURE = re.compile(r"[\d≈][\d /.-]*(?:\"| mm)")
"""A length in a reason: reasons that differ in figures only are said once."""


# What the steps and the check say ----------------------------------------------------------------------------------------


def machine_notes(model: Model, items: Sequence[WorkItem], every: dict[str, Operation], spoken: dict[str, None] | None = None, tools: Sequence[str] = (), boards: Sequence[Part] = ()) -> Notes:
    """Lines on the machines of a step's work, and the machines' names for its tools. spoken: stocks of whose sheets a step before has
    spoken as a whole; those of this one are added. tools: those of the author, whose machine does the work on parts where it can. boards: parts whose boards the step gets out and glues up."""
    spoken = {} if spoken is None else spoken
    lines: list[str] = []
    choices: list[Choice] = []
    keys: dict[str, str] = {}
    blades: dict[str, ShopMachine] = {}
    cut = [model.part(item.path) for item in items if every[item.operation].verb == "cut"]
    for name in dict.fromkeys(part.stock.name for part in (*boards, *cut)):
        parts = [part for part in cut if part.stock.name == name]
        glued = [part for part in boards if part.stock.name == name]
        stock = (glued or parts)[0].stock
        if stock.kind == "sheet":
            made, found = _sheet_lines(model, stock) if stock.width is not None and stock.length is not None else ([], [])
            made = [] if name in spoken else made
            there = [key for key in ("track_saw", "table_saw", *(c.key for c in found if c.good)) if any(c.key == key for c in found)]
            if there:
                keys.update(sheet_breakdown=there[0], rip="table_saw" if "table_saw" in there else there[0], crosscut="table_saw" if "table_saw" in there else there[0])
            spoken[name] = None
            sawn: tuple[str, ...] = (SHEETS,) if any(choice.key == "table_saw" for choice in found) else ()
        else:
            made, found, kinds, sawn = _board_lines(model, glued, panel_boards)
            keys.update(kinds)
            for group, cuts in (([part for part in parts if part.glue_up is None], board_cuts), ([part for part in parts if part.glue_up is not None], panel_cuts)):
                lines_of, choices_of, kinds, sawn_of = _board_lines(model, group, cuts)
                made, found, sawn = made + lines_of, found + choices_of, tuple(dict.fromkeys((*sawn, *sawn_of)))
                keys.update(kinds)
        blades.update((task, blade) for task in sawn if (blade := blade_for(model.shop, ((task,),))) is not None)
        several = len({part.stock.name for part in (*boards, *cut)}) > 1
        lines += [f"{_sentence(stock_words(stock, model.info.units))[:-1]}. {line}" if several else line for line in made]
        choices += found
        if any(choice.push for choice in found if choice.key == "table_saw") and made:
            lines.append(f"Push block: wherever less than {_say(model, narrow(model.info.units))} stand between fence and blade.")
    if blades:
        lines.append(f"Blade: {'; '.join(f'{blade_text(blade)}, {TASKS[task]}' for task, blade in blades.items())}.")
    own = {said.key: None for tool in tools if (said := machine_named(tool)) is not None}
    open_items = [item for item in items if not any(key in own for key in operation(every[item.operation].kind).machines)]
    made, by_kind = _work_lines(model, open_items, every)
    made += _before_lines(model, items, every)
    names = machines_of([*choices, *(choice for row in by_kind.values() for choice in row)])
    if any(_on_the_gauge(model, item) for item in open_items if every[item.operation].verb == "make"):
        names = (*names, "mitre gauge")
    return Notes((*lines, *made), (*names, *dict.fromkeys(_blade_tool(blade) for blade in blades.values())), {**keys, **{kind: row[0].key for kind, row in by_kind.items() if row[0].good}})


def _on_the_gauge(model: Model, item: WorkItem) -> bool:
    """Whether the work rides the fence of the saw with an end, so that the mitre gauge goes behind it."""
    part = model.part(item.path)
    return any(slot.machine == "table_saw" and slot.rides.axis == part.length_axis for ways in all_slots(model).get((item.path, item.feature), ())[:1] for slot in ways)


def _blade_tool(blade: ShopMachine) -> str:
    """`rip blade`, `saw blade "40 teeth"`."""
    return blade.name if "blade" in blade.name.casefold() else f'saw blade "{blade.name}"'


def report(model: Model, sink: Sink) -> None:
    """PD366, PD367: work that no machine of the shop can do, for each part and piece of work once."""
    code = "PD367" if model.shop.assumed else "PD366"
    for found in _impossible(model):
        sink.emit(
            code,
            f"no machine of the shop can {found.what} {found.who}",
            found.span,
            notes=tuple(f"{name}: {why}" for name, why in dict.fromkeys(found.choice.refused)),
            mend=_way_round(model, found),
        )


def _way_round(model: Model, found: Assigned) -> str:
    return found.choice.reason or "list the machine in the shop file, or plan another joint or size"


def _impossible(model: Model) -> Iterator[Assigned]:
    for group in by_mark(model.parts).values():
        part = group[0]
        who = f"`{part.path}`"
        for what, choice in _part_cuts(model, part):
            if not choice.good:
                yield Assigned(who, what, Choice("", None, NEAREST.get(part.stock.kind, ""), choice.refused), part.span)
                break
        for kind, feature in _kinds(model, part):
            choice = work_choice(model, part, feature, kind)
            if not choice.good:
                machines = listed([machine(key).name.casefold() for key in operation(kind).machines])
                way = f"this work is done on: {machines}; list one of them in the shop file, or plan it another way"
                yield Assigned(who, f"cut the {operation(kind).name} in", Choice("", None, way, choice.refused), feature.span if feature.span.file else part.span)


def _kinds(model: Model, part: Part) -> Iterator[tuple[str, Feature]]:
    for feature in machined(model, part):
        yield feature_operation(part, feature), feature


def _part_cuts(model: Model, part: Part) -> Iterator[tuple[str, Choice]]:
    """The cuts of one part, each from the piece that suits it best."""
    stock = part.stock
    if stock.kind == "sheet" and stock.width is not None and stock.length is not None:
        long, wide = sawn_size(part)
        trim = 2 * saw_of(model).trim
        whole = max(sheets_of(stock), key=lambda sheet: sheet.length * sheet.width)
        for what, along, least, at in (("rip", whole.length - trim, long, wide), ("crosscut", whole.width - trim, wide, long)):
            tries = [_cut_of(model, stock, bearing, at, what == "crosscut") for bearing in (along, least)]
            yield what, next((choice for choice in tries if choice.good), tries[0])
    elif stock.kind in ("lumber", "batten"):
        yield from board_cuts(model, part)


def _cut_of(model: Model, stock: Stock, along: Fraction, at: Fraction, crosscut: bool) -> Choice:
    across = max(at, narrow(model.info.units))
    return saw_for(model.shop, Sawn(along, across, at, stock.measured, mass_of(stock, along, across, stock.measured), True, crosscut), model.info.units)
