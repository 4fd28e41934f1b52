"""Which blade of the shop is on the table saw for a cut, by its task: along the grain, across it, through sheet goods, at an angle.

Of the blades that are made for the task that comes first which is made for the fewest others. A cut at an angle through solid
wood takes a blade for both ways of the grain where there is one, so that all of them are cut with it (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.model.entities import Stock
from plandoc.tables.shop import Shop, ShopMachine

ALONG, ACROSS, SHEETS = "rips", "crosscuts", "panels"
"""Tasks, by the words of a shop file."""
TASKS = {ALONG: "along the grain", ACROSS: "across the grain", SHEETS: "sheet goods"}
"""What they are called."""
SAW = "table_saw"


def tasks_of(stock: Stock, along: bool, angled: bool = False) -> tuple[tuple[str, ...], ...]:
    """The tasks that the blade of a cut should be made for, all of one row; a later row where no blade is for the first."""
    if stock.kind == "sheet":
        return ((SHEETS,),)
    own = (ALONG if along else ACROSS,)
    return ((ALONG, ACROSS), own) if angled else (own,)


def blade_for(shop: Shop, tasks: Sequence[tuple[str, ...]]) -> ShopMachine | None:
    """The blade of the shop for the first of these tasks that one is made for; None where the shop lists none that its table saw takes."""
    saw = shop.machine(SAW)
    if saw is None:
        return None
    there = [m for m in shop.machines if m.key == "saw_blade" and (saw.one("blade") is None or m.one("blade") in (None, saw.one("blade")))]
    for wanted in tasks:
        able = [blade for blade in there if all(blade.one(task) for task in wanted)]
        if able:
            return min(able, key=lambda blade: sum(bool(blade.one(task)) for task in TASKS))
    return None


def blade_text(blade: ShopMachine) -> str:
    """`Rip blade, 24 teeth`."""
    teeth = blade.one("teeth")
    return blade.name if teeth is None else f"{blade.name}, {teeth} teeth"


__all__ = ["ACROSS", "ALONG", "SHEETS", "TASKS", "blade_for", "blade_text", "tasks_of"]
