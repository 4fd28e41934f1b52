"""A sheet as SVG, read back."""

import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from plandoc.drawing.display import Arc, Circle, Fill, Group, Line, Sheet, Text
from plandoc.drawing.lettering import font_size, text_width
from plandoc.drawing.style import LINE_ROLES, load_style
from plandoc.publish.svg import svg_text

STYLE = load_style("shop-inch")
NS = {"s": "http://www.w3.org/2000/svg"}


def sheet(*items, size=(279.4, 215.9)):
    return Sheet(3, "part", "4.1", "Part A: <side> & shelf", size, items)


def root(*items, **more):
    return ElementTree.fromstring(svg_text(sheet(*items, **more), STYLE, validate=True))


def find(node, tag, role):
    return node.findall(f".//s:{tag}[@class='{role}']", NS)


def numbers(data):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", data)]


def test_one_unit_is_one_millimetre():
    svg = root()
    assert (svg.get("width"), svg.get("height"), svg.get("viewBox")) == ("279.4mm", "215.9mm", "0 0 279.4 215.9")
    assert svg.find("s:title", NS).text == "4.1 Part A: <side> & shelf"
    group = svg.find("s:g", NS)
    assert (group.get("data-number"), group.get("data-kind"), group.get("data-code")) == ("3", "part", "4.1")
    assert group.get("stroke-linecap") == "butt"


def test_checked_and_unchecked_text_are_the_same():
    items = (Line("vis", ((1, 2), (3, 4))), Group("view", (Text("note", (5, 5), "a", 3),), "V1", (("part", "a"),)))
    assert svg_text(sheet(*items), STYLE, validate=True) == svg_text(sheet(*items), STYLE)


def test_strokes_of_one_role_are_one_path_with_the_pen_of_the_role():
    for role in LINE_ROLES:
        items = [Line(role, ((10, n), (60, n))) for n in range(10, 60, 10)]
        (path,) = find(root(*items), "path", role)
        assert float(path.get("stroke-width")) == STYLE.pen(role).width
        assert path.get("d").count("M") >= 5


def test_corners_are_joined():
    sides = [Line("vis", ((0, 0), (10, 0))), Line("vis", ((10, 5), (10, 0))), Line("vis", ((10, 5), (0, 5))), Line("vis", ((0, 0), (0, 5)))]
    (path,) = find(root(*sides), "path", "vis")
    assert path.get("d") == "M0,0L10,0 10,5 0,5Z"
    (path,) = find(root(Line("vis", ((0, 0), (10, 0), (10, 5)), closed=True)), "path", "vis")
    assert path.get("d") == "M0,0L10,0 10,5Z"


def test_every_stroke_is_drawn_once():
    spokes = [Line("vis", ((50, 50), (50 + 40 * math.cos(n), 50 + 40 * math.sin(n)))) for n in range(7)]
    (path,) = find(root(*spokes), "path", "vis")
    total = 0.0
    for run in path.get("d").split("M")[1:]:
        flat = numbers(run)
        points = list(zip(flat[::2], flat[1::2], strict=True))
        total += sum(math.dist(a, b) for a, b in pairwise(points))
    assert total == pytest.approx(7 * 40, abs=0.02)


def test_hidden_lines_are_dashes_from_corner_to_corner():
    (path,) = find(root(Line("hid", ((10, 10), (50, 10), (50, 30)))), "path", "hid")
    dashes = [numbers(run) for run in path.get("d").split("M")[1:]]
    ends = [(d[0], d[1]) for d in dashes] + [(d[2], d[3]) for d in dashes]
    for corner in ((10, 10), (50, 30)):
        assert ends.count(corner) == 1
    assert ends.count((50, 10)) == 2
    assert len(dashes) > 10 and path.get("stroke-dasharray") is None


def test_arcs_turn_counter_clockwise_on_paper():
    (path,) = find(root(Arc("vis", (50, 50), 10, 0, 90)), "path", "vis")
    assert path.get("d") == "M60,50A10,10 0 0,0 50,40"
    (path,) = find(root(Arc("vis", (50, 50), 10, 90, 0)), "path", "vis")
    assert path.get("d") == "M50,40A10,10 0 1,0 60,50"


