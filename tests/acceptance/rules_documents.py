"""Rules 29 and 30: what a print keeps of the pages, glyphs and fonts; full-size templates.

Reading at 2/3 size and the count of what hangs together: after PCT Rule 11.13 (drawings stay legible when they are made
smaller to two thirds). Bars in both directions on every template: common advice for printed templates.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, permutations

import numpy as np
import pypdfium2

from tests.acceptance.findings import Finding, rule, sheet_rule
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import Drawn, points_box, read, strokes_box

WORDS = ("notes", "to-buy", "parts-list", "hardware", "overview", "procedure")
FILLED = 0.6  # of a sheet: what two sheets cover together at least
HALF_FULL = 0.4
AROUND = 4.0  # mm
FINE, PRINT = 600, 200  # dots per inch of the sheet; 200 is 300 on paper at two thirds
KEPT = 0.02
# Work that takes a whole edge or end of a face away.
SHAPED = {"bevel", "compound cut", "end cut", "mitre", "outline", "taper"}
PAGES = int(os.environ.get("PLANDOC_ACCEPTANCE_PAGES", "1"))  # pages of each packet that are counted


@rule(28, "d")
def sheets_of_words_are_filled(packet: Packet) -> list[Finding]:
    """No two sheets of one kind of words (notes, lists, steps) follow each other that would have room on one: what stands on them, with
    the paper round it, covers more than FILLED of one sheet; and no sheet of steps but the last is mostly empty."""
    found = []
    shares = [(d.name, d.sheet.data["kind"], _covered_share(d)) for d in packet.sheets]
    for (name, kind, share), (_, after, more) in pairwise(shares):
        if kind in WORDS and kind == after and share + more < FILLED:
            found.append(Finding(name, f"{kind} sheets", f"{share:.0%} and {more:.0%} covered"))
        if kind == after == "procedure" and share < HALF_FULL:
            found.append(Finding(name, "sheet of steps", f"{share:.0%} covered"))
    return found


def _covered_share(drawn: Drawn) -> float:
    """Which part of the drawing space has ink within AROUND mm, by the boxes of lettering and strokes."""
    frame = drawn.frame()
    assert frame is not None, drawn.name
    low = min((r.box[1] for r in drawn.runs if r.group.home("titleblock")), default=frame[3]) - 2.0
    covered = np.zeros((int(low - frame[1]), int(frame[2] - frame[0])), dtype=bool)
    boxes = [r.box for r in drawn.runs if not r.group.home("titleblock")]
    boxes += [points_box(segment) for s in drawn.strokes if s.role not in ("frame", "tb") or s.group.home("table") for segment in s.segments]
    for x0, y0, x1, y1 in boxes:
        if y1 < low:
            top, left = max(0, int(y0 - frame[1] - AROUND)), max(0, int(x0 - frame[0] - AROUND))
            covered[top : int(y1 - frame[1] + AROUND), left : int(x1 - frame[0] + AROUND)] = True
    return float(covered.mean())


@rule(29)
def all_glyphs_found(packet: Packet) -> list[Finding]:
    """Every character is in the typeface, and a text is as wide as the typeface says."""
    found = []
    for drawn in packet.every:
        for run in drawn.runs:
            if run.missing:
                found.append(Finding(drawn.name, repr(run.text), f"no glyph for {run.missing!r}"))
            if run.told and abs(run.told - run.natural) > 0.01 + 0.0005 * run.natural:
                found.append(Finding(drawn.name, repr(run.text), f"squeezed from {run.natural:.3f} to {run.told:.3f} mm"))
    return found


@rule(29, "b")
def all_fonts_embedded(packet: Packet) -> list[Finding]:
    """Every font of every PDF is in the file, and no letter stands for a missing one."""
    found = []
    for document in packet.documents:
        for number, page in enumerate(packet.reader(document).pages, 1):
            fonts = page["/Resources"].get("/Font", {})  # type: ignore[union-attr, index]
            for name, entry in fonts.items():
                font = entry.get_object()
                descendants = font.get("/DescendantFonts")
                descriptor = (descendants[0].get_object() if descendants else font).get("/FontDescriptor")
                if descriptor is None or not {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor.get_object()):
                    found.append(Finding(f"{document}.pdf", f"page {number}, font {name}", "not embedded"))
    return found


@rule(29, "c")
def letters_of_pages_and_sheets(packet: Packet) -> list[Finding]:
    """A page holds the letters of its sheet, each as often."""
    found = []
    for document, sheets in packet.documents.items():
        pdf = packet.pdf(document)
        for drawn, page in zip(sheets, pdf, strict=True):
            text = page.get_textpage()
            on_page = Counter(c for c in text.get_text_range() if c.strip() and c not in "\ufffe\x02\xad")
            on_sheet = Counter(c for run in drawn.runs for c in run.text if c.strip())
            # pdfium tells a hyphen at the end of a line as a mark of its own
            differ = {c: (on_sheet[c], on_page[c]) for c in on_sheet.keys() | on_page.keys() if on_sheet[c] != on_page[c] and c != "-"}
            if differ:
                found.append(Finding(drawn.name, f"page of {document}.pdf", f"letters on sheet and page: {sorted(differ.items())[:6]}"))
            text.close()
        pdf.close()
    return found


def pieces(ink: np.ndarray, least: int = 1) -> int:
    """How many pieces hang together (eight neighbours), of at least that many dots: runs of rows joined by union-find."""
    padded = np.zeros((ink.shape[0], ink.shape[1] + 2), dtype=np.int8)
    padded[:, 1:-1] = ink
    edge = np.diff(padded, axis=1)
    starts, ends = np.argwhere(edge == 1), np.argwhere(edge == -1)
    rows, left, right = starts[:, 0], starts[:, 1], ends[:, 1]
    parent = np.arange(len(rows))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return int(i)

    first = np.searchsorted(rows, np.arange(ink.shape[0] + 1))
    for row in range(1, ink.shape[0]):
        a, a_end, b, b_end = first[row - 1], first[row], first[row], first[row + 1]
        while a < a_end and b < b_end:
            if left[a] <= right[b] and left[b] <= right[a]:
                x, y = root(a), root(b)
                if x != y:
                    parent[max(x, y)] = min(x, y)
            if right[a] < right[b]:
                a += 1
            else:
                b += 1
    sizes: Counter[int] = Counter()
    for i in range(len(rows)):
        sizes[root(i)] += int(right[i] - left[i])
    return sum(1 for n in sizes.values() if n >= least)


def dots(page: pypdfium2.PdfPage, dpi: int) -> np.ndarray:
    """The dots that a printer sets: those darker than half grey."""
    image = page.render(scale=dpi / 72, grayscale=True).to_numpy()
    return np.asarray(image).reshape(image.shape[0], image.shape[1]) < 128


@rule(29, "d")
def pages_survive_a_small_print(packet: Packet) -> list[Finding]:
    """At 300 dots an inch and 2/3 size a page falls into as many pieces as at 600 dots, within 2 of a hundred: no line
    breaks, no two run together. Counted on the pages with the most strokes."""
    found = []
    pdf = packet.pdf("packet")
    busiest = sorted(range(len(packet.sheets)), key=lambda n: (-len(packet.sheets[n].strokes), n))[:PAGES]
    for n in sorted(busiest):
        page = pdf[n]
        fine, small = (pieces(dots(page, dpi)) for dpi in (FINE, PRINT))
        if abs(small - fine) > KEPT * fine:
            found.append(Finding(packet.sheets[n].name, "page", f"{fine} pieces at 600 dpi, {small} at 300 dpi and 2/3 size"))
    pdf.close()
    return found


# 30 -------------------------------------------------------------------------------------------------------------


@rule(30, "e")
def every_template_page_tells_how_to_correct(packet: Packet) -> list[Finding]:
    """Where the bars of a page do not measure right, the page itself says what to print at: 100 / 98 for a bar of 98 mm."""
    right = f"98: print at {100 * 100 / 98:.2f} %"
    pages = packet.documents.get("templates", [])
    return [Finding(d.name, "page", "nothing of a bar that is wrong") for d in pages[1:] if not any(right in r.text for r in d.runs)]


@rule(30)
def nothing_is_scaled_in_print(packet: Packet) -> list[Finding]:
    """Every PDF asks for printing without scaling."""
    found = []
    for document in packet.documents:
        wish = packet.reader(document).trailer["/Root"].get("/ViewerPreferences", {}).get("/PrintScaling")  # type: ignore[union-attr, index]
        if wish != "/None":
            found.append(Finding(f"{document}.pdf", "PrintScaling", str(wish)))
    return found


@sheet_rule(30, "b")
def check_bars_both_ways(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Every template page has bars of 100 mm and 4 in, level and upright, as long as they say."""
    if not drawn.of("tile"):
        return
    seen = set()
    for bar in drawn.of("checkbar"):
        box = points_box([p for s in drawn.strokes_in(bar, "tb") for p in s.points[:1] + s.points[-1:]])
        long = max(box[2] - box[0], box[3] - box[1])
        axis = "x" if box[2] - box[0] > box[3] - box[1] else "y"
        (label,) = (r.text for r in drawn.runs_in(bar))
        wanted = {"100 mm": 100.0, "4 in": 101.6}[label]
        if abs(long - wanted) > 0.1:
            yield f"bar {label} along {axis}", f"{long:.3f} mm"
        seen.add((axis, label))
    if len(seen) != 4:
        yield "bars", f"only {sorted(seen)}"


