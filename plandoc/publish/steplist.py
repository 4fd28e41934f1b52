"""steps.csv: the procedure, one row a step."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.model.entities import Step
from plandoc.publish.lists import csv_text

COLUMNS = ("number", "title", "cuts", "makes", "joins", "fits", "text", "tools", "cautions", "checks", "waits", "glue", "machines")


def steps_csv(steps: Sequence[Step]) -> str:
    """Paths are separated by blanks, sentences by ` / `."""
    return csv_text(
        COLUMNS,
        (
            (str(s.number), s.title, " ".join(s.cuts), " ".join(s.makes), " ".join(s.joins), " ".join(s.fits), " / ".join(s.texts), ", ".join(s.tools), ", ".join(s.cautions), " / ".join(s.checks), " / ".join(s.waits), " / ".join(s.glue), " / ".join(s.choices))
            for s in steps
        ),
    )
