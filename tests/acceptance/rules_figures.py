"""Rules 1, 5 and 25: printed figures are the model's values, agree where parts meet, and chains add up."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import combinations, product
from typing import Any

from tests.acceptance.figures import Figure, figure, rounded_to, words
from tests.acceptance.findings import Finding, rule
from tests.acceptance.packets import Packet
from tests.acceptance.rules_views import left_out, scale_of
from tests.support.finished_sheets import Dimension, Drawn, Part, dimensions

FACES = {"left": (0, "lo"), "right": (0, "hi"), "front": (1, "lo"), "rear": (1, "hi"), "bottom": (2, "lo"), "top": (2, "hi")}
AXES = {"across": 0, "back": 1, "up": 2}
EXACT = Fraction(1, 10**5)
DRAWN = Fraction(254, 160)


def step_of(packet: Packet) -> Fraction:
    """The plan's rounding (mm)."""
    return Fraction(packet.model["plan"]["units"]["step"]) * packet.unit


def printed(drawn: Drawn, group: Part) -> Figure | None:
    return figure(words([r for r in drawn.runs_in(group) if r.role == "dimtxt"]))


@rule(1)
def printed_figures_are_the_values(packet: Packet) -> list[Finding]:
    """The printed figure of every dimension is its value: to the last digit, or marked as rounded and within half a step."""
    found = []
    step = step_of(packet)
    for drawn in packet.sheets:
        for group in drawn.of("dimension", "running"):
            got, mm = printed(drawn, group), Fraction(group.data["mm"])
            if got is None:
                found.append(Finding(drawn.name, group.name, f"reads {words(drawn.runs_in(group))!r}"))
                continue
            off = abs(got.millimetres(packet.unit) - mm)
            if off > (step / 2 + EXACT if got.rounded else EXACT):
                found.append(Finding(drawn.name, group.name, f"reads {float(got.value):g}, {float(off):.4f} mm off"))
            if got.rounded and off <= EXACT:
                found.append(Finding(drawn.name, group.name, "marked as rounded but exact"))
            if got.bracketed != (group.data["kind"] == "ref"):
                found.append(Finding(drawn.name, group.name, f"kind {group.data['kind']}, parentheses {got.bracketed}"))
    return found


@rule(1, "d")
def second_figures_are_the_values(packet: Packet) -> list[Finding]:
    """Of a plan with two units every dimension has the figure of the second one in square brackets: its value, rounded to
    the step of that unit, or more finely where parts must fit (sixty-fourths, tenths of a millimetre). A figure that names
    its unit is what is bought, and has none. Other plans have no square brackets."""
    found = []
    for drawn in packet.sheets:
        for group in drawn.of("dimension", "running"):
            got, mm = printed(drawn, group), Fraction(group.data["mm"])
            if got is None:
                continue  # rule 1
            if packet.second is None or got.metric or group.data["kind"] == "origin":
                if got.second is not None:
                    found.append(Finding(drawn.name, group.name, f"[{float(got.second):g}] of no second unit"))
                continue
            unit, step = packet.second
            fine = min(step, Fraction(1, 10) if unit == 1 else Fraction(1, 64))
            wanted = {rounded_to(mm / unit, step), rounded_to(mm / unit, fine)}
            if got.second not in wanted:
                found.append(Finding(drawn.name, group.name, f"[{got.second}] for {' or '.join(map(str, sorted(wanted)))}"))
    return found


@rule(1, "e")
def second_figures_are_the_lengths_on_paper(packet: Packet) -> list[Finding]:
    """What a second figure says is the distance of the extension lines at the scale of the view, within half its step."""
    found: list[Finding] = []
    if packet.second is None:
        return found
    unit, step = packet.second
    for drawn in packet.sheets:
        for m in dimensions(drawn):
            got = printed(drawn, m.group)
            if got is None or got.second is None or m.view is None:
                continue
            scale = float(scale_of(m.view))
            paper = m.ends[1] - m.ends[0] + left_out(drawn, m.view, m.group.data["axis"], m.ends)
            off = abs(float(got.second * unit) * scale - paper)
            if off > max(0.001 * paper, 0.003) + float(step * unit) / 2 * scale:
                found.append(Finding(drawn.name, m.group.name, f"[{float(got.second):g}], drawn {paper / scale / float(unit):.4f}"))
    return found


