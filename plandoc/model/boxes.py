"""Where parts lie between their shoulders: extents -> faces, on demand, with circles and gaps explained."""

from __future__ import annotations

from abc import ABC, abstractmethod
from fractions import Fraction

from plandoc.diagnostics import Note, Sink, Span
from plandoc.geometry.bodies import AXES, AXIS_NAMES, FACE_NAMES, FACES, Box, Face
from plandoc.model.cells import Instance, PartCell, Scope, SettingCell
from plandoc.model.transform import Transform, mirror
from plandoc.model.values import UNKNOWN, Amount, Unknown, Value, kind_of, shown, unit_mend
from plandoc.quantity import LENGTH, PLAIN, Units, shop_text
from plandoc.syntax import tree as t

# A plan is furniture: beyond 100 m a coordinate is a slip.
FAR = Fraction(100_000)
OPEN = ("extent_from", "extent_to")


def _setting(expr: t.Expr, scope: Scope | None) -> tuple[str, Amount] | None:
    """Name and figure of the `set` line that a bare name comes from, also where it is multiplied or divided by a figure."""
    while isinstance(expr, t.Binary) and expr.op in "*/":
        name, figure = (expr.right, expr.left) if isinstance(expr.left, t.Quantity) and expr.op == "*" else (expr.left, expr.right)
        if not isinstance(figure, t.Quantity) or figure.dimension != PLAIN:
            return None
        expr = name
    while isinstance(expr, t.Name) and scope is not None:
        found = scope.names.get(expr.name)
        if found is not None:
            if not (isinstance(found, SettingCell) and found.set_line and isinstance(found.expr, t.Quantity)):
                return None
            return expr.name, Amount(found.expr.value, found.expr.dimension, found.expr.span)
        scope = scope.parent
    return None


