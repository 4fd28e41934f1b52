"""Tool paths as words of RS274/NGC, the open language of machines that are led by numbers (published as NIST IR 6556).

Words used, no others: G0 to G3, G17, G20 or G21, G90, F, I, J, S, X, Y, Z, M2, M3, M5; comments stand in round brackets.
X0 Y0 is the part's reference corner, Z0 the face that lies up. Coordinates have three decimals in millimetres and four in
inches, feeds one. An arc is written after its ends are rounded, with a centre that lies as far from both: the standard allows
the two radii to differ by 0.002 mm.
"""

from __future__ import annotations

import re
from math import atan2, cos, hypot, pi, sqrt

from plandoc.build.routing import Routing, routings, tool_size
from plandoc.model.entities import Model
from plandoc.publish.numbers import decimal_text
from plandoc.quantity import INCH, Units, diameter_text
from plandoc.shopwork.names import edge_words
from plandoc.toolpath import practice
from plandoc.toolpath.track import Move
from plandoc.toolpath.work import Program

MOST = 100  # letters of a comment


def toolpath_files(model: Model) -> dict[str, str]:
    """`toolpaths/A-top-1-bit-6mm.ngc` and its text, for every part, face and tool that the plan asks for."""
    found = {}
    for routing in routings(model):
        for number, program in enumerate(routing.result.programs, 1):
            found[f"toolpaths/{file_name(routing, number)}"] = program_text(routing, number, program, model)
    return found


def file_name(routing: Routing, number: int) -> str:
    """Mark, face, place in the order of the face's files, tool."""
    program = routing.result.programs[number - 1]
    size = f"{program.diameter:g}deg" if program.kind == "v-bit" else f"{decimal_text(tool_size(routing, program))}mm"
    word = re.sub(r"[^A-Za-z0-9]+", "-", routing.part.mark or routing.part.path).strip("-")
    return f"{word}-{routing.face.name}-{number}-{program.kind}-{size}.ngc"


def program_text(routing: Routing, number: int, program: Program, model: Model) -> str:
    """The whole file."""
    units = model.info.units
    part, plane = routing.part, routing.ground
    tool = f"V-bit of {program.diameter:g} degrees, Z0 at its point"
    if program.kind != "v-bit":
        tool = f"{'straight bit' if program.kind == 'bit' else 'drill'}, diameter {diameter_text(tool_size(routing, program), units, mark=True)}"
    corner = f"{edge_words(part, plane.right.opposite)} and {edge_words(part, plane.up.opposite)}"
    rows = [
        _comment(f"{model.info.title}: {part.mark or part.path} {part.name}, {routing.face.name} face up"),
        _comment(f"file {number} of {len(routing.result.programs)}: {tool}"),
        _comment(f"X0 Y0: corner of {corner}; Z0: the face that lies up"),
        _comment("speeds and feeds are starting values: check them, and run in the air first"),
    ]
    writer = _Writer(units)
    rows += [f"G17 {'G20' if units.system == 'inch' else 'G21'} G90", f"G0 Z{writer.text(writer.round(practice.SAFE))}", f"S{program.speed} M3"]
    feeds = dict(program.feeds)
    for move in program.moves:
        rows += writer.rows(move, feeds.get(move.how, 0.0))
    rows += ["M5", f"G0 X{writer.text(0)} Y{writer.text(0)}", "M2"]
    return "\n".join([*rows, ""])


class _Writer:
    """Writes moves from rounded point to rounded point, so that errors do not add up. Coordinates are whole steps."""

    def __init__(self, units: Units) -> None:
        self.inch = units.system == "inch"
        self.places = 4 if self.inch else 3
        self.steps = 10**self.places / (float(INCH) if self.inch else 1.0)  # in a mm
        self.at: tuple[int | None, int | None, int | None] = (None, None, self.round(practice.SAFE))
        self.feed = ""

    def round(self, value: float) -> int:
        """The nearest whole step, halves away from zero."""
        scaled = value * self.steps
        return int(abs(scaled) + 0.5 + 1e-9) * (1 if scaled >= 0 else -1)

    def text(self, steps: int) -> str:
        """A coordinate with its fixed number of decimals."""
        digits = str(abs(steps)).rjust(self.places + 1, "0")
        return f"{'-' if steps < 0 else ''}{digits[: -self.places]}.{digits[-self.places :]}"

    def rows(self, move: Move, feed: float) -> list[str]:
        """The block of a move; none where its end is the present point."""
        end = (self.round(move.end[0]), self.round(move.end[1]), self.round(move.end[2]))
        if end == self.at:
            return []
        words = [f"{axis}{self.text(v)}" for axis, v, before in zip("XYZ", end, self.at, strict=True) if v != before]
        if move.how == "travel":
            self.at = end
            return [" ".join(["G0", *words])]
        pace = f"F{feed / (float(INCH) if self.inch else 1.0):.1f}"
        tail = [] if pace == self.feed else [pace]
        self.feed = pace
        centre = self.centre(move, end)
        self.at = end
        if centre is None:
            return [" ".join(["G1", *words, *tail])]
        place = [f"X{self.text(end[0])}", f"Y{self.text(end[1])}", *(w for w in words if w[0] == "Z")]
        return [" ".join(["G3" if move.left else "G2", *place, f"I{self.text(centre[0])}", f"J{self.text(centre[1])}", *tail])]

    def centre(self, move: Move, end: tuple[int, int, int]) -> tuple[int, int] | None:
        """The centre of an arc from the present point on, as far from its end; None for what is as good as straight."""
        if move.centre is None or self.at[0] is None or self.at[1] is None:
            return None
        x, y = self.at[0], self.at[1]
        dx, dy = end[0] - x, end[1] - y
        chord = hypot(dx, dy)
        if chord < 2:
            return None
        cx, cy = move.centre[0] * self.steps, move.centre[1] * self.steps
        radius = (hypot(cx - x, cy - y) + hypot(cx - end[0], cy - end[1])) / 2
        off = sqrt(max(0.0, radius * radius - chord * chord / 4))
        side = (cx - x) * -dy + (cy - y) * dx
        if off < 1e-6:
            side = 0.0
        way = 1 if side >= 0 else -1
        i, j = dx / 2 - way * dy / chord * off, dy / 2 + way * dx / chord * off
        # no arc that is flatter than the rounding
        turn = (atan2(end[1] - y - j, end[0] - x - i) - atan2(-j, -i)) % (2 * pi)
        turn = turn if move.left else 2 * pi - turn
        if radius * (1 - abs(cos(turn / 2))) < 0.5 and turn < pi:
            return None
        return _whole(i), _whole(j)


def _whole(value: float) -> int:
    return int(abs(value) + 0.5) * (1 if value >= 0 else -1)


def _comment(text: str) -> str:
    plain = text.replace('"', " in").replace("Ø", "diameter ").replace("×", "x")
    kept = "".join(c if " " <= c <= "~" and c not in "()" else "?" for c in plain)
    return f"({kept[:MOST]})"
