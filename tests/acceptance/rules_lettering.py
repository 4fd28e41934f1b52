"""Rules 8 to 11 and 17: lettering clear of lettering and of strokes, inside the frame, high enough, read from the
bottom or the right. The rules are those of the program's own audit; the reading is not."""

from __future__ import annotations

from collections.abc import Iterator

from plandoc.drawing import audit_rules
from tests.acceptance.findings import shared, sheet_rule
from tests.support.finished_sheets import Drawn

shared(8, "", "text_clear_of_text", audit_rules.text_on_text)
shared(9, "", "text_clear_of_strokes", audit_rules.line_through_text)
shared(9, "b", "text_clear_of_ink", audit_rules.ink_in_text)
shared(9, "c", "text_of_forms_clear_of_strokes", audit_rules.line_through_form)
shared(10, "", "ink_inside_the_frame", audit_rules.ink_outside_frame)
shared(11, "", "capitals_high_enough", audit_rules.small_lettering)
shared(11, "b", "figures_of_one_height", audit_rules.dimension_height)


@sheet_rule(11, "c")
def no_words_cut_short(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """No text ends in an ellipsis: what does not fit is said in fewer words, or smaller."""
    for run in drawn.runs:
        if run.text.rstrip().endswith(("…", "...")):
            yield audit_rules.middle(run), "cut short"


shared(17, "", "read_from_bottom_or_right", audit_rules.reading_direction)
