"""In which order the joints of an assembly are closed: the reverse of how it comes apart (`build/order.py`).

* What stays to the last when the assembly comes apart stands first; what is taken away last is joined to it first.
* What leaves in one turn could leave in any order. So where two parts leave it in opposite directions, as the sides of a
  case do, all else of that turn that is joined to them is laid in first: one side lies on the bench, the other closes.
* Where it comes apart into frames that must each be whole before they are joined, as the ends of a table are, each frame
  is glued by itself first, then all that lies between them at once (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from plandoc.build.order import Withdrawal, withdrawals
from plandoc.build.units import units
from plandoc.model.entities import Joint
from plandoc.shopwork.alike import standing_groups
from plandoc.shopwork.jointwords import Level, joint_words, seat_verb


def order_texts(level: Level, joints: Sequence[Joint]) -> list[str]:
    """The order of closing these joints of one assembly, one text a move."""
    return _closed(level, joints).texts


def closing_moves(level: Level, joints: Sequence[Joint]) -> list[tuple[Joint, ...]]:
    """The joints that each move closes, in the order of `order_texts`."""
    return _closed(level, joints).moves


def _closed(level: Level, joints: Sequence[Joint]) -> _Stand:
    rows = withdrawals(level.model, level.paths[0], joints)
    home = {path: unit.path for unit in units(level.model, level.paths[0]) for path in unit.parts}
    away = {path: None for row in rows for path in row.units}
    core = dict.fromkeys(home[path] for j in joints for path in (j.a, j.b) if home[path] not in away)
    stand = _Stand(level, home, list(joints), core)
    turns: dict[int, list[Withdrawal]] = {}
    for row in rows:
        turns.setdefault(row.turn, []).append(row)
    stand.say(stand.closing({}), "Join, all of these at once:" if len(core) > 2 else "")
    left = [turns[number] for number in sorted(turns, reverse=True)]
    for number, turn in enumerate(left):
        later = any(_opposite(other) for other in left[number + 1 :])
        stand.move(turn, last=not later)
    return stand


@dataclass(slots=True)
class _Stand:
    """What stands already. home: the unit of each part; open: joints that are not closed yet; moves: those of each move
    so far, texts: what is said of them."""

    level: Level
    home: dict[str, str]
    open: list[Joint]
    present: dict[str, None]
    moves: list[tuple[Joint, ...]] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def ends(self, joint: Joint) -> tuple[str, str]:
        """The two units that a joint holds together."""
        return self.home[joint.a], self.home[joint.b]

    def closing(self, coming: dict[str, None]) -> list[Joint]:
        """The open joints that close when these units come to what stands."""
        here = {**self.present, **coming}
        return [j for j in self.open if all(unit in here for unit in self.ends(j))]

    def say(self, joints: Sequence[Joint], verb: str = "") -> None:
        if joints:
            first = "Join" if len(joints) == len(self.open) else "First join"
            self.texts.append(joint_words(self.level, joints, verb or ("Then join" if self.texts else first)))
            self.moves.append(tuple(joints))
            self.open = [j for j in self.open if j not in joints]

    def add(self, units: Sequence[str], verb: str = "") -> None:
        """Bring the units to what stands."""
        coming = dict.fromkeys(units)
        joints = self.closing(coming)
        self.present.update(coming)
        self.say(joints, verb)

    def move(self, turn: Sequence[Withdrawal], last: bool) -> None:
        """Bring all that leaves in one turn. last: no later turn has two sides that close."""
        frames = [row for row in turn if len(row.units) > 1]
        if frames:
            self.frames(frames)
        rows = [row for row in turn if row not in frames]
        pair = _opposite(rows)
        sides = [row.units[0] for side in pair or () for row in side]
        loose = self.pieces(sides) > 1
        if pair is None or not (last or loose):
            self.add([path for row in rows for path in row.units])
            return
        rest = [row.units[0] for row in rows if row.units[0] not in sides]
        held = [path for path in rest if self.meets(path, sides) or (loose and self.meets(path, list(self.present)))]
        self.add(held)
        self.close(sides[0], sides[1:])
        self.add([path for path in rest if path not in held])

    def close(self, low: str, high: Sequence[str]) -> None:
        """One side on the bench, what stands in it, the other sides onto the free ends."""
        seated = self.closing({low: None})
        self.present[low] = None
        closed = self.closing(dict.fromkeys(high))
        self.present.update(dict.fromkeys(high))
        if not (seated and any(j not in seated for j in closed)):
            self.say(closed)
            return
        ends = [path for j in self.open for path in (j.a, j.b)]
        words = [self.level.words([path for path in ends if self.home[path] in side]) for side in ((low,), high)]
        self.texts.append(f"Lay {words[0]} on the bench, worked face up.")
        self.say(seated, seat_verb(self.level.model, seated))
        self.texts.append(f"Close with {words[1]} onto the free ends.")
        closed = [j for j in closed if j not in seated]
        self.say(closed, seat_verb(self.level.model, closed))

    def frames(self, rows: Sequence[Withdrawal]) -> None:
        """Each frame by itself, then all of them to what stands."""
        inner = [[j for j in self.open if all(unit in row.units for unit in self.ends(j))] for row in rows]
        several = len(rows) > 1 and all(inner)
        if several:
            self.texts.append("Glue each frame by itself first, and let it set before the frames are joined.")
        for number, group in enumerate(inner, 1):
            self.say(group, f"Frame {number}: join" if several else "")
        self.add([path for row in rows for path in row.units], "Then join the frames, all of these at once:" if several else "")

    def pieces(self, sides: Sequence[str]) -> int:
        """Of how many pieces is what stands and is to be joined to these units."""
        held = [unit for unit in self.present if self.meets(unit, sides)]
        groups = standing_groups([replace(j, a=self.home[j.a], b=self.home[j.b]) for move in self.moves for j in move])
        return len({groups.get(unit, -1 - number): None for number, unit in enumerate(held)})

    def meets(self, unit: str, others: Sequence[str]) -> bool:
        """Whether an open joint holds the unit to one of the others."""
        return any((a == unit and b in others) or (b == unit and a in others) for a, b in map(self.ends, self.open))


def _opposite(rows: Sequence[Withdrawal]) -> tuple[list[Withdrawal], list[Withdrawal]] | None:
    """The one unit that leaves to the low side of an axis, and those that leave to its high side; None where there are
    none. Of several such axes the one whose low unit is named first."""
    return next(_pairs(rows), None)


def _pairs(rows: Sequence[Withdrawal]) -> Iterator[tuple[list[Withdrawal], list[Withdrawal]]]:
    single = [row for row in rows if len(row.units) == 1]
    for axis in (0, 1, 2):
        low = [row for row in single if row.face.axis == axis and row.face.side < 0]
        high = [row for row in single if row.face.axis == axis and row.face.side > 0]
        if len(low) == 1 and high:
            yield low, high
