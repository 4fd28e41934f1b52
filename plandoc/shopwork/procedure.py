"""The whole procedure: the author's steps, and generated steps for all work that they leave open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from plandoc.model.entities import Model, Part, Step
from plandoc.shopwork.assembly_steps import FASTENED, assembly_drafts, placing_drafts, square_checks
from plandoc.shopwork.claims import claims, unclaimed, uncovered
from plandoc.shopwork.draft import ASSEMBLE, CUT, FINISH, FIT, MACHINE, PHASES, Draft, depth_of, level_of
from plandoc.shopwork.estimates import drying_words
from plandoc.shopwork.fastening_steps import claimed_heads, fastening_drafts, finish_fits, fitting_drafts
from plandoc.shopwork.glueup_steps import glue_up_drafts
from plandoc.shopwork.gluewords import with_gluing
from plandoc.shopwork.gluing import CLAMPING
from plandoc.shopwork.machinechoice import machine_notes
from plandoc.shopwork.making_steps import cutting_drafts, machining_drafts
from plandoc.shopwork.operations import Operation, WorkItem, operations
from plandoc.shopwork.places import place_texts
from plandoc.shopwork.setupsteps import numbers_text
from plandoc.shopwork.sheetorder import with_sheet_order
from plandoc.shopwork.standing_steps import standing_drafts
from plandoc.shopwork.trade import kinds_of, with_trade

__all__ = ["procedure", "uncovered"]

_FINISH_WORDS = ("finish", "varnish", "lacquer", "paint", "oil", "wax", "shellac", "sand")


def procedure(model: Model) -> tuple[Step, ...]:
    """All steps in the order of making, numbered from 1.

    The author's steps keep their order and texts. Work that none of them claims becomes generated steps
    (`author` false): each stands before the first author's step that needs its result and after those that it needs,
    else where its phase (cut, machine, assemble, fit, finish) ends; cutting right after the author's cutting of the
    same stock."""
    every = {op.id: op for op in operations(model)}
    own = model.steps
    taken = claims(model, own)
    left = unclaimed(model, own)
    closed = {
        op.joint: index
        for index, row in enumerate(taken)
        for item in row
        if (op := every[item.operation]).verb == "join"
    }
    author = [_Placed(model, step, items, every, closed) for step, items in zip(own, taken, strict=True)]
    panels = glue_up_drafts(model, own)
    glued_first = {draft.steps[0].title: [model.part(path) for path in draft.parts] for draft in panels}
    drafts = [
        *panels,
        *cutting_drafts(model, left),
        *_unknotted(model, machining_drafts(model, left), left, author),
        *assembly_drafts(model, left),
        *fastening_drafts(model, left, closed),
        *fitting_drafts(model, left),
        *placing_drafts(model, left),
        *standing_drafts(model),
        *_finish_drafts(model, left),
    ]
    spoken: dict[str, None] = {}

    def traded(step: Step, items: Sequence[WorkItem]) -> Step:
        """The step with its machines, and with what the tables say of its operations."""
        boards = glued_first.get(step.title, ()) if not step.author else _own_panels(model, items, glued_first)
        notes = machine_notes(model, items, every, spoken, step.tools if step.author else (), boards)
        done = with_trade(step, kinds_of(model, items, every), model.shop, notes.keys, notes.tools)
        return replace(done, choices=notes.lines)

    merged = [
        traded(
            _with_heads(model, _with_check(model, p, {j: None for j, at in closed.items() if at <= index}), p),
            p.items,
        )
        for index, p in enumerate(author)
    ]
    slots: list[list[Step]] = [[] for _ in range(len(author) + 1)]
    for draft in sorted(drafts, key=lambda d: (d.phase, not d.joint)):
        slots[_slot(draft, author)].extend(draft.steps)
    ordered = list(slots[0])
    for step, after in zip(merged, slots[1:], strict=True):
        ordered.append(step)
        ordered.extend(after)
    full = [
        step if step.author else traded(step, items)
        for step, items in zip(ordered, claims(model, ordered), strict=True)
    ]
    glued = [
        with_gluing(model, step, [j for j in model.joints if f"join:{j.id}" in {item.operation for item in items}])
        for step, items in zip(full, claims(model, full), strict=True)
    ]
    return with_sheet_order(model, _numbered(model, glued))


def _numbered(model: Model, steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps with their numbers; those that are fastened by another say by which."""
    rows = [{item.operation for item in items} for items in claims(model, steps)]
    found = []
    for number, (step, own) in enumerate(zip(steps, rows, strict=True), 1):
        if not step.author and any(FASTENED in text for text in step.texts):
            wanted = {f"fasten:{j.id}:{n}" for j in model.joints if f"join:{j.id}" in own for n, f in enumerate(j.fasteners, 1) if f.kind in (*CLAMPING, "key")}
            by = [n for n, row in enumerate(rows, 1) if n != number and wanted & row]
            words = f"of step{'s' if len(by) > 1 else ''} {numbers_text(by)}" if by else "here"
            step = replace(step, texts=tuple(text.replace(FASTENED, words) for text in step.texts))
        found.append(replace(step, number=number))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Placed:
    """An author's step with what it claims. closed: the joints that any author's step closes."""

    model: Model
    step: Step
    items: tuple[WorkItem, ...]
    every: dict[str, Operation]
    closed: dict[str, int]

    @property
    def phase(self) -> int:
        """The latest phase of its work, 0 where it claims none."""
        return max((PHASES[self.every[item.operation].verb] for item in self.items), default=0)

    def paths(self, verbs: Sequence[str]) -> dict[str, None]:
        """Parts whose work of these kinds it claims."""
        found: dict[str, None] = {}
        for item in self.items:
            op = self.every[item.operation]
            if op.verb in verbs:
                found.update(dict.fromkeys((item.path,) if item.path else op.parts))
        return found

    def fastens_open(self, parts: Sequence[str]) -> bool:
        """Whether it fastens a joint between two of these parts that no author's step closes."""
        ops = [self.every[item.operation] for item in self.items]
        return any(
            op.verb == "fasten" and op.joint not in self.closed and all(path in parts for path in op.parts) for op in ops
        )

    @property
    def stocks_cut(self) -> dict[str, None]:
        """Names of the stocks of which it cuts parts."""
        return {self.model.part(path).stock.name: None for path in self.paths(("cut",))}

    @property
    def depth(self) -> int | None:
        """Depth of the outermost assembly of which it closes a joint; None where it closes none."""
        joints = {self.every[item.operation].joint: None for item in self.items}
        depths = [
            depth_of(level_of(self.model, j.a, j.b)) for j in self.model.joints if j.id in joints
        ]  # fmt: skip
        return min(depths, default=None)


