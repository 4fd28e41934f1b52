"""Printed figures read back from lettering: words of a group on one line, fractions put together, values in millimetres."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from tests.support.finished_sheets import Run

NUMBER = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
FIGURE = re.compile(rf"(?:(?P<count>\d+)X )?(?P<open>\()?(?P<rounded>≈)?(?P<size>{NUMBER})(?P<mark> mm)?(?P<close>\))?(?: \[(?P<second>{NUMBER})\])?")


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as printed, in the unit of the plan, or in millimetres where it says so (metric bores in a plan in inches)."""

    count: int
    bracketed: bool
    rounded: bool
    value: Fraction
    metric: bool = False
    second: Fraction | None = None  # in square brackets, in the plan's second unit

    def millimetres(self, unit: Fraction) -> Fraction:
        return self.value * (1 if self.metric else unit)


def words(runs: list[Run]) -> str:
    """The runs as one text in reading order: lines from above, digits over and under a bar as 3/4."""
    places = []
    for run in runs:
        x0, y0, x1, y1 = run.box
        # along the reading direction, across it from above
        along, across = ((-y1, -y0), run.base[0]) if run.turn else ((x0, x1), run.base[1])
        places.append([along[0], along[1], across, run])
    used: set[int] = set()
    pieces: list[tuple[float, float, str]] = []
    for i, (a0, a1, v, run) in enumerate(places):
        if i in used:
            continue
        for j, (b0, b1, w, other) in enumerate(places):
            if j == i or j in used or not (run.text.isdigit() and other.text.isdigit()) or abs(run.height - other.height) > 0.01:
                continue
            if abs((a0 + a1) - (b0 + b1)) < 0.2 and 0.8 * run.height < abs(w - v) < 2.2 * run.height:
                over, under = (run, other) if v < w else (other, run)
                used |= {i, j}
                pieces.append((min(a0, b0), (v + w) / 2 - run.height * 0.12, f"{over.text}/{under.text}"))
                break
        else:
            used.add(i)
            pieces.append((a0, v, run.text.strip()))
    lines: list[list[tuple[float, float, str]]] = []
    least = max((run.height for run in runs), default=1.0)
    for piece in sorted(pieces, key=lambda p: p[1]):
        if lines and piece[1] - lines[-1][0][1] < 0.8 * least:
            lines[-1].append(piece)
        else:
            lines.append([piece])
    return "\n".join(" ".join(text for _, _, text in sorted(line)) for line in lines)


def figure(text: str) -> Figure | None:
    """One figure, None where the text is something else."""
    m = FIGURE.fullmatch(re.sub(r"([(\[≈]) ", r"\1", re.sub(r" ([)\]])", r"\1", text)).strip())
    if m is None or bool(m["open"]) != bool(m["close"]):
        return None
    return Figure(int(m["count"] or 1), bool(m["open"]), bool(m["rounded"]), value(m["size"]), bool(m["mark"]), None if m["second"] is None else value(m["second"]))


def value(text: str) -> Fraction:
    """A number as printed: 12, 12.5, 3/4, 1 3/4."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def numbers(text: str) -> list[Fraction]:
    """All numbers of a text."""
    return [value(m) for m in re.findall(NUMBER, text)]


def rounded_to(size: Fraction, step: Fraction) -> Fraction:
    """The nearest multiple, halves upwards."""
    return (size / step + Fraction(1, 2)).__floor__() * step
