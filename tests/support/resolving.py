"""Plans written in tests, read and resolved in memory."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.diagnostics import Diagnostic, Sink, Source, render_text
from plandoc.diagnostics.diagnostic import Severity
from plandoc.model.entities import Joint, Model, Part
from plandoc.model.kinds import Kinds
from plandoc.model.loading import load
from plandoc.model.resolve import resolve
from plandoc.quantity import INCH
from plandoc.syntax import tree as t
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.world import MemoryWorld

# 3/4 in. plywood that measures 18 mm, so that the figures of tests stay short.
STOCK = """
stock ply sheet 48" x 96"
  called   3/4"
  measured 18 mm
stock thin sheet 48" x 96"
  called   6 mm
"""
# A side 18 thick, 300 high, and a top from it to 300 across, its outer face flush with the side's end; both 120 wide.
CORNER = """part side from ply
  grain up
  across from 0
  back from 0 to 120 mm
  up from 0 to 300 mm
part top from ply
  grain across
  across from 18 mm to 300 mm
  back from 0 to 120 mm
  up to 300 mm
"""
HEAD = 'plan "Trial"\n  units mm to 0.1\n' + STOCK


@dataclass(frozen=True)
class Outcome:
    """What a plan came to."""

    model: Model
    diagnostics: tuple[Diagnostic, ...]
    sources: dict[str, Source]

    @property
    def codes(self) -> list[str]:
        return [d.code for d in self.diagnostics]

    @property
    def report(self) -> str:
        return render_text(self.diagnostics, self.sources)

    def value(self, name: str) -> str:
        """A value of the plan as it is printed."""
        return dict(self.model.values)[name]

    def joint(self, a: str, b: str) -> Joint:
        return next(j for j in self.model.joints if (j.a, j.b) == (a, b))


def resolved(
    files: dict[str, str] | str, overrides: dict[str, t.Expr] | None = None, kinds: Kinds | None = None, name: str = "trial.plan"
) -> Outcome:
    """A plan, or files of which one is the plan, with everything that was reported."""
    texts = {name: files} if isinstance(files, str) else files
    sink, known = Sink(), kinds or all_kinds()
    loaded = load(name, MemoryWorld(texts), vocabulary(known), sink)
    model = resolve(loaded, known, sink, overrides)
    return Outcome(model, sink.finish(), loaded.sources)


def sound(text: str, overrides: dict[str, t.Expr] | None = None, kinds: Kinds | None = None, warnings: tuple[str, ...] = ()) -> Outcome:
    """The outcome of HEAD and a text that must be without errors, and without warnings but the ones named."""
    outcome = resolved(HEAD + text, overrides, kinds)
    assert [d.code for d in outcome.diagnostics] == list(warnings), outcome.report
    return outcome


def faulty(text: str) -> list[Diagnostic]:
    """The errors of HEAD and a text."""
    return [d for d in resolved(HEAD + text).diagnostics if d.severity is Severity.ERROR]


def sizes(part: Part) -> tuple[Fraction, Fraction, Fraction]:
    """Finished length, width and thickness (mm)."""
    return part.length, part.width, part.thickness


def inches(text: str) -> Fraction:
    """`23 1/2` as mm."""
    return sum((Fraction(piece) for piece in text.split()), Fraction(0)) * INCH
