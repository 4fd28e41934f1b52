"""Messages that speak in the writer's own figures, at the line that is to be changed."""

from __future__ import annotations

from tests.support.resolving import faulty, resolved

PART = """
part a from ply
  grain  up
  across from 0 to {wide}
  back   from 0
  up     from 0 to {high}
"""


def test_a_setting_without_a_unit_is_told_once_where_it_is_set() -> None:
    text = "set deep = 140\nset wide = deep\n" + PART.format(wide="deep", high="deep")
    outcome = resolved('plan "T"\n  units mm\nstock ply sheet 48" x 96"\n  called 18 mm\n' + text)
    (fault,) = outcome.diagnostics
    assert fault.code == "PD204" and fault.message == "`deep` is a plain number, where it is used a length is wanted"
    assert outcome.sources["trial.plan"].text[fault.span.start : fault.span.end] == "140"
    assert fault.mend == 'put a unit behind it: 140 mm or 140"'
    assert [note.text for note in fault.notes] == ["it is used here", "and 1 more like this from the same line"]


def test_half_of_a_setting_without_a_unit_is_told_where_it_is_set() -> None:
    """What is to be changed is the 140, not the 70 that follows from it."""
    for half in ("deep / 2", "2 * deep", "deep * 3 / 2"):
        (fault,) = faulty("set deep = 140\n" + PART.format(wide="60 mm", high=half))
        assert (fault.message, fault.mend) == ("`deep` is a plain number, where it is used a length is wanted", 'put a unit behind it: 140 mm or 140"')
    (fault,) = faulty("set deep = 140\nset more = 2\n" + PART.format(wide="60 mm", high="deep / more"))
    assert fault.message == "a length is wanted here, this is a plain number"


def test_a_figure_without_a_unit_is_told_where_it_stands() -> None:
    (fault,) = faulty(PART.format(wide="12", high="300 mm"))
    assert fault.message == "a length is wanted here, this is a plain number" and fault.mend == 'put a unit behind it: 12 mm or 12"'


def test_an_angle_without_its_mark_is_mended_with_its_own_number() -> None:
    part = PART.format(wide="60 mm", high="300 mm") + "  leans {} to right\n"
    assert [f.mend for f in faulty(part.format("12"))] == ["write 12° or 12 deg"]
    assert [f.mend for f in faulty(part.format("12 mm"))] == ["write 10° or 10 deg"]


def test_values_of_a_place_that_stand_too_far_left() -> None:
    box = "assembly box(w, h)\n" + PART.format(wide="w", high="h").strip().replace("\n", "\n  ").replace("part", "  part", 1) + "\n"
    found = faulty(box + "place box as one  # here\nw = 60 mm\nh = 300 mm\n")
    assert [(f.code, f.mend) for f in found] == [("PD101", "indent it below `place box as one`: it is a value of that line")] * 2
    (alone,) = faulty(box + "place box as one\n  w = 60 mm\n  h = 300 mm\nset k = 2\nm = 3\n")
    assert alone.mend == "set m = 3"


def test_a_hinge_beside_a_stile_is_told_the_length_between_its_shoulders() -> None:
    text = """
part side from ply
  grain  up
  across from 0
  back   from 0 to 200 mm
  up     from 0 to 500 mm
part stile from ply
  grain  up
  across from 19 mm for 40 mm
  back   to 17 mm
  up     from 50 mm to 450 mm
part rail from ply
  grain  across
  across from stile.left to 300 mm
  back   to 17 mm
  up     from 450 mm to 490 mm
{joint}hardware butt butt_hinge long 50 mm leaf 14 mm x 1.5 mm
fit butt on stile, side at {at}
"""
    (fault,) = faulty(text.format(joint="joint tenon stile into rail deep 20 mm sized 6 mm x 30 mm\n", at="410 mm"))
    assert fault.code == "PD330" and [n.text for n in fault.notes] == ["it lies 410 mm from the end, between its shoulders the part is 400 mm long there"]
    (fault,) = faulty(text.format(joint="", at="410 mm"))
    assert [n.text for n in fault.notes] == ["it lies 410 mm from the end, the part is 400 mm long there"]
