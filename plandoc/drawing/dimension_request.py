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
    model, for data-axis."""

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


@dataclass(frozen=True, slots=True)
class NoteRequest:
    """A leader note. target: the point that the leader aims at (mm). radius: rim of a circle round it on which the
    arrow ends (0: the arrow ends at the target). lines: text lines. end: arrow, dot or none."""

    target: XY
    lines: tuple[str, ...]
    radius: float = 0.0
    end: str = "arrow"
    id: str = ""


@dataclass(frozen=True, slots=True)
class BalloonRequest:
    """A balloon. targets: candidate points inside the part's visible area, best first (mm)."""

    mark: str
    targets: tuple[XY, ...]
    part: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """Finished groups and the paper that they and the view cover."""

    groups: tuple[Group, ...]
    extent: Extent
    crowded: tuple[str, ...] = ()
