"""Mitres and bevels right across an end or an edge, as settings of a saw."""

from __future__ import annotations

from plandoc.geometry.bodies import FACES, Chunk, Face
from plandoc.model.entities import Feature, Model, Part
from plandoc.shopwork.machinechoice import work_choice
from plandoc.shopwork.operations import feature_operation
from plandoc.shopwork.setting import POINT, Cut, Setting, Way
from plandoc.shopwork.setupcuts import SAW, blade_of
from plandoc.shopwork.wording import Work, work_words
from plandoc.tables.shop import Shop

ANGLED = ("end_mitre", "angled_end", "bevel", "bevelled_edge")


def angled_ways(model: Model, part: Part, feature: Feature, shop: Shop) -> tuple[Way, ...]:
    """A mitre or a bevel right across an end or an edge: angle, and the stop or fence for the long point."""
    kind = feature_operation(part, feature)
    found = _long_point(part, feature)
    if kind not in ANGLED or found is None:
        return ()
    end, up = found
    angle = work_words(kind, Work(model, part, (feature,)))[0]
    edge = end.axis == part.width_axis
    machine = "mitre_saw" if not edge and work_choice(model, part, feature, kind).key == "mitre_saw" else SAW
    blade = blade_of(part, shop, machine, edge, True)
    down = up.opposite if up is not None and up.axis == part.thickness_axis else None
    setting = Setting(machine, blade, "fence" if edge else "stop", POINT, (part.box.size(end.axis),), None, angle)
    return ((setting, Cut(part.path, feature.id, kind, end.opposite, down, up=up)),)


def _long_point(part: Part, feature: Feature) -> tuple[Face, Face | None] | None:
    """The end or edge that is cut at an angle, and the face at which its long point stands."""
    words = feature.note.replace(",", "").split()
    led = next((text for _, text in feature.leaders), "")
    if feature.kind in ("frame mitre", "case mitre") and feature.face is not None:
        return feature.face, FACES.get(words[-1])
    if feature.kind in ("bevel", "mitre", "compound cut") and words and words[0] in FACES:
        point = led.rpartition("long point ")[2].split()
        faces = [FACES[name] for name in point if name in FACES]
        return FACES[words[0]], next((f for f in faces if f.axis == part.thickness_axis), faces[0] if faces else None)
    if feature.kind in ("end cut", "bevelled edge"):
        chunk = next((cut for cut in feature.cuts if isinstance(cut, Chunk)), None)
        if chunk is None:
            return None
        axis = max((a for a in (0, 1, 2) if a != part.thickness_axis), key=lambda a: abs(chunk.normal[a]))
        thick = part.thickness_axis
        up = Face(thick, -1 if chunk.normal[thick] > 0 else 1) if chunk.normal[thick] else None
        return Face(axis, 1 if chunk.normal[axis] > 0 else -1), up
    return None


__all__ = ["ANGLED", "angled_ways"]
