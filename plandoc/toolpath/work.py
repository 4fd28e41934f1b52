"""What is to be cut in one face of a board, and what comes of it. mm; x to the right and y upwards as one looks at the
face, from the corner of the board that the machine starts from; depths are counted from the face."""

from __future__ import annotations

from dataclasses import dataclass, field

from plandoc.geometry.contours import XY, Contour
from plandoc.toolpath.track import Move

Zone = tuple[float, float, float, float]  # x0, y0, x1, y1


@dataclass(frozen=True, slots=True)
class Cut:
    """An area with a flat bottom, or through the board (depth None). name: what it is called in words."""

    name: str
    shape: Contour
    depth: float | None


@dataclass(frozen=True, slots=True)
class Bore:
    """A drilled hole; depth None: through."""

    name: str
    centre: XY
    diameter: float
    depth: float | None


@dataclass(frozen=True, slots=True)
class Letters:
    """A text in single strokes along which the point of a V-bit goes. depth: of the point."""

    name: str
    strokes: tuple[tuple[XY, ...], ...]
    depth: float


@dataclass(frozen=True, slots=True)
class Board:
    """One face of a board. whole: the board's outline before any work, as one or more contours that join. out: it is cut
    out of a larger blank. bits, drills: diameters to hand, the largest first. clamps: side of the board (left, right, low,
    high as one looks) and how far clamps reach in from there; empty: room for them is sought. letters: what a V-bit of the
    angle v_bit (degrees) cuts."""

    size: XY
    thick: float
    whole: tuple[Contour, ...]
    cuts: tuple[Cut, ...]
    bores: tuple[Bore, ...]
    bits: tuple[float, ...]
    drills: tuple[float, ...] = ()
    out: bool = False
    clamps: tuple[tuple[str, float], ...] = ()
    letters: tuple[Letters, ...] = ()
    v_bit: float = 0.0


@dataclass(frozen=True, slots=True)
class Stage:
    """One stretch of a tool's work, in words for a table. what: pocket, hole, opening, outline, lettering; depth: mm, None through;
    passes: from the face to there; count: how many places; tabs: that hold what is cut free; finish: whether the walls get a
    pass of their own."""

    what: str
    depth: float | None
    passes: int
    count: int
    tabs: int = 0
    finish: bool = False


@dataclass(frozen=True, slots=True)
class Program:
    """The path of one tool. kind: bit, drill or v-bit, for which diameter is its angle in degrees. deepest: the deepest that it goes below the face (mm). minutes: estimated."""

    kind: str
    diameter: float
    moves: tuple[Move, ...]
    stages: tuple[Stage, ...]
    deepest: float
    minutes: float
    feeds: tuple[tuple[str, float], ...]
    speed: int


@dataclass(frozen=True, slots=True)
class Result:
    """programs in the order in which they run. left: names of work that no tool reaches, and why. corners: radius that
    inside corners keep (mm), 0 where none are left. zones: where clamps may sit. clash: names of work that a clamp
    zone which the plan names would stand in. margin: how far the blank is larger on every side. tabs: their number, with
    high and long (mm)."""

    programs: tuple[Program, ...]
    left: tuple[tuple[str, str], ...] = ()
    corners: float = 0.0
    zones: tuple[Zone, ...] = ()
    clash: tuple[str, ...] = ()
    margin: float = 0.0
    tab: tuple[float, float] = (0.0, 0.0)
    tabs: tuple[XY, ...] = field(default=())
