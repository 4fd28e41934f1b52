"""Hanger: a plate on the back of a piece by which it hangs on the wall."""

from __future__ import annotations

from plandoc.geometry.bodies import FACES
from plandoc.hardware import common as c
from plandoc.hardware import hook
from plandoc.model.kinds import HardwareKind, Param

KIND = HardwareKind(
    name="hanger",
    doc="A hanging plate with one screw, or with two at a distance.",
    params=(Param("spaced", "length", "distance between its two screws; left out, it has one"), *c.SCREWED, c.LOAD, c.PRICE),
    fit_params=(*hook.FIT_PARAMS, Param("facing", "face", "the face that it is screwed on", default=FACES["rear"])),
    fit=hook.fit,
    example='hardware wall_plate hanger "Hanging plate" spaced 1 1/2" screws 2 load 25 lb',
)
