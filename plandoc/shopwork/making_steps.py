"""Generated steps before assembly: cutting parts by stock, then machine work by kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from plandoc.model.blanks import blank_paths
from plandoc.model.density import stock_density
from plandoc.model.entities import Feature, Model, Part, Step, Stock
from plandoc.model.ordered import ordered
from plandoc.model.rods import is_rod
from plandoc.quantity import shop_text
from plandoc.shopwork.capacity import HEAVY_KG
from plandoc.shopwork.cutters import WAYS, Way, way_of
from plandoc.shopwork.draft import CUT, MACHINE, Draft
from plandoc.shopwork.measures import channel
from plandoc.shopwork.names import (
    BAND,
    LAYOUT,
    by_mark,
    counted,
    edge_words,
    group_words,
    listed,
    part_words,
    piece_count,
    sawn_box,
    stock_words,
    tolerance,
)
from plandoc.shopwork.operations import WorkItem, feature_operation
from plandoc.shopwork.setupcuts import BORED, SAWN_LATER, bored_before
from plandoc.shopwork.slopes import OWN_PLACE, slope_names
from plandoc.shopwork.strips import layout_step_words
from plandoc.shopwork.wording import END_ROWS, Work, work_words
from plandoc.tables import machine, operation, trade_operations

ROWS_A_STEP = 10
"""More lines than this make a second step of the same kind."""
SHORT = Fraction(1524, 10)
"""Shorter pieces than 6 in are not held by hand near a cutter (common practice)."""
TWO_PEOPLE_KG = HEAVY_KG
"""From here on two people lift."""


def cutting_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """One stretch of steps for each stock of which parts are still to be cut.

    Where the author's steps cut some parts of a stock, the title says that these are the others."""
    paths = {item.path: None for item in left if item.operation.startswith("cut:")}
    parts = [part for part in model.parts if part.path in paths]
    found = []
    for stock in dict.fromkeys(part.stock.name for part in parts):
        group = [part for part in parts if part.stock.name == stock]
        others = any(part.stock.name == stock and (part.path not in paths or part.glue_up) for part in model.parts)
        if ordered(group[0].stock):
            found.append(Draft(CUT, tuple(_ordering_steps(model, group)), tuple(p.path for p in group), stock=stock))
            continue
        panels = [part for part in group if part.glue_up is not None]
        single = [part for part in group if part.glue_up is None]
        steps = (*_cutting_steps(model, single, others), *_cutting_steps(model, panels, others))
        found.append(Draft(CUT, steps, tuple(p.path for p in group), stock=stock))
    return tuple(found)


def _cutting_steps(model: Model, parts: list[Part], others: bool) -> Iterator[Step]:
    if not parts:
        return
    units = model.info.units
    stock = parts[0].stock
    panels = parts[0].glue_up is not None
    what = stock_words(stock, units)
    groups = list(by_mark(parts).values())
    runs = [groups[i : i + ROWS_A_STEP] for i in range(0, len(groups), ROWS_A_STEP)]
    for number, run in enumerate(runs, 1):
        which = f"Cut the panels of {what} to size" if panels else f"Cut the {'other ' if others else ''}parts of {what}"
        title = which + (f" ({number} of {len(runs)})" if len(runs) > 1 else "")
        blanks = [group for group in run if any(part.path in blank_paths(model) for part in group)]
        sized = [group for group in run if group not in blanks]
        texts = (*(() if panels else layout_step_words(model, stock)), *_rough_lines(model, sized), _opening(stock, panels), *_size_lines(model, sized), *_blank_lines(model, blanks))
        thick = shop_text(stock.measured, units.fine, mark=True)
        measure = "diameter" if stock.kind == "dowel" else "thickness"
        checks = [
            f"Stock {measure}: the plan counts on {thick}. Measure first; if it differs, change the plan."
        ]
        if stock.rough is not None:  # the maker planes it, so it is as thick as he makes it
            checks = [f"Planed to {thick}: measure each board at both ends and in the middle."]
        if panels:
            checks = [f"Panels {thick} thick after planing, without a hollow under a straightedge."]
        if any(piece_count(group) > 1 for group in run):
            checks.append(f"Pieces of one mark alike within {shop_text(tolerance(units), units, mark=True)}.")
        if stock.faces:
            checks.append(f"Faces: {stock.faces}. The better face up on the table saw, down under a hand-held or track saw.")
        faces = "" if all(is_rod(group[0]) for group in run) else " and reference faces"
        checks.append(f"Write mark{faces} on every piece as it leaves the saw.")
        flat = tuple(part.path for group in run for part in group)
        small = any(group[0].length < SHORT for group in run)
        yield Step(
            0, title, cuts=flat, cautions=("small parts",) if small else (), texts=texts, checks=tuple(checks), author=False, kinds=_heavy(stock)
        )  # fmt: skip


