"""Machine set-ups, to stand beside the machine: fence and height in large figures, one row a set-up, in their order.

Machines follow each other; one begins a page where it then stands whole and no page more is needed. Set-ups of one cutter stand under the cutter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from plandoc.drawing.boxes import item_extent, united
from plandoc.drawing.display import Extent, Group, Item, Line, Text, shifted
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, note_line_width, reach, wrap
from plandoc.drawing.style import Style
from plandoc.sheets.context import SheetContext
from plandoc.sheets.listsheets import list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.steprows import TRIANGLE, warning_triangle
from plandoc.shopwork.names import counted, listed
from plandoc.shopwork.setting import CENTRE, DRILL, NEAR, STACK
from plandoc.shopwork.setups import Job, SetUp, setups
from plandoc.shopwork.setupsteps import numbers_text, steps_of_setups
from plandoc.shopwork.setupwords import (
    cutter_text,
    exact_text,
    fence_texts,
    guards,
    holds,
    left_text,
    machine_text,
    pieces_lines,
    pieces_text,
    side_text,
    trial_text,
    work_down,
)

TWO_COLUMNS = 40.0  # of the height of the large figures; wider sheets have two columns
FIGURES = 2.6  # mm between figures under each other
GAP = 8.0  # mm between the columns
PITCH = 1.75  # of the cap height
CLEAR = 0.75  # mm between letters that hang and tall ones of the next caption
SMALL = 2.5  # mm, the words below a figure
PAD = 1.3  # mm over a row, and between its lowest letter and its line
NUMBER = 65 / 28  # of the body's height, for the number of the set-up
LEAST_HEIGHT = 13.0  # mm for the height
LEAST_FENCE = 20.0  # mm for the distance
DEEP = ("drill_press", "router", "track_saw")
"""Machines of which a depth is set."""
TITLE = "Set-ups"


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of a column: its height (mm), its drawing with the upper left corner at the origin, and whether it stays with the
    next one. head: what stands over the rest of its rows in a further column."""

    height: float
    items: tuple[Item, ...]
    keeps: bool = False
    head: tuple[Strip, ...] = ()


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 7.1, 7.2 ..., in the order of the set-ups."""
    job = setups(ctx.model)
    heading, deep = list_heading(note(ctx, job), ctx)
    columns = _columns(ctx.space, ctx.style)
    high = ctx.space[3] - ctx.space[1]
    strips_of = [(machine_text(job.shop, key), tuple(_machine(ctx, job, tuple(run), columns[0][2] - columns[0][0]))) for key, run in groupby(job.setups, key=lambda setup: setup.setting.machine)]
    pages, names = _paged(strips_of, len(columns), high, deep)
    drafts = []
    for number, (filled, machines) in enumerate(zip(pages, names, strict=True)):
        items: list[Item] = [heading] if number == 0 else []
        for (x0, y0, _, _), strips_ in zip(columns, filled, strict=False):
            y = y0 + (deep if number == 0 else 0.0)
            for strip in strips_:
                items += [shifted(item, x0, y) for item in strip.items]
                y += strip.height
        drafts.append(Draft("setups", f"7.{number + 1}", f"{TITLE}: {listed(list(dict.fromkeys(_short(name) for name in machines)))}", tuple(items)))
    return tuple(drafts)


def _paged(machines: Sequence[tuple[str, Sequence[Strip]]], columns: int, high: float, deep: float) -> tuple[list[list[list[Strip]]], list[list[str]]]:
    """The strips of each column of each sheet, and the machines of each sheet. A machine begins a sheet where all of it stands on
    that one and no sheet more is needed for it. high, deep: height of a column, and what the heading takes of the first sheet's (mm)."""
    fresh: frozenset[int] = frozenset()
    best = _set(machines, columns, high, deep, fresh)
    for number, (_, strips) in enumerate(machines):
        if number and sum(strip.height for strip in strips) <= columns * high:
            trial = _set(machines, columns, high, deep, fresh | {number})
            alone = _set(machines[: number + 1], columns, high, deep, fresh)
            broken = any(name == machines[number][0] for name in alone[1][-1]) and machines[number][0] in [name for names in alone[1][:-1] for name in names]
            if broken and len(trial[0]) == len(best[0]):
                fresh, best = fresh | {number}, trial
    return best


