"""What to say about a line that is not of the language."""

from __future__ import annotations

import re

from plandoc.diagnostics import Sink, Span
from plandoc.syntax.engine import Fault
from plandoc.syntax.outline import Line
from plandoc.syntax.vocabulary import Vocabulary, closest, did_you_mean

STATEMENT_WORDS = ("plan", "include", "set", "stock", "part", "assembly", "place", "for", "if", "otherwise", "joint", "hardware", "fit", "opens", "section", "step", "note")
CLAUSE_WORDS = {
    "statement": STATEMENT_WORDS,
    "plan_clause": ("for", "author", "date", "revision", "units", "sheets", "style", "projection", "currency", "note"),
    "place_clause": ("at", "turned", "mirrored"),
    "stock_clause": ("called", "measured", "dressed", "grain", "material", "boards", "price", "note"),
    "step_clause": ("cuts", "makes", "joins", "fits", "do", "tools", "caution", "check", "wait", "note"),
}
OWNER = {
    "statement": "a plan",
    "plan_clause": "`plan`",
    "place_clause": "`place`",
    "stock_clause": "`stock`",
    "part_clause": "`part`",
    "shape_clause": "this piece of work",
    "options": "this line",
    "step_clause": "`step`",
}
# What a terminal of the grammar is called in a message, most telling first.
TERMINALS = {
    "TEXT": "some words",
    "STRING": "a text in quotes",
    "LENGTH": "a length",
    "NUMBER": "a number",
    "NAME": "a name",
    "AXIS": "across, back or up",
    "DATE": "a date such as 2031-05-09",
    "_INTO": "`into`",
    "_ON": "`on`",
    "_FROM": "`from`",
    "_TO": "`to`",
    "_FOR": "`for`",
    "_BETWEEN": "`between`",
    "_CENTRED": "`centred`",
    "_AND": "`and`",
    "_AT": "`at`",
    "_ABOUT": "`about`",
    "_IN": "`in`",
    "THEN": "`then`",
    "ELSE": "`else`",
    "EQUAL": "`=`",
    "JOINT": "the kind of joint",
    "HARDWARE": "the kind of hardware",
    "RPAR": "`)`",
    "RSQB": "`]`",
    "COMMA": "a comma",
    "MIRRORS": "`mirrors`",
}
_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def words_for(rule: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Words that a line read by this rule can begin with."""
    if rule == "part_clause":
        return ("across", "back", "up", "grain", "size", "count", "note", *vocabulary.shapes)
    if rule == "shape_clause":
        return (*vocabulary.shapes, *vocabulary.options, *vocabulary.flags)
    if rule == "options":
        return (*vocabulary.options, *vocabulary.flags)
    return CLAUSE_WORDS.get(rule, ())


def report(sink: Sink, file: str, text: str, line: Line, rule: str, fault: Fault, vocabulary: Vocabulary) -> None:
    """One diagnostic for one faulty line."""
    first = _WORD.match(text, line.start, line.end)
    first_word = first.group() if first else ""
    whole = text[line.start : line.end]
    known = words_for(rule, vocabulary)
    if not first_word or first_word not in known:
        if rule == "place_clause" and first_word and "=" not in whole:
            sink.emit("PD104", f"`{first_word}` needs `=` and a value", Span(file, line.start, line.end), mend=f"{first_word} = ...")
            return
        if rule != "place_clause" or not first_word:
            _unknown_word(sink, file, line, rule, first_word, first.end() if first else line.start + 1, known, vocabulary)
            return
    if _open_string(text, line, sink, file):
        return
    if fault.at_end:
        opened = _open_bracket(whole)
        if opened is not None:
            at = line.start + opened
            sink.emit("PD116", f"a `{text[at]}` is not closed", Span(file, at, at + 1), mend="close it in the same line")
            return
        sink.emit("PD104", "the line ends too early", Span(file, max(line.start, line.end - 1), line.end), notes=[f"here could follow: {_expected(fault)}"])
        return
    word = _WORD.match(text, fault.start, line.end)
    found = word.group() if word else text[fault.start]
    end = word.end() if word else max(fault.end, fault.start + 1)
    place = Span(file, fault.start, min(max(end, fault.start + 1), line.end))
    if word and "JOINT" in fault.expected:
        sink.emit("PD114", f"`{found}` is not a kind of joint that is known", place, mend=did_you_mean(found, vocabulary.joints))
    elif word and "HARDWARE" in fault.expected:
        sink.emit("PD115", f"`{found}` is not a kind of hardware that is known", place, mend=did_you_mean(found, vocabulary.hardware))
    elif word and "OPTION" in fault.expected and fault.start > line.start:
        options = (*vocabulary.options, *vocabulary.flags)
        near = closest(found, options)
        sink.emit("PD112", f"`{found}` is not a word that can stand here", place, mend=f"did you mean `{near}`?" if near else f"here could follow: {_expected(fault)}")
    elif found == "-" and fault.start > line.start and text[fault.start - 1].isalnum():
        sink.emit("PD108", "a name has no `-` in it", place, notes=["between two values a `-` takes the second from the first"], mend="write `_` instead of `-`")
    elif not word and found not in "()[],.=+-*/<>\"'{}:;|&%$@^~?!\\#" and not found.isdigit():
        sink.emit("PD107", f"the character `{found}` has no meaning in a plan", place)
    elif found in "(" and rule == "statement" and first_word == "part":
        sink.emit("PD105", "a `(` cannot stand here", place, mend="an index is written in square brackets: shelf[2]")
    else:
        shown = found if len(found) < 30 else found[:27] + "..."
        mend = f"here could stand: {_expected(fault)}" if fault.expected else ""
        if ('"' in found or found == "'") and fault.start > line.start and text[fault.start - 1] == " ":
            mend = 'put the inch mark directly behind the figure: 3/4"'
        sink.emit("PD105", f"`{shown}` cannot stand here", place, mend=mend)


def _unknown_word(sink: Sink, file: str, line: Line, rule: str, word: str, end: int, known: tuple[str, ...], vocabulary: Vocabulary) -> None:
    place = Span(file, line.start, max(end, line.start + 1))
    if not word:
        sink.emit("PD105", "a line begins with a word", place, mend=did_you_mean("", known))
        return
    if rule == "part_clause" and not closest(word, known):
        for other, words in CLAUSE_WORDS.items():
            if word in words:
                sink.emit("PD109", f"`{word}` does not belong to {OWNER[rule]}", place, notes=[f"it is a word of {OWNER[other]}"], mend="mind the indentation: a line belongs to the line above that stands further left")
                return
    for other, words in sorted(CLAUSE_WORDS.items()):
        if other != rule and word in words:
            sink.emit("PD109", f"`{word}` does not belong to {OWNER[rule]}", place, notes=[f"it is a word of {OWNER[other]}"], mend="mind the indentation: a line belongs to the line above that stands further left")
            return
    if rule in ("statement", "plan_clause", "stock_clause", "step_clause") and word in words_for("part_clause", vocabulary):
        sink.emit("PD109", f"`{word}` does not belong to {OWNER[rule]}", place, notes=["it is a word of `part`"], mend="indent it below the part that it belongs to")
        return
    if rule == "part_clause":
        sink.emit("PD113", f"`{word}` is neither a direction nor a piece of work that is known", place, mend=did_you_mean(word, known))
        return
    if rule in ("options", "shape_clause"):
        near = closest(word, known)
        sink.emit("PD112", f"`{word}` is not a word that can stand here", place, mend=f"did you mean `{near}`?" if near else "")
        return
    sink.emit("PD101", f"`{word}` is not a word that begins a line of {OWNER[rule]}", place, mend=did_you_mean(word, known))


def _open_string(text: str, line: Line, sink: Sink, file: str) -> bool:
    index, opened = line.start, -1
    while index < line.end:
        char = text[index]
        if opened >= 0 and char == "\\":
            index += 1
        elif char == '"':
            if opened >= 0:
                opened = -1
            elif not (index > line.start and (text[index - 1].isdigit() or text[index - 1] in "½¼¾⅛⅜⅝⅞⅓⅔")):
                opened = index
        index += 1
    if opened < 0:
        return False
    sink.emit("PD106", "a text in quotes is not closed", Span(file, opened, line.end), notes=['inside a text an inch mark is written \\"'], mend='end it with "')
    return True


def _open_bracket(whole: str) -> int | None:
    stack: list[int] = []
    for index, char in enumerate(whole):
        if char in "([":
            stack.append(index)
        elif char in ")]" and stack:
            stack.pop()
    return stack[-1] if stack else None


def _expected(fault: Fault) -> str:
    names = [TERMINALS[name] for name in TERMINALS if name in fault.expected]
    if "LENGTH" in fault.expected:
        names = [n for n in names if n not in ("a number", "a text in quotes")]
    unique = list(dict.fromkeys(names))
    if not unique:
        return "the end of the line"
    return unique[0] if len(unique) == 1 else ", ".join(unique[:-1]) + " or " + unique[-1]