@rule(1, "f")
def sizes_of_parts_in_both_units(packet: Packet) -> list[Finding]:
    """Rows of the parts list on paper have both figures of the finished sizes, each from the part's own size."""
    found: list[Finding] = []
    if packet.second is None:
        return found
    unit, step = packet.second
    fine = min(step, Fraction(1, 10) if unit == 1 else Fraction(1, 64))
    seen = 0
    sizes = {p["mark"]: [Fraction(p[k]) for k in ("length", "width", "thickness")] for p in packet.model["parts"]}
    for drawn in packet.sheets:
        for table in (t for t in drawn.of("table") if "parts" in t.id):
            upright = sorted({round(s.points[0][0], 2) for s in drawn.strokes_in(table) if abs(s.points[0][0] - s.points[-1][0]) < 0.01})
            heads = [next(r for r in drawn.runs_in(table) if r.text == head) for head in ("L", "W", "T")]
            for row in (r for r in drawn.of("row") if r.inside(table) and "mark" in r.data):
                seen += 1
                for head, own in zip(heads, sizes[row.data["mark"]], strict=True):
                    low, high = max(x for x in upright if x < head.box[2]), min(x for x in upright if x > head.box[0])
                    got = figure(words([r for r in drawn.runs_in(row) if low < r.box[0] and r.box[2] < high]))
                    if got is None or got.second not in (rounded_to(own / unit, step), rounded_to(own / unit, fine)):
                        found.append(Finding(drawn.name, f"row {row.data['mark']} {head.text}", f"{got} for {float(own / unit):g}"))
    if not seen:
        found.append(Finding("parts list", "no rows", "none read"))
    return found


@rule(1, "b")
def printed_figures_are_the_lengths_on_paper(packet: Packet) -> list[Finding]:
    """What a figure says is the distance of its extension lines at the scale of the view: 0.1 mm in 100 mm on paper, and
    half a step for rounded figures."""
    found = []
    step = step_of(packet)
    for drawn in packet.sheets:
        for m in dimensions(drawn):
            got = printed(drawn, m.group)
            if got is None or m.view is None:
                continue
            scale = float(scale_of(m.view))
            paper = m.ends[1] - m.ends[0] + left_out(drawn, m.view, m.group.data["axis"], m.ends)
            off = abs(float(got.millimetres(packet.unit)) * scale - paper)
            if off > max(0.001 * paper, 0.003) + (float(step) / 2 * scale if got.rounded else 0.0):
                found.append(Finding(drawn.name, m.group.name, f"reads {float(got.value):g}, drawn {paper / scale / float(packet.unit):.4f}"))
    return found


def places(packet: Packet, name: str, axis: int) -> set[Fraction] | None:
    """Where a named end can lie along an axis of the piece: a face of a part or of the whole, an end of a feature's
    figures or cuts, its centre. None for a name that the model does not have."""
    owner, _, last = name.rpartition(".")
    if last in FACES and (owner == "whole" or owner in packet.parts):
        which, end = FACES[last]
        if which != axis:
            return set()
        if owner == "whole":
            return {box[end == "hi"][axis] for box in wholes(packet)}
        part = packet.parts[owner]
        return {Fraction(part[box][end][axis]) for box in ("box", "shoulder", "room") if part.get(box)}
    feature = features(packet).get(name)
    return None if feature is None else feature_places(feature, axis)


@lru_cache(maxsize=4)
def wholes(packet: Packet) -> list[tuple[tuple[Fraction, ...], tuple[Fraction, ...]]]:
    """What a sheet can mean by the whole: the piece, an assembly with or without those in it, or two things that stand
    together. The sheet does not say which it shows."""
    box = packet.model["box"]
    found = [(tuple(map(Fraction, box["lo"])), tuple(map(Fraction, box["hi"])))] if box else []
    groups: list[list[dict[str, Any]]] = []
    for assembly in packet.model["assemblies"]:
        groups.append([p for p in packet.model["parts"] if p["assembly"] == assembly["path"] or (assembly["path"] and p["path"].startswith(assembly["path"] + "."))])
        groups.append([packet.parts[p] for p in assembly["parts"]])
    single = [[p] for p in packet.model["parts"] if not p["assembly"]] + groups[2::2]
    groups += [a + b for a, b in combinations(single, 2)]
    for parts in groups:
        boxes = [p["room"] or p["box"] for p in parts]
        if boxes:
            lo = tuple(min(Fraction(b["lo"][a]) for b in boxes) for a in range(3))
            hi = tuple(max(Fraction(b["hi"][a]) for b in boxes) for a in range(3))
            found.append((lo, hi))
    return found


def features(packet: Packet) -> dict[str, dict[str, Any]]:
    """All features by id."""
    return {f["id"]: f for p in packet.model["parts"] for f in p["features"]}


