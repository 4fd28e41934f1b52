"""Minutes of the shop's work for one plan: the table's, and those that the plan sets itself."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Model, PlanInfo
from plandoc.quantity import FOOT
from plandoc.tables.times import times


def minutes(info: PlanInfo, word: str) -> Fraction:
    """Minutes of a word of the table of times. Raises KeyError."""
    return dict(info.times).get(word, times()[word])


def closing_minutes(info: PlanInfo, joints: int, area: Fraction) -> Fraction:
    """To spread glue on so many joints of so much area (mm2, all together) and to put them together."""
    each = minutes(info, "joint_spread") + minutes(info, "joint_close")
    return joints * each + area / FOOT**2 * minutes(info, "spreading")


def whole_minutes(time: Fraction) -> int:
    """Rounded up, so that it is never short."""
    return int(-(-time // 1))


def duration(time: Fraction | int) -> str:
    """`25 min`, `1 h 30 min`, `8 h`: whole minutes, from one hour on to five, from ten hours on to the half hour."""
    step = 1 if time < 60 else 5 if time < 600 else 30
    hours, rest = divmod(int(-(-Fraction(time) // step)) * step, 60)
    words = [f"{hours} h"] if hours else []
    return " ".join([*words, f"{rest} min"] if rest or not hours else words)


def fives(time: Fraction) -> int:
    """Minutes rounded up to five, as a list of steps gives them."""
    return -(-whole_minutes(time) // 5) * 5


def hours(time: int) -> str:
    """`25 min`, `18 h 10 min`: minutes as they are, so that the sum of a column is that of its rows; "" for none."""
    whole, rest = divmod(time, 60)
    return " ".join([*([f"{whole} h"] if whole else []), *([f"{rest} min"] if rest else [])])


def drying_words(model: Model) -> str:
    """`Drying between coats as the label says, about 8 h (estimate).`"""
    return f"Drying between coats as the label says, about {duration(minutes(model.info, 'finish_dry'))} (estimate)."
