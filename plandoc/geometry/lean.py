"""Turns by any angle, in exact arithmetic: how a leaning part stands.

The tangent of half of every angle is taken as a fraction with a denominator up to a billion; sine and cosine follow from
it as fractions whose squares add up to exactly 1, so lengths and right angles are kept exactly and the angle itself is
right to better than 1e-12 degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees, radians, sqrt, tan

from plandoc.geometry.bodies import AXES, Point3

Row = Point3
ZERO, ONE = Fraction(0), Fraction(1)
FINEST = 10**9


@dataclass(frozen=True, slots=True)
class Lean:
    """A rigid motion: point p goes to rows . p + shift (mm). A mirror image may be in it."""

    rows: tuple[Row, Row, Row]
    shift: Point3 = (ZERO, ZERO, ZERO)

    def direction(self, vector: Point3) -> Point3:
        """Where a direction points."""
        a, b, c = self.rows
        return _dot(a, vector), _dot(b, vector), _dot(c, vector)

    def point(self, point: Point3) -> Point3:
        """Where a point comes to lie (mm)."""
        x, y, z = self.direction(point)
        return x + self.shift[0], y + self.shift[1], z + self.shift[2]

    def after(self, inner: Lean) -> Lean:
        """First the inner motion, then this one."""
        columns = [(inner.rows[0][i], inner.rows[1][i], inner.rows[2][i]) for i in AXES]
        moved = [self.direction(c) for c in columns]
        rows = [(moved[0][i], moved[1][i], moved[2][i]) for i in AXES]
        return Lean((rows[0], rows[1], rows[2]), self.point(inner.shift))

    def inverse(self) -> Lean:
        """The motion that undoes this one: the transpose, since lengths are kept."""
        rows = [(self.rows[0][i], self.rows[1][i], self.rows[2][i]) for i in AXES]
        back = Lean((rows[0], rows[1], rows[2]))
        x, y, z = back.direction(self.shift)
        return Lean(back.rows, (-x, -y, -z))

    def about(self, pivot: Point3) -> Lean:
        """The same turn with another point at rest. Only for a motion without a shift."""
        x, y, z = self.direction(pivot)
        return Lean(self.rows, (pivot[0] - x, pivot[1] - y, pivot[2] - z))

    def plane_before(self, normal: Point3, offset: Fraction) -> tuple[Point3, Fraction]:
        """The plane (normal . p = offset) that this motion carries to the given one."""
        return self.inverse().direction(normal), offset - _dot(normal, self.shift)

    def plane_after(self, normal: Point3, offset: Fraction) -> tuple[Point3, Fraction]:
        """Where the plane normal . p = offset comes to lie."""
        moved = self.direction(normal)
        return moved, offset + _dot(moved, self.shift)


STILL = Lean(((ONE, ZERO, ZERO), (ZERO, ONE, ZERO), (ZERO, ZERO, ONE)))


def turn(axis: int, angle: Fraction) -> Lean:
    """A turn by `angle` degrees about an axis through the origin, counter-clockwise seen against the axis."""
    quarters = round(angle / 90)
    rest = angle - 90 * quarters
    half = Fraction(tan(radians(float(rest)) / 2)).limit_denominator(FINEST) if rest else ZERO
    c, s = (1 - half * half) / (1 + half * half), 2 * half / (1 + half * half)
    for _ in range(quarters % 4):
        c, s = -s, c
    first, second = [(1, 2), (2, 0), (0, 1)][axis]
    rows = [[ONE if i == j else ZERO for j in AXES] for i in AXES]
    rows[first][first], rows[first][second] = c, -s
    rows[second][first], rows[second][second] = s, c
    made = [(row[0], row[1], row[2]) for row in rows]
    return Lean((made[0], made[1], made[2]))


def lean_to(right: Fraction, rear: Fraction) -> Lean:
    """What stands upright leans so that its top goes to the right by `right` degrees as one sees it from the front, and to
    the rear by `rear` degrees as one sees it from the side; it is not twisted about itself.

    With tangents a and b of the two angles it leans by atan(sqrt(a^2 + b^2)), in the direction atan2(b, a) seen from
    above: the resultant angle and its line of sight, as chair makers drill splayed legs (common practice)."""
    if not rear:
        return turn(1, right)
    if not right:
        return turn(0, -rear)
    a, b = tan(radians(float(right))), tan(radians(float(rear)))
    way = Fraction(degrees(atan2(b, a)))
    round_up = turn(2, way)
    return round_up.after(turn(1, Fraction(degrees(atan2(sqrt(a * a + b * b), 1.0))))).after(round_up.inverse())


def saw_angles(normal: Point3, along: int, thickness: int) -> tuple[float, float]:
    """How the saw is set for an end whose plane has this normal in the part's own directions: how far the work is turned
    from square in its face, and how far the blade is tilted from upright (degrees).

    With N the normal of unit length: tan(turn) = |N across| / |N along|, sin(tilt) = |N thickness| (plain trigonometry
    of the two settings; it gives the usual formulas for hoppers, see tests/reference/test_hoppers.py)."""
    across = 3 - along - thickness
    size = sqrt(float(_dot(normal, normal)))
    n = [abs(float(v)) / size for v in normal]
    turned = degrees(atan2(n[across], n[along]))
    upright = sqrt(max(0.0, 1.0 - n[thickness] ** 2))
    return turned, degrees(atan2(n[thickness], upright))


def _dot(a: Point3, b: Point3) -> Fraction:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
