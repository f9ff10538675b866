"""Random numbers and choices: the same seed draws the same values in every version of the service."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any, TypeVar

__all__ = ["Body", "Draw"]

Body = dict[str, Any]
T = TypeVar("T")


class Draw(random.Random):
    """A random generator with the draws that a request needs."""

    def chance(self, share: float) -> bool:
        """True in this share of the draws (`share`: 0 to 1)."""
        return self.random() < share

    def about(self, low: float, high: float, digits: int = 3) -> float:
        """A number from `low` to `high`, with so many significant `digits`."""
        return float(f"{self.uniform(low, high):.{digits}g}")

    def some(self, options: Sequence[T], low: int, high: int) -> list[T]:
        """From `low` to `high` different ones of the `options`, in any order."""
        return self.sample(options, min(self.randint(low, high), len(options)))

    def shares(self, count: int, least: float = 3.0) -> list[float]:
        """`count` percentages that add up to 100, each at least `least`, in tenths."""
        free = round(1000 - count * 10 * least)
        cuts = sorted(self.randint(0, free) for _ in range(count - 1))
        tenths = [end - start + round(10 * least) for start, end in zip([0, *cuts], [*cuts, free], strict=True)]
        return [one / 10 for one in tenths]
