"""The words behind a joint, a piece of work or hardware -> named arguments, as the kind declares them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from plandoc.diagnostics import Note, Span
from plandoc.geometry.bodies import AXIS_NAMES, FACES
from plandoc.model.cells import PartCell, Scope
from plandoc.model.entities import HardwareItem, Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.kinds import ARC_PARAMS, DrawnLine, Param
from plandoc.model.values import UNKNOWN, Amount, Many, Text, Unknown, kind_of, shown, unit_mend
from plandoc.quantity import ANGLE, LENGTH, MASS, PLAIN, shop_text
from plandoc.syntax import tree as t
from plandoc.syntax.vocabulary import did_you_mean

CENTRE = "centre"


class Centre:
    """Stands for the middle of a face in a position."""

    def __repr__(self) -> str:
        return CENTRE


MIDDLE = Centre()


def read_arguments(
    what: str, params: Sequence[Param], lead: Sequence[t.Expr], options: Sequence[t.Option], evaluate: Evaluator, scope: Scope, span: Span, damaged: bool = False
) -> dict[str, object] | None:
    """Arguments by name, defaults filled in; None after a report. damaged: a line below could not be read, so what is
    lacking may stand there."""
    reader = _Reader(evaluate, scope, what)
    found: dict[str, object] = {}
    good = True
    leads = [p for p in params if p.lead]
    if lead and not leads:
        evaluate.sink.emit("PD105", f"nothing can stand directly behind `{what}`", lead[0].span, mend="say what it is: " + " or ".join(f"{p.name} ..." for p in params if p.type in ("length", "size", "lengths", "text")))
        return None
    elif lead:
        value = reader.read(leads[0], lead, lead[0].span.to(lead[-1].span))
        good = not isinstance(value, Unknown) and good
        found[leads[0].name] = value
    by_name = {p.name: p for p in params if not p.lead}
    places: dict[str, Span] = {}
    for option in options:
        param = by_name.get(option.word)
        if param is None:
            evaluate.sink.emit("PD214", f"`{what}` has no `{option.word}`", option.span, mend=did_you_mean(option.word, by_name))
            good = False
            continue
        if option.word in places:
            evaluate.sink.emit("PD215", f"`{option.word}` is given twice", option.span, notes=[Note("the first stands here", places[option.word])])
            good = False
            continue
        places[option.word] = option.span
        value = reader.read(param, option.values, option.span)
        good = not isinstance(value, Unknown) and good
        found[param.name] = value
    for word, place in places.items():
        owners = by_name[word].owners
        if owners and not any(owner in places for owner in owners):
            either = " or ".join(f"`{owner}`" for owner in owners)
            evaluate.sink.emit("PD264", f"`{word}` says nothing without {either}", place, mend=f"give {either} too, or leave `{word}` out")
    lacking = [p for p in params if p.required and p.name not in found]
    if lacking:
        good = False
        if not damaged:
            words = " and ".join(f"its {p.doc}" if p.lead else f"`{p.name}` ({_a(p)}: {p.doc})" for p in lacking)
            mend = " ".join(_sample(p) for p in lacking)
            evaluate.sink.emit("PD216", f"`{what}` lacks {words}", span, mend=f"{what} {mend}" if lacking[0].lead else f"put it behind, or on a line below: {mend}")
    for param in params:
        found.setdefault(param.name, param.default)
    return found if good else None


def read_drawn(lines: Sequence[t.Drawn], evaluate: Evaluator, scope: Scope) -> tuple[DrawnLine, ...] | None:
    """The lines of a free outline with their values; None after a report."""
    made: list[DrawnLine] = []
    good = True
    for line in lines:
        reader = _Reader(evaluate, scope, line.word)
        place = reader.read(Param("to", "positions", "place", lead=True), line.values, line.span)
        arguments = read_arguments("arc", ARC_PARAMS, (), line.options, evaluate, scope, line.span)
        if not isinstance(place, tuple) or arguments is None:
            good = False
            continue
        if len(place) != 1:
            evaluate.sink.emit("PD217", f"`{line.word}` leads to one place, here are {len(place)}", line.span, mend="one line for each place")
            good = False
            continue
        turning, radius, rise = arguments["turning"], arguments["radius"], arguments["rise"]
        assert isinstance(turning, int)
        assert radius is None or isinstance(radius, Fraction)
        assert rise is None or isinstance(rise, Fraction)
        if line.word == "arc" and (radius is None) == (rise is None):
            evaluate.sink.emit("PD217", "an arc has either a radius or a rise", line.span, mend='arc to 5", 2" radius 3" turning left')
            good = False
            continue
        made.append(DrawnLine(line.word, place[0], radius, rise, turning, line.span))
    return tuple(made) if good else None


# What each type of parameter is called, and a value that could stand there.
_TYPES = {
    "length": ("a length", '1/4"'),
    "size": ("two lengths", '3" x 2"'),
    "sizes": ("two lengths", '3/8" x 1 1/2"'),
    "count": ("a whole number", "4"),
    "number": ("a number", "4"),
    "angle": ("an angle", "30°"),
    "angles": ("two angles", "45° x 10°"),
    "included": ("an angle", "82°"),
    "stock": ("a stock", "oak_strip"),
    "hand": ("left or right", "left"),
    "face": ("a face", "front"),
    "faces": ("faces", "front, bottom"),
    "axis": ("a direction", "up"),
    "text": ("a text", '"SET 1"'),
    "item": ("a piece of hardware", "pin"),
    "positions": ("two lengths", '2", 3"'),
    "lengths": ("lengths", '2", 8"'),
    "weight": ("a weight", "75 lb"),
    "weights": ("weights", "350 lb"),
    "counts": ("whole numbers", "6"),
    "money": ("a number", "3.20"),
}


_SAMPLES = {"gauge": "No 8", "long": '14"', "side": '1/2"', "bore": "5 mm", "high": '3/8"', "rip": '30"', "kerf": '1/8"', "crosscut": '12"', "throat": '12"'}


def _a(param: Param) -> str:
    return _TYPES[param.type][0]


def _sample(param: Param) -> str:
    value = _SAMPLES.get(param.name, _TYPES[param.type][1])
    return value if param.lead else f"{param.name} {value}"


def _decimal_comma(values: Sequence[t.Expr]) -> str:
    """A mend where `18,5 mm` was read as two values."""
    first, second = values[0], values[1]
    if isinstance(first, t.Quantity) and first.dimension == PLAIN and second.span.start == first.span.end + 1:
        return "a decimal is written with a point, such as 18.5 mm"
    return "leave all but one out"


class _Reader:
    def __init__(self, evaluate: Evaluator, scope: Scope, what: str) -> None:
        self.evaluate, self.scope, self.what = evaluate, scope, what

    def read(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        many = param.type in ("size", "sizes", "angles", "faces", "positions", "lengths", "weights", "counts", "flag")
        if len(values) > 1 and not many:
            self.evaluate.sink.emit("PD217", f"`{param.name}` takes one value, here are {len(values)}", span, mend=_decimal_comma(values))
            return UNKNOWN
        reader = getattr(self, "_" + param.type)
        return reader(param, values, span)

    def wrong(self, param: Param, value: object, span: Span, wanted: str) -> Unknown:
        if not isinstance(value, Unknown):
            shown_value = f" ({shown(value, self.evaluate.units)})" if isinstance(value, (Amount, Text)) else ""
            mend = unit_mend(value, self.evaluate.units) if "length" in wanted else ""
            self.evaluate.sink.emit("PD204", f"`{param.name}` wants {wanted}, this is {kind_of(value)}{shown_value}", span, mend=mend)
        return UNKNOWN

    def _flag(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return True

    def _one_length(self, param: Param, expr: t.Expr, signed: bool = False) -> Fraction | Unknown:
        value = self.evaluate.value(expr, self.scope)
        if not isinstance(value, Amount) or (value.dimension != LENGTH and not (value.dimension == PLAIN and value.value == 0)):
            return self.wrong(param, value, expr.span, "a length")
        if value.value < 0 and not signed:
            self.evaluate.sink.emit("PD218", f"`{param.name}` cannot be less than nothing", expr.span, notes=[f"it is {shop_text(value.value, self.evaluate.units, mark=True)}"])
            return UNKNOWN
        if value.value == 0 and param.above:
            self.evaluate.sink.emit("PD218", f"`{param.name}` must be more than nothing", expr.span, notes=[f"it is the {param.doc}" if not param.lead else f"it is a size of the {self.what}"], mend="measure it, or take it from the data sheet" if param.required or param.lead else f"give it, or leave `{param.name}` out")
            return UNKNOWN
        return value.value

    def _length(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return self._one_length(param, values[0], param.signed)

    def _lengths(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        made = [self._one_length(param, v, param.signed) for v in values]
        return UNKNOWN if any(isinstance(v, Unknown) for v in made) else tuple(made)

    def _size(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        made = self._sizes(param, values, span)
        if isinstance(made, tuple) and len(made) != 2:
            self.evaluate.sink.emit("PD217", f"`{param.name if not param.lead else self.what}` wants two lengths with x between them", span, mend='such as 3" x 2 1/2"')
            return UNKNOWN
        return made

    def _sizes(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        if len(values) != 1:
            self.evaluate.sink.emit("PD217", "a size is written with x between the lengths", span, mend='such as 3" x 2 1/2"')
            return UNKNOWN
        items = values[0].items if isinstance(values[0], t.Several) and values[0].form == "size" else (values[0],)
        made = [self._one_length(param, v) for v in items]
        return UNKNOWN if any(isinstance(v, Unknown) for v in made) else tuple(made)

    def _count(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        if not isinstance(value, Amount) or value.dimension != PLAIN or value.value.denominator != 1:
            return self.wrong(param, value, span, "a whole number")
        if not 1 <= value.value <= 1000:
            self.evaluate.sink.emit("PD218", f"`{param.name}` must lie between 1 and 1000", span, notes=[f"it is {value.value}"])
            return UNKNOWN
        return int(value.value)

    def _number(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        if not isinstance(value, Amount) or value.dimension != PLAIN:
            return self.wrong(param, value, span, "a plain number")
        return value.value

    _money = _number

    def _weight(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        if not isinstance(value, Amount) or value.dimension != MASS:
            return self.wrong(param, value, span, "a weight such as 75 lb or 35 kg")
        return value.value

    def _each(self, values: Sequence[t.Expr], read: Callable[[t.Expr], object]) -> object:
        made = [read(value) for value in values]
        return UNKNOWN if any(isinstance(v, Unknown) for v in made) else tuple(made)

    def _weights(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return self._each(values, lambda value: self._weight(param, (value,), value.span))

    def _counts(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return self._each(values, lambda value: self._count(param, (value,), value.span))

    def _any_angle(self, param: Param, expr: t.Expr, sample: str, wanted: str, fits: Callable[[Fraction], bool]) -> Fraction | Unknown:
        value = self.evaluate.value(expr, self.scope)
        if not isinstance(value, Amount) or value.dimension != ANGLE:
            return self.wrong(param, value, expr.span, f"an angle such as {sample}")
        if not fits(value.value):
            self.evaluate.sink.emit("PD218", f"`{param.name}` must be an angle {wanted}", expr.span, notes=[f"it is {shown(value, self.evaluate.units)}"])
            return UNKNOWN
        return value.value

    def _one_angle(self, param: Param, expr: t.Expr) -> Fraction | Unknown:
        return self._any_angle(param, expr, "30°", "from 0° to less than 90°", lambda a: 0 <= a < 90)

    def _included(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return self._any_angle(param, values[0], "82°", "greater than 0° and less than 180°", lambda a: 0 < a < 180)

    def _angle(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        return self._one_angle(param, values[0])

    def _angles(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        items = values[0].items if isinstance(values[0], t.Several) and values[0].form == "size" else ()
        if len(items) != 2:
            self.evaluate.sink.emit("PD217", f"`{param.name if not param.lead else self.what}` wants two angles with x between them", span, mend="such as 45° x 10°")
            return UNKNOWN
        made = [self._one_angle(param, v) for v in items]
        return UNKNOWN if any(isinstance(v, Unknown) for v in made) else tuple(made)

    def _stock(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        return value if isinstance(value, Stock) else self.wrong(param, value, values[0].span, "the name of a stock")

    def _text(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        if isinstance(value, Amount) and value.dimension == PLAIN:
            return shown(value, self.evaluate.units)
        return value.text if isinstance(value, Text) else self.wrong(param, value, span, "a text")

    def _face(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        expr = values[0]
        if isinstance(expr, t.Name) and expr.name in FACES:
            return FACES[expr.name]
        name = expr.name if isinstance(expr, t.Name) else ""
        mend = "did you mean `rear`?" if name == "back" else did_you_mean(name, FACES)
        self.evaluate.sink.emit("PD219", f"`{param.name}` wants a face", expr.span, notes=["the faces are left, right, front, rear, bottom and top"], mend=mend)
        return UNKNOWN

    def _hand(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        """1 for left, -1 for right."""
        expr = values[0]
        if isinstance(expr, t.Name) and expr.name in ("left", "right"):
            return 1 if expr.name == "left" else -1
        self.evaluate.sink.emit("PD219", f"`{param.name}` wants left or right, as one walks along the outline", expr.span, mend=f"{param.name} left")
        return UNKNOWN

    def _faces(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        made = [self._face(param, [v], span) for v in values]
        return UNKNOWN if any(isinstance(v, Unknown) for v in made) else tuple(made)

    def _axis(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        expr = values[0]
        if isinstance(expr, t.Name) and expr.name in AXIS_NAMES:
            return AXIS_NAMES.index(expr.name)
        self.evaluate.sink.emit("PD219", f"`{param.name}` wants a direction: across, back or up", expr.span)
        return UNKNOWN

    def _item(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        value = self.evaluate.value(values[0], self.scope)
        if isinstance(value, HardwareItem):
            return value
        if isinstance(value, PartCell):
            return self.wrong(param, value, values[0].span, "the name of a piece of hardware")
        return self.wrong(param, value, values[0].span, "the name of a piece of hardware")

    def _positions(self, param: Param, values: Sequence[t.Expr], span: Span) -> object:
        """`4", 5"` one place; `(4", 5"), (9", 5")` several."""
        groups: list[Sequence[t.Expr]] = []
        if all(isinstance(v, t.Several) and v.form == "pair" for v in values):
            groups = [v.items for v in values if isinstance(v, t.Several)]
        elif len(values) == 1 and isinstance(values[0], t.Name) and values[0].name == CENTRE:
            return ((MIDDLE, MIDDLE),)
        elif len(values) == 2:
            groups = [values]
        elif len(values) == 1:
            listed = self.evaluate.value(values[0], self.scope)
            if isinstance(listed, Many):
                return self.listed(param, listed, span)
        made = []
        for group in groups:
            pair = [self.coordinate(param, e) for e in group]
            if len(pair) != 2:
                groups = []
                break
            if any(isinstance(p, Unknown) for p in pair):
                return UNKNOWN
            made.append((pair[0], pair[1]))
        if not groups:
            self.evaluate.sink.emit("PD220", "a place on a face is given by two measures", span, mend=f'{param.name} 4", 5" for one place, {param.name} (4", 5"), (9", 5") for several')
            return UNKNOWN
        return tuple(made)

    def listed(self, param: Param, listed: Many, span: Span) -> object:
        made = []
        for item in listed.items:
            pair = item.items if isinstance(item, Many) else ()
            numbers = [v.value for v in pair if isinstance(v, Amount) and v.dimension == LENGTH]
            if len(pair) != 2 or len(numbers) != 2:
                self.evaluate.sink.emit("PD220", "a list of places holds pairs of lengths", span, mend='[(4", 5"), (9", 5")]')
                return UNKNOWN
            made.append((numbers[0], numbers[1]))
        return tuple(made)

    def coordinate(self, param: Param, expr: t.Expr) -> object:
        if isinstance(expr, t.Name) and expr.name == CENTRE:
            return MIDDLE
        return self._one_length(param, expr, True)
