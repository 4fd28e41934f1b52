"""Whatever a plan looks like, reading and resolving it ends with diagnostics, never with a traceback."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support.resolving import HEAD, Outcome, resolved

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "eyepiece-cabinet"
TOKEN = re.compile(r"\s+|[A-Za-z_]\w*|\d+|.")
WORDS = ["plan", "part", "joint", "dado", "groove", "stock", "sheet", "birch", "set", "for", "from", "to", "in", "if", "otherwise", "place", "as", "tray", "assembly", "across", "back", "up", "grain", "between", "and", "at", "on", "with", "deep", '1/4"', "18", "mm", "23", '1/2"', "3", "0", "(", ")", "[", "]", "{", "}", ",", ".", "=", "==", "+", "-", "*", "/", "x", "×", "½", '"', "'", "#", "\\", "left", "right", "top", "mirrors", "about", "hole", "pocket", "round", "row", "every", "along", "hardware", "screw", "No", "8", "dowel", "fit", "step", "do", "cuts", "include", "90°", "40", "lb", "note", "size", "count", "through"]


def settled(outcome: Outcome) -> None:
    for d in outcome.diagnostics:
        places = [d.span, *(n.span for n in d.notes if n.span is not None)]
        for span in places:
            source = outcome.sources[span.file]
            assert 0 <= span.start <= span.end <= len(source.text), d
        assert d.message
    assert isinstance(outcome.report, str)


@pytest.mark.parametrize("round_", range(6))
def test_mutated_example(round_: int) -> None:
    """20 plans a round, each the example with one to four words lost, doubled, exchanged or put in; some 300 in all."""
    chance = random.Random(1000 + round_)
    stock = (EXAMPLE / "club-stock.plan").read_text(encoding="utf-8")
    tokens = TOKEN.findall((EXAMPLE / "eyepiece-cabinet.plan").read_text(encoding="utf-8").replace("\n", "\n "))
    tokens = [t.replace("\n ", "\n") for t in tokens]
    for _ in range(20):
        changed = list(tokens)
        for _ in range(chance.randint(1, 4)):
            a, b = chance.randrange(len(changed)), chance.randrange(len(changed))
            change = chance.choice(("lose", "double", "exchange", "put in"))
            if change == "lose":
                del changed[a]
            elif change == "double":
                changed.insert(a, changed[a])
            elif change == "exchange":
                changed[a], changed[b] = changed[b], changed[a]
            else:
                changed.insert(a, chance.choice(WORDS))
        settled(resolved({"e.plan": "".join(changed), "club-stock.plan": stock}, name="e.plan"))


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(st.sampled_from(("", "  ", "    ", "\t")), st.lists(st.sampled_from(WORDS), min_size=1, max_size=9)), max_size=8))
def test_any_words(lines: list[tuple[str, list[str]]]) -> None:
    text = "".join(indent + " ".join(words) + "\n" for indent, words in lines)
    settled(resolved(HEAD + text))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.text(max_size=120))
def test_any_characters(text: str) -> None:
    settled(resolved(HEAD + text))
    settled(resolved(text))
