"""PD347: what opens runs into something on its way."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.build.opening import moving_parts, opened
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Motion
from plandoc.quantity import shop_text

# mm3; a hinge edge turns within its own thickness, and slides rub
RUB = 60.0
# Places on the way that are tried: each leaves at most a sixteenth of the way untried.
STEPS = 16


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every motion that is blocked, with the first place on its way where it is. The way is tried in steps, so a
    thin thing between two of them may be missed."""
    for motion in model.motions:
        moving = moving_parts(model, motion)
        still = [p for p in model.placed if p.path not in moving]
        # what opens on its own is shut meanwhile; what it is joined to by a sliding joint stays where it is
        found = _blocked(motion, moving, [(p.path, solids[p.path]) for p in still], solids)
        if found is None:
            continue
        path, other, number = found
        if motion.swing:
            way = f"{abs(float(motion.swing)) * number / STEPS:.0f}° of {abs(float(motion.swing)):g}°"
        else:
            way = f"{shop_text(motion.travel * number / STEPS, model.info.units, mark=True)} of {shop_text(motion.travel, model.info.units, mark=True)}"
        sink.emit(
            "PD347",
            f"`{motion.target}` cannot open: {path} runs into {other}",
            motion.span,
            notes=(f"after about {way}",),
            mend=f"give it room, or let {other} stand back",
        )


def _blocked(motion: Motion, moving: tuple[str, ...], still: list[tuple[str, Solid]], solids: Mapping[str, Solid]) -> tuple[str, str, int] | None:
    shut = {(path, other): solids[path].common_volume(solid) for path in moving for other, solid in still}
    for number in range(1, STEPS + 1):
        for path in moving:
            body = opened(motion, solids[path], Fraction(number, STEPS))
            for other, solid in still:
                if body.common_volume(solid) > shut[path, other] + RUB:
                    return path, other, number
    return None


CHECK = Check("PD347", run)
