"""What a machine of the shop can take: a piece of wood against its capacities, with the reason in words.

The rules of thumb are common practice in the trade, so are their figures where no source stands beside them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from plandoc.quantity import Units, shop_text
from plandoc.shopwork.names import mass_words
from plandoc.tables import machine as trade_machine
from plandoc.tables.shop import Shop, ShopMachine

HEAVY_KG = Fraction(2268, 100)
"""50 lb: heavier pieces one person neither lifts nor guides along a fence (common practice)."""
LONG_ON_GAUGE = Fraction(12192, 10)
"""4 ft: longer work is not crosscut on the mitre gauge (mm, common practice)."""
_HOLD = {"inch": Fraction(3048, 10), "mm": Fraction(300)}
_NARROW = {"inch": Fraction(1524, 10), "mm": Fraction(150)}

Say = Callable[[Fraction], str]


@dataclass(frozen=True, slots=True)
class Choice:
    """The machine for a piece of work. key: of the table of machines, "" where none can; machine: of the shop, None for work
    by hand. reason: why this one. refused: (machine, why not) of those that were asked before. push: the cut asks for a push stick
    or block. helper: it takes a second person."""

    key: str
    machine: ShopMachine | None = None
    reason: str = ""
    refused: tuple[tuple[str, str], ...] = ()
    push: bool = False
    helper: bool = False

    @property
    def good(self) -> bool:
        """Whether a machine was found."""
        return bool(self.key)

    @property
    def name(self) -> str:
        """As the shop calls the machine."""
        return self.machine.name if self.machine is not None else trade_machine(self.key).name if self.key else ""


@dataclass(frozen=True, slots=True)
class Sawn:
    """A cut and the piece that it parts (mm, kg). along: length of the cut, which is what bears on a fence; across: the
    piece's size at right angles to it; at: from fence or stop to blade; thick; mass: None where the material is not known. sheet:
    of a sheet, so that no grain forbids the fence for a cut either way. crosscut: across the grain."""

    along: Fraction
    across: Fraction
    at: Fraction
    thick: Fraction
    mass: Fraction | None = None
    sheet: bool = False
    crosscut: bool = False


def hold(units: Units) -> Fraction:
    """12 in or 300 mm: a shorter piece is not held by hand against a fence, on a jointer or in a planer (common practice)."""
    return _HOLD["inch" if units.system == "inch" else "mm"]


def narrow(units: Units) -> Fraction:
    """6 in or 150 mm: with less between fence and blade the hand stays away, and a push stick or block feeds; a narrower piece
    does not carry a guide rail (common practice)."""
    return _NARROW["inch" if units.system == "inch" else "mm"]


@dataclass(slots=True)
class Asking:
    """Goes through the machines of a shop in turn and keeps what each answered."""

    shop: Shop
    units: Units
    refused: list[tuple[str, str]] = field(default_factory=list)

    def say(self, length: Fraction) -> str:
        """A length with its unit."""
        return shop_text(length, self.units, mark=True)

    def weigh(self, mass: Fraction) -> str:
        """A weight in words."""
        return mass_words(mass)

    def each(self, key: str) -> Iterable[ShopMachine]:
        """The machines of a kind; says so where the shop has none."""
        found = [m for m in self.shop.machines if m.key == key]
        if not found:
            self.refused.append((trade_machine(key).name, "not in this shop"))
        return found

    def no(self, machine: ShopMachine, why: str, how: str = "") -> None:
        """Notes why a machine cannot."""
        self.refused.append((machine.name + how, why))

    def over(self, machine: ShopMachine, word: str, size: Fraction, what: str) -> str:
        """Why `size` is too much for a figure of the machine; "" where it is not, or where the shop does not say."""
        most = machine.one(word)
        return f"{what} {self.say(size)} is more than its {self.say(most)}" if most is not None and size > most else ""

    def chosen(self, machine: ShopMachine, reason: str, push: bool = False, helper: bool = False) -> Choice:
        """The choice of this machine."""
        return Choice(machine.key, machine, reason, tuple(self.refused), push, helper)

    def none(self) -> Choice:
        """No machine can."""
        return Choice("", None, "", tuple(self.refused))


def saw_for(shop: Shop, cut: Sawn, units: Units) -> Choice:
    """The machine for a straight cut through the wood.

    A sheet goes along the fence where it bears on it with at least as much as stands between fence and blade, else it is cut
    along a guide rail, a narrow strip on the mitre saw. Boards are crosscut on the mitre saw, else on the gauge of the table saw; they are ripped along the fence."""
    ask = Asking(shop, units)
    order: tuple[Callable[[Asking, Sawn], Choice | None], ...]
    if cut.crosscut and not cut.sheet:
        order = (_mitre_saw, _gauge, _track_saw, _band_saw, _bed)
    elif cut.sheet and cut.along < narrow(units):  # a rail has neither seat nor clamp on so narrow a strip
        order = (_fence, _mitre_saw, _gauge, _track_saw, _band_saw, _bed)
    elif cut.crosscut:
        order = (_fence, _gauge, _track_saw, _mitre_saw, _band_saw, _bed)
    else:
        order = (_fence, _gauge, _track_saw, _band_saw, _bed) if cut.sheet else (_fence, _track_saw, _band_saw, _bed)
    for way in order:
        found = way(ask, cut)
        if found is not None:
            return found
    return _with_helper(ask, cut) or _by_hand(ask, cut) or ask.none()


def _too_heavy(ask: Asking, saw: ShopMachine, cut: Sawn) -> str:
    most = saw.one("heavy") or HEAVY_KG
    if cut.mass is None or cut.mass <= most:
        return ""
    return f"the piece weighs about {ask.weigh(cut.mass)}, more than the {ask.weigh(most)} that one person guides"


def _fence_bars(ask: Asking, saw: ShopMachine, cut: Sawn) -> str:
    """Why the fence cannot guide the piece, its weight left out."""
    bearing = cut.along < cut.at
    return (
        ask.over(saw, "deep", cut.thick, "a thickness of")
        or ask.over(saw, "rip", cut.at, "the cut at")
        or (f"its edge of {ask.say(cut.along)} on the fence is shorter than the {ask.say(cut.at)} beside the blade, so that it can twist" if bearing else "")
        or (f"with {ask.say(cut.along)} along the fence it is too short to hold" if cut.along < hold(ask.units) else "")
    )


def _fence(ask: Asking, cut: Sawn, helper: bool = False) -> Choice | None:
    for saw in ask.each("table_saw"):
        why = _fence_bars(ask, saw, cut) or ("" if helper else _too_heavy(ask, saw, cut))
        if not why:
            said = f"along the fence at {ask.say(cut.at)}" + (f" of its {ask.say(rip)}" if (rip := saw.one("rip")) is not None else "")
            return ask.chosen(saw, said, cut.at < narrow(ask.units), helper)
        ask.no(saw, why, ", fence")
    return None


def _gauge(ask: Asking, cut: Sawn) -> Choice | None:
    for saw in (m for m in ask.shop.machines if m.key == "table_saw"):
        most = saw.one("crosscut")
        why = (
            ask.over(saw, "deep", cut.thick, "a thickness of")
            or ("the shop names no width for its mitre gauge" if most is None else ask.over(saw, "crosscut", cut.along, "a width of"))
            or (f"with {ask.say(cut.across)} across it the piece is too long to guide" if cut.across > LONG_ON_GAUGE else "")
            or _too_heavy(ask, saw, cut)
        )
        if not why and most is not None:
            return ask.chosen(saw, f"on the mitre gauge or sled: {ask.say(cut.along)} wide, it takes {ask.say(most)}" + (", clamped to the sled" if cut.at < narrow(ask.units) else ""))
        ask.no(saw, why, ", mitre gauge")
    return None


def _mitre_saw(ask: Asking, cut: Sawn) -> Choice | None:
    for saw in ask.each("mitre_saw"):
        why = ask.over(saw, "crosscut", cut.along, "a width of") or ask.over(saw, "deep", cut.thick, "a thickness of")
        if not why:
            stroke = saw.one("crosscut")
            return ask.chosen(saw, f"{ask.say(cut.along)} wide, its stroke is {ask.say(stroke or cut.along)}" + ("; clamp the short piece" if cut.at < narrow(ask.units) else ""))
        ask.no(saw, why)
    return None


def _track_saw(ask: Asking, cut: Sawn) -> Choice | None:
    for saw in ask.each("track_saw"):
        why = (
            ask.over(saw, "long", cut.along, "a cut of")
            or ask.over(saw, "deep", cut.thick, "a thickness of")
            or (f"a piece of {ask.say(cut.across)} does not carry the rail" if cut.across < narrow(ask.units) else "")
        )
        if not why:
            return ask.chosen(saw, f"along the guide rail of {ask.say(saw.one('long') or cut.along)}")
        ask.no(saw, why)
    return None


def _band_saw(ask: Asking, cut: Sawn) -> Choice | None:
    for saw in ask.each("band_saw"):
        beside = min(cut.at, cut.across - cut.at) if cut.across > cut.at else cut.at
        why = (
            ask.over(saw, "throat", beside, "the cut at")
            or ask.over(saw, "deep", cut.thick, "a thickness of")
            or _too_heavy(ask, saw, cut)
            or ("the edge on its fence is shorter than the piece is wide" if cut.along < cut.at and not cut.crosscut else "")
        )
        if not why:
            return ask.chosen(saw, f"{ask.say(beside)} beside the blade, its throat is {ask.say(saw.one('throat') or beside)}; then plane the edge", beside < narrow(ask.units))
        ask.no(saw, why)
    return None


def _bed(ask: Asking, cut: Sawn) -> Choice | None:
    for bed in (m for m in ask.shop.machines if m.key == "cnc"):
        room = sorted((bed.one("across") or Fraction(0), bed.one("back") or Fraction(0)))
        size = sorted((cut.along, cut.across))
        if size[0] <= room[0] and size[1] <= room[1]:
            return ask.chosen(bed, f"{ask.say(size[0])} × {ask.say(size[1])} lies on its bed")
        ask.no(bed, f"{ask.say(size[0])} × {ask.say(size[1])} is more than its travel of {ask.say(room[0])} × {ask.say(room[1])}")
    return None


def _with_helper(ask: Asking, cut: Sawn) -> Choice | None:
    """Where only the weight stands against the fence, a second person carries the far end."""
    saws = [saw for saw in ask.shop.machines if saw.key == "table_saw" and not _fence_bars(ask, saw, cut)]
    if not saws:
        return None
    return ask.chosen(saws[0], f"along the fence at {ask.say(cut.at)}: the piece is heavy and no guide rail is there, so a helper carries its far end", cut.at < narrow(ask.units), True)


def _by_hand(ask: Asking, cut: Sawn) -> Choice | None:
    """A hand saw crosscuts what is narrow and thin enough for a bench hook."""
    if cut.crosscut and not cut.sheet and cut.along <= hold(ask.units):
        return Choice("hand_tools", None, "with the hand saw and a shooting board: no saw of the shop takes it", tuple(ask.refused))
    return None


def jointer_for(shop: Shop, long: Fraction, wide: Fraction, units: Units) -> Choice:
    """The machine that makes a face flat and an edge straight, for a rough piece."""
    ask = Asking(shop, units)
    for jointer in ask.each("jointer"):
        short = jointer.one("short") or hold(units)
        why = ask.over(jointer, "wide", wide, "a face of")
        if not why and long < short:
            return ask.chosen(jointer, f"from a longer blank: {ask.say(long)} is shorter than the {ask.say(short)} that it takes; joint first, then cut to length", True)
        if not why:
            return ask.chosen(jointer, f"a face of {ask.say(wide)}, it takes {ask.say(jointer.one('wide') or wide)}", True)
        ask.no(jointer, why)
    for planer in (m for m in shop.machines if m.key == "planer"):
        short, why = planer.one("short") or hold(units), ask.over(planer, "wide", wide, "a width of")
        if not why:
            way = "first face with the board wedged on a flat carrier board, then turned over; edges by hand or on the saw with a straight board"
            return ask.chosen(planer, way if long >= short else f"{_longer(ask, long, short)}; {way}")
        ask.no(planer, why)
    return Choice("hand_tools", None, "with hand planes and winding sticks: no machine of the shop takes it", tuple(ask.refused))


def _longer(ask: Asking, long: Fraction, short: Fraction) -> str:
    """What is shorter than the rollers of a planer stand apart is planed before it is cut to length."""
    return f"from a longer blank: {ask.say(long)} is shorter than the {ask.say(short)} between its rollers; plane first, then cut to length"


def planer_for(shop: Shop, long: Fraction, wide: Fraction, thick: Fraction, units: Units) -> Choice:
    """The machine that planes to thickness, for a rough piece."""
    ask = Asking(shop, units)
    for planer in ask.each("planer"):
        short, thin = planer.one("short") or hold(units), planer.one("thin")
        why = ask.over(planer, "wide", wide, "a width of") or ask.over(planer, "deep", thick, "a thickness of")
        if not why and (long < short or (thin is not None and thick < thin)):
            thinner = f"on a flat carrier board: {ask.say(thick)} is thinner than the {ask.say(thin)} that it planes to" if thin is not None and thick < thin else ""
            return ask.chosen(planer, "; ".join(said for said in (_longer(ask, long, short) if long < short else "", thinner) if said))
        if not why:
            return ask.chosen(planer, f"{ask.say(wide)} wide, it takes {ask.say(planer.one('wide') or wide)}")
        ask.no(planer, why)
    return Choice("hand_tools", None, "with hand planes to a gauge line: no machine of the shop takes it", tuple(ask.refused))


def refusals(choice: Choice) -> str:
    """`Cabinet saw, fence: the cut at 40" is more than its 36"; Track saw: not in this shop`."""
    return "; ".join(f"{name}: {why}" for name, why in dict.fromkeys(choice.refused))


def machines_of(choices: Sequence[Choice]) -> tuple[str, ...]:
    """Names of the machines as the steps' tools call them, in the order of the choices."""
    keys = dict.fromkeys(c.key for c in choices if c.key and c.key != "hand_tools")
    return tuple(trade_machine(key).name for key in keys)