def feature_places(feature: dict[str, Any], axis: int) -> set[Fraction]:
    found: set[Fraction] = set()
    for f in feature["figures"]:
        if AXES[f["axis"]] == axis:
            found |= {Fraction(f["lo"]), Fraction(f["hi"])}
    if feature["centre"]:
        found.add(Fraction(feature["centre"][axis]))
    for piece in (*feature["cuts"], *feature["adds"]):
        if "outline" not in piece:
            continue
        if AXES[piece["axis"]] == axis:
            found |= {Fraction(piece["lo"]), Fraction(piece["hi"])}
        else:
            outline, others = piece["outline"], [a for a in range(3) if a != AXES[piece["axis"]]]
            if outline.get("form") == "rectangle":
                n = others.index(axis)
                lo, hi = Fraction(outline["lo"][n]), Fraction(outline["hi"][n])
                found |= {lo, hi, (lo + hi) / 2}
            elif outline.get("form") == "circle":
                found.add(Fraction(outline["centre"][others.index(axis)]))
    return found


@rule(1, "c")
def named_ends_are_as_far_apart(packet: Packet) -> list[Finding]:
    """The two ends that a dimension names are as far apart in the model as it says: faces of parts and of the whole,
    features, or the repeat of one feature."""
    found = []
    for drawn in packet.sheets:
        for group in drawn.of("dimension", "running"):
            ends = group.data["from"], group.data["to"]
            if group.data["axis"] not in ("x", "y", "z") or group.data["kind"] == "origin":
                continue
            if drawn.sheet.data["kind"] == "section" and any(e.startswith("whole.") for e in ends):
                continue  # there the whole is all that the cut meets
            axis, mm = "xyz".index(group.data["axis"]), Fraction(group.data["mm"])
            both = [places(packet, e, axis) for e in ends]
            if any(b is None for b in both):
                joint = _joint_size(packet, *ends)
                if joint is None:
                    found.append(Finding(drawn.name, group.name, "an end that the model does not have"))
                elif not any(abs(mm - j) < EXACT for j in joint):
                    found.append(Finding(drawn.name, group.name, f"the joint has {[float(j) for j in sorted(joint)]}"))
                continue
            if all(e.startswith("whole.") for e in ends):
                extents = {hi[axis] - lo[axis] for lo, hi in wholes(packet)}
                if not any(abs(e - mm) < Fraction(1, 1000) for e in extents):
                    found.append(Finding(drawn.name, group.name, f"assemblies measure {sorted(map(float, extents))[:6]}"))
                continue
            if ends[0] == ends[1]:
                continue  # sizes and pitches of a feature: rule 2
            if not any(abs(abs(a - b) - mm) < Fraction(1, 1000) for a, b in product(*both)):  # type: ignore[arg-type]
                apart = sorted({float(abs(a - b)) for a, b in product(*both)})  # type: ignore[arg-type]
                found.append(Finding(drawn.name, group.name, f"in the model {apart[:6]}"))
    return found


def _joint_size(packet: Packet, start: str, end: str) -> set[Fraction] | None:
    """The sizes that a joint has under the name of two ends such as `dado:a>b.width.lo` and `.hi`."""
    head, _, low = start.rpartition(".")
    ident, _, _what = head.rpartition(".")
    if (low, end) != ("lo", f"{head}.hi"):
        return None
    joint = next((j for j in packet.model["joints"] if j["id"] == ident), None)
    if joint is None:
        return None
    sizes = {Fraction(joint[k]) for k in ("depth", "cut_depth", "width") if joint.get(k)}
    if joint.get("channel"):
        sizes |= {Fraction(b) - Fraction(a) for a, b in zip(joint["channel"]["lo"], joint["channel"]["hi"], strict=True)}
    for f in features(packet).values():
        if f["joint"] == ident:
            sizes |= {Fraction(g["hi"]) - Fraction(g["lo"]) for g in f["figures"]}
            sizes |= {Fraction(c["hi"]) - Fraction(c["lo"]) for c in (*f["cuts"], *f["adds"]) if "outline" in c}
            # a countersink and its pilot are one bore, as deep as its figure says
            sizes |= {Fraction(f["depth"])} if f["depth"] else set()
    thick = {Fraction(packet.parts[path][k]) for path in (joint["a"], joint["b"]) for k in ("thickness", "width")}
    # what is left of a part behind the work: the lap of half-blind dovetails
    return sizes | thick | {t - s for t in thick for s in sizes if s < t}


# 5 --------------------------------------------------------------------------------------------------------------


