"""The look of the printed sheets: pens, lettering, spacings and paper, read once from styles/*.toml."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

from plandoc.quantity import Units
from plandoc.resources import data_folder

LINE_ROLES = ("vis", "hid", "ctr", "phm", "cut", "brk", "dim", "ext", "ldr", "hat", "trail", "frame", "tb", "zone", "light")
FILL_ROLES = ("ink", "mask", "tone")
TEXT_ROLES = ("dimtxt", "note", "vtitle", "label", "tbtxt", "title", "body", "head")
PAPERS = ("letter", "tabloid", "A4", "A3")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Pen:
    """width: stroke in mm. dash: lengths of dash, gap, dash, gap ... in mm; empty for an unbroken line."""

    width: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Style:
    """One look. All lengths in mm on paper, text heights are cap heights.

    arrow_length, arrow_width: filled arrowheads; dot: diameter of a leader's dot; tick: length of an oblique
    stroke. first_row, row_step: outline to the first dimension line, and from one to the next. extension_gap,
    extension_overshoot: of extension lines. text_gap: clear room between lettering and the line under it.
    centre_overshoot: a centre line past its feature. view_clearance: least room between views with their
    dimensions. fraction_digits, fraction_stack: digit height and total height of a stacked fraction in units of
    the whole digits' height. binding: filing margin at the left, 0 for none.
    """

    name: str
    title: str
    face: str
    bold_face: str
    pens: tuple[tuple[str, Pen], ...]
    fills: tuple[tuple[str, str], ...]
    heights: tuple[tuple[str, float], ...]
    minimum_height: float
    arrow_length: float
    arrow_width: float
    dot: float
    tick: float
    first_row: float
    row_step: float
    extension_gap: float
    extension_overshoot: float
    text_gap: float
    centre_overshoot: float
    view_clearance: float
    balloon_radius: float
    hatch_spacing: float
    fraction_digits: float
    fraction_stack: float
    margins: tuple[tuple[str, float], ...]
    binding: float
    papers: tuple[tuple[str, tuple[float, float]], ...]

    def pen(self, role: str) -> Pen:
        """The pen of a line role. Raises KeyError."""
        return _find(self.pens, role)

    def fill(self, role: str) -> str:
        """The colour of a fill role, as #rrggbb. Raises KeyError."""
        return _find(self.fills, role)

    def height(self, role: str) -> float:
        """The cap height (mm) of a text role. Raises KeyError."""
        return _find(self.heights, role)

    def margin(self, paper: str) -> float:
        """Paper edge to frame (mm), the left edge without a filing margin. Raises KeyError."""
        return _find(self.margins, paper)


def _find(pairs: tuple[tuple[str, T], ...], name: str) -> T:
    for key, value in pairs:
        if key == name:
            return value
    raise KeyError(f"{name!r} is none of {', '.join(key for key, _ in pairs)}")


def style_names() -> tuple[str, ...]:
    """The names of all styles, sorted."""
    return tuple(sorted(path.stem for path in data_folder("styles").glob("*.toml")))


@lru_cache(maxsize=16)
def load_style(name: str) -> Style:
    """The style of that name. Raises KeyError with the known names, ValueError where its file is faulty."""
    if name not in style_names():
        raise KeyError(f"no style {name!r}; there is {', '.join(style_names())}")
    text = (data_folder("styles") / f"{name}.toml").read_text(encoding="utf-8")
    return read_style(name, text)


ROW_ROOM = 2.0
"""Room (mm) between a row of figures and the dimension line after it, with the room under the figures."""


def for_units(style: Style, units: Units) -> Style:
    """The style for a plan in these units. Of a plan with two units one of the two figures may be a stacked
    fraction, so the rows stand as far apart as fractions need."""
    if units.second is None:
        return style
    least = style.fraction_stack * style.height("dimtxt") + ROW_ROOM
    return replace(style, row_step=max(style.row_step, least))


def read_style(name: str, text: str) -> Style:
    """The style that a TOML text describes. Raises ValueError where something is missing or wrong."""
    try:
        return _style(name, tomllib.loads(text))
    except (KeyError, TypeError, tomllib.TOMLDecodeError) as fault:
        raise ValueError(f"style {name!r}: {fault}") from fault


def paper_size(style: Style, paper: str, orientation: str) -> tuple[float, float]:
    """Width and height (mm) of the paper, orientation `landscape` or `portrait`. Raises KeyError."""
    short, long = _find(style.papers, paper)
    if orientation not in ("landscape", "portrait"):
        raise KeyError(f"{orientation!r} is neither landscape nor portrait")
    return (long, short) if orientation == "landscape" else (short, long)


def _style(name: str, data: dict[str, Any]) -> Style:
    arrows, dims, fractions = data["arrows"], data["dimensions"], data["fractions"]
    return Style(
        name=name,
        title=str(data["title"]),
        face=str(data["face"]),
        bold_face=str(data["bold_face"]),
        pens=tuple((role, _pen(data["pens"][role])) for role in LINE_ROLES),
        fills=tuple((role, str(data["fills"][role])) for role in FILL_ROLES),
        heights=tuple((role, float(data["heights"][role])) for role in TEXT_ROLES),
        minimum_height=float(data["heights"]["minimum"]),
        arrow_length=float(arrows["length"]),
        arrow_width=float(arrows["width"]),
        dot=float(arrows["dot"]),
        tick=float(arrows["tick"]),
        first_row=float(dims["first"]),
        row_step=float(dims["step"]),
        extension_gap=float(dims["gap"]),
        extension_overshoot=float(dims["overshoot"]),
        text_gap=float(dims["text_gap"]),
        centre_overshoot=float(dims["centre_overshoot"]),
        view_clearance=float(dims["view_clearance"]),
        balloon_radius=float(dims["balloon_radius"]),
        hatch_spacing=float(dims["hatch_spacing"]),
        fraction_digits=float(fractions["digits"]),
        fraction_stack=float(fractions["stack"]),
        margins=tuple((paper, float(data["margins"][paper])) for paper in PAPERS),
        binding=float(data["margins"]["binding"]),
        papers=tuple((paper, _paper(data["papers"][paper])) for paper in PAPERS),
    )


def _pen(data: dict[str, Any]) -> Pen:
    dash = tuple(float(part) for part in data.get("dash", ()))
    width = float(data["width"])
    if width <= 0 or len(dash) % 2 or any(part <= 0 for part in dash):
        raise ValueError(f"a pen needs a width and pairs of dash and gap, not {data}")
    return Pen(width, dash)


def _paper(data: list[float]) -> tuple[float, float]:
    short, long = (float(side) for side in data)
    return short, long
