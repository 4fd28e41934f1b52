"""Rules 2, 3 and 23: what places and sizes work on a part is printed, nothing twice; joints are shown cut."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from typing import Any

from tests.acceptance.figures import numbers, words
from tests.acceptance.findings import Finding, rule
from tests.acceptance.packets import Packet
from tests.acceptance.rules_figures import AXES, feature_places, printed
from tests.acceptance.rules_views import left_out, scale_of
from tests.support.finished_sheets import Drawn, Part, dimensions

HALF = Fraction(1, 2)
# Parts only lie on each other, or the joint has no wood taken away that a cut could show.
PLAIN = {"butt", "edge", "mitre"}

# 23 -------------------------------------------------------------------------------------------------------------

NAMED = re.compile(r"([a-z-]+(?: [a-z-]+)*): .*?\(([A-Z]{1,2})\) .*?\(([A-Z]{1,2})\)")


def shown_joints(packet: Packet) -> set[tuple[str, str, str]]:
    """Kind and marks of the joints that details and sections of half size or more name, figure, or cut both parts of."""
    marks = {path: p["mark"] for path, p in packet.parts.items()}
    found: set[tuple[str, str, str]] = set()
    for drawn in packet.sheets:
        for view in drawn.of("view"):
            if view.data["proj"] not in ("detail", "section") or scale_of(view) < HALF:
                continue
            cut = {g.data["part"] for g in drawn.of("cut") if g.home("view") is view}
            found |= {(j["kind"], marks[j["a"]], marks[j["b"]]) for j in packet.model["joints"] if {j["a"], j["b"]} <= cut}
            text = " ".join(r.text for r in drawn.runs if r.group is view)
            found |= {(m[1].split()[-1], m[2], m[3]) for m in NAMED.finditer(text)}
            for g in drawn.of("dimension"):
                ident = g.data["from"].rpartition(".")[0].rpartition(".")[0]
                joint = next((j for j in packet.model["joints"] if j["id"] == ident), None)
                if g.home("view") is view and joint is not None:
                    found.add((joint["kind"], marks[joint["a"]], marks[joint["b"]]))
    return found


def _joints(packet: Packet) -> Counter[tuple[str, str, str]]:
    marks = {path: p["mark"] for path, p in packet.parts.items()}
    return Counter((j["kind"], marks[j["a"]], marks[j["b"]]) for j in packet.model["joints"] if j["kind"] not in PLAIN and (j["channel"] or j["cut_depth"] or j["depth"]) and not j["fasteners"])


@rule(23)
def every_kind_of_joint_is_shown_cut(packet: Packet) -> list[Finding]:
    """Every kind of joint that takes wood away is cut in a detail or section of half size or more."""
    wanted, shown = {k for k, _, _ in _joints(packet)}, {k for k, _, _ in shown_joints(packet)}
    return [Finding("sections", kind, "in no detail") for kind in sorted(wanted - shown)] if _has_sections(packet) else []


@rule(23, "b")
def every_joint_is_shown_cut(packet: Packet) -> list[Finding]:
    """Every joint that takes wood away is cut in a detail or section of half size or more; of those with equal sizes in
    parts of equal thickness one is enough (one of many repeats is drawn in full)."""
    if not _has_sections(packet):
        return []
    marks = {path: p["mark"] for path, p in packet.parts.items()}
    names, shown = shown_joints(packet), set()
    wanted: dict[tuple[str, ...], str] = {}
    for j in packet.model["joints"]:
        name = (j["kind"], marks[j["a"]], marks[j["b"]])
        sizes = (j["kind"], *(str(j[k]) for k in ("width", "depth", "cut_depth")), *(packet.parts[j[p]]["thickness"] for p in "ab"))
        if name in names:
            shown.add(sizes)
        if name in _joints(packet):
            wanted.setdefault(sizes, " ".join(name[:2]) + f" into {name[2]}")
    return [Finding("sections", name, "in no detail, nor one like it") for sizes, name in sorted(wanted.items()) if sizes not in shown]


def _has_sections(packet: Packet) -> bool:
    return any(d.sheet.data["kind"] == "section" for d in packet.sheets)


# 2 and 3 --------------------------------------------------------------------------------------------------------

Edge = tuple[float, float, str]


@rule(2)
def every_figure_of_the_model_is_printed(packet: Packet) -> list[Finding]:
    """Every measure of work on a part that the model has (its figures) is printed on the sheets of its mark: as dimension,
    running dimension, in a note of the work, or as a repeat of a like one."""
    found = []
    sheets: dict[str, list[tuple[Drawn, Part]]] = {}
    for drawn in packet.sheets:
        for g in drawn.of("part"):
            for key in ("mark", "opposite"):
                if key in g.data:
                    sheets.setdefault(g.data[key], []).append((drawn, g))
    done = set()
    for part in packet.model["parts"]:
        mark = part["mark"]
        if mark in done or mark not in sheets:
            continue
        own = [g for drawn, g in sheets[mark] if part["path"] in (g.data["part"], g.data.get("opposite-part"))]
        if not own:
            continue
        done.add(mark)
        told: dict[int, set[Fraction]] = {0: set(), 1: set(), 2: set()}
        pitches: list[tuple[int, Fraction, int]] = []
        noted: set[Fraction] = set()
        for drawn, home in sheets[mark]:
            for g in drawn.of("dimension", "running", "thickness"):
                if g.home("part") is home and g.data["axis"] in ("x", "y", "z"):
                    drawn_axes, axes = (_own_axes(p) for p in (packet.parts[home.data["part"]], part))
                    axis, mm = axes[drawn_axes.index("xyz".index(g.data["axis"]))], Fraction(g.data["mm"])
                    told[axis].add(mm)
                    got = printed(drawn, g) if g.kind == "dimension" else None
                    if got is not None and got.count > 1:
                        pitches.append((axis, mm, got.count))
            for g in drawn.of("leader", "heading"):
                if g.home("part") is home:
                    noted |= {n * packet.unit for n in numbers(words(drawn.runs_in(g)))} | set(numbers(words(drawn.runs_in(g))))
        boxes = [part[b] for b in ("box", "shoulder") if part[b]]
        step = Fraction(packet.model["plan"]["units"]["step"]) * packet.unit
        for f in part["features"]:
            for g in f["figures"]:
                axis = AXES[g["axis"]]
                size = Fraction(g["hi"]) - Fraction(g["lo"])
                ways = [size]
                if not any(abs(t - w) < Fraction(1, 1000) for t in told[axis] for w in ways) and not any(abs(n - w) <= step / 2 + Fraction(1, 1000) for n in noted for w in ways):
                    faces = {Fraction(box[end][axis]) for box in boxes for end in ("lo", "hi")}
                    if _repeated(size, told[axis], [(p, n) for a, p, n in pitches if a == axis]) or _tied(g, told[axis], faces):
                        continue
                    found.append(Finding("sheets of parts", f"{mark} {f['id']} {g['role']} along {g['axis']}", f"{float(size):g} mm ({g['lo']} to {g['hi']}) is not printed"))
    return found


def _own_axes(part: dict[str, Any]) -> list[int]:
    """The axes of the world along which length, width and thickness of a part lie."""
    return [AXES[part[f"{size}_axis"]] for size in ("length", "width", "thickness")]


@rule(2, "b")
def opposite_hands_mirror_what_is_drawn(packet: Packet) -> list[Finding]:
    """A part that is told as the opposite hand of a drawn one has all its work at the same distances from its own reference faces,
    and it is the other hand: one of its three axes, or all three, run the other way."""
    found = []
    for drawn in packet.sheets:
        for g in drawn.of("part"):
            if "opposite-part" not in g.data:
                continue
            one, other = packet.parts[g.data["part"]], packet.parts[g.data["opposite-part"]]
            here, there = (sorted(_from_datum(part)) for part in (one, other))
            if here != there:
                found.append(Finding(drawn.name, g.name, f"{other['path']} is no mirror image: {next((pair for pair in zip(here, there, strict=False) if pair[0] != pair[1]), (len(here), len(there)))}"))
            if _turn(one) == _turn(other):
                found.append(Finding(drawn.name, g.name, f"{other['path']} is the same hand"))
    return found


LOW = ("left", "front", "bottom")


def _from_datum(part: dict[str, Any]) -> list[tuple[str, list[list[float]]]]:
    """Kind of each feature with the distances of its places from the reference faces along length, width and thickness."""
    rows = []
    for f in part["features"]:
        spans = []
        for axis in _own_axes(part):
            face = Fraction(part["box"]["lo" if part["datum"][axis] in LOW else "hi"][axis])
            spans.append(sorted(round(float(abs(place - face)), 3) for place in feature_places(f, axis)))
        rows.append((f["kind"], spans))
    return rows


def _turn(part: dict[str, Any]) -> int:
    """+1 where the ways from the reference faces inwards, along length, width and thickness, make a right-handed frame, else -1."""
    axes = _own_axes(part)
    turn = 1 if axes in ([0, 1, 2], [1, 2, 0], [2, 0, 1]) else -1
    for axis in axes:
        turn *= 1 if part["datum"][axis] in LOW else -1
    return turn


def _repeated(size: Fraction, told: set[Fraction], pitches: list[tuple[Fraction, int]]) -> bool:
    """Whether a place is that of a member of a row: some steps of a printed pitch from a printed place, at either end."""
    return any(abs(abs(t + k * p) - size) < Fraction(1, 1000) for p, n in pitches for t in told | {Fraction(0)} for k in range(-n - 1, n + 2))


def _tied(figure: dict[str, Any], told: set[Fraction], faces: set[Fraction]) -> bool:
    """Whether both ends of a measure are faces or a printed length from one, directly or over one other place."""
    known = faces | {f + sign * t for f in faces for t in told for sign in (-1, 1)}
    near = [Fraction(figure[end]) for end in ("lo", "hi")]
    return all(any(abs(n - k) < Fraction(1, 1000) for k in known) or any(abs(abs(n - k) - t) < Fraction(1, 1000) for k in known for t in told) for n in near)


@rule(3)
def no_length_is_printed_twice(packet: Packet) -> list[Finding]:
    """Along one axis of one part no two dimensions measure between the same two places, and none closes a ring of others,
    unless it is for reference."""
    found = []
    for drawn in packet.sheets:
        for view in drawn.of("view"):
            home = view.home("part")
            if home is None:
                continue
            for axis in "xyz":
                edges: list[Edge] = []
                for m in dimensions(drawn):
                    if m.view is view and m.group.data["axis"] == axis and m.kind != "ref":
                        edges.append((*m.ends, m.group.name))
                edges += _running(drawn, view, axis)
                found += [Finding(drawn.name, *ring) for ring in _rings(edges)]
    return found


def _running(drawn: Drawn, view: Part, axis: str) -> list[Edge]:
    origins = [s.points[0] for g in drawn.of("running") if g.home("view") is view and g.data["kind"] == "origin" for s in drawn.strokes_in(g, "ext")]
    edges: list[Edge] = []
    for g in drawn.of("running"):
        if g.home("view") is not view or g.data["axis"] != axis or g.data["kind"] != "run":
            continue
        foot = drawn.strokes_in(g, "ext")[0].points
        along = 0 if foot[0][0] == foot[1][0] else 1
        wanted = float(Fraction(g.data["mm"]) * scale_of(view))
        at = foot[0][along]
        start = next((o[along] for o in origins if abs(abs(o[along] - at) + left_out(drawn, view, axis, (o[along], at)) - wanted) < 0.01), None)
        if start is not None:
            edges.append((min(start, foot[0][along]), max(start, foot[0][along]), g.name))
    return edges


def _rings(edges: list[Edge]) -> list[tuple[str, str]]:
    """Edges that join two places which others have joined already."""
    roots: list[float] = []
    parent: list[int] = []

    def node(at: float) -> int:
        for n, place in enumerate(roots):
            if abs(place - at) < 0.01:
                return n
        roots.append(at)
        parent.append(len(roots) - 1)
        return len(roots) - 1

    def top(n: int) -> int:
        while parent[n] != n:
            n = parent[n]
        return n

    found = []
    # the longest last: an overall length that its chain makes closes the ring
    for low, high, name in sorted(edges, key=lambda e: (e[1] - e[0], e[2])):
        a, b = top(node(low)), top(node(high))
        if a == b:
            found.append((name, "between places that other figures join already"))
        else:
            parent[max(a, b)] = min(a, b)
    return found


@rule(7, "e")
def breaks_leave_out_plain_wood(packet: Packet) -> list[Finding]:
    """What a broken view leaves out lies in its part, along its length, and nothing of the part's work begins, ends or stands in it,
    unless it runs through from end to end; the overall length is figured across the break."""
    found = []
    for drawn in packet.sheets:
        for view in drawn.of("view"):
            home = view.home("part")
            if "break" not in view.data or home is None:
                continue
            part = packet.parts[home.data["part"]]
            letter, low, high = view.data["break"].split()
            axis, lo, hi = "xyz".index(letter), Fraction(low), Fraction(high)
            if AXES[part["length_axis"]] != axis or not Fraction(part["box"]["lo"][axis]) < lo < hi < Fraction(part["box"]["hi"][axis]):
                found.append(Finding(drawn.name, view.id, f"break from {low} to {high} along {letter}"))
            ends = [Fraction(part["shoulder"][end][axis]) for end in ("lo", "hi")]
            for f in part["features"]:
                for start, end in _stretches(f, axis):
                    if start <= hi and end >= lo and not (start <= ends[0] and end >= ends[1]):
                        found.append(Finding(drawn.name, view.id, f"breaks {f['id']}"))
            over = [m for d in packet.sheets for m in dimensions(d) if m.kind == "overall" and m.group.data["axis"] == letter and (g := m.group.home("part")) is not None and g.data["mark"] == home.data["mark"]]
            if not any(abs(Fraction(m.group.data["mm"]) - Fraction(part["length"])) < Fraction(1, 1000) for m in over):
                found.append(Finding(drawn.name, view.id, "no overall length over the break"))
    return found


def _stretches(feature: dict[str, Any], axis: int) -> list[tuple[Fraction, Fraction]]:
    """From where to where along an axis each place, cut and tongue of a feature reaches."""
    found = [(Fraction(v), Fraction(v)) for f in feature["figures"] if AXES[f["axis"]] == axis for v in (f["lo"], f["hi"])]
    if feature["centre"]:
        found.append((Fraction(feature["centre"][axis]),) * 2)
    for piece in (*feature["cuts"], *feature["adds"]):
        if "outline" not in piece:
            continue
        if AXES[piece["axis"]] == axis:
            found.append((Fraction(piece["lo"]), Fraction(piece["hi"])))
        elif piece["outline"].get("form") == "rectangle":
            n = [a for a in range(3) if a != AXES[piece["axis"]]].index(axis)
            found.append((Fraction(piece["outline"]["lo"][n]), Fraction(piece["outline"]["hi"][n])))
    return found


@rule(3, "b")
def no_length_is_on_two_views(packet: Packet) -> list[Finding]:
    """The same two ends of a part are not measured in two of its views."""
    found = []
    seen: dict[tuple[str, str, str, str], str] = {}
    for drawn in packet.sheets:
        for g in drawn.of("dimension", "running", "thickness"):
            home = g.home("part")
            if home is None or g.data.get("kind") in ("ref", "origin") or (printed(drawn, g) is None and g.kind != "thickness"):
                continue
            if g.kind == "thickness" or g.data["from"] == g.data["to"]:
                continue
            key = (home.data["mark"], g.data["axis"], *sorted((g.data["from"], g.data["to"])), g.data["mm"])
            if key in seen:
                found.append(Finding(drawn.name, g.name, f"also in {seen[key]}"))
            seen.setdefault(key, f"{drawn.name} {g.home('view').id if g.home('view') else ''}")  # type: ignore[union-attr]
    return found