@rule(5)
def bores_of_two_parts_meet(packet: Packet) -> list[Finding]:
    """The bores of one joint lie on common axes in both parts: centres agree within 0.05 mm across the bore. Pegs may be
    drawn up to 1/16 in towards the shoulder (drawboring, common practice)."""
    found = []
    for joint in packet.model["joints"]:
        own: dict[str, list[tuple[Fraction, ...]]] = {}
        ways = set()
        for path in (joint["a"], joint["b"]):
            part = packet.parts[path]
            if part.get("lean"):
                ways.add(-1)
            for f in part["features"]:
                if f["joint"] == joint["id"] and f["centre"] and f["diameter"]:
                    ways.add(FACES[f["face"]][0])
                    own.setdefault(path, []).append(tuple(Fraction(v) for v in f["centre"]))
        if len(own) != 2 or len(ways) != 1 or -1 in ways:
            continue
        way = ways.pop()
        flat = [sorted({tuple(v for i, v in enumerate(c) if i != way) for c in centres}) for centres in own.values()]
        pegs = all(".peg" in f["id"] for p in (joint["a"], joint["b"]) for f in packet.parts[p]["features"] if f["joint"] == joint["id"] and f["diameter"])
        for c in flat[0]:
            off = min(max(abs(a - b) for a, b in zip(c, d, strict=True)) for d in flat[1])
            if off > (DRAWN if pegs else Fraction(1, 20)):
                found.append(Finding("model.json", joint["id"], f"a bore {float(off):.3f} mm beside its other half"))
    return found


@rule(5, "b")
def figures_of_both_parts_agree(packet: Packet) -> list[Finding]:
    """What a joint takes out of one part is where the other part fills it: along every axis that both give figures for,
    the figures agree within the fit, or one lies in the other."""
    found = []
    for joint in packet.model["joints"]:
        if packet.parts[joint["a"]].get("lean") or packet.parts[joint["b"]].get("lean"):
            continue
        if joint["kind"] == "dovetail":
            continue  # pins and tails are figured on faces of their own, on which slopes have other widths
        a, b = ([f for f in packet.parts[path]["features"] if f["joint"] == joint["id"] and not f["diameter"]] for path in (joint["a"], joint["b"]))
        slack = max(Fraction(joint.get("fit") or 0), Fraction(joint.get("clearance") or 0), Fraction(1, 20))
        for one, other in product(a, b):
            if one["kind"] == other["kind"]:
                continue
            for f, g in product(one["figures"], other["figures"]):
                if f["axis"] != g["axis"] or f["role"] != "size" or g["role"] != "size":
                    continue
                lo, hi, low, high = (Fraction(v) for v in (f["lo"], f["hi"], g["lo"], g["hi"]))
                if min(hi, high) - max(lo, low) <= 0:
                    continue  # not the same place of a row
                inside = (lo >= low - slack and hi <= high + slack) or (low >= lo - slack and high <= hi + slack)
                if not inside:
                    found.append(Finding("model.json", f"{one['id']} and {other['id']} along {f['axis']}", f"{float(lo):g} to {float(hi):g} and {float(low):g} to {float(high):g} mm"))
    return found


# 25 -------------------------------------------------------------------------------------------------------------


@rule(25)
def chains_add_up(packet: Packet) -> list[Finding]:
    """Printed figures of a chain that fills a longer dimension add up to its figure: within 0.05 mm, 1/128 in."""
    slack = Fraction(254, 10) / 128 if packet.inches else Fraction(1, 20)
    found = []
    for drawn in packet.sheets:
        views: dict[tuple[int, int], list[tuple[Dimension, Figure]]] = {}
        for m in dimensions(drawn):
            got = printed(drawn, m.group)
            if got is not None and m.view is not None:
                views.setdefault((m.view.number, m.across), []).append((m, got))
        for members in views.values():
            for whole, told in members:
                for chain in _chains(whole, [x for x in members if x[0] is not whole]):
                    total = sum((g.value for _, g in chain), Fraction(0)) * packet.unit
                    off = abs(total - told.value * packet.unit)
                    if off > slack:
                        parts = " + ".join(f"{'≈' if g.rounded else ''}{float(g.value):g}" for _, g in chain)
                        found.append(Finding(drawn.name, whole.group.name, f"{parts} for {float(told.value):g}: {float(off):.3f} mm"))
    return found


def _chains(whole: Dimension, others: list[tuple[Dimension, Figure]]) -> list[list[tuple[Dimension, Figure]]]:
    """Chains of two or more shorter dimensions from one end of a dimension to the other."""
    low, high = whole.ends
    found: list[list[tuple[Dimension, Figure]]] = []

    def follow(at: float, chain: list[tuple[Dimension, Figure]]) -> None:
        if abs(at - high) < 0.01:
            if len(chain) > 1:
                found.append(chain)
            return
        for m, g in others:
            if abs(m.ends[0] - at) < 0.01 and m.ends[1] > at + 0.05 and m.ends[1] <= high + 0.01 and m.ends[1] - m.ends[0] < high - low - 0.01 and len(found) < 20:
                follow(m.ends[1], [*chain, (m, g)])

    follow(low, [])
    return found
