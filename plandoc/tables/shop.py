"""What a shop has: machines with their capacities, cutters, bits, clamps; and the shop that is assumed where a plan names none.

All lengths in mm, weights in kg, forces in newtons. A machine's figures go by the words below; what a shop does not list, it does not have.

The words are declared in `data/shop.toml`, from which a shop file is read (`model/shops.py`).

| machine | words |
| --- | --- |
| table_saw | rip: widest board between blade and fence; crosscut: widest board in front of the blade on the mitre gauge; deep: at 90 degrees; bevelled: depth at 45 degrees; blade: its diameter; kerf; stack: widest stack of cutters that the arbor takes; cutters: thicknesses of the chippers; outer: thickness of one of the two outer blades; shims; heavy: most kilograms that one person guides on it |
| track_saw | long: of the rail; deep; bevelled; kerf |
| mitre_saw | crosscut: widest board at 90 degrees; mitred: at 45; deep; kerf |
| band_saw | throat: widest board beside the blade; deep: height under the guide; kerf |
| jointer | wide: widest face; short: least length |
| planer | wide, deep: widest and thickest board; thin, short: least thickness and length |
| router, router_table | bits: diameters of straight bits; deep: longest cut; collet; bearings: of the router in the hand, bits with a bearing; bushes: guide bushes |
| drill_press | deep: travel of the spindle; throat: from its middle to the column; bits: diameters |
| drill | bits: diameters |
| biscuit_jointer, sander | no words: they are there |
| saw_blade | rips, crosscuts, panels: 1 where it is for that; teeth: how many; kerf; blade: its diameter |
| clamps | opens, counts, forces: for each kind of clamp how far it opens, how many there are, and its force in newtons |
| cnc | across, back, up: travel; bits |
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.tables.files import INCH_MM


@dataclass(frozen=True, slots=True)
class ShopMachine:
    """One machine of a shop. key: of the table of machines; name: as the shop calls it; figures: (word, values in mm)."""

    key: str
    name: str
    figures: tuple[tuple[str, tuple[Fraction, ...]], ...] = ()

    def all(self, word: str) -> tuple[Fraction, ...]:
        """All values of a word (mm), none where the shop does not say."""
        return dict(self.figures).get(word, ())

    def one(self, word: str) -> Fraction | None:
        """The value of a word (mm), None where the shop does not say."""
        return next(iter(self.all(word)), None)


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop. assumed: the plan named none, so the sheets say that its figures are to be checked. machines: a kind may be
    there more than once."""

    name: str
    machines: tuple[ShopMachine, ...]
    assumed: bool = False

    def machine(self, key: str) -> ShopMachine | None:
        """The first machine of a kind, None where the shop has none."""
        return next((m for m in self.machines if m.key == key), None)

    def figure(self, key: str, word: str) -> Fraction | None:
        """A figure of the first machine of a kind (mm), None where there is no such machine or no such figure."""
        found = self.machine(key)
        return None if found is None else found.one(word)


def _inches(*values: str) -> tuple[Fraction, ...]:
    return tuple(sum((Fraction(part) for part in value.split()), Fraction(0)) * INCH_MM for value in values)


def _mm(*values: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(value) for value in values)


def _blades(kerf: tuple[Fraction, ...]) -> tuple[ShopMachine, ...]:
    """Blades by task, each of that kerf."""
    rows = (("Rip blade", ("rips",), "24"), ("Crosscut blade", ("crosscuts",), "60"), ("Sheet-goods blade", ("panels",), "80"), ("Combination blade", ("rips", "crosscuts"), "50"))
    return tuple(ShopMachine("saw_blade", name, (*((task, _mm("1")) for task in tasks), ("teeth", _mm(teeth)), ("kerf", kerf))) for name, tasks, teeth in rows)