class Boxes(ABC):
    """Works out boxes for `Evaluator`, which supplies `value`."""

    def __init__(self, sink: Sink, units: Units) -> None:
        self.sink, self.units = sink, units
        self._chain: list[tuple[PartCell, int, Span]] = []

    @abstractmethod
    def value(self, expr: t.Expr, scope: Scope) -> Value:
        """The value of an expression."""

    def length(self, expr: t.Expr, scope: Scope, what: str = "a length") -> Fraction | Unknown:
        """The value of an expression as a length (mm)."""
        value = self.value(expr, scope)
        if isinstance(value, Unknown):
            return UNKNOWN
        if isinstance(value, Amount) and (value.dimension == LENGTH or (value.dimension == PLAIN and value.value == 0)):
            if abs(value.value) > FAR:
                self.sink.emit("PD212", f"{shop_text(value.value, self.units, mark=True)} is longer than any piece of furniture", expr.span, notes=["the limit is 100 m"])
                return UNKNOWN
            return value.value
        setting = _setting(expr, scope)
        if setting is not None and isinstance(value, Amount):
            name, figure = setting
            self.sink.emit("PD204", f"`{name}` is {kind_of(figure)}, where it is used {what} is wanted", figure.because, notes=[Note("it is used here", expr.span)], mend=unit_mend(figure, self.units))
            return UNKNOWN
        mend = unit_mend(value, self.units)
        notes = [Note(f"{shown(value, self.units)} is {kind_of(value)}", value.because)] if isinstance(value, Amount) else []
        self.sink.emit("PD204", f"{what} is wanted here, this is {kind_of(value)}", expr.span, notes=notes, mend=mend)
        return UNKNOWN

    # Extents ---------------------------------------------------------------------------------------------------

    def extent_clause(self, part: PartCell, axis: int) -> t.Clause | None:
        """The clause that says where the part lies along an axis."""
        for clause in part.statement.clauses:
            if clause.kind.startswith("extent_") and clause.items[0] == AXIS_NAMES[axis]:
                return clause
        return None

    def is_open(self, clause: t.Clause) -> bool:
        """Whether the clause leaves the size to the stock's thickness."""
        return clause.kind in OPEN or (clause.kind == "extent_centred" and clause.items[-1] is None)

    def incomplete(self, part: PartCell) -> list[int]:
        """Checks that every direction has its extent and one of them is the thickness; reports what is missing.
        The axes along which the part's place cannot be had."""
        if part.mirrors is not None:
            return []
        seen: dict[str, t.Clause] = {}
        doubtful: list[int] = []
        for clause in part.statement.clauses:
            if clause.kind.startswith("extent_"):
                axis_name = str(clause.items[0])
                if axis_name in seen:
                    self.sink.emit("PD302", f"`{part.path}` has two extents in the direction {axis_name}", clause.span, notes=[Note("the first stands here", seen[axis_name].span)], mend="keep one of them")
                    doubtful.append(AXIS_NAMES.index(axis_name))
                seen[axis_name] = clause
        missing = [n for n in AXIS_NAMES if n not in seen]
        if missing and not part.statement.damaged:
            what = " and ".join(missing)
            self.sink.emit("PD301", f"`{part.path}` has no extent in the direction {what}", part.span, notes=[_directions()], mend="\n              ".join(f"{n} from ... to ..." for n in missing))
        if missing:
            return [*doubtful, *(AXIS_NAMES.index(n) for n in missing)]
        open_axes = [n for n in AXIS_NAMES if self.is_open(seen[n])]
        round_stock = part.stock is not None and part.stock.kind in ("dowel", "rod", "batten")
        if len(open_axes) > (2 if round_stock else 1):
            names = " and ".join(open_axes)
            self.sink.emit("PD303", f"`{part.path}` has only one end given in the directions {names}", seen[open_axes[1]].span, notes=["only the thickness may be left to the stock, so only one direction may have one end"], mend=f"{open_axes[0]} from ... to ..., or {open_axes[0]} from ... for ...")
            return [AXIS_NAMES.index(n) for n in open_axes]
        return doubtful

    def thickness(self, part: PartCell) -> int | None:
        """The axis along which the part is as thick as its stock; None after a report."""
        if part.thickness_axis is not None:
            return part.thickness_axis
        if part.mirrors is not None:
            part.thickness_axis = self.thickness(part.mirrors)
            return part.thickness_axis
        open_axes = []
        for axis in AXES:
            clause = self.extent_clause(part, axis)
            if clause is not None and self.is_open(clause):
                open_axes.append(axis)
        if len(open_axes) == 1:
            part.thickness_axis = open_axes[0]
            return open_axes[0]
        spans = [self.span(part, axis, part.span) for axis in AXES]
        if part.stock is None or any(isinstance(s, Unknown) for s in spans):
            return None
        sizes = [s[1] - s[0] for s in spans if not isinstance(s, Unknown)]
        fitting = [axis for axis in AXES if sizes[axis] == part.stock.measured]
        grain = self.grain_word(part)
        fitting = [axis for axis in fitting if axis != grain] or fitting
        if not fitting:
            figure = ", ".join(f"{AXIS_NAMES[a]} {shop_text(sizes[a], self.units, mark=True)}" for a in AXES)
            near = min(AXES, key=lambda a: (abs(sizes[a] - part.stock.measured) if part.stock else 0, a))
            self.sink.emit("PD304", f"none of the three sizes of `{part.path}` is the thickness of its stock", part.span, notes=[figure, f"`{part.stock.name}` measures {shop_text(part.stock.measured, self.units, mark=True)}"], mend=f"give one end only in the direction of the thickness: {AXIS_NAMES[near]} from ...")
            return None
        part.thickness_axis = fitting[0]
        return fitting[0]

    def grain_word(self, part: PartCell) -> int | None:
        """The axis that the plan gives for the grain."""
        for clause in part.statement.clauses:
            if clause.kind == "part_grain":
                return AXIS_NAMES.index(str(clause.items[0]))
        return None

    def span(self, part: PartCell, axis: int, asked: Span) -> tuple[Fraction, Fraction] | Unknown:
        """Low and high face along a local axis (mm)."""
        known = part.spans.get(axis)
        if known is not None:
            return known
        if part.busy.get(axis):
            self.circle(part, axis, asked)
            return UNKNOWN
        part.busy[axis] = True
        self._chain.append((part, axis, asked))
        found = self.work_out_span(part, axis)
        self._chain.pop()
        part.busy[axis] = False
        part.spans.setdefault(axis, found)
        return part.spans[axis]

    def circle(self, part: PartCell, axis: int, asked: Span) -> None:
        start = next(i for i, (p, a, _) in enumerate(self._chain) if p is part and a == axis)
        ring = self._chain[start:]
        notes = []
        for index, (p, a, _) in enumerate(ring):
            following = ring[index + 1] if index + 1 < len(ring) else (part, axis, asked)
            notes.append(Note(f"{p.path}, {AXIS_NAMES[a]}, needs {following[0].path}, {AXIS_NAMES[following[1]]}", following[2]))
        self.sink.emit("PD305", f"the place of `{part.path}` in the direction {AXIS_NAMES[axis]} depends on itself", asked, notes=notes, mend="give one of these places without the others")
        for p, a, _ in ring:
            p.spans[a] = UNKNOWN

    def work_out_span(self, part: PartCell, axis: int) -> tuple[Fraction, Fraction] | Unknown:
        if part.mirrors is not None:
            inner = self.span(part.mirrors, axis, part.span)
            image = self.mirror_of(part)
            if isinstance(inner, Unknown) or isinstance(image, Unknown):
                return UNKNOWN
            return image.span(axis, *inner)
        clause = self.extent_clause(part, axis)
        if clause is None or part.stock is None:
            return UNKNOWN
        scope, items = part.scope, clause.items
        exprs = [i for i in items[1:] if i is not None and not isinstance(i, str)]
        if clause.kind == "extent_between":
            return self.between(part, axis, clause, exprs[0], exprs[1])
        values = [self.length(e, scope) for e in exprs]
        numbers = [v for v in values if not isinstance(v, Unknown)]
        if len(numbers) != len(values):
            return UNKNOWN
        size = part.stock.measured
        if clause.kind == "extent_from":
            low, high = numbers[0], numbers[0] + size
        elif clause.kind == "extent_to":
            low, high = numbers[0] - size, numbers[0]
        elif clause.kind == "extent_from_to":
            low, high = numbers[0], numbers[1]
        elif clause.kind == "extent_from_for":
            low, high = numbers[0], numbers[0] + numbers[1]
        elif clause.kind == "extent_to_for":
            low, high = numbers[0] - numbers[1], numbers[0]
        else:
            size = numbers[1] if len(numbers) > 1 else size
            low, high = numbers[0] - size / 2, numbers[0] + size / 2
        if low >= high:
            self.sink.emit("PD306", f"`{part.path}` has no size in the direction {AXIS_NAMES[axis]}", clause.span, notes=[f"it would run from {shop_text(low, self.units, mark=True)} to {shop_text(high, self.units, mark=True)}"], mend=f"{AXIS_NAMES[axis]} runs {('to the right', 'away from the viewer', 'upwards')[axis]}; the second place must be the greater one")
            return UNKNOWN
        return low, high

    def between(self, part: PartCell, axis: int, clause: t.Clause, first: t.Expr, second: t.Expr) -> tuple[Fraction, Fraction] | Unknown:
        ends: list[tuple[Fraction, Fraction]] = []
        for expr in (first, second):
            value = self.value(expr, part.scope)
            if isinstance(value, Unknown):
                return UNKNOWN
            if not isinstance(value, (PartCell, Instance)):
                self.sink.emit("PD204", f"a part is wanted here, this is {kind_of(value)}", expr.span, mend="between takes the names of two parts; for places write from ... to ...")
                return UNKNOWN
            low = self.seen(value, Face(axis, -1), expr.span, part.scope)
            high = self.seen(value, Face(axis, 1), expr.span, part.scope)
            if isinstance(low, Unknown) or isinstance(high, Unknown):
                return UNKNOWN
            ends.append((low, high))
        lower, upper = sorted(ends)
        if lower[1] >= upper[0]:
            self.sink.emit("PD307", f"there is no room between the two parts in the direction {AXIS_NAMES[axis]}", clause.span, notes=[f"one ends at {shop_text(lower[1], self.units, mark=True)}, the other begins at {shop_text(upper[0], self.units, mark=True)}"])
            return UNKNOWN
        return lower[1], upper[0]

    # Mirror images and frames ----------------------------------------------------------------------------------

    def mirror_of(self, part: PartCell) -> Transform | Unknown:
        """The mirror image that makes this part from the other."""
        if part.mirror_transform is None:
            about = part.statement.about
            place = Fraction(0) if about is None else self.length(about, part.scope)
            axis = AXIS_NAMES.index(part.statement.about_axis)
            part.mirror_transform = place if isinstance(place, Unknown) else mirror(axis, place)
        return part.mirror_transform

    def shift(self, instance: Instance, axis: int) -> Fraction | Unknown:
        """Shift of an instance along an axis of its parent."""
        if axis not in instance.shift_values:
            expr = instance.shifts.get(axis)
            parent = instance.parent
            if expr is None or parent is None:
                instance.shift_values[axis] = Fraction(0)
            else:
                instance.shift_values[axis] = UNKNOWN  # while it is worked out; a circle ends here
                instance.shift_values[axis] = self.length(expr, instance.shift_scope or parent.scope)
        return instance.shift_values[axis]

    def transform(self, instance: Instance) -> Transform | Unknown:
        """From the instance's coordinates to the plan's."""
        result = Transform()
        at: Instance | None = instance
        while at is not None and at.parent is not None:
            shifts = [self.shift(at, axis) for axis in AXES]
            numbers = [s for s in shifts if not isinstance(s, Unknown)]
            if len(numbers) != 3:
                return UNKNOWN
            move = Transform(at.turn.perm, at.turn.sign, (numbers[0], numbers[1], numbers[2]))
            result = move.after(result)
            at = at.parent
        return result

    def face_seen_from(self, part: PartCell, face: Face, span: Span, scope: Scope) -> Value:
        """Coordinate of a part's face in the coordinates of the asking scope."""
        place = self.seen(part, face, span, scope)
        return UNKNOWN if isinstance(place, Unknown) else Amount(place, LENGTH, span)

    def seen(self, item: PartCell | Instance, face: Face, span: Span, scope: Scope) -> Fraction | Unknown:
        observer = scope.owner().frame
        if isinstance(item, Instance):
            return self.instance_side(item, face, span, scope)
        # Up from the part to the assembly that holds both, and down to the observer: a part that was handed to an
        # assembly lies outside of it.
        frames, inner = _ways(item.frame, observer)
        # Which local face appears as `face` once the frames between part and observer are applied.
        local = face
        for frame in inner:
            local = frame.turn.face(local)
        for frame in reversed(frames):
            local = frame.turn.inverse().face(local)
        limits = self.span(item, local.axis, span)
        if isinstance(limits, Unknown):
            return UNKNOWN
        place = limits[1] if local.side > 0 else limits[0]
        for frame in frames:
            outer = frame.turn.perm[local.axis]
            shift = self.shift(frame, outer)
            if isinstance(shift, Unknown):
                return UNKNOWN
            place = frame.turn.sign[local.axis] * place + shift
            local = frame.turn.face(local)
        for frame in reversed(inner):
            shift = self.shift(frame, local.axis)
            if isinstance(shift, Unknown):
                return UNKNOWN
            local = frame.turn.inverse().face(local)
            place = frame.turn.sign[local.axis] * (place - shift)
        return place

    def instance_face(self, instance: Instance, face: Face, span: Span, scope: Scope) -> Value:
        """Outermost face of all parts of an assembly."""
        place = self.instance_side(instance, face, span, scope)
        return UNKNOWN if isinstance(place, Unknown) else Amount(place, LENGTH, span)

    def instance_side(self, instance: Instance, face: Face, span: Span, scope: Scope) -> Fraction | Unknown:
        places: list[Fraction] = []
        items: list[PartCell | Instance] = [*instance.parts, *instance.children]
        for item in items:
            place = self.seen(item, face, span, scope)
            if isinstance(place, Unknown):
                return UNKNOWN
            places.append(place)
        if not places:
            self.sink.emit("PD213", f"`{instance.path}` holds no parts, so it has no {FACE_NAMES[2 * face.axis + (face.side > 0)]}", span)
            return UNKNOWN
        return max(places) if face.side > 0 else min(places)

    def local_box(self, part: PartCell) -> Box | Unknown:
        """The shoulder box in the part's own assembly."""
        if part.local is None:
            spans = [self.span(part, axis, part.span) for axis in AXES]
            good = [s for s in spans if not isinstance(s, Unknown)]
            if len(good) != 3:
                part.local = UNKNOWN
            else:
                part.local = Box((good[0][0], good[1][0], good[2][0]), (good[0][1], good[1][1], good[2][1]))
        return part.local

    def grain(self, part: PartCell) -> int | None:
        """The local axis of the grain: as given, else the longer of the two axes of the face."""
        if part.grain_axis is not None:
            return part.grain_axis
        thick = self.thickness(part)
        box = self.local_box(part)
        if thick is None or isinstance(box, Unknown):
            return None
        if part.mirrors is not None:
            word = self.grain(part.mirrors)
        else:
            word = self.grain_word(part)
        if word is not None and word == thick:
            self.sink.emit("PD308", f"the grain of `{part.path}` cannot run through its thickness", part.span, notes=[f"its thickness lies in the direction {AXIS_NAMES[thick]}"], mend="choose one of: " + ", ".join(AXIS_NAMES[a] for a in AXES if a != thick))
            word = None
        if word is None:
            word = max((a for a in AXES if a != thick), key=lambda a: (box.size(a), -a))
        part.grain_axis = word
        return word

    def sizes(self, part: PartCell) -> tuple[Fraction, Fraction, Fraction] | Unknown:
        """Finished length (along the grain), width and thickness (mm)."""
        box = self.local_box(part)
        thick, grain = self.thickness(part), self.grain(part)
        if isinstance(box, Unknown) or thick is None or grain is None:
            return UNKNOWN
        for more in part.grown:
            box = box.union(more)
        return box.size(grain), box.size(3 - grain - thick), box.size(thick)


def _ways(start: Instance, end: Instance | None) -> tuple[list[Instance], list[Instance]]:
    """Frames from one assembly out to the first that holds both, and from the other one; the common one is in neither."""
    within: list[Instance] = []
    at = end
    while at is not None:
        within.append(at)
        at = at.parent
    frames: list[Instance] = []
    at = start
    while at is not None and all(at is not frame for frame in within):
        frames.append(at)
        at = at.parent
    inner = within
    for place, frame in enumerate(within):
        if frame is at:
            inner = within[:place]
    return frames, inner


def _directions() -> str:
    return "across runs to the right, back away from the viewer, up upwards"


def face_named(name: str) -> Face | None:
    """The face of that name."""
    return FACES.get(name)
