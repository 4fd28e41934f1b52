"""A router that is led by numbers, simulated: reads RS274/NGC text and moves a flat bit over a height map. It knows nothing of
the program that writes the text. Lengths are mm; z 0 is the face, upwards."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import acos, atan2, ceil, cos, hypot, pi, radians, sin, tan

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]
WORD = re.compile(r"([A-Z])([-+]?\d*\.?\d+)")
CODES = {"G0", "G1", "G2", "G3", "G17", "G20", "G21", "G90", "M2", "M3", "M5"}
RADII = {"mm": 0.002, "inch": 0.0002 * 25.4}  # NIST IR 6556, 3.5.3: most that the two radii of an arc may differ


class Fault(AssertionError):
    """What a machine would refuse, or what would spoil the work."""


@dataclass
class Step:
    """A straight bit of a move. rapid: G0."""

    rapid: bool
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    feed: float
    line: int


@dataclass
class Read:
    """A program as it was read. arcs: number of arc blocks."""

    steps: list[Step] = field(default_factory=list)
    arcs: int = 0
    blocks: int = 0
    speed: float = 0.0


def read(text: str) -> Read:
    """All moves of a program. Raises Fault for words outside of the few that are allowed, for a missing feed, for arcs
    whose radii differ, and for a program that does not end as it must."""
    found = Read()
    at: list[float | None] = [None, None, None]
    unit, absolute, plane, motion, feed, spindle, ended = "", False, False, "", 0.0, False, False
    for number, raw in enumerate(text.split("\n"), 1):
        line = re.sub(r"\([^()]*\)", "", raw).strip()
        if not raw.isascii() or len(raw) > 256:
            raise Fault(f"line {number}: not plain, or longer than 256 letters")
        if not line:
            continue
        if ended:
            raise Fault(f"line {number}: words behind M2")
        words = line.split()
        values: dict[str, float] = {}
        for word in words:
            match = WORD.fullmatch(word)
            if match is None:
                raise Fault(f"line {number}: {word!r}")
            letter, figure = match.groups()
            if letter in "GM":
                if word not in CODES:
                    raise Fault(f"line {number}: the word {word}")
                if word in ("G20", "G21"):
                    unit = "inch" if word == "G20" else "mm"
                elif word == "G90":
                    absolute = True
                elif word == "G17":
                    plane = True
                elif word == "M3":
                    spindle = True
                elif word == "M5":
                    spindle = False
                elif word == "M2":
                    ended = True
                else:
                    motion = word
            elif letter in "XYZIJFS":
                places = len(figure.split(".")[1]) if "." in figure else 0
                if letter in "XYZIJ" and places != (4 if unit == "inch" else 3):
                    raise Fault(f"line {number}: {places} decimals")
                if letter in values:
                    raise Fault(f"line {number}: two {letter}")
                values[letter] = float(figure)
            else:
                raise Fault(f"line {number}: the letter {letter}")
        if "F" in values:
            feed = values["F"] * (25.4 if unit == "inch" else 1)
        found.speed = values.get("S", found.speed)
        if not {"X", "Y", "Z"} & set(values):
            continue
        if not (unit and absolute and plane):
            raise Fault(f"line {number}: a move before units, plane and G90")
        factor = 25.4 if unit == "inch" else 1.0
        end = [values[a] * factor if a in values else at[i] for i, a in enumerate("XYZ")]
        found.blocks += 1
        if motion == "G0":
            if None not in at and None not in end:
                found.steps.append(Step(True, tuple(at), tuple(end), 0.0, number))  # type: ignore[arg-type]
            elif at[2] is None and ("X" in values or "Y" in values):
                raise Fault(f"line {number}: travels before it is lifted")
        else:
            if not feed or not spindle:
                raise Fault(f"line {number}: a cut without feed or spindle")
            if None in at or None in end:
                raise Fault(f"line {number}: a cut from an unknown place")
            points = [tuple(end)]
            if motion in ("G2", "G3"):
                found.arcs += 1
                points = _arc(at, end, values["I"] * factor, values["J"] * factor, motion == "G3", RADII[unit], number)
            before = tuple(at)
            for point in points:
                found.steps.append(Step(False, before, point, feed, number))  # type: ignore[arg-type]
                before = point
        at = end
    if not ended or spindle:
        raise Fault("the program does not stop the spindle and end")
    return found


def _arc(at: Sequence[float | None], end: Sequence[float | None], i: float, j: float, left: bool, most: float, number: int) -> list[tuple[float, ...]]:
    x, y, z = (float(v or 0) for v in at)
    ex, ey, ez = (float(v or 0) for v in end)
    cx, cy = x + i, y + j
    radius, other = hypot(i, j), hypot(ex - cx, ey - cy)
    if abs(radius - other) > most:
        raise Fault(f"line {number}: radii {radius} and {other}")
    first, last = atan2(y - cy, x - cx), atan2(ey - cy, ex - cx)
    turn = (last - first) % (2 * pi) if left else (first - last) % (2 * pi)
    turn = 2 * pi if turn < 1e-9 else turn
    count = max(1, ceil(turn / (2 * acos(max(0.5, 1 - 0.004 / max(radius, 0.005))))))
    points: list[tuple[float, ...]] = []
    for n in range(1, count):
        a = first + (turn if left else -turn) * n / count
        points.append((cx + radius * cos(a), cy + radius * sin(a), z + (ez - z) * n / count))
    return [*points, (ex, ey, ez)]


class Blank:
    """The height map of a board from x0, y0 to x1, y1, and what was seen while it was cut."""

    def __init__(self, x0: float, y0: float, x1: float, y1: float, grid: float = 0.25) -> None:
        self.grid = grid
        self.x = np.arange(x0 + grid / 2, x1, grid)
        self.y = np.arange(y0 + grid / 2, y1, grid)
        self.z: Floats = np.zeros((len(self.y), len(self.x)))
        self.lowest = 0.0

    def run(self, text: str, diameter: float, safe: float, clamps: Sequence[tuple[float, float, float, float]] = (), clamp_high: float = 15.0, slope: float | None = 3.0, plunges: Sequence[tuple[float, float]] = ()) -> Read:
        """Cut by a program. slope: steepest way into wood (degrees), None for a drill; plunges: where it may go straight down,
        by at most half of its width at a time and not on the way. Raises Fault."""
        program = read(text)
        radius = diameter / 2
        for step in program.steps:
            (ax, ay, az), (bx, by, bz) = step.start, step.end
            flat = hypot(bx - ax, by - ay)
            if step.rapid:
                if flat > 1e-9 and min(az, bz) < safe - 1e-3:
                    raise Fault(f"line {step.line}: travels below the safe height")
                if flat < 1e-9 and bz < az - 1e-9 and bz < safe - 1e-3:
                    raise Fault(f"line {step.line}: falls")
                if bz < az:
                    self.cut(step, radius, None)
                continue
            if min(az, bz) < clamp_high:
                low = (min(ax, bx) - radius, min(ay, by) - radius, max(ax, bx) + radius, max(ay, by) + radius)
                for zone in clamps:
                    if low[0] < zone[2] and zone[0] < low[2] and low[1] < zone[3] and zone[1] < low[3]:
                        way = shapely.LineString([(ax, ay), (bx, by)]) if flat else shapely.Point(ax, ay)
                        if way.distance(shapely.box(*zone)) < radius - 1e-3:
                            raise Fault(f"line {step.line}: through a clamp")
            steep = slope if slope is not None and bz < az and (az - bz) > flat * tan(radians(slope)) * 1.02 + 0.003 else None
            if steep is not None and flat < 1e-9 and any(hypot(ax - u, ay - v) < 0.01 for u, v in plunges):
                floor = self.z[np.searchsorted(self.y, ay), np.searchsorted(self.x, ax)]
                if floor - bz > radius + 1e-6:
                    raise Fault(f"line {step.line}: plunges by {floor - bz:.3f}")
                steep = None
            self.cut(step, radius, steep)
            self.lowest = min(self.lowest, bz)
        return program

    def cut(self, step: Step, radius: float, steep: float | None) -> None:
        """Lower the map under a straight move."""
        (ax, ay, az), (bx, by, bz) = step.start, step.end
        if min(az, bz) >= 0:
            return
        i0, i1 = np.searchsorted(self.x, (min(ax, bx) - radius, max(ax, bx) + radius))
        j0, j1 = np.searchsorted(self.y, (min(ay, by) - radius, max(ay, by) + radius))
        if i0 >= i1 or j0 >= j1:
            return
        px, py = self.x[i0:i1][None, :] - ax, self.y[j0:j1][:, None] - ay
        ux, uy = bx - ax, by - ay
        square = ux * ux + uy * uy
        if square < 1e-12:
            inside = px * px + py * py <= radius * radius
            level = np.where(inside, min(az, bz), np.inf)
        else:
            middle = (px * ux + py * uy) / square
            off = px * px + py * py - middle * middle * square
            half = np.sqrt(np.maximum(0.0, radius * radius - off) / square)
            low, high = np.clip(middle - half, 0, 1), np.clip(middle + half, 0, 1)
            inside = (off <= radius * radius) & (middle - half <= 1) & (middle + half >= 0)
            level = np.where(inside, np.minimum(az + (bz - az) * low, az + (bz - az) * high), np.inf)
        here = self.z[j0:j1, i0:i1]
        if steep is not None and bool((here > level + 0.02).any()):
            raise Fault(f"line {step.line}: steeply into the wood")
        np.minimum(here, level, out=here)

    def grid_points(self) -> tuple[Floats, Floats]:
        """x and y of all cells."""
        x, y = np.meshgrid(self.x, self.y)
        return x, y


def design(section: Callable[[float], shapely.Geometry], levels: Sequence[float], x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Height of the finished face over each point, without and with `0.05` mm of leave all round: section gives the wood at a depth
    (mm below the face); levels: depths at which the form changes, the last the thickness. Where no wood is left: minus
    infinity."""
    top, loose = np.full(x.shape, -np.inf), np.full(x.shape, -np.inf)
    bounds = [0.0, *[v for v in levels if v > 0]]
    for low, high in reversed(list(itertools.pairwise(bounds))):
        wood = section((low + high) / 2)
        shapely.prepare(wood)
        top[shapely.contains_xy(wood, x, y)] = -low
        less = wood.buffer(-0.05)
        shapely.prepare(less)
        loose[shapely.contains_xy(less, x, y)] = -low
    return top, loose


