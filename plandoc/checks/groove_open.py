"""PD368: a groove that runs through a tenoned joint, and tenon or haunch do not fill it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Box, Face, body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Joint, Model, Part
from plandoc.quantity import INCH, shop_text

CLOSE = {"inch": INCH / 32, "mm": Fraction(1)}
"""Room for glue and an easy fit: less is not told (mm; from memory)."""


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report tenons and haunches thinner or shorter than the groove of another joint that they stand in, and grooves that run
    out at the end of a part beside a tenon without a haunch: there a hole shows."""
    for joint in model.joints:
        a, b = model.part(joint.a), model.part(joint.b)
        tenons = [body_box(body) for f in a.features if f.joint == joint.id and f.kind == "tenon" for body in f.adds]
        haunch = next((body_box(body) for f in a.features if f.joint == joint.id and f.kind == "haunch" for body in f.adds), None)
        if joint.kind != "tenon" or not tenons or a.lean != b.lean:
            continue
        for feature, groove in _grooves(b, joint):
            _Crossing(model, joint, a, b, feature, groove, sink).tell(tenons, haunch)


def _grooves(b: Part, joint: Joint) -> Iterator[tuple[Feature, Box]]:
    """Grooves of other joints in the face that the tenon enters, along its width."""
    for feature in b.features:
        if feature.kind == "groove" and feature.joint != joint.id and feature.face == joint.face:
            for body in feature.cuts:
                box = body_box(body)
                if box.size(joint.run_axis) > box.size(joint.thickness_axis):
                    yield feature, box


class _Crossing:
    """A tenoned joint and a groove that runs through it."""

    def __init__(self, model: Model, joint: Joint, a: Part, b: Part, feature: Feature, groove: Box, sink: Sink) -> None:
        self.joint, self.a, self.b, self.feature, self.groove, self.sink = joint, a, b, feature, groove, sink
        self.units = model.info.units
        self.close = CLOSE[self.units.system]
        self.deep = groove.size(joint.entry.axis)

    def figure(self, length: Fraction) -> str:
        """A length as the plan prints it."""
        return shop_text(length, self.units.fine, mark=True)

    def tell(self, tenons: list[Box], haunch: Box | None) -> None:
        """Report the first thing that does not fit."""
        crossed = [box for box in tenons if self._meets(box)]
        if haunch is not None and self._meets(haunch):
            short = self.deep - haunch.size(self.joint.entry.axis)
            if short > self.close:
                wide = self.figure(haunch.size(self.joint.run_axis))
                self._say(
                    f"the haunch of `{self.a.path}` is {self.figure(short)} shorter than the groove is deep that it fills",
                    f"haunched {wide} x {self.figure(self.deep)}",
                )
                return
            crossed.append(haunch)
        if any(self._open(box) > self.close for box in crossed):
            axis = self.joint.thickness_axis
            low = self.a.datum[axis] < 0
            back = self.groove.lo[axis] - self.a.box.lo[axis] if low else self.a.box.hi[axis] - self.groove.hi[axis]
            self._say(
                f"the tenon of `{self.a.path}` does not fill the groove that runs through its mortise",
                f"sized {self.figure(self.groove.size(axis))} set {self.figure(back)}",
                f"the tenon is {self.figure(crossed[0].size(axis))} thick, the groove {self.figure(self.groove.size(axis))} wide",
            )
        elif haunch is None and crossed:
            self._run_out(crossed)

    def _meets(self, box: Box) -> bool:
        return all(max(box.lo[x], self.groove.lo[x]) < min(box.hi[x], self.groove.hi[x]) for x in (self.joint.run_axis, self.joint.thickness_axis))

    def _open(self, box: Box) -> Fraction:
        """What of the groove's width stays open beside a tenon in it, on the wider side."""
        axis = self.joint.thickness_axis
        return max(box.lo[axis] - self.groove.lo[axis], self.groove.hi[axis] - box.hi[axis])

    def _run_out(self, tenons: list[Box]) -> None:
        """Report a groove that goes on beside the tenon to an end of the part: behind the shoulder nothing fills it."""
        run = self.joint.run_axis
        for end in (Face(run, -1), Face(run, 1)):
            outer = max((box.at(end) for box in tenons), key=lambda v: v * end.side)
            edge = self.a.box.at(end)
            if self.groove.at(end) == self.b.box.at(end) and (edge - outer) * end.side > self.close and abs(self.b.box.at(end) - edge) < (edge - outer) * end.side:
                wide, deep = self.figure((edge - outer) * end.side), self.figure(self.deep)
                self._say(
                    f"the groove runs out at the {end.name} end of `{self.b.path}`, beside the tenon of `{self.a.path}`: a hole shows there",
                    f"fill it: haunched {wide} x {deep}; or stop the groove: stopped ... from {end.name}",
                )
                return

    def _say(self, message: str, mend: str, *notes: str) -> None:
        self.sink.emit("PD368", message, self.joint.span, notes=(Note(f"the groove is cut here, {self.figure(self.deep)} deep", self.feature.span), *notes), mend=mend)


CHECK = Check("PD368", run)
