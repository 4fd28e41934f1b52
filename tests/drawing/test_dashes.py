"""Broken lines start and end with a dash, whatever their length."""

from itertools import pairwise
from math import hypot

import pytest

from plandoc.drawing.dashes import dash_spans, dashed_arc, dashed_segment
from plandoc.drawing.display import Arc, Circle

HIDDEN, CENTRE, PHANTOM = (3.0, 0.75), (7.0, 1.0, 1.0, 1.0), (7.0, 1.0, 1.0, 1.0, 1.0, 1.0)


@pytest.mark.parametrize("pattern", [HIDDEN, CENTRE, PHANTOM])
@pytest.mark.parametrize("length", [0.4, 1.0, 2.3, 5.0, 8.0, 11.7, 19.0, 50.0, 211.3])
def test_both_ends_are_long_dashes(pattern, length):
    spans = dash_spans(length, pattern)
    assert spans[0][0] == 0.0 and spans[-1][1] == pytest.approx(length)
    assert spans[0][1] - spans[0][0] == pytest.approx(spans[-1][1] - spans[-1][0])
    gaps = [b[0] - a[1] for a, b in pairwise(spans)]
    assert gaps == pytest.approx([pattern[1]] * len(gaps))
    if len(gaps) > len(pattern):
        assert 0.6 * pattern[0] <= spans[0][1] <= 1.4 * pattern[0]


def test_a_centre_line_alternates_long_and_short():
    lengths = [end - start for start, end in dash_spans(100.0, CENTRE)]
    assert lengths[1::2] == pytest.approx([1.0] * len(lengths[1::2]))
    assert all(length > 5 for length in lengths[::2]) and len(lengths) % 2 == 1


def test_nothing_has_no_dashes():
    assert dash_spans(0.0, HIDDEN) == ()
    assert dashed_segment((1.0, 1.0), (1.0, 1.0), HIDDEN) == ()
    assert dashed_arc(Arc("hid", (0.0, 0.0), 5.0, 30.0, 30.0), HIDDEN) == ()


def test_a_slanting_line_is_dashed_along_itself():
    dashes = dashed_segment((10.0, 10.0), (40.0, 50.0), HIDDEN)
    assert dashes[0][0] == (10.0, 10.0) and dashes[-1][1] == pytest.approx((40.0, 50.0))
    assert all(abs((y - 10) * 30 - (x - 10) * 40) < 1e-6 for dash in dashes for x, y in dash)
    assert sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in dashes) < 50.0


def test_a_circle_closes_its_pattern():
    arcs = dashed_arc(Circle("hid", (0.0, 0.0), 10.0), HIDDEN)
    gap = 360 - arcs[-1].end + arcs[0].start
    assert gap == pytest.approx(arcs[1].start - arcs[0].end)
    assert len({round(arc.end - arc.start, 6) for arc in arcs}) == 1


def test_an_arc_over_zero_degrees():
    arcs = dashed_arc(Arc("hid", (0.0, 0.0), 10.0, 350.0, 80.0), HIDDEN)
    assert arcs[0].start == 350.0 and arcs[-1].end == pytest.approx(440.0)