def engraved(text: str, angle: float, x0: float, y0: float, x1: float, y1: float, grid: float = 0.1) -> tuple[Floats, Floats, Floats]:
    """x, y and height after a program of a V-bit whose sides open by an angle (degrees): its cone at places along every
    move, half a cell apart. Raises Fault where it travels too low or goes into wood by more than 3 degrees, but for dots."""
    x, y = np.meshgrid(np.arange(x0, x1, grid), np.arange(y0, y1, grid))
    z, rise = np.zeros(x.shape), 1 / tan(radians(angle / 2))
    for step in read(text).steps:
        (ax, ay, az), (bx, by, bz) = step.start, step.end
        flat = hypot(bx - ax, by - ay)
        if step.rapid:
            if min(az, bz) < 20.0 - 1e-3 and (flat > 1e-9 or bz < az):
                raise Fault(f"line {step.line}: travels too low")
            continue
        count = max(1, ceil(flat / (grid / 2)))
        for n in range(count + 1):
            px, py, pz = (a + (b - a) * n / count for a, b in zip(step.start, step.end, strict=True))
            if pz >= 0:
                continue
            reach = -pz / rise + grid
            i0, i1 = np.searchsorted(x[0], (px - reach, px + reach))
            j0, j1 = np.searchsorted(y[:, 0], (py - reach, py + reach))
            here = z[j0:j1, i0:i1]
            level = pz + np.hypot(x[j0:j1, i0:i1] - px, y[j0:j1, i0:i1] - py) * rise
            if n == count and flat > 0.3 and bz < az - flat * tan(radians(3.0)) * 1.05 - 0.003 and bool((here > level + 0.02).any()):
                raise Fault(f"line {step.line}: steeply into the wood")
            np.minimum(here, level, out=here)
    return x, y, z
