"""The shop in words: a row for each machine, with the figures that the packet counts on."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Model
from plandoc.model.kinds import Param
from plandoc.model.machinekinds import machine_kinds, machine_title
from plandoc.model.sawn import saw_of, saw_words
from plandoc.quantity import Units, shop_number, shop_text
from plandoc.tables.shop import ShopMachine

POUND = Fraction(45359237, 10**8)
"""kg (NIST SP 811, appendix B)."""
NEWTONS = Fraction(980665, 100000)
_SOLD = (Units("mm", Fraction(1, 100)), Units("inch", Fraction(1, 1000)))


def size_text(length: Fraction, units: Units) -> str:
    """A length of a tool as it is sold: in the plan's units, where it does not fit their steps in the other system."""
    steps = (units.fine, *_SOLD)
    return shop_text(length, next((step for step in steps if shop_number(length, step).exact), units.fine), mark=True)


def _figure(length: Fraction, units: Units) -> str:
    """The same without the sign of the plan's own unit."""
    text = size_text(length, units)
    return text.removesuffix('"').removesuffix(" mm") if shop_number(length, units.fine).exact else text.replace('"', " in")


def machine_rows(model: Model) -> tuple[tuple[str, str], ...]:
    """Machine and figures, in the order of the shop."""
    return tuple((_name(machine), _figures(machine, model.info.units)) for machine in model.shop.machines)


def _name(machine: ShopMachine) -> str:
    usual = machine_title(machine.key)
    said = any(word in machine.name.casefold() for word in (usual.casefold().partition(",")[0], machine.key.replace("_", " ")))
    return machine.name if said else f"{machine.name} ({usual[:1].lower()}{usual[1:]})"


def _figures(machine: ShopMachine, units: Units) -> str:
    kind = machine_kinds().get(machine.key)
    said = [_words(param, machine.all(param.name), units) for param in (kind.params if kind else ()) if machine.all(param.name)]
    return "; ".join(said)


def _words(param: Param, values: tuple[Fraction, ...], units: Units) -> str:
    if param.type == "flag":
        return param.name
    texts: dict[str, int] = {}
    for value in values:
        text = _value(param, value, units)
        texts[text] = texts.get(text, 0) + 1
    if param.type == "counts" or param.name in ("opens", "forces"):  # one value for each of another word, in its order
        return f"{param.name} {', '.join(_value(param, value, units) for value in values)}"
    return f"{param.name} " + ", ".join(text + (f" ({count}X)" if count > 1 else "") for text, count in texts.items())


def _value(param: Param, value: Fraction, units: Units) -> str:
    if param.type in ("count", "counts"):
        return str(value)
    if param.type in ("weight", "weights"):
        kilograms = value / NEWTONS if param.name == "forces" else value
        return f"{round(kilograms / POUND)} lb" if units.system == "inch" else f"{round(kilograms)} kg"
    return _figure(value, units)


def saw_note(model: Model) -> str:
    """`Kerf 1/8" and edge trim 1/4" are assumed: check your saw.`, or whose they are."""
    saw, units = saw_of(model), model.info.units
    words = {"plan": "as the plan says", "shop": "of the shop", "assumed": "assumed: check your saw"}
    kerf, trim = saw_words(model)
    first, second = f"Kerf {size_text(saw.kerf, units)}", f"edge trim {size_text(saw.trim, units)}"
    if kerf == trim:
        return f"{first} and {second} are {words[kerf]}." if kerf == "assumed" else f"{first} and {second}, {words[kerf]}."
    return f"{first} {words[kerf]}; {second} {words[trim]}."
