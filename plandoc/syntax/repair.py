"""Mends that work: small changes to a faulty line are tried until the line can be read."""

from __future__ import annotations

import re
from collections.abc import Iterator

from plandoc.syntax.engine import Fault, parse_slice
from plandoc.syntax.vocabulary import Vocabulary, closest

LONGEST = 200

# Words that people write for a unit, and the unit.
UNITS = {
    "inches": '"',
    "inch": '"',
    "ins": '"',
    "feet": "'",
    "foot": "'",
    "millimetres": "mm",
    "millimetre": "mm",
    "millimeters": "mm",
    "millimeter": "mm",
    "centimetres": "cm",
    "centimeters": "cm",
    "metres": "m",
    "meters": "m",
    "degrees": "°",
    "degree": "°",
    "pounds": "lb",
    "pound": "lb",
    "lbs": "lb",
    "ounces": "oz",
    "kilos": "kg",
    "kgs": "kg",
}
PLAIN_UNITS = ("in", "ft", "mm", "cm", "m", "deg", "lb", "oz", "kg", "g")
# Small words and signs that stand where another one belongs.
_SMALL = ("in", "of", "on", "at", "by", "to", "and", "with", "is", "be", "as", "into", "from", "for", "step", "made", "till", "until", "through", "=", ":", ":=", "==", "-", "&", "+", "/", ";", ".", "{")
# Terminals that have a fixed text and no word as their name.
_SIGNS = {"EQUAL": "=", "COMMA": ",", "X": "x"}
_NOT_WORDS = ("LENGTH", "ANGLE", "MASS", "MIXED", "NUMBER", "NAME", "STRING", "TEXT", "DATE", "NO", "AXIS", "COMPARE", "OPTION", "FLAG", "SHAPE", "JOINT", "HARDWARE", "MACHINE")
_FIGURE = r"[\d½¼¾⅛⅜⅝⅞⅓⅔]"


def expected_words(fault: Fault) -> list[str]:
    """The words and signs with a fixed text that could stand at the fault."""
    found = []
    for name in sorted(fault.expected):
        if name in _SIGNS:
            found.append(_SIGNS[name])
        elif name not in _NOT_WORDS and not name.startswith(("$", "__")):
            word = name.lstrip("_").lower()
            if word.isalpha() and word not in ("and", "or", "if", "not", "plus", "minus", "star", "slash", "lpar", "rpar", "lsqb", "rsqb", "dot", "lbrace"):
                found.append(word)
    return found


def repaired(text: str, start: int, end: int, rule: str, fault: Fault, vocabulary: Vocabulary) -> str:
    """The line text[start:end] with one thing changed so that it can be read; "" where no such change is found."""
    line = text[start:end]
    if len(line) > LONGEST:
        return ""
    tried: set[str] = {line}
    for candidate in _candidates(line, fault.start - start, fault, vocabulary):
        if candidate in tried:
            continue
        tried.add(candidate)
        try:
            parse_slice(vocabulary, candidate, 0, len(candidate), rule)
        except Fault:
            continue
        return candidate
    return ""


