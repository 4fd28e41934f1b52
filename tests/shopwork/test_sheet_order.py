"""A sheet is cut as a whole: what a step frees for later ones, and what a later step finds cut."""

from __future__ import annotations

from plandoc.model.entities import Step
from plandoc.shopwork.procedure import procedure
from tests.support.resolving import resolved

HEAD = 'plan "Order"\n  units inch\nstock birch sheet 48" x 96" "birch plywood"\n  called 3/4"\n'
FOUR = "".join(f'part {name} from birch\n  size {size}\n' for name, size in (("side", '40" x 20"'), ("shelf", '30" x 12"'), ("tray", '20" x 10"'), ("lid", '16" x 8"')))


def steps(text: str) -> list[Step]:
    return [step for step in procedure(resolved(HEAD + FOUR + text).model) if any("birch" in line or "sheet" in line for line in (*step.choices, *step.texts, step.title))]


def test_the_step_that_begins_a_sheet_names_what_it_frees_and_the_later_ones_what_they_find() -> None:
    first, later, rest = steps('step "Case"\n  cuts side, shelf\n  do Cut them.\nstep "Tray"\n  cuts tray\n')
    assert (first.title, later.title) == ("Case", "Tray")
    assert first.choices[:2] == (
        "Cut the sheets in the order of the cutting layout.",
        "The same sheets hold C of step 2 and D of step 3: they come off now too; mark them and lay them by.",
    )
    assert later.choices[0] == "C was cut with the sheets of step 1." and rest.choices[0] == "D was cut with the sheets of step 1."
    assert not any("Cut the parts out of their sheets" in text for text in rest.texts)


def test_a_step_that_cuts_all_parts_of_its_sheets_frees_nothing() -> None:
    (own,) = steps('step "Case"\n  cuts side, shelf, tray, lid\n')
    assert own.choices[0] == "Cut the sheets in the order of the cutting layout." and not any("come off now" in line or "cut with" in line for line in own.choices)
    (plain,) = steps("")
    assert not plain.author and not any("come off now" in line or "in the order" in line for line in plain.choices)
    assert any("in the order of the cutting layout" in text for text in plain.texts)


def test_sheets_of_their_own_are_begun_by_the_step_that_cuts_their_parts() -> None:
    """Two parts of 90 x 40 each take a sheet."""
    large = 'part top from birch\n  size 90" x 40"\npart base from birch\n  size 80" x 40"\n'
    one, two = procedure(resolved(HEAD + large + 'step "Top"\n  cuts top\nstep "Base"\n  cuts base\n').model)[:2]
    for step in (one, two):
        assert step.choices[0] == "Cut the sheets in the order of the cutting layout." and not any("come off" in line or "cut with" in line for line in step.choices)