def _ordering_steps(model: Model, parts: list[Part]) -> Iterator[Step]:
    """What the shop does not saw is ordered in its size, with the work that its drawing shows."""
    units = model.info.units
    groups = list(by_mark(parts).values())
    shaped = [group for group in groups if any(f.cuts for f in group[0].features)]
    texts = [
        "Have it cut to size by whoever sells it, with seamed edges (their sharpness ground off; common practice). It is not worked in the shop.",
        *(f"{group_words(group)}: {shop_text(group[0].length, units, mark=True)} × {shop_text(group[0].width, units, mark=True)}, {counted(piece_count(group), 'piece')}." for group in groups),
    ]
    if shaped:
        texts.append(f"With the work that the drawing shows: {listed([group_words(group) for group in shaped])}.")
    checks = (
        "Measure the room that it goes into first, and order by that; keep the play that the plan leaves.",
        f"Thickness: the plan counts on {shop_text(parts[0].stock.measured, units.fine, mark=True)}. Ask what is delivered; if it differs, change the plan.",
    )
    yield Step(0, f"Order the {stock_words(parts[0].stock, units)}", cuts=tuple(part.path for part in parts), texts=tuple(texts), checks=checks, author=False)


def _rough_lines(model: Model, groups: Sequence[tuple[Part, ...]]) -> tuple[str, ...]:
    """What is cut oversize before the finished sizes, where the plan has an allowance; panels got theirs as boards."""
    rough = [group for group in groups if group[0].allowance and group[0].glue_up is None]
    if not rough:
        return ()
    units = model.info.units
    found: dict[str, list[str]] = {}
    for group in rough:
        part = group[0]
        sizes = f"{shop_text(part.rough_length, units, mark=True)} long"
        if part.stock.kind in ("sheet", "lumber"):
            sizes += f", {shop_text(part.rough_width, units, mark=True)} wide"
        found.setdefault(sizes, []).append(f"{group_words(group)}, {counted(piece_count(group), 'piece')}")
    return ("Rough cut, with the trimming allowance:", *(f"{'; '.join(who)}: {sizes}." for sizes, who in found.items()), "Then the finish cut:")


def _blank_lines(model: Model, groups: Sequence[tuple[Part, ...]]) -> tuple[str, ...]:
    """What is not cut to its finished size: the blanks that a router cuts parts out of."""
    units = model.info.units
    return tuple(
        f"{group_words(group)}: {counted(piece_count(group), 'blank')}, {shop_text(group[0].rough_length, units, mark=True)} long, {shop_text(group[0].rough_width, units, mark=True)} wide. "
        f"{'They stay' if piece_count(group) > 1 else 'It stays'} so large for the clamps, until the router cuts the part out: see its routing set-up."
        for group in groups
    )