def _candidates(line: str, at: int, fault: Fault, vocabulary: Vocabulary) -> Iterator[str]:
    before, rest = line[:at], line[at:]
    match = re.match(r"[A-Za-z_][A-Za-z0-9_]*|:=|==|[^\sA-Za-z_]+|.", rest) if rest else None
    found = match.group() if match else ""
    after = rest[len(found) :]
    expected = expected_words(fault)
    if found == "by" and "X" in fault.expected:
        yield before + "x" + after
    if found.startswith(",") and re.search(r"\d$", before) and re.match(r",\d", rest):
        yield before + "." + rest[1:]  # a decimal comma
    yield from _figures(line, before, found, after)
    if found[:1] == '"':
        yield line + '"'
    # letter SET 1 high 3/8" on top
    yield re.sub(r"^(letter) +([^\"]+?) +(high|deep|on|at)\b", r'\1 "\2" \3', line)
    near = closest(found, [w for w in expected if len(w) > 1]) if len(found) > 2 else ""
    if near:
        yield before + near + after
    if "OPTION" in fault.expected and found:
        near = closest(found, (*vocabulary.options, *vocabulary.flags))
        if near:
            yield before + near + after
    if found == "and":
        yield before.rstrip() + "," + after
    worded = bool(found) and (found[0].isalpha() or found[0] == "_")
    if "COMMA" not in fault.expected and (found in ("-", ".") or (worded and before[-1:] == " ")):
        # A name in two words, or with another sign in it.
        yield before.rstrip() + "_" + (rest if found[0] not in "-." else after)
    small = found in _SMALL
    if small:
        for word in sorted(expected, key=_insertion_order):
            yield before + (f"{word}" if before[-1:] in (" ", "") else f" {word}") + after
            yield before + word + " " + after.lstrip()
    blank = "" if before[-1:] in (" ", "") else " "
    options = "OPTION" in fault.expected
    for word in sorted(expected, key=_insertion_order):
        # Where options may stand, putting the word of one before a stray word mends nothing.
        if (options and word != ",") or (word == "x" and worded):
            continue
        yield f"{before.rstrip()}{word} {rest}" if word == "," else f"{before}{blank}{word} {rest}"
    if fault.at_end:
        return
    # `joint dado shelf deep 1/4" into side`: the options stand behind the second part.
    moved = re.match(r"(.*?) +((?:into|onto|on) [A-Za-z_][A-Za-z0-9_.\[\]]*(?: *, *[A-Za-z_][A-Za-z0-9_.\[\]]*)*)(.*)", rest)
    if moved is not None:
        yield f"{before}{moved[2]} {moved[1]}{moved[3]}"
    if "STRING" in fault.expected and worded:
        yield before + '"' + rest.strip('" ') + '"'
    yield line.replace("×", "*")
    if found and not found[0].isalnum():
        yield before + after
        if "=" not in before:
            yield before.rstrip() + " = " + after.lstrip()
        yield before + rest[1:]
    if "$END" in fault.expected:
        yield before.rstrip()


def _insertion_order(word: str) -> tuple[int, str]:
    order = ("into", "from", "=", ",", "to", "x", "on", "at")
    return (order.index(word) if word in order else len(order), word)


def _figures(line: str, before: str, found: str, after: str) -> Iterator[str]:
    """Slips in the writing of figures and units."""
    yield re.sub(r"(\d),(\d+ ?(?:mm|cm|m|in|ft|kg|g|lb|oz|\"|'))", r"\1.\2", line)
    yield re.sub(rf"({_FIGURE}) +([\"'])", r"\1\2", line)
    yield re.sub(rf"({_FIGURE}) +([\"'])", r"\1\2", before + found) + after
    yield re.sub(r"(\d) +/ *(\d+[\"'])|(\d) */ +(\d+[\"'])", lambda m: f"{m[1] or m[3]}/{m[2] or m[4]}", line)
    yield re.sub(r"\b(\d{4})-(\d{1,2})-(\d{1,2})\b", lambda m: f"{m[1]}-{m[2]:0>2}-{m[3]:0>2}", line)
    yield re.sub(r"(\"[^\"]*\") +(\d{4}-\d\d-\d\d)", r"\2 \1", line)
    unit = UNITS.get(found.lower())
    if unit is not None:
        yield (before.rstrip() if unit in "\"'°" else before) + unit + after
    if found.lower() in PLAIN_UNITS:
        yield before + found.lower() + after
    if found[:1] == "$":
        yield before + found[1:] + after
    if line.count('"') > 2:
        # Inch marks inside a text.
        first, last = line.find(' "') + 1, line.rfind('"')
        inner = line[first + 1 : last].replace('\\"', '"').replace('"', '\\"')
        yield line[: first + 1] + inner + line[last:]
