"""Lettering: widths come from the typeface, fractions are stacked, what cannot be printed is named."""

import re
from fractions import Fraction

import pytest
from fontTools.ttLib import TTFont

from plandoc.drawing.display import Circle, Fill, Line, Text
from plandoc.drawing.lettering import (
    LEAST_DIGITS,
    SYMBOLS,
    ascent,
    descent,
    fitted,
    font_size,
    fraction_height,
    missing_characters,
    note_line_extent,
    note_line_items,
    note_line_width,
    number_extent,
    number_items,
    number_width,
    printable,
    symbol_items,
    symbol_width,
    text_extent,
    text_width,
    wrap,
)
from plandoc.quantity import Units, read_length, shop_number
from plandoc.resources import font_file

INCH = Units("inch", Fraction(1, 32))


def number(text):
    return shop_number(read_length(text), INCH)


def texts(items):
    return [item for item in items if isinstance(item, Text)]


@pytest.mark.parametrize("bold", [False, True])
def test_widths_are_the_advance_widths_of_the_file(bold):
    with TTFont(font_file(bold)) as font:
        names, cap = font.getBestCmap(), font["OS/2"].sCapHeight
        for text in ("GRAIN", "23", "Ø≈×°", "drawer side, left"):
            units = sum(font["hmtx"][names[ord(c)]][0] for c in text)
            assert text_width(text, 3.5, bold) == pytest.approx(units / cap * 3.5)
        assert font_size(3.5, bold) == pytest.approx(3.5 / cap * font["head"].unitsPerEm)


def test_width_grows_with_the_cap_height():
    assert text_width("GRAIN", 7.0) == pytest.approx(2 * text_width("GRAIN", 3.5))
    assert text_width("", 3.5) == 0.0
    assert 0 < descent(3.5) < 3.5 < ascent(3.5)


def test_a_character_that_cannot_be_printed_is_named():
    with pytest.raises(ValueError, match=r"'木' \(U\+6728\)"):
        text_width("oak 木", 3.0)
    with pytest.raises(ValueError, match="'木'"):
        note_line_width("oak 木 ↧3", 3.0)
    assert missing_characters("木oak木↧燈") == ("木", "燈")
    assert printable("oak 木\nash") == "oak ? ash"


@pytest.mark.parametrize(
    ("anchor", "left"), [("start", 50.0), ("middle", 50.0 - 0.5), ("end", 50.0 - 1.0)]
)
def test_extent_follows_the_anchor(anchor, left):
    width = text_width("HIN", 3.0)
    shift = (left - 50.0) * width
    box = text_extent(Text("note", (50.0, 20.0), "HIN", 3.0, anchor))
    assert box == pytest.approx((50.0 + shift, 17.0, 50.0 + shift + width, 20.0), abs=0.05)


def test_extent_knows_ink_below_the_base_line():
    box = text_extent(Text("note", (0.0, 0.0), "groove (deep)", 3.0))
    assert 0.5 < box[3] < 1.2
    assert -4.0 < box[1] < -3.0


def test_extent_of_text_read_from_the_right():
    width = text_width("HIN", 3.0)
    box = text_extent(Text("note", (50.0, 20.0), "HIN", 3.0, "start", -90.0))
    assert box == pytest.approx((47.0, 20.0 - width, 50.0, 20.0), abs=0.05)


def test_wrapping_keeps_every_word_and_the_width():
    text = "Glue the dado, square the case across both diagonals and leave it clamped for one hour."
    lines = wrap(text, 3.0, 40.0)
    assert " ".join(lines) == text
    assert all(text_width(line, 3.0) <= 40.0 for line in lines)
    assert len(lines) >= 4
    assert wrap("", 3.0, 40.0) == ()
    assert wrap("one\ntwo", 3.0, 40.0) == ("one", "two")
    assert "".join(wrap("Plattenaufteilung" * 4, 3.0, 20.0)) == "Plattenaufteilung" * 4


def test_a_long_text_is_set_smaller_and_then_cut():
    assert fitted("Oak", 5.0, 50.0, 2.5) == ("Oak", 5.0)
    text, size = fitted("Cover and sheet index", 5.0, 40.0, 2.5)
    assert text == "Cover and sheet index" and 2.5 < size < 5.0 and text_width(text, size) <= 40.0
    text, size = fitted("Cover and sheet index", 5.0, 20.0, 2.5)
    assert text.endswith("…") and size == 2.5 and text_width(text, size) <= 20.0


