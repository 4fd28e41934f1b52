"""A page as a home printer makes it, black on white, 300 dots an inch, made smaller to two thirds: letters are high enough,
strokes are whole, grey stands for nothing alone. In every style, and a new style is one file.

Two thirds: PCT Rule 11.13, (c) and (h). Least letters: 1/16 in on the print (UFC 1-300-09N, ch. 2). Full-size letters: 0.004
of 600 mm, arm's length, are 2.4 mm (NUREG-0700 rev. 3, 11.4.1.5-1). Least line: one dot of the printer (common practice).
"""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

import plandoc.drawing.style as styles
import plandoc.model.information as information
from plandoc.drawing.style import LINE_ROLES, load_style, style_names
from plandoc.pipeline import Packet, check, packet
from plandoc.resources import data_folder
from plandoc.world import MemoryWorld
from tests.support.finished_sheets import Drawn, Run, Stroke, read

DPI, SMALLER = 300, 2 / 3
DOT = 25.4 / DPI  # mm on the print
LEAST_LETTER = 25.4 / 16  # mm on the print
ARM = 2.4  # mm on the sheet
SHEETS = ("part", "elevations", "section", "parts")
PLAN = Path(__file__).parents[2] / "examples" / "bench-shelf" / "bench-shelf.plan"


def in_style(name: str) -> Packet:
    text = PLAN.read_text(encoding="utf-8").replace("  sheets    A4 landscape\n", f'  sheets    A3 landscape\n  style     "{name}"\n')
    checked = check("shelf.plan", MemoryWorld({"shelf.plan": text}))
    assert checked.good and checked.model.info.style == name
    return packet(checked, SHEETS)


@lru_cache(maxsize=4)
def printed(name: str) -> list[tuple[Drawn, np.ndarray]]:
    """Every sheet with its print: True where a dot is black, one dot for each DPI-th of an inch at two thirds."""
    made = in_style(name)
    pdf = pypdfium2.PdfDocument(made.files["packet.pdf"])
    svgs = sorted(n for n in made.files if n.startswith("sheets/"))
    assert len(svgs) == len(pdf) > 3
    found = []
    for file, page in zip(svgs, pdf, strict=True):
        grey = np.asarray(page.render(scale=DPI * SMALLER / 72).to_pil().convert("L"))
        found.append((read(file, made.files[file]), grey < 128))
    return found


def spot(mm: float) -> float:
    """Millimetres of the sheet as dots of the print."""
    return mm * SMALLER / DOT


def letter_dots(run: Run, ink: np.ndarray) -> int:
    """How many rows of dots (columns of turned text) the letters of a run reach over."""
    x0, y0, x1, y1 = (spot(v) for v in run.box)
    area = ink[max(0, round(y0) - 1) : round(y1) + 1, max(0, round(x0)) : round(x1)]
    rows = np.flatnonzero(area.any(axis=0 if run.turn else 1)) if not run.turn else np.flatnonzero(ink[round(y0) : round(y1), round(x0) - 1 : round(x1) + 1].any(axis=0))
    return int(rows[-1] - rows[0] + 1) if len(rows) else 0


@pytest.mark.parametrize("name", style_names())
def test_letters_stay_high_enough(name: str) -> None:
    seen = 0
    for drawn, ink in printed(name):
        for run in drawn.runs:
            if not re.fullmatch(r"[A-Z0-9 ]{2,}", run.text) or "Q" in run.text or "J" in run.text:
                continue
            seen += 1
            high = letter_dots(run, ink) * DOT
            assert high >= LEAST_LETTER - DOT and run.height >= ARM, (drawn.name, run.text, high)
            assert abs(high - run.height * SMALLER) < 2.5 * DOT, (drawn.name, run.text, high, run.height)
    assert seen > 20


