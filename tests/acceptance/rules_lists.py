"""Rules 4, 26 and 28: the same parts in lists, drawings, balloons and labels; cutting layouts; title blocks and index."""

from __future__ import annotations

import json
import re
from collections import Counter
from fractions import Fraction
from itertools import combinations

from tests.acceptance.figures import rounded_to, value
from tests.acceptance.findings import Finding, rule
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import Drawn, Part, Run

# 4 --------------------------------------------------------------------------------------------------------------


def printed_size(text: str, unit: Fraction) -> Fraction:
    """Millimetres of a printed figure."""
    text = text.removeprefix("≈").removesuffix(" mm").removesuffix('"').strip()
    whole = re.fullmatch(r"(?:(\d+) )?(\d+(?:/\d+)?|\d*\.\d+)", text)
    assert whole, text
    return (Fraction(whole[1] or 0) + Fraction(whole[2])) * unit


def joined(runs: list[Run]) -> str:
    """The words of several runs on one line, digits over and under a bar as 3/4."""
    out: list[tuple[float, str]] = []
    left = list(runs)
    while left:
        run = left.pop(0)
        over = next((o for o in left if o.text.isdigit() and run.text.isdigit() and abs(o.height - run.height) < 0.01 and abs((o.box[0] + o.box[2]) - (run.box[0] + run.box[2])) < 0.1), None)
        if over is not None:
            left.remove(over)
            a, b = sorted((run, over), key=lambda r: r.box[1])
            out.append((min(a.box[0], b.box[0]), f"{a.text}/{b.text}"))
        else:
            out.append((run.box[0], run.text))
    return " ".join(text for _, text in sorted(out))


@rule(4)
def marks_of_lists_drawings_balloons_and_labels(packet: Packet) -> list[Finding]:
    """The same marks with the same counts in model, parts list, part drawings, exploded views and labels."""
    wanted: Counter[str] = Counter()
    for part in packet.model["parts"]:
        wanted[part["mark"]] += part["count"]
    sets: dict[str, Counter[str]] = {"lists/parts.csv": Counter({r["mark"]: int(r["count"]) for r in packet.rows("parts")})}
    sheets: Counter[str] = Counter()
    shown: Counter[str] = Counter()
    balloons: Counter[str] = Counter()
    printed: Counter[str] = Counter()
    exploded = False
    for drawn in packet.sheets:
        for g in drawn.of("heading"):
            sheets[g.data["mark"]] = int(g.data["count"])
            texts = [r.text for r in drawn.runs_in(g)]
            told = next((int(m[1]) for t in texts if (m := re.match(r"(\d+) REQUIRED", t))), None)
            shown[g.data["mark"]] = int(g.data["count"]) if told is None else told
        if drawn.sheet.data["kind"] == "exploded":
            exploded = True
            for g in drawn.of("balloon"):
                balloons[g.data["item"]] += _times(drawn, g)
        for g in drawn.of("row"):
            table = g.home("table")
            if table is not None and table.id.startswith("parts-list") and "mark" in g.data:
                printed[g.data["mark"]] += int(g.data["count"])
    labels: Counter[str] = Counter(g.data["mark"] for document, d in packet.beside if document == "labels" for g in d.of("partlabel"))
    sets |= {"printed parts list": printed, "part drawings": sheets, "part drawings, as printed": shown, "labels": labels}
    found = [
        Finding("packet", f"{name}, mark {mark}", f"{found[mark]} for {wanted[mark]}")
        for name, found in sets.items()
        for mark in sorted(wanted.keys() | found.keys())
        if found[mark] != wanted[mark]
    ]
    if exploded:
        found += [Finding("exploded views", f"mark {m}", "in no balloon" if m in wanted else "no part") for m in sorted(set(wanted) ^ set(balloons))]
    return found


def _times(drawn: Drawn, balloon: Part) -> int:
    counts = [int(m[1]) for r in drawn.runs_in(balloon) if (m := re.fullmatch(r"(\d+)X", r.text))]
    return counts[0] if counts else 1


