"""`allowance` lines: what the rough piece is larger by than the finished part."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.cells import Scope
from plandoc.model.entities import NO_ALLOWANCE, Allowance, PlanInfo, Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.ordered import ordered
from plandoc.model.values import Unknown
from plandoc.syntax import tree as t

SOLID = ("lumber", "batten", "dowel", "banding")
"""Kinds of stock that the allowance of a plan speaks of; sheet parts are cut to size unless their own lines say more."""


def read_allowance(clause: t.Clause, evaluate: Evaluator, scope: Scope) -> Allowance | None:
    """The allowance of a line; None after a report. `allowance none` is 0, a length without a word counts both ways."""
    found: dict[str, Fraction] = {}
    good = True
    for way, expr in zip(clause.items[::2], clause.items[1::2], strict=True):
        if expr is None or isinstance(expr, str):
            continue
        value = evaluate.length(expr, scope)
        if isinstance(value, Unknown):
            good = False
            continue
        ways = (way,) if isinstance(way, str) else ("long", "wide")
        if value < 0:
            evaluate.sink.emit("PD253", "an allowance is never less than nothing", expr.span, mend="allowance long 1/2\", wide 1/4\", or allowance none")
            good = False
        for word in ways:
            if word in found:
                evaluate.sink.emit("PD253", f"the allowance `{word}` is given twice", expr.span, mend="allowance long 1/2\", wide 1/4\"")
                good = False
            found[word] = value
    return Allowance(found.get("long", Fraction(0)), found.get("wide", Fraction(0))) if good else None


def allowance_for(own: Allowance | None, stock: Stock, info: PlanInfo) -> Allowance:
    """The allowance of a part: its own line, else that of its stock, else the plan's. The nearest line counts whole.

    Battens, dowels and banding keep their section, so only the length is larger; what is ordered comes in its size."""
    if ordered(stock):
        return NO_ALLOWANCE
    if own is not None:
        found = own
    elif stock.allowance is not None:
        found = stock.allowance
    else:
        found = info.allowance if stock.kind in SOLID else NO_ALLOWANCE
    return Allowance(found.long) if stock.kind in ("batten", "dowel", "banding") else found
