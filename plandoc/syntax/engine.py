"""The Lark parsers: one for each set of words, built from grammar/*.lark."""

from __future__ import annotations

import re
from functools import lru_cache

from lark import Lark, TextSlice, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken
from lark.lexer import Token

from plandoc.resources import data_folder
from plandoc.syntax.vocabulary import Vocabulary

# The grammar is one text cut by subject; the order of the pieces has no meaning.
FILES = ("words", "expressions", "plan", "stock", "parts", "joints", "steps", "shop")
STARTS = ["statement", "plan_clause", "place_clause", "stock_clause", "part_clause", "shape_clause", "options", "step_clause", "routed_clause", "braced", "shop_top", "shop_clause"]


# Option words that the grammar itself knows, since they also join other lines together.
JOINING = ("from", "to", "on", "with", "at", "count", "size")


# What can only follow a value: a word before it is the name of one, though it may also be the word of an option.
VALUE_GOES_ON = r"(?![ \t]*(?:[×*\/+.\[]|x(?![A-Za-z0-9_])))"


def _words_terminal(name: str, words: tuple[str, ...], priority: int, after: str = "") -> str:
    body = "|".join(re.escape(w) for w in sorted(words, key=lambda w: (-len(w), w))) or "\\x00"  # nothing, but Lark wants a sign
    return f"{name}.{priority}: /(?:{body})(?![A-Za-z0-9_]){after}/\n"


@lru_cache(maxsize=4)
def parser(vocabulary: Vocabulary) -> Lark:
    """The parser for plans that use these words."""
    folder = data_folder("grammar")
    text = "\n".join((folder / f"{name}.lark").read_text(encoding="utf-8") for name in FILES)
    text += "\n" + _words_terminal("OPTION", tuple(w for w in vocabulary.options if w not in JOINING), 3, VALUE_GOES_ON)
    text += _words_terminal("FLAG", vocabulary.flags, 3)
    text += _words_terminal("SHAPE", vocabulary.shapes, 4)
    text += _words_terminal("JOINT", vocabulary.joints, 4)
    text += _words_terminal("HARDWARE", vocabulary.hardware, 4)
    text += _words_terminal("MACHINE", vocabulary.machines, 4)
    return Lark(text, parser="lalr", start=STARTS, propagate_positions=True, maybe_placeholders=True)


class Fault(Exception):
    """A line that is not of the language: offset of the first character or word that does not fit."""

    def __init__(self, start: int, end: int, expected: frozenset[str], at_end: bool) -> None:
        super().__init__()
        self.start, self.end, self.expected, self.at_end = start, end, expected, at_end


def parse_slice(vocabulary: Vocabulary, text: str, start: int, end: int, rule: str) -> Tree[Token]:
    """The Lark tree of text[start:end] read as `rule`. Raises Fault."""
    try:
        return parser(vocabulary).parse(TextSlice(text, start, end), start=rule)
    except UnexpectedToken as fault:
        expected = frozenset(fault.accepts or fault.expected)
        if fault.token.type == "$END":
            raise Fault(end, end, expected, True) from None
        raise Fault(fault.token.start_pos or start, fault.token.end_pos or end, expected, False) from None
    except UnexpectedCharacters as fault:
        place = fault.pos_in_stream if fault.pos_in_stream is not None else start
        raise Fault(place, place + 1, frozenset(fault.allowed or ()), False) from None
    except UnexpectedInput:  # pragma: no cover - the two cases above are all that LALR raises
        raise Fault(start, end, frozenset(), False) from None