# Usual small-shop machines: saw for blades of 10 in. with 3 1/8 in. depth, stack of 8 in. with two outer blades and chippers of
# 1/8 and 1/16 in. and shims from 0.002 in. (common practice; all from memory but the two outer blades, which every stack has).
# Teeth of blades: 24 along the grain, 60 across it, 80 for sheets, 50 for both ways of the grain (common practice, from memory).
# Force of clamps: 1,050 lb was measured for a pipe clamp, 370 lb for a parallel-jaw clamp (published tests, from memory).
_SHIMS = _inches("2/1000", "4/1000", "5/1000", "8/1000", "10/1000", "12/1000", "20/1000")
_INCH = (
    ShopMachine("table_saw", "Table saw, 10 in. blade", (
        ("rip", _inches("30")), ("crosscut", _inches("12")), ("deep", _inches("3 1/8")), ("bevelled", _inches("2 1/8")), ("blade", _inches("10")),
        ("kerf", _inches("1/8")), ("stack", _inches("13/16")), ("outer", _inches("1/8")),
        ("cutters", _inches("1/8", "1/8", "1/8", "1/8", "1/16")), ("shims", _SHIMS),
    )),
    *_blades(_inches("1/8")),
    ShopMachine("track_saw", "Track saw", (("long", _inches("118")), ("deep", _inches("2 1/8")), ("bevelled", _inches("1 1/2")), ("kerf", _mm("11/5")))),
    ShopMachine("mitre_saw", "Sliding mitre saw, 10 in. blade", (
        ("crosscut", _inches("12")), ("mitred", _inches("8")), ("deep", _inches("3 1/2")), ("kerf", _inches("3/32")),
    )),
    ShopMachine("band_saw", "Band saw", (("throat", _inches("13 1/2")), ("deep", _inches("6")), ("kerf", _inches("1/16")))),
    ShopMachine("jointer", "Jointer", (("wide", _inches("6")), ("short", _inches("12")))),
    ShopMachine("planer", "Planer", (("wide", _inches("12 1/2")), ("deep", _inches("6")), ("thin", _inches("1/4")), ("short", _inches("14")))),
    ShopMachine("router", "Router", (("bits", _inches("1/8", "3/16", "1/4", "3/8", "1/2", "3/4")), ("deep", _inches("2")), ("collet", _inches("1/2")))),
    ShopMachine("router_table", "Router table", (("bits", _inches("1/8", "3/16", "1/4", "3/8", "1/2", "3/4")), ("deep", _inches("2")))),
    ShopMachine("drill_press", "Drill press", (("deep", _inches("3")), ("throat", _inches("7")))),
    ShopMachine("drill", "Hand drill and driver"),
    ShopMachine("biscuit_jointer", "Biscuit jointer"),
    ShopMachine("sander", "Sander"),
    ShopMachine("clamps", "Pipe and bar clamps", (
        ("opens", _inches("12", "24", "36", "48")), ("counts", _mm("6", "6", "4", "4")), ("forces", _mm("1600", "1600", "4600", "4600")),
    )),
)  # fmt: skip
_METRIC = (
    ShopMachine("table_saw", "Table saw, 250 mm blade", (
        ("rip", _mm("760")), ("crosscut", _mm("300")), ("deep", _mm("80")), ("bevelled", _mm("55")), ("blade", _mm("250")), ("kerf", _mm("3")),
        ("stack", _mm("20")), ("outer", _mm("3")), ("cutters", _mm("3", "3", "3", "3", "2")), ("shims", _mm("1/10", "1/10", "1/5", "3/10", "1/2")),
    )),
    *_blades(_mm("3")),
    ShopMachine("track_saw", "Track saw", (("long", _mm("3000")), ("deep", _mm("54")), ("bevelled", _mm("38")), ("kerf", _mm("11/5")))),
    ShopMachine("mitre_saw", "Sliding mitre saw, 250 mm blade", (("crosscut", _mm("300")), ("mitred", _mm("200")), ("deep", _mm("90")), ("kerf", _mm("12/5")))),
    ShopMachine("band_saw", "Band saw", (("throat", _mm("340")), ("deep", _mm("150")), ("kerf", _mm("3/2")))),
    ShopMachine("jointer", "Jointer", (("wide", _mm("150")), ("short", _mm("300")))),
    ShopMachine("planer", "Planer", (("wide", _mm("310")), ("deep", _mm("150")), ("thin", _mm("6")), ("short", _mm("350")))),
    ShopMachine("router", "Router", (("bits", _mm("3", "4", "6", "8", "10", "12", "16", "20")), ("deep", _mm("50")), ("collet", _mm("12")))),
    ShopMachine("router_table", "Router table", (("bits", _mm("3", "4", "6", "8", "10", "12", "16", "20")), ("deep", _mm("50")))),
    ShopMachine("drill_press", "Drill press", (("deep", _mm("80")), ("throat", _mm("180")))),
    ShopMachine("drill", "Hand drill and driver"),
    ShopMachine("biscuit_jointer", "Biscuit jointer"),
    ShopMachine("sander", "Sander"),
    ShopMachine("clamps", "Bar clamps", (("opens", _mm("300", "600", "900", "1200")), ("counts", _mm("6", "6", "4", "4")), ("forces", _mm("1600", "1600", "4600", "4600")))),
)  # fmt: skip

ASSUMED = {"inch": Shop("Assumed shop", _INCH, True), "mm": Shop("Assumed shop", _METRIC, True)}
"""The shop that is assumed, by the system of units of the plan."""
