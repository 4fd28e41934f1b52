"""What a view asks the dimension placer for, and what it gets back."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.drawing.display import XY, Extent, Group
from plandoc.quantity import ShopNumber


@dataclass(frozen=True, slots=True)
class DimensionRequest:
    """One linear dimension of a view. axis: "x" or "y" on paper. start, end: the two measured points on paper
    (mm); their coordinate along `axis` is measured, the other one is where the extension line takes off (the
    outline of the feature). value: the exact model length (mm). number: its printed form. kind: overall, size,
    loc, ref. prefer: side of the view: above, below, left, right, or "" (placer decides). count: repeat count
    printed as `4X` before the figure. ids: the two measured model features, for data-from and data-to. world_axis: x, y or z of the
    model, for data-axis. elsewhere: other pairs of points between which the same measure may be drawn instead, where it stands for
    several equal ones."""

    axis: str
    start: XY
    end: XY
    value: Fraction
    number: ShopNumber
    kind: str = "size"
    prefer: str = ""
    ids: tuple[str, str] = ("", "")
    world_axis: str = ""
    count: int = 1
    elsewhere: tuple[tuple[XY, XY], ...] = ()


@dataclass(frozen=True, slots=True)
class NoteRequest:
    """A leader note. target: the point that the leader aims at (mm). radius: rim of a circle round it on which the
    arrow ends (0: the arrow ends at the target). lines: text lines. end: arrow, dot or none. others: further targets of the
    same radius, where the note speaks of several. toward: the way (unit vector) in which the rim is drawn, where not all of it is."""

    target: XY
    lines: tuple[str, ...]
    radius: float = 0.0
    end: str = "arrow"
    id: str = ""
    others: tuple[XY, ...] = ()
    toward: XY | None = None


@dataclass(frozen=True, slots=True)
class BalloonRequest:
    """A balloon. targets: candidate points inside the part's visible area, best first (mm)."""

    mark: str
    targets: tuple[XY, ...]
    part: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """Finished groups and the paper that they and the view cover. crowded: what no arrangement avoids, in words; trouble: what
    that costs, to compare ways of placing the same."""

    groups: tuple[Group, ...]
    extent: Extent
    crowded: tuple[str, ...] = ()
    trouble: float = 0.0
