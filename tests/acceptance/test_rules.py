"""Every rule finds the fault that is put into a sound packet by hand."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest

from tests.acceptance.findings import RULES
from tests.acceptance.packets import Packet, Store
from tests.acceptance.test_acceptance import FAULTS

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


def again(kind: str, shift: str) -> Change:
    """The first group of that kind a second time, moved."""
    return put(rf'(<g class="{kind}"[^>]*>.*?</g>)', rf'\1<g class="moved" transform="{shift}">\1</g>')


# rule, file that is changed, change
CASES: list[tuple[str, str, Change]] = [
    ("01-", "part-A.svg", put(r">411\.2<", ">411.3<")),
    ("01b", "part-A.svg", put(r">411\.2<", ">401.2<")),
    ("01c", "part-A.svg", put(r'data-to="left_side.top" data-mm="420"', 'data-to="left_side.top" data-mm="421"')),
    ("02-", "part-A", put(r'<g class="dimension"[^>]*data-to="left_side.dado\[shelf\]".*?</g>', "")),
    ("03-", "part-A.svg", again("dimension", "translate(0 0)")),
    ("03b", "part-A-B.svg", again("dimension", "translate(0 0)")),
    ("04-", "exploded.svg", put('data-item="A"', 'data-item="Z"')),
    ("04-", "parts.csv", put("A,\"Left side, Right side\",2", "A,\"Left side, Right side\",3")),
    ("04b", "part-A.svg", put("L 420<", "L 421<")),
    ("05-", "model.json", lambda text: _moved_bore(text)),
    ("06-", "part-D.svg", put('data-kind="overall"', 'data-kind="size"')),
    ("06b", "elevations.svg", put('data-mm="700" data-kind="overall"', 'data-mm="700" data-kind="size"')),
    ("07-", "01-cover.svg", put('width="297mm"', 'width="290mm"')),
    ("07b", "part-A.svg", put('data-mm="220"', 'data-mm="230"')),
    ("07c", "part-A.svg", put('data-part="left_side" data-proj="front" data-scale="1:5"', 'data-part="left_side" data-proj="front" data-scale="1:4"')),
    ("07d", "elevations.svg", put(">200 mm<", ">300 mm<")),
    ("08-", "01-cover.svg", put(r'(<text [^>]*>)([^<]*)(</text>)', r"\1\2\3\1again\3")),
    ("09-", "part-A.svg", inside('<path class="vis" d="M40,30L100,30" stroke-width="0.5" />')),
    ("09b", "part-A.svg", inside('<path class="ink" d="M60,29L63,29 63,31Z" fill="#000000" stroke="none" />')),
    ("09c", "part-A.svg", inside('<path class="vis" d="M110,180L280,180" stroke-width="0.5" />')),
    ("10-", "part-A.svg", inside('<path class="vis" d="M5,50L20,50" stroke-width="0.5" />')),
    ("11-", "01-cover.svg", put(r'font-size="4\.\d+"', 'font-size="3.1"')),
    ("11b", "part-A.svg", put(r'class="dimtxt"([^>]*)font-size="5\.303"', r'class="dimtxt"\1font-size="5.8"')),
    ("12-", "part-A.svg", again("dimension", "rotate(90 150 60)")),
    ("13-", "part-A.svg", inside("".join(f'<g class="leader"><path class="ldr" d="{d}" stroke-width="0.25" /></g>' for d in ("M100,100L120,120", "M100,120L120,100")))),
    ("13b", "part-A.svg", inside('<g class="leader"><path class="ldr" d="M125,55L135,65" stroke-width="0.25" /></g>')),
    ("14-", "part-A.svg", put(r'<g class="dimension"', '<g transform="translate(6 0)" class="dimension"')),
    ("14b", "elevations.svg", put(r'<g class="dimension"([^>]*data-kind="overall" data-side="left" data-row="1")', r'<g transform="translate(-3 0)" class="dimension"\1')),
    ("15-", "elevations.svg", put(r'<g class="dimension"([^>]*data-kind="overall" data-side="left" data-row="1")', r'<g transform="translate(9 0)" class="dimension"\1')),
    ("16-", "part-A.svg", put(r'class="ext" d="M139\.084,39\.931L128\.084,39\.931', 'class="ext" d="M139.084,39.931L125.084,39.931')),
    ("16b", "part-A.svg", put(r'class="ext" d="M139\.084,39\.931', 'class="ext" d="M140.084,39.931')),
    ("16c", "part-A.svg", put(r'class="ext" d="M139\.084,39\.931', 'class="ext" d="M134.084,39.931')),
    ("17-", "part-A.svg", put(r"rotate\(-90", "rotate(90")),
    ("18-", "part-A.svg", put(r'class="dim"([^>]*)stroke-width="0.25"', r'class="dim"\1stroke-width="0.3"')),
    ("18b", "part-A.svg", put(r'class="dim"([^>]*)stroke-width="0.25"', r'class="dim"\1stroke-width="0.35"')),
    ("18-", "part-A.svg", put(r'<g class="view"', '<g transform="scale(0.9)" class="view"')),
    ("19-", "part-A.svg", put(r'(<path class="vis" d="[^"]*" stroke-width="0.5" />)', r'\1<path class="hid" d="M140.584,39.931L224.584,39.931" stroke-width="0.25" />')),
    ("20-", "elevations.svg", put(r'<g class="view" id="elevation-right"', '<g transform="translate(0 2)" class="view" id="elevation-right"')),
    ("20-", "elevations.svg", put(r'data-proj="right"', 'data-proj="left"')),
    ("20b", "elevations.svg", put(r'(<g class="projection-symbol" data-proj=")third', r"\1first")),
    ("20c", "elevations.svg", put(r'(<g class="projection-symbol" data-proj=")third', r"\1first")),
    ("21-", "section.svg", put(">SECTION A-A<", ">SECTION B-B<")),
    ("22-", "part-A.svg", put('data-scale="1:5"', 'data-scale="1:7"')),
    ("22-", "part-A.svg", put("SCALE 1:5", "SCALE 1:2")),
    ("22b", "part-A.svg", put(r'(<g class="view" id="A-main".*?<text class="vtitle"[^>]*y=")[\d.]+', r"\g<1>170")),
    ("22c", "elevations.svg", put(r'<g class="dimension"', '<g transform="translate(135 0)" class="dimension"')),
    ("23-", "section.svg", lambda text: re.sub("dado", "slot", text, flags=re.IGNORECASE)),
    ("23b", "section.svg", lambda text: re.sub("dado", "slot", text, flags=re.IGNORECASE)),
    ("26-", "cutting.csv", put(r"ply,sheet,1,C[^\n]*\n", "")),
    ("26b", "cutting.csv", put(r"ply,sheet,1,B,6,229", "ply,sheet,1,B,6,200")),
    ("27b", "exploded.svg", put(r'(<g class="balloon".*?<circle[^>]*cx=")[\d.]+', r"\g<1>1")),
    ("28-", "part-A.svg", put(r">11 of 19<", ">12 of 19<")),
    ("28-", "part-A.svg", put(r">2031-09-14<", ">2031-09-15<")),
    ("28b", "01-cover.svg", put(r">4\.1 – 4\.4<", ">4.1 – 4.3<")),
    ("29-", "part-A.svg", put(">DADO FOR", ">漢 FOR")),
    ("29-", "part-A.svg", put(r'textLength="56', 'textLength="50')),
    ("29c", "part-A.svg", put(">DADO FOR", ">DADO FORE")),
]  # fmt: skip


def _moved_bore(text: str) -> str:
    model = json.loads(text)
    feature = next(f for p in model["parts"] for f in p["features"] if f["id"] == "top.screw1[left_side]")
    feature["centre"] = [str(float(v) + 3) for v in feature["centre"]]
    return json.dumps(model)


def changed(packet: Packet, file: str, change: Change) -> Packet:
    """The packet with one fault in one file."""
    names = [n for n in sorted(packet.files) if n.endswith(file) or (not file.endswith((".svg", ".csv", ".json")) and file in n)]
    assert names, file
    for name in names:
        try:
            data = change(packet.files[name].decode("utf-8")).encode("utf-8")
        except AssertionError:
            continue  # another sheet of that kind has the place
        if data != packet.files[name]:
            return Packet(packet.name, {**packet.files, name: data}, packet.drawings)
    raise AssertionError(f"no place for the change in {names}")


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(CASES)), ids=[f"{rule.strip('-')}-{n}" for n, (rule, _, _) in enumerate(CASES)])
def test_the_rule_finds_the_fault(number: int, sound: Packet) -> None:
    prefix, file, change = CASES[number]
    (name,) = (n for n in RULES if n.startswith(prefix))
    before = RULES[name](sound)
    after = RULES[name](changed(sound, file, change))
    assert set(map(str, after)) - set(map(str, before)), name
    assert len(before) <= FAULTS.get(name, {}).get("packets", {}).get("bench-shelf", 0)
