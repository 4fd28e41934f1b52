"""Sheets in every style: nothing runs into anything, and no words are cut short."""

from __future__ import annotations

import pytest

from plandoc.drawing.style import style_names
from tests.acceptance.packets import Packet, styled_world, written
from tests.acceptance.rules import RULES

# Rules of lettering: clear of lettering, strokes and ink, inside the frame, high enough, said whole, read the right way.
TEXT = tuple(sorted(name for name in RULES if name[:2] in ("08", "09", "10", "11", "17")))
LARGE = "large-print"


@pytest.mark.slow
@pytest.mark.parametrize(("example", "style"), [*(("bench-shelf", style) for style in style_names()), ("trellis-kit", LARGE), ("reading-stool", LARGE)])
def test_nothing_is_crowded_in_any_style(example: str, style: str) -> None:
    made = written(example, f"{example}.plan", styled_world(example, style))
    packet = Packet(made.name, made.files, made.beside, made.warned)
    assert made.warned == ()
    assert [f"{name} {finding}" for name in TEXT for finding in RULES[name](packet)] == []
    assert len(TEXT) >= 9 and packet.sheets


def test_there_is_a_style_in_large_letters() -> None:
    assert LARGE in style_names() and len(style_names()) >= 3
