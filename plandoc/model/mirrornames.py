"""What a mirrored part is called where the plan gives it no name of its own: as the other one, with the sides exchanged."""

from __future__ import annotations

import re

from plandoc.model.cells import PartCell

SIDES = {"across": (("left", "right"),), "back": (("front", "rear"), ("front", "back")), "up": (("top", "bottom"), ("upper", "lower"))}


def described(part: PartCell) -> bool:
    """Whether the plan names the part, or the one that it mirrors, in words."""
    return part.statement.comment is not None or (part.mirrors is not None and described(part.mirrors))


def mirrored_name(name: str, axis: str) -> str:
    """`Case side, left` mirrored about a place across is `Case side, right`; a name without a side is that of both. axis:
    across, back or up."""
    for one, two in SIDES.get(axis, ()):
        swap = {one: two, two: one}

        def other(found: re.Match[str], swap: dict[str, str] = swap) -> str:
            word = found[0]
            new = swap[word.casefold()]
            return new.capitalize() if word[0].isupper() else new

        changed = re.sub(rf"\b({one}|{two})\b", other, name, flags=re.IGNORECASE)
        if changed != name:
            return changed
    return name