def _set(
    machines: Sequence[tuple[str, Sequence[Strip]]], columns: int, high: float, deep: float, fresh: frozenset[int]
) -> tuple[list[list[list[Strip]]], list[list[str]]]:
    """Strips down columns and on to further sheets; the machines of these numbers begin one."""
    pages: list[list[list[Strip]]] = [[[]]]
    names: list[list[str]] = [[]]

    def room() -> float:
        return high - (deep if len(pages) == 1 else 0.0) - sum(strip.height for strip in pages[-1][-1])

    for count, (name, strips) in enumerate(machines):
        if count in fresh:
            pages.append([[]])
            names.append([])
        for number, strip in enumerate(strips):
            if _together(strips, number) > room() + 1e-6 and pages[-1][-1]:
                if len(pages[-1]) < columns:
                    pages[-1].append([])
                else:
                    pages.append([[]])
                    names.append([])
                pages[-1][-1] += strip.head
            pages[-1][-1].append(strip)
            if name not in names[-1]:
                names[-1].append(name)
    return pages, names


def _together(strips: Sequence[Strip], start: int) -> float:
    """Height (mm) of a strip with those that it stays with."""
    height = strips[start].height
    while strips[start].keeps and start + 1 < len(strips):
        start += 1
        height += strips[start].height
    return height


def _short(name: str) -> str:
    return name.partition(",")[0]


def note(ctx: SheetContext, job: Job) -> str:
    """How many set-ups, how far from the fewest, from where distances are measured, what no set-up makes."""
    count, more = len(job.setups), job.mounts - job.cutters
    said = f"{counted(count, 'set-up')}, one for each setting that differs: from the reference edges there can be no fewer. Cutters are put on {counted(job.mounts, 'time')}, "
    said += ("the fewest" if more == 0 else f"{more} more than the fewest, as cuts at an angle come last") + "; "
    said += f"{job.changes} single settings change, no order does with fewer than {job.least}. "
    said += "Distances run to the named side of the cutter. True one edge and one end first; cut pairs from the same edge. "
    if job.shop.assumed:
        said += "Assumed machines: measure yours. "
    return f"{said}{left_text(job)}".strip()


def _columns(space: Extent, style: Style) -> tuple[Extent, ...]:
    x0, y0, x1, y1 = space
    if x1 - x0 < TWO_COLUMNS * style.height("title"):
        return (space,)
    wide = (x1 - x0 - GAP) / 2
    return (x0, y0, x0 + wide, y1), (x1 - wide, y0, x1, y1)


def _machine(ctx: SheetContext, job: Job, rows: Sequence[SetUp], wide: float) -> list[Strip]:
    """The strips of one machine: its name, and for each kind of work how it is tested and held, then the set-ups by cutter."""
    name, units = machine_text(job.shop, rows[0].setting.machine), ctx.model.info.units
    strips = [_title(name, wide, ctx)]
    for phase, run in groupby(rows, key=lambda row: (row.phase, row.phase == 0 and row.setting.guide)):
        section = tuple(run)
        places = _places(ctx, section)
        head = _columns_head(ctx, section, places, wide)
        onward = _words(ctx, [(f"{_short(name)}, continued", "")], wide)
        said, above = _section_words(ctx, section, wide), _cited_above(ctx, section)
        strips += [*([said[0]] if len(strips) == 1 else [replace(said[0], head=tuple(onward))]), *said[1:], head]
        for _, group in groupby(section, key=lambda row: row.setting.cutter):
            own = tuple(group)
            what, stack = _cutter(ctx, own), own[0].setting.cutter.stack
            high = _blade_heights(ctx, own)
            what += f"; {high[0]}" if len(high) == 1 else ""
            again = (*_words(ctx, [(f"{_short(name)}, continued: {what}", "")], wide), head)
            named = _words(ctx, [(what, "" if stack is None else f"{pieces_text(stack, units)}: {exact_text(stack.width, units)} in all.")], wide)
            strips += named if own[0] is section[0] else [replace(named[0], head=(*onward, head)), *named[1:]]
            made = [_row(ctx, family, places, wide, not above) for family in _families(ctx, own)] if phase[0] else _sizes(ctx, own, places, wide)
            strips += [Strip(height, items, False, again) for height, items in made]
        strips.append(Strip(2.0, ()))
    return strips


def _families(ctx: SheetContext, rows: Sequence[SetUp]) -> list[tuple[SetUp, ...]]:
    """Set-ups that follow each other and differ in the fence alone."""
    found = groupby(rows, key=lambda row: (row.height, row.setting.angle, row.setting.side, len(row.setting.fence) > 1 and row.number, pieces_lines(ctx.model, row)))
    return [tuple(run) for _, run in found]


