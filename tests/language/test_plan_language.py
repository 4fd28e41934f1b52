"""Loops, conditions, lists, names, rows and texts."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from tests.support.resolving import HEAD, faulty, resolved, sizes, sound

BOX = """
part left_side from ply
  grain up
  across from 0
  back   from 0 to 200 mm
  up     from 0 to 500 mm
part right_side mirrors left_side about 200 mm
"""
SHELF = """
  grain across
  across between left_side and right_side
  back   from 0 to 200 mm
"""


def test_loop_and_row() -> None:
    outcome = sound(BOX + "for i from 1 to 3\n  part shelf[i] from ply" + SHELF.replace("\n  ", "\n    ") + "    up from i * 100 mm\njoint dado shelf into left_side, right_side deep 6 mm\n")
    shelves = [p for p in outcome.model.parts if p.path.startswith("shelf")]
    assert [p.path for p in shelves] == ["shelf[1]", "shelf[2]", "shelf[3]"]
    assert [p.shoulder.lo[2] for p in shelves] == [100, 200, 300]
    assert {p.mark for p in shelves} == {shelves[0].mark}
    assert len(outcome.model.joints) == 6
    # 400 - 2 x 18 between the sides, and 6 at each end.
    assert {p.length for p in shelves} == {F(376)}


def test_loop_backwards_by_steps_and_none_at_all() -> None:
    text = 'for i from 7 to 1 by -3\n  part a[i] from ply\n    size 10 mm x 10 mm\nfor i from 1 to 0\n  part b[i] from ply\n    size 10 mm x 10 mm\n'
    assert [p.path for p in sound(text).model.parts] == ["a[7]", "a[4]", "a[1]"]


def test_loop_over_a_list_of_lengths_and_over_a_row() -> None:
    text = """
set widths = [30 mm, 40 mm, 50 mm]
for w in widths
  set n = count([w])
for k from 1 to count(widths)
  part strip[k] from ply
    size 100 mm x widths[k]
for s in strip
  set doubled = 2 * s.width
