"""Paper sizes of every style against the published ones.

A series: ISO 216:2007, trimmed sizes A3 297 x 420 mm, A4 210 x 297 mm. Letter (ANSI A) 8-1/2 x 11 in and tabloid
(ANSI B) 11 x 17 in: ASME Y14.1.
"""

from __future__ import annotations

import pytest

from plandoc.drawing.style import load_style, paper_size, style_names

INCH = 25.4
PUBLISHED = {
    "letter": (8.5 * INCH, 11 * INCH),
    "tabloid": (11 * INCH, 17 * INCH),
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
}


@pytest.mark.parametrize("style", style_names())
@pytest.mark.parametrize("paper", PUBLISHED)
def test_paper_sizes(style: str, paper: str) -> None:
    short, long = PUBLISHED[paper]
    assert paper_size(load_style(style), paper, "portrait") == pytest.approx((short, long), abs=1e-9)
    assert paper_size(load_style(style), paper, "landscape") == pytest.approx((long, short), abs=1e-9)


def test_an_a3_sheet_is_two_a4_sheets_as_tabloid_is_two_letters() -> None:
    style = load_style(style_names()[0])
    for small, large in (("A4", "A3"), ("letter", "tabloid")):
        short, long = paper_size(style, small, "portrait")
        assert paper_size(style, large, "portrait") == pytest.approx((long, 2 * short))


def test_other_papers_are_refused() -> None:
    with pytest.raises(KeyError):
        paper_size(load_style(style_names()[0]), "foolscap", "portrait")
    with pytest.raises(KeyError):
        paper_size(load_style(style_names()[0]), "A4", "upright")