def _opening(stock: Stock, panels: bool) -> str:
    if panels:
        return "Flatten both faces of each panel and plane it to thickness, true one edge, rip to width, then crosscut both ends square."
    if stock.kind == "batten":
        return "Crosscut to length with a stop; the section stays as bought."
    if stock.kind == "sheet":
        if stock.width is None or stock.length is None:
            return "Break the sheets down, then rip to width and crosscut to length (along the grain first)."
        return f"Cut the parts out of their sheets in the order of {LAYOUT}."
    if stock.kind == "dowel":
        return "Cut the rod to length with a stop."
    if stock.rough is not None:
        return (
            "Joint one face and edge, plane to thickness, rip to width, then crosscut to length with a stop."
        )
    return "Rip to width, then crosscut to length with a stop."


def _size_lines(model: Model, groups: Sequence[tuple[Part, ...]]) -> tuple[str, ...]:
    """`Drawer box front (M): 2 pieces, 18 9/16" long, 3" wide.`; marks of one size share a line."""
    found: dict[str, list[tuple[Part, ...]]] = {}
    for group in groups:
        found.setdefault(_sizes(model, group[0]), []).append(group)
    lines = []
    for sizes, alike in found.items():
        counts = [piece_count(group) for group in alike]
        count = counted(counts[0], "piece") if len(set(counts)) == 1 else listed([str(n) for n in counts]) + " pieces"
        each = " each" if len(alike) > 1 and len(set(counts)) == 1 else ""
        lines.append(f"{listed([group_words(group) for group in alike])}: {count}{each}, {sizes}.")
    return tuple(lines)


def _sizes(model: Model, part: Part) -> str:
    units = model.info.units
    sawn = sawn_box(part)
    sizes = f"{shop_text(sawn.size(part.length_axis), units, mark=True)} long"
    if part.stock.kind not in ("dowel", "batten"):
        sizes += f", {shop_text(sawn.size(part.width_axis), units, mark=True)} wide"
    if sawn != part.box:
        sizes += " (before banding)"
    if part.thickness != part.stock.measured and part.stock.kind != "dowel":
        sizes += f", {shop_text(part.thickness, units, mark=True)} thick"
    axis = part.length_axis
    if part.shoulder.size(axis) != sawn.size(axis) and sawn == part.box:
        sizes += f" ({shop_text(part.shoulder.size(axis), units, mark=True)} between shoulders)"
    return sizes


def _heavy(stock: Stock) -> tuple[str, ...]:
    weighs = stock_density(stock)
    if stock.kind != "sheet" or stock.width is None or stock.length is None or weighs is None:
        return ()
    mass = stock.width * stock.length * stock.measured * weighs / 10**9
    return ("lifting",) if mass > TWO_PEOPLE_KG else ()


def machining_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """Steps for machine work that is still to be claimed, in the order of the table of operations.

    Banding that the sizes of its part include goes on first: channels run out through it, and stops and places are
    measured from its outside. Banding outside of the sizes covers the ends of channels, so it stays last."""
    wanted: dict[tuple[bool, str], dict[str, dict[str, None]]] = {}
    for item in left:
        if item.operation.startswith("make:"):
            kind = item.operation.rpartition(":")[2]
            key = not _bands_within(model, item), kind
            wanted.setdefault(key, {}).setdefault(item.path, {})[item.feature] = None
    first = _bored_first(model, wanted)
    kinds = [kind for kind in trade_operations() if kind not in first]
    at = min((kinds.index(kind) for kind in SAWN_LATER), default=0)
    kinds[at:at] = first
    order = [(late, kind) for late in (False, True) for kind in kinds if (late, kind) in wanted]
    return tuple(draft for key in order for draft in _kind_drafts(model, key[1], wanted[key]))


def _bored_first(model: Model, wanted: Mapping[tuple[bool, str], Mapping[str, Mapping[str, None]]]) -> tuple[str, ...]:
    """The kinds of bores that are made before outlines and notches, which take away the edge that lies at the fence."""
    return tuple(
        kind
        for kind in BORED
        if any(bored_before(model, part, f) for late in (False, True) for path, ids in wanted.get((late, kind), {}).items() for part in [model.part(path)] for f in part.features if f.id in ids)
    )


