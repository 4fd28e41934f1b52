"""Cuts at an angle in the words of the saw: the set-up, and where the long point stands.

A blade tilts away from the piece that is kept, so the face with the long point lies up.
"""

from __future__ import annotations

import re

from plandoc.geometry.bodies import FACES, Chunk, Face
from plandoc.model.entities import Feature, Part
from plandoc.shopwork.names import edge_words, listed

OWN_PLACE = ("bevel", "angled_end", "bevelled_edge", "edge_easing")
"""Operations whose places name the edge or end themselves."""
_BEVEL = re.compile(r"(\w+) (\S+°), long point (\w+)")
_MITRE = re.compile(r"(\w+) end (\S+°)")
_COMPOUND = re.compile(r"(\w+) end, .*")
_POINT = re.compile(r"long point (\w+)(?: (\w+))?")
_NAMES = {"bevel": "bevels", "mitre": "mitres", "chamfer": "chamfers", "compound cut": "compound cuts", "cut corner": "cut corners"}


def sloped(part: Part, feature: Feature) -> tuple[str, str] | None:
    """Set-up and place of a bevel, mitre, chamfer, compound cut or cut corner; None for all else."""
    led = next((words for _, words in feature.leaders), "")
    if feature.kind == "bevel" and (found := _BEVEL.fullmatch(feature.note)):
        end, point = FACES[found[1]], FACES[found[3]]
        return f"blade tilted {found[2]}", f"{edge_words(part, end)}: {_long_point(part, point)}"
    if feature.kind == "mitre" and (found := _MITRE.fullmatch(feature.note)) and (at := _POINT.search(led)):
        return f"mitre gauge {found[2]} from square", f"{edge_words(part, FACES[found[1]])}: {_long_point(part, FACES[at[1]])}"
    if feature.kind == "compound cut" and (found := _COMPOUND.fullmatch(feature.note)) and (at := _POINT.search(led)):
        points = listed([edge_words(part, FACES[name]) for name in at.groups() if name])
        up = next((FACES[name] for name in at.groups() if name and FACES[name].axis == part.thickness_axis), None)
        setup = led.partition(", long")[0].replace("gauge", "mitre gauge").replace("tilt", "blade tilted")
        return setup, f"{edge_words(part, FACES[found[1]])}: long point where {points} meet" + (f", the {edge_words(part, up)} up" if up is not None else "")
    if feature.kind in ("chamfer", "round-over"):
        size, _, where = feature.note.partition(", ")
        return f"{feature.kind} {size}", where or "as the part drawing shows"
    if feature.kind == "cut corner":
        number = len(feature.leaders)
        return f"corners cut off, {feature.note}", f"{number} corners, as the part drawing shows" if number > 1 else "the corner that the part drawing shows"
    return None


def askew(part: Part, feature: Feature) -> str:
    """The end or edge that runs against a plane, and at which sides of it the piece is longest."""
    chunk = next((cut for cut in feature.cuts if isinstance(cut, Chunk)), None)
    if chunk is None:
        return "as the part drawing shows"
    axes = sorted((a for a in (0, 1, 2) if a != part.thickness_axis), key=lambda a: -abs(chunk.normal[a]))
    end = Face(axes[0], 1 if chunk.normal[axes[0]] > 0 else -1)
    # of the plane's other directions: towards where it lets the piece reach further
    points = [Face(a, -1 if chunk.normal[a] > 0 else 1) for a in (axes[1], part.thickness_axis) if chunk.normal[a]]
    said = listed([_long_point(part, point) for point in points])
    return f"{edge_words(part, end)}: {said or 'measured to the long point'}"


def _long_point(part: Part, point: Face) -> str:
    words = f"long point at the {edge_words(part, point)}"
    return f"{words}, that face up" if point.axis == part.thickness_axis else words


def slope_names(kinds: list[str]) -> str:
    """`bevels and mitres`: what a step cuts."""
    return listed([name for kind, name in _NAMES.items() if kind in kinds]) or "bevels, mitres and chamfers"


__all__ = ["OWN_PLACE", "askew", "slope_names", "sloped"]
