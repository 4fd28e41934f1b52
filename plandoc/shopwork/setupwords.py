"""What is said of a set-up: cutter and its pieces, fence, faces, pieces, test cut, guards. Words and exact figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Model, Part
from plandoc.quantity import INCH, Units
from plandoc.shopwork.names import by_mark, counted, edge_words, exact_size, exact_text, listed
from plandoc.shopwork.setting import BIT, BLADE, CENTRE, DRILL, FAR, NEAR, STACK, Cut, Cutter, Setting
from plandoc.shopwork.setups import Job, SetUp
from plandoc.shopwork.stack import Stack
from plandoc.tables import Caution, caution_name, machine, operation
from plandoc.tables.shop import Shop


@dataclass(frozen=True, slots=True)
class Use:
    """The pieces of one mark at a set-up, of holes and mortises those of one face, named as the first of them stands. rides, down:
    faces in words; places: of holes, runs: of mortises, from the face `end`; count: pieces."""

    mark: str
    name: str
    count: int
    rides: tuple[str, ...]
    down: tuple[str, ...]
    places: tuple[Fraction, ...]
    end: str
    up: tuple[str, ...]
    cuts: tuple[Cut, ...]
    runs: tuple[tuple[Fraction, Fraction], ...] = ()


def thin_text(value: Fraction, units: Units) -> str:
    """A shim as it is marked: thousandths of an inch or tenths of a millimetre."""
    return f"{float(value / INCH):.3f}" if units.system == "inch" else f"{float(value):g}"


def pieces_text(stack: Stack, units: Units) -> str:
    """`2 outer blades 1/8", 3 chippers 1/8", 1 chipper 1/16", shims 0.012 + 0.004`."""
    said = [f"2 outer blades {exact_text(stack.outer, units)}"]
    said += [f"{counted(count, 'chipper')} {exact_text(thick, units)}" for count, thick in stack.pieces]
    if stack.shims:
        said.append(f"shim{'s' if len(stack.shims) > 1 else ''} {' + '.join(thin_text(shim, units) for shim in stack.shims)}")
    return ", ".join(said)


def cutter_text(cutter: Cutter, units: Units, wide: Fraction | None = None) -> str:
    """`Rip blade, 24 teeth, kerf 1/8"`, `Stack 23/32"`, `Straight bit 3/16"`, `Bit 5 mm`. wide: the width of the channel that a stack is for."""
    if cutter.kind == BLADE:
        name = cutter.name or "Blade"
        return f"{name}, kerf {exact_text(cutter.width, units)}" if cutter.width else name
    if cutter.kind == STACK:
        return f"Stack {exact_text(wide or cutter.width, units)}"
    return f"{'Straight bit' if cutter.kind == BIT else 'Bit'} {exact_size(cutter.width, units)}"


def fence_texts(setting: Setting, units: Units) -> tuple[str, ...]:
    """The distances, two of several passes: the first and the last."""
    fence = setting.fence if len(setting.fence) < 3 else (setting.fence[0], setting.fence[-1])
    return tuple(exact_text(value, units) for value in fence)


def side_text(setting: Setting) -> str:
    """`to the near side of the stack`: to what the distance goes from fence or stop."""
    what = {BLADE: "blade", STACK: "stack", BIT: "bit", DRILL: "bit"}[setting.cutter.kind]
    if setting.guide == "line":
        return "measured and marked, rail at the line"
    if setting.side == CENTRE:
        return f"to the middle of the {what}"
    if setting.side in (NEAR, FAR):
        return f"to the {setting.side} side of the {what}"
    return "to the long point"


def passes_text(setting: Setting) -> str:
    """How a cut in several passes goes on; "" of one pass."""
    count = len(setting.fence)
    if count == 1:
        return ""
    if count == 2:
        return "2 passes"
    return f"{count} passes, the first and the last at these distances"


def uses(model: Model, setup: SetUp) -> tuple[Use, ...]:
    """The pieces by mark, in the order of the plan."""
    paths = dict.fromkeys(cut.path for cut in setup.cuts)
    found = []
    for mark, parts in by_mark([part for part in model.parts if part.path in paths]).items():
        first = parts[0]
        every = [cut for cut in setup.cuts if any(cut.path == part.path for part in parts)]
        faces: dict[object, list[Cut]] = {}
        for cut in (cut for cut in every if cut.path == first.path):
            faces.setdefault(cut.end is not None and (cut.rides, cut.worked, cut.end), []).append(cut)
        for own in faces.values():
            places = tuple(sorted(dict.fromkeys(place for cut in own for place in cut.places)))
            runs = tuple(sorted(dict.fromkeys(cut.run for cut in own if cut.run is not None)))
            end = next((edge_words(first, cut.end) for cut in own if cut.end is not None), "")
            others = [cut for cut in every if cut.path != first.path and (len(faces) == 1 or any((cut.places, cut.run) == (one.places, one.run) for one in own))]
            found.append(Use(
                mark, first.name, _count(parts, every), _faces(first, [cut.rides for cut in own]), _faces(first, [cut.down for cut in own]),
                places, end, _faces(first, [cut.up for cut in own]), (*own, *others), runs,
            ))  # fmt: skip
    return tuple(found)


def _count(parts: Sequence[Part], cuts: Sequence[Cut]) -> int:
    """How many pieces: all of the parts, of cuts to size those that are cut at this set-up."""
    sized = [sum(cut.count for cut in cuts if cut.feature == name) for name in ("length", "width")]
    return max(sized) or sum(part.count for part in parts)


def _faces(part: Part, faces: Sequence[Face | None]) -> tuple[str, ...]:
    """The faces in words, two that face each other as `both ends`."""
    own = list(dict.fromkeys(face for face in faces if face is not None))
    found: list[str] = []
    for face in own:
        words = edge_words(part, face)
        if face.opposite in own:
            words = f"both {words.rpartition(' ')[2]}s"
        if words not in found:
            found.append(words)
    return tuple(found)


def _marks(rows: Sequence[Use]) -> str:
    """`A, B × 1, C × 2`: marks of one count together."""
    counts = dict.fromkeys(use.count for use in rows)
    return ", ".join(f"{', '.join(use.mark for use in rows if use.count == count)} × {count}" for count in counts)


def pieces_lines(model: Model, setup: SetUp) -> tuple[str, ...]:
    """`A, B × 1: bottom end at fence.`, `Down: right face (A), left face (B).`; of sizes `A, B × 1 long`."""
    units, rows = model.info.units, uses(model, setup)
    if setup.phase == 0:
        by_word = {word: [use for use in rows if any(cut.feature == name for cut in use.cuts)] for name, word in (("length", "long"), ("width", "wide"))}
        return tuple(f"{_marks(own)} {word}" for word, own in by_word.items() if own)
    routed = setup.setting.machine == "router"
    guide = "at stop" if setup.setting.guide == "stop" else "at edge guide" if routed else "at fence"
    lines = _placed_lines(units, guide, [use for use in rows if use.end])
    every, rows = rows, tuple(use for use in rows if not use.end)
    for rides in dict.fromkeys(use.rides for use in rows):
        alike = [use for use in rows if use.rides == rides]
        turn = " in turn" if len(rides) > 1 or rides[0].startswith("both") else ""
        lines.append(f"{_marks(alike)}: from {listed(rides)}{turn}." if routed else f"{_marks(alike)}: {listed(rides)}{turn} {guide}.")
        down = dict.fromkeys(use.down for use in alike if use.down)
        said: list[str] = []
        for faces in down:
            words = listed(faces)
            last = words.rpartition(" ")[2]
            if said and len(faces) == 1 and all(other[0].endswith(f" {last}") and len(other) == 1 for other in down):
                words = words.removesuffix(f" {last}")  # `right face (A), left (B)`
            said.append(words + (f" ({', '.join(use.mark for use in alike if use.down == faces)})" if len(down) > 1 else ""))
        if said:
            lines.append(f"Down: {', '.join(said)}.")
        for use in alike:
            if use.up and not use.down:
                lines.append(f"{use.mark}: long point at the {listed(use.up)}.")
        for use in alike:
            stops = dict.fromkeys(f"{exact_text(length, units)} before the {edge_words(model.part(cut.path), face)}" for cut in use.cuts[:1] for face, length in cut.stops)
            if stops:
                lines.append(f"{use.mark}: stopped {listed(tuple(stops))}.")
    return (*lines, *_before_lines(every))


def _before_lines(rows: Sequence[Use]) -> Iterator[str]:
    """`E: before the tenons are cut.`: work that takes away the faces from which this is measured comes later."""
    for before in dict.fromkeys(cut.before for use in rows for cut in use.cuts if cut.before):
        marks = dict.fromkeys(use.mark for use in rows if any(cut.before == before for cut in use.cuts))
        yield f"{', '.join(marks)}: before {before}."


def _placed_lines(units: Units, guide: str, rows: Sequence[Use]) -> list[str]:
    """`A × 2: left face at fence, rear face down.`, `3/4" to 3 3/4" from the top end.`: holes and mortises at the same places together."""
    lines = []
    for where in dict.fromkeys((use.places, use.runs, use.end) for use in rows):
        alike = [use for use in rows if (use.places, use.runs, use.end) == where]
        own: dict[tuple[tuple[tuple[str, ...], tuple[str, ...]], ...], list[Use]] = {}
        for mark in dict.fromkeys(use.mark for use in alike):
            faces = [use for use in alike if use.mark == mark]
            own.setdefault(tuple((use.rides, use.down) for use in faces), []).append(faces[0])
        for said, uses_ in own.items():
            turns = [f"{listed(rides)}{f' {guide}' if number == 0 else ''}, {listed(down)} down" for number, (rides, down) in enumerate(said)]
            if len({down for _, down in said}) == 1:  # `left end, then right end at fence, bottom face down`
                turns = [f"{', then '.join(listed(rides) for rides, _ in said)} {guide}, {listed(said[0][1])} down"]
            lines.append(f"{_marks(uses_)}: {'; '.join(turns)}.")
        places = [exact_text(place, units) for place in where[0]] + [f"{exact_text(start, units)} to {exact_text(stop, units)}" for start, stop in where[1]]
        lines.append(f"{listed(places)} from the {where[2]}.")
    return lines


def trial_text(model: Model, setup: SetUp) -> str:
    """The test cut and what it must measure."""
    units, setting = model.info.units, setup.setting
    first = setup.cuts[0]
    if setup.phase == 0:
        return f"First piece {listed(fence_texts(setting, units))}."
    if setting.angle:
        return f"Two pieces of scrap: together the double angle; piece {fence_texts(setting, units)[0]} to the long point."
    deep = f", {exact_text(setting.height, units)} deep" if setting.height is not None else ""
    if setting.side == CENTRE:
        return f"Scrap: middle {fence_texts(setting, units)[0]} from the edge{deep or ', through'}."
    if setting.side == FAR:
        what = "tongue" if first.kind in ("tenon", "tongue") else "rabbet" if first.kind == "rabbet" else "cut"
        own = f"{exact_text(setting.fence[0], units)} {'long' if what == 'tongue' else 'wide'}"
        return f"Scrap: {what} {own}{deep}{'; both cheeks, try it in its place' if what == 'tongue' else ''}."
    return f"Scrap: {exact_text(first.wide, units)} wide{deep}, edge to cut {exact_text(setting.fence[0], units)}; its piece goes in by hand."


def _orders(setup: SetUp) -> tuple[Caution, ...]:
    """The cautions that hold at a set-up; a row of holes is bored at fence and stop like single holes."""
    key, cutter = setup.setting.machine, setup.setting.cutter.kind
    found: dict[Caution, None] = {}
    if key == "table_saw" and cutter == BLADE:
        found[machine(key).cautions[0]] = None
    for kind in dict.fromkeys(cut.kind for cut in setup.cuts):
        own = "hole" if kind == "hole_row" else kind
        found.update(dict.fromkeys(operation(own).cautions_on(key)))
    return tuple(found) or machine(key).cautions[:1]


def guards(rows: Sequence[SetUp]) -> tuple[str, ...]:
    """Guards: the cautions of the operations on their machine, by their short names."""
    return tuple(dict.fromkeys(caution.short or caution_name(caution.text) for row in rows for caution in _orders(row)))


def holds(model: Model, rows: Sequence[SetUp]) -> tuple[str, ...]:
    """How the work is held and led (common practice)."""
    found: dict[str, None] = {}
    for row in rows:
        key, guide = row.setting.machine, row.setting.guide
        for cut in row.cuts:
            part = model.part(cut.path)
            if key == "drill_press" and cut.run is not None:
                found["bores side by side, clamped against the fence; chisel sides and ends square"] = None
            elif key == "drill_press":
                found["work against the fence, clamped, on a backing board"] = None
            elif key == "track_saw":
                found["sheet on full support, rail clamped"] = None
            elif key == "router" and cut.run is not None:
                found["work clamped, edge guide, a second piece beside a narrow one; chisel the ends square"] = None
            elif key == "router":
                found["work clamped, straight guide"] = None
            elif guide == "stop":
                found["stop block, work clamped or held to the gauge"] = None
            elif row.phase == 0:
                found["push stick for narrow pieces"] = None
            elif cut.rides.axis == part.length_axis:
                found["ends: mitre gauge behind the work"] = None
            else:
                found["edges: featherboard and push blocks"] = None
            if cut.down is not None and cut.down.axis != part.thickness_axis and key not in ("drill_press", "router"):
                found["on edge or on end: tall fence face"] = None
    return tuple(found)


_LEFT = {
    "tapering": "taper jig", "box_joint": "jig on the mitre gauge", "spline_slot": "cradle at 45°", "biscuit_slot": "biscuit jointer", "screw_pocket": "pocket-hole jig",
    "shaping": "template or line", "slot": "template", "cutout": "template", "lettering": "template", "rectangular_pocket": "template", "round_pocket": "out of reach: template",
    "finger_notch": "out of reach: template", "pins": "saw and chisel", "tails": "saw and chisel", "corner_notch": "saw and chisel", "notch": "saw and chisel", "lap": "saw and chisel",
    "hinge_gain": "knife around the leaf", "edge_easing": "bit with a bearing, or plane", "edge_banding": "no cutter", "bevel": "chamfer bit or plane", "end_mitre": "no square edge", "angled_end": "no square edge", "bevelled_edge": "no square edge",
    "hole": "at an end or out of reach: jig", "hole_row": "at an end or out of reach: jig", "hinge_cup": "out of reach: jig", "mortise": "at an end or out of reach: chisel",
}  # fmt: skip
"""Why work has no fence or stop, in the words of the bench."""


def left_reason(kind: str) -> str:
    """Why an operation has no fence or stop."""
    return _LEFT.get(kind, "no machine here sets it")


def left_text(job: Job) -> str:
    """`Without fence or stop: taper (taper jig); shaped outline, slot (template).`: what no set-up makes, each with its reason."""
    why: dict[str, dict[str, None]] = {}
    for kind, _, _ in job.left:
        why.setdefault(left_reason(kind), {})[operation(kind).name] = None
    said = [f"{', '.join(names)} ({reason})" for reason, names in why.items()]
    return f"Without fence or stop: {'; '.join(said)}." if said else ""


def work_down(model: Model, rows: Sequence[SetUp]) -> str:
    """Which face of what is cut to size lies down; "" of rods (common practice: a blade tears the face at which its teeth come out)."""
    kinds = dict.fromkeys(model.part(cut.path).stock.kind for row in rows for cut in row.cuts)
    said = []
    if "sheet" in kinds:
        said.append("better face of sheets" if rows[0].setting.machine == "track_saw" else "poorer face of sheets")
    if "lumber" in kinds:
        said.append("jointed face of boards")
    return listed(said)


def machine_text(shop: Shop, key: str) -> str:
    """The machine as the shop calls it."""
    found = shop.machine(key)
    return machine(key).name if found is None else found.name


__all__ = [
    "Use",
    "cutter_text",
    "exact_text",
    "fence_texts",
    "guards",
    "holds",
    "left_reason",
    "left_text",
    "machine_text",
    "passes_text",
    "pieces_lines",
    "pieces_text",
    "side_text",
    "thin_text",
    "trial_text",
    "uses",
    "work_down",
]  # fmt: skip
