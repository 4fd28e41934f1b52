"""The single-stroke letters: complete for labels, within their heights, as narrow as they say."""

from __future__ import annotations

import string

import pytest

from plandoc.tables.strokes import lacking, stroke_letter, stroke_text

USUAL = string.ascii_letters + string.digits + " .,:;!?'\"-–_+=×/\\()[]<>*#%&@°Ø"


def test_labels_can_be_written() -> None:
    assert lacking(USUAL) == ()
    assert lacking("Größe 3") == ("ö", "ß")


@pytest.mark.parametrize("letter", [c for c in USUAL if c != " "])
def test_a_letter_keeps_to_its_width_and_height(letter: str) -> None:
    found = stroke_letter(letter)
    assert found is not None
    wide, strokes = found
    points = [p for stroke in strokes for p in stroke]
    assert strokes and all(len(stroke) >= 2 for stroke in strokes)
    assert min(x for x, _ in points) > -0.06 and max(x for x, _ in points) < wide + 0.06
    assert min(y for _, y in points) >= -0.34 and max(y for _, y in points) <= 1.1
    if letter in string.ascii_uppercase + string.digits:
        assert max(y for _, y in points) == pytest.approx(1, abs=0.02)


def test_a_text_is_as_long_as_its_letters_and_the_gaps() -> None:
    # H is 7 wide, I 0, the gap 2.4, of 12 in the height
    assert stroke_text("HI")[0] == pytest.approx((7 + 2.4) / 12)
    assert stroke_text("")[0] == 0
    (left, bar), = [stroke_text("HI")[1][2:4]]
    assert left == ((0, 0.5), (7 / 12, 0.5)) and bar[0][0] == pytest.approx(9.4 / 12)
