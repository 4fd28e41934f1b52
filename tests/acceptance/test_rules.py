"""Every rule finds the fault that is put into a sound packet by hand."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest

from plandoc.drawing import audit_dimensions, audit_rules
from tests.acceptance.packets import DUAL, Packet, Store
from tests.acceptance.rules import RULES
from tests.acceptance.rules_views import outline
from tests.support.finished_sheets import Drawn, dimensions, read

Change = Callable[[str], str]


@pytest.fixture(scope="module")
def sound(store: Store) -> Packet:
    (packet,) = store.get("bench-shelf")
    return packet


def put(old: str, new: str) -> Change:
    """Replaces the first place that the pattern fits."""

    def change(text: str) -> str:
        changed, count = re.subn(old, new, text, count=1, flags=re.DOTALL)
        assert count == 1 and changed != text, old
        return changed

    return change


def inside(stroke: str) -> Change:
    """More strokes at the end of the sheet, behind all groups."""
    return put(r"</g>\s*</svg>", stroke + "</g></svg>")


def seen(make: Callable[[Drawn], Change]) -> Change:
    """A change that depends on where things are on the sheet."""

    def change(text: str) -> str:
        return make(read("sheet", text.encode("utf-8")))(text)

    return change


def again(kind: str) -> Change:
    """The first group of that kind a second time, in a group with a transform of its own."""
    return put(rf'(<g class="{kind}"[^>]*>.*?</g>)', r'\1<g class="moved" transform="translate(0 0)">\1</g>')


def moved(number: int, dx: float, dy: float) -> Change:
    """The dimension of that number (in drawing order) moved."""

    def change(text: str) -> str:
        places = [m.start() for m in re.finditer('<g class="dimension"', text)]
        at = places[number] + 2
        return f'{text[:at]} transform="translate({dx:.3f} {dy:.3f})"{text[at:]}'

    return change


OUT = {"left": (-1, 0), "right": (1, 0), "above": (0, -1), "below": (0, 1)}


def nearer(drawn: Drawn) -> Change:
    """The first dimension, 6 mm towards its view."""
    x, y = OUT[dimensions(drawn)[0].side]
    return moved(0, -6.0 * x, -6.0 * y)


def _outer(drawn: Drawn) -> tuple[int, float, tuple[int, int]]:
    """A dimension outside of another on the same side, how far, and the way out."""
    for n, m in enumerate(dimensions(drawn)):
        for o in dimensions(drawn):
            x, y = OUT[m.side]
            far = (m.v - o.v) * (x + y)
            if o.view is m.view and o.side == m.side and far > 1.0 and min(m.ends[1], o.ends[1]) - max(m.ends[0], o.ends[0]) > 1.0:
                return n, far, (x, y)
    raise AssertionError("no two rows")


def further(drawn: Drawn) -> Change:
    number, _, (x, y) = _outer(drawn)
    return moved(number, 3.0 * x, 3.0 * y)


def before(drawn: Drawn) -> Change:
    """The outer one of two dimensions, to the inside of the other."""
    number, far, (x, y) = _outer(drawn)
    return moved(number, -(far + 2.0) * x, -(far + 2.0) * y)


def across(drawn: Drawn) -> Change:
    """Another dimension whose line crosses that of the first."""
    m = dimensions(drawn)[0]
    x, y = ((p + q) / 2 for p, q in zip(*m.line, strict=True))
    dx, dy = (0, 4) if m.across == 1 else (4, 0)
    line = f"M{x - dx},{y - dy}L{x + dx},{y + dy}"
    return inside(f'<g class="dimension" data-mm="1" data-kind="size"><path class="dim" d="{line}" stroke-width="0.25" /></g>')


def pointed(drawn: Drawn) -> Change:
    """A leader over the line of the first dimension."""
    x, y = ((p + q) / 2 for p, q in zip(*dimensions(drawn)[0].line, strict=True))
    return inside(f'<g class="leader"><path class="ldr" d="M{x - 3},{y - 3}L{x + 3},{y + 3}" stroke-width="0.25" /></g>')


def struck(kind: str, path: str) -> Callable[[Drawn], Change]:
    """Something over the first text in a group of that kind. path: x, y is the middle of the text."""

    def make(drawn: Drawn) -> Change:
        run = next(r for r in drawn.runs if r.group.home(kind))
        x, y = (run.box[0] + run.box[2]) / 2, (run.box[1] + run.box[3]) / 2
        return inside(path.format(a=x - 3, x=x, b=x + 3, y=y, c=y - 1))

    return make


def stretched(end: str, by: float) -> Callable[[Drawn], Change]:
    """The first extension line that has outline right behind it, its start or its end moved outwards."""

    def make(drawn: Drawn) -> Change:
        m = dimensions(drawn)[0]
        (x0, y0), (x1, y1) = m.extensions[0]
        long = max(abs(x1 - x0), abs(y1 - y0))
        dx, dy = (x1 - x0) / long * by, (y1 - y0) / long * by
        old = f"M{x0:g},{y0:g}L{x1:g},{y1:g}"
        new = f"M{x0 + dx:g},{y0 + dy:g}L{x1:g},{y1:g}" if end == "start" else f"M{x0:g},{y0:g}L{x1 + dx:g},{y1 + dy:g}"
        return put(f'class="ext" d="{re.escape(old)}', f'class="ext" d="{new}')

    return make


def covered(drawn: Drawn) -> Change:
    """A hidden line over a visible one."""
    (x0, y0), (x1, y1) = next(s for stroke in drawn.strokes if stroke.role == "vis" for s in stroke.segments if abs(s[1][0] - s[0][0]) + abs(s[1][1] - s[0][1]) > 5)
    return inside(f'<path class="hid" d="M{x0},{y0}L{x1},{y1}" stroke-width="0.25" />')


def strayed(drawn: Drawn) -> Change:
    """A dimension of one view in the outline of another."""
    m = dimensions(drawn)[0]
    box = next(b for v in drawn.of("view") if v is not m.view and (b := outline(drawn, v)) is not None)
    return moved(0, (box[0] + box[2]) / 2 - m.line[0][0], (box[1] + box[3]) / 2 - m.line[0][1])


def everywhere(old: str, new: str) -> Change:
    return lambda text: re.sub(old, new, text)


# The same for rules of plans in two units.
DUAL_CASES: list[tuple[str, str, Change]] = [
    ("01-", "part-", put(r'(class="dimtxt"[^>]*>≈?)(\d)', r"\g<1>1\2")),
    ("01d", "part-", put(r'(class="dimtxt"[^>]*>[^<]*\[)(\d)', r"\g<1>1\2")),
    ("01d", "part-", put(r'(class="dimtxt"[^>]*>[^<]*) ?\[[^<]*<', r"\1<")),
    ("01d", "elevations", put(r'(class="dimtxt"[^>]*>[^<]*\[\d+)\]', r"\1.5]")),
    ("01e", "part-", put(r'(class="dimtxt"[^>]*>[^<]*\[)(\d)', r"\g<1>1\2")),
    ("01f", "parts-list", put(r'(class="body"[^>]*>[^<]*\[)(\d)', r"\g<1>1\2")),
]

# rule, files that may be changed (all of them after a star), change
CASES: list[tuple[str, str, Change]] = [
    ("01-", "part-", put(r'(class="dimtxt"[^>]*>)(\d)', r"\g<1>1\2")),
    ("01b", "part-", put(r'(class="dimtxt"[^>]*>)(\d)', r"\g<1>1\2")),
    ("01c", "part-", put(r'(data-to="left_side.top" data-mm=")420', r"\g<1>421")),
    ("02-", "part-", put(r'<g class="dimension"[^>]*data-to="left_side.dado\[shelf\]".*?</g>', "")),
    ("02b", "part-", put(r'(<g class="part"[^>]*data-mark="A")', r'\1 data-opposite="B" data-opposite-part="top"')),
    ("03-", "part-", again("dimension")),
    ("03b", "part-", again("dimension")),
    ("04-", "exploded", put('data-item="A"', 'data-item="Z"')),
    ("04-", "parts.csv", put('A,"Left side, Right side",2', 'A,"Left side, Right side",3')),
    ("04b", "part-", put(r"× L (\d)", r"× L 9\1")),
    ("05-", "model.json", lambda text: _moved_bore(text)),
    ("06-", "*part-", everywhere('data-kind="overall"', 'data-kind="size"')),
    ("06b", "*elevations", everywhere('data-kind="overall"', 'data-kind="size"')),
    ("07-", "cover", put('width="297mm"', 'width="290mm"')),
    ("07b", "part-", put(r'(class="dimension"[^>]*data-mm=")(\d)', r"\g<1>9\2")),
    ("07c", "part-", put(r'(id="[A-Z]-main"[^>]*data-scale=")[^"]*', r"\g<1>1:3")),
    ("07d", "elevations", put(r">(\d+) mm<", r">9\1 mm<")),
    ("08-", "cover", put(r"(<text [^>]*>)([^<]*)(</text>)", r"\1\2\3\1again\3")),
    ("09-", "part-", seen(struck("heading", '<path class="vis" d="M{a},{y}L{b},{y}" stroke-width="0.5" />'))),
    ("09b", "part-", seen(struck("heading", '<path class="ink" d="M{a},{c}L{b},{c} {x},{y}Z" fill="#000000" stroke="none" />'))),
    ("09c", "part-", seen(struck("titleblock", '<path class="vis" d="M{a},{y}L{b},{y}" stroke-width="0.5" />'))),
    ("10-", "part-", inside('<path class="vis" d="M5,50L20,50" stroke-width="0.5" />')),
    ("11-", "cover", put(r'font-size="4\.\d+"', 'font-size="3.1"')),
    ("11b", "part-", put(r'class="dimtxt"([^>]*)font-size="5\.303"', r'class="dimtxt"\1font-size="5.8"')),
    ("11c", "cover", put(r"(<text [^>]*>[^<]{3})[^<]*</text>", r"\1…</text>")),
    ("12-", "part-", seen(across)),
    ("13-", "part-", inside("".join(f'<g class="leader"><path class="ldr" d="{d}" stroke-width="0.25" /></g>' for d in ("M100,100L120,120", "M100,120L120,100")))),
    ("13b", "part-", seen(pointed)),
    ("14-", "part-", seen(nearer)),
    ("14b", "elevations", seen(further)),
    ("15-", "elevations", seen(before)),
    ("16-", "part-", seen(stretched("end", 3.0))),
    ("16b", "part-", seen(stretched("start", -1.0))),
    ("16c", "part-", seen(stretched("start", 4.5))),
    ("17-", "part-", put(r"rotate\(-90", "rotate(90")),
    ("18-", "part-", put(r'class="dim"([^>]*)stroke-width="0.25"', r'class="dim"\1stroke-width="0.3"')),
    ("18b", "part-", put(r'class="dim"([^>]*)stroke-width="0.25"', r'class="dim"\1stroke-width="0.35"')),
    ("18-", "part-", put(r'<g class="view"', '<g transform="scale(0.9)" class="view"')),
    ("19-", "part-", seen(covered)),
    ("20-", "elevations", put(r'<g class="view" id="elevation-right"', '<g transform="translate(0 2)" class="view" id="elevation-right"')),
    ("20-", "elevations", put(r'data-proj="right"', 'data-proj="left"')),
    ("20b", "elevations", put(r'(<g class="projection-symbol" data-proj=")third', r"\1first")),
    ("20c", "elevations", put(r'(<g class="projection-symbol" data-proj=")third', r"\1first")),
    ("21-", "section", put(">SECTION A-A<", ">SECTION B-B<")),
    ("22-", "part-", put(r'data-scale="[^"]*"', 'data-scale="1:7"')),
    ("22-", "part-", put(r"SCALE 1:\d+", "SCALE 1:3")),
    ("22b", "part-", put(r'(<g class="view" id="[A-Z]-main".*?<text class="vtitle"[^>]*y=")[\d.]+', r"\g<1>170")),
    ("22c", "elevations", seen(strayed)),
    ("23-", "*section", everywhere(r'data-scale="1:[12]"', 'data-scale="1:10"')),
    ("23b", "*section", everywhere(r'data-scale="1:[12]"', 'data-scale="1:10"')),
    ("26-", "cutting.csv", put(r"ply,sheet,1,C[^\n]*\n", "")),
    ("26b", "cutting.csv", put(r"ply,sheet,1,B,[\d.]+,[\d.]+", "ply,sheet,1,B,6,6")),
    ("27b", "exploded", put(r'(<g class="balloon".*?<circle[^>]*cx=")[\d.]+', r"\g<1>1")),
    ("28-", "part-", put(r">\d+ of (\d+)<", r">99 of \1<")),
    ("28-", "part-", put(r">2031-09-14<", ">2031-09-15<")),
    ("28b", "cover", put(r">4\.1 – 4\.\d+[a-z]?<", ">4.1<")),
    ("28d", "*section", everywhere('data-kind="section"', 'data-kind="procedure"')),
    ("29-", "part-", put(r"(<text [^>]*>)([A-Z]{3})", r"\1漢\2")),
    ("29-", "part-", put(r'textLength="(\d)', r'textLength="9\1')),
    ("29c", "part-", put(r"(<text [^>]*>)([A-Z]{3})", r"\1E\2")),
]  # fmt: skip


def _moved_bore(text: str) -> str:
    model = json.loads(text)
    feature = next(f for p in model["parts"] for f in p["features"] if f["id"] == "top.screw1[left_side]")
    feature["centre"] = [str(float(v) + 3) for v in feature["centre"]]
    return json.dumps(model)


def changed(packet: Packet, file: str, change: Change) -> Packet:
    """The packet with a fault in the first file of that name that has a place for it, or in all of them."""
    files = dict(packet.files)
    for name in sorted(n for n in files if file.removeprefix("*") in n and not n.endswith(".pdf")):
        try:
            files[name] = change(files[name].decode("utf-8")).encode("utf-8")
        except (AssertionError, StopIteration, IndexError):
            continue  # another sheet of that kind has the place
        if files[name] != packet.files[name] and not file.startswith("*"):
            break
    assert files != packet.files, f"no place for the change in {file}"
    return Packet(packet.name, files, packet.drawings)


# what a broken view may not do: say that it leaves out more, cut work, have no overall length; and the figure is that of the model
BREAKS: list[tuple[str, Change]] = [
    ("01b", put(r'(data-break="[xyz] [\d.]+ )(\d)', r"\g<1>9\2")),
    ("07b", put(r'(data-break="[xyz] [\d.]+ )(\d)', r"\g<1>9\2")),
    ("07b", put(r'data-break="[^"]*"', "")),
    ("07c", put(r'data-break="[^"]*"', "")),
    ("07e", put(r'(data-break="[xyz] )[\d.]+', r"\g<1>1")),
    ("07e", everywhere('data-kind="overall"', 'data-kind="size"')),
]  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(BREAKS)), ids=[f"{rule}-{n}" for n, (rule, _) in enumerate(BREAKS)])
def test_the_rule_knows_of_breaks(number: int, store: Store) -> None:
    prefix, change = BREAKS[number]
    name = next(n for n in RULES if n.startswith(prefix))
    (packet,) = store.get("orchard-bench")
    files = dict(packet.files)
    broken = next(n for n in sorted(files) if n.endswith(".svg") and b"data-break=" in files[n])
    files[broken] = change(files[broken].decode("utf-8")).encode("utf-8")
    before, after = RULES[name](packet), RULES[name](Packet(packet.name, files, packet.drawings))
    assert len(after) > len(before)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(DUAL_CASES)))
def test_the_rule_finds_the_fault_in_two_units(number: int, store: Store) -> None:
    sound = store.get(DUAL)[0]
    prefix, file, change = DUAL_CASES[number]
    (name,) = (n for n in RULES if n.startswith(prefix))
    assert RULES[name](sound) == []
    assert RULES[name](changed(sound, file, change)), name


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(CASES)), ids=[f"{rule.strip('-')}-{n}" for n, (rule, _, _) in enumerate(CASES)])
def test_the_rule_finds_the_fault(number: int, sound: Packet) -> None:
    prefix, file, change = CASES[number]
    (name,) = (n for n in RULES if n.startswith(prefix))
    before = RULES[name](sound)
    after = RULES[name](changed(sound, file, change))
    assert set(map(str, after)) - set(map(str, before)), name


def test_the_bounds_of_shared_rules_are_those_of_the_list() -> None:
    """The rules are the program's; what they ask for is said here as well, so that it cannot change unseen."""
    lettering = (audit_rules.TEXT_ROOM, audit_rules.LINE_ROOM, audit_rules.CAPITALS, audit_rules.FIGURES, audit_rules.FRACTION_DIGITS)
    assert lettering == (0.7, 0.5, 2.5, 3.5, 2.4)
    assert (audit_rules.LEAST_FRAME, audit_rules.LEAST_INK) == (8.0, 4.0)
    assert (audit_dimensions.OVERSHOOT, audit_dimensions.SLACK) == ((1.5, 3.5), 0.2)
    assert audit_rules.ROUNDING == 0.01 and audit_dimensions.TOUCH == 0.05
    forms = {"titleblock", "revisions", "table", "index", "barscales", "layout", "partlabel", "legend"}
    assert set(audit_rules.FORMS) == forms
