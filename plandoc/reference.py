"""The part of the language reference that follows from the declared kinds: one table for each."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.kinds import Kinds, Param
from plandoc.quantity import INCH, Units, shop_text

# What stands behind a word, by the type of its parameter.
TYPES = {
    "length": "a length",
    "size": "two lengths with `x` between",
    "sizes": "one length, or several with `x` between",
    "count": "a whole number",
    "number": "a plain number",
    "angle": "an angle",
    "angles": "two angles with `x` between",
    "included": "an angle of less than 180°",
    "stock": "the name of a stock",
    "hand": "left or right",
    "face": "a face",
    "faces": "faces, separated by commas",
    "axis": "a direction",
    "text": "a text",
    "item": "the name of hardware",
    "positions": "a place `4\", 5\"`, several `(4\", 5\"), (9\", 5\")`, or `centre`",
    "lengths": "lengths, separated by commas",
    "weight": "a weight",
    "weights": "weights, separated by commas",
    "counts": "whole numbers, separated by commas",
    "money": "a plain number",
    "flag": "nothing, the word alone",
}


def kinds_reference(kinds: Kinds) -> str:
    """Markdown: every kind of joint, of work, of hardware and of machine with its words, in the order of their names."""
    lines = ["### Kinds of joint", ""]
    for joint in kinds.joints.values():
        lines += _kind(joint.name, joint.doc, joint.example, "plan", "")
        lines += _table(joint.params)
    lines += ["### Kinds of work on a part", ""]
    for shape in kinds.shapes.values():
        below = f" It is indented below a `{shape.below}`." if shape.below else ""
        lines += _kind(shape.name, shape.doc + below, shape.example, f"plan part{' ' + shape.below if shape.below else ''}", "")
        lines += _table(shape.params)
    lines += ["### Kinds of hardware", ""]
    for item in kinds.hardware.values():
        lines += _kind(item.name, item.doc + f" Counted and priced by the {item.unit if item.unit != 'each' else 'piece'}.", item.example, "plan", "")
        lines += ["On the `hardware` line:", "", *_table(item.params)]
        lines += ["On the `fit` line:", "", *_table(item.fit_params)]
    lines += ["### Kinds of machine", ""]
    for machine in kinds.machines.values():
        lines += _kind(machine.name, machine.doc, machine.example, "plan shop", "")
        lines += _table(machine.params)
    return "\n".join(lines).rstrip() + "\n"


def _kind(name: str, doc: str, example: str, info: str, note: str) -> list[str]:
    return [f"#### {name}", "", doc + note, "", f"```{info}", example, "```", ""]


def _table(params: Sequence[Param]) -> list[str]:
    if not params:
        return ["No further words.", ""]
    rows = ["| word | takes | meaning | left out |", "| --- | --- | --- | --- |"]
    for param in params:
        word = f"({param.name})" if param.lead else f"`{param.name}`"
        takes = TYPES[param.type] + (", directly behind the kind" if param.lead else "") + (", may be less than 0" if param.signed else "")
        rows.append(f"| {word} | {takes} | {param.doc} | {default_text(param)} |")
    return [*rows, ""]


def default_text(param: Param) -> str:
    """What holds where the plan is silent: `must be given`, a value as the plan would write it, or `-`."""
    value = param.default
    if param.required:
        return "must be given"
    if isinstance(value, Face):
        return value.name
    if isinstance(value, Fraction) and param.type in ("length", "lengths"):
        if value and (value / INCH).denominator > 64:
            return shop_text(value, Units("mm", Fraction(1, 100)), mark=True)
        return shop_text(value, Units("inch", Fraction(1, 64)), mark=True) if value else "0"
    if value is None or value == () or value is False:
        return "-"
    return str(value)


if __name__ == "__main__":
    import sys

    from plandoc.vocabulary import all_kinds

    sys.stdout.write(kinds_reference(all_kinds()))