@rule(4, "b")
def sizes_of_lists_drawings_and_labels(packet: Packet) -> list[Finding]:
    """Thickness, width and length of a mark agree in the list, on its drawing and on its labels, and are the model's."""
    unit, rows = packet.unit, {r["mark"]: r for r in packet.rows("parts")}
    by_mark = {p["mark"]: p for p in packet.model["parts"]}
    found = []
    for mark, row in rows.items():
        for size in ("length", "width", "thickness"):
            if abs(Fraction(row[f"{size}_mm"]) - Fraction(by_mark[mark][size])) > Fraction(1, 2000):
                found.append(Finding("lists/parts.csv", f"{mark} {size}", f"{row[f'{size}_mm']} for {by_mark[mark][size]}"))
    for drawn in packet.every:
        for g in drawn.of("heading", "partlabel"):
            row = rows.get(g.data["mark"], {})
            wanted = [printed_size(row[s], unit) for s in ("thickness", "width", "length")] if row else []
            if g.kind == "heading":
                sizes = _heading_sizes(drawn, g)
            else:
                text = next((r.text for r in drawn.runs_in(g) if "×" in r.text), "")
                sizes = [s.strip() for s in text.split("×")][::-1]
                if sizes[-1].startswith("Ø"):  # a rod: its diameter is thickness and width
                    sizes = [sizes[-1][1:], sizes[-1][1:], *sizes[:-1]]
            second = [value(s.partition("[")[2].rstrip(" ]")) if "[" in s else None for s in sizes]
            sizes = [s.partition("[")[0].strip() for s in sizes]
            if not sizes and g.kind == "heading":
                continue
            try:
                told = [printed_size(s, unit) for s in sizes]
            except AssertionError:
                told = []
            if second and row and second != second_sizes(packet, [Fraction(by_mark[g.data["mark"]][s]) for s in ("thickness", "width", "length")]):
                found.append(Finding(drawn.name, g.name, f"[{second}] in square brackets"))
            if told != wanted:
                found.append(Finding(drawn.name, g.name, f"{sizes} for {[row.get(s) for s in ('thickness', 'width', 'length')]}"))
    return found


def second_sizes(packet: Packet, sizes: list[Fraction]) -> list[Fraction | None]:
    """The figures in square brackets behind thickness, width and length (mm); thickness in the finer step."""
    if packet.second is None:
        return [None] * 3
    unit, step = packet.second
    fine = min(step, Fraction(1, 10) if unit == 1 else Fraction(1, 64))
    return [rounded_to(s / unit, fine if n == 0 else step) for n, s in enumerate(sizes)]


def _heading_sizes(drawn: Drawn, heading: Part) -> list[str]:
    """Thickness, width and length as a heading of a part prints them; none where it does not."""
    runs = drawn.runs_in(heading)
    line = next((r for r in runs if "REQUIRED" in r.text), None)
    if line is None:
        return []
    # fractions may stand in runs of their own on the same line
    same = [r for r in runs if abs((r.box[1] + r.box[3]) / 2 - (line.box[1] + line.box[3]) / 2) < 2.5 and r.role == line.role]
    m = re.search(r"T (.+?) × W (.+?) × L ([^;]+)", joined(same))
    return [m[1], m[2], m[3]] if m else []


# 26 -------------------------------------------------------------------------------------------------------------


@rule(26)
def layouts_place_every_part_once(packet: Packet) -> list[Finding]:
    """All parts whose stock is laid out are in the layouts, each as often as it is needed, boards of glued panels one by one."""
    rows = packet.rows("cutting")
    if not rows:
        return []
    laid = Counter(r["part"] for r in rows if r["part"] and r["number"])
    stocks = {r["stock"] for r in rows}
    wanted: Counter[str] = Counter()
    for part in packet.model["parts"]:
        if part["stock"] in stocks:
            wanted[part["mark"]] += part["count"] * (len(part["glue_up"]["widths"]) if part["glue_up"] else 1)
    return [Finding("lists/cutting.csv", f"mark {m}", f"placed {laid[m]} times, needed {wanted[m]}") for m in sorted(wanted.keys() | laid.keys()) if wanted[m] != laid[m] and m in wanted]


