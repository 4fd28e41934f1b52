"""Where the piece is cut, and which places are drawn larger: shared by the elevations (marks) and the sections."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from operator import lt

from plandoc.build.pieces import drawn_apart, piece_model
from plandoc.geometry.bodies import ACROSS, AXES, BACK, UP, Face, other_axes
from plandoc.model.entities import Joint, Model
from plandoc.sheets.jointplanes import held_alike, joint_plane
from plandoc.shopwork.kept import of_last_model

LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"  # I, O and Q are read as figures (common practice)
MOST_SECTIONS = 4
MOST_OF_PIECE = 2  # where the plan has several pieces
LETTER_PLACE = (9, 15)  # mm on paper from a cutting plane, in the direction of sight
CLEAR = Fraction(1, 2)  # a joint is seen clearly at half of full size and more (millwork details are drawn so)
LETTERS_APART = 22  # mm on paper between two planes of one direction
# from the right, from the front, from above
LOOKS = {ACROSS: Face(ACROSS, -1), BACK: Face(BACK, 1), UP: Face(UP, -1)}


@dataclass(frozen=True, slots=True)
class Cut:
    """One section: normal to `axis` at `at` (mm), seen in the direction `look`. piece: paths of the parts that it goes
    through, where the plan has several pieces; empty where it goes through all."""

    letter: str
    axis: int
    at: Fraction
    look: Face
    piece: tuple[str, ...] = ()

    def cuts(self, path: str) -> bool:
        """Whether a part belongs to the piece that is cut."""
        return not self.piece or path in self.piece


@dataclass(frozen=True, slots=True)
class Detail:
    """One place drawn larger: the joint, ringed in the section of that letter. plane: where it is cut, for a joint that this
    section does not cut across."""

    letter: str
    cut: str
    joint: Joint
    plane: Cut | None = None


def letter(model: Model, number: int) -> str:
    """The capital letter of the number-th section or detail from 0, with a number after the last one; never that of an arrow
    of sight."""
    return _in_run(LETTERS[: -_sights(model)], number)


def sight_letter(model: Model, number: int) -> str:
    """The letter of the arrow of sight of the number-th piece that has views of its own: from the end of the same run."""
    return _in_run(LETTERS[: -_sights(model) - 1 : -1], number)


def _in_run(run: str, number: int) -> str:
    round_, place = divmod(number, len(run))
    return run[place] + (str(round_ + 1) if round_ else "")


@of_last_model
def _sights(model: Model) -> int:
    """How many letters are kept for arrows of sight: one for each piece, and half of the run at most."""
    return min(max(1, len(drawn_apart(model))), len(LETTERS) // 2)


@of_last_model
def section_cuts(model: Model) -> tuple[Cut, ...]:
    """The plan's own sections, else one through the middle seen from the right; then further ones for kinds of joint
    that no section so far cuts across. Pieces that are drawn apart have sections of their own where wood goes into wood."""
    places: list[tuple[int, Fraction, Face, tuple[str, ...]]] = []
    apart = drawn_apart(model)
    for piece in apart:
        own = piece_model(model, piece)
        if own.sections or any(j.cut_depth > 0 for j in own.joints):
            places += [(*place, piece) for place in _places(own, MOST_OF_PIECE)]
    if not apart:
        places = [(*place, ()) for place in _places(model, MOST_SECTIONS)]
    return tuple(Cut(letter(model, n), *place) for n, place in enumerate(places))


def _places(model: Model, most: int) -> list[tuple[int, Fraction, Face]]:
    box = model.box
    if box is None:
        return []
    places = [(w.axis, w.at, w.look) for w in model.sections]
    if not places:
        places.append((ACROSS, _clear_place(model, ACROSS, (box.lo[ACROSS] + box.hi[ACROSS]) / 2), LOOKS[ACROSS]))
    while len(places) < most:
        missing = _unseen(model, places)
        if not missing:
            break
        axis = min((j.run_axis for j in missing), key=lambda a: (-_count(missing, a), a))
        found = _best_place(model, axis, [j for j in missing if j.run_axis == axis], places)
        places.append((axis, found, LOOKS[axis]))
    return places


def joint_pattern(model: Model, joint: Joint) -> tuple[object, ...]:
    """What makes two joints look alike in a section."""
    stocks = (model.part(joint.a).stock.name, model.part(joint.b).stock.name)
    return joint.kind, joint.width, joint.cut_depth, joint.depth, joint.edge, stocks


def cuts_joint(model: Model, axis: int, at: Fraction, joint: Joint) -> bool:
    """Whether a section shows the profile of the joint: the channel, and the part that stands in it there."""
    if joint.askew or joint.cut_depth <= 0 or axis != joint.run_axis:
        return False
    lo, hi = _joined_span(model, joint, axis)
    return lo < at < hi


def _joined_span(model: Model, joint: Joint, axis: int) -> tuple[Fraction, Fraction]:
    """Where along the axis the first part stands in the channel, between its shoulders: a groove may run on, for another
    part, and where a tongue of it enters a third part the section would show all three at once."""
    a = model.part(joint.a).shoulder
    return max(joint.channel.lo[axis], a.lo[axis]), min(joint.channel.hi[axis], a.hi[axis])


def joint_details(model: Model, cuts: Sequence[Cut], ratios: Sequence[Fraction], least: float = 2.0) -> tuple[Detail, ...]:
    """One detail for each different joint: of those that a section cuts, where it prints smaller than `least` mm or under half
    of full size; of the others, in a plane of its own. ratios: the scale of each section."""
    found: list[Detail] = []
    seen: list[tuple[object, ...]] = []
    for cut, ratio in zip(cuts, ratios, strict=True):
        for joint in model.joints:
            pattern = joint_pattern(model, joint)
            if pattern in seen or not cut.cuts(joint.a) or not cuts_joint(model, cut.axis, cut.at, joint):
                continue
            seen.append(pattern)
            if ratio < CLEAR or float(min(joint.cut_depth, joint.width) * ratio) < least:
                found.append(Detail(letter(model, len(cuts) + len(found)), cut.letter, joint))
    alike: dict[object, list[tuple[tuple[int, int, int, int], Joint, Cut, Cut]]] = {}
    for joint in model.joints:
        plane = joint_plane(model, joint)
        if plane is None or (joint_pattern(model, joint) in seen and joint.cut_depth > 0):
            continue
        own = Cut("", *plane, LOOKS[plane[0]], (joint.a, joint.b))
        homes = [(_home(n, cut, own, joint), joint, cut, own) for n, cut in enumerate(cuts) if cut.cuts(joint.a)]
        if homes:
            alike.setdefault((joint_pattern(model, joint), held_alike(joint)), []).append(min(homes, key=lambda h: h[0]))
    for options in alike.values():
        _, joint, cut, own = min(options, key=lambda h: h[0])
        found.append(Detail(letter(model, len(cuts) + len(found)), cut.letter, joint, own))
    return tuple(found)


def _home(number: int, cut: Cut, own: Cut, joint: Joint) -> tuple[int, int, int, int]:
    """How well a section shows where a joint lies: its plane as an edge, the joint cut or behind the section; less is better."""
    lo, hi = joint.channel.span(cut.axis)
    behind = lo < cut.at if cut.look.side < 0 else hi > cut.at
    return int(not behind), int(cut.axis == own.axis), int(not lo <= cut.at <= hi), number


def _count(joints: Sequence[Joint], axis: int) -> int:
    return sum(j.run_axis == axis for j in joints)


def _unseen(model: Model, places: Sequence[tuple[int, Fraction, Face]]) -> list[Joint]:
    seen = [
        joint_pattern(model, j) for j in model.joints if any(cuts_joint(model, axis, at, j) for axis, at, _ in places)
    ]
    return [
        j for j in model.joints
        if joint_pattern(model, j) not in seen and not j.askew and j.cut_depth > 0 and lt(*_joined_span(model, j, j.run_axis))
        and model.part(j.b).thickness_axis != j.run_axis  # there a section would cut B flat
    ]  # fmt: skip


def _best_place(model: Model, axis: int, joints: Sequence[Joint], others: Sequence[tuple[int, Fraction, Face]]) -> Fraction:
    """The coordinate that cuts the most of the joints, clear of parts that lie in the plane and of the letters of other
    cutting planes."""
    ends = sorted({v for j in joints for v in _joined_span(model, j, axis)})
    # off the middle, so that a symmetrical piece is not cut along a joint or a bore
    options = [a + (b - a) * Fraction(n, 20) for a, b in pairwise(ends) for n in (7, 13, 9, 11, 5, 15, 3, 17, 2, 18)]
    return min(
        options,
        key=lambda at: (
            _flat_parts(model, axis, at),
            -len({joint_pattern(model, j) for j in joints if cuts_joint(model, axis, at, j)}),
            -sum(cuts_joint(model, axis, at, j) for j in joints),
            any(_letters_meet(model, at, there) for a, there, _ in others if a == axis),
            _edges_at_letter(model, axis, at),
            options.index(at),
        ),
    )


def _letters_meet(model: Model, at: Fraction, other: Fraction) -> bool:
    """Whether the letters of two planes of one direction would stand in each other's way."""
    return abs(at - other) < LETTERS_APART * _paper_mm(model)


