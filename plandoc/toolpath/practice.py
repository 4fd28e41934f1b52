"""Figures of the trade for a router that is led by numbers. Unless they say another source they are common practice for straight bits with two
edges in wood and sheet stock on small and middling machines: starting values, to be checked on the machine. Lengths mm."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

STEP_OVER = 0.45
"""What the next round takes, over the bit's diameter (common practice: 40 to 50 per cent)."""
FINER = (STEP_OVER, 0.35, 0.25, 0.15)
"""Tried in turn where rounds leave wood standing between them in sharp corners."""
PASS = 0.5
"""Most depth of one pass, over the bit's diameter (common practice for small bits)."""
HAND_PASS = {"inch": Fraction(127, 20), "mm": Fraction(6)}
"""Most depth of one pass of a router in the hand, beside PASS (common practice: 1/8 to 1/4 in., 3 to 6 mm)."""
BUSH_CLEAR = Fraction(3)
"""How much wider than the bit a guide bush is at least outside: its wall and room for chips (common practice)."""
SLOPE = 3.0
"""Angle of entry (degrees; common practice: at most 3)."""
DOWN = tan(radians(SLOPE))
FINISH = 0.3
"""Left on the walls for the finishing pass (common practice)."""
SAFE = 20.0
"""Height over the face at which the bit travels; clamps stay lower (common practice)."""
CLEAR = 1.0
"""Over the wood: down to there the bit moves fast."""
BREAKTHROUGH = 0.3
"""How deep cuts that go through enter the waste board (common practice)."""
TAB_HIGH, TAB_LONG, TAB_EVERY = 3.0, 6.0, 150.0
"""Holding tabs: height over the table, at most a third of the thickness; length; distance from one to the next (common
practice)."""
CLAMP_HIGH = 15.0
"""Most that a clamp may stand over the face: 5 mm under the travelling bit (common practice)."""
CLAMP_REACH, CLAMP_LEAST = 25.0, 15.0
"""How far a clamp takes hold, and the least that still holds (common practice)."""
OUTSIDE = 4.0
"""Between the way of the bit around a part and the clamps, where it is cut out of a blank (common practice)."""
CLAMP_WIDE, CLAMP_NARROW, CLAMP_APART = 80.0, 30.0, 3.0
"""Along the edge: most and least; and its distance to the cutter (common practice)."""
CLAMP_BODY = 40.0
"""Room that a clamp takes outside of the board."""
SPEED, DRILL_SPEED = 16000, 8000
"""Turns a minute of bits and of drills (common practice)."""
CHIP = 0.01
"""Chip of one edge, over the bit's diameter (common practice: about 0.06 mm at 6 mm)."""
EDGES = 2
V_PASS, V_FEED = 2.0, 800.0
"""Of a V-bit: most depth of one pass, and feed (mm, mm a minute; from memory)."""
FASTEST, TRAVEL = 2500.0, 5000.0
"""Most feed, and what is counted for travelling (mm a minute; common practice)."""
SINKING = 0.5
"""Feed of the entry over that of the cut (common practice)."""
DRILL_FEED = 300.0
"""Feed of a drill (mm a minute; common practice)."""
SLACK = 1.2
"""Time over that of the bare path: the machine starts and stops (from memory)."""


def cutting_feed(diameter: float) -> float:
    """Feed of a straight bit (mm a minute), rounded down to 50."""
    return max(100.0, min(FASTEST, SPEED * EDGES * CHIP * diameter // 50 * 50))