def test_circles_keep_their_measures():
    (circle,) = find(root(Circle("vis", (50, 60), 12.5)), "circle", "vis")
    assert [circle.get(name) for name in ("cx", "cy", "r", "stroke-width")] == ["50", "60", "12.5", "0.5"]


def test_groups_keep_kind_id_and_data_in_order():
    inner = Group("dimension", (Line("dim", ((0, 0), (9, 0))),), "d1", (("from", "a.top"), ("mm", "457.2"), ("axis", "x")))
    svg = root(Group("view", (inner,), "tray[2].blank"), Group("view", (), "tray[2].blank"), Group("view", (), "1st"))
    first, second, third = svg.findall("./s:g/s:g", NS)
    assert (first.get("id"), second.get("id"), third.get("id")) == ("tray_2_.blank", "tray_2_.blank-2", "i1st")
    dimension = first.find("s:g", NS)
    assert dimension.get("class") == "dimension"
    assert [k for k in dimension.attrib if k.startswith("data-")] == ["data-from", "data-mm", "data-axis"]


def test_lettering():
    svg = root(Text("dimtxt", (20, 30), "23 <&>", 3.5, "middle", -90, bold=True), Text("note", (1, 2), "a", 3.0))
    (text,) = find(svg, "text", "dimtxt")
    assert text.text == "23 <&>"
    assert float(text.get("font-size")) == pytest.approx(font_size(3.5, True), abs=0.001)
    assert float(text.get("textLength")) == pytest.approx(text_width("23 <&>", 3.5, True), abs=0.001)
    assert (text.get("text-anchor"), text.get("transform"), text.get("font-weight")) == ("middle", "rotate(-90 20 30)", "600")
    assert text.get("font-family").startswith("Source Sans Pro Semibold,")
    (plain,) = find(svg, "text", "note")
    assert plain.get("font-family").startswith("Source Sans Pro,") and plain.get("transform") is None


def test_a_letter_that_cannot_be_printed_is_our_own_fault():
    with pytest.raises(ValueError, match="木"):
        svg_text(sheet(Text("note", (1, 2), "木", 3.0)), STYLE)


def test_what_covers_stays_between_what_is_under_and_over_it():
    square = ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0))
    svg = root(Line("hat", ((0, 0), (9, 9))), Fill("mask", (square,)), Line("hat", ((1, 0), (9, 8))), Fill("ink", (square,)))
    assert [node.get("class") for node in svg.find("s:g", NS)] == ["hat", "mask", "hat", "ink"]
    assert find(svg, "path", "mask")[0].get("fill") == "#ffffff"
    (tone,) = find(root(Fill("tone", (square,))), "path", "tone")
    level = int(tone.get("fill")[1:3], 16) / 255
    assert level == pytest.approx(0.75, abs=0.01) and tone.get("stroke") == "none"


def test_holes_stay_open_and_arrowheads_unite():
    outer, hole = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)), ((3.0, 3.0), (6.0, 3.0), (6.0, 6.0))
    (tone,) = find(root(Fill("tone", (outer, hole))), "path", "tone")
    assert tone.get("fill-rule") == "evenodd" and tone.get("d").count("Z") == 2
    (ink,) = find(root(Fill("ink", (hole,)), Fill("ink", (tuple(reversed(hole)),))), "path", "ink")
    assert ink.get("fill-rule") is None and ink.get("d").count("Z") == 2
    runs = [numbers(run) for run in ink.get("d").split("M")[1:]]
    areas = [sum(a * d - b * c for a, b, c, d in zip(r[::2], r[1::2], r[2::2] + r[:1], r[3::2] + r[1:2], strict=True)) for r in runs]
    assert areas[0] * areas[1] > 0


def test_nothing_from_outside_and_no_minus_zero():
    text = svg_text(sheet(Line("vis", ((-0.0001, 0), (5.00049, 5))), Text("note", (1, 1), "href", 3)), STYLE)
    assert "url(" not in text and "@import" not in text and "href=" not in text
    assert "-0," not in text and "M0,0L5,5" in text
