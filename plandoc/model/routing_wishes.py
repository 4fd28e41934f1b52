"""`routed ... with bit ...` -> wishes, one for each part; what stands later in the plan counts."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.diagnostics import NOWHERE, Sink, Span
from plandoc.geometry.bodies import FACES, Face
from plandoc.model.cells import Scope
from plandoc.model.entities import Part, RoutingWish
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import parts_named
from plandoc.model.leaning import angle
from plandoc.model.motions import face_named
from plandoc.model.values import Unknown
from plandoc.quantity import INCH, shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean

WIDEST = 3 * INCH
"""The widest bit or drill (mm): wider ones are not made for a router (common practice)."""


def read_routing_wishes(plan: Expanded, evaluate: Evaluator, parts: Sequence[Part], sink: Sink) -> tuple[RoutingWish, ...]:
    """The last wish for each part, in the order of the plan; those with a fault are left out."""
    known = {part.path: part for part in parts}
    found: dict[str, RoutingWish] = {}
    for statement, scope in plan.routed:
        read = _Reading(statement, scope, evaluate, sink)
        for cell, span in parts_named(statement.parts, evaluate, scope, whole=True) or ():
            part = known.get(cell.path)
            if part is None or not read.good:
                continue
            if not any(f.cuts or (f.text and read.letters is not None) for f in part.features) and not read.out:
                sink.emit("PD256", f"`{part.path}` has nothing that a router could cut", span, notes=["it is cut to size, without pockets, slots, openings or holes"], mend="leave it out, or write `larger blank` on a line below, and its outline is cut")
                continue
            if not read.lies_on(part):
                break
            found.pop(cell.path, None)
            found[cell.path] = RoutingWish(cell.path, read.bits, read.drills, read.face, read.out, read.clamps, span, read.clamps_span, read.letters)
    return tuple(found.values())


SHARPEST, BLUNTEST = 15, 150
"""Angles of V-bits (degrees; common practice: 30 to 120)."""


class _Reading:
    """What one statement says, apart from its parts."""

    def __init__(self, statement: t.RoutedStatement, scope: Scope, evaluate: Evaluator, sink: Sink) -> None:
        self.statement, self.scope, self.evaluate, self.sink = statement, scope, evaluate, sink
        self.good, self.out = True, False
        self.clamps: tuple[tuple[Face, Fraction], ...] = ()
        self.clamps_span: Span = NOWHERE
        self.face = None if statement.face is None else face_named(statement.face, evaluate)
        self.good = statement.face is None or self.face is not None
        self.bits = self.diameters(statement.bits, "bit")
        self.drills: tuple[Fraction, ...] = ()
        self.letters: Fraction | None = None
        for clause in statement.clauses:
            exprs = [i for i in clause.items if i is not None and not isinstance(i, str)]
            if clause.kind == "routed_drills":
                self.drills = self.diameters(exprs, "drill")
            elif clause.kind == "routed_out":
                self.out = True
            elif clause.kind == "routed_letters":
                self.letters = self.opening(exprs[0])
            else:
                self.clamp(clause, exprs[0])

    def diameters(self, exprs: Sequence[t.Expr], what: str) -> tuple[Fraction, ...]:
        """Diameters, the largest first, each once."""
        made: set[Fraction] = set()
        for expr in exprs:
            size = self.evaluate.length(expr, self.scope, f"the diameter of a {what}")
            if isinstance(size, Unknown):
                self.good = False
            elif not 0 < size <= WIDEST:
                self.tell(f"a {what} is wider than nothing and at most {self.text(WIDEST)}", expr.span, size)
            else:
                made.add(size)
        return tuple(sorted(made, reverse=True))

    def opening(self, expr: t.Expr) -> Fraction | None:
        """The angle of a V-bit in degrees; None and told where there is no such bit."""
        found = angle(expr, self.scope, self.evaluate)
        if found is None:
            self.good = False
        elif not SHARPEST <= found <= BLUNTEST:
            self.good = False
            self.sink.emit("PD218", f"a V-bit has an angle from {SHARPEST}° to {BLUNTEST}°", expr.span, notes=[f"it is {float(found):g}°"], mend="lettering with bit 60°")
            return None
        return found

    def clamp(self, clause: t.Clause, expr: t.Expr) -> None:
        """Zones of one line."""
        reach = self.evaluate.length(expr, self.scope, "how far clamps reach in")
        names = [i for i in clause.items if isinstance(i, str)][1:]  # behind `at`
        faces = [FACES.get(name) for name in names]
        for name, face in zip(names, faces, strict=True):
            if face is None:
                self.good = False
                self.sink.emit("PD219", f"`{name}` is no face: left, right, front, rear, bottom or top", clause.span, mend=did_you_mean(name, FACES))
        if isinstance(reach, Unknown):
            self.good = False
        elif reach <= 0:
            self.tell("clamps reach in by more than nothing", expr.span, reach)
        else:
            self.clamps += tuple((face, reach) for face in faces if face is not None)
            self.clamps_span = clause.span

    def lies_on(self, part: Part) -> bool:
        """Whether the part can lie on the table so, and be clamped at these edges; told where not."""
        axis = part.thickness_axis
        broad = [face.name for face in FACES.values() if face.axis == axis]
        if self.face is not None and self.face.axis != axis:
            assert self.statement.face is not None
            self.sink.emit("PD257", f"`{part.path}` cannot be worked on its {self.face.name} edge: it lies flat on the table", self.statement.face.span, notes=[f"its faces are {broad[0]} and {broad[1]}"], mend=f"on {broad[1]}, or leave it out: every face with work is taken")
            return False
        for face, _ in self.clamps:
            if face.axis == axis:
                edges = ", ".join(f.name for f in FACES.values() if f.axis != axis)
                self.sink.emit("PD257", f"clamps cannot sit at the {face.name} face of `{part.path}`: it lies on the table or is worked", self.clamps_span, mend=f"name some of its edges: {edges}")
                return False
        return True

    def tell(self, message: str, span: Span, size: Fraction) -> None:
        """A measure that cannot be."""
        self.good = False
        self.sink.emit("PD218", message, span, notes=[f"it is {self.text(size)}"])

    def text(self, size: Fraction) -> str:
        """A length as the plan prints it."""
        return shop_text(size, self.evaluate.units.fine, mark=True)


__all__ = ["read_routing_wishes"]