def _unknotted(model: Model, drafts: Sequence[Draft], left: Sequence[WorkItem], author: Sequence[_Placed]) -> Iterator[Draft]:
    """The drafts of machine work; one that an author's step needs before it and that another's cutting must come before is parted
    by the step that cuts its parts."""
    cut = {path: index for index, placed in enumerate(author) for path in placed.paths(("cut",))}
    for draft in drafts:
        relations = [_relation(draft, placed) for placed in author]
        first = next((index for index, (before, after) in enumerate(relations) if before and not after), len(author))
        if not any(after for _, after in relations[first + 1 :]):
            yield draft
            continue
        makes = {name for step in draft.steps for name in step.makes}
        for index in sorted({cut.get(path, -1) for path in draft.parts}):
            own = [item for item in left if item.path in draft.parts and item.feature in makes and cut.get(item.path, -1) == index]
            yield from machining_drafts(model, own)


def _own_panels(model: Model, items: Sequence[WorkItem], glued_first: Mapping[str, Sequence[Part]]) -> list[Part]:
    """The panels that an author's step cuts and whose boards no generated step glues up."""
    elsewhere = {part.path for parts in glued_first.values() for part in parts}
    cut = [model.part(item.path) for item in items if item.operation.startswith("cut:")]
    return [part for part in cut if part.glue_up is not None and part.path not in elsewhere]