def _what(rows: Sequence[SetUp]) -> str:
    """`Sizes at the fence`, `Cuts at an angle`; "" of channels and bores."""
    first = rows[0]
    if first.phase == 0:
        return {"fence": "Sizes at the fence", "stop": "Lengths at the stop", "line": "Sizes at the line"}[first.setting.guide]
    return "Cuts at an angle" if first.setting.angle else ""


def _cutter(ctx: SheetContext, rows: Sequence[SetUp]) -> str:
    """`Rip blade, 24 teeth, kerf 1/8"`, `Stack 23/32"`: the cutter of set-ups that have one."""
    first, units = rows[0], ctx.model.info.units
    wide = next((cut.wide for row in rows for cut in row.cuts if row.setting.side == NEAR and len(row.setting.fence) == 1), None)
    return cutter_text(first.setting.cutter, units, wide if first.setting.cutter.kind == STACK else None)


def _title(name: str, wide: float, ctx: SheetContext) -> Strip:
    size = ctx.style.height("vtitle")
    base = size + 0.6
    line = base + 0.44 * size
    return Strip(line + 0.7, (Text("vtitle", (0.0, base), name, size, bold=True), Line("vis", ((0.0, line), (wide, line)))), True)


def _section_words(ctx: SheetContext, rows: Sequence[SetUp], wide: float) -> list[Strip]:
    """To where sizes go, test cut, how the work is held; guards."""
    first = rows[0]
    what = _what(rows)
    said = [(what, f"{side_text(first.setting)}.")] if what else []
    said += [("Test", _test(ctx, rows) + "."), ("Hold", f"{'; '.join(holds(ctx.model, rows))}.")]
    if first.phase == 0 and (down := work_down(ctx.model, rows)):
        said.append(("Down", f"{down}."))
    if _cited_above(ctx, rows):
        said.append(("For", f"{_steps_text(ctx, rows)}."))
    return _words(ctx, said, wide) + _words(ctx, [("", f"{'; '.join(guards(rows))}.")], wide, True)


def _cited_above(ctx: SheetContext, rows: Sequence[SetUp]) -> bool:
    """Whether the steps stand at the head of a section: of sizes, and where all of its set-ups have the same."""
    return bool(_steps_text(ctx, rows)) and (rows[0].phase == 0 or len({_steps_text(ctx, (row,)) for row in rows}) == 1)


def _steps_text(ctx: SheetContext, rows: Sequence[SetUp]) -> str:
    """`step 5`, `steps 1 to 3`: whose work these set-ups do; "" where no step is drawn."""
    by_setup = steps_of_setups(ctx.model, ctx.steps)
    numbers = {number for row in rows for number in by_setup[row.number]}
    return f"step{'s' if len(numbers) > 1 else ''} {numbers_text(list(numbers))}" if numbers else ""


def _test(ctx: SheetContext, rows: Sequence[SetUp]) -> str:
    """The test cut: what is said of each row alone stands in the list; here what holds for all."""
    if len(rows) == 1:
        return trial_text(ctx.model, rows[0]).rstrip(".")
    first = rows[0]
    if first.phase == 0:
        return "measure the first piece of each set-up"
    if first.setting.angle:
        return trial_text(ctx.model, first).partition(";")[0]
    if first.setting.side == CENTRE:
        return "scrap of the same stock: distance and depth as in the row"
    return "scrap of the same stock: figures of the row, width of the cutter; its piece goes in by hand"


def _words(ctx: SheetContext, said: Sequence[tuple[str, str]], wide: float, warn: bool = False) -> list[Strip]:
    """Words behind bold labels, one after the other; behind a warning triangle where they warn."""
    size = max(SMALL, ctx.style.minimum_height)
    start = TRIANGLE * 1.2 + 2.0 if warn else 0.0
    lines: list[list[tuple[float, str, bool]]] = [[]]
    x = start
    for label, text in said:
        if label:
            room = note_line_width(label, size, True)
            if x + room > wide and lines[-1]:
                lines.append([])
                x = start
            lines[-1].append((x, label, True))
            x += room + 1.8
        for word in text.split():
            room = note_line_width(word, size)
            if x + room > wide and lines[-1]:
                lines.append([])
                x = start
            if lines[-1] and not lines[-1][-1][2]:
                before, already, _ = lines[-1][-1]
                lines[-1][-1] = before, f"{already} {word}", False
                x = before + note_line_width(f"{already} {word} ", size)
            else:
                lines[-1].append((x, word, False))
                x += note_line_width(word + " ", size)
        x += 1.5
    strips = []
    for number, line in enumerate(lines):
        extra = 0.8 if warn and number == 0 else 0.0
        base = extra + PITCH * size - 0.4 * size
        items: list[Item] = [item for at, text, bold in line for item in note_line_items(text, (at, base), size, "body", bold=bold)]
        if number == 0 and warn:
            items += warning_triangle((TRIANGLE * 0.6, base + 0.4), TRIANGLE)
        strips.append(Strip(PITCH * size + extra, tuple(items), True))
    return strips