@rule(30, "c")
def crosses_of_tiles_coincide(packet: Packet) -> list[Finding]:
    """Tiles of a template share at least two crosses with each neighbour; a cross stands at the same point of the part on
    all its pages, at the place on paper that this says, within 0.1 mm."""
    found = []
    pages: dict[str, list[tuple[Drawn, str, float, float]]] = {}
    for document, drawn in packet.beside:
        for tile in drawn.of("tile") if document == "templates" else ():
            x, y = float(tile.data["x"]), float(tile.data["y"])
            key = next((t.data["of"] for t in drawn.of("template") if t.data.get("what") == "outline"), drawn.name)
            pages.setdefault(_document_of(drawn, key), []).append((drawn, tile.data["tile"], x, y))
            for cross in drawn.of("cross"):
                rings = drawn.rings_in(cross)
                at = (x + rings[0].centre[0], y + rings[0].centre[1])
                off = max(abs(at[0] - float(cross.data["x"])), abs(at[1] - float(cross.data["y"])))
                if off > 0.1:
                    found.append(Finding(drawn.name, f"cross at {cross.data['x']}, {cross.data['y']}", f"{off:.3f} mm off"))
    for of, tiles in pages.items():
        points: Counter[tuple[str, str]] = Counter()
        for drawn, _, _, _ in tiles:
            points.update({(c.data["x"], c.data["y"]) for c in drawn.of("cross")})
        found += [Finding("templates", f"{of}, cross at {x}, {y}", f"on {n} page") for (x, y), n in sorted(points.items()) if n < 2]
        names = {tile: {(c.data["x"], c.data["y"]) for c in drawn.of("cross")} for drawn, tile, _, _ in tiles}
        for tile, own in names.items():
            for across, down in ((1, 0), (0, 1)):
                other = f"{chr(ord(tile[0]) + down)}{int(tile[1:]) + across}"
                if other in names and len(own & names[other]) < 2:
                    found.append(Finding("templates", f"{of}, tiles {tile} and {other}", f"{len(own & names[other])} crosses in common"))
    return found