def test_stacked_fraction_measures():
    """NAVEDTRA 14069, fig. 3-50: twice the height of a whole number, digits 3/4."""
    items = number_items(number('23 1/2"'), (100.0, 50.0), 3.5, "dimtxt")
    whole, over, under = texts(items)
    (bar,) = [item for item in items if isinstance(item, Line)]
    assert (whole.text, over.text, under.text) == ("23", "1", "2")
    assert over.size == under.size == pytest.approx(2.6)
    middle = 50.0 - 3.5 / 2
    assert bar.role == "dim" and {y for _, y in bar.points} == {middle}
    assert under.at[1] - (over.at[1] - over.size) == pytest.approx(7.0)
    assert middle - over.at[1] == pytest.approx(under.at[1] - under.size - middle)
    assert 0.8 < middle - over.at[1] < 1.0
    assert bar.points[0][0] - (whole.at[0] + text_width("23", 3.5)) == pytest.approx(3.5 / 4)


@pytest.mark.parametrize("text", ['23 1/2"', '3/4"', '12"', '0"', '7 31/32"'])
@pytest.mark.parametrize("rotation", [0, -90])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_all_of_a_figure_lies_in_its_box(text, rotation, anchor):
    figure = number(text)
    options = {"anchor": anchor, "rotation": rotation, "prefix": "4X (", "suffix": ")"}
    items = number_items(figure, (80.0, 60.0), 3.5, "dimtxt", **options)
    x0, y0, x1, y1 = number_extent(figure, (80.0, 60.0), 3.5, **options)
    along = y1 - y0 if rotation else x1 - x0
    assert along == pytest.approx(number_width(figure, 3.5, "4X (", ")"))
    for item in items:
        if isinstance(item, Text):
            a, b, c, d = text_extent(item)
            slack = 0.06  # round digits reach a little past base line and cap height
            assert x0 - slack <= a and y0 - slack <= b and c <= x1 + slack and d <= y1 + slack
        else:
            assert all(x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01 for x, y in item.points)


def test_a_figure_does_not_overlap_itself():
    items = number_items(number('7 31/32"'), (0.0, 0.0), 3.5, "dimtxt", prefix="Ø", suffix=" DEEP")
    boxes = [text_extent(item) for item in texts(items)]
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_rounded_length_is_marked():
    items = number_items(shop_number(Fraction(100), INCH), (0.0, 0.0), 3.5, "dimtxt")
    assert texts(items)[0].text == "≈3"
    metric = shop_number(Fraction(37, 2), Units("mm", Fraction(1, 2)))
    assert [t.text for t in number_items(metric, (0.0, 0.0), 3.5, "dimtxt")] == ["18.5"]


def test_a_small_fraction_keeps_its_least_height():
    under = texts(number_items(number('1/2"'), (0.0, 0.0), 2.8, "body"))[-1]
    assert under.size == LEAST_DIGITS
    assert fraction_height(3.5) == pytest.approx(7.0)


def test_a_hole_note_mixes_type_and_drawn_symbols():
    line = "4X Ø1/4 ↧3/8"
    items = note_line_items(line, (10.0, 10.0), 3.0)
    assert [t.text for t in texts(items)] == ["4X Ø1/4", "3/8"]
    assert any(isinstance(item, Fill) for item in items)
    width = text_width("4X Ø1/4 ", 3.0) + symbol_width("depth", 3.0) + text_width("3/8", 3.0)
    assert note_line_width(line, 3.0) == pytest.approx(width)
    end = texts(items)[-1]
    assert end.at[0] + text_width("3/8", 3.0) == pytest.approx(10.0 + width)
    assert note_line_extent(line, (10.0, 10.0), 3.0)[2] == pytest.approx(10.0 + width)


def test_a_hole_note_with_stacked_fractions():
    items = note_line_items("4X Ø1/4 ↧1 3/8", (0.0, 0.0), 3.0, stacked=True)
    assert [t.text for t in texts(items)] == ["4X Ø", "1", "4", "1", "3", "8"]
    assert all(t.size >= 2.5 for t in texts(items))


@pytest.mark.parametrize("name", sorted(SYMBOLS.values()))
@pytest.mark.parametrize("rotation", [0, -90])
def test_symbols_stay_in_their_room(name, rotation):
    points = []
    for item in symbol_items(name, (50.0, 50.0), 3.0, rotation):
        if isinstance(item, Circle):
            (x, y), r = item.centre, item.radius
            points += [(x - r, y), (x + r, y)]
        else:
            points += item.points if isinstance(item, Line) else item.loops[0]
    along = [x - 50.0 for x, _ in points] if rotation == 0 else [50.0 - y for _, y in points]
    assert min(along) >= 0 and max(along) <= symbol_width(name, 3.0) + 1e-9
    assert max(along) - min(along) >= 2.0


def test_a_mixed_number_is_not_broken() -> None:
    for width in range(14, 40):
        for line in wrap('centres 1 13/16", ≈7 11/32" and 18 3/8" from the left; T 15/32 x W 2 13/32', 2.8, float(width)):
            assert not re.match(r"\d+/\d+", line) or line.startswith("15/32"), line
