"""Pseudo-random numbers with a fixed start, so that a layout never depends on the clock or the machine."""

from __future__ import annotations

_MASK = (1 << 64) - 1


class Chance:
    """Marsaglia's xorshift of 64 bits (Journal of Statistical Software 8, 2003; triple 13, 7, 17)."""

    def __init__(self, seed: int = 1) -> None:
        self.state = ((seed + 1) * 0x9E3779B97F4A7C15) & _MASK or 1

    def below(self, n: int) -> int:
        """A number from 0 to n - 1."""
        x = self.state
        x ^= (x << 13) & _MASK
        x ^= x >> 7
        x ^= (x << 17) & _MASK
        self.state = x
        return ((x >> 16) * n) >> 48
