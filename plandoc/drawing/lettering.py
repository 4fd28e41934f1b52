"""Lettering: the widths of the one typeface, stacked fractions, and hole symbols that the typeface lacks.

Widths are advance widths of the same TrueType file that the sheets are printed with, so a layout fits on paper as
it was calculated. Sizes are cap heights in mm. Numbers of the stacked fraction: Engineering Aid, NAVEDTRA 14069,
fig. 3-50. Shapes of the hole symbols: common practice after ASME Y14.5, proportions from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import cos, radians, sin

from fontTools.ttLib import TTFont

from plandoc.drawing.display import XY, Circle, Extent, Fill, Item, Line, Text
from plandoc.quantity import ShopNumber
from plandoc.quantity.shoptext import APPROXIMATE
from plandoc.resources import font_file

FRACTION_DIGITS = 2.6 / 3.5
FRACTION_STACK = 2.0
FRACTION_CLEAR = 0.25
LEAST_DIGITS = 2.5
ELLIPSIS = "…"
TALL_AND_HANGING = "bdfghjklpqy()"
_BAR_OVERHANG = 0.08
_SYMBOL_CLEAR = 0.2

SYMBOLS: dict[str, str] = {"↧": "depth", "⌴": "counterbore", "⌵": "countersink", "□": "square", "⌀": "diameter"}
_SYMBOL_WIDTHS = {"depth": 0.9, "counterbore": 1.6, "countersink": 1.8, "square": 1.0, "diameter": 1.2}
_FRACTION = re.compile(r"(?:(?<=\d) )?(?<![\d/])(\d+)/(\d+)(?![\d/])")


class _Face:
    """Measures of one TrueType file, in units of its cap height."""

    def __init__(self, bold: bool) -> None:
        with TTFont(font_file(bold), lazy=True) as font:
            cap = float(font["OS/2"].sCapHeight)
            self.em_per_cap: float = font["head"].unitsPerEm / cap
            self.ascent: float = font["OS/2"].sTypoAscender / cap
            self.descent: float = -font["OS/2"].sTypoDescender / cap
            names, widths, glyphs = font.getBestCmap(), font["hmtx"], font["glyf"]
            self.widths: dict[int, float] = {code: widths[name][0] / cap for code, name in names.items() if code >= 32}
            # Only the letters of everyday text have their ink measured one by one: reading all outlines is slow.
            self.ink: dict[int, tuple[float, float]] = {
                code: (glyphs[name].yMin / cap, glyphs[name].yMax / cap)
                for code, name in names.items()
                if 32 < code < 0x180 and glyphs[name].numberOfContours
            }


@lru_cache(maxsize=2)
def _face(bold: bool) -> _Face:
    return _Face(bold)


def font_size(size: float, bold: bool = False) -> float:
    """The em size (mm) that gives this cap height."""
    return size * _face(bold).em_per_cap


def ascent(size: float) -> float:
    """Base line to the top of the tallest everyday letter (mm)."""
    return size * _face(False).ascent


def descent(size: float) -> float:
    """Base line to the bottom of the lowest everyday letter (mm)."""
    return size * _face(False).descent


def reach(size: float, text: str = "") -> tuple[float, float]:
    """How far (mm) everyday letters, and those of the text, reach over the capitals and below the base line."""
    low, high = _em_ink(TALL_AND_HANGING, False)
    if text:
        own = _em_ink(text, False)
        low, high = min(low, own[0]), max(high, own[1])
    return (high - 1) * size, -low * size


def middle_base(top: float, bottom: float, size: float) -> float:
    """The base line of letters that stand as far from a line over them as from one under them (mm)."""
    over, under = reach(size)
    return (top + bottom + size + over - under) / 2


def missing_characters(text: str) -> tuple[str, ...]:
    """Characters that neither the typeface nor the drawn symbols have, in order, each once."""
    widths = _face(False).widths
    return tuple(dict.fromkeys(c for c in text if ord(c) not in widths and c not in SYMBOLS))


def printable(text: str, instead: str = "?") -> str:
    """The text on one line with `instead` for every character that cannot be printed as type."""
    widths = _face(False).widths
    return "".join(c if ord(c) in widths else instead for c in " ".join(text.split("\n")))


@lru_cache(maxsize=65536)
def _em_width(text: str, bold: bool) -> float:
    widths = _face(bold).widths
    total = 0.0
    for character in text:
        width = widths.get(ord(character))
        if width is None:
            raise ValueError(f"the typeface has no character {character!r} (U+{ord(character):04X})")
        total += width
    return total


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Advance width (mm) of one line. Raises ValueError, naming it, for a character that the typeface lacks."""
    return _em_width(text, bold) * size