set second = strip[2].width
"""
    outcome = sound(text)
    assert [p.width for p in outcome.model.parts] == [30, 40, 50]
    assert outcome.value("second") == "40 mm"


@pytest.mark.parametrize(("width", "names"), [("300 mm", ["narrow"]), ("500 mm", ["wide"])])
def test_condition(width: str, names: list[str]) -> None:
    text = f"set w = {width}\nif w > 400 mm\n  part wide from ply\n    size w x 10 mm\notherwise\n  part narrow from ply\n    size w x 10 mm\n"
    assert [p.path for p in sound(text).model.parts] == names


def test_a_name_set_in_a_block_is_seen_only_there() -> None:
    (fault,) = faulty("if 1 = 1\n  set inner = 3 mm\nset outer = inner\npart p from ply\n  size 1\" x 1\"\n")
    assert fault.code == "PD201"


def test_names_in_any_order() -> None:
    outcome = sound("set a = b * 2\nset b = c + 1 mm\nset c = 9 mm\npart p from ply\n  size a x b\n")
    assert sizes(outcome.model.parts[0])[:2] == (20, 10)


def test_a_circle_of_values_prints_its_chain() -> None:
    (fault,) = faulty('set a = b\nset b = c + 1 mm\nset c = a * 2\npart p from ply\n  size 1" x 1"\n')
    assert fault.code == "PD203"
    assert [n.text for n in fault.notes] == ["a needs b", "b needs c", "c needs a"]
    assert [(HEAD + 'set a = b\nset b = c + 1 mm\nset c = a * 2\n')[n.span.start : n.span.end] for n in fault.notes if n.span] == ["b", "c", "a"]


def test_a_circle_of_places_prints_its_chain() -> None:
    parts = "".join(f"part {n} from ply\n  across from 0 to 90 mm\n  back from 0 to 90 mm\n  up from {m}.top\n" for n, m in (("a", "b"), ("b", "c"), ("c", "a")))
    (fault,) = faulty(parts)
    assert fault.code == "PD305"
    assert [n.text for n in fault.notes] == ["a, up, needs b, up", "b, up, needs c, up", "c, up, needs a, up"]


def test_forward_reference_between_parts() -> None:
    text = "part upper from ply\n  across from 0 to 90 mm\n  back from 0 to 90 mm\n  up from lower.top + 20 mm\npart lower from ply\n  across from 0 to 90 mm\n  back from 0 to 90 mm\n  up from 5 mm\n"
    assert sound(text).model.part("upper").shoulder.span(2) == (43, 61)


@pytest.mark.parametrize(
    ("clause", "span"),
    [
        ("across from 10 mm to 90 mm", (10, 90)),
        ("across from 10 mm for 30 mm", (10, 40)),
        ("across to 90 mm for 30 mm", (60, 90)),
        ("across centred on 50 mm for 30 mm", (35, 65)),
        ("across from 10 mm", (10, 28)),
        ("across to 90 mm", (72, 90)),
        ("across centred on 50 mm", (41, 59)),
    ],
)
def test_extents(clause: str, span: tuple[int, int]) -> None:
    # Where the clause leaves the thickness open, the others are sizes; otherwise `up` is the thickness.
    is_open = span[1] - span[0] == 18
    part = sound(f"part p from ply\n  {clause}\n  back from 0 to 90 mm\n  up from 0{' to 70 mm' if is_open else ''}\n").model.parts[0]
    assert part.shoulder.span(0) == span


def test_finished_sizes_are_known_in_texts() -> None:
    text = BOX + "part shelf from ply" + SHELF + '  up from 100 mm\njoint dado shelf into left_side, right_side deep 6 mm\nnote Cut to {shelf.length}, shoulders {shelf.across}.\nstep "Cut {count([1, 2])} at {ply.measured to 1 mm}"\n  do {{as drawn}} {left_side.width to 0.1 mm} x {shelf.width / 3}\n'
    outcome = sound(text)
    assert outcome.model.info.notes == ("Cut to 376 mm, shoulders 364 mm.",)
    (step,) = outcome.model.steps
    assert step.title == "Cut 2 at 18 mm"
    assert step.texts == ("{as drawn} 200 mm x ≈66.7 mm",)


def test_text_goes_on_below() -> None:
    outcome = sound('part p from ply\n  size 90 mm x 40 mm\nstep "Cut"\n  do Rip it to {p.width},\n     then crosscut\n     "square" # and so on\n  caution kickback, dust\n')
    assert outcome.model.steps[0].texts == ('Rip it to 40 mm, then crosscut "square"',)
    assert outcome.model.steps[0].cautions == ("kickback", "dust")


def test_typographic_signs_simply_work() -> None:
    plain = 'plan "Shelf 24\\" wide"\nstock s sheet 48" x 96"\n  called 3/4"\nset a = 2 * 3 1/2"\npart p from s "Long shelf"\n  size 23-1/2" x 6\' 2"\n'
    typographic = "plan “Shelf 24\\″ wide”\nstock s sheet 48″ × 96″\n  called ¾″\nset a = 2 × 3½″\npart p from s “Long shelf”\n  size 23–1/2″ × 6′ 2″\n"
    a, b = resolved(plain), resolved(typographic)
    assert not b.diagnostics, b.report
    assert [sizes(p) for p in a.model.parts] == [sizes(p) for p in b.model.parts]
    assert a.model.info.title == b.model.info.title == 'Shelf 24" wide'
    assert a.model.parts[0].name == b.model.parts[0].name
    assert a.value("a") == b.value("a") == '7"'


def test_comments() -> None:
    outcome = sound('# a remark\npart p from ply   # made of "ply\n  size 90 mm x 40 mm # 3/4" thick\nhardware s8 screw #8 long 1"  # number eight\n')
    assert sizes(outcome.model.parts[0])[:2] == (90, 40)
    assert outcome.model.hardware[0].size("gauge") == 8


def test_line_ends_of_other_systems_and_a_byte_order_mark() -> None:
    outcome = resolved("\ufeff" + (HEAD + "part p from ply\n  size 90 mm x 40 mm\n").replace("\n", "\r\n"))
    assert not outcome.diagnostics, outcome.report


def test_heading() -> None:
    text = 'plan "T"\n  for "Club"\n  author "Group"\n  revision A 2031-03-02 "First"\n  revision B "Later"\n  units mm to 0.1\n  sheets A3 portrait\n  projection first\n  currency "EUR"\n  note One\n  note Two\nstock s sheet 48" x 96"\n  called 3/4"\npart p from s\n  size 1" x 1"\n'
    info = resolved(text).model.info
    assert (info.title, info.client, info.author, info.paper, info.orientation, info.projection, info.currency) == ("T", "Club", "Group", "A3", "portrait", "first", "EUR")
    assert [(r.index, r.date, r.text) for r in info.revisions] == [("A", "2031-03-02", "First"), ("B", "", "Later")]
    assert info.notes == ("One", "Two")
    assert (info.units.system, info.units.step) == ("mm", F(1, 10))


def test_stock() -> None:
    text = 'stock b sheet 60" x 60"\n  called 1/2"\n  grain none\n  price 58 a sheet\nstock oak lumber 5/4\n  boards 6" x 96", 8" x 72"\n  price 9.40 a board foot\nstock rod dowel 1/2"\n' + "part p from ply\n  size 90 mm x 40 mm\n"
    stocks = {s.name: s for s in sound(text).model.stocks}
    assert (stocks["b"].grain, stocks["b"].measured, stocks["b"].price, stocks["b"].price_unit) == (False, F(127, 10), 58, "sheet")
    # 5/4 rough, surfaced on two sides: 1 1/16 in.
    assert stocks["oak"].measured == F(17, 16) * F(254, 10)
    assert stocks["oak"].boards == ((6 * F(254, 10), 96 * F(254, 10)), (8 * F(254, 10), 72 * F(254, 10)))
    assert (stocks["oak"].price, stocks["oak"].price_unit) == (F(47, 5), "board foot")
    assert (stocks["rod"].kind, stocks["rod"].measured) == ("dowel", F(127, 10))
    assert stocks["ply"].length == 96 * F(254, 10) and stocks["ply"].width == 48 * F(254, 10)


def test_grain_left_out_follows_the_longer_side() -> None:
    text = "part p from ply\n  across from 0 to 90 mm\n  back from 0 to 200 mm\n  up from 0\n"
    assert sizes(sound(text).model.parts[0]) == (200, 90, 18)


def test_motions_and_sections() -> None:
    text = "part p from ply\n  across from 0 to 90 mm\n  back from 0 to 200 mm\n  up from 0\nopens p to front 100 mm\nsection across at 45 mm\nsection up at 5 mm looking bottom\n"
    model = sound(text).model
    assert [(m.target, m.face.name, m.travel) for m in model.motions] == [("p", "front", 100)]
    assert [(s.axis, s.at, s.look.name) for s in model.sections] == [(0, 45, "left"), (2, 5, "bottom")]
