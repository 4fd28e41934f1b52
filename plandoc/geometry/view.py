"""Parallel projections: where a point of the world comes to lie on a drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Projection:
    """right, up: what one mm along a world axis adds to x and y of the picture (y upwards). toward: unit vector
    from the piece to the viewer. right and up are unit vectors, but for the isometric pictures, which are
    enlarged so that lengths along the three axes are true."""

    name: str
    right: Vector
    up: Vector
    toward: Vector

    def flat(self, points: Floats) -> Floats:
        """(..., 3) world points -> (..., 2) picture points, mm of the model."""
        frame: Floats = np.array([self.right, self.up], dtype=np.float64).T
        result: Floats = points @ frame
        return result

    def depth(self, points: Floats) -> Floats:
        """(..., 3) world points -> (...) mm towards the viewer; larger is nearer."""
        result: Floats = points @ np.array(self.toward, dtype=np.float64)
        return result

    def flat_point(self, point: tuple[float, float, float]) -> tuple[float, float]:
        """One world point in the picture."""
        x = sum(a * b for a, b in zip(point, self.right, strict=True))
        y = sum(a * b for a, b in zip(point, self.up, strict=True))
        return x, y


FRONT = Projection("front", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
REAR = Projection("rear", (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
LEFT = Projection("left", (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
RIGHT = Projection("right", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
TOP = Projection("top", (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
BOTTOM = Projection("bottom", (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))

_C30 = math.sqrt(3) / 2
_THIRD = 1 / math.sqrt(3)
# ISO 5456-3: the three axes at 120 degrees, verticals vertical, the others at 30 degrees, equal scales
ISO = Projection("iso", (_C30, _C30, 0.0), (-0.5, 0.5, 1.0), (_THIRD, -_THIRD, _THIRD))
ISO_LEFT = Projection("iso_left", (_C30, -_C30, 0.0), (0.5, 0.5, 1.0), (-_THIRD, -_THIRD, _THIRD))
ISO_REAR = Projection("iso_rear", (-_C30, -_C30, 0.0), (0.5, -0.5, 1.0), (-_THIRD, _THIRD, _THIRD))
ISO_REAR_RIGHT = Projection("iso_rear_right", (-_C30, _C30, 0.0), (-0.5, -0.5, 1.0), (_THIRD, _THIRD, _THIRD))

FACE_VIEWS: dict[str, Projection] = {v.name: v for v in (FRONT, REAR, LEFT, RIGHT, TOP, BOTTOM)}
PICTURES: dict[str, Projection] = {v.name: v for v in (ISO, ISO_LEFT, ISO_REAR, ISO_REAR_RIGHT)}
