"""plandoc explain WHAT: what a diagnostic means and how it is mended; which words a joint, work, hardware or a machine
takes; what the reference says of the other words of the language."""

from __future__ import annotations

import argparse
import json
import sys

from plandoc.commands import common
from plandoc.diagnostics.codes import CODES
from plandoc.model.kinds import Kinds
from plandoc.syntax.vocabulary import did_you_mean
from plandoc.vocabulary import all_kinds
from plandoc.words import kind_text, word_data, word_text

NAME, HELP = "explain", "explain a code, a kind or a word of the language"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    parser.add_argument("code", metavar="CODE", help="a code such as PD310, a kind such as dado, a word such as trimmed; `all` lists the codes, `words` prints all words of the language as JSON")


def explanation(key: str) -> str:
    """Title, reason, wrong and right lines."""
    code = CODES[key]

    def block(text: str) -> str:
        return "\n".join("    " + line for line in text.splitlines())

    text = f"{code.code} ({code.severity.value}): {code.title}\n\n{code.explanation}\n"
    if code.wrong:
        text += f"\nNot so:\n\n{block(code.wrong)}\n"
    if code.right:
        text += f"\nBut so:\n\n{block(code.right)}\n"
    return text


def run(args: argparse.Namespace) -> int:
    """The text, or a list of all codes."""
    key = args.code.upper()
    if key == "ALL":
        for code in sorted(CODES):
            sys.stdout.write(f"{code}  {CODES[code].severity.value:<8} {CODES[code].title}\n")
        return common.CLEAN
    kinds = all_kinds()
    if args.code.lower() == "words":
        sys.stdout.write(json.dumps(word_data(kinds), ensure_ascii=False, indent=1) + "\n")
        return common.CLEAN
    texts = (kind_text(args.code.lower(), kinds), word_text(args.code.lower(), kinds))
    text = "\n".join(text for text in texts if text)
    if text:
        sys.stdout.write(text)
        return common.CLEAN
    if key not in CODES:
        raise common.Usage(f"there is no code and no kind {args.code!r}. {_near(args.code, kinds)}".strip())
    sys.stdout.write(explanation(key))
    return common.CLEAN


def _near(word: str, kinds: Kinds) -> str:
    code = did_you_mean(word.upper(), CODES)
    data = word_data(kinds)
    words = [*data["statements"], *(w for below in data["below"].values() for w in below)]
    return code or did_you_mean(word.lower(), list(dict.fromkeys([*kinds.joints, *kinds.shapes, *kinds.hardware, *kinds.machines, *words])))
