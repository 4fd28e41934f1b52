"""Where clamps may sit: at the edges of the board, clear of all that the bits sweep."""

from __future__ import annotations

from shapely.geometry import box

from plandoc.toolpath.areas import Shape, polygons
from plandoc.toolpath.practice import (
    CLAMP_APART,
    CLAMP_BODY,
    CLAMP_LEAST,
    CLAMP_NARROW,
    CLAMP_REACH,
    CLAMP_WIDE,
)
from plandoc.toolpath.work import Board, Zone

SIDES = ("left", "right", "low", "high")


def strip(board: Board, side: str, reach: float, low: float, high: float, off: float = 0.0) -> Zone:
    """A zone at one side of the board: along it from low to high, from `off` outside of the edge to `reach` inside of it,
    and as far out as a clamp is long."""
    wide, deep = board.size
    if side == "left":
        return (-off - CLAMP_BODY, low, reach - off, high)
    if side == "right":
        return (wide - reach + off, low, wide + off + CLAMP_BODY, high)
    if side == "low":
        return (low, -off - CLAMP_BODY, high, reach - off)
    return (low, deep - reach + off, high, deep + off + CLAMP_BODY)


def run_of(board: Board, side: str) -> float:
    """Length of a side."""
    return board.size[1] if side in ("left", "right") else board.size[0]


def sought(board: Board, swept: Shape) -> tuple[Zone, ...]:
    """For each side the best stretch that clamps can hold, none where there is no room."""
    found: list[Zone] = []
    for side in SIDES:
        for reach in (CLAMP_REACH, (CLAMP_REACH + CLAMP_LEAST) / 2, CLAMP_LEAST):
            run = run_of(board, side)
            zone = box(*strip(board, side, reach, 0.0, run))
            across = side in ("left", "right")
            taken = []
            for piece in polygons(swept.intersection(zone.buffer(CLAMP_APART))):
                x0, y0, x1, y1 = piece.bounds
                taken.append((y0, y1) if across else (x0, x1))
            gap = _widest(sorted(taken), run)
            if gap is not None:
                found.append(strip(board, side, reach, *gap))
                break
    return tuple(found)


def _widest(taken: list[tuple[float, float]], run: float) -> tuple[float, float] | None:
    """The widest stretch between what is taken, no wider than a clamp wants it."""
    best, at = (0.0, 0.0), 0.0
    for low, high in [*taken, (run + CLAMP_APART, run)]:
        free = (at, low - CLAMP_APART)
        if free[1] - free[0] > best[1] - best[0] + 1e-6:
            best = free
        at = max(at, high + CLAMP_APART)
    low, high = max(best[0], 0.0), min(best[1], run)
    if high - low < CLAMP_NARROW:
        return None
    if high - low > CLAMP_WIDE:
        middle = (low + high) / 2
        low, high = middle - CLAMP_WIDE / 2, middle + CLAMP_WIDE / 2
    return (low, high)
