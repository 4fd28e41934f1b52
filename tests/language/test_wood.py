"""Battens, banding, boards, offcuts, allowances and glue-ups, as a plan says them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.diagnostics import Sink
from plandoc.model.entities import Allowance, Stock
from plandoc.model.overrides import read_overrides
from plandoc.quantity import INCH
from plandoc.shopwork.weights import part_weight, stock_density
from plandoc.vocabulary import all_kinds, vocabulary
from tests.support.resolving import Outcome, inches, resolved, sizes

HEAD = 'plan "Trial"\n'
LATH = 'stock lath batten 3/4" x 2" "Pine batten"\n'
OAK = 'stock oak lumber 4/4 "White oak"\n  dressed 3/4"\n'


def good(text: str, heading: str = "") -> Outcome:
    outcome = resolved(HEAD + heading + text)
    assert not outcome.diagnostics, outcome.report
    return outcome


def stock_of(text: str, heading: str = "") -> Stock:
    return good(text + f'part bit from {text.split()[1]}\n  size 10"{"" if "batten" in text or "dowel" in text else " x 3" + chr(34)}\n', heading).model.stocks[0]


# Battens ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("nominal", "thick", "wide"), [("2x4", "1 1/2", "3 1/2"), ("1 x 6", "3/4", "5 1/2"), ("5/4 x 4", "1", "3 1/2"), ("4 x 2", "1 1/2", "3 1/2")])
def test_nominal_softwood_measures_what_the_table_says(nominal: str, thick: str, wide: str) -> None:
    """PS 20 sizes, dry, as an engineering reference tabulates them."""
    stock = stock_of(f"stock stud batten {nominal}\n")
    assert (stock.measured, stock.width) == (inches(thick), inches(wide))


def test_called_and_measured_section() -> None:
    stock = stock_of('stock stud batten 2x4\n  measured 3 7/16" x 1 15/32"\n')
    assert (stock.called, stock.called_width) == (2 * INCH, 4 * INCH)
    assert (stock.measured, stock.width) == (inches("1 15/32"), inches("3 7/16"))


def test_the_lesser_size_of_a_section_is_the_thickness() -> None:
    assert stock_of('stock a batten 2" x 3/4"\n').measured == inches("3/4")


RAIL = 'part rail from lath\n  across from 1" for 20"\n  {}\n  {}\n'


@pytest.mark.parametrize(
    ("back", "up", "wide", "lies"),
    [
        ("back from 1\"", "up from 2\"", "wide up", (("1", "1 3/4"), ("2", "4"))),
        ("back from 1\"", "up from 2\"", "wide back", (("1", "3"), ("2", "2 3/4"))),
        ("back to 5\"", "up to 6\"", "wide up", (("4 1/4", "5"), ("4", "6"))),
        ("back centred on 5\"", "up to 6\"", "wide back", (("4", "6"), ("5 1/4", "6"))),
        ("back from 1\" to 3\"", "up from 2\"", "", (("1", "3"), ("2", "2 3/4"))),
        ("back from 1\"", "up from 2\" for 2\"", "", (("1", "1 3/4"), ("2", "4"))),
        ("back from 1\" for 2\"", "up from 2\" for 3/4\"", "", (("1", "3"), ("2", "2 3/4"))),
    ],
)  # fmt: skip
def test_the_section_fills_the_open_directions(back: str, up: str, wide: str, lies: tuple[tuple[str, str], ...]) -> None:
    part = good(LATH + RAIL.format(back, up) + (f"  {wide}\n" if wide else "")).model.parts[0]
    assert part.box.span(1) == tuple(inches(x) for x in lies[0])
    assert part.box.span(2) == tuple(inches(x) for x in lies[1])
    assert sizes(part) == (20 * INCH, 2 * INCH, inches("3/4"))


def test_a_short_batten_keeps_its_length_along_the_grain() -> None:
    part = good(LATH + 'part block from lath\n  across from 0 for 1"\n  back from 0\n  up from 0\n  wide up\n').model.parts[0]
    assert sizes(part) == (INCH, 2 * INCH, inches("3/4")) and part.length_axis == 0


def test_a_square_batten_needs_no_word() -> None:
    part = good('stock post batten 2" x 2"\npart leg from post\n  across from 0\n  back from 0\n  up from 0 for 30"\n').model.parts[0]
    assert sizes(part) == (30 * INCH, 2 * INCH, 2 * INCH) and part.length_axis == 2


def test_others_meet_the_open_faces_of_a_batten() -> None:
    text = LATH + RAIL.format("back from 1\"", "up from 2\"") + "  wide up\n" + 'part rest from lath\n  across from 1" for 5"\n  back from rail.rear\n  up to rail.top\n  wide up\n'
    assert good(text).model.part("rest").box.lo == (INCH, inches("1 3/4"), 2 * INCH)


def test_mirrored_and_loose_battens() -> None:
    text = LATH + RAIL.format("back from 1\"", "up from 2\"") + "  wide up\npart other mirrors rail about back 10\"\n" + 'part bit from lath\n  size 9"\n'
    model = good(text).model
    assert model.part("other").box.span(1) == (inches("18 1/4"), 19 * INCH)
    assert model.part("other").mark == model.part("rail").mark
    assert sizes(model.part("bit")) == (9 * INCH, 2 * INCH, inches("3/4"))


# Stock lines -----------------------------------------------------------------------------------------------------------


def test_boards_rack_and_faces() -> None:
    stock = stock_of(OAK + "  boards random 5\" to 9\" x 8' to 12'\n  rack 4\" x 30\" count 2, 6\" x 12\"\n  faces good one side\n")
    assert stock.random == (5 * INCH, 9 * INCH, 96 * INCH, 144 * INCH)
    assert stock.rack == ((4 * INCH, 30 * INCH), (4 * INCH, 30 * INCH), (6 * INCH, 12 * INCH))
    assert (stock.widest, stock.longest, stock.faces) == (9 * INCH, 144 * INCH, "good one side")
    assert stock_of(LATH + '  rack 30", 12" count 2\n').rack == ((2 * INCH, 30 * INCH), (2 * INCH, 12 * INCH), (2 * INCH, 12 * INCH))


def test_offcuts_alone_do_not_say_how_wide_boards_are() -> None:
    stock = stock_of(OAK + '  rack 4" x 30"\n')
    assert stock.widest is None and stock.longest is None


@pytest.mark.parametrize(
    ("lines", "density"),
    [
        ("  density 700\n", Fraction(700)),
        ("  density 0.7 kg a cubic inch\n", Fraction(7, 10) / (Fraction(254, 10000) ** 3)),
        ("  density 44 lb per cubic foot\n", 44 * Fraction("0.45359237") / Fraction("0.3048") ** 3),
        ("  density 44 lb a cubic foot\n", 44 * Fraction("0.45359237") / Fraction("0.3048") ** 3),
        ("  species cherry\n", None),
    ],
)
def test_density_gives_weights(lines: str, density: Fraction | None) -> None:
    model = good(OAK + lines + 'part bit from oak\n  size 10" x 4"\n').model
    found = stock_density(model.stocks[0])
    if density is None:  # the species wins over the words of the description
        assert found is not None and found != stock_density(good(OAK + 'part bit from oak\n  size 10" x 4"\n').model.stocks[0])
    else:
        assert found == density
        assert part_weight(model.parts[0]) == density * model.parts[0].box.volume / 10**9


@pytest.mark.parametrize(
    ("kind", "line", "unit"),
    [("batten 2x4", "price 2 a meter", "metre"), ("batten 2x4", "price 2", "foot"), ("lumber 4/4", "price 9", "board foot"), ("dowel 1/2\"", "price 3 a foot", "foot")],
)  # fmt: skip
def test_units_of_prices(kind: str, line: str, unit: str) -> None:
    assert stock_of(f"stock wood {kind}\n  {line}\n").price_unit == unit


def test_battens_of_a_metric_plan_are_priced_by_the_metre() -> None:
    assert stock_of("stock wood batten 20 mm x 40 mm\n  price 2\n", "  units mm\n").price_unit == "metre"


# Allowances ------------------------------------------------------------------------------------------------------------


def allowance_of(part: str = "", stock: str = "", plan: str = "", kind: str = "lumber 4/4") -> Allowance:
    size = '10"' if "batten" in kind else '10" x 3"'
    more = '  called 3/4"\n' if "sheet" in kind else ""
    text = f"stock wood {kind}\n{more}" + (f"  {stock}\n" if stock else "") + f"part bit from wood\n  size {size}\n" + (f"  {part}\n" if part else "")
    return good(text, f"  {plan}\n" if plan else "").model.parts[0].allowance


HALF, QUARTER, NONE = INCH / 2, INCH / 4, Fraction(0)


def test_the_nearest_allowance_counts_whole() -> None:
    plan = 'allowance long 1/2", wide 1/4"'
    assert allowance_of() == Allowance()
    assert allowance_of(plan=plan) == Allowance(HALF, QUARTER)
    assert allowance_of(plan=plan, stock='allowance 1/4"') == Allowance(QUARTER, QUARTER)
    assert allowance_of(plan=plan, stock='allowance long 1/4"') == Allowance(QUARTER, NONE)
    assert allowance_of(plan=plan, stock='allowance 1/4"', part="allowance none") == Allowance()
    assert allowance_of(plan=plan, part='allowance wide 1/2"') == Allowance(NONE, HALF)


def test_a_plan_speaks_of_solid_wood_and_a_batten_keeps_its_section() -> None:
    sheet = 'sheet 48" x 96"'
    assert allowance_of(plan='allowance 1/2"', kind=sheet) == Allowance()
    assert allowance_of(plan='allowance 1/2"', part='allowance 1/4"', kind=sheet) == Allowance(QUARTER, QUARTER)
    assert allowance_of(plan='allowance 1/2"', kind="batten 2x4") == Allowance(HALF, NONE)


def test_parts_that_differ_in_allowance_have_marks_of_their_own() -> None:
    text = OAK + 'part a[1] from oak "Rail"\n  size 10" x 3"\npart a[2] from oak "Rail"\n  size 10" x 3"\n  allowance 1/2"\n'
    assert len({part.mark for part in good(text).model.parts}) == 2


# Glue-ups --------------------------------------------------------------------------------------------------------------


def panel(line: str, heading: str = "", stock: str = OAK, wide: str = '15"') -> tuple[tuple[Fraction, ...], tuple[Fraction, ...]]:
    outcome = resolved(HEAD + heading + stock + f'part panel from oak\n  size 20" x {wide}\n  {line}\n')
    assert outcome.codes == ([] if "jointing" in line or "allowance" in heading else ["PD424"]), outcome.report
    glue = outcome.model.parts[0].glue_up
    assert glue is not None
    return tuple(w / INCH for w in glue.widths), tuple(w / INCH for w in glue.rough)


def test_a_count_makes_equal_boards() -> None:
    assert panel("glued from 3 boards") == ((5, 5, 5), (5, 5, 5))


def test_jointing_and_trimming_make_the_boards_wider() -> None:
    # Inner boards lose half of 1/8 at two joints, outer ones at one joint and half of the 1/4 allowance at the edge.
    widths, rough = panel('glued from 3 boards jointing 1/8"', '  allowance wide 1/4"\n')
    assert widths == (5, 5, 5)
    assert rough == (Fraction("5.1875"), Fraction("5.125"), Fraction("5.1875"))
    assert sum(rough) == 15 + 2 * Fraction(1, 8) + Fraction(1, 4)


def test_given_widths_stand_as_they_are() -> None:
    assert panel('glued from boards 4", 6", 5" jointing 1/4"') == ((4, 6, 5), (Fraction("4.125"), Fraction("6.25"), Fraction("5.125")))


def test_the_greatest_board_decides_the_count() -> None:
    assert len(panel('glued from boards at most 5"')[0]) == 3
    assert len(panel('glued from boards at most 5" jointing 1/8"')[0]) == 4  # 5 1/8 would be ripped
    assert len(panel("glued from boards", stock=OAK + '  boards 8" x 96", 4" x 96"\n')[0]) == 2
    assert len(panel("glued from boards", stock=OAK + "  boards random 3\" to 4\" x 8' to 12'\n")[0]) == 4
    assert len(panel("glued from boards")[0]) == 3  # at most 6 in: common practice


def test_boards_are_ripped_up_to_the_step_of_the_plan() -> None:
    widths, rough = panel("glued from 7 boards")
    assert sum(widths) == 15
    assert all(w <= r < w + Fraction(1, 32) and (r * 32).denominator == 1 for w, r in zip(widths, rough, strict=True))


def test_a_mirror_image_is_glued_like_the_other() -> None:
    text = OAK + 'part a from oak\n  grain up\n  across from 0\n  back from 0 for 15"\n  up from 0 for 30"\n  glued from boards 4", 6", 5" jointing 0"\npart b mirrors a about 20"\n'
    a, b = good(text).model.parts
    assert a.glue_up == b.glue_up and a.glue_up is not None


def test_tongues_count_in_the_width_of_the_panel() -> None:
    text = (
        'stock birch sheet 48" x 96"\n  called 3/4"\n' + OAK + 'part side from birch\n  across from 0\n  back from 0 to 20"\n  up from 0 to 30"\n'
        + 'part shelf from oak\n  grain back\n  across from side.right to 15 1/2"\n  back from 0 to 20"\n  up from 10"\n  glued from 3 boards jointing 0"\n'
        + 'joint dado shelf into side deep 1/4"\n'
    )  # fmt: skip
    shelf = good(text).model.part("shelf")
    assert shelf.width == 15 * INCH and shelf.glue_up is not None and shelf.glue_up.widths == (5 * INCH,) * 3


def test_another_measure_from_the_command_line_is_the_thickness() -> None:
    overrides = read_overrides([("lath.measured", '11/16"')], vocabulary(all_kinds()), Sink(), {})
    outcome = resolved(HEAD + LATH + 'part bit from lath\n  size 9"\n', overrides)
    assert not outcome.diagnostics and sizes(outcome.model.parts[0]) == (9 * INCH, 2 * INCH, inches("11/16"))
