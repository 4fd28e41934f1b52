"""`template of ...` and `no template of ...` -> wishes, one for each part; what stands later in the plan counts."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.diagnostics import Sink
from plandoc.model.entities import Part, TemplateWish
from plandoc.model.evaluate import Evaluator
from plandoc.model.expand import Expanded
from plandoc.model.joined import parts_named


def read_template_wishes(plan: Expanded, evaluate: Evaluator, parts: Sequence[Part], sink: Sink) -> tuple[TemplateWish, ...]:
    """The last wish for each part, in the order of the plan; a wish for a part without any work is reported."""
    known = {part.path: part for part in parts}
    found: dict[str, TemplateWish] = {}
    for statement, scope in plan.templates:
        for cell, span in parts_named(statement.parts, evaluate, scope, whole=True) or ():
            found.pop(cell.path, None)
            found[cell.path] = TemplateWish(cell.path, statement.wanted, span)
            part = known.get(cell.path)
            if statement.wanted and part is not None and not any(f.cuts or f.text for f in part.features):
                sink.emit("PD246", f"`{part.path}` has nothing that a template could show", span, notes=["it is cut to size, without bores, pockets, curves or channels"], mend="leave the line out")
    return tuple(found.values())
