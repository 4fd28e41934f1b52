"""Rules 6, 7, 20, 21 and 22: overall sizes, true scale, places of views, letters of sections and details, titles and bars.

Scales: ISO 5455 (metric; from memory) and the usual scales of woodwork in inches to the foot; third angle is the North
American habit, first angle the European one, and the symbol must agree (Manual of Engineering Drawing, 4.8).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from tests.acceptance.findings import Finding, rule, sheet_rule
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import Box, Drawn, Part, dimensions, grown, points_box, strokes_box

POINT = 72 / 25.4
ALIGNED = 0.05
SCALES = {
    False: {Fraction(p, m) for p, m in ((10, 1), (5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10), (1, 20), (1, 50), (1, 100))},
    True: {Fraction(p, m) for p, m in ((4, 1), (2, 1), (1, 1), (1, 2), (1, 4), (1, 8), (1, 12), (1, 16), (1, 24), (1, 32), (1, 48), (1, 96))},
}
# Where a view lies beside the front in third angle: across, down.
PLACES = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}


def scale_of(view: Part) -> Fraction:
    paper, model = view.data["scale"].split(":")
    return Fraction(paper) / Fraction(model)


@dataclass(frozen=True)
class Break:
    """A break of a view: the axis of the part; which coordinate on paper runs along it, and between which two of them nothing is
    drawn; how much shorter the paper is for it (mm)."""

    axis: str
    along: int
    start: float
    end: float
    short: float


def break_of(drawn: Drawn, view: Part) -> Break | None:
    """The break of a view. The view says what it leaves out, its two break lines show where."""
    if "break" not in view.data:
        return None
    axis, lo, hi = view.data["break"].split()
    lines = [s.points for s in drawn.strokes_in(view, "brk") if s.group is view]
    assert len(lines) == 2, f"{len(lines)} break lines in {view.id}"
    along = 0 if lines[0][0][0] == lines[0][-1][0] else 1
    start, end = sorted(points[0][along] for points in lines)
    return Break(axis, along, start, end, float((Fraction(hi) - Fraction(lo)) * scale_of(view)) - (end - start))


def left_out(drawn: Drawn, view: Part, axis: str, places: tuple[float, float]) -> float:
    """How much shorter (mm) the paper is between two places along an axis, because a break lies between them."""
    found = break_of(drawn, view)
    if found is None or found.axis != axis or not min(places) <= found.start < found.end <= max(places):
        return 0.0
    return found.short


def outline(drawn: Drawn, view: Part) -> Box | None:
    """The box of the visible edges of a view."""
    own = [s for s in drawn.strokes_in(view, "vis") if s.group is view]
    return strokes_box(own) if own else None


# 6 --------------------------------------------------------------------------------------------------------------


@rule(6)
def overall_sizes_on_every_part(packet: Packet) -> list[Finding]:
    """The sheet of every mark gives length, width and thickness, as overall dimensions or as a note of the thickness."""
    told: dict[str, set[Fraction]] = {}
    for drawn in packet.sheets:
        for g in drawn.of("dimension", "thickness"):
            home = g.home("part")
            if home is not None and g.data.get("kind") == "overall":
                for key in ("mark", "opposite"):
                    if key in home.data:
                        told.setdefault(home.data[key], set()).add(Fraction(g.data["mm"]))
    found = []
    for part in {p["mark"]: p for p in packet.model["parts"]}.values():
        for size in ("length", "width", "thickness"):
            if not any(abs(mm - Fraction(part[size])) < Fraction(1, 10**4) for mm in told.get(part["mark"], ())):
                found.append(Finding("sheets of parts", f"{part['mark']} {part['path']}", f"no overall {size} {float(Fraction(part[size])):g} mm"))
    return found


@rule(6, "b")
def overall_sizes_of_the_whole(packet: Packet) -> list[Finding]:
    """The elevations give width, depth and height, of every group of parts that stands by itself; where there is one group,
    those are the sizes of the piece."""
    sheets = [d for d in packet.sheets if d.sheet.data["kind"] == "elevations"]
    fronts = sum(v.data["proj"] == "front" for d in sheets for v in d.of("view"))
    box = packet.model["box"]
    found: list[Finding] = []
    if box is None or not fronts:
        return found
    for index, axis in enumerate("xyz"):
        told = [Fraction(m.group.data["mm"]) for d in sheets for m in dimensions(d) if m.kind == "overall" and m.group.data["axis"] == axis]
        wanted = Fraction(box["hi"][index]) - Fraction(box["lo"][index])
        if len(told) < fronts:
            found.append(Finding("elevations", f"overall along {axis}", f"{len(told)} for {fronts} fronts"))
        if fronts == 1 and not any(abs(t - wanted) < Fraction(1, 10**4) for t in told):
            found.append(Finding("elevations", f"overall along {axis}", f"no {float(wanted):g} mm, but {[float(t) for t in told]}"))
    return found


# 7 --------------------------------------------------------------------------------------------------------------


@rule(7)
def page_is_the_sheet(packet: Packet) -> list[Finding]:
    """Pages are as large as the sheets, which count one unit for a millimetre."""
    found = []
    for document, sheets in packet.documents.items():
        pages = packet.reader(document).pages
        if len(pages) != len(sheets):
            found.append(Finding(document, "pages", f"{len(pages)} for {len(sheets)} sheets"))
        for drawn, page in zip(sheets, pages, strict=False):
            size = tuple(float(v) for v in (page.mediabox.width, page.mediabox.height))
            off = max(abs(size[i] - drawn.size[i] * POINT) for i in (0, 1))
            if off > 0.5 or page.get("/Rotate", 0) or page.get("/UserUnit", 1) != 1:
                found.append(Finding(drawn.name, "page", f"{off:.2f} pt off"))
            if drawn.size != drawn.stated:
                found.append(Finding(drawn.name, "viewBox", f"{drawn.stated} units on {drawn.size} mm"))
    return found


@sheet_rule(7, "b")
def measured_lengths_are_to_scale(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """What a dimension measures on paper is its model length at the scale of its view: 0.1 mm in 100 mm."""
    for m in dimensions(drawn):
        if m.view is None:
            yield m.name, "in no view with a scale"
            continue
        wanted = float(Fraction(m.group.data["mm"]) * scale_of(m.view))
        paper = m.ends[1] - m.ends[0] + left_out(drawn, m.view, m.group.data.get("axis", ""), m.ends)
        if abs(paper - wanted) > max(0.001 * wanted, 0.003):
            yield m.group.name, f"{paper:.3f} mm on paper, {wanted:.3f} by the scale"


@rule(7, "c")
def outlines_of_parts_are_to_scale(packet: Packet) -> list[Finding]:
    """The outline of every part's main view is one of its faces, or lies in it where the plan draws an outline of its own."""
    found = []
    for drawn in packet.sheets:
        for view in drawn.of("view"):
            home, box = view.home("part"), outline(drawn, view)
            if home is None or box is None or not view.id.endswith("-main"):
                continue
            part = packet.parts[home.data["part"]]
            broken = break_of(drawn, view)
            sides = sorted(box[n + 2] - box[n] + (broken.short if broken is not None and broken.along == n else 0.0) for n in (0, 1))
            sizes = [sorted(float(Fraction(part[s]) * scale_of(view)) for s in pair) for pair in combinations(("length", "width", "thickness"), 2)]
            shaped = any(f["kind"] == "outline" for f in part["features"])
            off = min(max((a - b if shaped else abs(a - b)) - 0.001 * b for a, b in zip(sides, wanted, strict=True)) for wanted in sizes)
            if off > 0.003:
                found.append(Finding(drawn.name, view.id, f"{sides[0]:.2f} x {sides[1]:.2f} mm, by the scale " + " or ".join(f"{a:.2f} x {b:.2f}" for a, b in sizes)))
    return found


