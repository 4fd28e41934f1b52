"""Sections and details: letters, hatching, figures."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from plandoc.geometry.bodies import ACROSS, BACK, UP
from plandoc.sheets.section import compose
from plandoc.sheets.section_plan import cuts_joint, joint_pattern, letter, section_cuts
from tests.support.sample_model import CUT, LAP, TB, WIDE, T, inch, sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, inside, lines, texts


def test_letters_leave_out_those_read_as_figures() -> None:
    letters = [letter(n) for n in range(30)]
    assert not {"I", "O", "Q"} & set(letters)
    assert len(set(letters)) == 30 and letters[0] == "A" and letters[23] == "A2"


def test_the_plans_own_section_comes_first_and_every_kind_of_joint_is_cut() -> None:
    model = sample_case()
    cuts = section_cuts(model)
    assert (cuts[0].axis, cuts[0].at, cuts[0].look.side) == (ACROSS, WIDE / 2, -1)
    patterns = {joint_pattern(model, j) for j in model.joints}
    shown = {joint_pattern(model, j) for j in model.joints for c in cuts if cuts_joint(c.axis, c.at, j)}
    assert shown == patterns
    assert [c.axis for c in cuts] == [ACROSS, BACK, UP]


def test_each_letter_has_one_titled_view_and_each_detail_one_circle() -> None:
    model = sample_case()
    ctx = context(model)
    drafts = compose(ctx)
    titles = Counter(t for d in drafts for t in texts(d.items) if t.startswith(("SECTION ", "DETAIL ")))
    sections = [f"SECTION {c.letter}-{c.letter}" for c in section_cuts(model)]
    details = [t for t in titles if t.startswith("DETAIL ")]
    assert set(titles.values()) == {1}
    assert sorted(titles) == sorted([*sections, *details])
    assert len(details) == 3  # dado, rabbet of the top, rabbet of the back
    for draft in drafts:
        written = Counter(texts(draft.items))
        for title in details:
            if title in written:
                assert written[title.removeprefix("DETAIL ")] == 1


def test_sections_have_no_hidden_lines_and_hatch_every_cut_part() -> None:
    ctx = context(sample_case())
    drafts = compose(ctx)
    assert all(lines(d.items, "hid") == [] for d in drafts)
    view = next(g for g in groups(drafts[0].items, "view") if attr(g, "proj") == "section")
    hatched = {attr(g, "part"): g for g in groups(view.items, "cut")}
    assert list(hatched) == ["bottom", "shelf", "top", "back", "drawer_front"]
    assert all(g.items for g in hatched.values())


def test_clear_openings_have_the_models_values() -> None:
    drafts = compose(context(sample_case()))
    values = [Fraction(attr(g, "mm")) for g in groups(drafts[0].items, "dimension") if attr(g, "axis") == "z"]
    assert inch(18) - T in values  # bottom to shelf
    assert inch(8) - 2 * T in values  # shelf to top
    across = [Fraction(attr(g, "mm")) for g in groups(drafts[1].items, "dimension") if attr(g, "axis") == "x"]
    assert WIDE - 2 * T in across


def test_details_print_the_joints_figures_large_enough() -> None:
    drafts = compose(context(sample_case()))
    details = [g for d in drafts for g in groups(d.items, "view") if attr(g, "proj") == "detail"]
    figures = {
        frozenset(Fraction(attr(d, "mm")) for d in groups(g.items, "dimension")) for g in details
    }
    assert figures == {frozenset((T, CUT)), frozenset((T, LAP)), frozenset((TB, LAP))}
    assert {attr(g, "scale") for g in details} <= {"1:1", "1:2"}


@pytest.mark.parametrize(
    ("paper", "orientation", "style"),
    [
        ("letter", "landscape", "shop-inch"),
        ("letter", "portrait", "shop-inch"),
        ("A4", "landscape", "shop-metric"),
        ("A3", "landscape", "shop-metric"),
    ],
)
def test_sheets_are_clean(paper: str, orientation: str, style: str) -> None:
    ctx = context(sample_case(), paper=paper, orientation=orientation, style=style)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)
