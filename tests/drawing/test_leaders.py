"""Leader notes: inclined, aiming at centres, clear of each other and of the picture."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, degrees, hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.drawing.audit import audit
from plandoc.drawing.boxes import overlap, segments_apart, segments_cross
from plandoc.drawing.dimension_request import NoteRequest
from plandoc.drawing.display import Circle, Fill, Group, Line, Sheet, Text
from plandoc.drawing.leaders import Notes, place_notes
from plandoc.drawing.lettering import text_extent
from plandoc.drawing.style import load_style

STYLE = load_style("shop-inch")
VIEW = (90.0, 80.0, 200.0, 150.0)
OUTLINE = Line("vis", ((90.0, 80.0), (200.0, 80.0), (200.0, 150.0), (90.0, 150.0)), True)


def leader(group: Group) -> Line:
    first = group.items[0]
    assert isinstance(first, Line) and first.role == "ldr"
    return first


def test_the_arrow_stands_on_the_rim_and_aims_at_the_centre() -> None:
    placed = place_notes(VIEW, [NoteRequest((120.0, 100.0), ("2X Ø1/4 THRU",), 3.0, id="h")], STYLE, (), [OUTLINE])
    (group,) = placed.groups
    tip, elbow, end = leader(group).points
    assert hypot(tip[0] - 120, tip[1] - 100) == pytest.approx(3.0)
    turn = (elbow[0] - 120) * (tip[1] - 100) - (elbow[1] - 100) * (tip[0] - 120)
    assert turn == pytest.approx(0, abs=1e-6)
    assert 15 - 1e-6 <= degrees(atan2(abs(elbow[1] - tip[1]), abs(elbow[0] - tip[0]))) <= 75 + 1e-6
    assert abs(end[0] - elbow[0]) == pytest.approx(6.0) and end[1] == elbow[1]
    assert (group.kind, group.attrs) == ("leader", (("note", "h"),))
    assert placed.crowded == ()


def test_the_lettering_begins_at_the_shoulder_at_mid_height_of_its_first_line() -> None:
    (group,) = place_notes(VIEW, [NoteRequest((120.0, 100.0), ("FIRST", "SECOND"))], STYLE).groups
    first, second = (i for i in group.items if isinstance(i, Text))
    elbow, end = leader(group).points[1:]
    assert (first.anchor == "start") == (end[0] > elbow[0])
    assert first.at[1] - first.size / 2 == pytest.approx(end[1])
    assert second.at[0] == first.at[0] and second.at[1] > first.at[1]
    assert not overlap(text_extent(first), text_extent(second), 0.7)


def test_ends_by_kind() -> None:
    def fills(end: str) -> list[int]:
        (group,) = place_notes(VIEW, [NoteRequest((120.0, 100.0), ("A NOTE",), end=end)], STYLE).groups
        return [len(i.loops[0]) for i in group.items if isinstance(i, Fill)]

    assert fills("arrow") == [3] and fills("none") == []
    assert fills("dot")[0] > 8


def test_notes_stay_on_the_paper_and_off_obstacles() -> None:
    space, obstacle = (80.0, 60.0, 290.0, 170.0), (200.0, 60.0, 290.0, 110.0)
    placed = place_notes(VIEW, [NoteRequest((190.0, 90.0), ("A RATHER LONG NOTE",))], STYLE, [obstacle], [OUTLINE], space)
    assert placed.crowded == ()
    x0, y0, x1, y1 = placed.extent
    assert x0 >= 80 and y0 >= 60 and x1 <= 290 and y1 <= 170
    for text in (i for i in placed.groups[0].items if isinstance(i, Text)):
        assert not overlap(text_extent(text), obstacle)


def test_no_clear_place_is_told() -> None:
    everywhere = [(0.0, 0.0, 300.0, 300.0)]
    placed = place_notes(VIEW, [NoteRequest((120.0, 100.0), ("LOST",))], STYLE, everywhere)
    assert placed.crowded == ("no clear place for the note 'LOST'",)


def crosses(group: Group, line: Line) -> bool:
    return any(segments_cross(s, t) for s in pairwise(leader(group).points) for t in pairwise(line.points))


def test_a_leader_keeps_off_a_dimension_line() -> None:
    """The short way leads over the dimension line at the right, which ends high up."""
    dimension = Line("dim", ((212.0, 70.0), (212.0, 150.0)))
    inside = [Line("vis", ((x, 82.0), (x, 148.0))) for x in (100.0, 115.0, 130.0, 145.0, 160.0, 175.0)]
    placed = place_notes(VIEW, [NoteRequest((196.0, 110.0), ("A NOTE OF SOME LENGTH",))], STYLE, (), [OUTLINE, dimension, *inside])
    assert not crosses(placed.groups[0], dimension) and placed.crowded == ()


def test_a_leader_that_meets_a_dimension_line_everywhere_is_told() -> None:
    fence = [Line("dim", ((85.0, 75.0), (205.0, 75.0), (205.0, 155.0), (85.0, 155.0)), True)]
    inside = [Line("vis", ((x, 82.0), (x, 148.0))) for x in range(92, 200, 4)]
    placed = place_notes(VIEW, [NoteRequest((146.0, 110.0), ("FENCED",))], STYLE, (), [OUTLINE, *fence, *inside])
    assert placed.crowded == ("the leader of 'FENCED' and a dimension line cross",)


def test_a_note_of_several_places_points_to_one_that_is_free() -> None:
    """A dimension line runs close round one of two places, so that every leader to it meets that line."""
    fence = Line("dim", ((121.3, 106.5), (128.9, 106.5), (128.9, 113.2), (121.3, 113.2)), True)
    note = NoteRequest((125.0, 110.0), ("2X SLOT WITH A LONG NAME",), others=((180.0, 110.0),))
    placed = place_notes(VIEW, [note], STYLE, (), [OUTLINE, fence])
    assert leader(placed.groups[0]).points[0] == (180.0, 110.0)
    assert placed.crowded == ()


def test_leaders_to_one_middle_lie_apart() -> None:
    notes = [NoteRequest((120.0, 100.0), ("OUTER",), 8.0), NoteRequest((120.0, 100.0), ("INNER",), 3.0)]
    a, b = place_notes(VIEW, notes, STYLE, (), [OUTLINE]).groups
    assert min(segments_apart(s, t) for s in pairwise(leader(a).points) for t in pairwise(leader(b).points)) >= 0.4


def test_a_leader_does_not_lie_on_an_edge() -> None:
    edge = Line("vis", ((120.0, 100.0), (160.0, 60.0)))
    placed = place_notes(VIEW, [NoteRequest((130.0, 90.0), ("BEVEL 45°",))], STYLE, (), [OUTLINE, edge])
    tip, elbow, _ = leader(placed.groups[0]).points
    turn = (elbow[0] - tip[0]) * 40.0 + (elbow[1] - tip[1]) * 40.0
    assert abs(turn) > 0.05 * 40.0 * 2**0.5 * hypot(elbow[0] - tip[0], elbow[1] - tip[1])


def test_no_notes_leave_the_view_alone() -> None:
    assert place_notes(VIEW, [], STYLE).extent == VIEW


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(0, 10), st.integers(0, 6)), min_size=1, max_size=6, unique=True))
def test_notes_cross_neither_each_other_nor_lettering(cells: list[tuple[int, int]]) -> None:
    holes = [(95.0 + 10 * i, 85.0 + 10 * j) for i, j in cells]
    circles = [Circle("vis", h, 1.5) for h in holes]
    rims = [Line("vis", ((x - 1.5, y - 1.5), (x + 1.5, y - 1.5), (x + 1.5, y + 1.5), (x - 1.5, y + 1.5)), True) for x, y in holes]
    notes = [NoteRequest(h, (f"Ø1/4 ↧{n}", "BORE"), 1.5) for n, h in enumerate(holes)]
    placed = place_notes(VIEW, notes, STYLE, (), [OUTLINE, *rims])
    assert placed.crowded == ()
    sheet = Sheet(1, "test", "1", "T", (300.0, 240.0), (OUTLINE, *circles, *placed.groups))
    assert audit(sheet, STYLE) == ()


def test_notes_placed_again_in_other_room_are_those_placed_afresh():
    requests = [NoteRequest((x, 100.0), ("2X Ø1/4 THRU", "FROM BELOW"), 3.0, id=str(x)) for x in (112.0, 120.0, 128.0, 150.0)]
    notes = Notes(VIEW, requests, STYLE, [(90.0, 40.0, 130.0, 60.0)], [OUTLINE])
    rooms = [None, (70.0, 0.0, 240.0, 200.0), (100.0, 20.0, 260.0, 180.0), None]
    found = [notes.place(room) for room in rooms]
    assert found == [place_notes(VIEW, requests, STYLE, [(90.0, 40.0, 130.0, 60.0)], [OUTLINE], room) for room in rooms]
    assert found[0] != found[1] != found[2]
