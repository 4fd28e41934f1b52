"""The words of the language as data, for editors that complete them and for `plandoc explain`: all from the grammar's
clause lists and from what the kinds declare."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import Any

from plandoc.model.kinds import Kinds, Param
from plandoc.reference import TYPES, default_text
from plandoc.resources import data_folder
from plandoc.syntax.faults import STATEMENT_WORDS, words_for
from plandoc.syntax.parse import BELOW
from plandoc.vocabulary import vocabulary

GROUPS = ("joint", "work", "hardware", "machine")
WIDTH = 76
MOST = 4  # paragraphs, and lines of examples, that `word_text` shows


def word_data(kinds: Kinds) -> dict[str, Any]:
    """statements: the words that a line begins with; below: for each of them those of the lines indented under it; kinds:
    for each group (joint, work, hardware, machine of a shop) the kinds with their meaning, their example and their words. Plain dictionaries,
    lists and texts."""
    known = vocabulary(kinds)
    below = {_STATEMENT.get(name, name): list(words_for(rule, known)) for name, rule in BELOW.items() if rule not in ("statement", "options")}
    return {
        "statements": list(STATEMENT_WORDS),
        "below": {name: words for name, words in sorted(below.items()) if words},
        "kinds": {
            "joint": {k.name: {"meaning": k.doc, "example": k.example, "words": _rows(k.params)} for k in kinds.joints.values()},
            "work": {
                k.name: {"meaning": k.doc, "example": k.example, "below": k.below or "part", "words": _rows(k.params)}
                for k in kinds.shapes.values()
            },
            "hardware": {
                k.name: {"meaning": k.doc, "example": k.example, "words": _rows(k.params), "fit_words": _rows(k.fit_params)}
                for k in kinds.hardware.values()
            },
            "machine": {k.name: {"meaning": k.doc, "example": k.example, "words": _rows(k.params)} for k in kinds.machines.values()},
        },
    }


_STATEMENT = {"procedure_step": "step", "mirrored": "part", "each": "for", "loop": "for", "condition": "if"}


def _rows(params: Sequence[Param]) -> list[dict[str, Any]]:
    return [
        {
            "word": p.name,
            "takes": TYPES[p.type],
            "meaning": p.doc,
            "left_out": default_text(p),
            "directly_behind_the_kind": p.lead,
            "must_be_given": p.required,
        }
        for p in params
    ]


def kind_text(name: str, kinds: Kinds) -> str:
    """What a kind does and its words, as text for the terminal; several texts where a joint, a piece of work,
    hardware and a machine share the name, "" where none has it."""
    data: Mapping[str, Mapping[str, Any]] = word_data(kinds)["kinds"]
    texts = []
    for group in GROUPS:
        entry = data[group].get(name)
        if entry is None:
            continue
        title = {"joint": f"joint {name}", "work": f"{name} (work on a part)", "hardware": f"hardware {name}", "machine": f"{name} (machine of a shop)"}[group]
        lines = [title, "", *wrap(entry["meaning"], WIDTH), "", *(f"    {line}" for line in entry["example"].splitlines()), ""]
        lines += _listed(entry["words"])
        if entry.get("fit_words"):
            lines += ["", "on the `fit` line:", *_listed(entry["fit_words"])]
        texts.append("\n".join(lines).rstrip() + "\n")
    return "\n".join(texts)


def word_text(name: str, kinds: Kinds) -> str:
    """What the language reference says of a word of the grammar, with lines that use it, or what a word means to the kinds that
    take it, as text for the terminal; "" for other words."""
    data = word_data(kinds)
    owners = [owner for owner, words in data["below"].items() if name in words and owner != "shape"]
    where = ["it begins a line of a plan"] if name in data["statements"] else []
    where += [f"it begins a line below {', '.join(owners)}"] if owners else []
    if not where:
        taken = _taken(name, data["kinds"])
        if taken or name not in data["below"].get("shape", ()):
            return taken
        where = ["it begins a line below a piece of work"]
    said, lines = _reference_on(name)
    text = [f"{name}: {'; '.join(where)}", ""]
    for paragraph in said:
        text += [*wrap(paragraph, WIDTH), ""]
    return "\n".join([*text, *(f"    {line}" for line in lines)]).rstrip() + "\n"


def _taken(name: str, kinds: Mapping[str, Mapping[str, Any]]) -> str:
    """What an option means, with the kinds to which it means that."""
    meanings: dict[str, list[str]] = {}
    for group in GROUPS:
        for kind, entry in kinds[group].items():
            for row in (*entry["words"], *entry.get("fit_words", ())):
                if row["word"] == name:
                    meanings.setdefault(row["meaning"], []).append(kind)
    if not meanings:
        return ""
    text = [f"{name}: a word of {', '.join(dict.fromkeys(k for found in meanings.values() for k in found))}"]
    for meaning, found in meanings.items():
        text += ["", *wrap(f"{', '.join(dict.fromkeys(found))}: {meaning}", WIDTH)]
    return "\n".join(text) + "\n"


def _reference_on(name: str) -> tuple[list[str], list[str]]:
    """The paragraphs, points and rows of the language reference that name a word, those first that begin with it, and lines of
    its plans that begin with it."""
    page = (data_folder("grammar") / "README.md").read_text(encoding="utf-8").partition("## All kinds and their words")[0]
    pieces = page.split("```")
    lines = dict.fromkeys(line.strip() for block in pieces[1::2] for line in block.splitlines()[1:] if line.split()[:1] == [name])
    word = re.compile(rf"`([^`]* )?{re.escape(name)}( [^`]*)?`")
    found: list[str] = []
    for prose in pieces[::2]:
        for piece in re.split(r"\n\s*\n|\n(?=\||- )", prose):
            if word.search(piece):
                found.append(_plain(piece))
    found.sort(key=lambda text: not text.startswith(f"`{name}"))
    return found[:MOST], list(lines)[:MOST]


def _plain(piece: str) -> str:
    """Text of the reference without its marks of type."""
    piece = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", piece.strip().removeprefix("- ").replace("**", ""))
    if piece.startswith("|"):
        piece = ": ".join(cell.strip() for cell in piece.strip("|").split(" | "))
    return " ".join(piece.split())


def _listed(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    lines = []
    for row in rows:
        word = f"({row['word']})" if row["directly_behind_the_kind"] else row["word"]
        left = "must be given" if row["must_be_given"] else "" if row["left_out"] == "-" else f"left out: {row['left_out']}"
        lines.append(f"  {word}: {row['takes']}" + (f" [{left}]" if left else ""))
        lines += [f"      {line}" for line in wrap(row["meaning"], WIDTH - 6)]
    return lines
