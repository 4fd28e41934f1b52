"""Figures of printed paper that several documents share: bars of a true length, and the edge that no printer reaches."""

from __future__ import annotations

BARS = ((100.0, "100 mm"), (101.6, "4 in"))  # exact lengths on paper
SAFE = 8.5  # mm of the paper's edge that a printer may not reach; 6.35 is called safe, the drawing audit asks for 8