@rule(26, "b")
def layouts_do_not_overlap(packet: Packet) -> list[Finding]:
    """Pieces of a sheet, bar or board keep a kerf of 1 mm or more between them and lie inside it, grain along the grain."""
    found = []
    stocks = {s["name"]: s for s in packet.model["stocks"]}
    sizes = {p["mark"]: p for p in packet.model["parts"]}
    by: dict[tuple[str, str, str], list[dict[str, str]]] = {}
    banded = {r["mark"] for r in packet.rows("parts") if "saw" in r["edges"]}
    for row in packet.rows("cutting"):
        if row["part"] and row["number"]:
            by.setdefault((row["stock"], row["from"], row["number"]), []).append(row)
    for (stock, source, number), rows in by.items():
        boxes = [(r, *(Fraction(r[k] or 0) for k in ("x_mm", "y_mm", "length_mm", "width_mm"))) for r in rows]
        for (r, x, y, a, b), (s, u, v, c, d) in combinations(boxes, 2):
            room = max(x - u - c, u - x - a, y - v - d, v - y - b)
            if room < Fraction(1):
                found.append(Finding("lists/cutting.csv", f"{stock} {source} {number}: {r['part']} and {s['part']}", f"{float(room):.2f} mm between"))
        for r, x, y, a, b in boxes:
            known = stocks[stock]
            if source == "sheet" and known["length"] and (x < 0 or y < 0 or x + a > Fraction(known["length"]) or y + b > Fraction(known["width"])):
                found.append(Finding("lists/cutting.csv", f"{stock} {number}: {r['part']}", "beyond the sheet"))
            if r["turned"] and known["grain"]:
                found.append(Finding("lists/cutting.csv", f"{stock} {number}: {r['part']}", "turned across the grain"))
            part = sizes.get(r["part"])
            if part is not None and r["part"] not in banded:
                if not r["width_mm"]:  # bars are cut to length only
                    if a < Fraction(part["length"]) - Fraction(1, 1000):
                        found.append(Finding("lists/cutting.csv", f"{stock} {number}: {r['part']}", f"{float(a)} for {part['length']}"))
                    continue
                told = sorted((a, b))
                wide = max(Fraction(w) for w in part["glue_up"]["widths"]) if part["glue_up"] else Fraction(part["width"])
                least = sorted((Fraction(part["length"]), wide))
                if any(t < w - Fraction(1, 1000) for t, w in zip(told, least, strict=True)):
                    found.append(Finding("lists/cutting.csv", f"{stock} {number}: {r['part']}", f"{[float(t) for t in told]} for {[float(w) for w in least]}"))
    return found


# 28 -------------------------------------------------------------------------------------------------------------

WORDS = ("Plan", "Date", "Scale", "Sheet", "Revision", "Drawn by", "Tolerance", "All sizes in", "Source")


def fields(drawn: Drawn, block: Part) -> dict[str, str]:
    """Small words of a title block with the entry right under each."""
    runs = drawn.runs_in(block)
    found = {}
    for word in WORDS:
        head = next((r for r in runs if r.text == word), None)
        if head is None:
            continue
        below = [r for r in runs if r is not head and 0.0 < r.base[1] - head.base[1] < 11.0 and r.box[0] < head.box[2] + 1.0 and r.box[2] > head.box[0] - 1.0]
        found[word] = min(below, key=lambda r: r.base[1]).text if below else ""
    return found


