"""What a sheet kind hands to the packet room: the drawing of one sheet, still without frame and title block."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.drawing.display import Item


@dataclass(frozen=True, slots=True)
class Draft:
    """One sheet's content. kind: file-name word; code: sheet number such as `4.1`; title: as in the title block.

    items lie in sheet millimetres inside the drawing space that the kind was given. scales: every scale used on the
    sheet (paper over model, 1/8 for 1:8), each once, largest first: they give the scale entry and the bar scales.
    name: further words for the file name. marks: part marks that the sheet shows in full, and `A top` for views of parts, for cross references.
    bare: the sheet has no frame and no title block; its items may fill the paper.
    """

    kind: str
    code: str
    title: str
    items: tuple[Item, ...]
    scales: tuple[Fraction, ...] = ()
    name: str = ""
    marks: tuple[str, ...] = ()
    bare: bool = False
