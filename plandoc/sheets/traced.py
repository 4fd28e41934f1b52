"""Traced pictures of bodies, kept while sheets are drawn: covers, step pictures and elevations show the same bodies."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from plandoc.geometry.hidden import trace
from plandoc.geometry.solid import Solid
from plandoc.geometry.strokes import Stroke
from plandoc.geometry.view import Projection

MOST_KEPT = 24  # pictures; more would only hold memory


class _Bodies:
    """Bodies that are the same where their names and the very solids are."""

    __slots__ = ("rows",)

    def __init__(self, rows: Sequence[tuple[str, Solid]]) -> None:
        self.rows = tuple(rows)

    def __hash__(self) -> int:
        return hash(tuple(name for name, _ in self.rows))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Bodies) or len(self.rows) != len(other.rows):
            return False
        return all(a == b and s is t for (a, s), (b, t) in zip(self.rows, other.rows, strict=True))


@lru_cache(maxsize=MOST_KEPT)
def _kept(bodies: _Bodies, view: Projection, hidden: bool) -> tuple[Stroke, ...]:
    return trace(bodies.rows, view, hidden)


def traced(bodies: Sequence[tuple[str, Solid]], view: Projection, hidden: bool = False) -> tuple[Stroke, ...]:
    """What `trace` gives, worked out once for the same solids in the same view."""
    return _kept(_Bodies(bodies), view, hidden)
