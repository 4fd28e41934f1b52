"""Packets of the examples and of published pieces, each made once in a session."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader

import plandoc.packet.compose as composing
from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style, load_style
from plandoc.pipeline import Checked, check, packet
from plandoc.world import DiskWorld
from tests.support.packet_reading import Element, Near, Segment, elements, letters, strokes

HERE = Path(__file__)
PLANS = {
    "bench-shelf": HERE.parents[2] / "examples" / "bench-shelf",
    "eyepiece-cabinet": HERE.parents[2] / "examples" / "eyepiece-cabinet",
    "settee": HERE.parents[1] / "reference" / "pieces",
    "sewing-table": HERE.parents[1] / "reference" / "pieces",
}


@dataclass(frozen=True)
class Made:
    """A packet with what it was made from. sheets: of the packet itself; beside: of the other documents."""

    name: str
    checked: Checked
    files: dict[str, bytes]
    sheets: tuple[Sheet, ...]
    style: Style
    beside: tuple[Sheet, ...] = ()

    @cached_property
    def drawn(self) -> dict[str, list[Element]]:
        """Groups of each SVG sheet by file name, in the order of the packet."""
        return {name: elements(data) for name, data in sorted(self.files.items()) if name.startswith("sheets/")}

    @cached_property
    def reader(self) -> PdfReader:
        return PdfReader(io.BytesIO(self.files["packet.pdf"]))

    @cached_property
    def letters(self) -> list[Near]:
        document = pypdfium2.PdfDocument(self.files["packet.pdf"])
        found = [letters(page) for page in document]
        document.close()
        return found

    @cached_property
    def strokes(self) -> list[list[Segment]]:
        pages = []
        for page in self.reader.pages:
            contents = page.get_contents()
            assert contents is not None
            pages.append(strokes(contents.get_data(), float(page.mediabox.height) * 25.4 / 72))
        return pages


def make(name: str) -> Made:
    """The packet of a plan, with the sheets that the composer handed on."""
    checked = check(f"{name}.plan", DiskWorld(PLANS[name]))
    assert checked.good
    kept: list[tuple[Sheet, ...]] = []
    real = composing.compose

    def keeping(*args: object, **more: object) -> object:
        sheets, index = real(*args, **more)  # type: ignore[arg-type]
        kept.append(sheets)
        return sheets, index

    composing.compose = keeping  # type: ignore[assignment]
    try:
        made = packet(checked)
    finally:
        composing.compose = real
    assert made.remarks == ()
    return Made(name, checked, dict(made.files), tuple(s for s in kept[0] if s.file == "packet"), load_style(checked.model.info.style), tuple(s for s in kept[0] if s.file != "packet"))


@pytest.fixture(scope="session", params=["bench-shelf", "settee", *(pytest.param(name, marks=pytest.mark.slow) for name in ("eyepiece-cabinet", "sewing-table"))])
def made(request: pytest.FixtureRequest) -> Iterator[Made]:
    yield make(request.param)
