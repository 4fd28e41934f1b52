"""Styles: every file loads, and the look keeps the rules of drawing for the shop."""

import pytest

from plandoc.drawing.style import LINE_ROLES, PAPERS, load_style, paper_size, read_style, style_names
from plandoc.resources import data_folder, font_file

WIDTHS = (0.18, 0.25, 0.35, 0.5, 0.7, 1.0)


def test_the_three_styles_are_there():
    assert {"shop-inch", "shop-metric", "large-print"} <= set(style_names())


@pytest.mark.parametrize("name", style_names())
def test_pens_come_from_the_series_and_wide_is_twice_narrow(name):
    style = load_style(name)
    assert all(style.pen(role).width in WIDTHS for role in LINE_ROLES)
    assert style.pen("vis").width / style.pen("hid").width == pytest.approx(2.0, abs=0.1)
    assert style.pen("cut").width > style.pen("vis").width
    assert style.pen("hid").dash and style.pen("ctr").dash and not style.pen("vis").dash


@pytest.mark.parametrize("name", style_names())
def test_no_lettering_is_smaller_than_the_least_height(name):
    style = load_style(name)
    assert style.minimum_height >= 2.5
    assert all(height >= style.minimum_height for _, height in style.heights)
    assert style.height("dimtxt") >= 3.5
    assert style.fraction_digits * style.height("dimtxt") >= 2.5


def test_rows_leave_room_for_a_fraction():
    inch, metric = load_style("shop-inch"), load_style("shop-metric")
    assert (inch.first_row, inch.row_step, metric.row_step) == (10.0, 9.0, 7.0)
    assert inch.row_step >= inch.fraction_stack * inch.height("dimtxt") + 1.5
    assert (inch.extension_gap, inch.extension_overshoot) == (1.5, 2.5)


def test_an_unknown_style_is_answered_with_the_known_ones():
    with pytest.raises(KeyError, match="shop-inch, shop-metric"):
        load_style("shop-furlong")


def test_a_faulty_style_says_what_is_missing():
    text = (data_folder("styles") / "shop-inch.toml").read_text(encoding="utf-8")
    assert read_style("mine", text).row_step == 9.0
    with pytest.raises(ValueError, match=r"mine.*hatch_spacing"):
        read_style("mine", text.replace("hatch_spacing = 2.4", ""))
    with pytest.raises(ValueError, match="pairs of dash and gap"):
        read_style("mine", text.replace("dash = [3.0, 0.75]", "dash = [3.0]"))


def test_paper_sizes_turn_with_the_orientation():
    style = load_style("shop-inch")
    assert paper_size(style, "letter", "landscape") == (279.4, 215.9)
    assert paper_size(style, "letter", "portrait") == (215.9, 279.4)
    assert paper_size(style, "A3", "landscape") == (420.0, 297.0)
    assert all(style.margin(paper) >= 10.0 for paper in PAPERS)
    with pytest.raises(KeyError, match="letter, tabloid, A4, A3"):
        paper_size(style, "foolscap", "portrait")
    with pytest.raises(KeyError, match="neither landscape nor portrait"):
        paper_size(style, "A4", "askew")


def test_data_is_found_and_what_is_missing_is_named():
    assert (data_folder("styles") / "README.md").is_file()
    assert font_file().is_file() and font_file(bold=True).is_file()
    with pytest.raises(FileNotFoundError, match="no tailoring folder"):
        data_folder("tailoring")