def _bands_within(model: Model, item: WorkItem) -> bool:
    """Whether the work is banding within the size of its part."""
    return any(f.id == item.feature and f.kind == BAND and not f.adds for f in model.part(item.path).features)


def _kind_drafts(model: Model, kind: str, wanted: dict[str, dict[str, None]]) -> Iterator[Draft]:
    """The work of one operation, apart by the way in which it is cut."""
    joints = {joint.id: joint for joint in model.joints}
    ways: dict[Way, dict[str, dict[str, None]]] = {}
    for path, ids in wanted.items():
        part = model.part(path)
        for feature in (f for f in part.features if f.id in ids):
            way = way_of(model.shop, kind, part, feature, channel(part, feature, joints.get(feature.joint)), model.info.units)
            ways.setdefault(way, {}).setdefault(path, {})[feature.id] = None
    for way in sorted(ways, key=WAYS.index):
        yield from _way_drafts(model, kind, way, ways[way])


def _way_drafts(model: Model, kind: str, way: Way, wanted: dict[str, dict[str, None]]) -> Iterator[Draft]:
    groups = list(by_mark([part for part in model.parts if part.path in wanted]).values())
    runs: list[list[tuple[Part, ...]]] = [[]]
    rows = 0
    for group in groups:
        size = len(_rows(kind, group[0], wanted[group[0].path]))
        if runs[-1] and rows + size > ROWS_A_STEP:
            runs.append([])
            rows = 0
        runs[-1].append(group)
        rows += size
    for number, run in enumerate(runs, 1):
        title = _machine_title(model, kind, wanted).replace("Cut", way.title, 1) + way.where + (f" ({number} of {len(runs)})" if len(runs) > 1 else "")
        parts = [part for group in run for part in group]
        features = tuple(f for part in parts for f in wanted[part.path])
        step = Step(
            0, title, makes=features, tools=(*((machine(way.machine).name,) if way.machine else ()), *way.tools), texts=_setup_texts(model, kind, run, wanted),
            checks=_machine_checks(model, kind), author=False,
        )  # fmt: skip
        yield Draft(MACHINE, (step,), tuple(p.path for p in parts))


def _machine_title(model: Model, kind: str, wanted: dict[str, dict[str, None]]) -> str:
    made = [f.kind for path, ids in wanted.items() for f in model.part(path).features if f.id in ids]
    titles = {
        "hole_row": "Drill the rows of holes",
        "hole": "Drill the holes",
        "lettering": "Cut the lettering",
        "corner_notch": "Notch the corners",
        "hinge_cup": "Bore for the hinge cups",
        "hinge_gain": "Let in the hinge leaves",
        "bevel": f"Cut the {slope_names(made)}",
        "edge_easing": "Round over the edges",
        "edge_banding": "Band the edges",
    }
    name = operation(kind).name
    plural = name + (
        "es" if name.endswith(("ch", "sh", "o")) and kind != "dado" else "es" if kind == "dado" else "s"
    )
    return titles.get(kind, f"Cut the {plural}")


def _rows(kind: str, part: Part, wanted: dict[str, None]) -> list[tuple[Feature, ...]]:
    """Features of one part, those of a row together."""
    features = [f for f in part.features if f.id in wanted and feature_operation(part, f) == kind]
    rows: dict[tuple[object, ...], list[Feature]] = {}
    for f in features:
        key: tuple[object, ...] = (f.id,)
        if kind in END_ROWS:
            key = (f.joint, f.face)
        elif f.row and f.diameter and f.centre:
            key = (f.row, f.face, f.diameter, f.depth)
        rows.setdefault(key, []).append(f)
    return [tuple(row) for row in rows.values()]


