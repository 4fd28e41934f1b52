"""What a step says of its parts, fittings, tools and cautions, in the words of the procedure sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.model.entities import Model, Step
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.state import StepState
from plandoc.shopwork.trade import plain_tool
from plandoc.tables import caution_name, machines


@dataclass(frozen=True, slots=True)
class Cautions:
    """Cautions of one step. full: in full, said here for the first time. again: name and number of the step that
    says it in full."""

    full: tuple[str, ...]
    again: tuple[tuple[str, int], ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The full ones, then one line with the names of all others: `Push stick, Dado insert (step 1); Dust (step 5)`."""
        by_step: dict[int, list[str]] = {}
        for name, number in self.again:
            names = by_step.setdefault(number, [])
            if name not in names:
                names.append(name)
        said = "; ".join(f"{', '.join(names)} (step {number})" for number, names in sorted(by_step.items()))
        return (*self.full, said) if said else self.full


def cautions_of(steps: Sequence[Step]) -> tuple[Cautions, ...]:
    """The cautions of each step, each in full only where it comes first."""
    first: dict[str, int] = {}
    found = []
    for step in steps:
        texts = tuple(dict.fromkeys(step.cautions))
        full = tuple(text for text in texts if text not in first)
        again = tuple((caution_name(text), first[text]) for text in texts if text in first)
        first.update((text, step.number) for text in full)
        found.append(Cautions(full, again))
    return tuple(found)


def tools_text(step: Step) -> str:
    """Machines first, then tools, as one sentence part that starts with a capital."""
    names = {plain_tool(m.name) for m in machines().values()}
    tools = [plain_tool(tool) for tool in step.tools]
    text = ", ".join(sorted(dict.fromkeys(tools), key=lambda tool: tool not in names))
    return text[:1].upper() + text[1:]


def parts_text(model: Model, state: StepState, step: Step | None = None) -> str:
    """Marks, names and counts of the parts that the step brings or works on; of parts without a place those that it joins."""
    groups: dict[str, list[str]] = {}
    counts: dict[str, int] = {}
    loose = [path for path in all_paths(model, step.joins) if model.part(path).loose and path not in state.new] if step is not None else []
    for path in (*state.new, *loose):
        part = model.part(path)
        names = groups.setdefault(part.mark, [])
        if part.name not in names:
            names.append(part.name)
        counts[part.mark] = counts.get(part.mark, 0) + part.count
    rows = []
    for mark, names in groups.items():
        count = f"{counts[mark]}X " if counts[mark] > 1 else ""
        rows.append(f"{count}{mark} {' / '.join(names[:3])}{f' and {len(names) - 3} more' if len(names) > 3 else ''}".strip())
    return ", ".join(rows)


def fittings_text(model: Model, step: Step) -> str:
    """The fittings of the step, counted by item."""
    items = {item.name: item for item in model.hardware}
    counts: dict[str, int] = {}
    for fitting in model.fittings:
        if fitting.id in step.fits:
            counts[fitting.item] = counts.get(fitting.item, 0) + fitting.quantity
    rows = []
    for name, count in counts.items():
        item = items.get(name)
        unit = f" {item.unit}{'s' if count > 1 else ''}" if item is not None and item.unit != "each" else ""
        number = "" if item is not None and item.kind in ("glue", "finish") else f"{count}{unit} "
        rows.append(f"{number}{item.description if item else name}")
    return ", ".join(rows)
