"""Precedence of lines that coincide: a visible line wins over a hidden one, the nearer over the farther.

Where a weaker line reaches beyond the stronger, the rest of it is drawn (the rule of drafting textbooks,
common practice: visible, then hidden, then the rest).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from typing import NamedTuple

SAME_ANGLE = 1e-6  # radians
SAME_LINE = 1e-4  # mm between lines that count as one
SHORT = 1e-3  # mm


class Fragment(NamedTuple):
    """A straight piece of line: ends (mm), depths at the ends (mm towards the viewer), number of its body, kind
    (0 edge, 1 silhouette, 2 chord of an arc), hidden or not."""

    x0: float
    y0: float
    x1: float
    y1: float
    z0: float
    z1: float
    body: int
    kind: int
    hidden: bool


class _Run(NamedTuple):
    """A fragment seen along its line: from..to, depths there."""

    lo: float
    hi: float
    z_lo: float
    z_hi: float
    body: int
    kind: int
    hidden: bool

    def depth(self, at: float) -> float:
        return self.z_lo + (self.z_hi - self.z_lo) * (at - self.lo) / (self.hi - self.lo)


def resolve(fragments: Iterable[Fragment], hidden: bool) -> list[Fragment]:
    """Fragments of which no two cover each other; those of one body that continue each other are made one."""
    angled: list[tuple[float, Fragment]] = []
    for f in fragments:
        dx, dy = f.x1 - f.x0, f.y1 - f.y0
        if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0):
            f = f._replace(x0=f.x1, y0=f.y1, x1=f.x0, y1=f.y0, z0=f.z1, z1=f.z0)
            dx, dy = -dx, -dy
        angled.append((math.atan2(dy, dx), f))
    angled.sort()
    result: list[Fragment] = []
    for bundle in _bundles(angled, SAME_ANGLE):
        # the longest piece knows the direction best
        longest = max(bundle, key=lambda f: (math.hypot(f.x1 - f.x0, f.y1 - f.y0), f))
        size = math.hypot(longest.x1 - longest.x0, longest.y1 - longest.y0)
        ux, uy = (longest.x1 - longest.x0) / size, (longest.y1 - longest.y0) / size
        placed = sorted((_snap(f.y0 * ux - f.x0 * uy), f) for f in bundle)
        for line in _bundles(placed, SAME_LINE):
            if len(line) == 1:
                if hidden or not line[0].hidden:
                    result.append(line[0])
                continue
            result += _on_one_line(line, ux, uy, hidden)
    return result


def _snap(value: float) -> float:
    return round(value, 9)


def _bundles(items: list[tuple[float, Fragment]], gap: float) -> list[list[Fragment]]:
    """Sorted items in groups whose keys follow each other within gap."""
    groups: list[list[Fragment]] = []
    last = -math.inf
    for key, fragment in items:
        if key - last > gap:
            groups.append([])
        groups[-1].append(fragment)
        last = key
    return groups


def _on_one_line(line: list[Fragment], ux: float, uy: float, hidden: bool) -> list[Fragment]:
    runs: list[_Run] = []
    for f in line:
        lo, hi = f.x0 * ux + f.y0 * uy, f.x1 * ux + f.y1 * uy
        if hi - lo > 1e-9:
            runs.append(_Run(lo, hi, f.z0, f.z1, f.body, f.kind, f.hidden))
    if not runs:
        return []
    off = sum(f.y0 * ux - f.x0 * uy for f in line) / len(line)
    stops = _stops(runs)
    runs.sort()
    chosen: list[tuple[float, float, _Run]] = []
    active: list[_Run] = []
    position = 0
    for lo, hi in itertools.pairwise(stops):
        middle = (lo + hi) / 2
        while position < len(runs) and runs[position].lo < middle:
            active.append(runs[position])
            position += 1
        active = [r for r in active if r.hi > middle]
        if not active:
            continue
        best = min(active, key=lambda r: (r.hidden, -round(r.depth(middle), 4), r.body, r.kind))
        if best.hidden and not hidden:
            continue
        if chosen and chosen[-1][1] == lo and _continues(chosen[-1][2], best):
            before = chosen[-1][2]
            joined = best._replace(
                lo=before.lo, z_lo=before.z_lo, z_hi=best.depth(hi), hi=hi,
                body=min(before.body, best.body), kind=min(before.kind, best.kind),
            )
            chosen[-1] = (chosen[-1][0], hi, joined)
        else:
            cut = best._replace(lo=lo, hi=hi, z_lo=best.depth(lo), z_hi=best.depth(hi))
            chosen.append((lo, hi, cut))
    made = []
    for lo, hi, run in chosen:
        x0, y0, x1, y1 = lo * ux - off * uy, lo * uy + off * ux, hi * ux - off * uy, hi * uy + off * ux
        made.append(Fragment(x0, y0, x1, y1, run.z_lo, run.z_hi, run.body, run.kind, run.hidden))
    return made


def _continues(first: _Run, second: _Run) -> bool:
    """Hidden pieces are joined whosever they are, so that the dashes run through."""
    return first.hidden == second.hidden and (first.hidden or first.body == second.body)


def _stops(runs: list[_Run]) -> list[float]:
    """Ends of all runs, those closer than SHORT taken as one."""
    stops: list[float] = []
    for value in sorted(v for r in runs for v in (r.lo, r.hi)):
        if not stops or value - stops[-1] > SHORT:
            stops.append(value)
    return stops
