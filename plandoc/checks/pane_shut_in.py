"""PD357: a pane that stands in grooves on all sides: once it is broken it cannot be replaced."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Face
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Joint, Model
from plandoc.model.ordered import ordered

SIDES = 4


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report panes that four closed channels hold, once a line. A rabbet is open, and what slides or is keyed comes apart again."""
    told: set[object] = set()
    for part in model.parts:
        if not ordered(part.stock):
            continue
        held: dict[Face, Joint] = {}
        for joint in model.joints:
            if joint.a == part.path and joint.depth > 0 and joint.glued and not joint.edge and not any(f.kind == "key" for f in joint.fasteners):
                held.setdefault(joint.entry, joint)
        if len(held) < SIDES:
            continue
        last = list(held.values())[-1]
        if last.span in told:
            continue
        told.add(last.span)
        others = tuple(dict.fromkeys(joint.b for joint in held.values()))
        sink.emit(
            "PD357",
            f"`{part.path}` is shut in by grooves on {len(held)} sides: it cannot be replaced when it breaks",
            last.span,
            notes=(Note(f"it stands in {', '.join(f'`{path}`' for path in others)}"),),
            mend=f"let it lie in rabbets that are open to one face, with beads before it: joint rabbet {part.path.rpartition('.')[2]} into ... deep ...",
        )


CHECK = Check("PD357", run)
