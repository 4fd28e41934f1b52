"""Words for parts, edges, stock and lists as the procedure and the lists print them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.sawn import BAND as BAND
from plandoc.model.sawn import sawn_box as sawn_box
from plandoc.quantity import INCH, Units, diameter_text, shop_number, shop_text
from plandoc.quantity.shoptext import SIXTY_FOURTH, round_to

_NUMBER = re.compile(r"\d+")


def mark_of(part: Part) -> str:
    """The part mark; a part that has none yet is known by its path."""
    return part.mark or part.path


def by_mark(parts: Sequence[Part]) -> dict[str, tuple[Part, ...]]:
    """Parts gathered by mark, marks and parts in their first order."""
    found: dict[str, tuple[Part, ...]] = {}
    for part in parts:
        found[mark_of(part)] = (*found.get(mark_of(part), ()), part)
    return found


def piece_count(parts: Sequence[Part]) -> int:
    """How many pieces the parts are (loose parts may stand for several)."""
    return sum(part.count for part in parts)


def listed(words: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def counted(count: int, one: str, many: str = "") -> str:
    """`1 piece`, `3 pieces`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def joined_names(names: Sequence[str], between: str = ", ", most: int = 3) -> str:
    """One name for several parts that are alike.

    Names that differ in one number only fold to a run (`tray 1–5 bottom`, `rail 1, 3`); otherwise up to `most`
    names stand side by side and the rest is counted."""
    distinct = list(dict.fromkeys(names))
    if len(distinct) < 2:
        return "".join(distinct)
    folded = _folded(distinct)
    if folded:
        return folded
    if len(distinct) <= most:
        return between.join(distinct)
    return f"{between.join(distinct[: most - 1])} and {len(distinct) - most + 1} more"


def _folded(names: list[str]) -> str:
    shapes = {_NUMBER.sub("#", name): None for name in names}
    if len(shapes) != 1:
        return ""
    columns = list(zip(*(_NUMBER.findall(name) for name in names), strict=True))
    varying = [i for i, column in enumerate(columns) if len(dict.fromkeys(column)) > 1]
    if len(varying) != 1:
        return ""
    numbers = sorted({int(text) for text in columns[varying[0]]})
    if numbers == list(range(numbers[0], numbers[0] + len(numbers))) and len(numbers) > 1:
        run = f"{numbers[0]}–{numbers[-1]}"
    else:
        run = ", ".join(str(n) for n in numbers)
    place = list(_NUMBER.finditer(names[0]))[varying[0]]
    return names[0][: place.start()] + run + names[0][place.end() :]


def repeated(lines: Sequence[str]) -> tuple[str, ...]:
    """The lines, those that come several times once with their count."""
    counts = {line: lines.count(line) for line in dict.fromkeys(lines)}
    return tuple(line if n == 1 else f"{line.removesuffix('.')}; {n} times." for line, n in counts.items())


def exact_size(length: Fraction, units: Units) -> str:
    """A bought size (bit, bore, spacing) in the plan's units, or in the other system where only that is exact:
    a 5 mm bore stays `5 mm` on an inch plan."""
    return diameter_text(length, units, mark=True)


def exact_text(value: Fraction, units: Units, mark: bool = True) -> str:
    """A length (mm) close enough to set a machine to: a fraction where that is exact, else decimals to 0.001 in. or 0.01 mm."""
    fine = SIXTY_FOURTH if units.system == "inch" else Units("mm", Fraction(1, 10))
    for own in (units, fine):
        if shop_number(value, own).exact:
            return shop_text(value, own, mark)
    places = 3 if units.system == "inch" else 2
    count = value / units.unit_mm
    text = f"{float(round_to(count, Fraction(1, 10**places))):.{places}f}".rstrip("0").rstrip(".")
    return text + ('"' if mark and units.system == "inch" else " mm" if mark else "")


def part_words(part: Part) -> str:
    """`left side (A)`; a part without a mark by its name alone."""
    return f"{part.name} ({part.mark})" if part.mark else part.name


LAYOUT = "the cutting layout"
"""What a step calls the layout of its sheets; the procedure sheet puts the number of that sheet in its place."""


def layout_words(stock: Stock, units: Units) -> str:
    """What a step calls the layout of boards of a stock; the procedure sheet puts the number of its sheet in its place."""
    return f"{LAYOUT} of {stock_words(stock, units)}"


def group_words(parts: Sequence[Part]) -> str:
    """Like `part_words` for parts of one mark: `bottom, fixed shelf (C)`."""
    name = joined_names([part.name for part in parts])
    return f"{name} ({parts[0].mark})" if parts[0].mark else name


def pieces_words(parts: Sequence[Part], sets: int = 1) -> str:
    """Like `group_words`, with the count of pieces where all have one name: `2 × back post (G)`. sets: of how many sets
    that are alike the parts are, told for one."""
    count = piece_count(parts) // sets
    words = group_words(parts)
    return f"{count} × {words}" if count > 1 and len({part.name for part in parts}) == 1 else words


def parts_words(model: Model, paths: Sequence[str]) -> str:
    """A sentence part that lists the parts, those of one mark together."""
    groups = by_mark([part for part in model.parts if part.path in paths])
    return listed([group_words(parts) for parts in groups.values()])


def stock_words(stock: Stock, units: Units) -> str:
    """`3/4" birch plywood`, `4/4 white oak`: called thickness (lumber: rough thickness) and what the stock is."""
    what = stock.description or stock.material or stock.name
    if stock.kind == "lumber" and stock.rough is not None:
        size = f"{stock.rough / INCH * 4}/4" if (stock.rough / INCH * 4).denominator == 1 else shop_text(stock.rough, units, mark=True)
    elif stock.kind in ("batten", "banding") and stock.width is not None:
        what, size = stock.description or f"{stock.material or stock.name} {stock.kind}", section_words(stock, units)
    else:
        size = shop_text(stock.measured if stock.kind == "lumber" else stock.called, units, mark=True)
    return what if what[:1].isdigit() else f"{size} {what}"


def section_words(stock: Stock, units: Units) -> str:
    """The section of a batten or of banding as it is sold: `2 × 4` of nominal sizes, else `3/4" × 2"`."""
    called = (stock.called, stock.called_width or stock.width or stock.called)
    if called != (stock.measured, stock.width) and all((size / INCH * 4).denominator == 1 for size in called):
        return " × ".join(str(size / INCH) if (size / INCH).denominator == 1 else shop_text(size, Units()) for size in called)
    return " × ".join(shop_text(size, units.fine, mark=True) for size in called)


def edge_words(part: Part, face: Face) -> str:
    """A face of the part as the bench calls it: `bottom end`, `front edge`, `right face`."""
    if face.axis == part.length_axis:
        return f"{face.name} end"
    return f"{face.name} edge" if face.axis == part.width_axis else f"{face.name} face"


def tolerance(units: Units) -> Fraction:
    """How closely work is checked (mm): 1/32 in or 1 mm, never finer than the plan prints. Common practice."""
    least = Fraction(254, 320) if units.system == "inch" else Fraction(1)
    return max(least, units.step_mm)


def mass_words(mass: Fraction) -> str:
    """A mass (kg) in words: `31 kg (68 lb)`, rounded to whole numbers, 1 lb = 0.45359237 kg."""
    return f"{round(mass)} kg ({round(mass / Fraction('0.45359237'))} lb)"
