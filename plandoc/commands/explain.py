"""plandoc explain CODE: what a diagnostic means and how it is mended."""

from __future__ import annotations

import argparse
import sys

from plandoc.commands import common
from plandoc.diagnostics.codes import CODES
from plandoc.syntax.vocabulary import did_you_mean

NAME, HELP = "explain", "explain a diagnostic code"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    parser.add_argument("code", metavar="CODE", help="a code such as PD310, or `all`")


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
    if key not in CODES:
        raise common.Usage(f"there is no code {args.code!r}. {did_you_mean(key, CODES)}".strip())
    sys.stdout.write(explanation(key))
    return common.CLEAN