Places = tuple[float, float, float]


def _places(ctx: SheetContext, rows: Sequence[SetUp]) -> Places:
    """Left edges of fence, height and words (mm)."""
    size, units, small = ctx.style.height("title"), ctx.model.info.units, max(SMALL, ctx.style.minimum_height)
    fences = [note_line_width(text, size, True) for row in rows for text in fence_texts(row.setting, units)]
    fences += [note_line_width(text, small) for row in rows for text in _captions(row)]
    heights = [note_line_width(exact_text(row.height, units), size, True) for row in rows if row.height is not None]
    if rows[0].setting.cutter.kind == DRILL and any(row.height is None for row in rows):
        heights.append(note_line_width("through", ctx.style.height("body"), True))
    fence = NUMBER * ctx.style.height("body")
    height = fence + max([LEAST_FENCE, *fences]) + 0.36 * size
    return fence, height, height + (max([LEAST_HEIGHT, *heights]) + 0.32 * size if heights and rows[0].phase else 0.0)


def _captions(row: SetUp) -> list[str]:
    """What stands below the distance: the side of the cutter, and the passes."""
    if row.phase == 0:
        return []
    count = len(row.setting.fence)
    return [side_text(row.setting).removeprefix("to the ").replace(" of the ", " of "), *([f"{count} passes" + (", first, last" if count > 2 else "")] if count > 1 else [])]


def _columns_head(ctx: SheetContext, rows: Sequence[SetUp], places: Places, wide: float) -> Strip:
    size = max(SMALL, ctx.style.minimum_height)
    fence, height, words = places
    guide = "FROM EDGE" if rows[0].setting.machine == "router" else {"fence": "FENCE", "stop": "STOP", "line": "LINE"}[rows[0].setting.guide]
    base = size + 1.0
    items: list[Item] = []
    for left in (0.0, wide / 2) if rows[0].phase == 0 else (0.0,):
        items.append(Text("head", (left + fence, base), guide, size, bold=True))
        items.append(Text("head", (left + words, base), "PIECES", size, bold=True))
    if words > height:
        items.append(Text("head", (height, base), "DEPTH" if rows[0].setting.machine in DEEP else "HEIGHT", size, bold=True))
    items.append(Line("tb", ((0.0, base + 1.0), (wide, base + 1.0))))
    return Strip(base + 1.2, tuple(items), True)


Made = tuple[float, tuple[Item, ...]]


def _sizes(ctx: SheetContext, rows: Sequence[SetUp], places: Places, wide: float) -> list[Made]:
    """Sizes two in a row; below the height of the blade where that changes, else it stands beside the blade's name."""
    found: list[Made] = []
    several = len(_blade_heights(ctx, rows)) > 1
    for _, run in groupby(rows, key=lambda row: row.height):
        own = tuple(run)
        if several:
            found += [(strip.height, strip.items) for said in _blade_heights(ctx, own) for strip in _words(ctx, [(said[:1].upper() + said[1:], "")], wide)]
        cells = [_size(ctx, row, places, wide / 2) for row in own]
        for start in range(0, len(cells), 2):
            found.append(_ruled([shifted(cell, column * wide / 2, 0.0) for column, cell in enumerate(cells[start : start + 2])], wide))
    return found


def _blade_heights(ctx: SheetContext, rows: Sequence[SetUp]) -> tuple[str, ...]:
    """`blade 7/8" high`: the heights of a blade that cuts to size, never in a column of distances; none of other work."""
    if rows[0].phase:
        return ()
    word = "deep" if rows[0].setting.machine in DEEP else "high"
    return tuple(f"blade {exact_text(height, ctx.model.info.units)} {word}" for height in dict.fromkeys(row.height for row in rows) if height is not None)