def _slot(draft: Draft, author: Sequence[_Placed]) -> int:
    """How many of the author's steps come before the draft."""
    lower, upper = 0, len(author)
    early = bool(draft.stock)
    for index, placed in enumerate(author):
        before, after = _relation(draft, placed)
        early = early and placed.phase <= MACHINE  # later, and other work may wait for it
        if after:
            lower = index + 1
        elif before:
            upper = min(upper, index)
        elif early and index < upper and draft.stock in placed.stocks_cut:
            lower = index + 1
    idle = next((i for i, placed in enumerate(author) if placed.items), len(author))
    phased = max((i + 1 for i, p in enumerate(author) if p.items and p.phase <= draft.phase), default=idle)
    if draft.joint:
        phased = lower
    if draft.phase == FINISH:
        phased = len(author)
    return max(lower, min(upper, phased))


def _relation(draft: Draft, placed: _Placed) -> tuple[bool, bool]:
    """Whether the draft must come before the author's step, and whether after it."""

    def touches(*verbs: str) -> bool:
        found = placed.paths(verbs)
        return any(path in found for path in draft.parts)

    if draft.phase == CUT:
        return touches(*(("cut",) if draft.before_cut else ()), "make", "join", "fasten", "fit", "place"), False
    if draft.phase == MACHINE:
        return touches("join", "fasten", "fit", "place"), touches("cut")
    if draft.joint:
        return False, any(placed.every[i.operation].joint == draft.joint for i in placed.items)
    if draft.phase == ASSEMBLE:
        if placed.fastens_open(draft.parts):
            return True, False
        outer = placed.depth is not None and placed.depth < draft.depth
        return outer, touches("cut", "make") or (touches("join", "fasten") and not outer)
    if draft.phase == FIT:
        return False, touches("cut", "make", "join", "place")
    return False, False


def _with_check(model: Model, placed: _Placed, closed: dict[str, None]) -> Step:
    """The author's step, with a check of squareness where it closes joints of a frame and names no diagonal itself.

    closed: joints that are closed when the step is done."""
    step = placed.step
    ids = {placed.every[i.operation].joint: None for i in placed.items if i.operation.startswith("join:")}
    joints = [j for j in model.joints if j.id in ids and j.glued]
    if len(joints) < 2 or any("diagonal" in check.casefold() for check in (*step.checks, *step.texts)):
        return step
    outermost = min((level_of(model, j.a, j.b) for j in joints), key=depth_of)
    frame = [
        j for j in model.joints if j.id in closed and j.glued and level_of(model, j.a, j.b) == outermost
    ]  # fmt: skip
    return replace(step, checks=(*step.checks, *square_checks(model, (outermost,), frame)))


def _with_heads(model: Model, step: Step, placed: _Placed) -> Step:
    """The step with the places of parts that nothing guides, and the count and the bits of the fasteners that it drives."""
    closing = {placed.every[item.operation].joint: None for item in placed.items if item.operation.startswith("join:")}
    places = place_texts(model, [joint for joint in model.joints if joint.id in closing])
    heads = claimed_heads(model, [item.operation for item in placed.items])
    return replace(step, texts=(*step.texts, *places, *heads))


def _finish_drafts(model: Model, left: Sequence[WorkItem]) -> tuple[Draft, ...]:
    """A reminder to ease, sand and finish, unless the author speaks of it or the plan is a bare cut list; the finishes
    that the plan names are put on there."""
    said = " ".join(s.title.casefold() for s in model.steps)
    fits, lines = finish_fits(model, left)
    if not model.placed or any(word in said.split() or f"{word}ing" in said for word in _FINISH_WORDS):
        step = Step(0, "Put on the finish", fits=fits, texts=lines, waits=(drying_words(model),), author=False)
        return (Draft(FINISH, (step,)),) if fits else ()
    texts = (
        "Take hardware off again where finish would reach it.",
        "Ease the edges that hands touch; leave joint edges as they are. Sand with the grain, finer grit by finer grit, and vacuum.",
        *(lines or ("Try the finish on an offcut of the same stock, then coat all faces, inside and out, as its label says.",)),
    )
    step = Step(
        0,
        "Ease edges, sand and finish",
        fits=fits,
        texts=texts,
        checks=("No glue left on the surface: wet it once and look along the light.",),
        waits=(drying_words(model),),
        author=False,
        kinds=("edge_easing", "sanding", "finishing"),
    )
    return (Draft(FINISH, (step,)),)