def whole(stroke: Stroke, ink: np.ndarray) -> float:
    """The share of a stroke's length that is black on the print, a dot to either side allowed for rounding."""
    hit = every = 0
    for (x0, y0), (x1, y1) in stroke.segments:
        steps = max(2, round(spot(max(abs(x1 - x0), abs(y1 - y0)))))
        for t in np.linspace(0.0, 1.0, steps)[1:-1]:
            x, y = spot(x0 + (x1 - x0) * t), spot(y0 + (y1 - y0) * t)
            every += 1
            hit += bool(ink[max(0, int(y) - 1) : int(y) + 2, max(0, int(x) - 1) : int(x) + 2].any())
    return hit / every if every else 1.0


@pytest.mark.parametrize("name", style_names())
def test_strokes_stay_whole(name: str) -> None:
    roles = set()
    for drawn, ink in printed(name):
        for stroke in drawn.strokes:
            roles.add(stroke.role)
            assert whole(stroke, ink) > 0.98, (drawn.name, stroke.role, stroke.points[:2])
    assert {"vis", "hid", "ctr", "dim", "ext", "hat", "tb"} <= roles


@pytest.mark.parametrize("name", style_names())
def test_dashes_stay_apart(name: str) -> None:
    """Between two dashes of one hidden line there is white on the print."""
    seen = 0
    for drawn, ink in printed(name):
        hidden = [s for s in drawn.strokes if s.role == "hid" and len(s.points) == 2]
        for a, b in pairwise(hidden):
            (x0, y0), (x1, y1) = a.points[-1], b.points[0]
            if a.group is not b.group or not 0.6 < abs(x1 - x0) + abs(y1 - y0) < 0.9 or abs(y1 - y0) > 0.01:
                continue
            x, y = spot((x0 + x1) / 2), spot(y0)
            seen += 1
            assert not ink[int(y), int(x)], (drawn.name, a.points, b.points)
    assert seen >= 5


@pytest.mark.parametrize("name", style_names())
def test_pens_are_wider_than_a_dot_and_lines_and_letters_are_black(name: str) -> None:
    style = load_style(name)
    assert all(style.pen(role).width * SMALLER > DOT for role in LINE_ROLES)
    assert style.fill("ink") == "#000000" and style.fill("mask") == "#ffffff"
    made = in_style(name)
    for file, data in made.files.items():
        if file.startswith("sheets/"):
            colours = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', data.decode("utf-8")))
            assert colours <= {"#000000", "#ffffff", style.fill("tone")}, file


def test_the_measuring_finds_what_is_too_small() -> None:
    """Letters half as high, and strokes that are not there, would be seen."""
    drawn, ink = printed("shop-inch")[0]
    run = next(r for r in drawn.runs if not r.turn and re.fullmatch(r"[A-Z0-9 ]{2,}", r.text))
    rows = np.flatnonzero(ink.any(axis=1))
    assert len(rows)
    faint = ink.copy()
    x0, y0, x1, y1 = (round(spot(v)) for v in run.box)
    faint[y0 - 1 : (y0 + y1) // 2, x0:x1] = False
    assert letter_dots(run, faint) * DOT < LEAST_LETTER < letter_dots(run, ink) * DOT + DOT
    stroke = max((s for s in drawn.strokes if s.role == "tb"), key=lambda s: s.length)
    assert whole(stroke, ink) > 0.98 > whole(stroke, np.zeros_like(ink))


def test_a_new_style_is_one_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that is put into the folder of styles can be named by a plan, and is what the sheets look like."""
    for file in data_folder("styles").glob("*.toml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "shop-metric.toml").read_text(encoding="utf-8")
    (tmp_path / "bold-outline.toml").write_text(text.replace("vis   = { width = 0.50 }", "vis   = { width = 0.70 }"), encoding="utf-8")

    def folder(kind: str) -> Path:
        return tmp_path if kind == "styles" else data_folder(kind)

    monkeypatch.setattr(styles, "data_folder", folder)
    monkeypatch.setattr(information, "data_folder", folder)
    made = in_style("bold-outline")
    sheet = next(data.decode("utf-8") for file, data in made.files.items() if "part" in file and file.endswith(".svg"))
    assert re.search(r'class="vis" stroke-width="0.7"|class="vis"[^>]*stroke-width="0.7"', sheet)
