"""Angles: their tangents as exact numbers, their text, and the setting of a saw for a compound cut."""

from __future__ import annotations

import math
from fractions import Fraction

FINE = 10**12


def tangent(degrees: Fraction) -> Fraction:
    """The tangent of an angle (degrees, 0 to less than 90); exact for 0 and 45, else to a thousandth of a billionth."""
    if degrees in (0, 45):
        return Fraction(degrees, 45)
    return Fraction(round(math.tan(math.radians(float(degrees))) * FINE), FINE)


def angle_text(degrees: Fraction | float) -> str:
    """`30°`, `22.5°`, and `≈14.5°` where a tenth of a degree is not exact. A tenth is what the scale of a saw shows
    (common practice)."""
    exact = Fraction(degrees)
    tenths = round(exact * 10)
    about = "" if Fraction(tenths, 10) == exact else "≈"
    whole, rest = divmod(tenths, 10)
    return f"{about}{whole}.{rest}°" if rest else f"{about}{whole}°"


def blade_tilt(face: Fraction, edge: Fraction) -> Fraction:
    """Tilt of the blade (degrees) for a cut that shows the angle `face` on the broad face, where the mitre gauge is set
    to it, and the angle `edge` on the edge: tan tilt = tan edge x cos face, since the plane with the normal
    (1, tan face, tan edge) stands tan edge / sqrt(1 + tan2 face) off the upright (elementary geometry)."""
    if face == 0:
        return edge
    tilt = math.degrees(math.atan(math.tan(math.radians(float(edge))) * math.cos(math.radians(float(face)))))
    return Fraction(round(tilt * 10**6), 10**6)