@rule(28)
def title_blocks_are_complete(packet: Packet) -> list[Finding]:
    """Plan, title, date, scale, sheet n of m, drawn by, tolerance, unit, source on every sheet; n without gaps; revision,
    date and source equal on all sheets."""
    found = []
    plan = packet.model["plan"]
    same: dict[str, set[str]] = {}
    for n, drawn in enumerate(packet.sheets, 1):
        blocks = drawn.of("titleblock")
        if len(blocks) != 1:
            found.append(Finding(drawn.name, "title block", f"{len(blocks)} of them"))
            continue
        told = fields(drawn, blocks[0])
        wanted = {"Plan", "Sheet", "Scale", "All sizes in", "Source", "Tolerance"}
        wanted |= {"Date"} if plan["date"] else set()
        wanted |= {"Drawn by"} if plan["author"] else set()
        wanted |= {"Revision"} if plan["revisions"] else set()
        found += [Finding(drawn.name, "title block", f"no entry {word}") for word in sorted(wanted) if not told.get(word)]
        texts = [r.text for r in drawn.runs_in(blocks[0])]
        if f"{n} of {len(packet.sheets)}" not in texts:
            found.append(Finding(drawn.name, "title block", f"no '{n} of {len(packet.sheets)}' among {texts}"))
        if drawn.code not in texts:
            found.append(Finding(drawn.name, "title block", f"the number {drawn.code} is missing"))
        if not any(r.role == "title" for r in drawn.runs_in(blocks[0])):
            found.append(Finding(drawn.name, "title block", "no title"))
        for word in ("Date", "Revision", "Source", "Plan", "All sizes in"):
            same.setdefault(word, set()).add(told.get(word, ""))
        scales = {v.data["scale"] for v in drawn.of("view")}
        scale = told.get("Scale", "")
        if (len(scales) == 1 and next(iter(scales)) not in scale) or (len(scales) > 1 and scale.lower() != "as shown"):
            found.append(Finding(drawn.name, "title block", f"scale {scale!r}, views {sorted(scales)}"))
    found += [Finding("packet", f"entry {word}", f"differs: {sorted(values)}") for word, values in same.items() if len(values) > 1]
    if plan["date"] and same.get("Date", {plan["date"]}) != {plan["date"]}:
        found.append(Finding("packet", "entry Date", f"{sorted(same['Date'])} for {plan['date']}"))
    if plan["revisions"]:
        last = plan["revisions"][-1]
        if same["Revision"] != {last["index"]}:
            found.append(Finding("packet", "entry Revision", f"{sorted(same['Revision'])}, the last row is {json.dumps(last)}"))
    return found


@rule(28, "b")
def index_is_the_packet(packet: Packet) -> list[Finding]:
    """The index on the cover names every sheet with its number, or first and last of a run of them, in order; page labels
    and outline of the PDF are the same."""
    codes = [d.code for d in packet.sheets]
    found = []
    if len(set(codes)) != len(codes):
        found.append(Finding("packet", "numbers of sheets", "not all different"))
    cover = packet.sheets[0]
    named: list[str] = []
    for index in cover.of("index"):
        for run in cover.runs_in(index):
            m = re.fullmatch(r"([A-Z]?\d*\.\d+[a-z]?)(?: – ([A-Z]?\d*\.\d+[a-z]?))?", run.text)
            if m and m[1] in codes:
                first, last = codes.index(m[1]), codes.index(m[2]) if m[2] else codes.index(m[1])
                named += codes[first : last + 1]
    if sorted(named) != sorted(codes):
        missing = [c for c in codes if c not in named]
        found.append(Finding(cover.name, "index", f"missing {missing}, twice {sorted(c for c, n in Counter(named).items() if n > 1)}"))
    reader = packet.reader("packet")
    if list(reader.page_labels) != codes:
        found.append(Finding("packet.pdf", "page labels", "differ from the sheets' numbers"))
    titles = [str(getattr(e, "title", "")).split()[0] for e in reader.outline]
    if titles != codes:
        found.append(Finding("packet.pdf", "outline", "differs from the sheets' numbers"))
    return found
