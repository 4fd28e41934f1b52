"""`glued from ... boards`: the boards of a panel, and warnings where a part needs more wood than a board has."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.cells import Gluing, PartCell, Scope
from plandoc.model.entities import GlueUp, Part
from plandoc.model.evaluate import Evaluator
from plandoc.model.values import STOCK_WORDS, Amount, Unknown, kind_of
from plandoc.quantity import INCH, LENGTH, PLAIN, shop_text
from plandoc.syntax import tree as t

COMMON_WIDEST = 12 * INCH
"""Wider boards are rarely to be had (common practice)."""
FLAT_WIDEST = 6 * INCH
"""Boards of a panel where the plan names none to hand: narrower ones keep it flat (common practice)."""
MOST_BOARDS = 200
JOINTING = {"inch": INCH / 8, "mm": Fraction(3)}
"""What the jointing of one joint takes in width where a message proposes it: 1/16 in or 1.5 mm from each edge (common practice; a
jointer takes 1/16 to 1/8 in a pass, from memory)."""


def read_gluing(clause: t.Clause, evaluate: Evaluator, scope: Scope) -> Gluing | None:
    """What the line says; None after a report."""
    form, given, joint = clause.items
    assert isinstance(form, str) and isinstance(given, t.Several)
    jointing: Fraction | None = None
    if joint is not None and not isinstance(joint, str):
        taken = evaluate.length(joint, scope)
        if isinstance(taken, Unknown):
            return None
        if taken < 0:
            evaluate.sink.emit("PD251", "jointing takes wood away, it adds none", joint.span, mend="jointing 1/8\"")
            return None
        jointing = taken
    figures: list[Fraction] = []
    for expr in given.items:
        value = evaluate.value(expr, scope)
        if isinstance(value, Unknown):
            return None
        wanted, word = (PLAIN, "a count of boards") if form == "count" else (LENGTH, "the width of a board")
        if not isinstance(value, Amount) or value.dimension != wanted:
            evaluate.sink.emit("PD251", f"{word} is wanted here, this is {kind_of(value)}", expr.span, mend="glued from 5 boards, glued from boards 4\", 5\", 4\", or glued from boards at most 5\"")
            return None
        if value.value <= 0 or (form == "count" and (value.value.denominator != 1 or not 2 <= value.value <= MOST_BOARDS)):
            message = f"a panel is glued from 2 to {MOST_BOARDS} boards" if form == "count" else "a board has a width"
            evaluate.sink.emit("PD251", message, expr.span)
            return None
        figures.append(value.value)
    if form == "widths" and len(figures) < 2:
        evaluate.sink.emit("PD251", "one board is no glue-up", clause.span, mend="name the widths of all boards, or write glued from boards at most ...")
        return None
    return Gluing(form, tuple(figures), jointing, clause.span)


def glue_up(cell: PartCell, part: Part, evaluate: Evaluator) -> GlueUp | None:
    """The boards of a finished part; None where it has no glue-up, or after a report."""
    gluing = cell.gluing if cell.mirrors is None else cell.mirrors.gluing
    if gluing is None:
        return None
    sink, units, jointing = evaluate.sink, evaluate.units, gluing.jointing or Fraction(0)
    if part.stock.kind != "lumber":
        if cell.mirrors is None:
            sink.emit("PD251", f"only lumber is glued up from boards, `{part.stock.name}` is {STOCK_WORDS[part.stock.kind]}", gluing.span, mend="leave the line out, or make the part from a lumber stock")
        return None
    if gluing.form == "widths":
        total = sum(gluing.figures, Fraction(0))
        if total != part.width:
            figures = " + ".join(shop_text(f, units) for f in gluing.figures)
            notes = [f"{figures} = {shop_text(total, units, mark=True)}", f"`{part.path}` is {shop_text(part.width, units, mark=True)} wide"]
            if cell.mirrors is None:
                sink.emit("PD252", "the boards do not make up the width of the part", gluing.span, notes=notes, mend="the widths are those in the finished part; jointing and allowance come on top of them")
            return None
        return panel(gluing.figures, jointing, part.allowance.wide, units.step_mm)
    count = int(gluing.figures[0]) if gluing.form == "count" else 0
    if not count:
        limit = gluing.figures[0] if gluing.form == "most" else part.stock.widest or FLAT_WIDEST
        count = least_boards(part, limit, jointing, units.step_mm)
        if count == 0:
            sink.emit("PD251", f"no {MOST_BOARDS} boards of {shop_text(limit, units, mark=True)} make a panel {shop_text(part.width, units, mark=True)} wide", gluing.span, mend="allow wider boards, or less jointing")
            return None
    return panel((part.width / count,) * count, jointing, part.allowance.wide, units.step_mm)


def panel(widths: tuple[Fraction, ...], jointing: Fraction, wide: Fraction, step: Fraction) -> GlueUp:
    """The glue-up of boards of these finished widths (mm). A board is ripped wider by half of the jointing at each joint and
    by half of the trimming allowance `wide` at an outer edge, rounded up to the step that the plan prints."""
    last = len(widths) - 1
    rough = (
        width + sum((wide / 2 if outer else jointing / 2) for outer in (index == 0, index == last)) for index, width in enumerate(widths)
    )
    return GlueUp(widths, tuple(-(-width // step) * step for width in rough), jointing)


def least_boards(part: Part, limit: Fraction, jointing: Fraction, step: Fraction) -> int:
    """The least count, from 2 on, of equal boards of which none is ripped wider than the limit (mm); 0 for none."""
    for count in range(2, MOST_BOARDS + 1):
        if max(panel((part.width / count,) * count, jointing, part.allowance.wide, step).rough) <= limit:
            return count
    return 0


def warn_of_boards(cell: PartCell, part: Part, evaluate: Evaluator, blank: bool = False) -> None:
    """Tell where a lumber part is wider or longer than any board to hand, and where its boards leave nothing for jointing.
    blank: it is cut out of a larger blank."""
    spare = ["the router cuts it out of a blank that clamps hold: `larger blank`"] if blank else []
    stock, units = part.stock, evaluate.units
    if stock.kind != "lumber":
        return
    usual = JOINTING[units.system]
    if part.glue_up is not None and cell.gluing is not None and cell.gluing.jointing is None and not part.allowance.wide:
        evaluate.sink.emit(
            "PD424",
            f"the boards of `{part.path}` leave nothing for jointing and trimming",
            cell.gluing.span,
            notes=[f"ripped {shop_text(max(part.glue_up.rough), units, mark=True)} wide, as they show in the finished panel"],
            mend=f"glued from ... jointing {shop_text(usual, units, mark=True)} (common practice), or jointing {shop_text(Fraction(0), units, mark=True)} where they come ready to glue",
        )
    widest = stock.widest or COMMON_WIDEST
    hand = "the widest board to hand is" if stock.widest else "common practice: boards are seldom wider than"
    wide = max(part.glue_up.rough) if part.glue_up else part.rough_width
    if wide > widest and (stock.widest or not part.glue_up):
        jointing = part.glue_up.jointing if part.glue_up else usual
        count = least_boards(part, widest if stock.widest else FLAT_WIDEST, jointing, units.step_mm)
        told = f" jointing {shop_text(jointing, units, mark=True)}" if jointing else ""
        what = f"a board of `{part.path}` is" if part.glue_up else f"`{part.path}` is"
        evaluate.sink.emit(
            "PD420",
            f"{what} {shop_text(wide, units, mark=True)} wide{' before trimming' if wide != part.width and not part.glue_up else ''}, wider than a board",
            part.span,
            notes=[f"{hand} {shop_text(widest, units, mark=True)}", *spare],
            mend=f"glued from {count} boards{told}" if count else "glued from boards",
        )
    longest = stock.longest
    if longest is not None and part.rough_length > longest:
        evaluate.sink.emit(
            "PD421",
            f"`{part.path}` is {shop_text(part.rough_length, units, mark=True)} long{' before trimming' if part.allowance.long else ''}, longer than a board",
            part.span,
            notes=[f"the longest board to hand is {shop_text(longest, units, mark=True)}", *spare],
            mend="name a longer board in the `boards` of the stock, or make the part shorter",
        )