def _setup_texts(
    model: Model, kind: str, run: list[tuple[Part, ...]], wanted: dict[str, dict[str, None]]
) -> tuple[str, ...]:
    """One text a setting of the machine, with every place that is worked at that setting."""
    settings: dict[str, dict[tuple[str, str], list[str]]] = {}
    turned = []
    for group in run:
        who = group_words(group) + (
            f", {counted(piece_count(group), 'piece')}" if piece_count(group) > 1 else ""
        )
        lines = [_part_lines(model, kind, part, wanted.get(part.path, {}), len(group) > 1) for part in group]
        for setup, edge, place in lines[0]:
            settings.setdefault(setup, {}).setdefault((who, edge), []).append(place)
        if any(sorted(other) != sorted(lines[0]) for other in lines[1:]):
            turned.append(group)
    texts = []
    for setup, places in settings.items():
        texts.append(f"{'Set-up' if any(c.isdigit() for c in setup) else 'Work'}: {setup}.")  # what has no figure is set nowhere
        alike: dict[str, dict[str, list[str]]] = {}
        for (who, edge), own in places.items():
            alike.setdefault("; ".join(own), {}).setdefault(who, []).append(edge)
        for line, rows in alike.items():
            wheres = [", ".join(filter(None, (who, listed(edges)))) for who, edges in rows.items()]
            texts.append(f"{'; '.join(wheres)}: {line}.")
    return (*texts, *_turned_words(turned))


def _part_lines(model: Model, kind: str, part: Part, wanted: dict[str, None], alike: bool) -> list[tuple[str, str, str]]:
    """Set-up, face and place of each piece of work on one part."""
    joints = {joint.id: joint for joint in model.joints}
    found = []
    for features in _rows(kind, part, wanted):
        setup, place = work_words(kind, Work(model, part, features, joints.get(features[0].joint), alike=alike))
        face = features[0].face
        own = face is None or (kind in OWN_PLACE and not features[0].joint)
        found.append((setup, "" if own or face is None else edge_words(part, face), place))
    return found


def _turned_words(groups: list[tuple[Part, ...]]) -> tuple[str, ...]:
    """What is said of marks of which some pieces stand turned to the first, so that its words do not hold for them as they stand."""
    if not groups:
        return ()
    return (f"Faces are named as on {listed([part_words(group[0]) for group in groups])}; the other pieces are the same, turned in the hand.",)


def _machine_checks(model: Model, kind: str) -> tuple[str, ...]:
    close = shop_text(tolerance(model.info.units), model.info.units, mark=True)
    if kind == "mortise":
        return (
            "Cheeks square to the face, and parallel: try with a strip of the tenon's thickness.",
            f"Measure each mortise from its reference face; within {close} of the figure.",
        )
    if kind in ("tenon", "tongue"):
        what = "mortise" if kind == "tenon" else "groove"
        return (
            f"Cut it full and fit it to its {what}: it goes in by hand pressure, the shoulder closes all round.",
            "All shoulders of a part at one setting of the stop, so that they lie in one line.",
        )
    if kind in ("dado", "groove", "rabbet", "sliding_groove", "lap"):
        return (
            "Try the set-up on scrap of the same stock: the mating part goes in by hand pressure.",
            f"Measure each channel from its reference face; within {close} of the figure.",
        )
    if kind == "hinge_gain":
        return ("Not deeper than the figure, which leaves the gap of the drawing: try it with the leaf in hand; what it does not take of the leaf stands proud.",)
    if kind in ("hole", "hole_row", "round_pocket", "rectangular_pocket", "hinge_cup"):
        return (
            f"Mark out from the reference faces; centres within {close}.",
            "Drill a test hole in scrap for fit and depth.",
        )
    if kind == "tails":
        return ("Square to the face and down to the baseline; the slopes need only be straight.",)
    if kind == "pins":
        return ("Mark the pins with the knife from the finished tails, part by part; the drawing gives the figures to check them.",)
    if kind == "end_mitre":
        return ("Cut two pieces of scrap and hold them together: the square must lie close inside and outside.",)
    return ("Mark out from the reference faces and check against the part drawing before cutting.",)