@sheet_rule(7, "d")
def bar_scales_are_true(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """A bar is as long as its label says at its scale."""
    for bar in drawn.of("barscale"):
        box = strokes_box(drawn.strokes_in(bar, "tb"))
        printed = [r.text for r in drawn.runs_in(bar)]
        wanted = float(_length(printed[-1]) * scale_of(bar))
        if abs(box[2] - box[0] - wanted) > 0.1:
            yield f"bar {printed}", f"{box[2] - box[0]:.3f} mm, {wanted:.3f} by its label"
        if printed[0] != bar.data["scale"]:
            yield f"bar {printed}", f"drawn for {bar.data['scale']}"


def _length(text: str) -> Fraction:
    """Millimetres of a bar's label."""
    marked = re.fullmatch(r'(?:(\d+) )?(\d+(?:/\d+)?|\d+\.\d+)( mm|"|\')', text)
    assert marked, text
    value = Fraction(marked[1] or 0) + Fraction(marked[2])
    return value * {" mm": Fraction(1), '"': Fraction(254, 10), "'": Fraction(3048, 10)}[marked[3]]


# 20 -------------------------------------------------------------------------------------------------------------


def _groups(drawn: Drawn) -> Iterator[tuple[Part, list[Part]]]:
    """A front and the views that belong to it on the same sheet."""
    for front in drawn.of("view"):
        if front.data["proj"] == "front":
            home = front.home("part")
            others = [v for v in drawn.of("view") if v is not front and v.home("part") is home and v.data["proj"] in (*PLACES, "rear")]
            yield front, [v for v in others if home is not None or v.id.startswith("elevation")]


@sheet_rule(20)
def views_stand_where_the_symbol_says(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Views lie on the side of the front that the projection symbol says and are in line with it; a view elsewhere has an
    arrow and a letter of its own. A rear view lies beside the front."""
    symbols = {g.data["proj"] for g in drawn.of("projection-symbol")}
    for front, others in _groups(drawn):
        box = outline(drawn, front)
        if box is None or len(symbols) != 1:
            continue
        turn = 1 if symbols == {"third"} else -1
        for view in others:
            other = outline(drawn, view)
            if other is None or any(s.id == f"sight-{view.data['proj']}" for s in drawn.of("sight")):
                continue
            if view.data["scale"] != front.data["scale"]:
                yield f"{front.id} and {view.id}", f"{front.data['scale']} and {view.data['scale']}"
                continue
            across, down = PLACES.get(view.data["proj"], (0, 0))
            if (across, down) == (0, 0):
                level = other[3] <= box[1] or other[1] >= box[3]
                along = 0 if level else 1
            else:
                along = 0 if down else 1
                gap = (other[0] - box[2], box[0] - other[2]) if across else (other[1] - box[3], box[1] - other[3])
                if gap[0 if (across or down) * turn > 0 else 1] <= 0:
                    yield f"{view.id} of {front.id}", f"not on the side that {min(symbols)} angle says"
            off = max(abs(box[along] - other[along]), abs(box[along + 2] - other[along + 2]))
            if off > ALIGNED:
                yield f"{view.id} of {front.id}", f"{off:.2f} mm out of line"


@sheet_rule(20, "b")
def symbol_is_drawn_as_it_says(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """In third angle the small end of the cone faces the circles, in first angle the large end."""
    for symbol in drawn.of("projection-symbol"):
        rings = drawn.rings_in(symbol, "tb")
        cone = [s for s in drawn.strokes_in(symbol, "tb") if len(s.points) in (4, 5)]
        ends: dict[float, list[float]] = {}
        for x, y in cone[0].points:
            ends.setdefault(round(x, 2), []).append(y)
        near, far = sorted(ends, key=lambda x: abs(x - rings[0].centre[0]))
        heights = [max(ends[x]) - min(ends[x]) for x in (near, far)]
        if (heights[0] < heights[1]) != (symbol.data["proj"] == "third") or len(rings) != 2:
            yield "projection symbol", f"{heights[0]:.2f} mm beside the circles, {heights[1]:.2f} mm away, said to be {symbol.data['proj']} angle"


@rule(20, "c")
def one_projection(packet: Packet) -> list[Finding]:
    """One angle in the whole packet, the plan's."""
    said = {g.data["proj"] for d in packet.sheets for g in d.of("projection-symbol")}
    wanted = {packet.model["plan"]["projection"]}
    return [] if said == wanted else [Finding("packet", "symbols", f"{sorted(said)}, the plan wants {sorted(wanted)}")]


# 21 -------------------------------------------------------------------------------------------------------------

TITLE = re.compile(r"(?:SECTION ([A-Z])-\1|DETAIL ([A-Z])|.*\(([A-Z])\))")


@rule(21)
def every_letter_has_one_mark_and_one_view(packet: Packet) -> list[Finding]:
    """Every letter of a section, detail or view out of place stands at one mark and in one title; not I, O, Q."""
    marks: Counter[tuple[str, str]] = Counter()
    titles: Counter[tuple[str, str]] = Counter()
    homes = {v.id.removeprefix("detail-"): d.code for d in packet.sheets for v in d.of("view") if v.data["proj"] == "detail"}
    found = []
    for drawn in packet.sheets:
        for g in drawn.of("cutting", "sight", "leader"):
            if g.kind == "leader" and not g.id.startswith("ring-"):
                continue
            letters = [r.text for r in drawn.runs_in(g)]
            letter = g.data.get("letter") or g.data["note"]
            wanted = [letter] * (2 if g.kind == "cutting" else 1)
            if g.id.startswith("ring-"):
                # two-part circle: the detail over the sheet that it is drawn on (NAVFAC guide, structural, p. 49)
                wanted = [letter if homes.get(letter) == drawn.code else f"{letter}/{homes.get(letter)}"]
            if letters != wanted:
                found.append(Finding(drawn.name, g.name, f"printed {letters}"))
            marks[{"cutting": "section", "sight": "view", "leader": "detail"}[g.kind], letter] += 1
            if letter in "IOQ":
                found.append(Finding(drawn.name, g.name, "a letter that is read as a figure"))
        for view in drawn.of("view"):
            for r in drawn.runs_in(view):
                titled = TITLE.fullmatch(r.text) if r.role == "vtitle" else None
                if titled:
                    kind = "section" if titled[1] else "detail" if titled[2] else "view"
                    titles[kind, titled[1] or titled[2] or titled[3]] += 1
    for key in sorted(marks.keys() | titles.keys()):
        if marks[key] != 1 or titles[key] != 1:
            found.append(Finding("packet", " ".join(key), f"{marks[key]} marks, {titles[key]} titled views"))
    kinds: dict[str, set[str]] = {}
    for kind, letter in marks:
        kinds.setdefault(letter, set()).add(kind)
    found += [Finding("packet", f"letter {letter}", f"of {' and '.join(sorted(k))}") for letter, k in sorted(kinds.items()) if len(k) > 1]
    return found


# 22 -------------------------------------------------------------------------------------------------------------


@rule(22)
def every_view_has_title_and_listed_scale(packet: Packet) -> list[Finding]:
    """A title and a scale of the list in or under the view, and the bar of that scale on the sheet."""
    found = []
    for drawn in packet.sheets:
        bars = {b.data["scale"] for b in drawn.of("barscale")}
        used = {v.data["scale"] for v in drawn.of("view")}
        for view in drawn.of("view"):
            own = [r for r in drawn.runs if r.group is view]
            titles = [r for r in own if r.role == "vtitle"]
            scales = [r.text for r in own if re.search(r"\b\d+:\d+\b", r.text)]
            if not titles:
                found.append(Finding(drawn.name, view.id, "no title"))
            if not any(re.search(rf"\b{view.data['scale']}\b", s) for s in scales):
                found.append(Finding(drawn.name, view.id, f"scale {view.data['scale']}, printed {scales}"))
            if scale_of(view) not in SCALES[packet.inches]:
                found.append(Finding(drawn.name, view.id, f"scale {view.data['scale']} is not of the list"))
        if bars != used:
            found.append(Finding(drawn.name, "bar scales", f"bars {sorted(bars)}, views {sorted(used)}"))
    return found


@sheet_rule(22, "b")
def titles_stand_under_their_views(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The title begins at most 10 mm under the view with its dimensions and notes, and no other view lies between."""
    for view in drawn.of("view"):
        own = [r for r in drawn.runs if r.group is view and r.role == "vtitle"]
        ink = list(drawn.strokes_in(view))
        if not own or not ink:
            continue
        box = points_box([p for r in own for p in (r.box[:2], r.box[2:])])
        lowest = max([p[1] for s in ink for p in s.points] + [r.box[3] for r in drawn.runs_in(view) if r.group is not view])
        edge = outline(drawn, view)
        if box[1] - lowest > 10.0:
            yield view.id, f"{box[1] - lowest:.1f} mm under the view"
        elif edge is not None and box[1] < edge[3]:
            yield view.id, f"{edge[3] - box[1]:.1f} mm above the lower edge of the view"


@sheet_rule(22, "c")
def views_keep_apart(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No view with its dimensions reaches into the outline of another."""
    views = [(v, box) for v in drawn.of("view") if (box := outline(drawn, v)) is not None]
    for view, box in views:
        inner = grown(box, -0.2)
        for m in dimensions(drawn):
            if m.view is not view and any(inner[0] < x < inner[2] and inner[1] < y < inner[3] for x, y in (*m.line, *(p for r in m.runs for p in (r.box[:2], r.box[2:])))):
                yield f"{m.group.name}, in the outline of {view.id}", "inside"