@lru_cache(maxsize=65536)
def _em_ink(text: str, bold: bool) -> tuple[float, float]:
    ink = _face(bold).ink
    low, high = 0.0, 1.0
    for character in text:
        bottom, top = ink.get(ord(character), (0.0, 1.0))
        low, high = min(low, bottom), max(high, top)
    return low, high


def text_extent(text: Text) -> Extent:
    """The box (mm) round a text: its advance width by its ink, at least from the base line to the cap height."""
    width = text_width(text.text, text.size, text.bold)
    low, high = _em_ink(text.text, text.bold)
    left = _left(width, text.anchor)
    corners = ((left, -high * text.size), (left + width, -low * text.size))
    return _box(tuple(_turned(text.at, text.rotation, p) for p in corners))


_WORDS = re.compile(r"\S*\d\s\d+/\d+\S*|\S+")


def wrap(text: str, size: float, width: float, bold: bool = False, stacked: bool = False) -> tuple[str, ...]:
    """The text broken at spaces into lines of at most `width` mm; a word that is too long is broken inside.

    A line feed in the text begins a new line. An empty text gives no line. A mixed number such as `13 5/32` is one
    word: its fraction alone on a line would be read as another figure. stacked: as wide as with horizontal bars.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _WORDS.findall(paragraph):
            longer = f"{line} {word}" if line else word
            if note_line_width(longer, size, bold, stacked) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            while len(word) > 1 and note_line_width(word, size, bold, stacked) > width:
                head = len(word) - 1
                while head > 1 and note_line_width(word[:head], size, bold, stacked) > width:
                    head -= 1
                lines.append(word[:head])
                word = word[head:]
            line = word
        if line:
            lines.append(line)
    return tuple(lines)


def words_of(text: str) -> tuple[str, ...]:
    """The words between which a text may be broken: a mixed number is one."""
    return tuple(_WORDS.findall(text))


def fitted(text: str, size: float, width: float, minimum: float, bold: bool = False) -> tuple[str, float]:
    """The text and the cap height that fit into `width` mm: set smaller down to `minimum`, then cut with an
    ellipsis."""
    natural = text_width(text, 1.0, bold)
    if natural * size <= width:
        return text, size
    if natural * minimum <= width:
        return text, max(minimum, int(width / natural * 20) / 20)
    while text and text_width(text + ELLIPSIS, minimum, bold) > width:
        text = text[:-1]
    return text.rstrip() + ELLIPSIS, minimum


def fraction_digits(size: float) -> float:
    """Height (mm) of the digits of a fraction beside whole digits of that size, never under 2.5."""
    return max(FRACTION_DIGITS * size, LEAST_DIGITS)


def fraction_height(size: float) -> float:
    """Total height (mm) of a stacked fraction beside whole digits of that size: twice the size, a little more
    where the digits would be under 2.5."""
    return 2 * fraction_digits(size) + (FRACTION_STACK - 2 * FRACTION_DIGITS) * size


# --- runs: text, stacked fractions and symbols on one base line -------------------------------------------


@dataclass(frozen=True, slots=True)
class _Words:
    text: str


@dataclass(frozen=True, slots=True)
class _Stack:
    over: str
    under: str


@dataclass(frozen=True, slots=True)
class _Symbol:
    name: str


@dataclass(frozen=True, slots=True)
class _Space:
    width: float  # in units of the cap height


_Run = _Words | _Stack | _Symbol | _Space


@dataclass(slots=True)
class _Setting:
    """Where and how a row of runs is set; gathers the items."""

    at: XY
    rotation: float
    role: str
    size: float
    bold: bool
    items: list[Item] = field(default_factory=list)

    def place(self, x: float, y: float) -> XY:
        return _turned(self.at, self.rotation, (x, y))

    def words(self, x: float, y: float, text: str, size: float, anchor: str = "start") -> None:
        self.items.append(Text(self.role, self.place(x, y), text, size, anchor, self.rotation, self.bold))

    def line(self, points: tuple[XY, ...], closed: bool = False) -> None:
        self.items.append(Line("dim", tuple(self.place(*p) for p in points), closed))

    def fill(self, points: tuple[XY, ...]) -> None:
        self.items.append(Fill("ink", (tuple(self.place(*p) for p in points),)))


def number_width(number: ShopNumber, size: float, prefix: str = "", suffix: str = "", bold: bool = False) -> float:
    """Width (mm) of a printed length with its stacked fraction."""
    return _runs_width(_number_runs(number, prefix, suffix), size, bold)


def number_items(
    number: ShopNumber,
    at: XY,
    size: float,
    role: str,
    anchor: str = "middle",
    rotation: float = 0,
    prefix: str = "",
    suffix: str = "",
    bold: bool = False,
) -> tuple[Item, ...]:
    """A printed length. at: anchor point on the base line of the whole digits, whose cap height is `size`; the
    fraction is centred on their mid height. A rounded length has `≈` in front of its figure; the figure of a second unit
    follows in square brackets."""
    return _set(_number_runs(number, prefix, suffix), at, size, role, anchor, rotation, bold)


def number_extent(
    number: ShopNumber,
    at: XY,
    size: float,
    anchor: str = "middle",
    rotation: float = 0,
    prefix: str = "",
    suffix: str = "",
    bold: bool = False,
) -> Extent:
    """The box (mm) that number_items covers."""
    return _runs_extent(_number_runs(number, prefix, suffix), at, size, anchor, rotation, bold)


def note_line_width(text: str, size: float, bold: bool = False, stacked: bool = False) -> float:
    """Width (mm) of a line with symbols. stacked: figures such as `3/8` are set with a horizontal bar."""
    return _runs_width(_note_runs(text, stacked), size, bold)


def note_line_items(
    text: str,
    at: XY,
    size: float,
    role: str = "note",
    anchor: str = "start",
    rotation: float = 0,
    bold: bool = False,
    stacked: bool = False,
) -> tuple[Item, ...]:
    """A line such as `4X Ø1/4 ↧3/8`: type where the typeface has it, drawn symbols where not."""
    return _set(_note_runs(text, stacked), at, size, role, anchor, rotation, bold)


def note_line_extent(
    text: str,
    at: XY,
    size: float,
    anchor: str = "start",
    rotation: float = 0,
    bold: bool = False,
    stacked: bool = False,
) -> Extent:
    """The box (mm) that note_line_items covers."""
    return _runs_extent(_note_runs(text, stacked), at, size, anchor, rotation, bold)


def symbol_width(name: str, size: float) -> float:
    """Width (mm) of a drawn symbol with its clear room. Raises KeyError for an unknown name."""
    return (_SYMBOL_WIDTHS[name] + _SYMBOL_CLEAR) * size


def symbol_items(name: str, at: XY, size: float, rotation: float = 0) -> tuple[Item, ...]:
    """A drawn symbol: depth, counterbore, countersink, square or diameter. at: left end of its base line."""
    setting = _Setting(at, rotation, "note", size, False)
    _draw_symbol(setting, 0.0, name)
    return tuple(setting.items)


def _number_runs(number: ShopNumber, prefix: str, suffix: str) -> tuple[_Run, ...]:
    sign = ("" if number.exact else APPROXIMATE) + ("-" if number.negative else "")
    whole = "" if number.numerator and not number.whole else f"{number.whole}{number.decimals}"
    runs = [*_note_runs(prefix, False)]
    if sign + whole:
        runs.append(_Words(sign + whole))
    if number.numerator:
        if runs:
            runs.append(_Space(FRACTION_CLEAR))
        runs.append(_Stack(str(number.numerator), str(number.denominator)))
        if suffix.strip():
            runs.append(_Space(FRACTION_CLEAR))
    runs.extend(_note_runs(suffix, False))
    if number.second is not None:
        runs += [_Words(" ["), *_number_runs(replace(number.second, exact=True), "", "]")]
    return _joined(runs)


@lru_cache(maxsize=16384)
def _note_runs(text: str, stacked: bool) -> tuple[_Run, ...]:
    runs: list[_Run] = []
    for piece in re.split(f"([{''.join(SYMBOLS)}])", text):
        if piece in SYMBOLS:
            runs.append(_Symbol(SYMBOLS[piece]))
        elif stacked:
            _add_fractions(runs, piece)
        elif piece:
            runs.append(_Words(piece))
    return _joined(runs)


def _joined(runs: list[_Run]) -> tuple[_Run, ...]:
    joined: list[_Run] = []
    for run in runs:
        last = joined[-1] if joined else None
        if isinstance(run, _Words) and isinstance(last, _Words):
            joined[-1] = _Words(last.text + run.text)
        else:
            joined.append(run)
    return tuple(joined)


def _add_fractions(runs: list[_Run], piece: str) -> None:
    end = 0
    for match in _FRACTION.finditer(piece):
        if match.start() > end:
            runs.append(_Words(piece[end : match.start()]))
        runs += [_Space(FRACTION_CLEAR), _Stack(match[1], match[2]), _Space(FRACTION_CLEAR)]
        end = match.end()
    if end < len(piece):
        runs.append(_Words(piece[end:]))


def _run_width(run: _Run, size: float, bold: bool) -> float:
    if isinstance(run, _Words):
        return _em_width(run.text, bold) * size
    if isinstance(run, _Stack):
        digits = max(_em_width(run.over, bold), _em_width(run.under, bold))
        return digits * fraction_digits(size) + 2 * _BAR_OVERHANG * size
    if isinstance(run, _Symbol):
        return symbol_width(run.name, size)
    return run.width * size


def _runs_width(runs: tuple[_Run, ...], size: float, bold: bool) -> float:
    return sum(_run_width(run, size, bold) for run in runs)


def _runs_extent(
    runs: tuple[_Run, ...], at: XY, size: float, anchor: str, rotation: float, bold: bool
) -> Extent:
    width = _runs_width(runs, size, bold)
    low, high = _em_ink("".join(run.text for run in runs if isinstance(run, _Words)), bold)
    if any(isinstance(run, _Stack) for run in runs):
        reach = fraction_height(size) / size / 2
        low, high = min(low, 0.5 - reach), max(high, 0.5 + reach)
    left = _left(width, anchor)
    corners = ((left, -high * size), (left + width, -low * size))
    return _box(tuple(_turned(at, rotation, p) for p in corners))


def _set(
    runs: tuple[_Run, ...], at: XY, size: float, role: str, anchor: str, rotation: float, bold: bool
) -> tuple[Item, ...]:
    if len(runs) == 1 and isinstance(runs[0], _Words):
        return (Text(role, at, runs[0].text, size, anchor, rotation, bold),)
    setting = _Setting(at, rotation, role, size, bold)
    x = _left(_runs_width(runs, size, bold), anchor)
    for run in runs:
        width = _run_width(run, size, bold)
        if isinstance(run, _Words):
            indent = _em_width(run.text[: len(run.text) - len(run.text.lstrip())], bold) * size
            if run.text.strip():
                setting.words(x + indent, 0.0, run.text.strip(), size)
        elif isinstance(run, _Stack):
            _draw_stack(setting, x, width, run)
        elif isinstance(run, _Symbol):
            _draw_symbol(setting, x, run.name)
        x += width
    return tuple(setting.items)


def _draw_stack(setting: _Setting, x: float, width: float, run: _Stack) -> None:
    size, digits = setting.size, fraction_digits(setting.size)
    middle, reach = -size / 2, fraction_height(size) / 2
    setting.words(x + width / 2, middle - reach + digits, run.over, digits, "middle")
    setting.line(((x, middle), (x + width, middle)))
    setting.words(x + width / 2, middle + reach, run.under, digits, "middle")


def _draw_symbol(setting: _Setting, x: float, name: str) -> None:
    h, w = setting.size, _SYMBOL_WIDTHS[name] * setting.size
    left, right = x + _SYMBOL_CLEAR * h / 2, x + _SYMBOL_CLEAR * h / 2 + w
    centre = (left + right) / 2
    if name == "depth":
        setting.line(((left, -h), (right, -h)))
        setting.line(((centre, -h), (centre, -0.4 * h)))
        setting.fill(((centre - 0.22 * h, -0.5 * h), (centre + 0.22 * h, -0.5 * h), (centre, 0.0)))
    elif name == "counterbore":
        setting.line(((left, -h), (left, 0.0), (right, 0.0), (right, -h)))
    elif name == "countersink":
        setting.line(((left, -0.9 * h), (centre, 0.0), (right, -0.9 * h)))
    elif name == "square":
        setting.line(((left, -h), (right, -h), (right, 0.0), (left, 0.0)), closed=True)
    else:
        setting.items.append(Circle("dim", setting.place(centre, -h / 2), 0.42 * h))
        setting.line(((centre - 0.36 * h, 0.12 * h), (centre + 0.36 * h, -1.12 * h)))


def _left(width: float, anchor: str) -> float:
    return {"start": 0.0, "middle": -width / 2, "end": -width}[anchor]


def _turned(at: XY, rotation: float, point: XY) -> XY:
    x, y = point
    if not rotation:
        return (at[0] + x, at[1] + y)
    if rotation == -90:
        return (at[0] + y, at[1] - x)
    c, s = cos(radians(rotation)), sin(radians(rotation))
    return (at[0] + x * c - y * s, at[1] + x * s + y * c)


def _box(points: tuple[XY, ...]) -> Extent:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))
