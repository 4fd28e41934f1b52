"""What to say about a line that is not of the language."""

from __future__ import annotations

import re

from plandoc.diagnostics import Sink, Span
from plandoc.syntax.engine import Fault
from plandoc.syntax.outline import Line
from plandoc.syntax.repair import PLAIN_UNITS, UNITS, repaired
from plandoc.syntax.vocabulary import Vocabulary, closest, did_you_mean

STATEMENT_WORDS = ("plan", "include", "set", "stock", "part", "assembly", "place", "for", "if", "otherwise", "joint", "hardware", "fit", "opens", "swings", "section", "template", "no", "routed", "step", "note")
CLAUSE_WORDS = {
    "statement": STATEMENT_WORDS,
    "place_clause": ("at", "turned", "mirrored", "leans"),
    "plan_clause": ("for", "author", "date", "revision", "units", "sheets", "style", "projection", "currency", "allowance", "templates", "shop", "kerf", "trim", "time", "note"),
    "stock_clause": ("called", "measured", "dressed", "grain", "material", "species", "density", "faces", "boards", "defect", "also", "rack", "price", "allowance", "note"),
    "routed_clause": ("drills", "clamps", "larger", "lettering"),
    "step_clause": ("cuts", "makes", "joins", "fits", "do", "tools", "caution", "check", "wait", "note"),
    "shop_top": ("shop",),
}
SHOP_MEND = 'a shop is a file of its own, which the heading names: indent shop "club.shop" below `plan`'
DRAWN_WORDS = ("start", "line", "arc")
OWNER = {
    "statement": "a plan",
    "plan_clause": "`plan`",
    "place_clause": "`place`",
    "stock_clause": "`stock`",
    "part_clause": "`part`",
    "shape_clause": "this piece of work",
    "options": "this line",
    "step_clause": "`step`",
    "shop_top": "a shop file",
    "shop_clause": "`shop`",
    "routed_clause": "`routed`",
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
    "_OF": "`of`",
    "_WITH": "`with`",
    "BIT": "`bit`",
    "BLANK": "`blank`",
    "_TEMPLATE": "`template`",
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
# Words of the workshop for a direction, and words of other trades for a statement.
DIRECTIONS = {"width": "across", "wide": "across", "left": "across", "right": "across", "depth": "back", "deep": "back", "front": "back", "rear": "back", "height": "up", "high": "up", "top": "up", "bottom": "up"}
SYNONYMS = {
    ("statement", "else"): "otherwise",
    ("statement", "let"): "set",
    ("statement", "board"): "part",
    ("statement", "panel"): "part",
    ("statement", "piece"): "part",
    ("statement", "title"): "plan",
    ("statement", "material"): "stock",
    ("statement", "use"): "include",
    ("stock_clause", "thickness"): "called",
    ("stock_clause", "thick"): "called",
    ("stock_clause", "actual"): "measured",
    ("stock_clause", "cost"): "price",
    ("plan_clause", "paper"): "sheets",
    ("plan_clause", "rev"): "revision",
    ("plan_clause", "customer"): "for",
    ("plan_clause", "client"): "for",
    ("step_clause", "glues"): "joins",
    ("step_clause", "warning"): "caution",
    ("step_clause", "text"): "do",
}
_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_FIGURE_BEFORE = re.compile(r"(?<![A-Za-z0-9_])[\d./ ]*[\d½¼¾⅛⅜⅝⅞⅓⅔] *\Z")
_TOKEN = re.compile(r"""[\d.,/]+(?:["'°]|\b ?(?:mm|cm|m|in|ft)\b)?|[=<>!:]+|.""")


def words_for(rule: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Words that a line read by this rule can begin with."""
    if rule == "part_clause":
        return ("across", "back", "up", "grain", "size", "count", "wide", "allowance", "glued", "leans", "turned", "trimmed", "note", *vocabulary.shapes)
    if rule == "shape_clause":
        return (*vocabulary.shapes, *DRAWN_WORDS, *vocabulary.options, *vocabulary.flags)
    if rule == "options":
        return (*vocabulary.options, *vocabulary.flags)
    if rule == "shop_clause":
        return vocabulary.machines
    return CLAUSE_WORDS.get(rule, ())


def report(sink: Sink, file: str, text: str, line: Line, rule: str, fault: Fault, vocabulary: Vocabulary) -> None:
    """One diagnostic for one faulty line."""
    first = _WORD.match(text, line.start, line.end)
    first_word = first.group() if first else ""
    whole = text[line.start : line.end]
    known = words_for(rule, vocabulary)
    if not first_word or first_word not in known:
        if rule == "place_clause" and first_word and "=" not in whole and not closest(first_word, known):
            sink.emit("PD104", f"`{first_word}` needs `=` and a value", Span(file, line.start, line.end), mend=f"{first_word} = ...")
            return
        if rule != "place_clause" or not first_word or closest(first_word, known):
            _unknown_word(sink, file, text, line, rule, first_word, first.end() if first else line.start + 1, known, vocabulary)
            return
    mended = repaired(text, line.start, line.end, rule, fault, vocabulary)
    if _open_string(text, line, sink, file, mended):
        return
    if fault.at_end:
        opened = _open_bracket(whole)
        if opened is not None:
            at = line.start + opened
            sink.emit("PD116", f"a `{text[at]}` is not closed", Span(file, at, at + 1), mend="close it in the same line")
            return
        sink.emit("PD104", "the line ends too early", Span(file, max(line.start, line.end - 1), line.end), notes=[f"here could follow: {_expected(fault)}"], mend=mended)
        return
    word = _WORD.match(text, fault.start, line.end)
    token = word or _TOKEN.match(text, fault.start, line.end)
    found = token.group() if token else text[fault.start]
    place = Span(file, fault.start, min(fault.start + len(found), line.end))
    hint = mended or (f"here could stand: {_expected(fault)}" if fault.expected else "")
    if word and _FIGURE_BEFORE.search(text, line.start, fault.start) and found.lower() in (*UNITS, *PLAIN_UNITS) and found not in PLAIN_UNITS:
        sink.emit("PD111", f"`{found}` is not a unit", place, notes=["lengths are in \" or in, ' or ft, mm, cm and m; angles in ° or deg; weights in lb, oz, kg and g"], mend=mended)
    elif word and "JOINT" in fault.expected:
        sink.emit("PD114", f"`{found}` is not a kind of joint that is known", place, mend=_kind_mend(found, whole, vocabulary.joints, "joint"))
    elif word and "HARDWARE" in fault.expected:
        sink.emit("PD115", f"`{found}` is not a kind of hardware that is known", place, mend=did_you_mean(found, vocabulary.hardware))
    elif word and "OPTION" in fault.expected and fault.start > line.start and not mended.startswith(text[line.start : fault.start].rstrip() + ","):
        options = (*vocabulary.options, *vocabulary.flags)
        near = closest(found, options)
        sink.emit("PD112", f"`{found}` is not a word that can stand here", place, mend=f"did you mean `{near}`?" if near else hint)
    elif found == "-" and fault.start > line.start and text[fault.start - 1].isalnum():
        sink.emit("PD108", "a name has no `-` in it", place, notes=["between two values a `-` takes the second from the first"], mend=mended or "write `_` instead of `-`")
    elif found[0].isdigit() and fault.expected == {"NAME"}:
        sink.emit("PD105", f"`{found}` cannot stand here: a name begins with a letter", place)
    elif not word and found[0] not in "()[],.=+-*/<>\"'{}:;|&%$@^~?!\\#" and not found[0].isdigit():
        sink.emit("PD107", f"the character `{found[0]}` has no meaning in a plan", Span(file, fault.start, fault.start + 1), mend=mended)
    elif found[0] == "(" and rule == "statement" and first_word == "part":
        sink.emit("PD105", "a `(` cannot stand here", place, mend="an index is written in square brackets: shelf[2]")
    else:
        shown = found if len(found) < 30 else found[:27] + "..."
        sink.emit("PD105", f"`{shown}` cannot stand here", place, notes=_remark(text, line, fault), mend=hint)


def _remark(text: str, line: Line, fault: Fault) -> list[str]:
    """Why the sign at the fault does not do what it was perhaps meant to."""
    found = text[fault.start]
    around = text[max(line.start, fault.start - 1) : fault.start + 2]
    if len(around) == 3 and found == "," and around[0].isdigit() and around[2].isdigit():
        return ["a comma separates values; a decimal is written with a point"]
    if found in "\"'" and text[fault.start - 1 : fault.start] == " ":
        return ["an inch or foot mark stands directly behind its figure"]
    return []


def _kind_mend(found: str, whole: str, kinds: tuple[str, ...], statement: str) -> str:
    """`joint shelf into side dado`: the kind stands in the wrong place."""
    later = next((w for w in _WORD.findall(whole) if w in kinds), "")
    if later and not closest(found, kinds):
        rest = re.sub(rf"\s*\b{later}\b", "", whole[len(statement) :], count=1)
        return f"the kind comes first: {statement} {later}{rest}"
    return did_you_mean(found, kinds)


def is_value(written: str) -> bool:
    """Whether a line is `name = value`, as they stand below `place`."""
    return re.match(r"\w+ *=[^=]", written) is not None


def is_clause(written: str, vocabulary: Vocabulary) -> bool:
    """Whether a line begins with a word of a line that belongs to a statement."""
    word = written.partition(" ")[0]
    return any(word in words for words in CLAUSE_WORDS.values()) or word in words_for("part_clause", vocabulary)


def _unknown_word(sink: Sink, file: str, text: str, line: Line, rule: str, word: str, end: int, known: tuple[str, ...], vocabulary: Vocabulary) -> None:
    place = Span(file, line.start, max(end, line.start + 1))
    whole = text[line.start : line.end]
    if not word:
        sink.emit("PD105", "a line begins with a word", place, mend=did_you_mean("", known))
        return
    near = closest(word, known)
    owners = [other for other, words in sorted(CLAUSE_WORDS.items()) if other != rule and word in words]
    if rule != "part_clause" and word in words_for("part_clause", vocabulary):
        owners.append("part_clause")
    if owners and not (rule == "part_clause" and near):
        mend = SHOP_MEND if word == "shop" else "it belongs into the plan; a shop file has only `shop` and its machines" if rule in ("shop_top", "shop_clause") else "indent it below the part that it belongs to" if owners == ["part_clause"] else "mind the indentation: a line belongs to the line above that stands further left"
        sink.emit("PD109", f"`{word}` does not belong to {OWNER[rule]}", place, notes=[f"it is a word of {' and '.join(OWNER[owner] for owner in owners)}"], mend=mend)
    elif rule == "part_clause":
        other = DIRECTIONS.get(word.lower(), "")
        notes = ["the directions are across (to the right), back (away from the viewer) and up"] if other else []
        mend = f"{other}{whole[len(word) :]}" if other else did_you_mean(word, known)
        sink.emit("PD113", f"`{word}` is neither a direction nor a piece of work that is known", place, notes=notes, mend=mend)
    elif rule in ("options", "shape_clause"):
        sink.emit("PD112", f"`{word}` is not a word that can stand here", place, mend=f"did you mean `{near}`?" if near else did_you_mean("", known))
    else:
        other = SYNONYMS.get((rule, word.lower()), "")
        mend = f"did you mean `{near or other}`?" if near or other else did_you_mean(word, known)
        if rule == "statement" and word in vocabulary.joints:
            mend = f"joint {whole}"
        elif rule == "statement" and not near and is_value(whole):
            above = _statement_above(text, line.start)
            mend = f"indent it below `{above}`: it is a value of that line" if above else f"set {whole}"
        sink.emit("PD101", f"`{word}` is not a word that begins a line of {OWNER[rule]}", place, mend=mend)


def _statement_above(text: str, start: int) -> str:
    """The `place` line that a line `name = value` belongs to, which stands as far left as it does: only other such lines stand
    between them; "" where there is none."""
    for above in reversed(text[:start].splitlines()):
        written = above.partition("#")[0].strip()
        if written.startswith("place "):
            return written
        if written and not is_value(written):
            return ""
    return ""


def _open_string(text: str, line: Line, sink: Sink, file: str, mended: str) -> bool:
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
    if text[opened - 1] == " " and text[line.start : opened].rstrip()[-1:].isdigit() and mended:
        sink.emit("PD105", 'a `"` cannot stand here', Span(file, opened, opened + 1), notes=["an inch or foot mark stands directly behind its figure"], mend=mended)
        return True
    sink.emit("PD106", "a text in quotes is not closed", Span(file, opened, line.end), notes=['inside a text an inch mark is written \\"'], mend=mended or 'end it with "')
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