def _size(ctx: SheetContext, row: SetUp, places: Places, wide: float) -> Item:
    """Number, size and pieces of one set-up."""
    big, body = ctx.style.height("title"), ctx.style.height("body")
    fence, _, words = places
    base = PAD + big
    cell: list[Item] = [Text("body", (0.0, base), str(row.number), body * 1.2, bold=True)]
    cell += note_line_items(fence_texts(row.setting, ctx.model.info.units)[0], (fence, base), big, "title", bold=True)
    lines = [line for said in pieces_lines(ctx.model, row) for line in wrap(said, body, wide - words - 2.0)]
    y = base if len(lines) == 1 else PAD + body
    for line in lines:
        cell += note_line_items(line, (words, y), body, "body")
        y += PITCH * body
    return _numbered(row, cell)


def _ruled(items: Sequence[Item], wide: float) -> Made:
    """A row with its line, clear of the lowest letter."""
    deep = united([e for item in items if (e := item_extent(item)) is not None])[3] + PAD
    return deep, (*items, Line("tb", ((0.0, deep), (wide, deep))))


def _numbered(row: SetUp, items: Sequence[Item]) -> Group:
    return Group("setup", tuple(items), f"setup-{row.number}", (("number", str(row.number)),))


def _row(ctx: SheetContext, family: Sequence[SetUp], places: Places, wide: float, cited: bool) -> Made:
    """Number, fence and height in large figures, pieces and faces beside them; set-ups that differ in the fence alone together.
    cited: with the steps that they belong to."""
    style, units, row = ctx.style, ctx.model.info.units, family[0]
    big, body, small = style.height("title"), style.height("body"), max(SMALL, style.minimum_height)
    fence, height, words = places
    said = [row.setting.angle[:1].upper() + row.setting.angle[1:] + "."] if row.setting.angle else []
    for line in pieces_lines(ctx.model, row):  # places of holes go on behind what lies at the fence
        said[-1:] = [f"{said[-1]} {line}"] if said and line[0].isdigit() else [*said[-1:], line]
    steps = _steps_text(ctx, family) if cited else ""
    steps = steps[:1].upper() + steps[1:]

    def wrapped(rows: Sequence[str]) -> list[tuple[str, bool]]:
        return [(line, bool(row.setting.angle) and number == 0) for number, text in enumerate(rows) for line in wrap(text, body, wide - words)]

    captions = _captions(row)
    lines = wrapped([*said[:-1], f"{said[-1]} {steps}."] if steps else said)
    if len(lines) > max(2, len(wrapped(said))) and note_line_width(steps, small) < height - fence:
        captions, lines = [*captions, steps], wrapped(said)  # a line of its own is saved below the distance
    below = PAD + max(big, PITCH * body * len(lines)) + FIGURES - 1.0
    half = len(family) if len(family) < 4 else (len(family) + 2) // 2  # the others find room below the words
    groups: list[Item] = []
    figures: list[Item] = []
    y, deepest = PAD, 0.0
    for number, one in enumerate(family):
        if number == half:
            deepest, y = y, below
        left = 0.0 if number < half else height
        cell: list[Item] = [Text("body", (left, y + big), str(one.number), body * 1.2, bold=True)]
        for text in fence_texts(one.setting, units):
            y += big
            cell += note_line_items(text, (left + fence, y), big, "title", bold=True)
            y += FIGURES
        groups.append(_numbered(one, cell))
    y = max(y, deepest)
    for text in captions:
        y += small
        figures += note_line_items(text, (fence, y), small, "body")
        y += sum(reach(small)) + CLEAR
    if row.height is not None:
        figures += note_line_items(exact_text(row.height, units), (height, PAD + big), big, "title", bold=True)
    elif row.setting.cutter.kind == DRILL:
        figures += note_line_items("through", (height, PAD + big), body, "body", bold=True)
    t = PAD
    for line, bold in lines:
        t += body
        figures += note_line_items(line, (words, t), body, "body", bold=bold)
        t += (PITCH - 1) * body
    return _ruled([*groups, *figures], wide)


def setup_codes(ctx: SheetContext) -> dict[int, str]:
    """Codes of the sheets on which the set-ups stand, by their numbers; none where these sheets are not drawn."""
    if ctx.kinds and KIND.name not in ctx.kinds:
        return {}
    found: dict[int, str] = {}
    for draft in compose(ctx):
        rest = list(draft.items)
        while rest:
            item = rest.pop()
            if isinstance(item, Group):
                rest += item.items
                found.update((int(value), draft.code) for name, value in item.attrs if item.kind == "setup" and name == "number")
    return found


def wanted(ctx: SheetContext) -> bool:
    """Whether there is a set-up."""
    return bool(setups(ctx.model).setups)


KIND = SheetKind("setups", 170, compose, wanted, together="Machine set-ups")