def _paper_mm(model: Model) -> Fraction:
    """One mm on paper in mm of the model, on a drawing that shows the piece about 70 mm large."""
    box = model.box
    return Fraction(1) if box is None else max(box.size(a) for a in AXES) / 70


def _edges_at_letter(model: Model, axis: int, at: Fraction) -> int:
    """How many faces of parts lie where the letter of the cutting plane will stand: extension lines start at such faces."""
    unit = _paper_mm(model)
    near, far = sorted(at + LOOKS[axis].side * mm * unit for mm in LETTER_PLACE)
    return sum(near <= value <= far for p in model.placed for value in p.stands.span(axis))


def _flat_parts(model: Model, axis: int, at: Fraction) -> int:
    """How many parts a plane would cut parallel to their broad face."""
    return sum(p.lean is None and p.thickness_axis == axis and p.box.lo[axis] <= at <= p.box.hi[axis] for p in model.placed)


def _clear_place(model: Model, axis: int, at: Fraction) -> Fraction:
    """The coordinate, moved out of the thickness of a part that lies in the plane, and out of the crack between two
    parts, along which a section would cut neither."""
    inside = [p.box for p in model.placed if p.lean is None and p.thickness_axis == axis and p.box.lo[axis] <= at <= p.box.hi[axis]]
    if inside:
        start = max(box.hi[axis] for box in inside)
        further = [p.box.lo[axis] for p in model.placed if p.lean is None and p.thickness_axis == axis and p.box.lo[axis] > start]
        end = min(further, default=start + 8)
        at = start + (end - start) / 8
    box = model.box
    if box is None or not _in_crack(model, axis, at):
        return at
    options = [at + side * box.size(axis) * n / 20 for n in range(1, 7) for side in (1, -1)]
    return min(options, key=lambda x: (_flat_parts(model, axis, x), _in_crack(model, axis, x), -_cut_parts(model, axis, x), options.index(x)))


def _cut_parts(model: Model, axis: int, at: Fraction) -> int:
    return sum(p.stands.lo[axis] < at < p.stands.hi[axis] for p in model.placed)


def _in_crack(model: Model, axis: int, at: Fraction) -> bool:
    """Whether the plane runs between two parts that stand side by side, nearer than they are thick."""
    first, second = other_axes(axis)
    below = [p.stands for p in model.placed if p.stands.hi[axis] <= at]
    above = [p.stands for p in model.placed if p.stands.lo[axis] >= at]
    for low in below:
        for high in above:
            gap = high.lo[axis] - low.hi[axis]
            thin = min(box.size(a) for box in (low, high) for a in AXES)
            if gap < thin and all(low.lo[a] < high.hi[a] and high.lo[a] < low.hi[a] for a in (first, second)):
                return True
    return False