def _document_of(drawn: Drawn, key: str) -> str:
    """One template: its part and face, as the foot of every page says."""
    foot = next(iter(drawn.of("foot")), None)
    return drawn.runs_in(foot)[1].text if foot is not None else key


@rule(30, "d")
def template_files_are_full_size(packet: Packet) -> list[Finding]:
    """A template file counts in millimetres, and its outline is as large as a face of the part; smaller only where work
    takes something off the edges of the face."""
    found = []
    by_mark = {p["mark"]: p for p in packet.model["parts"]}
    for name, data in sorted(packet.files.items()):
        if not name.startswith("templates/"):
            continue
        drawn = read(name, data)
        through = next(p for p in drawn.parts if p.id == "through")
        box = strokes_box(drawn.strokes_in(through))
        sides = (box[2] - box[0], box[3] - box[1])
        part = by_mark[name.removeprefix("templates/").split("-")[0]]
        sizes = [float(Fraction(part[s])) for s in ("length", "width", "thickness")]
        least = 0.1 if not SHAPED & {f["kind"] for f in part["features"]} else max(sizes)
        if not any(-least < sides[0] - a < 0.1 and -least < sides[1] - b < 0.1 for a, b in permutations(sizes, 2)):
            found.append(Finding(name, "outline", f"{sides[0]:.2f} x {sides[1]:.2f} mm for {' x '.join(f'{s:g}' for s in sizes)}"))
        if max(abs(drawn.size[i] - drawn.stated[i]) for i in (0, 1)) > 0.001:
            found.append(Finding(name, "viewBox", f"{drawn.stated} units on {drawn.size} mm"))
    return found
