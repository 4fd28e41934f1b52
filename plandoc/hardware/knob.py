"""Knob: a single bore through the front."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import FACES
from plandoc.hardware import common as c
from plandoc.hardware import pull
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="knob",
    doc="A knob on one bore.",
    params=(Param("bore", "length", "diameter of the bore", default=Fraction(5), above=True), c.PRICE),
    fit_params=(
        Param("at", "positions", "its place, measured from left, front or bottom edges"),
        Param("from", "faces", "edges to measure from instead", default=()),
        Param("facing", "face", "the face that it stands on", default=FACES["front"]),
        # The same word as of a pull, so that a door may be handed either.
        Param("along", "axis", "of no account: there is one bore"),
    ),
    fit=pull.fit,
    example='hardware round_knob knob "Round knob" bore 3/16"',
    source="bore of 5 mm for an M4 screw: common practice",
)
